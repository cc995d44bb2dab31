"""Second thoughts on the pages where things are set down: undo, the wheel, another choice."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from tankkeeper.core.household import Animal, Tank
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.services.settling_animals import Brings, chores_brought
from tests.builders import a_household, day
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.test_chores_page import choose, open_chores


def nook(hands: Hands) -> Tank:
    assert hands.window.session is not None
    with hands.window.session.desk.store.reading() as reading:
        return hands.window.session.desk.household(reading).tanks[0]


def on_its_page(hands: Hands) -> None:
    """Open the page of the first tank; its name has the keys."""
    hands.press("F2")


def test_undo_after_keeping_takes_back_what_was_kept(live_in: LiveIn) -> None:
    """Also with the keys still in the field that was typed into."""
    hands = live_in()
    on_its_page(hands)
    hands.hit("End")
    hands.type("s")
    hands.press("Ctrl+Return")
    assert nook(hands).name == "Reefs"

    hands.press("Ctrl+Z")

    assert nook(hands).name == "Reef"
    assert hands.told.startswith("Undone")


def test_undo_while_typing_takes_back_the_letters_first(live_in: LiveIn) -> None:
    """Then, once nothing is typed any more, what was done before, after it was named."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    on_its_page(hands)
    hands.hit("End")
    hands.type("s")

    hands.press("Ctrl+Z")
    assert hands.focus().text() == "Reef"  # type: ignore[attr-defined]
    assert len(hands.log()) == 1
    hands.press("Ctrl+Z")
    assert len(hands.log()) == 1
    hands.press("Ctrl+Z")
    assert not [one for one in hands.log() if not one.revoked and one.entry.completes]


def test_undo_beside_a_typed_change_puts_that_back_and_nothing_else(live_in: LiveIn) -> None:
    """What was done on another tank before stays; it was not what one looks at."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    on_its_page(hands)
    hands.hit("End")
    hands.type("s")
    hands.window.morning.settling.tank.page.buttons["stage"].setFocus()  # type: ignore[union-attr]

    hands.press("Ctrl+Z")

    assert hands.told == "Put back what stood there before."
    assert len(hands.log()) == 1
    assert not hands.window.morning.settling.tank.sheet.is_changed  # type: ignore[union-attr]


def test_the_wheel_moves_the_page_and_chooses_nothing(live_in: LiveIn) -> None:
    """Whatever lies under the mouse while the page scrolls."""
    hands = live_in()
    on_its_page(hands)
    page = hands.window.morning.settling.tank.page  # type: ignore[union-attr]
    chosen = {one: one.currentIndex() for one in page.findChildren(ChoiceField)}
    assert len(chosen) > 3

    for field in chosen:
        middle = QPointF(field.rect().center())
        turn = QWheelEvent(
            middle,
            QPointF(field.mapToGlobal(middle)),
            QPoint(0, 0),
            QPoint(0, -120),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(field, turn)

    assert {one: one.currentIndex() for one in chosen} == chosen


def test_seven_days_become_each_week_and_days_again(live_in: LiveIn) -> None:
    """Another way to count begins at one; back at the first way what stood there stands again."""
    hands = live_in()
    desk = open_chores(hands)
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    assert desk.sheet is not None
    count = desk.sheet.fields["rhythm.count"].typed
    assert count is not None
    before = count.text
    assert before not in ("", "1")

    choose(hands, desk, "rhythm.way", "On days of the week")
    assert count.text == "1"
    choose(hands, desk, "rhythm.way", "After it was last done")
    assert count.text == before


def test_tab_leads_from_the_last_field_to_the_buttons(live_in: LiveIn) -> None:
    """All of a sheet is reached, then Keep, before anything outside the page."""
    hands = live_in()
    on_its_page(hands)
    page = hands.window.morning.settling.tank.page  # type: ignore[union-attr]
    hands.type("s")
    reached = []
    for _ in range(200):
        hands.hit("Tab")
        if not page.isAncestorOf(hands.focus()):
            break
        reached.append(hands.focus())

    assert reached[-1] is page.buttons["keep"]
    assert page.buttons["new"] in reached
    assert len(reached) > 30


def test_all_but_one_takes_two_keys(live_in: LiveIn) -> None:
    """Who only feeds does not do all the rest."""
    hands = live_in()
    hands.press("Ctrl+,")
    desk = hands.window.morning.settling.house  # type: ignore[union-attr]
    desk.page.buttons["people"].setFocus()
    hands.press("Space", "Return")
    many = desk.sheet.fields["not_for"].many
    many.all.setFocus()
    hands.hit("Space")
    assert all(box.isChecked() for box in many.boxes)
    feeding = next(box for box in many.boxes if box.text() == "Feeding")
    feeding.setFocus()
    hands.hit("Space")

    assert not many.all.isChecked()
    assert [box.text() for box in many.boxes if not box.isChecked()] == ["Feeding"]


def test_animals_that_came_long_ago_bring_no_quarantine() -> None:
    """Four weeks and two to be late in (common practice, no source), then it is over."""
    today = day("2026-03-12")
    house = a_household()
    days = (None, date(2024, 11, 25), date(2026, 1, 28), date(2026, 1, 29), today)
    names = {}
    for came in days:
        fish = Animal("nook", "clownfish", 2, came, jumper=True)
        names[came] = [one.name for one in chores_brought(house, fish, tuple(Brings), today)]

    assert names[None] == names[date(2024, 11, 25)] == ["Check the mesh screen"]
    assert names[date(2026, 1, 28)] == ["Check the mesh screen"]
    # The daily tests would have ended two weeks ago.
    assert names[date(2026, 1, 29)] == [names[today][0], names[today][2]]
    assert len(names[today]) == 3
