"""What of an entry stands in the fields of its correction, and what it was by them."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget

from tankkeeper.core.logbook import Dose, Fact, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.parameters import parse_reading
from tankkeeper.gui.forms.fact_fields import MISSING, FactFields
from tankkeeper.gui.forms.form import Form
from tankkeeper.services.fresh_fills import Extent
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.test_how_far import house

PRECISE = 1.0 / 3.0
READ = Readings((parse_reading("nitrate", "12"), parse_reading("phosphate", "0.05")))


def _fields(live_in: LiveIn, fact: Fact | None) -> FactFields:
    """Return the fields of an entry in a form that nobody sees."""
    hands = live_in(house())
    assert hands.window.session is not None
    last = hands.window.session.last
    assert last is not None
    form = Form("Correct", "", "Keep", QWidget(hands.frame))
    return FactFields(form, an_entry(1, "2026-03-11", fact, tank="reef"), last.sheet.words)


@pytest.mark.parametrize(
    "fact",
    [
        TopOff(PRECISE, estimated=True),
        TopOff(PRECISE, to_mark=False),
        WaterChange(PRECISE, added_l=PRECISE, salinity=35.0 + PRECISE, temperature_c=PRECISE),
    ],
)
def test_what_is_left_as_it_stands_is_kept_to_the_last_digit(live_in: LiveIn, fact: Fact) -> None:
    """Of a third no field shows more than some digits."""
    fields = _fields(live_in, fact)

    assert fields.check() is None
    assert fields.fact() == fact


def test_what_is_typed_takes_the_place_of_that_alone(live_in: LiveIn) -> None:
    """The other litres of the same water change stay as they were."""
    fields = _fields(live_in, WaterChange(PRECISE, added_l=PRECISE, salinity=35.0))
    fields.quantities["added_l"].set_text("4")

    assert fields.fact() == WaterChange(PRECISE, added_l=4.0, salinity=35.0)


def test_an_amount_that_was_emptied_is_missing(live_in: LiveIn) -> None:
    """The salinity of a change may be left out."""
    fields = _fields(live_in, WaterChange(9.0, salinity=35.0))
    fields.quantities["salinity"].set_text("")
    assert fields.check() is None

    fields.quantities["litres"].set_text("")
    assert fields.check() is fields.quantities["litres"]
    assert fields.quantities["litres"].fault == MISSING


def test_a_reading_that_was_emptied_was_not_made(live_in: LiveIn) -> None:
    """And one that is new comes last."""
    fields = _fields(live_in, READ)
    assert fields.readings is not None
    assert fields.first() is fields.readings.fields["nitrate"]
    fields.readings.fields["nitrate"].set_text("")
    fields.readings.fields["calcium"].set_text("420")

    fact = fields.fact()
    assert isinstance(fact, Readings)
    assert [value.parameter for value in fact.values] == ["phosphate", "calcium"]


def test_of_a_dose_the_amount_is_corrected_first(live_in: LiveIn) -> None:
    """Of an entry that tells nothing but its moment there is no field."""
    dose = _fields(live_in, Dose("salt", 5.0))
    assert dose.first() is dose.quantities["grams"]


def test_of_an_entry_without_a_fact_no_field_is_first(live_in: LiveIn) -> None:
    """The form goes to its note then."""
    assert _fields(live_in, None).first() is None


def test_a_fill_that_was_a_part_needs_its_litres(live_in: LiveIn) -> None:
    """Until full they may stay unknown, as they were."""
    fields = _fields(live_in, ReservoirCheck())
    assert fields.extent is not None
    assert fields.check() is None

    fields.extent.setCurrentIndex(fields.extent.findData(Extent.PART))
    assert fields.check() is fields.quantities["litres"]
    fields.quantities["litres"].set_text("4")
    assert fields.check() is None
    assert fields.fact() == TopOff(4.0, to_mark=False)


def test_what_the_reservoir_holds_is_told_in_the_empty_field(live_in: LiveIn) -> None:
    """And no longer once it is something else."""
    fields = _fields(live_in, ReservoirCheck())
    litres = fields.quantities["litres"].field
    fields.show_extent(Extent.HOLDS)
    assert litres.placeholderText()

    fields.show_extent(Extent.FULL)
    assert not litres.placeholderText()
