"""What is typed between the key that opens a form and the form itself goes into the form."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

import tankkeeper.gui.turn_taking as turn_taking
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import Surroundings
from tankkeeper.core.logbook import Readings, Skip
from tankkeeper.core.turns import State
from tankkeeper.gui.forms import typed_on
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.gui.keys_ahead import LEFT_OUT
from tankkeeper.services import ticking
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.test_morning import _locked

_NO_MODIFIER = Qt.KeyboardModifier.NoModifier


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
    """The mark of a line with an amount opens a form; the Y behind it was pressed for that one."""
    hands = live_in()
    hands.go_to("glass")

    with _locked(hands.path):
        hands.hit("Space")
        hands.go_to("change")
        assert hands.window.morning is not None
        hands.window.morning.page.mark_clicked.emit(hands.row("change").id)
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


def test_the_end_of_the_program_is_meant_whether_or_not_a_form_comes(live_in: LiveIn) -> None:
    """Shift+P resumes what is paused without a form; nothing was typed that would be lost."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Shift+P", "Ctrl+Return")
    assert hands.state("wipe") is State.PAUSED

    with _locked(hands.path):
        hands.go_to("glass")
        hands.hit("Space")
        hands.go_to("wipe")
        hands.hit("Shift+P")
        hands.hit("Ctrl+Q")
    hands.settle()

    assert not hands.window.shell.isVisible()
    hands.window.worker.finish()
    hands.close()
    again = live_in(is_there=True)
    assert again.state("wipe") is not State.PAUSED
    assert again.state("glass") is State.DONE


def test_what_was_typed_for_a_form_that_does_not_come_holds_the_end(live_in: LiveIn) -> None:
    """It is told that it was left out, and nobody ends the program without seeing that."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Shift+P", "Ctrl+Return")

    with _locked(hands.path):
        hands.go_to("glass")
        hands.hit("Space")
        hands.go_to("wipe")
        for key in ("Shift+P", "5", "Ctrl+Q"):
            hands.hit(key)
    hands.settle()

    assert hands.window.shell.isVisible()


def test_a_key_for_the_window_below_goes_into_the_form_that_stands(live_in: LiveIn) -> None:
    """A form that has opened has the keys only once the desktop gives them."""
    hands = live_in()
    session = hands.window.session
    assert session is not None
    session.keys._ahead.hold()

    QTest.keyClick(hands.list, "R")
    assert hands.window.morning is not None
    hands.window.morning.write_down()
    hands.settle()

    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.what.currentText() == What.READINGS.value


def three_tests(live_in: LiveIn) -> Hands:
    """Return the hands of somebody who has typed 5 into the first form of three tests."""
    asked = (("reef", "nitrate"), ("nook", "nitrate"), ("nook", "calcium"))
    tests = [
        chore(f"{tank}-{name}", f"Test {name}", 12, kind=ChoreKind.TEST, tests=(name,), tank=tank)
        for tank, name in asked
    ]
    hands = live_in(small_house(chores=tuple(tests)))
    hands.press("Ctrl+A", "Space")
    assert hands.form().windowTitle() == "Test nitrate, Reef"
    hands.type("5")
    return hands


def read_values(hands: Hands) -> dict[str, float]:
    """Return by chore what was written down."""
    found = {}
    for row in hands.log():
        assert isinstance(row.entry.fact, Readings)
        found[row.entry.completes[0].chore] = next(iter(row.entry.fact.values)).value
    return found


def pause() -> None:
    """Wait as long as somebody who reads what a form says."""
    QTest.qWait(typed_on.PAUSE_MS + 50)


def _typed(hands: Hands) -> tuple[str, str]:
    """Return which form stands, and what was typed in it."""
    form = hands.form()
    assert isinstance(form, TickForm)
    return form.windowTitle(), next(iter(form.values.values())).text


def test_letters_behind_the_key_that_keeps_a_form_wait_for_the_next(live_in: LiveIn) -> None:
    """The first value is kept as it was typed; what follows is of the second."""
    hands = three_tests(live_in)

    _hit(hands, "Return", "8")

    assert _typed(hands) == ("Test nitrate, Nook", "8")
    assert read_values(hands) == {"reef-nitrate": 5.0}


def test_a_key_that_keeps_the_next_form_leaves_the_rest_to_the_one_after(live_in: LiveIn) -> None:
    """Whoever has the values on paper types them without a look."""
    hands = three_tests(live_in)

    _hit(hands, "Return", "8", "Return", "4", "2", "0", "Ctrl+Return")

    assert not hands.has_form()
    assert read_values(hands) == {"reef-nitrate": 5.0, "nook-nitrate": 8.0, "nook-calcium": 420.0}


def test_escape_behind_the_key_that_keeps_a_form_leaves_the_next(live_in: LiveIn) -> None:
    """What is kept already stays, and the lines to come are left."""
    hands = three_tests(live_in)

    _hit(hands, "Return", "Esc")

    assert not hands.has_form()
    assert read_values(hands) == {"reef-nitrate": 5.0}
    assert hands.told.startswith("Not ticked: ")


def test_a_key_held_down_too_long_keeps_one_form(live_in: LiveIn) -> None:
    """What it repeats is not meant for the next, and asks for nothing there."""
    hands = three_tests(live_in)
    with _locked(hands.path):
        hands.hit("Return")
        again = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Return, _NO_MODIFIER, "\r", True)
        QApplication.sendEvent(hands.focus(), again)
    hands.settle()

    form = hands.form()
    assert isinstance(form, TickForm)
    assert _typed(hands) == ("Test nitrate, Nook", "")
    assert form.accessibleDescription() == ""
    assert next(iter(form.values.values())).fault == ""
    assert read_values(hands) == {"reef-nitrate": 5.0}


def test_what_waits_behind_a_form_that_is_refused_is_left_out(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It was typed for the next one, which does not come; what stands there is as it was."""
    hands = three_tests(live_in)

    def refuse(*_all: object, **_named: object) -> None:
        raise Surroundings("read_only", path=hands.path)

    monkeypatch.setattr(ticking, "tick", refuse)
    hands.hit("Return")
    hands.hit("8")
    hands.settle()

    assert _typed(hands) == ("Test nitrate, Reef", "5")
    assert hands.form().accessibleDescription()
    assert hands.told == LEFT_OUT
    assert hands.log() == []
    pause()
    hands.type("7")
    assert "7" in _typed(hands)[1]


def test_what_waits_behind_a_number_that_is_asked_about_is_left_out(live_in: LiveIn) -> None:
    """420 was typed for the third form; the second does not take its 9999, and gets no 420."""
    hands = three_tests(live_in)

    _hit(hands, "Return", "9", "9", "9", "9", "Return", "4", "2", "0", "Return")

    assert _typed(hands) == ("Test nitrate, Nook", "9999")
    assert read_values(hands) == {"reef-nitrate": 5.0}


@pytest.mark.parametrize(("wrong", "stands"), [("9999", "9999"), ("5O", "5O")])
def test_what_is_typed_on_after_a_form_stays_is_left_out_until_a_pause(
    live_in: LiveIn, wrong: str, stands: str
) -> None:
    """The next number is of the next test; asked about or refused, the first takes none of it."""
    hands = three_tests(live_in)
    hands.press("Backspace")
    hands.type(wrong)
    hands.press("Return")

    hands.type("7.6")
    hands.press("Return")

    assert _typed(hands) == ("Test nitrate, Reef", stands)
    assert typed_on.LEFT_OUT in hands.form().accessibleDescription()
    assert hands.log() == []
    pause()
    hands.type("6")
    hands.press("Return")
    assert _typed(hands) == ("Test nitrate, Nook", "")
    assert read_values(hands) == {"reef-nitrate": 6.0}


def test_escape_leaves_a_form_that_has_just_asked(live_in: LiveIn) -> None:
    """It belongs to no number."""
    hands = three_tests(live_in)
    hands.type("99999")
    hands.press("Return", "Esc")

    assert not hands.has_form()


def test_the_last_form_takes_at_once_what_answers_it(live_in: LiveIn) -> None:
    """No other number was meant for a form behind it."""
    warm = chore("warm", "Test", 12, kind=ChoreKind.TEST, tests=("temperature",))
    hands = live_in(small_house(chores=(warm,)))
    hands.press("Space")
    hands.type("33.5")
    hands.press("Return")
    assert hands.form().accessibleDescription()
    hands.press("Return")

    assert read_values(hands) == {"warm": 33.5}


def test_the_keys_go_to_the_number_that_is_asked_about(live_in: LiveIn) -> None:
    """Typed anew, it takes the place of what was doubtful, and not of the good one below."""
    both = chore("two", "Test", 12, kind=ChoreKind.TEST, tests=("temperature", "nitrate"))
    hands = live_in(small_house(chores=(both,)))
    hands.press("Space")
    hands.type("33.5")
    hands.press("Tab")
    hands.type("5")
    hands.press("Return")
    assert hands.form().accessibleDescription()

    hands.type("25.5")
    hands.press("Return")

    (row,) = hands.log()
    assert isinstance(row.entry.fact, Readings)
    assert {one.parameter: one.typed for one in row.entry.fact.values} == {
        "temperature": 25.5,
        "nitrate": 5.0,
    }
