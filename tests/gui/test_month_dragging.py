"""The month by mouse: a turn is dragged to another day by the rules of the board."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tankkeeper.core.chores import Calendar
from tankkeeper.core.logbook import PutOff
from tankkeeper.gui.carrying import DRAG_HELP
from tests.gui.calendar_hands import month_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house

TODAY = date(2026, 3, 12)
WEEKLY = Calendar("FREQ=WEEKLY;BYDAY=TH", date(2026, 3, 5))
LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


def open_month(live_in: LiveIn, **changes: object) -> Hands:
    """Return the window with the month shown."""
    hands = live_in(small_house(**changes))
    hands.press("Ctrl+2")
    return hands


def line(hands: Hands, chore_id: str, day: date = TODAY) -> QPoint:
    """Return where the line of a chore stands in the cell of a day."""
    table = month_of(hands)
    assert table.sheet is not None
    place = table.sheet.place_of(day)
    assert place is not None
    lines = table.drawn(*place).lines
    found = next(one for one in lines if one.chores == (chore_id,))
    area = table.area_of(*place)
    return QPoint(area.left() + int(found.x) + 20, area.top() + int(found.y) - 3)


def cell(hands: Hands, day: date) -> QPoint:
    """Return the middle of the cell of a day."""
    table = month_of(hands)
    assert table.sheet is not None
    place = table.sheet.place_of(day)
    assert place is not None
    return table.area_of(*place).center()


def move(hands: Hands, at: QPoint) -> None:
    """Move the mouse with the button held down."""
    paper = month_of(hands).viewport()
    where = QPointF(paper.mapToGlobal(at))
    kind = QEvent.Type.MouseMove
    moved = QMouseEvent(kind, QPointF(at), where, Qt.MouseButton.NoButton, LEFT, NONE)
    QApplication.sendEvent(paper, moved)
    hands.settle()


def drag(hands: Hands, start: QPoint, end: QPoint, *, lets_go: bool = True) -> None:
    """Press a line, carry it over another day, and let go there."""
    paper = month_of(hands).viewport()
    QTest.mousePress(paper, LEFT, NONE, start)
    move(hands, start + QPoint(30, 0))
    move(hands, end)
    if lets_go:
        QTest.mouseRelease(paper, LEFT, NONE, end)
        hands.settle()


def test_a_turn_is_put_off_by_dragging_its_line(live_in: LiveIn) -> None:
    """Pressed, moved over another day, and let go there; undo brings it back."""
    hands = open_month(live_in, chores=(chore("wipe", "Wipe the lid", 12),))
    drag(hands, line(hands, "wipe"), cell(hands, date(2026, 3, 17)))

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 17)
    assert hands.told.replace("\N{NO-BREAK SPACE}", " ") == "Put off Wipe the lid (Reef) to Tue 17."
    hands.press("Ctrl+Z")
    assert len(hands.log()) == 2
    assert line(hands, "wipe")


def test_while_it_is_carried_the_why_panel_tells_of_it(live_in: LiveIn) -> None:
    """The chore, and what releasing the button does; Escape lets go."""
    hands = open_month(live_in, chores=(chore("wipe", "Wipe the lid", 12),))
    drag(hands, line(hands, "wipe"), cell(hands, date(2026, 3, 17)), lets_go=False)

    assert month_of(hands).hand.is_dragged
    assert hands.why.title == "Wipe the lid"
    assert hands.why.advice == DRAG_HELP
    assert [one.text for one in hands.why.actions] == ["Let go"]
    hands.press("Esc")
    assert not month_of(hands).hand.is_dragged
    assert hands.log() == []


def test_a_day_that_does_not_work_is_refused_and_the_one_that_does_is_offered(
    live_in: LiveIn,
) -> None:
    """The sentence of the board, and its key puts it off to the day that works."""
    hands = open_month(live_in, chores=(chore("sand", "Siphon the sand", None, rhythm=WEEKLY),))
    drag(hands, line(hands, "sand"), cell(hands, date(2026, 3, 20)))

    assert hands.log() == []
    assert not month_of(hands).hand.is_dragged
    assert "next turn comes on" in (hands.why.refusal or "")
    hands.press("Shift+Return")
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 18)


def test_a_day_that_has_gone_by_is_refused(live_in: LiveIn) -> None:
    """Nothing is put off into the past."""
    hands = open_month(live_in, chores=(chore("wipe", "Wipe the lid", 12),))
    drag(hands, line(hands, "wipe"), cell(hands, date(2026, 3, 10)))
    assert hands.log() == []
    assert hands.why.refusal


def test_a_later_turn_of_a_calendar_is_not_carried(live_in: LiveIn) -> None:
    """Why is told, and nothing is held."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=WEEKLY)
    hands = open_month(live_in, chores=(weekly,))
    later = date(2026, 3, 26)
    drag(hands, line(hands, "sand", later), cell(hands, date(2026, 3, 27)), lets_go=False)

    assert not month_of(hands).hand.is_dragged
    assert "does not move with the turn before it" in hands.told
    assert hands.log() == []


def test_undo_while_a_turn_is_dragged_only_lets_it_go(live_in: LiveIn) -> None:
    """What was done before stays, and letting go of the button moves nothing."""
    both = (chore("wipe", "Wipe the lid", 12), chore("lamp", "Wipe the lamp", 12, tank="nook"))
    hands = live_in(small_house(chores=both))
    hands.go_to("lamp")
    hands.press("Space", "Ctrl+2")
    end = cell(hands, date(2026, 3, 17))
    drag(hands, line(hands, "wipe"), end, lets_go=False)
    hands.press("Ctrl+Z")
    move(hands, end + QPoint(5, 5))
    QTest.mouseRelease(month_of(hands).viewport(), LEFT, NONE, end)
    hands.settle()

    assert len(hands.log()) == 1
    assert hands.told.startswith("Let go of Wipe the lid (Reef)")


def test_a_click_on_a_line_only_chooses_its_day(live_in: LiveIn) -> None:
    """Only a drag puts off."""
    hands = open_month(live_in, chores=(chore("wipe", "Wipe the lid", 12),))
    hands.press("Right")
    QTest.mouseClick(month_of(hands).viewport(), LEFT, NONE, line(hands, "wipe"))
    hands.settle()

    assert month_of(hands).day == TODAY
    assert hands.log() == []


def test_a_key_that_opens_the_day_lets_go_what_the_mouse_carries(live_in: LiveIn) -> None:
    """Whatever hides the month: nothing is put off behind it."""
    hands = open_month(live_in, chores=(chore("wipe", "Wipe the lid", 12),))
    end = cell(hands, date(2026, 3, 17))
    drag(hands, line(hands, "wipe"), end, lets_go=False)
    hands.press("Return")
    QTest.mouseRelease(month_of(hands).viewport(), LEFT, NONE, end)
    hands.settle()

    assert not month_of(hands).hand.is_dragged
    assert hands.log() == []
