"""The frame is painted not much later than a bare window with one label."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TURNS = 5
# Measured at 1.5 on two cores with compiled modules; the rest is what Qt itself loads for a list,
# a tab bar and a painter.
AT_MOST = 1.75


def _seconds(which: str, cache: Path) -> float:
    environment = dict(os.environ, QT_QPA_PLATFORM="offscreen", PYTHONPYCACHEPREFIX=str(cache))
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    started = time.perf_counter()
    command = [sys.executable, "-m", "tests.gui.bare_window", which]
    subprocess.run(command, cwd=ROOT, env=environment, check=True, capture_output=True)
    return time.perf_counter() - started


@pytest.mark.benchmark
@pytest.mark.slow
def test_the_frame_starts_nearly_as_fast_as_a_bare_window(tmp_path: Path) -> None:
    """Compared within one run, best of five each, so that a busy machine does not decide."""
    _seconds("frame", tmp_path)
    _seconds("bare", tmp_path)

    turns = [(_seconds("bare", tmp_path), _seconds("frame", tmp_path)) for _ in range(TURNS)]
    bare, frame = (min(times) for times in zip(*turns, strict=True))

    print(f"bare {bare * 1000:.0f} ms, frame {frame * 1000:.0f} ms, ratio {frame / bare:.2f}")
    assert frame / bare <= AT_MOST
