"""What lapsed is told where a past day is looked at: in its cell, its counts, its list."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.chores import Calendar, ChoreKind, IfMissed
from tankkeeper.core.household import Household
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.models.month_sheet import day_counts, day_reason, day_rows
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.month_cells import lay_out_cell, style_for
from tankkeeper.reports.numbers import plain
from tests.builders import an_entry
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import THURSDAY, Hands, chore, small_house

DAILY = Calendar("FREQ=DAILY", date(2026, 3, 1))
TENTH, ELEVENTH = date(2026, 3, 10), date(2026, 3, 11)


def _house() -> Household:
    kinds = {"kind": ChoreKind.DOSE, "if_missed": IfMissed.EXPIRE, "minutes": 2}
    dose = chore("dose", "Dose bicarbonate", None, rhythm=DAILY, **kinds)
    return small_house(chores=(dose, chore("glass", "Clean the glass", 9)))


def _lived(live_in: LiveIn) -> Hands:
    """Open the house on 12 March: the dose of the 10th was written down, that of the 11th not."""
    entries = (
        an_entry(1, "2026-03-10", done="dose"),
        an_entry(2, "2026-03-11", done="glass"),
    )
    hands = live_in(_house(), entries=entries)
    hands.press("Ctrl+2")
    return hands


def test_a_past_day_tells_what_was_not_done(live_in: LiveIn) -> None:
    """In its cell before what was done, in its sentence, in the panel and in its list."""
    hands = _lived(live_in)
    table = month_of(hands)
    cell = next(one for week in table.sheet.weeks for one in week if one.day == ELEVENTH)

    assert (cell.lines[0].mark, cell.lines[0].noun) == (None, "1 not done")
    assert cell.sentence == "Wednesday 11 March, 2 chores, 1 done, 1 not done, 5 minutes"
    assert day_counts(cell.content, table.sheet.words.today) == [
        "2 chores",
        "1 done",
        "1 not done",
        "5 minutes",
    ]
    assert day_reason(cell.content, THURSDAY) == (
        "Reef: clean (done). Not written down as done: Reef: dose. "
        "If it was done all the same, Ctrl+L writes it down: look at its time and what it ticks."
    )
    heading = day_rows(cell.content, table.sheet.words)[0]
    assert heading.sentence == "Reef, 5 minutes, not done: dose"


def test_the_key_is_named_where_it_writes_something_down(live_in: LiveIn) -> None:
    """Other daily work that lapsed has no fields in that form."""
    wipe = chore("wipe", "Wipe", None, rhythm=DAILY, if_missed=IfMissed.EXPIRE)
    house = small_house(chores=(*_house().chores, wipe))
    entries = (an_entry(1, "2026-03-10", done="dose"), an_entry(2, "2026-03-11", done="glass"))
    hands = live_in(house, entries=entries)
    hands.press("Ctrl+2")
    days = {one.day: one for week in month_of(hands).sheet.weeks for one in week}

    # On the 10th the dose was given.
    assert day_reason(days[TENTH].content, THURSDAY).endswith(
        "Not written down as done: Reef: wipe."
    )
    assert day_counts(days[TENTH].content, THURSDAY)[:3] == [
        "2 chores",
        "1 done (1 of every day)",
        "1 not done",
    ]
    # What a small cell draws.
    assert days[TENTH].content.done_of_all == (1, 2)
    assert "If a feeding or a dose was given all the same, Ctrl+L" in day_reason(
        days[ELEVENTH].content, THURSDAY
    )


def test_a_day_of_which_all_was_written_down_tells_nothing(live_in: LiveIn) -> None:
    """Nor does today, whose work is still to do, nor a day before anything was written."""
    hands = _lived(live_in)
    cells = [one for week in month_of(hands).sheet.weeks for one in week]

    assert [one.day for one in cells if one.content.lapsed] == [ELEVENTH]


def test_where_marks_are_counted_it_is_told_how_many_were_done_of_how_many(
    live_in: LiveIn, wear: Wear
) -> None:
    """A cell too small for nouns has no room for the words, either."""
    wear(Scheme.LIGHT, 150)
    hands = _lived(live_in)
    table = month_of(hands)
    style = style_for(table.font())

    drawn = {
        one.day: [line.second for line in lay_out_cell(one, 120, 90, 0, style).lines]
        for week in table.sheet.weeks
        for one in week
    }

    assert drawn[ELEVENTH] == ["1/2"]
    # Its tip and the panel say in words what the numbers are.
    cell = next(one for week in table.sheet.weeks for one in week if one.day == ELEVENTH)
    assert ", 1 done, 1 not done, " in cell.sentence
    table.go_to(ELEVENTH)
    hands.settle()
    assert ", 1 done, 1 not done, " in hands.why.small
    assert drawn[TENTH] == []


def test_a_feeding_still_open_is_told_and_written_down_on_its_day(live_in: LiveIn) -> None:
    """Its line is in the list of that day with the keys of the round; Y writes it down there."""
    kinds = {"kind": ChoreKind.FEEDING, "late_days": 1, "minutes": 2}
    house = small_house(
        chores=(
            chore("feed", "Feed", None, rhythm=DAILY, **kinds),
            chore("glass", "Clean the glass", 11),
        )
    )
    hands = live_in(house, entries=(an_entry(1, "2026-03-10", done="feed"),))
    hands.press("Ctrl+2")
    month_of(hands).go_to(ELEVENTH)
    cell = month_of(hands).current_cell()
    assert cell.sentence == (
        "Wednesday 11 March, 2 chores, 1 overdue, 1 due today (1 of every day)"
    )
    assert plain(hands.why.reason) == (
        "Reef: clean (overdue). Still open: Reef: feed. "
        "If it was done all the same, Ctrl+L writes it down: look at its time and what it ticks."
    )
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.chosen is What.FEEDING
    hands.press("Esc")
    hands.press("Return")
    page = page_of(hands)
    assert page.month.list.go_to_id("feed@2026-03-11")
    hands.press("Y")

    entry = hands.log()[0].entry
    assert (entry.day, [turn.id for turn in entry.completes]) == (ELEVENTH, ["feed@2026-03-11"])
    sentence = month_of(hands).current_cell().sentence
    assert sentence.startswith("Wednesday 11 March, 2 chores, 1 overdue, 1 done (1 of every day)")
    assert "Still open" not in day_reason(month_of(hands).current_cell().content, THURSDAY)
