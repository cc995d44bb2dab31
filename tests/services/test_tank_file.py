"""The tank file of a whole household, table by table and entry by entry."""

import tomllib
from datetime import UTC, date, datetime, time

import pytest

from tankkeeper.core import logbook
from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    ChoreKind,
    Condition,
    EarlierRhythm,
    IfMissed,
    Once,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.communities import Community
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.household import (
    CoverKind,
    Equipment,
    Loss,
    OwnRange,
    ShownUnits,
    Stage,
    WaterFor,
    WaterSource,
)
from tankkeeper.core.intervals import Interval, IntervalUnit, MonthDay, Season
from tankkeeper.core.logbook import Entry, PauseMode, Turn
from tankkeeper.core.volume import Measured, ShapeKind
from tankkeeper.services.tank_file import TankFile, is_tank_file, read_tank_file, write_household
from tests.services.tank_file_household import NOW, TODAY, WHOLE


def read(text: str) -> TankFile:
    return read_tank_file(text, now=NOW, today=TODAY)


@pytest.fixture(scope="module")
def whole() -> TankFile:
    return read(WHOLE)


def entry(whole: TankFile, entry_id: str) -> Entry:
    return next(one for one in whole.entries if one.id == entry_id)


def test_the_text_of_a_household_comes_back_letter_by_letter(whole: TankFile) -> None:
    """Export after import gives the same text, so that a file in version control stays still."""
    assert write_household(whole.household, whole.entries) == WHOLE


def test_household_and_log_come_back_equal(whole: TankFile) -> None:
    """Import after export gives the same household and the same log."""
    again = read(write_household(whole.household, whole.entries))
    assert again == whole


def test_the_written_text_is_toml_with_the_values_put_in(whole: TankFile) -> None:
    """The text is TOML 1.0 as the parser of Python's own library reads it."""
    told = tomllib.loads(write_household(whole.household, whole.entries))
    assert told["household"]["day_begins"] == time(5)
    assert told["tanks"][0]["shape"]["glass_mm"] == 10
    assert told["chores"][0]["uses"][1] == {"supply": "filter socks", "pieces": 1}
    assert told["log"][0]["at"] == datetime(2026, 1, 5, 18, 10, tzinfo=UTC)
    assert len(told["log"]) == len(whole.entries)


def test_seasons_may_stand_in_the_rhythm_as_well(whole: TankFile) -> None:
    """Beside the rhythm, as written here, or inside it, as earlier versions need: the same."""
    seasons = '[{ from = "06-01", to = "09-15", after_last_done = "10 days" }]'
    beside = f'{{ after_last_done = "14 days" }}\nseasons = {seasons}'
    assert WHOLE.count(beside) == 1
    inside = f'{{ after_last_done = "14 days", seasons = {seasons} }}'
    assert read(WHOLE.replace(beside, inside)) == whole


def test_the_household_keeps_its_own_settings(whole: TankFile) -> None:
    """[household] and its units stand in the household itself."""
    house = whole.household
    assert (house.name, house.zone, house.currency) == ("Quay House", "Europe/Lisbon", "EUR")
    assert (house.day_begins, house.round_at) == (time(5), time(18, 30))
    assert house.first_weekday == 6
    assert house.units == ShownUnits("US gal", "degF", "sg 25/25", "meq/L")


def test_people_rooms_and_means_are_read(whole: TankFile) -> None:
    """People, rooms, containers, water supply, salt mix and supplies keep every key."""
    house = whole.household
    mira, tomas = house.people
    assert (mira.id, tomas.id) == ("mira", "tomas")
    assert mira.minutes == (10, 15, 0, 20, 5, 90, 45)
    assert mira.not_for == (ChoreKind.SERVICE, ChoreKind.DOSE)
    assert tomas.minutes is None
    assert [(row.month, row.humidity) for row in house.rooms[0].climate] == [(2, 0.61), (8, 0.48)]
    assert house.containers[0].holds is WaterFor.FRESH
    assert house.water_supply is not None
    assert house.water_supply.source is WaterSource.BOUGHT
    assert house.salt_mix is not None
    assert house.salt_mix.grams_per_litre == 37.9
    assert house.supplies[0].expires_on == date(2027, 5, 1)
    assert house.supplies[1].stock is None


def test_tanks_are_read_with_all_their_parts(whole: TankFile) -> None:
    """A tank keeps its shape and what stands in, below and on it; what is left out is unknown."""
    lagoon, cove = whole.household.tanks
    assert (lagoon.id, lagoon.room, lagoon.stage) == ("lagoon", "hall", Stage.CYCLING)
    assert lagoon.community is Community.SOFT_CORAL
    assert (lagoon.shape.kind, lagoon.shape.measured) == (ShapeKind.BOW_FRONT, Measured.OUTSIDE)
    assert lagoon.displaced is not None
    assert lagoon.displaced.equipment_l == 1.5
    assert lagoon.sump is not None
    assert (lagoon.sump.pipes_l, lagoon.sump.free_l) == (2.0, 18.0)
    assert lagoon.heat_and_flow == HeatAndFlow(300.0, 0, 1800.0, 2.5)
    assert cove.heat_and_flow is None
    assert lagoon.cover is not None
    assert lagoon.cover.kind is CoverKind.LID
    assert lagoon.top_off.reserve_l == 3.0
    assert lagoon.ranges == (
        OwnRange("alkalinity", 7.0, 9.5, "dKH"),
        OwnRange("nitrate", None, 15.0, ""),
    )
    assert (cove.stage, cove.jumpers, cove.sump, cove.walk_order) == (
        Stage.RUNNING,
        None,
        None,
        None,
    )


def test_equipment_and_animals_are_read(whole: TankFile) -> None:
    """Equipment without a tank belongs to the household; losses keep their day and why."""
    house = whole.household
    assert house.equipment[1] == Equipment("scale", "kitchen scale")
    assert house.animals[0].lost == (Loss(date(2025, 6, 10), 1, "not found again"),)
    assert (house.animals[0].tank, house.animals[0].jumper) == ("lagoon", True)


def test_several_losses_stand_in_a_list_and_one_stands_alone() -> None:
    """A file of before has one table; a list holds what was lost since, in its order."""
    first = 'lost = { on = 2025-06-10, count = 1, why = "not found again" }'
    assert first in WHOLE
    both = f"lost = [{first.removeprefix('lost = ')}, {{ on = 2025-07-01, count = 1 }}]"
    text = WHOLE.replace(first, both)
    found = read(text)
    shrimps = found.household.animals[0]
    assert shrimps.lost == (
        Loss(date(2025, 6, 10), 1, "not found again"),
        Loss(date(2025, 7, 1), 1),
    )
    assert (shrimps.count, shrimps.lost_count, shrimps.left, shrimps.lives) == (3, 2, 1, True)
    assert both in write_household(found.household, found.entries)
    alone = read(WHOLE.replace(first, f"lost = [{first.removeprefix('lost = ')}]"))
    assert first in write_household(alone.household, alone.entries)


def test_a_chore_keeps_every_key(whole: TankFile) -> None:
    """Names become ids, amounts keep their unit, earlier rhythms their day."""
    chore = whole.household.chores[0]
    assert chore.id == "lagoon.change-water"
    assert chore.rhythm == AfterLastDone(
        Interval(14, IntervalUnit.DAYS),
        (Season(MonthDay(6, 1), MonthDay(9, 15), Interval(10, IntervalUnit.DAYS)),),
    )
    assert chore.who == ("mira", "tomas")
    assert chore.amount == Amount(30.0, AmountUnit.LITRES)
    assert chore.uses[1] == Use("filter-socks", 1.0, AmountUnit.PIECES)
    assert chore.ready_before == ("Mix salt water",)
    assert chore.earlier == (EarlierRhythm(date(2025, 1, 10), Once(date(2025, 1, 15))),)
    assert (chore.first_due, chore.valid_from) == (date(2025, 2, 1), date(2025, 1, 20))


def test_every_rhythm_is_read(whole: TankFile) -> None:
    """By the calendar, after last done, when the water says, and once."""
    rhythms = [chore.rhythm for chore in whole.household.chores]
    assert rhythms[1] == Calendar("FREQ=DAILY", date(2025, 2, 1), (time(8), time(18, 30)))
    assert rhythms[2] == WhenWaterSays(Condition.EVAPORATION, None, 0, 7)
    assert rhythms[3] == WhenWaterSays(Condition.FORECAST, "nitrate", None, 21)
    assert rhythms[4] == AfterLastDone(Interval(8, IntervalUnit.HOURS))
    assert rhythms[6] == WhenWaterSays(Condition.STOCK, "salt-mix")


def test_missed_turns_collapse_and_missed_slots_expire_by_default(whole: TankFile) -> None:
    """A missing `if_missed` takes the documented default."""
    change, feed, _, tests, *_ = whole.household.chores
    assert change.if_missed is IfMissed.COLLAPSE
    assert feed.if_missed is IfMissed.EXPIRE
    assert tests.if_missed is IfMissed.EACH


@pytest.mark.parametrize(
    ("keys", "start"),
    [
        ("first_due = 2025-05-05\nfrom = 2025-04-01", date(2025, 5, 5)),
        ("from = 2025-04-01", date(2025, 4, 1)),
        ("", TODAY),
    ],
)
def test_a_calendar_without_start_begins_where_the_chore_does(keys: str, start: date) -> None:
    """The start is first_due, else from, else today."""
    text = (
        'format = "tankkeeper"\nversion = 1\n[[chores]]\nkind = "check"\nname = "Look"\n'
        f'rhythm = {{ calendar = "FREQ=DAILY" }}\n{keys}\n'
    )
    rhythm = read(text).household.chores[0].rhythm
    assert isinstance(rhythm, Calendar)
    assert rhythm.start == start


def test_hours_inside_a_rule_become_slots() -> None:
    """RFC 5545 3.3.10: BYHOUR and BYMINUTE name times of day, which a chore keeps as slots."""
    text = (
        'format = "tankkeeper"\nversion = 1\n[[chores]]\nkind = "feeding"\nname = "Feed"\n'
        'rhythm = { calendar = "FREQ=DAILY;BYHOUR=8,18", start = 2025-01-01 }\n'
    )
    rhythm = read(text).household.chores[0].rhythm
    assert rhythm == Calendar("FREQ=DAILY", date(2025, 1, 1), (time(8), time(18)))


FACTS = {
    "a-01": logbook.WaterChange(30.0, 29.5, 34.8, 25.1),
    "a-02": None,
    "a-03": logbook.ReservoirCheck(None, 11.5, True),
    "a-05": logbook.TopOff(0.8, to_mark=False),
    "a-06": logbook.Work(35.0, 1330.0),
    "a-07": logbook.TopOff(1.25, estimated=True),
    "a-08": logbook.ReservoirCheck(7.0),
    "a-09": logbook.WaterChange(5.0, None, 35.0),
    "a-10": logbook.Dose("sodium bicarbonate", 12.0),
    "a-11": logbook.Skip(Turn("lagoon.change-water", "after:a-01"), date(2026, 1, 14)),
    "a-12": logbook.PutOff(
        Turn("lagoon.change-water", "after:a-01"), date(2026, 1, 20), date(2026, 1, 17)
    ),
    "a-13": logbook.Shift(Turn("house.mix-salt-water", "2026-01-16"), date(2026, 1, 17)),
    "a-14": logbook.Pause(PauseMode.FREEZE, "lagoon.feed", date(2026, 1, 18)),
    "a-15": logbook.Resume("lagoon.feed"),
    "a-16": logbook.StockChange("salt-mix", 20000.0, None, date(2028, 1, 1)),
    "a-17": logbook.Note(),
    "a-18": logbook.Revoke("a-16"),
    "a-19": logbook.Work(None, 3.0),
}


@pytest.mark.parametrize("entry_id", FACTS)
def test_every_form_of_entry_means_its_fact(whole: TankFile, entry_id: str) -> None:
    """Work ticked off by name leaves the fact of the chore's kind, other forms their own."""
    assert entry(whole, entry_id).fact == FACTS[entry_id]


def test_entries_name_the_turns_they_complete(whole: TankFile) -> None:
    """`for` gives date and slot, the entry counted from, or the first turn; else no key."""
    assert entry(whole, "a-01").completes == (Turn("lagoon.change-water", "first"),)
    assert entry(whole, "a-02").completes == (Turn("lagoon.feed", "2026-01-05", time(18, 30)),)
    assert entry(whole, "a-03").completes == (Turn("lagoon.fill-reservoir"),)
    assert entry(whole, "a-04").completes == (
        Turn("lagoon.test-nitrate", "after:a-01"),
        Turn("lagoon.feed"),
    )


def test_readings_keep_what_was_typed(whole: TankFile) -> None:
    """A reading keeps number, unit and sample temperature beside its stored value."""
    fact = entry(whole, "a-04").fact
    assert isinstance(fact, logbook.Readings)
    nitrate, salinity, ph = fact.values
    assert (nitrate.parameter, nitrate.value) == ("nitrate", 12.0)
    assert (salinity.typed, salinity.unit, salinity.sample_temperature_c) == (
        1.0264,
        "sg 25/25",
        25.4,
    )
    assert ph.value == 8.1


def test_an_entry_of_the_night_belongs_to_the_day_before(whole: TankFile) -> None:
    """The logical day begins at 05:00 here: 02:10 belongs to the fifth of January."""
    assert entry(whole, "a-02").day == date(2026, 1, 5)
    assert entry(whole, "a-03").day == date(2026, 1, 6)


def test_a_day_and_zone_that_are_not_the_usual_are_kept(whole: TankFile) -> None:
    """`day` and `zone` stand only where they differ."""
    odd = entry(whole, "a-17")
    assert (odd.zone, odd.day) == ("Asia/Tokyo", date(2026, 1, 20))
    assert entry(whole, "a-18").zone == "Europe/Lisbon"


def test_an_entry_written_late_keeps_its_place_in_the_order_of_writing(whole: TankFile) -> None:
    """The file is in order of time, `seq` in the order of writing."""
    written = [one.id for one in sorted(whole.entries, key=lambda one: one.seq)]
    assert written[15:19] == ["a-16", "a-18", "a-17", "a-19"]
    assert [one.seq for one in whole.entries] == list(range(1, 20))


def test_entries_without_id_get_the_same_id_in_every_run() -> None:
    """An id left out is made from what the entry says, so two imports of one file agree."""
    row = '[[log]]\nat = 2026-01-0{}T10:00:00Z\nnote = "same"\n'
    text = 'format = "tankkeeper"\nversion = 1\n' + row.format(1) + row.format(2)
    first, second = (tuple(one.id for one in read(text).entries) for _ in range(2))
    assert first == second
    assert len(set(first)) == 2


def test_a_tick_without_litres_leaves_a_top_off_and_a_change_without_fact() -> None:
    """Litres that nobody wrote down are not known; a ticked reservoir was filled until full."""
    text = WHOLE[: WHOLE.index("[[log]]")]
    for number, name in enumerate(("Change water", "Fill reservoir"), start=1):
        text += (
            f'[[log]]\nid = "{number}"\nat = 2026-01-0{number}T10:00:00Z\n'
            f'tank = "Lagoon"\ndone = "{name}"\n'
        )
    change, reservoir = read(text).entries
    assert change.fact is None
    assert reservoir.fact == logbook.ReservoirCheck()


def test_a_file_says_itself_whether_it_holds_a_household() -> None:
    """A file without [household] holds a tank to be added."""
    head = 'format = "tankkeeper"\nversion = 1\n'
    tank = head + '[[tanks]]\nname = "Pool"\nshape = { kind = "other", litres = 50 }\n'
    assert not is_tank_file(WHOLE)
    assert is_tank_file(tank)
    assert not read(tank).is_whole


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(whole: TankFile) -> None:
    """Editors that write a mark or CRLF change nothing of what a file says."""
    assert read("\ufeff" + WHOLE.replace("\n", "\r\n")) == whole


def test_optional_keys_may_be_left_out() -> None:
    """Only format, version, a tank's name and shape, a chore's kind, name, rhythm are needed."""
    text = (
        'format = "tankkeeper"\nversion = 1\n[[tanks]]\nname = "Pool"\n[tanks.shape]\n'
        'kind = "box"\n[[chores]]\nkind = "other"\nname = "Wipe"\nrhythm = { once = 2026-04-01 }\n'
    )
    found = read(text)
    assert found.household.tanks[0].shape.length_cm is None
    assert found.household.chores[0].minutes is None
    assert found.entries == ()


def test_a_name_is_found_before_an_id() -> None:
    """Rooms "Hall" and "hall" have the ids hall and hall-2; a tank in "hall" is in the second."""
    text = (
        'format = "tankkeeper"\nversion = 1\n[[rooms]]\nname = "Hall"\n[[rooms]]\nname = "hall"\n'
        '[[tanks]]\nname = "Pool"\nroom = "hall"\nshape = { kind = "box" }\n'
    )
    found = read(text)
    assert [room.id for room in found.household.rooms] == ["hall", "hall-2"]
    assert found.household.tanks[0].room == "hall-2"


ODD = [
    ("lagoon.fill-reservoir", None),
    ("lagoon.fill-reservoir", logbook.ReservoirCheck(left_l=4.0)),
    ("lagoon.fill-reservoir", logbook.Note()),
    ("lagoon.feed", logbook.Work()),
    ("lagoon.feed", logbook.Work(estimated=True)),
    ("lagoon.feed", logbook.TopOff(1.5)),
    ("lagoon.change-water", logbook.Work(litres=3.0)),
    (None, None),
]


@pytest.mark.parametrize(("chore", "fact"), ODD)
def test_facts_that_are_not_the_usual_ones_of_their_chore_come_back(
    whole: TankFile, chore: str | None, fact: logbook.Fact | None
) -> None:
    """What was logged is kept as it was, even where a chore usually leaves another fact."""
    at = datetime(2026, 2, 1, 12, tzinfo=UTC)
    done = () if chore is None else (Turn(chore),)
    odd = Entry("o-1", 1, at, at.date(), "Europe/Lisbon", None, "lagoon", done, fact)
    text = write_household(whole.household, [odd])
    assert read(text).entries == (odd,)


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ('"08:00", "23:00", "01:00"', (time(8), time(23), time(1))),
        ('"18:00", "08:00", "20:00", "07:00"', (time(7), time(8), time(18), time(20))),
    ],
)
def test_slots_stay_in_the_order_of_the_day(written: str, kept: tuple[time, ...]) -> None:
    """A day runs over midnight, so the last slot may be early by the clock; a jumble is sorted."""
    text = (
        'format = "tankkeeper"\nversion = 1\n[[chores]]\nkind = "feeding"\nname = "Feed"\n'
        f'rhythm = {{ calendar = "FREQ=DAILY", start = 2025-01-01, slots = [{written}] }}\n'
    )
    assert read(text).household.chores[0].slots == kept


def test_several_entries_written_late_in_a_row_keep_their_order(whole: TankFile) -> None:
    """Days 10, 5, 7, 3, 12 written in this order stand by time and come back in this order."""
    log = []
    for seq, on in enumerate((10, 5, 7, 3, 12), start=1):
        at = datetime(2026, 1, on, 12, tzinfo=UTC)
        log.append(Entry(f"d-{on}", seq, at, at.date(), "Europe/Lisbon", fact=logbook.Note()))
    text = write_household(whole.household, log)
    told = [row["id"] for row in tomllib.loads(text)["log"]]
    assert told == ["d-3", "d-5", "d-7", "d-10", "d-12"]
    assert list(read(text).entries) == log


def test_litres_left_out_are_not_known() -> None:
    """A top-off filled to the mark and a change of known salinity, nobody wrote how much."""
    log = [
        '[[log]]\nat = 2026-01-20T09:00:00Z\ntank = "Cove"\ndone = "Top off"\n',
        '[[log]]\nat = 2026-01-20T10:00:00Z\ntank = "Lagoon"\nwater_change = { salinity = 35 }\n',
        '[[log]]\nat = 2026-01-20T11:00:00Z\ntank = "Lagoon"\ntop_off = { to_mark = false }\n',
    ]
    found = read(WHOLE[: WHOLE.index("[[log]]")] + "\n".join(log))
    assert [one.fact for one in found.entries] == [
        logbook.TopOff(None),
        logbook.WaterChange(None, salinity=35.0),
        logbook.TopOff(None, to_mark=False),
    ]
    assert read(write_household(found.household, found.entries)) == found


def test_what_a_file_leaves_out_takes_the_usual() -> None:
    """Only format, version, and what a tank and a chore are need to be there."""
    text = (
        'format = "tankkeeper"\nversion = 1\n[water_supply]\nfeed_water_c = 12\n'
        '[[tanks]]\nname = "Pool"\n[tanks.shape]\nkind = "box"\n[tanks.cover]\ncovered = 0.5\n'
        '[[equipment]]\nname = "left heater"\n'
    )
    house = read(text).household
    assert house.water_supply is not None
    assert house.water_supply.source is WaterSource.MADE
    assert house.tanks[0].cover is not None
    assert house.tanks[0].cover.kind is CoverKind.OPEN
    assert house.equipment == (Equipment(name="left heater"),)
