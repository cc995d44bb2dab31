"""The calendar by keyboard and mouse: days, months, the list of a day, and what is read aloud."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QPaintEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.core.chores import Calendar, ChoreKind
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Revoke, WaterChange
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.chore_specs import chore_groups
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.month_sheet import DayCell
from tankkeeper.gui.pages.empty_page import EmptyPage
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.month_cells import lay_out_cell, style_for
from tankkeeper.gui.widgets.month_legend import WORDS
from tankkeeper.gui.widgets.month_table import PAST_WEEK, THIS_WEEK, MonthTable
from tankkeeper.reports.numbers import plain
from tankkeeper.services.exchange import fill
from tests.builders import an_entry
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import SEVEN, Hands, box, chore, small_house

TODAY = date(2026, 3, 12)

OF_FIRSTS = Calendar("FREQ=MONTHLY;BYMONTHDAY=1", date(2026, 3, 1))


def cell_of(hands: Hands, day: date) -> DayCell:
    """Return the cell of a day."""
    sheet = month_of(hands).sheet
    assert sheet is not None
    cell = sheet.cell(day)
    assert cell is not None
    return cell


def head_of(hands: Hands) -> str:
    """Return the sentence under the title of the month."""
    text: str = page_of(hands).head.sentence.text()
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_another_month_says_that_it_counts_today(live_in: LiveIn) -> None:
    """Work of today is told beside a month that is past or to come, so it says whose it is."""
    hands = live_in()
    hands.press("Ctrl+2")
    assert head_of(hands) == "2 overdue, 7 due. Daily chores are in the minutes."

    hands.press("PgDown")

    assert head_of(hands) == "Today: 2 overdue, 7 due. Daily chores are in the minutes."
    hands.press("Home")
    assert head_of(hands).startswith("2 overdue")


@pytest.mark.painted
def test_another_month_is_painted_once(live_in: LiveIn, monkeypatch: pytest.MonkeyPatch) -> None:
    """Qt's table would paint itself again for the heights of the weeks, a moment later."""
    painted: list[int] = []
    paint = MonthTable.paintEvent

    def counted(table: MonthTable, event: QPaintEvent) -> None:
        painted.append(event.rect().height())
        paint(table, event)

    monkeypatch.setattr(MonthTable, "paintEvent", counted)
    hands = live_in()
    hands.press("Ctrl+2")
    for key in ("PgDown", "PgUp", "PgUp"):
        painted.clear()
        hands.press(key)
        assert painted == [month_of(hands).viewport().height()], key


def test_where_nothing_is_due_another_month_says_so_of_today(live_in: LiveIn) -> None:
    """As a sentence that goes on in small letters."""
    hands = live_in(small_house(chores=(chore("wipe", "Wipe", 20),)))
    hands.press("Ctrl+2", "PgDown")

    assert head_of(hands) == "Today: nothing is due. Daily chores are in the minutes."


def test_a_month_before_the_logbook_says_when_it_begins(live_in: LiveIn) -> None:
    """Its days are empty because nothing was written down; the month of its beginning is not."""
    done = an_entry(1, "2026-01-31", done="wipe", key="2026-01-31")
    hands = live_in(entries=(done,))
    hands.press("Ctrl+2", "PgUp")
    assert "logbook" not in head_of(hands)
    hands.press("PgUp")
    assert "logbook" not in head_of(hands)

    hands.press("PgUp")

    assert head_of(hands) == "The logbook begins on 31 January 2026. Today: 3 overdue, 6 due."


def test_a_month_whose_last_week_reaches_into_the_logbook_says_so_too(live_in: LiveIn) -> None:
    """February ends on a Saturday: its last week shows 1 March, when the logbook begins."""
    done = an_entry(1, "2026-03-01", done="wipe", key="2026-03-01")
    hands = live_in(entries=(done,))
    hands.press("Ctrl+2", "PgUp")

    assert cell_of(hands, date(2026, 3, 1)).lines
    assert head_of(hands).startswith("The logbook begins on 1 March 2026.")


def test_without_a_logbook_a_past_month_says_so(live_in: LiveIn) -> None:
    """Only a past one: this month and those to come show what is planned."""
    hands = live_in()
    hands.press("Ctrl+2", "PgUp")
    assert head_of(hands).startswith("Nothing is in the logbook yet. Today: ")

    hands.press("PgDown", "PgDown")

    assert "logbook" not in head_of(hands)


def test_the_calendar_is_built_when_it_is_first_shown(live_in: LiveIn) -> None:
    """The start of the window does not pay for it."""
    hands = live_in()
    assert hands.window.morning is not None
    before = hands.window.morning.calendar

    hands.press("Ctrl+2")

    assert before is None
    assert hands.frame.view_id == "calendar"
    assert month_of(hands).hasFocus()
    assert month_of(hands).day == TODAY


def test_arrow_keys_move_the_day_also_across_months(live_in: LiveIn) -> None:
    """A day, a week; from the first of a month the key leads into the one before."""
    hands = live_in()
    hands.press("Ctrl+2", "Right", "Down")
    assert month_of(hands).day == date(2026, 3, 20)

    hands.press("Up", "Up", "Up")

    table = month_of(hands)
    assert table.day == date(2026, 2, 27)
    assert table.sheet is not None
    assert table.sheet.title == "February 2026"
    assert table.current_cell() is not None
    assert table.current_cell().day == date(2026, 2, 27)  # type: ignore[union-attr]


def test_months_and_years_are_gone_through_by_key_and_home_leads_back(live_in: LiveIn) -> None:
    """Any month, past or coming."""
    hands = live_in()
    hands.press("Ctrl+2", "PgDown", "PgDown", "Shift+PgUp")
    assert month_of(hands).day == date(2025, 5, 12)

    hands.press("Home")

    assert month_of(hands).day == TODAY


def test_the_last_of_a_month_goes_to_the_last_of_a_shorter_one(live_in: LiveIn) -> None:
    """There is no 31 February to go to."""
    hands = live_in()
    hands.press("Ctrl+2", *(["Down"] * 2), *(["Right"] * 5))
    assert month_of(hands).day == date(2026, 3, 31)

    hands.press("PgUp")

    assert month_of(hands).day == date(2026, 2, 28)


def test_a_week_begins_on_the_first_weekday_of_the_household(live_in: LiveIn) -> None:
    """Where the week begins on Sunday, Sunday is the first column."""
    hands = live_in(small_house(first_weekday=6))

    hands.press("Ctrl+2")

    sheet = month_of(hands).sheet
    assert sheet is not None
    assert sheet.heads[0] == "Sun"
    assert all(week[0].day.weekday() == 6 for week in sheet.weeks)


def test_a_day_reads_as_a_sentence(live_in: LiveIn) -> None:
    """A screen reader hears day, chores, what is overdue, and the minutes."""
    hands = live_in()
    hands.press("Ctrl+2")
    table = month_of(hands)

    told = table.model().data(table.currentIndex(), Qt.ItemDataRole.AccessibleTextRole)

    assert told.startswith("Thursday 12 March, today, 9 chores, 2 overdue, 7 due")
    assert told.endswith("minutes")
    cell = QAccessible.queryAccessibleInterface(table)
    assert cell is not None


def test_title_and_day_count_alike(live_in: LiveIn) -> None:
    """Work of every day is not drawn; it is counted everywhere, and told in brackets."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 12))
    more = tuple(chore(f"feed{at}", "Feed", None, rhythm=daily) for at in range(2))
    hands = live_in(small_house(chores=(*small_house().chores, *more)))
    hands.press("Ctrl+2")
    sheet = month_of(hands).sheet
    assert sheet is not None
    today = sheet.cell(date(2026, 3, 12))
    assert today is not None

    drawn = dict(today.counts)

    # Seven of the small house stand drawn, and two feedings of every day beside them.
    assert drawn[Mark.DUE] == 7
    assert sheet.sentence.startswith("2 overdue, 9 due (2 of every day)")
    assert "11 chores, 2 overdue, 9 due (2 of every day), " in today.sentence


def test_what_can_wait_is_called_so_in_every_view(live_in: LiveIn) -> None:
    """The calendar, its legend and the page of a chore have the word of the round."""
    early = chore("sieve", "Rinse the sieve", 13, early_days=3)
    hands = live_in(small_house(chores=(*small_house().chores, early)))
    assert hands.row("sieve").state.replace("\N{NO-BREAK SPACE}", " ").startswith("can wait to")
    hands.press("Ctrl+2")
    sheet = month_of(hands).sheet
    assert sheet is not None
    tomorrow = sheet.cell(date(2026, 3, 13))
    assert tomorrow is not None

    assert ", 1 can wait, " in tomorrow.sentence
    assert dict(WORDS)[Mark.MAY_WAIT] == "can wait"
    names = [spec.named for group in chore_groups("reef") for spec in group.specs]
    assert "Can wait after" in names
    assert [one for one in names if "may wait" in one.casefold()] == []


def test_the_week_of_today_is_taller_and_past_weeks_are_lower(live_in: LiveIn) -> None:
    """1.7 and 0.86 times the height of a week to come, as designed."""
    hands = live_in(size=(1440, 900))
    hands.press("Ctrl+2")
    table = month_of(hands)
    assert table.sheet is not None
    here = table.sheet.week_of_today

    coming = table.rowHeight(here + 1)

    assert table.rowHeight(here) / coming == pytest.approx(THIS_WEEK, abs=0.03)
    assert table.rowHeight(here - 1) / coming == pytest.approx(PAST_WEEK, abs=0.03)


def test_return_opens_the_day_and_space_ticks_in_its_list(live_in: LiveIn) -> None:
    """The list of a day has the keys of the round, and the round shows what was done there."""
    hands = live_in()
    hands.press("Ctrl+2", "Return")
    page = page_of(hands)
    assert page.month.is_day_open
    assert page.month.list.current_row().item.chore.id == "glass"

    hands.press("Space")

    assert hands.state("glass") is State.DONE
    assert page.month.list.hasFocus()
    assert page.selected()[0].item.chore.id != "glass"
    hands.press("Esc")
    assert month_of(hands).hasFocus()
    assert month_of(hands).day == TODAY


def test_undo_takes_back_what_was_done_in_the_calendar(live_in: LiveIn) -> None:
    """Undo is the same everywhere, and the list of the day shows it."""
    hands = live_in()
    hands.press("Ctrl+2", "Return", "Space")

    hands.press("Ctrl+Z")

    row = next(row for row in page_of(hands).rows() if row.item.chore.id == "glass")
    assert row.item.state is State.OVERDUE


def test_the_why_panel_follows_the_line_of_the_day(live_in: LiveIn) -> None:
    """A day tells its chores; a line of it tells its reason."""
    hands = live_in()
    hands.press("Ctrl+2")
    assert hands.why.title == "Thursday 12 March"

    hands.press("Return")

    assert hands.why.title == "Clean the glass"
    assert hands.why.mark is Mark.OVERDUE


def test_a_projected_turn_can_be_put_off_only_where_it_is_the_next(live_in: LiveIn) -> None:
    """A later turn follows from the one before it, and that is told, not done."""
    hands = live_in()
    hands.press("Ctrl+2", "Down", "Return", "S")

    assert hands.log() == []
    assert "follows from the turn before it" in (hands.why.refusal or "")


def test_put_off_on_a_later_turn_is_offered_for_the_next_one(live_in: LiveIn) -> None:
    """P opens the form of the turn that can be put off, and the form says which that is."""
    hands = live_in()
    hands.press("Ctrl+2", "Down", "Return")
    later = page_of(hands).selected()[0]
    assert later.item.state is State.PROJECTED
    assert [one.text for one in hands.why.actions] == ["Put off the next turn"]

    hands.press("P")

    told = [label.text() for label in hands.form().findChildren(CaptionLabel)]
    assert any(text.startswith("Only the next turn can be put off, that of ") for text in told)
    hands.press("Return")
    [row] = hands.log()
    assert row.entry.fact.turn.chore == later.item.chore.id


def test_nothing_is_offered_for_a_later_feeding_that_p_can_only_refuse(live_in: LiveIn) -> None:
    """The next feeding comes on the same day or the next, so it has no other day to go to."""
    twice = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(7), time(18)))
    feeding = chore("feed", "Feed", None, kind=ChoreKind.FEEDING, rhythm=twice)
    hands = live_in(small_house(chores=(feeding,)))
    hands.press("Ctrl+2", "Down", "Return")
    assert page_of(hands).selected()[0].item.state is State.PROJECTED

    assert hands.why.title == "Feed"
    assert hands.why.actions == ()


def test_a_double_click_opens_the_day(live_in: LiveIn) -> None:
    """What Return does by key."""
    hands = live_in()
    hands.press("Ctrl+2")
    table = month_of(hands)
    at = table.visualRect(table.model().index(2, 5)).center()

    QTest.mouseDClick(
        table.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at
    )

    assert page_of(hands).month.is_day_open
    assert month_of(hands).day == date(2026, 3, 14)


def test_a_tank_of_the_rail_narrows_the_month_and_keeps_the_day(live_in: LiveIn) -> None:
    """Only the chores of the tank stand there, without its name."""
    hands = live_in()
    hands.press("Ctrl+2", "Left")

    hands.press("Ctrl+Down", "Ctrl+Down")

    lines = cell_of(hands, TODAY).lines
    assert {line.noun for line in lines} == {"look", "wipe", "top"}
    assert {line.tank for line in lines} == {""}
    assert month_of(hands).day == date(2026, 3, 11)


def test_a_tick_by_somebody_else_is_shown_without_losing_the_day(live_in: LiveIn) -> None:
    """A reading of the household brings the month along, whoever wrote."""
    hands = live_in()
    hands.press("Ctrl+2", "Left", "Left")
    assert hands.window.session is not None

    hands.window.session.refresh()
    hands.settle()

    assert month_of(hands).day == date(2026, 3, 10)
    assert month_of(hands).current_cell().day == date(2026, 3, 10)  # type: ignore[union-attr]


def test_at_most_three_threads_are_drawn_and_the_rest_is_told(live_in: LiveIn) -> None:
    """Four overdue turns: the three that waited longest, and the legend says of how many."""
    chores = tuple(chore(f"c{at}", f"Chore {at}", 3 + at) for at in range(4))
    hands = live_in(small_house(chores=chores))

    hands.press("Ctrl+2")

    sheet = month_of(hands).sheet
    assert sheet is not None
    firsts = [sheet.weeks[0][0].day.toordinal() + thread.first for thread in sheet.threads]
    assert [date.fromordinal(first).day for first in firsts] == [3, 4, 5]
    # The head counts four: a number of those without a thread was read as work beside them.
    assert sheet.more == "3 of 4 waits drawn"
    legend = page_of(hands).month.legend
    assert legend.accessibleDescription() == "Overdue: 3 of 4 waits drawn."


@pytest.mark.parametrize("size", [(1280, 800), (1440, 900)])
def test_no_line_of_a_cell_is_cut_with_tanks_of_twenty_letters(
    live_in: LiveIn, size: tuple[int, int]
) -> None:
    """Every noun ends inside its cell, every line above the foot; only the tank is shortened."""
    tanks = (box("reef", "The Northern Barrier", 1), box("nook", "Quarantine Basement.", 2))
    chores = tuple(replace(one, noun="skimmer") for one in small_house().chores if one.id != "look")
    hands = live_in(small_house(tanks=tanks, chores=chores), size=size)
    hands.press("Ctrl+2")
    table = month_of(hands)
    style = style_for(table.font())
    assert table.sheet is not None

    seen = 0
    for row, week in enumerate(table.sheet.weeks):
        for column, cell in enumerate(week):
            area = table.visualRect(table.model().index(row, column))
            drawn = lay_out_cell(cell, area.width(), area.height(), 0, style)
            for line in drawn.lines:
                end = line.second_x + style.plain_metrics.horizontalAdvance(line.second)
                assert end <= area.width()
                assert line.y + style.plain_metrics.descent() <= area.height()
                assert line.mark is None or line.second == "skimmer"
                seen += 1
    assert seen > 10


def test_the_first_day_of_a_month_keeps_its_month_beside_many_minutes(live_in: LiveIn) -> None:
    """Where both have no room the minutes stand below; the days after it bear the name."""
    long = [chore(f"long{at}", "Wash all", None, minutes=40, rhythm=OF_FIRSTS) for at in range(3)]
    hands = live_in(small_house(chores=(*small_house().chores, *long)))
    hands.press("Ctrl+2")
    table = month_of(hands)
    style = style_for(table.font())
    assert table.sheet is not None
    first = next(
        cell for week in table.sheet.weeks for cell in week if cell.day == date(2026, 4, 1)
    )
    assert int(first.minutes.split("\u00a0")[0]) >= 120
    number = style.strong_metrics.horizontalAdvance(first.number)
    width = number + style.plain_metrics.horizontalAdvance(first.minutes) + 16

    drawn = lay_out_cell(first, width, 90.0, 0, style)

    assert drawn.number == first.number == "1\u00a0Apr"
    assert drawn.minutes == first.minutes
    assert drawn.minutes_y > drawn.number_y


@pytest.mark.parametrize("percent", [150, 200])
def test_large_type_shows_marks_with_counts(live_in: LiveIn, wear: Wear, percent: int) -> None:
    """At 150 % and more a cell tells how many stand in which state, by mark and number."""
    wear(Scheme.LIGHT, percent)
    hands = live_in()
    hands.press("Ctrl+2")
    table = month_of(hands)
    index = table.currentIndex()
    area = table.visualRect(index)

    drawn = table.drawn(index.row(), index.column())

    assert drawn.lines[0].mark is Mark.OVERDUE
    assert (drawn.lines[0].first, drawn.lines[0].second) == ("", "2")
    for line in drawn.lines:
        assert line.y <= area.height()


def test_what_was_done_is_counted_before_what_rests(live_in: LiveIn) -> None:
    """The line of what rests stands first in the day, but tells least where one has no room."""
    hands = live_in()
    hands.go_to("glass")
    hands.press("Shift+P", "Return")
    for done in ("wipe", "floss"):
        hands.go_to(done)
        hands.press("Space")
    hands.press("Ctrl+2")

    marks = [mark for mark, _ in cell_of(hands, TODAY).counts]

    assert marks.index(Mark.DONE) < marks.index(Mark.PAUSED) == len(marks) - 1


def test_a_count_without_room_is_told_as_more(live_in: LiveIn) -> None:
    """On the only line of a cell, where the mark and number of the last state do not fit."""
    hands = live_in()
    hands.press("Ctrl+2")
    style = style_for(month_of(hands).font())
    counts = ((Mark.DONE, 11), (Mark.PAUSED, 1))
    today = cell_of(hands, TODAY)
    cell = replace(today, number="12", minutes="", is_today=False, counts=counts)
    one = lay_out_cell(cell, 200.0, 60.0, 0, style).number_y + style.line + 8.0
    for width in range(45, 90):
        drawn = lay_out_cell(cell, float(width), one, 0, style)
        assert len({line.y for line in drawn.lines}) == 1
        told = [line.second or line.first for line in drawn.lines]
        first = drawn.lines[0]
        end = first.second_x + style.plain_metrics.horizontalAdvance(first.second)
        if width >= end + 4 + style.medium_metrics.horizontalAdvance("+1") + 2:
            assert told in (["11", "1"], ["11", "+1"], ["11", "1 more"])
        for line in drawn.lines:
            metrics = style.plain_metrics if line.second else style.medium_metrics
            start = line.second_x if line.second else line.x
            assert start + metrics.horizontalAdvance(line.second or line.first) <= width


def test_every_part_of_the_calendar_has_a_name(live_in: LiveIn) -> None:
    """A button without a name is silent to a screen reader."""
    hands = live_in()
    hands.press("Ctrl+2")
    page = page_of(hands)

    names = [button.accessibleName() for button in page.head._steps]

    assert names == ["Previous month", "Next month", "Today"]
    assert page.accessibleName() == "Calendar"
    assert month_of(hands).accessibleName() == "Month"


def test_the_minutes_of_today_stand_beside_it_at_the_usual_type(live_in: LiveIn) -> None:
    """Two hours of work are usual; a line of chores is not given up for them."""
    chores = tuple(chore(f"c{at}", f"Chore {at}", 12, minutes=46) for at in range(3))
    hands = live_in(small_house(chores=chores))
    hands.press("Ctrl+2")
    table = month_of(hands)
    index = table.currentIndex()
    drawn, style = table.drawn(index.row(), index.column()), style_for(table.font())

    assert drawn.number.endswith("today")
    assert drawn.minutes.startswith("138")
    assert drawn.minutes_y == drawn.number_y
    assert 8 + style.strong_metrics.horizontalAdvance(drawn.number) < drawn.minutes_x
    wide = drawn.minutes_x + style.plain_metrics.horizontalAdvance(drawn.minutes)
    assert wide <= table.columnWidth(index.column())


def test_today_says_so_in_a_tight_cell_and_the_minutes_go_below(live_in: LiveIn) -> None:
    """Colour alone does not tell today: the word stays, whatever the day has to do."""
    chores = tuple(chore(f"c{at}", f"Chore {at}", 12, minutes=400) for at in range(3))
    hands = live_in(small_house(chores=chores))
    hands.press("Ctrl+2")
    index = month_of(hands).currentIndex()

    drawn = month_of(hands).drawn(index.row(), index.column())

    assert drawn.number.endswith("today")
    assert drawn.minutes.startswith("1200")
    assert drawn.minutes_y > drawn.number_y
    assert all(line.y > drawn.minutes_y for line in drawn.lines)


def test_number_and_minutes_never_touch(live_in: LiveIn, wear: Wear) -> None:
    """At 125 % the minutes go below the number where they would run into it."""
    chores = tuple(chore(f"c{at}", f"Chore {at}", 13, minutes=999) for at in range(4))
    wear(Scheme.LIGHT, 125)
    hands = live_in(small_house(chores=chores), size=(1080, 800))
    hands.press("Ctrl+2")
    table, style = month_of(hands), style_for(month_of(hands).font())
    assert table.sheet is not None

    for row in range(len(table.sheet.weeks)):
        for column in range(7):
            drawn = table.drawn(row, column)
            end = 8 + style.strong_metrics.horizontalAdvance(drawn.number)
            is_beside = drawn.minutes and drawn.minutes_y == drawn.number_y
            assert end <= (drawn.minutes_x if is_beside else table.columnWidth(column))


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_first_day_shown_and_the_first_of_a_month_name_it(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """March 2026 begins on a Sunday: its weeks run from Monday 23 February to Sunday 5 April."""
    wear(Scheme.LIGHT, percent)
    hands = live_in()
    hands.press("Ctrl+2")
    table = month_of(hands)
    assert table.sheet is not None

    drawn = [
        table.drawn(row, at).number for row in range(len(table.sheet.weeks)) for at in range(7)
    ]

    named = [number for number in drawn if any(sign.isalpha() for sign in number)]
    assert [plain(one) for one in named if "today" not in one] == ["23 Feb", "1 Mar", "1 Apr"]


def test_the_house_is_not_cut_in_a_cell(live_in: LiveIn) -> None:
    """A chore of the household has the short word before its noun."""
    hands = live_in()
    hands.press("Ctrl+2")

    lines = [line for line in cell_of(hands, TODAY).lines if line.chore == "meter"]

    assert [line.tank for line in lines] == ["House"]


def test_the_day_with_the_keys_is_in_sight_at_200_percent(live_in: LiveIn, wear: Wear) -> None:
    """A month higher than the page is scrolled to its day when it opens."""
    wear(Scheme.LIGHT, 200)
    hands = live_in(now=SEVEN + timedelta(days=16))
    hands.press("Ctrl+2")
    table = month_of(hands)

    area = table.visualRect(table.currentIndex())

    assert table.viewport().rect().contains(area.center())
    hands.press("Up", "Up", "Up")
    assert table.viewport().rect().contains(table.visualRect(table.currentIndex()).center())


def test_right_to_left_puts_no_number_behind_its_unit(live_in: LiveIn, qapp: QApplication) -> None:
    """The words are English: painters write them from the left whatever the system says."""
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        hands = live_in()
        hands.press("Ctrl+2")
        direction = qapp.layoutDirection()
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)

    assert direction is Qt.LayoutDirection.LeftToRight


def test_without_a_tank_every_view_offers_the_sample(live_in: LiveIn) -> None:
    """An empty month would offer nothing; what can be done stays, whatever view is chosen."""
    hands = live_in(Household("Quay 3", "Europe/Berlin"))
    assert hands.window.morning is not None
    empty = hands.frame.stack.currentWidget()

    hands.press("Ctrl+2")
    assert hands.frame.stack.currentWidget() is empty
    hands.press("Ctrl+1")
    assert hands.frame.stack.currentWidget() is empty

    assert isinstance(empty, EmptyPage)


def test_the_calendar_comes_with_the_first_tank(live_in: LiveIn) -> None:
    """Chosen while there was nothing to show, it is shown once there is."""
    hands = live_in(Household("Quay 3", "Europe/Berlin"))
    hands.press("Ctrl+2")
    desk = open_desk(hands.path, hands.clock)
    try:
        fill(desk, small_house(), ())
    finally:
        desk.store.close()
    assert hands.window.session is not None

    hands.window.session.refresh()
    hands.settle()

    assert hands.frame.stack.currentWidget() is page_of(hands)
    assert month_of(hands).day == TODAY


def test_a_shortened_tank_keeps_the_number_it_ends_in(live_in: LiveIn) -> None:
    """Tank 10 and Tank 11 are told apart also where their names are cut."""
    tanks = tuple(box(f"t{at}", f"Aquarium {at}", at) for at in (10, 11))
    chores = tuple(chore(f"c{at}", "Clean", 12, tank=f"t{at}", noun="skimmer") for at in (10, 11))
    hands = live_in(small_house(tanks=tanks, chores=chores))
    hands.press("Ctrl+2")
    index = month_of(hands).currentIndex()

    drawn = month_of(hands).drawn(index.row(), index.column())

    # Where the day has height left the whole name stands there, with the noun below it.
    assert [line.first for line in drawn.lines] == ["Aquarium 10", "Aquarium 11"]
    assert [line.rows for line in drawn.lines] == [2, 2]
    style = month_of(hands).styled()
    cell = replace(cell_of(hands, TODAY), minutes="")
    first = lay_out_cell(cell, 120.0, 200.0, 0, style).lines[0]
    height = first.y + style.line + style.plain_metrics.descent() + 2
    low = lay_out_cell(cell, 120.0, height, 0, style)
    assert [line.first[-4:] for line in low.lines] == [". 10", ". 11"]
    assert [line.rows for line in low.lines] == [1, 1]


@pytest.mark.parametrize("percent", [100, 110, 120, 130, 140])
def test_tanks_stay_apart_where_their_names_are_cut(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """Whatever the size of type, no line leaves out its tank or tells two tanks alike."""
    wear(Scheme.LIGHT, percent)
    names = ("Pebble", "Pelican", "Quarantine left", "Quarantine right", "Tank 1", "Tank 12")
    tanks = tuple(box(f"t{at}", name, at) for at, name in enumerate(names))
    chores = tuple(
        chore(f"c{at}", "Clean", 12, tank=f"t{at}", noun="skimmer") for at in range(len(names))
    )
    hands = live_in(small_house(tanks=tanks, chores=chores), size=(1440, 900))
    hands.press("Ctrl+2")
    style = month_of(hands).styled()
    day = cell_of(hands, TODAY)

    for width in range(70, 140):
        for height in (60.0, 100.0, 160.0, 260.0):
            drawn = lay_out_cell(day, float(width), height, 0, style)
            tanks_told = [line.first for line in drawn.lines if line.second == "skimmer"]
            assert len(set(tanks_told)) == len(tanks_told)
            assert all(len(one) > 2 for one in tanks_told)
            assert all(line.y + (line.rows - 1) * style.line < height for line in drawn.lines)


def test_a_column_that_is_too_narrow_for_tanks_shows_the_nouns_of_one(live_in: LiveIn) -> None:
    """Beside its tank hardly a noun has room there; of one tank that is chosen none is named."""
    hands = live_in()
    hands.press("Ctrl+2")
    style = month_of(hands).styled()
    day = cell_of(hands, TODAY)
    alone = replace(day, lines=tuple(replace(line, tank="") for line in day.lines))

    both, one = (lay_out_cell(cell, 85.0, 260.0, 0, style).lines for cell in (day, alone))

    assert all(line.second.isdigit() for line in both)
    assert [line.second for line in one] == [line.noun for line in alone.lines]
    assert all(line.rows == 1 for line in one)


def test_a_click_on_the_noun_below_its_tank_takes_that_line(live_in: LiveIn) -> None:
    """Both rows of a line are of one turn: a double click on either opens the day at it."""
    tanks = tuple(box(f"t{at}", f"Aquarium {at}", at) for at in (10, 11))
    chores = tuple(chore(f"c{at}", "Clean", 12, tank=f"t{at}", noun="skimmer") for at in (10, 11))
    hands = live_in(small_house(tanks=tanks, chores=chores))
    hands.press("Ctrl+2")
    table = month_of(hands)
    index = table.currentIndex()
    area, style = table.visualRect(index), table.styled()
    second = table.drawn(index.row(), index.column()).lines[1]
    told: list[tuple[object, str]] = []
    table.day_opened.connect(lambda day, chore: told.append((day, chore)))

    at = QPoint(round(area.left() + second.second_x + 5), round(area.top() + second.y + style.line))
    QTest.mouseDClick(table.viewport(), Qt.MouseButton.LeftButton, pos=at)

    assert told == [(TODAY, second.chores[0])]


@pytest.mark.parametrize(("percent", "width"), [(100, 1000), (150, 1000), (200, 1000), (200, 1280)])
def test_today_says_so_at_every_size(live_in: LiveIn, wear: Wear, percent: int, width: int) -> None:
    """Beside the number, or below it; and nothing at the head of a cell leaves it."""
    chores = tuple(chore(f"c{at}", f"Chore {at}", 12, minutes=40) for at in range(3))
    wear(Scheme.LIGHT, percent)
    hands = live_in(small_house(chores=chores), size=(width, 700))
    hands.press("Ctrl+2")
    table = month_of(hands)
    index = table.currentIndex()

    drawn = table.drawn(index.row(), index.column())

    below = "" if drawn.today is None else drawn.today.text
    assert "today" in f"{drawn.number} {below}"
    assert drawn.minutes_x >= 8


def test_work_beside_the_plan_is_taken_back_in_the_list_of_its_day(live_in: LiveIn) -> None:
    """It stands there as done, so Space does what it does on every line that is done."""
    extra = an_entry(1, "2026-03-12", WaterChange(12.0, salinity=35.0), tank="reef", at=time(6, 30))
    hands = live_in(entries=(extra,))
    hands.press("Ctrl+2", "Return")
    rows = page_of(hands).month.list
    assert rows.go_to_id("change@extra:e1")

    hands.press("Space")

    assert hands.log()[0].entry.fact == Revoke("e1")
    assert not rows.go_to_id("change@extra:e1")


def test_the_strips_stand_under_the_days_of_a_board_that_was_made_unseen(
    live_in: LiveIn,
) -> None:
    """Made while the round is shown again, it gets its width once it is seen."""
    hands = live_in()
    hands.window.morning._views._begun_on_board = True
    for key in (Qt.Key.Key_2, Qt.Key.Key_1):
        QTest.keyClick(hands.focus(), key, Qt.KeyboardModifier.ControlModifier)
    hands.settle()

    hands.press("Ctrl+2")

    board = hands.window.morning.calendar.page.board
    edges = board.table.column_edges()
    assert edges[-1] > 700
    widths = [board.strips.table.columnWidth(at) for at in range(len(edges) - 1)]
    assert widths == [right - left for left, right in pairwise(edges)]


def test_who_leaves_the_calendar_before_it_stands_has_the_keys_in_the_round(
    live_in: LiveIn,
) -> None:
    """Its first reading comes when the round is shown again, and takes no keys from there."""
    hands = live_in()

    for key in (Qt.Key.Key_2, Qt.Key.Key_1):
        QTest.keyClick(hands.focus(), key, Qt.KeyboardModifier.ControlModifier)
    hands.settle()

    assert hands.focus() is hands.window.morning.page.list
    hands.press("Ctrl+2")
    assert hands.focus() is hands.window.morning.calendar.page.month.table
