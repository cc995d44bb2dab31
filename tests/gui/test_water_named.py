"""Fields for water are called by the unit of the household, in every form."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtWidgets import QLabel, QWidget

from tankkeeper.core.household import Household, ShownUnits, TopOffLimits
from tankkeeper.core.logbook import TopOff
from tankkeeper.core.units import Dimension, units_of
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house


def gallons() -> Household:
    """Return the small house, Reef with a reservoir, of somebody who counts in US gallons."""
    reef, nook = small_house().tanks
    reef = replace(reef, top_off=TopOffLimits(reservoir_l=20.0))
    return small_house(units=ShownUnits("US gal", "degF"), tanks=(reef, nook))


def texts(hands: Hands) -> str:
    """Return all that a form says: names, helps, hints and refusals, as they are heard, too."""
    form = hands.form()
    said = [one.text().replace("&", "") for one in form.findChildren(QLabel) if one.isVisible()]
    for one in form.findChildren(QWidget):
        said += [one.accessibleName(), one.accessibleDescription()]
    return " ".join(said)


def _tick(chore_id: str, *keys: str) -> Callable[[Hands], None]:
    def do(hands: Hands) -> None:
        hands.go_to(chore_id)
        hands.press("Return", *keys)

    return do


def _write(what: What) -> Callable[[Hands], None]:
    def do(hands: Hands) -> None:
        hands.press("Ctrl+L")
        form = hands.form()
        assert isinstance(form, LogForm)
        form.what.setCurrentIndex(form.what.findData(what))
        hands.settle()
        hands.press("Ctrl+Return")

    return do


def _correct(hands: Hands) -> None:
    hands.go_to("fill")
    hands.press("Return")
    # 0.4 US gallons are 1.5 L, which is proposed.
    hands.type("0.4")
    hands.press("Return")
    assert isinstance(hands.log()[0].entry.fact, TopOff)
    hands.press("Ctrl+6", "Home", "Return")


@pytest.mark.parametrize(
    "opening",
    [
        _tick("change", "Return"),
        _tick("fill"),
        _write(What.TOP_OFF),
        _write(What.WATER_CHANGE),
        _write(What.RESERVOIR),
        _correct,
    ],
)
def test_no_form_speaks_of_litres_where_gallons_are_counted(
    live_in: LiveIn, opening: Callable[[Hands], None]
) -> None:
    """Neither the name of the field nor its help nor what is said of it left empty."""
    hands = live_in(gallons())

    opening(hands)

    said = texts(hands)
    assert "US gallons" in said
    assert "litre" not in said.casefold()


def test_the_letter_of_the_field_is_the_same_in_every_unit(live_in: LiveIn) -> None:
    """Alt+L goes to it, whatever it is called."""
    hands = live_in(gallons())
    _write(What.WATER_CHANGE)(hands)
    form = hands.form()
    assert isinstance(form, LogForm)
    form.note.setFocus()

    hands.hit("Alt+L")

    assert form.litres.field.hasFocus() or form.litres.hasFocus()


@pytest.mark.parametrize("unit", units_of(Dimension.VOLUME))
def test_every_unit_of_water_has_a_name_for_its_field(live_in: LiveIn, unit: str) -> None:
    """Whatever a household chooses to count in."""
    hands = live_in(small_house(units=ShownUnits(unit)))
    words = hands.sheet().words
    assert words.volume_name.isascii()
    assert words.volume_name.endswith("s")
    _write(What.TOP_OFF)(hands)
    assert hands.form().isVisible()
