"""What the logbook keeps of work that is said to be done, or why it cannot be kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from tankkeeper.core.amounts import AmountDue, dose_of, stated_amount, takes_grams
from tankkeeper.core.chores import FRESH_KINDS, Chore, ChoreKind
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.household import Household
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.logbook import Dose, Fact, Readings, Turn, WaterChange, Work
from tankkeeper.core.mixing_parts import takes_mixed_litres
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.services.fed import Fed
from tankkeeper.services.fresh_fills import Extent, due_then, full_since, reservoir, top_off
from tankkeeper.services.litres_limits import checked_litres, litres_limits
from tankkeeper.services.mixed_amounts import mixed_work

if TYPE_CHECKING:
    from tankkeeper.services.ticking import Tick

MOST_GRAMS: Final = 1_000_000.0


def has_amount(item: Item) -> bool:
    """Tell whether something is to be written down with a tick, or may be another amount."""
    return bool(item.asks) or takes_mixed_litres(item.chore)


def fact_of(then: HouseholdState, item: Item, said: Tick, turn: Turn) -> Fact | None:
    """Return what the logbook keeps of a tick that does a turn, or refuse what is not whole."""
    chore = item.chore
    _refuse_unkept(item, said)
    if chore.kind is ChoreKind.TEST and chore.tests:
        return _readings(chore, said)
    if "litres" in item.asks:
        return _water_fact(then, item, said)
    if chore.kind is ChoreKind.DOSE:
        dosed = _dosed(chore, then.household, said)
        if dosed is not None:
            return dosed
    if said.fed is not None:
        return fed_fact(chore, then.household, said.fed)
    if said.values:
        return Readings(said.values)
    if takes_mixed_litres(chore):
        litres = said.proposed_l if said.litres is None and said.as_proposed else said.litres
        return mixed_work(then, item, turn, litres, said.extent)
    if said.litres is not None:
        return Work(litres=checked_litres(said.litres))
    return work_as_stated(chore, then.household)


def _dosed(chore: Chore, household: Household, said: Tick) -> Dose | Work | None:
    """Return the dose of a tick, or only its grams where nobody knows of what."""
    if said.grams is not None:
        checked_grams(said.grams)
    if said.litres is not None or said.values:
        return None
    dose = dose_of(chore, household)
    if dose is None:
        return Work(grams=said.grams) if said.grams is not None else None
    of, stated = dose
    grams = stated if said.grams is None else said.grams
    return None if grams is None else Dose(of, grams)


def checked_grams(grams: float) -> float:
    """Return grams that can be, or refuse them."""
    if not 0.0 < grams <= MOST_GRAMS:
        raise out_of_range("grams", grams, 0.0, MOST_GRAMS, "more_than_zero")
    return grams


def fed_fact(chore: Chore, household: Household, fed: Fed) -> Work | None:
    """Return the amount of a feeding: weighed, else as stated unless it is told in words."""
    if fed.grams is not None:
        return Work(grams=checked_grams(fed.grams))
    return None if fed.amount.strip() else work_as_stated(chore, household)


def work_as_stated(chore: Chore, household: Household) -> Work | None:
    """Return the grams or litres that the chore states, which a plain tick says were given."""
    stated = stated_amount(chore, None, household)
    if stated is not None and stated.unit == "g":
        return Work(grams=stated.value)
    if stated is not None and stated.unit == "L":
        return Work(litres=stated.value, grams=stated.salt_g)
    return None


def _refuse_unkept(item: Item, said: Tick) -> None:
    """Refuse what this work has no place for, rather than drop it without a word."""
    asks_litres = "litres" in item.asks
    has_readings = bool(said.values)
    takes_extent = asks_litres and item.chore.kind in FRESH_KINDS
    if takes_mixed_litres(item.chore):
        # A turn of a day gone by is done by it, or it is not.
        takes_extent = item.open is not None and said.extent is not Extent.HOLDS
    for name, given in (
        ("part", said.extent is not None and not takes_extent),
        ("food", said.fed is not None and item.chore.kind is not ChoreKind.FEEDING),
        ("salinity", said.salinity is not None and "salinity" not in item.asks),
        ("values", has_readings and asks_litres),
        ("litres", said.litres is not None and not asks_litres and has_readings),
        ("grams", said.grams is not None and not takes_grams(item.chore)),
        ("litres", said.litres is not None and said.grams is not None),
        ("values", has_readings and said.grams is not None),
    ):
        if given:
            raise UserFault("nothing_to_keep_it", chore=item.chore.name, option=name)
    refuse_doubled(said.values)


def refuse_doubled(values: Sequence[ReadingValue]) -> None:
    """Refuse a parameter that is given twice: nobody could tell which value holds."""
    names = [value.parameter for value in values]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise UserFault("value_twice", parameter=twice)


def _readings(chore: Chore, said: Tick) -> Readings:
    given = {value.parameter for value in said.values}
    missing = tuple(name for name in chore.tests if name not in given)
    if missing:
        raise UserFault("needs_values", chore=chore.name, missing=missing)
    return Readings(said.values)


def _water_fact(then: HouseholdState, item: Item, said: Tick) -> Fact:
    if said.litres is None and (not said.as_proposed or said.extent is not None):
        also = ("salinity",) if "salinity" in item.asks and said.salinity is None else ()
        # What is proposed is all that was missing; with other words on how far, nothing is.
        raise UserFault(
            "needs_litres",
            chore=item.chore.name,
            item=item.id,
            also=also,
            takes_proposal=said.extent is None,
        )
    amount = due_then(then, item.chore)
    if said.litres is None and (filled := full_since(then, item.chore)) is not None:
        raise UserFault("nothing_missing", chore=item.chore.name, item=item.id, entry=filled)
    if said.litres is None and amount is None:
        raise UserFault("nothing_proposed", chore=item.chore.name, item=item.id)
    if amount is not None and said.proposed_l is not None:
        amount = replace(amount, value=said.proposed_l)
    if item.chore.kind is ChoreKind.TOP_OFF:
        return top_off(then, item.chore, said.litres, amount, said.extent)
    if item.chore.kind is ChoreKind.RESERVOIR:
        return reservoir(then, item.chore, said.litres, amount, said.extent)
    return _water_change(then, item, said, amount)


def _water_change(
    then: HouseholdState, item: Item, said: Tick, amount: AmountDue | None
) -> WaterChange:
    if said.litres is not None:
        litres = checked_litres(said.litres)
    else:
        assert amount is not None
        litres = amount.value
    if said.salinity is None:
        raise UserFault("needs_salinity", chore=item.chore.name, item=item.id)
    return checked_change(
        then,
        item.chore.tank,
        WaterChange(
            litres=litres,
            added_l=said.added_l,
            salinity=said.salinity,
            temperature_c=said.temperature_c,
            estimated=said.litres is None,
        ),
    )


def checked_change(then: HouseholdState, tank_id: str | None, change: WaterChange) -> WaterChange:
    """Return a water change that can be, or refuse it."""
    if change.added_l is not None:
        checked_litres(change.added_l, "added")
    for name, value in (("salinity", change.salinity), ("temperature", change.temperature_c)):
        limits = HARD_RANGES[name]
        if value is not None and not limits.low <= value <= limits.high:
            raise out_of_range(name, value, limits.low, limits.high)
    water = then.waters.get(tank_id) if tank_id is not None else None
    litres = change.litres or 0.0
    if water is not None and water.net is not None and litres >= water.net.value:
        raise litres_limits(then, ChoreKind.WATER_CHANGE, tank_id).refusal(litres)
    return change
