"""Verified copies of a household: one at a time, and a rolling set that thins out with age."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from tankkeeper.core.errors import Surroundings, UserFault
from tankkeeper.core.values import dataclass
from tankkeeper.services.watching import Step, Watch, unwatched
from tankkeeper.store import places
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.schema import row_counts

FREE_BYTES = 50_000_000
READ_BYTES = 1 << 20
# So many are copied within some milliseconds, and a check does so much.
_PAGES_AT_ONCE, _STEPS_BETWEEN_LOOKS = 1000, 100_000
KEPT_RECENT, KEPT_DAYS, KEPT_WEEKS, KEPT_MONTHS = 10, 14, 8, 12
# Of those before a restore or an import, each for itself.
KEPT_BEFORE = 5
BEFORE_UPGRADE, BEFORE_RESTORE, BEFORE_IMPORT = "before-upgrade", "before-restore", "before-import"
# However little room they are given, so many rolling ones stay (a choice of this project).
KEPT_AT_LEAST = 3
_STAMP = "%Y%m%dT%H%M%S%fZ"
_ELSEWHERE = "last-backup-elsewhere.txt"


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup in the folder beside the household; `reason` is empty for a rolling one."""

    path: Path
    made_at: datetime
    mark: str
    reason: str = ""


def write_backup(source: Path, target: Path, watch: Watch = unwatched) -> None:
    """Write a verified copy of `source` to `target`, with its SHA-256 beside it.

    Until the copy is verified it is called `target` with ".part" behind, and an older backup of
    the same name stays as it is.
    """
    _write_verified(source, target, has_side=True, watch=watch)


def write_copy(source: Path, target: Path, watch: Watch = unwatched) -> None:
    """Write a verified copy that is a household of its own, in place of a file that was chosen.

    It will be changed when it is opened, so no SHA-256 stands beside it.
    """
    if target.is_dir():
        raise UserFault("is_a_folder", path=str(target))
    if target.exists() and not target.samefile(source):
        wal = places.write_ahead_log(target)
        if wal.exists() and wal.stat().st_size:
            # Somebody has it open, or left it in the middle of something.
            raise Surroundings("locked", path=str(target))
    _write_verified(source, target, has_side=False, watch=watch)
    side_file(target).unlink(missing_ok=True)


def _write_verified(source: Path, target: Path, *, has_side: bool, watch: Watch) -> None:
    if target.exists() and target.samefile(source):
        raise UserFault("same_file", path=str(target))
    places.make_private_folder(target.parent)
    refuse_full_disk(source, target.parent)
    part = target.with_name(f"{target.name}.part")
    places.remove_database(part)
    places.make_private_file(part)
    try:
        copy_verified(source, part, watch)
        places.flush_to_disk(part)
        side = side_file(target)
        part_of_side = side.with_name(f"{side.name}.part")
        if has_side:
            part_of_side.write_text(f"{sha256_of(part)}  {target.name}\n", encoding="utf-8")
            places.flush_to_disk(part_of_side)
        # A copy without a side file is a copy; one beside a wrong side file looks damaged.
        side.unlink(missing_ok=True)
        part.replace(target)
        if has_side:
            part_of_side.replace(side)
        places.flush_folder(target.parent)
    finally:
        places.remove_database(part)
        side_file(target).with_name(f"{side_file(target).name}.part").unlink(missing_ok=True)


def copy_verified(source: Path, target: Path, watch: Watch = unwatched) -> None:
    """Copy a database into an existing empty file, and compare it with its source."""
    with (
        closing(connect(source, _reading(source))) as live,
        closing(sqlite3.connect(target, isolation_level=None)) as copy,
    ):
        live.execute("BEGIN")
        try:
            # Read first: without a reading under way a copy in several steps begins again with
            # every commit that is made meanwhile.
            expected = row_counts(live)
            copy_pages(live, copy, watch)
        finally:
            live.execute("ROLLBACK")
        # At rest a copy needs no files beside it.
        copy.execute("PRAGMA journal_mode=DELETE")
        with checking(copy, watch):
            refuse_broken(copy, target)
        # A copy onto a full disk may be an empty database that is in perfect order.
        if row_counts(copy) != expected:
            raise Surroundings("backup_incomplete", path=str(target))


def copy_pages(source: sqlite3.Connection, target: sqlite3.Connection, watch: Watch) -> None:
    """Copy all pages, and tell how many of them are there."""

    def progress(status: int, remaining: int, total: int) -> None:
        if status == sqlite3.SQLITE_OK:
            watch(Step.COPYING, total - remaining, total)

    watch(Step.COPYING, 0, 0)
    source.backup(target, pages=_PAGES_AT_ONCE, progress=progress)


@contextmanager
def checking(
    connection: sqlite3.Connection, watch: Watch, ends: Callable[[], bool] = lambda: False
) -> Iterator[None]:
    """Let a check be ended: by whoever watches, or where it `ends` by itself."""
    stopped: list[UserFault] = []

    def look() -> int:
        try:
            # It is not known of how many; the first of these alone is told at once.
            watch(Step.CHECKING, 1, 0)
        except UserFault as fault:
            stopped.append(fault)
        return int(bool(stopped) or ends())

    watch(Step.CHECKING, 0, 0)
    connection.set_progress_handler(look, _STEPS_BETWEEN_LOOKS)
    try:
        yield
    except sqlite3.OperationalError:
        if stopped:
            raise stopped[0] from None
        raise
    finally:
        connection.set_progress_handler(None, 0)


def refuse_broken(connection: sqlite3.Connection, path: Path) -> None:
    """Refuse a database whose pages or links do not fit together."""
    found = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if found != "ok":
        raise Surroundings("damaged_file", path=str(path), why=str(found)[:200])
    link = connection.execute("PRAGMA foreign_key_check").fetchone()
    if link is not None:
        raise Surroundings("damaged_file", path=str(path), why=f"{link[0]} without {link[2]}")


def refuse_full_disk(source: Path, folder: Path) -> None:
    """Refuse to write a copy where there is no room for two and some more."""
    wal = places.write_ahead_log(source)
    size = source.stat().st_size + (wal.stat().st_size if wal.exists() else 0)
    needed, free = 2 * size + FREE_BYTES, shutil.disk_usage(folder).free
    if free < needed:
        raise Surroundings("disk_full", path=str(folder), needed_bytes=needed, free_bytes=free)


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file, in hexadecimal."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while chunk := file.read(READ_BYTES):
            digest.update(chunk)
    return digest.hexdigest()


def side_file(target: Path) -> Path:
    """Return the file that holds the SHA-256 of a backup.

    >>> side_file(Path("a.tankkeeper")).name
    'a.tankkeeper.sha256'
    """
    return target.with_name(f"{target.name}.sha256")


def refuse_changed(backup: Path) -> None:
    """Refuse a backup that is no longer what it was when its SHA-256 was written."""
    side = side_file(backup)
    if not side.exists():
        return
    written = side.read_text(encoding="utf-8", errors="replace").split(" ", 1)[0].strip()
    if written.lower() != sha256_of(backup):
        raise Surroundings("backup_changed", path=str(backup))


def roll(path: Path, now: datetime, most_bytes: int | None = None) -> Path | None:
    """Write a rolling backup if the content changed since the newest, and thin out the old.

    All of them together take at most `most_bytes`, as far as enough of them are left.
    """
    mark = content_mark(path)
    rolling = [one for one in backups_of(path) if not one.reason]
    if rolling and rolling[0].mark == mark:
        return None
    target = _name(path, now, mark)
    write_backup(path, target)
    rotate(path)
    if most_bytes is not None:
        fit(path, most_bytes)
    return target


def back_up_before(path: Path, reason: str, now: datetime, watch: Watch = unwatched) -> Path:
    """Write a backup before something that may go wrong; rotation leaves it alone."""
    target = _name(path, now, content_mark(path), f"{reason}-")
    write_backup(path, target, watch)
    for thinned in (BEFORE_RESTORE, BEFORE_IMPORT):
        for old in [one for one in backups_of(path) if one.reason == thinned][KEPT_BEFORE:]:
            _remove(old.path)
    return target


def backups_of(path: Path) -> list[Backup]:
    """Return the verified backups in the household's backup folder, the newest first."""
    shape = re.compile(
        rf"{re.escape(path.stem)}-(?:({BEFORE_UPGRADE}|{BEFORE_RESTORE}|{BEFORE_IMPORT})-)?"
        rf"([0-9]{{8}}T[0-9]{{12}}Z)-([0-9a-f]{{8}}){re.escape(path.suffix)}"
    )
    folder = places.backup_folder(path)
    found = []
    for path_of_one in folder.iterdir() if folder.is_dir() else ():
        match = shape.fullmatch(path_of_one.name)
        if match is not None and side_file(path_of_one).exists():
            made_at = datetime.strptime(match[2], _STAMP).replace(tzinfo=UTC)
            found.append(Backup(path_of_one, made_at, match[3], match[1] or ""))
    return sorted(found, key=lambda one: (one.made_at, one.path.name), reverse=True)


def kept(newest_first: Iterable[Backup]) -> set[Path]:
    """Return which rolling backups stay: recent ones, and the newest of a day, week and month."""
    rolling = list(newest_first)
    stay = {one.path for one in rolling[:KEPT_RECENT]}
    spans = ((KEPT_DAYS, "%Y-%m-%d"), (KEPT_WEEKS, "%G-%V"), (KEPT_MONTHS, "%Y-%m"))
    for how_many, span in spans:
        newest_of: dict[str, Path] = {}
        for one in rolling:
            newest_of.setdefault(one.made_at.strftime(span), one.path)
        stay.update(list(newest_of.values())[:how_many])
    return stay


def rotate(path: Path) -> None:
    """Remove the rolling backups that others of their day, week or month stand for."""
    rolling = [one for one in backups_of(path) if not one.reason]
    stay = kept(rolling)
    for one in rolling:
        if one.path not in stay:
            _remove(one.path)


def fit(path: Path, most_bytes: int) -> None:
    """Remove backups until all of them together take at most so many bytes.

    Rolling ones go first, but some of them stay, from the newest to the oldest; then those before
    a restore or an import, but the newest of each. Those before an upgrade stay apart.
    """
    present = backups_of(path)
    sizes = {one.path: one.path.stat().st_size for one in present}
    for one in thinning_order(present):
        if sum(sizes.values()) <= most_bytes:
            return
        _remove(one.path)
        del sizes[one.path]


def thinning_order(newest_first: Iterable[Backup]) -> list[Backup]:
    """Return the backups that may go for want of room, the first to go first.

    Of the rolling ones that goes whose neighbours stand closest together for its age: of backups
    at even distances an old one, and never the newest or the oldest, so that what is left reaches
    as far back as before.
    """
    present = list(newest_first)
    rolling = [one for one in present if not one.reason]
    going: list[Backup] = []
    while len(rolling) > KEPT_AT_LEAST:
        newest = rolling[0].made_at

        def spread(at: int, newest: datetime = newest) -> float:
            gap = rolling[at - 1].made_at - rolling[at + 1].made_at
            age = newest - rolling[at + 1].made_at
            return gap / age if age else 0.0

        at = min(range(len(rolling) - 2, 0, -1), key=spread)
        going.append(rolling.pop(at))
    for reason in (BEFORE_IMPORT, BEFORE_RESTORE):
        going += reversed([one for one in present if one.reason == reason][1:])
    return going


def content_mark(path: Path) -> str:
    """Return eight digits that differ when definitions or logbook differ."""
    with closing(connect(path, _reading(path))) as plain:
        state = plain.execute(
            "SELECT lineage, definitions_version, (SELECT coalesce(max(seq), 0) FROM entry)"
            " FROM household"
        ).fetchone()
    return hashlib.sha256(repr(state).encode()).hexdigest()[:8]


def last_at(path: Path) -> datetime | None:
    """Return when the newest verified backup was made, here or elsewhere, or None."""
    moments = [one.made_at for one in backups_of(path)]
    note = places.backup_folder(path) / _ELSEWHERE
    if note.exists():
        try:
            moments.append(datetime.fromisoformat(note.read_text(encoding="utf-8").strip()))
        except ValueError:
            # A note that was cut short tells nothing; the backups in the folder still count.
            note.unlink()
    return max(moments, default=None)


def note_elsewhere(path: Path, now: datetime) -> None:
    """Note that a backup was made in some other place."""
    folder = places.backup_folder(path)
    places.make_private_folder(folder)
    (folder / _ELSEWHERE).write_text(now.isoformat(), encoding="utf-8")


def _name(path: Path, now: datetime, mark: str, reason: str = "") -> Path:
    stamp = now.astimezone(UTC).strftime(_STAMP)
    return places.backup_folder(path) / f"{path.stem}-{reason}{stamp}-{mark}{path.suffix}"


def _remove(backup: Path) -> None:
    side_file(backup).unlink(missing_ok=True)
    backup.unlink(missing_ok=True)


def _reading(path: Path) -> Access:
    if os.access(path.parent, os.W_OK):
        return Access.READ
    return Access.FROZEN
