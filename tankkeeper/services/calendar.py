"""The calendar: what was done, what is open and what comes, day by day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.calendar_days import WEEK, is_daily
from tankkeeper.core.chores import WhenWaterSays
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.rhythm_ahead import rhythm_on
from tankkeeper.core.state import HouseholdState, Item, items_of, upcoming_item
from tankkeeper.core.turns import ChoreState, State
from tankkeeper.core.values import dataclass
from tankkeeper.services.ahead import ABOUT, LONGEST_SPAN, ahead_of
from tankkeeper.services.closed_turns import beside_plan, decided_by_water, turns_closed
from tankkeeper.services.day_minutes import minutes_on, minutes_that_wait
from tankkeeper.services.desk import Desk
from tankkeeper.services.lapsed import Lapsed
from tankkeeper.services.not_done import unwritten
from tankkeeper.services.ports import LogQuery, Reading
from tankkeeper.services.round import Counts, counts_of, is_resting, walk

AROUND = timedelta(days=14)
_RANK = {
    State.OVERDUE: 0,
    State.DUE: 1,
    State.MAY_WAIT: 2,
    State.PROJECTED: 3,
    State.PAUSED: 4,
    State.DONE: 5,
    State.SKIPPED: 6,
}


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """One day: what is drawn on it, what is folded into its minutes, and those minutes.

    The minutes are those of `day_minutes`: still to do, or on a day that is past those done.
    `waiting` are beside them those of what can wait until this day. `lapsed` is what nobody wrote
    down on a day that is past and no later tick does.
    """

    day: date
    items: tuple[Item, ...] = ()
    folded: tuple[Item, ...] = ()
    minutes: int = 0
    waiting: int = 0
    lapsed: tuple[Lapsed, ...] = ()

    @property
    def counts(self) -> Counts:
        """How many turns of the day stand in each state, the folded ones among them."""
        return counts_of((*self.items, *self.folded))

    @property
    def not_done(self) -> int:
        """How many turns lapsed."""
        return sum(len(one.turns) for one in self.lapsed)

    @property
    def done_of_all(self) -> tuple[int, int]:
        """How many turns are done, the folded ones among them, and with those that lapsed."""
        everything = (*self.items, *self.folded)
        done = sum(item.state is State.DONE and not item.is_extra for item in everything)
        return done, done + self.not_done

    @property
    def overdue(self) -> int:
        """How many of the drawn turns are overdue."""
        return sum(item.state is State.OVERDUE for item in self.items)


@dataclass(frozen=True, slots=True)
class Thread:
    """How long an overdue turn has waited: from its latest day to today, both cut to the span."""

    item: Item
    first: date
    last: date
    begins_here: bool
    ends_here: bool


@dataclass(frozen=True, slots=True)
class CalendarView:
    """The days of a span, with a thread for every overdue turn, the longest first."""

    state: HouseholdState
    days: tuple[CalendarDay, ...]
    threads: tuple[Thread, ...]

    def day(self, day: date) -> CalendarDay | None:
        """Return one of the days, or None where it is outside."""
        return next((one for one in self.days if one.day == day), None)


def calendar_view(desk: Desk, first: date, last: date, tank: Tank | None = None) -> CalendarView:
    """Return the calendar from `first` to `last` as it stands now."""
    with desk.store.reading() as reading:
        state = desk.state_in(reading)
        entries = _logged(reading, state, first, last)
    return calendar_of(state, entries, first, last, tank)


def logged_between(desk: Desk, state: HouseholdState, first: date, last: date) -> list[Entry]:
    """Return the valid entries of the days till today in a span and around it, oldest first."""
    with desk.store.reading() as reading:
        return _logged(reading, state, first, last)


def logged_on(desk: Desk, day: date) -> list[Entry]:
    """Return the valid entries of one day, oldest first."""
    with desk.store.reading() as reading:
        query = LogQuery(from_day=day, to_day=day, only_valid=True)
        return [row.entry for row in reversed(reading.entries(query))]


def _logged(reading: Reading, state: HouseholdState, first: date, last: date) -> list[Entry]:
    today = state.moment.day
    if today < first:
        return []
    # A turn may be done some days before and after its own.
    query = LogQuery(from_day=first - AROUND, to_day=min(last + AROUND, today), only_valid=True)
    return [row.entry for row in reversed(reading.entries(query))]


def calendar_of(
    state: HouseholdState,
    entries: Iterable[Entry],
    first: date,
    last: date,
    tank: Tank | None = None,
) -> CalendarView:
    """Return the calendar that a state and the entries of the past days and around them hold."""
    entries = tuple(entries)
    today = state.moment.day
    found: dict[date, list[Item]] = {
        first + timedelta(days=at): [] for at in range((last - first).days + 1)
    }
    opened = _present(state, tank)
    missed = unwritten(state, entries, first, last, tank)
    again = [
        (day, item)
        for stands_on, item in opened
        for day in _again_on(item, today, missed.waiting.get(item.id, ())) - {stands_on}
    ]
    coming = _coming(state, first, last, tank)
    for day, item in (*_past(state, entries, tank), *opened, *again, *coming):
        if day in found:
            found[day].append(item)
    overdue = [item for _, item in opened if item.state is State.OVERDUE]
    order: dict[str | None, int] = {each.id: at for at, each in enumerate(walk(state.household))}
    often = daily_by_water(state)
    days = tuple(
        replace(_day(day, items, today, order, often), lapsed=missed.lapsed.get(day, ()))
        for day, items in found.items()
    )
    return CalendarView(state, days, _threads(overdue, first, last, today))


def coming_day(state: HouseholdState, day: date, tank: Tank | None = None) -> CalendarDay | None:
    """Return today or a day to come as a calendar has it, None for one that is past."""
    if day < state.moment.day:
        return None
    return calendar_of(state, (), day, day, tank).day(day)


def stands_again(item: Item, today: date) -> bool:
    """Tell whether an open turn stands on its last day besides: that is not where it stands now.

    Overdue work does, and what can wait although its target is over: it is work of that day to
    whoever plans it, and nobody looks for it on a day that is past.
    """
    turn = item.open
    if turn is None:
        return False
    if item.is_open and turn.waits_past_target(today):
        return True
    return item.state is State.OVERDUE and turn.latest != today


def _again_on(item: Item, today: date, waiting: Iterable[date]) -> set[date]:
    """Return on which days an open turn stands besides: `waiting` are those of all it gathers.

    Each feeding and dose is one of its own day, which tells of it for as long as it can still be
    written down there.
    """
    if not item.is_open:
        return set()
    return {*waiting, *([_latest(item)] if stands_again(item, today) else [])}


def _latest(item: Item) -> date:
    assert item.open is not None
    return item.open.latest


def _past(
    state: HouseholdState, entries: Iterable[Entry], tank: Tank | None
) -> list[tuple[date, Item]]:
    """Return what was done and skipped on the days before today, and till now beside the plan."""
    chores = {one.id: one for one in state.household.chores}
    tanks = {one.id: one for one in state.household.tanks}
    by_water, today = decided_by_water(state.household.chores), state.moment.day
    found = []
    for entry in entries:
        # The state has what closed turns today.
        closed = turns_closed(entry, by_water) if entry.day < today else []
        extra = beside_plan(state, entry)
        for turn, word in [*closed, *([(extra, State.DONE)] if extra else [])]:
            chore = chores.get(turn.chore)
            if chore is None or (tank is not None and chore.tank != tank.id):
                continue
            where = tanks.get(chore.tank) if chore.tank is not None else None
            is_extra = turn is extra
            item = Item(turn, word, chore, where, entry=entry, is_extra=is_extra)
            found.append((entry.day, item))
    return found


def _present(state: HouseholdState, tank: Tank | None) -> list[tuple[date, Item]]:
    """Return what is open or was closed today, each with the day on which it stands.

    An open turn stands on its target, one that is due or overdue under today, and so does one that
    is paused, until the day comes from which it is foreseen again (`stands_again` tells which have
    a second day); work of a tank that rests is
    shown only where the tank was chosen.
    """
    today = state.moment.day
    resting = {one.id for one in state.household.tanks if is_resting(state, one)}
    found = []
    for one in state.chores:
        chore = one.chore
        if tank is not None and chore.tank != tank.id:
            continue
        for item in items_of(state, one):
            if item.state is State.PAUSED and tank is None and chore.tank in resting:
                continue
            found.append((_stands_on(item, today), item))
    return found


def _stands_on(item: Item, today: date) -> date:
    turn = item.open
    if turn is None or item.entry is not None or item.counts or item.state is State.PAUSED:
        return today
    return turn.target


def _coming(
    state: HouseholdState, first: date, last: date, tank: Tank | None
) -> list[tuple[date, Item]]:
    """Return the projected turns after today, up to ten years ahead.

    They follow from where open work stands: a date that is told moves when work is done, not with
    each day that it can wait.
    """
    today = state.moment.day
    start = max(first, today + timedelta(days=1))
    end = min(last, today + LONGEST_SPAN)
    if end < start:
        return []
    view = ahead_of(state, start, end, tank, has_open=False, waits=True)
    return [(item.open.target, item) for item in view.items if item.open is not None]


def _day(
    day: date,
    items: Sequence[Item],
    today: date,
    order: Mapping[str | None, int],
    often: frozenset[str],
) -> CalendarDay:
    """Return a day with its lines in order: by urgency, then by the walk, then by the hour."""

    def rank(item: Item) -> tuple[int, int, str]:
        slot = item.turn.slot.isoformat() if item.turn.slot is not None else ""
        place = len(order) if item.tank is None else order[item.tank.id]
        return _RANK[item.state], place, slot

    ordered = sorted(items, key=rank)
    drawn = tuple(one for one in ordered if _is_drawn_on(one, day, today, often))
    folded = tuple(one for one in ordered if one not in drawn)
    return CalendarDay(
        day,
        drawn,
        folded,
        sum(minutes_on(one, day, today) for one in ordered),
        sum(minutes_that_wait(one, day, today) for one in ordered),
    )


def _is_drawn_on(item: Item, day: date, today: date, often: frozenset[str]) -> bool:
    """Tell whether a turn has a line of its own on a day.

    Work of every day that is overdue has one where its thread begins and ends; on the other days
    of all that it gathers it is folded, so that it is one item and not forty.
    """
    ends = (today, item.open.latest) if item.open is not None else (day,)
    if item.state is State.OVERDUE and day not in ends:
        return not is_daily(item.chore, day)
    return is_drawn(item, day, often)


def daily_by_water(state: HouseholdState) -> frozenset[str]:
    """Return the chores that the water asks for on nearly every day of the week to come.

    Its date may move from day to day, so one day without it makes it no rare work.
    """
    return frozenset(
        one.chore.id
        for one in state.chores
        if isinstance(one.chore.rhythm, WhenWaterSays)
        and len(_days_by_water(state, one)) >= WEEK - 1
    )


def _days_by_water(state: HouseholdState, one: ChoreState) -> set[int]:
    """Return the days of the week to come on which the water, and no later rule, asks for one."""
    first = state.moment.day.toordinal() + 1
    turns = projected_turns(state, one, first, first + WEEK - 1)
    return {turn.day for part, turn in turns if isinstance(part.chore.chore.rhythm, WhenWaterSays)}


def folded_today(state: HouseholdState, items: Iterable[Item]) -> tuple[Item, ...]:
    """Return which of the turns that stand under today have no line of their own there."""
    today = state.moment.day
    return tuple(
        one for one in items if _stands_on(one, today) == today and not is_drawn(one, today)
    )


def is_drawn(item: Item, on: date, often: frozenset[str] = frozenset()) -> bool:
    """Tell whether a turn has a line of its own on a day; what comes every day when overdue only.

    `often` are the chores that the water asks for every day from now on. That holds for what is
    expected, and only as long as the water decides: one that is open or was done is drawn, because
    nobody can know it by heart as they know a rule, and may have come more rarely before.
    """
    if item.is_extra:
        return True
    if isinstance(rhythm_on(item.chore, on), WhenWaterSays):
        return item.state is not State.PROJECTED or item.chore.id not in often
    return item.state is State.OVERDUE or not is_daily(item.chore, on)


def _threads(overdue: Sequence[Item], first: date, last: date, today: date) -> tuple[Thread, ...]:
    threads = [
        Thread(
            item,
            max(first, _latest(item)),
            min(last, today),
            begins_here=first <= _latest(item),
            ends_here=today <= last,
        )
        for item in sorted(overdue, key=_latest)
        if _latest(item) <= last and today >= first
    ]
    return tuple(threads)


def can_be_moved(state: HouseholdState, item: Item) -> bool:
    """Tell whether a turn can be put off or skipped: it is open, or the next one of its chore.

    Later turns follow from it, so they cannot be moved before it is done.
    """
    if item.is_open:
        return True
    if item.state is not State.PROJECTED or ABOUT in item.turn.key:
        return False
    coming = next(
        (upcoming_item(state, one) for one in state.chores if one.chore.id == item.chore.id), None
    )
    return coming is not None and coming.id == item.id


def next_to_move(state: HouseholdState, item: Item) -> Item | None:
    """Return the turn that can be put off where a later one of its chore cannot, or None."""
    one = next((one for one in state.chores if one.chore.id == item.chore.id), None)
    if one is None or one.paused is not None:
        return None
    found = [each for each in items_of(state, one) if each.is_open]
    same = [each for each in found if each.turn.slot == item.turn.slot]
    return next(iter((*same, *found)), None) or upcoming_item(state, one)
