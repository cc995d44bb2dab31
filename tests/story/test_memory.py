"""Ticking holds no more memory the longer it goes on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.story.soaking import soaked

WARM, TICKS, EVERY = 600, 1800, 200
# Caches of the language breathe a little; one block for each tick is 1,200. Counted, and not a
# share of all blocks, of which other tests of the same process may have made many.
MOST_GROWTH_BLOCKS = (TICKS - WARM) // 2


@pytest.mark.slow
def test_ticks_hold_no_memory(tmp_path: Path) -> None:
    """After the first few hundred ticks the interpreter holds as many blocks as twelve hundred
    ticks later, though the logbook has grown; a reference kept for each tick would add many more.

    The benchmark bench_memory.py makes ten thousand.
    """
    held = soaked(tmp_path, TICKS, EVERY)

    warm = max(one.blocks for one in held if one.ticks <= WARM)
    late = max(one.blocks for one in held if one.ticks > WARM)
    assert len(held) == TICKS // EVERY
    assert late - warm <= MOST_GROWTH_BLOCKS
