"""Whether a turn can stand on another day than its own."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.errors import UserFault
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.services.moving import check_put_off, days_to_choose, latest_put_off


def refusal_of(state: HouseholdState, item: Item, to: date) -> UserFault | None:
    """Return why a turn cannot stand on a day, with the next day that works, or None if it can."""
    try:
        check_put_off(state, item, to)
    except UserFault as fault:
        return fault
    return None


def can_go_elsewhere(state: HouseholdState, item: Item) -> bool:
    """Tell whether a turn can stand on any of the days to choose from but its own."""
    latest, days = latest_put_off(state, item), days_to_choose(state, [item])
    return any(
        refusal_of(state, item, day) is None for day in days if latest is None or day <= latest
    )
