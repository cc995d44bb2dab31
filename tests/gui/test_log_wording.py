"""The logbook says which change was taken back, and which was made again."""

from __future__ import annotations

from datetime import date, timedelta

from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.models.log_rows import LogRow
from tankkeeper.gui.widgets.log_list import LogList
from tankkeeper.services.log_pages import PAGE
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.setting_hands import go
from tests.gui.test_tank_page import open_page, write

NBSP = "\N{NO-BREAK SPACE}"


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
    assert told.count("Taken back: Changed the tank Ledge") == 2
    assert "earlier entry" not in told


def _rows(hands: Hands) -> list[LogRow]:
    hands.press("Ctrl+6")
    assert hands.window.morning is not None
    assert hands.window.morning.logbook is not None
    return list(hands.window.morning.logbook.page.list.log_model.rows)


def _first(rows: list[LogRow]) -> str:
    return rows[0].text.replace(NBSP, " ")


def test_the_undo_of_a_deed_of_many_rows_is_one_line(live_in: LiveIn) -> None:
    """The rows are struck; doing it again is one line, too, and Delete on it takes all back."""
    hands = live_in()
    hands.go_to("glass")
    hands.press("Shift+Down", "Space")
    count = len(hands.log())
    assert count == 2
    hands.press("Ctrl+Z")

    rows = _rows(hands)
    assert [row.text.replace(NBSP, " ") for row in rows] == [
        "Taken back: 2 entries of Clean the glass and Wipe the lid",
        "Done: Wipe the lid",
        "Done: Clean the glass",
    ]
    assert [row.is_struck for row in rows] == [False, True, True]
    hands.press("Ctrl+Shift+Z")
    rows = _rows(hands)
    assert _first(rows) == "Did again: 2 entries of Clean the glass and Wipe the lid"
    hands.press("Home")
    assert hands.why.small.endswith("Did again")
    assert [row.is_struck for row in rows] == [False, True, False, False]

    hands.press("Home", "Delete")
    rows = _rows(hands)
    assert _first(rows) == "Taken back: 2 entries of Clean the glass and Wipe the lid"
    assert [row.is_struck for row in rows] == [False, True, False, True, True]
    # Each entry is a row of its own in the file, as before.
    assert len(hands.log()) == 8


def test_a_deed_of_more_rows_than_a_page_is_one_line(live_in: LiveIn) -> None:
    """However many there are: what follows stands behind it."""
    first = date(2025, 9, 1)
    ticks = tuple(
        an_entry(at + 1, (first + timedelta(days=at)).isoformat(), done="wipe")
        for at in range(PAGE + 30)
    )
    hands = live_in(entries=ticks)
    session = hands.window.session
    assert session is not None
    session.deeds.take_back([one.id for one in ticks], Answer("Taken back.", lambda _error: None))
    hands.settle()

    rows = _rows(hands)
    assert rows[0].text == f"Taken back: {PAGE + 30}{NBSP}entries of Wipe the lid"
    assert len(rows[0].ids) == PAGE + 30
    assert rows[1].text == "Done: Wipe the lid"
    assert rows[1].is_struck
