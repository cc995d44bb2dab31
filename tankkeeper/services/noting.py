"""Writing down what happened outside a tick: water, readings, doses, stock, notes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from tankkeeper.core.chores import Calendar, Chore, ChoreKind
from tankkeeper.core.early_days import early_days
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.household import Supply, Tank
from tankkeeper.core.logbook import (
    BESIDE,
    Dose,
    Entry,
    Fact,
    Note,
    Readings,
    ReservoirCheck,
    StockChange,
    TopOff,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Change, Desk, moment_given
from tankkeeper.services.fed import UNTOLD, Fed
from tankkeeper.services.feeding_turns import (
    feedings_of_today,
    is_begun,
    lapsed_feedings,
    likely_feeding,
)
from tankkeeper.services.lapsed import is_day_alone, lapsed_of_day
from tankkeeper.services.litres_limits import (
    checked_left,
    checked_litres,
    within_reservoir,
    within_tank,
)
from tankkeeper.services.moving import FARTHEST_PLAN
from tankkeeper.services.outside_turns import (
    USUAL,
    chores_of,
    open_doses,
    open_items,
    turn_chosen,
    turn_meant,
    turns_for,
)
from tankkeeper.services.ports import Writing
from tankkeeper.services.reading_turns import done_by_readings
from tankkeeper.services.tick_facts import checked_change, checked_grams, fed_fact, refuse_doubled
from tankkeeper.services.ticking import is_free, new_entry, unclaimed

# What the logbook says of a feeding that belongs to no chore, or comes before its first hour.
EXTRA_FEEDING = "Extra feeding"
# Let a feeding complete whatever feeding has begun; None lets it complete nothing.
BEGUN = ""


@dataclass(frozen=True, slots=True)
class Noted:
    """What was written down, and the chores that it completes."""

    entry: Entry
    completed: tuple[Chore, ...] = ()


@dataclass(frozen=True, slots=True)
class Stamp:
    """When something happened (now if None), who did it, and a remark."""

    at: datetime | None = None
    by: str | None = None
    note: str = ""


NOW = Stamp()


def log_top_off(
    desk: Desk, tank: Tank, litres: float, *, is_part: bool = False, stamp: Stamp = NOW
) -> Noted:
    """Write down fresh water added, to the mark unless it is only a part."""
    checked_litres(litres)
    with desk.store.writing() as writing:
        _, then, at = _then(desk, writing, stamp)
        within_tank(then, tank.id, litres)
        turns = () if is_part else turns_for(then, tank, ChoreKind.TOP_OFF)
        fact = TopOff(litres, to_mark=not is_part)
        noted = _note(desk, writing, then, at, tank, turns, fact, stamp)
    return _told(desk, noted)


def log_reservoir(
    desk: Desk,
    tank: Tank,
    *,
    left_l: float | None = None,
    fill_l: float | None = None,
    part_l: float | None = None,
    stamp: Stamp = NOW,
) -> Noted:
    """Write down the litres left in a reservoir, added until it was full, or added in part."""
    if tank.top_off.reservoir_l is None:
        raise UserFault("no_reservoir", tank=tank.name)
    with desk.store.writing() as writing:
        _, then, at = _then(desk, writing, stamp)
        if left_l is not None:
            left_l = checked_left(tank, left_l, then.household.units.volume)
        if fill_l is not None:
            within_reservoir(then, tank.id, "fill", fill_l)
        turns = () if fill_l is None else turns_for(then, tank, ChoreKind.RESERVOIR)
        fact: Fact = ReservoirCheck(left_l=left_l, fill_l=fill_l)
        if part_l is not None:
            # In the end it is all in the tank.
            within_reservoir(then, tank.id, "part", checked_litres(part_l))
            fact = TopOff(part_l, to_mark=False)
        noted = _note(desk, writing, then, at, tank, turns, fact, stamp)
    return _told(desk, noted)


def log_water_change(
    desk: Desk,
    tank: Tank,
    change: WaterChange,
    stamp: Stamp = NOW,
    which: str | None = USUAL,
) -> Noted:
    """Write down a water change: it completes the open one unless far less was changed.

    `which` is the turn or the chore that it is of, by id, where somebody said so, and None where it
    was extra.
    """
    if change.litres is not None:
        checked_litres(change.litres)
    with desk.store.writing() as writing:
        state, then, at = _then(desk, writing, stamp)
        fact = checked_change(then, tank.id, change)
        found = open_items(then, tank, ChoreKind.WATER_CHANGE)
        turns = turn_meant(state, then, found, change.litres, which)
        noted = _note(desk, writing, then, at, tank, turns, fact, stamp)
    return _told(desk, noted)


def log_reading(
    desk: Desk, tank: Tank, values: Sequence[ReadingValue], stamp: Stamp = NOW
) -> Noted:
    """Write down measured values.

    Completes every open test chore once all its values are given, by this entry and by those
    readings of the same day that were written down since the chore was last done.
    """
    if not values:
        raise UserFault("no_values")
    refuse_doubled(values)
    fact = Readings(tuple(values))
    with desk.store.writing() as writing:
        _, then, at = _then(desk, writing, stamp)
        turns = tuple(item.turn for item in done_by_readings(writing, then, tank.id, fact))
        noted = _note(desk, writing, then, at, tank, turns, fact, stamp)
    return _told(desk, noted)


def log_dose(
    desk: Desk,
    tank: Tank,
    of: str,
    grams: float,
    stamp: Stamp = NOW,
    which: str | None = USUAL,
) -> Noted:
    """Write down a dose; completes the open chore named alike, and none of another substance.

    `which` as in a water change.
    """
    checked_grams(grams)
    substance = named(of, "of")
    with desk.store.writing() as writing:
        state, then, at = _then(desk, writing, stamp)
        alike = open_doses(then, tank, substance)
        found = open_items(then, tank, ChoreKind.DOSE) if which else alike
        turns = turn_meant(state, then, found, grams, which)
        noted = _note(desk, writing, then, at, tank, turns, Dose(substance, grams), stamp)
    return _told(desk, noted)


def log_feeding(
    desk: Desk, tank: Tank, stamp: Stamp = NOW, which: str | None = BEGUN, fed: Fed = UNTOLD
) -> Noted:
    """Write down a feeding: the open one that has begun, else one more beside the plan.

    `which` is the turn or the chore that it is of, by id, where somebody said so, and None where it
    was extra. Without grams a feeding that ticks its turn was the amount that its chore states.
    """
    with desk.store.writing() as writing:
        state, then, at = _then(desk, writing, stamp)
        turns = _feeding_turns_for(state, then, tank, which, fed)
        if which and at < state.moment.now and is_day_alone(state, at):
            turns, at = _left_of_day(writing, state, which, at) or (turns, at)
        fact = _given(then, turns, fed)
        extra = "" if turns else EXTRA_FEEDING
        said = fed.noted(stamp.note, is_weighed=isinstance(fact, Work), extra=extra)
        noted = _note(desk, writing, then, at, tank, turns, fact, Stamp(stamp.at, stamp.by, said))
    return _told(desk, noted)


def _left_of_day(
    writing: Writing, state: HouseholdState, which: str, at: datetime
) -> tuple[tuple[Turn, ...], datetime] | None:
    """Return the first turn of a past day that nobody did and its moment, None without any."""
    day = state.moment.day_of(at)
    left = lapsed_of_day(state, which.partition("@")[0], day)
    found = next((one for one in left if is_free(writing, one.turn, day)), None)
    return None if found is None else ((found.turn,), max(at, found.at))


def _given(then: HouseholdState, turns: tuple[Turn, ...], fed: Fed) -> Fact | None:
    """Return what the logbook keeps of the amount; where no chore is meant, its note alone does."""
    if not turns:
        return Note()
    if fed.grams is None and turns[0].is_extra:
        return None
    chore = next(one for one in then.household.chores if one.id == turns[0].chore)
    return fed_fact(chore, then.household, fed)


def log_stock(
    desk: Desk,
    supply: Supply,
    *,
    add: float | None = None,
    count: float | None = None,
    expires_on: date | None = None,
    stamp: Stamp = NOW,
) -> Noted:
    """Write down what was bought of a supply, or what was counted."""
    for name, value in (("add", add), ("count", count)):
        low_is_allowed = name == "count" and value == 0.0
        if value is not None and not (0.0 < value <= 1e9 or low_is_allowed):
            raise out_of_range(name, value, 0.0, 1e9, "more_than_zero")
    with desk.store.writing() as writing:
        _, then, at = _then(desk, writing, stamp)
        if expires_on is not None:
            _check_expiry(desk.state_in(writing).moment.day, expires_on)
        fact = StockChange(supply.id, add, count, expires_on)
        noted = _note(desk, writing, then, at, None, (), fact, stamp)
    return _told(desk, noted)


def _check_expiry(today: date, expires_on: date) -> None:
    """Refuse a day that can only be a slip; old stock may be counted for a year."""
    low, high = today - timedelta(days=366), today + FARTHEST_PLAN
    if not low <= expires_on <= high:
        raise UserFault("out_of_range", field="expires", value=expires_on, low=low, high=high)


def log_note(desk: Desk, text: str, tank: Tank | None = None, stamp: Stamp = NOW) -> Noted:
    """Write down a remark."""
    if not text.strip():
        raise UserFault("note_empty")
    with desk.store.writing() as writing:
        _, then, at = _then(desk, writing, stamp)
        said = Stamp(stamp.at, stamp.by, text)
        noted = _note(desk, writing, then, at, tank, (), Note(), said)
    return _told(desk, noted)


def named(text: str, field: str) -> str:
    """Return a name without outer spaces, or refuse an empty or endless one."""
    name = " ".join(text.split())
    if not 1 <= len(name) <= 200:
        raise UserFault("name_length", field=field, length=len(name), longest=200)
    return name


def _then(
    desk: Desk, writing: Writing, stamp: Stamp
) -> tuple[HouseholdState, HouseholdState, datetime]:
    """Return the state now, that at the moment something happened, and that moment."""
    state = desk.state_in(writing)
    at = moment_given(state, stamp.at)
    return state, (state if at == state.moment.now else desk.state_in(writing, at)), at


def _feeding_turns_for(
    state: HouseholdState, then: HouseholdState, tank: Tank, which: str | None, fed: Fed
) -> tuple[Turn, ...]:
    """Return the turn that a feeding completes, or extra work of it where none has begun."""
    if which:
        over = [one.turn for one in lapsed_feedings(then, tank) if one.id == which]
        named_so = [one for one in feedings_of_today(then, tank) if which in (one.id, one.chore.id)]
        begun = [one for one in named_so if is_begun(then, one)]
        chosen = turn_chosen(state, then, begun or named_so, which)
        # One that does no turn is told as an extra feeding.
        return tuple(over) or tuple(turn for turn in chosen if not turn.is_extra)
    likely = likely_feeding(then, tank, fed)
    if likely is not None:
        return () if which is None else (likely.turn,)
    chores = [one.chore for one in chores_of(then, tank, ChoreKind.FEEDING)]
    if len(chores) != 1:
        return ()
    if which is None and not isinstance(chores[0].rhythm, Calendar):
        # Counted from the last time, it would stand for the one to come.
        return ()
    if not chores[0].slots:
        return turns_for(then, tank, ChoreKind.FEEDING)
    moment = then.moment
    has_begun = any(moment.at(moment.day, slot) <= moment.now for slot in chores[0].slots)
    # Before the first hour it is most likely that one, given early, and told as none of the chore.
    return (Turn(chores[0].id, BESIDE),) if has_begun and not early_days(chores[0]) else ()


def _note(
    desk: Desk,
    writing: Writing,
    then: HouseholdState,
    at: datetime,
    tank: Tank | None,
    turns: tuple[Turn, ...],
    fact: Fact | None,
    stamp: Stamp,
) -> Noted:
    tank_id = tank.id if tank is not None else None
    # Work without a turn completes none; one whose name a later tick holds is done by its day.
    done = {turn.chore for turn in turns if not turn.is_extra}
    chores = tuple(chore for chore in then.household.chores if chore.id in done)
    turns = tuple(unclaimed(writing, turn) for turn in turns)
    entry = new_entry(desk, then, None, at, stamp.by, turns, fact, stamp.note, tank_id)
    return Noted(writing.add(entry), chores)


def _told(desk: Desk, noted: Noted) -> Noted:
    desk.tell(Change((noted.entry,)))
    return noted
