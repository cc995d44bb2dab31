"""Turning the calendar holds no more memory the longer it goes on."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from tests.gui.turning import turned

MONTHS, EVERY, WARM = 420, 60, 180
# Caches of the language breathe by some two hundred; three blocks left by each month pass this.
MOST_GROWTH_BLOCKS = 2 * (MONTHS - WARM)


@pytest.mark.slow
def test_months_that_were_turned_hold_no_memory(qapp: QApplication, tmp_path: Path) -> None:
    """At the same month, with the same key before, as much is held as rounds ago.

    The benchmark bench_memory.py turns a thousand.
    """
    held = list(turned(qapp, tmp_path, MONTHS, EVERY))

    warm = [one for one in held if one.months <= WARM]
    late = [one for one in held if one.months > WARM]
    assert len(held) == MONTHS // EVERY
    assert max(one.blocks for one in late) - max(one.blocks for one in warm) <= MOST_GROWTH_BLOCKS
    assert {one.objects for one in late} == {warm[-1].objects}
