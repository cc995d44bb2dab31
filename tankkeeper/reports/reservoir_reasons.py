"""What is left in a reservoir, how long that lasts, and when it should be empty."""

from __future__ import annotations

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.logbook import ReservoirCheck
from tankkeeper.core.shown_digits import told_value
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.units import in_unit
from tankkeeper.reports.amount_words import about
from tankkeeper.reports.lasting_words import lasting_words
from tankkeeper.reports.loss_words import reckoned_words
from tankkeeper.reports.words import Words

_BELOW = "below"


def reservoir_sentence(water: TankWater, words: Words) -> str:
    """Return what is left in a reservoir, for how long, and at which loss."""
    loss = water.loss
    assert loss is not None
    rate = words.litres_with_span(loss)
    left = water.reservoir_left
    if left is None or water.reservoir_days is None:
        return f"The tank loses {rate} a day."
    if left.value <= 0.05:
        return _empty_reservoir(water, rate, words)
    known, now = _reservoir_known(water, words), f"holds about {words.about_litres(left)} now"
    at = _at_reserve(water, words)
    if at:
        # At best it may still last some hours, but nobody should count on these.
        reserve = f"{at} its reserve of {words.litres(water.tank.top_off.reserve_l or 0.0)}"
        # Litres that are told no less than the reserve are left out beside it.
        held = f", {now} and is {reserve}" if at == _BELOW else f" and is {reserve} now"
        return f"{known}{held}; the tank loses {rate} a day."
    lasts = f"{lasting_words(water.reservoir_days)} more{_to_reserve(water, words)}"
    # The coming loss may depart from that of today, or nobody finds the days by dividing.
    reckoned = reckoned_words(water, words)
    by = f", reckoned with as {reckoned}," if reckoned else ""
    return f"{known} and {now}; at a loss of {rate} a day{by} it lasts {lasts}."


def _to_reserve(water: TankWater, words: Words) -> str:
    """Return down to where a reservoir is counted on, empty where it is to the bottom."""
    reserve = water.tank.top_off.reserve_l
    return f", down to its reserve of {words.litres(reserve)}" if reserve else ""


def lasts_or_reserve(water: TankWater, words: Words) -> str:
    """Return how long a reservoir lasts, "below its reserve" where it likely is; empty unknown."""
    if water.reservoir_days is None:
        return ""
    at = _at_reserve(water, words)
    return f"{at} its reserve" if at else lasting_words(water.reservoir_days)


def is_at_reserve(water: TankWater) -> bool:
    """Tell whether a reservoir likely is used up to its reserve; one found empty is beyond that."""
    reserve, left = water.tank.top_off.reserve_l, water.reservoir_left
    if not reserve or left is None or was_found_empty(water):
        return False
    return left.value <= reserve


def _at_reserve(water: TankWater, words: Words) -> str:
    """Return where a reservoir stands that is at its reserve, by the digits told; else empty."""
    left, reserve, unit = water.reservoir_left, water.tank.top_off.reserve_l, words.units.volume
    if left is None or not reserve or not is_at_reserve(water):
        return ""
    by = in_unit(1.0, unit)
    kept = Estimate(reserve, reserve, reserve)
    told, held = (told_value(one.scaled(by), unit) for one in (left, kept))
    return _BELOW if told < held else "down to"


def _empty_reservoir(water: TankWater, rate: str, words: Words) -> str:
    gone, mark = water.evaporated, water.limit.base
    empty = "should be empty by now"
    if mark is not None and was_found_empty(water):
        empty = f"was found empty {words.on_day(mark.day)}"
    if gone is None or gone.value < 0.05:
        return f"The reservoir {empty}; the tank loses {rate} a day."
    return (
        f"The reservoir {empty}; at a loss of {rate} a day "
        f"about {about(gone, words)} is missing in the tank."
    )


def was_found_empty(water: TankWater) -> bool:
    """Tell whether somebody saw that nothing was left in a reservoir."""
    mark = water.limit.base
    fact = mark.fact if mark is not None else None
    return isinstance(fact, ReservoirCheck) and fact.left_l == 0.0


def _reservoir_known(water: TankWater, words: Words) -> str:
    mark = water.limit.base
    assert mark is not None
    fact = mark.fact
    is_look = isinstance(fact, ReservoirCheck) and fact.left_l is not None
    day = words.on_day(mark.day)
    return f"The reservoir was looked at {day}" if is_look else f"The reservoir was filled {day}"
