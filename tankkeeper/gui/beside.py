"""Work that is done beside its turns: kept for what it is, and the turn that comes stays."""

from __future__ import annotations

from typing import Final

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.reports.noted_words import BESIDE_ITS_TURNS
from tankkeeper.reports.words import Words
from tankkeeper.services.ticking import too_early

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


def stays_beside(row: ItemRow, words: Words) -> str:
    """Return what the form says: "Kept beside its turns: that of Fri 11 stays."."""
    assert row.item.open is not None
    return f"Kept {BESIDE_ITS_TURNS}: that of {words.day(row.item.open.target)} stays."
