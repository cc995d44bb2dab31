"""What the form that writes down comes to: how each kind of thing is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import WaterChange
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.services import noting
from tankkeeper.services.desk import Desk
from tankkeeper.services.fresh_fills import Extent

if TYPE_CHECKING:
    from tankkeeper.gui.forms.log_form import LogForm

Write = Callable[[Desk], noting.Noted]


@dataclass(frozen=True, slots=True)
class Written:
    """What is to be kept: how it is written, and whether it is a feeding, told in its own way."""

    write: Write
    what: What


def write_of(form: LogForm, household: Household) -> Write:
    """Return what writes it down; all that was typed is read here, not in the worker."""
    tank, chosen = form.chosen_tank, form.chosen
    stamp = noting.Stamp(form.when.at, form.who.person_id, form.note.text())
    if chosen is What.NOTE or tank is None:
        text = form.text.toPlainText()
        return lambda desk: noting.log_note(desk, text, tank, stamp)
    if chosen is What.READINGS:
        values = form.readings.values
        return lambda desk: noting.log_reading(desk, tank, values, stamp)
    if chosen is What.DOSE:
        of, grams = _substance(form, household), number_in(form.grams)
        of_turn = form.ticks.which
        return lambda desk: noting.log_dose(desk, tank, of, grams, stamp, of_turn)
    if chosen is What.FEEDING:
        which, fed = form.feeding.which, form.feeding.fed
        return lambda desk: noting.log_feeding(desk, tank, stamp, which, fed)
    return _water(form, tank, stamp)


def _water(form: LogForm, tank: Tank, stamp: noting.Stamp) -> Write:
    litres = number_in(form.litres)
    if form.chosen is What.WATER_CHANGE:
        salinity = form.salinity.value if isinstance(form.salinity.value, float) else None
        change = WaterChange(litres, salinity=salinity)
        which = form.ticks.which
        return lambda desk: noting.log_water_change(desk, tank, change, stamp, which)
    if form.chosen is What.TOP_OFF:
        is_part = form.extent.extent is Extent.PART
        return lambda desk: noting.log_top_off(desk, tank, litres, is_part=is_part, stamp=stamp)
    extent = form.reservoir.extent
    if extent is Extent.FULL:
        return lambda desk: noting.log_reservoir(desk, tank, fill_l=litres, stamp=stamp)
    if extent is Extent.PART:
        return lambda desk: noting.log_reservoir(desk, tank, part_l=litres, stamp=stamp)
    return lambda desk: noting.log_reservoir(desk, tank, left_l=litres, stamp=stamp)


def _substance(form: LogForm, household: Household) -> str:
    typed = str(form.substance.value)
    names = (one.name for one in household.supplies)
    # What was completed in the line keeps the case in which its beginning was typed.
    return next((one for one in names if one.casefold() == typed.casefold()), typed)


def number_in(field: QuantityField) -> float:
    """Return the number in a field that was checked to have one."""
    assert isinstance(field.value, float)
    return field.value
