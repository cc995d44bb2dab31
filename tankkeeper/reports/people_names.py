"""How the people of a household are called where they are shown, those without a name too."""

from __future__ import annotations

from tankkeeper.core.household import Household

UNNAMED_PERSON = "Unnamed person"


def shown_people(household: Household) -> dict[str, str]:
    """Return how each person is shown, by id; several without a name are numbered.

    A number goes on where somebody is really called so.
    """
    taken = {one.name for one in household.people}
    found: dict[str, str] = {}
    for one in household.people:
        shown, number = one.name or UNNAMED_PERSON, 2
        while not one.name and shown in taken:
            shown, number = f"{UNNAMED_PERSON} {number}", number + 1
        taken.add(shown)
        found[one.id] = shown
    return found
