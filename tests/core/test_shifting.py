"""Moving a calendar rule as a whole."""

from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tankkeeper.core.errors import UserFault
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.shifting import shift_rule


@pytest.mark.parametrize(
    ("text", "start", "occurrence", "to", "expected"),
    [
        ("FREQ=DAILY;INTERVAL=10", "2026-03-01", "2026-03-11", "2026-03-13", None),
        ("FREQ=WEEKLY;INTERVAL=2", "2026-03-07", "2026-03-21", "2026-03-23", None),
        ("FREQ=MONTHLY", "2026-03-07", "2026-04-07", "2026-04-09", None),
        (
            "FREQ=MONTHLY;INTERVAL=2",
            "2026-03-07",
            "2026-05-07",
            "2026-05-31",
            "FREQ=MONTHLY;INTERVAL=2;BYMONTHDAY=28,29,30,31;BYSETPOS=-1",
        ),
        (
            "FREQ=YEARLY",
            "2026-02-20",
            "2028-02-20",
            "2028-02-29",
            "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=28,29;BYSETPOS=-1",
        ),
        (
            "FREQ=WEEKLY;BYDAY=SA",
            "2026-03-07",
            "2026-03-14",
            "2026-03-16",
            "FREQ=WEEKLY;BYDAY=MO",
        ),
        # 7 March 2026 is the first Saturday, 10 March the second Tuesday.
        (
            "FREQ=MONTHLY;BYDAY=1SA",
            "2026-03-01",
            "2026-03-07",
            "2026-03-10",
            "FREQ=MONTHLY;BYDAY=2TU",
        ),
        # 28 March is the last Saturday, 24 March the last but one Tuesday.
        (
            "FREQ=MONTHLY;BYDAY=-1SA",
            "2026-03-01",
            "2026-03-28",
            "2026-03-24",
            "FREQ=MONTHLY;BYDAY=-2TU",
        ),
        # Two of five are over: three are left.
        (
            "FREQ=WEEKLY;COUNT=5",
            "2026-03-07",
            "2026-03-21",
            "2026-03-22",
            "FREQ=WEEKLY;COUNT=3",
        ),
    ],
)
def test_a_series_moves_to_the_new_date(
    text: str, start: str, occurrence: str, to: str, expected: str | None
) -> None:
    """A mere interval takes the new start, a single weekday the new weekday."""
    new_start = date.fromisoformat(to)

    shifted = shift_rule(text, date.fromisoformat(start), date.fromisoformat(occurrence), new_start)

    assert shifted == (expected or text, new_start)


@pytest.mark.parametrize(
    ("text", "occurrence"),
    [
        ("FREQ=WEEKLY;BYDAY=TU,SA", "2026-03-07"),
        ("FREQ=MONTHLY;BYMONTHDAY=7", "2026-03-07"),
        ("FREQ=MONTHLY;BYMONTHDAY=7,21", "2026-03-07"),
        ("FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1", "2026-03-31"),
        ("FREQ=MONTHLY;BYDAY=SA;BYSETPOS=1", "2026-03-07"),
        ("FREQ=YEARLY;BYMONTH=3;BYDAY=1SA", "2026-03-07"),
        ("FREQ=YEARLY;BYDAY=10SA", "2026-03-07"),
        ("FREQ=YEARLY;BYYEARDAY=66", "2026-03-07"),
    ],
)
def test_a_series_of_several_named_days_needs_the_editor(text: str, occurrence: str) -> None:
    """Which of the named days moves is for a person to say."""
    day = date.fromisoformat(occurrence)

    with pytest.raises(UserFault) as refused:
        shift_rule(text, date(2026, 3, 1), day, day + timedelta(days=2))

    assert refused.value.code == "shift_needs_editor"


def test_a_move_onto_a_fifth_weekday_needs_the_editor() -> None:
    """31 March 2026 is a fifth Tuesday, which most months do not have."""
    with pytest.raises(UserFault) as refused:
        shift_rule("FREQ=MONTHLY;BYDAY=4SA", date(2026, 3, 1), date(2026, 3, 28), date(2026, 3, 31))

    assert refused.value.code == "shift_needs_editor"


def test_only_a_date_of_the_rule_can_be_moved() -> None:
    """Sunday is no date of a Saturday rule, and nothing can move behind UNTIL."""
    start = date(2026, 3, 7)

    with pytest.raises(UserFault) as no_date:
        shift_rule("FREQ=WEEKLY;BYDAY=SA", start, date(2026, 3, 8), date(2026, 3, 9))
    with pytest.raises(UserFault) as ended:
        shift_rule("FREQ=WEEKLY;UNTIL=20260316", start, date(2026, 3, 14), date(2026, 3, 17))

    assert no_date.value.code == "not_a_date_of_the_rule"
    assert ended.value.code == "rule_without_dates"


@given(
    st.sampled_from(
        [
            "FREQ=DAILY;INTERVAL=3",
            "FREQ=WEEKLY",
            "FREQ=WEEKLY;INTERVAL=3;BYDAY=WE;WKST=SU",
            "FREQ=MONTHLY",
            "FREQ=MONTHLY;INTERVAL=4;BYDAY=-2FR",
            "FREQ=YEARLY",
            "FREQ=DAILY;COUNT=40",
        ]
    ),
    st.dates(date(2024, 1, 1), date(2028, 12, 31)),
    st.integers(0, 5),
    st.integers(-20, 40),
)
def test_the_new_version_begins_on_the_new_date(
    text: str, start: date, place: int, by_days: int
) -> None:
    """Whatever moves, the first date of the new version is the one asked for, and COUNT adds up."""
    old = compile_rule(text, start)
    dates = old.days(old.first_day, old.first_day + 366 * 12)
    occurrence = date.fromordinal(dates[place])
    to = occurrence + timedelta(days=by_days)
    try:
        new_text, new_start = shift_rule(text, start, occurrence, to)
    except UserFault as fault:
        assume(fault.code != "shift_needs_editor")
        raise

    new = compile_rule(new_text, new_start)

    assert new.first_on_or_after(new.first_day) == to.toordinal()
    if old.parts.count is not None:
        assert place + new.count(new.first_day, new.last_day) == old.parts.count
