"""The whole household after one more entry, against a yardstick in one run; prints one document.

Run it with `python tests/benchmarks/bench_state.py`, with `--profile` to see where the time goes.
The household is invented: 25 chores on each tank and a year of log, with feedings in two slots,
daily checks, weekly rules, chores counted from the last time, seven tanks of ten topped off by
hand and three from a reservoir. The store is left out: histories are made as it would give them.
"""

from __future__ import annotations

import argparse
import cProfile
import json
import platform
import pstats
import random
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from time import perf_counter
from zoneinfo import ZoneInfo

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    IfMissed,
    WhenWaterSays,
)
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.fold_memory import Memory
from tankkeeper.core.history import History, history_of, sort_valid
from tankkeeper.core.household import Household, Person, Room, Tank, TopOffLimits
from tankkeeper.core.intervals import Interval, IntervalUnit, MonthDay, Season
from tankkeeper.core.logbook import (
    Entry,
    Fact,
    PutOff,
    Readings,
    ReservoirCheck,
    Skip,
    TopOff,
    Turn,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import HouseholdState, fold_household, items_of
from tankkeeper.core.volume import Shape, ShapeKind, Sump
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tests.fakes import trimmed

ZONE = "Europe/Berlin"
NOW = datetime(2026, 3, 2, 7, 30, tzinfo=ZoneInfo(ZONE)).astimezone(UTC)
TODAY = date(2026, 3, 2)
MOST_MS = 16.0
# Work that grows fourfold may take this much longer, the noise of a busy machine included.
MOST_GROWTH = 4.8
AHEAD_DAYS = 31


def main() -> int:
    """Return 0 if the warm state is quick enough and grows no faster than the work, else 1."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--profile", action="store_true", help="show where the warm time goes")
    if told.parse_args().profile:
        profile()
        return 0
    sizes = [
        measured(tanks, years) for tanks, years in ((10, 1), (20, 1), (40, 1), (10, 2), (10, 4))
    ]
    one, chores_4x, log_4x = sizes[0], sizes[2], sizes[4]
    growth = {
        "chores_4x": round(chores_4x["warm_to_yardstick"] / one["warm_to_yardstick"], 2),
        "log_4x": round(log_4x["warm_to_yardstick"] / one["warm_to_yardstick"], 2),
    }
    document = {
        "what": "state, reasons and a month ahead of a whole household after one more entry",
        "python": platform.python_version(),
        "most_ms": MOST_MS,
        "most_growth": MOST_GROWTH,
        "results": sizes,
        "growth": growth,
        "quick_enough": one["warm_ms"] <= MOST_MS,
        "grows_with_the_work": max(growth.values()) <= MOST_GROWTH,
    }
    print(json.dumps(document, indent=1))
    return 0 if document["quick_enough"] and document["grows_with_the_work"] else 1


def measured(tanks: int, years: int) -> dict[str, float]:
    """Return the times for a household of so many tanks with so many years of log."""
    household, entries = invented(tanks, years)
    history = trimmed(history_of(entries), household)
    yard_ms = timed(yardstick, 9)
    cold_ms = timed(lambda: whole_state(household, history, Memory()), 3)
    memory = Memory()
    whole_state(household, history, memory)
    parts: dict[str, list[float]] = {"fold": [], "items": [], "reasons": [], "ahead": []}
    for number in range(30):
        history = with_one_more(household, history, number)
        yard_ms = min(yard_ms, timed(yardstick, 1))
        seconds = whole_state(household, history, memory)
        for name, taken in seconds.items():
            parts[name].append(taken)
    # The quickest of many runs, since other programs on the machine only ever add to it.
    each = {name: min(taken) * 1e3 for name, taken in parts.items()}
    warm_ms = sum(each.values())
    return {
        "tanks": tanks,
        "chores": len(household.chores),
        "entries": len(entries),
        "entries_kept": sum(len(rows) for rows in history.by_chore.values()),
        "yardstick_ms": round(yard_ms, 3),
        "cold_ms": round(cold_ms, 2),
        "warm_ms": round(warm_ms, 2),
        "warm_to_yardstick": round(warm_ms / yard_ms, 2),
        **{f"{name}_ms": round(taken, 2) for name, taken in each.items()},
    }


def yardstick() -> None:
    """Do a fixed amount of plain Python work, about as long as ten milliseconds."""
    total, kept = 0, {}
    for number in range(60_000):
        total += number % 7
        kept[number % 512] = (total, number)


def timed(work: Callable[[], object], times: int) -> float:
    """Return the shortest of several running times in milliseconds."""
    taken = []
    for _ in range(times):
        began = perf_counter()
        work()
        taken.append((perf_counter() - began) * 1e3)
    return min(taken)


def whole_state(household: Household, history: History, memory: Memory) -> dict[str, float]:
    """Work out all that a redraw of the whole house needs; return the seconds of each part."""
    began = perf_counter()
    state = fold_household(household, history, NOW, memory)
    folded = perf_counter()
    items = [item for one in state.chores for item in items_of(state, one)]
    listed = perf_counter()
    words = Words(household, state.moment)
    told = [reason(item, words) for item in items if item.is_open]
    worded = perf_counter()
    turns = month_ahead(state)
    ended = perf_counter()
    if not (items and told and turns):
        raise AssertionError("the invented household has nothing to do")
    return {
        "fold": folded - began,
        "items": listed - folded,
        "reasons": worded - listed,
        "ahead": ended - worded,
    }


def month_ahead(state: HouseholdState) -> int:
    """Return how many turns all chores have in the month ahead."""
    first = TODAY.toordinal()
    last = first + AHEAD_DAYS
    return sum(len(projected_turns(state, one, first, last)) for one in state.chores)


def profile() -> None:
    """Print where the time of twenty warm states goes."""
    household, entries = invented(10, 1)
    history = trimmed(history_of(entries), household)
    memory = Memory()
    whole_state(household, history, memory)
    profiler = cProfile.Profile()
    for number in range(20):
        history = with_one_more(household, history, number)
        profiler.enable()
        whole_state(household, history, memory)
        profiler.disable()
    pstats.Stats(profiler).sort_stats("tottime").print_stats(45)


# The invented household


def invented(tanks: int, years: int) -> tuple[Household, list[Entry]]:
    """Return a household and its log, the same for the same numbers."""
    draw = random.Random(tanks * 100 + years)
    rooms = (
        Room("living", "Living room", climate=tuple(_air(month) for month in (1, 4, 7, 10))),
        Room("office", "Office", climate=(ClimateRow(1, 21.0, 0.45),)),
    )
    made = [_tank(index, rooms[index % 2]) for index in range(tanks)]
    chores = tuple(chore for tank in made for chore in _chores(tank, draw))
    people = (Person("ilse", "Ilse"), Person("jon", "Jon"))
    household = Household(
        "Invented", ZONE, people=people, rooms=rooms, tanks=tuple(made), chores=chores
    )
    return household, _log(household, years, draw)


def _air(month: int) -> ClimateRow:
    warm = {1: 20.0, 4: 21.0, 7: 25.0, 10: 21.5}[month]
    return ClimateRow(month, warm, 0.4 if month == 1 else 0.55)


def _tank(index: int, room: Room) -> Tank:
    shape = Shape(
        ShapeKind.BOX, length_cm=90 + index % 5 * 10, width_cm=50, height_cm=55, water_depth_cm=50
    )
    has_reservoir = index % 10 >= 7
    return Tank(
        id=f"tank{index}",
        name=f"Tank {index}",
        shape=shape,
        room=room.id,
        walk_order=index,
        target_salinity=35.0,
        target_temperature_c=25.5,
        sump=Sump(litres=60.0, last_chamber_cm2=1100.0),
        top_off=TopOffLimits(
            allowed_drop_mm=60.0,
            allowed_salinity_rise=0.5,
            reservoir_l=30.0 if has_reservoir else None,
            reserve_l=3.0 if has_reservoir else None,
        ),
    )


def _chores(tank: Tank, draw: random.Random) -> Iterator[Chore]:
    """Yield 25 chores: what the water says, slots, daily and weekly rules, counted ones."""

    def chore(name: str, kind: ChoreKind, rhythm: object, **more: object) -> Chore:
        values = {"tank": tank.id, "minutes": 5, "who": ("ilse",), **more}
        return Chore(f"{tank.id}.{name}", kind, name.capitalize(), rhythm, **values)  # type: ignore[arg-type]

    first = date(2022, 1, 3)
    is_automatic = tank.has_automatic_top_off
    water = ChoreKind.RESERVOIR if is_automatic else ChoreKind.TOP_OFF
    yield chore("top-off", water, WhenWaterSays(Condition.EVAPORATION, max_days=21), early_days=1)
    feeding = Calendar("FREQ=DAILY", first, (time(8), time(18)))
    yield chore("feed", ChoreKind.FEEDING, feeding, if_missed=IfMissed.EXPIRE)
    yield chore("look", ChoreKind.CHECK, Calendar("FREQ=DAILY", first), if_missed=IfMissed.EXPIRE)
    for number, days in enumerate(("MO,TH", "TU", "WE", "SA", "FR")):
        rule = f"FREQ=WEEKLY;BYDAY={days}"
        yield chore(f"weekly-{number}", ChoreKind.GLASS, Calendar(rule, first), late_days=1)
    yield chore(
        "monthly",
        ChoreKind.SERVICE,
        Calendar("FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1", first),
        late_days=3,
    )
    yield chore(
        "quarterly",
        ChoreKind.SERVICE,
        Calendar("FREQ=MONTHLY;INTERVAL=3;BYDAY=1SU", first),
        late_days=3,
    )
    half = Amount(10.0, AmountUnit.PERCENT)
    yield chore(
        "change",
        ChoreKind.WATER_CHANGE,
        AfterLastDone(_days(14)),
        amount=half,
        late_days=3,
        first_due=first,
    )
    for number, tests in enumerate(
        (("salinity", "temperature"), ("nitrate", "phosphate"), ("alkalinity",))
    ):
        yield chore(
            f"test-{number}",
            ChoreKind.TEST,
            AfterLastDone(_days(7)),
            tests=tests,
            early_days=1,
            late_days=1,
            first_due=first,
        )
    summer = (Season(MonthDay(6, 1), MonthDay(8, 31), _days(10)),)
    for number in range(11):
        seasons = summer if number == 0 else ()
        interval = _days(draw.randint(5, 60))
        yield chore(
            f"counted-{number}",
            ChoreKind.SERVICE,
            AfterLastDone(interval, seasons),
            early_days=1,
            late_days=2,
            first_due=first,
        )


def _days(count: int) -> Interval:
    return Interval(count, IntervalUnit.DAYS)


@dataclass(slots=True)
class _Writer:
    """Writes entries in order of time."""

    rows: list[tuple[datetime, Chore, Turn | None, Fact | None]]

    def log(self, household: Household) -> list[Entry]:
        """Return the entries with their `seq`, and keys that count from the entry before."""
        entries: list[Entry] = []
        newest: dict[str, str] = {}
        for seq, (at, chore, turn, fact) in enumerate(sorted(self.rows, key=lambda row: row[0]), 1):
            key = f"e{seq}"
            if turn is None:
                base = newest.get(chore.id)
                turn = Turn(chore.id, "first" if base is None else f"after:{base}")
            if isinstance(fact, PutOff | Skip):
                fact = replace(fact, turn=turn)
                done: tuple[Turn, ...] = ()
            else:
                done = (turn,)
                newest[chore.id] = key
            if isinstance(fact, Skip):
                newest[chore.id] = key
            entries.append(Entry(key, seq, at, at.date(), ZONE, "ilse", chore.tank, done, fact))
        return entries


def _log(household: Household, years: int, draw: random.Random) -> list[Entry]:
    rows: list[tuple[datetime, Chore, Turn | None, Fact | None]] = []
    begin = TODAY - timedelta(days=365 * years)
    for chore in household.chores:
        rhythm = chore.rhythm
        if isinstance(rhythm, Calendar):
            rows += _by_calendar(chore, rhythm, begin, draw)
        elif isinstance(rhythm, WhenWaterSays):
            rows += _by_water(chore, begin, draw)
        elif isinstance(rhythm, AfterLastDone):
            rows += _by_interval(chore, rhythm, begin, draw)
    return _Writer(rows).log(household)


def _at(on: date, hour: int, draw: random.Random) -> datetime:
    return datetime(on.year, on.month, on.day, hour, draw.randrange(60), tzinfo=UTC)


def _by_calendar(
    chore: Chore, rhythm: Calendar, begin: date, draw: random.Random
) -> Iterator[tuple[datetime, Chore, Turn | None, Fact | None]]:
    from tankkeeper.core.recurrence import compile_rule

    rule = compile_rule(rhythm.rule, rhythm.start)
    for ordinal in rule.days(begin.toordinal(), TODAY.toordinal() - 1):
        on = date.fromordinal(ordinal)
        for slot in rhythm.slots or (None,):
            if draw.random() < 0.06:
                continue
            hour = 8 if slot is None else slot.hour
            yield _at(on, hour, draw), chore, Turn(chore.id, on.isoformat(), slot), None


def _by_interval(
    chore: Chore, rhythm: AfterLastDone, begin: date, draw: random.Random
) -> Iterator[tuple[datetime, Chore, Turn | None, Fact | None]]:
    on = begin + timedelta(days=draw.randrange(rhythm.interval.count))
    while on < TODAY:
        fact: Fact | None = None
        if chore.kind is ChoreKind.TEST:
            fact = Readings(
                tuple(ReadingValue(name, _value(name, draw), "", 0.0) for name in chore.tests)
            )
        elif draw.random() < 0.03:
            fact = Skip(Turn(chore.id), on)
        elif draw.random() < 0.03:
            fact = PutOff(Turn(chore.id), on + timedelta(days=1))
        yield _at(on, 9, draw), chore, None, fact
        on += timedelta(days=max(1, rhythm.interval.count + draw.choice((-1, 0, 0, 0, 1, 2))))


def _value(name: str, draw: random.Random) -> float:
    middle = {
        "salinity": 35.0,
        "temperature": 25.4,
        "nitrate": 8.0,
        "phosphate": 0.06,
        "alkalinity": 8.2,
    }
    return round(middle[name] * draw.uniform(0.97, 1.03), 3)


def _by_water(
    chore: Chore, begin: date, draw: random.Random
) -> Iterator[tuple[datetime, Chore, Turn | None, Fact | None]]:
    on, is_reservoir = begin, chore.kind is ChoreKind.RESERVOIR
    while on < TODAY:
        days = draw.choice((6, 7, 8)) if is_reservoir else draw.choice((2, 3, 3, 4))
        litres = round(days * 2.4 * draw.uniform(0.9, 1.1), 1)
        fact = ReservoirCheck(fill_l=litres) if is_reservoir else TopOff(litres)
        yield _at(on, 7, draw), chore, None, fact
        on += timedelta(days=days)


def with_one_more(household: Household, history: History, number: int) -> History:
    """Return the history as the store would give it after one more entry, in fresh lists."""
    tank = household.tanks[number % len(household.tanks)]
    is_reservoir = tank.has_automatic_top_off
    fact = ReservoirCheck(fill_l=9.0) if is_reservoir else TopOff(5.0)
    at = NOW - timedelta(minutes=30 - number % 30)
    turn = Turn(f"{tank.id}.top-off", f"after:one-more-{number}")
    seq = 10_000_000 + number
    more = Entry(f"more{number}", seq, at, TODAY, ZONE, "jon", tank.id, (turn,), fact)
    one_more = sort_valid([more])
    by_chore = {name: [replace(one) for one in rows] for name, rows in history.by_chore.items()}
    water = {name: list(rows) for name, rows in history.water.items()}
    for name, rows in one_more.by_chore.items():
        by_chore[name] = [*by_chore.get(name, ()), *rows]
    for name, rows in one_more.water.items():
        water[name] = [*water.get(name, ()), *rows]
    return History(by_chore, water, history.pauses, at)


if __name__ == "__main__":
    sys.exit(main())
