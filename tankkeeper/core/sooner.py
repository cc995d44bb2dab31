"""Which entry made the water of a full tank last much shorter than before it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from tankkeeper.core import loss_filter
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import factor_on
from tankkeeper.core.logbook import Entry
from tankkeeper.core.loss_filter import Fill
from tankkeeper.core.moment import Moment
from tankkeeper.core.salinity_limit import is_high_when_full
from tankkeeper.core.tank_learning import Learned
from tankkeeper.core.tank_water import TankWater, allowed_loss
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_lost import lasting_days, limit_from, standing_factor, whole_days
from tankkeeper.core.water_turns import Limit

# A choice of this project: a day of three, or one of two, is what a keeper notices.
MUCH_SHORTER = 2.0 / 3.0


@dataclass(frozen=True, slots=True)
class Sooner:
    """Why the water of a full tank or reservoir lasts `days` and no longer `before`.

    Either the salinity that was `read` stands above the target, or the loss by a measured `fill`
    above `loss_before`, what was reckoned until then.
    """

    days: int
    before: int
    read: Entry | None = None
    fill: Fill | None = None
    loss_before: Estimate | None = None


class _Cause(NamedTuple):
    """What may have made it shorter, and by which water and litres it would last without that."""

    learned: Learned
    litres: float
    limit: Limit
    read: Entry | None = None
    fill: Fill | None = None
    loss_before: Estimate | None = None


def sooner_by(water: TankWater, most: int | None, moment: Moment, turn_on: date) -> Sooner | None:
    """Return what made the full tank last much shorter, None where nothing did.

    Beyond the `most` days of a rhythm nobody notices it. Of two causes the greater is told. Whole
    days know no hour, but a turn does: by the hour of the filling it may come a day later than they
    say, or when it would have come anyway. Nothing is told unless it comes sooner, by these days.
    """
    days, mark = _bounded(water.full_interval_days, most), water.limit.base
    # A reservoir that was looked at need not have been full by then.
    if days is None or mark is None or water.limit.can_repeat_on_base:
        return None
    if turn_on != mark.day + timedelta(days=days):
        return None
    season = factor_on(water.learned.factors, moment.day)
    factor = standing_factor(water.learned, season)
    found: list[Sooner] = []
    for cause in (_by_reading(water), _by_fill(water, season)):
        if cause is None or turn_on >= _turn_without(cause, mark, most, moment, factor):
            continue
        before = _bounded(whole_days(lasting_days(cause.learned, cause.litres, factor)), most)
        if before is not None and days <= MUCH_SHORTER * before:
            found.append(Sooner(days, before, cause.read, cause.fill, cause.loss_before))
    return max(found, key=lambda one: one.before, default=None)


def _turn_without(
    cause: _Cause, mark: Entry, most: int | None, moment: Moment, factor: float
) -> date:
    """Return the day on which the turn would come without a cause, by the hour of the filling."""
    learned = cause.learned
    limit = limit_from(learned.log, learned, moment, cause.litres, cause.limit, factor)
    day = max(limit.latest_on or mark.day, mark.day + timedelta(days=1))
    return day if most is None else min(day, mark.day + timedelta(days=most))


def _by_reading(water: TankWater) -> _Cause | None:
    """Return what follows from a salinity that was read, against that of a tank at its target.

    Not against the reading before it: a second one that says the same is no reason to tell less.
    """
    tank, learned = water.tank, water.learned
    target, full, allowed = tank.target_salinity, learned.salinity_at_mark, None
    if not tank.has_automatic_top_off and not is_high_when_full(tank, learned):
        allowed = allowed_loss(tank, learned)
    if allowed is None or allowed[1] is not Limit.SALINITY:
        return None
    if target is None or full is None or full <= target:
        return None
    read = next((one for value, one in learned.readings if value.parameter == "salinity"), None)
    if read is None or read.at != learned.salinity_read_at:
        return None
    without = replace(learned, salinity_at_mark=target)
    at_target = allowed_loss(tank, without)
    return None if at_target is None else _Cause(without, *at_target, read=read)


def _by_fill(water: TankWater, season: float) -> _Cause | None:
    """Return what follows from the newest fill that was measured, against the loss before it."""
    learned, was = water.learned, water.learned.state_before_fill
    taught, full = learned.taught_by, _lost_from_full(water)
    if was is None or taught is None or full is None or learned.state is None:
        return None
    if not was.accepted or loss_filter.rate(learned.state) <= loss_filter.rate(was):
        return None
    before = loss_filter.span(was, season)
    return _Cause(replace(learned, state=was), *full, fill=taught, loss_before=before)


def _lost_from_full(water: TankWater) -> tuple[float, Limit] | None:
    """Return the litres that a full tank, or its reservoir, may lose, and by which limit."""
    limits = water.tank.top_off
    if limits.reservoir_l is not None:
        return limits.reservoir_l - (limits.reserve_l or 0.0), Limit.RESERVOIR
    return allowed_loss(water.tank, water.learned)


def _bounded(days: int | None, most: int | None) -> int | None:
    return days if days is None or most is None else min(days, most)
