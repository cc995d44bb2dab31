"""The daily loss of a tank, learned from the litres that fill it to its mark again.

The state is the logarithm x of the loss per day with its variance P. An interval between two
fills to the mark is one observation; an entry that does not fit is set aside until the next one
tells whether it was a slip or a step. The equations stand in `loss_update`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import astuple, replace
from datetime import UTC, datetime
from math import exp, inf, log, sqrt
from typing import Literal

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import DAYS_IN_FACTOR_MONTH, Prior
from tankkeeper.core.loss_update import DEFAULT_SETTINGS, Learned, observe, unrest
from tankkeeper.core.loss_update import FlagKind as FlagKind
from tankkeeper.core.loss_update import LossSettings as LossSettings
from tankkeeper.core.values import dataclass

SHORTEST_INTERVAL_DAYS = 0.25
LARGEST_SHARE_OF_VOLUME = 0.25
FARTHEST_DAYS = 730.0
Z90 = 1.6448536269514722
_SECONDS_PER_DAY = 86_400.0
_DRIFT = log(1.3)
_CHANGE_VARIANCE = 0.4**2
# Of the unrest, what the present rate may be off by, and what the coming loss departs from it.
_UNREST_OF_RATE, _UNREST_OF_LOSS = 1.7, 0.4

# After all that was ever logged.
FAR = datetime.max.replace(tzinfo=UTC)

Bound = Literal["upper", "median", "lower"]


@dataclass(frozen=True, slots=True)
class LossFlag:
    """One thing noticed at a fill: which way it departs, with the litres and the expected ones."""

    kind: FlagKind
    at: datetime
    is_high: bool
    litres: float
    expected_l: float


@dataclass(frozen=True, slots=True)
class Fill:
    """Litres put into a tank; `closes` when they brought it to its mark.

    Litres taken out count as negative, so a water change that restores the mark is added less
    removed. `estimated` litres were accepted as proposed: they reset the level, no more.
    """

    at: datetime
    litres: float
    estimated: bool = False
    closes: bool = True


def level_error_l(level_area_cm2: float | None) -> float:
    """Return the litres of three millimetres on the level area, 0.25 L where it is unknown."""
    return 0.25 if level_area_cm2 is None else level_area_cm2 * 0.3 / 1000.0


@dataclass(frozen=True, slots=True)
class LossState:
    """What is known of a tank's loss after some fills; plain numbers, so it can be kept.

    `counted_from_s` and `counted_until_s` lie as far apart as the time of the accepted fills is
    long, None before the first; what was accepted as proposed in between moves both on.
    """

    log_rate: float
    variance: float
    noise: float = 1.0
    accepted: int = 0
    closes: int = 0
    noise_steps: int = 12
    baseline: float = 0.0
    drift_is_armed: bool = True
    open_litres: float = 0.0
    open_is_estimated: bool = False
    last_at_s: float | None = None
    last_factor: float = 1.0
    pending_sign: int = 0
    pending_y: float = 0.0
    pending_error: float = 0.0
    middle: float = 0.0
    departure: float = 0.0
    swing: float = 0.0
    counted_from_s: float | None = None
    counted_until_s: float | None = None

    @property
    def counted_days(self) -> float:
        """The days in which the accepted fills lie, without those that nobody measured."""
        if self.counted_from_s is None or self.counted_until_s is None:
            return 0.0
        return (self.counted_until_s - self.counted_from_s) / _SECONDS_PER_DAY

    def to_numbers(self) -> tuple[float, ...]:
        """Return the state as one flat row of finite numbers."""
        has_mark = self.last_at_s is not None
        numbers = (float(0.0 if each is None else each) for each in astuple(self))
        return (*numbers, float(has_mark))

    @classmethod
    def from_numbers(cls, numbers: Sequence[float]) -> LossState:
        """Return the state that `to_numbers` was asked of."""
        x, p, lam, n, c, m, xb, armed, litres, estimated, at, g, sign, y, r, *week, mark = numbers
        middle, departure, swing, since, until = week
        return cls(
            log_rate=x,
            variance=p,
            noise=lam,
            accepted=int(n),
            closes=int(c),
            noise_steps=int(m),
            baseline=xb,
            drift_is_armed=bool(armed),
            open_litres=litres,
            open_is_estimated=bool(estimated),
            last_at_s=at if mark else None,
            last_factor=g,
            pending_sign=int(sign),
            pending_y=y,
            pending_error=r,
            middle=middle,
            departure=departure,
            swing=swing,
            counted_from_s=since if n else None,
            counted_until_s=until if n else None,
        )


def start(prior: Prior, marked_at: datetime | None = None, factor: float = 1.0) -> LossState:
    """Return the state before any fill; with `marked_at` the tank stood at its mark then.

    `factor` is the season's on the day that the prior was worked out for: the state holds the
    loss under the reference conditions, so the season must be taken off once.
    """
    for field, value in (("loss_l_per_day", prior.loss_l_per_day), ("sd_ln", prior.sd_ln)):
        if not 0.0 < value < inf:
            raise out_of_range(field, value, 0.0, 1e5, "more_than_zero")
    x = log(prior.loss_l_per_day / factor)
    return LossState(
        log_rate=x,
        variance=prior.sd_ln**2,
        baseline=x,
        middle=x,
        last_at_s=None if marked_at is None else _seconds(marked_at),
        last_factor=factor,
    )


def _seconds(at: datetime) -> float:
    if at.tzinfo is None:
        raise ValueError("a fill needs a moment with its zone")
    return at.timestamp()


def check_fill(state: LossState, fill: Fill, volume_l: float | None = None) -> None:
    """Refuse a fill that cannot be as the next entry of the log."""
    if fill.closes and state.last_at_s is not None and _seconds(fill.at) <= state.last_at_s:
        raise UserFault("not_after_last_fill", at=fill.at)
    if fill.closes and fill.litres + state.open_litres <= 0.0:
        raise out_of_range("litres", fill.litres, 0.0, 1e5, "more_than_zero")
    if volume_l is not None and fill.litres > LARGEST_SHARE_OF_VOLUME * volume_l:
        high = LARGEST_SHARE_OF_VOLUME * volume_l
        raise out_of_range("litres", fill.litres, 0.0, high, "quarter_of_volume")


def _close(
    k: Learned, fill: Fill, litres: float, dt: float, g: float, settings: LossSettings
) -> tuple[Learned, LossFlag | None]:
    """Return the state after one measured interval, with what was noticed at its end."""
    kind: FlagKind | None
    before = k
    if litres > 0.0:
        k, kind = observe(k, litres, dt, g, settings)
    else:
        kind = FlagKind.CHECK_ENTRY  # more was taken out than went in: no loss can be read off it
    rise = k.x - k.xb
    if rise < 0.5 * _DRIFT:
        if not k.armed:
            k = k._replace(armed=True)
    elif k.armed and kind is None and rise > max(_DRIFT, 2.0 * sqrt(k.p)):
        k, kind = k._replace(armed=False), FlagKind.DRIFT_UP
    if kind is None:
        return k, None
    expected = exp(before.x) * g * dt
    return k, LossFlag(kind, fill.at, litres > expected, litres, expected)


def fold(
    state: LossState,
    fills: Iterable[Fill],
    settings: LossSettings = DEFAULT_SETTINGS,
    factors: Sequence[float] | None = None,
) -> tuple[LossState, tuple[LossFlag, ...]]:
    """Return the state after `fills` in order of time, and what was noticed on the way.

    `factors` is the season's table of `evaporation.climate_factors`. The first fill to the mark
    only sets it, unless `start` was told when the tank stood there. Folding in pieces gives the
    same as folding at once.
    """
    k = _learned(state)
    litres, is_estimated = state.open_litres, state.open_is_estimated
    last, g_last = state.last_at_s, state.last_factor
    wander = settings.wander * settings.wander
    since, until = state.counted_from_s, state.counted_until_s
    flags: list[LossFlag] = []
    for fill in fills:
        litres += fill.litres
        is_estimated = is_estimated or fill.estimated
        if not fill.closes:
            continue
        now, g_now = _seconds(fill.at), _factor(factors, fill.at)
        if last is not None:
            dt = _days(last, now, fill)
            if dt < SHORTEST_INTERVAL_DAYS and not fill.estimated:
                continue
            k = k._replace(p=k.p + k.lam * wander * dt)
            if not is_estimated:
                before = k.n
                k, flag = _close(k, fill, litres, dt, 0.5 * (g_last + g_now), settings)
                if k.n > before:
                    since, until = last if since is None else since, now
                if flag is not None:
                    flags.append(flag)
            elif since is not None and until is not None:
                # What nobody measured is no time that taught something.
                since, until = since + (now - last), until + (now - last)
        last, g_last, litres, is_estimated = now, g_now, 0.0, False
    return _state(k, litres, is_estimated, last, g_last, (since, until)), tuple(flags)


def _factor(factors: Sequence[float] | None, at: datetime) -> float:
    if factors is None:
        return 1.0
    return factors[(at.month - 1) * DAYS_IN_FACTOR_MONTH + at.day - 1]


def _days(last: float, now: float, fill: Fill) -> float:
    if now < last:
        raise UserFault("fills_out_of_order", at=fill.at)
    return (now - last) / _SECONDS_PER_DAY


def _learned(state: LossState) -> Learned:
    return Learned(
        x=state.log_rate,
        p=state.variance,
        lam=state.noise,
        n=state.accepted,
        m=state.noise_steps,
        sign=state.pending_sign,
        y=state.pending_y,
        r=state.pending_error,
        closes=state.closes,
        xb=state.baseline,
        armed=state.drift_is_armed,
        middle=state.middle,
        departure=state.departure,
        swing=state.swing,
    )


def _state(
    k: Learned,
    litres: float,
    is_estimated: bool,
    last: float | None,
    g_last: float,
    counted: tuple[float | None, float | None],
) -> LossState:
    return LossState(
        log_rate=k.x,
        variance=k.p,
        noise=k.lam,
        accepted=k.n,
        closes=k.closes,
        noise_steps=k.m,
        baseline=k.xb,
        drift_is_armed=k.armed,
        open_litres=litres,
        open_is_estimated=is_estimated,
        last_at_s=last,
        last_factor=g_last,
        pending_sign=k.sign,
        pending_y=k.y,
        pending_error=k.r,
        middle=k.middle,
        departure=k.departure,
        swing=k.swing,
        counted_from_s=counted[0],
        counted_until_s=counted[1],
    )


def conditions_changed(state: LossState) -> LossState:
    """Return the state after a stated change of lid, fan, heater or room: unsure, no alarm.

    Baseline and mean of the week settle anew over the next closes, as at the start, so that the
    change which was told is not found again as a creeping rise or as unrest.
    """
    variance = state.variance + _CHANGE_VARIANCE
    x = state.log_rate
    return replace(state, variance=variance, baseline=x, closes=0, middle=x, departure=0.0)


def fold_restated(
    state: LossState,
    fills: Sequence[Fill],
    changes: Iterable[datetime],
    settings: LossSettings = DEFAULT_SETTINGS,
    factors: Sequence[float] | None = None,
) -> tuple[LossState, tuple[LossFlag, ...]]:
    """Return what `fold` does, with stated changes of the conditions at these moments.

    What was changed before the first fill is what the expectation was worked out from.
    """
    return next(folded_until(state, fills, changes, [FAR], settings, factors))


def folded_until(
    state: LossState,
    fills: Sequence[Fill],
    changes: Iterable[datetime],
    moments: Iterable[datetime],
    settings: LossSettings = DEFAULT_SETTINGS,
    factors: Sequence[float] | None = None,
) -> Iterator[tuple[LossState, tuple[LossFlag, ...]]]:
    """Give what `fold_restated` does of what was logged by each of these moments, in order."""
    flags: list[LossFlag] = []
    times, left, done = [one.at for one in fills], deque(sorted(changes)), 0
    for moment in moments:
        while left and left[0] <= moment:
            until = bisect_right(times, left.popleft())
            if not until:
                continue
            state, more = fold(state, fills[done:until], settings, factors)
            flags.extend(more)
            state, done = conditions_changed(state), until
        until = bisect_right(times, moment)
        state, more = fold(state, fills[done:until], settings, factors)
        flags.extend(more)
        done = until
        yield state, tuple(flags)


def rate(state: LossState, factor: float = 1.0) -> float:
    """Return the loss in litres a day; `factor` is the season's."""
    return exp(state.log_rate) * factor


def span(state: LossState, factor: float = 1.0) -> Estimate:
    """Return the loss in litres a day with its 90 % span, swings of some days left out of it."""
    variance = state.variance + _UNREST_OF_RATE * unrest(state.swing)
    return _estimate(rate(state, factor), sqrt(variance))


def _estimate(value: float, sd_ln: float) -> Estimate:
    wide = exp(Z90 * sd_ln)
    return Estimate(value, value / wide, value * wide)


def _loss_sd(state: LossState, h_days: float, settings: LossSettings) -> float:
    drifted = settings.wander**2 * h_days
    scatter = settings.relative_error**2 / sqrt(max(h_days, 1.0))
    known = state.variance + _UNREST_OF_LOSS * unrest(state.swing)
    return sqrt(known + state.noise * (drifted + scatter))


def loss_over(
    state: LossState,
    h_days: float,
    factor: float = 1.0,
    settings: LossSettings = DEFAULT_SETTINGS,
) -> Estimate:
    """Return the litres lost over the next `h_days`, with their 90 % span."""
    if not 0.0 <= h_days <= FARTHEST_DAYS:
        raise out_of_range("days", h_days, 0.0, FARTHEST_DAYS)
    return _estimate(rate(state, factor) * h_days, _loss_sd(state, h_days, settings))


def upper_loss(
    state: LossState,
    h_days: float,
    factor: float = 1.0,
    settings: LossSettings = DEFAULT_SETTINGS,
) -> float:
    """Return the litres that the loss over `h_days` stays below, 19 times in 20."""
    return loss_over(state, h_days, factor, settings).high


def days_until_loss(
    state: LossState,
    litres: float,
    bound: Bound = "upper",
    factor: float = 1.0,
    settings: LossSettings = DEFAULT_SETTINGS,
) -> float | None:
    """Return after how many days `litres` are lost by this bound; None when not within two years.

    The upper bound is the soonest day, the one that due dates use; the lower bound the latest.
    """
    if litres <= 0.0:
        return 0.0
    middle = litres / rate(state, factor)
    if bound == "median":
        return middle if middle <= FARTHEST_DAYS else None
    z = Z90 if bound == "upper" else -Z90
    aim = log(middle)

    def excess(h: float) -> float:
        return log(h) + z * _loss_sd(state, h, settings) - aim

    low = high = middle
    while excess(high) < 0.0:
        if high >= FARTHEST_DAYS:
            return None
        low, high = high, min(2.0 * high, FARTHEST_DAYS)
    while excess(low) >= 0.0:
        low, high = 0.5 * low, low
    found = _crossing(excess, low, high)
    return found if found <= FARTHEST_DAYS else None


def _crossing(excess: Callable[[float], float], low: float, high: float) -> float:
    """Return where `excess` rises through zero between `low` and `high`, to a billionth.

    By false position with the value of an end that stays halved, the Illinois rule (Dowell and
    Jarratt, BIT 11, 1971; from memory), which asks far less often than halving the interval.
    """
    at_low, at_high, stayed = excess(low), excess(high), 0
    while high - low > 1e-9 * high:
        between = high - at_high * (high - low) / (at_high - at_low)
        found = excess(between)
        if abs(found) < 1e-10:
            return between
        if found > 0.0:
            high, at_high = between, found
            at_low = 0.5 * at_low if stayed < 0 else at_low
            stayed = -1
        else:
            low, at_low = between, found
            at_high = 0.5 * at_high if stayed > 0 else at_high
            stayed = 1
    return high
