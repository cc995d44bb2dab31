"""Intervals counted from a completion, with and without seasons."""

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.errors import UserFault
from tankkeeper.core.intervals import (
    Interval,
    IntervalUnit,
    MonthDay,
    Season,
    advance,
    advance_moment,
    advance_with_seasons,
    check_seasons,
    parse_interval,
    parse_month_day,
)

DAYS = st.dates(date(2000, 1, 1), date(2060, 12, 31))
FIXED = st.one_of(
    st.builds(Interval, st.integers(1, 200), st.just(IntervalUnit.DAYS)),
    st.builds(Interval, st.integers(1, 30), st.just(IntervalUnit.WEEKS)),
)
DATED = st.one_of(
    FIXED,
    st.builds(Interval, st.integers(1, 60), st.just(IntervalUnit.MONTHS)),
    st.builds(Interval, st.integers(1, 10), st.just(IntervalUnit.YEARS)),
)
# Borders at the ends of February and of the year are drawn often, as they are the hard ones.
MONTH_DAYS = st.one_of(
    st.dates(date(2000, 1, 1), date(2000, 12, 31)).map(lambda day: MonthDay(day.month, day.day)),
    st.sampled_from(
        [MonthDay(2, 28), MonthDay(2, 29), MonthDay(3, 1), MonthDay(12, 31), MonthDay(1, 1)]
    ),
)


@st.composite
def season_tables(draw: st.DrawFn) -> list[Season]:
    """Returns one to three seasons that do not overlap; the last may wrap the new year."""
    how_many = draw(st.integers(1, 3))
    ends = draw(
        st.lists(MONTH_DAYS, min_size=2 * how_many, max_size=2 * how_many, unique=True).map(sorted)
    )
    if draw(st.booleans()):
        ends = ends[1:] + ends[:1]
    pairs = zip(ends[::2], ends[1::2], strict=True)
    return [Season(first, last, draw(FIXED)) for first, last in pairs]


def by_fractions(base: date, interval: Interval, seasons: list[Season]) -> date:
    """Returns the target by adding exact fractions day by day, as the definition says."""
    done, day = Fraction(0), base
    while done < 1:
        day += timedelta(days=1)
        place = (day.month, day.day)
        days = interval.fixed_days
        for season in seasons:
            first, last = season.from_month_day, season.to_month_day
            inside = first <= place <= last if first <= last else not last < place < first
            days = season.interval.fixed_days if inside else days
        done += Fraction(1, days)
    return day


def test_an_interval_reads_and_writes_its_text() -> None:
    """The text form is a number and a unit, in the singular for one."""
    for text in ("8 hours", "1 hour", "14 days", "1 day", "2 weeks", "1 month", "1 year"):
        assert str(parse_interval(text)) == text

    assert parse_interval(" 14 Day ") == Interval(14, IntervalUnit.DAYS)


@given(DATED)
def test_every_interval_survives_its_text(interval: Interval) -> None:
    """What is written is read back the same."""
    assert parse_interval(str(interval)) == interval


@pytest.mark.parametrize("text", ["", "14", "days", "-3 days", "1.5 days", "3 moons", "٣ days"])
def test_a_text_that_is_no_interval_is_refused(text: str) -> None:
    """Only a whole number with a known unit is an interval."""
    with pytest.raises(UserFault) as refused:
        parse_interval(text)

    assert refused.value.code == "interval_unreadable"


@pytest.mark.parametrize(
    "text", ["0 days", "3651 days", "522 weeks", "121 months", "11 years", "0 hours", "99999 hours"]
)
def test_an_interval_over_ten_years_or_of_nothing_is_refused(text: str) -> None:
    """Limits are 1 and about 3650 days, in each unit."""
    with pytest.raises(UserFault) as refused:
        parse_interval(text)

    assert refused.value.code == "out_of_range"


@pytest.mark.parametrize(
    ("base", "text", "target"),
    [
        # The day of a shorter month is its last; worked by hand on the Gregorian calendar.
        ("2026-01-31", "1 month", "2026-02-28"),
        ("2028-01-31", "1 month", "2028-02-29"),
        ("2026-02-28", "1 month", "2026-03-28"),
        ("2026-08-31", "6 months", "2027-02-28"),
        ("2028-02-29", "1 year", "2029-02-28"),
        ("2028-02-29", "4 years", "2032-02-29"),
        ("2026-12-31", "2 months", "2027-02-28"),
        ("2026-03-05", "7 days", "2026-03-12"),
        ("2026-03-28", "2 days", "2026-03-30"),
        ("2026-03-05", "2 weeks", "2026-03-19"),
        ("2028-02-28", "2 days", "2028-03-01"),
    ],
)
def test_an_interval_after_a_date(base: str, text: str, target: str) -> None:
    """Days and weeks add days, months and years keep the day or the month's last."""
    assert advance(date.fromisoformat(base), parse_interval(text)) == date.fromisoformat(target)


def test_hours_are_elapsed_time() -> None:
    """Eight hours after 22:00 UTC is 06:00 UTC, whatever the clocks do in between."""
    moment = datetime(2026, 3, 28, 22, tzinfo=UTC)

    assert advance_moment(moment, parse_interval("8 hours")) == datetime(2026, 3, 29, 6, tzinfo=UTC)
    assert advance_moment(moment, parse_interval("1 week")) == moment + timedelta(days=7)
    with pytest.raises(ValueError, match="moment"):
        advance(date(2026, 3, 28), parse_interval("8 hours"))
    with pytest.raises(ValueError, match="month"):
        advance_moment(moment, parse_interval("1 month"))


@given(DAYS, st.integers(0, 400), DATED)
def test_a_later_base_never_gives_an_earlier_target(
    base: date, later: int, interval: Interval
) -> None:
    """Targets keep the order of their bases, with the clamp of short months too."""
    following = base + timedelta(days=later)

    assert base < advance(base, interval) <= advance(following, interval)


@given(DAYS, st.integers(0, 400), FIXED, season_tables())
def test_a_later_base_never_gives_an_earlier_target_in_seasons(
    base: date, later: int, interval: Interval, seasons: list[Season]
) -> None:
    """Targets keep the order of their bases across the border of a season."""
    following = base + timedelta(days=later)

    first = advance_with_seasons(base, interval, seasons)

    assert base < first <= advance_with_seasons(following, interval, seasons)


@given(DAYS, FIXED, season_tables())
def test_seasons_add_up_exact_fractions_day_by_day(
    base: date, interval: Interval, seasons: list[Season]
) -> None:
    """Jumping whole runs of days finds what adding a fraction for each day finds."""
    expected = by_fractions(base, interval, seasons)

    assert advance_with_seasons(base, interval, seasons) == expected


@given(DAYS, FIXED, season_tables())
def test_seasons_with_equal_intervals_are_no_seasons(
    base: date, interval: Interval, seasons: list[Season]
) -> None:
    """A table that says the same everywhere changes nothing."""
    equal = [Season(one.from_month_day, one.to_month_day, interval) for one in seasons]

    assert advance_with_seasons(base, interval, equal) == advance(base, interval)
    assert advance_with_seasons(base, interval, []) == advance(base, interval)


def test_a_season_that_begins_in_the_middle_counts_its_days_faster() -> None:
    """29 to 31 May are 3/14, 1 to 5 June 5/7: 13/14; 6 June passes 1 (worked by hand)."""
    summer = Season(MonthDay(6, 1), MonthDay(8, 31), parse_interval("7 days"))

    target = advance_with_seasons(date(2026, 5, 28), parse_interval("14 days"), [summer])

    assert target == date(2026, 6, 6)


def test_a_season_may_wrap_the_new_year_and_end_on_the_leap_day() -> None:
    """From 1 November to 29 February every 4 days, else every 2 (worked by hand)."""
    winter = Season(parse_month_day("11-01"), parse_month_day("02-29"), parse_interval("4 days"))
    every = parse_interval("2 days")

    assert advance_with_seasons(date(2026, 12, 30), every, [winter]) == date(2027, 1, 3)
    # 27 and 28 February are 2/4; 1 March adds 1/2, in a leap year the 29th adds 1/4 first.
    assert advance_with_seasons(date(2027, 2, 26), every, [winter]) == date(2027, 3, 1)
    assert advance_with_seasons(date(2028, 2, 26), every, [winter]) == date(2028, 3, 1)
    assert advance_with_seasons(date(2028, 2, 25), every, [winter]) == date(2028, 2, 29)


@pytest.mark.parametrize(("first", "last"), [("02-29", "05-31"), ("12-01", "02-28")])
def test_a_season_may_begin_or_end_at_the_leap_day_in_plain_years(first: str, last: str) -> None:
    """A border on 29 February stands on 1 March in a year without it."""
    season = Season(parse_month_day(first), parse_month_day(last), parse_interval("5 days"))
    every = parse_interval("9 days")

    for base in (date(2026, 2, 25), date(2027, 2, 27), date(2028, 2, 26), date(2028, 2, 28)):
        assert advance_with_seasons(base, every, [season]) == by_fractions(base, every, [season])


def test_seasons_that_overlap_or_are_not_in_days_are_refused() -> None:
    """Two intervals for one day contradict each other; a month is no number of days."""
    week = parse_interval("1 week")
    spring = Season(MonthDay(3, 1), MonthDay(6, 1), week)
    summer = Season(MonthDay(6, 1), MonthDay(8, 31), week)

    with pytest.raises(UserFault) as overlapping:
        check_seasons(week, [spring, summer])
    with pytest.raises(UserFault) as no_days:
        check_seasons(parse_interval("1 month"), [summer])
    with pytest.raises(UserFault) as no_days_inside:
        Season(MonthDay(6, 1), MonthDay(8, 31), parse_interval("8 hours"))

    assert overlapping.value.code == "seasons_overlap"
    assert overlapping.value.values == {"day": "06-01"}
    assert no_days.value.code == no_days_inside.value.code == "season_needs_days"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("6-1", "month_day_unreadable"),
        ("1 June", "month_day_unreadable"),
        ("13-01", "out_of_range"),
        ("02-30", "out_of_range"),
        ("04-31", "out_of_range"),
        ("06-00", "out_of_range"),
    ],
)
def test_a_day_that_no_year_has_is_refused(text: str, code: str) -> None:
    """A border of a season is a month and a day that exist, in a leap year at least."""
    with pytest.raises(UserFault) as refused:
        parse_month_day(text)

    assert refused.value.code == code


def test_targets_beyond_the_last_date_are_refused() -> None:
    """No target lies after the year 9999, and none is cut off silently."""
    summer = Season(MonthDay(6, 1), MonthDay(8, 31), parse_interval("3650 days"))
    for attempt in (
        lambda: advance(date(9999, 12, 31), parse_interval("1 day")),
        lambda: advance(date(9999, 12, 1), parse_interval("1 month")),
        lambda: advance(date(9995, 1, 1), parse_interval("5 years")),
        lambda: advance_with_seasons(date(9999, 5, 1), parse_interval("3650 days"), [summer]),
        lambda: advance_with_seasons(date(9999, 12, 31), parse_interval("1 day"), [summer]),
        lambda: advance_moment(datetime(9999, 12, 31, 20, tzinfo=UTC), parse_interval("8 hours")),
    ):
        with pytest.raises(UserFault) as refused:
            attempt()
        assert refused.value.code == "date_out_of_reach"
