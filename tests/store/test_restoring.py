"""A restore gives the old content or the new, never a mix, and trusts a backup with nothing."""

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import Surroundings, TankkeeperError, UserFault
from tankkeeper.services.ports import LogQuery
from tankkeeper.services.watching import Step, stopped
from tankkeeper.store import backups, restoring
from tankkeeper.store.backups import side_file
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import open_household
from tankkeeper.store.restoring import deadline, restore
from tests.store.households import full, made, small, turn_of


def _ids(store: FileStore) -> list[str]:
    with store.reading() as reading:
        return [one.entry.id for one in reading.entries(LogQuery())]


@pytest.fixture
def copy(store: FileStore, tmp_path: Path) -> Path:
    """A backup with one entry; the household has gone on since and has two others."""
    with store.writing() as writing:
        writing.add(made(1, completes=(turn_of("glass"),)))
    target = tmp_path / "stick" / "copy.tankkeeper"
    store.backup(target)
    with store.writing() as writing:
        writing.save_household(full().__class__(**_with_small_ids()))
        writing.add(made(2))
    return target


def _with_small_ids() -> dict:
    return {
        "name": "Pier 9, later",
        "zone": "Europe/Oslo",
        "tanks": small().tanks,
        "chores": small().chores,
    }


def test_a_restore_brings_back_the_content_of_the_backup(store: FileStore, copy: Path) -> None:
    """Definitions and logbook are those of the backup, for this store and what it remembers."""
    with store.reading() as reading:
        assert reading.household().name == "Pier 9, later"
        version = reading.definitions_version()
        reading.history()
    mark = store.change_mark()

    store.restore(copy)

    with store.reading() as reading:
        assert reading.household() == small()
        assert reading.definitions_version() > version
        assert [one.id for one in reading.history().of_chore("glass")] == ["entry-000001"]
    assert _ids(store) == ["entry-000001"]
    assert store.change_mark() != mark
    assert store.check().problems == ()


def test_the_present_content_is_backed_up_first(
    store: FileStore, path: Path, copy: Path, clock: FixedClock
) -> None:
    """What a restore replaces can be restored in its turn."""
    store.restore(copy)
    (before,) = [one for one in backups.backups_of(path) if one.reason == "before-restore"]
    clock.forward(timedelta(minutes=1))

    store.restore(before.path)

    assert _ids(store) == ["entry-000002", "entry-000001"]


def test_another_program_with_the_file_open_sees_the_restored_content(
    store: FileStore, path: Path, copy: Path, clock: FixedClock
) -> None:
    """Entries of the same place in the log are not mistaken for those of before."""
    other = open_household(path, clock)
    with other.reading() as reading:
        reading.household()
        reading.history()

    store.restore(copy)

    with other.reading() as reading:
        assert (reading.household(), reading.history().newest_at) == (small(), made(1).at)
    other.close()


def test_what_a_killed_restore_left_is_cleared_away_by_the_next(
    store: FileStore, path: Path, copy: Path
) -> None:
    """The working copy lies beside the household only while a restore runs."""
    left = path.with_name(f".{path.name}.restoring-1-abcd")
    left.touch()

    store.restore(copy)

    assert [one.name for one in path.parent.iterdir() if "restoring" in one.name] == []


def _refused(store: FileStore, source: Path) -> str:
    before = _ids(store)
    with pytest.raises(TankkeeperError) as fault:
        store.restore(source)
    assert _ids(store) == before
    assert store.check().problems == ()
    return fault.value.code


def test_a_backup_that_changed_at_rest_is_refused(store: FileStore, copy: Path) -> None:
    """One bit that flipped on the stick is found by the sum, whatever SQLite says of it."""
    content = bytearray(copy.read_bytes())
    content[-1] ^= 1
    copy.write_bytes(content)

    assert _refused(store, copy) == "backup_changed"


@pytest.mark.parametrize(
    ("statement", "code"),
    [
        ("CREATE VIEW more AS SELECT 1", "backup_not_ours"),
        ("CREATE TRIGGER t AFTER INSERT ON entry BEGIN SELECT 1; END", "backup_not_ours"),
        ("CREATE TABLE more (a)", "backup_not_ours"),
        ("CREATE INDEX more ON entry (note)", "backup_not_ours"),
        ("DROP INDEX entry_id", "backup_not_ours"),
        ("PRAGMA application_id = 1", "not_a_household"),
        ("UPDATE alembic_version SET version_num = 'zzzz'", "newer_file"),
        ("PRAGMA foreign_keys = OFF; DELETE FROM tank", "damaged_file"),
    ],
)
def test_a_backup_with_anything_strange_in_it_is_refused(
    store: FileStore, copy: Path, statement: str, code: str
) -> None:
    """A file from elsewhere is only let in when it holds what ours hold, and nothing that runs."""
    with closing(sqlite3.connect(copy)) as plain:
        plain.executescript(statement)
    side_file(copy).unlink()

    assert _refused(store, copy) == code


@pytest.mark.parametrize("content", [b"", b"not a database", b"SQLite format 3\0"])
def test_what_is_no_backup_is_refused(store: FileStore, tmp_path: Path, content: bytes) -> None:
    """Any file at all can be offered; the household stays as it is."""
    source = tmp_path / "what.tankkeeper"
    source.write_bytes(content)

    assert _refused(store, source) in {"empty_file", "not_a_household", "damaged_file"}


def test_a_file_that_never_ends_is_stopped(copy: Path) -> None:
    """A crafted file may make SQLite work for ever; the deadline ends it."""
    ticks = iter(range(1000))
    endless = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT max(i) FROM n"
    with closing(connect(copy, Access.READ)) as plain:
        with (
            pytest.raises(Surroundings) as fault,
            deadline(plain, copy, 5, monotonic=lambda: next(ticks)),
        ):
            plain.execute(endless).fetchone()
        assert plain.execute("SELECT 1").fetchone() == (1,)

    assert fault.value.code == "backup_takes_too_long"


def test_a_restore_gives_up_when_somebody_holds_the_file(
    store: FileStore, path: Path, copy: Path, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where another program writes all the time, the restore says so and changes nothing."""
    monkeypatch.setattr("tankkeeper.store.engine.BUSY_SECONDS", 0.01)
    monkeypatch.setattr(restoring, "BUSY_SECONDS", 0.01)
    before = _ids(store)
    with closing(connect(path, Access.WRITE)) as holder:
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(Surroundings) as fault:
            restore(path, copy, clock)
        holder.execute("ROLLBACK")

    assert fault.value.code == "locked"
    assert _ids(store) == before


RESTORE = """
import sys
from pathlib import Path
from tankkeeper.app.clock import SystemClock
from tankkeeper.store.opening import open_household
store = open_household(Path(sys.argv[1]), SystemClock())
print("begin", flush=True)
store.restore(Path(sys.argv[2]))
print("end", flush=True)
"""
KILLS = int(os.environ.get("TANKKEEPER_KILLS", "20"))


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX's")
def test_a_restore_killed_midway_leaves_the_old_content_or_the_new(
    store: FileStore, path: Path, copy: Path, clock: FixedClock
) -> None:
    """Killed at moments spread over its whole run, the file is whole and of one piece."""
    with store.writing() as writing:
        for number in range(100, 400):
            writing.add(made(number, note="n" * 500))
    old, new = _ids(store), ["entry-000001"]
    store.close()
    whole = path.read_bytes()
    found = []
    for kill in range(max(4, KILLS // 3)):
        path.write_bytes(whole)
        _restore_and_kill(path, copy, after_s=0.004 * kill)
        opened = open_household(path, clock)
        found.append(_ids(opened))
        assert opened.check().problems == ()
        opened.close()

    assert all(ids in (old, new) for ids in found)


def _restore_and_kill(path: Path, copy: Path, after_s: float) -> None:
    child = subprocess.Popen(
        [sys.executable, "-c", RESTORE, str(path), str(copy)], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    child.stdout.readline()
    try:
        # The wait is the point of the test: the moment of the kill.
        child.wait(timeout=after_s)
    except subprocess.TimeoutExpired:
        child.send_signal(signal.SIGKILL)
    child.wait()
    child.stdout.close()


@pytest.mark.parametrize("step", [Step.COPYING, Step.CHECKING])
def test_a_restore_that_is_stopped_changes_nothing(
    store: FileStore, path: Path, copy: Path, step: Step
) -> None:
    """Nor does it leave a copy or a backup behind."""
    before, files = _ids(store), sorted(one.name for one in path.parent.iterdir())
    seen: list[Step] = []

    def watch(at: Step, _done: int, _of: int) -> None:
        seen.append(at)
        if at is step:
            raise stopped()

    with pytest.raises(UserFault) as caught:
        store.restore(copy, watch)

    assert caught.value.code == "stopped"
    assert Step.REPLACING not in seen
    assert _ids(store) == before
    assert sorted(one.name for one in path.parent.iterdir()) == files
    assert [one for one in backups.backups_of(path) if one.reason == "before-restore"] == []
