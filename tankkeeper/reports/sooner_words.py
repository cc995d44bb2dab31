"""Which entry brought the top-offs of a tank closer together."""

from __future__ import annotations

from tankkeeper.core.chores import Condition, WhenWaterSays
from tankkeeper.core.logbook import Entry, Readings
from tankkeeper.core.sooner import Sooner, sooner_by
from tankkeeper.core.state import Item
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import State
from tankkeeper.reports.loss_words import to_divide_by
from tankkeeper.reports.numbers import counted, with_unit
from tankkeeper.reports.words import Words


def sooner_sentence(item: Item, words: Words) -> str:
    """Return why a filling comes much sooner than before, empty where nothing moved it.

    Such as "It comes sooner since the salinity was read yesterday: 36.2 PSU, so about 35.9 PSU when
    full, above the target of 35.0 PSU; the full tank lasts 1 day, not 2 days.".
    """
    rhythm, water = item.chore.rhythm, item.water
    # What is told of work that is done is the turn after it.
    turn = item.next_turn if item.state is State.DONE else item.open
    if not isinstance(rhythm, WhenWaterSays) or rhythm.condition is not Condition.EVAPORATION:
        return ""
    if water is None or not item.chore.is_done_by_filling:
        return ""
    if turn is None or turn.is_put_off:
        return ""
    found = sooner_by(water, rhythm.max_days, words.moment, turn.target)
    if found is None:
        return ""
    return (
        _by_reading(found, found.read, water, words)
        if found.read
        else _by_fill(found, water, words)
    )


def _lasts(found: Sooner, water: TankWater) -> str:
    before = counted(found.before, "day", "days")
    full = "full reservoir" if water.tank.has_automatic_top_off else "full tank"
    return f"the {full} lasts {counted(found.days, 'day', 'days')}, not {before}"


def _by_reading(found: Sooner, read: Entry, water: TankWater, words: Words) -> str:
    fact, target = read.fact, water.tank.target_salinity
    assert isinstance(fact, Readings)
    assert target is not None
    value = next(one for one in fact.values if one.parameter == "salinity")
    full, wanted = words.salinity(water.learned.salinity_at_mark or 0.0), words.salinity(target)
    if full == wanted:
        return ""
    day, changed = words.on_day(read.day), water.learned.salinity_changed_at
    if changed is not None:
        # The reading alone would not say what the full tank has now.
        by = f"{words.reading(value)} read {day} and the water changed {words.on_day_at(changed)}"
        return (
            f"It comes sooner since the full tank has about {full}, by the {by}, "
            f"above the target of {wanted}; {_lasts(found, water)}."
        )
    return (
        f"It comes sooner since the salinity was read {day}: {words.reading(value)}, "
        f"so about {full} when full, above the target of {wanted}; {_lasts(found, water)}."
    )


def _by_fill(found: Sooner, water: TankWater, words: Words) -> str:
    fill, before, loss = found.fill, found.loss_before, water.loss
    if fill is None or before is None or loss is None:
        return ""
    # The day follows from the upper end of the span; the middle may hardly have moved.
    was, now = (to_divide_by(one.high, words) for one in (before, loss))
    if was == now:
        return ""
    day = words.on_day(words.moment.day_of(fill.at))
    by = "use of the reservoir" if water.tank.has_automatic_top_off else "top-off"
    now = with_unit(now, words.units.volume)
    return (
        f"It comes sooner since the {by} measured {day}: by it the loss is reckoned with as up to "
        f"{now} a day, not {was}; {_lasts(found, water)}."
    )
