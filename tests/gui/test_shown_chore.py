"""A picture of the window is taken at the line of a chore, or it is refused."""

from __future__ import annotations

import pytest

from tankkeeper.app.snapshot import show_chore
from tankkeeper.core.errors import UserFault
from tests.gui.conftest import LiveIn


@pytest.mark.parametrize("named", ["floss", "swap the FLOSS"])
def test_the_line_of_the_chore_that_is_named_has_the_keys(live_in: LiveIn, named: str) -> None:
    """By its id or its name, wherever the window was."""
    hands = live_in()
    hands.press("Ctrl+2")

    show_chore(hands.window, named)
    hands.settle()

    assert hands.frame.stack.currentWidget() is hands.window.morning.page  # type: ignore[union-attr]
    assert hands.current() == "floss"


def test_a_chore_without_a_line_is_refused(live_in: LiveIn) -> None:
    """One that nobody knows, and one that is done."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")

    with pytest.raises(UserFault) as unknown:
        show_chore(hands.window, "sweep")
    with pytest.raises(UserFault) as done:
        show_chore(hands.window, "wipe")

    assert (unknown.value.code, done.value.code) == ("no_such_chore", "no_such_turn")
