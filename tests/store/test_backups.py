"""A backup counts when it is verified; older ones thin out only after that."""

import hashlib
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import Surroundings, UserFault
from tankkeeper.services.watching import Step, stopped
from tankkeeper.store import backups, places
from tankkeeper.store.backups import Backup, kept, side_file
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import open_household
from tests.store.households import NOON, made, small


def _add(store: FileStore, number: int) -> None:
    with store.writing() as writing:
        writing.add(made(number))


def _names(folder: Path) -> list[str]:
    return sorted(one.name for one in folder.iterdir())


def test_a_backup_is_a_household_with_its_sum_beside_it(
    store: FileStore, tmp_path: Path, clock: FixedClock
) -> None:
    """The copy opens by itself; the side file is what `sha256sum --check` reads."""
    _add(store, 1)
    target = tmp_path / "stick" / "copy.tankkeeper"

    store.backup(target)

    digest = hashlib.sha256(target.read_bytes()).hexdigest()
    assert side_file(target).read_text() == f"{digest}  copy.tankkeeper\n"
    assert _names(target.parent) == ["copy.tankkeeper", "copy.tankkeeper.sha256"]
    opened = open_household(target, clock)
    with opened.reading() as reading:
        assert (reading.household(), reading.entry("entry-000001") is not None) == (small(), True)
    opened.close()


def test_a_backup_holds_what_lies_in_the_log_beside_the_file(
    store: FileStore, path: Path, tmp_path: Path, clock: FixedClock
) -> None:
    """Entries that are not yet folded into the main file are in the copy all the same."""
    for number in range(50):
        _add(store, number)
    assert places.write_ahead_log(path).stat().st_size > 0

    store.backup(tmp_path / "copy.tankkeeper")

    opened = open_household(tmp_path / "copy.tankkeeper", clock)
    assert opened.check().entries == 50
    opened.close()


def test_the_live_file_is_no_target(store: FileStore, path: Path) -> None:
    """A backup onto the household itself is refused."""
    with pytest.raises(UserFault) as fault:
        store.backup(path)

    assert fault.value.code == "same_file"
    assert store.check().problems == ()


def test_a_backup_that_fails_leaves_the_older_one(
    store: FileStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An incomplete copy never takes the place of a good one, and leaves nothing behind."""
    target = tmp_path / "stick" / "copy.tankkeeper"
    store.backup(target)
    before = {name: (target.parent / name).read_bytes() for name in _names(target.parent)}
    _add(store, 1)
    counts = iter([{"entry": 1}, {"entry": 0}])
    monkeypatch.setattr(backups, "row_counts", lambda _connection: next(counts))

    with pytest.raises(Surroundings) as fault:
        store.backup(target)

    assert fault.value.code == "backup_incomplete"
    assert {name: (target.parent / name).read_bytes() for name in _names(target.parent)} == before


def test_a_full_disk_is_told_before_the_copy(
    store: FileStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without room for twice the file and some more, nothing is begun."""
    usage = type("Usage", (), {"free": 1000})
    monkeypatch.setattr(backups.shutil, "disk_usage", lambda _folder: usage)

    with pytest.raises(Surroundings) as fault:
        store.backup(tmp_path / "stick" / "copy.tankkeeper")

    assert fault.value.code == "disk_full"
    assert _names(tmp_path / "stick") == []


BACKUP_WITH_LITTLE_ROOM = """
import resource, signal, sys
from pathlib import Path
from tankkeeper.app.clock import SystemClock
from tankkeeper.core.errors import Surroundings
from tankkeeper.store.opening import open_household
store = open_household(Path(sys.argv[1]), SystemClock())
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, 40_000))
try:
    store.backup(Path(sys.argv[2]))
except Surroundings as fault:
    print(fault.code)
"""


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="limits of a process are those of POSIX")
def test_a_disk_that_fills_up_during_the_copy_leaves_the_older_backup(
    store: FileStore, path: Path, tmp_path: Path
) -> None:
    """The half copy is removed; the backup made before is as it was."""
    target = tmp_path / "stick" / "copy.tankkeeper"
    store.backup(target)
    before = {name: (target.parent / name).read_bytes() for name in _names(target.parent)}
    _add(store, 1)

    done = subprocess.run(
        [sys.executable, "-c", BACKUP_WITH_LITTLE_ROOM, str(path), str(target)],
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.stdout.split()[0] in {"disk_full", "disk_error"}, done.stderr
    assert {name: (target.parent / name).read_bytes() for name in _names(target.parent)} == before


def test_a_rolling_backup_is_made_only_when_something_changed(store: FileStore) -> None:
    """Entries and definitions count as changes; time alone does not."""
    first = store.rolling_backup(NOON)
    unchanged = store.rolling_backup(NOON + timedelta(hours=1))
    _add(store, 1)
    second = store.rolling_backup(NOON + timedelta(hours=2))
    with store.writing() as writing:
        writing.save_household(small())
    third = store.rolling_backup(NOON + timedelta(hours=3))

    assert first is not None
    assert unchanged is None
    assert len({first, second, third}) == 3
    assert first.parent.name == "pier-backups"
    assert first.name.startswith("pier-20260320T120000")


def test_the_last_backup_is_known_wherever_it_was_made(
    store: FileStore, tmp_path: Path, clock: FixedClock
) -> None:
    """None before the first; then the newest of the rolling ones and those made elsewhere."""
    found = [store.last_backup_at()]
    store.rolling_backup(NOON - timedelta(days=1))
    found.append(store.last_backup_at())
    store.backup(tmp_path / "stick" / "copy.tankkeeper")
    found.append(store.last_backup_at())

    assert found == [None, NOON - timedelta(days=1), NOON]


def test_a_copy_without_its_sum_is_no_backup(store: FileStore) -> None:
    """Only a backup that was verified to the end is counted."""
    made_one = store.rolling_backup(NOON)
    assert made_one is not None

    side_file(made_one).unlink()

    assert store.last_backup_at() is None


def _backup_at(moment: datetime) -> Backup:
    return Backup(Path(moment.isoformat()), moment, "0" * 8)


def _kept(moments: list[datetime]) -> list[datetime]:
    newest_first = [_backup_at(moment) for moment in sorted(moments, reverse=True)]
    stay = kept(newest_first)
    return sorted(one.made_at for one in newest_first if one.path in stay)


def test_old_backups_thin_out_with_age() -> None:
    """Ten recent, then one a day for 14 days, a week for 8 weeks, a month for 12 months."""
    end = datetime(2026, 3, 20, 20, tzinfo=UTC)
    # Three a day for two years: at 20:00, 14:00 and 08:00.
    moments = [end - timedelta(days=day, hours=hours) for day in range(730) for hours in (0, 6, 12)]

    stay = _kept(moments)

    recent = sorted(moments, reverse=True)[:10]
    days = [end - timedelta(days=day) for day in range(14)]
    # The last day of the present week, then Sundays (ISO 8601 weeks end on Sunday).
    sunday = datetime(2026, 3, 15, 20, tzinfo=UTC)
    weeks = [end, *(sunday - timedelta(weeks=week) for week in range(7))]
    first_days = [datetime(2026, m, 1, 20, tzinfo=UTC) for m in (3, 2, 1)] + [
        datetime(2025, m, 1, 20, tzinfo=UTC) for m in range(12, 4, -1)
    ]
    months = [end, *(first - timedelta(days=1) for first in first_days)]
    assert len(months) == 12
    assert stay == sorted({*recent, *days, *weeks, *months})


@pytest.mark.parametrize("how_many", [1, 3, 10])
def test_few_backups_all_stay(how_many: int) -> None:
    """However old they are, the newest ten are kept."""
    moments = [NOON - timedelta(minutes=minute) for minute in range(how_many)]

    assert _kept(moments) == sorted(moments)


def test_rotation_removes_sum_and_copy_and_leaves_those_made_before_something(
    store: FileStore, path: Path
) -> None:
    """Backups made before an upgrade or a restore stand apart from the rolling ones."""
    apart = backups.back_up_before(path, backups.BEFORE_UPGRADE, NOON - timedelta(days=3000))
    for number in range(12):
        _add(store, number)
        store.rolling_backup(NOON + timedelta(minutes=number))

    found = backups.backups_of(path)

    assert [one.reason for one in found] == [""] * 10 + [backups.BEFORE_UPGRADE]
    assert found[-1].path == apart
    assert len(_names(apart.parent)) == 2 * len(found)


@pytest.mark.parametrize("write", [FileStore.rolling_backup])
def test_a_backup_while_somebody_writes_is_whole(
    store: FileStore, path: Path, clock: FixedClock, write: Callable
) -> None:
    """The copy is the state before an open transaction, and does not wait for it."""
    _add(store, 1)
    other = open_household(path, clock)
    with other.writing() as writing:
        writing.add(made(2))
        target = write(store, NOON)
    other.close()
    assert target is not None

    opened = open_household(target, clock)
    assert (opened.check().entries, opened.check().problems) == (1, ())
    opened.close()


def test_a_copy_is_a_household_of_its_own(
    store: FileStore, path: Path, tmp_path: Path, clock: FixedClock
) -> None:
    """It opens, nothing lies beside it, and a file that was chosen to be written over is gone."""
    _add(store, 1)
    target = tmp_path / "stick" / "copy.tankkeeper"
    store.backup(target)
    _add(store, 2)

    store.save_copy(target)

    assert _names(target.parent) == ["copy.tankkeeper"]
    copy = open_household(target, clock)
    assert copy.check().entries == 2
    copy.close()
    assert store.where == str(path)


def test_a_copy_that_fails_leaves_the_file_of_that_name(
    store: FileStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing half written, and what was there is as it was."""
    target = tmp_path / "stick" / "copy.tankkeeper"
    target.parent.mkdir()
    target.write_bytes(b"somebody's")
    counts = iter([{"entry": 1}, {"entry": 0}])
    monkeypatch.setattr(backups, "row_counts", lambda _connection: next(counts))

    with pytest.raises(Surroundings):
        store.save_copy(target)

    assert (_names(target.parent), target.read_bytes()) == (["copy.tankkeeper"], b"somebody's")


def test_no_copy_takes_the_place_of_a_household_that_is_open(
    store: FileStore, path: Path, tmp_path: Path, clock: FixedClock
) -> None:
    """Neither of itself, nor of another that somebody is writing to, nor of a folder."""
    other_path = tmp_path / "stick" / "other.tankkeeper"
    store.save_copy(other_path)
    other = open_household(other_path, clock)
    _add(other, 7)

    codes = []
    for target in (path, other_path, other_path.parent):
        with pytest.raises((UserFault, Surroundings)) as fault:
            store.save_copy(target)
        codes.append(fault.value.code)

    assert codes == ["same_file", "locked", "is_a_folder"]
    assert other.check().entries == 1
    other.close()


def test_backups_take_no_more_room_than_they_are_given(store: FileStore, path: Path) -> None:
    """The newest and the oldest stay; those before an upgrade are left alone."""
    apart = backups.back_up_before(path, backups.BEFORE_UPGRADE, NOON - timedelta(days=300))
    written = []
    for number in range(9):
        _add(store, number)
        written.append(backups.roll(path, NOON + timedelta(days=number)))
    size = apart.stat().st_size

    backups.fit(path, 7 * size)
    some = backups.backups_of(path)
    taken = sum(one.path.stat().st_size for one in some)
    backups.fit(path, 1)
    few = backups.backups_of(path)

    assert taken <= 7 * size
    for found in (some, few):
        assert [found[0].path, found[-1].path] == [written[-1], apart]
        assert found[-2].path == written[0]
    assert len(few) == backups.KEPT_AT_LEAST + 1
    assert len(_names(apart.parent)) == 2 * len(few)


def test_for_want_of_room_old_backups_thin_out_before_new_ones() -> None:
    """Of one a day, the first to go are old; at the end what is left still reaches back."""
    newest_first = [_backup_at(NOON - timedelta(days=day)) for day in range(40)]

    going = backups.thinning_order(newest_first)

    ages = [(NOON - one.made_at).days for one in going]
    assert ages[0] == 38
    assert min(ages[:12]) > 12
    left = [one for one in newest_first if one not in going]
    assert [(NOON - one.made_at).days for one in (left[0], left[-1])] == [0, 39]
    assert len(left) == backups.KEPT_AT_LEAST


def test_a_rolling_backup_keeps_within_the_room_of_the_settings(
    path: Path, store: FileStore, clock: FixedClock
) -> None:
    """The room is asked for each time, so that a new choice holds at once."""
    store.close()
    room = [1_000_000_000]
    asking = open_household(path, clock, lambda: room[0])
    for number in range(6):
        _add(asking, number)
        asking.rolling_backup(NOON + timedelta(days=number))
    before = len(asking.backups())
    room[0] = 1
    _add(asking, 6)
    asking.rolling_backup(NOON + timedelta(days=6))

    assert (before, len(asking.backups())) == (6, backups.KEPT_AT_LEAST)
    asking.close()


def test_those_before_an_import_are_named_and_few_stay(store: FileStore, path: Path) -> None:
    """Five, each for its own reason; the size of each is told."""
    for number in range(7):
        backups.back_up_before(path, backups.BEFORE_IMPORT, NOON + timedelta(days=number))

    found = store.backups()

    assert [one.reason for one in found] == [backups.BEFORE_IMPORT] * backups.KEPT_BEFORE
    assert all(one.size_bytes == one.path.stat().st_size for one in found)


def test_looking_into_a_backup_changes_nothing(store: FileStore, path: Path) -> None:
    """It is read as a restore would put it in, and nothing is left beside it or the household."""
    _add(store, 1)
    backup = store.rolling_backup(NOON)
    assert backup is not None
    _add(store, 2)
    before = (backup.read_bytes(), _names(backup.parent), _names(path.parent))

    with store.looking_into(backup) as reading:
        found = (reading.household(), len(reading.entry_ids()))

    assert found == (small(), 1)
    assert (backup.read_bytes(), _names(backup.parent), _names(path.parent)) == before
    assert store.check().entries == 2


def test_a_copy_in_several_steps_is_of_one_moment(tmp_path: Path) -> None:
    """What is committed meanwhile is not in it, and does not let it begin again."""
    source, target = tmp_path / "a.db", tmp_path / "b.db"
    with closing(sqlite3.connect(source, isolation_level=None)) as plain:
        plain.execute("PRAGMA journal_mode=WAL")
        plain.execute("CREATE TABLE entry (seq INTEGER PRIMARY KEY, note TEXT)")
        plain.execute("BEGIN")
        rows = ((100 * f"{number} ",) for number in range(30_000))
        plain.executemany("INSERT INTO entry (note) VALUES (?)", rows)
        plain.execute("COMMIT")
        told: list[tuple[Step, int, int]] = []

        def watch(step: Step, done: int, of: int) -> None:
            told.append((step, done, of))
            if step is Step.COPYING and of and len(told) < 20:
                plain.execute("INSERT INTO entry (note) VALUES ('meanwhile')")

        with (
            closing(sqlite3.connect(source, isolation_level=None)) as live,
            closing(sqlite3.connect(target, isolation_level=None)) as copy,
        ):
            live.execute("BEGIN")
            assert live.execute("SELECT count(*) FROM entry").fetchone() == (30_000,)
            backups.copy_pages(live, copy, watch)
            assert copy.execute("SELECT count(*) FROM entry").fetchone() == (30_000,)
            copy.execute("PRAGMA journal_mode=DELETE")
            live.execute("ROLLBACK")
        assert plain.execute("SELECT count(*) FROM entry").fetchone()[0] > 30_000
    far = [done for step, done, of in told if of]
    assert len(far) > 2
    assert far == sorted(far)


@pytest.mark.parametrize("step", [Step.COPYING, Step.CHECKING])
def test_a_copy_that_is_stopped_leaves_nothing(
    store: FileStore, tmp_path: Path, step: Step
) -> None:
    """What had the name before stays."""
    target = tmp_path / "elsewhere" / "copy.tankkeeper"
    store.save_copy(target)
    before = target.read_bytes()

    def watch(at: Step, _done: int, _of: int) -> None:
        if at is step:
            raise stopped()

    with pytest.raises(UserFault) as caught:
        store.save_copy(target, watch)

    assert caught.value.code == "stopped"
    assert target.read_bytes() == before
    assert [one.name for one in target.parent.iterdir()] == [target.name]
