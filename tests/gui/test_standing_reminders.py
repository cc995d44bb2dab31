"""Which reminders stand by what was told and closed, without a window."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from tankkeeper.core.history import history_of
from tankkeeper.core.state import HouseholdState, fold_household
from tankkeeper.gui.standing_reminders import StandingReminders
from tankkeeper.services.reminder_causes import Reminder
from tankkeeper.services.reminders import standing
from tests.gui.reminded import SILENT, slotted
from tests.gui.round_house import SEVEN

LATE = SEVEN + timedelta(hours=2, minutes=30)


def state_at(now: datetime = LATE) -> HouseholdState:
    """Return a house with a feeding whose hour has come."""
    return fold_household(slotted(time(9)), history_of([]), now)


def told_now(one: StandingReminders, now: datetime = LATE) -> list[str]:
    """Return the keys of what stands."""
    return [each.key for each in one.shown(state_at(now), (), SILENT, now)]


def all_there(now: datetime = LATE) -> list[Reminder]:
    """Return what could be told."""
    return list(standing(state_at(now), (), SILENT, now).values())


def test_only_what_was_told_stands() -> None:
    """What is there besides comes with its own notice."""
    one, there = StandingReminders(), all_there()
    assert told_now(one) == []
    one.add(there)
    assert told_now(one) == [each.key for each in there] != []


def test_what_was_told_before_the_start_stands_again() -> None:
    """A slot of today that was told and not done."""
    one, (slot,) = StandingReminders(), all_there()
    one.begin({slot.key: LATE})
    assert told_now(one) == [slot.key]


def test_what_was_closed_stands_no_more_and_not_at_the_next_start_either() -> None:
    """It is kept with what was told."""
    one, (slot,) = StandingReminders(), all_there()
    one.begin({slot.key: LATE})
    one.close(one.shown(state_at(), (), SILENT, LATE), LATE)
    assert told_now(one) == []
    after = StandingReminders()
    after.begin(one.told)
    assert told_now(after) == []


def test_another_household_begins_with_nothing() -> None:
    """What was told of the one before is none of it."""
    one = StandingReminders()
    one.add(all_there())
    one.end()
    one.begin({})
    assert told_now(one) == []
