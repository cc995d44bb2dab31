"""Expansion of calendar rules against kept dateutil rules, in one run; prints one JSON document.

Run it with `python tests/benchmarks/bench_recurrence.py`. Both sides answer the same question and
their answers are compared, so a fast wrong answer ends the run with an error. The rules are
invented: 35 % DAILY, 40 % WEEKLY, 25 % MONTHLY, starts up to four years back.
"""

from __future__ import annotations

import json
import platform
import random
import sys
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from dateutil import __version__ as dateutil_version
from dateutil.rrule import rrule, rrulestr

from tankkeeper.core.monthend import month_day_rule
from tankkeeper.core.recurrence import Rule, compile_rule
from tankkeeper.core.rule_text import WEEKDAYS

WINDOW_FIRST = date(2026, 3, 1)
WINDOW_DAYS = 45
WANTED_RATIO = 20.0


def main() -> int:
    """Returns 0 if both sizes are faster than wanted, 1 if not, and prints the figures."""
    figures = [measured(250, repeats=5), measured(10_000, repeats=1)]
    document = {
        "what": f"days of calendar rules in a window of {WINDOW_DAYS} days",
        "python": platform.python_version(),
        "dateutil": dateutil_version,
        "wanted_ratio": WANTED_RATIO,
        "results": figures,
        "fast_enough": all(figure["ratio"] >= WANTED_RATIO for figure in figures),
    }
    print(json.dumps(document, indent=1))
    return 0 if document["fast_enough"] else 1


def measured(how_many: int, repeats: int) -> dict[str, float]:
    """Returns the times of both sides for so many rules, after comparing all answers."""
    written = invented_rules(how_many, random.Random(how_many))
    compiling = perf_counter()
    ours = [compile_rule(text, start) for text, start in written]
    compiling = perf_counter() - compiling
    kept = [
        rrulestr(text, dtstart=datetime.combine(start, datetime.min.time()))
        for text, start in written
    ]
    a = WINDOW_FIRST.toordinal()
    b = a + WINDOW_DAYS - 1
    ours_s, ours_days = best_of(5, lambda: expanded(ours, a, b))
    kept_s, kept_days = best_of(repeats, lambda: expanded_by_dateutil(kept, a, b))
    if ours_days != kept_days:
        raise AssertionError("the two expansions differ")
    return {
        "rules": how_many,
        "days_found": sum(len(days) for days in ours_days),
        "compile_ms": round(compiling * 1e3, 3),
        "ours_ms": round(ours_s * 1e3, 3),
        "ours_us_per_rule": round(ours_s * 1e6 / how_many, 3),
        "dateutil_ms": round(kept_s * 1e3, 1),
        "ratio": round(kept_s / ours_s, 1),
    }


def best_of(times: int, work: Callable[[], list[list[int]]]) -> tuple[float, list[list[int]]]:
    """Returns the shortest time of several runs, and the last answer."""
    shortest, answer = float("inf"), []
    for _ in range(times):
        began = perf_counter()
        answer = work()
        shortest = min(shortest, perf_counter() - began)
    return shortest, answer


def expanded(rules: list[Rule], a: int, b: int) -> list[list[int]]:
    """Returns the days of each rule in the window, by our arithmetic."""
    return [rule.days(a, b) for rule in rules]


def expanded_by_dateutil(rules: list[rrule], a: int, b: int) -> list[list[int]]:
    """Returns the days of each rule in the window, from kept dateutil rules."""
    low = datetime.fromordinal(a)
    high = datetime.fromordinal(b)
    return [[at.toordinal() for at in rule.between(low, high, inc=True)] for rule in rules]


def invented_rules(how_many: int, draw: random.Random) -> list[tuple[str, date]]:
    """Returns rules in the mix named above, each with its start, in mixed order."""
    rules = []
    for index in range(how_many):
        share = index * 100 // how_many
        start = WINDOW_FIRST - timedelta(days=draw.randrange(4 * 365))
        rules.append((rule_of_share(share, draw), start))
    draw.shuffle(rules)
    return rules


def rule_of_share(share: int, draw: random.Random) -> str:
    """Returns a rule: DAILY under 35, WEEKLY under 75, else MONTHLY."""
    if share < 35:
        return f"FREQ=DAILY;INTERVAL={draw.choice((1, 1, 1, 2, 3, 10))}"
    if share < 75:
        days = sorted(draw.sample(range(7), draw.choice((1, 1, 2, 3))))
        named = ",".join(WEEKDAYS[day] for day in days)
        return f"FREQ=WEEKLY;INTERVAL={draw.choice((1, 1, 2, 4))};BYDAY={named}"
    if draw.random() < 0.3:
        return f"FREQ=MONTHLY;BYDAY={draw.choice((1, 2, 3, -1))}{draw.choice(WEEKDAYS)}"
    return month_day_rule(draw.randint(1, 31), every_months=draw.choice((1, 1, 2, 3)))


if __name__ == "__main__":
    sys.exit(main())
