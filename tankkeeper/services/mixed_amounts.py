"""How much salt water was mixed: all that was needed, or a part that leaves its turn open."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.amounts import AmountDue, salt_by_yield, stated_amount
from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import PART, Entry, Turn, Work
from tankkeeper.core.mixing_parts import (
    NEARLY_ALL,
    mixed_so_far,
    rest_to_mix,
    takes_mixed_litres,
)
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.storing import store_of
from tankkeeper.core.turns import OpenTurn
from tankkeeper.core.values import dataclass
from tankkeeper.services.finding import items_of_chore
from tankkeeper.services.fresh_fills import READ_L, Extent
from tankkeeper.services.litres_limits import checked_litres
from tankkeeper.services.mixing_beside import missing_beside

# No kitchen scale shows less.
_WEIGHED_G = 0.5


def due_to_mix(state: HouseholdState, item: Item) -> AmountDue | None:
    """Return what is left to mix for a line, of a turn to come as well."""
    if item.amount is not None or item.open is None or not takes_mixed_litres(item.chore):
        return item.amount
    return left_of(state, item.chore, item.open)


def is_begun(state: HouseholdState, chore: Chore) -> bool:
    """Tell whether a part of its next turn was mixed."""
    day = state.moment.day
    return mixed_so_far(chore, state.household, state.history, day).litres > 0.0


def left_of(state: HouseholdState, chore: Chore, turn: OpenTurn) -> AmountDue | None:
    """Return what is left to mix for a turn, None where that is nothing or not known."""
    return rest_to_mix(
        chore,
        turn,
        mixed_so_far(chore, state.household, state.history, state.moment.day),
        state.chores,
        state.household,
        state.history,
        state.waters,
        state.moment.day,
    )


def is_part_of(amount: AmountDue | None, litres: float | None) -> bool:
    """Tell whether litres are clearly fewer than are to be mixed, where that is known."""
    if amount is None or amount.unit != "L" or litres is None:
        return False
    return litres < NEARLY_ALL * amount.value


def leaves_rest(
    state: HouseholdState, item: Item, litres: float | None, extent: Extent | None
) -> bool:
    """Tell whether a mixing stays open after so much; where nobody says so the litres tell."""
    if not takes_mixed_litres(item.chore) or extent is Extent.FULL:
        return False
    return extent is Extent.PART or is_part_of(due_to_mix(state, item), litres)


def mixed_work(
    state: HouseholdState,
    item: Item,
    turn: Turn,
    litres: float | None,
    extent: Extent | None,
) -> Work | None:
    """Return what the logbook keeps of a mixing, with the salt by the yield of the mix.

    Without litres, as much as was left to mix for the `turn` that is done; beside the turns as much
    as the changes lack that wait for no turn.
    """
    if litres is None:
        if turn.is_beside:
            lacking = missing_beside(state, item.chore)
            if lacking is not None and extent is not Extent.PART:
                return Work(litres=lacking.value, grams=lacking.salt_g)
            raise UserFault("nothing_proposed", chore=item.chore.name, is_beside=True)
        if extent is Extent.PART:
            # How much a part was, nobody can propose.
            raise UserFault("needs_litres", chore=item.chore.name, item=item.id, also=())
        amount = due_to_mix(state, item)
        if item.open is None:
            # A turn of a day gone by is known by its chore alone.
            amount = stated_amount(item.chore, None, state.household)
        return None if amount is None else Work(litres=amount.value, grams=amount.salt_g)
    return Work(litres=checked_litres(litres), grams=_salt_in(state, litres))


def _salt_in(state: HouseholdState, litres: float) -> float | None:
    salt = salt_by_yield(state.household, litres)
    return None if salt is None else round(salt, 3)


def salted_anew(then: HouseholdState, old: Entry, fact: Work) -> Work:
    """Return corrected work, where the salt followed from the litres that of the new ones."""
    was = old.fact
    chores = {one.chore for one in old.completes}
    is_mixed = any(takes_mixed_litres(one) for one in then.household.chores if one.id in chores)
    if not isinstance(was, Work) or not is_mixed or fact.litres is None:
        return fact
    if was.litres is None or was.grams is None:
        return fact
    by_yield = _salt_in(then, was.litres)
    if fact.grams != was.grams or by_yield is None or abs(by_yield - was.grams) > _WEIGHED_G:
        return fact
    return replace(fact, grams=_salt_in(then, fact.litres))


def as_part(entry: Entry, item: Item) -> Entry:
    """Return an entry of a mixing as a part of its turn; other parts name no turn."""
    if not takes_mixed_litres(item.chore):
        return entry
    return replace(entry, completes=(Turn(item.chore.id, PART + entry.id, item.turn.slot),))


def turns_mixed(then: HouseholdState, old: Entry, litres: float | None) -> tuple[Turn, ...]:
    """Return what an entry does once it says other litres: its turn, or only a part of it.

    `then` is the state without it. Work of another kind, and that of a turn that would not be
    open, stays as it was.
    """
    if len(old.completes) != 1:
        return old.completes
    own = old.completes[0]
    lines = [one for one in items_of_chore(then, own.chore) if one.open and not one.entry]
    item = next((one for one in lines if one.turn == own), next(iter(lines), None))
    if item is None or own.is_extra or not takes_mixed_litres(item.chore):
        return old.completes
    if not own.is_part and item.turn != own:
        return old.completes
    if is_part_of(due_to_mix(then, item), litres):
        return (own,) if own.is_part else (Turn(own.chore, PART + old.id, own.slot),)
    return (item.turn,)


def parts_mixed(entry: Entry) -> list[str]:
    """Return the chores by id of which an entry is only a part."""
    return [one.chore for one in entry.completes if one.is_part]


def rest_of_mixing(state: HouseholdState, chore_id: str) -> float | None:
    """Return the litres that are left to mix once parts were, by the state after them."""
    for item in items_of_chore(state, chore_id):
        if item.entry is None and item.open is not None:
            amount = due_to_mix(state, item)
            return None if amount is None or amount.unit != "L" else amount.value
    return None


@dataclass(frozen=True, slots=True)
class Room:
    """The litres that can be stored, and what of them is taken by parts mixed before."""

    store_l: float
    taken_l: float

    @property
    def left_l(self) -> float:
        """What still has room."""
        return max(0.0, self.store_l - self.taken_l)

    def holds(self, litres: float) -> bool:
        """Tell whether so much has room."""
        return litres <= self.left_l + READ_L


def room_for(state: HouseholdState, chore: Chore) -> Room | None:
    """Return the room that a mixing has, None where nobody said what can be stored."""
    store = store_of(chore, state.household) if takes_mixed_litres(chore) else None
    if store is None:
        return None
    so_far = mixed_so_far(chore, state.household, state.history, state.moment.day)
    return Room(store, so_far.left_l)
