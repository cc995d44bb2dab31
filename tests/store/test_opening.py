"""A file is looked at before it is touched, and what is wrong with it is said in one word."""

import hashlib
import os
import shutil
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import Surroundings, TankkeeperError, UserFault
from tankkeeper.store import opening, places
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import create, open_household
from tests.store.households import full, made, small


def _code(path: Path, clock: FixedClock) -> str:
    with pytest.raises(TankkeeperError) as fault:
        open_household(path, clock)
    return fault.value.code


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.fixture
def closed(store: FileStore, path: Path) -> Path:
    """A household that was closed in order."""
    with store.writing() as writing:
        writing.add(made(1))
    store.close()
    return path


def test_a_missing_file_is_not_made(path: Path, clock: FixedClock) -> None:
    """A mistyped name is told as such, and nothing appears on the disk."""
    assert _code(path, clock) == "not_found"
    assert not path.parent.exists()


def test_a_file_of_no_length_is_not_a_new_household(path: Path, clock: FixedClock) -> None:
    """An empty file is what a failed copy leaves; only a person makes a new household."""
    path.parent.mkdir()
    path.touch()

    assert _code(path, clock) == "empty_file"
    assert path.read_bytes() == b""


@pytest.mark.parametrize("content", [b"format = 'tankkeeper'\n", b"SQLite format 2\0" + b"x" * 200])
def test_a_file_of_another_kind_is_left_alone(
    path: Path, clock: FixedClock, content: bytes
) -> None:
    """What is no database is refused, untouched."""
    path.parent.mkdir()
    path.write_bytes(content)

    assert _code(path, clock) == "not_a_household"
    assert path.read_bytes() == content


def test_a_database_of_another_program_is_left_alone(path: Path, clock: FixedClock) -> None:
    """A SQLite file with another application id is refused, untouched."""
    path.parent.mkdir()
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("CREATE TABLE household (name TEXT)")
    before = _digest(path)

    assert _code(path, clock) == "not_a_household"
    assert _digest(path) == before


def test_a_folder_is_not_a_household(tmp_path: Path, clock: FixedClock) -> None:
    """A folder is refused by name, not by an error of the system."""
    assert _code(tmp_path, clock) == "not_a_household"


@pytest.mark.parametrize("length", [50, 4096, 40_000])
def test_a_file_cut_short_is_refused_untouched(
    closed: Path, clock: FixedClock, length: int
) -> None:
    """Whatever is missing of a file, it is called damaged and stays as it is."""
    closed.write_bytes(closed.read_bytes()[:length])
    before = _digest(closed)

    assert _code(closed, clock) == "damaged_file"
    assert _digest(closed) == before


def test_a_large_file_cut_short_is_refused_too(
    closed: Path, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file too large to be read through at the start is at least measured."""
    monkeypatch.setattr("tankkeeper.store.file_store.CHECKED_AT_START_BYTES", 0)
    whole = closed.read_bytes()
    closed.write_bytes(whole[: len(whole) - 4096])

    assert _code(closed, clock) == "damaged_file"


def test_a_page_of_zeros_is_found(closed: Path, clock: FixedClock) -> None:
    """Pages that do not fit together are found at the start."""
    content = bytearray(closed.read_bytes())
    content[8192 : 8192 + 4096] = bytes(4096)
    closed.write_bytes(content)

    assert _code(closed, clock) == "damaged_file"


def test_a_value_no_program_wrote_is_damage_and_no_crash(closed: Path, clock: FixedClock) -> None:
    """A word that is none of ours is told as damage when it is read."""
    with closing(connect(closed, Access.WRITE)) as plain:
        plain.execute("UPDATE chore SET kind = 'dance'")

    opened = open_household(closed, clock)
    with pytest.raises(Surroundings) as fault, opened.reading() as reading:
        reading.household()
    opened.close()

    assert fault.value.code == "damaged_file"


@pytest.mark.parametrize(
    "change",
    ["UPDATE alembic_version SET version_num = '9999'", "PRAGMA user_version = 99"],
)
def test_a_newer_file_stays_byte_for_byte(closed: Path, clock: FixedClock, change: str) -> None:
    """Both versions are named, and neither the file nor its folder changes."""
    with closing(connect(closed, Access.WRITE)) as plain:
        plain.execute(change)
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before, beside = _digest(closed), sorted(closed.parent.iterdir())

    with pytest.raises(Surroundings) as fault:
        open_household(closed, clock)

    assert fault.value.code == "newer_file"
    assert set(fault.value.values) == {"path", "found", "known"}
    assert fault.value.values["found"] != fault.value.values["known"]
    assert (_digest(closed), sorted(closed.parent.iterdir())) == (before, beside)


def test_a_file_that_exists_is_never_written_over(closed: Path, clock: FixedClock) -> None:
    """Making a new household in place of an old one is refused."""
    before = _digest(closed)

    with pytest.raises(UserFault) as fault:
        create(closed, small(), clock)

    assert fault.value.code == "file_exists"
    assert _digest(closed) == before


def test_a_household_that_cannot_be_made_leaves_nothing(path: Path, clock: FixedClock) -> None:
    """A refused definition leaves no half file that would be in the way of the next try."""
    with pytest.raises(UserFault):
        create(path, small().__class__("half \ud800", "Europe/Oslo"), clock)

    assert list(path.parent.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="modes are those of POSIX")
def test_only_the_owner_can_read_a_household(store: FileStore, path: Path) -> None:
    """File and folder are private, whatever the mask of the process."""
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_settings_are_read_back_from_a_connection(store: FileStore) -> None:
    """Every connection has the settings that make a commit last and links hold."""
    found = {}
    with store._engine.connect() as connection:
        for name in ("journal_mode", "synchronous", "foreign_keys", "trusted_schema"):
            found[name] = connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()

    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "trusted_schema": 0,
    }


@pytest.mark.parametrize(
    "name", ["a b.tankkeeper", "50%?x#y.tankkeeper", "Häfen 🐟.tankkeeper", "con"]
)
def test_any_name_of_a_file_will_do(path: Path, clock: FixedClock, name: str) -> None:
    """Signs that mean something in an address are only part of a name here."""
    named = path.with_name(name)
    create(named, full(), clock).close()

    opened = open_household(named, clock)
    with opened.reading() as reading:
        assert reading.household() == full()
    opened.close()
    assert [one.name for one in path.parent.iterdir()] == [name]


def test_closing_folds_the_log_in(store: FileStore, path: Path) -> None:
    """After closing, the one file holds everything."""
    with store.writing() as writing:
        writing.add(made(1))

    store.close()

    assert [one.name for one in path.parent.iterdir()] == [path.name]


READ_AS_NOBODY = """
import os, sys
from pathlib import Path
from tankkeeper.app.clock import SystemClock
from tankkeeper.core.errors import Surroundings
from tankkeeper.store.opening import open_household

path = Path(sys.argv[1])
# Whatever is loaded late is loaded now: nobody may not look into the folders of the program.
open_household(path, SystemClock()).close()
path.chmod(0o444)
path.parent.chmod(int(sys.argv[2], 8))
os.setgid(65534)
os.setuid(65534)
store = open_household(path, SystemClock())
with store.reading() as reading:
    household = reading.household()
    print(store.is_read_only, len(household.chores), reading.entry("entry-000001").entry.seq)
try:
    with store.writing():
        pass
except Surroundings as fault:
    print(fault.code)
store.change_mark()
store.close()
"""


@pytest.mark.slow
@pytest.mark.skipif(
    os.name != "posix" or os.geteuid() != 0, reason="only root can become somebody without rights"
)
@pytest.mark.parametrize("folder_mode", ["777", "555"])
def test_a_file_that_may_only_be_read_opens_for_reading(closed: Path, folder_mode: str) -> None:
    """In a folder that can be written and in one that cannot; ticks are refused, not lost."""
    # The folder of the tests is root's alone; nobody needs one that it can enter.
    with TemporaryDirectory() as folder:
        moved = Path(folder) / "there" / closed.name
        moved.parent.mkdir()
        shutil.copy(closed, moved)
        Path(folder).chmod(0o755)

        done = subprocess.run(
            [sys.executable, "-c", READ_AS_NOBODY, str(moved), folder_mode],
            capture_output=True,
            text=True,
            check=False,
        )

    assert done.stdout.split() == ["True", "2", "1", "read_only"], done.stderr


def test_a_read_only_file_is_opened_by_its_flag(
    closed: Path, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the right to write, a file opens for reading and says so."""
    monkeypatch.setattr(opening, "access_to", lambda _path: Access.READ)

    opened = open_household(closed, clock)
    with pytest.raises(Surroundings) as fault, opened.writing():
        pass
    with opened.reading() as reading:
        found = reading.household()
    opened.close()

    assert (opened.is_read_only, found, fault.value.code) == (True, small(), "read_only")


@pytest.mark.parametrize(
    ("mounts", "code"),
    [
        ("/dev/sda / ext4 rw 0 0\nserver:/home {home} nfs4 rw 0 0", "network_drive"),
        ("/dev/sda / ext4 rw 0 0\n//server/x {home} cifs rw 0 0", "network_drive"),
        ("/dev/sda / ext4 rw 0 0\nme@server: {home} fuse.sshfs rw 0 0", "network_drive"),
        ("server:/ / nfs rw 0 0\n/dev/sda {home} ext4 rw 0 0", None),
    ],
)
def test_a_network_drive_is_refused_for_the_live_file(
    closed: Path,
    clock: FixedClock,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    mounts: str,
    code: str | None,
) -> None:
    """The innermost mount decides; the folder's name may hold a space."""
    table = tmp_path / "mounts"
    escaped = str(closed.parent.resolve()).replace(" ", "\\040")
    table.write_text(mounts.format(home=escaped), encoding="utf-8")
    monkeypatch.setattr(places, "_MOUNTS", table)

    if code is None:
        open_household(closed, clock).close()
    else:
        assert _code(closed, clock) == code


def test_a_held_lock_ends_in_one_word(
    store: FileStore, path: Path, monkeypatch: pytest.MonkeyPatch, clock: FixedClock
) -> None:
    """Who cannot write because another holds the file is told so; reading goes on."""
    monkeypatch.setattr("tankkeeper.store.engine.BUSY_SECONDS", 0.01)
    other = open_household(path, clock)
    with closing(connect(path, Access.WRITE)) as holder:
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(Surroundings) as fault, other.writing() as writing:
            writing.add(made(1))
        with other.reading() as reading:
            assert reading.household() == small()
        holder.execute("ROLLBACK")
    other.close()

    assert fault.value.code == "locked"


def _let_grow_to(store: FileStore, pages: str) -> None:
    with store._reader.connect() as connection:
        most = connection.exec_driver_sql(pages).scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count={most}")


def _add_many(store: FileStore) -> None:
    with store.writing() as writing:
        for number in range(2, 200):
            writing.add(made(number, note="n" * 1000))


def test_a_full_disk_ends_in_one_word_and_loses_nothing(store: FileStore, path: Path) -> None:
    """With no page left an entry is refused whole, and goes in when there is room again."""
    with store.writing() as writing:
        writing.add(made(1))
    _let_grow_to(store, "SELECT page_count FROM pragma_page_count")
    with pytest.raises(Surroundings) as fault:
        _add_many(store)

    assert fault.value.code == "disk_full"
    assert (store.check().entries, store.check().problems) == (1, ())
    _let_grow_to(store, "SELECT 100000")
    with store.writing() as writing:
        assert writing.add(made(2)).seq == 2


def test_the_change_mark_moves_with_every_commit_and_only_then(
    store: FileStore, path: Path, clock: FixedClock
) -> None:
    """Commits of this store and of another both show; reading does not."""
    other = open_household(path, clock)
    marks = [store.change_mark()]
    with store.reading() as reading:
        reading.household()
    marks.append(store.change_mark())
    for number, writer in enumerate((store, other)):
        with writer.writing() as writing:
            writing.add(made(number))
        marks.append(store.change_mark())
    other.close()

    assert marks[0] == marks[1]
    assert len(set(marks[1:])) == 3


def test_the_last_machine_is_noted(store: FileStore, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that another machine wrote to last can be told by its name."""
    monkeypatch.setattr("tankkeeper.store.file_store.this_host", lambda: "laundry-room")

    with store.writing():
        pass

    assert store.last_host() == "laundry-room"
