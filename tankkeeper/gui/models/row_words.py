"""Lines of work in the words of what becomes of them."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow

_NAMED = 3


def not_open(row: ItemRow) -> str:
    """Return why nothing can be done with a row, and what can be done first."""
    if row.item.state is State.PAUSED:
        return f"{row.name} is paused. Resume it first, with Shift+P."
    if row.item.state is State.PROJECTED:
        return f"{row.name}: {row.state}. It follows from the turn before it, which comes first."
    return f"{row.name}: {row.state}. Take it back first, with Space."


def done_again(rows: Sequence[ItemRow]) -> str:
    """Return what an undo of taking rows back comes to."""
    is_skipped = all(row.item.state is State.SKIPPED for row in rows)
    return f"{'Skipped' if is_skipped else 'Ticked'} again: {told_rows(rows)}"


def told_rows(rows: Sequence[ItemRow]) -> str:
    """Return rows by chore and tank, or by number where they are many."""
    if len(rows) > _NAMED:
        return f"{len(rows)} chores"
    return ", ".join(
        f"{row.name} ({row.item.tank.name if row.item.tank is not None else HOUSEHOLD})"
        for row in rows
    )
