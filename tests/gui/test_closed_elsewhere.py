"""Work that somebody closes in another process, under the keys of this window."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.core.logbook import Revoke
from tankkeeper.core.turns import State
from tankkeeper.gui.shortcuts import Command
from tankkeeper.services import moving, taking_back, ticking
from tests.builders import an_entry
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands

LONG = timedelta(minutes=2)


def see(hands: Hands) -> None:
    """Let the window look at the file, as it does every two seconds."""
    assert hands.window.session is not None
    hands.window.session.look()
    hands.settle()


def tick_elsewhere(hands: Hands, chore_id: str, by: str | None = "bo") -> None:
    """Tick a chore as the command line does, and let the window see it."""
    desk = open_desk(hands.path, hands.clock)
    ticking.tick(desk, [ticking.Tick(chore_id, by=by)])
    desk.store.close()
    see(hands)


def skip_elsewhere(hands: Hands, chore_id: str) -> None:
    """Skip a chore as the command line does, and let the window see it."""
    desk = open_desk(hands.path, hands.clock)
    moving.skip(desk, [hands.row(chore_id).id], "", "bo")
    desk.store.close()
    see(hands)


def taken_back(hands: Hands) -> int:
    """Return how many entries were taken back."""
    return sum(isinstance(one.entry.fact, Revoke) for one in hands.log())


@pytest.mark.parametrize("later", [timedelta(), LONG])
def test_the_first_space_leaves_what_somebody_else_ticked_under_the_keys(
    live_in: LiveIn, later: timedelta
) -> None:
    """It was meant to tick: it says what is so, and the second takes that back."""
    hands = live_in(person="ada")
    tick_elsewhere(hands, "glass")
    assert (hands.current(), hands.state("glass")) == ("glass", State.DONE)
    hands.clock.forward(later)

    hands.press("Space")
    assert hands.told == "Bo ticked this at 07:04. Space again takes it back."
    assert hands.state("glass") is State.DONE
    assert not taken_back(hands)

    hands.press("Space")
    assert hands.state("glass") is State.OVERDUE
    assert taken_back(hands) == 1


def test_space_that_was_pressed_before_the_tick_was_shown_takes_nothing_back(
    live_in: LiveIn,
) -> None:
    """It finds the work done already; the next one, in the rhythm of ticking, asks as well."""
    hands = live_in(person="ada")
    desk = open_desk(hands.path, hands.clock)
    ticking.tick(desk, [ticking.Tick("glass", by="bo")])
    desk.store.close()

    hands.hit("Space")
    hands.hit("Space")
    hands.settle()

    assert hands.told == "Bo ticked this at 07:04. Space again takes it back."
    assert not taken_back(hands)


def test_a_line_to_which_the_keys_went_long_after_is_taken_back_at_once(live_in: LiveIn) -> None:
    """A person who went on since has seen it, and chose it."""
    hands = live_in(person="ada")
    tick_elsewhere(hands, "glass")
    hands.press("Down", "Up")
    hands.clock.forward(LONG)

    hands.press("Space")

    assert taken_back(hands) == 1


def test_a_line_to_which_the_keys_went_just_as_it_was_ticked_is_left(live_in: LiveIn) -> None:
    """Within some three seconds nobody has read what changed."""
    hands = live_in(person="ada")
    tick_elsewhere(hands, "wipe")
    hands.press("Down")
    assert hands.current() == "wipe"

    hands.press("Space")

    assert hands.told.startswith("Bo ticked this")
    assert not taken_back(hands)


def test_a_click_on_the_mark_of_a_line_ticked_just_now_is_left_once(live_in: LiveIn) -> None:
    """The mark is the mouse's Space."""
    hands = live_in(person="ada")
    tick_elsewhere(hands, "lamp")

    hands.click(hands.mark("lamp"))
    hands.settle()
    assert hands.told.startswith("Bo ticked this")
    assert not taken_back(hands)

    hands.press("Space")
    assert taken_back(hands) == 1


@pytest.mark.parametrize(("later", "taken"), [(timedelta(), 0), (LONG, 1)])
def test_the_button_that_says_take_back_does_so_unless_it_said_tick_just_now(
    live_in: LiveIn, later: timedelta, taken: int
) -> None:
    """Who reads it before the click means it."""
    hands = live_in(person="ada")
    tick_elsewhere(hands, "glass")
    hands.clock.forward(later)

    hands.frame.why.acted.emit(Command.TICK.value)
    hands.settle()

    assert taken_back(hands) == taken


def test_what_this_window_ticked_is_taken_back_at_once(live_in: LiveIn) -> None:
    """Also what it did again."""
    hands = live_in(person="ada")
    hands.press("Space", "Up", "Space")
    assert taken_back(hands) == 1

    hands.press("Space", "Ctrl+Z", "Ctrl+Y")
    hands.go_to("glass")
    assert hands.state("glass") is State.DONE
    before = taken_back(hands)
    hands.press("Space")
    assert hands.state("glass") is State.OVERDUE
    assert taken_back(hands) == before + 1


def test_what_was_done_when_the_window_opened_is_taken_back_at_once(live_in: LiveIn) -> None:
    """Nothing changed under the keys; nor does an undo of that ask anything."""
    hands = live_in(person="ada")
    desk = open_desk(hands.path, hands.clock)
    ticking.tick(desk, [ticking.Tick("glass", by="bo")])
    desk.store.close()
    hands.close()
    hands = live_in(person="ada", is_there=True)
    hands.go_to("glass")

    hands.press("Space")
    assert taken_back(hands) == 1

    hands.press("Ctrl+Z")
    hands.go_to("glass")
    assert hands.state("glass") is State.DONE
    hands.press("Space")
    assert hands.state("glass") is State.OVERDUE


def test_what_was_ticked_elsewhere_once_more_asks_once_more(live_in: LiveIn) -> None:
    """Each deed of somebody else is told of."""
    hands = live_in(person="ada")
    tick_elsewhere(hands, "glass")
    hands.press("Space")
    desk = open_desk(hands.path, hands.clock)
    taking_back.undo(desk, hands.log()[0].entry.id, "bo")
    desk.store.close()
    see(hands)
    assert hands.state("glass") is State.OVERDUE
    before = taken_back(hands)

    tick_elsewhere(hands, "glass", by=None)
    hands.press("Space")

    assert hands.told == "This was ticked elsewhere at 07:04. Space again takes it back."
    assert taken_back(hands) == before


def test_several_lines_are_told_by_the_first(live_in: LiveIn) -> None:
    """And that there are others; what was skipped is said to be."""
    hands = live_in(person="ada")
    skip_elsewhere(hands, "glass")
    tick_elsewhere(hands, "wipe")
    hands.press("Shift+Down")
    assert hands.selected() == ["glass", "wipe"]

    hands.press("Space")
    assert hands.told == (
        "Bo skipped Clean the glass (Reef) at 07:04. 1 more was done, too. "
        "Space again takes them back."
    )
    assert not taken_back(hands)

    hands.press("Space")
    assert taken_back(hands) == 2


def test_the_list_of_a_day_asks_as_the_round_does(live_in: LiveIn) -> None:
    """The keys act there as they do in the round."""
    hands = live_in(person="ada")
    hands.press("Ctrl+2", "Return")
    page = page_of(hands)
    assert page.show_row(hands.row("wipe").id)

    tick_elsewhere(hands, "wipe")
    hands.clock.forward(LONG)
    hands.press("Space")
    assert hands.told.startswith("Bo ticked this")
    assert not taken_back(hands)

    hands.press("Space")
    assert taken_back(hands) == 1


def test_what_was_done_on_a_day_before_is_not_taken_back_by_one_key(live_in: LiveIn) -> None:
    """In the list of a day that is past: dates and litres of today rest on it."""
    hands = live_in(entries=(an_entry(1, "2026-03-10", done="glass", tank="reef"),))
    hands.press("Ctrl+2", "Left", "Left", "Return")
    page = page_of(hands)
    assert page.month.list.go_to_id(page.month.list.item_rows()[0].id)

    hands.press("Space")
    told = hands.told
    before = len(hands.log())
    hands.press("Space")

    assert told.endswith("Space again takes it back.")
    assert "elsewhere" not in told
    assert before == 1
    assert len(hands.log()) == 2
