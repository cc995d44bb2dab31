"""Keeping the file safe: backup, restore, check, and what the bottom line tells of it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from tankkeeper.core.errors import UserFault
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.ports import Backups, CheckResult


def backup(desk: Desk, target: Path) -> None:
    """Write a verified backup to a file that does not exist yet."""
    if target.exists():
        raise UserFault("file_exists", path=str(target))
    desk.store.backup(target)


def rolling_backup(desk: Desk) -> Path | None:
    """Write a backup into the household's own folder if something changed since the last one."""
    return desk.store.rolling_backup(desk.clock.now())


def backups(desk: Desk) -> Backups:
    """Return which backups lie beside the household, and where."""
    return desk.store.backups()


def restore(desk: Desk, source: Path) -> None:
    """Replace the household by a backup; what it held is backed up first."""
    desk.store.restore(source)
    desk.tell(Change(None))


def check(desk: Desk) -> CheckResult:
    """Return what a check of the whole file finds."""
    return desk.store.check()


def last_backup_at(desk: Desk) -> datetime | None:
    """Return when the last verified backup was made, or None."""
    return desk.store.last_backup_at()
