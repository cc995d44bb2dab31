"""The water of one tank: what is learned from the fills, and what nobody can know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from operator import itemgetter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core import loss_filter
from tankkeeper.core.amounts import fresh_water_due
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.communities import Community
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.fills import fill_log
from tankkeeper.core.fold_memory import Memory
from tankkeeper.core.history import history_of
from tankkeeper.core.household import OwnRange, Room, Tank, TopOffLimits
from tankkeeper.core.logbook import (
    Entry,
    Fact,
    PauseMode,
    Readings,
    ReservoirCheck,
    TopOff,
    WaterChange,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.pauses import Span
from tankkeeper.core.salinity_limit import is_high_when_full
from tankkeeper.core.state import fold_household
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import TankWater, allowed_loss, water_now
from tankkeeper.core.volume import Measured, Shape, ShapeKind, Sump
from tankkeeper.core.water_turns import Limit
from tests.builders import a_box, a_household, a_moment, an_entry, day

FIRST = day("2026-03-02")
BY_HAND = a_box(top_off=TopOffLimits(allowed_drop_mm=15.0))
NAMES = ("salinity", "ph", "nitrate")
FROM_RESERVOIR = a_box(top_off=TopOffLimits(reservoir_l=20.0, reserve_l=2.0))


def logged(*rows: tuple[int, Fact]) -> list[Entry]:
    """Return entries at noon, each so many days after 2 March."""
    return [
        an_entry(seq, FIRST + timedelta(days=after), fact, tank="nook")
        for seq, (after, fact) in enumerate(rows, start=1)
    ]


def fills(count: int, every: int = 2, litres: float = 3.0) -> list[Entry]:
    """Return fills to the mark of a tank that loses 1.5 L a day."""
    return logged(*((number * every, TopOff(litres)) for number in range(count)))


def frozen(first: int, last: int) -> tuple[Span, ...]:
    """Return a pause of the tank, in days after 2 March."""
    begin = FIRST.toordinal()
    return (Span(begin + first, begin + last, PauseMode.FREEZE),)


def water(
    tank: Tank, entries: list[Entry], after: int, freezes: tuple[Span, ...] = ()
) -> TankWater:
    """Return the water of a tank at noon, so many days after 2 March."""
    today = FIRST + timedelta(days=after)
    return water_now(tank, learn(tank, None, entries, today, freezes), a_moment(today))


def reading(salinity: float) -> Readings:
    """Return a reading of the salinity."""
    return Readings((ReadingValue("salinity", salinity, "", salinity),))


def test_the_loss_settles_on_what_is_filled() -> None:
    """Three litres every two days are 1.5 L a day; two days after the last fill 3 L are gone."""
    found = water(BY_HAND, fills(20), 40)
    assert found.loss is not None
    assert found.evaporated is not None
    assert found.loss.value == pytest.approx(1.5, rel=0.03)
    assert found.evaporated.value == pytest.approx(3.0, rel=0.03)
    # 60 x 40 cm: a litre is 10/24 cm, so 3 L are 12.5 mm.
    assert found.mm_below_mark == pytest.approx(12.5, rel=0.03)


def test_a_part_lowers_what_is_missing_and_postpones_the_limit() -> None:
    """What came in without reaching the mark counts against what has gone."""
    whole = water(BY_HAND, fills(20), 40)
    part = [*fills(20), an_entry(21, FIRST + timedelta(days=39), TopOff(1.0, to_mark=False))]
    after = water(BY_HAND, part, 40)
    assert whole.evaporated is not None
    assert after.evaporated is not None
    assert after.evaporated.value == pytest.approx(whole.evaporated.value - 1.0)
    assert whole.limit.limit_at is not None
    assert after.limit.limit_at is not None
    assert after.limit.limit_at > whole.limit.limit_at


def test_a_part_that_comes_too_late_changes_nothing_of_since_when() -> None:
    """Nine days after the mark 1.5 L a day are far past the limit, and 2 L are too little.

    20 L more bring the level back within it, and then it is passed anew.
    """
    before = fills(5)
    late = an_entry(20, FIRST + timedelta(days=17), TopOff(2.0, to_mark=False), tank="nook")
    more = an_entry(21, FIRST + timedelta(days=18), TopOff(20.0, to_mark=False), tank="nook")

    past = water(BY_HAND, before, 17).limit
    still = water(BY_HAND, [*before, late], 18).limit
    anew = water(BY_HAND, [*before, late, more], 18).limit

    assert past.limit_at is not None
    assert past.limit_at < late.at
    assert still == past
    assert anew.limit_at is not None
    assert anew.limit_at > more.at


def test_a_part_that_likely_was_enough_begins_since_when_anew() -> None:
    """15 mm of 60 x 40 cm are 3.6 L; of 6 L gone after four days 2.5 L more than make up for it.

    By the upper end of the loss they need not have, so it may be past its limit since then.
    """
    tank = replace(BY_HAND, top_off=TopOffLimits(allowed_drop_mm=15.0, allowed_salinity_rise=5.0))
    known = fills(20)
    at = FIRST + timedelta(days=42)
    part = an_entry(30, at, TopOff(2.5, to_mark=False), tank="nook")

    before = water(tank, known, 42).limit
    after = water(tank, [*known, part], 42)

    assert before.limit_at is not None
    assert before.limit_at < part.at
    assert after.mm_below_mark is not None
    assert after.mm_below_mark < 15.0
    assert after.evaporated is not None
    assert after.evaporated.high > 3.6
    assert after.limit.limit_at == part.at


@pytest.mark.parametrize("tank", [BY_HAND, FROM_RESERVOIR], ids=["by hand", "reservoir"])
def test_after_a_freeze_nobody_knows_the_level(tank: Tank) -> None:
    """Neither what has gone nor a limit, nor an amount; the loss a day keeps its figure."""
    known = fills(6) if tank is BY_HAND else logged((0, ReservoirCheck(fill_l=5.0)))
    before, after = water(tank, known, 14), water(tank, known, 14, frozen(11, 13))
    assert before.limit.latest_on is not None
    assert (after.evaporated, after.mm_below_mark, after.reservoir_left) == (None, None, None)
    assert (after.limit.base, after.limit.latest_on) == (None, None)
    kind = ChoreKind.TOP_OFF if tank is BY_HAND else ChoreKind.RESERVOIR
    assert fresh_water_due(kind, after) is None
    assert after.loss == before.loss
    assert after.learned.log.was_frozen


def test_a_fill_after_a_freeze_teaches_nothing() -> None:
    """Refilled with 30 L after ten frozen days: the loss a day is what it was, less sure."""
    known = fills(10)
    refilled = [*known, an_entry(11, FIRST + timedelta(days=31), TopOff(30.0), tank="nook")]
    freezes = frozen(20, 30)
    was, now = (water(BY_HAND, rows, 32, freezes).loss for rows in (known, refilled))
    assert was is not None
    assert now is not None
    assert now.value == was.value
    assert now.high > was.high
    without = water(BY_HAND, refilled, 32).loss
    assert without is not None
    assert without.value != pytest.approx(was.value, rel=0.001)


def test_a_reservoir_filled_after_a_freeze_teaches_nothing() -> None:
    """The litres that went in say nothing about a time in which nothing ran."""
    rows = logged(
        (0, ReservoirCheck(fill_l=5.0)),
        (5, ReservoirCheck(fill_l=8.0)),
        (20, ReservoirCheck(fill_l=19.0)),
    )
    log = fill_log(FROM_RESERVOIR, rows, frozen(7, 15))
    assert [(fill.litres, fill.estimated) for fill in log.fills] == [
        (0.0, True),
        (8.0, False),
        (19.0, True),
    ]
    assert log.mark is rows[-1]


def test_after_the_first_fill_since_a_freeze_the_level_is_known_again() -> None:
    """The mark is the fill; the next interval is an observation again."""
    rows = [*fills(5), an_entry(6, FIRST + timedelta(days=20), TopOff(9.0), tank="nook")]
    rows.append(an_entry(7, FIRST + timedelta(days=22), TopOff(3.0), tank="nook"))
    log = fill_log(BY_HAND, rows, frozen(10, 18))
    assert [fill.estimated for fill in log.fills] == [False] * 5 + [True, False]
    assert log.mark is rows[-1]


def test_a_salinity_read_before_a_freeze_is_not_believed_after_it() -> None:
    """Then the target stands in, with the wide span of what nobody read."""
    rows = [*fills(5), an_entry(6, FIRST + timedelta(days=8), reading(33.6), tank="nook")]
    before, after = water(BY_HAND, rows, 9), water(BY_HAND, rows, 21, frozen(10, 20))
    assert before.learned.salinity_is_read
    assert not after.learned.salinity_is_read
    assert after.learned.salinity_at_mark == 35.0
    assert after.salinity == Estimate(35.0, 34.0, 36.0)
    read_again = [*rows, an_entry(7, FIRST + timedelta(days=21), reading(36.0), tank="nook")]
    found = water(BY_HAND, read_again, 21, frozen(10, 20))
    # Nobody knows how much was missing when it was read, so it is taken as it is.
    assert found.learned.salinity_at_mark == 36.0


def test_what_was_missing_when_the_salinity_was_read_is_in_the_reading() -> None:
    """Nine days after the last fill nobody knows well what is gone; the meter tells it to 0.3.

    Two days later only what went since then is unsure.
    """
    rows = [*fills(3), an_entry(4, FIRST + timedelta(days=13), reading(35.5), tank="nook")]

    def spread(on: int, of: Sequence[Entry] = rows) -> float:
        found = water(BY_HAND, of, on).salinity
        assert found is not None
        return found.high - found.value

    assert spread(13) == pytest.approx(0.3, abs=0.01)
    assert spread(13, rows[:3]) > 0.6
    assert 0.31 < spread(15) < spread(15, rows[:3])


@given(
    read_psu=st.floats(34.0, 38.0),
    read_on=st.integers(10, 16),
    part_l=st.floats(0.0, 6.0),
    part_on=st.integers(10, 16),
)
def test_a_salinity_read_within_its_limit_reaches_it_later(
    read_psu: float, read_on: int, part_l: float, part_on: int
) -> None:
    """By the season of the room, too, whether a part went in before it was read or after."""
    air = (ClimateRow(1, 22.0, 0.3), ClimateRow(7, 26.0, 0.65))
    season = Room("hall", "hall", climate=air)
    tank = a_box(target_salinity=35.0, top_off=TopOffLimits(allowed_salinity_rise=1.0))
    part = (part_on, TopOff(part_l, to_mark=False))
    both = sorted([(read_on, reading(read_psu)), part], key=itemgetter(0))
    rows = [*fills(5), *logged(*both)]
    learned = learn(tank, season, rows, FIRST)
    read_at = learned.salinity_read_at

    found = water_now(tank, learned, a_moment(FIRST + timedelta(days=17)))

    assert read_at is not None
    assert found.salinity_limit is not None
    assert found.limit.limit_at is not None
    assert found.limit.limit_at > read_at or read_psu > found.salinity_limit - 0.001


def test_a_salinity_read_below_the_mark_is_brought_back_to_it() -> None:
    """Two days after the last fill 3 L of some 86 L are gone, less the litre that came since.

    Salt stays when water goes, so the salinity at the mark is lower by the share of the mass gone.
    A litre of fresh water at 25.5 degC weighs 0.997 kg, one of salinity 35 weighs 1.023 kg (EOS-80,
    UNESCO 1983).
    """
    rows = [
        *fills(20),
        an_entry(21, FIRST + timedelta(days=39), TopOff(1.0, to_mark=False), tank="nook"),
        an_entry(22, FIRST + timedelta(days=40), reading(35.5), tank="nook"),
    ]
    learned = water(BY_HAND, rows, 40).learned
    assert learned.net is not None
    assert learned.salinity_at_mark is not None
    share = 2.0 * 0.997 / (learned.net.value * 1.023)
    assert 35.5 - learned.salinity_at_mark == pytest.approx(35.5 * share, rel=0.06)


@pytest.mark.parametrize(
    ("before", "after", "missing_l"),
    [
        # Read just before 10 L went in, though 3 L were expected: all of them were missing.
        ([], [(40, TopOff(10.0))], 10.0),
        # Two of three days had passed, which took 5 L.
        ([], [(41, TopOff(5.0))], 5.0 * 2 / 3),
        # 1 L of the 6 was poured in before the reading, 2 L after it and before the mark.
        (
            [(39, TopOff(1.0, to_mark=False))],
            [(40, TopOff(2.0, to_mark=False)), (40, TopOff(3.0))],
            5.0,
        ),
        # The next mark is what tells; later fills do not.
        ([], [(40, TopOff(4.0)), (42, TopOff(9.0))], 4.0),
        # Nobody measured it: the usual 1.5 L a day count.
        ([], [(40, TopOff(10.0, estimated=True))], 3.0),
        ([], [(40, TopOff(10.0, to_mark=False))], 3.0),
    ],
    ids=["much", "between", "parts", "next mark", "not measured", "no mark"],
)
def test_the_next_fill_tells_what_was_missing_when_the_salinity_was_read(
    before: list[tuple[int, Fact]], after: list[tuple[int, Fact]], missing_l: float
) -> None:
    """Salt stays when water goes: the share of mass that was missing, as in the test before.

    The reading is of day 40, two days after the last of the fills.
    """
    rows = [*((2 * number, TopOff(3.0)) for number in range(20)), *before, (40, reading(35.5))]
    learned = water(BY_HAND, logged(*rows, *after), 42).learned
    assert learned.net is not None
    assert learned.salinity_at_mark is not None
    share = missing_l * 0.997 / (learned.net.value * 1.023)
    assert 35.5 - learned.salinity_at_mark == pytest.approx(35.5 * share, rel=0.03)


def test_without_a_mark_before_it_the_first_fill_tells_what_was_missing() -> None:
    """7 L went in right after the reading, so that all of them were missing then."""
    rows = logged((3, reading(36.0)), (3, TopOff(7.0)))
    learned = water(BY_HAND, rows, 3).learned
    assert learned.net is not None
    assert learned.salinity_at_mark is not None
    share = 7.0 * 0.997 / (learned.net.value * 1.023)
    assert 36.0 - learned.salinity_at_mark == pytest.approx(36.0 * share, rel=0.01)


@pytest.mark.parametrize(
    ("drop_mm", "rise", "binds"),
    [(15.0, 5.0, Limit.LEVEL), (150.0, 0.5, Limit.SALINITY), (None, None, Limit.SALINITY)],
)
def test_the_limit_that_comes_first_binds(
    drop_mm: float | None, rise: float | None, binds: Limit
) -> None:
    """Level and salinity each allow some litres; the fewer decide."""
    tank = a_box(top_off=TopOffLimits(allowed_drop_mm=drop_mm, allowed_salinity_rise=rise))
    assert water(tank, fills(5), 9).limit.limit is binds


def test_with_a_sump_the_last_chamber_sets_the_level() -> None:
    """900 cm2 and 40 mm are 3.6 L, wherever the display stands."""
    tank = a_box(
        sump=Sump(litres=60.0, last_chamber_cm2=900.0),
        top_off=TopOffLimits(allowed_drop_mm=40.0, allowed_salinity_rise=5.0),
    )
    found = water(tank, fills(20), 38)
    assert found.limit.limit is Limit.LEVEL
    assert found.limit.median_on is not None
    # 3.6 L at 1.5 L a day are 2.4 days after the noon of day 38: the evening of day 40.
    assert found.limit.median_on == FIRST + timedelta(days=40)


@pytest.mark.parametrize(
    ("tank", "deepest"),
    [
        # 60 x 40 cm of water 36 cm deep.
        (BY_HAND, 360.0),
        # 12 L above 900 cm2.
        (a_box(sump=Sump(litres=12.0, last_chamber_cm2=900.0)), 12_000.0 / 900.0 * 10.0),
    ],
)
def test_no_more_is_gone_than_there_was(tank: Tank, deepest: float) -> None:
    """At 1.5 L a day 86.4 L last 58 days, and the 12 L of a sump 8."""
    before, after = water(tank, fills(20), 38 + 5), water(tank, fills(20), 38 + 400)
    assert before.mm_below_mark is not None
    assert before.mm_below_mark < deepest
    assert not before.is_out
    assert after.net is not None
    assert after.evaporated == Estimate(*[after.net.value] * 3)
    assert after.mm_below_mark == pytest.approx(deepest)
    assert after.is_out


def test_what_a_fold_remembers_changes_nothing() -> None:
    """With or without a memory, over seasons, fills and an undo: the same state.

    A log without a fill holds no day from which the first expectation could count, so that moves
    with the season.
    """
    air = (ClimateRow(1, 19.0, 0.35), ClimateRow(7, 26.0, 0.6))
    tank = a_box(room="hall", top_off=TopOffLimits(allowed_drop_mm=15.0))
    household = a_household(tanks=(tank,), rooms=(Room("hall", "Hall", climate=air),))
    memory = Memory()
    logs = [[], fills(1), [an_entry(1, FIRST, reading(34.0), tank="nook")], fills(8), fills(7)]
    losses = set()
    for rows in logs:
        for after in (0, 20, 120):
            now = a_moment(FIRST + timedelta(days=after)).now
            warm = fold_household(household, history_of(rows), now, memory)
            cold = fold_household(household, history_of(rows), now)
            assert dict(warm.waters) == dict(cold.waters)
            losses.add(warm.waters["nook"].loss)
    assert len(losses) > 8


# A reservoir that ran dry


def looks(*litres: float, every: int = 4) -> list[Entry]:
    """Return fills of the reservoir until full, so many days apart."""
    return logged(*((n * every, ReservoirCheck(fill_l=one)) for n, one in enumerate(litres)))


def test_fills_of_a_reservoir_by_a_guess_follow_each_other_at_its_middle() -> None:
    """The span of a guess is wide: reckoned from its early end a fill stood on every day. Once the
    loss is measured (3 L a day, 18 of them until the reserve) they follow at the safe end.
    """
    guessed, measured = (
        water(FROM_RESERVOIR, looks(20.0), 1),
        water(FROM_RESERVOIR, looks(*[12.0] * 15), 57),
    )
    assert guessed.loss is not None
    assert guessed.limit.base is not None
    assert guessed.limit.median_on is not None
    assert guessed.limit.latest_on is not None
    middle = (guessed.limit.median_on - guessed.limit.base.day).days
    assert guessed.full_interval_days in (middle, middle + 1)
    assert (guessed.limit.latest_on - guessed.limit.base.day).days < middle
    assert measured.full_interval_days == 5


def test_once_a_reservoir_is_empty_the_tank_falls_and_the_fill_is_for_both() -> None:
    """At 3 L a day 20 L last less than seven days; after eight some 4 L are missing in the tank."""
    found = water(FROM_RESERVOIR, looks(*[12.0] * 15), 56 + 8)

    assert found.reservoir_left is not None
    assert found.evaporated is not None
    assert found.reservoir_left.value == 0.0
    assert found.evaporated.value == pytest.approx(4.0, abs=0.4)
    due = fresh_water_due(ChoreKind.RESERVOIR, found)
    assert due is not None
    assert due.days > 1
    # Rounded to what a jug tells of it.
    assert due.whole == pytest.approx(found.evaporated.value, abs=0.05)
    # With the 3 L of each day until the last of them.
    all_of_it = found.evaporated.value + 3.0 * (due.days - 1)
    assert due.value == pytest.approx(all_of_it / due.days, abs=0.1)


def test_a_little_missing_in_the_tank_goes_in_with_the_fill() -> None:
    """What the tank lacks is no reason to split while its salinity falls slowly enough."""
    found = water(FROM_RESERVOIR, looks(*[12.0] * 15), 56 + 7)

    due = fresh_water_due(ChoreKind.RESERVOIR, found)

    assert found.evaporated is not None
    assert due is not None
    assert not due.is_split
    assert due.value == pytest.approx(20.0 + found.evaporated.value, abs=0.5)
    assert due.value > 20.5


def test_what_is_poured_into_a_tank_with_a_reservoir_counts() -> None:
    """It is missing no more, and the next fill measures the loss together with it."""
    dry = looks(*[12.0] * 15)
    part = [*dry, an_entry(90, FIRST + timedelta(days=64), TopOff(3.0, to_mark=False), tank="nook")]
    before, after = water(FROM_RESERVOIR, dry, 64), water(FROM_RESERVOIR, part, 64)

    assert before.evaporated is not None
    assert after.evaporated is not None
    assert after.evaporated.value == pytest.approx(before.evaporated.value - 3.0)
    full = an_entry(91, FIRST + timedelta(days=65), ReservoirCheck(fill_l=24.0), tank="nook")
    whole = water(FROM_RESERVOIR, [*part, full], 65)
    assert whole.loss is not None
    # 3 L by hand and 24 L until full are the 27 L of nine days.
    assert whole.loss.value == pytest.approx(3.0, rel=0.02)
    assert whole.learned.flags == ()


def test_a_salinity_read_while_the_reservoir_is_empty_is_brought_back_to_the_mark() -> None:
    """Salt stays when water goes: the tank when full is less salty than what was read."""
    dry = looks(*[12.0] * 15)
    soon, late = (
        water(
            FROM_RESERVOIR,
            [*dry, an_entry(90, FIRST + timedelta(days=after), reading(36.5), tank="nook")],
            after,
        )
        for after in (58, 64)
    )

    assert soon.learned.salinity_at_mark == 36.5
    assert late.evaporated is not None
    assert late.net is not None
    assert late.learned.salinity_at_mark is not None
    share = late.evaporated.value * 0.997 / (late.net.value * 1.023)
    assert 36.5 - late.learned.salinity_at_mark == pytest.approx(36.5 * share, rel=0.02)


def test_a_look_at_an_empty_reservoir_does_not_make_the_tank_full() -> None:
    """It has fallen since the reservoir ran dry; the loss is measured by the fill that follows."""
    dry = looks(*[12.0] * 15)
    look = an_entry(90, FIRST + timedelta(days=64), ReservoirCheck(left_l=0.0), tank="nook")
    seen, unseen = water(FROM_RESERVOIR, [*dry, look], 64), water(FROM_RESERVOIR, dry, 64)
    full = an_entry(91, FIRST + timedelta(days=65), ReservoirCheck(fill_l=27.0), tank="nook")
    filled = water(FROM_RESERVOIR, [*dry, look, full], 65)

    assert seen.evaporated == unseen.evaporated
    assert seen.limit.base is look
    assert seen.limit.latest_on == look.day
    assert filled.loss is not None
    assert filled.loss.value == pytest.approx(3.0, rel=0.02)
    assert filled.evaporated == Estimate(0.0, 0.0, 0.0)


def test_a_reservoir_found_empty_too_soon_is_empty_all_the_same() -> None:
    """What was foreseen gives way to what somebody saw; since then the tank falls."""
    rows = looks(*[12.0] * 15)
    rows.append(an_entry(90, FIRST + timedelta(days=58), ReservoirCheck(left_l=0.0), tank="nook"))

    found = water(FROM_RESERVOIR, rows, 59)

    assert found.reservoir_left == Estimate(0.0, 0.0, 0.0)
    assert found.evaporated is not None
    assert found.evaporated.value == pytest.approx(3.0, rel=0.05)
    assert found.limit.latest_on == FIRST + timedelta(days=58)


# The season


@pytest.mark.parametrize("tank", [BY_HAND, FROM_RESERVOIR], ids=["by hand", "reservoir"])
def test_no_date_moves_because_the_season_does(tank: Tank) -> None:
    """The room dries out from March to May; what was foreseen at the last fill stays foreseen."""
    climate = (ClimateRow(3, 20.0, 0.70), ClimateRow(5, 20.0, 0.20))
    room = Room("hall", "hall", climate=climate)
    rows = fills(10) if tank is BY_HAND else looks(*[6.0] * 10)
    last = (rows[-1].day - FIRST).days
    mornings = [FIRST + timedelta(days=last + after) for after in range(1, 15)]

    found = [water_now(tank, learn(tank, room, rows, on), a_moment(on)) for on in mornings]

    assert len({one.loss.value for one in found if one.loss is not None}) == len(found)
    assert len({(one.limit.latest_on, one.limit.limit_at) for one in found}) == 1
    assert len({one.full_interval_days for one in found}) == 1


def test_what_is_left_is_gone_at_the_hour_that_is_warned_of_in_any_season() -> None:
    """The room dries out: the litres go down to the reserve by the season that foresaw the end."""
    climate = (ClimateRow(3, 20.0, 0.70), ClimateRow(5, 20.0, 0.20))
    room = Room("hall", "hall", climate=climate)
    rows = looks(*[6.0] * 10)
    learned = learn(FROM_RESERVOIR, room, rows, rows[-1].day)
    limit = water_now(FROM_RESERVOIR, learned, a_moment(rows[-1].day)).limit
    assert limit.limit_at is not None
    assert limit.likely_at is not None
    assert limit.surely_at is not None

    found = []
    for at in (limit.limit_at, limit.likely_at, limit.surely_at):
        moment = a_moment(at.date())
        then = learn(FROM_RESERVOIR, room, rows, at.date())
        found.append(water_now(FROM_RESERVOIR, then, replace(moment, now=at)).reservoir_left)

    soon, likely, surely = found
    reserve = pytest.approx(FROM_RESERVOIR.top_off.reserve_l, abs=1e-6)
    assert soon is not None
    assert soon.low == reserve
    assert likely is not None
    assert likely.value == reserve
    assert surely is not None
    assert surely.high == reserve


FACTS = st.one_of(
    st.builds(TopOff, st.sampled_from([0.4, 1.5, 3.0, None]), st.booleans(), st.booleans()),
    st.builds(ReservoirCheck, st.sampled_from([4.0, 12.0, None])),
    st.builds(WaterChange, st.sampled_from([20.0, None]), st.just(21.0), st.just(33.0)),
    st.sampled_from([(name,) for name in NAMES] + [NAMES]).map(
        lambda names: Readings(tuple(ReadingValue(name, 34.0, "", 34.0) for name in names))
    ),
)
LOGS = st.lists(st.tuples(st.integers(0, 40), st.integers(-1, 1), FACTS), max_size=25)


def _needed(name: str, entries: list[Entry]) -> list[Entry]:
    """Return the readings of a parameter on the day of its newest one, and the last before that."""
    read = [
        one
        for one in entries
        if isinstance(one.fact, Readings) and any(v.parameter == name for v in one.fact.values)
    ]
    same = [one for one in read if one.day == read[-1].day]
    return [*same, *[one for one in read if one.day < read[-1].day][-1:]]


@given(LOGS, st.lists(st.integers(0, 40), max_size=2), st.sampled_from([BY_HAND, FROM_RESERVOIR]))
def test_readings_of_which_all_was_read_anew_teach_nothing(
    rows: list[tuple[int, int, Fact]], stood: list[int], tank: Tank
) -> None:
    """Whatever was logged and whenever the tank stood still: they can be left out of the log.

    What was read on the day of the newest, and last before it, is kept: by that it left its range.
    The day of an entry may lie a day beside its moment, as in a household that moved.
    """
    entries = [
        replace(entry, day=entry.day + timedelta(days=beside))
        for entry, (_after, beside, _fact) in zip(
            logged(*sorted(((after, fact) for after, _beside, fact in rows), key=itemgetter(0))),
            rows,
            strict=True,
        )
    ]
    freezes = tuple(span for first in stood for span in frozen(first, first + 3))
    needed = {one.id for name in NAMES for one in _needed(name, entries)}
    kept = [
        entry for entry in entries if not isinstance(entry.fact, Readings) or entry.id in needed
    ]
    on = FIRST + timedelta(days=45)
    assert learn(tank, None, kept, on, freezes) == learn(tank, None, entries, on, freezes)


OUTSIDE = replace(FROM_RESERVOIR.shape, measured=Measured.OUTSIDE, length_cm=60.0, width_cm=40.0)


def test_a_tank_measured_outside_without_its_glass_loses_about_what_it_does_with_it() -> None:
    """Not only what its sump loses: that would be far too little, and nothing would be due."""
    sump = Sump(litres=20.0, surface_cm2=600.0)
    guessed = replace(FROM_RESERVOIR, shape=OUTSIDE, sump=sump)
    known = replace(guessed, shape=replace(OUTSIDE, glass_mm=10.0))
    without = replace(guessed, shape=Shape(ShapeKind.BOX), sump=sump)
    loss = {
        name: learn(one, None, [], FIRST).state
        for name, one in (("guessed", guessed), ("known", known), ("without", without))
    }

    assert loss["guessed"] is not None
    assert loss["known"] is not None
    assert loss_filter.span(loss["guessed"]).value == pytest.approx(
        loss_filter.span(loss["known"]).value, rel=0.03
    )
    assert loss["without"] is None


def test_a_level_that_may_not_fall_at_all_is_no_limit() -> None:
    """Nobody tops off without a pause; the salinity still bounds it."""
    tank = replace(BY_HAND, top_off=TopOffLimits(allowed_drop_mm=0.0))
    found = allowed_loss(tank, learn(tank, None, [], FIRST))

    assert found is not None
    assert found[1] is Limit.SALINITY


@pytest.mark.parametrize(
    ("full", "limit"),
    [(34.5, 35.5), (35.0, 35.5), (35.2, 35.7), (33.0, 34.5)],
)
def test_the_limit_of_salinity_lies_beyond_the_target(full: float, limit: float) -> None:
    """By 0.5, the usual rise, and never by more than a day's top-off may lower it (1.5).

    35.0 was the limit of a tank whose water had 34.5, and whose target is 35.
    """
    read = Readings((ReadingValue("salinity", full, "practical", full),))
    entries = logged((0, TopOff(1.0)), (0, read))

    assert nook_limit(entries) == pytest.approx(limit, abs=0.01)


def nook_limit(entries: list[Entry], tank: Tank = BY_HAND) -> float | None:
    """Return the limit that the water of a tank with a target of 35 has."""
    return water_now(tank, learn(tank, None, entries, FIRST), a_moment(FIRST)).salinity_limit


@pytest.mark.parametrize(
    ("full", "limit", "is_high"),
    [
        (35.0, 35.5, False),
        (35.2, 35.5, False),
        (33.0, 34.5, False),
        (35.4, 35.9, True),
        (35.5, 36.0, True),
        (36.4, 36.9, True),
    ],
)
def test_the_limit_of_salinity_lies_in_the_range(full: float, limit: float, is_high: bool) -> None:
    """The range of soft corals ends at 35.5 (common practice, no source).

    Where the full tank is there already, or would be in less than a day, it may rise by the usual
    0.5, which no word calls safe.
    """
    tank = replace(BY_HAND, community=Community.SOFT_CORAL)
    entries = logged((0, TopOff(1.0)), (0, reading(full)))

    assert nook_limit(entries, tank) == pytest.approx(limit, abs=0.01)
    assert is_high_when_full(tank, learn(tank, None, entries, FIRST)) is is_high


def test_a_full_tank_near_the_end_of_its_range_that_loses_little_is_topped_off_at_that() -> None:
    """By 0.1 of 35.4 rise 86 L once 0.25 L are gone: more than two days at 0.1 L a day."""
    tank = replace(BY_HAND, community=Community.SOFT_CORAL)
    for litres, limit in ((0.2, 35.5), (3.0, 35.9)):
        entries = [*fills(20, litres=litres), *logged((38, reading(35.4)))]
        day = FIRST + timedelta(days=38)
        found = water_now(tank, learn(tank, None, entries, day), a_moment(day))

        assert found.salinity_limit == pytest.approx(limit, abs=0.02), litres


@pytest.mark.parametrize(
    ("rise", "high", "limit"), [(1.0, None, 36.2), (1.0, 35.6, 35.6), (None, 35.6, 35.6)]
)
def test_what_was_set_for_the_tank_wins_over_what_holds_for_its_like(
    rise: float | None, high: float | None, limit: float
) -> None:
    """A rise of 1.0 from 35.2 goes beyond 35.5, where soft corals end, but not beyond its own."""
    own = () if high is None else (OwnRange("salinity", 33.0, high, ""),)
    limits = TopOffLimits(allowed_salinity_rise=rise)
    tank = replace(BY_HAND, community=Community.SOFT_CORAL, ranges=own, top_off=limits)

    found = nook_limit(logged((0, TopOff(1.0)), (0, reading(35.2))), tank)

    assert found == pytest.approx(limit, abs=0.01)


def test_a_target_at_the_end_of_the_range_is_no_reason_to_top_off() -> None:
    """Fish alone are kept at 30 to 35 (common practice, no source), and so is a target of 35."""
    tank = replace(BY_HAND, community=Community.FISH_ONLY)
    entries = logged((0, TopOff(1.0)), (0, reading(35.0)))

    assert nook_limit(entries, tank) == pytest.approx(35.5, abs=0.01)


@pytest.mark.parametrize("litres", [4.0, 6.0, 8.0, 10.0, 20.0])
@pytest.mark.parametrize("days", [1, 2, 3])
def test_a_reservoir_lasts_at_worst_until_its_limit(litres: float, days: int) -> None:
    """All that is told of how long it lasts is the time to the moments of its forecast.

    So the hour that is warned of is the low end, and what is left is gone by then at worst.
    """
    tank = a_box(top_off=TopOffLimits(reservoir_l=litres))
    log = logged((0, ReservoirCheck()), (2, ReservoirCheck(fill_l=2.0)))
    moment = a_moment(FIRST + timedelta(days=2 + days))
    found = water_now(tank, learn(tank, None, log, moment.day), moment)
    assert found.reservoir_days is not None
    assert found.limit.limit_at is not None

    assert found.reservoir_left is not None
    at, zero = found.limit, timedelta(0)
    assert at.likely_at is not None
    assert at.surely_at is not None
    assert found.reservoir_days == Estimate(
        *(
            max(zero, one - moment.now) / timedelta(days=1)
            for one in (at.likely_at, at.limit_at, at.surely_at)
        )
    )
    assert at.limit_at < at.likely_at < at.surely_at
    assert (found.reservoir_left.low > 0.0) is (found.reservoir_days.low > 0.0)
    assert (found.reservoir_left.value > 0.0) is (found.reservoir_days.value > 0.0)
