"""Tab goes from what the reason panel tells to what can be done about it."""

from __future__ import annotations

from itertools import groupby

import pytest
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.widgets.buttons import Button
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands


def _way(hands: Hands, keys: int, key: str = "Tab") -> list[str]:
    """Return the buttons of the panel that have the keys, one Tab after the other."""
    told = []
    for _ in range(keys):
        hands.press(key)
        focus = hands.focus()
        is_button = isinstance(focus, Button) and hands.frame.why.isAncestorOf(focus)
        told.append(focus.text() if is_button else type(focus).__name__)
    return told


def test_tab_goes_from_the_reason_to_its_buttons(live_in: LiveIn) -> None:
    """Not over the list, where another line would be told of; also for lines with other buttons."""
    hands = live_in()
    for chore in ("wipe", "fill", "wipe"):
        hands.go_to(chore)
        hands.press("F1")
        panel: QWidget = hands.frame.why
        assert panel.isAncestorOf(hands.focus())
        offered = [one.text for one in panel.card.actions]  # type: ignore[attr-defined]

        assert _way(hands, len(offered)) == offered
        assert _way(hands, len(offered) - 1, "Shift+Tab") == offered[-2::-1]
        hands.press("Shift+Tab")
        assert hands.focus() is panel.focusProxy()
        hands.list.setFocus()


@pytest.mark.parametrize("view", ["Ctrl+1", "Ctrl+2", "Ctrl+6"])
def test_tab_goes_through_views_rail_lines_and_panel_in_turn(live_in: LiveIn, view: str) -> None:
    """What is in the top line besides may come in between."""
    hands = live_in(entries=(an_entry(1, "2026-03-11", done="wipe"),))
    hands.press(view)
    frame = hands.frame
    parts = {"views": frame.top.views, "rail": frame.rail, "page": frame.stack, "why": frame.why}
    frame.top.views.setFocus()

    way = ["views"]
    for _ in range(24):
        hands.press("Tab")
        focus = hands.focus()
        way += [key for key, part in parts.items() if part is focus or part.isAncestorOf(focus)]
    stops = [key for key, _ in groupby(way)]

    assert stops[:5] == ["views", "rail", "page", "why", "views"]
