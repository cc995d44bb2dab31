"""What stands where room is short: the banner is cut, heads give way, the row in hand is seen."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.core.household import Household
from tankkeeper.gui.models.round_rows import Figure
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.widgets.banner import Banner
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tests.gui.checks import overlapping
from tests.gui.conftest import Remind, Wear
from tests.gui.reminded import Reminded, changed_house
from tests.gui.round_house import chore
from tests.gui.test_large_type import with_two_reminders

LONG = "Clean the pump and every pipe that leads from the sump to the display and back again"
KEYED = ["Show (Ctrl+G)", "Close (Ctrl+Shift+G)"]
SIZES = ((1280, 800), (640, 480))


def long_house() -> Household:
    """Return a house whose pumps are off for works with long names, and with many lines."""
    house = changed_house()
    first, *others = house.chores
    more = [chore(f"more{at}", f"Wipe shelf {at}", 12, tank="nook") for at in range(9)]
    long = [replace(first, id=f"pump{at}", name=f"{LONG} {at}") for at in (1, 2)]
    return replace(house, chores=(*long, first, *others, *more))


def opened(remind: Remind, size: tuple[int, int], *chores: str) -> Reminded:
    """Return a window of a size in which these chores were ticked."""
    one = remind(long_house())
    one.hands.window.shell.resize(*size)
    one.hands.settle()
    for name in chores:
        one.hands.go_to(name)
        one.hands.press("Space")
    return one


def banner_of(one: Reminded) -> Banner:
    assert one.desk.banner is not None
    return one.desk.banner


def in_window(one: Reminded, part: QWidget) -> QRect:
    return QRect(part.mapTo(one.hands.frame, QPoint(0, 0)), part.size())


def read(one: Reminded) -> str:
    return banner_of(one).findChildren(NoticeBar)[0].shown_text


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_banner_takes_at_most_a_quarter_of_the_window(
    remind: Remind, wear: Wear, percent: int, size: tuple[int, int]
) -> None:
    """Whatever the sentence; the head and the list share the rest without lying on each other."""
    wear(Scheme.LIGHT, percent)
    one = opened(remind, size, "pump1", "pump2", "pump")
    frame, page = one.hands.frame, one.hands.window.morning.page  # type: ignore[union-attr]

    assert banner_of(one).height() <= frame.height() // 4
    assert in_window(one, banner_of(one)).top() >= in_window(one, frame.stack).bottom()
    assert in_window(one, page.head).bottom() < in_window(one, page.list).top()
    assert in_window(one, page.list).bottom() <= in_window(one, frame.stack).bottom()
    heads = page.head.heads.geometry()
    shown = (page.head.title, page.head.sentence, page.head.figures)
    assert not any(part.isVisible() and part.geometry().intersects(heads) for part in shown)
    one.hands.press("Ctrl+2")
    calendar = one.hands.window.morning.calendar.page  # type: ignore[union-attr]
    assert calendar.head.geometry().bottom() < calendar._stack.geometry().top()
    buttons = [button for button in calendar.head.children() if isinstance(button, QWidget)]
    inside = calendar.head.rect()
    assert all(inside.contains(button.geometry()) for button in buttons if button.isVisible())


def test_a_key_shows_all_of_what_is_cut_over_the_page_and_cuts_it_again(
    remind: Remind, wear: Wear
) -> None:
    """No row moves by it; the sentence is read whole, and aloud it always is."""
    wear(Scheme.LIGHT, 200)
    one = opened(remind, (1280, 800), "pump1", "pump2")
    before = one.hands.frame.stack.geometry()
    assert read(one).endswith("… Ctrl+Shift+M: more")
    assert len(read(one)) < len(one.restart)

    one.hands.press("Ctrl+Shift+M")

    assert read(one) == one.restart
    assert one.hands.frame.stack.geometry() == before
    assert in_window(one, banner_of(one)).top() < in_window(one, one.hands.frame.stack).bottom()
    one.hands.press("Ctrl+Shift+M")
    assert read(one).endswith("… Ctrl+Shift+M: more")
    one.hands.press("Ctrl+R")
    one.hands.press("Ctrl+Shift+M")
    assert one.hands.told == "There is nothing more to show of a reminder."


def test_a_click_on_a_sentence_that_is_cut_shows_all_of_it(remind: Remind, wear: Wear) -> None:
    """As the key does; the buttons that had no room stand under it."""
    wear(Scheme.LIGHT, 200)
    one = opened(remind, (800, 800), "pump1", "pump2")
    bar = banner_of(one).findChildren(NoticeBar)[0]
    assert not any(button.isVisible() for button in bar._buttons)

    QTest.mouseClick(bar, Qt.MouseButton.LeftButton, pos=bar.rect().center())
    one.hands.settle()

    assert read(one) == one.restart
    assert all(button.isVisible() for button in bar._buttons)
    QTest.mouseClick(bar._buttons[0], Qt.MouseButton.LeftButton)
    one.hands.settle()
    assert one.restart == ""


@pytest.mark.parametrize(("percent", "size"), [(125, (1280, 800)), (150, (1000, 700))])
def test_the_buttons_keep_their_keys_beside_a_sentence_that_is_cut(
    remind: Remind, wear: Wear, percent: int, size: tuple[int, int]
) -> None:
    """Who works by keys needs them more than a few more words; all of it is a key away."""
    wear(Scheme.LIGHT, percent)
    one = with_two_reminders(remind)
    one.hands.window.shell.resize(*size)
    one.hands.settle()
    reminder = banner_of(one).findChildren(NoticeBar)[1]

    assert "…" in reminder.shown_text
    assert [button.words for button in reminder._buttons] == KEYED
    assert all(button.isVisible() for button in reminder._buttons)


def test_all_of_a_reminder_has_its_buttons_with_keys_under_it(remind: Remind, wear: Wear) -> None:
    """In double type they have no room beside the sentence that is shown whole."""
    wear(Scheme.LIGHT, 200)
    one = with_two_reminders(remind)
    one.hands.press("Ctrl+Shift+M")
    reminder = banner_of(one).findChildren(NoticeBar)[1]

    assert "…" not in reminder.shown_text
    assert [button.words for button in reminder._buttons] == KEYED
    assert reminder._whole is not None
    assert reminder._buttons[0].y() >= reminder._whole.geometry().bottom()


def test_a_sentence_that_fits_is_not_cut(remind: Remind) -> None:
    """At the usual size of type all of it is read."""
    one = opened(remind, (1280, 800), "pump1")
    assert read(one) == one.restart


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_row_in_hand_is_seen_whole_when_the_banner_grows(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """The next line gets the keys, and then the banner takes its place from the list."""
    wear(Scheme.LIGHT, percent)
    one = opened(remind, (1000, 600))
    hands = one.hands
    for name in ("pump1", "pump2", "pump", "skim"):
        hands.go_to(name)
        hands.press("Space")
        here = hands.list.visualRect(hands.list.currentIndex())
        assert hands.current()
        assert hands.list.viewport().rect().contains(here), name


def test_a_list_that_was_scrolled_away_from_its_row_stays_where_it_is(remind: Remind) -> None:
    """A growing banner brings nothing back that was not seen before."""
    one = opened(remind, (1000, 500), "skim")
    one.hands.go_to("more8")
    bar = one.hands.list.verticalScrollBar()
    bar.setValue(0)
    one.hands.window.shell.resize(1000, 480)
    one.hands.settle()
    assert bar.value() == 0


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_two_rows_stay_in_sight_while_something_is_found(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """The head gives way to the line of finding, and the row that was found is seen whole."""
    wear(Scheme.LIGHT, percent)
    one = opened(remind, (1280, 800), "pump1", "pump2", "pump")
    hands, morning = one.hands, one.hands.window.morning
    assert morning is not None
    head = morning.page.head
    banner_of(one).show_sentences(one.restart, f"Reef: {LONG}. Nook: {LONG}.")
    words = "Away since Sunday morning: 11 overdue, 11 due, 17 not written down."
    morning.notices._show(words, (Command.MEANWHILE, Command.CLOSE_NOTICE))
    hands.settle()
    before = head.height()

    hands.press("Ctrl+F")
    hands.type("1")
    hands.settle()

    # That of the pump is done, and this is the first that is to do.
    assert hands.current() == "more1"
    assert hands.list.viewport().height() >= 2 * hands.list.metrics.row_height
    assert hands.list.viewport().rect().contains(hands.area("more1"))
    hands.press("Esc")
    assert head.height() == before


@pytest.mark.parametrize("percent", [100, 125, 150, 175, 200])
def test_the_sums_stay_in_sight_beside_all_that_is_told(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """The list gives way, then the sentence and the title; a line of work is still seen whole."""
    wear(Scheme.LIGHT, percent)
    one = opened(remind, (1280, 800), "pump1", "pump2", "pump")
    hands, morning = one.hands, one.hands.window.morning
    assert morning is not None
    head, page = morning.page.head, morning.page
    banner_of(one).show_sentences(one.restart, f"Reef: {LONG}. Nook: {LONG}.")
    words = "Away since Sunday morning: 11 overdue, 11 due, 17 not written down."
    morning.notices._show(words, (Command.MEANWHILE, Command.CLOSE_NOTICE))
    # As many sums as there are in a house with every kind of water and two buckets.
    sums = ("138 min", "left today"), ("4.2 L", "to fill up"), ("40 L", "to mix")
    more = ("40 L", "salt water"), ("4 + 2", "fills: white bucket, blue jug")
    figures = tuple(Figure(*one) for one in (*sums, *more))
    head.set_texts("Thursday 12 March", "Thu 12 March", "11 due. 3 done.", figures)
    hands.settle()

    assert head.figures.isVisible()
    assert head.rect().contains(head.figures.geometry())
    assert page.list.viewport().rect().contains(page.list.visualRect(page.list.currentIndex()))
    assert page.list.viewport().height() >= 2 * page.list.metrics.row_height
    assert overlapping(hands.frame) == []


def test_the_sums_go_where_nothing_else_fits(remind: Remind, wear: Wear) -> None:
    """In the smallest window at double type two lines of work are worth more."""
    wear(Scheme.LIGHT, 200)
    one = opened(remind, (640, 480), "pump1", "pump2", "pump")
    page = one.hands.window.morning.page  # type: ignore[union-attr]

    assert not page.head.figures.isVisible()
    assert (
        one.hands.list.viewport()
        .rect()
        .contains(one.hands.list.visualRect(one.hands.list.currentIndex()))
    )


def test_the_menu_scrolls_in_one_column_at_double_type(remind: Remind, wear: Wear) -> None:
    """Its last command is reached by key and stands on the screen."""
    one = opened(remind, (1280, 800))
    wear(Scheme.LIGHT, 200)
    one.hands.press("F10")
    menu = one.hands.frame.top.menu()
    places = [menu.actionGeometry(action) for action in menu.actions()]
    assert {place.left() for place in places} == {places[0].left()}
    assert menu.height() < sum(place.height() for place in places)

    QTest.keyClick(menu, Qt.Key.Key_End)

    last = menu.activeAction()
    assert last is not None
    assert last.objectName() == "quit"
    row = menu.actionGeometry(last)
    assert menu.rect().top() <= row.top()
    assert row.bottom() <= menu.rect().bottom()
    assert menu.mapToGlobal(row.center()).y() < menu.screen().geometry().bottom()
    menu.close()


@pytest.mark.parametrize("elsewhere", [(), ("Ctrl+2",)])
def test_the_row_in_hand_is_seen_after_the_type_changed(
    remind: Remind, wear: Wear, elsewhere: tuple[str, ...]
) -> None:
    """Rows take other heights, and so another place; also while another page is shown."""
    wear(Scheme.LIGHT, 200)
    one = opened(remind, (1280, 800), "pump1")
    for name, percent in (("more4", 100), ("more8", 200), ("lamp", 100), ("more3", 150)):
        one.hands.go_to(name)
        one.hands.press(*elsewhere)
        wear(Scheme.LIGHT, percent)
        one.hands.press("Ctrl+1")
        here = one.hands.list.visualRect(one.hands.list.currentIndex())
        assert one.hands.current() == name
        assert one.hands.list.viewport().rect().contains(here), name


@pytest.mark.painted
@pytest.mark.parametrize("page", ["Ctrl+2", "Ctrl+6"])
def test_the_names_stand_above_their_columns_after_the_type_changed_elsewhere(
    remind: Remind, wear: Wear, page: str
) -> None:
    """A page that was not seen meanwhile looks as if it had been."""
    wear(Scheme.LIGHT, 200)
    one = opened(remind, (1280, 800))
    one.hands.press(page)
    wear(Scheme.LIGHT, 100)
    one.hands.press("Ctrl+1")
    found = one.hands.window.shell.grab().toImage()
    round_page = one.hands.window.morning.page  # type: ignore[union-attr]

    assert round_page.head.heads._columns == round_page.list.columns
    one.hands.window.shell.resize(1279, 800)
    one.hands.settle()
    one.hands.window.shell.resize(1280, 800)
    one.hands.settle()
    QApplication.processEvents()
    assert one.hands.window.shell.grab().toImage() == found


@pytest.mark.painted
@pytest.mark.parametrize("keys", [(), ("B",), ("Return",)])
def test_the_calendar_looks_the_same_when_the_type_changed_elsewhere(
    remind: Remind, wear: Wear, keys: tuple[str, ...]
) -> None:
    """Month, board and day are laid out anew when they are shown."""
    wear(Scheme.LIGHT, 200)
    one = opened(remind, (1280, 800))
    one.hands.press("Ctrl+2", *keys, "Ctrl+1")
    wear(Scheme.LIGHT, 100)
    one.hands.press("Ctrl+2")
    found = one.hands.window.shell.grab().toImage()

    one.hands.window.shell.resize(1270, 790)
    one.hands.settle()
    one.hands.window.shell.resize(1280, 800)
    one.hands.settle()
    assert one.hands.window.shell.grab().toImage() == found


@pytest.mark.parametrize(("percent", "stays"), [(100, True), (150, True), (200, False)])
def test_the_head_of_the_logbook_gives_way_beside_two_reminders(
    remind: Remind, wear: Wear, percent: int, stays: bool
) -> None:
    """At double type entries are seen instead of the title; its key still exports them."""
    wear(Scheme.LIGHT, percent)
    one = opened(remind, (1280, 800), "pump1", "pump2")
    banner_of(one).show_sentences(one.restart, f"Reef: {LONG}. Nook: {LONG}.")
    hands = one.hands
    assert hands.window.session is not None
    # What was told of the last tick, a chore with a long name, may take two lines.
    hands.window.session.did.emit("Undone.")
    hands.press("Ctrl+6")
    morning = hands.window.morning
    assert morning is not None
    assert morning.logbook is not None
    page = morning.logbook.page
    assert page.title.isVisible() is stays
    # At double type an entry takes two lines, and two of them are seen whole.
    row = page.list.visualRect(page.list.model().index(0, 0)).height()
    assert page.list.viewport().height() >= (4 if stays else 2) * row
    hands.press("Tab", "Tab")
    assert hands.focus().isVisible()
