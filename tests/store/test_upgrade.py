"""A migration keeps every row and every link, or changes nothing."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import Surroundings
from tankkeeper.core.logbook import TopOff
from tankkeeper.store import backups
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.schema import HEAD, row_counts
from tankkeeper.store.upgrade import SCRIPTS, upgrade_file
from tests.store.households import full, made, turn_of

STEP = '''
"""A step of a later program, made up for this test."""
import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

def upgrade():
    {body}
'''
REBUILD = """
    # Building the parent of all history anew is what deletes history when it is done wrongly.
    strict = {"sqlite_strict": True}
    with op.batch_alter_table("chore", recreate="always", table_kwargs=strict) as batch:
        batch.add_column(sa.Column("colour", sa.Text(), nullable=True))
    log = strict | {"sqlite_autoincrement": True}
    with op.batch_alter_table("entry", recreate="always", table_kwargs=log) as batch:
        batch.add_column(sa.Column("weather", sa.Text(), nullable=True))
"""


@pytest.fixture
def closed(store: FileStore, path: Path) -> Path:
    """A household with entries in every table of the log, closed in order."""
    with store.writing() as writing:
        writing.save_household(full())
    with store.writing() as writing:
        for number in range(20):
            key = f"2026-03-{number:02d}"
            writing.add(made(number, TopOff(1.0), completes=(turn_of("test", key),)))
    store.close()
    return path


def _scripts(tmp_path: Path, body: str) -> Path:
    scripts = tmp_path / "100% migrations"
    shutil.copytree(SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__"))
    (scripts / "versions" / "0006_later.py").write_text(STEP.format(body=body), encoding="utf-8")
    return scripts


def _state(path: Path) -> tuple[str, dict[str, int], list]:
    with closing(connect(path, Access.READ)) as plain:
        (revision,) = plain.execute("SELECT version_num FROM alembic_version").fetchone()
        return revision, row_counts(plain), plain.execute("PRAGMA foreign_key_check").fetchall()


def test_rebuilding_the_tables_that_history_hangs_on_loses_no_row(
    closed: Path, tmp_path: Path, clock: FixedClock
) -> None:
    """Alembic's batch mode drops the old table; with foreign keys on that would delete history."""
    _revision, before, _links = _state(closed)

    upgrade_file(closed, clock, _scripts(tmp_path, REBUILD))

    assert before["completion"] == 20
    assert _state(closed) == ("0006", before, [])
    with closing(connect(closed, Access.READ)) as plain:
        assert plain.execute("SELECT colour FROM chore LIMIT 1").fetchone() == (None,)
        rebuilt = "SELECT sql FROM sqlite_master WHERE name = 'entry'"
        (text,) = plain.execute(rebuilt).fetchone()
    for kept in ("CHECK (litres BETWEEN", "STRICT", "AUTOINCREMENT", "REFERENCES chore"):
        assert kept in text


def test_a_verified_backup_stands_behind_an_upgrade(
    closed: Path, tmp_path: Path, clock: FixedClock
) -> None:
    """The backup is of the old schema and apart from the rolling ones."""
    upgrade_file(closed, clock, _scripts(tmp_path, REBUILD))

    (behind,) = backups.backups_of(closed)
    assert behind.reason == "before-upgrade"
    backups.refuse_changed(behind.path)
    assert _state(behind.path)[0] == HEAD


@pytest.mark.parametrize(
    ("body", "error"),
    [
        ("op.execute('UPDATE household SET name = 1'); raise RuntimeError('half way')", "half way"),
        ("op.execute('DELETE FROM completion WHERE place = 0')", "upgrade_lost_rows"),
        ("op.execute('DROP TABLE claim')", "upgrade_lost_rows"),
        ("op.execute(\"UPDATE chore SET tank = 'nowhere'\")", "damaged_file"),
    ],
)
def test_an_upgrade_that_goes_wrong_changes_nothing(
    closed: Path, tmp_path: Path, clock: FixedClock, body: str, error: str
) -> None:
    """An exception half way, lost rows and broken links all leave revision and rows as before."""
    before = _state(closed)

    with pytest.raises((RuntimeError, Surroundings), match=error):
        upgrade_file(closed, clock, _scripts(tmp_path, body))

    assert _state(closed) == before
    with closing(sqlite3.connect(closed)) as plain:
        assert plain.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert plain.execute("SELECT name FROM household").fetchone() == (full().name,)
