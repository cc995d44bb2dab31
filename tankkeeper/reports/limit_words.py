"""What the water of a tank comes to where nobody fills it, and by when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from tankkeeper.core.household import Tank
from tankkeeper.core.salinity_limit import allowed_rise, is_past_when_full
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.lasting_words import FAR_DAYS, time_words
from tankkeeper.reports.words import Words
from tankkeeper.services.skipped_limits import LimitPassed

_HIGH = "the salinity, high even when the tank is full,"


def limit_words(
    limit: Limit | None,
    tank: Tank | None,
    by: datetime,
    words: Words,
    *,
    surely: datetime | None = None,
    is_high: bool = False,
    salinity: float | None = None,
) -> str:
    """Return what may reach its limit by a moment, or may be past it since: without a full stop.

    From the moment `surely` on it is told as what is so. `is_high` says that the salinity is
    high even in the full tank, `salinity` up to where it may rise.
    """
    ends = by, surely
    if limit is Limit.RESERVOIR:
        low = _low(tank, words)
        return f"the reservoir {_when(ends, words, f'be {low}', low)}"
    if limit is Limit.SALINITY and is_high and tank is not None and salinity is not None:
        return f"{_HIGH} {_risen(ends, words, _rise_to(salinity, tank, words))}"
    what, end = "water level" if limit is Limit.LEVEL else "salinity", "its limit"
    if limit is Limit.SALINITY and salinity is not None:
        # It need not be the end of the range that a reading is held against.
        end = f"its top-off limit of {words.salinity(salinity)}"
    return f"the {what} {_when(ends, words, f'reach {end}', f'past {end}')}"


def skipped_limit_words(found: Sequence[LimitPassed], words: Words) -> str:
    """Return what the water comes to that was left as it is, of several tanks each with its name.

    Such as "The water level may reach its limit today at 19:00."; empty where nothing is passed.
    """
    told = []
    for one in found:
        said = limit_words(
            one.limit,
            one.tank,
            one.by,
            words,
            surely=one.surely,
            is_high=one.is_high,
            salinity=one.salinity,
        )
        named = said[0].upper() + said[1:] if len(found) == 1 else f"{one.tank.name}: {said}"
        told.append(f"{named}.")
    return " ".join(told)


def limit_in_words(water: TankWater, words: Words) -> str:
    """Return in how long a limit is reached, or since when it is or may be passed.

    From when it may be, as every caution tells it, and where that says more when it likely is:
    "may be in 3 hours, likely in 20 hours", "may be passed since Sun 11:32, likely in 9 hours",
    "5 days" where both are told alike. Once it surely is: "passed, maybe since Sun 11:32, likely
    since Mon 09:40". A tank that is too salty even when full passed it at the mark already. Empty
    where no limit is known.
    """
    limit, now = water.limit, words.moment.now
    if limit.limit_at is None:
        return ""
    if limit.limit is Limit.SALINITY and is_past_when_full(water.tank, water.learned):
        return "passed even when full"
    soon, likely = _moment(limit.limit_at, words), _moment(limit.likely_at, words)
    if likely in ("", soon):
        if limit.limit_at > now:
            return soon.removeprefix("in ")
        return f"{'passed' if limit.is_surely_passed(now) else 'may be passed'} {soon}"
    maybe = "may be passed" if limit.limit_at <= now else "may be"
    return f"{'passed, maybe' if limit.is_surely_passed(now) else maybe} {soon}, likely {likely}"


def _moment(at: datetime | None, words: Words) -> str:
    """Return "in 3 hours" of a moment to come, "since Sun 11:32" of one gone by."""
    if at is None:
        return ""
    if at <= words.moment.now:
        return f"since {words.day_and_clock(at)}"
    return f"in {_time_until(at, words.moment.now)}"


def _time_until(at: datetime, now: datetime) -> str:
    days = (at - now) / timedelta(days=1)
    # The forecast looks no further than its farthest day, which is none to be told.
    return "more than a year" if days >= FAR_DAYS else time_words(days)


def _low(tank: Tank | None, words: Words) -> str:
    """Return what a reservoir comes to: nothing, or the reserve that is not counted on."""
    reserve = tank.top_off.reserve_l if tank is not None else None
    return f"down to its reserve of {words.litres(reserve)}" if reserve else "empty"


def _rise_to(salinity: float, tank: Tank, words: Words) -> str:
    """Return by how much the salinity of the full tank may rise, up to that limit."""
    rise = allowed_rise(tank)
    return words.salinity_step(salinity - rise, rise)


def _risen(ends: tuple[datetime, datetime | None], words: Words, step: str) -> str:
    """Return that a salinity rises by a step, or rose by more, from what it has in the full tank.

    Since when is not told: it was high before, and nobody saw that moment.
    """
    (by, surely), now = ends, words.moment.now
    if by > now:
        return f"may rise by {step} {words.on_day_at(by)} at {words.clock(by)}"
    verb = "may have" if surely is None or surely > now else "has"
    return f"{verb} risen by more than {step} since it was full"


def _when(ends: tuple[datetime, datetime | None], words: Words, coming: str, past: str) -> str:
    """Return what a tank may come to by a moment, or may or surely has come to since."""
    (by, surely), now = ends, words.moment.now
    if by > now:
        return f"may {coming} {words.on_day_at(by)} at {words.clock(by)}"
    since = f"since {words.day_at(by, is_noun=True)}, {words.clock(by)}"
    if surely is None or surely > now:
        return f"may be {past} {since}"
    return f"has been {past} {since}" if by == surely else f"is {past}, maybe {since}"
