"""The logbook says which change was taken back, and which was made again."""

from __future__ import annotations

from tankkeeper.gui.widgets.log_list import LogList
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.test_tank_page import go, open_page, write


def _texts(hands: Hands) -> list[str]:
    hands.press("Ctrl+6")
    hands.settle()
    log = hands.frame.findChild(LogList)
    assert log is not None
    model = log.model()
    found = [str(model.index(at, 0).data()) for at in range(model.rowCount())]
    hands.press("Ctrl+1")
    return found


def test_an_undo_of_an_undo_names_the_change(live_in: LiveIn) -> None:
    """However often it goes there and back."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "name")
    write(hands, "Ledge")
    hands.press("Ctrl+Return", "Esc", "Ctrl+Z", "Ctrl+Y", "Ctrl+Z")
    told = " | ".join(_texts(hands))
    assert "Did again: Changed the tank Ledge" in told
    assert told.count("Undid: Changed the tank Ledge") == 2
    assert "earlier entry" not in told
