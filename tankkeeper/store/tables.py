"""The tables that keep the layout; loaded only when something is made, written or migrated."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
)
from sqlalchemy import (
    text as sql_text,
)
from sqlalchemy.dialects.sqlite import REAL

from tankkeeper.store.columns import Field, Kind
from tankkeeper.store.layout import (
    COMPLETION_FIELDS,
    ENTRY_FIELDS,
    HOUSEHOLD,
    IS_CHANGE,
    IS_MOVE,
    IS_PAUSE,
    IS_UNDO,
    IS_WATER,
    READING_FIELDS,
    SHEETS,
)
from tankkeeper.store.sheets import Sheet

METADATA = MetaData()
_SQL_TYPES: dict[Kind, Any] = {
    Kind.TEXT: Text,
    Kind.INTEGER: Integer,
    Kind.REAL: Double().with_variant(REAL(), "sqlite"),
}


def _column(field: Field) -> Column[Any]:
    extra: list[Any] = []
    if field.refers_to is not None:
        extra.append(ForeignKey(field.refers_to))
    if field.check:
        # A rebuilt table keeps only the checks that have a name.
        extra.append(CheckConstraint(field.check, name=f"{field.name}_check"))
    return Column(
        field.name, _SQL_TYPES[field.kind], *extra, nullable=field.optional and not field.key,
        primary_key=field.key, autoincrement=False,
    )  # fmt: skip


def _columns(fields: Iterable[Field]) -> list[Column[Any]]:
    return [_column(field) for field in fields]


def _table(sheet: Sheet[Any]) -> Table:
    """Return the strict table of a sheet."""
    return Table(sheet.name, METADATA, *_columns(sheet.columns), sqlite_strict=True)


household = _table(HOUSEHOLD)
household.append_constraint(CheckConstraint("place = 0", name="one_row_check"))
household.append_column(
    Column(
        "definitions_version",
        Integer,
        CheckConstraint("definitions_version >= 0", name="definitions_version_check"),
        nullable=False,
    )
)
# A new word whenever the content is replaced by a backup: what was remembered of it is void then.
household.append_column(Column("lineage", Text, nullable=False))
household.append_column(Column("last_host", Text, nullable=False))

TABLES: dict[str, Table] = {sheet.name: _table(sheet) for sheet in SHEETS}

entry = Table(
    "entry",
    METADATA,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    *_columns(ENTRY_FIELDS),
    sqlite_autoincrement=True,
    sqlite_strict=True,
)
Index("entry_id", entry.c.id, unique=True)
Index("entry_at", entry.c.at)
Index("entry_day", entry.c.day)
Index("entry_tank", entry.c.tank)
Index("entry_chore", entry.c.chore)
Index("entry_water", entry.c.fact, sqlite_where=sql_text(IS_WATER))
Index("entry_pause", entry.c.fact, sqlite_where=sql_text(IS_PAUSE))
Index("entry_move", entry.c.chore, entry.c.day, sqlite_where=sql_text(IS_MOVE))
Index("entry_undo", entry.c.fact, sqlite_where=sql_text(IS_UNDO))
Index("entry_change", entry.c.fact, sqlite_where=sql_text(IS_CHANGE))

_ENTRY_SEQ = "entry.seq"
PLACE_CHECK = "place BETWEEN 0 AND 1000000"

reading = Table(
    "reading",
    METADATA,
    Column("entry", Integer, ForeignKey(_ENTRY_SEQ), nullable=False),
    Column("place", Integer, CheckConstraint(PLACE_CHECK, name="place_check"), nullable=False),
    *_columns(READING_FIELDS),
    PrimaryKeyConstraint("entry", "place"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
completion = Table(
    "completion",
    METADATA,
    Column("entry", Integer, ForeignKey(_ENTRY_SEQ), nullable=False),
    Column("place", Integer, CheckConstraint(PLACE_CHECK, name="place_check"), nullable=False),
    *_columns(COMPLETION_FIELDS),
    PrimaryKeyConstraint("entry", "place"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
Index("completion_latest", completion.c.chore, completion.c.day.desc())

# Derived from the log and kept in step by `revoking`; an undo may change both.
claim = Table(
    "claim",
    METADATA,
    Column("chore", Text, ForeignKey("chore.id"), nullable=False),
    Column("turn_key", Text, nullable=False),
    Column("slot", Text, nullable=False),
    Column("turn", Text, nullable=False),
    Column("entry", Integer, ForeignKey(_ENTRY_SEQ), nullable=False),
    PrimaryKeyConstraint("chore", "turn_key", "slot"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
Index("claim_turn", claim.c.turn)
Index("claim_entry", claim.c.entry)
void = Table(
    "void",
    METADATA,
    Column("entry", Integer, ForeignKey(_ENTRY_SEQ), nullable=False),
    Column("by_entry", Integer, ForeignKey(_ENTRY_SEQ), nullable=False),
    PrimaryKeyConstraint("entry", "by_entry"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
Index("void_by", void.c.by_entry)

# What was set down before and after a change, row by row as JSON; an undo puts it back.
redefinition = Table(
    "redefinition",
    METADATA,
    Column("entry", Integer, ForeignKey(_ENTRY_SEQ), nullable=False),
    Column("place", Integer, CheckConstraint(PLACE_CHECK, name="place_check"), nullable=False),
    Column("sheet", Text, nullable=False),
    Column("was", Text),
    Column("became", Text),
    PrimaryKeyConstraint("entry", "place"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
# Tanks and chores that an undo took away although rows of the log name them.
withdrawn = Table(
    "withdrawn",
    METADATA,
    Column("sheet", Text, nullable=False),
    Column("id", Text, nullable=False),
    PrimaryKeyConstraint("sheet", "id"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)

# As alembic itself makes it, so that a file looks the same whichever of the two made it.
alembic_version = Table(
    "alembic_version",
    METADATA,
    Column("version_num", String(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)
