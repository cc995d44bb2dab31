"""The alarm clock: how it is set up, and that what it rings is passed on."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tankkeeper.app.scheduler import BEAT_S, BackgroundAlarm

ROOT = Path(__file__).resolve().parents[2]


class Heard:
    """Counts rings and beats as they come."""

    def __init__(self) -> None:
        self.rings: list[str] = []
        self.rang = threading.Event()

    def ring(self) -> None:
        self.rings.append(threading.current_thread().name)
        self.rang.set()

    def beat(self) -> None:
        self.rings.append("beat")


@pytest.fixture
def heard() -> Heard:
    return Heard()


@pytest.fixture
def alarm(heard: Heard) -> Iterator[BackgroundAlarm]:
    made = BackgroundAlarm(heard.ring, heard.beat)
    yield made
    made.stop()


def test_a_moment_that_is_past_rings_at_once_and_once(alarm: BackgroundAlarm, heard: Heard) -> None:
    """What a sleep made late by hours is not dropped, and not rung for every hour."""
    alarm.wake_at(datetime.now(UTC) - timedelta(hours=5))

    assert heard.rang.wait(20)
    assert len(heard.rings) == 1
    assert heard.rings[0] != threading.current_thread().name


def test_stopping_while_it_rings_breaks_no_thread(heard: Heard) -> None:
    """The library takes a rung job away after it rang; stopping just then must not trip it."""
    interval = sys.getswitchinterval()
    # Threads that change places all the time meet in every order.
    sys.setswitchinterval(1e-6)
    try:
        for _ in range(30):
            heard.rang.clear()
            alarm = BackgroundAlarm(heard.ring, heard.beat)
            alarm.wake_at(datetime.now(UTC) - timedelta(hours=5))
            assert heard.rang.wait(20)
            alarm.stop()
    finally:
        sys.setswitchinterval(interval)

    assert len(heard.rings) == 30


def test_a_later_moment_takes_the_place_of_the_one_before(
    alarm: BackgroundAlarm, heard: Heard
) -> None:
    """One ring is set at a time: the next change, whatever it was before."""
    alarm.wake_at(datetime.now(UTC) + timedelta(days=2))
    alarm.wake_at(datetime.now(UTC) + timedelta(days=3))

    jobs = {job.id: job for job in alarm._scheduler.get_jobs()}

    assert sorted(jobs) == ["beat", "next change"]
    assert jobs["next change"].next_run_time > datetime.now(UTC) + timedelta(days=2, hours=12)


def test_it_beats_at_least_once_a_minute_and_drops_nothing(alarm: BackgroundAlarm) -> None:
    """A window that slept is right within a minute of waking."""
    beat = alarm._scheduler.get_job("beat")

    assert BEAT_S <= 60
    assert beat.trigger.interval == timedelta(seconds=BEAT_S)
    assert (beat.misfire_grace_time, beat.coalesce, beat.max_instances) == (None, True, 1)


def test_the_library_loads_only_when_an_alarm_is_made() -> None:
    """Loading it takes longer than the first round; the module alone loads nothing."""
    child = (
        "import sys, tankkeeper.app.scheduler, tankkeeper.gui.waking; "
        "print([name for name in sys.modules if name.startswith('apscheduler')])"
    )
    done = subprocess.run(
        [sys.executable, "-c", child], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert done.stdout.strip() == "[]"
