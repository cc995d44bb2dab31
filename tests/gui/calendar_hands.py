"""The parts of the calendar that tests of its keys look at."""

from __future__ import annotations

from tankkeeper.gui.pages.calendar_page import CalendarPage
from tankkeeper.gui.widgets.month_table import MonthTable
from tests.gui.round_house import Hands


def page_of(hands: Hands) -> CalendarPage:
    """Return the page of the calendar."""
    assert hands.window.morning is not None
    assert hands.window.morning.calendar is not None
    return hands.window.morning.calendar.page


def month_of(hands: Hands) -> MonthTable:
    """Return the table of the month."""
    return page_of(hands).month.table
