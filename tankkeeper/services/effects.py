"""What an entry of earlier days changes: two states of the same moment told apart."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import TypeVar

from tankkeeper.core.amounts import AmountDue, amount_of
from tankkeeper.core.chores import Chore
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import ChoreState
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.mixed_amounts import is_begun, left_of

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the next turn of a chore stands, None where there is none, and how much it takes.

    `open_turns` is how many wait to be done today, such as the feedings of a day.
    """

    day: date | None
    amount: AmountDue | None
    open_turns: int = 0


@dataclass(frozen=True, slots=True)
class TurnEffect:
    """A chore whose next turn stands on another day, or takes another amount."""

    chore: Chore
    tank: Tank | None
    before: Standing
    after: Standing

    @property
    def moves(self) -> bool:
        """Whether it stands on another day."""
        return self.before.day != self.after.day


@dataclass(frozen=True, slots=True)
class LossEffect:
    """A tank that is taken to lose more or less water a day."""

    tank: Tank
    before: Estimate
    after: Estimate


@dataclass(frozen=True, slots=True)
class Effects:
    """All that changed."""

    turns: tuple[TurnEffect, ...] = ()
    losses: tuple[LossEffect, ...] = ()


def effects_of(before: HouseholdState, after: HouseholdState) -> Effects:
    """Return what differs between two states of one household at one moment."""
    was = {one.chore.id: one for one in before.chores}
    turns = []
    for one in after.chores:
        if one.chore.id not in was:
            continue
        then, now = _standing(before, was[one.chore.id]), _standing(after, one)
        if then != now:
            tank = after.household.tank(one.chore.tank) if one.chore.tank is not None else None
            turns.append(TurnEffect(one.chore, tank, then, now))
    losses = []
    for tank in after.household.tanks:
        old, new = before.waters.get(tank.id), after.waters.get(tank.id)
        if old is None or new is None or old.loss is None or new.loss is None:
            continue
        if old.loss != new.loss:
            losses.append(LossEffect(tank, old.loss, new.loss))
    return Effects(tuple(turns), tuple(losses))


def with_effects(desk: Desk, write: Callable[[Desk], T]) -> tuple[T, Effects]:
    """Write something down, and return what it came to and what it changed by it."""
    before = desk.state()
    written = write(desk)
    with desk.store.reading() as reading:
        # The same moment: what changes by itself meanwhile is no effect of this.
        after = desk.state_in(reading, before.moment.now)
    return written, effects_of(before, after)


def brought_to(today: date, effects: Effects, entries: Iterable[Entry]) -> Effects:
    """Return of what entries changed the other work that they bring to today, or before."""
    done = {turn.chore for entry in entries for turn in entry.completes}
    turns = [
        one
        for one in effects.turns
        if one.chore.id not in done and _comes_by(one.after.day, today)
        if not _comes_by(one.before.day, today)
    ]
    return Effects(tuple(turns))


def _comes_by(day: date | None, today: date) -> bool:
    return day is not None and day <= today


def _standing(state: HouseholdState, one: ChoreState) -> Standing:
    turn = one.open[0] if one.open else one.upcoming
    if turn is None or one.paused is not None:
        return Standing(None, None)
    amount = None
    if one.open and is_begun(state, one.chore):
        amount = left_of(state, one.chore, turn)
    elif one.open:
        amount = amount_of(one.chore, state.water_of(one.chore), state.household)
    return Standing(turn.target, amount, len(one.open))
