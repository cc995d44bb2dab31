"""The sample household in a copy that may be spoiled, made anew when it has gone stale."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from tankkeeper.app.bootstrap import desk_on, make_sample
from tankkeeper.app.clock import FixedClock, SystemClock
from tankkeeper.cli.values import Hours, given_now
from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.services.ports import Clock, LogQuery

TITLE = " (sample household)"
STALE_AFTER = timedelta(days=7)
FARTHEST_BEHIND = timedelta(hours=24)
KEPT_ASIDE = 3
# A copy that is none any more is put aside like a stale one.
_SPOILED = frozenset({"damaged_file", "empty_file", "not_a_household", "newer_file"})


def ready_demo(where: Path, now: str | None) -> Path | None:
    """Make the copy where it is missing; one that nobody touched for a week is put aside first.

    Returns where that one lies now, None where none was put aside. One that somebody has open stays
    where it is: they would go on writing in what was put aside.
    """
    aside = None
    if where.exists():
        if not _is_stale(where, now) or _is_in_use(where):
            return None
        aside = _put_aside(where)
    where.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        clock = make_sample(where, lambda hours: _clock(now, hours))
        _made_file(where).write_text(clock.now().isoformat(), encoding="utf-8")
    except UserFault as fault:
        # Another process may have made it meanwhile; theirs is as good.
        if fault.code != "file_exists":
            raise
    return aside


def told_of(aside: Path) -> str:
    """Return what is said of a copy that was put aside."""
    return (
        "The sample was made anew: in the old one nothing was written for a week, or it was "
        f"written after the clock of now, or it cannot be read; that one is {aside.name} beside it."
    )


def made_at(where: Path) -> datetime | None:
    """Return when the copy was made, None where nobody knows; its log before that is invented."""
    try:
        return datetime.fromisoformat(_made_file(where).read_text(encoding="utf-8").strip())
    except (OSError, ValueError):
        # Made by an older version, or cut short; whoever asks then trusts nothing of it.
        return None


def _made_file(where: Path) -> Path:
    return where.with_suffix(".made-at")


def _clock(now: str | None, hours: Hours) -> Clock:
    return SystemClock() if now is None else FixedClock(given_now(now, hours))


def _is_stale(where: Path, now: str | None) -> bool:
    """Tell whether the newest entry was written a week ago, or after the moment taken as now.

    It may tell of an earlier day, or have been taken back since: that is no sign that nobody was
    here.
    """
    try:
        with desk_on(where, SystemClock()) as desk, desk.store.reading() as reading:
            newest, household = reading.entries(LogQuery(limit=1)), desk.household(reading)
    except TankkeeperError as fault:
        if fault.code not in _SPOILED:
            raise
        return True
    return not newest or _is_far(newest[0].entry.written_at, _clock(now, household).now())


def _is_far(newest: datetime, moment: datetime) -> bool:
    return moment - newest > STALE_AFTER or newest - moment > FARTHEST_BEHIND


def _is_in_use(where: Path) -> bool:
    """Tell whether another process has the copy open: the last to close it clears its log away."""
    return where.with_name(where.name + "-wal").exists()


def _put_aside(where: Path) -> Path:
    """Give the old copy a name of its own and return it; of those the newest few are kept."""
    number = 1 + max((_number(one) for one in _aside(where)), default=0)
    for ending in ("", "-wal", "-shm"):
        old = where.with_name(where.name + ending)
        if old.exists():
            old.rename(where.with_name(f"{where.stem}-old-{number}{where.suffix}{ending}"))
    for one in sorted(_aside(where), key=_number)[:-KEPT_ASIDE]:
        for ending in ("", "-wal", "-shm"):
            one.with_name(one.name + ending).unlink(missing_ok=True)
    return where.with_name(f"{where.stem}-old-{number}{where.suffix}")


def _aside(where: Path) -> list[Path]:
    return [
        one
        for one in where.parent.glob(f"{where.stem}-old-*{where.suffix}")
        if one.stem.rpartition("-")[2].isdigit()
    ]


def _number(one: Path) -> int:
    return int(one.stem.rpartition("-")[2])
