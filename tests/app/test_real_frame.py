"""The place of the window under a window manager that draws a frame, on a screen in memory."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from PySide6.QtCore import QRect

from tankkeeper.app.clock import FixedClock
from tankkeeper.app.window_state import WindowMemory, state_file
from tests.gui.round_house import SEVEN, make, small_house

_NEEDED = ("Xvfb", "openbox")
_MISSING = [one for one in _NEEDED if shutil.which(one) is None]
# Beyond this something hangs; nothing is decided by it.
_GIVE_UP_S = 60.0
_ROOT = Path(__file__).resolve().parents[2]
_SCREEN = QRect(0, 0, 1280, 800)

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(_MISSING), reason=f"not installed: {', '.join(_MISSING)}"),
]


@pytest.fixture
def screen() -> Iterator[str]:
    """The name of a screen on which a window manager draws frames."""
    with ExitStack() as ends:

        def begin(*command: str, **env: str) -> subprocess.Popen[str]:
            process = subprocess.Popen(
                command,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                env=os.environ | env,
            )
            late = threading.Timer(_GIVE_UP_S, process.kill)
            late.start()

            def end() -> None:
                process.kill()
                process.communicate()
                late.cancel()
                late.join()

            ends.callback(end)
            return process

        served = begin("Xvfb", "-displayfd", "1", "-screen", "0", "1280x800x24")
        assert served.stdout is not None
        name = f":{served.stdout.readline().strip()}"
        # What it is to start is started once it draws frames.
        manager = begin("openbox", "--startup", "echo ready", DISPLAY=name)
        assert manager.stdout is not None
        assert any(line.strip() == "ready" for line in manager.stdout)
        yield name


def test_the_window_stands_where_it_was_left_after_each_start(screen: str, tmp_path: Path) -> None:
    """With its frame it lies on the screen, and it does not wander from start to start."""
    path = tmp_path / "quay.tankkeeper"
    make(path, small_house(), FixedClock(SEVEN))
    env = {"DISPLAY": screen, "QT_QPA_PLATFORM": "xcb", "PYTHONPATH": str(_ROOT)}
    own = (sys.executable, "-m", "tankkeeper", "--household", str(path), "--report-start")
    lefts = []
    for _ in range(3):
        ended = subprocess.run(
            [*own, "--now", SEVEN.isoformat()],
            capture_output=True,
            text=True,
            cwd=_ROOT,
            env=os.environ | env,
            timeout=_GIVE_UP_S,
            check=False,
        )
        assert ended.returncode == 0, ended.stderr
        assert "ready_at" in json.loads(ended.stdout)
        lefts.append(WindowMemory(state_file()).left())

    assert lefts[0].place is not None
    assert lefts[0].frame is not None
    assert _SCREEN.contains(lefts[0].place.marginsAdded(lefts[0].frame))
    assert lefts == lefts[:1] * 3
