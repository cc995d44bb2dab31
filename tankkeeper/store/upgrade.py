"""Brings an older file up to this program's schema, with a verified backup behind it."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, create_engine
from sqlalchemy.pool import NullPool

from tankkeeper.core.errors import Surroundings
from tankkeeper.services.ports import Clock
from tankkeeper.store import backups
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.schema import USER_VERSION, VERSION_TABLE, row_counts

SCRIPTS = Path(__file__).with_name("migrations")


def upgrade_file(path: Path, clock: Clock, scripts: Path = SCRIPTS) -> None:
    """Bring the file `path` up to date, after a verified backup of it."""
    backups.back_up_before(path, backups.BEFORE_UPGRADE, clock.now())
    migrate(path, scripts)


def migrate(path: Path, scripts: Path = SCRIPTS, user_version: int = USER_VERSION) -> None:
    """Run the missing migrations in one transaction that must keep every row and every link."""
    engine = create_engine(
        "sqlite://", creator=lambda: connect(path, Access.WRITE), poolclass=NullPool
    )
    try:
        with engine.connect() as connection:
            driver = connection.connection.driver_connection
            if driver is None:
                raise RuntimeError("no connection to the file")
            # With foreign keys on, rebuilding a table would delete what refers to it; inside a
            # transaction the setting would be ignored.
            driver.execute("PRAGMA foreign_keys=OFF")
            # This engine sends no BEGIN of its own; the driver commits or rolls back ours.
            with connection.begin():
                driver.execute("BEGIN IMMEDIATE")
                before = row_counts(driver)
                _run(connection, scripts)
                _refuse_loss(path, before, row_counts(driver))
                backups.refuse_broken(driver, path)
                driver.execute(f"PRAGMA user_version={user_version}")
    finally:
        engine.dispose()


def script_directory(scripts: Path = SCRIPTS) -> ScriptDirectory:
    """Return the migrations that a folder holds."""
    return ScriptDirectory.from_config(_config(scripts))


def _config(scripts: Path) -> Config:
    config = Config()
    # The percent sign begins a reference in a configuration value.
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _run(connection: Connection, scripts: Path) -> None:
    config = _config(scripts)
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _refuse_loss(path: Path, before: dict[str, int], after: dict[str, int]) -> None:
    for table, rows in before.items():
        if table != VERSION_TABLE and after.get(table, 0) < rows:
            raise Surroundings("upgrade_lost_rows", path=str(path), table=table)
