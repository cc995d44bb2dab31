"""The ring around the turn with the keys, on a board whose nouns are wider than its days."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QPaintEvent, QRegion
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.board_table import BoardTable
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import chore, small_house


@pytest.mark.painted
@pytest.mark.parametrize("percent", [80, 90, 100])
def test_the_ring_is_drawn_and_taken_away_as_far_as_a_noun_reaches(
    live_in: LiveIn, wear: Wear, monkeypatch: pytest.MonkeyPatch, percent: int
) -> None:
    """A key that goes on has both places drawn anew, also what of them lies in the next day."""
    drawn: list[QRegion] = []
    paint = BoardTable.paintEvent

    def noted(table: BoardTable, event: QPaintEvent) -> None:
        drawn.append(event.region())
        paint(table, event)

    monkeypatch.setattr(BoardTable, "paintEvent", noted)
    wear(Scheme.LIGHT, percent)
    chores = tuple(chore(f"c{at}", "Clean it", 12, noun="mmmmmmm") for at in range(3))
    hands = live_in(small_house(chores=chores))
    hands.press("Ctrl+2", "B")
    table = page_of(hands).board.table
    wide = 0

    for key in ("Down", "Down", "Up"):
        before = table.currentIndex()
        QApplication.processEvents()
        drawn.clear()
        hands.press(key)
        region = QRegion()
        for one in drawn:
            region = region.united(one)
        for index in (before, table.currentIndex()):
            cell = table._model.cell_at(index)
            assert cell is not None
            reach = table._reach(index.row(), index.column(), cell).toAlignedRect()
            wide += reach.width() > table.columnWidth(index.column())
            assert QRegion(reach).subtracted(region).isEmpty()

    assert wide
