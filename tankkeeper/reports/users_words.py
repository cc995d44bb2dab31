"""Who uses a thing of the household that is about to be taken out, in words."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.household import Household, Person, Room, Supply
from tankkeeper.reports.numbers import counted, listed
from tankkeeper.services.settling_house import users_of

_MOST_NAMED = 3


def users_line(household: Household, thing: object, today: date) -> str:
    """Return "Riff stands in it.", empty where nothing that is set down names the thing."""
    names = users_of(household, thing, today)
    if not names:
        return ""
    is_one, who = len(names) == 1, _some(names)
    if isinstance(thing, Room):
        return f"{who} {'stands' if is_one else 'stand'} in it."
    if isinstance(thing, Supply):
        return f"{who} {'uses' if is_one else 'use'} it."
    assert isinstance(thing, Person)
    return f"{thing.name} does {who}."


def _some(names: tuple[str, ...]) -> str:
    named, more = list(names[:_MOST_NAMED]), len(names) - _MOST_NAMED
    return listed([*named, counted(more, "other", "others")] if more > 0 else named)
