"""Backups beside a window that stays open, by a clock that the test moves."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from tankkeeper.gui.backing_up import EVERY, SETTLED
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands


def _after(hands: Hands, wait: timedelta) -> list[str]:
    """Let time pass on the wall, let the window look, and return the names of its backups."""
    hands.clock.forward(wait)
    assert hands.window.morning is not None
    hands.window.morning._poll.timeout.emit()
    hands.settle()
    return _backups(hands.path)


def _backups(path: Path) -> list[str]:
    return sorted(one.name for one in path.parent.glob(f"{path.stem}-backups/*.tankkeeper"))


def test_a_window_that_is_never_closed_backs_up_each_days_work(live_in: LiveIn) -> None:
    """After a sleep of a day and of two, by the wall; the foot says when."""
    hands = live_in()
    hands.press("Space")

    first = _after(hands, timedelta(days=1))

    assert len(first) == 1
    assert hands.window.morning is not None
    hands.window.morning.foot._on_fade()
    assert hands.frame.bottom._texts[0] == "Backed up today at 07:04"
    hands.press("Space")
    assert len(_after(hands, timedelta(days=2))) == 2


def test_work_of_one_morning_is_backed_up_half_an_hour_after_the_last_backup(
    live_in: LiveIn,
) -> None:
    """Not with each tick, and once for what was done; of what did not change there is no other."""
    hands = live_in()
    hands.press("Space")
    assert _after(hands, EVERY - timedelta(seconds=1)) == []
    assert len(_after(hands, timedelta(seconds=1))) == 1
    hands.press("Space")
    assert len(_after(hands, EVERY / 2)) == 1
    assert len(_after(hands, EVERY / 2)) == 2
    assert len(_after(hands, timedelta(days=1))) == 2


def test_what_a_window_that_was_killed_left_is_backed_up_soon_after_the_next_start(
    live_in: LiveIn,
) -> None:
    """The last backup is of another day, and the keys of the first minutes come before it."""
    hands = live_in()
    hands.press("Space")
    first = _after(hands, EVERY)
    hands.press("Space")
    hands.window.session.backs_up = False  # type: ignore[union-attr]
    hands.close()
    assert _backups(hands.path) == first

    again = live_in(is_there=True, now=hands.clock.now() + timedelta(hours=9))

    assert _after(again, SETTLED / 2) == first
    assert len(_after(again, SETTLED / 2)) == 2


def test_a_clock_that_is_set_back_puts_no_backup_off(live_in: LiveIn) -> None:
    """The last one seems to be of a day to come."""
    hands = live_in()
    hands.press("Space")
    assert len(_after(hands, EVERY)) == 1
    hands.press("Space")

    assert len(_after(hands, timedelta(days=-1))) == 2


def test_the_sample_gets_no_backup_however_long_it_is_open(live_in: LiveIn) -> None:
    """It is made anew each time."""
    hands = live_in()
    hands.window.session.backs_up = False  # type: ignore[union-attr]
    hands.press("Space")
    assert _after(hands, timedelta(days=1)) == []
