"""What a tank has lost since its mark, and from when on a limit is reached by that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from tankkeeper.core import loss_filter
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import factor_on
from tankkeeper.core.fills import FillLog
from tankkeeper.core.logbook import Entry
from tankkeeper.core.loss_filter import Bound
from tankkeeper.core.moment import Moment
from tankkeeper.core.tank_learning import Learned, is_learned
from tankkeeper.core.water_turns import Limit, LimitForecast


def standing_factor(learned: Learned, factor: float) -> float:
    """Return the season's factor of the day of the mark, today's without one.

    Dates are foreseen by it, so that none moves because a day has passed and the season with it.
    """
    mark = learned.log.mark
    return factor if mark is None else factor_on(learned.factors, mark.day)


def gone_since(mark: Entry, learned: Learned, at: datetime, factor: float) -> Estimate:
    """Return what was lost from a mark to a moment, by the seasons of both days."""
    between = 0.5 * (standing_factor(learned, factor) + factor)
    return lost_over(learned, _days_from(mark, at), between)


def used_since(mark: Entry, learned: Learned, at: datetime) -> Estimate:
    """Return what a reservoir gave since a mark, by the season by which its end is foreseen."""
    return lost_over(learned, _days_from(mark, at), standing_factor(learned, 1.0))


def gone_since_empty(found: Entry, learned: Learned, at: datetime, factor: float) -> Estimate:
    """Return what a tank lost at least since its reservoir was found empty."""
    return lost_over(learned, _days_from(found, at), factor)


def lost_over(learned: Learned, days: float, factor: float) -> Estimate:
    """Return the litres lost in `days`; after two years nobody knows more than that."""
    assert learned.state is not None
    known = min(days, loss_filter.FARTHEST_DAYS)
    return loss_filter.loss_over(learned.state, known, factor, learned.settings)


def at_least(one: Estimate, other: Estimate) -> Estimate:
    """Return an estimate that is nowhere below another."""
    return Estimate(max(one.value, other.value), max(one.low, other.low), max(one.high, other.high))


def _days_from(entry: Entry, at: datetime) -> float:
    return max(0.0, (at - entry.at).total_seconds() / 86400.0)


def days_until(learned: Learned, litres: float, bound: Bound, factor: float) -> float:
    """Return the days until `litres` are lost, at most as far as the filter looks."""
    assert learned.state is not None
    days = loss_filter.days_until_loss(learned.state, litres, bound, factor, learned.settings)
    return loss_filter.FARTHEST_DAYS if days is None else days


def lasting_days(
    learned: Learned, litres: float, factor: float, bound: Bound = "upper"
) -> float | None:
    """Return the days that a full tank or reservoir lasts, at the upper bound of the loss."""
    return None if litres <= 0.0 else days_until(learned, litres, bound, factor)


def whole_days(lasts: float | None) -> int | None:
    """Return the whole days of what lasts so long, filled at the usual hour of the round."""
    return None if lasts is None else max(1, int(lasts))


def limit_from(
    log: FillLog,
    learned: Learned,
    moment: Moment,
    litres: float,
    kind: Limit,
    factor: float,
    can_repeat: bool = False,
) -> LimitForecast:
    """Return when `litres` are missing since the last mark: may be, likely are, surely are."""
    mark = log.mark
    if mark is None:
        return LimitForecast(base=None)
    soon = _missing_at(log.added, mark.at, learned, litres, "upper", factor)
    if kind is Limit.SALINITY:
        soon = max(soon, _since_read(log, learned, moment, litres, factor) or soon)
    usual = _missing_at(log.added, mark.at, learned, litres, "median", factor)
    last = _missing_at(log.added, mark.at, learned, litres, "lower", factor)
    return LimitForecast(
        base=mark,
        limit=kind,
        latest_on=last_round_before(soon, moment),
        median_on=last_round_before(usual, moment),
        limit_at=soon,
        likely_at=max(soon, usual),
        surely_at=max(soon, usual, last),
        can_repeat_on_base=can_repeat,
        is_expected=not is_learned(learned),
    )


def passed_where(is_sure: bool, limit: LimitForecast, moment: Moment) -> LimitForecast:
    """Return a forecast of a limit that surely is passed by now, where something else tells so.

    A reading beyond the limit leaves no doubt, however little the loss since the mark may be.
    """
    likely, surely = limit.likely_at, limit.surely_at
    if not is_sure or likely is None or surely is None or surely <= moment.now:
        return limit
    soon = min(limit.limit_at or moment.now, moment.now)
    return replace(limit, limit_at=soon, likely_at=min(likely, moment.now), surely_at=moment.now)


def _since_read(
    log: FillLog, learned: Learned, moment: Moment, litres: float, factor: float
) -> datetime | None:
    """Return from when on `litres` may be missing of a salinity that was read within its limit.

    Unsure is only what went since then. None where it was not read since the mark, or was beyond.
    """
    read_at, mark = learned.salinity_read_at, log.mark
    if read_at is None or mark is None or read_at < mark.at:
        return None
    # By the same season as the reading was brought back to the mark.
    season = factor_on(learned.factors, moment.day_of(read_at))
    gone = lost_over(learned, _days_from(mark, read_at), season).value
    left = litres - max(0.0, gone - sum(one for at, one in log.added if at <= read_at))
    if left <= 0.0:
        return None
    later = [(at, one) for at, one in log.added if at > read_at]
    return _missing_at(later, read_at, learned, left, "upper", factor)


def _missing_at(
    came_in: Sequence[tuple[datetime, float]],
    begin: datetime,
    learned: Learned,
    litres: float,
    bound: Bound,
    factor: float,
) -> datetime:
    """Return since when, or from when on, `litres` are missing that were not at the beginning.

    What came in too late or was too little to make up for it changes nothing of since when. What
    likely brought the water back within its limit does, also where that is not sure.
    """

    def passed(bound: Bound, litres: float) -> datetime:
        return begin + timedelta(days=days_until(learned, litres, bound, factor))

    added = sum(one for _, one in came_in)
    for at, one in reversed(came_in):
        found = passed(bound, litres + added)
        if found > at:
            return found
        before = litres + added - one
        if passed("median", before) <= at < passed("median", litres + added):
            return at
        added -= one
    return passed(bound, litres + added)


def last_round_before(limit_at: datetime, moment: Moment) -> date:
    """Return the last logical day whose usual round is not later than `limit_at`."""
    day = moment.day_of(limit_at)
    return day if moment.round_on(day) <= limit_at else day - timedelta(days=1)


def reached(empty: Entry, moment: Moment) -> LimitForecast:
    """Return the forecast once somebody saw that nothing is left."""
    on, at = moment.day_of(empty.at), empty.at
    return LimitForecast(
        base=empty,
        limit=Limit.RESERVOIR,
        latest_on=on,
        median_on=on,
        limit_at=at,
        can_repeat_on_base=True,
        likely_at=at,
        surely_at=at,
    )


def reckoned_loss(
    left: Estimate, reserve_l: float, days: Estimate
) -> tuple[float | None, float | None]:
    """Return the least and the most a day by which a reservoir lasts so long; None unbounded.

    It is wider than the loss of today: the coming loss may depart from that.
    """
    low = high = None
    if days.high > 0.0 and left.high > reserve_l:
        low = (left.high - reserve_l) / days.high
    if days.low > 0.0 and left.low > reserve_l:
        high = (left.low - reserve_l) / days.low
    return low, high


def days_to(limit: LimitForecast, moment: Moment) -> Estimate | None:
    """Return in how many days a limit is reached, 0 once it is passed; None unknown.

    It is the time to the very moments of the forecast, so that nothing that is told of how long
    the water lasts departs from the hour that is warned of.
    """
    if limit.limit_at is None or limit.likely_at is None or limit.surely_at is None:
        return None
    low, value, high = (
        max(0.0, (at - moment.now) / timedelta(days=1))
        for at in (limit.limit_at, limit.likely_at, limit.surely_at)
    )
    return Estimate(value, low, high)
