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
    below = _below_reserve(water, left, now, words)
    if below:
        # At best it may still last some hours, but nobody should count on these.
        return f"{known}{below}; the tank loses {rate} a day."
    lasts = f"{lasting_words(water.reservoir_days)} more{_to_reserve(water, words)}"
    # The coming loss may depart from that of today, or nobody finds the days by dividing.
    reckoned = reckoned_words(water, words)
    by = f", reckoned with as {reckoned}," if reckoned else ""
    return f"{known} and {now}; at a loss of {rate} a day{by} it lasts {lasts}."


def _to_reserve(water: TankWater, words: Words) -> str:
    """Return down to where a reservoir is counted on, empty where it is to the bottom."""
    reserve = water.tank.top_off.reserve_l
    return f", down to its reserve of {words.litres(reserve)}" if reserve else ""


def _below_reserve(water: TankWater, left: Estimate, now: str, words: Words) -> str:
    """Return that a reservoir is used up to its reserve, empty while it likely lasts longer.

    The litres `now` are left out where they are told so coarsely that they are no less than it.
    """
    reserve_l, unit = water.tank.top_off.reserve_l, words.units.volume
    if not reserve_l or left.value > reserve_l:
        return ""
    by, reserve = in_unit(1.0, unit), f"its reserve of {words.litres(reserve_l)}"
    kept = Estimate(reserve_l, reserve_l, reserve_l)
    if told_value(left.scaled(by), unit) < told_value(kept.scaled(by), unit):
        return f", {now} and is below {reserve}"
    return f" and is down to {reserve} now"


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
