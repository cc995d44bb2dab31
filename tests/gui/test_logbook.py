"""The logbook by keyboard and mouse: rows, filter, corrections, taking back, tables."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest

from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit, Use
from tankkeeper.core.household import Animal, Loss, OwnRange, Stage, Supply
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    How,
    Note,
    Readings,
    Redefined,
    ReservoirCheck,
    Thing,
    TopOff,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import parse_reading
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.correct_form import CorrectForm
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.note_form import NoteForm
from tankkeeper.gui.logbook_desk import LogbookDesk
from tankkeeper.gui.models.changed_fields import fields_found
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.log_list import LogList
from tankkeeper.services import (
    losing,
    settling_animals,
    settling_chores,
    settling_house,
    settling_tanks,
)
from tankkeeper.services.log_pages import PAGE
from tankkeeper.services.settling_animals import Brings
from tankkeeper.store.layout import CHORE, TANK
from tankkeeper.store.log_queries import columns_of
from tests.builders import BERLIN, an_entry, days
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands

NBSP = "\N{NO-BREAK SPACE}"
TODAY = date(2026, 3, 12)


def entry(number: int, day: date, **more: object) -> Entry:
    """Return an entry of eight in the morning of a day, by Ada unless said."""
    at = datetime.combine(day, time(8), BERLIN)
    values: dict[str, object] = {"by": "ada", "fact": Note(), "note": f"Note {number}"}
    return Entry(f"e{number:05d}", 0, at, day, "Europe/Berlin", **(values | more))  # type: ignore[arg-type]


def some_days() -> tuple[Entry, ...]:
    """Return a note, a top-off and a cleaning of this week."""
    return (
        entry(1, date(2026, 3, 9), by="bo", tank="reef", note="The goby hides"),
        entry(
            2,
            date(2026, 3, 10),
            tank="nook",
            fact=TopOff(1.5),
            note="",
            completes=(Turn("fill", "first"),),
        ),
        entry(
            3,
            date(2026, 3, 11),
            tank="reef",
            fact=None,
            note="",
            completes=(Turn("glass", "first"),),
        ),
    )


def many_notes(count: int) -> tuple[Entry, ...]:
    """Return notes of so many days."""
    first = TODAY - timedelta(days=count)
    return tuple(entry(number, first + timedelta(days=number)) for number in range(count))


def desk_of(hands: Hands) -> LogbookDesk:
    """Return what is behind the page."""
    assert hands.window.morning is not None
    logbook = hands.window.morning.logbook
    assert logbook is not None
    return logbook


def list_of(hands: Hands) -> LogList:
    """Return the list."""
    return desk_of(hands).page.list


def texts(hands: Hands) -> list[str]:
    """Return what stands in the list."""
    return [row.text for row in list_of(hands).log_model.rows]


def sentence(hands: Hands) -> str:
    """Return what stands under the title."""
    return desk_of(hands).page.sentence.text()


def test_the_logbook_is_built_when_it_is_first_shown(live_in: LiveIn) -> None:
    """The start of the window does not pay for it, and the keys act in its list at once."""
    hands = live_in(entries=some_days())
    assert hands.window.morning is not None
    assert hands.window.morning.logbook is None

    hands.press("Ctrl+6")

    assert hands.frame.view_id == "logbook"
    assert list_of(hands).hasFocus()
    assert texts(hands) == [
        "Done: Clean the glass",
        f"Topped off, 1.5{NBSP}L to the mark",
        "The goby hides",
    ]
    assert sentence(hands) == f"3{NBSP}entries since 9{NBSP}March, the newest first."


def test_rows_read_as_sentences(live_in: LiveIn) -> None:
    """A screen reader hears day, time, tank, what was done and by whom."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")

    model = list_of(hands).log_model
    told = model.data(model.index(1), Qt.ItemDataRole.AccessibleTextRole)

    assert told == (
        f"Tuesday 10{NBSP}March, 08:00, Nook, Topped off, 1.5{NBSP}L to the mark, by Ada"
    )
    interface = QAccessible.queryAccessibleInterface(list_of(hands))
    assert interface is not None
    assert interface.text(QAccessible.Text.Name) == "Logbook"
    spoken = [
        interface.child(at).text(QAccessible.Text.Name) for at in range(interface.childCount())
    ]
    assert [text for text in spoken if text] == [
        row.sentence for row in list_of(hands).log_model.rows
    ]


def test_the_why_panel_tells_the_facts_of_an_entry(live_in: LiveIn) -> None:
    """When, by whom, how much, and which chore it ticks."""
    hands = live_in(entries=some_days())

    hands.press("Ctrl+6", "Down")

    assert hands.why.title == f"Topped off, 1.5{NBSP}L to the mark"
    assert hands.why.reason == (f"Tuesday 10{NBSP}March at 08:00, by Ada. It ticks Top off.")
    assert hands.why.numbers == (("Fresh water", f"1.5{NBSP}L"),)
    assert [one.text for one in hands.why.actions] == ["Correct", "Take back", "Note"]


def test_what_was_set_down_offers_to_be_taken_back_and_not_to_be_corrected(
    live_in: LiveIn,
) -> None:
    """A change of the household is put right on its page; Return says so."""
    changed = an_entry(1, "2026-03-11", Redefined(How.CHANGED, Thing.TANK, "Reef"), tank="reef")
    hands = live_in(entries=(changed,))

    hands.press("Ctrl+6", "Home")

    assert [one.text for one in hands.why.actions] == ["Take back", "Note"]
    assert hands.why.actions[0].is_primary


def test_typing_finds_and_escape_shows_every_entry_again(live_in: LiveIn) -> None:
    """The find key of the window leads to the line of the logbook while that is shown."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Ctrl+F")

    hands.type("gob")
    hands.settle()

    assert texts(hands) == ["The goby hides"]
    assert sentence(hands) == f"1{NBSP}entry found, the newest first."
    hands.press("Down")
    assert list_of(hands).hasFocus()
    hands.press("Esc")
    assert len(texts(hands)) == 3
    assert desk_of(hands).page.filter.field.text() == ""


def test_the_panel_names_the_keys_that_act_from_where_the_keys_are(live_in: LiveIn) -> None:
    """From the line Down comes first; in the list the key acts itself."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Ctrl+F")
    hands.type("gob")
    hands.settle()

    keys = [one.key for one in hands.why.actions]
    assert keys == ["Down, Return", "Down, Del", "Ctrl+M"]
    hands.press("Down")
    assert [one.key for one in hands.why.actions] == ["Return", "Del", "Ctrl+M"]
    hands.press("Return")
    assert isinstance(hands.form(), CorrectForm)


def test_all_of_a_tank_was_not_found_but_is_there(live_in: LiveIn) -> None:
    """Found is what was looked for."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+Down", "Ctrl+6")

    assert len(texts(hands)) == 2
    assert sentence(hands) == f"2{NBSP}entries of Reef, the newest first."
    hands.type("gob")
    hands.settle()
    assert sentence(hands) == f"1{NBSP}entry found, the newest first."


def test_what_an_entry_ticked_it_did_until_it_was_taken_back(live_in: LiveIn) -> None:
    """Or until a correction stands in its place, which ticks it now."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down")
    assert "It ticks Top off." in hands.why.reason

    hands.press("Del", "Home", "Down")
    while list_of(hands).current_row().id != "e00002":  # type: ignore[union-attr]
        hands.press("Down")

    assert "It ticks" not in hands.why.reason
    assert "It ticked Top off until it was taken back." in hands.why.reason


def test_a_correction_that_was_taken_back_stood_where_it_did(live_in: LiveIn) -> None:
    """What holds no longer is told in the past."""
    hands = live_in(entries=some_days(), person="bo")
    hands.press("Ctrl+6", "Down", "Return")
    hands.paste("2.5")
    hands.press("Return")
    new = list_of(hands).current_row()
    assert new is not None

    hands.press("Del")
    while list_of(hands).current_row().id != new.id:  # type: ignore[union-attr]
        hands.press("Down")

    assert f"It stood in the place of: Topped off, 1.5{NBSP}L" in hands.why.reason


def test_whatever_is_typed_on_the_logbook_is_looked_for(live_in: LiveIn) -> None:
    """No letter acts on an entry: what is meant as a word must change nothing."""
    hands = live_in(entries=some_days())
    before = hands.log()
    for typed, found in (("top off", 1), ("n", 1), ("x", 0), ("note 1", 0), ("the goby", 1)):
        hands.press("Ctrl+6")
        list_of(hands).setFocus()
        hands.type(typed)
        hands.settle()
        assert not hands.has_form()
        assert desk_of(hands).page.filter.field.text() == typed
        assert len(texts(hands)) >= found
        hands.press("Esc")
    assert hands.log() == before


def test_space_goes_on_with_the_text_also_from_the_list(live_in: LiveIn) -> None:
    """While something is looked for it is a space; a letter begins another text, as elsewhere."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")
    hands.press("Space")
    assert list_of(hands).hasFocus()
    assert len(texts(hands)) == 3
    hands.type("goby")
    hands.press("Return")
    assert list_of(hands).hasFocus()

    hands.type(" hid")
    hands.settle()

    assert desk_of(hands).page.filter.field.text() == "goby hid"
    assert texts(hands) == ["The goby hides"]
    hands.press("Down")
    hands.type("gl")
    hands.settle()
    assert desk_of(hands).page.filter.field.text() == "gl"
    assert texts(hands) == ["Done: Clean the glass"]
    assert not any(row.is_struck for row in list_of(hands).log_model.rows)


def test_a_letter_on_a_button_of_the_logbook_is_looked_for_as_well(live_in: LiveIn) -> None:
    """Wherever the keys are on the page, but in a choice, which has a search of its own."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")
    desk_of(hands).page.export.setFocus()

    hands.type("gob")
    hands.settle()

    assert texts(hands) == ["The goby hides"]


def test_what_is_not_found_is_told_in_the_middle(live_in: LiveIn) -> None:
    """With what can be done then."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "/")

    hands.type("zebra")
    hands.settle()

    assert texts(hands) == []
    assert list_of(hands)._empty == ("Nothing found.", "Esc shows every entry again.")
    assert hands.why is None
    hands.press("Esc")
    assert len(texts(hands)) == 3


def test_tab_goes_from_the_line_over_the_choices_to_the_list(live_in: LiveIn) -> None:
    """Nothing needs the mouse."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "/")
    page = desk_of(hands).page
    line = page.filter

    reached = []
    for _ in range(6):
        hands.press("Tab")
        reached.append(hands.focus())

    assert reached == [line.chore, line.person, line.kind, line.span, page.list, page.export]


@pytest.mark.parametrize(
    ("choice", "steps", "count"),
    [("chore", 1, 1), ("person", 2, 1), ("kind", 2, 1), ("span", 1, 0), ("span", 2, 3)],
)
def test_the_choices_are_made_by_key(live_in: LiveIn, choice: str, steps: int, count: int) -> None:
    """Chore, person, kind and time each leave out the others."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")
    getattr(desk_of(hands).page.filter, choice).setFocus()

    hands.press(*["Down"] * steps)

    assert len(texts(hands)) == count


def test_a_stretch_of_days_is_typed(live_in: LiveIn) -> None:
    """From a day to a day, both included."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")
    line = desk_of(hands).page.filter
    line.span.setFocus()
    hands.press("End")
    assert line.first.isVisible()

    line.first.set_day(date(2026, 3, 10))
    line.last.set_day(date(2026, 3, 10))
    hands.settle()

    assert texts(hands) == [f"Topped off, 1.5{NBSP}L to the mark"]


def test_the_tank_follows_the_rail(live_in: LiveIn) -> None:
    """As in every view."""
    hands = live_in(entries=some_days())

    hands.press("Ctrl+6", "Ctrl+Down", "Ctrl+Down")

    assert texts(hands) == [f"Topped off, 1.5{NBSP}L to the mark"]
    hands.press("Ctrl+Home")
    assert len(texts(hands)) == 3


def test_more_is_read_while_it_is_scrolled(live_in: LiveIn) -> None:
    """A page at first; the rest comes before the end is seen."""
    hands = live_in(entries=many_notes(3 * PAGE))
    hands.press("Ctrl+6")
    assert len(texts(hands)) == PAGE

    hands.press("End")
    assert len(texts(hands)) == 2 * PAGE
    hands.press("End", "End")

    assert len(texts(hands)) == 3 * PAGE
    assert list_of(hands).current_row().text == "Note 0"  # type: ignore[union-attr]


def test_an_entry_far_below_keeps_its_place_when_something_is_written(live_in: LiveIn) -> None:
    """All that was read is read anew, and shown at once when it is there."""
    hands = live_in(entries=many_notes(3 * PAGE))
    hands.press("Ctrl+6", "End", "End")
    here = list_of(hands).current_row()
    assert here is not None

    hands.press("Ctrl+M")
    hands.type("Something new")
    hands.press("Ctrl+Return")

    assert texts(hands)[0] == "Something new"
    assert list_of(hands).current_row().id == here.id  # type: ignore[union-attr]
    assert len(texts(hands)) >= 2 * PAGE


def test_return_corrects_and_the_old_entry_stays_readable(live_in: LiveIn) -> None:
    """The form stands there with what was written; the new entry takes the place of the old."""
    hands = live_in(entries=some_days(), person="bo")
    hands.press("Ctrl+6", "Down", "Return")
    form = hands.form()
    assert isinstance(form, CorrectForm)
    assert form.quantities["litres"].text == "1.5"

    hands.paste("2.5")
    hands.press("Return")

    assert not hands.has_form()
    rows = list_of(hands).log_model.rows
    assert [row.text for row in rows][1:3] == [
        f"Corrected: Topped off, 2.5{NBSP}L to the mark",
        f"Topped off, 1.5{NBSP}L to the mark",
    ]
    assert [row.is_struck for row in rows] == [False, False, True, False]
    assert rows[2].fate == "corrected today at 07:04"
    new = hands.log()[0].entry
    assert (new.replaces, new.by, new.fact) == ("e00002", "ada", TopOff(2.5))
    assert list_of(hands).current_row().id == new.id  # type: ignore[union-attr]
    assert f"It stands in the place of: Topped off, 1.5{NBSP}L" in hands.why.reason
    assert hands.told.startswith(f"Corrected: fresh water 2.5{NBSP}L (before: 1.5{NBSP}L).")


def test_a_note_that_ends_with_a_stop_is_told_with_one(live_in: LiveIn) -> None:
    """Of the correction and of what it stands in the place of."""
    hands = live_in(entries=(entry(1, date(2026, 3, 9), note="The goby hides."),), person="bo")
    hands.press("Ctrl+6", "Return")
    hands.paste("Does the goby hide?")
    hands.press("Ctrl+Return")

    assert "It stands in the place of: The goby hides." in hands.why.reason
    hands.press("Down")
    assert "It reads now: Does the goby hide?" in hands.why.reason
    assert not any(wrong in hands.why.reason for wrong in ("..", "?."))


def test_a_correction_says_what_moves_by_it(live_in: LiveIn) -> None:
    """The bottom line tells it, and the why panel keeps it."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Return")
    form = hands.form()
    assert isinstance(form, CorrectForm)
    form.when.set_moment(form.when.moment - timedelta(days=2))

    hands.press("Ctrl+Return")

    said = f"Clean the glass of Reef moves from Wed{NBSP}18 to Mon{NBSP}16."
    assert hands.told == (f"Corrected: Mon{NBSP}9 at 08:00 (before: yesterday at 08:00). {said}")
    assert said in hands.why.reason


def test_an_hour_alone_corrects_the_hour_and_not_the_day(live_in: LiveIn) -> None:
    """Of yesterday: today it would be another day's work."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Return")
    form = hands.form()
    assert isinstance(form, CorrectForm)
    was = form.when.moment

    form.when.set_text("6:30")

    assert form.when.moment == was.replace(hour=6, minute=30)


def test_a_correction_tells_what_it_corrected_and_not_what_stood_there(live_in: LiveIn) -> None:
    """A temperature that was mistyped, beside ammonia that is high and stays as it was."""
    read = Readings((parse_reading("ammonia", "2"), parse_reading("temperature", "31.5")))
    hands = live_in(entries=(entry(1, TODAY, tank="reef", fact=read, note=""),))
    hands.press("Ctrl+6", "Return")
    form = hands.form()
    assert isinstance(form, CorrectForm)
    assert form.readings is not None
    field = form.readings.fields["temperature"].field
    field.setFocus()
    field.selectAll()
    hands.type("25.1")

    hands.press("Ctrl+Return")

    assert hands.told.startswith(f"Corrected: temperature 25.1{NBSP}°C (before: 31.5{NBSP}°C)")
    assert "mmonia" not in hands.told


def test_undo_lets_what_was_corrected_hold_again_and_redo_corrects_it(live_in: LiveIn) -> None:
    """Also where a correction was corrected."""
    hands = live_in(entries=some_days())
    for litres in ("2.5", "3"):
        hands.press("Ctrl+6", "Home", "Down", "Return")
        hands.paste(litres)
        hands.press("Return")
    assert [one.entry.fact for one in hands.log() if not one.revoked][1] != TopOff(1.5)

    def holding() -> list[TopOff]:
        facts = [one.entry.fact for one in hands.log() if not one.revoked]
        return [fact for fact in facts if isinstance(fact, TopOff)]

    assert holding() == [TopOff(3.0)]
    hands.press("Ctrl+Z")
    assert holding() == [TopOff(2.5)]
    hands.press("Ctrl+Z")
    assert holding() == [TopOff(1.5)]
    hands.press("Ctrl+Y", "Ctrl+Y")
    assert holding() == [TopOff(3.0)]


def test_a_correction_of_a_correction_is_told_by_what_stood_there(live_in: LiveIn) -> None:
    """One line for each, no line for the undo between; taken back, the one before holds again."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Home", "Down")
    for litres in ("2.5", "3"):
        hands.press("Return")
        hands.paste(litres)
        hands.press("Return")

    def lines() -> dict[str, str]:
        told = [row for row in list_of(hands).log_model.rows if "opped off" in row.text]
        return {row.text.replace(NBSP, " "): row.fate.partition(" ")[0] for row in told}

    assert lines() == {
        "Corrected: Topped off, 3 L to the mark": "",
        "Corrected: Topped off, 2.5 L to the mark": "corrected",
        "Topped off, 1.5 L to the mark": "corrected",
    }
    assert not [row for row in list_of(hands).log_model.rows if "Taken back" in row.text]
    assert f"It stands in the place of: Topped off, 2.5{NBSP}L to the mark." in hands.why.reason
    assert hands.told.startswith(f"Corrected: fresh water 3{NBSP}L (before: 2.5{NBSP}L).")

    hands.press("Del")
    holding = [one.entry.fact for one in hands.log() if not one.revoked]
    assert [fact for fact in holding if isinstance(fact, TopOff)] == [TopOff(2.5)]
    taken = f"Taken back: Topped off, 3{NBSP}L to the mark (a correction)."
    assert hands.told.startswith(taken)
    hands.press("Ctrl+Z")
    holding = [one.entry.fact for one in hands.log() if not one.revoked]
    assert [fact for fact in holding if isinstance(fact, TopOff)] == [TopOff(3.0)]


def test_the_panel_speaks_of_entries_where_none_is_found(live_in: LiveIn) -> None:
    """Also when find was asked for from the settings; in the round it speaks of chores again."""
    hands = live_in()
    hands.press("Space")
    hands.frame.show_view("logbook")
    hands.press("Ctrl+,", "Ctrl+F")
    hands.type("zzz")
    hands.settle()
    said = hands.frame.why._scroll
    assert hands.frame.why.card is None
    assert said.accessibleDescription().startswith("No entry is selected.")

    hands.press("Ctrl+1")

    assert hands.frame.why._nothing_selected.startswith("Choose a chore")


def test_a_refused_correction_keeps_what_was_typed(live_in: LiveIn) -> None:
    """More than a quarter of the tank is refused at its field."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down", "Return")

    hands.paste("80")
    hands.press("Return")

    form = hands.form()
    assert isinstance(form, CorrectForm)
    assert "quarter" in form.quantities["litres"].fault
    assert form.quantities["litres"].text == "80"
    assert len(hands.log()) == 3
    hands.press("Esc")
    assert list_of(hands).hasFocus()


@pytest.mark.parametrize("typed", ["", "0", "-2", "abc", "1e5", "NaN", "9" * 400, "१"])
def test_what_is_no_amount_is_refused_in_place(live_in: LiveIn, typed: str) -> None:
    """One sentence at the field; nothing is written."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down", "Return")
    form = hands.form()
    assert isinstance(form, CorrectForm)

    form.quantities["litres"].set_text(typed)
    hands.press("Return")

    assert hands.form() is form
    assert form.quantities["litres"].fault
    assert len(hands.log()) == 3


def test_nothing_changed_is_told_and_nothing_written(live_in: LiveIn) -> None:
    """What is left as it stands there is the same to the last digit."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down", "Return", "Return")

    assert "Nothing is changed" in hands.form().accessibleDescription()
    assert len(hands.log()) == 3


@pytest.mark.parametrize(
    "fact",
    [
        TopOff(1.23456789, to_mark=False, estimated=True),
        TopOff(None),
        WaterChange(9.87654321, added_l=10.123456, salinity=35.123456, temperature_c=25.0123),
        WaterChange(None),
        ReservoirCheck(left_l=3.3333333),
        ReservoirCheck(fill_l=4.4444444, estimated=True),
        Readings(
            (
                parse_reading("salinity", "1.0264", "sg 25/25"),
                parse_reading("alkalinity", "2.8571428", "meq/L"),
                parse_reading("nitrate", "12,5"),
            )
        ),
        Dose("Kalkwasser", 12.3456789),
        Work(litres=20.20202020, grams=701.0101),
        Note(),
        None,
    ],
    ids=lambda fact: type(fact).__name__,
)
def test_a_form_that_is_left_as_it_stands_changes_nothing(live_in: LiveIn, fact: Fact) -> None:
    """Of what is shown rounded the last digit is kept; only what is typed is another value."""
    at = datetime(2026, 3, 11, 7, 0, 12, 345, tzinfo=BERLIN)
    one = replace(entry(1, date(2026, 3, 11), tank="reef", fact=fact, note="A\nB"), at=at)
    hands = live_in(entries=(one,))

    hands.press("Ctrl+6", "Return", "Ctrl+Return")

    assert "Nothing is changed" in hands.form().accessibleDescription()
    form = hands.form()
    assert isinstance(form, CorrectForm)
    assert form._typed.fact() == fact
    hands.press("Esc")


def test_an_emptied_reading_is_left_out_and_a_new_one_comes_last(live_in: LiveIn) -> None:
    """What was measured and what was not is both part of a session."""
    readings = Readings((parse_reading("nitrate", "12"), parse_reading("phosphate", "0.05")))
    hands = live_in(entries=(entry(1, date(2026, 3, 11), tank="reef", fact=readings, note=""),))
    hands.press("Ctrl+6", "Return")
    form = hands.form()
    assert isinstance(form, CorrectForm)
    assert form.readings is not None
    form.readings.fields["nitrate"].set_text("")
    form.readings.fields["calcium"].set_text("420")

    hands.press("Ctrl+Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, Readings)
    assert [(one.parameter, one.typed) for one in fact.values] == [
        ("phosphate", 0.05),
        ("calcium", 420.0),
    ]


def test_delete_takes_back_and_tells_who_did(live_in: LiveIn) -> None:
    """The row is struck through; its chore is due again."""
    hands = live_in(entries=some_days(), person="bo")
    hands.press("Ctrl+6")

    hands.press("Del")

    rows = list_of(hands).log_model.rows
    assert rows[0].text == f"Taken back: Clean the glass (of Wed{NBSP}11{NBSP}Mar)"
    assert rows[1].fate == "taken back by Bo today at 07:04"
    assert list_of(hands).current_row().id == "e00003"  # type: ignore[union-attr]
    assert hands.told == (
        "Taken back: Clean the glass. "
        f"Clean the glass of Reef moves from Wed{NBSP}18 to Tue{NBSP}10."
    )
    assert "Taken back by Bo today at 07:04." in hands.why.reason
    hands.press("Del")
    assert "holds no longer" in (hands.why.refusal or "")
    hands.press("Ctrl+Z")
    assert not list_of(hands).current_row().is_struck  # type: ignore[union-attr]
    assert hands.told == "Holds again: Clean the glass."
    again, taken = list_of(hands).log_model.rows[:2]
    assert (again.text.partition(":")[0], again.fate) == ("Did again", "")
    assert (taken.text.partition(":")[0], taken.fate) == (
        "Taken back",
        "done again by Bo today at 07:04",
    )


def test_a_struck_entry_and_an_undo_are_not_corrected(live_in: LiveIn) -> None:
    """The why panel says what can be done instead."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Del", "Return")
    assert "holds no longer" in (hands.why.refusal or "")

    hands.press("Up", "Return")

    assert not hands.has_form()
    assert "Take it back in turn" in (hands.why.refusal or "")


def test_a_note_is_about_the_tank_of_the_entry(live_in: LiveIn) -> None:
    """It begins with the key that the page tells for it."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down", "Ctrl+M")
    assert isinstance(hands.form(), NoteForm)

    hands.type("Lid was open")
    hands.press("Ctrl+Return")

    assert hands.log()[0].entry.tank == "nook"
    assert texts(hands)[0] == "Lid was open"


def test_buttons_of_the_why_panel_do_what_their_keys_do(live_in: LiveIn) -> None:
    """Keyboard and mouse are equal; a double click corrects."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")

    hands.frame.why.acted.emit("take-back")
    hands.settle()

    assert list_of(hands).log_model.rows[1].is_struck
    at = list_of(hands).visualRect(list_of(hands).log_model.index(2)).center()
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QTest.mouseClick(list_of(hands).viewport(), left, none, at)
    QTest.mouseDClick(list_of(hands).viewport(), left, none, at)
    hands.settle()
    assert isinstance(hands.form(), CorrectForm)
    hands.press("Esc")


def test_what_is_shown_is_written_as_a_table(live_in: LiveIn, tmp_path: Path) -> None:
    """Under the filter, struck rows too; the file is whole or not there."""
    hands = live_in(entries=some_days(), person="bo")
    hands.press("Ctrl+6", "Del", "/")
    hands.type("glass")
    hands.settle()
    target = tmp_path / "log of 2026.csv"

    desk_of(hands).export_to(str(target))
    hands.settle()

    with target.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0][:3] == ["Day", "Time", "Kind"]
    assert rows[1][:7] == [
        "2026-03-11",
        "08:00",
        "Chores done",
        "Reef",
        "Done: Clean the glass",
        "Ada",
        "taken back by Bo, 2026-03-12 07:04",
    ]
    assert hands.told == f"Wrote 1{NBSP}entry to log of 2026.csv."
    assert [one.name for one in tmp_path.iterdir() if one.name.endswith(".part")] == []


def test_a_table_that_cannot_be_written_is_told(live_in: LiveIn, tmp_path: Path) -> None:
    """In a sentence; the window goes on."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")

    desk_of(hands).export_to(str(tmp_path / "no such folder" / "log.csv"))
    hands.settle()

    assert "cannot be written" in hands.told
    desk_of(hands).export_to(str(tmp_path / "log.csv"))
    hands.settle()
    assert (tmp_path / "log.csv").exists()


def test_what_is_written_down_for_an_earlier_day_says_what_it_moves(live_in: LiveIn) -> None:
    """A top-off of Tuesday ticks that of Thursday, and the next comes on Tuesday."""
    hands = live_in()
    hands.press("Ctrl+6", "Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.choose(What.TOP_OFF)
    form.tank.setCurrentIndex(form.tank.findText("Nook"))
    form.litres.set_text("1.5")
    form.when.choice.setCurrentIndex(2)

    hands.press("Ctrl+Return")

    assert hands.told.startswith(
        f"Nook: topped off, 1.5{NBSP}L to the mark, on Tuesday 10{NBSP}March. That ticks Top off."
    )
    assert hands.told.endswith(f"Top off of Nook moves from today to Tue{NBSP}17.")
    assert texts(hands) == [f"Topped off, 1.5{NBSP}L to the mark"]


def test_a_tick_for_yesterday_says_what_it_moves(live_in: LiveIn) -> None:
    """Wiped yesterday: the next time comes a day earlier than after a wipe of today."""
    hands = live_in()
    hands.go_to("wipe")

    hands.press("Y")

    assert hands.told == (
        f"Ticked Wipe the lid (Reef), on Wednesday 11{NBSP}March. "
        f"Wipe the lid of Reef moves from today to Wed{NBSP}18."
    )


def test_what_is_undone_moves_nothing_the_way_it_was_told(live_in: LiveIn) -> None:
    """What an earlier day moved moves back, so neither undo nor the sentence of redo tells it."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Y")
    ticked = f"Ticked Wipe the lid (Reef), on Wednesday 11{NBSP}March."

    hands.press("Ctrl+Z")
    assert hands.told == f"Undone: {ticked}"
    hands.press("Ctrl+Shift+Z")
    assert hands.told == f"Done again: {ticked}"

    hands.press("Ctrl+6", "Del")
    assert hands.told.startswith(f"Taken back: Wipe the lid (of Wed{NBSP}11{NBSP}Mar). ")
    hands.press("Ctrl+Z")
    assert hands.told == f"Did again: Wipe the lid (of Wed{NBSP}11{NBSP}Mar)."


@pytest.mark.parametrize("keys", [(), ("Return",)], ids=["at once", "refused between"])
def test_what_a_taking_back_moved_is_told_no_longer_once_it_is_undone(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """The panel tells no more of an entry that holds again than what is so; redone it does."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Ctrl+F")
    hands.type("glass")
    hands.press("Down", "Del")
    assert "Clean the glass of Reef moves from" in hands.why.reason
    hands.press(*keys)

    hands.press("Ctrl+Z")

    for _ in range(2):
        assert "moves from" not in hands.why.reason
        assert hands.why.refusal is None
        hands.press("Down", "Up")
    hands.press("Ctrl+Shift+Z")
    assert "Clean the glass of Reef moves from" in hands.why.reason
    assert hands.why.refusal is None


def test_a_tick_in_the_round_stands_in_the_logbook(live_in: LiveIn) -> None:
    """Whatever view it was written in."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Ctrl+1")
    hands.go_to("wipe")
    hands.press("Space")
    assert hands.state("wipe") is State.DONE

    hands.press("Ctrl+6")

    assert texts(hands)[0] == "Done: Wipe the lid"


def test_an_empty_logbook_says_so(live_in: LiveIn) -> None:
    """And where rows come from."""
    hands = live_in()

    hands.press("Ctrl+6")

    assert list_of(hands)._empty is not None
    assert list_of(hands)._empty[0] == "Nothing is written down yet."  # type: ignore[index]
    assert sentence(hands) == "What was done, and by whom."


def test_at_one_and_a_half_times_the_type_nothing_of_a_row_overlaps(
    live_in: LiveIn, wear: Wear
) -> None:
    """Where room is short, tank and person go below the text."""
    hands = live_in(entries=some_days(), size=(1000, 700))
    wear(Scheme.LIGHT, 150)
    hands.press("Ctrl+6")

    columns = list_of(hands).columns

    assert columns.has_two_lines
    assert columns.text + columns.text_width <= columns.right
    assert columns.right <= list_of(hands).viewport().width()


def test_the_units_of_a_correction_are_written_as_everywhere(live_in: LiveIn) -> None:
    """PSU and a degree sign, not the names of units in files; they are read as typed, too."""
    fact = WaterChange(9.0, 8.0, 35.0, 25.0)
    hands = live_in(entries=(an_entry(1, "2026-03-11", fact, tank="nook"),))
    hands.press("Ctrl+6", "Home", "Return")
    fields = hands.form().quantities  # type: ignore[attr-defined]

    assert [one.field.unit for one in fields.values()] == ["L", "L", "PSU", "°C"]
    hands.press("Esc")


def test_what_was_done_after_midnight_stands_in_order_and_says_so(live_in: LiveIn) -> None:
    """It belongs to the day that still ran, and is later than its evening."""
    late = datetime(2026, 3, 12, 1, 38, tzinfo=BERLIN)
    evening = datetime(2026, 3, 11, 23, 10, tzinfo=BERLIN)
    day = date(2026, 3, 11)
    first = replace(entry(1, day, note="Late"), at=late)
    hands = live_in(entries=(first, replace(entry(2, day, note="Evening"), at=evening)))
    hands.press("Ctrl+6")

    rows = list_of(hands).log_model.rows
    assert [(row.text, row.day, row.time, row.night) for row in rows] == [
        ("Late", "Yesterday", "01:38", f"in the night to Thu{NBSP}12"),
        ("Evening", "Yesterday", "23:10", ""),
    ]
    assert rows[0].sentence.startswith(
        f"Wednesday 11{NBSP}March, 01:38, in the night to Thu{NBSP}12, Late"
    )
    assert hands.why.reason == (
        f"Wednesday 11{NBSP}March at 01:38, in the night to Thu{NBSP}12, by Ada."
    )


def measured() -> tuple[Entry, ...]:
    """Return what was measured on some days of two years; 24 November 2025 was a Monday."""
    salinity = parse_reading("salinity", "35.0 psu", "practical")
    nitrate = parse_reading("nitrate", "12 mg/L", "mg/L")
    change = WaterChange(25.0, salinity=35.04, temperature_c=25.0)
    last = date(2025, 11, 24)
    return (
        entry(1, last, tank="reef", fact=change, note=""),
        entry(2, last, tank="reef", fact=Readings((salinity, nitrate)), note=""),
        entry(3, date(2024, 11, 24), tank="nook", fact=TopOff(2.5), note=""),
        entry(4, date(2026, 3, 10), tank="nook", fact=TopOff(25.0), note=""),
        entry(5, date(2026, 3, 11), tank="nook", fact=Dose("buffer", 6.0), note=""),
        entry(6, date(2026, 3, 11), tank="reef", note="bought 25 snails of 24 grams"),
    )


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("25 L", [4, 1]),
        ("25.0 l", [4, 1]),
        ("25L", [4, 1]),
        ("2,5 L", [3]),
        ("35.0 psu", [2, 1]),
        ("12 mg/L", [2]),
        ("25 c", [1]),
        ("6 g", [5]),
        ("24 nov", [2, 1, 3]),
        ("24.11.", [2, 1, 3]),
        ("24 nov 2025", [2, 1]),
        ("24/11/2024", [3]),
        ("mon 24", [2, 1]),
        ("Tue 10 Mar", [4]),
        ("yesterday", [6, 5]),
        ("last tuesday", [4]),
        ("november nook", [3]),
        ("25 L nook", [4]),
        ("24 nov 25 L", [1]),
        ("25 snails", [6]),
        ("24 grams", [6]),
        ("99 L", []),
        ("> 20 L", [4, 1]),
        (">20l", [4, 1]),
        ("< 5 l", [3]),
        ("> 25 L", []),
        (">= 25 L", [4, 1]),
        ("<= 2.5 L", [3]),
        ("> 30 psu", [2, 1]),
        ("< 30 psu", []),
        ("> 20 l nook", [4]),
        ("2 days ago", [4]),
        ("a day ago", [6, 5]),
    ],
)
def test_amounts_and_days_are_found_as_the_rows_show_them(
    live_in: LiveIn, typed: str, found: list[int]
) -> None:
    """The number with its unit, the day with or without weekday and year, beside other words."""
    hands = live_in(entries=measured())
    hands.press("Ctrl+6")

    hands.type(typed)
    hands.settle()

    assert [int(row.id[1:]) for row in list_of(hands).log_model.rows] == found


def test_where_the_whole_text_is_a_day_only_that_day_is_found(live_in: LiveIn) -> None:
    """A note with the words in it is of another day; with a word more it is found by them."""
    told = entry(7, date(2026, 3, 9), tank="reef", note="the last tuesday was warm")
    hands = live_in(entries=(*measured(), told))
    hands.press("Ctrl+6")
    hands.type("last tuesday")
    hands.settle()
    assert [int(row.id[1:]) for row in list_of(hands).log_model.rows] == [4]

    hands.type(" warm")
    hands.settle()
    assert [int(row.id[1:]) for row in list_of(hands).log_model.rows] == [7]


def test_a_word_that_begins_so_comes_before_one_that_holds_it(live_in: LiveIn) -> None:
    """The letters of nitrate stand in salinity, too, which is not meant; of alinity it is."""
    salinity = parse_reading("salinity", "35.0 psu", "practical")
    nitrate = parse_reading("nitrate", "12 mg/L", "mg/L")
    day = date(2026, 3, 10)
    hands = live_in(
        entries=(
            entry(1, day, tank="reef", fact=Readings((salinity,)), note=""),
            entry(2, day, tank="reef", fact=Readings((nitrate,)), note=""),
        )
    )
    hands.press("Ctrl+6")
    hands.type("nit")
    hands.settle()
    assert [int(row.id[1:]) for row in list_of(hands).log_model.rows] == [2]
    hands.paste("inity")
    hands.settle()
    assert [int(row.id[1:]) for row in list_of(hands).log_model.rows] == [1]


def test_a_change_of_a_tank_tells_its_fields_before_and_after(live_in: LiveIn) -> None:
    """In the line where there is room for them, and all of them in the why panel."""
    hands = live_in(person="bo")
    hands.press("Ctrl+Down", "F2")
    for path, typed in (("shape.water_depth_cm", "30,5"), ("top_off.allowed_drop_mm", "6")):
        settling = hands.window.morning.settling  # type: ignore[union-attr]
        assert settling is not None
        sheet = settling.tank.sheet
        sheet.fields[path].typed.field.setFocus()
        hands.paste(typed)
    hands.press("Esc", "Ctrl+6")

    row = list_of(hands).log_model.rows[0]
    depth, drop = f"30.5{NBSP}cm", f"6{NBSP}mm"
    assert row.text == (
        f"Changed the tank Reef: water up to {depth} (before: 36{NBSP}cm), "
        f"level may fall {drop} (before: not said)"
    )
    assert row.sentence.endswith(row.text.partition(": ")[2])
    assert hands.why.title == "Changed the tank Reef"
    assert hands.why.numbers_title == "What was changed"
    assert hands.why.numbers == (
        ("Water up to", f"{depth}, before: 36{NBSP}cm"),
        ("Level may fall", f"{drop}, before: not said"),
    )


def test_a_change_of_a_chore_tells_its_rhythm_and_its_fields(live_in: LiveIn) -> None:
    """In plain words, as its page shows them; what holds nothing is said so."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    assert session.household is not None
    old = next(one for one in session.household.chores if one.id == "wipe")
    new = replace(old, rhythm=AfterLastDone(days(10)), minutes=8, who=("bo",), late_days=2)
    settling_chores.change_chore(session.desk, new)

    hands.press("Ctrl+6")

    row = list_of(hands).log_model.rows[0]
    assert row.text == "Changed the chore Wipe the lid: rhythm, can wait after, takes, who does it"
    assert hands.why.numbers == (
        ("Rhythm", f"10{NBSP}days after it is done, before: 7{NBSP}days after it is done"),
        ("Can wait after", f"2{NBSP}days, before: not said"),
        ("Takes", f"8{NBSP}min, before: 5{NBSP}min"),
        ("Who does it", "Bo, before: not said"),
    )


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("width", ["tank"]),
        ("wid", ["tank"]),
        ("water up", ["tank"]),
        ("rhythm", ["chore"]),
        ("can wait", ["chore"]),
        ("amount", ["chore"]),
        ("uses", []),
        ("own ranges", ["ranges"]),
        ("without", ["animals"]),
        ("changed width", ["tank"]),
        ("floor", []),
    ],
)
def test_a_change_is_found_by_every_field_that_its_row_names(
    live_in: LiveIn, typed: str, found: list[str]
) -> None:
    """Fields by their names in the row, and the words for what has no name."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    assert session.household is not None
    desk, house = session.desk, session.household
    reef, nook = house.tanks
    shape = replace(reef.shape, length_cm=61.0, width_cm=41.0, water_depth_cm=35.0)
    change = next(one for one in house.chores if one.id == "change")
    again = replace(
        change, rhythm=AfterLastDone(days(10)), late_days=2, amount=Amount(8.0, AmountUnit.LITRES)
    )
    own = (OwnRange("nitrate", 1.0, 9.0, "mg/L"),)
    changes = {
        "tank": lambda: settling_tanks.change_tank(desk, replace(reef, shape=shape)),
        "chore": lambda: settling_chores.change_chore(desk, again),
        "ranges": lambda: settling_tanks.change_tank(desk, replace(nook, ranges=own)),
        "animals": lambda: settling_animals.add_animal(
            desk, Animal("reef", "", 2, date(2026, 3, 1))
        ),
    }
    made = {name: make().entry.id for name, make in changes.items()}  # type: ignore[union-attr]
    hands.press("Ctrl+6")

    hands.type(typed)
    hands.settle()

    ids = [row.id for row in list_of(hands).log_model.rows]
    assert ids == [made[name] for name in found]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("36 cm", ["tank"]),
        ("30,5", ["tank"]),
        ("30.5 cm", ["tank"]),
        ("85 L", ["reservoir"]),
        ("120 L", ["reservoir"]),
        ("85", ["reservoir"]),
        ("8", []),
        ("85 mL", []),
        ("10 days", ["chore"]),
        ("bo", ["chore"]),
        ("reservoir 120", ["reservoir"]),
        ("nitrate 9", ["ranges"]),
    ],
)
def test_a_change_is_found_by_what_stood_there_and_what_stands_there_now(
    live_in: LiveIn, typed: str, found: list[str]
) -> None:
    """A number is meant as a whole, with its unit where one is typed; words by how they begin."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    assert session.household is not None
    desk, house = session.desk, session.household
    reef, nook = house.tanks
    filled = replace(nook, top_off=replace(nook.top_off, reservoir_l=85.0))
    settling_tanks.change_tank(desk, filled)
    more = replace(filled, top_off=replace(filled.top_off, reservoir_l=120.0))
    shape = replace(reef.shape, water_depth_cm=30.5)
    wipe = next(one for one in house.chores if one.id == "wipe")
    again = replace(wipe, rhythm=AfterLastDone(days(10)), who=("bo",))
    own = (OwnRange("nitrate", 1.0, 9.0, "mg/L"),)
    changes = {
        "reservoir": lambda: settling_tanks.change_tank(desk, more),
        "tank": lambda: settling_tanks.change_tank(desk, replace(reef, shape=shape)),
        "chore": lambda: settling_chores.change_chore(desk, again),
        "ranges": lambda: settling_tanks.change_tank(desk, replace(more, ranges=own)),
    }
    made = {name: make().entry.id for name, make in changes.items()}  # type: ignore[union-attr]
    hands.press("Ctrl+6")

    hands.type(typed)
    hands.settle()

    ids = [row.id for row in list_of(hands).log_model.rows if row.id in made.values()]
    assert ids == [made[name] for name in found]


def test_each_field_of_a_change_stands_in_a_column() -> None:
    """What the search asks the file for is there under that name."""
    of = {Thing.TANK: TANK, Thing.CHORE: CHORE}
    columns = {thing: {one.name for one in sheet.columns} for thing, sheet in of.items()}
    fields = [one for one in fields_found(lambda _name: True) if one.path]

    assert len(fields) > 50
    asked = [(one.of, name) for one in fields for _sheet, name in columns_of(one)]
    assert [one for one in asked if one[1] not in columns[one[0]]] == []


@pytest.mark.parametrize(
    ("volume", "was", "becomes"),
    # One US gallon has 3.785411784 L (NIST Handbook 44, appendix C): 30 and 45 of them by that.
    [
        ("L", f"30{NBSP}L", f"45{NBSP}L"),
        ("US gal", f"7.9{NBSP}US{NBSP}gal", f"11.9{NBSP}US{NBSP}gal"),
    ],
)
def test_an_amount_before_and_after_has_its_unit(
    live_in: LiveIn, volume: str, was: str, becomes: str
) -> None:
    """Volumes that of the household; a percentage and what is weighed theirs."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    assert session.household is not None
    desk = session.desk
    settling_house.set_basics(
        desk, replace(session.household, units=replace(session.household.units, volume=volume))
    )
    old = next(one for one in session.household.chores if one.id == "change")

    def amount_set(value: float, unit: AmountUnit) -> None:
        present = next(one for one in desk.state().household.chores if one.id == "change")
        settling_chores.change_chore(desk, replace(present, amount=Amount(value, unit)))

    amount_set(30.0, AmountUnit.LITRES)
    amount_set(45.0, AmountUnit.LITRES)
    amount_set(15.0, AmountUnit.PERCENT)

    hands.press("Ctrl+6")

    name = f"Changed the chore {old.name}: amount"
    assert texts(hands)[:2] == [
        f"{name} 15{NBSP}% (before: {becomes})",
        f"{name} {becomes} (before: {was})",
    ]


def test_how_far_salinity_may_rise_has_its_unit(live_in: LiveIn) -> None:
    """A step of it, in the unit in which salinity is told."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    assert session.household is not None
    reef = session.household.tank("reef")
    for rise in (0.5, 0.8):
        top_off = replace(reef.top_off, allowed_salinity_rise=rise)
        settling_tanks.change_tank(session.desk, replace(reef, top_off=top_off))

    hands.press("Ctrl+6")

    told = f"salinity may rise 0.8{NBSP}PSU (before: 0.5{NBSP}PSU)"
    assert texts(hands)[0] == f"Changed the tank Reef: {told}"


def test_what_a_chore_uses_up_is_told_with_unit_and_supply(live_in: LiveIn) -> None:
    """Each supply by its name."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    assert session.household is not None
    salt = settling_house.add(session.desk, Supply("", "salt mix", "g")).household.supplies[-1]
    old = next(one for one in session.household.chores if one.id == "change")
    uses = (Use(salt.id, 250.0, AmountUnit.GRAMS),)
    settling_chores.change_chore(session.desk, replace(old, uses=uses))

    hands.press("Ctrl+6")

    told = f"uses up 250{NBSP}g of salt mix (before: not said)"
    assert texts(hands)[0] == f"Changed the chore {old.name}: {told}"


def test_what_changes_along_is_told_by_its_name(live_in: LiveIn) -> None:
    """The chores that end with the last animal; the reason stands before them."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    fish = Animal("reef", "Firefish", 1, TODAY)
    settling_animals.add_animal(session.desk, fish, [Brings.REVIEW])
    losing.change_animal(session.desk, fish, replace(fish, lost=(Loss(TODAY, 1, "jumped out"),)))

    hands.press("Ctrl+6")

    assert texts(hands)[0].startswith(
        "Lost from the animals: Firefish (1 of 1). Jumped out. "
        "Review the quarantine: Firefish, last day "
    )


def test_a_stage_is_told_once_and_with_what_it_was(live_in: LiveIn) -> None:
    """In the line what it is, in the why panel what it was before, too."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    settling_tanks.set_stage(session.desk, "reef", Stage.PLANNED)

    hands.press("Ctrl+6")

    assert texts(hands)[0] == "Set the stage of Reef to planned"
    assert ("Stage", "planned, before: running") in hands.why.numbers


def test_a_note_is_begun_from_the_line_as_well(live_in: LiveIn) -> None:
    """Its key types nothing, so that it need not be left before."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")
    hands.type("goby")
    hands.press("Ctrl+M")
    assert isinstance(hands.form(), NoteForm)
    hands.press("Esc")
    assert desk_of(hands).page.filter.field.text() == "goby"


def test_each_new_result_begins_at_its_first_row(live_in: LiveIn) -> None:
    """The match of a half-typed text is no choice; Del in the line takes nothing back."""
    notes = ("old skimmer", "skim the sump", "skimmer cup", "skimmer pump")
    last = date(2026, 3, 11)
    entries = tuple(
        entry(at, last - timedelta(days=len(notes) - at), tank="reef", note=note)
        for at, note in enumerate(notes)
    )
    hands = live_in(entries=entries)
    hands.press("Ctrl+6", "End")
    for sign in "skimmer":
        hands.type(sign)
        hands.settle()
        current = list_of(hands).current_row()
        assert current is not None
        assert current.id == "e00003"

    hands.press("Del")
    assert not any(row.is_struck for row in list_of(hands).log_model.rows)
    assert len(hands.log()) == len(notes)

    hands.press("Down", "Down", "Del")
    struck = [row.id for row in list_of(hands).log_model.rows if row.is_struck]
    assert struck == ["e00002"]


def test_where_nothing_is_found_the_sentence_says_so(live_in: LiveIn) -> None:
    """A count of none, the newest first, is no sentence."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6")

    hands.type("zzz")
    hands.settle()

    assert sentence(hands) == "Nothing found."


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("ammonia > 1", [2]),
        ("ammonia >1", [2]),
        ("ammonia <= 1", [1]),
        ("nitrite > 1", [1]),
        ("ammonia reef > 1", [2]),
        ("ammonia > 1 mg/L", [2]),
        ("ammonia > 5", []),
        ("salinity > 30", [3]),
        ("nitrite > 30", []),
        ("ph > 8", [4]),
        ("> 1", [4, 3, 2, 1]),
    ],
)
def test_a_comparison_counts_for_the_parameter_that_is_named_before_it(
    live_in: LiveIn, typed: str, found: list[int]
) -> None:
    """An entry whose other reading is as high is no answer."""

    def reads(**values: str) -> Readings:
        units = {"ammonia": "mg/L", "nitrite": "mg/L", "phosphate": "mg/L", "ph": ""}
        return Readings(
            tuple(parse_reading(name, text, units[name] or None) for name, text in values.items())
        )

    last = date(2026, 3, 10)
    facts: tuple[Fact, ...] = (
        reads(ammonia="0", nitrite="2"),
        reads(ammonia="2", nitrite="0"),
        WaterChange(25.0, salinity=35.0),
        reads(ph="8.2", phosphate="0.1"),
    )
    entries = tuple(
        entry(at, last, tank="reef", fact=fact, note="salinity" if at == 3 else "")
        for at, fact in enumerate(facts, start=1)
    )
    hands = live_in(entries=entries)
    hands.press("Ctrl+6")

    hands.type(typed)
    hands.settle()

    assert [int(row.id[1:]) for row in list_of(hands).log_model.rows] == found


def test_the_correction_of_a_dose_begins_in_the_amount(live_in: LiveIn) -> None:
    """What is typed replaces what stands there, and the substance is seldom wrong."""
    dose = entry(1, date(2026, 3, 11), tank="nook", fact=Dose("Kalkwasser", 12.0), note="")
    hands = live_in(entries=(dose,))
    hands.press("Ctrl+6", "Return")

    hands.type("9")
    hands.press("Return")

    assert hands.log()[0].entry.fact == Dose("Kalkwasser", 9.0)


def test_writing_down_from_the_logbook_is_set_to_the_tank_of_the_entry(live_in: LiveIn) -> None:
    """The entry in hand says which tank is meant, unless one is chosen in the rail."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down")
    assert list_of(hands).current_row().where == "Nook"  # type: ignore[union-attr]
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.tank.currentText() == "Nook"
    hands.press("Escape")

    hands.press("Up", "Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.tank.currentText() == "Reef"


def test_writing_down_from_the_logbook_is_set_to_the_tank_chosen_in_the_rail(
    live_in: LiveIn,
) -> None:
    """As from the round: who chose a tank means that one."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Ctrl+Down", "Ctrl+Down", "Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.tank.currentText() == "Nook"
