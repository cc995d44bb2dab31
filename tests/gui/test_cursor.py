"""Where the keys go by themselves: after a tick, an undo, and a choice in the rail."""

from __future__ import annotations

from datetime import date, time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tankkeeper.core.chores import Calendar, ChoreKind, IfMissed
from tankkeeper.core.turns import State
from tankkeeper.gui.widgets.board_strips import heading_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, box, chore, small_house
from tests.gui.test_board import board_of


def walk_house():  # type: ignore[no-untyped-def]
    """Return a house of three tanks, each with something due and something that can wait."""
    chores = []
    for tank in ("reef", "nook", "shelf"):
        chores.append(chore(f"{tank}-due", "Clean the glass", 12, tank=tank))
        for name in ("wait", "later"):
            can = chore(f"{tank}-{name}", "Swap the floss", 13, tank=tank, early_days=3)
            chores.append(can)
    tanks = (box("reef", "Reef", 1), box("nook", "Nook", 2), box("shelf", "Shelf", 3))
    return small_house(tanks=tanks, chores=tuple(chores))


def live(live_in: LiveIn) -> Hands:
    hands = live_in(walk_house())
    hands.list.setFocus()
    return hands


def choose(hands: Hands, tank_id: str | None) -> None:
    """Choose a tank in the rail by its keys, None for the whole house."""
    hands.frame.rail.setFocus()
    for _ in range(8):
        if hands.frame.rail.chosen_id == tank_id:
            return
        hands.press("Ctrl+Home" if tank_id is None else "Ctrl+Down")
    raise AssertionError(tank_id)


def test_what_can_wait_comes_after_all_that_is_due_on_every_tank(live_in: LiveIn) -> None:
    """Space, Space, Space walks from tank to tank; then the first that can wait has the keys."""
    hands = live(live_in)
    hands.go_to("reef-due")
    seen = []
    for _ in range(3):
        seen.append(hands.current())
        hands.press("Space")
    assert seen == ["reef-due", "nook-due", "shelf-due"]
    assert hands.state(hands.current()) is State.MAY_WAIT
    assert hands.current().startswith("shelf")


def test_who_does_what_can_wait_goes_on_with_the_line_below(live_in: LiveIn) -> None:
    """Nobody is sent away from the tank at which they work ahead."""
    hands = live(live_in)
    hands.go_to("reef-wait")
    first = hands.list.currentIndex().row()
    hands.press("Space")
    assert hands.current() in ("reef-later", "nook-due")
    assert hands.list.currentIndex().row() > first
    hands.go_to("nook-wait")
    hands.press("S")
    assert hands.current() in ("nook-later", "shelf-due")


def test_an_undo_brings_the_keys_to_the_line_that_came_back(live_in: LiveIn) -> None:
    """However far the keys went meanwhile; a redo leaves them on another line than its own."""
    hands = live(live_in)
    hands.go_to("reef-due")
    hands.press("Space")
    hands.go_to("shelf-wait")

    hands.press("Ctrl+Z")

    assert hands.current() == "reef-due"
    assert hands.selected() == ["reef-due"]
    hands.go_to("shelf-wait")
    hands.press("Ctrl+Y")
    assert hands.current() == "shelf-wait"


@pytest.mark.parametrize("key", ["Space", "S"])
def test_a_redo_goes_on_from_its_line_as_the_tick_did(live_in: LiveIn, key: str) -> None:
    """The next Space ticks the next line, and takes nothing back; a second redo goes on, too."""
    hands = live(live_in)
    hands.go_to("reef-due")
    hands.press(key, key)
    assert hands.current() == "shelf-due"
    hands.press("Ctrl+Z", "Ctrl+Z")
    assert hands.current() == "reef-due"

    hands.press("Ctrl+Y")
    assert (hands.current(), hands.selected()) == ("nook-due", ["nook-due"])
    hands.press("Ctrl+Y")
    assert hands.current() == "shelf-due"

    hands.press("Space")
    due = [hands.state(one) for one in ("reef-due", "nook-due", "shelf-due")]
    assert all(state in (State.DONE, State.SKIPPED) for state in due)


def test_a_redo_of_taking_back_keeps_the_line_that_is_open_again(live_in: LiveIn) -> None:
    """It is that line which is to do; and where nothing is done again, nobody is sent on."""
    hands = live(live_in)
    hands.go_to("reef-due")
    hands.press("Space")
    hands.go_to("reef-due")
    hands.press("Space", "Ctrl+Z")
    hands.go_to("reef-due")
    assert hands.state("reef-due") is State.DONE
    hands.press("Ctrl+Y")
    assert (hands.current(), hands.state("reef-due")) == ("reef-due", State.DUE)
    hands.press("Ctrl+Y")
    assert hands.current() == "reef-due"


def test_a_line_chosen_before_a_redo_is_shown_keeps_the_keys(live_in: LiveIn) -> None:
    """Where a key led since comes before the next line to do."""
    hands = live(live_in)
    hands.go_to("reef-due")
    hands.press("Space", "Ctrl+Z")
    hands.list.setFocus()
    hands.hit("Ctrl+Y")
    hands.hit("End")
    chosen = hands.current()

    hands.settle()

    assert hands.state("reef-due") is State.DONE
    assert hands.current() == chosen != "nook-due"


def test_a_redo_in_a_day_of_the_month_goes_on_as_the_tick_did(live_in: LiveIn) -> None:
    """The list of today has the keys of the round."""
    hands = live(live_in)
    hands.press("Ctrl+2", "Return")
    listed = hands.window.morning.calendar.page.month.list  # type: ignore[union-attr]
    listed.go_to(listed.round_model.row_of("reef-due"))

    def here() -> str:
        row = listed.current_row()
        return "" if row is None else row.item.chore.id

    hands.press("Space")
    led = here()
    assert led != "reef-due"
    hands.press("Ctrl+Z")
    assert here() == "reef-due"
    hands.press("Ctrl+Y")
    assert here() == led


def test_a_redo_on_the_board_goes_on_as_the_tick_did(live_in: LiveIn) -> None:
    """To the next turn of today that is still to do."""
    hands = live(live_in)
    hands.press("Ctrl+2", "B")
    board = board_of(hands)
    board.go_to_id(next(one.row.id for one in board.cells() if one.row.item.chore.id == "nook-due"))

    def here() -> str:
        cell = board.current_cell()
        return "" if cell is None else cell.row.item.chore.id

    hands.press("Space")
    led = here()
    assert led != "nook-due"
    hands.press("Ctrl+Z")
    assert here() == "nook-due"
    hands.press("Ctrl+Y")
    assert here() == led


@pytest.mark.parametrize(
    "keys",
    [
        ("Space",),
        ("S",),
        ("P", "Return"),
        ("Shift+P", "Return"),
        # Its whole tank.
        ("Shift+P", "Shift+Tab", "Down", "Return"),
    ],
)
@pytest.mark.parametrize("late_days", [0, 5])
def test_the_keys_go_on_from_what_was_moved(
    live_in: LiveIn, keys: tuple[str, ...], late_days: int
) -> None:
    """Whether it leaves the round or still stands there: Space ticks the next that is due."""
    wipe = chore("wipe", "Wipe the lid", 12, late_days=late_days, early_days=late_days)
    rinse = chore("rinse", "Rinse the pump", 12, tank="nook", minutes=9)
    lamp = chore("lamp", "Wipe the lamp", 13, early_days=2)
    hands = live_in(small_house(chores=(wipe, rinse, lamp)))
    hands.go_to("wipe")

    hands.press(*keys)

    assert not hands.has_form()
    assert hands.current() == "rinse"
    hands.press("Space")
    assert [one.chore for one in hands.log()[0].entry.completes] == ["rinse"]


@pytest.mark.parametrize("keys", [("S",), ("P", "Return")])
def test_an_undo_of_a_skip_or_a_put_off_brings_the_keys_back_too(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """A line that had left the round stands there again, in hand."""
    hands = live(live_in)
    hands.go_to("nook-due")
    hands.press(*keys)
    hands.go_to("reef-due")

    hands.press("Ctrl+Z")

    assert hands.current() == "nook-due"


def test_an_undo_on_the_board_brings_the_keys_back(live_in: LiveIn) -> None:
    """The turn that stands again on today has them."""
    hands = live(live_in)
    hands.press("Ctrl+2", "B")
    board = board_of(hands)
    cell = next(one for one in board.cells() if one.row.item.chore.id == "nook-due")
    board.go_to_id(cell.row.id)
    hands.press("Space")
    other = next(one for one in board.cells() if one.row.item.chore.id == "shelf-due")
    board.go_to_id(other.row.id)

    hands.press("Ctrl+Z")

    here = board.current_cell()
    assert here is not None
    assert here.row.item.chore.id == "nook-due"


def test_an_undo_that_has_nothing_to_bring_back_leaves_the_keys(live_in: LiveIn) -> None:
    """A later write of somebody else does not draw them away either."""
    hands = live(live_in)
    hands.go_to("shelf-wait")
    hands.press("Ctrl+Z")
    assert hands.current() == "shelf-wait"
    hands.go_to("nook-due")
    hands.press("Space", "Up", "Space")
    assert hands.current() != "nook-due"


def test_a_tank_chosen_in_the_rail_keeps_the_line_in_hand(live_in: LiveIn) -> None:
    """Its own tank keeps it, and the whole house after it."""
    hands = live(live_in)
    hands.go_to("reef-wait")
    choose(hands, "reef")
    assert hands.current() == "reef-wait"
    choose(hands, None)
    assert hands.current() == "reef-wait"


def test_another_tank_chosen_in_the_rail_gives_its_first_open_line(live_in: LiveIn) -> None:
    """Not the line that happens to stand nearest; a done one is passed over."""
    hands = live(live_in)
    hands.go_to("reef-due")
    hands.press("Space")
    hands.go_to("shelf-later")
    choose(hands, "reef")
    assert hands.state(hands.current()) is State.MAY_WAIT
    assert hands.list.currentIndex().row() == 2
    hands.press("Ctrl+Down")
    assert hands.current() == "nook-due"


def test_the_minutes_of_a_narrowed_board_say_that_they_are_of_the_house(live_in: LiveIn) -> None:
    """A day has its minutes only once; heading and accessible name tell of what."""
    hands = live(live_in)
    hands.press("Ctrl+2", "B")
    calendar = hands.window.morning.calendar  # type: ignore[union-attr]
    assert calendar is not None
    strips = calendar.page.board.strips
    assert heading_of(strips.sheet) == "Minutes a day"
    choose(hands, "nook")
    assert heading_of(strips.sheet) == "Minutes a day, whole house"
    assert strips.table.accessibleName() == "Minutes a day, whole house"


def test_a_click_on_a_mark_goes_on_as_the_key_does(live_in: LiveIn) -> None:
    """The next line is the next that is due, on whatever tank."""
    hands = live(live_in)
    at = hands.mark("reef-due")
    QTest.mouseClick(hands.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    hands.settle()
    assert hands.current() == "nook-due"


@pytest.mark.parametrize("keys", [("Y",), ("Space",), ("S",)])
def test_a_line_chosen_before_a_deed_is_shown_keeps_the_keys(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """The last line is done already; nobody is sent on from it to the first that is due."""
    hands = live_in(small_house())
    hands.list.setFocus()
    hands.go_to("meter")
    hands.press("Space")
    hands.go_to("glass")
    hands.list.setFocus()
    for key in (*keys, "End"):
        hands.hit(key)
    chosen = hands.current()
    assert chosen == "meter"

    hands.settle()

    assert len(hands.log()) == 2
    assert hands.current() == chosen


def test_a_line_chosen_before_an_undo_is_shown_keeps_the_keys(live_in: LiveIn) -> None:
    """What comes back does not draw them away from where a key led since."""
    hands = live(live_in)
    hands.go_to("reef-due")
    hands.press("Space")
    hands.list.setFocus()
    hands.hit("Ctrl+Z")
    hands.hit("End")
    chosen = hands.current()

    hands.settle()

    assert hands.state("reef-due") is State.DUE
    assert hands.current() == chosen != "reef-due"


def test_a_start_gives_the_keys_to_what_is_due_before_what_can_wait(live_in: LiveIn) -> None:
    """On the first tank of the walk all that is due was done: its floss can wait till tomorrow."""
    hands = live(live_in)
    hands.go_to("reef-due")
    hands.press("Space")
    assert hands.state("reef-wait") is State.MAY_WAIT
    hands.close()

    again = live_in(is_there=True)

    assert again.current() == "nook-due"
    for name in ("nook-due", "shelf-due"):
        again.go_to(name)
        again.press("Space")
    again.close()
    assert live_in(is_there=True).current() == "reef-wait"


def test_a_start_passes_over_what_has_an_hour_later(live_in: LiveIn) -> None:
    """At seven the feeding of the evening is due, but the glass of the other tank comes."""
    fed = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(18),))
    feed = chore(
        "feed", "Feed", None, kind=ChoreKind.FEEDING, rhythm=fed, if_missed=IfMissed.EXPIRE
    )
    glass = chore("glass", "Clean the glass", 12, tank="nook")
    hands = live_in(small_house(chores=(feed, glass)))

    assert hands.row("feed").comes_later
    assert hands.current() == "glass"
    hands.press("Space")
    hands.close()
    assert live_in(is_there=True).current() == "feed"
