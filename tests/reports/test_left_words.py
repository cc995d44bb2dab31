"""What the reason of a test says that comes sooner for a reading that left its range."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.chores import AfterLastDone, ChoreKind
from tankkeeper.core.communities import Community
from tankkeeper.core.logbook import Entry, PutOff, Readings, Turn
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tests.builders import an_entry, day, days
from tests.reports.scenes import chore, item, items, nook

TANK = replace(nook(), community=Community.SOFT_CORAL)
TEST = replace(
    chore(ChoreKind.TEST, "Test nitrate and phosphate", AfterLastDone(days(7))),
    tests=("nitrate", "phosphate"),
    late_days=2,
)


def tick(seq: int, on: str, **values: float) -> Entry:
    fact = Readings(tuple(ReadingValue(name, one, "mg/L", one) for name, one in values.items()))
    return an_entry(seq, on, fact, done="it", key=f"k{seq}", tank="nook")


BEFORE = tick(1, "2026-03-03", nitrate=9.0, phosphate=0.1)


@pytest.mark.parametrize(
    ("log", "told"),
    [
        (
            [BEFORE, tick(2, "2026-03-10", nitrate=31.0, phosphate=0.1)],
            "Last done on Tue 10. This chore comes 7 days after it is done. "
            "It can wait until Monday. It comes sooner this time, after 4 days, since nitrate "
            "was 31 mg/L on Tue 10, above its range of 2 to 20 mg/L, and had been inside before.",
        ),
        (
            [
                tick(1, "2026-03-03", nitrate=1.0, phosphate=0.1),
                tick(2, "2026-03-10", nitrate=31.0, phosphate=0.02),
            ],
            "Last done on Tue 10. This chore comes 7 days after it is done. "
            "It can wait until Monday. It comes sooner this time, after 4 days, since nitrate "
            "was 31 mg/L on Tue 10, above its range of 2 to 20 mg/L, and had been below it before. "
            "Phosphate was 0.02 mg/L on Tue 10, below its range of 0.03 to 0.15 mg/L.",
        ),
        (
            [tick(2, "2026-03-08", nitrate=9.0, phosphate=0.02)],
            "Last done on Sun 8. This chore comes 7 days after it is done. "
            "To test: nitrate and phosphate. It can wait until Saturday. "
            "It comes sooner this time, after 4 days, since phosphate was 0.02 mg/L on Sun 8, "
            "below its range of 0.03 to 0.15 mg/L.",
        ),
        (
            [
                tick(1, "2026-03-03", nitrate=30.0, phosphate=0.1),
                tick(2, "2026-03-10", nitrate=31.0, phosphate=0.1),
            ],
            "Last done on Tue 10. This chore comes 7 days after it is done, so its day will be "
            "Tuesday. It can wait until 19 March. "
            "Nitrate was 31 mg/L on Tue 10, above its range of 2 to 20 mg/L.",
        ),
    ],
    ids=["inside before", "on the other side", "today, the first reading", "outside before"],
)
def test_the_reason_says_which_reading_brings_it_and_how_it_had_been(
    log: list[Entry], told: str
) -> None:
    """The range of soft corals; half of 7 days are 4."""
    row, words = item(TEST, log, tanks=(TANK,))
    assert plain(reason(row, words)) == told


def test_what_is_done_says_why_the_next_one_comes_sooner() -> None:
    """The row of today tells of the turn after it, with its day."""
    log = [BEFORE, tick(2, "2026-03-12", nitrate=31.0, phosphate=0.1)]
    (done, coming), words = items(TEST, log, tanks=(TANK,))
    told = (
        "It comes sooner this time, after 4 days, since nitrate was 31 mg/L today, above its "
        "range of 2 to 20 mg/L, and had been inside before."
    )
    assert f"{told} Next on Mon 16." in plain(reason(done, words))
    assert told in plain(reason(coming, words))


def test_what_was_put_off_from_its_sooner_day_was_not_brought_forward() -> None:
    """By its interval alone it would have come on the 17th, but it stood on the 14th."""
    moved = an_entry(3, "2026-03-11", PutOff(Turn("it", "after:e2"), day("2026-03-15")))
    log = [BEFORE, tick(2, "2026-03-10", nitrate=31.0, phosphate=0.1), moved]
    row, words = item(TEST, log, tanks=(TANK,))
    told = plain(reason(row, words))
    assert "It was put off to Sunday. Its window moved with it" in told
    assert "Where it stood before it could wait until Monday." in told
    assert "forward" not in told
    assert "sooner" not in told
    assert "Nitrate was 31 mg/L on Tue 10, above its range of 2 to 20 mg/L." in told
