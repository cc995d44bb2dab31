"""Numbers as text: digits, units, signs that keep a number and its unit together."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import ShownUnits
from tankkeeper.core.moment import moment_of
from tankkeeper.reports.in_sentences import small
from tankkeeper.reports.numbers import NBSP, ends_words, plain, shown, shown_estimate, span_words
from tankkeeper.reports.words import Words
from tests.builders import BERLIN, a_household
from tests.reports.scenes import words_for

NB = "\u00a0"
WJ = "\u2060"


def words_at(local: str) -> Words:
    """Return the words at another moment on the wall clock of the household."""
    words = words_for()
    now = datetime.fromisoformat(local).replace(tzinfo=BERLIN)
    return replace(words, moment=moment_of(words.household, now))


@pytest.mark.parametrize(
    ("value", "unit", "decimals", "said"),
    [
        (40.0, "L", None, f"40{NB}L"),
        (0.7, "L", None, f"0.7{NB}L"),
        (12.04, "mm", 0, f"12{NB}mm"),
        (515.2, "g", None, f"515{NB}g"),
        (1528.0, "g", None, f"1528{NB}g"),
        (2.45, "L", None, f"2.45{NB}L"),
        (12.0, "mg/L", None, f"12{NB}mg/{WJ}L"),
        (145.0, "mg/L CaCO3", 0, f"145{NB}mg/{WJ}L{NB}CaCO3"),
        (25.4, "degC", 1, f"25.4{NB}°C"),
        (-1.5, "degC", 1, f"\u22121.5{NB}°C"),
        (-0.01, "degC", 1, f"0.0{NB}°C"),
        (35.1, "practical", 1, f"35.1{NB}PSU"),
    ],
)
def test_a_number_is_bound_to_its_unit(
    value: float, unit: str, decimals: int | None, said: str
) -> None:
    """No line breaks between them, nor behind the slash of a unit."""
    assert shown(value, unit, decimals) == said


@pytest.mark.parametrize(
    ("estimate", "said", "with_span"),
    [
        (Estimate(2.68, 2.3, 3.0), f"2.7{NB}L", f"2.7{NB}±{NB}0.4{NB}L"),
        (Estimate(443.2, 428.0, 458.0), f"443{NB}L", f"443{NB}±{NB}15{NB}L"),
        (Estimate(0.953, 0.83, 1.07), f"0.95{NB}L", f"0.95{NB}±{NB}0.12{NB}L"),
        (Estimate(0.9, 0.5, 1.6), f"0.9{NB}L", f"0.9{NB}L (0.5{NB}to{NB}1.6)"),
        (Estimate(1234.0, 1000.0, 1400.0), f"1200{NB}L", f"1200{NB}±{NB}200{NB}L"),
        (Estimate(0.9, 0.2, 4.0), f"0.9{NB}L", f"0.9{NB}L (0.2{NB}to{NB}4.0)"),
        (Estimate(3.0, 2.9004, 3.0996), f"3.00{NB}L", f"3.00{NB}±{NB}0.10{NB}L"),
        # Half of 6.66 is 3.33, of which two digits are tenths: 0.36 is 0.4, and nothing is 0.
        (Estimate(0.36, 0.0, 6.66), f"0.4{NB}L", f"0.4{NB}L (0{NB}to{NB}6.7)"),
        (Estimate(0.36, 0.004, 6.66), f"0.4{NB}L", f"0.4{NB}L (0{NB}to{NB}6.7)"),
        # The middle keeps a digit of its own; half of the span is told to tenths all the same.
        (Estimate(0.036, 0.0, 6.66), f"0.04{NB}L", f"0.04{NB}L (0{NB}to{NB}6.7)"),
        # Half of 66 is 33, of which two digits are whole litres.
        (Estimate(3.6, 0.0, 66.0), f"4{NB}L", f"4{NB}L (0{NB}to{NB}66)"),
        # Half of 5 is 2.5: the tenths of a loss with which days are reckoned stay.
        (Estimate(1.32, 0.0, 5.0), f"1.3{NB}L", f"1.3{NB}L (0{NB}to{NB}5.0)"),
        # Half of 0.6 is 0.3: hundredths are seen.
        (Estimate(0.2, 0.0, 0.6), f"0.20{NB}L", f"0.20{NB}L (0{NB}to{NB}0.60)"),
        (Estimate(40.0, 40.0, 40.0), f"40{NB}L", f"40{NB}L"),
        (Estimate(0.0, 0.0, 0.0), f"0{NB}L", f"0{NB}L"),
        # Right after a fill nobody measures what is left to a ten thousandth of a litre.
        (Estimate(35.99961, 35.99953, 35.99969), f"36{NB}L", f"36{NB}L"),
        (Estimate(36.0, 35.9904, 36.0096), f"36{NB}L", f"36{NB}L"),
        (Estimate(25.0, 24.99, 25.0), f"25{NB}L", f"25{NB}L"),
        (Estimate(25.3, 24.9, 25.4), f"25.3{NB}L", f"25.3{NB}L (24.9{NB}to{NB}25.4)"),
        (Estimate(2.4567, 2.4549, 2.4585), f"2.46{NB}L", f"2.46{NB}L"),
        (Estimate(0.12345, 0.12344, 0.12346), f"0.12{NB}L", f"0.12{NB}L"),
        (Estimate(0.12345, 0.12345, 0.12345), f"0.12{NB}L", f"0.12{NB}L"),
        (Estimate(0.90, 0.8996, 0.9002), f"0.9{NB}L", f"0.9{NB}L"),
    ],
)
def test_an_estimate_shows_no_more_digits_than_its_span_leaves(
    estimate: Estimate, said: str, with_span: str
) -> None:
    """One digit of the half span, two where it begins with 1 (common practice, no source)."""
    assert shown_estimate(estimate, "L") == said
    assert span_words(estimate, "L") == with_span


@pytest.mark.parametrize(
    ("estimate", "said"),
    [
        (Estimate(1.8, 1.6, 2.0), f"1.6{NB}to{NB}2.0{NB}L"),
        (Estimate(0.36, 0.0, 6.66), f"0{NB}to{NB}6.7{NB}L"),
        (Estimate(0.0, 0.0, 0.0), f"0{NB}L"),
    ],
)
def test_both_ends_of_a_span_have_the_digits_of_its_half(estimate: Estimate, said: str) -> None:
    """Nothing is 0, whatever decimals the other end has."""
    assert ends_words(estimate, "L") == said


@given(
    st.floats(0.0, 1e5),
    st.floats(0.0, 10.0),
    st.floats(0.0, 10.0),
    st.sampled_from(("L", "US gal")),
)
def test_litres_that_are_worked_out_never_have_more_than_two_decimals(
    value: float, below: float, above: float, unit: str
) -> None:
    """Whatever the span, and no span is told of which nothing can be seen."""
    said = span_words(Estimate(value, value - below, value + above), unit)

    assert not re.search(r"\.[0-9]{3}", said)
    assert f"±{NB}0{NB}" not in said
    assert not re.search(rf"±{NB}0\.0*{NB}", said)


def test_a_rate_of_small_readings_keeps_the_decimals_of_its_span() -> None:
    """Phosphate moves by thousandths of a milligram a day."""
    rate = Estimate(0.0021, 0.0017, 0.0025)

    assert span_words(rate, "mg/L") == f"0.0021{NB}±{NB}0.0004{NB}mg/{WJ}L"


def test_the_decimal_sign_is_a_choice() -> None:
    """A household may read commas."""
    words = words_for(decimal_sign=",")

    assert words.litres(2.5) == f"2,5{NB}L"
    assert words.salinity(35.08) == f"35,1{NB}PSU"
    assert words.litres_with_span(Estimate(0.9, 0.5, 1.6)) == f"0,9{NB}L (0,5{NB}to{NB}1,6)"


def test_values_are_shown_in_the_units_of_the_household() -> None:
    """1 US gal is 3.785411784 L and 1 dKH 0.35666 meq/L (NIST SP 811, 2008; molar masses)."""
    units = ShownUnits("US gal", "degF", "sg 25/25", "meq/L")
    words = words_for(replace(a_household(), units=units))

    assert words.litres(37.85411784) == f"10{NB}US{NB}gal"
    assert words.temperature(25.0) == f"77.0{NB}°F"
    # 1.0264: UNESCO Technical Paper 44, 1983, density at 25 degC over that of fresh water.
    assert words.salinity(35.0) == f"1.0264{NB}sg{NB}25/{WJ}25"
    assert words.parameter("alkalinity", 8.0) == f"2.85{NB}meq/{WJ}L"
    assert words.parameter("nitrate", 14.0) == f"14{NB}mg/{WJ}L"
    assert words.parameter("ph", 8.15) == "8.15"


def test_other_salinity_units_are_shown_too() -> None:
    """35 practical conduct 53.06 mS/cm at 25 degC (UNESCO 1981, PSS-78 scale, from memory)."""
    words = words_for(replace(a_household(), units=ShownUnits(salinity="mS/cm")))

    assert words.salinity(35.0) == f"53.1{NB}mS/{WJ}cm"


def test_a_salinity_beyond_the_instruments_is_told_as_practical_salinity() -> None:
    """No scale is stretched past what it is defined for."""
    words = words_for(replace(a_household(), units=ShownUnits(salinity="sg 25/25")))

    assert words.salinity_with_span(Estimate(41.0, 39.0, 43.0)) == f"41{NB}±{NB}2{NB}PSU"


@pytest.mark.parametrize(
    ("day", "named", "on"),
    [
        ("2026-03-12", "today", "today"),
        ("2026-03-11", "yesterday", "yesterday"),
        ("2026-03-13", "tomorrow", "tomorrow"),
        ("2026-03-10", f"Tue{NBSP}10", f"on Tue{NBSP}10"),
        ("2026-03-18", "Wednesday", "on Wednesday"),
        ("2026-03-19", f"19{NB}March", f"on 19{NB}March"),
        ("2026-02-24", f"24{NB}February", f"on 24{NB}February"),
        ("2024-02-24", f"24{NB}February 2024", f"on 24{NB}February 2024"),
    ],
)
def test_days_within_a_week_carry_their_weekday(day: str, named: str, on: str) -> None:
    """Beyond, a weekday would be taken for another one."""
    words = words_for()

    assert words.day(date.fromisoformat(day)) == named
    assert words.on_day(date.fromisoformat(day)) == on


def test_times_are_told_on_the_wall_clock_of_the_household() -> None:
    """05:58 UTC is 06:58 in Berlin in March."""
    words = words_for()
    at = datetime(2026, 3, 9, 10, 10, tzinfo=UTC)

    assert words.clock(datetime(2026, 3, 12, 5, 58, tzinfo=UTC)) == "06:58"
    assert words.at(at) == f"Mon{NBSP}9 at 11:10"
    assert words.weekday_and_number(date(2026, 3, 14)) == f"Sat{NB}14"
    assert words.weekday_and_number(date(2026, 4, 2)) == f"Thu{NB}2{NB}Apr"
    assert words.weekday_and_number(date(2026, 5, 14)) == f"14{NB}May"


@pytest.mark.parametrize(
    ("at", "told", "noun"),
    [
        ("2026-03-13T01:35", "tonight", "tonight"),
        ("2026-03-12T01:35", "last night", "last night"),
        ("2026-03-12T04:00", "today", "today"),
        ("2026-03-11T03:59", f"in the night to Wed{NB}11", f"the night to Wed{NB}11"),
        ("2026-03-11T04:00", "yesterday", "yesterday"),
        ("2026-03-15T00:05", f"in the night to Sun{NB}15", f"the night to Sun{NB}15"),
    ],
)
def test_a_moment_of_the_night_is_not_named_by_the_day_before(
    at: str, told: str, noun: str
) -> None:
    """The day begins at 04:00, so 01:35 of this Thursday belongs to yesterday's round."""
    words, moment = words_for(), datetime.fromisoformat(at).replace(tzinfo=BERLIN)

    assert words.at(moment) == f"{told} at {at[-5:]}"
    assert words.at(moment, is_noun=True) == f"{noun} at {at[-5:]}"


@pytest.mark.parametrize(
    ("at", "told", "noun"),
    [
        ("2026-03-12T01:35", "tonight", "tonight"),
        ("2026-03-11T08:29", f"Wed{NB}11", f"Wed{NB}11"),
        ("2026-03-11T01:35", f"in the night to Wed{NB}11", f"the night to Wed{NB}11"),
        ("2026-03-10T22:37", f"Tue{NB}10", f"Tue{NB}10"),
        ("2026-03-12T07:00", "Thursday", "Thursday"),
        ("2026-03-13T07:00", "Friday", "Friday"),
    ],
)
def test_after_midnight_no_moment_is_named_by_a_day_that_counts_from_today(
    at: str, told: str, noun: str
) -> None:
    """At 03:29 of Thursday 12 the day of Wednesday runs; 07:00 of Thursday is 3.5 hours ahead."""
    words, moment = words_at("2026-03-12T03:29"), datetime.fromisoformat(at).replace(tzinfo=BERLIN)

    assert words.at(moment) == f"{told} at {at[-5:]}"
    assert words.at(moment, is_noun=True) == f"{noun} at {at[-5:]}"


def test_after_midnight_the_round_is_that_of_today_and_no_other_day_counts_from_it() -> None:
    """At 03:29 of Thursday 12 the round is that of Wednesday; "tomorrow" would be two days."""
    words = words_at("2026-03-12T03:29")

    days = [date(2026, 3, number) for number in (10, 11, 12, 13)]
    assert [words.day(day) for day in days] == [f"Tue{NB}10", "today", "Thursday", "Friday"]
    assert [words.on_day(day) for day in days] == [
        f"on Tue{NB}10", "today", "on Thursday", "on Friday",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("at", "told"),
    [
        ("2026-03-12T01:35", "tonight"),
        ("2026-03-11T08:29", f"on Wed{NB}11"),
        ("2026-03-11T01:35", f"in the night to Wed{NB}11"),
        ("2026-03-12T07:00", "on Thursday"),
    ],
)
def test_after_midnight_what_was_done_before_is_told_by_its_weekday(at: str, told: str) -> None:
    """As an adverb, beside no hour."""
    words = words_at("2026-03-12T03:29")

    assert words.on_day_at(datetime.fromisoformat(at).replace(tzinfo=BERLIN)) == told


def test_signs_of_a_page_are_left_out_of_plain_text() -> None:
    """A terminal, a script and a voice need plain spaces."""
    assert plain(f"12{NB}mg/{WJ}L, \u22121{NB}°C") == "12 mg/L, -1 °C"
    assert small("Change water") == "change water"
    assert small("RO/DI prefilter") == "RO/DI prefilter"
