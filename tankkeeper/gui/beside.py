"""Work that is done beside its turns: kept for what it is, and the turn that comes stays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.reports.noted_words import BESIDE_ITS_TURNS
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.words import Words
from tankkeeper.services.ticking import too_early

_BESIDE_THEIR_TURNS: Final = "beside their turns"
# What has a form of its own by the key that writes down: there it is no second one by mistake.
WRITTEN_DOWN: Final = frozenset(
    {
        ChoreKind.TOP_OFF,
        ChoreKind.RESERVOIR,
        ChoreKind.WATER_CHANGE,
        ChoreKind.TEST,
        ChoreKind.DOSE,
        ChoreKind.FEEDING,
    }
)


def ticks_beside(state: HouseholdState, item: Item) -> bool:
    """Tell whether work done now is none of the turn to come, and has no other way to be kept."""
    return item.chore.kind not in WRITTEN_DOWN and too_early(state, item) is not None


def ticked_words(ticked: str, beside: Sequence[str], when: str) -> str:
    """Return what was ticked, and what of it, named with its tank, was kept beside its turns.

    Such as "Ticked Wipe the lid (Reef), on Thursday 12 March, beside its turns.".
    """
    if not beside:
        return f"Ticked {ticked}{when}."
    if [ticked] == list(beside):
        return f"Ticked {ticked}{when}, {BESIDE_ITS_TURNS}."
    how = BESIDE_ITS_TURNS if len(beside) == 1 else _BESIDE_THEIR_TURNS
    return f"Ticked {ticked}{when}. Kept {how}: {listed(list(beside))}."


def stays_beside(row: ItemRow, words: Words) -> str:
    """Return what the form says: "Kept beside its turns: that of Fri 11 stays."."""
    assert row.item.open is not None
    return f"Kept {BESIDE_ITS_TURNS}: that of {words.day(row.item.open.target)} stays."
