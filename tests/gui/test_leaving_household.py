"""Opening another household with something half typed: kept, or told once before it is lost."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog

from tankkeeper.app.clock import FixedClock
from tankkeeper.app.doors import doors_to
from tankkeeper.app.wanted import Wanted
from tankkeeper.gui.openings import Recent
from tests.gui.conftest import Begin, LiveIn
from tests.gui.first_house import first_page
from tests.gui.round_house import SEVEN, Hands, make, small_house
from tests.gui.test_chores_page import desk_of, open_chores
from tests.gui.test_quitting import half_a_chore, names_of_chores

# The keys that lead to another household.
LEADS_AWAY = ("Ctrl+O", "Ctrl+Shift+O", "Ctrl+N", "Ctrl+Shift+H")


def away(hands: Hands) -> bool:
    """Tell whether something leads to another household by now."""
    dialogs = [one for one in hands.frame.findChildren(QFileDialog) if one.isVisible()]
    return bool(dialogs) or hands.has_form() or hands.frame.is_covered


def founds(hands: Hands) -> None:
    """Let a household of one's own be made in this window."""
    path = hands.path
    real = doors_to(Wanted(lambda: path, lambda: None, path.stem, path, now="2026-03-15T07:00"))
    hands.window.doors = replace(hands.window.doors, founding=real.founding)


def next_house(hands: Hands, tmp_path: Path) -> None:
    """Let another household be among those that were opened before."""
    other = tmp_path / "other.tankkeeper"
    make(other, small_house(name="Other house"), FixedClock(SEVEN))
    hands.window.doors = replace(hands.window.doors, recent=lambda: (Recent(other),))


@pytest.mark.parametrize("key", LEADS_AWAY)
def test_what_cannot_be_kept_holds_another_household_once_and_says_so(
    live_in: LiveIn, key: str
) -> None:
    """One sentence names it and the key that goes on; the text stays, with the keys in it."""
    hands = live_in()
    founds(hands)
    half_a_chore(hands)

    hands.press(key)

    assert not away(hands)
    assert hands.told == (
        f"The new chore Turkey baste is not kept yet: mend 1\u00a0field, or {key} again opens "
        "another without it."
    )
    assert hands.focus().text() == "many"

    if key == "Ctrl+N":
        # There is no sample behind this window: that it would be opened is enough.
        hands.window.open = lambda _door: seen.append(key)  # type: ignore[method-assign]
        seen: list[str] = []
        hands.press(key)
        assert seen == [key]
        return
    hands.press(key)
    assert away(hands)


def test_what_can_be_kept_is_kept_before_another_household_is_asked_for(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """It stands in the file when the person comes back to it."""
    hands = live_in()
    next_house(hands, tmp_path)
    desk = open_chores(hands)
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    hands.type("Turkey baste")

    hands.press("Ctrl+Shift+O")

    assert hands.has_form()
    assert "Turkey baste" in names_of_chores(hands)
    assert not desk_of(hands).is_changed
    hands.press("Return")
    assert hands.window.session.household.name == "Other house"  # type: ignore[union-attr]


def test_a_form_left_half_typed_waits_for_its_household_and_holds_the_end_alone(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """It is not lost by opening another: no form of that one shows it, and back here it stands."""
    hands = live_in()
    next_house(hands, tmp_path)
    hands.press("Ctrl+L", "Tab", "Tab")
    hands.type("14")
    hands.press("Esc")

    hands.press("Ctrl+Shift+O", "Return", "Ctrl+L", "Tab", "Tab")

    assert hands.window.session.household.name == "Other house"  # type: ignore[union-attr]
    assert hands.focus().text() != "14"
    hands.press("Esc", "Ctrl+Q")
    assert hands.window.shell.isVisible()
    # It cannot be seen from here: the sentence says whose it is, and what leads there.
    assert hands.told == (
        "The form Write down of Quay 3 (Ctrl+Shift+O leads there) is not kept yet. "
        "Ctrl+Q again ends without it."
    )
    hands.window.doors = replace(hands.window.doors, recent=lambda: (Recent(hands.path),))
    hands.press("Ctrl+Shift+O", "Return", "Ctrl+L", "Tab", "Tab")
    assert hands.focus().text() == "14"


def test_the_end_is_told_of_by_its_own_key(live_in: LiveIn) -> None:
    """Who was told of another household was not told that the end would lose it as well."""
    hands = live_in()
    half_a_chore(hands)
    hands.press("Ctrl+O")

    hands.press("Ctrl+Q")

    assert hands.window.shell.isVisible()
    assert hands.told.endswith("Ctrl+Q again ends without it.")


def test_a_first_household_half_answered_holds_another_but_not_its_own_page(begin: Begin) -> None:
    """The key of its own page only goes back to it; an import would begin without it."""
    hands = begin()
    hands.type("Lagoon")

    hands.press("Ctrl+Shift+H")
    page = first_page(hands.window)
    assert not page.refusal.text()

    for key in ("Ctrl+O", "Ctrl+I"):
        hands.press(key)
        assert not [one for one in hands.frame.findChildren(QFileDialog) if one.isVisible()]
        assert page.refusal.text() == (
            f"The new household is not kept yet. {key} again opens another without it."
        )


def test_where_nothing_is_typed_the_first_key_opens(live_in: LiveIn) -> None:
    """Pages that were only looked at hold nothing back."""
    hands = live_in()
    founds(hands)
    hands.press("Ctrl+Down", "F2", "Ctrl+Shift+H")

    assert hands.frame.is_covered


def test_the_rail_marks_no_tank_of_the_household_before(live_in: LiveIn, tmp_path: Path) -> None:
    """A page of Reef was left behind: the next household has a Reef, too, and shows all tanks."""
    hands = live_in()
    next_house(hands, tmp_path)
    half_a_chore(hands)
    assert hands.frame.rail._marked == "reef"

    hands.press("Ctrl+Shift+O", "Ctrl+Shift+O", "Return")

    assert hands.window.session is not None
    assert hands.window.session.household is not None
    assert hands.window.session.household.name == "Other house"
    assert hands.frame.rail._marked is None
