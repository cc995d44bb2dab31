"""The sample household: what it holds, that it is the same every time, and what its log tells."""

import importlib.util
from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from types import ModuleType
from zoneinfo import ZoneInfo

import pytest

from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind, Once, WhenWaterSays
from tankkeeper.core.communities import default_ranges
from tankkeeper.core.history import history_of, taken_back
from tankkeeper.core.household import Stage
from tankkeeper.core.logbook import (
    Dose,
    Note,
    Pause,
    PutOff,
    Readings,
    ReservoirCheck,
    Revoke,
    Skip,
    StockChange,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.moment import moment_of
from tankkeeper.core.state import fold_household, items_of
from tankkeeper.core.turns import State
from tankkeeper.services.sample import Sample, make_sample, sample_household
from tankkeeper.services.sample.moved_dates import WRITTEN_FOR, household_on, moved
from tankkeeper.services.sample.water import BICARBONATE_G_PER_L_DKH, cycle
from tankkeeper.services.tank_file import read_tank_file, write_household

FOLDER = Path(__file__).resolve().parents[2] / "sample_tanks"
DEFINITIONS = (FOLDER / "sample_household.toml").read_text(encoding="utf-8")
NOW = datetime(2026, 11, 25, 7, 5, tzinfo=ZoneInfo("Europe/Berlin")).astimezone(UTC)
TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def sample() -> Sample:
    """The sample on a Wednesday in November, five minutes after the hour of the round."""
    return make_sample(DEFINITIONS, NOW)


def test_it_holds_what_a_household_with_several_tanks_has(sample: Sample) -> None:
    """At least four different tanks: a full reef, one topped by hand, one cycling, one paused."""
    household = sample.household
    tanks = {tank.name: tank for tank in household.tanks}

    assert len(tanks) == 5
    assert len({tank.room for tank in household.tanks}) == 5
    assert tanks["Bay"].has_automatic_top_off
    assert tanks["Bay"].sump is not None
    assert not tanks["Pebble"].has_automatic_top_off
    assert tanks["Sprout"].stage is Stage.CYCLING
    assert len(household.people) == 3
    assert household.containers
    assert household.supplies
    assert household.equipment
    assert household.animals
    assert all(room.climate for room in household.rooms)
    assert household.water_supply is not None
    assert household.salt_mix is not None


def test_what_the_heaters_take_together_is_what_its_equipment_lists(sample: Sample) -> None:
    """The page of a tank and its list of gear tell the same."""
    stated = {
        tank.id: tank.heat_and_flow.heater_w
        for tank in sample.household.tanks
        if tank.heat_and_flow is not None and tank.heat_and_flow.heater_w is not None
    }
    assert stated
    for tank, watts in stated.items():
        names = [one.name for one in sample.household.equipment if one.tank == tank]
        listed = [name.split() for name in names if name.startswith("heater ")]
        assert sum(float(words[-2]) for words in listed if words[-1] == "W") == watts


def test_its_chores_have_rhythms_of_every_kind(sample: Sample) -> None:
    """Calendar, counted, hours, season, end of month, single day, evaporation and slots occur."""
    rhythms = [chore.rhythm for chore in sample.household.chores]
    counted = [one for one in rhythms if isinstance(one, AfterLastDone)]
    calendars = [one for one in rhythms if isinstance(one, Calendar)]

    assert any(one.interval.unit == "hours" for one in counted)
    assert any(one.seasons for one in counted)
    assert any("BYMONTHDAY=-1" in one.rule for one in calendars)
    assert any(len(one.slots) == 2 for one in calendars)
    assert sum(isinstance(one, Once) for one in rhythms) == 1
    assert sum(isinstance(one, WhenWaterSays) for one in rhythms) == 5


def test_work_that_can_hurt_somebody_carries_a_caution(sample: Sample) -> None:
    """Changes, doses, mixing and acid are never without a word of caution."""
    kinds = {ChoreKind.WATER_CHANGE, ChoreKind.DOSE, ChoreKind.MIX_SALT_WATER, ChoreKind.RESERVOIR}
    bare = [
        chore.id
        for chore in sample.household.chores
        if (chore.kind in kinds or "descale" in chore.id) and not chore.caution
    ]

    assert bare == []


def test_what_must_be_ready_before_is_a_chore_of_the_household(sample: Sample) -> None:
    """A change needs mixed salt water, and mixing needs fresh water; both names exist."""
    names = {chore.name for chore in sample.household.chores if chore.tank is None}
    wanted = {name for chore in sample.household.chores for name in chore.ready_before}

    assert wanted == {"Mix salt water", "Make fresh water"}
    assert wanted <= names


def test_the_same_arguments_give_the_same_sample() -> None:
    """Nothing but the definitions, now and the seed decides what is in it."""
    first = sample_household(DEFINITIONS, NOW, seed=3)
    again = sample_household(DEFINITIONS, NOW, seed=3)
    other = sample_household(DEFINITIONS, NOW, seed=4)

    assert first == again
    assert first[0] == other[0]
    assert first[1] != other[1]


def test_every_date_of_the_definitions_moves_with_the_day_of_opening() -> None:
    """Days between moved dates stay what they are; weekdays in rules and seasons stay too."""
    written = household_on(DEFINITIONS, WRITTEN_FOR)
    later = household_on(DEFINITIONS, WRITTEN_FOR + timedelta(days=100))

    assert str(WRITTEN_FOR) in DEFINITIONS.splitlines()[2]
    assert later == moved(written, 100)
    for before, after in zip(written.chores, later.chores, strict=True):
        if isinstance(before.rhythm, Once) and isinstance(after.rhythm, Once):
            assert (after.rhythm.on - before.rhythm.on).days == 100
        if isinstance(before.rhythm, Calendar) and isinstance(after.rhythm, Calendar):
            assert after.rhythm.rule == before.rhythm.rule
            assert (after.rhythm.start - before.rhythm.start).days == 100
        if isinstance(before.rhythm, AfterLastDone):
            assert after.rhythm == before.rhythm
    tank, same = written.tank("sprout"), later.tank("sprout")
    assert tank.since is not None
    assert same.since is not None
    assert (same.since - tank.since).days == 100


def test_the_log_reaches_back_120_days_and_ends_before_now(sample: Sample) -> None:
    """Entries stand in order of time with running numbers, and none is of the future."""
    entries = sample.entries
    moments = [entry.at for entry in entries]
    moment = moment_of(sample.household, NOW)

    assert 115 <= (TODAY - entries[0].day).days <= 120
    assert moments == sorted(moments)
    assert moments[-1] <= NOW
    assert [entry.seq for entry in entries] == list(range(1, len(entries) + 1))
    assert all(entry.day == moment.day_of(entry.at) for entry in entries)


def test_ids_are_unique_and_sort_by_time(sample: Sample) -> None:
    """An id begins with its millisecond since 1970 in hexadecimal: UUID version 7, RFC 9562."""
    for entry in sample.entries:
        millisecond = int(entry.id.replace("-", "")[:12], 16)
        assert abs(millisecond / 1000.0 - entry.at.timestamp()) < 0.002
        assert entry.id[14] == "7"
    assert len({entry.id for entry in sample.entries}) == len(sample.entries)


def test_the_log_holds_every_kind_of_entry(sample: Sample) -> None:
    """Work, water, readings, what was put off, skipped, undone, corrected, paused and bought."""
    entries = sample.entries
    kinds = Counter(type(entry.fact) for entry in entries)
    top_offs = [entry.fact for entry in entries if isinstance(entry.fact, TopOff)]

    for kind in (Dose, Note, PutOff, Readings, ReservoirCheck, Skip, StockChange, WaterChange):
        assert kinds[kind] >= 5, kind
    assert kinds[Work] >= 5
    assert kinds[Pause] == 1
    assert kinds[Revoke] == 2
    assert sum(entry.replaces is not None for entry in entries) == 1
    assert any(fact.estimated for fact in top_offs)
    assert any(not fact.to_mark for fact in top_offs)
    assert any(isinstance(e.fact, ReservoirCheck) and e.fact.left_l is not None for e in entries)


def test_some_days_were_missed(sample: Sample) -> None:
    """Three days nobody was at home, and here and there a feeding was left out."""
    days = {entry.day for entry in sample.entries}
    fed = Counter(e.day for e in sample.entries if e.completes_chore("bay.feed"))

    assert {TODAY - timedelta(days=back) for back in (46, 47, 48)}.isdisjoint(days)
    assert 5 <= sum(count == 1 for count in fed.values()) <= 25


def test_no_turn_is_completed_twice(sample: Sample) -> None:
    """A turn belongs to one valid entry; an undo and a correction free it first."""
    gone = taken_back(sample.entries)
    held = Counter(
        turn.id
        for entry in sample.entries
        if entry.id not in gone
        for turn in (*entry.completes, *([entry.fact.turn] if isinstance(entry.fact, Skip) else []))
    )

    assert [turn for turn, times in held.items() if times > 1] == []
    assert len(held) > 1000


def test_every_completion_is_of_a_turn_that_stood_open_that_day(sample: Sample) -> None:
    """The whole log up to an entry, folded as the program folds it, offers that very turn."""
    gone = taken_back(sample.entries)
    valid = [entry for entry in sample.entries if entry.id not in gone]
    recent = [e for e in valid if e.completes and (TODAY - e.day).days < 12]

    for entry in recent:
        before = history_of(one for one in valid if one.seq < entry.seq)
        state = fold_household(sample.household, before, entry.at)
        for turn in entry.completes:
            one = next(each for each in state.chores if each.chore.id == turn.chore)
            offered = [each.turn for each in (*one.open, *([one.upcoming] if one.upcoming else []))]
            assert turn in offered, (entry.day, turn)
    assert len(recent) > 80


def test_readings_lie_mostly_inside_the_range_of_their_community(sample: Sample) -> None:
    """A running tank is in order: at least nine readings of ten are in the target band."""
    inside, outside = 0, []
    for entry in sample.entries:
        if entry.tank not in ("bay", "pebble", "ledge") or not isinstance(entry.fact, Readings):
            continue
        community = sample.household.tank(entry.tank).community
        assert community is not None
        for value in entry.fact.values:
            band = default_ranges(community)[value.parameter]
            low, high = band.low or 0.0, band.high if band.high is not None else 1e9
            if low - 1e-9 <= value.value <= high + 1e-9:
                inside += 1
            else:
                outside.append((entry.tank, value.parameter, value.value))

    assert inside / (inside + len(outside)) > 0.90, Counter(one[:2] for one in outside)
    assert inside > 120


def test_the_new_tank_goes_through_ammonia_then_nitrite_then_nitrate(sample: Sample) -> None:
    """The usual order of a nitrogen cycle (common practice, no source)."""
    seen: dict[str, list[tuple[date, float]]] = {}
    for entry in sample.entries:
        if entry.tank == "sprout" and isinstance(entry.fact, Readings):
            for value in entry.fact.values:
                seen.setdefault(value.parameter, []).append((entry.day, value.value))
    peak = {name: max(rows, key=lambda row: row[1])[0] for name, rows in seen.items()}

    assert peak["ammonia"] < peak["nitrite"] < peak["nitrate"] + timedelta(days=8)
    assert max(value for _, value in seen["ammonia"]) >= 1.0
    assert seen["ammonia"][-1][1] <= 0.25
    assert seen["nitrate"][-1][1] > seen["nitrate"][0][1]
    assert cycle("nitrate", 30.0) > cycle("nitrate", 10.0)


def test_the_quarantine_tank_was_used_and_then_paused(sample: Sample) -> None:
    """Nothing is logged for it after the pause, and all its chores stand paused."""
    of_ward = [entry for entry in sample.entries if entry.tank == "ward"]
    state = fold_household(sample.household, history_of(sample.entries), NOW)
    lines = [
        item for one in state.chores if one.chore.tank == "ward" for item in items_of(state, one)
    ]

    assert isinstance(of_ward[-1].fact, Pause)
    assert (TODAY - of_ward[-1].day).days == 30
    assert len(of_ward) > 60
    assert {item.state for item in lines} == {State.PAUSED}


def test_bicarbonate_raises_alkalinity_by_its_equivalents() -> None:
    """84.007 g/mol (IUPAC standard atomic weights, 2021), one equivalent a mole; 2.8 dKH a meq."""
    grams = BICARBONATE_G_PER_L_DKH * 100.0 * 2.804

    assert grams == pytest.approx(8.4007, rel=1e-3)


def test_the_sample_as_a_tank_file_comes_back_as_it_was(sample: Sample) -> None:
    """Nothing in the log is beyond what a tank file can say."""
    text = write_household(sample.household, sample.entries)
    back = read_tank_file(text, now=NOW, today=TODAY)

    assert back.household == sample.household
    assert back.entries == sample.entries


@pytest.fixture(scope="module")
def script() -> ModuleType:
    """The script beside the definitions, loaded as it is."""
    spec = importlib.util.spec_from_file_location("make_sample", FOLDER / "make_sample.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_script_writes_a_tank_file(script: ModuleType, tmp_path: Path) -> None:
    """The file holds the household with its log for the moment and the seed asked for."""
    wanted = tmp_path / "sample.toml"

    status = script.main([str(wanted), "--now", "2026-11-25T07:05+01:00", "--seed", "3"])

    back = read_tank_file(wanted.read_text(encoding="utf-8"), now=NOW, today=TODAY)
    assert status == 0
    assert (back.household, back.entries) == sample_household(DEFINITIONS, NOW, seed=3)


def test_the_script_leaves_a_file_that_is_there_alone(
    script: ModuleType, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What somebody keeps under that name is not written over."""
    kept = tmp_path / "kept.toml"
    kept.write_text("mine", encoding="utf-8")

    assert script.main([str(kept)]) == 1
    assert kept.read_text(encoding="utf-8") == "mine"
    assert "was not written" in capsys.readouterr().err
