"""The part of the log that is read for what is due says the same as the whole log."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import ChoreKind, Condition, IfMissed, WhenWaterSays
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import History, chores_of, history_of
from tankkeeper.core.logbook import (
    Entry,
    Note,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    Resume,
    Revoke,
    Shift,
    Skip,
    TopOff,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.services.ports import LogQuery
from tankkeeper.store import queries
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import create
from tests.store.households import NOON, chore, made, small, tank, turn_of

DAY_ONE = date(2024, 1, 1)
HOUSEHOLD = replace(
    small(),
    tanks=(tank("skerry"), tank("office")),
    chores=(
        chore("glass"),
        chore("change", "office"),
        chore("each", None, if_missed=IfMissed.EACH),
        chore("mix", None, kind=ChoreKind.MIX_SALT_WATER),
        chore("trend", rhythm=WhenWaterSays(Condition.FORECAST, "ph")),
        chore("of-no-tank", None, rhythm=WhenWaterSays(Condition.FORECAST, "salinity")),
    ),
)
CHORES = ("glass", "change", "each", "mix")
READ = [
    Readings(tuple(ReadingValue(name, 8.0, "", 8.0) for name in names))
    for names in (("ph",), ("salinity",), ("ph", "salinity"))
]


@st.composite
def _logs(draw: st.DrawFn) -> list[Entry]:
    """Draw logs over three years with ticks, moves, pauses, water and undos."""
    log: list[Entry] = []
    for number in range(draw(st.integers(0, 30))):
        chosen = draw(st.sampled_from(CHORES))
        turn = turn_of(chosen, f"key-{number}")
        day = DAY_ONE + timedelta(days=draw(st.one_of(st.integers(0, 1100), st.integers(0, 4))))
        fact = draw(
            st.sampled_from(
                [
                    None,
                    TopOff(1.5),
                    *READ,
                    Note(),
                    Skip(turn),
                    PutOff(turn, day),
                    Shift(turn, day),
                    Pause(PauseMode.HOLD, chosen),
                    Resume(),
                    "undo",
                ]
            )
        )
        if fact == "undo":
            if not log:
                continue
            fact = Revoke(draw(st.sampled_from(log)).id)
        completes = (turn,) if fact is None or isinstance(fact, (TopOff, Readings)) else ()
        if completes and draw(st.booleans()):
            completes = (*completes, turn_of(draw(st.sampled_from(CHORES)), f"more-{number}"))
        tank_id = draw(st.sampled_from(["skerry", "office", None]))
        new = made(number, fact, day=day, completes=completes, tank=tank_id)
        # Some things are written down later than they were done, and some at the same moment.
        log.append(replace(new, at=NOON + timedelta(minutes=draw(st.integers(0, 10)))))
    return log


def _trimmed(whole: History) -> History:
    """Restrict the history of a whole log the way the port says, by plain rules."""
    by_chore = {}
    for name, rows in whole.by_chore.items():
        done = sorted({one.day for one in rows if one.completes_chore(name)})
        latest = done[-2:][0] if done else None
        if name == "each" or latest is None:
            by_chore[name] = list(rows)
            continue
        # Salt water that was mixed may stand for four weeks.
        before = timedelta(days=28 if name == "mix" else 2)
        by_chore[name] = [
            one
            for one in rows
            if (one.completes_chore(name) and one.day >= latest - before)
            or (
                isinstance(one.fact, (Skip, PutOff, Shift))
                and (one.day >= latest - timedelta(days=400) or _still_moves(one, latest))
            )
        ]
    water = {tank_id: _that_matter(tank_id, rows) for tank_id, rows in whole.water.items()}
    return replace(whole, by_chore=by_chore, water=water)


def _that_matter(tank_id: str, rows: Sequence[Entry]) -> list[Entry]:
    """Leave out the readings of which every value was read anew since, unless something needs them.

    Of each parameter stay those of the day of its newest one, and the last one before that day. A
    chore waits for the trend of the pH in one tank.
    """
    kept = set()
    for name in ("ph", "salinity"):
        read = [one for one in rows if isinstance(one.fact, Readings) and _reads(one.fact, name)]
        if not read:
            continue
        last = read[-1].day
        kept |= {one.id for one in read if one.day == last}
        before = [one for one in read if last - timedelta(days=200) <= one.day < last]
        kept |= {one.id for one in before[-1:]}
        if tank_id == "skerry" and name == "ph":
            since = max(one.day for one in read) - timedelta(days=200)
            kept |= {one.id for one in read if one.day >= since}
    return [one for one in rows if not isinstance(one.fact, Readings) or one.id in kept]


def _reads(fact: Readings, name: str) -> bool:
    return any(value.parameter == name for value in fact.values)


def _still_moves(one: Entry, latest: date) -> bool:
    """Tell whether a move says something for good, or of a day from `latest` on."""
    if isinstance(one.fact, Shift):
        return True
    day = one.fact.to if isinstance(one.fact, PutOff) else one.fact.counts_from
    return day is not None and day >= latest


def _fill(store: FileStore, log: list[Entry]) -> list[Entry]:
    added = []
    with store.writing() as writing:
        for one in log:
            try:
                added.append(writing.add(one))
            except UserFault:
                # Drawn undos may hit what is taken back already; the log goes on without them.
                continue
    return added


@settings(max_examples=40)
@given(_logs())
def test_the_trimmed_history_is_the_whole_one_cut_by_the_rules(log: list[Entry]) -> None:
    """For every log, read cold, read with entries remembered, and read while writing."""
    with TemporaryDirectory() as folder:
        store = create(Path(folder) / "a.tankkeeper", HOUSEHOLD, FixedClock(NOON))
        half = _fill(store, log[: len(log) // 2])
        with store.reading() as reading:
            reading.history()
        added = half + _fill(store, log[len(log) // 2 :])
        with store.reading() as reading:
            found = reading.history()
            of_each = {name: reading.history_of_chore(name) for name in CHORES}
        with store.writing() as writing:
            while_writing = writing.history()
        problems = store.check().problems
        store.close()
    whole = history_of(added)
    expected = _trimmed(whole)

    assert _without_extra(found, expected) == expected.by_chore
    assert dict(found.water) == dict(expected.water)
    assert (found.pauses, found.newest_at) == (expected.pauses, expected.newest_at)
    assert while_writing == found
    assert {name: list(whole.of_chore(name)) for name in CHORES} == of_each
    assert problems == ()


def _without_extra(found: History, expected: History) -> dict[str, list[Entry]]:
    """Leave out older turns that came along because their entry matters for another chore."""
    kept = {}
    for name, rows in found.by_chore.items():
        wanted = expected.by_chore[name]
        along = [one for one in rows if one not in wanted]
        assert all(len(chores_of(one)) > 1 for one in along)
        kept[name] = [one for one in rows if one in wanted]
    return kept


def test_a_late_evening_turn_done_after_midnight_is_in_it(store: FileStore) -> None:
    """The day before the latest counts as well, those two days before it, and no older ones."""
    days = [date(2026, 3, day) for day in (10, 15, 16, 18, 20)]
    log = [
        made(number, day=day, completes=(turn_of("glass", str(day)),))
        for number, day in enumerate(days)
    ]
    _fill(store, log)

    with store.reading() as reading:
        found = reading.history().of_chore("glass")

    assert [one.day for one in found] == days[2:]
    assert days[2] == date(2026, 3, 16)


def test_water_mixed_in_the_four_weeks_before_is_in_it(store: FileStore) -> None:
    """28 days before the turn before the last, which fell on 1 April: from 4 March on."""
    mixing = chore("mix", None, kind=ChoreKind.MIX_SALT_WATER)
    with store.writing() as writing:
        writing.save_household(replace(small(), chores=(*small().chores, mixing)))
    days = [date(2026, 3, 3), date(2026, 3, 4), date(2026, 4, 1), date(2026, 4, 15)]
    _fill(
        store,
        [made(n, day=on, completes=(turn_of("mix", str(on)),)) for n, on in enumerate(days)],
    )
    with store.reading() as reading:
        assert [one.day for one in reading.history().of_chore("mix")] == days[1:]


def test_what_was_read_before_the_newest_value_is_in_it(store: FileStore) -> None:
    """By it a reading left its range: all of its day, and the last one of the 200 days before."""
    read = {
        "old": (date(2025, 3, 1), "nitrate"),
        "before": (date(2026, 3, 5), "nitrate"),
        "newer": (date(2026, 3, 6), "nitrate"),
        "first": (date(2026, 3, 9), "nitrate"),
        "again": (date(2026, 3, 9), "nitrate"),
        "long ago": (date(2025, 3, 1), "phosphate"),
        "now": (date(2026, 3, 9), "phosphate"),
    }
    log = [
        made(n, Readings((ReadingValue(of, 8.0, "", 8.0),)), day=on, tank="skerry")
        for n, (on, of) in enumerate(read.values())
    ]
    names = dict(zip([one.id for one in _fill(store, log)], read, strict=True))

    with store.reading() as reading:
        found = [names[one.id] for one in reading.history().of_water("skerry")]

    assert sorted(found) == ["again", "first", "newer", "now"]


def _plan(connection: Connection, statement: str) -> list[str]:
    """Return SQLite's own account of how it will answer a statement."""
    values = dict.fromkeys(re.findall(r":(\w+)", statement), 1)
    rows = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", values).all()
    return [row[3] for row in rows]


PAGES = {
    "page": LogQuery(limit=50),
    "page of a chore": LogQuery(chore="glass", limit=50),
    "page of a tank": LogQuery(tank="skerry", limit=50),
    "page of days": LogQuery(from_day=DAY_ONE, to_day=DAY_ONE, only_valid=True),
}
STATEMENTS = {
    **{name: value for name, value in vars(queries).items() if name.startswith("SELECT_")},
    **{name: queries.page_of(query)[0] for name, query in PAGES.items()},
}


@pytest.mark.parametrize("name", STATEMENTS)
def test_no_statement_reads_the_whole_log(store: FileStore, name: str) -> None:
    """SQLite answers each by an index; a scan would grow with every year kept."""
    with store._reader.connect() as connection:
        plan = _plan(connection, STATEMENTS[name])

    log = ("entry", "completion", "reading", "claim", "void", "done", "other", "taken_back")
    assert [step for step in plan if step.startswith(tuple(f"SCAN {table}" for table in log))] == []


def test_a_statement_that_reads_the_whole_log_would_be_seen(store: FileStore) -> None:
    """The test above can fail: a plain walk over the log is called a scan."""
    with store._reader.connect() as connection:
        plan = _plan(connection, "SELECT note FROM entry")

    assert plan == ["SCAN entry"]
