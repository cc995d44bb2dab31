"""The search of the log gives what a plain look through all entries gives, page for page."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.history import taken_back
from tankkeeper.core.logbook import Entry, Note, Revoke, Skip, TopOff, Turn
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_search import (
    AmountHit,
    DayHit,
    LogKind,
    LogSearch,
    Measure,
    Place,
    WordHits,
)
from tests.gui.round_house import SEVEN, make, small_house

NOTES = ("", "a goby", "A GOBY hides", "50% off", "under_score", "back\\slash")
ENTRIES = 120


def _entry(number: int) -> Entry:
    """Return one of a log in which much happens at the same moments, and out of order."""
    at = datetime(2026, 3, 1, tzinfo=UTC) + timedelta(hours=(number * 7) % 60)
    facts = (None, TopOff(1.0), Note(), Skip(Turn("wipe", "")), None)
    fact = facts[number % 5]
    does = (Turn(("glass", "floss")[number % 2], ""),) if number % 5 == 0 else ()
    if number % 17 == 16:
        fact, does = Revoke(f"e{number - 3:03d}"), ()
    return Entry(
        f"e{number:03d}", 0, at, at.date(), "Europe/Berlin",
        by=(None, "ada", "bo")[number % 3],
        tank=(None, "reef", "nook")[number % 4 % 3],
        completes=does, fact=fact, note=NOTES[number % len(NOTES)],
    )  # fmt: skip


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A desk on the log in a file."""
    clock = FixedClock(SEVEN)
    path: Path = tmp_path_factory.mktemp("search") / "pier.tankkeeper"
    make(path, small_house(), clock)
    opened = open_desk(path, clock)
    with opened.store.writing() as writing:
        for number in range(ENTRIES):
            writing.add(_entry(number))
    yield opened
    opened.store.close()


def _kind(one: Entry) -> LogKind:
    if isinstance(one.fact, Revoke):
        return LogKind.UNDO
    if isinstance(one.fact, TopOff):
        return LogKind.TOP_OFF
    if isinstance(one.fact, Skip):
        return LogKind.SKIP
    return LogKind.DONE if one.fact is None and one.completes else LogKind.NOTE


def _is_wanted(one: Entry, search: LogSearch) -> bool:
    chores = {turn.chore for turn in one.completes}
    if isinstance(one.fact, Skip):
        chores.add(one.fact.turn.chore)
    return (
        (search.tank is None or one.tank == search.tank)
        and (search.person is None or one.by == search.person)
        and (search.chore is None or search.chore in chores)
        and (search.kind is None or _kind(one) is search.kind)
        and (search.from_day is None or one.day >= search.from_day)
        and (search.to_day is None or one.day <= search.to_day)
        and all(
            any(text.casefold() in one.note.casefold() for text in hits.spellings)
            or one.tank in hits.tanks
            or bool(chores & set(hits.chores))
            or _kind(one) in hits.kinds
            or any(_is_amount(one, hit) for hit in hits.amounts)
            or any(_is_on(one.day, hit) for hit in hits.days)
            for hits in search.words
        )
    )


def _is_amount(one: Entry, hit: AmountHit) -> bool:
    litres = one.fact.litres if isinstance(one.fact, TopOff) else None
    return hit.of is Measure.LITRES and litres is not None and hit.low <= litres <= hit.high


def _is_on(day: date, hit: DayHit) -> bool:
    said = ((hit.weekday, day.weekday()), (hit.number, day.day), (hit.month, day.month))
    return all(wanted in (None, is_so) for wanted, is_so in (*said, (hit.year, day.year)))


_DAYS = st.none() | st.dates(date(2026, 2, 27), date(2026, 3, 5))
_WORDS = st.builds(
    WordHits,
    spellings=st.tuples(st.sampled_from(("goby", "0%", "_", "\\", "zebra"))),
    tanks=st.sampled_from(((), ("reef",))),
    chores=st.sampled_from(((), ("glass",), ("wipe", "floss"))),
    kinds=st.sampled_from(((), (LogKind.TOP_OFF,))),
    amounts=st.sampled_from(
        ((), (AmountHit(Measure.LITRES, 1.0, 1.0),), (AmountHit(Measure.LITRES, 1.1, 9.0),))
    ),
    days=st.sampled_from(
        (
            (),
            (DayHit(weekday=6),),
            (DayHit(number=2, month=3),),
            (DayHit(weekday=0, year=2026), DayHit(number=3, month=4)),
        )
    ),
)
_SEARCHES = st.builds(
    LogSearch,
    tank=st.sampled_from((None, "reef", "nook")),
    chore=st.sampled_from((None, "glass", "wipe")),
    person=st.sampled_from((None, "ada", "nobody")),
    kind=st.sampled_from((None, LogKind.DONE, LogKind.NOTE, LogKind.SKIP, LogKind.UNDO)),
    from_day=_DAYS,
    to_day=_DAYS,
    words=st.lists(_WORDS, max_size=2).map(tuple),
)


@given(_SEARCHES, st.integers(1, 40), st.integers(1, 50))
def test_pages_hold_what_is_wanted_in_order_and_once(
    desk: Desk, search: LogSearch, most: int, reach: int
) -> None:
    """Whatever is asked for, however long a page is, however far one look reaches."""
    with desk.store.reading() as reading:
        entries = [reading.entry(f"e{number:03d}") for number in range(ENTRIES)]
        found = []
        below: Place | None = None
        while True:
            part = reading.search(search, below, most, reach)
            assert len(part.found) <= most
            found += part.found
            below = part.reached
            if below is None:
                break

    log = [one.entry for one in entries if one is not None]
    newest_first = sorted(log, key=lambda one: (one.at, one.seq), reverse=True)
    assert [one.entry for one in found] == [one for one in newest_first if _is_wanted(one, search)]
    gone = taken_back(log)
    assert [one.revoked_by is not None for one in found] == [one.entry.id in gone for one in found]
