"""Each button of the why panel names the key that does the same in the view that is shown."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind
from tankkeeper.core.household import Household
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.widgets.why_panel import WhyAction
from tankkeeper.reports.numbers import plain
from tests.builders import days
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.test_ticked_ahead import DAILY, SATURDAYS

# What a key comes to where it does not do the same as its button at once: on the board P takes hold
# of a turn, which the button puts off in its form.
_AS_WELL = {Command.PUT_OFF.value: Command.GRAB.value}
_FORM = {Command.TICK_FORM.value: Command.TICK_FORM_ON_BOARD.value}


def house() -> Household:
    """Return a house with lines of every kind of card: overdue, due, to come, far ahead, dosed."""
    mix = {"kind": ChoreKind.MIX_SALT_WATER, "tank": None, "rhythm": SATURDAYS}
    return small_house(
        chores=(
            chore("late", "Clean the skimmer", 9),
            chore("due", "Siphon the sand", 12),
            chore("dose", "Dose buffer", None, kind=ChoreKind.DOSE, rhythm=DAILY),
            chore("mix", "Mix salt water", None, **mix),
            chore("wipe", "Wipe the lid", 14, rhythm=AfterLastDone(days(3))),
        )
    )


def keyed(widget: QWidget | None) -> Iterator[QAction]:
    """Yield the actions whose keys act while a widget has the keys."""
    while widget is not None:
        yield from widget.actions()
        widget = None if widget.isWindow() else widget.parentWidget()


def does(hands: Hands, key: str) -> list[str]:
    """Return the commands of a key where the keys are, one that is of page and list once."""
    wanted = QKeySequence(key)
    found = [one.objectName() for one in keyed(hands.focus()) if wanted in one.shortcuts()]
    return list(dict.fromkeys(found))


def is_right(hands: Hands, action: WhyAction) -> bool:
    """Tell whether the key under a button leads to what the button does."""
    same = {action.id, _AS_WELL.get(action.id), _FORM.get(action.id)}
    found = does(hands, action.key)
    return len(found) == 1 and found[0] in same


def mistaken(hands: Hands, ids: list[str]) -> list[str]:
    """Return where a button of the cards of some lines names a key that does something else."""
    wrong = []
    page = page_of(hands) if hands.frame.view_id == "calendar" else hands.window.morning.page  # type: ignore[union-attr]
    for row_id in ids:
        assert page.show_row(row_id)
        hands.settle()
        for one in hands.why.actions:
            if not is_right(hands, one):
                wrong.append(f"{row_id}: {one.text} by {one.key} is {does(hands, one.key)}")
    return wrong


def test_the_buttons_of_the_round_name_its_keys(live_in: LiveIn) -> None:
    """What is overdue, due, or done and taken back."""
    hands = live_in(house())
    assert mistaken(hands, [row.id for row in hands.rows()]) == []
    hands.go_to("due")
    hands.press("Space")

    assert mistaken(hands, [row.id for row in hands.rows()]) == []


def test_the_buttons_of_a_day_name_the_keys_of_its_list(live_in: LiveIn) -> None:
    """Today, and each of the days to come, whose month has its own key on the day."""
    hands = live_in(house())
    hands.press("Ctrl+2")
    for _ in range(10):
        assert [one.text for one in hands.why.actions] == ["Open the day"]
        assert does(hands, hands.why.actions[0].key) == [Command.OPEN_DAY.value]
        hands.press("Return")
        assert mistaken(hands, [row.id for row in page_of(hands).rows()]) == []
        hands.press("Esc", "Right")


def test_the_buttons_of_a_turn_name_the_keys_of_the_board(live_in: LiveIn) -> None:
    """Return takes hold there: what it does elsewhere has another key, and that is named."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")

    assert mistaken(hands, [row.id for row in page_of(hands).rows()]) == []


def test_the_buttons_of_what_is_carried_name_its_keys(live_in: LiveIn) -> None:
    """On a day where it can stand, and on one where it cannot."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == "late")
    assert page_of(hands).show_row(row.id)
    names = {"Let go": Command.LET_GO.value}
    hands.press("P")
    for _ in range(13):
        for one in hands.why.actions:
            wanted = names.get(one.text, "")
            found = does(hands, one.key)
            assert found in ([wanted], [Command.GRAB.value], [Command.DROP_WHERE_IT_CAN.value])
        hands.press("Right")


def test_the_buttons_of_an_entry_name_the_keys_of_the_logbook(live_in: LiveIn) -> None:
    """Those of a tick, and of the undo of one."""
    hands = live_in(house())
    hands.go_to("due")
    hands.press("Space", "Ctrl+Z")
    hands.go_to("late")
    hands.press("Space", "Ctrl+6", "Home")

    for _ in range(3):
        assert hands.why.actions
        assert [one for one in hands.why.actions if not is_right(hands, one)] == []
        hands.press("Down")


def test_the_key_of_work_beside_its_turns_opens_its_form_on_the_board(live_in: LiveIn) -> None:
    """The sentence of Space names it too; Return still takes hold of the turn."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")
    page = page_of(hands)
    row = next(one for one in page.rows() if one.item.chore.id == "mix")
    assert page.show_row(row.id)
    hands.press("Space")
    assert plain(hands.why.refusal).endswith("an extra one is written down with Ctrl+Return.")

    hands.press("Ctrl+Return")
    assert hands.has_form()
    assert not page.is_carrying
    hands.type("12")
    hands.press("Ctrl+Return")

    assert [turn.is_extra for turn in hands.log()[0].entry.completes] == [True]
    assert page.is_board
    hands.press("Return")
    assert page.is_carrying


@pytest.mark.parametrize("keys", [(), ("Ctrl+2",), ("Ctrl+2", "Return"), ("Ctrl+2", "B")])
def test_the_keys_of_what_was_found_act_in_the_panel(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """It has no line in any view, and the panel gets the keys."""
    yearly = Calendar("FREQ=YEARLY", date(2026, 7, 4))
    hands = live_in(small_house(chores=(chore("far", "Oil the hinges", None, rhythm=yearly),)))
    hands.press(*keys, "Ctrl+F")
    hands.type("hinges")
    hands.press("Return")
    if keys == ("Ctrl+2",) or keys == ("Ctrl+2", "Return"):
        # The calendar has gone to its day, where it has a line.
        assert page_of(hands).month.is_day_open
    beside = next(one for one in hands.why.actions if one.text == "Done besides")

    hands.press(beside.key)

    assert hands.has_form()
    hands.press("Ctrl+Return")
    assert [turn.is_extra for turn in hands.log()[0].entry.completes] == [True]


@pytest.mark.parametrize(
    ("key", "at", "told"),
    [
        ("Y", 0, "If it was done yesterday, Ctrl+Return asks for the day."),
        ("Y", 1, "If it was done yesterday, Ctrl+Return on its next turn asks for the day."),
        ("Space", 1, "is ticked on its turn of Sat 14."),
    ],
)
def test_no_sentence_on_the_board_says_return_for_what_it_does_not_do(
    live_in: LiveIn, key: str, at: int, told: str
) -> None:
    """The next turn of work that counts from its last time, and one that follows from it."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")
    page = page_of(hands)
    turns = [one for one in page.rows() if one.item.chore.id == "wipe"]
    assert page.show_row(turns[at].id)

    hands.press(key)

    assert hands.log() == []
    assert plain(hands.why.refusal).endswith(told)
    assert " Return" not in plain(hands.why.refusal)
