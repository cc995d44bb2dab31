"""The losses of animals as JSON values, one after another."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from tankkeeper.core.errors import out_of_range
from tankkeeper.core.household import Loss
from tankkeeper.store.columns import LONGEST_TEXT, storable

MOST_LOST = 1_000_000


def losses_to_plain(losses: Sequence[Loss]) -> list[dict[str, Any]]:
    """Return losses as JSON values, or refuse a number or a text that no file holds."""
    for one in losses:
        if one.count is not None and not 0 <= one.count <= MOST_LOST:
            raise out_of_range("lost_count", one.count, 0, MOST_LOST)
        storable("lost_why", one.why, LONGEST_TEXT)
    return [
        {"on": one.on and one.on.isoformat(), "count": one.count, "why": one.why} for one in losses
    ]


def losses_from_plain(plain: Sequence[dict[str, Any]]) -> tuple[Loss, ...]:
    """Return what `losses_to_plain` wrote."""
    return tuple(
        Loss(date.fromisoformat(one["on"]) if one["on"] else None, one["count"], one["why"])
        for one in plain
    )
