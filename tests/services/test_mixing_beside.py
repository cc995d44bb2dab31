"""A change that no turn of its mixing comes in time for: what is mixed beside them, until when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import AfterLastDone, Calendar
from tankkeeper.core.household import SaltMix
from tankkeeper.core.logbook import BESIDE, Turn, Work
from tankkeeper.core.state import Item
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.window_words import day_words
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import items_of_chore
from tankkeeper.services.mixing_beside import missing_beside
from tankkeeper.services.moving import put_off
from tankkeeper.services.ticking import Tick, tick
from tests.builders import days
from tests.gui.round_house import SEVEN, make, small_house
from tests.services.test_mixed_beside import CHANGE, MIX

# The day of the tests is Thursday 12 March 2026.
SATURDAY, SUNDAY = date(2026, 3, 14), date(2026, 3, 15)
DUE = replace(CHANGE, rhythm=Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=TH", date(2026, 3, 12)))
LATE = replace(MIX, rhythm=Calendar("FREQ=WEEKLY;BYDAY=WE", date(2026, 3, 18)))


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A desk on Thursday, when 9 L are due; the mixing comes on Wednesdays, 38 g a litre."""
    file = tmp_path / "pier.tankkeeper"
    salt = SaltMix(grams_per_litre=38.0)
    make(file, small_house(chores=(LATE, DUE), salt_mix=salt), FixedClock(SEVEN))
    opened = open_desk(file, FixedClock(SEVEN))
    yield opened
    opened.store.close()


def told(desk: Desk) -> tuple[str, str]:
    """Return the state and the reason of the change."""
    state = desk.state()
    words = Words(state.household, state.moment)
    item = change(desk)
    return plain(state_words(item, words)), plain(reason(item, words))


def change(desk: Desk) -> Item:
    return next(one for one in items_of_chore(desk.state(), "change") if one.entry is None)


def test_a_change_that_is_due_says_how_much_to_mix(desk: Desk) -> None:
    """Before the Wednesday to come nothing asks for it."""
    row, text = told(desk)

    assert row == "today, not mixed yet"
    assert (
        "No turn of Mix salt water comes in time: mix 9 L beside its turns, with 342 g of salt, "
        "and change once it is ready."
    ) in text


@pytest.mark.parametrize("to", [SATURDAY, SUNDAY])
def test_a_change_that_is_put_off_says_until_when_too(desk: Desk, to: date) -> None:
    """Before it is, after it was, and in its own window as before that begins."""
    by = {SATURDAY: "tomorrow", SUNDAY: "Saturday"}[to]
    mix = f"mix 9 L beside its turns, with 342 g of salt, by {by} at 07:00."
    state = desk.state()
    assert mix in plain(day_words(state, change(desk), to, Words(state.household, state.moment)))

    put_off(desk, "change", to)
    row, text = told(desk)

    assert mix in text
    assert not change(desk).is_open or row.endswith(", not mixed yet")
    lacking = missing_beside(desk.state(), LATE)
    assert lacking is not None
    assert (lacking.value, lacking.salt_g) == (9.0, 342.0)


def test_where_a_turn_of_the_mixing_comes_before_nothing_is_mixed_beside(desk: Desk) -> None:
    """Put off to Thursday: Wednesday mixes for it."""
    to = date(2026, 3, 19)
    state = desk.state()
    assert "beside its turns" not in plain(
        day_words(state, change(desk), to, Words(state.household, state.moment))
    )

    put_off(desk, "change", to)

    assert "beside its turns" not in told(desk)[1]
    assert missing_beside(desk.state(), LATE) is None


def test_what_lacks_is_proposed_of_a_mixing_beside_the_turns(desk: Desk) -> None:
    """With its salt; then the water stands, and nothing lacks any more."""
    put_off(desk, "change", SATURDAY)

    (outcome,) = tick(desk, [Tick("mix")])

    assert outcome.entry.completes == (Turn("mix", BESIDE),)
    assert outcome.entry.fact == Work(9.0, 342.0)
    assert missing_beside(desk.state(), LATE) is None
    assert "beside its turns" not in told(desk)[1]


def test_a_part_of_it_leaves_the_rest(desk: Desk) -> None:
    """5 L stand mixed, 4 L lack."""
    tick(desk, [Tick("mix", litres=5.0)])

    assert "5 L stands mixed for it and 4 L is missing" in told(desk)[1]
    assert "mix 4 L beside its turns, with 152 g of salt" in told(desk)[1]
    lacking = missing_beside(desk.state(), LATE)
    assert lacking is not None
    assert lacking.value == pytest.approx(4.0)


def test_what_counts_from_the_last_time_is_mixed_sooner(tmp_path: Path) -> None:
    """Done on any day it does the turn to come, so nothing of it is beside."""
    file = tmp_path / "pier.tankkeeper"
    counted = replace(LATE, rhythm=AfterLastDone(days(7)), first_due=date(2026, 3, 18))
    make(file, small_house(chores=(counted, DUE)), FixedClock(SEVEN))
    desk = open_desk(file, FixedClock(SEVEN))
    assert "mix 9 L sooner, and change once it is ready." in told(desk)[1]
    desk.store.close()
