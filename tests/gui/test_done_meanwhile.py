"""Somebody else does the work whose form is open: what was typed in it is not lost."""

from __future__ import annotations

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.core.logbook import Readings, TopOff
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.services.ticking import Tick, tick
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands


def _ticked_by_bo(hands: Hands, one: Tick) -> None:
    """Let another program tick it on the same file."""
    desk = open_desk(hands.path, hands.clock)
    tick(desk, (one,))
    desk.store.close()


def _read(salinity: float, nitrate: float) -> tuple[ReadingValue, ...]:
    return (
        ReadingValue("salinity", salinity, "PSU", salinity),
        ReadingValue("nitrate", nitrate, "mg/L", nitrate),
    )


@pytest.mark.parametrize(
    ("chore", "typed", "by_bo"),
    [
        ("fill", ["1.4"], Tick("fill", by="bo", litres=1.5)),
        ("test", ["35.2", "9.9"], Tick("test", by="bo", values=_read(35.0, 5.0))),
        ("wipe", [], Tick("wipe", by="bo")),
    ],
)
def test_what_was_typed_is_kept_besides_once_that_is_confirmed(
    live_in: LiveIn, chore: str, typed: list[str], by_bo: Tick
) -> None:
    """The form stays with a question; nothing is told as done that was not kept."""
    hands = live_in(person="ada")
    hands.go_to(chore)
    hands.press("Return")
    for text in typed:
        hands.type(text)
        hands.press("Tab")
    _ticked_by_bo(hands, by_bo)

    hands.press("Ctrl+Return")

    form = hands.form()
    assert isinstance(form, TickForm)
    name = hands.row(chore).name
    asked = form.accessibleDescription()
    assert asked.startswith(f"{name} was done today already, at ")
    assert asked.endswith(" by Bo. Keep all the same?")
    assert "Ticked" not in hands.told
    assert len(hands.log()) == 1

    hands.press("Ctrl+Return")

    assert not hands.has_form()
    own, theirs = (one.entry for one in hands.log())
    assert (own.by, theirs.by) == ("ada", "bo")
    assert [turn.is_extra for turn in own.completes] == [True]
    assert hands.state(chore) is State.DONE
    if chore == "fill":
        assert own.fact == TopOff(1.4)
    if isinstance(own.fact, Readings):
        assert {one.parameter: one.value for one in own.fact.values} == {
            "salinity": 35.2,
            "nitrate": 9.9,
        }
    hands.press("Ctrl+Z")
    assert hands.state(chore) is State.DONE


def test_a_form_that_is_left_keeps_what_the_other_one_did(live_in: LiveIn) -> None:
    """Escape is no for an answer."""
    hands = live_in(person="ada")
    hands.go_to("fill")
    hands.press("Return")
    hands.type("1.4")
    _ticked_by_bo(hands, Tick("fill", by="bo", litres=1.5))
    hands.press("Ctrl+Return")
    hands.press("Esc")

    assert not hands.has_form()
    assert [one.entry.by for one in hands.log()] == ["bo"]
    assert hands.state("fill") is State.DONE


def test_what_was_confirmed_before_is_not_asked_about_again(live_in: LiveIn) -> None:
    """9 L instead of the 1.5 L proposed, then that it was done already: each once."""
    hands = live_in(person="ada")
    hands.go_to("fill")
    hands.press("Return")
    hands.type("9")
    _ticked_by_bo(hands, Tick("fill", by="bo", litres=1.5))
    for asked in ("far more than", "was done today already"):
        hands.press("Ctrl+Return")
        assert asked in hands.form().accessibleDescription()

    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.fact == TopOff(9.0)
