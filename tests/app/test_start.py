"""The start of the window: what is loaded by then, and what stands where there is no household."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QRect

from tankkeeper.app.instance import HouseLock
from tankkeeper.app.window_state import WindowMemory
from tankkeeper.gui.palette import SchemeChoice

ROOT = Path(__file__).resolve().parents[2]
# What no first round needs: the migrations, the scheduler, writing tank files, numbers in bulk.
HEAVY = ("alembic", "apscheduler", "tomlkit", "numpy", "sqlalchemy.orm", "gsw", "pint")
# Nobody is reminded in the first seconds.
LATER = ("tankkeeper.gui.reminding", "tankkeeper.services.reminders", "tankkeeper.gui.tray")
FILE_READERS = ("tankkeeper.services.tank_file", "tankkeeper.services.settling")

CHILD = """
import json, sys, threading

class Watch:
    beside = []

    @classmethod
    def find_spec(cls, name, path=None, target=None):
        if threading.current_thread() is not threading.main_thread():
            cls.beside.append(name)

sys.meta_path.insert(0, Watch)
from tankkeeper.app.main import main
status = main([*sys.argv[1:], "--report-start"])
print(json.dumps({"status": status, "loaded": sorted(sys.modules), "beside": Watch.beside}))
"""


def started(home: Path, *options: str) -> tuple[dict[str, float], dict[str, object]]:
    """Return what a started window told of itself and what was loaded when it closed."""
    environment = dict(os.environ) | {
        "QT_QPA_PLATFORM": "offscreen",
        "HOME": str(home),
        **{f"XDG_{name}_HOME": str(home / name) for name in ("CACHE", "DATA", "CONFIG", "STATE")},
    }
    done = subprocess.run(
        [sys.executable, "-c", CHILD, *options],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    told, loaded = done.stdout.strip().splitlines()[-2:]
    return json.loads(told), json.loads(loaded)


@pytest.fixture(scope="module")
def first_start(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a home in which the sample was opened once."""
    home = tmp_path_factory.mktemp("started")
    started(home, "--demo")
    return home


@pytest.fixture
def lived_in(first_start: Path, tmp_path: Path) -> Path:
    """Return a home of one's own in which the sample was opened before."""
    shutil.copytree(first_start, tmp_path, dirs_exist_ok=True)
    return tmp_path


@pytest.mark.slow
def test_nothing_heavy_is_loaded_until_the_first_round_stands(tmp_path: Path) -> None:
    """Each of these costs more than the round itself; they load when they are first needed."""
    told, child = started(tmp_path, "--demo")
    assert child["status"] == 0
    assert told["painted_at"] < told["ready_at"]
    loaded = child["loaded"]
    assert isinstance(loaded, list)
    assert [name for name in (*HEAVY, *LATER) if name in loaded] == []
    assert "sqlalchemy" in loaded


@pytest.mark.slow
def test_a_household_that_is_there_is_shown_without_what_reads_files(lived_in: Path) -> None:
    """Whoever only looks sets nothing down; the sample is read from its file once."""
    _, child = started(lived_in, "--demo")
    loaded = child["loaded"]
    assert isinstance(loaded, list)
    assert [name for name in loaded if name.startswith(FILE_READERS)] == []


@pytest.mark.slow
def test_only_the_windows_thread_loads_what_asks_for_classes_of_qt(tmp_path: Path) -> None:
    """PySide6 makes a class when it is first asked for, and two threads at once spoil it: one start
    in fifteen failed on a busy machine while the worker loaded the frame."""
    _, child = started(tmp_path, "--demo")
    beside = child["beside"]
    assert isinstance(beside, list)
    assert "tankkeeper.store.opening" in beside
    ours = [Path(*name.split(".")) for name in beside if name.startswith("tankkeeper")]
    files = [ROOT / place.with_suffix(".py") for place in ours]
    assert [file.name for file in files if file.exists() and "PySide6" in file.read_text()] == []
    assert [name for name in beside if name.startswith("PySide6")] == []


@pytest.mark.slow
def test_a_household_that_is_not_there_is_told_in_the_window(tmp_path: Path) -> None:
    """The window opens all the same, and makes no file of its own accord."""
    _, child = started(tmp_path)
    assert child["status"] == 0
    assert list((tmp_path / "DATA").rglob("*.tankkeeper")) == []


@pytest.mark.slow
def test_a_window_opens_as_it_was_left(lived_in: Path) -> None:
    """Place, type and colours of the file stand when the window closes again."""
    kept = lived_in / "CONFIG" / "tankkeeper" / "window.ini"
    memory = WindowMemory(kept)
    left = memory.left()._replace(
        place=QRect(30, 60, 700, 500), percent=150, scheme=SchemeChoice.DARK
    )
    memory.keep_left(left)

    started(lived_in, "--demo")

    assert memory.left() == left


@pytest.mark.slow
def test_a_second_start_beside_one_that_does_not_answer_opens_all_the_same(lived_in: Path) -> None:
    """The household is held by somebody who is not a window of ours: no reason to refuse."""
    lock = HouseLock()
    lock.take(lived_in / "CACHE" / "tankkeeper" / "sample.tankkeeper")
    assert lock.is_ours

    told, child = started(lived_in, "--demo")
    lock.release()

    assert child["status"] == 0
    assert told["ready_at"]


@pytest.mark.slow
@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere there is a screen")
def test_without_a_screen_one_sentence_says_so(tmp_path: Path) -> None:
    """Qt alone would end the process with a signal."""
    screens = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    environment = {name: value for name, value in os.environ.items() if name not in screens}
    done = subprocess.run(
        [sys.executable, "-m", "tankkeeper"],
        cwd=ROOT,
        env=environment | {"HOME": str(tmp_path)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.splitlines() == [
        "The window cannot open here (there is no screen to open it on). "
        "The commands work without it: tankkeeper round"
    ]
