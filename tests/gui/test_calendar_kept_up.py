"""The calendar never keeps a state that is older than what the window has."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from datetime import date

import pytest
from PySide6.QtCore import QEvent, QObject

from tankkeeper.core.errors import Surroundings
from tankkeeper.gui.calendar_desk import CalendarDesk
from tankkeeper.gui.models.month_reading import CalendarSheets, CalendarWish
from tankkeeper.gui.models.month_sheet import MonthSheet, day_at_head
from tankkeeper.gui.pages.calendar_page import CalendarPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.widgets.labels import PlainLabel
from tankkeeper.services.desk import Desk
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands

TODAY = date(2026, 3, 12)


def head_of(hands: Hands) -> str:
    """Return the sentence under the title of the calendar."""
    text: str = page_of(hands).head.sentence.text()
    return text.replace("\N{NO-BREAK SPACE}", " ")


def hit(hands: Hands, *keys: str) -> None:
    """Press keys one right behind the other, so that the window takes nothing between them."""
    for key in keys:
        hands.hit(key)


def read_but_not_taken(hands: Hands) -> None:
    """Let what was pressed be written and read in the worker, and the window not take it yet."""
    worker, go_on = hands.window.worker, threading.Event()
    worker._pool.waitForDone()
    # What was written is told while the worker is held, so that the reading has not begun.
    worker.run(go_on.wait, lambda _done: None, lambda _error: None)
    hands.app.processEvents()
    go_on.set()
    worker._pool.waitForDone()


def tick_today(hands: Hands, chore: str) -> None:
    """Tick a chore in the list of today, and let the window not take the new reading yet."""
    page = page_of(hands)
    hands.press("Home", "Return")
    page.month.list.go_to(page.month.list.round_model.row_of(chore))
    hands.hit("Space")
    read_but_not_taken(hands)


@pytest.mark.parametrize(
    ("keys", "day"),
    [
        # Read ahead from the state before, so that it is shown at once.
        (("1", "2", ".", "4", "Return"), date(2026, 4, 12)),
        (("1", ".", "5", "Return"), date(2026, 5, 1)),
        # Its month is shown already.
        (("1", ".", "3", "Return"), date(2026, 3, 1)),
    ],
)
def test_a_month_asked_for_between_a_reading_and_its_taking_is_of_that_reading(
    live_in: LiveIn, keys: Sequence[str], day: date
) -> None:
    """The head of the month counts what the round counts, and the panel tells of its day."""
    hands = live_in()
    hands.press("Ctrl+2")
    assert head_of(hands).startswith("2 overdue, 7 due.")
    tick_today(hands, "wipe")

    hit(hands, *keys)
    hands.settle()

    assert month_of(hands).day == day
    assert "2 overdue, 6 due." in head_of(hands)
    assert hands.why.title == day_at_head(day, TODAY)


def test_a_month_is_shown_once_for_each_reading(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the window asks for and what a reading brings besides may be the same."""
    hands = live_in()
    hands.press("Ctrl+2")
    shown: list[MonthSheet] = []
    show: Callable[[CalendarPage, MonthSheet, date], None] = CalendarPage.show_month

    def counted(page: CalendarPage, sheet: MonthSheet, day: date) -> None:
        shown.append(sheet)
        show(page, sheet, day)

    monkeypatch.setattr(CalendarPage, "show_month", counted)
    tick_today(hands, "wipe")
    shown.clear()
    hit(hands, "1", ".", "5", "Return")
    hands.settle()
    assert [one.month for one in shown] == [date(2026, 5, 1)]

    assert hands.window.session is not None
    hands.window.session.refresh()
    hands.settle()

    assert [one.month for one in shown] == [date(2026, 5, 1)] * 2


class Painted(QObject):
    """Notes when something in the why panel is painted."""

    def __init__(self, hands: Hands, noted: list[str]) -> None:
        super().__init__()
        self._hands, self._noted = hands, noted

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let everything pass."""
        is_painted = event.type() is QEvent.Type.Paint and isinstance(watched, PlainLabel)
        if is_painted and self._hands.frame.why.isAncestorOf(watched):
            self._noted.append("panel")
        return False


@pytest.mark.painted
@pytest.mark.parametrize(
    "keys", [("1", ".", "5", "Return"), ("PgDown",)], ids=["read when asked", "read ahead"]
)
def test_the_panel_tells_of_the_day_before_months_are_read_ahead(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch, keys: Sequence[str]
) -> None:
    """Else it shows another day than the one with the keys while the worker is busy with that."""
    noted: list[str] = []
    read_ahead = CalendarDesk._read_ahead

    def noting(desk: CalendarDesk) -> None:
        noted.append("ahead")
        read_ahead(desk)

    monkeypatch.setattr(CalendarDesk, "_read_ahead", noting)
    hands = live_in()
    hands.press("Ctrl+2")
    hands.settle()
    watching = Painted(hands, noted)
    hands.app.installEventFilter(watching)
    noted.clear()

    hit(hands, *keys)
    hands.settle()
    hands.app.removeEventFilter(watching)

    assert noted.count("ahead") == 1
    assert "panel" in noted[: noted.index("ahead")]


def test_a_board_asked_for_between_a_reading_and_its_taking_is_of_that_reading(
    live_in: LiveIn,
) -> None:
    """What was ticked stands there as done."""
    hands = live_in()
    hands.press("Ctrl+2")
    tick_today(hands, "wipe")

    hit(hands, "B")
    hands.settle()

    page = page_of(hands)
    assert page.is_board
    closed = {cell.row.item.chore.id for cell in page.board.table.cells() if cell.row.is_closed}
    assert closed == {"wipe"}


def test_a_month_that_could_not_be_read_is_read_when_it_is_asked_for_again(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fails once leaves no month out of reach for as long as the window stands."""
    hands = live_in()
    hands.press("Ctrl+2")
    read = CalendarWish.read
    failed: list[CalendarWish] = []

    def fail_once(wish: CalendarWish, desk: Desk, shown: Shown) -> CalendarSheets:
        if wish.day is not None and wish.day.month == 6 and not failed:
            failed.append(wish)
            raise Surroundings("file_in_use")
        return read(wish, desk, shown)

    monkeypatch.setattr(CalendarWish, "read", fail_once)

    hands.press("PgDown", "PgDown", "PgDown")
    assert len(failed) == 1
    hands.press("PgDown")

    assert month_of(hands).sheet.title == "June 2026"
