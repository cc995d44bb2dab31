"""What the window loads at its start: a step at a time here, the household in the worker."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from tankkeeper.gui.loading import FRAME, ROUND, Opening, Steps
from tankkeeper.gui.openings import Opened
from tankkeeper.services.desk import Desk

NAMES = ("made_for_steps_first", "made_for_steps_second")


class FakeStore:
    """Notes that it was closed."""

    def __init__(self) -> None:
        self.is_closed = False

    def close(self) -> None:
        """Take note of it."""
        self.is_closed = True


class FakeDesk:
    """Has nothing but a store."""

    def __init__(self) -> None:
        self.store = FakeStore()


@pytest.fixture
def modules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, ...]:
    """Return the names of modules that nobody has loaded."""
    for name in NAMES:
        (tmp_path / f"{name}.py").write_text("")
        monkeypatch.delitem(sys.modules, name, raising=False)
    monkeypatch.syspath_prepend(str(tmp_path))
    return NAMES


def test_each_module_is_a_step_of_its_own(qtbot: QtBot, modules: tuple[str, ...]) -> None:
    """It goes on only once all of them are there."""
    gone_on: list[bool] = []
    owner = QObject()
    steps = Steps(owner)
    steps.go(modules, lambda: gone_on.append(all(name in sys.modules for name in modules)))

    assert steps.is_busy
    assert not any(name in sys.modules for name in modules)
    qtbot.waitUntil(lambda: bool(gone_on))
    assert gone_on == [True]
    assert not steps.is_busy


def test_what_is_there_already_takes_no_step(qapp: object) -> None:
    """It goes on at once."""
    gone_on: list[str] = []
    owner = QObject()
    Steps(owner).go(("sys",), lambda: gone_on.append("on"))
    assert gone_on == ["on"]


def test_a_window_that_closes_meanwhile_loads_no_more(
    qtbot: QtBot, modules: tuple[str, ...]
) -> None:
    """Nor does it go on."""
    gone_on: list[str] = []
    owner = QObject()
    steps = Steps(owner)
    steps.go(modules, lambda: gone_on.append("on"))
    steps.stop()
    qtbot.wait(20)

    assert not steps.is_busy
    assert gone_on == []
    assert modules[1] not in sys.modules


def test_a_household_that_was_opened_for_nobody_is_closed_again() -> None:
    """Where it was not opened yet there is nothing to close."""
    desk = FakeDesk()
    opening = Opening(lambda: Opened(cast("Desk", desk)))
    opening.close()
    assert not desk.store.is_closed

    assert opening.run() is opening.opened
    opening.close()
    assert desk.store.is_closed


def test_all_that_is_named_is_there() -> None:
    """A name that leads nowhere would end the window at its start."""
    root = Path(__file__).resolve().parents[2]
    files = [root.joinpath(*name.split(".")).with_suffix(".py") for name in (*FRAME, *ROUND)]
    assert [file.name for file in files if not file.exists()] == []
