"""The ring of the keys, the selection, the why panel and what Space ticks are the same row."""

from __future__ import annotations

from datetime import timedelta

import pytest
from PySide6.QtWidgets import QAbstractItemView

from tankkeeper.core.household import Household
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import THURSDAY, Hands, chore, small_house

MOVING = ("Ctrl+End", "Ctrl+PgUp", "Ctrl+PgDown", "Ctrl+Left", "Ctrl+Right", "Ctrl+Space")


def long_house() -> Household:
    """Return a house with more lines than the window has room for."""
    return small_house(chores=tuple(chore(f"pane{at}", f"Wipe pane {at}", 12) for at in range(40)))


def in_hand(hands: Hands) -> list[int]:
    """Return the selected rows of the list with the keys, after saying where its ring stands."""
    rows = hands.focus()
    assert isinstance(rows, QAbstractItemView)
    chosen = sorted(index.row() for index in rows.selectionModel().selectedRows())
    assert rows.currentIndex().row() in chosen
    return chosen


def test_with_ctrl_the_selection_the_panel_and_space_go_with_the_ring(live_in: LiveIn) -> None:
    """One row is in hand, and in sight."""
    hands = live_in(long_house())
    for key in MOVING:
        hands.press(key)

        rows = hands.list
        assert in_hand(hands) == [rows.currentIndex().row()], key
        assert hands.why.title == rows.current_row().name, key
        assert rows.viewport().rect().contains(rows.visualRect(rows.currentIndex())), key
    hands.press("Home", "Ctrl+End", "Space")

    assert [turn.chore for turn in hands.log()[0].entry.completes] == ["pane39"]


def test_shift_and_ctrl_a_still_choose_several(live_in: LiveIn) -> None:
    """From the row in hand to where the key leads."""
    hands = live_in(long_house())
    hands.press("Down", "Ctrl+Shift+End")
    assert hands.selected() == [f"pane{at}" for at in range(1, 40)]

    hands.press("Ctrl+PgUp", "Shift+Down", "Shift+Down")
    assert len(hands.selected()) == 3
    assert hands.current() == hands.selected()[-1]

    hands.press("Ctrl+A", "Ctrl+Space")
    assert len(hands.selected()) == 40


@pytest.mark.parametrize("where", [("Ctrl+2", "Return"), ("Ctrl+6",), ("F3",), ("P",)])
def test_every_other_list_keeps_ring_and_selection_together(
    live_in: LiveIn, where: tuple[str, ...]
) -> None:
    """The day of the calendar, the logbook, the chores of a tank, the days to put off to."""
    before = [THURSDAY - timedelta(days=at) for at in range(40, 0, -1)]
    written = [an_entry(at, on, done="pane0", key=on.isoformat()) for at, on in enumerate(before)]
    hands = live_in(long_house(), entries=tuple(written))
    hands.press(*where)
    # On a page with groups Ctrl and a page go to the next group.
    others = [key for key in MOVING if where != ("F3",) or "Pg" not in key]
    for key in ("End", "Home", "Down", *others):
        hands.press(key)
        rows = hands.focus()

        assert isinstance(rows, QAbstractItemView)
        assert in_hand(hands) == [rows.currentIndex().row()], key


@pytest.mark.parametrize("where", [(), ("Ctrl+2", "Return")])
@pytest.mark.parametrize("key", ["Home", "Up", "PgUp"])
def test_the_heading_above_the_first_line_comes_back(
    live_in: LiveIn, where: tuple[str, ...], key: str
) -> None:
    """Also where the first line is in hand already and seen."""
    hands = live_in(long_house())
    hands.press(*where)
    rows = hands.focus()
    assert isinstance(rows, QAbstractItemView)
    bar = rows.verticalScrollBar()
    bar.setValue(rows.visualRect(rows.currentIndex()).top())
    assert bar.value() > 0

    hands.press(key)
    assert bar.value() == 0

    hands.press("End", "Home")
    assert bar.value() == 0
