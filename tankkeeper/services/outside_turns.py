"""Which turn is done by what was written down outside the round: an open one, or none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from tankkeeper.core.amounts import amount_of, dose_of
from tankkeeper.core.chores import FRESH_KINDS, Calendar, Chore, ChoreKind
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Dose, Entry, Turn, WaterChange
from tankkeeper.core.moment import moment_of
from tankkeeper.core.state import HouseholdState, Item, items_of
from tankkeeper.core.turns import ChoreState
from tankkeeper.services.finding import find_item, items_of_chore
from tankkeeper.services.lapsed import SAME_HOUR, lapsed_at
from tankkeeper.services.ticking import turn_done_at, turn_of_line

# Let work complete what is open, unless far less than that was done; None lets it complete nothing.
USUAL = ""
# Common practice, no source: less than half of a turn is something beside it.
_FAR_LESS = 0.5
_TELLING = 4
# Words that name the work tell no substance.
_OF_WORK = frozenset({"dose", "dosed", "doses", "dosing"})


def turns_for(then: HouseholdState, tank: Tank, kind: ChoreKind) -> tuple[Turn, ...]:
    """Return the turn that work of this kind completes: the open one that has waited longest.

    A turn whose window has not begun is left for its day; by the calendar the work counts as
    extra. Only fresh water that went all the way leaves nothing to do on that day, so the tank's
    only chore of the kind goes on from it.
    """
    chores = chores_of(then, tank, kind)
    found = open_of(then, chores)
    if found or len(chores) != 1 or chores[0].upcoming is None:
        return oldest(then, found)
    chore, coming = chores[0].chore, chores[0].upcoming
    if kind not in FRESH_KINDS and not isinstance(chore.rhythm, Calendar):
        return ()
    return (turn_done_at(then, Item(coming.turn, coming.state, chore, tank, coming)),)


def turn_meant(
    state: HouseholdState,
    then: HouseholdState,
    found: Sequence[Item],
    amount: float | None,
    which: str | None,
) -> tuple[Turn, ...]:
    """Return the turn that an amount completes of those that are open and can be meant.

    `which` is a turn or a chore by id where somebody said so, None where it was extra; else it is
    what has waited longest, unless less than half of what that takes was done. Where nothing is
    open it is extra, and names no chore: a rhythm or a window that is changed later would let it
    count for a turn that it never was.
    """
    if which is None:
        return ()
    if which:
        return turn_chosen(state, then, found, which)
    turns = oldest(then, found)
    meant = next((one for one in found if one.turn in turns), None)
    return () if meant is None or is_far_less(then, meant.chore, amount) else turns


def turn_chosen(
    state: HouseholdState, then: HouseholdState, found: Sequence[Item], which: str
) -> tuple[Turn, ...]:
    """Return what work of an earlier time comes to of which somebody says what it was of.

    `which` is a turn or a chore by id, `found` what was open then. Where it was none of these, it
    is the turn of that time which lapsed, or what a tick of that time is in the round: what counts
    from it is done by it, and by the calendar it is extra work before its window.
    """
    open_then = oldest(then, [one for one in found if which in (one.id, one.chore.id)])
    missed = None if open_then else lapsed_at(state, which.partition("@")[0], then.moment.now)
    if missed is not None:
        return (missed,)
    line = None if open_then else find_item(state, which)
    return open_then if line is None else (turn_of_line(then, line),)


def is_done_at(state: HouseholdState, at: datetime, which: str) -> bool:
    """Tell whether work of an earlier moment does a turn of the chore that it is said to be of.

    As far as is known now: nobody else wrote down the turn of that time meanwhile.
    """
    if lapsed_at(state, which.partition("@")[0], at) is not None:
        return True
    then = replace(state, moment=moment_of(state.household, at))
    lines = items_of_chore(state, which.partition("@")[0])
    return any(not turn_done_at(then, line).is_extra for line in lines)


def left_open(state: HouseholdState, entry: Entry) -> Item | None:
    """Return the turn that was open when so little was done that it stays so, None where none."""
    tank, fact = state.household.tank(entry.tank) if entry.tank is not None else None, entry.fact
    if tank is None or entry.completes or not isinstance(fact, (WaterChange, Dose)):
        return None
    if isinstance(fact, Dose):
        found, amount = open_doses(state, tank, fact.of), fact.grams
    else:
        found, amount = open_items(state, tank, ChoreKind.WATER_CHANGE), fact.litres
    turns = oldest(state, found)
    meant = next((one for one in found if one.turn in turns), None)
    return meant if meant is not None and is_far_less(state, meant.chore, amount) else None


def is_far_less(then: HouseholdState, chore: Chore, amount: float | None) -> bool:
    """Tell whether less than half was done of what a chore takes, as far as that is known."""
    takes = _takes(then, chore)
    return takes is not None and amount is not None and amount < _FAR_LESS * takes


def _takes(then: HouseholdState, chore: Chore) -> float | None:
    """Return the litres of a turn, or the grams of a dose."""
    if chore.kind is ChoreKind.DOSE:
        dose = dose_of(chore, then.household)
        if dose is not None:
            return dose[1]
    unit = "g" if chore.kind is ChoreKind.DOSE else "L"
    due = amount_of(chore, then.water_of(chore), then.household)
    return None if due is None or due.unit != unit else due.whole or due.value


def open_items(then: HouseholdState, tank: Tank, kind: ChoreKind) -> list[Item]:
    """Return the open turns of one kind of a tank."""
    return open_of(then, chores_of(then, tank, kind))


def open_of(then: HouseholdState, chores: Sequence[ChoreState]) -> list[Item]:
    """Return the open turns of chores."""
    return [item for one in chores for item in items_of(then, one) if item.is_open]


def chores_of(then: HouseholdState, tank: Tank, kind: ChoreKind) -> list[ChoreState]:
    """Return the chores of one kind of a tank."""
    return [one for one in then.chores if one.chore.tank == tank.id and one.chore.kind is kind]


def open_doses(then: HouseholdState, tank: Tank, substance: str) -> list[Item]:
    """Return the open turns of the doses that a substance can be of."""
    return open_of(then, doses_of(then, tank, substance))


def doses_of(then: HouseholdState, tank: Tank, substance: str) -> list[ChoreState]:
    """Return the dose chores whose name or supply shares a word with a substance.

    A dose of anything else is of none of them, also where the tank has only one.
    """
    supplies = {supply.id: supply.name for supply in then.household.supplies}
    return [
        one
        for one in chores_of(then, tank, ChoreKind.DOSE)
        if shares_word(
            substance, one.chore.name, *(supplies.get(use.supply, "") for use in one.chore.uses)
        )
    ]


def shares_word(said: str, *names: str) -> bool:
    """Tell whether what was said and any of these names have a word in common.

    The beginning of a word is enough where it is long enough to tell something.
    """
    return any(
        one == other or (min(len(one), len(other)) >= _TELLING and _is_beginning(one, other))
        for one in _telling(said)
        for other in _words(*names)
    )


def _is_beginning(one: str, other: str) -> bool:
    return one.startswith(other) or other.startswith(one)


def _telling(said: str) -> set[str]:
    """Return the words that tell a substance; short ones such as "of" only where all are short."""
    words = _words(said)
    return {word for word in words if len(word) >= _TELLING} or words


def _words(*names: str) -> set[str]:
    return {word for name in names for word in name.casefold().split()} - _OF_WORK


def oldest(then: HouseholdState, found: Sequence[Item]) -> tuple[Turn, ...]:
    """Return the turn that is meant most likely, if there is any."""
    return tuple(one.turn for one in most_likely_first(then, found)[:1])


def most_likely_first(then: HouseholdState, found: Sequence[Item]) -> list[Item]:
    """Return turns with that of this very hour before the one that has waited longest."""

    def rank(item: Item) -> tuple[bool, date]:
        target = item.open.target if item.open is not None else then.moment.day
        return not is_of_this_hour(then, item), target

    return sorted(found, key=rank)


def hour_of(item: Item) -> datetime | None:
    """Return when an open turn is due, None where it has no hour of its own."""
    return item.open.due_at if item.open is not None and item.turn.slot is not None else None


def is_of_this_hour(then: HouseholdState, item: Item) -> bool:
    """Tell whether a turn has an hour of its own that is about now."""
    due_at = hour_of(item)
    return due_at is not None and abs(then.moment.now - due_at) <= SAME_HOUR


def comes_later(item: Item, now: datetime) -> bool:
    """Tell whether the hour of an open turn is still to come, and not about now."""
    due_at = hour_of(item)
    return due_at is not None and due_at - now > SAME_HOUR
