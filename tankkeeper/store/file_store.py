"""An open household: transactions on its file, its backups, its checks."""

from __future__ import annotations

import platform
import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from tankkeeper.core.errors import Surroundings
from tankkeeper.services.ports import CheckResult, Clock, StoredBackup
from tankkeeper.services.watching import Watch, unwatched
from tankkeeper.store import backups, queries
from tankkeeper.store.engine import Access, connect, make_engine, pragma
from tankkeeper.store.faults import told
from tankkeeper.store.interrupts import begun
from tankkeeper.store.memory import Memory
from tankkeeper.store.places import write_ahead_log
from tankkeeper.store.schema import HEAD
from tankkeeper.store.transaction import ReadingTransaction

if TYPE_CHECKING:
    from tankkeeper.store.writing import WritingTransaction

CHECKED_AT_START_BYTES = 1_000_000
# A reader or writer elsewhere may hold the log; closing does not wait for them as a write does.
FOLD_IN_WAIT_MS = 200


def this_host() -> str:
    """Return the name of this machine."""
    return platform.node() or "unknown"


class FileStore:
    """A household in one SQLite file. All methods may be called from any thread."""

    def __init__(
        self,
        path: Path,
        access: Access,
        clock: Clock,
        most_backup_bytes: Callable[[], int | None] = lambda: None,
    ) -> None:
        self._path = path
        self._most_backup_bytes = most_backup_bytes
        self._access = access
        self._clock = clock
        self._engine = make_engine(path, access)
        self._reader = self._engine.execution_options(reading=True)
        self._memory = Memory()
        self._watching = threading.Lock()
        self._is_closed = False
        # Only a connection that never writes itself sees every commit in its data version.
        self._watch = connect(path, Access.READ if access is Access.WRITE else access)

    @property
    def where(self) -> str:
        """The file, as people name it."""
        return str(self._path)

    @property
    def is_read_only(self) -> bool:
        """Whether nothing can be written here."""
        return self._access is not Access.WRITE

    @contextmanager
    def reading(self) -> Iterator[ReadingTransaction]:
        """Begin a reading transaction; it waits for nobody."""
        with told(self.where), begun(self._reader) as connection:
            yield ReadingTransaction(connection, self._memory)

    @contextmanager
    def writing(self) -> Iterator[WritingTransaction]:
        """Begin a writing transaction; it is committed at the end, or undone by an exception."""
        if self.is_read_only:
            raise Surroundings("read_only", path=self.where)
        # Declaring the tables takes as long as reading the household, and most starts only read.
        from tankkeeper.store.writing import WritingTransaction

        with told(self.where), begun(self._engine) as connection:
            yield WritingTransaction(connection, self._memory, this_host())

    def change_mark(self) -> int:
        """Return a number that changes when any process has committed to the household."""
        with told(self.where), self._watching:
            mark: int = pragma(self._watch, "data_version")
            return mark

    def last_host(self) -> str:
        """Return the name of the machine that wrote to the household last."""
        with told(self.where), begun(self._reader) as connection:
            host: str = connection.exec_driver_sql(queries.SELECT_LAST_HOST).scalar_one()
            return host

    def backup(self, target: Path) -> None:
        """Write a verified copy to `target` with its SHA-256 beside it."""
        with told(str(target)):
            backups.write_backup(self._path, target)
            backups.note_elsewhere(self._path, self._clock.now())

    def rolling_backup(self, now: datetime) -> Path | None:
        """Write a backup into the household's backup folder if something changed, and rotate."""
        with told(self.where):
            return backups.roll(self._path, now, self._most_backup_bytes())

    def save_copy(self, target: Path, watch: Watch = unwatched) -> None:
        """Write a verified copy to `target`, a household of its own that may take a file's place.

        It is whole or not there; a file that had the name before stays until then.
        """
        with told(str(target)):
            backups.write_copy(self._path, target, watch)

    def backup_before_import(self) -> Path:
        """Write a verified backup into the backup folder, whatever was backed up before."""
        if self.is_read_only:
            raise Surroundings("read_only", path=self.where)
        with told(self.where):
            return backups.back_up_before(self._path, backups.BEFORE_IMPORT, self._clock.now())

    def backups(self) -> Sequence[StoredBackup]:
        """Return the verified backups in the backup folder, the newest first."""
        with told(self.where):
            return [
                StoredBackup(one.path, one.made_at, one.path.stat().st_size, one.reason)
                for one in backups.backups_of(self._path)
            ]

    @contextmanager
    def looking_into(self, source: Path, watch: Watch = unwatched) -> Iterator[ReadingTransaction]:
        """Read a backup as a restore would put it in; nothing is changed."""
        from tankkeeper.store.restoring import looking_into

        with looking_into(self._path, source, watch=watch) as connection:
            yield ReadingTransaction(connection, Memory())

    def last_backup_at(self) -> datetime | None:
        """Return when the last verified backup was made, or None."""
        with told(self.where):
            return backups.last_at(self._path)

    def restore(self, source: Path, watch: Watch = unwatched) -> Path:
        """Replace the content by that of a backup; return the backup of what was there before."""
        from tankkeeper.store.restoring import restore

        if self.is_read_only:
            raise Surroundings("read_only", path=self.where)
        return restore(self._path, source, self._clock, watch=watch)

    def check(self) -> CheckResult:
        """Return what an integrity check finds."""
        from tankkeeper.store import inspection

        with told(self.where), begun(self._reader) as connection:
            entries, problems = inspection.inspect(connection)
        return CheckResult(entries, problems, HEAD, self.where)

    def refuse_damage(self) -> None:
        """Refuse a file that was cut short, or whose pages do not fit together.

        Looking at every page of a large file takes longer than all else at the start, so one
        that was closed in order is only measured; `check` and every backup look at all of it.
        """
        with begun(self._reader) as connection:
            pages, page_size = (
                connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
                for name in ("page_count", "page_size")
            )
            wal = write_ahead_log(self._path)
            was_closed = not (wal.exists() and wal.stat().st_size)
            if was_closed and self._path.stat().st_size < pages * page_size:
                raise Surroundings("damaged_file", path=self.where, why="cut short")
            if was_closed and pages * page_size > CHECKED_AT_START_BYTES:
                return
            found = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one()
        if found != "ok":
            raise Surroundings("damaged_file", path=self.where, why=str(found)[:200])

    def close(self) -> None:
        """Close the file, folding its write-ahead log in; closing twice is no fault."""
        if self._is_closed:
            return
        self._is_closed = True
        with told(self.where):
            self._watch.close()
            if self._access is Access.WRITE:
                with self._engine.connect() as connection:
                    driver = connection.connection.driver_connection
                    if driver is not None:
                        # What cannot be folded in now is folded in at the next opening.
                        driver.execute(f"PRAGMA busy_timeout={FOLD_IN_WAIT_MS}")
                        try:
                            driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")
                        except sqlite3.OperationalError as busy:
                            # A reading that was interrupted holds it until the process ends.
                            if busy.sqlite_errorcode != sqlite3.SQLITE_LOCKED:
                                raise
            self._engine.dispose()
