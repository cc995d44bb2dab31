"""Over how many days a large top-off is spread, with what evaporates on those days."""

from __future__ import annotations

import math

from tankkeeper.core.values import dataclass

# A tenth above the safe share of a day is read from the same jug, so that is no day more.
_SAME_JUG = 1.1
# Beyond this the days tell nothing: nearly all that goes in only replaces what a day takes.
_LONGEST_DAYS = 14
# What was poured is told in whole digits and not at the minute of the round: so small a share of
# a day that is left over makes no day more of what was promised.
_LEFT_OVER = 0.1


@dataclass(frozen=True, slots=True)
class Spread:
    """Litres that go in each day, on how many days; `is_whole` says that the tank is full then.

    `meanwhile_l` is what evaporates between the first and the last of them, part of what goes in.
    """

    days: int
    litres: float
    meanwhile_l: float = 0.0
    is_whole: bool = True


def spread(missing_l: float, safe_l: float, loss_l_per_day: float, *, is_rest: bool) -> Spread:
    """Return how litres go in of which no more than `safe_l` may on one day.

    As much on each day, so that who pours it is told the same the day after, of one day less.
    `is_rest` says that a part went in before. Where a day takes about as much as may go in on one,
    nobody can tell when the tank is full.
    """
    if missing_l <= safe_l * (1.0 + 1e-9):
        return Spread(1, missing_l)
    gained_l = safe_l - loss_l_per_day
    days = _LONGEST_DAYS + 1
    if gained_l > 0.0:
        over = _LEFT_OVER if is_rest else 1e-9
        days = max(1, math.ceil(min((missing_l - loss_l_per_day) / gained_l - over, 1e6)))
    meanwhile_l = loss_l_per_day * (days - 1)
    litres = (missing_l + meanwhile_l) / days
    if days == 1 or missing_l <= _SAME_JUG * min(safe_l, litres):
        return Spread(1, missing_l)
    if days > _LONGEST_DAYS:
        return Spread(max(2, math.ceil(missing_l / safe_l)), safe_l, is_whole=False)
    return Spread(days, litres, meanwhile_l)
