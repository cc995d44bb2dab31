"""The schema: the same however it was made, strict, and unable to lose history."""

import ast
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Double, Integer, create_engine

import tankkeeper
from tankkeeper.app.clock import FixedClock
from tankkeeper.store import queries
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.layout import SHEETS
from tankkeeper.store.opening import create
from tankkeeper.store.places import make_private_file
from tankkeeper.store.schema import APPLICATION_ID, HEAD, REVISIONS, USER_VERSION
from tankkeeper.store.tables import METADATA
from tankkeeper.store.upgrade import migrate, script_directory
from tests.store.households import small


def _content(path: Path) -> dict[tuple[str, str], str]:
    """Return the text of every table and index, spaces apart."""
    with closing(connect(path, Access.READ)) as plain:
        rows = plain.execute("SELECT type, name, sql FROM sqlite_master").fetchall()
    return {
        (kind, name): "".join(sql.split())
        for kind, name, sql in rows
        if sql is not None and not name.startswith("sqlite_")
    }


def test_the_tables_and_the_migrations_make_the_same_file(
    path: Path, tmp_path: Path, clock: FixedClock
) -> None:
    """A new file, made without the migration library, is like one that went through every step."""
    create(path, small(), clock).close()
    migrated = tmp_path / "migrated.tankkeeper"
    make_private_file(migrated)

    migrate(migrated)

    assert _content(path) == _content(migrated)
    with closing(sqlite3.connect(migrated)) as plain:
        assert plain.execute("PRAGMA user_version").fetchone() == (USER_VERSION,)
        assert plain.execute("SELECT version_num FROM alembic_version").fetchall() == [(HEAD,)]


def test_the_list_of_revisions_is_that_of_the_scripts() -> None:
    """The revisions known without the migration library are those it finds, in their order."""
    found = [one.revision for one in script_directory().walk_revisions()]

    assert list(REVISIONS) == found[::-1]


def test_a_new_file_says_in_its_header_that_it_is_ours(store: FileStore, path: Path) -> None:
    """SQLite's documentation, Database File Format, section 1.3: offsets 60 and 68."""
    store.close()
    header = path.read_bytes()[:100]

    assert int.from_bytes(header[68:72], "big") == APPLICATION_ID
    assert int.from_bytes(header[60:64], "big") == USER_VERSION


@pytest.mark.parametrize("name", sorted(METADATA.tables))
def test_every_table_is_strict_and_every_number_checked(name: str) -> None:
    """SQLite takes text for a number and NaN for nothing unless it is told not to."""
    table = METADATA.tables[name]
    engine = create_engine("sqlite://")
    METADATA.create_all(engine)
    with engine.connect() as connection:
        text = connection.exec_driver_sql(
            "SELECT sql FROM sqlite_master WHERE name = ?", (name,)
        ).scalar_one()
    engine.dispose()

    # The library for migrations makes its own table, with one text in it.
    assert "STRICT" in text or name == "alembic_version"
    for column in table.columns:
        is_number = isinstance(column.type, (Double, Integer))
        if is_number and not column.foreign_keys and column.name != "seq":
            assert (
                f"{column.name} BETWEEN" in text
                or f"{column.name} IN (0, 1)" in text
                or (f"{column.name} >= 0" in text)
            )


def test_what_is_read_is_what_the_tables_hold(store: FileStore) -> None:
    """The text of the statements and the declared tables name the same columns in one order."""
    with store._reader.connect() as connection:
        for sheet in SHEETS:
            found = connection.exec_driver_sql(queries.rows_of(sheet)).keys()
            assert list(found) == list(METADATA.tables[sheet.name].columns.keys())
        own = list(connection.exec_driver_sql(queries.SELECT_HOUSEHOLD).keys())
        values = {"seq": 0, "seqs": "[]"}
        one = list(connection.exec_driver_sql(queries.SELECT_BY_SEQ, values).keys())
        readings = list(connection.exec_driver_sql(queries.SELECT_READINGS, values).keys())

    not_in_core = ["definitions_version", "lineage", "last_host"]
    assert [*own, *not_in_core] == list(METADATA.tables["household"].columns.keys())
    turn = ["chore", "turn_key", "slot"]
    seq, *of_entry = METADATA.tables["entry"].columns.keys()
    assert one == [seq, *turn, *of_entry]
    whole = list(METADATA.tables["reading"].columns.keys())
    assert readings == [name for name in whole if name != "place"]


def test_reading_declares_no_table(path: Path, clock: FixedClock) -> None:
    """Opening and reading a household loads neither the tables nor what writes them."""
    create(path, small(), clock).close()
    read = f"""
import sys
from pathlib import Path
from tankkeeper.app.clock import SystemClock
from tankkeeper.store.opening import open_household
store = open_household(Path({str(path)!r}), SystemClock())
with store.reading() as reading:
    reading.household(), reading.history()
store.close()
print(*sorted(name for name in sys.modules if name.startswith("tankkeeper.store.")))
"""
    done = subprocess.run([sys.executable, "-c", read], capture_output=True, text=True, check=True)

    loaded = set(done.stdout.split())
    writing = {"tables", "writing", "redefining", "revoking", "founding", "upgrade"}
    assert "tankkeeper.store.queries" in loaded
    assert loaded & {f"tankkeeper.store.{name}" for name in writing} == set()


def test_history_is_not_removed_by_a_foreign_key() -> None:
    """No foreign key does anything but refuse."""
    actions = {
        (key.ondelete, key.onupdate)
        for table in METADATA.tables.values()
        for key in table.foreign_keys
    }

    assert actions == {(None, None)}


def test_the_file_refuses_what_the_program_would(store: FileStore, path: Path) -> None:
    """The last line stands in the file: text in a number, a number out of range, an orphan."""
    with closing(connect(path, Access.WRITE)) as plain:
        for statement in (
            "UPDATE household SET first_weekday = 'monday'",
            "UPDATE household SET first_weekday = 7",
            "UPDATE tank SET target_salinity = 9e999",
            "UPDATE chore SET tank = 'nowhere'",
            "INSERT INTO household SELECT 1, name, zone, day_begins, round_at, first_weekday,"
            " currency, units_volume, units_temperature, units_salinity, units_alkalinity,"
            " 1, '', '' FROM household",
        ):
            with pytest.raises(sqlite3.IntegrityError):
                plain.execute(statement)


def test_the_migration_library_is_loaded_only_when_it_is_needed() -> None:
    """No module of the program but the one that upgrades imports it at its head."""
    package = Path(tankkeeper.__file__).parent
    importing = {
        module.relative_to(package).as_posix()
        for module in package.rglob("*.py")
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8")))
        if (isinstance(node, ast.ImportFrom) and (node.module or "").startswith("alembic"))
        or (isinstance(node, ast.Import) and any(n.name.startswith("alembic") for n in node.names))
    }

    assert importing == {
        "store/upgrade.py",
        "store/migrations/env.py",
        "store/migrations/versions/0001_first.py",
        "store/migrations/versions/0002_not_known.py",
        "store/migrations/versions/0003_redefinitions.py",
        "store/migrations/versions/0004_heat_and_flow.py",
        "store/migrations/versions/0005_losses.py",
    }
