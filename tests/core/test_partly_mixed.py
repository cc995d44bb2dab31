"""A change of whose water a part stands mixed: what stands and what is missing are told."""

from __future__ import annotations

import pytest

from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import Item, fold_household, items_of
from tankkeeper.reports.asking import unready_water
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.words import Words
from tests.core.test_mixing import MOMENT, THURSDAYS, change, house
from tests.core.test_mixing_parts import WEDNESDAYS, part


def changes(household: Household, *entries: Entry) -> dict[str | None, Item]:
    """Return the open changes of a household by their tank."""
    state = fold_household(household, history_of(entries), MOMENT.now)
    found = (one for one in state.chores if one.chore.id.endswith(".change"))
    return {one.chore.tank: item for one in found for item in items_of(state, one) if item.open}


def test_what_stands_and_what_is_missing_are_told_where_a_part_is_mixed() -> None:
    """20 L of yesterday: the reef takes 4 L, so 16 L are there for the 35 L of the nook."""
    household = house(
        change(35.0, "nook", THURSDAYS), change(4.0, "reef", THURSDAYS), mixing=WEDNESDAYS
    )
    words = Words(household, MOMENT)
    found = changes(household, part(1, 20.0, on="2026-03-11"))
    nook = found["nook"]

    assert found["reef"].not_ready is None
    assert nook.not_ready is not None
    assert nook.not_ready.stands_l == pytest.approx(16.0)
    assert (
        "It needs 35 L of mixed salt water. 16 L stands mixed for it and 19 L is missing: "
        "Mix salt water is not done yet."
    ) in plain(reason(nook, words))
    assert plain(unready_water(nook, words)) == (
        "Only 16 L stands mixed for it and 19 L is missing: Mix salt water is not done yet."
    )
    assert state_words(nook, words) == "today, partly mixed"
    assert state_words(nook, words, for_ear=True) == "today, its water is partly mixed"


def test_what_stands_is_told_to_one_of_the_changes_that_get_too_little() -> None:
    """Of 30 L the first takes all; told to both, more would be missing than is to be mixed."""
    household = house(
        change(60.0, "nook", THURSDAYS), change(40.0, "reef", THURSDAYS), mixing=WEDNESDAYS
    )
    found = changes(household, part(1, 30.0, on="2026-03-11"))

    told = {tank: one.not_ready and one.not_ready.stands_l for tank, one in found.items()}
    assert told == {"nook": 30.0, "reef": 0.0}
    assert "It needs 40 L of mixed salt water, and Mix salt water is not done yet." in plain(
        reason(found["reef"], Words(household, MOMENT))
    )
