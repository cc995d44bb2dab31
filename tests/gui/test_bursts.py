"""Keys in quick order on a slow machine wait for each other, or all of the rest is left out."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

import tankkeeper.gui.turn_taking as turn_taking
from tankkeeper.core.turns import State
from tankkeeper.gui import burst_end
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.gui.turn_taking import TurnTaking
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.test_morning import _locked


def _hit(hands: Hands, *keys: str) -> None:
    """Press keys one after the other while the file is held, so that each comes too early."""
    with _locked(hands.path):
        for key in keys:
            hands.hit(key)
    hands.settle()


def _pause(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the pause of a person be over in no time."""
    monkeypatch.setattr(burst_end, "PAUSE_MS", 1)


def test_an_amount_behind_space_waits_for_the_form_of_its_line(live_in: LiveIn) -> None:
    """Space has to wait for the tick before it; figures would begin to find meanwhile."""
    hands = live_in()
    hands.go_to("wipe")

    _hit(hands, "Space", "Space", "9", ".", "5")

    form = hands.form()
    assert isinstance(form, TickForm)
    assert form.windowTitle().startswith("Change water")
    assert hands.state("wipe") is State.DONE
    focus = hands.focus()
    assert focus.property("text") == "9.5"


def test_what_is_behind_a_tick_without_a_form_acts_in_the_page_in_its_order(
    live_in: LiveIn,
) -> None:
    """The word is found once both are ticked, and Return goes there."""
    hands = live_in()
    hands.go_to("glass")

    _hit(hands, "Space", "Space", *"lamp", "Return", "Space")

    done = {row.item.chore.id for row in hands.rows() if row.is_closed}
    assert done == {"glass", "wipe", "lamp"}


def test_with_one_key_all_that_follow_are_left_out_until_a_pause(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They were meant for what the first would have opened, and are typed on meanwhile."""
    monkeypatch.setattr(turn_taking, "LONGEST_WISH_S", 0.0)
    hands = live_in()
    hands.go_to("wipe")

    _hit(hands, "Space", "Space", "1", ".", "1", "5", "Return", "Space")
    assert hands.told == turn_taking.TOO_LATE
    hands.press("5", "Return", "Ctrl+Z", "Space")

    assert hands.told == burst_end.TYPED_ON
    assert not hands.has_form()
    assert [row.item.chore.id for row in hands.rows() if row.is_closed] == ["wipe"]
    assert len(hands.log()) == 1


def test_after_a_pause_keys_act_again(live_in: LiveIn, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever has read what was left out does it again."""
    _pause(monkeypatch)
    monkeypatch.setattr(turn_taking, "LONGEST_WISH_S", 0.0)
    hands = live_in()
    hands.go_to("glass")
    _hit(hands, "Space", "Space")
    assert hands.state("wipe") is not State.DONE
    QTest.qWait(20)

    hands.press("Space")

    assert hands.state("wipe") is State.DONE


def test_the_mouse_ends_what_is_left_out(live_in: LiveIn, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever points at something looks at it."""
    monkeypatch.setattr(turn_taking, "LONGEST_WISH_S", 0.0)
    hands = live_in()
    hands.go_to("glass")
    _hit(hands, "Space", "Space")

    QTest.mouseClick(hands.frame, Qt.MouseButton.LeftButton)
    hands.go_to("wipe")
    hands.press("Space")

    assert hands.state("wipe") is State.DONE


def test_each_of_many_waits_for_the_one_before_it_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four ticks that each take two seconds are all meant; behind one of four seconds none is."""
    now = [0.0]
    monkeypatch.setattr(turn_taking.time, "monotonic", lambda: now[0])
    done: list[int] = []
    told: list[str] = []
    turns = TurnTaking(lambda _is_behind: None, lambda: told.append("left out"))

    def write(number: int) -> None:
        done.append(number)
        turns.begin()

    for number in range(4):
        turns.do(lambda number=number: write(number), leave=lambda: None)
    for _ in range(4):
        now[0] += 2.0
        turns.end()
    assert (done, told) == ([0, 1, 2, 3], [])

    for number in (4, 5):
        turns.do(lambda number=number: write(number), leave=lambda: None)
    now[0] += 3.5
    turns.do(lambda: write(6), leave=lambda: told.append("forgotten"))
    now[0] += 0.5
    turns.end()
    assert done == [0, 1, 2, 3, 4]
    assert told == ["forgotten", "left out"]


def test_the_end_of_the_program_is_meant_behind_a_key_that_is_left_out(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing was typed behind it that would be lost."""
    monkeypatch.setattr(turn_taking, "LONGEST_WISH_S", 0.0)
    hands = live_in()
    hands.go_to("glass")

    _hit(hands, "Space", "Space", "Ctrl+Q")

    assert not hands.window.shell.isVisible()
