"""How much salt water is mixed beside its turns, for the changes that these are too late for."""

from __future__ import annotations

from tankkeeper.core.amounts import AmountDue, amount_of
from tankkeeper.core.chores import Chore
from tankkeeper.core.making_ready import served
from tankkeeper.core.mixing import Demand, together
from tankkeeper.core.state import HouseholdState
from tankkeeper.services.finding import items_of_chore


def missing_beside(state: HouseholdState, prep: Chore) -> AmountDue | None:
    """Return the litres that no turn of a mixing makes in time, with the salt for them.

    None where no change waits for such water, or where the litres of one of them are not known: a
    part would be told as if it were all. Where none waits it is what will be missing by the litres
    that the mixing states itself.
    """
    wanted = []
    mine = {one.id for one in served(prep, state.household.chores, state.moment.day)}
    for one in state.chores:
        if one.chore.id not in mine or one.paused is not None:
            continue
        for item in items_of_chore(state, one.chore.id):
            waits = item.not_ready
            if waits is None or not waits.is_beside or item.open is None:
                continue
            amount = amount_of(item.chore, item.water, state.household)
            if amount is None or amount.unit != "L":
                return None
            name = one.chore.name if item.tank is None else item.tank.name
            litres = amount.value - waits.stands_l
            wanted.append(Demand(one.chore.id, name, item.open.target, litres))
    short = state.short.of_mixings.get(prep.id)
    if not wanted and short is not None:
        wanted = [Demand(one.chore.id, one.name, one.day, one.litres) for one in short.changes]
    return together(wanted, state.household)
