"""The board: the days ahead by tank, with the minutes of each person, and where work can go."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from tankkeeper.core.capable import does, meant_for
from tankkeeper.core.chores import Chore
from tankkeeper.core.household import Household, Person, Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState, Item, items_of
from tankkeeper.core.turns import State
from tankkeeper.core.values import dataclass
from tankkeeper.services.calendar import calendar_of
from tankkeeper.services.day_minutes import minutes_on, minutes_that_wait
from tankkeeper.services.round import is_resting, walk


@dataclass(frozen=True, slots=True)
class Placed:
    """A turn on the day on which it stands."""

    day: date
    item: Item


@dataclass(frozen=True, slots=True)
class Band:
    """The turns of one tank, or of the household when `tank` is None, and its daily minutes."""

    tank: Tank | None
    placed: tuple[Placed, ...]
    daily_minutes: int


@dataclass(frozen=True, slots=True)
class Strip:
    """The minutes of each day for one person, or for nobody named when `person` is None.

    `gives` is what the person gives on each of the days, None where that is not known, be it on
    one day or on all. `waiting` are the minutes of each day of what can wait until then, which are
    in none of `minutes`; what can wait for longer than the board shows is in neither.
    """

    person: Person | None
    minutes: tuple[int, ...]
    gives: tuple[int | None, ...] | None
    waiting: tuple[int, ...] = ()

    @property
    def all_waiting(self) -> int:
        """The minutes of all that can wait until one of the days."""
        return sum(self.waiting)

    def waiting_on(self, at: int) -> int:
        """Return the minutes of what can wait until a day."""
        return self.waiting[at] if self.waiting else 0

    def given(self, at: int) -> int | None:
        """Return what the person gives on a day, None where it is not known."""
        return None if self.gives is None else self.gives[at]

    def over(self, at: int) -> int:
        """Return by how many minutes a day goes beyond what the person gives."""
        given = self.given(at)
        return 0 if given is None else max(0, self.minutes[at] - given)


@dataclass(frozen=True, slots=True)
class BoardView:
    """The days from today on, a band for each tank, a strip for each person.

    `tank` is the one whose band it is alone; the strips are of the whole house all the same.
    """

    state: HouseholdState
    days: tuple[date, ...]
    bands: tuple[Band, ...]
    strips: tuple[Strip, ...]
    tank: Tank | None = None


def board_of(
    state: HouseholdState, count: int, tank: Tank | None = None, entries: Iterable[Entry] = ()
) -> BoardView:
    """Return the board of the next `count` days, of one tank if given.

    The strips count the whole house whatever tank is chosen: a day has its minutes only once. Of
    the `entries` of today it has what was done beside the plan, as the month has it.
    """
    today = state.moment.day
    days = tuple(today + timedelta(days=at) for at in range(count))
    # What can wait for longer than the board shows stands only on its target, which is past.
    first = min([today, *(_target(item) for item in _waiting(state))])
    beside = [one for one in entries if one.day == today]
    view = calendar_of(state, beside, first, days[-1])
    drawn: dict[str | None, list[Placed]] = {}
    everything: list[Placed] = []
    folded_today: dict[str | None, int] = {}
    for one in view.days:
        day = max(one.day, today)
        for item in one.items:
            if _stands_elsewhere(item, one.day, days):
                continue
            placed = Placed(day, item)
            everything.append(placed)
            drawn.setdefault(item.chore.tank, []).append(placed)
        for item in one.folded:
            if _stands_elsewhere(item, one.day, days):
                continue
            everything.append(Placed(day, item))
            if one.day == days[min(1, count - 1)]:
                minutes = folded_today.get(item.chore.tank, 0) + (item.chore.minutes or 0)
                folded_today[item.chore.tank] = minutes
    bands = tuple(
        Band(each, tuple(drawn.get(key, ())), folded_today.get(key, 0))
        for each in (*walk(state.household), None)
        if (key := each.id if each is not None else None) in drawn
        or (each is not None and not is_resting(state, each))
        if tank is None or (each is not None and each.id == tank.id)
    )
    return BoardView(state, days, bands, strips_of(state.household, days, everything), tank)


def _stands_elsewhere(item: Item, day: date, days: Sequence[date]) -> bool:
    """Tell whether a turn that the month has on several days stands on another one of a board.

    What is overdue or due stands under today, what can wait on its last day, under today where
    that is beyond the board.
    """
    turn, today = item.open, days[0]
    if turn is None or not item.is_open:
        return False
    if item.counts:
        return day != today
    can_wait = turn.waits_past_target(today) and day < today
    return can_wait and (turn.latest <= days[-1] or day != turn.target)


def _waiting(state: HouseholdState) -> list[Item]:
    return [
        item
        for one in state.chores
        for item in items_of(state, one)
        if item.state is State.MAY_WAIT and item.open is not None
    ]


def _target(item: Item) -> date:
    assert item.open is not None
    return item.open.target


def strips_of(
    household: Household, days: Sequence[date], placed: Sequence[Placed]
) -> tuple[Strip, ...]:
    """Return the minutes of each person on each day, at last those of nobody named if there are.

    A chore counts for the first person it names, of those who do such work; where it names nobody,
    for the one person who does it, if there is only one. The first of the days is today.
    """
    at = {day: number for number, day in enumerate(days)}
    sums: dict[str | None, list[int]] = {}
    waiting: dict[str | None, list[int]] = {}
    for one in placed:
        if one.day not in at:
            continue
        who = _counts_for(one.item.chore, household)
        row = sums.setdefault(who, [0] * len(days))
        row[at[one.day]] += minutes_on(one.item, one.day, days[0])
        waits = waiting.setdefault(who, [0] * len(days))
        waits[at[one.day]] += minutes_that_wait(one.item, one.day, days[0])
    none = [0] * len(days)
    strips = [
        Strip(
            person,
            tuple(sums.get(person.id, none)),
            _gives(person, days),
            tuple(waiting.get(person.id, none)),
        )
        for person in household.people
    ]
    if any(sums.get(None, ())) or any(waiting.get(None, ())):
        strips.append(Strip(None, tuple(sums[None]), None, tuple(waiting[None])))
    return tuple(strips)


def _counts_for(chore: Chore, household: Household) -> str | None:
    """Return the person whose minutes a chore takes, None where that is not settled."""
    if chore.who:
        known = {one.id for one in household.people}
        return next((one for one in meant_for(chore, household) if one in known), None)
    able = [one.id for one in household.people if does(one, chore.kind)]
    return able[0] if len(able) == 1 else None


def _gives(person: Person, days: Sequence[date]) -> tuple[int | None, ...] | None:
    if person.minutes is None:
        return None
    return tuple(person.minutes[day.weekday()] for day in days)
