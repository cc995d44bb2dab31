"""Of which tank and chore the line is on which the keys act: what a page or form is opened for."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.round_rows import ItemRow


@dataclass(frozen=True, slots=True)
class InHand:
    """Of which tank the line is on which the keys act, None for one of the house; and its chore."""

    tank: str | None
    chore: str | None = None


def in_hand_of(rows: Sequence[ItemRow]) -> InHand | None:
    """Tell of which tank and chore the first of some lines is."""
    if not rows:
        return None
    chore = rows[0].item.chore
    return InHand(chore.tank, chore.id)
