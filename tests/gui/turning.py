"""Turns the pages of the calendar, month after month, and watches what the process holds."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication

from tankkeeper.app.clock import FixedClock
from tests.gui import pictures, round_house

# There and back over thirty months, so that each is drawn anew and none is met for the first time.
_THERE = 30


@dataclass(frozen=True)
class Turned:
    """What is held after so many months: blocks of the interpreter, and objects of Qt."""

    months: int
    blocks: int
    objects: int


def turned(app: QApplication, folder: Path, months: int, every: int) -> Iterator[Turned]:
    """Turn so many months of the sample household by key, and tell what is held now and then."""
    path = folder / "sample.tankkeeper"
    pictures.make_sample(path)
    clock = FixedClock(pictures.NOW)
    window = round_house.a_window(path, clock)
    window.shell.resize(1280, 800)
    window.show()
    window.shell.activateWindow()
    while window.session is None or window.session.last is None:
        app.processEvents()
    hands = round_house.Hands(window, clock, path, app)
    try:
        hands.settle()
        hands.press("Ctrl+2")
        assert window.morning is not None
        calendar = window.morning.calendar
        assert calendar is not None
        for number in range(1, months + 1):
            hands.press("PgUp" if (number - 1) % (2 * _THERE) < _THERE else "PgDown")
            if number % every == 0:
                # A month that is just being read ahead is some thousand blocks more.
                while calendar.is_reading:
                    hands.settle()
                gc.collect()
                objects = len(window.shell.findChildren(QObject))
                yield Turned(number, sys.getallocatedblocks(), objects)
    finally:
        hands.close()
        window.shell.deleteLater()
        window.deleteLater()
