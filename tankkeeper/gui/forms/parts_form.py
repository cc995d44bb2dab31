"""A form that shows what would change, part by part, before one key makes it so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.palette import Role
from tankkeeper.gui.typography import Space, Weight, metrics_for
from tankkeeper.gui.widgets.labels import BodyLabel, CaptionLabel
from tankkeeper.reports.preview_words import Part

_WIDE = 620


class PartsForm(Form):
    """Shows parts with their lines; Tab leads to them where they are to be scrolled by key."""

    def __init__(self, title: str, sentence: str, keep: str, parent: QWidget) -> None:
        super().__init__(title, sentence, keep, parent)
        self.setMinimumWidth(min(metrics_for(self.font()).px(_WIDE), parent.width()))
        self.area.setAccessibleName("What would change")
        self.area.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.fields.setVerticalSpacing(Space.XXS)
        self.primary.setEnabled(False)
        # An item that a layout was asked for outlives its row in Python, and ends the program when
        # another one takes its place in memory (seen with PySide6 6.11); so none is asked for.
        self._lines: list[BodyLabel | CaptionLabel] = []

    def show_parts(self, parts: Iterable[Part], end: str = "") -> None:
        """Show these instead of what stood here."""
        self.clear()
        for part in parts:
            self._add_gap()
            self._add(CaptionLabel(part.heading, weight=Weight.SEMIBOLD, parent=self))
            self._add_lines(part.lines)
        if end:
            self._add_gap()
            self._add(CaptionLabel(end, parent=self))
        self.fit()

    def fit(self, *, shrinks: bool = True) -> None:
        """Take the room of what stands here now, which is less for one thing than for another."""
        super().fit(shrinks=shrinks)

    def _heighten_fields(self) -> None:
        """Give each line the height that it takes, which a form layout only guesses."""
        width = self.area.viewport().width()
        for label in self._lines:
            label.setFixedHeight(label.heightForWidth(width))

    def clear(self) -> None:
        """Take away all parts."""
        self._lines.clear()
        while self.fields.rowCount():
            self.fields.removeRow(0)

    def told(self) -> list[str]:
        """Return what stands in the parts, from top to bottom."""
        return [one.text() for one in self._lines]

    def _add_gap(self) -> None:
        if self.fields.rowCount():
            gap = QWidget(self)
            gap.setFixedHeight(Space.XS)
            self.fields.addRow(gap)

    def _add_lines(self, lines: Sequence[str]) -> None:
        for line in lines:
            self._add(BodyLabel(line, ink=Role.INK, parent=self))

    def _add(self, label: BodyLabel | CaptionLabel) -> None:
        self._lines.append(label)
        self.fields.addRow(label)
