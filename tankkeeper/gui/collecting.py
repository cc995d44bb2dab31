"""Garbage is looked for in the window's thread and between two events, nowhere else."""

from __future__ import annotations

import gc
from typing import Final

from PySide6.QtCore import QObject, QTimer

_EVERY_MS: Final = 1000


class Collecting(QObject):
    """Collects garbage every second, where there is enough of it, instead of whenever Python would.

    Python itself collects in whichever thread makes one object too many, and in the middle of what
    that does. A widget that is held by nothing but a circle would be deleted in the worker, or
    while it is painted; either can end the program. So Python's own collecting ends here.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        # What was loaded until now stays for good and is not looked through again.
        gc.freeze()
        gc.disable()
        self._timer = QTimer(self)
        self._timer.setInterval(_EVERY_MS)
        self._timer.timeout.connect(collect_if_due)
        self._timer.start()


def collect_if_due() -> None:
    """Collect the generations of which Python would by now have collected the oldest."""
    counts, most = gc.get_count(), gc.get_threshold()
    due = [at for at, (count, limit) in enumerate(zip(counts, most, strict=True)) if count > limit]
    if due:
        gc.collect(due[-1])
