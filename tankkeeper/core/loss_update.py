"""The equations by which one measured interval moves what is known of a tank's loss.

The soft update is the probabilistic data association form of the tracking literature
(Bar-Shalom, from memory); its constants are this project's.

A room where windows stand open for days makes the loss swing for days, and the rate follows such
swings though they pass. How far they go is told by neighbouring entries that depart from the mean
of a week to the same side: white scatter and the error of a level do not, or the other way. What
they exceed the wandering that is supposed anyway widens the spans (`unrest`). Its constants were
chosen on simulated logs, see tests/benchmarks/bench_loss_filter.py.
"""

from __future__ import annotations

from enum import StrEnum
from math import exp, log, sqrt
from typing import NamedTuple

from tankkeeper.core.values import dataclass

_LN2 = log(2.0)
_BASELINE_CLOSES = 8
_BASELINE_DAYS = 30.0
_UNLOGGED_VARIANCE = 0.35**2
_SPILL_VARIANCE = 0.6**2
_STEP_VARIANCE = 0.6**2
LEAST_NOISE, MOST_NOISE = 0.35, 9.0
_SETTLING_CLOSES = 3
_MIDDLE_DAYS = 7.0
_LARGEST_DEPARTURE = 0.4
_SWING_CLOSES = 25
_USUAL_SWING = 0.004


class FlagKind(StrEnum):
    """What the log of fills tells beside the rate."""

    CHECK_ENTRY = "check entry"
    STEP_UP = "step up"
    STEP_DOWN = "step down"
    DRIFT_UP = "drift up"


@dataclass(frozen=True, slots=True)
class LossSettings:
    """How much the loss wanders and how well a fill is measured; `level_error_l` is s_abs."""

    wander: float = 0.035
    relative_error: float = 0.13
    level_error_l: float = 0.25
    unlogged_share: float = 0.04
    spilled_share: float = 0.02


DEFAULT_SETTINGS = LossSettings()


class Learned(NamedTuple):
    """The moving part of the state, in the letters of the equations."""

    x: float
    p: float
    lam: float
    n: int
    m: int
    sign: int
    y: float
    r: float
    closes: int
    xb: float
    armed: bool
    middle: float
    departure: float
    swing: float


def _weight(d: float, s: float, settings: LossSettings) -> float:
    """Return the probability that the entry is a plain fill; densities without sqrt(2 pi)."""
    low, high = settings.unlogged_share, settings.spilled_share
    s_low, d_low = s + _UNLOGGED_VARIANCE, d + _LN2
    s_high, d_high = s + _SPILL_VARIANCE, d - _LN2
    plain = (1.0 - low - high) * exp(-0.5 * d * d / s) / sqrt(s)
    unlogged = low * exp(-0.5 * d_low * d_low / s_low) / sqrt(s_low)
    spilled = high * exp(-0.5 * d_high * d_high / s_high) / sqrt(s_high)
    total = plain + unlogged + spilled
    return plain / total if total > 0.0 else 0.0


def observe(
    k: Learned, litres: float, dt: float, g: float, settings: LossSettings
) -> tuple[Learned, FlagKind | None]:
    """Return the state after one measured interval, its variance being predicted already."""
    x, p, lam, n, m, _, _, _, closes, xb, armed, middle, departure, swing = k
    y = log(litres / (dt * g))
    vhat = exp(x) * g * dt
    floor = 2.0 * settings.level_error_l
    level = settings.level_error_l / (vhat if vhat > floor else floor)
    scatter = settings.relative_error * settings.relative_error
    r = lam * (scatter / (sqrt(dt) if dt > 1.0 else 1.0) + 2.0 * level * level)
    s = p + r
    d = y - x
    w = 1.0 if n < 3 else _weight(d, s, settings)
    if w < 0.5:
        return _set_aside(k, d, y, r)
    gain = p / s
    moved = gain * d
    p = (1.0 - w * gain) * p + moved * moved * w * (1.0 - w)
    x += w * moved
    n += 1
    if n > 4:
        lam, m = _noise(lam, m, w, d * d / s)
    closes += 1
    if closes > _SETTLING_CLOSES:
        before, departure = departure, _within(y - middle)
        swing += (departure * before - swing) / (m if m < _SWING_CLOSES else _SWING_CLOSES)
        middle += (1.0 - exp(-dt / _MIDDLE_DAYS)) * (x - middle)
    else:
        middle = x
    if closes <= _BASELINE_CLOSES:
        xb = x
    else:
        xb += (1.0 - exp(-dt / _BASELINE_DAYS)) * (x - xb)
    return Learned(x, p, lam, n, m, 0, 0.0, 0.0, closes, xb, armed, middle, departure, swing), None


def _within(departure: float) -> float:
    """Return a departure from the mean of the week; one far out counts as a large one."""
    return min(max(departure, -_LARGEST_DEPARTURE), _LARGEST_DEPARTURE)


def unrest(swing: float) -> float:
    """Return by how much the loss swings for days beyond the wandering that is supposed anyway.

    >>> unrest(0.003), round(unrest(0.014), 3)
    (0.0, 0.01)
    """
    return max(0.0, swing - _USUAL_SWING)


def _noise(lam: float, m: int, w: float, misfit: float) -> tuple[float, int]:
    """Return how much larger the scatter is than assumed, after one more misfit."""
    m += 1
    step = w / m if m < 40 else w / 40.0
    lam *= 1.0 + step * ((misfit if misfit < 9.0 else 9.0) - 1.0)
    return min(max(lam, LEAST_NOISE), MOST_NOISE), m


def _set_aside(k: Learned, d: float, y: float, r: float) -> tuple[Learned, FlagKind]:
    """Return the state with an odd entry kept for later, or taken as a step with the one before.

    A step is told by its own flag, so the baseline and the mean of the week move with it.
    """
    sign = 1 if d > 0.0 else -1
    if k.sign != sign:
        waiting = k._replace(sign=sign, y=y, r=r, closes=k.closes + 1)
        return waiting, FlagKind.CHECK_ENTRY
    x, p = k.x, k.p + _STEP_VARIANCE
    for seen_y, seen_r in ((k.y, k.r), (y, r)):
        gain = p / (p + seen_r)
        x += gain * (seen_y - x)
        p *= 1.0 - gain
    kind = FlagKind.STEP_UP if sign > 0 else FlagKind.STEP_DOWN
    found = Learned(
        x, p, k.lam, k.n + 2, k.m, 0, 0.0, 0.0, k.closes + 1, x, k.armed, x, 0.0, k.swing
    )
    return found, kind
