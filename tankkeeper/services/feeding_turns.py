"""Which turn a feeding outside the round does: what was given tells it, then the hour."""

from __future__ import annotations

from tankkeeper.core.amounts import stated_amount
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.household import Tank
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.services.fed import Fed
from tankkeeper.services.fed_amounts import pieces_in
from tankkeeper.services.lapsed import lapsed_line
from tankkeeper.services.outside_turns import (
    chores_of,
    hour_of,
    is_of_this_hour,
    open_items,
    shares_word,
)

# The name of the food says more than the unit it is counted in.
_BY_FOOD = 2


def feedings_of_today(then: HouseholdState, tank: Tank) -> list[Item]:
    """Return the open feedings of a tank, those of about now before the others.

    Of those with an hour that has begun the latest comes first. What is still to come today stands
    in the round and can be ticked there, so it can be meant, too; it comes last, in its order.
    """
    found = open_items(then, tank, ChoreKind.FEEDING)
    begun = [item for item in found if is_begun(then, item)]
    # Stable: those without an hour keep the order of the round.
    begun.sort(key=_due_at, reverse=True)
    to_come = sorted((item for item in found if item not in begun), key=_due_at)
    return sorted([*begun, *to_come], key=lambda item: not is_of_this_hour(then, item))


def lapsed_feedings(then: HouseholdState, tank: Tank) -> list[Item]:
    """Return the feedings of today whose hour was over before anybody wrote them down."""
    chores = chores_of(then, tank, ChoreKind.FEEDING)
    return [lapsed_line(then, one.chore, turn) for one in chores for turn in one.lapsed]


def likely_feeding(then: HouseholdState, tank: Tank, fed: Fed) -> Item | None:
    """Return the turn that a feeding most likely does, None where none was to be done by now.

    Who writes a feeding down most likely gave one that is open: left open, somebody else would feed
    once more. Of several it is the one whose food and unit fit what was given, then the nearest in
    time. One later in the day is meant where it fits and what is open by now does not.
    """
    found = feedings_of_today(then, tank)
    by_now = [one for one in found if is_begun(then, one) or is_of_this_hour(then, one)]
    if not by_now:
        return None
    likely = max(by_now, key=lambda item: _fit(then, item.chore, fed))
    later = max(found, key=lambda item: _fit(then, item.chore, fed))
    fits = _fit(then, later.chore, fed)
    return later if fits > 0 and fits > _fit(then, likely.chore, fed) else likely


def is_begun(then: HouseholdState, item: Item) -> bool:
    """Tell whether the hour of an open turn has come; without an hour it has its day."""
    due_at = hour_of(item)
    return due_at is None or due_at <= then.moment.now


def _due_at(item: Item) -> float:
    due_at = hour_of(item)
    return due_at.timestamp() if due_at is not None else 0.0


def _fit(then: HouseholdState, chore: Chore, fed: Fed) -> int:
    """Return how well a chore fits what was given: 0 where nobody knows, less where it differs."""
    supplies = {one.id: one.name for one in then.household.supplies}
    used = [supplies.get(use.supply, "") for use in chore.uses]
    food = _BY_FOOD if shares_word(fed.food, chore.name, *used) else 0
    stated = stated_amount(chore, then.water_of(chore), then.household)
    given = "g" if fed.grams is not None else "pieces" if pieces_in(fed.amount) is not None else ""
    if stated is None or not given:
        return food
    return food + (1 if stated.unit == given else -1)
