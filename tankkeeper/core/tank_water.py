"""The water of one tank now: what it loses, where it stands, and when a limit is reached."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime, timedelta

from tankkeeper.core import loss_filter
from tankkeeper.core.balance import (
    litres_until_level,
    litres_until_salinity,
)
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import (
    factor_on,
)
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.loss_filter import Bound, LossFlag
from tankkeeper.core.moment import Moment
from tankkeeper.core.salinity_full import risen
from tankkeeper.core.salinity_limit import is_past_when_full, salinity_limit
from tankkeeper.core.salinity_reach import may_be_beyond
from tankkeeper.core.tank_learning import Learned, is_learned
from tankkeeper.core.told_salinity import is_told_beyond
from tankkeeper.core.usual_water import usual_water_c
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import deepest_fall_mm
from tankkeeper.core.water_lost import (
    at_least,
    days_to,
    days_until,
    gone_since,
    gone_since_empty,
    lasting_days,
    limit_from,
    lost_over,
    passed_where,
    reached,
    standing_factor,
    used_since,
    whole_days,
)
from tankkeeper.core.water_turns import Limit, LimitForecast

# Common practice, no source: what one careful reading is good for, as a 90 % half span.
READING_SPREAD = 0.3
UNREAD_SPREAD = 1.0
# A choice of this project: a loss that may be half as much again is not known well.
UNSURE_LOSS = 1.5


@dataclass(frozen=True, slots=True)
class TankWater:
    """The water of a tank at one moment; None is not known yet.

    Litres, litres a day, millimetres, practical salinity; each `Estimate` with its 90 % span.
    Litres and level end where the tank is empty; `is_out` says that more would have evaporated
    since its mark, which cannot be: likely somebody topped it off and wrote nothing down.
    """

    tank: Tank
    learned: Learned
    loss: Estimate | None
    evaporated: Estimate | None
    mm_below_mark: float | None
    salinity: Estimate | None
    salinity_limit: float | None
    limit: LimitForecast
    reservoir_left: Estimate | None = None
    reservoir_days: Estimate | None = None
    full_lasts_days: float | None = None
    is_out: bool = False

    @property
    def full_interval_days(self) -> int | None:
        """The whole days from one fill to the next, at the usual hour of the round."""
        return whole_days(self.full_lasts_days)

    @property
    def net(self) -> Estimate | None:
        """The net water of the system in litres."""
        return self.learned.net

    @property
    def salinity_now(self) -> float | None:
        """The practical salinity that is reckoned, or None."""
        return None if self.salinity is None else self.salinity.value

    @property
    def flag(self) -> LossFlag | None:
        """What the newest fill made noticed, or None."""
        flags, mark = self.learned.flags, self.learned.log.mark
        if not flags or mark is None or flags[-1].at < mark.at:
            return None
        return flags[-1]


def water_now(tank: Tank, learned: Learned, moment: Moment, shown: str = "practical") -> TankWater:
    """Return the water of a tank at `moment`; one that holds none loses none.

    `shown` is the unit of salinities by whose digits a limit is told as passed for certain.
    """
    state = learned.state
    if tank.is_dry(moment.day):
        return replace(_unknown(tank, learned), salinity=None, salinity_limit=None)
    if state is None:
        return _unknown(tank, learned)
    factor = factor_on(learned.factors, moment.day)
    loss = loss_filter.span(state, factor)
    if tank.has_automatic_top_off:
        return _with_reservoir(tank, learned, moment, loss, factor)
    return _by_hand(tank, learned, moment, loss, factor, shown)


def _unknown(tank: Tank, learned: Learned) -> TankWater:
    return TankWater(
        tank=tank,
        learned=learned,
        loss=None,
        evaporated=None,
        mm_below_mark=None,
        salinity=_around(learned, learned.salinity_at_mark),
        salinity_limit=_salinity_limit(tank, learned),
        limit=LimitForecast(base=learned.log.mark),
    )


def _around(learned: Learned, salinity: float | None) -> Estimate | None:
    if salinity is None:
        return None
    half = READING_SPREAD if learned.salinity_is_read else UNREAD_SPREAD
    return Estimate(salinity, max(0.0, salinity - half), min(42.0, salinity + half))


def _salinity_limit(tank: Tank, learned: Learned) -> float | None:
    found = salinity_limit(tank, learned)
    return None if found is None else found[0]


def allowed_loss(tank: Tank, learned: Learned) -> tuple[float, Limit] | None:
    """Return the litres that may evaporate from a full tank, and the limit that binds first."""
    found: list[tuple[float, Limit]] = []
    drop, area = tank.top_off.allowed_drop_mm, learned.level_area_cm2
    # An old file may say 0, which is no limit that a day could be reckoned by.
    if drop and area is not None:
        found.append((litres_until_level(area, drop), Limit.LEVEL))
    limit, start, net = _salinity_limit(tank, learned), learned.salinity_at_mark, learned.net
    if limit is not None and start is not None and net is not None and limit > start > 0.0:
        litres = litres_until_salinity(net.value, start, limit, usual_water_c(tank))
        found.append((litres, Limit.SALINITY))
    return min(found, default=None)


def _by_hand(
    tank: Tank, learned: Learned, moment: Moment, loss: Estimate, factor: float, shown: str
) -> TankWater:
    log = learned.log
    standing = standing_factor(learned, factor)
    allowed = allowed_loss(tank, learned)
    limit = LimitForecast(base=log.mark)
    evaporated: Estimate | None = None
    if log.mark is not None:
        gone = gone_since(log.mark, learned, moment.now, factor)
        evaporated = Estimate(
            *(max(0.0, one - log.added_since_l) for one in (gone.value, gone.low, gone.high))
        )
        if allowed is not None:
            limit = limit_from(log, learned, moment, allowed[0], allowed[1], standing)
    evaporated, below, is_out = _bounded(tank, learned, evaporated)
    told = _unsure_since_read(learned, moment, evaporated, 0.5 * (standing + factor))
    salinity, highest = _salinity_now(tank, learned, told), _salinity_limit(tank, learned)
    if limit.limit is Limit.SALINITY and highest is not None and salinity is not None:
        limit = passed_where(salinity.low > highest, limit, moment)
        is_sure = limit.is_surely_passed(moment.now)
        is_open = may_be_beyond(evaporated, learned.net)
        if is_sure and not is_told_beyond(salinity, highest, shown, is_open=is_open):
            # The salinity of the full tank is not known to the digit, whatever evaporated from it.
            limit = replace(limit, surely_at=None)
    lasts = None if allowed is None else lasting_days(learned, allowed[0], standing)
    return TankWater(
        tank=tank,
        learned=learned,
        loss=loss,
        evaporated=evaporated,
        mm_below_mark=below,
        salinity=salinity,
        salinity_limit=highest,
        limit=limit,
        full_lasts_days=lasts,
        is_out=is_out,
    )


def _unsure_since_read(
    learned: Learned, moment: Moment, gone: Estimate | None, factor: float
) -> Estimate | None:
    """Return what is gone, as sure as the salinity tells it: unsure is what went since it was read.

    However much was missing by then, the reading holds it already.
    """
    read_at, mark = learned.salinity_read_at, learned.log.mark
    if gone is None or mark is None or read_at is None or read_at < mark.at:
        return gone
    since = lost_over(learned, max(0.0, (moment.now - read_at).total_seconds() / 86400.0), factor)
    low = max(gone.low, gone.value - (since.value - since.low))
    high = min(gone.high, gone.value + (since.high - since.value))
    return Estimate(gone.value, min(low, gone.value), max(high, gone.value))


def _bounded(
    tank: Tank, learned: Learned, gone: Estimate | None
) -> tuple[Estimate | None, float | None, bool]:
    """Return what is gone and how far the level is down, no more than can be; and whether it is."""
    if gone is None:
        return None, None, False
    area, net, is_out = learned.level_area_cm2, learned.net, False
    below = gone.value * 10_000.0 / area if area else None
    if net is not None:
        is_out = gone.value > net.value
        gone = Estimate(*(min(one, net.value) for one in (gone.value, gone.low, gone.high)))
    deepest = deepest_fall_mm(tank.shape, tank.sump)
    if below is not None and deepest is not None and below > deepest:
        below, is_out = deepest, True
    return gone, below, is_out


def _salinity_now(tank: Tank, learned: Learned, gone: Estimate | None) -> Estimate | None:
    """Return the salinity after what evaporated since the mark."""
    start, net = learned.salinity_at_mark, learned.net
    around = _around(learned, start)
    if around is None or gone is None or net is None or start is None:
        return around
    least, most = learned.salinity_by_loss or (start, start)
    by_loss = ((least, gone.low), (start, gone.value), (most, gone.high))
    low, value, high = (risen(tank, net.value, full, litres) for full, litres in by_loss)
    half = around.high - start
    # Where much was missing when water was changed, more salt went out: the ends may cross.
    spread_low = math.hypot(value - min(low, value, high), half)
    spread_high = math.hypot(max(low, value, high) - value, half)
    return Estimate(value, max(0.0, value - spread_low), value + spread_high)


def _with_reservoir(
    tank: Tank, learned: Learned, moment: Moment, loss: Estimate, factor: float
) -> TankWater:
    """Return the water of a tank that a reservoir keeps full, as long as it lasts."""
    log = learned.log
    reserve = tank.top_off.reserve_l or 0.0
    standing = standing_factor(learned, factor)
    limit = LimitForecast(base=log.mark, limit=Limit.RESERVOIR)
    left: Estimate | None = None
    days: Estimate | None = None
    gone: Estimate | None = None
    if log.mark is not None and log.content_l is not None:
        used = used_since(log.mark, learned, moment.now)
        content = log.content_l
        # What somebody poured into the reservoir, or into the tank, which spared it so much.
        added = log.added_since_l
        most = max(content, tank.top_off.reservoir_l or 0.0)
        left = Estimate(
            *(
                min(most, max(0.0, content + added - one))
                for one in (used.value, used.high, used.low)
            )
        )
        left_reading = getattr(log.mark.fact, "left_l", None) is not None
        limit = limit_from(
            log,
            learned,
            moment,
            content - reserve,
            Limit.RESERVOIR,
            standing,
            left_reading,
        )
        days = days_to(limit, moment)
        gone = Estimate(
            *(max(0.0, one - content - added) for one in (used.value, used.low, used.high))
        )
    capacity = tank.top_off.reservoir_l
    full = None
    if capacity is not None:
        # By a guess it is asked for early, but may wait to its middle: so it will come.
        bound: Bound = "upper" if is_learned(learned) else "median"
        full = lasting_days(learned, capacity - reserve, standing, bound)
    if log.found_empty is not None and gone is not None:
        left, limit = Estimate(0.0, 0.0, 0.0), reached(log.found_empty, moment)
        days = Estimate(0.0, 0.0, 0.0)
        gone = at_least(gone, gone_since_empty(log.found_empty, learned, moment.now, factor))
    gone, below, is_out = _bounded(tank, learned, gone)
    return TankWater(
        tank=tank,
        learned=learned,
        loss=loss,
        evaporated=gone,
        mm_below_mark=below,
        salinity=_salinity_now(tank, learned, gone),
        salinity_limit=_salinity_limit(tank, learned),
        limit=limit,
        reservoir_left=left,
        reservoir_days=days,
        full_lasts_days=full,
        is_out=is_out,
    )


def gone_until(water: TankWater, entry: Entry) -> Estimate | None:
    """Return what was gone from full when an entry was made, had nothing gone in since the mark.

    It is what was told at that moment. Of a tank with a reservoir, what it had lost beyond what the
    reservoir held.
    """
    learned, log = water.learned, water.learned.log
    if learned.state is None or log.mark is None or entry.at < log.mark.at:
        return None
    if water.tank.has_automatic_top_off and log.content_l is None:
        return None
    factor = factor_on(learned.factors, entry.day)
    held = log.content_l
    if held is None:
        lost = gone_since(log.mark, learned, entry.at, factor)
    else:
        lost = used_since(log.mark, learned, entry.at)
    gone = Estimate(*(max(0.0, one - (held or 0.0)) for one in (lost.value, lost.low, lost.high)))
    if log.found_empty is not None and log.found_empty.at <= entry.at:
        gone = at_least(gone, gone_since_empty(log.found_empty, learned, entry.at, factor))
    return _bounded(water.tank, learned, gone)[0]


def days_from_full(learned: Learned, litres: float, factor: float) -> Estimate:
    """Return the days until `litres` are lost of what is full now."""
    low = days_until(learned, litres, "upper", factor)
    high = days_until(learned, litres, "lower", factor)
    return Estimate(days_until(learned, litres, "median", factor), low, high)


def harm_begins(water: TankWater, moment: Moment) -> datetime | None:
    """Return when a tank itself reaches its limit at the upper bound of the loss; None unknown.

    That is later than its reservoir runs empty, by as long as the full tank may lose water.
    """
    limit, learned, tank = water.limit, water.learned, water.tank
    if limit.limit is not Limit.RESERVOIR or limit.limit_at is None or learned.state is None:
        return limit.limit_at
    allowed = allowed_loss(tank, learned)
    if allowed is None:
        return limit.limit_at
    litres = allowed[0] + (tank.top_off.reserve_l or 0.0)
    factor = standing_factor(learned, factor_on(learned.factors, moment.day))
    return limit.limit_at + timedelta(days=days_until(learned, litres, "upper", factor))


def hours_to_limit(water: TankWater, moment: Moment) -> float | None:
    """Return the hours until the first limit at the upper bound of the loss; 0 once passed.

    Of one that is only expected, no less than until its expected round, as nothing warns before.
    Of a tank that is too salty even when full the limit is passed at the mark already; what its
    forecast tells then is how long it may rise further before it is filled.
    """
    if water.limit.limit_at is None:
        return None
    if water.limit.limit is Limit.SALINITY and is_past_when_full(water.tank, water.learned):
        return 0.0
    at = max(water.limit.limit_at, expected_round(water.limit, moment) or water.limit.limit_at)
    return max(0.0, (at - moment.now).total_seconds() / 3600.0)


def expected_round(limit: LimitForecast, moment: Moment) -> datetime | None:
    """Return the round before which nothing warns of a limit that is only expected, else None.

    The span of what is only expected is wide: the round asks early, a warning would be wrong most
    of the time before the expected day (a choice of this project).
    """
    if not limit.is_expected or limit.median_on is None:
        return None
    return moment.round_on(limit.median_on)


def is_loss_unsure(water: TankWater) -> bool:
    """Tell whether what warns of a limit rests on a loss that the log has not told well yet."""
    loss = water.loss
    return water.limit.is_expected or (loss is not None and loss.high > UNSURE_LOSS * loss.value)


def can_fill_from(water: TankWater, moment: Moment) -> datetime | None:
    """Return from when on there is something to top off again; None without a limit.

    A tank that was just filled takes nothing. What its salinity rises by waits for the next day, as
    its chore does, and what is past by then for the round of that day: so small a rise harms
    nothing. Of a level that falls to its limit sooner, half is gone by halfway.
    """
    mark, until = water.limit.base, water.limit.limit_at
    if mark is None or until is None:
        return None
    if water.limit.limit is not Limit.SALINITY:
        return mark.at + (until - mark.at) / 2
    day_after = mark.day + timedelta(days=1)
    begins = moment.at(day_after, moment.day_begins)
    return begins if until > begins else moment.round_on(day_after)
