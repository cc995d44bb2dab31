"""The window stays right by itself, by clocks that the test moves: nothing here waits."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from tankkeeper.core.chores import Calendar
from tankkeeper.core.household import Household
from tankkeeper.core.turns import State
from tankkeeper.gui.waking import JUMP_S, Waking
from tests.builders import BERLIN, day
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house


class FakeAlarm:
    """Keeps what it was set for; the test rings it."""

    def __init__(self) -> None:
        self.set_for: list[datetime] = []
        self.is_stopped = False

    def wake_at(self, at: datetime) -> None:
        self.set_for.append(at)

    def stop(self) -> None:
        self.is_stopped = True


class Night:
    """A window whose own poll is stopped, with clocks and an alarm in the hands of the test."""

    def __init__(self, hands: Hands) -> None:
        self.hands = hands
        self.monotonic_s = 1000.0
        self.alarm = FakeAlarm()
        session, morning = hands.window.session, hands.window.morning
        assert session is not None
        assert morning is not None
        morning._poll.stop()
        self.session = session
        self.waking = Waking(session, lambda: self.monotonic_s, hands.window.worker.tell)
        self.waking.make(lambda _ring, _beat: self.alarm)
        self.waking.begin()
        self.readings: list[object] = []
        session.shown.connect(self.readings.append)

    def passes(self, by: timedelta) -> None:
        """Let time pass on both clocks."""
        self.hands.clock.forward(by)
        self.monotonic_s += by.total_seconds()

    def sleeps(self, by: timedelta) -> None:
        """Let the wall clock go on while the monotonic one stands, as in a suspended machine."""
        self.hands.clock.forward(by)

    def beats(self) -> None:
        """Let one heartbeat come."""
        self.waking.beat()
        self.hands.settle()

    def rings(self) -> None:
        """Let the alarm ring."""
        self.waking.ring()
        self.hands.settle()


@contextmanager
def night(
    live_in: LiveIn, household: Household | None = None, now: datetime | None = None
) -> Iterator[Night]:
    more = {} if now is None else {"now": now}
    found = Night(live_in(household, **more))
    yield found
    found.waking.stop()
    found.waking.deleteLater()


def slotted(*slots: time, start: str = "2026-03-01") -> Household:
    """Return a house with one tank that is fed at these hours every day."""
    feed = chore("feed", "Feed", None, rhythm=Calendar("FREQ=DAILY", day(start), slots))
    return small_house(chores=(feed,))


def local(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=BERLIN)


def test_the_alarm_is_set_for_the_next_change_that_can_be_seen(live_in: LiveIn) -> None:
    """At 7:04 the next thing that changes by itself is the feeding at 18 o'clock."""
    with night(live_in, slotted(time(8), time(18)), local("2026-03-12T09:00")) as one:
        assert one.alarm.set_for == [local("2026-03-12T18:00").astimezone(UTC)]


def test_a_slot_is_shown_by_its_hour_when_the_alarm_rings(live_in: LiveIn) -> None:
    """At nine the feeding of the evening is not late; when its hour comes it is shown as due."""
    house = slotted(time(18), start="2026-03-12")
    with night(live_in, house, local("2026-03-12T09:00")) as one:
        assert one.hands.rows()[0].state == "from 18:00"
        one.passes(timedelta(hours=9))

        one.rings()

        assert one.hands.rows()[0].state == "today, since 18:00"
        assert len(one.readings) == 1
        assert one.alarm.set_for[-1] > one.hands.clock.now()


def test_a_ring_before_its_time_reads_nothing_and_sets_nothing(live_in: LiveIn) -> None:
    """A ring is only a word to look; the session says whether anything changed."""
    with night(live_in) as one:
        one.rings()

        assert one.readings == []
        assert len(one.alarm.set_for) == 1


def test_beats_of_a_quiet_hour_read_nothing(live_in: LiveIn) -> None:
    """While both clocks go alike and nobody writes, the household is left alone."""
    with night(live_in) as one:
        for _ in range(5):
            one.passes(timedelta(minutes=1))
            one.beats()

        assert one.readings == []


def test_the_day_changes_at_the_households_hour_within_a_beat(live_in: LiveIn) -> None:
    """The day begins at four: at 3:59 it is Thursday still, a beat later Friday."""
    with night(live_in, now=local("2026-03-13T03:59")) as one:
        assert one.hands.sheet().title.startswith("Thursday 12")
        one.passes(timedelta(minutes=1))

        one.beats()

        assert one.hands.sheet().title.startswith("Friday 13")


def test_a_sleep_over_the_weekend_is_noticed_at_the_first_beat(live_in: LiveIn) -> None:
    """The machine slept for three days; the beat after it shows Sunday and what is overdue."""
    with night(live_in) as one:
        one.passes(timedelta(seconds=20))
        one.sleeps(timedelta(days=3))

        one.beats()

        assert one.hands.sheet().title.startswith("Sunday 15")
        assert one.hands.state("wipe") is State.OVERDUE
        assert one.alarm.set_for[-1] > one.hands.clock.now()


@pytest.mark.parametrize("jump", [timedelta(minutes=10), timedelta(minutes=-10)])
def test_a_clock_that_was_set_has_the_alarm_set_again(live_in: LiveIn, jump: timedelta) -> None:
    """The wait of the alarm was reckoned by the old clock, though the next change is the same."""
    with night(live_in) as one:
        one.passes(timedelta(seconds=60))
        one.sleeps(jump)

        one.beats()

        assert len(one.readings) == 1
        assert len(one.alarm.set_for) == 2
        assert one.alarm.set_for[0] == one.alarm.set_for[1]


def test_a_clock_set_back_by_a_day_shows_the_day_before(live_in: LiveIn) -> None:
    """States follow the clock, in both directions; nothing was written, so nothing stays wrong."""
    with night(live_in) as one:
        one.sleeps(timedelta(days=-1))
        one.beats()
        back = one.hands.sheet().title
        one.sleeps(timedelta(days=1))
        one.beats()

        assert back.startswith("Wednesday 11")
        assert one.hands.sheet().title.startswith("Thursday 12")


def test_a_clock_that_is_corrected_a_little_is_no_jump(live_in: LiveIn) -> None:
    """Time servers move a clock by parts of a second; that is not worth a reading."""
    with night(live_in) as one:
        one.passes(timedelta(seconds=60))
        one.sleeps(timedelta(seconds=0.9 * JUMP_S))

        one.beats()

        assert one.readings == []


def test_a_slot_in_the_hour_that_spring_leaves_out_rings_an_hour_later_on_the_wall(
    live_in: LiveIn,
) -> None:
    """RFC 5545 (2009), section 3.3.5: 2:30 on 29 March 2026 in Berlin is 1:30 UTC."""
    house = replace(slotted(time(2, 30)), day_begins=time(0))
    with night(live_in, house, local("2026-03-29T00:30")) as one:
        assert one.alarm.set_for == [datetime(2026, 3, 29, 1, 30, tzinfo=UTC)]
        one.passes(timedelta(hours=2))

        one.rings()

        assert len(one.readings) == 1


def test_a_slot_in_the_hour_that_autumn_repeats_rings_once(live_in: LiveIn) -> None:
    """RFC 5545 (2009), section 3.3.5: 2:30 on 25 October 2026 in Berlin is the first, 0:30 UTC."""
    house = replace(slotted(time(2, 30)), day_begins=time(0))
    with night(live_in, house, local("2026-10-25T00:30")) as one:
        assert one.alarm.set_for == [datetime(2026, 10, 25, 0, 30, tzinfo=UTC)]
        one.passes(timedelta(hours=2))
        one.rings()
        one.passes(timedelta(hours=1))
        one.rings()

        # The second 2:30 of that night is no change: the next one is the day's end, at 23:00 UTC.
        assert one.alarm.set_for[1:] == [datetime(2026, 10, 25, 23, 0, tzinfo=UTC)]
        assert len(one.readings) == 1


def test_a_window_that_closes_is_woken_no_more(live_in: LiveIn) -> None:
    """The alarm is stopped, and what is read afterwards sets nothing."""
    with night(live_in) as one:
        pass
    set_before = len(one.alarm.set_for)
    one.hands.clock.forward(timedelta(days=1))
    one.session.refresh()
    one.hands.settle()

    assert one.alarm.is_stopped
    assert len(one.alarm.set_for) == set_before


def test_an_alarm_that_was_still_being_made_is_stopped_when_it_is(live_in: LiveIn) -> None:
    """Closing while the alarm is made leaves no thread behind."""
    with night(live_in) as one:
        pass
    late = FakeAlarm()

    one.waking.make(lambda _ring, _beat: late)

    assert late.is_stopped


def test_the_window_makes_its_alarm_after_the_round_and_ends_it_with_itself(
    live_in: LiveIn,
) -> None:
    """The round stands before; the alarm is made in the worker, set, and stopped on closing."""
    made: list[FakeAlarm] = []
    threads: list[int] = []

    def make(_ring: object, _beat: object) -> FakeAlarm:
        threads.append(threading.get_ident())
        made.append(FakeAlarm())
        return made[-1]

    hands = live_in()
    hands.window.doors = replace(hands.window.doors, alarm=make)
    hands.window._set_alarm()
    hands.settle()

    assert threads[0] != threading.get_ident()
    assert len(made[0].set_for) == 1
    hands.close()
    assert made[0].is_stopped


def clock_of(hands: Hands) -> str:
    """Return what stands in the head of the window."""
    return hands.frame.top._moment.text()


def test_the_clock_in_the_head_never_goes_back_when_a_page_is_left(live_in: LiveIn) -> None:
    """The reading that is shown again then is older than the clock."""
    with night(live_in, slotted(time(8))) as found:
        assert clock_of(found.hands) == "Thu 12 March, 07:04"
        found.passes(timedelta(minutes=3))
        found.hands.window.morning._on_poll()  # type: ignore[union-attr]
        found.hands.settle()
        assert clock_of(found.hands) == "Thu 12 March, 07:07"

        for page in ("F2", "Ctrl+,", "F3"):
            found.hands.press(page, "Esc")
            assert clock_of(found.hands) == "Thu 12 March, 07:07"


def test_a_reading_that_was_made_a_minute_ago_shows_the_minute_of_now(live_in: LiveIn) -> None:
    """A slow disk hands the reading over when the minute has changed."""
    with night(live_in, slotted(time(8))) as found:
        last = found.session.last
        assert last is not None
        found.passes(timedelta(minutes=1))

        found.session.shown.emit(last)

        assert clock_of(found.hands) == "Thu 12 March, 07:05"


def test_after_midnight_the_head_says_which_day_still_runs(live_in: LiveIn) -> None:
    """The date is that of the wall, as in every form; the round is that of the day before."""
    with night(live_in, slotted(time(8)), local("2026-03-13T01:38")) as found:
        assert clock_of(found.hands) == (
            "Fri 13 March, 01:38  \N{MIDDLE DOT}  the day of Thu 12 runs until 04:00"
        )
        found.passes(timedelta(hours=2, minutes=22))
        found.beats()
        assert clock_of(found.hands) == "Fri 13 March, 04:00"


def test_where_the_head_is_narrow_the_night_is_told_in_short(live_in: LiveIn) -> None:
    """Rather than not at all."""
    with night(live_in, slotted(time(8)), local("2026-03-13T01:38")) as found:
        found.hands.window.shell.resize(860, 700)
        found.hands.settle()
        assert found.hands.frame.top._moment.isVisible()
        assert clock_of(found.hands) == "01:38, Thu 12 until 04:00"
