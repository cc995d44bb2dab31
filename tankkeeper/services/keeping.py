"""Keeping the file safe: backup, restore, check, and what the bottom line tells of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from tankkeeper.core.errors import UserFault
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.ports import CheckResult, StoredBackup
from tankkeeper.services.watching import Watch, unwatched


def backup(desk: Desk, target: Path) -> None:
    """Write a verified backup to a file that does not exist yet."""
    if target.exists():
        raise UserFault("file_exists", path=str(target))
    desk.store.backup(target)


def rolling_backup(desk: Desk) -> Path | None:
    """Write a backup into the household's own folder if something changed since the last one."""
    return desk.store.rolling_backup(desk.clock.now())


def save_copy(desk: Desk, target: Path, watch: Watch = unwatched) -> None:
    """Write a copy that is a household of its own; what is open stays open."""
    desk.store.save_copy(target, watch)


def backups(desk: Desk) -> Sequence[StoredBackup]:
    """Return the backups beside the household, the newest first."""
    return desk.store.backups()


def restore(desk: Desk, source: Path, watch: Watch = unwatched) -> Path:
    """Replace the household by a backup; what it held is backed up first, and told where."""
    before = desk.store.restore(source, watch)
    desk.tell(Change(None))
    return before


def check(desk: Desk) -> CheckResult:
    """Return what a check of the whole file finds."""
    return desk.store.check()


def last_backup_at(desk: Desk) -> datetime | None:
    """Return when the last verified backup was made, or None."""
    return desk.store.last_backup_at()
