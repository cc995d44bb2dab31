"""What was done beside the plan is told as extra, not as the planned work it resembles."""

from __future__ import annotations

from datetime import date

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.logbook import WaterChange
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.month_sheet import day_counts, day_reason, day_rows
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.board_paint import needed_width
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tests.builders import an_entry
from tests.gui.calendar_hands import month_of
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import chore, small_house
from tests.gui.test_board import board_of, go_to

TENTH, THURSDAY = date(2026, 3, 10), date(2026, 3, 12)


def test_an_extra_change_is_none_of_the_planned_ones(live_in: LiveIn) -> None:
    """Neither in cell, sentence and panel, nor in the list and the minutes of its day."""
    change = chore("change", "Change water", 20, kind=ChoreKind.WATER_CHANGE, minutes=45)
    entries = (
        an_entry(1, "2026-03-10", done="glass"),
        an_entry(2, "2026-03-10", WaterChange(3.0, salinity=0.0), tank="reef"),
    )
    house = small_house(chores=(change, chore("glass", "Clean the glass", 9)))
    hands = live_in(house, entries=entries)
    hands.press("Ctrl+2")
    sheet = month_of(hands).sheet
    cell = next(one for week in sheet.weeks for one in week if one.day == TENTH)

    assert sorted(line.noun for line in cell.lines) == ["clean", "extra change"]
    assert cell.counts == ((Mark.DONE, 1),)
    assert day_counts(cell.content, sheet.words.today) == [
        "1 chore",
        "1 done",
        "1 extra",
        "5 minutes",
    ]
    assert sorted(
        day_reason(cell.content, sheet.words.today).split(": ")[1].rstrip(".").split(" and ")
    ) == [
        "change (extra)",
        "clean (done)",
    ]
    (row,) = (
        one
        for one in day_rows(cell.content, sheet.words)
        if isinstance(one, ItemRow) and one.item.is_extra
    )
    assert row.state.startswith("extra ")
    assert (plain(row.amount), row.minutes) == ("3 L fresh water", "")
    assert "as extra, beside the plan: it ticks nothing." in reason(row.item, sheet.words)


def test_the_board_has_it_under_today_as_the_month_does(live_in: LiveIn) -> None:
    """With its word, without minutes, and nothing of it on a day that is past."""
    change = chore("change", "Change water", 20, kind=ChoreKind.WATER_CHANGE, minutes=45)
    entries = (
        an_entry(1, "2026-03-10", WaterChange(4.0, salinity=35.0), tank="reef"),
        an_entry(2, "2026-03-12", WaterChange(3.0, salinity=35.0), tank="reef"),
    )
    hands = live_in(small_house(chores=(change,)), entries=entries)
    hands.press("Ctrl+2")
    sheet = month_of(hands).sheet
    cell = next(one for week in sheet.weeks for one in week if one.day == THURSDAY)
    drawn = [(line.noun, line.mark) for line in cell.lines]

    hands.press("B")

    board = board_of(hands).sheet
    assert board is not None
    found = [one for _, _, one in board.turns() if one.day == THURSDAY]
    assert [(one.noun, one.mark) for one in found] == drawn == [("extra change", Mark.DONE)]
    assert ", extra " in found[0].sentence
    assert found[0].row.minutes == ""
    assert not any(strip.strip.minutes[0] for strip in board.strips)
    assert "as extra, beside the plan: it ticks nothing." in reason(found[0].row.item, board.words)


def test_on_the_board_the_keys_treat_it_as_what_is_done(live_in: LiveIn) -> None:
    """It is no turn that could be put off or left out; Space takes it back."""
    change = chore("change", "Change water", 20, kind=ChoreKind.WATER_CHANGE, minutes=45)
    entries = (an_entry(1, "2026-03-12", WaterChange(3.0, salinity=35.0), tank="reef"),)
    hands = live_in(small_house(chores=(change,)), entries=entries)
    hands.press("Ctrl+2", "B")
    for key in ("P", "S", "Return"):
        go_to(hands, "change")
        hands.press(key)
        assert plain(hands.told) == "Change water: extra 12:00. Take it back first, with Space."

    hands.press("Space")

    board = board_of(hands).sheet
    assert board is not None
    assert [one.noun for _, _, one in board.turns()] == ["change"]


@pytest.mark.painted
@pytest.mark.parametrize("percent", [100, 125, 150, 200])
@pytest.mark.parametrize("noun", ["change", "outside"])
def test_on_the_board_it_keeps_within_its_day(
    live_in: LiveIn, wear: Wear, percent: int, noun: str
) -> None:
    """Its two words are cut at the edge of today; tomorrow beside them is bare ground."""
    wear(Scheme.LIGHT, percent)
    change = chore("change", "Change water", 20, kind=ChoreKind.WATER_CHANGE, noun=noun)
    entries = (an_entry(1, "2026-03-12", WaterChange(3.0, salinity=35.0), tank="reef"),)
    hands = live_in(small_house(chores=(change,)), entries=entries)
    hands.press("Ctrl+2", "B")
    table = board_of(hands)
    assert table.sheet is not None
    found = [one for one in table.sheet.turns() if one[2].row.item.is_extra]
    ((row, column, cell),) = found
    assert cell.noun == f"extra {noun}"
    if percent == 100:
        assert needed_width(cell.noun, table.styled()) > table.columnWidth(column)

    picture = table.viewport().grab().toImage()

    beside = table.visualRect(table.model().index(row, column + 1)).adjusted(3, 3, -3, -3)
    seen = {
        picture.pixel(x, y)
        for x in range(beside.left(), beside.right())
        for y in range(beside.top(), beside.bottom())
    }
    assert len(seen) == 1
