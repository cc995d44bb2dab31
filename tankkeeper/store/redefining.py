"""Makes the tables of the definitions say what a household says, by what differs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table, and_, bindparam

from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Animal, Equipment, Household
from tankkeeper.store import queries
from tankkeeper.store.definitions import rows_of
from tankkeeper.store.layout import CHORE, CLIMATE, HOUSEHOLD, OWN_RANGE, SHEETS, TANK
from tankkeeper.store.sheets import Row, Sheet
from tankkeeper.store.tables import TABLES

_IN_LOG = {"tank": queries.SELECT_TANK_IN_LOG, "chore": queries.SELECT_CHORE_IN_LOG}


def write_household(connection: Connection, household: Household) -> None:
    """Make the tables say what `household` says, touching only rows that differ."""
    _check_references(household)
    wanted = _encode_all(household)
    for sheet in SHEETS:
        _refuse_twice(sheet, wanted[sheet.name])
    present = {sheet.name: _keyed(sheet, rows_of(connection, sheet)) for sheet in SHEETS}
    _refuse_loss_of_history(connection, present, wanted)
    for sheet in SHEETS:
        _add_and_change(connection, sheet, present[sheet.name], wanted[sheet.name])
    for sheet in reversed(SHEETS):
        kept = _keyed(sheet, wanted[sheet.name])
        gone = [key for key in present[sheet.name] if key not in kept]
        _remove(connection, sheet, gone)


def household_row(household: Household) -> dict[str, Any]:
    """Return the columns of the household's own row."""
    names = [field.name for field in HOUSEHOLD.columns]
    return dict(zip(names, HOUSEHOLD.encode(household, 0), strict=True))


def _encode_all(household: Household) -> dict[str, list[Row]]:
    """Return the rows of every sheet."""
    flat: dict[str, Sequence[Any]] = {
        "person": household.people,
        "room": household.rooms,
        "container": household.containers,
        "water_supply": _none_or_one(household.water_supply),
        "salt_mix": _none_or_one(household.salt_mix),
        "tank": household.tanks,
        "equipment": household.equipment,
        "animal": household.animals,
        "supply": household.supplies,
        "chore": household.chores,
    }
    rows = {
        sheet.name: [sheet.encode(one, place) for place, one in enumerate(flat[sheet.name])]
        for sheet in SHEETS
        if sheet.name in flat
    }
    rows["climate"] = [
        CLIMATE.encode(one, place, (room.id,))
        for room in household.rooms
        for place, one in enumerate(room.climate)
    ]
    rows["own_range"] = [
        OWN_RANGE.encode(one, place, (tank.id,))
        for tank in household.tanks
        for place, one in enumerate(tank.ranges)
    ]
    return rows


def _none_or_one(value: Any) -> tuple[Any, ...]:
    return () if value is None else (value,)


def _check_references(household: Household) -> None:
    """Refuse a tank or room that is named somewhere but not defined."""
    tanks = {tank.id for tank in household.tanks}
    rooms = {room.id for room in household.rooms}
    owners: tuple[Chore | Equipment | Animal, ...] = (
        *household.chores,
        *household.equipment,
        *household.animals,
    )
    for owner in owners:
        if owner.tank is not None and owner.tank not in tanks:
            raise UserFault("no_such_tank", tank=owner.tank, of=owner.name)
    for tank in household.tanks:
        if tank.room is not None and tank.room not in rooms:
            raise UserFault("no_such_room", room=tank.room, of=tank.name)


def _keyed(sheet: Sheet[Any], rows: Iterable[Sequence[Any]]) -> dict[Row, Row]:
    positions = sheet.key_positions
    return {tuple(row[at] for at in positions): tuple(row) for row in rows}


def _refuse_twice(sheet: Sheet[Any], rows: Sequence[Row]) -> None:
    seen: set[Row] = set()
    for key in (tuple(row[at] for at in sheet.key_positions) for row in rows):
        if key in seen:
            raise UserFault("same_id_twice", what=sheet.name, id=key[-1])
        seen.add(key)


def _refuse_loss_of_history(
    connection: Connection,
    present: Mapping[str, Mapping[Row, Row]],
    wanted: Mapping[str, Sequence[Row]],
) -> None:
    for sheet in (TANK, CHORE):
        kept = _keyed(sheet, wanted[sheet.name])
        name_at = [field.name for field in sheet.columns].index("name")
        for key, row in present[sheet.name].items():
            if key in kept or not _is_in_log(connection, sheet, key[0]):
                continue
            raise UserFault("has_history", what=sheet.name, id=key[0], name=row[name_at])


def _add_and_change(
    connection: Connection, sheet: Sheet[Any], present: Mapping[Row, Row], wanted: Sequence[Row]
) -> None:
    names = [field.name for field in sheet.columns]
    keys = [names[at] for at in sheet.key_positions]
    added, changed = [], []
    for key, row in _keyed(sheet, wanted).items():
        if key not in present:
            added.append(dict(zip(names, row, strict=True)))
        elif present[key] != row:
            changed.append({f"_{name}": value for name, value in zip(names, row, strict=True)})
    table = TABLES[sheet.name]
    if added:
        connection.execute(table.insert(), added)
    if changed:
        values: dict[str, Any] = {name: bindparam(f"_{name}") for name in names if name not in keys}
        connection.execute(table.update().where(_same_key(table, keys)).values(values), changed)


def _remove(connection: Connection, sheet: Sheet[Any], gone: Sequence[Row]) -> None:
    if not gone:
        return
    table = TABLES[sheet.name]
    keys = [sheet.columns[at].name for at in sheet.key_positions]
    rows = [{f"_{name}": value for name, value in zip(keys, key, strict=True)} for key in gone]
    connection.execute(table.delete().where(_same_key(table, keys)), rows)


def _same_key(table: Table, keys: Sequence[str]) -> Any:
    return and_(*(table.c[name] == bindparam(f"_{name}") for name in keys))


def _is_in_log(connection: Connection, sheet: Sheet[Any], key: str) -> bool:
    return bool(connection.exec_driver_sql(_IN_LOG[sheet.name], {"id": key}).scalar())
