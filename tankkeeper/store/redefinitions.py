"""Changes of what is set down: kept with their entry, taken back and done again with it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection

from tankkeeper.core.errors import UserFault
from tankkeeper.store import queries
from tankkeeper.store.definitions import rows_of
from tankkeeper.store.layout import HOUSEHOLD, SHEETS
from tankkeeper.store.redefining import RowChange, carry_out, keyed
from tankkeeper.store.sheets import Row, Sheet
from tankkeeper.store.tables import household, redefinition

_SHEETS: Mapping[str, Sheet[Any]] = {sheet.name: sheet for sheet in (HOUSEHOLD, *SHEETS)}
_KEEP = redefinition.insert()
COUNT_UP = household.update().values(definitions_version=household.c.definitions_version + 1)
Stored = dict[str, Any]


def keep(connection: Connection, seq: int, changes: Sequence[RowChange]) -> None:
    """Write down which rows the entry at this place of the log changed, and how."""
    rows = [
        {
            "entry": seq,
            "place": place,
            "sheet": one.sheet,
            "was": _text(one.sheet, one.was),
            "became": _text(one.sheet, one.became),
        }
        for place, one in enumerate(changes)
    ]
    if rows:
        connection.execute(_KEEP, rows)


def follow(connection: Connection, fell: Iterable[int], rose: Iterable[int]) -> bool:
    """Take back what fell, the newest first, and do again what rose; tell whether anything was.

    Raises UserFault "changed_since" where a row is not as the change had left it.
    """
    falling = list(_kept(connection, fell).values())
    rising = list(_kept(connection, rose).values())
    for changes in reversed(falling):
        _apply(connection, [(sheet, became, was) for sheet, was, became in changes])
    for changes in rising:
        _apply(connection, changes)
    if falling or rising:
        connection.execute(COUNT_UP)
    return bool(falling or rising)


def _text(sheet: str, row: Row | None) -> str | None:
    """Return a row by the names of its columns, so that later columns leave it readable."""
    if row is None:
        return None
    names = (field.name for field in _SHEETS[sheet].columns)
    return json.dumps(dict(zip(names, row, strict=True)), ensure_ascii=False, allow_nan=False)


_Step = tuple[str, Stored | None, Stored | None]


def _kept(connection: Connection, seqs: Iterable[int]) -> dict[int, list[_Step]]:
    """Return what entries changed, by their place in the log, the oldest first."""
    found: dict[int, list[_Step]] = {}
    wanted = {"seqs": json.dumps(list(seqs))}
    for seq, sheet, was, became in connection.exec_driver_sql(queries.SELECT_REDEFINITIONS, wanted):
        step = (sheet, _stored(was), _stored(became))
        found.setdefault(seq, []).append(step)
    return found


def _stored(text: str | None) -> Stored | None:
    if text is None:
        return None
    found: Stored = json.loads(text)
    return found


def _apply(connection: Connection, steps: Sequence[_Step]) -> None:
    present = {
        name: keyed(_SHEETS[name], rows_of(connection, _SHEETS[name]))
        for name in dict.fromkeys(sheet for sheet, _was, _becomes in steps)
    }
    changes = [_change(_SHEETS[name], present[name], was, to) for name, was, to in steps]
    carry_out(connection, changes)


def _change(
    sheet: Sheet[Any], present: Mapping[Row, Row], was: Stored | None, to: Stored | None
) -> RowChange:
    names = [field.name for field in sheet.columns]
    named = was if was is not None else to
    assert named is not None
    now = present.get(tuple(named[names[at]] for at in sheet.key_positions))
    plain = None if now is None else dict(zip(names, now, strict=True))
    if not _is_as_left(plain, was):
        raise UserFault("changed_since", what=sheet.name, name=_name(named))
    # What is younger than the change is not known there; that a part is there is never unknown.
    absent = {part.presence().name: 0 for part in sheet.parts if part.optional}
    becomes = None if to is None else absent | (plain or {}) | to
    row = None if becomes is None else tuple(becomes.get(name) for name in names)
    return RowChange(sheet.name, now, row)


def _is_as_left(plain: Stored | None, left: Stored | None) -> bool:
    """Tell whether a row is as a change left it; later columns are none of its business."""
    if left is None or plain is None:
        return left is plain
    return left.items() <= plain.items()


def _name(stored: Stored) -> str:
    return str(stored.get("name") or stored.get("id") or "")
