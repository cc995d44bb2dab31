"""Days and times typed by key: they end as they were typed, or are refused below the line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QCalendarWidget

from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import Note
from tankkeeper.core.moment import Moment
from tankkeeper.gui.forms.choices import NOT_TYPED, WhenField
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.typed_days import (
    DayStyle,
    day_in,
    day_text,
    is_whole,
    moment_in,
    moment_text,
    style_of,
)
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import BERLIN, Hands

_wall = datetime.fromisoformat
NOW = _wall("2026-12-02 07:32")
EARLY = datetime(2026, 12, 2, 7, 32, tzinfo=BERLIN)
# 2 December 2026 is a Wednesday (calendar of the standard library); the round is at 18:00.
MOMENT = Moment(EARLY, NOW.date(), BERLIN, time(4), time(18))
STYLES = {
    "en_GB": DayStyle("dmy"),
    "en_US": DayStyle("mdy"),
    "de_DE": DayStyle("dmy"),
    "sv_SE": DayStyle("ymd"),
    "C": DayStyle("dmy"),
}


@pytest.fixture(params=sorted(STYLES))
def style(request: pytest.FixtureRequest) -> Iterator[DayStyle]:
    """The style of a locale, which the program runs in."""
    before = QLocale()
    QLocale.setDefault(QLocale(request.param))
    yield STYLES[request.param]
    QLocale.setDefault(before)


# What is read


@pytest.mark.parametrize("name", sorted(STYLES))
def test_the_order_of_a_day_is_that_of_the_locale(name: str) -> None:
    """Day first, month first or year first."""
    assert style_of(QLocale(name).dateFormat(QLocale.FormatType.ShortFormat)) == STYLES[name]


@given(
    st.datetimes(_wall("1990-01-01 00:00"), _wall("2199-12-31 00:00")),
    st.sampled_from(list(STYLES.values())),
)
def test_what_is_shown_is_read_as_it_is_shown(at: datetime, style: DayStyle) -> None:
    """Every day and every minute, in every order."""
    at = at.replace(second=0, microsecond=0)

    assert moment_in(moment_text(at), style, MOMENT) == at
    assert day_in(day_text(at.date()), style, NOW.date()) == at.date()


@pytest.mark.parametrize(
    ("text", "style"),
    [
        ("24.11.2026 18.00", STYLES["en_GB"]),
        ("24/11/26, 18:00", STYLES["de_DE"]),
        ("24 11 2026 18:00", STYLES["de_DE"]),
        ("241120261800", STYLES["en_GB"]),
        ("24112026 1800", STYLES["en_GB"]),
        ("11/24/2026 6:00 PM", STYLES["en_US"]),
        ("11/24/26 6 pm", STYLES["en_US"]),
        ("24 November 2026 18:00", STYLES["en_US"]),
        ("Nov 24, 2026, 18:00", STYLES["en_GB"]),
        ("2026-11-24T18:00", STYLES["en_GB"]),
        ("2026/11/24 18:00:00", STYLES["en_US"]),
    ],
)
def test_other_ways_to_write_the_same_moment_are_read_too(text: str, style: DayStyle) -> None:
    """Where only one moment can be meant, no sign has to be as it is shown."""
    assert moment_in(text, style, MOMENT) == _wall("2026-11-24 18:00")


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("24/11/2026", "2026-11-24 18:00"),
        ("24 nov", "2026-11-24 18:00"),
        ("24.11.", "2026-11-24 18:00"),
        ("24/11", "2026-11-24 18:00"),
        ("nov 24th, 8:15", "2026-11-24 08:15"),
        ("Last Tuesday", "2026-12-01 18:00"),
        ("tuesday 8 pm", "2026-12-01 20:00"),
        ("sat 9:30", "2026-11-28 09:30"),
        ("yesterday", "2026-12-01 18:00"),
        ("yesterday 06:05", "2026-12-01 06:05"),
        ("today", "2026-12-02 07:32"),
        ("wednesday", "2026-12-02 07:32"),
        ("06:05", "2026-12-02 06:05"),
        ("24 dec", "2025-12-24 18:00"),
        ("3 days ago", "2026-11-29 18:00"),
        ("a week ago", "2026-11-25 18:00"),
        ("2 weeks ago 6:15", "2026-11-18 06:15"),
        ("3 Days Ago, evening", "2026-11-29 19:00"),
        ("monday evening", "2026-11-30 19:00"),
        ("last friday morning", "2026-11-27 08:00"),
        ("24 nov noon", "2026-11-24 12:00"),
        ("sat in the afternoon", "2026-11-28 15:00"),
        ("yesterday night", "2026-12-01 22:00"),
        ("last night", "2026-12-01 22:00"),
        ("this morning", "2026-12-02 08:00"),
        ("yesterday 23", "2026-12-01 23:00"),
        ("yesterday at 7", "2026-12-01 07:00"),
        ("Monday at 18:30", "2026-11-30 18:30"),
        ("at 7 pm", "2026-12-02 19:00"),
        ("yesterday, 7", "2026-12-01 07:00"),
        ("today 7", "2026-12-02 07:00"),
        ("3 days ago 7", "2026-11-29 07:00"),
        ("24/11/2026 18", "2026-11-24 18:00"),
        ("24 nov 2026 7", "2026-11-24 07:00"),
        ("7 pm", "2026-12-02 19:00"),
        ("7am", "2026-12-02 07:00"),
        ("23h", "2026-12-02 23:00"),
        ("yesterday 7 h", "2026-12-01 07:00"),
        ("sat 7 h", "2026-11-28 07:00"),
    ],
)
def test_a_day_in_words_is_the_last_one_at_its_hour_or_that_of_the_round(
    text: str, at: str
) -> None:
    """As on the command line: a bare day is the usual hour of its round, today is now."""
    assert moment_in(text, STYLES["en_GB"], MOMENT) == _wall(at)
    assert not is_whole(text, STYLES["en_GB"], has_time=True)


def test_a_number_behind_a_weekday_or_a_month_is_no_hour() -> None:
    """It is the day of the month there, or may be a year."""
    assert moment_in("tuesday 24", STYLES["en_GB"], MOMENT) == _wall("2026-11-24 18:00")
    assert moment_in("nov 24", STYLES["en_GB"], MOMENT) == _wall("2026-11-24 18:00")
    for text in ("24 nov 20", "7 nov 7", "yesterday 24", "7 7"):
        with pytest.raises(UserFault, match="not_a_moment_here"):
            moment_in(text, STYLES["en_GB"], MOMENT)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("7", "7 can be an hour or a day. Write 07:00 for the hour, or 7 Nov for the day."),
        ("23", "23 can be an hour or a day. Write 23:00 for the hour, or 23 Nov for the day."),
        ("05", "05 can be an hour or a day. Write 05:00 for the hour, or 5 Nov for the day."),
    ],
)
def test_a_number_alone_is_refused_with_both_that_it_can_be(text: str, told: str) -> None:
    """Nobody knows whether it was the hour of today or the day of a month."""
    with pytest.raises(UserFault) as refused:
        moment_in(text, STYLES["en_GB"], MOMENT)

    assert fault_words(refused.value) == told
    for way in ("hour", "day"):
        assert moment_in(str(refused.value.values[way]), STYLES["en_GB"], MOMENT) <= _wall(
            "2026-12-02 23:00"
        )


@pytest.mark.parametrize(
    ("text", "on"),
    [
        ("3 days ago", "2026-11-29"),
        ("in 3 days", "2026-12-05"),
        ("in a week", "2026-12-09"),
        ("monday evening", "2026-11-30"),
        ("tonight", "2026-12-02"),
    ],
)
def test_a_day_is_counted_from_today_or_named_by_a_part_of_it(text: str, on: str) -> None:
    """Where only the day is asked, its part says no more than the day."""
    assert day_in(text, STYLES["en_GB"], NOW.date()) == date.fromisoformat(on)


@pytest.mark.parametrize("text", ["days ago", "3 ago", "in days", "9999999 days ago", "evening x"])
def test_half_of_such_words_is_no_day(text: str) -> None:
    """Nothing is made up, and the sentence names words that are understood."""
    with pytest.raises(UserFault) as refused:
        day_in(text, STYLES["en_GB"], NOW.date(), is_past=True)

    assert fault_words(refused.value) == (
        f"{text} is not a day. Write it like 2 Dec 2026, "
        "or in words such as yesterday, last friday or 3 days ago."
    )


def test_a_moment_that_is_not_understood_names_words_that_are() -> None:
    """Of a day and a time other words are known than of a day."""
    with pytest.raises(UserFault) as refused:
        moment_in("monday breakfast", STYLES["en_GB"], MOMENT)

    assert fault_words(refused.value).endswith(
        "or in words such as monday evening, yesterday 18:00 or 3 days ago."
    )


def test_two_numbers_are_a_day_in_the_order_of_the_locale() -> None:
    """But with a point, which nobody puts behind a month that comes first."""
    assert day_in("11/24", STYLES["en_US"], NOW.date()) == date(2026, 11, 24)
    assert day_in("24.11.", STYLES["en_US"], NOW.date()) == date(2026, 11, 24)
    assert day_in("11-24", STYLES["sv_SE"], NOW.date()) == date(2026, 11, 24)
    assert day_in("5/1", STYLES["en_GB"], NOW.date(), is_past=True) == date(2026, 1, 5)
    assert day_in("5/1", STYLES["en_GB"], NOW.date(), is_past=False) == date(2027, 1, 5)


@pytest.mark.parametrize(
    "text",
    [
        "24.",
        "31",
        "99",
        "26:00",
        "24/11/2026 24:00",
        "24/11/2026 24",
        "24/11/2026 13 pm",
        "11/24/2026 18:00",
        "31/02/2026 18:00",
        "29/02/2026 18:00",
        "0/11/2026 18:00",
        "24/13 18:00",
        "24/11/202 18:00",
        "24/11/20266 18:00",
        "24 no 2026 18:00",
        "24 ma 2026 18:00",
        "november",
        "someday",
    ],
)
def test_what_is_no_moment_is_refused_with_an_example(text: str) -> None:
    """Nothing is made up for a part that is missing or cannot be."""
    with pytest.raises(UserFault) as refused:
        moment_in(text, STYLES["en_GB"], MOMENT)

    assert refused.value.code == "not_a_moment_here"
    assert refused.value.values["example"] == "2 Dec 2026 07:32"


# By key


def _another_time(hands: Hands) -> WhenField:
    """Open the form of a chore that asks nothing, and go to the line of another time."""
    hands.go_to("wipe")
    hands.press("Return")
    when = hands.form().when  # type: ignore[attr-defined]
    assert isinstance(when, WhenField)
    when.choice.setFocus()
    hands.press("End", "Tab")
    assert hands.focus() is when.other.field
    return when


@pytest.mark.parametrize(
    "day", [date(2026, 11, 24), date(2026, 10, 31), date(2026, 12, 2), date(2026, 2, 3)]
)
def test_a_moment_typed_in_the_order_shown_is_the_one_that_is_kept(
    live_in: LiveIn, style: DayStyle, day: date
) -> None:
    """Early in a month, too: no part of a day is bounded before the whole stands there."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)
    assert when.other.text == moment_text(NOW)

    at = datetime.combine(day, time(6, 5))
    hands.type(moment_text(at))
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.at.astimezone(BERLIN).replace(tzinfo=None) == at


def test_each_digit_can_be_put_in_the_place_of_another(live_in: LiveIn) -> None:
    """Going through the line and typing over what stands there gives what is seen."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)

    hands.press("Home", "Delete")
    hands.type("24")
    hands.press("Right", "Delete", "Delete", "Delete")
    hands.type("Nov")
    assert when.other.text == "24 Nov 2026 07:32"
    hands.press("Return")

    assert hands.log()[0].entry.day == date(2026, 11, 24)


def test_a_day_to_come_is_refused_in_place_and_stays_as_it_was_typed(
    live_in: LiveIn, style: DayStyle
) -> None:
    """One sentence below the line, nothing kept; it can be mended there."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)
    typed = moment_text(_wall("2026-12-24 18:00"))

    hands.type(typed)
    hands.press("Return")

    assert when.other.text == typed
    assert when.other.fault == "24\u00a0December is still to come."
    assert hands.focus() is when.other.field
    assert hands.log() == []
    hands.press("Esc")


def test_an_hour_to_come_is_refused_in_place(live_in: LiveIn) -> None:
    """Today, but later than now: the store knows best what time it is."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)

    hands.type("02/12/2026 18:00")
    hands.press("Return")

    assert when.other.text == "2 Dec 2026 18:00"
    assert "lies ahead" in when.other.fault
    assert hands.focus() is when.other.field
    hands.press("Esc")
    assert hands.log() == []


@pytest.mark.parametrize(
    ("typed", "told"), [("24", "Write it like 2 Dec 2026 07:32"), ("", NOT_TYPED)]
)
def test_half_a_moment_is_refused_in_place(live_in: LiveIn, typed: str, told: str) -> None:
    """Nobody knows which day it was, so nothing is kept."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)

    hands.press("Backspace")
    hands.type(typed)
    hands.press("Return")

    assert when.other.text == typed
    assert told in when.other.fault
    hands.press("Esc")
    assert hands.log() == []


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("24 nov", "24 Nov 2026 07:00"),
        ("yesterday", "1 Dec 2026 07:00"),
        ("last tuesday 9:15", "1 Dec 2026 09:15"),
        ("24.11.2026", "24 Nov 2026 07:00"),
        ("06:10", "2 Dec 2026 06:10"),
        ("02/12/2026 06:15", "2 Dec 2026 06:15"),
        ("Nov 1, 2026 6:15 am", "1 Nov 2026 06:15"),
    ],
)
def test_a_day_in_words_is_shown_in_full_and_kept(live_in: LiveIn, typed: str, shown: str) -> None:
    """What was understood stands in the line once it is left, and nothing is kept unseen."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)

    hands.type(typed)
    assert when.other.text == typed
    assert when.other.fault == ""
    hands.press("Tab")
    assert when.other.text == shown
    hands.press("Return")

    assert not hands.has_form()
    at = hands.log()[0].entry.at.astimezone(BERLIN)
    assert f"{at.day} {at:%b %Y %H:%M}" == shown


def test_the_end_of_a_pause_in_words_lies_ahead(live_in: LiveIn) -> None:
    """The same words mean the coming day where only such can be."""
    hands = live_in(now=EARLY)
    hands.go_to("lamp")
    hands.press("Shift+P")
    form = hands.form()
    form.until.setFocus()  # type: ignore[attr-defined]
    hands.press("End", "Tab")

    hands.type("tuesday")
    hands.press("Return")

    assert hands.log()[0].entry.fact.until == date(2026, 12, 8)  # type: ignore[union-attr]


def test_an_hour_that_the_clocks_left_out_is_refused(live_in: LiveIn) -> None:
    """Berlin's clocks went from 2:00 to 3:00 on 29 March 2026; half past two is no moment."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)

    hands.type("29/03/2026 02:30")
    hands.press("Return")

    assert "the clocks went forward" in when.other.fault
    hands.press("Esc")


def test_the_form_that_writes_down_and_the_correction_keep_what_is_typed(
    live_in: LiveIn, style: DayStyle
) -> None:
    """The same line stands in all forms that ask when."""
    hands = live_in(now=EARLY)
    hands.press("Ctrl+L")
    form = hands.form()
    form.litres.setFocus()  # type: ignore[attr-defined]
    hands.type("1")
    form.when.choice.setFocus()  # type: ignore[attr-defined]
    hands.press("End", "Tab")
    hands.type(moment_text(_wall("2026-11-24 18:00")))
    hands.press("Return")
    assert hands.log()[0].entry.day == date(2026, 11, 24)

    hands.press("Ctrl+6", "Home", "Return")
    form = hands.form()
    form.when.setFocus()  # type: ignore[attr-defined]
    hands.press("Ctrl+A")
    hands.type(moment_text(_wall("2026-12-24 09:30")))
    hands.press("Ctrl+Return")
    assert form.when.fault == "24\u00a0December is still to come."  # type: ignore[attr-defined]
    hands.press("Ctrl+A")
    hands.type(moment_text(_wall("2026-10-31 09:30")))
    hands.press("Ctrl+Return")

    assert not hands.has_form()
    at = hands.log()[0].entry.at.astimezone(BERLIN)
    assert at.replace(tzinfo=None) == _wall("2026-10-31 09:30")


def test_a_correction_that_leaves_the_moment_keeps_its_seconds(live_in: LiveIn) -> None:
    """What is shown to the minute is not cut to it."""
    written = replace(an_entry(1, "2026-03-11", Note(), at=time(8, 1, 17)), note="hello")
    hands = live_in(entries=(written,))
    hands.press("Ctrl+6", "Home", "Return")
    hands.form().note.setFocus()  # type: ignore[attr-defined]
    hands.type("x")
    hands.press("Ctrl+Return")

    assert hands.log()[0].entry.at == written.at


def test_the_last_day_of_a_pause_is_typed_or_refused(live_in: LiveIn, style: DayStyle) -> None:
    """A day that has gone by is refused below the line, one to come is kept."""
    hands = live_in(now=EARLY)
    hands.go_to("lamp")
    hands.press("Shift+P")
    form = hands.form()
    form.until.setFocus()  # type: ignore[attr-defined]
    hands.press("End", "Tab")
    day: Any = form.day  # type: ignore[attr-defined]
    assert hands.focus() is day.field

    hands.type(day_text(date(2026, 11, 24)))
    hands.press("Return")
    assert day.fault == "24\u00a0November has gone by."
    hands.press("Ctrl+A")
    hands.type(day_text(date(2026, 12, 31)))
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.fact.until == date(2026, 12, 31)  # type: ignore[union-attr]


def test_days_typed_in_the_logbook_narrow_it_once_they_stand_there_whole(
    live_in: LiveIn, style: DayStyle
) -> None:
    """What is half typed moves nothing; an empty line is no bound."""
    entries = tuple(
        replace(an_entry(number, f"2026-11-{day}", Note()), note=f"on {day}")
        for number, day in enumerate(("24", "25", "26"), 1)
    )
    hands = live_in(now=EARLY, entries=entries)
    hands.press("Ctrl+6")
    line = hands.window.morning.logbook.page.filter  # type: ignore[union-attr]
    line.span.setFocus()
    hands.press("End", "Tab")
    assert hands.focus() is line.first.field
    before = line.search(None)

    typed = day_text(date(2026, 11, 25))
    hands.type(typed[:5])
    assert line.search(None) == before
    hands.type(typed[5:])
    assert line.search(None).from_day == date(2026, 11, 25)
    hands.press("Ctrl+A")
    hands.type("tuesday")
    assert line.search(None).from_day == date(2026, 11, 25)
    hands.press("Tab")
    assert line.first.text == day_text(date(2026, 12, 1))
    assert line.search(None).from_day == date(2026, 12, 1)
    hands.press("Shift+Tab", "Ctrl+A", "Delete")
    assert line.search(None).from_day is None


# Keys and clicks besides typing


def test_up_and_down_go_a_day_or_an_hour_on(live_in: LiveIn) -> None:
    """The part in which the keys stand moves, and never beyond today."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)

    hands.press("Up")
    assert when.other.moment == NOW
    hands.press("Down", "Down")
    assert when.other.moment == NOW - timedelta(days=2)
    hands.press("End", "Up")
    assert when.other.moment == NOW - timedelta(days=2) + timedelta(hours=1)
    # 30 Nov 2026 08:32 becomes 1 Dec, a sign less: the keys stay in the time.
    hands.press(*["Up"] * 16, "Left", "Left", "Left", "Up")
    assert when.other.text == "1 Dec 2026 01:32"
    assert when.other.field.cursorPosition() == len("1 Dec 2026 01")
    hands.press("Esc")


@pytest.mark.parametrize("key", ["Alt+Down", "F4"])
def test_a_calendar_opens_by_key_and_gives_its_day(live_in: LiveIn, key: str) -> None:
    """Return takes the day that is chosen there; the time stays."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)

    hands.press(key)
    calendar = when.other.findChild(QCalendarWidget)
    assert calendar is not None
    assert calendar.isVisible()
    assert calendar.maximumDate().toPython() == NOW.date()
    calendar.setSelectedDate(calendar.selectedDate().addDays(-8))
    table = calendar.focusProxy() or calendar
    QTest.keyClick(table, Qt.Key.Key_Return)
    hands.settle()

    assert when.other.moment == _wall("2026-11-24 07:32")
    assert hands.focus() is when.other.field
    hands.press("Esc")


def test_what_is_wrong_is_told_by_a_screen_reader(live_in: LiveIn) -> None:
    """The sentence below the line is the description of the line."""
    hands = live_in(now=EARLY)
    when = _another_time(hands)
    assert isinstance(when.other, QuantityField)

    hands.type("31/02/2026 10:00")
    hands.press("Tab")

    assert when.other.field.accessibleName() == "Day and time"
    assert when.other.field.accessibleDescription() == when.other.fault
    assert when.other.fault
    hands.press("Esc")
