"""Which open tests are done by readings, whoever wrote them down and with which chore."""

from __future__ import annotations

from collections.abc import Collection

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.logbook import Readings
from tankkeeper.core.state import HouseholdState, Item, items_of
from tankkeeper.services.ports import LogQuery, Writing


def done_by_readings(
    writing: Writing,
    then: HouseholdState,
    tank: str | None,
    fact: Readings,
    but: Collection[str] = (),
) -> list[Item]:
    """Return the open tests of a tank of which all values are given by now.

    By these readings, and by those of the same day that were written down since the chore was last
    done. One whose window has not begun is left for its day; `but` are chores that are done anyway.
    """
    names = {value.parameter for value in fact.values}
    return [
        item
        for one in then.chores
        if one.chore.tank == tank is not None
        and one.chore.kind is ChoreKind.TEST
        and one.chore.id not in but
        and names & set(one.chore.tests)
        for item in items_of(then, one)
        if item.is_open and set(one.chore.tests) <= names | _given_before(writing, then, item)
    ]


def _given_before(writing: Writing, then: HouseholdState, item: Item) -> set[str]:
    """Return the parameters read on the same day since a chore was last done."""
    chore, today = item.chore, then.moment.day
    query = LogQuery(tank=chore.tank, from_day=today, to_day=today, only_valid=True)
    given: set[str] = set()
    for row in writing.entries(query):
        if row.entry.completes_chore(chore.id):
            break
        if isinstance(row.entry.fact, Readings) and row.entry.at <= then.moment.now:
            given |= {value.parameter for value in row.entry.fact.values}
    return given
