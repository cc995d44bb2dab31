"""The catalogue holds what is common practice, and proposes what fits a tank."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tankkeeper.core.catalogue import expected_of, proposed, row_of
from tankkeeper.core.catalogue_row import Sitter
from tankkeeper.core.catalogue_rows import ROWS
from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind, Once
from tankkeeper.core.communities import Community
from tankkeeper.core.household import Household, ShownUnits, Stage, Tank, TopOffLimits
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.units import in_unit
from tankkeeper.core.volume import Shape, ShapeKind, Sump

DAY = date(2026, 3, 12)
HOUSE = Household("Quay 3", "Europe/Berlin")
BOX = Shape(ShapeKind.BOX, length_cm=59.0, width_cm=39.0, height_cm=40.0, water_depth_cm=36.0)
NOOK = Tank("nook", "Nook", BOX, community=Community.SOFT_CORAL, target_salinity=35.0)


def _on(tank: Tank, house: Household = HOUSE) -> set[str]:
    return {one.row.key for one in proposed(tank, house, DAY) if one.is_on}


# Common practice, no source: days, days early, days late, minutes, sitter.
@pytest.mark.parametrize(
    ("key", "days", "early", "late", "minutes", "sitter"),
    [
        ("look-over", 1, 0, 0, 3, Sitter.YES),
        ("algae-sheet", 2, 1, 2, 2, Sitter.YES),
        ("top-off-sensor", 30, 10, 7, 10, Sitter.NO),
        ("glass", 3, 1, 3, 5, Sitter.YES),
        ("glass-corners", 14, 5, 10, 15, Sitter.NO),
        ("floss", 3, 1, 2, 3, Sitter.YES),
        ("sock", 4, 1, 3, 5, Sitter.YES),
        ("sponge", 14, 5, 7, 10, Sitter.SHOWN),
        ("carbon", 28, 7, 14, 15, Sitter.NO),
        ("phosphate-media", 30, 7, 14, 20, Sitter.NO),
        ("skimmer-cup", 3, 1, 2, 5, Sitter.YES),
        ("water-change", 14, 2, 5, 45, Sitter.NO),
        ("siphon-sump", 90, 30, 30, 30, Sitter.NO),
        ("test-heater", 30, 10, 7, 5, Sitter.SHOWN),
        ("test-salinity", 7, 3, 3, 3, Sitter.SHOWN),
        ("test-magnesium", 30, 10, 10, 8, Sitter.NO),
        ("dosing-pump", 90, 30, 14, 20, Sitter.NO),
        ("return-pump", 180, 30, 45, 60, Sitter.NO),
        ("powerhead", 90, 30, 30, 40, Sitter.NO),
        ("overflow", 14, 5, 3, 5, Sitter.SHOWN),
        ("membrane", 730, 60, 60, 30, Sitter.NO),
        ("rcd", 30, 10, 7, 2, Sitter.NO),
        ("prune", 60, 30, 60, 30, Sitter.NO),
    ],
)
def test_a_row_holds_what_is_common_practice(
    key: str, days: int, early: int, late: int, minutes: int, sitter: Sitter
) -> None:
    """Common practice, no source."""
    row = row_of(key)

    assert (row.days, row.early, row.late, row.minutes) == (days, early, late, minutes)
    assert row.sitter is sitter


def test_keys_are_unique_and_nouns_fit_the_calendar() -> None:
    """A noun has seven letters at most."""
    assert len({row.key for row in ROWS}) == len(ROWS)
    assert [row.noun for row in ROWS if not 1 <= len(row.noun) <= 7] == []


@pytest.mark.parametrize("community", [*Community, None])
@pytest.mark.parametrize("stage", [Stage.RUNNING, Stage.CYCLING, Stage.PLANNED])
def test_every_tank_gets_chores_of_its_own(community: Community | None, stage: Stage) -> None:
    """Ids are unique, and those switched on stand first."""
    found = proposed(replace(NOOK, community=community, stage=stage), HOUSE, DAY)

    assert len({one.chore.id for one in found}) == len(found)
    states = [one.is_on for one in found]
    assert states == sorted(states, reverse=True)
    assert any(states)


def test_a_tank_that_cycles_is_neither_fed_nor_changed() -> None:
    """Ammonia and nitrite are tested every other day instead."""
    cycling = replace(NOOK, stage=Stage.CYCLING)

    assert _on(cycling).isdisjoint({"feed", "water-change", "glass", "siphon-sand"})
    test = next(one for one in proposed(cycling, HOUSE, DAY) if one.row.key == "test-ammonia")
    assert test.chore.rhythm == AfterLastDone(Interval(2, IntervalUnit.DAYS))


def test_a_quarantine_tank_is_looked_over_and_tested_each_day_and_reviewed_at_its_end() -> None:
    """In place of the look and the test of other tanks; those are never told of a quarantine."""
    fish = replace(NOOK, community=Community.FISH_ONLY)
    there = {one.row.key: one for one in proposed(fish, HOUSE, DAY, is_quarantine=True)}
    on = {key for key, one in there.items() if one.is_on}

    assert {"quarantine-daily", "quarantine-end", "feed", "water-change"} <= on
    assert list(there)[:2] == ["quarantine-daily", "quarantine-end"]
    assert {"look-over", "test-ammonia"}.isdisjoint(there)
    assert there["quarantine-end"].chore.rhythm == Once(DAY + timedelta(days=28))
    assert {"quarantine-daily", "quarantine-end"}.isdisjoint(_on(NOOK))
    assert {"look-over", "test-ammonia"} <= _on(NOOK)


def test_corals_bring_their_tests() -> None:
    """Calcium and magnesium under stony corals only, alkalinity under all, none for fish."""
    wanted = {"test-alkalinity", "test-calcium", "test-magnesium"}

    def tests(community: Community) -> set[str]:
        return _on(replace(NOOK, community=community)) & wanted

    assert tests(Community.FISH_ONLY) == set()
    assert tests(Community.SOFT_CORAL) == {"test-alkalinity"}
    assert tests(Community.SMALL_POLYP_STONY) == wanted


def test_the_top_off_follows_the_evaporation_of_this_tank() -> None:
    """A tank twice as long loses twice as much; salinity climbs as fast."""
    small = expected_of(NOOK, HOUSE, DAY)
    large = expected_of(replace(NOOK, shape=replace(BOX, length_cm=118.0)), HOUSE, DAY)

    assert small.loss_l_per_day is not None
    assert large.loss_l_per_day is not None
    assert large.loss_l_per_day.value == pytest.approx(2 * small.loss_l_per_day.value, rel=0.01)
    assert small.salinity_per_day == pytest.approx(large.salinity_per_day, rel=0.01)


def test_an_automatic_reservoir_is_filled_instead_of_topping_off() -> None:
    """One of the two, never both."""
    automatic = replace(NOOK, top_off=TopOffLimits(reservoir_l=10.0))

    assert {"top-off", "reservoir"} & _on(automatic) == {"reservoir"}
    assert {"top-off", "reservoir"} & _on(NOOK) == {"top-off"}


def test_a_water_change_is_a_round_number_in_the_shown_unit() -> None:
    """15 % of 82.8 L: 12 L, and 3.3 US gallons."""
    gallons = replace(HOUSE, units=ShownUnits("US gal"))

    def litres(house: Household) -> float:
        one = next(one for one in proposed(NOOK, house, DAY) if one.row.key == "water-change")
        assert one.chore.amount is not None
        return one.chore.amount.value

    assert litres(HOUSE) == 12.0
    assert in_unit(litres(gallons), "US gal") == pytest.approx(3.3)


@pytest.mark.parametrize(
    ("units", "within"),
    [
        (ShownUnits(), "within 1 °C and salinity within 0.5 PSU."),
        # 1 °C is a step of 1.8 °F; 0.5 practical at 35 is one of 0.0004 in specific gravity: the
        # scale of the trade runs from 1.000 to 1.0264 over 35, common practice, no source.
        (
            ShownUnits("US gal", "degF", "sg 25/25"),
            "within 2 °F and salinity within 0.0004.",
        ),
        # 35 is about 53 mS/cm at 25 °C (from memory), so 0.5 is about 53 * 0.5 / 35 = 0.76,
        # a little less as the curve bends.
        (ShownUnits(salinity="mS/cm"), "within 1 °C and salinity within 0.7 mS/cm."),
    ],
    ids=["metric", "US", "conductivity"],
)
def test_a_caution_names_its_steps_in_the_units_of_the_household(
    units: ShownUnits, within: str
) -> None:
    """Nobody who reads Fahrenheit has to convert a caution."""
    house = replace(HOUSE, units=units)
    one = next(one for one in proposed(NOOK, house, DAY) if one.row.key == "water-change")

    assert one.chore.caution == f"Heater and pumps off first. Match temperature {within}"
    assert not any("{" in one.chore.caution for one in proposed(NOOK, house, DAY))


def test_chores_of_the_house_are_proposed_once() -> None:
    """A second tank does not bring a second test of the residual-current device."""
    first = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "rcd")

    second = replace(NOOK, id="bay", name="Bay")

    assert "rcd" not in _on(second, replace(HOUSE, chores=(first.chore,)))


@pytest.mark.parametrize("weekday", range(7))
def test_water_is_made_and_mixed_in_the_days_before_it_is_changed(weekday: int) -> None:
    """Two days and one day before each change, whatever day the household begins on."""
    on = date(2026, 3, 9) + timedelta(days=weekday)
    days: dict[str, list[date]] = {}
    for one in proposed(NOOK, HOUSE, on):
        if one.row.key in ("water-change", "mix-salt-water", "make-fresh-water"):
            assert isinstance(one.chore.rhythm, Calendar)
            rule = compile_rule(one.chore.rhythm.rule, one.chore.rhythm.start)
            span = (on.toordinal(), on.toordinal() + 120)
            days[one.row.key] = [date.fromordinal(day) for day in rule.days(*span)]

    changes = days["water-change"]
    assert len(changes) >= 8
    # The first one may come before there was a day to make ready for it.
    for change in changes[1:]:
        assert change - timedelta(days=1) in days["mix-salt-water"]
        assert change - timedelta(days=2) in days["make-fresh-water"]


def test_every_row_of_the_catalogue_can_be_a_chore() -> None:
    """None is only a word: each has a rhythm for some tank."""
    tanks = [
        replace(NOOK, community=community, stage=stage)
        for community in Community
        for stage in (Stage.RUNNING, Stage.CYCLING)
    ]
    sumped = replace(NOOK, sump=Sump(20.0), top_off=TopOffLimits(reservoir_l=10.0))
    found = {one.row.key for tank in (*tanks, sumped) for one in proposed(tank, HOUSE, DAY)}
    assert found == {row.key for row in ROWS}


def test_the_check_of_the_heater_is_completed_by_no_single_reading() -> None:
    """It compares two thermometers; a test is done once what it measures was read."""
    row = row_of("test-heater")

    assert row.kind is ChoreKind.CHECK
    assert row.tests == ()
