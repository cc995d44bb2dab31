"""What is written down outside the round is asked about as in the form of a tick, by real keys."""

from __future__ import annotations

import pytest

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.logbook import Dose, Entry, ReservoirCheck, TopOff, WaterChange
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.test_how_far import fills
from tests.gui.test_how_far import house as house_of_water

BUFFER = chore("buffer", "Buffer", 12, kind=ChoreKind.DOSE, amount=Amount(6.0, AmountUnit.GRAMS))


def _asked(form: LogForm) -> str:
    told = form.accessibleDescription()
    return told.replace("\N{NO-BREAK SPACE}", " ").replace("\N{WORD JOINER}", "")


def _open(hands: Hands, at: str, what: What) -> LogForm:
    hands.go_to(at)
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.choose(what)
    return form


def _newest(hands: Hands) -> Entry:
    return max((one.entry for one in hands.log()), key=lambda one: one.seq)


def test_far_more_of_a_change_than_was_proposed_is_asked_about(live_in: LiveIn) -> None:
    """9 L were proposed; a second key keeps the 40 L."""
    hands = live_in()
    form = _open(hands, "change", What.WATER_CHANGE)
    form.litres.setFocus()
    hands.type("40")
    hands.press("Return")

    assert _asked(form) == (
        "40 L is far more than the 9 L proposed. Keep it if so much was poured in."
    )
    assert hands.log() == []
    hands.press("Return")
    assert not hands.has_form()
    assert _newest(hands).fact == WaterChange(40.0)


def test_an_extra_change_was_never_proposed(live_in: LiveIn) -> None:
    """Nothing is asked about its litres."""
    hands = live_in()
    form = _open(hands, "change", What.WATER_CHANGE)
    form.ticks.completes.setFocus()
    hands.press("End")
    form.litres.setFocus()
    hands.type("40")
    hands.press("Return")

    assert not hands.has_form()
    assert _newest(hands).completes == ()


@pytest.mark.parametrize(("litres", "is_asked"), [("40", False), ("60", True)])
def test_an_extra_change_of_most_of_the_water_is_asked_about(
    live_in: LiveIn, litres: str, is_asked: bool
) -> None:
    """60 L are a usual change of a larger tank; this one holds 86 L, and names itself."""
    hands = live_in()
    form = _open(hands, "change", What.WATER_CHANGE)
    form.ticks.completes.setFocus()
    hands.press("End")
    form.litres.setFocus()
    hands.type(litres)
    hands.press("Return")

    assert hands.has_form() is is_asked
    if is_asked:
        assert _asked(form) == (
            "60 L is most of the 86.4 L of water in Reef. Keep it if so much was changed there."
        )
        assert hands.log() == []
        hands.press("Return")
        assert not hands.has_form()
    assert _newest(hands).fact == WaterChange(float(litres))


def test_far_more_grams_than_are_stated_are_asked_about(live_in: LiveIn) -> None:
    """6 g are stated for the dose that it ticks."""
    hands = live_in(small_house(chores=(BUFFER,)))
    form = _open(hands, "buffer", What.DOSE)
    form.substance.setFocus()
    hands.type("buffer")
    form.grams.setFocus()
    hands.type("60")
    hands.press("Return")

    assert _asked(form) == "60 g is far more than the 6 g stated. Keep it if so much was dosed."
    hands.press("Return")
    assert not hands.has_form()
    assert _newest(hands).fact == Dose("buffer", 60.0)


def test_grams_of_another_substance_are_not_compared_with_the_dose(live_in: LiveIn) -> None:
    """It ticks nothing, so that the 6 g of the buffer say nothing about it."""
    hands = live_in(small_house(chores=(BUFFER,)))
    form = _open(hands, "buffer", What.DOSE)
    form.substance.setFocus()
    hands.type("kalk")
    form.grams.setFocus()
    hands.type("60")
    hands.press("Return")

    assert not hands.has_form()
    assert _newest(hands).fact == Dose("kalk", 60.0)
    assert _newest(hands).completes == ()


@pytest.mark.parametrize(
    ("at", "what", "fact"),
    [
        ("fill", What.TOP_OFF, TopOff(12.0)),
        ("refill", What.RESERVOIR, ReservoirCheck(fill_l=12.0)),
    ],
)
def test_far_more_fresh_water_than_was_missing_is_asked_about(
    live_in: LiveIn, at: str, what: What, fact: TopOff | ReservoirCheck
) -> None:
    """About 3 L are missing of a tank that loses a litre a day since three days."""
    hands = live_in(house_of_water(), entries=fills())
    form = _open(hands, at, what)
    if what is What.RESERVOIR:
        form.reservoir.setFocus()
        hands.type("f")
    form.litres.setFocus()
    hands.type("12")
    hands.press("Return")

    assert "12 L is far more than the " in _asked(form)
    # What goes into a reservoir reaches the tank only as it evaporates.
    is_fast = "12 L at once lowers the salinity faster than is safe; " in _asked(form)
    assert is_fast is (what is What.TOP_OFF)
    assert len(hands.log()) == len(fills())
    hands.press("Return")
    assert not hands.has_form()
    assert _newest(hands).fact == fact
