"""Row, reason and reminder of a filling tell of one moment, or plainly of both."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.logbook import ReservoirCheck
from tankkeeper.core.state import items_of
from tankkeeper.core.turns import State
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.reminder_words import notice_sentence
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.words import Words
from tankkeeper.services.reminder_causes import Cause, causes_of
from tankkeeper.services.reminder_habits import NO_MORNINGS, Habits
from tests.builders import a_box, an_entry
from tests.reports.scenes import EVAPORATION, chore, fills, item, nook, state, top_off

HABITS = Habits(NO_MORNINGS, None)


def test_an_overdue_top_off_says_which_of_both_rounds_makes_it_so() -> None:
    """8 mm on 2400 cm2 are 1.9 L: at 0.81 L a day gone on the 11th, at 0.58 late on the 12th."""
    row, words = item(
        top_off(),
        fills("2026-03-09"),
        tanks=(nook(allowed_drop_mm=8.0, allowed_salinity_rise=5.0),),
    )

    assert row.state is State.OVERDUE
    assert plain(state_words(row, words)) == "1 day overdue"
    assert (
        "to stay within it for sure, it should have been topped off by yesterday's round, so it is "
        "overdue; most likely there is time until today's round." in plain(reason(row, words))
    )


def test_a_likely_safe_round_that_is_over_is_told_so() -> None:
    """Once the likely moment is past, the round of today was the last."""
    row, words = item(
        top_off(),
        fills("2026-03-09"),
        tanks=(nook(allowed_drop_mm=8.0, allowed_salinity_rise=5.0),),
    )
    past = replace(row.limit, likely_at=words.moment.now)

    told = plain(reason(replace(row, limit=past), words))

    assert "so it is overdue; most likely there was time until today's round." in told


def _reservoir(filled: str, hour: int) -> tuple[str, str]:
    """Return the state of the line and the reminder of a reservoir of 3 L, at some 1.2 L a day."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=3.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [
        an_entry(1, filled, ReservoirCheck(fill_l=3.0), tank="nook", done="it", at=time(hour)),
    ]
    folded = state(refill, log, tanks=(tank,))
    words = Words(folded.household, folded.moment)
    [row] = items_of(folded, folded.chores[0])
    [one] = [
        each
        for each in causes_of(folded, (), HABITS, folded.moment.now)
        if each.cause is Cause.RESERVOIR
    ]
    return plain(state_words(row, words)), plain(notice_sentence([one], words))


@pytest.mark.parametrize(
    ("filled", "hour", "row", "moments"),
    [
        ("2026-03-10", 12, "today", "since yesterday, 06:37, likely tonight at 00:"),
        ("2026-03-09", 20, "today", "since Tue 10, 14:37, likely today at 08:"),
    ],
)
def test_a_limit_that_may_be_passed_since_a_day_before_tells_when_it_likely_is(
    filled: str, hour: int, row: str, moments: str
) -> None:
    """Of a loss that nobody measured the line waits for the likely day: that is told beside."""
    line, told = _reservoir(filled, hour)

    assert row in line
    assert moments in told
