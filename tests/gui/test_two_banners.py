"""What is told above a page and beneath it at once leaves the page its room."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.gui.pages.calendar_page import CalendarPage
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tankkeeper.services.reminder_habits import Habits
from tests.gui.checks import cut_labels, overlapping
from tests.gui.conftest import Remind, Wear
from tests.gui.reminded import Reminded
from tests.gui.round_house import chore
from tests.gui.test_large_type import LONG_REMINDER
from tests.gui.test_noticing import SUNDAY_EVENING, _house


def away_and_reminded(remind: Remind) -> Reminded:
    """Return the window after four days, with a reminder as long as they get."""
    house = _house()
    more = tuple(chore(f"more{at}", f"Rinse part {at}", 10 + at) for at in range(9))
    house = replace(house, chores=(*house.chores, *more))
    one = remind(house, habits=Habits(), entries=(SUNDAY_EVENING,))
    assert one.desk.banner is not None
    one.desk.banner.show_sentences(one.restart, LONG_REMINDER)
    one.hands.settle()
    return one


def shown_lines(bar: NoticeBar) -> str:
    """Return what a bar shows, with plain spaces."""
    return bar.shown_text.replace("\u00a0", " ")


@pytest.mark.parametrize("percent", [100, 150])
def test_the_reminder_has_one_line_while_days_off_are_told(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """A key shows the rest of it; once the notice is closed the reminder has its lines again."""
    wear(Scheme.LIGHT, percent)
    one = away_and_reminded(remind)
    hands = one.hands
    hands.press("Ctrl+2")
    assert one.desk.banner is not None
    (reminder,) = (bar for bar in one.desk.banner.findChildren(NoticeBar) if bar.isVisible())
    page = hands.frame.stack.currentWidget()
    assert isinstance(page, CalendarPage)
    (away,) = (bar for bar in page.findChildren(NoticeBar) if bar.isVisible())
    assert away.sentence.startswith("Away since Sunday evening")
    cut = reminder._cut
    assert cut is not None
    assert cut.label.height() < 2 * cut.label.line_px()
    assert shown_lines(reminder).endswith("Ctrl+Shift+M: more")
    assert cut_labels(hands.frame) == []
    assert overlapping(hands.frame) == []
    low, high = one.desk.banner.height(), page.month.table.height()

    hands.press("Ctrl+Shift+M")
    assert shown_lines(reminder) == LONG_REMINDER
    assert one.desk.banner.height() > low
    assert page.month.table.height() == high
    hands.press("Ctrl+Shift+M")
    assert shown_lines(reminder).endswith("Ctrl+Shift+M: more")
    assert one.desk.banner.height() == low

    hands.press("Ctrl+1")
    hands.press("Esc")
    hands.press("Ctrl+2")
    assert not any(bar.isVisible() for bar in page.findChildren(NoticeBar))
    assert shown_lines(reminder) == LONG_REMINDER
    assert one.desk.banner.height() > low


def test_the_month_names_chores_beside_both(remind: Remind) -> None:
    """At 1280 x 800 its cells do not fall back to bare counts."""
    one = away_and_reminded(remind)
    one.hands.press("Ctrl+2")
    page = one.hands.frame.stack.currentWidget()
    assert isinstance(page, CalendarPage)
    table, sheet = page.month.table, page.month.sheet
    assert sheet is not None
    busy = {
        (row, column): cell
        for row, week in enumerate(sheet.weeks)
        for column, cell in enumerate(week)
        if cell.lines
    }
    assert busy
    for (row, column), cell in busy.items():
        lines = table.drawn(row, column).lines
        assert lines, cell.day
        texts = "".join(one.first + one.second for one in lines)
        assert any(letter.isalpha() for letter in texts)


@pytest.mark.parametrize("percent", [100, 125, 150])
def test_all_that_is_told_takes_no_more_than_a_third_of_the_window(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """Days off, pumps that are off and a long reminder at once: each has one line then."""
    wear(Scheme.LIGHT, percent)
    one = away_and_reminded(remind)
    assert one.desk.banner is not None
    off = "Reef: pumps and heater may still be off. Switch them on again, one by one. " * 2
    one.desk.banner.show_sentences(off, LONG_REMINDER)
    one.hands.settle()
    frame = one.hands.frame
    page = frame.stack.currentWidget()
    assert page is not None

    bars = [bar for bar in frame.findChildren(NoticeBar) if bar.isVisible()]
    assert len(bars) == 3
    assert sum(bar.height() for bar in bars) <= frame.height() / 3
    for bar in one.desk.banner.findChildren(NoticeBar):
        cut = bar._cut
        assert cut is not None
        assert cut.label.height() < 2 * cut.label.line_px()
        assert shown_lines(bar).endswith("Ctrl+Shift+M: more")
