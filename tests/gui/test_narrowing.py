"""Keys that are pressed right behind the choice of a tank act on its lines, in their order."""

from __future__ import annotations

import pytest

from tankkeeper.core.turns import State
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house


def hit(hands: Hands, *keys: str) -> None:
    """Press keys in one go, as a hand that does not look in between."""
    for key in keys:
        hands.hit(key)
    hands.settle()


def lines(hands: Hands) -> list[str]:
    """Return the chores that are shown, from top to bottom."""
    return [row.item.chore.id for row in hands.rows()]


def in_the_house(live_in: LiveIn) -> Hands:
    """Return a window on the whole house, with the keys far from the lines of any one tank."""
    hands = live_in(small_house())
    hands.press("Ctrl+Home", "End")
    assert hands.current() == "meter"
    return hands


@pytest.mark.parametrize(
    ("keys", "at"),
    [
        (("Home", "Down"), 1),
        (("Home", "Down", "Down", "Up"), 1),
        (("End",), -1),
        (("End", "Up"), -2),
        (("Home", "PgDown", "Home", "Down", "Down"), 2),
    ],
)
def test_keys_right_behind_the_next_tank_go_to_its_lines(
    live_in: LiveIn, keys: tuple[str, ...], at: int
) -> None:
    """Not to those of the whole house, whose line is gone once the tank's own are shown."""
    hands = in_the_house(live_in)

    hit(hands, "Ctrl+Down", "Ctrl+Down", *keys)

    assert {row.item.chore.tank for row in hands.rows()} == {"nook"}
    assert hands.current() == lines(hands)[at]


def test_space_right_behind_ticks_the_line_that_the_keys_went_to(live_in: LiveIn) -> None:
    """And not one of the tank before, or the first that is to do."""
    hands = in_the_house(live_in)

    hit(hands, "Ctrl+Down", "Ctrl+Down", "Home", "Down", "Space")

    second = lines(hands)[1]
    assert [row.item.chore.id for row in hands.rows() if row.item.state is State.DONE] == [second]
    assert [turn.chore for turn in hands.log()[0].entry.completes] == [second]


def test_a_tick_before_and_after_the_next_tank_is_of_the_line_in_hand(live_in: LiveIn) -> None:
    """The first of the tank that was shown, then the one that the keys went to on the next."""
    hands = live_in(small_house())
    hands.press("Ctrl+Down", "Home")
    first = hands.current()
    assert hands.row(first).item.chore.tank == "reef"

    hit(hands, "Space", "Ctrl+Down", "Home", "Down", "Space")

    second = lines(hands)[1]
    assert [turn.chore for one in hands.log() for turn in one.entry.completes] == [second, first]


def test_rows_are_chosen_on_the_tank_that_is_shown_then(live_in: LiveIn) -> None:
    """With Shift as well, and all of them at once."""
    hands = in_the_house(live_in)
    hit(hands, "Ctrl+Down", "Ctrl+Down", "Home", "Shift+Down")
    assert hands.selected() == lines(hands)[:2]

    hit(hands, "Ctrl+Home", "Ctrl+Down", "Ctrl+Down", "Ctrl+A")
    assert hands.selected() == lines(hands)


def test_the_whole_house_right_behind_a_tank_has_the_keys_where_they_went(live_in: LiveIn) -> None:
    """The way back is no other."""
    hands = live_in(small_house())
    hands.press("Ctrl+Down", "Ctrl+Down")

    hit(hands, "Ctrl+Home", "Home", "Down", "Down")

    assert len({row.item.chore.tank for row in hands.rows()}) == 3
    assert hands.current() == lines(hands)[2]


def test_keys_behind_the_next_tank_go_to_its_lines_in_the_list_of_a_day(live_in: LiveIn) -> None:
    """The list of a day in the calendar is narrowed as the round is."""
    hands = live_in(small_house())
    hands.press("Ctrl+2", "Return")
    assert hands.window.morning is not None
    calendar = hands.window.morning.calendar
    assert calendar is not None
    day = calendar.page.month.list
    assert day.hasFocus()
    hands.press("End")

    hit(hands, "Ctrl+Down", "Ctrl+Down", "End", "Up")

    shown = day.item_rows()
    assert {row.item.chore.tank for row in shown} == {"nook"}
    assert day.current_row() == shown[-2]
