"""Other sizes of a tank, and its chores whose amounts were meant for the litres before."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.catalogue import handy_litres
from tankkeeper.core.chores import Amount, AmountUnit, Chore, ChoreKind
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.core.net_water import net_if_sound
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown, set_down
from tankkeeper.services.settling_chores import with_followers

# Judgement, no source: nobody measures a change closer than a tenth. An amount whose share of the
# water is off by more no longer fits; 19 L of 126 L are 15 %, and of 113 L nearly 17 %.
LARGEST_SHIFT = 0.1
_BY_LITRES = (ChoreKind.WATER_CHANGE, ChoreKind.MIX_SALT_WATER, ChoreKind.TOP_OFF)
_NAMED = 3


@dataclass(frozen=True, slots=True)
class Misfits:
    """The chores of a tank that no longer fit it.

    `scaled` are those with amounts for other litres, as they are with the same share of the water
    as before; `ended` those of a reservoir that the tank has not.
    """

    scaled: tuple[Chore, ...] = ()
    ended: tuple[Chore, ...] = ()

    def __bool__(self) -> bool:
        """Whether there is any."""
        return bool(self.scaled or self.ended)


def misfits(household: Household, fitted: Household, after: Tank, today: date) -> Misfits:
    """Return the chores of a tank that fit it in the household `fitted`, and not as it is `after`.

    An amount that was changed since then is meant for how the tank is now.
    """
    before = fitted.tank(after.id)
    amounts = {one.id: one.amount for one in fitted.chores}
    own = [one for one in household.chores if one.tank == after.id and not one.has_ended(today)]
    ended = () if after.has_automatic_top_off else _of_reservoir(own)
    was, now = net_litres(before), net_litres(after)
    if was is None or now is None or abs(was / now - 1.0) <= LARGEST_SHIFT:
        return Misfits(ended=ended)
    unit = household.units.volume
    meant = [one for one in own if one.id in amounts and one.amount == amounts[one.id]]
    scaled = [scaled_chore(one, now / was, unit) for one in meant]
    return Misfits(tuple(one for one in scaled if one not in meant), ended)


def is_of_same_size(household: Household, fitted: Household, tank_id: str) -> bool:
    """Tell whether a tank asks for the same amounts in both, and its chores fit it by that."""
    one, other = household.tank(tank_id), fitted.tank(tank_id)
    is_same = one.has_automatic_top_off == other.has_automatic_top_off
    return is_same and net_litres(one) == net_litres(other)


def net_litres(tank: Tank) -> float | None:
    """Return the litres in the system by its sizes, None where they are not known or cannot be."""
    net = net_if_sound(tank)
    return net.value if net is not None and net.value > 0.0 else None


def scaled_chore(chore: Chore, factor: float, unit: str) -> Chore:
    """Return a chore with an amount for so many times the litres, as it is where it has none."""
    amount = chore.amount
    if amount is None:
        return chore
    if amount.unit is AmountUnit.LITRES and chore.kind in _BY_LITRES:
        litres = handy_litres(amount.value * factor, unit)
        return replace(chore, amount=Amount(litres, amount.unit))
    if amount.unit is AmountUnit.GRAMS and chore.kind is ChoreKind.DOSE:
        return replace(chore, amount=Amount(_two_digits(amount.value * factor), amount.unit))
    return chore


def fit_chores(desk: Desk, fitted: Household, tank_id: str, by: str | None = None) -> SetDown:
    """Scale the amounts of a tank's chores to its litres now, and end those of no reservoir."""
    with desk.store.reading() as reading:
        state = desk.state_in(reading)
    tank = state.household.tank(tank_id)
    found = misfits(state.household, fitted, tank, state.moment.day)

    def make(house: Household, moment: Moment) -> Household:
        now = misfits(house, fitted, house.tank(tank_id), moment.day)
        last = moment.day - timedelta(days=1)
        becomes = {one.id: one for one in now.scaled}
        becomes |= {one.id: replace(one, ended_on=last) for one in now.ended}
        chores = tuple(becomes.get(one.id, one) for one in house.chores)
        return with_followers(house, replace(house, chores=chores), moment.day)

    names = [one.name for one in (*found.scaled, *found.ended)]
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    how = How.CHANGED if found.scaled else How.ENDED
    said = Redefined(how, Thing.CHORE, f"{', '.join(names[:_NAMED])}{more}")
    return set_down(desk, said, make, by, tank_id)


def _of_reservoir(chores: list[Chore]) -> tuple[Chore, ...]:
    return tuple(one for one in chores if one.kind is ChoreKind.RESERVOIR)


def _two_digits(value: float) -> float:
    return float(f"{value:.2g}")
