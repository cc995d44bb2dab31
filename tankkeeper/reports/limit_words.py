"""What the water of a tank comes to where nobody fills it, and by when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from tankkeeper.core.household import Tank
from tankkeeper.core.salinity_limit import is_high_when_full
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.lasting_words import FAR_DAYS, time_words
from tankkeeper.reports.words import Words
from tankkeeper.services.skipped_limits import LimitPassed

_HIGH = "the salinity, high even when the tank is full, may"


def limit_words(
    limit: Limit | None,
    tank: Tank | None,
    by: datetime,
    words: Words,
    *,
    is_high: bool = False,
    salinity: float | None = None,
) -> str:
    """Return what reaches its limit by a moment, or is past it since: without a full stop.

    `is_high` says that the salinity leaves its range even in the full tank, `salinity` up to where
    it may rise.
    """
    if limit is Limit.RESERVOIR:
        low = _low(tank, words)
        return f"the reservoir may {_when(by, words, low, low)}"
    if limit is Limit.SALINITY and is_high:
        return f"{_HIGH} {_when(by, words, 'have risen further', 'have risen further')}"
    what, end = "water level" if limit is Limit.LEVEL else "salinity", "its limit"
    if limit is Limit.SALINITY and salinity is not None:
        # It need not be the end of the range that a reading is held against.
        end = f"its top-off limit of {words.salinity(salinity)}"
    return f"the {what} may {_when(by, words, f'reach {end}', f'be past {end}')}"


def skipped_limit_words(found: Sequence[LimitPassed], words: Words) -> str:
    """Return what the water comes to that was left as it is, of several tanks each with its name.

    Such as "The water level may reach its limit today at 19:00."; empty where nothing is passed.
    """
    told = []
    for one in found:
        said = limit_words(
            one.limit, one.tank, one.by, words, is_high=one.is_high, salinity=one.salinity
        )
        named = said[0].upper() + said[1:] if len(found) == 1 else f"{one.tank.name}: {said}"
        told.append(f"{named}.")
    return " ".join(told)


def limit_in_words(water: TankWater, words: Words) -> str:
    """Return in how long a limit is reached: "5 days", or since when it is or may be passed.

    Of a loss that is only expected the likely moment stands beside the earliest: the two lie far
    apart. A tank that is too salty even when full passed it at the mark already. Empty where no
    limit is known.
    """
    limit, now = water.limit, words.moment.now
    if limit.limit_at is None:
        return ""
    if limit.limit is Limit.SALINITY and is_high_when_full(water.tank, water.learned):
        return "passed even when full"
    if limit.surely_at is not None and limit.surely_at <= now:
        return f"passed since {words.day_and_clock(limit.surely_at)}"
    is_past = limit.limit_at <= now
    soon = f"may be passed since {words.day_and_clock(limit.limit_at)}"
    if not is_past:
        soon = _time_until(limit.limit_at, now)
    if not limit.is_expected or limit.likely_at is None or limit.likely_at <= now:
        return soon
    likely = f"likely in {_time_until(limit.likely_at, now)}"
    return f"{soon}, {likely}" if is_past else f"may be in {soon}, {likely}"


def _time_until(at: datetime, now: datetime) -> str:
    days = (at - now) / timedelta(days=1)
    # The forecast looks no further than its farthest day, which is none to be told.
    return "more than a year" if days >= FAR_DAYS else time_words(days)


def _low(tank: Tank | None, words: Words) -> str:
    """Return what a reservoir comes to: nothing, or the reserve that is not counted on."""
    reserve = tank.top_off.reserve_l if tank is not None else None
    return f"be down to its reserve of {words.litres(reserve)}" if reserve else "be empty"


def _when(by: datetime, words: Words, coming: str, past: str) -> str:
    """Return what a tank comes to by a moment, or has come to since."""
    if by <= words.moment.now:
        return f"{past} since {words.day_at(by, is_noun=True)}, {words.clock(by)}"
    return f"{coming} {words.on_day_at(by)} at {words.clock(by)}"
