"""Work of every day that lapsed in days off, and that somebody may have done all the same."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Final

from tankkeeper.core.amounts import asks_of
from tankkeeper.core.chores import Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Skip, Turn
from tankkeeper.core.pauses import pause_on, spans_for
from tankkeeper.core.rule_versions import RuleSpan, nominal_days, rule_spans
from tankkeeper.core.slot_log import SlotLog, read_log
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.turns import ChoreState, OpenTurn, State
from tankkeeper.core.values import dataclass

# Work so near to an hour of the plan is most likely that one.
SAME_HOUR: Final = timedelta(hours=1)
# Each of their turns counts by itself: one dose today makes no dose of the day before.
# They can be written down outside the round, too.
GIVEN_KINDS: Final = frozenset({ChoreKind.FEEDING, ChoreKind.DOSE})


@dataclass(frozen=True, slots=True)
class LapsedTurn:
    """A turn of a day gone by, and the moment to write for it."""

    turn: Turn
    day: date
    at: datetime


@dataclass(frozen=True, slots=True)
class Lapsed:
    """The turns of one chore, oldest first, that nobody wrote down."""

    chore: Chore
    tank: Tank | None
    turns: tuple[LapsedTurn, ...]

    @property
    def days(self) -> tuple[date, ...]:
        """The days of the turns, each once."""
        return tuple(dict.fromkeys(one.day for one in self.turns))


def lapsed(state: HouseholdState, since: datetime) -> tuple[Lapsed, ...]:
    """Return what came by the calendar from the day of `since` on, turn by turn.

    Turns that expire, and feedings and doses: of those every one counts, also one that is still
    open: it may have been done on its day. What was due on that day
    and not written down is among them, be its hour before the last entry. What asks for something
    to be written down is left out, for nobody remembers it.
    """
    first, last = state.moment.day_of(since), state.moment.day - timedelta(days=1)
    found = []
    for one in state.chores:
        if one.paused is None and is_each_lost(one.chore):
            turns = [_not_before(turn, since) for turn in unsettled_turns(state, one, first, last)]
            if turns:
                tank = state.household.tank(one.chore.tank) if one.chore.tank is not None else None
                ordered = sorted(turns, key=lambda turn: turn.at)
                found.append(Lapsed(one.chore, tank, tuple(ordered)))
    return tuple(found)


def still_lapsed(
    state: HouseholdState, since: datetime, at_first: Sequence[Lapsed], day: date
) -> tuple[Lapsed, ...]:
    """Return what nobody wrote down to this hour of what had lapsed `at_first`, on `day`, or since.

    A state holds only the last completions of each chore, so once something of today is ticked it
    cannot tell any more what was done on the days before from what was not.
    """
    known = {turn.turn.id for one in at_first for turn in one.turns}
    found = []
    for one in lapsed(state, since):
        turns = tuple(turn for turn in one.turns if turn.day >= day or turn.turn.id in known)
        if turns:
            found.append(Lapsed(one.chore, one.tank, turns))
    return tuple(found)


def _not_before(one: LapsedTurn, since: datetime) -> LapsedTurn:
    """Return a turn with the moment to write for it: one of a whole day was not done before."""
    if one.turn.slot is not None or one.at >= since:
        return one
    return LapsedTurn(one.turn, one.day, since)


def lapsed_yesterday(state: HouseholdState, item: Item) -> LapsedTurn | None:
    """Return the turn of yesterday that nobody wrote down and no later tick does, else None.

    Of several that of the same hour as the line, else the last one. A line of a day to come stands
    for no other day.
    """
    if item.state is State.PROJECTED:
        return None
    day = state.moment.day - timedelta(days=1)
    for one in state.chores:
        if one.chore.id == item.chore.id and one.paused is None and is_each_lost(one.chore):
            turns = list(unsettled_turns(state, one, day, day))
            same = [turn for turn in turns if turn.turn.slot == item.turn.slot]
            return next(iter((*same, *reversed(turns))), None)
    return None


def lapsed_now(state: HouseholdState, one: ChoreState) -> tuple[LapsedTurn, ...]:
    """Return the turns of today that a later hour of their chore let lapse, each at its hour."""
    day, at = state.moment.day, state.moment.at
    return tuple(LapsedTurn(turn, day, at(day, turn.slot)) for turn in one.lapsed if turn.slot)


def lapsed_item(state: HouseholdState, wanted: str, at: datetime) -> Item | None:
    """Return a lapsed turn as a line, where `at` lies on its day and nobody did it, else None."""
    day = state.moment.day_of(at)
    for one in state.chores:
        if one.chore.id == wanted.split("@", 1)[0]:
            turn = next((turn for turn in _lapsed_on(state, one, day) if turn.id == wanted), None)
            return None if turn is None else lapsed_line(state, one.chore, turn)
    return None


def lapsed_at(state: HouseholdState, chore_id: str, at: datetime) -> Turn | None:
    """Return the turn of a day before today that work of that moment was, where it lapsed.

    Of several hours the one that had begun, or was to begin within the hour; the first that is left
    where only the day is meant. As far as the state knows: of days long past somebody may have
    written it down.
    """
    day = state.moment.day_of(at)
    one = next((one for one in state.chores if one.chore.id == chore_id), None)
    if one is None or day >= state.moment.day:
        return None
    if is_day_alone(state, at):
        return next(iter(_lapsed_on(state, one, day)), None)
    begun = [slot for slot in one.chore.slots if state.moment.at(day, slot) - SAME_HOUR <= at]
    if one.chore.slots and not begun:
        return None
    slot = max(begun, default=None)
    return next((turn for turn in _lapsed_on(state, one, day) if turn.slot == slot), None)


def is_day_alone(state: HouseholdState, at: datetime) -> bool:
    """Tell whether a moment is that which stands for a day of which no hour was said."""
    return at == state.moment.round_on(state.moment.day_of(at))


def lapsed_line(state: HouseholdState, chore: Chore, turn: Turn) -> Item:
    """Return a lapsed turn as a line that can be written down."""
    tank = state.household.tank(chore.tank) if chore.tank is not None else None
    return Item(turn, State.MAY_WAIT, chore, tank)


def _lapsed_on(state: HouseholdState, one: ChoreState, day: date) -> list[Turn]:
    """Return the turns of a chore that lapsed on a day: of today those of an hour that is over."""
    if day == state.moment.day:
        return list(one.lapsed)
    if day > state.moment.day or not is_each_lost(one.chore):
        return []
    return [found.turn for found in unsettled_turns(state, one, day, day)]


def lapsed_of_day(state: HouseholdState, chore_id: str, day: date) -> list[LapsedTurn]:
    """Return the turns of a chore that lapsed on a day before today, as far as the state knows."""
    is_lost = any(one.chore.id == chore_id and is_each_lost(one.chore) for one in state.chores)
    return turns_left_on(state, chore_id, day) if is_lost and day < state.moment.day else []


def turns_left_on(state: HouseholdState, chore_id: str, day: date) -> list[LapsedTurn]:
    """Return the turns of a chore by its calendar on one day that no entry settles."""
    found = (one for one in state.chores if one.chore.id == chore_id)
    return [turn for one in found for turn in unsettled_turns(state, one, day, day)]


def is_each_lost(chore: Chore) -> bool:
    """Tell whether each turn that nobody writes down is lost, and no later one stands for it."""
    if not isinstance(chore.rhythm, Calendar) or asks_of(chore):
        return False
    return chore.if_missed is IfMissed.EXPIRE or (
        chore.if_missed is IfMissed.COLLAPSE and chore.kind in GIVEN_KINDS
    )


def is_still_open(one: ChoreState, turn: LapsedTurn) -> bool:
    """Tell whether a turn gone by is still to do: by itself, or gathered in one that is.

    The round tells of it then, and whoever counts what was not done leaves it out.
    """
    return still_open_in(one, turn) is not None


def still_open_in(one: ChoreState, turn: LapsedTurn) -> OpenTurn | None:
    """Return the open turn that a turn gone by is, or is gathered in, None where it lapsed."""
    same = [each for each in one.open if each.turn.slot == turn.turn.slot]
    if one.chore.if_missed is IfMissed.COLLAPSE:
        return next((each for each in same if each.target <= turn.day), None)
    return next((each for each in same if each.turn.id == turn.turn.id), None)


def unsettled_turns(
    state: HouseholdState,
    one: ChoreState,
    first: date,
    last: date,
    log: Sequence[Entry] | None = None,
) -> Iterator[LapsedTurn]:
    """Yield the turns of a chore by its calendar that no entry of the log settles, day by day.

    Without a log those that the state knows of hold: the last completions of each chore.
    """
    chore, moment = one.chore, state.moment
    entries = state.history.of_chore(chore.id) if log is None else log
    spans, pauses = rule_spans(chore, entries), spans_for(chore, state.spans)
    if not spans:
        return
    logs = read_log(chore, entries, moment, spans, pauses)
    # One tick may close a heap by the name of its oldest turn; it is of its own day.
    done = {(one.day, turn.slot) for one in entries for turn in _closed(one, chore)}
    heaps = _heaps(chore, entries, spans, logs) if is_each_lost(chore) else ()
    heads = frozenset(head for head, _ in heaps)
    done |= {(date.fromordinal(newest), head.slot) for head, newest in heaps}
    low, high = first.toordinal(), last.toordinal()
    stood = [
        (target, nominal, slot)
        for slot in chore.slots or (None,)
        for nominal, target in _days_of(spans, logs[slot], low, high, _named(heads, slot))
        if not (pauses and pause_on(target, pauses) is not None)
    ]
    # In order of the days, on each of the hours as the chore names them.
    for target, nominal, slot in sorted(stood, key=lambda one: one[0]):
        day = date.fromordinal(target)
        if (day, slot) not in done:
            at = moment.round_on(day) if slot is None else moment.at(day, slot)
            key = date.fromordinal(nominal).isoformat()
            yield LapsedTurn(Turn(chore.id, key, slot), day, at)


def _named(turns: Iterable[Turn], slot: time | None) -> frozenset[int]:
    return frozenset(date.fromisoformat(one.key).toordinal() for one in turns if one.slot == slot)


def _heaps(
    chore: Chore,
    entries: Sequence[Entry],
    spans: Sequence[RuleSpan],
    logs: Mapping[time | None, SlotLog],
) -> tuple[tuple[Turn, int], ...]:
    """Return the turns by whose name a later one was done, each with the day where that stood.

    Of several that wait the newest is done and those before it are missed (the rule of a fixed
    rhythm). A late one that nothing followed until the work was done itself.
    """
    late = (
        (turn, logs[turn.slot], entry.day.toordinal())
        for entry in entries
        for turn in entry.completes
        if turn.chore == chore.id and turn.key[:1].isdigit() and turn.slot in logs
    )
    found = []
    for head, log, day in late:
        nominal = date.fromisoformat(head.key).toordinal()
        behind = [log.target(one) for one in nominal_days(spans, nominal + 1, day)]
        newest = max(
            (target for target in behind if log.target(nominal) < target <= day), default=0
        )
        if newest:
            found.append((head, newest))
    return tuple(found)


def _days_of(
    spans: Sequence[RuleSpan], log: SlotLog, first: int, last: int, missed: frozenset[int]
) -> Iterator[tuple[int, int]]:
    """Yield the unsettled turns that stood on a day from `first` to `last`: own day and that day.

    One that was put off stood on the day that it was put off to, and on no other.
    """
    nominals = {*nominal_days(spans, first, last), *log.moved}
    for nominal in sorted(nominals):
        target = log.target(nominal)
        if first <= target <= last and not _is_settled(log, nominal, is_missed=nominal in missed):
            yield nominal, target


def _closed(entry: Entry, chore: Chore) -> tuple[Turn, ...]:
    """Return the turns of a chore that an entry did or left out."""
    left_out = (entry.fact.turn,) if isinstance(entry.fact, Skip) else ()
    return tuple(
        turn
        for turn in (*entry.completes, *left_out)
        if turn.chore == chore.id and not turn.is_part
    )


def _is_settled(log: SlotLog, day: int, *, is_missed: bool) -> bool:
    """Tell whether a turn was done or left out by an entry of its own, not by its name alone."""
    is_left_out = day <= log.skipped_through or day in log.skipped
    is_keyed = day in log.keyed and not is_missed
    is_done = is_keyed or day in log.unkeyed or log.target(day) in log.unkeyed
    return is_left_out or is_done
