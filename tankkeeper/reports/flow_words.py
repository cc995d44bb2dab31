"""What is told of a tank's flow: how it turns over, and what runs back when the pump stops."""

from __future__ import annotations

from tankkeeper.core.errors import UserFault
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.heat_and_flow import pump_off, turnover_per_hour
from tankkeeper.core.household import Tank
from tankkeeper.core.volume import MEASURED_SPREAD, net_water
from tankkeeper.reports.numbers import NBSP, decimal_text
from tankkeeper.reports.words import Words

OVERFLOWS = "The sump will overflow"


def pump_off_note(tank: Tank, words: Words) -> str:
    """Return what runs back when the return pump stops and whether the sump takes it.

    Empty where it is not known how far the water falls, or over which surface.
    """
    try:
        found = pump_off(tank.shape, tank.sump, tank.heat_and_flow)
    except UserFault:
        # The sizes cannot be so, which is told at their own field.
        return ""
    if found is None:
        return ""
    back = f"When the return pump stops about {_litres(found.back_l, words)} run back"
    if not found.has_pipes:
        back = f"{back}, and what the pipes hold, which is not known"
    if found.free_l is None or found.spare_l is None:
        return f"{back}. Whether the sump has room for it is not known."
    room = words.litres(found.free_l)
    if found.overflows:
        over = _litres(-found.spare_l, words)
        return (
            f"{OVERFLOWS}: {back[0].lower()}{back[1:]}; it has room for {room}, {over} too little. "
            "Less water in the sump, or a return outlet higher up, would help."
        )
    return f"{back}; the sump has room for {room}."


def overflow_caution(tank: Tank | None, words: Words) -> str:
    """Return the warning for work that has the pump off, empty where the sump takes it."""
    if tank is None or tank.heat_and_flow is None:
        return ""
    found = pump_off_note(tank, words)
    return found if found.startswith(OVERFLOWS) else ""


def turnover_note(tank: Tank, words: Words) -> str:
    """Return how often an hour the return moves all the water, empty where it is not known."""
    try:
        net = net_water(tank.shape, tank.displaced, tank.sump)
    except UserFault:
        return ""
    often = turnover_per_hour(tank.heat_and_flow, None if net is None else net.value)
    if not often:
        return ""
    times = decimal_text(often, 1 if often < 10.0 else 0, words.decimal_sign)
    return f"About {times}{NBSP}times its water an hour."


def _litres(value_l: float, words: Words) -> str:
    """Return litres with the digits that measured sizes leave them."""
    spread = MEASURED_SPREAD * value_l
    return words.about_litres(Estimate(value_l, value_l - spread, value_l + spread))
