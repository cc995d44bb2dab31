"""The row in hand stands in sight above the banner, whatever the size of the type."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import Calendar, ChoreKind, IfMissed
from tankkeeper.core.household import Household
from tankkeeper.gui.models.round_rows import HeadingRow
from tankkeeper.gui.openings import Standing
from tankkeeper.gui.pages.calendar_page import CalendarPage
from tankkeeper.gui.pages.logbook_page import LogbookPage
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.typography import Space
from tests.gui.conftest import LiveIn, Remind, Wear
from tests.gui.reminded import Reminded
from tests.gui.round_house import SEVEN, chore, small_house
from tests.gui.test_large_type import LONG_REMINDER

TANKS = ("reef", "nook")


def full_house() -> Household:
    """Return the small house with feedings that are told, and many lines that are done first."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 12), (time(7), time(8), time(9)))
    feed = chore("feed", "Feed", None, rhythm=daily, tank="nook", if_missed=IfMissed.EACH)
    lines = [chore(f"line{at}", f"Wipe the pane {at}", 12) for at in range(7)]
    house = small_house(chores=(*lines, feed))
    return replace(house, tanks=house.tanks)


def is_in_sight(one: Reminded) -> bool:
    """Tell whether the current row stands whole in the list, and the list above the banner."""
    rows, banner = one.hands.list, one.desk.banner
    assert banner is not None
    area = rows.visualRect(rows.currentIndex())
    foot = rows.viewport().mapTo(one.hands.window.shell, area.bottomLeft()).y()
    top = banner.mapTo(one.hands.window.shell, banner.rect().topLeft()).y()
    return rows.viewport().rect().contains(area) and (banner.isHidden() or foot <= top)


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_row_in_hand_is_in_sight_whatever_stands_beneath(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """A row that is chosen while the calendar is shown, and one that a banner had cut."""
    wear(Scheme.LIGHT, percent)
    one = remind(full_house(), now=SEVEN + timedelta(hours=1))
    for at in range(7):
        one.hands.go_to(f"line{at}")
        one.hands.press("Ctrl+2")
        one.desk.following.go_to_chore("feed")
        one.hands.settle()
        assert is_in_sight(one), at
        one.hands.go_to(f"line{at}")
        one.hands.press("Space", "Ctrl+2")
        one.passes(timedelta(minutes=1))
        one.hands.press("Ctrl+1")
        assert is_in_sight(one), at


def test_a_row_cut_by_two_banners_is_whole_once_one_is_gone(remind: Remind, wear: Wear) -> None:
    """Pumps that run again leave room, and the row in hand comes into it."""
    wear(Scheme.LIGHT, 150)
    pump = chore("pump", "Clean the pump", 12, kind=ChoreKind.SERVICE, minutes=20)
    house = full_house()
    one = remind(replace(house, chores=(pump, *house.chores)), now=SEVEN + timedelta(hours=1))
    one.hands.go_to("pump")
    one.hands.press("Space")
    for at in range(3):
        one.hands.go_to(f"line{at}")
        one.hands.press("Space")
    assert one.restart
    assert is_in_sight(one)
    rows = one.hands.list
    rows.verticalScrollBar().setValue(rows.verticalScrollBar().value() - rows.height() // 2)

    one.hands.press("Ctrl+R")

    assert one.restart == ""
    assert is_in_sight(one)


@pytest.mark.parametrize("done", range(1, 8))
def test_the_row_in_hand_is_in_sight_where_the_window_opens_in_the_calendar(
    remind: Remind, wear: Wear, done: int
) -> None:
    """The round takes its room late then, and the banner some of it."""
    wear(Scheme.LIGHT, 150)
    one = remind(full_house(), now=SEVEN + timedelta(hours=1))
    for at in range(done):
        one.hands.go_to(f"line{at}")
        one.hands.press("Space")
    here = one.hands.window.doors.here
    one.hands.window.open(lambda: replace(here(), standing=Standing("calendar", None)))
    one.hands.settle()
    assert one.reminder
    assert one.hands.frame.view_id == "calendar"

    one.hands.press("Ctrl+1")

    assert is_in_sight(one)


@pytest.mark.parametrize("percent", [100, 200])
def test_the_heading_comes_into_sight_with_the_first_line_of_a_tank(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """Tanks have chores of the same names: without it nobody knows whose line is in hand."""
    wear(Scheme.LIGHT, percent)
    lines = [
        chore(f"{tank}{at}", f"Wipe {at}", 12, tank=tank) for tank in TANKS for at in range(25)
    ]
    hands = live_in(small_house(chores=tuple(lines)))
    hands.press("End")
    rows = hands.list

    hands.go_to("nook0")

    heading = rows.round_model.index(rows.currentIndex().row() - 1)
    area = rows.viewport().rect()
    assert area.contains(rows.visualRect(heading))
    assert area.contains(rows.visualRect(rows.currentIndex()))


def test_the_heading_comes_into_sight_with_a_line_from_above(live_in: LiveIn) -> None:
    """An undo leads back to the third line of a tank whose heading was scrolled away."""
    places = [(tank, at) for tank in TANKS for at in range(25)]
    lines = [chore(f"{tank}{at}", f"Wipe {at}", 12, tank=tank) for tank, at in places]
    hands = live_in(small_house(chores=tuple(lines)))
    hands.go_to("nook2")
    hands.press("Space", "End", "Ctrl+Z")

    assert hands.current() == "nook2"
    rows = hands.list
    heading = rows.round_model.index(rows.currentIndex().row() - 3)
    assert isinstance(rows.round_model.rows[heading.row()], HeadingRow)
    assert rows.viewport().rect().contains(rows.visualRect(heading))
    assert rows.viewport().rect().contains(rows.visualRect(rows.currentIndex()))


def beside_a_reminder(remind: Remind, sentence: str, done: int = 0) -> Reminded:
    """Return the full house beside a reminder, with the last line in hand and some done."""
    one = remind(full_house(), now=SEVEN + timedelta(hours=1))
    for at in range(done):
        one.hands.go_to(f"line{at}")
        one.hands.press("Space")
    assert one.desk.banner is not None
    one.desk.banner.show_sentences("", sentence)
    one.hands.settle()
    one.hands.go_to("line6")
    return one


@pytest.mark.parametrize(("percent", "times"), [(100, 8), (150, 5), (200, 2)])
def test_the_row_in_hand_is_in_sight_while_all_of_a_reminder_is_read(
    remind: Remind, wear: Wear, percent: int, times: int
) -> None:
    """It lies over the foot of the page: the row comes above it, and stays when it is cut again."""
    wear(Scheme.LIGHT, percent)
    one = beside_a_reminder(remind, LONG_REMINDER * times)
    for keys in (("Ctrl+Shift+M",), ("Up",), ("End",), ("Ctrl+Shift+M",)):
        one.hands.press(*keys)
        assert is_in_sight(one), keys
    assert one.hands.list.viewport().rect().bottom() > 0


@pytest.mark.parametrize(("percent", "times"), [(100, 8), (150, 4), (200, 2)])
@pytest.mark.parametrize("keys", [("Ctrl+2", "Return", "End"), ("Ctrl+6", "End")])
def test_the_line_of_a_day_is_in_sight_while_all_of_a_reminder_is_read(
    remind: Remind, wear: Wear, percent: int, times: int, keys: tuple[str, ...]
) -> None:
    """A day in the calendar and the logbook are as the round; the month itself does not move."""
    wear(Scheme.LIGHT, percent)
    one = beside_a_reminder(remind, LONG_REMINDER * times, done=7)
    one.hands.press(*keys, "Ctrl+Shift+M")
    page, banner = one.hands.frame.stack.currentWidget(), one.desk.banner
    assert isinstance(page, CalendarPage | LogbookPage)
    rows = page.month.list if isinstance(page, CalendarPage) else page.list
    assert banner is not None
    area = rows.visualRect(rows.currentIndex())
    foot = rows.viewport().mapTo(one.hands.window.shell, area.bottomLeft()).y()
    top = banner.mapTo(one.hands.window.shell, banner.rect().topLeft()).y()

    assert rows.viewport().rect().contains(area)
    assert foot <= top


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_no_room_of_a_text_before_stays_empty_for_a_moment(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """Cut to one line beside a notice, a reminder has the height of one, and the list begins

    right under a head that gave way, before the next events are dealt with.
    """
    wear(Scheme.LIGHT, percent)
    one = beside_a_reminder(remind, LONG_REMINDER * 3)
    banner, morning = one.desk.banner, one.hands.window.morning
    assert banner is not None
    assert morning is not None
    banner.show_sentences("Reef: pumps and heater may still be off. " * 4, LONG_REMINDER * 3)
    one.hands.settle()
    before = banner.height()

    morning.notices._show("Away since Sunday morning: 11 overdue.", (Command.CLOSE_NOTICE,))
    one.hands.settle()

    column, page = banner.layout(), morning.page
    assert column is not None
    assert banner.height() <= before
    assert banner.height() == column.totalHeightForWidth(banner.width())
    assert page.list.y() == page.head.geometry().bottom() + 1 + Space.XXS
    assert is_in_sight(one)
