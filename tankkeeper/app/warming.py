"""Loads what is not shown yet while nobody waits, so that the first press of a key is as quick.

Loading the modules of a page takes up to a tenth of a second, which is felt when it happens at the
key press. Only the window's thread loads them: a binding's classes are made when first asked for,
and two threads that ask at once spoil them.
"""

from __future__ import annotations

import pkgutil
import sys
from collections.abc import Iterator
from importlib import import_module
from typing import Final

from PySide6.QtCore import QObject, QTimer

from tankkeeper.gui.window import Window

STEP_MS: Final = 60
# What stands on others comes after them, so that no step loads much at once.
_PACKAGES: Final = (
    "tankkeeper.gui.models",
    "tankkeeper.gui.widgets",
    "tankkeeper.gui.forms",
    "tankkeeper.gui.pages",
    "tankkeeper.gui",
)


def names_to_load() -> Iterator[str]:
    """Yield the window's modules, the ones that others stand on first."""
    for package in _PACKAGES:
        path = import_module(package).__path__
        for found in pkgutil.iter_modules(path, f"{package}."):
            if not found.ispkg:
                yield found.name


class Warming(QObject):
    """Loads one module after the other until there is none left."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._names = names_to_load()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._step)
        self._timer.start(STEP_MS)

    @property
    def is_under_way(self) -> bool:
        """Whether there is something left to load."""
        return self._timer.isActive()

    def _step(self) -> None:
        """Load the next module, unless the worker needs the interpreter for what was asked."""
        if not self._window.worker.is_busy:
            name = next((one for one in self._names if one not in sys.modules), None)
            if name is None:
                return
            import_module(name)
        self._timer.start(STEP_MS)
