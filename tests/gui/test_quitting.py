"""Ending the program with something half typed: kept, or told once before it is lost."""

import pytest

from tests.gui.conftest import Begin, LiveIn
from tests.gui.round_house import Hands
from tests.gui.setting_hands import go
from tests.gui.test_chores_page import desk_of, open_chores


def half_a_chore(hands: Hands) -> None:
    """Type a new chore whose days cannot be read."""
    desk = open_chores(hands)
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    hands.type("Turkey baste")
    go(hands, desk, "rhythm.count")
    hands.hit("Ctrl+A")
    hands.type("many")


def names_of_chores(hands: Hands) -> list[str]:
    session = hands.window.session
    assert session is not None
    assert session.household is not None
    return [one.name for one in session.household.chores]


def is_open(hands: Hands) -> bool:
    return hands.window.shell.isVisible()


def test_what_cannot_be_kept_holds_the_end_once_and_says_so(live_in: LiveIn) -> None:
    """Its name and the way out stand in one sentence; the text stays, with the keys in it."""
    hands = live_in()
    half_a_chore(hands)

    hands.press("Ctrl+Q")

    assert is_open(hands)
    assert hands.told == (
        "The new chore Turkey baste is not kept yet: mend 1\u00a0field, or "
        "Ctrl+Q again ends without it."
    )
    assert hands.focus().text() == "many"

    hands.press("Ctrl+Q")

    assert not is_open(hands)


def test_what_was_mended_is_kept_by_the_second_quit(live_in: LiveIn) -> None:
    """The sentence holds for what stood there then; what stands there now is kept."""
    hands = live_in()
    half_a_chore(hands)
    hands.press("Ctrl+Q")

    hands.type("9")
    hands.press("Ctrl+Q")

    assert not is_open(hands)
    hands.window.worker.finish()
    again = live_in(is_there=True)
    assert "Turkey baste" in names_of_chores(again)


def test_two_presses_at_once_keep_a_new_chore_once(live_in: LiveIn) -> None:
    """The second comes while the first is being written."""
    hands = live_in()
    desk = open_chores(hands)
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    hands.type("Turkey baste")

    hands.hit("Ctrl+Q")
    hands.hit("Ctrl+Q")
    hands.settle()

    assert not is_open(hands)
    hands.window.worker.finish()
    again = live_in(is_there=True)
    assert names_of_chores(again).count("Turkey baste") == 1


def test_what_only_the_service_refuses_holds_the_end_too(live_in: LiveIn) -> None:
    """A tank without a name is refused where it is written."""
    hands = live_in()
    hands.press("Ctrl+Down", "F2")
    hands.hit("Ctrl+A")
    hands.press("Del", "Ctrl+Q")

    assert is_open(hands)
    assert hands.told.startswith("The tank Reef is not kept yet")
    assert hands.told.endswith("Ctrl+Q again ends without it.")

    hands.press("Ctrl+Q")

    assert not is_open(hands)


def test_a_draft_that_waits_holds_the_end(live_in: LiveIn) -> None:
    """It was promised that it waits."""
    hands = live_in()
    half_a_chore(hands)
    hands.press("Esc", "Esc", "Esc")
    assert not desk_of(hands).is_open

    hands.press("Ctrl+Q")

    assert is_open(hands)
    assert hands.told == (
        "The new chore Turkey baste is not kept yet. Ctrl+Q again ends without it."
    )
    hands.press("Ctrl+Q")
    assert not is_open(hands)


def test_two_forms_that_were_left_half_typed_are_told_in_one_sentence(live_in: LiveIn) -> None:
    """What is left of both is let go together."""
    hands = live_in()
    hands.press("N")
    hands.type("a word")
    hands.press("Esc", "Ctrl+L", "Tab", "Tab")
    hands.type("14")
    hands.press("Esc", "Ctrl+Q")

    assert is_open(hands)
    assert hands.told.endswith(
        " and the form Write down are not kept yet. Ctrl+Q again ends without them."
    )


def test_a_form_that_was_left_half_typed_holds_the_end(live_in: LiveIn) -> None:
    """The first key leaves it with its draft; what is left of it is told by the form's name."""
    hands = live_in()
    hands.press("Ctrl+L")
    hands.press("Tab", "Tab")
    hands.type("14")
    hands.press("Ctrl+Q")

    assert is_open(hands)
    assert not hands.has_form()
    hands.press("Ctrl+Q")
    assert is_open(hands)
    assert hands.told == "The form Write down is not kept yet. Ctrl+Q again ends without it."
    hands.press("Ctrl+Q")
    assert not is_open(hands)


@pytest.mark.parametrize(
    ("opened_by", "steps"), [("Ctrl+L", ("Tab", "Tab")), ("N", ()), ("Space", ()), ("Shift+S", ())]
)
@pytest.mark.parametrize("leaves", [("Esc", "Ctrl+Q"), ("Ctrl+Q", "Ctrl+Q")])
def test_a_blank_in_a_form_is_nothing_that_could_be_lost(
    live_in: LiveIn, opened_by: str, steps: tuple[str, ...], leaves: tuple[str, ...]
) -> None:
    """Left by either key, the form has no draft, and nothing is asked."""
    hands = live_in()
    hands.go_to("change")
    hands.press(opened_by)
    assert hands.has_form()
    hands.press(*steps)
    hands.type("  ")

    hands.press(leaves[0])
    assert not hands.has_form()
    if is_open(hands):
        hands.press(leaves[1])
    assert not is_open(hands)


def test_a_blank_on_the_page_of_a_new_tank_is_nothing_that_could_be_lost(live_in: LiveIn) -> None:
    """Nothing was answered."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    hands.type(" ")

    hands.press("Ctrl+Q")

    assert not is_open(hands)


@pytest.mark.parametrize("is_left", [False, True])
def test_a_new_tank_half_answered_holds_the_end(live_in: LiveIn, is_left: bool) -> None:
    """On its page the sentence stands there, since the page covers the foot."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    hands.type("Nano")
    if is_left:
        hands.press("Esc")

    hands.press("Ctrl+Q")

    assert is_open(hands)
    sentence = "The new tank is not kept yet. Ctrl+Q again ends without it."
    settling = hands.window.morning.settling
    if is_left:
        assert hands.told == sentence
    else:
        assert settling.new_tank.page.refusal.text() == sentence
    hands.press("Ctrl+Q")
    assert not is_open(hands)


def test_the_first_household_half_answered_holds_the_end(begin: Begin) -> None:
    """Nothing of it is in any file yet."""
    hands = begin()
    hands.type("Lagoon")

    hands.press("Ctrl+Q")
    assert is_open(hands)

    hands.press("Ctrl+Q")
    assert not is_open(hands)


def test_where_nothing_is_typed_the_first_key_ends(live_in: LiveIn) -> None:
    """Pages that were only looked at hold nothing back."""
    hands = live_in()
    hands.press("Ctrl+Down", "F2", "Ctrl+L", "Esc", "F3")

    hands.press("Ctrl+Q")

    assert not is_open(hands)


def test_the_end_can_be_held_again_for_something_else(live_in: LiveIn) -> None:
    """What is typed after the sentence is not lost by it, either."""
    hands = live_in()
    half_a_chore(hands)
    hands.press("Ctrl+Q")

    hands.type("none")
    hands.press("Ctrl+Q")

    assert is_open(hands)


def test_a_window_in_the_tray_stands_up_to_say_it(live_in: LiveIn) -> None:
    """What ends the program there is not seen to do nothing; closing means what it meant before."""
    hands = live_in()
    half_a_chore(hands)
    shell = hands.window.shell
    shell.keeps = lambda: True
    shell.hide()

    shell.end()
    hands.settle()

    assert is_open(hands)
    assert hands.told.endswith("Ctrl+Q again ends without it.")
    assert shell.keeps is not None
    shell.end()
    assert not is_open(hands)


def test_the_key_that_ends_the_program_waits_for_what_a_form_keeps(live_in: LiveIn) -> None:
    """Pressed right after the one that keeps; nothing is lost, and no key either."""
    hands = live_in()
    hands.go_to("fill")
    hands.press("Space")
    hands.type("1.5")

    hands.hit("Return")
    assert hands.has_form()
    hands.hit("Ctrl+Q")
    hands.settle()

    assert not is_open(hands)
    hands.window.worker.finish()
    again = live_in(is_there=True)
    assert len(again.log()) == 1
