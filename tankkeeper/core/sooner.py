"""Which entry made the water of a full tank last much shorter than before it."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core import loss_filter
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import factor_on
from tankkeeper.core.logbook import Entry
from tankkeeper.core.loss_filter import Fill
from tankkeeper.core.moment import Moment
from tankkeeper.core.salinity_limit import is_high_when_full
from tankkeeper.core.tank_water import TankWater, allowed_loss
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_lost import standing_factor, whole_days
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


def sooner_by(water: TankWater, most: int | None, moment: Moment) -> Sooner | None:
    """Return what made the full tank last much shorter, None where nothing did.

    Beyond the `most` days of a rhythm nobody notices it. Of two causes the greater is told.
    """
    days = _bounded(water.full_interval_days, most)
    if days is None:
        return None
    season = factor_on(water.learned.factors, moment.day)
    factor = standing_factor(water.learned, season)
    causes = (
        _by_reading(water, days, most, factor),
        _by_fill(water, days, most, factor, season),
    )
    found = [one for one in causes if one is not None and days <= MUCH_SHORTER * one.before]
    return max(found, key=lambda one: one.before, default=None)


def _by_reading(water: TankWater, days: int, most: int | None, factor: float) -> Sooner | None:
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
    at_target = allowed_loss(tank, replace(learned, salinity_at_mark=target))
    if at_target is None:
        return None
    before = _bounded(whole_days(learned, at_target[0], factor), most)
    return None if before is None else Sooner(days, before, read=read)


def _by_fill(
    water: TankWater, days: int, most: int | None, factor: float, season: float
) -> Sooner | None:
    """Return what follows from the newest fill that was measured, against the loss before it."""
    learned, was = water.learned, water.learned.state_before_fill
    taught, litres = learned.taught_by, _litres_when_full(water)
    if was is None or taught is None or litres is None or learned.state is None:
        return None
    if not was.accepted or loss_filter.rate(learned.state) <= loss_filter.rate(was):
        return None
    before = _bounded(whole_days(replace(learned, state=was), litres, factor), most)
    if before is None:
        return None
    return Sooner(days, before, fill=taught, loss_before=loss_filter.span(was, season))


def _litres_when_full(water: TankWater) -> float | None:
    """Return the litres that a full tank, or its reservoir, may lose."""
    limits = water.tank.top_off
    if limits.reservoir_l is not None:
        return limits.reservoir_l - (limits.reserve_l or 0.0)
    allowed = allowed_loss(water.tank, water.learned)
    return None if allowed is None else allowed[0]


def _bounded(days: int | None, most: int | None) -> int | None:
    return days if days is None or most is None else min(days, most)
