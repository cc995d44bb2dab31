"""Which chores of the catalogue a tank is proposed, and in which rhythm."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from types import MappingProxyType

from tankkeeper.core.catalogue_row import Anchor, CatalogueRow, Gear, Needs
from tankkeeper.core.catalogue_rows import ROWS
from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    Once,
    Rhythm,
    WhenWaterSays,
)
from tankkeeper.core.communities import Community
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import factor_on
from tankkeeper.core.household import CoverKind, Household, ShownUnits, Stage, Tank
from tankkeeper.core.ids import chore_slug
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.loss_filter import span
from tankkeeper.core.rule_text import WEEKDAYS
from tankkeeper.core.tank_learning import Learned, learn
from tankkeeper.core.tank_water import allowed_loss, days_from_full
from tankkeeper.core.told_cautions import told_caution
from tankkeeper.core.units import Dimension, Quantity, in_unit, stored_value
from tankkeeper.core.values import dataclass

# Common practice, no source: how often ammonia and nitrite are tested in the first weeks.
CYCLING_TEST_DAYS = 2
# Practical salinity that a top-off may be late by, without a target of the tank.
USUAL_SALINITY = 35.0
# So that the first rounds are not one heap: what is rare begins within this many days.
_SPREAD_DAYS = 14
_SAFETY = frozenset({"cables", "rcd", "test-heater"})
# Common practice, no source: water is changed at the weekend. Monday is 0.
CHANGE_WEEKDAY = 5
_SUNDAY = "SU"
_CORALS = frozenset(
    {
        Community.SOFT_CORAL,
        Community.LARGE_POLYP_STONY,
        Community.SMALL_POLYP_STONY,
        Community.ANEMONE,
    }
)
_STONY = frozenset({Community.LARGE_POLYP_STONY, Community.SMALL_POLYP_STONY})


@dataclass(frozen=True, slots=True)
class Expected:
    """The water to expect of a tank that nothing was logged for; None is not known.

    Litres, litres a day, practical salinity a day, days between top-offs.
    """

    net_l: Estimate | None = None
    loss_l_per_day: Estimate | None = None
    salinity_per_day: float | None = None
    top_off_days: Estimate | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """A chore of the catalogue for one tank; `missing` is the gear for want of which it is off.

    `chore` is the chore as it would be kept; `is_on` says whether it is proposed at once, and
    `has_own_amount` that somebody said how much it takes.
    """

    row: CatalogueRow
    chore: Chore
    is_on: bool
    missing: Gear
    expected: Expected
    stage: Stage
    community: Community | None
    has_own_amount: bool = False

    @property
    def minutes_a_day(self) -> float:
        """How many minutes a day it comes to on average."""
        days: float = self.row.days
        rhythm = self.chore.rhythm
        if self.expected.top_off_days is not None and self.row.anchor is Anchor.EVAPORATION:
            days = max(1.0, min(days, self.expected.top_off_days.value))
        elif isinstance(rhythm, AfterLastDone):
            days = rhythm.interval.fixed_days or days
        elif isinstance(rhythm, Calendar):
            weeks, weekdays = weeks_of(rhythm)
            days = len(WEEKDAYS) * weeks / (len(weekdays) * max(1, len(rhythm.slots)))
        return (self.chore.minutes or 0) / days if days else 0.0


def weeks_of(rhythm: Calendar) -> tuple[int, tuple[int, ...]]:
    """Return every how many weeks a rhythm of the catalogue comes, and on which days (Monday 0)."""
    parts = dict(part.split("=", 1) for part in rhythm.rule.split(";"))
    named = parts.get("BYDAY", ",".join(WEEKDAYS)).split(",")
    return int(parts.get("INTERVAL", 1)), tuple(WEEKDAYS.index(one) for one in named)


def row_of(key: str) -> CatalogueRow:
    """Return the row of the catalogue with this key."""
    return next(row for row in ROWS if row.key == key)


def expected_of(tank: Tank, household: Household, on: date) -> Expected:
    """Return what the tank is expected to lose before anything was logged."""
    learned = learn(tank, household.room(tank.room), (), on)
    if learned.state is None:
        return Expected(net_l=learned.net)
    factor = factor_on(learned.factors, on)
    loss = span(learned.state, factor)
    rise = None
    if learned.net is not None and learned.net.value > 0.0:
        rise = (tank.target_salinity or USUAL_SALINITY) * loss.value / learned.net.value
    return Expected(learned.net, loss, rise, _top_off_days(tank, learned, factor))


def _top_off_days(tank: Tank, learned: Learned, factor: float) -> Estimate | None:
    """Return how many days pass until the level or the salinity wants fresh water.

    As they are reckoned once it was filled, so that the first turn comes as it was proposed.
    """
    if tank.has_automatic_top_off and tank.top_off.reservoir_l is not None:
        litres = max(0.0, tank.top_off.reservoir_l - (tank.top_off.reserve_l or 0.0))
    elif (allowed := allowed_loss(tank, learned)) is not None:
        litres = allowed[0]
    else:
        return None
    return days_from_full(learned, litres, factor)


def proposed(
    tank: Tank, household: Household, on: date, *, is_quarantine: bool = False
) -> tuple[Proposal, ...]:
    """Return the chores of the catalogue that fit the tank, the proposed ones first.

    That a tank is for quarantine is not kept of it: what it asks for are the chores it is given.
    """
    expected = expected_of(tank, household, on)
    taken = {chore.id for chore in household.chores}
    names = {chore.name for chore in household.chores if chore.tank is None}
    found: list[Proposal] = []
    also = {Gear.QUARANTINE} if is_quarantine else set()
    for row in ROWS:
        if not _fits(row, tank) or row.without in also or (row.for_house and row.name in names):
            continue
        chore = _chore(row, tank, on, expected, taken, len(found), household.units)
        taken.add(chore.id)
        is_there = row.gear is Gear.NONE or row.gear in also or _has(tank, row.gear)
        missing = Gear.NONE if is_there else row.gear
        is_on = row.proposed and (missing in (Gear.NONE, Gear.FLOSS))
        if is_on:
            # It is proposed all the same, so that this is no reason where somebody leaves it out.
            missing = Gear.NONE
        found.append(Proposal(row, chore, is_on, missing, expected, tank.stage, tank.community))
    # What a quarantine is for comes before what it has in common with other tanks.
    return tuple(sorted(found, key=lambda one: (not one.is_on, not _is_of_quarantine(one))))


def _is_of_quarantine(proposal: Proposal) -> bool:
    return proposal.is_on and proposal.row.gear is Gear.QUARANTINE


def _fits(row: CatalogueRow, tank: Tank) -> bool:
    if row.without is not Gear.NONE and _has(tank, row.without):
        return False
    if row.kind is ChoreKind.RESERVOIR and not tank.has_automatic_top_off:
        return False
    if tank.stage in (Stage.PLANNED, Stage.CYCLING):
        # Nothing is fed, changed, scraped or siphoned until the tank is through its first weeks.
        return row.needs is Needs.NOTHING
    if row.needs in (Needs.NOTHING, Needs.CYCLED, Needs.ANIMALS):
        return True
    if row.needs is Needs.ROCK:
        return tank.community is not Community.FISH_ONLY
    return tank.community in (_STONY if row.needs is Needs.STONY else _CORALS)


_THERE: Mapping[Gear, Callable[[Tank], bool]] = MappingProxyType(
    {
        Gear.RESERVOIR: lambda tank: tank.has_automatic_top_off,
        Gear.SUMP: lambda tank: tank.sump is not None,
        Gear.MESH: lambda tank: tank.cover is not None and tank.cover.kind is CoverKind.MESH,
        Gear.SAND: lambda tank: (
            tank.displaced is not None
            and bool(tank.displaced.sand_depth_cm or tank.displaced.sand_dry_kg)
        ),
    }
)


def _has(tank: Tank, gear: Gear) -> bool:
    """Return whether the tank is known to have it."""
    is_there = _THERE.get(gear)
    return is_there is not None and is_there(tank)


def _chore(
    row: CatalogueRow,
    tank: Tank,
    on: date,
    expected: Expected,
    taken: set[str],
    place: int,
    units: ShownUnits,
) -> Chore:
    rhythm = _rhythm(row, tank, on)
    tank_id = None if row.for_house else tank.id
    amount = None
    if row.percent is not None:
        amount = Amount(float(row.percent), AmountUnit.PERCENT)
        if expected.net_l is not None:
            litres = expected.net_l.value * row.percent / 100.0
            amount = Amount(handy_litres(litres, units.volume), AmountUnit.LITRES)
    return Chore(
        id=chore_slug(tank_id, row.name, taken),
        kind=row.kind,
        name=row.name,
        rhythm=rhythm,
        tank=tank_id,
        noun=row.noun,
        first_due=_first_due(row, rhythm, on, place),
        early_days=_early(row, rhythm),
        late_days=row.late,
        minutes=row.minutes,
        amount=amount,
        tests=row.tests,
        caution=told_caution(row.caution, units),
    )


def _early(row: CatalogueRow, rhythm: Rhythm) -> int:
    """Return the days early, fewer than the interval itself."""
    if isinstance(rhythm, AfterLastDone) and rhythm.interval.fixed_days is not None:
        return min(row.early, rhythm.interval.fixed_days - 1)
    return row.early


def handy_litres(litres: float, unit: str) -> float:
    """Return litres that are a number to measure by: whole in the shown unit, or tenths of few.

    >>> handy_litres(14.36, "L"), handy_litres(3.14, "L"), handy_litres(0.43, "L")
    (14.0, 3.1, 0.4)
    """
    shown = in_unit(litres, unit)
    handy = round(shown, 1) if shown < 10.0 else float(round(shown))
    return stored_value(Quantity(max(handy, 0.1), unit, Dimension.VOLUME))


def _rhythm(row: CatalogueRow, tank: Tank, on: date) -> Rhythm:
    days = row.days
    if row.anchor is Anchor.EVAPORATION:
        return WhenWaterSays(Condition.EVAPORATION, max_days=days)
    if row.anchor is Anchor.ONCE:
        return Once(on + timedelta(days=days))
    if row.anchor is Anchor.DAY:
        return Calendar("FREQ=DAILY", on)
    if row.anchor in (Anchor.WEEK, Anchor.CHANGE):
        is_of_change = row.kind is ChoreKind.WATER_CHANGE or row.anchor is Anchor.CHANGE
        # What a change takes is made ready in the days before it, in the same weeks.
        day = WEEKDAYS[CHANGE_WEEKDAY - row.before_change] if is_of_change else _SUNDAY
        every = f";INTERVAL={days // 7}" if days > 7 else ""
        return Calendar(f"FREQ=WEEKLY{every};BYDAY={row.weekdays or day}", on)
    if row.stony_days is not None and tank.community in _STONY:
        days = row.stony_days
    if row.anchor is Anchor.STAGE and tank.stage is Stage.CYCLING:
        days = CYCLING_TEST_DAYS
    return AfterLastDone(Interval(days, IntervalUnit.DAYS))


def _first_due(row: CatalogueRow, rhythm: Rhythm, on: date, place: int) -> date | None:
    """Return the first day: at once for what tells where the tank stands, later for the rest."""
    if isinstance(rhythm, AfterLastDone) and row.key in _SAFETY:
        # None of them can wait for its month to pass, and not all on one day.
        return on + timedelta(days=1 + place % 5)
    return first_day(row.kind, rhythm, on, place)


def first_day(kind: ChoreKind, rhythm: Rhythm, on: date, place: int) -> date | None:
    """Return the first day of a chore without a past, `place` being its place among the new.

    Frequent tests say where the tank stands and come at once; the rest comes later and not all of
    it on one day. None where the rhythm does not count from a first day.
    """
    if not isinstance(rhythm, AfterLastDone):
        return None
    days = rhythm.interval.fixed_days or 1
    if kind is ChoreKind.TEST and days <= 7:
        return on
    return on + timedelta(days=days if days <= 7 else min(days, 7 + place % (_SPREAD_DAYS - 6)))


def keys_there(
    household: Household, tank_id: str | None, on: date, proposals: Iterable[Proposal]
) -> frozenset[str]:
    """Return the keys of those chores of the catalogue that a tank, or the household, has."""
    there = {
        one.name.casefold()
        for one in household.chores
        if one.tank in (tank_id, None) and not one.has_ended(on)
    }
    return frozenset(one.row.key for one in proposals if one.chore.name.casefold() in there)
