"""The head of a day in the month: its number, the word of today and its minutes, in any type."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.gui.models.month_sheet import DayCell
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.month_cells import CellStyle, DrawnCell
from tankkeeper.gui.widgets.month_table import MonthTable
from tankkeeper.reports.numbers import NBSP, plain
from tests.gui.calendar_hands import month_of
from tests.gui.conftest import LiveIn, Wear

STEPS = tuple(range(80, 210, 10))
FULL = (f"82+13{NBSP}min", f"182+13{NBSP}min", f"182+113{NBSP}min")
# The ring around the day with the keys.
RING = 3


def full_month(table: MonthTable, minutes: str, today: str) -> None:
    """Let every day have this much to do, and today this number."""
    sheet = table.sheet
    assert sheet is not None
    weeks = tuple(
        tuple(
            replace(one, minutes=minutes, number=today if one.is_today else one.number)
            for one in week
        )
        for week in sheet.weeks
    )
    assert table.day is not None
    table.set_sheet(replace(sheet, weeks=weeks), table.day)


def minutes_of(drawn: DrawnCell) -> str:
    """Return the minutes as they stand in a cell, whatever line they need."""
    return drawn.minutes + ("" if drawn.waiting is None else drawn.waiting.text)


def stands_whole(drawn: DrawnCell, width: int, height: int, style: CellStyle) -> bool:
    """Tell whether the head of a cell lies inside the ring, and above what follows it."""
    words = [
        (drawn.number, drawn.number_x, drawn.number_y, style.strong_metrics),
        (drawn.minutes, drawn.minutes_x, drawn.minutes_y, style.plain_metrics),
    ]
    if drawn.today is not None:
        words.append((*drawn.today, style.strong_metrics))
    if drawn.waiting is not None:
        words.append((*drawn.waiting, style.plain_metrics))
    ends = [x + metrics.wide(text) for text, x, _, metrics in words]
    lowest = max(y for _, _, y, _ in words)
    return (
        min(x for _, x, _, _ in words) >= RING
        and max(ends) <= width - RING
        and lowest + style.plain_metrics.descent() <= height
        and len({y for _, _, y, _ in words}) >= len(words) - 1
        and all(line.y > lowest for line in drawn.lines)
    )


def days_of(table: MonthTable) -> list[tuple[DayCell, DrawnCell, int, int]]:
    """Return each day with how it is drawn, and the size of its cell."""
    assert table.sheet is not None
    return [
        (cell, table.drawn(row, column), table.columnWidth(column), table.rowHeight(row))
        for row, week in enumerate(table.sheet.weeks)
        for column, cell in enumerate(week)
    ]


@pytest.mark.parametrize("size", [(1280, 800), (1000, 700)])
def test_the_minutes_of_a_full_day_are_never_left_out(
    live_in: LiveIn, wear: Wear, size: tuple[int, int]
) -> None:
    """At every step of the type: they go below, then lose their unit, and lines follow them."""
    hands = live_in(size=size)
    hands.press("Ctrl+2")
    table = month_of(hands)
    seen = set()

    for percent in STEPS:
        wear(Scheme.LIGHT, percent)
        hands.settle()
        for minutes in FULL:
            for number in (f"12{NBSP}today", f"1{NBSP}Dec{NBSP}today"):
                full_month(table, minutes, number)
                for cell, drawn, width, height in days_of(table):
                    told = minutes_of(drawn)
                    seen.add(told)
                    assert told in (minutes, minutes.partition(NBSP)[0]), (percent, drawn)
                    assert stands_whole(drawn, width, height, table.styled()), (percent, drawn)
                    has_word = drawn.number == number or drawn.today is not None
                    assert has_word == cell.is_today

    assert "82+13" in seen
    assert "82+13 min" in map(plain, seen)


def test_a_line_of_work_follows_the_minutes_of_today_in_any_type(
    live_in: LiveIn, wear: Wear
) -> None:
    """Each week has room for its head and one line, so today tells what it has to do."""
    hands = live_in()
    hands.press("Ctrl+2")
    table = month_of(hands)

    for percent in STEPS:
        wear(Scheme.LIGHT, percent)
        hands.settle()
        full_month(table, FULL[0], f"12{NBSP}today")
        (today,) = (drawn for cell, drawn, _, _ in days_of(table) if cell.is_today)
        assert today.lines
