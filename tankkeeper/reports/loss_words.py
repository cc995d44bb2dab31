"""What the figure for a tank's loss rests on: its log, or what is expected before there is one."""

from __future__ import annotations

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import PriorBasis
from tankkeeper.core.household import DRY_STAGES, Tank
from tankkeeper.core.shown_digits import exact_decimals
from tankkeeper.core.tank_learning import Learned, is_learned, loss_when_measured
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.units import in_unit
from tankkeeper.core.volume import LEAST_GLASS_MM, MOST_GLASS_MM
from tankkeeper.core.water_lost import reckoned_loss
from tankkeeper.reports.lasting_words import FAR_DAYS
from tankkeeper.reports.numbers import NBSP, counted, decimal_text, with_unit
from tankkeeper.reports.words import Words

NO_LOSS = "none: there is no water in it"
_ALONE = {
    PriorBasis.ROOM_CLIMATE: "surface and room alone",
    PriorBasis.AREA: "surface and usual room air alone",
    PriorBasis.VOLUME: "the volume alone",
}


def system_litres(tank: Tank, net: Estimate, words: Words) -> str:
    """Return the water of a system, or what one would hold that has none in it."""
    litres = words.litres_with_span(net)
    return f"none now; it holds {litres}" if tank.stage in DRY_STAGES else litres


def glass_span(words: Words) -> str:
    """Return what glass of unknown thickness is taken for: "6 to 19 mm"."""
    most = words.millimetres(MOST_GLASS_MM)
    return f"{LEAST_GLASS_MM:.0f}{NBSP}to{NBSP}{most}"


def alone_words(learned: Learned) -> str:
    """Return what the loss is expected from while nothing was learned, empty where it was."""
    if is_learned(learned) or learned.basis is None:
        return ""
    return _ALONE[learned.basis]


def taught_sentence(water: TankWater, words: Words) -> str:
    """Return that the loss is only expected, or why its span widens; empty where neither is so."""
    learned, loss = water.learned, water.loss
    alone, kept = alone_words(learned), _kept_as_proposed(learned)
    if alone and learned.log.proposed > 1:
        return f"That loss is expected from {alone}: {kept}; a measured one tells it better."
    if alone:
        return f"That loss is expected from {alone}; the next fillings tell it better."
    before = None if loss is None else loss_when_measured(learned, loss)
    if loss is None or before is None:
        return ""
    # A span that is told as it was is no reason to say anything.
    if words.litres_with_span(before) == words.litres_with_span(loss):
        return ""
    told = f"{kept[0].upper()}{kept[1:]}"
    return f"{told} and the span of the loss widens; a measured one narrows it."


def _kept_as_proposed(learned: Learned) -> str:
    count, in_part = learned.log.proposed, learned.log.proposed_in_part
    if count == 1:
        part, what = ("a part of ", "that fill") if in_part else ("", "it")
        return f"{part}the last fill was kept as proposed, not measured, so {what} teaches nothing"
    fills = counted(count, "fill", "fills")
    how = ", whole or in part," if in_part else ","
    return f"the last {fills} were kept as proposed{how} not measured, so they teach nothing"


def reckoned_words(water: TankWater, words: Words) -> str:
    """Return the loss by which it is told how long a reservoir lasts: "1.1 to 1.7 L".

    Empty where that is not told, or nothing is left of it at worst and at best.
    """
    left, days = water.reservoir_left, water.reservoir_days
    if left is None or days is None or water.loss is None:
        return ""
    low, high = reckoned_loss(left, water.tank.top_off.reserve_l or 0.0, days)
    if days.high >= FAR_DAYS:
        # Its far end is not told, so nothing is divided by it.
        low = None
    least, most = (None if one is None else to_divide_by(one, words) for one in (low, high))
    unit = words.units.volume
    if least is not None and most is not None:
        return with_unit(least if least == most else f"{least}{NBSP}to{NBSP}{most}", unit)
    if least is not None:
        return f"at least {with_unit(least, unit)}"
    return "" if most is None else f"at most {with_unit(most, unit)}"


def to_divide_by(litres: float, words: Words) -> str:
    """Return litres with two digits each: with one the days would be off by a tenth and more."""
    value = in_unit(litres, words.units.volume)
    return decimal_text(value, max(0, exact_decimals(value) - 1), words.decimal_sign)
