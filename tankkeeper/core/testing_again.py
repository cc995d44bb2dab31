"""When a reading brings the next test of it closer: one that harms, or one that left its range."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from tankkeeper.core.chores import AfterLastDone, Chore
from tankkeeper.core.counted_turns import counts_hours, is_skip_of
from tankkeeper.core.harmful import POISONS, Harm, cycles_unstocked, harms_of
from tankkeeper.core.household import Animal
from tankkeeper.core.intervals import advance_with_seasons
from tankkeeper.core.logbook import FIRST, Entry, PutOff, Shift
from tankkeeper.core.moment import Moment
from tankkeeper.core.parameters import PARAMETERS, ReadingValue
from tankkeeper.core.pauses import Span, moved_by_pauses
from tankkeeper.core.reading_outlook import least_days_of
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import range_of, side_of
from tankkeeper.core.turns import ChoreState, LeftRange, OpenTurn, State, state_on
from tankkeeper.core.water_turns import is_test

# Common practice, no source: what harms is measured again within a day, before and after what is
# done against it.
AGAIN_AFTER = timedelta(days=1)


def is_counted_test(chore: Chore) -> bool:
    """Tell whether a test is counted in days from the last time."""
    return is_test(chore) and isinstance(chore.rhythm, AfterLastDone) and not counts_hours(chore)


def brought_closer(
    one: ChoreState,
    water: TankWater,
    animals: Sequence[Animal],
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
) -> ChoreState:
    """Return the state of a test with its next turn where the newest readings bring it.

    Only of one counted from the last time: a rule of the calendar keeps its days. What harms wins.
    `entries` and `pauses` are those of the chore.
    """
    turn = one.open[0] if one.open else one.upcoming
    if turn is None or not is_counted_test(one.chore):
        return one
    harms = harms_of(water.tank, water.learned.readings, animals)
    urgent = _tested_again(one, turn, harms, entries, moment)
    sooner = _tested_sooner(one, turn, water, animals, entries, pauses, moment)
    if urgent is None or (sooner is not None and sooner.target < urgent.target):
        urgent = sooner
    if urgent is None:
        return one
    if urgent.state is State.PROJECTED:
        return replace(one, open=(), upcoming=urgent)
    return replace(one, open=(urgent,), upcoming=None)


def _tested_again(
    one: ChoreState,
    turn: OpenTurn,
    harms: Iterable[Harm],
    entries: Sequence[Entry],
    moment: Moment,
) -> OpenTurn | None:
    """Return the turn of a test on the day after a reading that harms, None where it stays.

    Who put the turn off, or left one out since the reading, has decided. `harms` are those of its
    tank.
    """
    if turn.is_put_off or one.paused is not None:
        return None
    read = [each.entry for each in harms if each.value.parameter in one.chore.tests]
    newest = max(read, key=_when, default=None)
    if newest is None or _was_left_out(one.chore, entries, newest):
        return None
    day = newest.day + AGAIN_AFTER
    if turn.target <= day or one.chore.has_ended(day):
        return None
    # There is no window around what is urgent.
    return replace(_on(turn, day, day, day, moment), brought_by=newest)


def _tested_sooner(
    one: ChoreState,
    turn: OpenTurn,
    water: TankWater,
    animals: Sequence[Animal],
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
) -> OpenTurn | None:
    """Return the turn of a test sooner for a reading that left its range, None where it stays.

    Once only: what is read outside again, or is done since, brings nothing. Of a turn that was put
    off since, the day stays; `left` tells where it would have been.
    """
    if turn.turn.key == FIRST:
        # It is counted from no last time: its first day is the keeper's.
        return None
    found = [
        each
        for each in _left_ranges(one.chore, water, animals, pauses)
        if not _is_settled(one.chore, entries, each.entry)
    ]
    left = min(found, key=lambda each: each.day, default=None)
    if left is None:
        return None
    if turn.is_put_off:
        return replace(turn, left=left) if _was_moved(turn, entries, left.entry) else None
    if turn.target <= left.day:
        return None
    latest = left.day + timedelta(days=one.chore.late_days)
    sooner = _on(turn, min(turn.earliest, left.day), left.day, latest, moment)
    return replace(sooner, left=left)


def _left_ranges(
    chore: Chore, water: TankWater, animals: Iterable[Animal], pauses: Sequence[Span]
) -> list[LeftRange]:
    """Return which of the newest readings of a test left their range, with the day for each.

    None of what a tank is meant to have while it cycles without animals. Several readings of one
    day are one look at the water: to read it again at once takes nothing back.
    """
    expected: tuple[str, ...] = POISONS if cycles_unstocked(water.tank, animals) else ()
    found = []
    for value, entry in water.learned.readings:
        name = value.parameter
        if name not in chore.tests or name in expected:
            continue
        wanted = range_of(water.tank, PARAMETERS[name])
        side = side_of(value.value, wanted)
        sides = [side_of(one, wanted) for one in water.learned.read_before.get(name, ())]
        other = [one for one in sides if one is not side]
        if side is None or (sides and not other) or _is_of_calendar(chore, entry):
            continue
        days = _days_after(chore, value, entry.day)
        day = _moved(chore, entry.day, days, pauses)
        if day is not None:
            was_on = other[-1] if other else None
            found.append(LeftRange(value, entry, day, days, bool(sides), was_on))
    return found


def _days_after(chore: Chore, value: ReadingValue, day: date) -> int:
    """Return after how many days a test comes again that left its range on a day.

    Half of its interval (engineering judgement, no source), but no sooner than is usual for the
    parameter.
    """
    rhythm = chore.rhythm
    assert isinstance(rhythm, AfterLastDone)
    whole = (advance_with_seasons(day, rhythm.interval, rhythm.seasons) - day).days
    return max(least_days_of(value.parameter), (whole + 1) // 2)


def _moved(chore: Chore, read_on: date, days: int, pauses: Sequence[Span]) -> date | None:
    """Return the day so long after a reading, None while a pause has no end.

    A rhythm asks for nothing before the day on which it begins.
    """
    goal = read_on + timedelta(days=days)
    if chore.valid_from is not None:
        goal = max(goal, chore.valid_from)
    ordinal = moved_by_pauses(read_on.toordinal(), goal.toordinal(), pauses)
    return None if ordinal is None else date.fromordinal(ordinal)


def _is_of_calendar(chore: Chore, read: Entry) -> bool:
    """Tell whether the test came by the calendar, or once, when something was read."""
    begins = chore.valid_from
    if begins is None or not chore.earlier or read.day >= begins:
        return False
    last = max(chore.earlier, key=lambda one: one.valid_from)
    return not isinstance(last.rhythm, AfterLastDone)


def _when(entry: Entry) -> tuple[datetime, int]:
    return entry.at, entry.seq


def _was_left_out(chore: Chore, entries: Iterable[Entry], read: Entry) -> bool:
    return any(is_skip_of(one, chore.id) and _when(one) > _when(read) for one in entries)


def _is_settled(chore: Chore, entries: Sequence[Entry], read: Entry) -> bool:
    """Tell whether a test was left out since a reading, or done on a later day without it."""
    done = any(one.completes_chore(chore.id) and one.day > read.day for one in entries)
    return done or _was_left_out(chore, entries, read)


def _was_moved(turn: OpenTurn, entries: Iterable[Entry], read: Entry) -> bool:
    """Tell whether a turn was put off after a reading."""
    return any(
        isinstance(one.fact, (PutOff, Shift))
        and one.fact.turn.chore == turn.turn.chore
        and _when(one) > _when(read)
        for one in entries
    )


def _on(turn: OpenTurn, earliest: date, target: date, latest: date, moment: Moment) -> OpenTurn:
    """Return the turn with another window."""
    window = (earliest.toordinal(), target.toordinal(), latest.toordinal())
    state = state_on(moment.day.toordinal(), *window)
    return replace(turn, earliest=earliest, target=target, latest=latest, state=state)
