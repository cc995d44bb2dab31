"""How far something long is, with the one key that stops it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QProgressBar, QWidget

from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.reports.numbers import NBSP
from tankkeeper.services.watching import Step

BEGINS = "It begins."
STOPPING = "It stops at the next safe place. Nothing is changed by it."
STOP = "Stop"
_WORDS = {
    Step.READING: "Reading",
    Step.WRITING: "Writing",
    Step.COPYING: "Copying",
    Step.CHECKING: "Checking the copy",
    Step.REPLACING: "Putting it in place, which is not stopped any more",
}
_OF_ENTRIES = (Step.READING, Step.WRITING)


class WorkForm(Form):
    """Stands over the window while something takes long; `stopped` tells that it shall end.

    It goes when the work has ended, not before: until then nobody knows what came of it.
    """

    stopped = Signal()

    def __init__(self, title: str, parent: QWidget) -> None:
        super().__init__(title, "", "", parent)
        self._is_stopping = False
        self.primary.hide()
        self.leave.set_words(STOP)
        self.leave.setDefault(True)
        self.line = CaptionLabel(BEGINS, parent=self)
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName(title)
        self.bar.setFixedHeight(metrics_for(self.font()).px(8))
        self.area.hide()
        at = self.column.indexOf(self.area)
        self.column.insertWidget(at, self.line)
        self.column.insertWidget(at + 1, self.bar)
        self.leave.setFocus()

    def show_far(self, step: Step, done: int, of: int) -> None:
        """Show how far the work is; of how many is zero where nobody knows."""
        self.bar.setRange(0, of)
        self.bar.setValue(done)
        if step is Step.REPLACING:
            self._is_stopping = True
            self.leave.setEnabled(False)
        elif self._is_stopping:
            return
        self.line.setText(f"{_WORDS[step]}{_far(step, done, of)}.")

    def reject(self) -> None:
        """Ask the work to stop; the form stays until it has."""
        if not self._is_stopping:
            self._is_stopping = True
            self.leave.setEnabled(False)
            self.line.setText(STOPPING)
            announce(self, STOPPING)
            self.stopped.emit()

    def end(self) -> None:
        """Go, whatever came of the work."""
        self.accept()


def _far(step: Step, done: int, of: int) -> str:
    if not of:
        return ""
    if step in _OF_ENTRIES:
        return f": {done} of {of} entries of the logbook"
    return f": {100 * done // of}{NBSP}%"
