"""The icon in a tray that speaks the bus of a desktop: the whole program on a screen in memory."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.app.reminder_settings import write_habits
from tankkeeper.app.settings import settings_file
from tankkeeper.services.reminder_habits import Habits, WhenClosed
from tests.gui.round_house import SEVEN, make, small_house

_NEEDED = ("Xvfb", "dbus-daemon", "dbus-send")
_MISSING = [one for one in _NEEDED if shutil.which(one) is None]
# Beyond this something hangs; nothing is decided by it.
_GIVE_UP_S = 60.0
_ROOT = Path(__file__).resolve().parents[2]
_ITEM = "org.kde.StatusNotifierItem"
_MENU = "com.canonical.dbusmenu"
# As dbus-send prints one entry of a menu: its number, then its label.
_LABELLED = re.compile(
    r'\bint32 ([1-9][0-9]*)(?:(?!\bint32 ).)*?"label"\s+variant\s+string "([^"]+)"', re.S
)

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(_MISSING), reason=f"not installed: {', '.join(_MISSING)}"),
]

Start = Callable[..., "subprocess.Popen[str]"]


@pytest.fixture
def start() -> Iterator[Start]:
    """A function that starts a process and ends it with the test."""
    with ExitStack() as ends:

        def begin(*command: str, **env: str) -> subprocess.Popen[str]:
            process = subprocess.Popen(
                command,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
                cwd=_ROOT,
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

        yield begin


def _line(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    return process.stdout.readline().strip()


def _call(desktop: subprocess.Popen[str], wanted: str) -> dict[str, list[object]]:
    """Return the next call of this name that reaches the desktop."""
    while line := _line(desktop):
        found: dict[str, list[object]] = json.loads(line)
        if found.get("call") == wanted:
            return found
    raise AssertionError(f"{wanted} was never called")


def test_the_icon_registers_offers_its_menu_tells_a_notice_and_quits(
    start: Start, tmp_path: Path
) -> None:
    """Started as at login, with the tray chosen: no window is needed for any of it."""
    path = tmp_path / "quay.tankkeeper"
    make(path, small_house(), FixedClock(SEVEN))
    write_habits(settings_file(), Habits(uses_tray=True, when_closed=WhenClosed.STAY))
    screen = _line(start("Xvfb", "-displayfd", "1", "-screen", "0", "1280x800x24"))
    bus = _line(start("dbus-daemon", "--session", "--nofork", "--print-address=1"))
    env = {"DBUS_SESSION_BUS_ADDRESS": bus, "DISPLAY": f":{screen}", "PYTHONPATH": str(_ROOT)}
    stand_in = (sys.executable, "-m", "tests.app.desktop_bus")
    desktop = start(*stand_in, **env, QT_QPA_PLATFORM="offscreen")
    assert json.loads(_line(desktop)) == {"ready": True}
    own = (sys.executable, "-m", "tankkeeper", "--household", str(path), "--at-login")
    program = start(*own, "--now", SEVEN.isoformat(), **env, QT_QPA_PLATFORM="xcb")

    def ask(where: str, member: str, *given: str) -> str:
        command = ("dbus-send", "--session", "--print-reply", f"--dest={icon}", where, member)
        asked = start(*command, *given, **env)
        told, _faults = asked.communicate()
        return told

    icon = str(_call(desktop, "RegisterStatusNotifierItem")["by"])
    notice = _call(desktop, "Notify")["given"]
    assert notice[3:5] == ["The round of today", "Today: 2 overdue, 7 due."]

    where = re.search(
        r'"(/\w+)"',
        ask(
            "/StatusNotifierItem",
            "org.freedesktop.DBus.Properties.Get",
            f"string:{_ITEM}",
            "string:Menu",
        ),
    )
    assert where is not None
    layout = ask(where[1], f"{_MENU}.GetLayout", "int32:0", "int32:-1", "array:string:label")
    labels = {label: number for number, label in _LABELLED.findall(layout)}
    assert list(labels) == ["Open the window", "Quit"]

    ask("/StatusNotifierItem", f"{_ITEM}.Activate", "int32:1", "int32:1")
    chosen = (f"int32:{labels['Quit']}", "string:clicked", "variant:string:", "uint32:0")
    ask(where[1], f"{_MENU}.Event", *chosen)
    _told, faults = program.communicate()
    assert program.returncode == 0, faults
