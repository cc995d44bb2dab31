"""Makes the tables of the definitions say what a household says, by what differs."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table, and_, bindparam

from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Animal, Equipment, Household
from tankkeeper.core.values import dataclass
from tankkeeper.store import queries
from tankkeeper.store.definitions import rows_of
from tankkeeper.store.layout import CHORE, CLIMATE, HOUSEHOLD, OWN_RANGE, SHEETS, TANK
from tankkeeper.store.sheets import Row, Sheet
from tankkeeper.store.tables import TABLES, withdrawn
from tankkeeper.store.tables import household as household_table

_IN_LOG = {"tank": queries.SELECT_TANK_IN_LOG, "chore": queries.SELECT_CHORE_IN_LOG}
_IN_USE = {"tank": queries.SELECT_TANK_IN_USE, "chore": queries.SELECT_CHORE_IN_USE}
# What a tank or chore that was withdrawn must not hold on to, since that may go as well.
_LINKS = {"tank": "room", "chore": "tank"}
_ALL_SHEETS = (HOUSEHOLD, *SHEETS)
_ALL_TABLES = {**TABLES, HOUSEHOLD.name: household_table}
ADDING = withdrawn.insert()
TAKING_UP = withdrawn.delete().where(
    withdrawn.c.sheet == bindparam("_sheet"), withdrawn.c.id == bindparam("_id")
)


@dataclass(frozen=True, slots=True)
class RowChange:
    """One row of a sheet before and after a change; None where there was or is none."""

    sheet: str
    was: Row | None
    became: Row | None

    def turned(self) -> RowChange:
        """Return the change that takes this one back."""
        return RowChange(self.sheet, self.became, self.was)


def write_household(connection: Connection, household: Household) -> list[RowChange]:
    """Make the tables say what `household` says, touching only rows that differ.

    Returns what differed.
    """
    _check_references(household)
    wanted = _encode_all(household)
    for sheet in SHEETS:
        _refuse_twice(sheet, wanted[sheet.name])
    present = {sheet.name: keyed(sheet, rows_of(connection, sheet)) for sheet in _ALL_SHEETS}
    _refuse_loss_of_history(connection, present, wanted)
    changes: list[RowChange] = []
    for sheet in _ALL_SHEETS:
        was, becomes = present[sheet.name], keyed(sheet, wanted[sheet.name])
        for key in dict.fromkeys((*was, *becomes)):
            if was.get(key) != becomes.get(key):
                changes.append(RowChange(sheet.name, was.get(key), becomes.get(key)))
    carry_out(connection, changes)
    return changes


def carry_out(connection: Connection, changes: Sequence[RowChange]) -> None:
    """Change the rows of the tables, parents before children and removals the other way."""
    gone_before = {tuple(row) for row in connection.exec_driver_sql(queries.SELECT_WITHDRAWN)}
    for sheet in _ALL_SHEETS:
        own = [one for one in changes if one.sheet == sheet.name and one.became is not None]
        _add_and_change(connection, sheet, own, gone_before)
    for sheet in reversed(SHEETS):
        gone = [one.was for one in changes if one.sheet == sheet.name and one.became is None]
        _remove(connection, sheet, [row for row in gone if row is not None])


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
    rows[HOUSEHOLD.name] = [HOUSEHOLD.encode(household, 0)]
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


def keyed(sheet: Sheet[Any], rows: Iterable[Sequence[Any]]) -> dict[Row, Row]:
    """Return rows by their key."""
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
        kept = keyed(sheet, wanted[sheet.name])
        for key, row in present[sheet.name].items():
            if key not in kept and _is_in_log(connection, sheet, key[0]):
                raise has_history(sheet, row)


def _add_and_change(
    connection: Connection,
    sheet: Sheet[Any],
    changes: Sequence[RowChange],
    gone_before: Container[Row],
) -> None:
    names = [field.name for field in sheet.columns]
    keys = [names[at] for at in sheet.key_positions]
    added, changed, taken_up = [], [], []
    for one in changes:
        assert one.became is not None
        key = one.became[sheet.key_positions[0]]
        is_withdrawn = sheet.name in queries.WITHDRAWABLE and (sheet.name, key) in gone_before
        if is_withdrawn:
            taken_up.append({"_sheet": sheet.name, "_id": key})
        if one.was is None and not is_withdrawn:
            added.append(dict(zip(names, one.became, strict=True)))
        else:
            row = zip(names, one.became, strict=True)
            changed.append({f"_{name}": value for name, value in row})
    table = _ALL_TABLES[sheet.name]
    if added:
        connection.execute(table.insert(), added)
    if changed:
        values: dict[str, Any] = {name: bindparam(f"_{name}") for name in names if name not in keys}
        connection.execute(table.update().where(_same_key(table, keys)).values(values), changed)
    if taken_up:
        connection.execute(TAKING_UP, taken_up)


def _remove(connection: Connection, sheet: Sheet[Any], gone: Sequence[Row]) -> None:
    """Remove rows; one that rows of the log name is only withdrawn, if none of these holds."""
    table = TABLES[sheet.name]
    keys = [sheet.columns[at].name for at in sheet.key_positions]
    doomed = []
    for row in gone:
        if sheet.name in queries.WITHDRAWABLE and _is_in_log(connection, sheet, _id(sheet, row)):
            _withdraw(connection, sheet, row)
        else:
            values = (row[at] for at in sheet.key_positions)
            doomed.append({f"_{name}": value for name, value in zip(keys, values, strict=True)})
    if doomed:
        connection.execute(table.delete().where(_same_key(table, keys)), doomed)


def _withdraw(connection: Connection, sheet: Sheet[Any], row: Row) -> None:
    one_id, table = _id(sheet, row), TABLES[sheet.name]
    if connection.exec_driver_sql(_IN_USE[sheet.name], {"id": one_id}).scalar():
        raise has_history(sheet, row)
    connection.execute(ADDING, {"sheet": sheet.name, "id": one_id})
    link = {_LINKS[sheet.name]: None}
    connection.execute(table.update().where(table.c.id == one_id).values(link))


def _id(sheet: Sheet[Any], row: Row) -> str:
    return str(row[sheet.key_positions[0]])


def has_history(sheet: Sheet[Any], row: Row) -> UserFault:
    """Return the fault for a tank or chore that cannot go, because the log tells of it."""
    name_at = [field.name for field in sheet.columns].index("name")
    return UserFault("has_history", what=sheet.name, id=_id(sheet, row), name=row[name_at])


def _same_key(table: Table, keys: Sequence[str]) -> Any:
    return and_(*(table.c[name] == bindparam(f"_{name}") for name in keys))


def _is_in_log(connection: Connection, sheet: Sheet[Any], key: str) -> bool:
    return bool(connection.exec_driver_sql(_IN_LOG[sheet.name], {"id": key}).scalar())
