"""A window that is left open over night, by a clock that the test moves."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from tankkeeper.gui.new_day import RESTED
from tests.builders import BERLIN
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands

NIGHT = timedelta(days=1)


def _passes(hands: Hands, by: timedelta) -> None:
    """Let time pass on the wall, and the window look."""
    hands.clock.forward(by)
    assert hands.window.morning is not None
    for _ in range(2):
        hands.window.morning._poll.timeout.emit()
        hands.settle()


def _first_to_do(hands: Hands) -> str:
    return next(row.item.chore.id for row in hands.rows() if row.item.is_open)


def test_the_round_of_a_new_day_begins_at_its_first_line_to_do(live_in: LiveIn) -> None:
    """The keys stood on the last line in the evening; a key pressed half awake does the first."""
    hands = live_in()
    hands.press("Space", "End")
    assert hands.current() != _first_to_do(hands)

    _passes(hands, NIGHT)

    assert hands.current() == _first_to_do(hands)
    assert hands.list.verticalScrollBar().value() == 0


def test_rows_that_were_chosen_together_are_let_go_over_night(live_in: LiveIn) -> None:
    """What is ticked in the morning is one line."""
    hands = live_in()
    hands.press("End", "Shift+Up", "Shift+Up")
    assert len(hands.list.selected_rows()) == 3

    _passes(hands, NIGHT)

    assert [row.item.chore.id for row in hands.list.selected_rows()] == [_first_to_do(hands)]


def test_on_the_same_day_the_keys_stay_whatever_is_written_elsewhere(live_in: LiveIn) -> None:
    """Hours later, and after a reading anew."""
    hands = live_in()
    hands.press("End")
    here = hands.current()
    hands.window.session.refresh()  # type: ignore[union-attr]

    _passes(hands, timedelta(hours=8))

    assert hands.current() == here


@pytest.mark.parametrize("key", ["/", "Ctrl+L", "Ctrl+,"])
def test_in_the_middle_of_something_the_keys_stay_where_they_are(live_in: LiveIn, key: str) -> None:
    """A search, a form or a page that stands open stays, and the line behind it."""
    hands = live_in()
    hands.press("End")
    here = hands.current()
    hands.press(key)

    _passes(hands, NIGHT)
    _passes(hands, RESTED)

    assert hands.current() == here


def test_right_behind_a_key_the_new_day_waits_and_any_further_key_ends_that(
    live_in: LiveIn,
) -> None:
    """At the hour at which the day begins somebody still works; who goes on has the keys."""
    late = datetime(2026, 3, 13, 3, 58, tzinfo=BERLIN)
    hands = live_in(now=late)
    hands.press("End")
    here = hands.current()
    _passes(hands, timedelta(minutes=4))
    assert hands.sheet().title.startswith("Friday 13")
    assert hands.current() == here

    _passes(hands, RESTED)
    assert hands.current() == _first_to_do(hands) != here

    hands.clock.forward(timedelta(hours=23, minutes=46))
    hands.press("End")
    _passes(hands, timedelta(minutes=8))
    hands.press("Up")
    here = hands.current()
    _passes(hands, RESTED)
    assert hands.current() == here != _first_to_do(hands)


def test_the_month_goes_to_the_new_today_with_the_month(live_in: LiveIn) -> None:
    """Also on the first of one, and while another view is shown; the keys stay in that."""
    hands = live_in(now=datetime(2026, 3, 30, 21, 0, tzinfo=BERLIN))
    hands.press("Ctrl+2", "Home")
    assert month_of(hands).day == date(2026, 3, 30)
    _passes(hands, NIGHT)
    assert month_of(hands).day == date(2026, 3, 31)
    hands.press("Ctrl+1")

    _passes(hands, NIGHT)

    assert hands.focus() is hands.list
    sheet = page_of(hands).month.sheet
    assert sheet is not None
    assert sheet.month == date(2026, 4, 1)
    assert month_of(hands).day == date(2026, 4, 1)


def test_a_month_that_was_gone_to_stays(live_in: LiveIn) -> None:
    """Who looked at another day finds it in the morning."""
    hands = live_in()
    hands.press("Ctrl+2", "Right", "Right")

    _passes(hands, NIGHT)

    assert month_of(hands).day == date(2026, 3, 14)


def test_the_list_of_yesterday_is_closed_for_the_month_of_today(live_in: LiveIn) -> None:
    """Its lines are those of a day that is over."""
    hands = live_in()
    hands.press("Ctrl+2", "Return")
    assert page_of(hands).month.is_day_open

    _passes(hands, NIGHT)

    assert not page_of(hands).month.is_day_open
    assert month_of(hands).day == date(2026, 3, 13)
    assert hands.focus() is month_of(hands)
