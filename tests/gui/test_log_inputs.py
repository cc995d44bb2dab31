"""The fields of each kind that is written down: what is shown, read, hinted and refused of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of
from tankkeeper.core.state import fold_household
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_inputs import LEFT, LEFT_HINT, LogInputs
from tankkeeper.reports.words import Words
from tankkeeper.services.litres_limits import LitresLimits
from tests.gui.round_house import SEVEN, small_house


@pytest.fixture
def inputs(qtbot: QtBot) -> Iterator[LogInputs]:
    """Return the fields in a form of their own."""
    under = QWidget()
    qtbot.addWidget(under)
    state = fold_household(small_house(), history_of([]), SEVEN)
    words = Words(state.household, state.moment)
    form = Form("Write down", "", "Keep", under)
    made = LogInputs(form, state, words, lambda: LitresLimits(0.1, 40.0))
    made.add_to_form()
    form.open()
    yield made
    form.reject()


@pytest.mark.parametrize("chosen", list(What))
def test_a_kind_shows_its_own_fields_alone(inputs: LogInputs, chosen: What) -> None:
    """What belongs to another is hidden, and keeps what stands in it."""
    inputs.grams.field.setText("3")
    inputs.show(chosen)
    own = inputs.of_kind[chosen]
    every = {field for fields in inputs.of_kind.values() for field in fields}
    assert {field for field in every if field.isVisible()} == set(own)
    assert inputs.grams.text == "3"


def test_every_value_of_readings_is_read(inputs: LogInputs) -> None:
    """Of the other kinds what stands in their own fields."""
    assert inputs.read_of(What.READINGS) == list(inputs.readings.fields.values())
    assert inputs.read_of(What.TOP_OFF) == [inputs.litres]
    assert inputs.read_of(What.NOTE) == []


@pytest.mark.parametrize(
    ("named", "chosen", "expected"),
    [
        pytest.param("left", What.RESERVOIR, "litres", id="left in the reservoir"),
        pytest.param("of", What.DOSE, "substance", id="what was dosed"),
        pytest.param("grams", What.DOSE, "grams", id="grams"),
        pytest.param("grams", What.TOP_OFF, None, id="of another kind"),
        pytest.param("at", What.TOP_OFF, None, id="of no field"),
    ],
)
def test_a_refusal_is_told_at_its_field(
    inputs: LogInputs, named: str, chosen: What, expected: str | None
) -> None:
    """One that is about no field of the kind stands at the foot of the form."""
    field = None if expected is None else getattr(inputs, expected)
    assert inputs.field_of(UserFault("out_of_range", field=named), chosen) is field


def test_the_litres_of_a_look_are_those_that_were_left(inputs: LogInputs) -> None:
    """What was poured in is none of them."""
    inputs.reservoir.setCurrentText(LEFT)
    inputs.hint_at(What.RESERVOIR)
    assert inputs.litres.field.placeholderText() == LEFT_HINT
    inputs.hint_at(What.TOP_OFF)
    assert inputs.litres.field.placeholderText() == ""


def test_whatever_is_typed_is_told(inputs: LogInputs) -> None:
    """A question that was asked about it is none any more."""
    told: list[int] = []
    inputs.typed.connect(lambda: told.append(1))
    fields = [inputs.litres, inputs.grams, inputs.feeding.amount]
    fields.append(next(iter(inputs.readings.fields.values())))
    for number, field in enumerate(fields, start=1):
        field.field.setText("2")
        assert len(told) == number
