"""What is typed between the key that opens a form and the form itself goes into the form."""

from __future__ import annotations

import pytest
from PySide6.QtTest import QTest

import tankkeeper.gui.turn_taking as turn_taking
from tankkeeper.core.logbook import Skip
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.keys_ahead import LEFT_OUT
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.test_morning import _locked


def _hit(hands: Hands, *keys: str) -> None:
    """Press keys one after the other while the file is held, so that each comes too early."""
    with _locked(hands.path):
        for key in keys:
            hands.hit(key)
    hands.settle()


def test_letters_behind_ctrl_l_wait_for_the_form(live_in: LiveIn) -> None:
    """W would open the days off in the round; in the form it chooses the water change."""
    hands = live_in()
    hands.go_to("wipe")

    _hit(hands, "Space", "Ctrl+L", "W")

    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.what.currentText() == What.WATER_CHANGE.value
    assert len(hands.log()) == 1


def test_the_reason_of_a_skip_is_typed_whole(live_in: LiveIn) -> None:
    """Its letters are keys of the round, too; the last key keeps the form."""
    hands = live_in()
    hands.go_to("wipe")

    _hit(hands, "Space", "Shift+S", *"away", "Ctrl+Return")

    skipped = [one.entry for one in hands.log() if isinstance(one.entry.fact, Skip)]
    assert [one.note for one in skipped] == ["away"]


def test_a_key_that_reaches_the_page_under_a_form_does_nothing_and_is_told(
    live_in: LiveIn,
) -> None:
    """Space on a line with an amount opens a form; the S behind it was pressed for that one."""
    hands = live_in()
    hands.go_to("glass")

    with _locked(hands.path):
        hands.hit("Space")
        hands.go_to("change")
        hands.hit("Space")
        hands.hit("Y")
    hands.settle()

    assert hands.form().windowTitle().startswith("Change water")
    assert hands.told == LEFT_OUT
    assert hands.state("change") is not State.DONE


def test_a_form_that_comes_too_late_gets_no_letters(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody means them any more, and that is told."""
    monkeypatch.setattr(turn_taking, "LONGEST_WISH_S", 0.0)
    hands = live_in()

    _hit(hands, "Space", "Ctrl+L", "R")

    assert not hands.has_form()
    assert hands.told in (LEFT_OUT, turn_taking.TOO_LATE)


def test_a_key_for_the_window_below_goes_into_the_form_that_stands(live_in: LiveIn) -> None:
    """A form that has opened has the keys only once the desktop gives them."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    session._ahead.hold()

    QTest.keyClick(hands.list, "R")
    assert hands.window.morning is not None
    hands.window.morning.write_down()
    hands.settle()

    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.what.currentText() == What.READINGS.value
