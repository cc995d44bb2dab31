"""Ticking holds no more memory the longer it goes on."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.story.soaking import Held

WARM, TICKS, EVERY = 200, 600, 50
# Caches of the language breathe by some two hundred; one block for each tick is 400.
MOST_GROWTH_BLOCKS = (TICKS - WARM) * 4 // 5


@pytest.mark.slow
def test_ticks_hold_no_memory(tmp_path: Path) -> None:
    """After two hundred ticks the interpreter holds nearly as many blocks as four hundred
    ticks later, though the logbook has grown; a reference kept for each tick would add many more.

    It ticks in a process of its own: what other tests left is let go whenever it pleases. The
    benchmark bench_memory.py makes ten thousand.
    """
    held = in_own_process(tmp_path)

    warm = max(one.blocks for one in held if one.ticks <= WARM)
    late = max(one.blocks for one in held if one.ticks > WARM)
    assert len(held) == TICKS // EVERY
    assert late - warm <= MOST_GROWTH_BLOCKS


def in_own_process(folder: Path) -> list[Held]:
    """Return what a fresh interpreter holds while it ticks."""
    command = [sys.executable, "-m", "tests.story.soaking", str(folder), str(TICKS), str(EVERY)]
    project = Path(__file__).resolve().parents[2]
    environment = os.environ | {"HOME": str(folder), "PYTHONPATH": str(project)}
    run = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    return [Held(**one) for one in json.loads(run.stdout)]
