"""The keys go on to what can be done now before what has an hour later today."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time

import pytest

from tankkeeper.core.chores import Calendar, Chore, ChoreKind
from tankkeeper.core.household import Household
from tankkeeper.core.turns import State
from tankkeeper.gui.pages.calendar_page import CalendarPage
from tankkeeper.gui.pages.round_page import RoundPage
from tests.builders import BERLIN
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import THURSDAY, Hands, chore, small_house
from tests.gui.test_calendar_keys import KEYS, ROUND, VIEWS

# An hour and a half after the feeding of the morning, eight and a half before that of the evening.
HALF_PAST_NINE = datetime.combine(THURSDAY, time(9, 30), BERLIN)


def feeding(*hours: int) -> Chore:
    """Return a feeding of every Thursday at these hours: the board draws no work of every day."""
    rhythm = Calendar("FREQ=WEEKLY", THURSDAY, tuple(time(hour) for hour in hours))
    return chore("feed", "Feed", None, kind=ChoreKind.FEEDING, rhythm=rhythm)


def house(*others: Chore) -> Household:
    """Return the house with the feeding on the first tank and these chores besides."""
    return replace(small_house(), chores=(feeding(8, 18), *others))


def page_in(hands: Hands, view: str) -> RoundPage | CalendarPage:
    """Return the page that is shown."""
    assert hands.window.morning is not None
    return hands.window.morning.page if view == ROUND else page_of(hands)


def in_hand(hands: Hands, view: str) -> tuple[str, time | None]:
    """Return chore and slot of the line on which the keys act."""
    rows = page_in(hands, view).selected()
    assert len(rows) == 1
    return rows[0].item.chore.id, rows[0].item.turn.slot


def tick_the_morning(hands: Hands, view: str, key: str = "Space") -> None:
    """Press the key at the feeding of the morning."""
    hands.press(*KEYS[view])
    page = page_in(hands, view)
    row = next(one for one in page.rows() if one.item.turn.slot == time(8))
    assert page.show_row(row.id)
    hands.settle()
    assert in_hand(hands, view) == ("feed", time(8))
    hands.press(key)


@VIEWS
@pytest.mark.parametrize("key", ["Space", "S"])
def test_a_slot_of_the_evening_is_passed_while_other_work_is_due(
    live_in: LiveIn, view: str, key: str
) -> None:
    """The lamp of the next tank can be wiped now, the feeding "from 18:00" cannot."""
    hands = live_in(house(chore("lamp", "Wipe the lamp", 12, tank="nook")), now=HALF_PAST_NINE)

    tick_the_morning(hands, view, key)

    assert in_hand(hands, view) == ("lamp", None)


def test_what_can_wait_comes_before_a_slot_of_the_evening(live_in: LiveIn) -> None:
    """It can be done now, if only it need not."""
    floss = chore("floss", "Swap the floss", 13, early_days=2, late_days=4, tank="nook")
    hands = live_in(house(floss), now=HALF_PAST_NINE)
    assert hands.state("floss") is State.MAY_WAIT

    tick_the_morning(hands, ROUND)

    assert in_hand(hands, ROUND) == ("floss", None)


@VIEWS
def test_a_slot_of_the_evening_comes_where_nothing_else_is_left(live_in: LiveIn, view: str) -> None:
    """Whoever feeds early finds it."""
    hands = live_in(house(), now=HALF_PAST_NINE)

    tick_the_morning(hands, view)

    assert in_hand(hands, view) == ("feed", time(18))


def test_a_slot_that_is_about_now_is_passed_over_by_nobody(live_in: LiveIn) -> None:
    """At half past nine the second feeding, at ten, belongs to this round."""
    lamp = chore("lamp", "Wipe the lamp", 12, tank="nook")
    chores = (feeding(8, 10), lamp)
    hands = live_in(replace(small_house(), chores=chores), now=HALF_PAST_NINE)

    tick_the_morning(hands, ROUND)

    assert in_hand(hands, ROUND) == ("feed", time(10))


def test_put_off_work_leads_past_the_slot_that_takes_its_place(live_in: LiveIn) -> None:
    """The line that moves up into its place is one of the evening; the lamp is to be done now."""
    wipe = chore("wipe", "Wipe the lid", 12, late_days=4)
    lamp = chore("lamp", "Wipe the lamp", 12, tank="nook")
    late = feeding(18)
    hands = live_in(replace(small_house(), chores=(wipe, late, lamp)), now=HALF_PAST_NINE)
    assert [row.item.chore.id for row in hands.rows()] == ["wipe", "feed", "lamp"]
    hands.go_to("wipe")

    hands.press("P", "Return")

    assert not any(row.item.chore.id == "wipe" and row.item.counts for row in hands.rows())
    assert in_hand(hands, ROUND) == ("lamp", None)
