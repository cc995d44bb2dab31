"""The form of a proposed chore's rhythm: its keys only lead, its refusals stand at their fields."""

from __future__ import annotations

from tankkeeper.reports.numbers import plain
from tests.gui.conftest import Begin, LiveIn
from tests.gui.first_house import type_box
from tests.gui.setting_hands import go
from tests.gui.test_chores_page import choose, follows, open_chores
from tests.gui.test_house_page import open_house
from tests.gui.test_proposal_form import open_row


def told(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_the_key_of_the_weekdays_goes_there_and_ticks_nothing(begin: Begin) -> None:
    """A mnemonic moves the keys, also where it leads to boxes."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    before = form.days.value

    hands.press("Alt+O")

    assert form.days.isAncestorOf(hands.focus())
    assert form.days.value == before
    hands.press("Space")
    assert form.days.value != before


def test_days_before_come_back_with_the_room_for_them(begin: Begin) -> None:
    """With Saturday and Sunday none can stand; said, and undone with the day that was too many."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    before = form.early.text
    assert before not in ("", "0")
    sunday = form.days.boxes[6]
    sunday.setFocus()
    hands.press("Space")
    assert form.early.text == "0"
    assert "It cannot be done before its day: it would count for the turn before." in told(
        form.follows.text()
    )

    hands.press("Space")

    assert form.early.text == before
    assert "before its day" not in form.follows.text()


def test_too_many_days_before_are_told_once_and_at_their_field(begin: Begin) -> None:
    """Whole sentence below the field, none twice at the foot; the number is selected."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    form.early.go_to()
    hands.type("99")

    hands.press("Return")

    assert form.isVisible()
    assert told(form.early.fault).startswith("Days before 99 is not possible.")
    assert form.follows.text() == ""
    assert form._notice is None
    assert form.early.field.selectedText() == "99"
    hands.type("1")
    assert form.early.fault == ""
    hands.press("Return")
    assert not form.isVisible()


def test_what_cannot_be_read_is_not_called_missing(live_in: LiveIn) -> None:
    """In the sentence above the fields of a chore as in the form of a proposal."""
    hands = live_in()
    desk = open_chores(hands)
    hands.press("Return")
    go(hands, desk, "rhythm.count")
    hands.hit("Ctrl+A")
    hands.type("many")
    desk._show_preview()

    assert follows(desk) == "many is not a number."
    assert desk.page.buttons["keep"].isEnabled()
    assert plain(desk.page.sentence.text()).startswith("1 field cannot be kept as it stands.")


def test_weekdays_of_which_none_is_chosen_are_told_in_good_words(begin: Begin) -> None:
    """As one would say it."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    box = next(one for one in form.days.boxes if one.isChecked())
    box.setFocus()
    hands.press("Space")
    assert form.follows.text() == "No weekday is chosen. Choose at least one."

    hands.press("Ctrl+Return")

    assert form.isVisible()
    assert form.accessibleDescription() == "No weekday is chosen. Choose at least one."
    assert form.follows.text() == ""


def test_a_rule_of_its_own_has_an_example_and_an_end_to_its_sentence(live_in: LiveIn) -> None:
    """RFC 5545, section 3.3.10: the first Saturday of each month is FREQ=MONTHLY;BYDAY=1SA."""
    hands = live_in()
    desk = open_chores(hands)
    hands.press("Return")
    choose(hands, desk, "rhythm.way", "By a rule of its own")
    assert "FREQ=MONTHLY;BYDAY=1SA" in desk.sheet.fields["rhythm.rule"].spec.note
    field = go(hands, desk, "rhythm.rule")
    hands.hit("Ctrl+A")
    hands.press("Del", "Ctrl+Return")
    assert field.fault == "A rule is missing. Write it like FREQ=MONTHLY;BYDAY=1SA."

    hands.type("monthly")
    hands.press("Ctrl+Return")

    assert field.fault == (
        "The calendar rule monthly cannot be read. Write it like FREQ=MONTHLY;BYDAY=1SA."
    )


def test_zone_and_currency_of_the_household_are_refused_in_good_words(live_in: LiveIn) -> None:
    """ISO 4217 has codes of three letters; a sign is short, too."""
    hands = live_in()
    desk = open_house(hands)
    assert desk.sheet is not None
    for path, typed, fault in (
        ("zone", "", "A time zone is missing. A zone reads like Europe/Oslo."),
        (
            "currency",
            "Amsterdam",
            "Amsterdam is not a currency. Write its code, such as EUR, or its sign.",
        ),
    ):
        field = desk.sheet.fields[path]
        before = field.standing
        field.setFocus()
        hands.press("Ctrl+A", "Del")
        hands.type(typed)
        hands.press("Ctrl+Return")
        assert field.fault == fault
        hands.press("Ctrl+A", "Del")
        hands.type(str(before))
    for typed in ("NOK", "kr"):
        desk.sheet.fields["currency"].setFocus()
        hands.press("Ctrl+A", "Del")
        hands.type(typed)
        hands.press("Ctrl+Return")
        house = hands.window.session.household  # type: ignore[union-attr]
        assert house is not None
        assert house.currency == typed
