"""The small forms, typed into by key: what they ask, refuse in place, keep, and ask about again."""

from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind, Use
from tankkeeper.core.household import Household, Supply
from tankkeeper.core.logbook import Dose, PutOff, Readings, TopOff, WaterChange
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.field_faults import ASKED
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.fault_table import TEMPLATES
from tests.builders import an_entry
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house

# What people and other programs leave in text fields: markup, code, numbers that are none,
# turned writing direction, signs that are composed, control characters.
HOSTILE = (
    "'; DROP TABLE entries; --",
    "<img src=x>",
    "=1+1",
    "%s{}{0}",
    "x" * 10_000,
    "\u202egnp.exe",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467",
    "e\u0301 \u00e9",
    "a\0b",
    "con",
    "../x",
    "nan",
    "inf",
    "1e999",
    "-5",
    "1_000",
    "\uff11\uff12",
    "\u0661\u0662",
)


def _open(hands: Hands, chore: str, key: str = "Space") -> Form:
    hands.go_to(chore)
    hands.press(key)
    return hands.form()


def _refused_at(hands: Hands, form: Form, field: QuantityField) -> str:
    """Return the sentence at a field of a form that kept nothing and stays open."""
    assert hands.form() is form
    assert form.primary.isEnabled()
    assert hands.log() == []
    assert field.fault
    return field.fault


def test_a_top_off_opens_the_form_on_its_litres(live_in: LiveIn) -> None:
    """What asks for a number opens the form, and the first field has the keys."""
    hands = live_in()

    form = _open(hands, "fill")

    assert hands.focus() is form.litres.field  # type: ignore[attr-defined]
    assert hands.log() == []


def test_return_keeps_what_was_measured(live_in: LiveIn) -> None:
    """Typed litres are measured, and the button says so."""
    hands = live_in()
    form = _open(hands, "fill")

    hands.type("1.4")
    assert form.primary.text() == "Keep as measured"
    hands.press("Return")

    assert not hands.has_form()
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, TopOff)
    assert (fact.litres, fact.estimated) == (1.4, False)


def test_an_empty_field_keeps_the_proposal_as_an_estimate(live_in: LiveIn) -> None:
    """Accepted unmeasured is told apart on the button and in the logbook."""
    hands = live_in()
    form = _open(hands, "fill")
    assert form.primary.text() == "Keep 1.5\u00a0L as proposed"

    hands.press("Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, TopOff)
    assert (fact.litres, fact.estimated) == (1.5, True)


def test_the_proposal_that_was_shown_is_kept_though_the_water_went_on_falling(
    live_in: LiveIn,
) -> None:
    """A form may stand open for hours; what its button says is what is written."""
    hands = live_in()
    form = _open(hands, "fill")
    shown = form.primary.text()
    hands.clock.forward(timedelta(hours=9))

    hands.press("Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, TopOff)
    assert f"Keep {fact.litres}\u00a0L as proposed" == shown


@pytest.mark.parametrize(
    ("typed", "litres"),
    [("9,5 l", 9.5), ("9.5", 9.5), ("2.5 gal US", 9.4635295), ("9500 mL", 9.5)],
)
def test_litres_take_comma_point_and_unit(live_in: LiveIn, typed: str, litres: float) -> None:
    """A US liquid gallon is 3.785411784 L (NIST Handbook 44, 2024, appendix C)."""
    hands = live_in()
    _open(hands, "change")

    hands.press("Shift+Tab")
    hands.type(typed)
    hands.press("Tab")
    hands.type("35")
    hands.press("Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, WaterChange)
    assert fact.litres == pytest.approx(litres)


def test_the_cursor_stands_where_something_is_asked_that_nothing_proposes(live_in: LiveIn) -> None:
    """The litres are proposed, the salinity is not; where all is proposed it is in the first."""
    hands = live_in()
    form = _open(hands, "change")
    assert hands.focus() is form.salinity.field  # type: ignore[attr-defined]
    hands.press("Esc")

    form = _open(hands, "fill")
    assert hands.focus() is form.litres.field  # type: ignore[attr-defined]


def test_salinity_takes_a_specific_gravity_with_its_temperatures(live_in: LiveIn) -> None:
    """Specific gravity 1.0264 (25/25) at 25.4 degC is sea water of practical salinity 35.

    From memory: sea water of salinity 35 at 25 degC has 1023.34 kg/m3 (UNESCO 1981, EOS-80) and
    pure water 997.05 kg/m3, so its specific gravity is 1.0264.
    """
    hands = live_in()
    _open(hands, "change")

    hands.press("Shift+Tab")
    hands.type("9")
    hands.press("Tab")
    hands.type("1.0264 sg25/25 @25.4C")
    hands.press("Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, WaterChange)
    assert fact.salinity == pytest.approx(35.0, abs=0.3)


def test_a_specific_gravity_typed_as_salinity_is_recognised(live_in: LiveIn) -> None:
    """1.025 without a unit is no practical salinity; the field says what it looks like."""
    hands = live_in()
    form = _open(hands, "change")

    hands.press("Shift+Tab")
    hands.type("9")
    hands.press("Tab")
    hands.type("1.025")
    hands.press("Return")

    salinity = form.salinity  # type: ignore[attr-defined]
    assert "specific gravity" in _refused_at(hands, form, salinity)
    assert salinity.text == "1.025"


@pytest.mark.parametrize("typed", ["0.01", "200000", "nonsense", "9 parsecs", "-3"])
def test_what_cannot_be_is_refused_in_the_field(live_in: LiveIn, typed: str) -> None:
    """One sentence below the field; what was typed stays, and the keys are in that field."""
    hands = live_in()
    form = _open(hands, "fill")

    hands.type(typed)
    hands.press("Return")

    field = form.litres  # type: ignore[attr-defined]
    assert _refused_at(hands, form, field).endswith((".", "?"))
    assert field.text == typed
    assert hands.focus() is field.field


def test_a_refusal_of_the_household_stands_at_its_field(live_in: LiveIn) -> None:
    """More than the tank holds is only known where it is kept; it is told in the field, too."""
    hands = live_in()
    form = _open(hands, "fill")

    hands.type("4000")
    # So much is asked about first.
    hands.press("Return", "Return")

    assert _refused_at(hands, form, form.litres)  # type: ignore[attr-defined]


def test_readings_are_typed_field_by_field(live_in: LiveIn) -> None:
    """A test asks its values, each in its own field; all of them are needed."""
    hands = live_in()
    form = _open(hands, "test")

    hands.type("35,1")
    hands.press("Return")
    assert hands.form() is form
    assert form.values["nitrate"].fault  # type: ignore[attr-defined]
    hands.type("12 mg/L")
    hands.press("Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, Readings)
    assert [(one.parameter, one.typed) for one in fact.values] == [
        ("salinity", 35.1),
        ("nitrate", 12.0),
    ]


def test_what_is_unlike_the_usual_is_asked_about_and_then_kept(live_in: LiveIn) -> None:
    """Salinity 22 can be; it is asked about once, and kept when Return is pressed again."""
    hands = live_in()
    form = _open(hands, "change")
    hands.press("Shift+Tab")
    hands.type("9")
    hands.press("Tab")
    hands.type("22")

    hands.press("Return")
    assert hands.log() == []
    assert "unlike the usual" in form.accessibleDescription()
    assert form.primary.text() == "Keep all the same"
    hands.press("Return")

    assert not hands.has_form()
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, WaterChange)
    assert fact.salinity == 22.0


def test_where_a_question_stood_no_field_moves_when_it_goes(live_in: LiveIn) -> None:
    """The room that it leaves is above the buttons, not between the title and the fields."""
    hands = live_in()
    form = _open(hands, "change")
    assert isinstance(form, TickForm)
    assert form.salinity is not None
    hands.press("Shift+Tab")
    hands.type("9")
    hands.press("Tab")
    before = [one.mapTo(form, one.rect().topLeft()) for one in (form.salinity, form.note)]
    hands.type("22")
    hands.press("Return")
    assert "unlike the usual" in form.accessibleDescription()
    hands.type("35")
    hands.settle()

    assert form.accessibleDescription() == ""
    assert [one.mapTo(form, one.rect().topLeft()) for one in (form.salinity, form.note)] == before


def test_more_than_the_tank_holds_is_refused_without_a_question(live_in: LiveIn) -> None:
    """3000 L can be no slip that somebody confirms; what was typed stays."""
    hands = live_in()
    form = _open(hands, "fill")
    hands.type("3000")

    hands.press("Return")

    assert "is not possible" in form.litres.fault  # type: ignore[attr-defined]
    assert "far more" not in form.accessibleDescription()
    assert form.litres.text == "3000"  # type: ignore[attr-defined]
    assert hands.log() == []
    hands.type("0.6")
    assert form.litres.text == "0.6"  # type: ignore[attr-defined]
    hands.press("Esc")


def test_what_was_typed_and_left_stands_there_again_for_the_same_line(live_in: LiveIn) -> None:
    """Escape keeps nothing and loses nothing; once it is ticked nothing is left of it."""
    hands = live_in()
    _open(hands, "fill")
    hands.type("1.4")
    hands.press("Esc")
    assert hands.log() == []

    form = _open(hands, "fill")
    assert form.litres.text == "1.4"  # type: ignore[attr-defined]
    assert "still here" in form._still_here.words.text()  # type: ignore[union-attr]
    form.litres.field.setFocus()  # type: ignore[attr-defined]
    hands.press("Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, TopOff)
    assert fact.litres == 1.4
    hands.press("Ctrl+Z")
    again = _open(hands, "fill")
    assert again.litres.text == ""  # type: ignore[attr-defined]
    hands.press("Esc")


def test_far_more_litres_than_proposed_are_asked_about_and_then_kept(live_in: LiveIn) -> None:
    """A salinity typed into the wrong form is caught before it is kept; 1.5 L were proposed."""
    hands = live_in()
    form = _open(hands, "fill")
    hands.type("9")

    hands.press("Return")
    assert hands.log() == []
    assert "far more than the 1.5" in form.accessibleDescription()
    hands.press("Return")

    assert not hands.has_form()
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, TopOff)
    assert fact.litres == 9.0


def test_some_more_litres_than_proposed_are_kept_at_once(live_in: LiveIn) -> None:
    """Two and a half litres where 1.5 were proposed is a warm day."""
    hands = live_in()
    _open(hands, "fill")
    hands.type("2.5")
    hands.press("Return")
    assert not hands.has_form()
    assert len(hands.log()) == 1


def test_the_question_goes_when_something_else_is_typed(live_in: LiveIn) -> None:
    """After a mended slip nothing is asked any more."""
    hands = live_in()
    form = _open(hands, "change")
    hands.press("Shift+Tab")
    hands.type("9")
    hands.press("Tab")
    hands.type("25.5")
    hands.press("Backspace", "Backspace", "Backspace", "Backspace")
    hands.type("22")
    hands.press("Return")

    hands.press("Ctrl+A")
    hands.type("35")

    assert form.primary.text() == "Keep as measured"
    assert not form.accessibleDescription()


def test_who_and_when_are_chosen_in_the_form(live_in: LiveIn) -> None:
    """Another person, yesterday, and a note, all by key."""
    hands = live_in(person="ada")
    form = _open(hands, "fill")
    hands.type("1.4")

    hands.press("Tab", "Tab", "Down", "Tab", "Down", "Tab")
    hands.type("in a hurry")
    assert form.who.person_id == "bo"  # type: ignore[attr-defined]
    hands.press("Return")

    entry = hands.log()[0].entry
    assert (entry.by, entry.day.isoformat(), entry.note) == ("bo", "2026-03-11", "in a hurry")


def test_the_form_takes_another_time(live_in: LiveIn) -> None:
    """Any earlier moment can be typed; one that lies ahead cannot."""
    hands = live_in()
    form = _open(hands, "wipe", "Return")
    when = form.when  # type: ignore[attr-defined]

    when.setFocus()
    hands.press("End")

    assert when.other.isVisible()
    assert when.other.moment == datetime.fromisoformat("2026-03-12 07:04")
    hands.press("Esc")


def test_y_opens_the_form_on_yesterday_where_something_is_asked(live_in: LiveIn) -> None:
    """The day stands in the form already."""
    hands = live_in()
    form = _open(hands, "fill", "Y")

    assert form.when.choice.currentText() == "Yesterday"  # type: ignore[attr-defined]
    hands.press("Return")

    assert hands.told.startswith("Ticked Top off (Nook), on Wednesday 11\u00a0March.")

    assert hands.log()[0].entry.day.isoformat() == "2026-03-11"


def test_escape_leaves_without_a_trace(live_in: LiveIn) -> None:
    """Nothing is written, the line keeps the keys."""
    hands = live_in()
    _open(hands, "fill")
    hands.type("1.4")

    hands.press("Esc")

    assert not hands.has_form()
    assert hands.list.hasFocus()
    assert hands.current() == "fill"
    assert hands.log() == []


def test_escape_while_it_is_written_does_not_lose_the_answer(live_in: LiveIn) -> None:
    """The form stays until what it asked for was kept or refused."""
    hands = live_in()
    _open(hands, "fill")
    hands.type("4000")
    hands.press("Return")

    hands.hit("Return")
    hands.hit("Esc")
    hands.settle()

    assert hands.form().litres.fault  # type: ignore[attr-defined]


def test_several_lines_that_ask_open_one_form_after_the_other(live_in: LiveIn) -> None:
    """What asks is asked in turn, with its place among them; the rest is ticked after the last."""
    hands = live_in()
    open_rows = [row for row in hands.rows() if row.item.is_open]
    hands.press("Ctrl+A", "Space")
    asked = []

    for number in (1, 2, 3):
        asked.append(hands.form().windowTitle())
        place = f"{number} of 3; {len(open_rows) - 3} others are ticked after the last."
        assert place in [one.text() for one in hands.form().findChildren(CaptionLabel)]
        assert sum(row.is_closed for row in hands.rows()) == number - 1
        if "Change" in asked[-1]:
            hands.type("35")
        if "Test" in asked[-1]:
            hands.type("35")
            hands.press("Tab")
            hands.type("10")
        hands.press("Return")

    assert not hands.has_form()
    assert len(set(asked)) == 3
    assert all(row.is_closed for row in hands.rows())


def test_whoever_leaves_the_first_form_of_several_leaves_all(live_in: LiveIn) -> None:
    """Nothing is ticked behind the question, and what is left is told."""
    hands = live_in()
    count = sum(row.item.is_open for row in hands.rows())
    hands.press("Ctrl+A", "Space", "Esc")

    assert not hands.has_form()
    assert not any(row.is_closed for row in hands.rows())
    assert hands.log() == []
    assert hands.told == f"Not ticked: {count} chores."


def test_what_was_kept_before_the_others_were_left_stays(live_in: LiveIn) -> None:
    """The last of two is left, and the line without a question with it."""
    hands = live_in()
    hands.go_to("floss")
    hands.press("Ctrl+A", "Space")
    while "Test" not in hands.form().windowTitle():
        if "Change" in hands.form().windowTitle():
            hands.type("35")
        hands.press("Return")
    closed = [row.id for row in hands.rows() if row.is_closed]
    hands.press("Esc")

    assert closed == [row.id for row in hands.rows() if row.is_closed]
    assert hands.state("floss") is State.DUE
    assert len(hands.log()) == len(closed)


def test_after_several_were_ticked_no_key_takes_all_of_them_back(live_in: LiveIn) -> None:
    """One line is selected then; where all that is selected is closed, the panel says so."""
    hands = live_in()
    hands.press("Ctrl+A", "Space")
    while hands.has_form():
        if "Change" in hands.form().windowTitle():
            hands.type("35")
        if "Test" in hands.form().windowTitle():
            hands.type("35")
            hands.press("Tab")
            hands.type("10")
        hands.press("Return")

    assert all(row.is_closed for row in hands.rows())
    assert len(hands.selected()) == 1
    hands.press("Home", "Shift+Down", "Shift+Down")
    assert len(hands.selected()) > 1
    assert [one.text for one in hands.why.actions] == ["Take back"]


def test_water_is_mixed_before_the_change_that_takes_it(live_in: LiveIn) -> None:
    """Whatever stands first in the round; a change is not asked about what is mixed with it."""
    small = small_house()
    mixing = chore("mix", "Mix salt water", 12, kind=ChoreKind.MIX_SALT_WATER, tank=None)
    hands = live_in(replace(small, chores=(*small.chores, mixing)))
    hands.press("Ctrl+A", "Space")

    assert "Mix" in hands.form().windowTitle()


def test_one_line_that_is_left_is_not_spoken_of(live_in: LiveIn) -> None:
    """A form that stands alone has no place among others, and Esc says enough."""
    hands = live_in()
    hands.go_to("fill")
    hands.press("Space")
    captions = [one.text() for one in hands.form().findChildren(CaptionLabel)]
    assert not any("of 1" in one or "ticked after" in one for one in captions)
    before = hands.told
    hands.press("Esc")

    assert hands.told == before


def test_a_lone_surrogate_in_a_note_is_refused_in_words(live_in: LiveIn) -> None:
    """Half a sign cannot be stored; the note stays in its field."""
    hands = live_in()
    form = _open(hands, "wipe", "N")
    form.text.setPlainText("half \ud83d sign")  # type: ignore[attr-defined]

    hands.press("Ctrl+Return")

    assert not hands.has_form() or form.accessibleDescription()


def test_an_empty_test_is_refused_at_its_first_field_in_words(live_in: LiveIn) -> None:
    """Salinity is the first value; the options of the command line are not spoken of."""
    hands = live_in()
    hands.go_to("test")

    hands.press("Space", "Return")

    form = hands.form()
    first = form.values["salinity"]  # type: ignore[attr-defined]
    assert first.fault == "Write down what was measured."
    assert first.isAncestorOf(hands.focus())
    hands.type("35")
    hands.press("Return")
    second = form.values["nitrate"]  # type: ignore[attr-defined]
    assert second.fault == "Write down what was measured."
    assert second.isAncestorOf(hands.focus())


def test_new_water_unlike_that_of_the_tank_is_asked_about(live_in: LiveIn) -> None:
    """The tank is kept at 35; 38 is as salty as some tank may be, but hardly this one."""
    hands = live_in()
    hands.go_to("change")
    hands.press("Space")
    form = hands.form()
    form.salinity.go_to()  # type: ignore[attr-defined]
    hands.type("38")

    hands.press("Return")

    assert hands.has_form()
    asked = form._asked_about.replace("\u00a0", " ")  # type: ignore[attr-defined]
    assert asked == (
        "New water of 38.0 PSU is far from the target of Reef, 35.0 PSU. Keep it if it was so."
    )
    hands.press("Return")
    assert not hands.has_form()


def test_new_water_is_compared_with_what_the_tank_has_by_now(live_in: LiveIn) -> None:
    """Read this morning at 35.7; 32 is far from that, and told as the panel tells the tank's."""
    read = Readings((ReadingValue("salinity", 35.7, "practical", 35.7),))
    hands = live_in(entries=(an_entry(1, "2026-03-12", read, tank="reef", at=time(6, 30)),))
    hands.go_to("change")
    hands.press("Space")
    form = hands.form()
    form.salinity.go_to()  # type: ignore[attr-defined]
    hands.type("32")

    hands.press("Return")

    asked = form._asked_about.replace("\u00a0", " ")  # type: ignore[attr-defined]
    assert asked == (
        "New water of 32.0 PSU is far from what Reef has by now, 35.7 ± 0.3 PSU. "
        "Keep it if it was so."
    )


def test_litres_typed_where_the_salinity_is_asked_are_not_kept_without_a_question(
    live_in: LiveIn,
) -> None:
    """The litres are proposed, so the keys begin in the salinity; 36 is possible there, too."""
    read = Readings((ReadingValue("salinity", 34.8, "practical", 34.8),))
    hands = live_in(entries=(an_entry(1, "2026-03-12", read, tank="reef", at=time(6, 30)),))
    hands.go_to("change")
    hands.press("Space")
    form = hands.form()
    hands.type("36")

    hands.press("Return")

    asked = form._asked_about.replace("\u00a0", " ")  # type: ignore[attr-defined]
    assert asked == (
        "New water of 36.0 PSU is more than 0.5 PSU from what Reef has by now, 34.8 ± 0.3 PSU. "
        "Keep it if it was so."
    )
    # What is typed next takes the place of it.
    hands.type("35")
    hands.press("Return")
    assert not hands.has_form()
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, WaterChange)
    assert fact.salinity == 35.0


@pytest.mark.parametrize(
    ("litres", "salinity", "asked"),
    [
        (
            "26",
            "35",
            "26 L of new water of 35.0 PSU moves Reef from 33.0 PSU to 33.6 PSU at once, by more "
            "than 0.5 PSU. Keep it if it was so.",
        ),
        ("15", "35", ""),
        ("26", "34", ""),
    ],
)
def test_new_water_that_moves_its_tank_beyond_the_step_of_the_caution_is_asked_about(
    live_in: LiveIn, litres: str, salinity: str, asked: str
) -> None:
    """26 of 86.4 L (60 x 40 x 36 cm) at 2 PSU more moves the tank by 26 / 86.4 x 2, which is 0.6.

    15 L move it by 0.3, and so do 26 L at 1 PSU more.
    """
    read = Readings((ReadingValue("salinity", 33.0, "practical", 33.0),))
    hands = live_in(entries=(an_entry(1, "2026-03-12", read, tank="reef", at=time(6, 30)),))
    hands.go_to("change")
    hands.press("Space")
    form = hands.form()
    form.litres.go_to()  # type: ignore[attr-defined]
    hands.press("Ctrl+A")
    hands.type(litres)
    form.salinity.go_to()  # type: ignore[attr-defined]
    hands.type(salinity)

    hands.press("Return")

    told = form._asked_about.replace("\u00a0", " ")  # type: ignore[attr-defined]
    assert told == asked
    assert hands.has_form() == bool(asked)
    if asked:
        hands.press("Return")
        assert not hands.has_form()


@pytest.mark.parametrize(
    ("salinity", "is_asked"), [("31", False), ("35", False), ("33", False), ("38", True)]
)
def test_new_water_that_suits_the_tank_as_it_is_or_is_meant_to_be_is_not_asked_about(
    live_in: LiveIn, salinity: str, is_asked: bool
) -> None:
    """A tank kept at 35 that reads 31: all from the one to the other may be mixed for it."""
    read = Readings((ReadingValue("salinity", 31.0, "practical", 31.0),))
    hands = live_in(entries=(an_entry(1, "2026-03-12", read, tank="reef", at=time(6, 30)),))
    hands.go_to("change")
    hands.press("Space")
    form = hands.form()
    form.salinity.go_to()  # type: ignore[attr-defined]
    hands.type(salinity)

    hands.press("Return")

    assert hands.has_form() is is_asked


def test_a_part_of_more_than_was_missing_is_asked_about(live_in: LiveIn) -> None:
    """1.5 L were proposed: 1.8 L are hardly a part of them, but who says so again is believed."""
    hands = live_in()
    form = _open(hands, "fill")
    hands.type("1,8")
    form.extent.setFocus()  # type: ignore[attr-defined]
    hands.press("End", "Ctrl+Return")

    assert hands.has_form()
    assert form.extent.extent is None  # type: ignore[attr-defined]
    asked = form._asked_about.replace("\u00a0", " ")  # type: ignore[attr-defined]
    assert asked == "1.8 L is more than the 1.5 L that were missing. To the mark, or a part?"
    hands.press("End", "Ctrl+Return")
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, TopOff)
    assert (fact.litres, fact.to_mark) == (1.8, False)


def test_no_sentence_with_an_option_has_its_words_from_the_command_line() -> None:
    """Of each fault whose sentence names an option the form of a tick has words of its own."""
    of_command_line = {"no_values", "not_a_reading"}
    told = {code for code, text in TEMPLATES.items() if " --" in text or "NAME=VALUE" in text}

    assert "needs_values" in told
    assert told - of_command_line <= set(ASKED)


@pytest.mark.parametrize("text", ["", "   ", "\n\n"])
def test_an_empty_note_is_refused_in_words(live_in: LiveIn, text: str) -> None:
    """A note without a word is none."""
    hands = live_in()
    form = _open(hands, "wipe", "N")
    form.text.setPlainText(text)  # type: ignore[attr-defined]

    hands.press("Ctrl+Return")

    assert hands.form() is form
    assert form.accessibleDescription()
    assert hands.log() == []


def test_a_note_that_is_too_long_stays_in_its_field(live_in: LiveIn) -> None:
    """Over 10,000 characters nothing is cut off; the form says how long it is."""
    hands = live_in()
    form = _open(hands, "wipe", "N")
    hands.paste("x" * 10_001)

    hands.press("Ctrl+Return")

    assert hands.form() is form
    assert len(form.text.toPlainText()) == 10_001  # type: ignore[attr-defined]
    assert form.accessibleDescription()


def test_a_day_in_two_weeks_can_be_typed_for_a_pause(live_in: LiveIn) -> None:
    """The last paused day is chosen, and the chore waits that long."""
    hands = live_in()
    form = _open(hands, "lamp", "Shift+P")

    form.until.setFocus()  # type: ignore[attr-defined]
    hands.press("End")
    assert form.day.isVisible()  # type: ignore[attr-defined]
    hands.press("Return")

    assert not hands.has_form()
    assert hands.state("lamp") is State.PAUSED


def test_several_lines_are_put_off_together_and_come_back_together(live_in: LiveIn) -> None:
    """One form, one deed, one undo."""
    hands = live_in()
    hands.go_to("wipe")
    hands.click(hands.area("lamp").center(), Qt.KeyboardModifier.ControlModifier)

    hands.press("P", "Return")
    assert [type(one.entry.fact) for one in hands.log()] == [PutOff, PutOff]
    hands.press("Ctrl+Z")

    assert hands.state("wipe") is State.DUE
    assert hands.state("lamp") is State.DUE


@pytest.mark.parametrize("percent", [100, 125, 150, 200])
@pytest.mark.parametrize(
    ("chore", "key"),
    [("change", "Space"), ("test", "Space"), ("wipe", "P"), ("wipe", "Shift+P"), ("wipe", "N")],
)
def test_forms_cut_nothing_and_name_every_field(  # type: ignore[no-untyped-def]
    live_in: LiveIn, wear, percent: int, chore: str, key: str
) -> None:
    """At every size of type; each field says its name to a screen reader."""
    from tankkeeper.gui.palette import Scheme

    hands = live_in()
    wear(Scheme.LIGHT, percent)
    form = _open(hands, chore, key)
    QApplication.processEvents()

    assert cut_labels(form) == []
    assert overlapping(form) == []
    assert nameless(form) == []
    hands.press("Esc")


def test_a_fault_is_read_with_its_field(live_in: LiveIn) -> None:
    """A screen reader hears name, unit and what is wrong at the field."""
    hands = live_in()
    form = _open(hands, "fill")
    hands.type("much")
    hands.press("Return")

    field = QAccessible.queryAccessibleInterface(form.litres.field)  # type: ignore[attr-defined]

    assert field.text(QAccessible.Text.Name) == "Litres, L"
    assert field.text(QAccessible.Text.Description) == form.litres.fault  # type: ignore[attr-defined]


def test_long_names_do_not_stretch_a_form_over_the_screen(live_in: LiveIn) -> None:
    """A chore with a name of 200 letters is told in as many lines as it takes."""
    long = "Wipe the lid " * 15
    chores = tuple(
        one if one.id != "wipe" else type(one)(**{**_fields(one), "name": long.strip()})
        for one in small_house().chores
    )
    hands = live_in(small_house(chores=chores))

    for key in ("Return", "P", "Shift+P", "N"):
        form = _open(hands, "wipe", key)
        assert form.width() <= 700, key
        assert cut_labels(form) == [], key
        hands.press("Esc")


def _fields(one: object) -> dict[str, object]:
    from dataclasses import fields

    return {field.name: getattr(one, field.name) for field in fields(one)}  # type: ignore[arg-type]


def test_two_hundred_forms_leave_nothing_behind(live_in: LiveIn) -> None:
    """Opened and left again and again, no form, timer or widget stays."""
    hands = live_in()
    keys = ("Return", "P", "Shift+P", "N")
    for key in keys:
        _open(hands, "wipe", key)
        hands.press("Esc")
    before = _children(hands)

    for number in range(200):
        hands.hit(keys[number % 4])
        hands.hit("Esc")
        hands.settle()

    assert _children(hands) == before


def _children(hands: Hands) -> int:
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    return len(hands.frame.findChildren(QObject))


def _dosing(**more: object) -> Household:
    """Return the small house with a dose of a supply that is due today."""
    dose = chore("dose", "Dose bicarbonate", 12, kind=ChoreKind.DOSE, **more)
    supplies = (Supply("soda", "sodium bicarbonate", "g"),)
    return replace(small_house(), supplies=supplies, chores=(*small_house().chores, dose))


SODA = {
    "amount": Amount(6.0, AmountUnit.GRAMS),
    "uses": (Use("soda", 6.0, AmountUnit.GRAMS),),
}


def test_the_form_of_a_dose_has_its_grams_and_takes_others(live_in: LiveIn) -> None:
    """What is stated stands in the line; typing takes its place, and undo takes it back."""
    hands = live_in(_dosing(**SODA))
    form = _open(hands, "dose", "Return")
    assert isinstance(form, TickForm)
    assert form.grams is not None
    assert (form.grams.text, hands.focus()) == ("6", form.grams.field)

    hands.type("5")
    hands.press("Return")

    assert hands.log()[0].entry.fact == Dose("sodium bicarbonate", 5.0)
    assert hands.state("dose") is State.DONE
    hands.press("Ctrl+Z")
    assert hands.state("dose") is not State.DONE


@pytest.mark.parametrize("keys", [("Space",), ("Return", "Return"), ("Return", "Delete", "Return")])
def test_a_dose_is_ticked_with_what_it_states(live_in: LiveIn, keys: tuple[str, ...]) -> None:
    """At once, from the form, and from the form whose line was emptied."""
    hands = live_in(_dosing(**SODA))
    hands.go_to("dose")

    hands.press(*keys)

    assert not hands.has_form()
    assert hands.log()[0].entry.fact == Dose("sodium bicarbonate", 6.0)


def test_a_dose_that_is_a_slip_is_refused_or_asked_about(live_in: LiveIn) -> None:
    """None at all cannot be; ten times as much may be meant."""
    hands = live_in(_dosing(**SODA))
    form = _open(hands, "dose", "Return")
    assert isinstance(form, TickForm)
    assert form.grams is not None

    hands.type("0")
    hands.press("Return")
    assert form.grams.fault
    hands.press("Ctrl+A")
    hands.type("60")
    hands.press("Return")
    assert form.accessibleDescription() == (
        "60\u00a0g is far more than the 6\u00a0g stated. Keep it if so much was dosed."
    )
    assert hands.log() == []
    hands.press("Return")

    assert hands.log()[0].entry.fact == Dose("sodium bicarbonate", 60.0)


@pytest.mark.parametrize(
    ("more", "has_field", "text"),
    [({}, True, ""), ({"amount": Amount(0.1, AmountUnit.LITRES)}, False, "")],
)
def test_a_dose_asks_for_grams_unless_it_states_another_unit(
    live_in: LiveIn, more: dict[str, object], has_field: bool, text: str
) -> None:
    """Where nothing is stated the line is empty, and may stay so."""
    hands = live_in(_dosing(**more))
    form = _open(hands, "dose", "Return")
    assert isinstance(form, TickForm)
    assert (form.grams is not None) is has_field
    assert form.grams is None or form.grams.text == text

    hands.press("Return")

    assert hands.state("dose") is State.DONE


def test_a_ticked_change_says_that_the_salinity_is_needed(live_in: LiveIn) -> None:
    """Before it is refused for the want of it, to the eye and to the ear."""
    hands = live_in()
    form = _open(hands, "change", "Return")
    assert isinstance(form, TickForm)
    assert form.salinity is not None

    assert form.salinity.field.placeholderText() == "needed: that of the new water"
    assert form.salinity.field.accessibleDescription() == "needed: that of the new water"
    # The litres alone may stay as proposed, and the button does not say more.
    assert form.primary.text() == "Keep 9\N{NO-BREAK SPACE}L and this salinity"
    hands.press("Return")
    assert form.salinity.fault == "Write down the salinity of the new water."
    hands.press("Esc")


@pytest.mark.parametrize("chore_id", ["change", "fill"])
def test_too_few_and_too_many_litres_are_refused_with_the_same_ends(
    live_in: LiveIn, chore_id: str
) -> None:
    """One sentence that names both; what any volume could be is not what this field can be."""
    told = set()
    hands = live_in()
    form = _open(hands, chore_id)
    for typed in ("-5", "9999"):
        form.litres.setFocus()  # type: ignore[attr-defined]
        hands.hit("Ctrl+A")
        hands.type(typed)
        if form.salinity is not None:  # type: ignore[attr-defined]
            form.salinity.set_text("35")  # type: ignore[attr-defined]
        hands.press("Return", "Return")
        sentence = form.litres.fault.replace("\N{NO-BREAK SPACE}", " ")  # type: ignore[attr-defined]
        assert "L is not possible." in sentence.replace("\N{NO-BREAK SPACE}", " ")
        told.add(sentence.partition("possible. ")[2])
    (ends,) = told
    assert ends.startswith("It can be from 0.1 to ")
    assert ends.endswith(
        "L, all the water of the tank." if chore_id == "change" else "L, a quarter of the water."
    )


def test_a_note_that_was_left_is_gone_on_with_behind_what_stands(live_in: LiveIn) -> None:
    """The keys are where the last letter was typed."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("N")
    hands.type("pump")
    hands.press("Esc", "N")
    hands.type(" runs")

    assert hands.form().text.toPlainText() == "pump runs"  # type: ignore[attr-defined]
