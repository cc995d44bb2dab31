"""What the form that writes down comes to: how each kind of thing is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    Readings,
    ReservoirCheck,
    TopOff,
    Turn,
    WaterChange,
)
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.services import noting
from tankkeeper.services.desk import Desk
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.outside_turns import turns_for

if TYPE_CHECKING:
    from tankkeeper.gui.forms.log_form import LogForm

Write = Callable[[Desk], noting.Noted]


@dataclass(frozen=True, slots=True)
class Written:
    """What is to be kept: how it is written, and whether it is a feeding, told in its own way.

    `line` is the turn or the chore, by id, that it was said to be of, empty where nobody chose.
    """

    write: Write
    what: What
    line: str = ""


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


def line_of(form: LogForm) -> str:
    """Return the turn or the chore, by id, that is chosen to be ticked, empty for none."""
    if form.chosen is What.FEEDING:
        return form.feeding.which or ""
    return form.ticks.which or "" if form.chosen in (What.WATER_CHANGE, What.DOSE) else ""


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


def unwritten(form: LogForm, state: HouseholdState) -> Entry | None:
    """Return what the form comes to as an entry to be asked about, None of a feeding or a note.

    It completes what it would tick by the state now.
    """
    tank, fact = form.chosen_tank, _fact_of(form)
    if tank is None or fact is None:
        return None
    moment, at = state.moment, form.when.at or state.moment.now
    turns: tuple[Turn, ...] = ()
    if form.chosen in (What.WATER_CHANGE, What.DOSE):
        chore = form.ticks.chore
        turns = () if chore is None else (Turn(chore.id),)
    elif isinstance(fact, ReservoirCheck):
        turns = turns_for(state, tank, ChoreKind.RESERVOIR)
    elif isinstance(fact, TopOff) and fact.to_mark:
        turns = turns_for(state, tank, ChoreKind.TOP_OFF)
    day, zone = moment.day_of(at), state.household.zone
    return Entry("", 0, at, day, zone, tank=tank.id, completes=turns, fact=fact)


def _fact_of(form: LogForm) -> Fact | None:
    chosen = form.chosen
    if chosen is What.READINGS:
        return Readings(form.readings.values)
    if chosen is What.DOSE:
        return Dose(str(form.substance.value), number_in(form.grams))
    if chosen is What.WATER_CHANGE:
        salinity = form.salinity.value if isinstance(form.salinity.value, float) else None
        return WaterChange(number_in(form.litres), salinity=salinity)
    if chosen is What.TOP_OFF:
        is_part = form.extent.extent is Extent.PART
        return TopOff(number_in(form.litres), to_mark=not is_part)
    if chosen is What.RESERVOIR:
        litres, extent = number_in(form.litres), form.reservoir.extent
        if extent is Extent.FULL:
            return ReservoirCheck(fill_l=litres)
        is_part = extent is Extent.PART
        return TopOff(litres, to_mark=False) if is_part else ReservoirCheck(left_l=litres)
    return None


def _substance(form: LogForm, household: Household) -> str:
    typed = str(form.substance.value)
    names = (one.name for one in household.supplies)
    # What was completed in the line keeps the case in which its beginning was typed.
    return next((one for one in names if one.casefold() == typed.casefold()), typed)


def number_in(field: QuantityField) -> float:
    """Return the number in a field that was checked to have one."""
    assert isinstance(field.value, float)
    return field.value
