"""Of which tank the line is on which the keys act: what a page or a form is opened for."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.round_rows import ItemRow


@dataclass(frozen=True, slots=True)
class InHand:
    """Of which tank the line is on which the keys act; None for one of the house."""

    tank: str | None


def in_hand_of(rows: Sequence[ItemRow]) -> InHand | None:
    """Tell of which tank the first of some lines is."""
    return InHand(rows[0].item.chore.tank) if rows else None
