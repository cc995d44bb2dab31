"""What a chore says that waits for the trend of a reading."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import time, timedelta

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.communities import Community, Range
from tankkeeper.core.household import OwnRange
from tankkeeper.core.logbook import Entry, Readings, Turn
from tankkeeper.core.parameters import parse_reading
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.outlook_reasons import range_words
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tankkeeper.services.ahead import ahead_of
from tests.builders import an_entry
from tests.reports.scenes import TODAY, chore, item, items, nook, state, words_for

LAGOON = replace(nook(), community=Community.LARGE_POLYP_STONY)


def read(of: str, *values: tuple[int, float]) -> list[Entry]:
    """Readings so many days ago."""
    return [
        an_entry(
            seq,
            TODAY - timedelta(days=ago),
            Readings((parse_reading(of, str(value)),)),
            tank="nook",
        )
        for seq, (ago, value) in enumerate(values, start=1)
    ]


def waiting(of: str, kind: ChoreKind = ChoreKind.TEST, **bounds: int) -> Chore:
    rhythm = WhenWaterSays(Condition.FORECAST, of, **bounds)
    return chore(kind, "Test", rhythm, first_due=None)


def said(one: Chore, entries: list[Entry], **more: object) -> str:
    row, words = item(one, entries, **({"tanks": (LAGOON,)} | more))
    return plain(reason(row, words))


STEADY = read("alkalinity", *((24 - 3 * place, 8.6) for place in range(8)))
FALLING = read("alkalinity", *((24 - 3 * place, 9.6 - 0.21 * place) for place in range(8)))


def test_a_parameter_that_was_never_read() -> None:
    assert said(waiting("nitrate"), []) == (
        "Nitrate of this tank was not read yet; 3 readings on different days make its trend known."
    )


def test_too_few_readings() -> None:
    assert said(waiting("nitrate"), read("nitrate", (2, 8.0), (1, 8.5))) == (
        "Nitrate was 8.5 mg/L yesterday. 2 readings so far; a trend needs 3 on different days. "
        "It comes 3 days after yesterday at the soonest."
    )


def test_a_test_that_was_just_done_says_what_a_trend_still_needs() -> None:
    """After the first reading the rhythm alone would tell nothing."""
    [reading] = read("nitrate", (0, 8.0))
    done = replace(reading, completes=(Turn("it", "first"),))

    assert said(waiting("nitrate"), [done]).endswith(
        "It comes when the forecast of nitrate asks for it. "
        "1 reading so far; a trend needs 3 on different days. Next about Sun 15."
    )


def test_a_falling_value_tells_how_fast_and_when() -> None:
    text = said(waiting("alkalinity"), FALLING)
    assert text.startswith("Alkalinity was 8.13 dKH on Mon 9 and falls by 0.07 ± 0.0")
    assert " dKH a day. From " in text
    # The span of the forecast by that day, whose lower end lies outside.
    assert re.search(
        r"on it may leave its range of 7.5 to 10.0 dKH: 7\.\d dKH by then, "
        r"could be 7\.[0-4] to [78]\.\d dKH\.",
        text,
    )


@pytest.mark.parametrize(
    ("values", "moves"), [((9.0, 8.9, 8.8, 8.7), "fall"), ((8.7, 8.8, 8.9, 9.0), "rise")]
)
def test_a_slope_that_is_not_sure_yet_is_told_by_its_most(
    values: tuple[float, ...], moves: str
) -> None:
    """Four readings of one direction: neither steady, nor a value by then that they do not hold."""
    few = read("alkalinity", *((8 - 2 * place, value) for place, value in enumerate(values)))
    row, words = item(waiting("alkalinity"), few, tanks=(LAGOON,))
    outlook = row.limit.outlook
    assert outlook is not None
    assert outlook.trend is not None
    low, high = outlook.trend.rate.low, outlook.trend.rate.high
    most = max(high, -low)
    assert outlook.may_be_still

    told = plain(reason(row, words))
    figures = {label: plain(value) for label, value in numbers_used(row, words)}

    assert f"and may {moves} by up to {most:.2f} dKH a day. " in told
    assert re.search(r"10\.0 dKH: it could be [\d.]+ to [\d.]+ dKH by then\.", told)
    assert figures["Change a day"] == f"{low:+.2f} to {high:+.2f} dKH, not sure yet"
    assert "steady" not in told + str(figures)


def test_a_steady_value_is_bound_by_the_longest_interval() -> None:
    text = said(waiting("alkalinity"), STEADY)
    assert text.startswith("Alkalinity was 8.6 dKH on Mon 9 and is steady. ")
    assert text.endswith("It comes at least every 14 days, counted from Mon 9.")


def test_a_reading_is_told_as_it_was_measured() -> None:
    """As list, foot and logbook tell it; measured in another unit, it is told in the household's.

    1 meq/L is 2.8 dKH (DIN 38409-7, 2005, from memory), so 2.5 meq/L are 7.0 dKH.
    """
    range_told = "outside its range of 7.5 to 10.0 dKH."
    assert f"Alkalinity was 7 dKH yesterday, {range_told}" in said(
        waiting("alkalinity"), read("alkalinity", (1, 7))
    )
    in_meq = Readings((parse_reading("alkalinity", "2.5 meq/L"),))
    entry = an_entry(1, TODAY - timedelta(days=1), in_meq, tank="nook")
    assert f"Alkalinity was 7.0 dKH yesterday, {range_told}" in said(waiting("alkalinity"), [entry])


def test_a_value_outside_its_range() -> None:
    assert said(waiting("alkalinity"), read("alkalinity", (1, 7.1))) == (
        "Alkalinity was 7.1 dKH yesterday, outside its range of 7.5 to 10.0 dKH. "
        "It comes 2 days after yesterday at the soonest."
    )
    change = waiting("nitrate", ChoreKind.WATER_CHANGE)
    assert said(change, read("nitrate", (0, 19.0))) == (
        "Nitrate was 19 mg/L today, outside its range of 2 to 15 mg/L."
    )


@pytest.mark.parametrize(
    ("early", "told"),
    [
        (0, "It comes 2 days after yesterday at the soonest."),
        (1, "Its day is 2 days after yesterday at the soonest, and it may be done 1 day before."),
    ],
)
def test_the_least_interval_is_that_of_its_day_where_it_may_be_done_before(
    early: int, told: str
) -> None:
    """A test is of 2 days at least by habit, and offered as many days before as its window says."""
    one = replace(waiting("alkalinity"), early_days=early)

    assert told in said(one, read("alkalinity", (1, 7.1)))


def test_ph_is_written_as_it_is_at_the_start_of_a_sentence_too() -> None:
    assert said(waiting("ph"), []).startswith("pH of this tank was not read yet; ")


def test_what_no_trend_and_no_range_tells() -> None:
    assert "no trend of it is worked out" in said(waiting("ammonia"), read("ammonia", (1, 0.1)))
    bare = replace(LAGOON, community=None)
    text = said(waiting("alkalinity"), STEADY, tanks=(bare,))
    assert "No range is given for it: give one, or say what lives in the tank." in text


def test_work_that_waits_for_a_reading_says_so() -> None:
    """What fresh media did only a test tells."""
    media = waiting("phosphate", ChoreKind.FILTER_MEDIA, max_days=40)
    high = read("phosphate", *((24 - 4 * place, 0.05 + 0.008 * place) for place in range(6)))
    done = an_entry(30, TODAY - timedelta(days=1), done="it", key="first")
    row, words = item(replace(media, early_days=60), [*high, done], tanks=(LAGOON,))
    assert "It was not read since this was done last" in plain(reason(row, words))


NEAR = read("alkalinity", *((24 - 3 * place, 9.2 - 0.21 * place) for place in range(9)))
# What is done to the water, one day after the other at the soonest.
BUFFER = waiting("alkalinity", ChoreKind.OTHER, min_days=1, max_days=14)
REFILLED = [*NEAR, an_entry(30, TODAY, done="it", key="first", at=time(13), tank="nook")]
LEAVES = "may leave its range of 7.5 to 10.0 dKH"


def test_work_done_after_the_reading_leaves_its_day_to_the_next_one() -> None:
    """The range is left from tomorrow on by the reading before it; its day is the longest one."""
    before, words = item(BUFFER, NEAR, tanks=(LAGOON,))
    (done, coming), _ = items(BUFFER, REFILLED, tanks=(LAGOON,))
    assert coming.open is not None
    assert coming.open.target == TODAY + timedelta(days=14)

    assert f"From tomorrow on it {LEAVES}: " in plain(reason(before, words))
    assert plain(reason(done, words)).endswith(
        f"at least every 14 days. As of the reading before this was done, alkalinity {LEAVES} "
        "from tomorrow on. The next reading of alkalinity decides. Next about Thu 26."
    )
    told = plain(reason(coming, words))
    assert f" As of the reading before this was done, from tomorrow on it {LEAVES}: " in told
    assert told.endswith(
        "It was not read since this was done last: the next reading tells what that did, "
        "and decides. It comes at least every 14 days, counted from today."
    )
    figures = [dict(numbers_used(row, words)) for row in (before, done, coming)]
    assert ["Surely inside until" in each for each in figures] == [True, False, False]


def test_turns_of_such_work_far_ahead_name_what_decides_them() -> None:
    """Of them nothing is known but the longest interval, which bounds the first of them, too."""
    folded = state(BUFFER, REFILLED, tanks=(LAGOON,))
    words = Words(folded.household, folded.moment)

    turns = ahead_of(folded, TODAY, TODAY + timedelta(days=30)).items

    assert plain(reason(turns[-2], words)).endswith(
        "the next reading tells what that did, and decides. It comes at least every 14 days."
    )
    assert plain(reason(turns[-1], words)) == (
        "Expected about 9 April, if the turns before it are done on their days. "
        "Decided by the next reading of alkalinity; at least every 14 days."
    )


def test_a_chore_of_no_tank_has_no_readings() -> None:
    text = said(replace(waiting("nitrate"), tank=None), [])
    assert text == "The forecast of nitrate decides this, and only in a tank there is one."


def test_the_figures_beside_it() -> None:
    row, words = item(waiting("alkalinity"), FALLING, tanks=(LAGOON,))
    figures = {label: plain(value) for label, value in numbers_used(row, words)}
    assert figures["Range"] == "7.5 to 10.0 dKH"
    assert figures["Readings in the trend"] == "8"
    assert figures["Change a day"].startswith("\N{MINUS SIGN}0.07".replace("\N{MINUS SIGN}", "-"))
    assert "Surely inside until" in figures


def test_the_unit_of_the_household_is_used() -> None:
    """The range and the rate in meq/L: 1 meq/L is 2.8 dKH (DIN 38409-7, 2005, from memory)."""
    own = replace(LAGOON, ranges=(OwnRange("alkalinity", 2.8, 3.4, "meq/L"),))
    row, words = item(waiting("alkalinity"), FALLING, tanks=(own,))
    home = replace(words.household, units=replace(words.household.units, alkalinity="meq/L"))
    words = replace(words, household=home)
    figures = {label: plain(value) for label, value in numbers_used(row, words)}
    assert figures["Range"] == "2.80 to 3.40 meq/L"
    assert figures["Change a day"].startswith("-0.02")


@pytest.mark.parametrize(
    ("ends", "text"),
    [
        ((None, 20.0), "at most 20 mg/L"),
        ((2.0, None), "at least 2 mg/L"),
        ((2.0, 15.0), "2 to 15 mg/L"),
        ((None, None), ""),
    ],
)
def test_a_range_in_words(ends: tuple[float | None, float | None], text: str) -> None:
    assert plain(range_words("nitrate", Range(*ends), words_for())) == text


def test_a_ph_has_no_unit() -> None:
    assert plain(range_words("ph", Range(8.0, 8.4), words_for())) == "8 to 8.4"
