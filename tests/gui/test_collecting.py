"""Garbage is collected in the window's thread, between two events, and enough of it only."""

from __future__ import annotations

import gc
import threading
import weakref
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from tankkeeper.gui.collecting import Collecting, collect_if_due
from tankkeeper.gui.worker import Worker


class Ring:
    """An object that only a circle holds."""

    def __init__(self) -> None:
        self.itself = self


@pytest.fixture
def _without_rest() -> Iterator[None]:
    """Begin with no garbage at all, and with what Python counts at nought."""
    gc.collect()
    yield
    gc.collect()


def _rings(number: int, gone_in: list[int]) -> None:
    for _ in range(number):
        weakref.finalize(Ring(), lambda: gone_in.append(threading.get_ident()))


@pytest.mark.usefixtures("_without_rest")
def test_what_the_worker_leaves_is_collected_in_the_thread_of_the_window(
    qapp: object,
    qtbot: QtBot,
) -> None:
    """Without it the 5,000 would be collected in the worker, by the seventh hundred of them."""
    worker, owner = Worker(), QObject()
    Collecting(owner)
    gone_in: list[int] = []

    worker.run(lambda: _rings(5000, gone_in), lambda _none: None, lambda _error: None)
    with qtbot.waitSignal(worker.idle):
        pass
    qtbot.waitUntil(lambda: len(gone_in) >= 5000)
    worker.finish()
    owner.deleteLater()

    assert not gc.isenabled()
    assert set(gone_in) == {threading.get_ident()}


@pytest.mark.usefixtures("_without_rest")
def test_a_little_garbage_is_left_for_later() -> None:
    gone_in: list[int] = []
    _rings(3, gone_in)

    collect_if_due()

    assert gone_in == []
    gc.collect()
    assert len(gone_in) == 3


@pytest.mark.usefixtures("_without_rest")
def test_what_grew_old_is_collected_too() -> None:
    """An object that outlived two collections is looked for after as many as Python would wait."""
    gone_in: list[int] = []
    old = Ring()
    weakref.finalize(old, lambda: gone_in.append(0))
    gc.collect(0)
    gc.collect(1)
    del old

    young: list[int] = []
    looks = 0
    while not gone_in and looks < 1000:
        _rings(800, young)
        collect_if_due()
        looks += 1

    _, middle, oldest = gc.get_threshold()
    assert gone_in == [0]
    assert looks <= (middle + 2) * (oldest + 2)
