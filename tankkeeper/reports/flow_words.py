"""What is told of a tank's flow: how it turns over, and what runs back when the pump stops."""

from __future__ import annotations

from tankkeeper.core.errors import UserFault
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.heat_and_flow import PumpOff, pump_off, turnover_per_hour
from tankkeeper.core.household import Stage, Tank
from tankkeeper.core.net_water import net_if_sound
from tankkeeper.core.volume import MEASURED_SPREAD
from tankkeeper.reports.numbers import NBSP, decimal_text
from tankkeeper.reports.words import NOT_KNOWN, Words


def pump_off_line(tank: Tank, words: Words) -> str:
    """Return what runs back when the return pump stops and whether the sump takes it.

    Empty where it is not known how far the water falls, or over which surface, and for a tank
    that was given up and holds no water.
    """
    found = _pump_off(tank)
    if found is None:
        return ""
    back = f"about {_litres(found.back_l, words)} run back"
    if not found.has_pipes:
        back = f"{back}, and what the pipes hold"
    if found.free_l is None or found.spare_l is None:
        return f"{back}; the room in the sump is {NOT_KNOWN}"
    room = words.litres(found.free_l)
    if found.overflows:
        over = _litres(-found.spare_l, words, found.back_l)
        return f"the sump will overflow: {back}, it has room for {room}, {over} too little"
    return f"{back}; the sump has room for {room}"


def overflows(tank: Tank) -> bool:
    """Tell whether the sump has too little room for what runs back, as far as that is known."""
    found = _pump_off(tank)
    return found is not None and found.overflows


def overflow_caution(tank: Tank | None, words: Words) -> str:
    """Return the warning for work that has the pump off, empty where the sump takes it."""
    if tank is None or tank.heat_and_flow is None or not overflows(tank):
        return ""
    # What would help: common practice, no source.
    return (
        f"When the return pump stops {pump_off_line(tank, words)}. "
        "Take water out of the sump first, or let the return's outlet draw air higher up."
    )


def _pump_off(tank: Tank) -> PumpOff | None:
    if tank.stage is Stage.RETIRED:
        return None
    try:
        return pump_off(tank.shape, tank.sump, tank.heat_and_flow)
    except UserFault:
        # The sizes cannot be so, which is told at their own field.
        return None


def turnover_note(tank: Tank, words: Words) -> str:
    """Return how often an hour the return moves all the water, empty where it is not known."""
    net = net_if_sound(tank)
    often = turnover_per_hour(tank.heat_and_flow, None if net is None else net.value)
    if not often:
        return ""
    times = decimal_text(often, 1 if often < 10.0 else 0, words.decimal_sign)
    return f"About {times}{NBSP}times its water an hour."


def _litres(value_l: float, words: Words, of_l: float | None = None) -> str:
    """Return litres with the digits that measured sizes leave them, or the litres they are of."""
    spread = MEASURED_SPREAD * (value_l if of_l is None else of_l)
    return words.about_litres(Estimate(value_l, value_l - spread, value_l + spread))
