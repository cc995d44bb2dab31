"""Where a measured value is going: level and rate a day, from readings that carry errors.

A local linear trend (level and rate, both free to wander) is followed through every reading by a
Kalman filter (R. E. Kalman, "A New Approach to Linear Filtering and Prediction Problems", Journal
of Basic Engineering 82, 1960; the trend model after A. C. Harvey, "Forecasting, Structural Time
Series Models and the Kalman Filter", 1989, from memory). How restless the rate is and how well
somebody reads a colour are not known beforehand, so twenty such filters run side by side, each
weighted by how well it foretold the readings so far. What is known to have been poured in, such as
a water change, moves level and uncertainty as a known step.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import erfc, exp, log, pi, sqrt
from typing import NamedTuple

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.values import dataclass

# Judgement, no source; what they give is measured in tests/benchmarks/bench_trend_filter.py.
_RATE_NOISES = ((0.0, 0.30), (0.003, 0.30), (0.01, 0.25), (0.03, 0.10), (0.1, 0.05))
_READING_NOISES = ((0.6, 0.25), (1.0, 0.50), (1.6, 0.17), (2.5, 0.08))
_LEVEL_NOISE = 0.05
_FIRST_RATE = 1.5
# A reading that misses by more than this many spreads is believed less.
_FAR = 2.5
NINETY = 1.6448536269514722
HORIZON_DAYS = 60


@dataclass(frozen=True, slots=True)
class TrendSettings:
    """How a parameter is read and how it moves, in its stored unit.

    A reading `y` has the variance `error`² + (`share`·y)² + `step`²/12; `rate` is what it usually
    moves a day, rather given too large than too small.
    """

    error: float
    rate: float
    share: float = 0.0
    step: float = 0.0

    def variance(self, value: float) -> float:
        """Return the variance of one reading of `value`."""
        return self.error**2 + (self.share * value) ** 2 + self.step**2 / 12.0


class Reading(NamedTuple):
    """A measured value, `at` in days."""

    at: float
    value: float


class Mixed(NamedTuple):
    """Something poured in: `share` of the water replaced, then a rise with its spread.

    A water change of the share f with new water at c has the rise f·c; a dose has no share.
    """

    at: float
    share: float
    rise: float
    spread: float


Event = Reading | Mixed


class Path(NamedTuple):
    """One filter's view: level, rate, their covariance, and the noises it supposes."""

    level: float
    rate: float
    pll: float
    plr: float
    prr: float
    rate_noise: float = 0.0
    level_noise: float = 0.0


@dataclass(frozen=True, slots=True)
class Trend:
    """The weighted views after the last event, which was `at` (days)."""

    at: float
    readings: int
    paths: tuple[tuple[float, Path], ...]
    is_restarted: bool = False

    def after(self, days: float) -> Estimate:
        """Return the value `days` after the last event with its 90 % span."""
        return _estimate([(w, p.level, p.pll) for w, p in self._ahead(days)])

    @property
    def rate(self) -> Estimate:
        """The change a day with its 90 % span."""
        return _estimate([(w, p.rate, p.prr) for w, p in self.paths])

    def chance_outside(self, days: float, low: float | None, high: float | None) -> float:
        """Return the probability that the value lies outside a range `days` after the event."""
        total = 0.0
        for weight, path in self._ahead(days):
            spread = sqrt(path.pll)
            if low is not None:
                total += weight * _below((low - path.level) / spread)
            if high is not None:
                total += weight * _below((path.level - high) / spread)
        return total

    def _ahead(self, days: float) -> list[tuple[float, Path]]:
        return [(weight, advanced(path, days)) for weight, path in self.paths]


def follow(events: Sequence[Event], settings: TrendSettings) -> Trend | None:
    """Return the trend of events in order of time, or None without a reading.

    What comes before the first reading tells nothing. Two readings in a row that miss by far to
    the same side mean that something happened that nobody wrote down: the trend starts again from
    the first of them. Raises ValueError where the events are not in order.
    """
    if any(later.at < earlier.at for earlier, later in pairwise(events)):
        raise ValueError("events out of order")
    first = next((i for i, one in enumerate(events) if isinstance(one, Reading)), None)
    if first is None:
        return None
    used = events[first:]
    trend, broken_at = _mixture(used, settings)
    if broken_at is None:
        return trend
    again = follow(used[broken_at:], settings)
    assert again is not None
    return Trend(again.at, again.readings, again.paths, is_restarted=True)


def first_day(trend: Trend, low: float | None, high: float | None, chance: float) -> int | None:
    """Return the first whole day after the last event on which the value is outside so likely.

    None when that day does not come within 60 days.
    """
    for day in range(1, HORIZON_DAYS + 1):
        if trend.chance_outside(day, low, high) >= chance:
            return day
    return None


def _mixture(events: Sequence[Event], settings: TrendSettings) -> tuple[Trend, int | None]:
    """Return the trend, and the place of the first of two far misses to one side."""
    views: list[tuple[float, Path]] = []
    misses: list[list[tuple[int, float]]] = []
    scores: list[float] = []
    for share, share_prior in _RATE_NOISES:
        for factor, factor_prior in _READING_NOISES:
            path, score, missed = _one(events, settings, share, factor)
            views.append((share_prior * factor_prior, path))
            scores.append(score)
            misses.append(missed)
    best = max(scores)
    weights = [prior * exp(score - best) for (prior, _), score in zip(views, scores, strict=True)]
    total = sum(weights)
    paths = tuple((w / total, path) for w, (_, path) in zip(weights, views, strict=True))
    heaviest = max(range(len(weights)), key=weights.__getitem__)
    count = sum(isinstance(one, Reading) for one in events)
    return Trend(events[-1].at, count, paths), _break(events, misses[heaviest])


def _one(
    events: Sequence[Event], settings: TrendSettings, rate_share: float, reading_factor: float
) -> tuple[Path, float, list[tuple[int, float]]]:
    """Return one filter's view after all events, its log likelihood, and its far misses."""
    first, k2 = events[0], reading_factor**2
    assert isinstance(first, Reading)
    path = Path(
        level=first.value,
        rate=0.0,
        pll=k2 * settings.variance(first.value),
        plr=0.0,
        prr=(_FIRST_RATE * settings.rate) ** 2,
        rate_noise=(rate_share * settings.rate) ** 2,
        level_noise=(_LEVEL_NOISE * settings.rate) ** 2,
    )
    score, missed, at = 0.0, [], first.at
    for place, event in enumerate(events[1:], start=1):
        path, at = advanced(path, event.at - at), event.at
        if isinstance(event, Mixed):
            path = mixed(path, event)
            continue
        path, gain, miss = measured(path, event.value, k2 * settings.variance(event.value))
        score += gain
        if abs(miss) > _FAR:
            missed.append((place, miss))
    return path, score, missed


def _break(events: Sequence[Event], missed: Sequence[tuple[int, float]]) -> int | None:
    """Return the place of the first of two readings in a row that miss to the same side."""
    readings = [place for place, one in enumerate(events) if isinstance(one, Reading)]
    number = {place: count for count, place in enumerate(readings)}
    for (place, miss), (later, again) in pairwise(missed):
        if number[later] == number[place] + 1 and miss * again > 0.0:
            return place
    return None


def advanced(path: Path, days: float) -> Path:
    """Return a view `days` later, nothing read meanwhile."""
    level, rate, pll, plr, prr, q, ql = path
    return Path(
        level + rate * days,
        rate,
        pll + 2.0 * days * plr + days**2 * prr + ql * days + q * days**3 / 3.0,
        plr + days * prr + q * days**2 / 2.0,
        prr + q * days,
        q,
        ql,
    )


def mixed(path: Path, event: Mixed) -> Path:
    """Return a view after something was poured in."""
    kept = 1.0 - event.share
    return path._replace(
        level=kept * path.level + event.rise,
        pll=kept**2 * path.pll + event.spread**2,
        plr=kept * path.plr,
    )


def measured(path: Path, value: float, variance: float) -> tuple[Path, float, float]:
    """Return a view after a reading, the log likelihood it adds, and the miss in spreads."""
    miss = value - path.level
    spread2 = path.pll + variance
    spreads = miss / sqrt(spread2)
    if abs(spreads) > _FAR:
        spread2 = (miss / _FAR) ** 2
    kl, kr = path.pll / spread2, path.plr / spread2
    seen = path._replace(
        level=path.level + kl * miss,
        rate=path.rate + kr * miss,
        pll=path.pll - kl * path.pll,
        plr=path.plr - kl * path.plr,
        prr=path.prr - kr * path.plr,
    )
    return seen, -0.5 * (log(2.0 * pi * spread2) + miss**2 / spread2), spreads


def _estimate(parts: Iterable[tuple[float, float, float]]) -> Estimate:
    """Return the mean of weighted normal parts with its 90 % span."""
    known = list(parts)
    mean = sum(weight * value for weight, value, _ in known)
    variance = sum(weight * (own + (value - mean) ** 2) for weight, value, own in known)
    half = NINETY * sqrt(variance)
    return Estimate(mean, mean - half, mean + half)


def _below(z: float) -> float:
    """Return the share of a standard normal that lies below `z`."""
    return 0.5 * erfc(-z / sqrt(2.0))
