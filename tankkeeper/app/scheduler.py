"""The alarm clock behind the window: it says when to look again, and knows nothing of dates."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

BEAT_S = 60
_NEXT, _BEAT = "next change", "beat"


class BackgroundAlarm:
    """Rings once at a moment that was set, and beats all the time, both from its own thread.

    What it calls must only pass the word on. It wraps APScheduler, which has no type information
    and is loaded here only: making one takes a moment and belongs beside the window. A ring that
    comes late, as after a sleep, comes all the same, and once.
    """

    def __init__(self, ring: Callable[[], None], beat: Callable[[], None]) -> None:
        self._ring = ring
        self._scheduler = _scheduler()
        self._scheduler.add_job(beat, "interval", seconds=BEAT_S, id=_BEAT)
        self._scheduler.start()

    def wake_at(self, at: datetime) -> None:
        """Ring at this aware moment, instead of at the one set before."""
        self._scheduler.add_job(
            self._ring, "date", run_date=at, id=_NEXT, replace_existing=True, timezone="UTC"
        )

    def stop(self) -> None:
        """Ring and beat no more; what rings just now is not waited for."""
        # A library thread that is about to take a rung job away fails on a scheduler that stopped
        # meanwhile. This waits for that thread, and leaves it nothing to take away.
        self._scheduler.remove_all_jobs()
        self._scheduler.shutdown(wait=False)


def _scheduler() -> Any:
    from apscheduler.executors.pool import ThreadPoolExecutor
    from apscheduler.jobstores.memory import MemoryJobStore
    from apscheduler.schedulers.background import BackgroundScheduler

    # The library's own second of grace would drop a ring that a sleep made late.
    return BackgroundScheduler(
        timezone="UTC",
        jobstores={"default": MemoryJobStore()},
        executors={"default": ThreadPoolExecutor(1)},
        job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1},
    )
