"""How honest the foretold readings are on simulated tanks, beside a prototype; one document.

Run it with `python tests/benchmarks/bench_trend_filter.py [--runs N]`. Everything is invented: a
rate that drifts a little, 3 to 12 tests 3 to 7 days apart, 3 % gross errors, no water changes or
one of a tenth every 7 or 14 days, readings rounded to the step of the kit. The scatters are
assumptions of the generator; nobody measured them on tanks at home.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import sys
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tankkeeper.core.reading_outlook import HABITS
from tankkeeper.core.trend_filter import Event, Mixed, Reading, Trend, TrendSettings, follow

AHEAD = (3, 7, 14)
LEAST, MOST = 0.85, 0.97
GROSS_SHARE = 0.03


@dataclass(frozen=True)
class Case:
    """One parameter: first value, middle and spread of its rate, of a reading, and the kit's step.

    `prototype` holds the shares that the 90 % span covered 3, 7 and 14 days ahead, and the mean
    error at 7 days of the filter and of a straight line that knows of no change, from 1500 runs of
    a prototype that was written and run outside this project.
    """

    first: float
    rate: float
    rate_spread: float
    error: float
    step: float
    new_water: float
    prototype: tuple[float, ...]


CASES = {
    "alkalinity": Case(8.5, -0.03, 0.05, 0.2, 0.1, 8.5, (0.904, 0.901, 0.898, 0.24, 0.28)),
    "nitrate": Case(10.0, 0.4, 0.2, 1.0, 0.5, 0.0, (0.902, 0.900, 0.893, 1.15, 2.03)),
    "phosphate": Case(0.08, 0.002, 0.001, 0.012, 0.01, 0.0, (0.895, 0.903, 0.904, 0.0106, 0.0147)),
    "calcium": Case(430.0, -0.5, 1.0, 8.0, 5.0, 430.0, (0.900, 0.899, 0.896, 7.0, 8.5)),
}


@dataclass
class Lived:
    """One simulated tank: what was written down, and the truth on later days."""

    events: list[Event]
    truth: dict[int, float]


def lived(case: Case, chance: random.Random) -> Lived:
    """Live a tank day by day until its last test and two weeks beyond, changes only before."""
    value, rate = case.first, chance.gauss(case.rate, case.rate_spread)
    every = chance.choice((0, 7, 14))
    tests = chance.randint(3, 12)
    next_test, day, events = 0, 0, list[Event]()
    while tests:
        if day == next_test:
            events.append(Reading(float(day), read(case, value, chance)))
            tests -= 1
            next_test = day + chance.randint(3, 7)
        if tests and every and day and day % every == 0:
            value += 0.1 * (case.new_water - value)
            spread = 0.05 * case.first if case.new_water else 0.0
            events.append(Mixed(day + 0.1, 0.1, 0.1 * case.new_water, 0.1 * spread))
        if tests:
            value, rate = moved(case, value, rate, chance)
            day += 1
    truth = {}
    for ahead in range(1, max(AHEAD) + 1):
        value, rate = moved(case, value, rate, chance)
        truth[ahead] = value
    return Lived(events, truth)


def moved(case: Case, value: float, rate: float, chance: random.Random) -> tuple[float, float]:
    """Return value and rate a day later; what is eaten up cannot go below nothing."""
    return max(0.0, value + rate), rate + chance.gauss(0.0, 0.05 * case.rate_spread)


def read(case: Case, value: float, chance: random.Random) -> float:
    error = case.error * (4.0 if chance.random() < GROSS_SHARE else 1.0)
    return max(0.0, round(chance.gauss(value, error) / case.step) * case.step)


def straight_line(events: list[Event], days: float) -> float:
    """Return what a line through the readings foretells that knows of no change."""
    read_ = [one for one in events if isinstance(one, Reading)]
    middle = sum(one.at for one in read_) / len(read_)
    mean = sum(one.value for one in read_) / len(read_)
    square = sum((one.at - middle) ** 2 for one in read_)
    slope = sum((one.at - middle) * (one.value - mean) for one in read_) / square
    return mean + slope * (read_[-1].at + days - middle)


def covered(name: str, case: Case, runs: int) -> dict[str, object]:
    """Return how often the span held the truth, and how far off the middle was."""
    chance = random.Random(f"trend {name}")
    habit = HABITS[name].settings
    settings = TrendSettings(habit.error, habit.rate, step=case.step)
    hits = dict.fromkeys(AHEAD, 0)
    off, line = 0.0, 0.0
    for _ in range(runs):
        one = lived(case, chance)
        trend = follow(one.events, settings)
        assert trend is not None
        since = trend.at - last_reading(one.events)
        for ahead in AHEAD:
            span = trend.after(ahead - since)
            hits[ahead] += span.low <= one.truth[ahead] <= span.high
        off += abs(trend.after(7.0 - since).value - one.truth[7])
        line += abs(straight_line(one.events, 7.0) - one.truth[7])
    shares = [round(hits[ahead] / runs, 3) for ahead in AHEAD]
    return {
        "covered_3_7_14_days": shares,
        "prototype_covered": list(case.prototype[:3]),
        "mean_error_7_days": float(f"{off / runs:.3g}"),
        "mean_error_of_a_line": float(f"{line / runs:.3g}"),
        "prototype_errors": list(case.prototype[3:]),
    }


def last_reading(events: list[Event]) -> float:
    return max(one.at for one in events if isinstance(one, Reading))


def milliseconds_a_fit() -> float:
    """Return the time of one fit of thirty readings and as many changes."""
    events: list[Event] = []
    for place in range(30):
        events += [Reading(3.0 * place, 8.0 + math.sin(place)), Mixed(3.0 * place + 1, 0.1, 0.8, 0)]
    began = perf_counter()
    for _ in range(50):
        found: Trend | None = follow(events, HABITS["alkalinity"].settings)
        assert found is not None
    return (perf_counter() - began) / 50 * 1000.0


def main() -> int:
    """Return 0 when every share lies where a 90 % span should be, else 1."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--runs", type=int, default=1500, help="simulated tanks of each parameter")
    runs = told.parse_args().runs
    found = {name: covered(name, case, runs) for name, case in CASES.items()}
    shares = [share for one in found.values() for share in one["covered_3_7_14_days"]]  # type: ignore[attr-defined]
    is_met = all(LEAST <= share <= MOST for share in shares)
    document = {
        "runs_of_each_case": runs,
        "coverage": found,
        "milliseconds_a_fit": round(milliseconds_a_fit(), 2),
        "goals": {"every_share": {"from": LEAST, "to": MOST, "is_met": is_met}},
    }
    print(json.dumps(document, indent=2))
    return 0 if is_met else 1


if __name__ == "__main__":
    sys.exit(main())
