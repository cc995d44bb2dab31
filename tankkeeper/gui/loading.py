"""What the window loads at its start, in which thread, and in steps between which it answers."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

if TYPE_CHECKING:
    from tankkeeper.gui.openings import Opened

# In this order no step loads much: the window answers between them.
FRAME = (
    *(f"tankkeeper.gui.{name}" for name in ("icons", "shortcuts")),
    *(f"tankkeeper.gui.widgets.{name}" for name in ("bars", "rail_delegate", "rail", "why_panel")),
    *(f"tankkeeper.gui.{name}" for name in ("frame", "menu")),
)
ROUND = (
    *(f"tankkeeper.gui.{name}" for name in ("widgets.round_columns", "pages.round_page")),
    *(f"tankkeeper.gui.{name}" for name in ("session", "ticking", "line_desk", "noticing")),
    *(f"tankkeeper.gui.{name}" for name in ("why_desk", "views", "morning")),
)
# What these need of services and sentences, none of which knows Qt.
_BEHIND = (
    "tankkeeper.gui.models.round_rows",
    *(f"tankkeeper.services.{name}" for name in ("away", "calendar", "keeping", "ticking")),
    *(f"tankkeeper.reports.{name}" for name in ("away_words", "faults")),
)


def load_modules(names: Sequence[str]) -> None:
    """Import modules by name."""
    for name in names:
        import_module(name)


class Steps(QObject):
    """Loads modules one by one in the window's thread, which answers between them.

    PySide6 makes a class of Qt when it is first asked for, and not safely from two threads at once
    (seen in 6.11.3: `Qt` without its enumerations). So no other thread loads what asks for any.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._names: list[str] = []
        self._then: Callable[[], None] | None = None
        self._next = QTimer(self)
        self._next.setInterval(0)
        self._next.timeout.connect(self._on_next)

    def go(self, names: Sequence[str], then: Callable[[], None]) -> None:
        """Load modules by name, then go on; at once where all are there."""
        self._names = [name for name in names if name not in sys.modules]
        self._then = then
        if self._names:
            self._next.start()
        else:
            then()

    @property
    def is_busy(self) -> bool:
        """Whether something is still to be loaded."""
        return self._next.isActive()

    def stop(self) -> None:
        """Load no more."""
        self._next.stop()

    def _on_next(self) -> None:
        if self._names:
            import_module(self._names.pop(0))
            return
        self._next.stop()
        if self._then is not None:
            self._then()


class Opening:
    """Loads what is behind the frame and opens the household, in the worker."""

    def __init__(self, door: Callable[[], Opened]) -> None:
        self._door = door
        self.opened: Opened | None = None

    def run(self) -> Opened:
        """Return the open household; the import here is why the window is quick."""
        self.opened = self._door()
        load_modules(_BEHIND)
        return self.opened

    def close(self) -> None:
        """Close the household again, if it was opened."""
        if self.opened is not None:
            self.opened.desk.store.close()
