"""Leaving a page of setting down: nothing traps, nothing is typed unseen, nothing typed is lost."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.note_form import NoteForm
from tankkeeper.gui.sheet_desk import CHANGED
from tankkeeper.gui.things_desk import ThingsDesk
from tests.gui.conftest import Begin, LiveIn, Remind
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands, small_house
from tests.gui.setting_hands import go
from tests.gui.test_house_page import open_house
from tests.gui.test_tank_page import open_page, tanks, write


def people(hands: Hands) -> list[str]:
    house = hands.window.session.household  # type: ignore[union-attr]
    assert house is not None
    return [one.name for one in house.people]


def told(hands: Hands) -> str:
    return hands.told.replace("\N{NO-BREAK SPACE}", " ")


def new_person(hands: Hands) -> ThingsDesk:
    desk = open_house(hands, "people")
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    return desk


def test_find_on_a_page_leads_to_a_bar_that_is_seen(live_in: LiveIn) -> None:
    """The page is left and what was typed on it kept; a letter goes into the bar that is seen."""
    hands = live_in()
    for keys in (("Ctrl+Down", "F2"), ("F3",), ("Ctrl+,",)):
        hands.press(*keys, "Ctrl+F")
        hands.type("lamp")
        finders = hands.window.morning.finders  # type: ignore[union-attr]
        assert finders is not None
        assert finders.here is not None
        assert finders.here.bar.isVisible()
        assert finders.here.bar.field.hasFocus()
        assert finders.here.bar.text == "lamp"
        hands.press("Esc")
        assert hands.list.hasFocus()
    hands.press("F2")
    write(hands, "Reefs")
    hands.press("Ctrl+F")
    assert tanks(hands)["reef"].name == "Reefs"


def test_find_over_the_page_of_a_new_tank_types_nothing_unseen(live_in: LiveIn) -> None:
    """The page leaves as a draft, and the word stands in a bar that can be seen."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    hands.type("Bay")
    hands.press("Ctrl+F")
    hands.type("lamp")
    finders = hands.window.morning.finders  # type: ignore[union-attr]
    assert finders is not None
    assert finders.here is not None
    assert finders.here.bar.text == "lamp"
    assert finders.here.bar.isVisible()
    hands.press("Ctrl+Shift+N")
    assert first_page(hands.window).asked.name.text == "Bay"


@pytest.mark.parametrize("typed", ["abc", "300"])
def test_find_from_a_page_that_cannot_be_kept_leaves_a_draft(live_in: LiveIn, typed: str) -> None:
    """The word that is typed next goes into the bar, and not over the field that is refused."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "shape.water_depth_cm")
    write(hands, typed)
    hands.press("Ctrl+F")
    hands.type("lamp")
    assert not desk.page.isVisible()
    finders = hands.window.morning.finders  # type: ignore[union-attr]
    assert finders is not None
    assert finders.here is not None
    assert finders.here.bar.text == "lamp"
    assert told(hands).startswith("It was not kept. What you typed stands there again")

    hands.press("Esc", "F2")
    assert desk.sheet is not None
    assert desk.sheet.fields["shape.water_depth_cm"].standing == typed


def test_all_refusals_stand_at_their_fields_at_once(live_in: LiveIn) -> None:
    """Those that no number can be read from, and those that the household refuses."""
    hands = live_in()
    desk = open_page(hands)
    assert desk.sheet is not None
    for path, text in (("shape.length_cm", "-4"), ("top_off.reservoir_l", "-5")):
        go(hands, desk, path)
        write(hands, text)
    go(hands, desk, "name")
    write(hands, " ")

    hands.press("Ctrl+Return")

    bad = [path for path, one in desk.sheet.fields.items() if one.fault]
    assert bad == ["name", "shape.length_cm", "top_off.reservoir_l"]
    assert told(hands) == "3 fields cannot be kept as they stand. Nothing was changed."
    assert desk.sheet.fields["name"].isAncestorOf(hands.focus())
    assert hands.log() == []


def test_escape_leads_out_and_what_could_not_be_kept_waits(live_in: LiveIn) -> None:
    """The first Escape says what is wrong, the second leaves; Ctrl+Z takes the draft away."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "shape.water_depth_cm")
    write(hands, "3oo")
    go(hands, desk, "shape.height_cm")
    write(hands, "high")

    hands.press("Esc")
    assert desk.page.isVisible()
    assert told(hands).startswith("2 fields cannot be kept as they stand. Mend them, or leave")
    hands.press("Esc")
    assert not desk.page.isVisible()
    assert hands.list.hasFocus()
    assert "not kept" in told(hands)
    assert hands.log() == []

    hands.press("F2")
    assert desk.sheet is not None
    assert desk.sheet.fields["shape.water_depth_cm"].typed.text == "3oo"  # type: ignore[union-attr]
    assert desk.sheet.fields["shape.height_cm"].fault
    assert desk.page.sentence.text().startswith("What you typed last time is still here")
    hands.press("Ctrl+Z")
    assert desk.sheet.fields["shape.water_depth_cm"].typed.text == "36"  # type: ignore[union-attr]
    assert not desk.sheet.is_changed
    hands.press("Esc", "F2")
    assert desk.sheet.fields["shape.height_cm"].typed.text == "42"  # type: ignore[union-attr]


def test_a_view_key_leads_out_of_a_refused_field_too(live_in: LiveIn) -> None:
    """Where the household refuses, and not only where nothing can be read."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "shape.water_depth_cm")
    write(hands, "300")
    hands.press("Ctrl+1")
    assert desk.page.isVisible()
    assert told(hands).startswith("1 field cannot be kept as it stands.")
    hands.press("Ctrl+1")
    assert not desk.page.isVisible()
    assert hands.list.isVisible()


def test_typing_on_asks_again_before_it_is_left(live_in: LiveIn) -> None:
    """What was mended meanwhile is kept on leaving, and what was not is told anew."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "shape.water_depth_cm")
    write(hands, "abc")
    hands.press("Esc")
    hands.type("d")
    hands.press("Esc")
    assert desk.page.isVisible()
    hands.hit("Ctrl+A")
    hands.type("30")
    hands.press("Esc")
    assert not desk.page.isVisible()
    assert tanks(hands)["reef"].shape.water_depth_cm == 30.0


def test_a_new_person_who_cannot_be_kept_waits_as_a_draft(live_in: LiveIn) -> None:
    """Left and opened again, what was typed stands there; it can be mended and kept."""
    hands = live_in()
    desk = new_person(hands)
    hands.type("Ada")
    hands.press("Esc")
    assert desk.sheet is not None
    assert desk.sheet.fields["name"].fault
    hands.press("Esc")
    assert desk.sheet is None
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    assert desk.sheet.fields["name"].typed.text == "Ada"  # type: ignore[attr-defined]
    hands.type(" the younger")
    hands.press("Esc")
    assert people(hands) == ["Ada", "Bo", "Ada the younger"]


def test_what_was_typed_for_a_new_tank_is_there_again(live_in: LiveIn) -> None:
    """Escape asks nothing and loses nothing; Ctrl+Z takes it away, and no deed before it."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space", "Ctrl+Shift+N")
    assert not first_page(hands.window).asked.again.isVisible()
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    hands.press("Esc")
    assert hands.list.isVisible()

    hands.press("Ctrl+Shift+N")
    page = first_page(hands.window)
    assert page.asked.again.isVisible()
    assert page.asked.name.text == "Bay"
    assert page.asked.measures.measure("length_cm").text == "59"
    assert page.asked.community.choice.number >= 0
    page.asked.back.setFocus()
    hands.press("Ctrl+Z")
    pages = [one for one in hands.frame.findChildren(type(page)) if one.isVisible()]
    assert [one.asked.name.text for one in pages] == [""]
    assert len([one for one in hands.log() if not one.revoked]) == 1
    hands.press("Esc", "Ctrl+Shift+N")
    pages = [one for one in hands.frame.findChildren(type(page)) if one.isVisible()]
    assert not pages[0].asked.again.isVisible()


def test_a_draft_of_a_new_tank_can_be_cleared_with_the_mouse(live_in: LiveIn) -> None:
    """By the button beside the sentence."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    hands.type("Bay")
    hands.press("Esc", "Ctrl+Shift+N")
    page = first_page(hands.window)
    QTest.mouseClick(page.asked.clear_button, Qt.MouseButton.LeftButton)
    hands.settle()
    pages = [one for one in hands.frame.findChildren(type(page)) if one.isVisible()]
    assert [one.asked.name.text for one in pages] == [""]
    assert not pages[0].asked.again.isVisible()


def test_a_taken_name_is_told_with_all_else_that_is_missing(live_in: LiveIn) -> None:
    """Not after the other refusals were mended."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    hands.type("nook")
    hands.press("Tab", "Tab", "Tab", "Tab")
    hands.type("long")
    hands.press("Ctrl+Return")
    asked = first_page(hands.window).asked
    assert asked.name.fault == "There is a tank called nook already. Choose another name."
    assert asked.measures.measure("length_cm").fault
    assert asked.community.refusal.isVisible()
    assert asked.name.field.hasFocus()


def test_nothing_stands_below_quit_in_the_menu(remind: Remind) -> None:
    """The reminders are chosen where the settings are."""
    hands = remind(small_house()).hands
    names = [one.objectName() for one in hands.frame.top.menu().actions() if one.objectName()]
    assert names[-1] == "quit"
    assert names.index("reminders") == names.index("settings") + 1


def test_what_was_typed_into_a_note_and_left_is_there_again(live_in: LiveIn) -> None:
    """Until it is cleared, or kept."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("N")
    hands.type("the pump hums")
    hands.press("Esc", "N")
    form = hands.form()
    assert isinstance(form, NoteForm)
    assert form.text.toPlainText() == "the pump hums"
    assert form.text.hasFocus()
    assert form._still_here is not None
    form._still_here.clear.setFocus()
    hands.press("Space")
    assert form.text.toPlainText() == ""
    hands.press("Esc", "N")
    form = hands.form()
    assert isinstance(form, NoteForm)
    assert form._still_here is None
    form.text.setFocus()
    hands.type("all well")
    hands.press("Ctrl+Return", "N")
    form = hands.form()
    assert isinstance(form, NoteForm)
    assert form.text.toPlainText() == ""


@pytest.mark.parametrize("keys", [("N",), ("Ctrl+6", "Ctrl+M")])
def test_the_key_that_ends_the_program_acts_in_a_note_and_tells_of_it_first(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """The first press keeps what was typed for later, the second ends without it."""
    hands = live_in()
    hands.press(*keys)
    hands.type("the pump hums")

    hands.press("Ctrl+Q")

    assert not hands.has_form()
    assert hands.window.shell.isVisible()
    assert hands.told.endswith("is not kept yet. Ctrl+Q again ends without it.")
    hands.press(keys[-1])
    form = hands.form()
    assert isinstance(form, NoteForm)
    assert form.text.toPlainText() == "the pump hums"
    hands.press("Esc", "Ctrl+Q")
    assert not hands.window.shell.isVisible()


def test_the_key_that_ends_the_program_ends_it_from_a_form_without_typing(live_in: LiveIn) -> None:
    """Nothing stands in it that could be lost."""
    hands = live_in()
    hands.press("N")

    hands.hit("Ctrl+Q")

    assert not hands.window.shell.isVisible()


def test_readings_that_were_typed_and_left_are_there_again(live_in: LiveIn) -> None:
    """With what was chosen; a refusal on the way changes nothing of it."""
    hands = live_in()
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.choose(What.READINGS)
    form.readings.fields["nitrate"].setFocus()
    hands.type("12")
    form.readings.fields["ph"].setFocus()
    hands.type("99")
    hands.press("Ctrl+Return", "Esc", "Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.chosen is What.READINGS
    assert form.readings.fields["nitrate"].text == "12"
    assert form.readings.fields["ph"].text == "99"
    assert form._still_here is not None
    assert form._still_here.isVisible()
    assert hands.log() == []


def _log_form(hands: Hands) -> LogForm:
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    return form


def _is_told(form: LogForm) -> bool:
    return form._still_here is not None and form._still_here.isVisible()


def test_what_was_only_chosen_is_not_told_as_typed(live_in: LiveIn) -> None:
    """Nothing would be lost with it."""
    hands = live_in()
    form = _log_form(hands)
    hands.type("w")
    form.when.choice.setFocus()
    hands.press("Down", "Esc")

    form = _log_form(hands)
    assert not _is_told(form)
    assert form.chosen is What.TOP_OFF
    assert form.when.at is None
    hands.press("Esc")


def test_the_time_of_a_draft_does_not_go_along_to_another_kind(live_in: LiveIn) -> None:
    """It comes back with its own kind, and so does its remark."""
    hands = live_in()
    form = _log_form(hands)
    form.choose(What.WATER_CHANGE)
    form.litres.setFocus()
    hands.type("9")
    form.note.setFocus()
    hands.type("cloudy")
    form.when.choice.setFocus()
    hands.press("Down", "Esc")

    form = _log_form(hands)
    assert _is_told(form)
    assert (form.chosen, form.litres.text) == (What.WATER_CHANGE, "9")
    assert form.when.choice.currentText() == "Yesterday"
    form.what.setFocus()
    hands.press("Down")
    assert form.chosen is What.READINGS
    assert form.when.at is None
    assert form.note.text() == ""
    assert not _is_told(form)
    hands.press("Up")
    assert _is_told(form)
    assert (form.litres.text, form.note.text()) == ("9", "cloudy")
    assert form.when.choice.currentText() == "Yesterday"
    hands.press("Esc")


def test_litres_that_several_kinds_ask_for_wait_with_the_kind_they_were_typed_for(
    live_in: LiveIn,
) -> None:
    """Also where a kind was chosen after it that asks for none."""
    hands = live_in()
    form = _log_form(hands)
    form.choose(What.WATER_CHANGE)
    form.litres.setFocus()
    hands.type("9")
    form.what.setFocus()
    hands.press("End")
    assert form.chosen is What.NOTE
    hands.press("Esc")

    form = _log_form(hands)
    assert _is_told(form)
    assert (form.chosen, form.litres.text) == (What.WATER_CHANGE, "9")
    form.what.setFocus()
    for _ in What:
        hands.press("Down")
        assert form.litres.text == "" or form.chosen is What.WATER_CHANGE
    hands.press("Esc")


@pytest.mark.parametrize("is_left_between", [False, True])
def test_a_draft_waits_at_the_tank_that_was_chosen_last(
    live_in: LiveIn, is_left_between: bool
) -> None:
    """Also where another kind was chosen after the tank, which stays chosen for that."""
    hands = live_in()
    hands.press("Ctrl+Down")
    form = _log_form(hands)
    form.choose(What.DOSE)
    form.grams.setFocus()
    hands.type("9")
    if is_left_between:
        hands.press("Esc")
        form = _log_form(hands)
    form.tank.setFocus()
    hands.press("Down")
    assert form.tank.currentText() == "Nook"
    form.what.setFocus()
    hands.press("Down")
    assert form.chosen is not What.DOSE
    assert form.tank.currentText() == "Nook"
    hands.press("Esc")

    form = _log_form(hands)
    assert not _is_told(form)
    assert form.tank.currentText() == "Reef"
    hands.press("Esc", "Ctrl+Down")
    form = _log_form(hands)
    assert _is_told(form)
    assert (form.chosen, form.grams.text) == (What.DOSE, "9")
    assert form.tank.currentText() == "Nook"
    hands.press("Esc")


@pytest.mark.parametrize("is_left_between", [False, True])
def test_keeping_a_reading_leaves_a_half_written_note(
    live_in: LiveIn, is_left_between: bool
) -> None:
    """In the same form, or in the next one."""
    hands = live_in()
    form = _log_form(hands)
    form.choose(What.NOTE)
    form.text.setFocus()
    hands.type("the pump hu")
    if is_left_between:
        hands.press("Esc")
        form = _log_form(hands)
    form.choose(What.READINGS)
    form.readings.fields["ph"].setFocus()
    hands.type("8.1")
    hands.press("Return")
    assert not hands.has_form()
    assert len(hands.log()) == 1

    form = _log_form(hands)
    assert _is_told(form)
    assert form.chosen is What.NOTE
    assert form.text.toPlainText() == "the pump hu"
    assert form.readings.fields["ph"].text == ""
    form.text.setFocus()
    hands.press("Ctrl+Return")
    form = _log_form(hands)
    assert not _is_told(form)
    assert form.text.toPlainText() == ""
    hands.press("Esc")


def test_a_draft_that_is_cleared_is_gone(live_in: LiveIn) -> None:
    """Of its kind; that of another one stays."""
    hands = live_in()
    form = _log_form(hands)
    form.choose(What.NOTE)
    form.text.setFocus()
    hands.type("one")
    form.choose(What.DOSE)
    form.grams.setFocus()
    hands.type("5")
    hands.press("Esc")

    form = _log_form(hands)
    assert form.chosen is What.DOSE
    assert form.grams.text == "5"
    assert form._still_here is not None
    form._still_here.clear.setFocus()
    hands.press("Space")
    assert form.grams.text == ""
    assert hands.focus() is form.what
    hands.press("Esc")

    form = _log_form(hands)
    assert (form.chosen, form.text.toPlainText()) == (What.NOTE, "one")
    hands.press("Esc")


def test_what_was_typed_for_another_household_is_there_again(begin: Begin) -> None:
    """Until the button beside the sentence takes it away."""
    hands = begin()
    type_box(hands)
    hands.press("Ctrl+Return", "Ctrl+Shift+H")
    page = first_page(hands.window)
    hands.type("Lagoon")
    hands.press("Esc")
    assert hands.list.isVisible()
    hands.press("Ctrl+Shift+H")
    assert page.isVisible()
    assert page.asked.name.text == "Lagoon"
    assert page.asked.again.isVisible()
    QTest.mouseClick(page.asked.clear_button, Qt.MouseButton.LeftButton)
    hands.settle()
    shown = [one for one in hands.frame.findChildren(type(page)) if one.isVisible()]
    assert [one.asked.name.text for one in shown] == [""]


def test_what_was_typed_into_a_note_waits_whatever_tank_is_in_hand_by_then(
    live_in: LiveIn,
) -> None:
    """It tells about which tank it was begun; kept in one, it waits in no other."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("N")
    hands.type("the pump hums")
    hands.press("Esc")
    hands.go_to("lamp")

    hands.press("N")

    form = hands.form()
    assert isinstance(form, NoteForm)
    assert form.windowTitle() == "Note: Nook"
    assert form.text.toPlainText() == "the pump hums"
    assert form._still_here is not None
    assert form._still_here.words.text() == "What you typed last time about Reef is still here."
    hands.press("Esc", "Ctrl+6", "Ctrl+M")
    form = hands.form()
    assert isinstance(form, NoteForm)
    assert form.text.toPlainText() == "the pump hums"
    hands.press("Ctrl+Return", "Ctrl+1")
    hands.go_to("wipe")
    hands.press("N")
    form = hands.form()
    assert isinstance(form, NoteForm)
    assert form.text.toPlainText() == ""


def test_a_remark_left_in_the_form_of_what_happened_waits_for_any_tank(live_in: LiveIn) -> None:
    """With the tank that it is about chosen in it; litres of one tank wait for that one alone."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.what.setCurrentText(What.NOTE.value)
    form.text.setFocus()
    hands.type("the pump hums")
    hands.press("Esc")
    hands.go_to("lamp")

    hands.press("Ctrl+L")

    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.chosen is What.NOTE
    assert form.text.toPlainText() == "the pump hums"
    assert form.tank.currentText() == "Reef"
    assert form._still_here is not None
    assert form._still_here.words.text() == "What you typed last time about Reef is still here."
    form._still_here.clear.setFocus()
    hands.press("Space")
    assert form.tank.currentText() == "Nook"
    form.what.setCurrentText(What.WATER_CHANGE.value)
    form.litres.field.setFocus()
    hands.type("7")
    hands.press("Esc")
    hands.go_to("wipe")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert form._still_here is None


def test_a_page_that_cannot_be_kept_does_not_say_that_escape_keeps_it(live_in: LiveIn) -> None:
    """It says what Escape does; mended, it says that it keeps."""
    hands = live_in()
    page = open_page(hands)
    go(hands, page, "shape.water_depth_cm")
    hands.hit("Ctrl+A")
    hands.type("deep")

    said = page.page.sentence.text().replace("\u00a0", " ")

    assert said == (
        "1 field cannot be kept as it stands. Esc tells which; Esc again leaves a draft here."
    )
    hands.press("Esc")
    assert page.is_open
    hands.press("Esc")
    assert not page.is_open
    page = open_page(hands)
    go(hands, page, "shape.water_depth_cm")
    hands.hit("Ctrl+A")
    hands.type("30")
    assert page.page.sentence.text() == CHANGED


def test_what_was_typed_waits_at_the_tank_that_was_chosen_in_the_form(live_in: LiveIn) -> None:
    """Opened at a line of Reef and filled in for Nook, it is found at Nook, and not at Reef."""
    hands = live_in()
    hands.go_to("wipe")
    form = _log_form(hands)
    form.choose(What.DOSE)
    form.grams.setFocus()
    hands.type("5")
    form.choose(What.TOP_OFF)
    form.tank.setCurrentText("Nook")
    form.litres.setFocus()
    hands.type("1")
    hands.press("Esc")

    form = _log_form(hands)
    assert form.tank.currentText() == "Reef"
    assert not _is_told(form)
    assert form.litres.text == ""
    hands.press("Esc")
    hands.go_to("lamp")
    form = _log_form(hands)

    assert _is_told(form)
    assert (form.chosen, form.tank.currentText()) == (What.TOP_OFF, "Nook")
    assert form.litres.text == "1"
    form.choose(What.DOSE)
    assert (form.grams.text, form.tank.currentText()) == ("5", "Nook")
    hands.press("Esc")


def test_a_draft_that_is_given_another_tank_goes_there_whole(live_in: LiveIn) -> None:
    """Nothing of it stays where it waited before."""
    hands = live_in()
    hands.go_to("wipe")
    form = _log_form(hands)
    form.litres.setFocus()
    hands.type("1")
    hands.press("Esc")
    form = _log_form(hands)
    assert _is_told(form)
    form.tank.setCurrentText("Nook")
    hands.press("Esc")

    form = _log_form(hands)
    assert not _is_told(form)
    hands.press("Esc")
    hands.go_to("lamp")
    form = _log_form(hands)
    assert _is_told(form)
    assert form.litres.text == "1"
    hands.press("Esc")


@pytest.mark.parametrize("key", ["Return", "Space", "Enter"])
def test_a_tab_opens_its_view_in_place_of_a_page_of_setting_down(live_in: LiveIn, key: str) -> None:
    """Also that of the view behind the page, which is the chosen tab already."""
    hands = live_in()
    hands.press("Ctrl+Down", "F3")
    assert not hands.frame.has_why
    hands.frame.top.views.setFocus()

    hands.press(key)

    assert hands.frame.view_id == "round"
    assert hands.frame.stack.currentWidget() is hands.window.morning.page  # type: ignore[union-attr]
    assert hands.frame.top.views.marked == 0
    assert hands.log() == []
