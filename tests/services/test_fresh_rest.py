"""What a part of the fresh water left to do is what the line asks for on the morning it is due."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, TopOffLimits
from tankkeeper.core.logbook import Entry, TopOff
from tankkeeper.core.moment import moment_of
from tankkeeper.core.state import HouseholdState, Item, fold_household, items_of
from tankkeeper.reports.noted_words import rest_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import amount_words
from tankkeeper.reports.words import Words
from tankkeeper.services.fresh_rest import Rest, rest_of
from tests.builders import a_box, a_household, a_moment, an_entry

TODAY = date(2026, 3, 12)


def _home() -> Household:
    """Return a household with a tank of 86 L that is topped off by hand."""
    tank = a_box("Nook", top_off=TopOffLimits(allowed_drop_mm=5.0))
    fill = Chore(
        id="it",
        kind=ChoreKind.TOP_OFF,
        name="Top off",
        rhythm=WhenWaterSays(Condition.EVAPORATION),
        tank="nook",
        first_due=TODAY,
    )
    return replace(a_household(), tanks=(tank,), chores=(fill,))


def _fills(last: str, litres: float) -> list[Entry]:
    end = date.fromisoformat(last)
    days = [end - timedelta(days=2 * back) for back in range(12)][::-1]
    return [
        an_entry(seq, on, TopOff(litres), tank="nook", done="it", at=time(7))
        for seq, on in enumerate(days, start=1)
    ]


def _state(log: list[Entry], day: date) -> HouseholdState:
    return fold_household(_home(), history_of(log), a_moment(day, time(7)).now)


def _line(state: HouseholdState) -> Item:
    return items_of(state, state.chores[0])[0]


def _part(seq: int, item: Item, day: date) -> Entry:
    """Return the top-off of a tick that keeps what is proposed, some minutes into the round."""
    assert item.amount is not None
    fact = TopOff(item.amount.value, to_mark=not item.amount.is_split, estimated=True)
    made = an_entry(seq, day, fact, tank="nook", at=time(7))
    return replace(made, completes=(item.turn,))


@pytest.mark.parametrize(("last", "litres"), [("2026-02-26", 2.0), ("2026-02-20", 1.5)])
def test_a_large_top_off_goes_as_was_told_to_its_last_day(last: str, litres: float) -> None:
    """Foot, row and reason of each day agree with those of the day before, and the days count down.

    Each asks for as much, and is full on the day that was named first.
    """
    log, day = _fills(last, litres), TODAY
    item = _line(_state(log, day))
    assert item.amount is not None
    days, share_l = item.amount.days, item.amount.value
    assert days > 1
    for left in range(days - 1, 0, -1):
        log.append(_part(50 + left, item, day))
        rest = rest_of(_state(log, day), log[-1])
        assert rest is not None
        day += timedelta(days=1)
        assert rest.day == day
        state = _state(log, day)
        item, words = _line(state), Words(state.household, state.moment)
        assert item.amount is not None
        assert item.amount.days == left
        assert item.amount.value == pytest.approx(share_l, abs=0.15)
        assert (item.amount.whole or item.amount.value) == rest.litres
        assert rest.part == (item.amount.value if left > 1 else None)
        assert plain(words.litres(rest.part or rest.litres)) in plain(amount_words(item, words))
        text = plain(reason(item, words))
        rest = "next part" if left > 1 else "rest, with what evaporated since,"
        assert f"the {rest} is due today." in text
        assert (f"a day on {left} days" in text) is (left > 1)


def test_what_is_due_on_a_coming_day_is_told_with_what_evaporates_until_then() -> None:
    """And of a rest that is spread, what of it goes in on that day."""
    words = Words(_home(), moment_of(_home(), a_moment(TODAY, time(7)).now))
    tomorrow = TODAY + timedelta(days=1)

    assert plain(rest_words(Rest(1.8, None), words)) == "The rest, about 1.8 L, stands open."
    assert plain(rest_words(Rest(3.1, tomorrow), words)) == (
        "The rest, about 3.1 L with what evaporates until then, is due tomorrow."
    )
    assert plain(rest_words(Rest(6.4, tomorrow, 2.3), words)) == (
        "The next part, about 2.3 L of the 6.4 L missing by then, is due tomorrow."
    )
