"""The definitions of a household, read whole from their tables."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from sqlalchemy import Connection

from tankkeeper.core.household import Household
from tankkeeper.store import queries
from tankkeeper.store.layout import (
    ANIMAL,
    CHORE,
    CLIMATE,
    CONTAINER,
    EQUIPMENT,
    HOUSEHOLD,
    OWN_RANGE,
    PERSON,
    ROOM,
    SALT_MIX,
    SHEETS,
    SUPPLY,
    TANK,
    WATER_SUPPLY,
)
from tankkeeper.store.sheets import Sheet

T = TypeVar("T")
_SELECTS: Mapping[str, str] = {sheet.name: queries.rows_of(sheet) for sheet in (HOUSEHOLD, *SHEETS)}


def read_household(connection: Connection) -> Household:
    """Return all definitions."""
    climate = _by_outer(connection, CLIMATE)
    ranges = _by_outer(connection, OWN_RANGE)
    own = connection.exec_driver_sql(queries.SELECT_HOUSEHOLD).one()
    return HOUSEHOLD.decoder()(
        own,
        people=_all(connection, PERSON),
        rooms=_all(connection, ROOM, climate=climate),
        containers=_all(connection, CONTAINER),
        water_supply=next(iter(_all(connection, WATER_SUPPLY)), None),
        salt_mix=next(iter(_all(connection, SALT_MIX)), None),
        tanks=_all(connection, TANK, ranges=ranges),
        chores=_all(connection, CHORE),
        equipment=_all(connection, EQUIPMENT),
        animals=_all(connection, ANIMAL),
        supplies=_all(connection, SUPPLY),
    )


def rows_of(connection: Connection, sheet: Sheet[Any]) -> Sequence[Any]:
    """Return the rows of a sheet in their order."""
    return connection.exec_driver_sql(_SELECTS[sheet.name]).all()


def _all(
    connection: Connection, sheet: Sheet[T], **inner: Mapping[str, Sequence[Any]]
) -> tuple[T, ...]:
    """Return the values of a sheet; `inner` are attributes kept elsewhere, by the id of each."""
    decode, id_at = sheet.decoder(), sheet.key_positions[0]
    return tuple(
        decode(row, **{name: tuple(by_id.get(row[id_at], ())) for name, by_id in inner.items()})
        for row in rows_of(connection, sheet)
    )


def _by_outer(connection: Connection, sheet: Sheet[T]) -> dict[str, list[T]]:
    """Return the values of a sheet by their outer key."""
    decode, found = sheet.decoder(), defaultdict(list)
    for row in rows_of(connection, sheet):
        found[row[0]].append(decode(row))
    return found
