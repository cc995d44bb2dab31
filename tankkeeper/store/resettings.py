"""What entries changed in tanks and chores, read as the values before and after."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection

from tankkeeper.services.log_search import Reset
from tankkeeper.store import queries
from tankkeeper.store.faults import Undecodable
from tankkeeper.store.layout import CHORE, OWN_RANGE, TANK
from tankkeeper.store.sheets import Sheet

_WHOLE: Mapping[str, Sheet[Any]] = {sheet.name: sheet for sheet in (TANK, CHORE)}
_Stored = dict[str, Any]


def resets_of(connection: Connection, seqs: Sequence[int]) -> dict[int, tuple[Reset, ...]]:
    """Return what entries changed, by their place in the log; what only came or went is none.

    Of own ranges these are the rows that differ, all of one entry together.
    """
    wanted = {"seqs": json.dumps(list(seqs))}
    whole: dict[int, list[Reset]] = {}
    ranges: dict[int, tuple[list[Any], list[Any]]] = {}
    for seq, sheet, was, became in connection.exec_driver_sql(queries.SELECT_REDEFINITIONS, wanted):
        pair = [None if text is None else json.loads(text) for text in (was, became)]
        if sheet == OWN_RANGE.name:
            for row, found in zip(pair, ranges.setdefault(seq, ([], [])), strict=True):
                found += _values(OWN_RANGE, [row])
        elif sheet in _WHOLE and None not in pair:
            values = _values(_WHOLE[sheet], pair)
            if len(values) == len(pair):
                whole.setdefault(seq, []).append(Reset(*values))
    for seq, (before, after) in ranges.items():
        whole.setdefault(seq, []).append(Reset(tuple(before), tuple(after)))
    return {seq: tuple(found) for seq, found in whole.items()}


def _values(sheet: Sheet[Any], rows: Sequence[_Stored | None]) -> list[Any]:
    """Return the values of rows; one of an older program that says too little is left out."""
    decode: Callable[..., Any] = sheet.decoder()
    names = [field.name for field in sheet.columns]
    found = []
    for row in rows:
        if row is None:
            continue
        try:
            found.append(decode([row.get(name) for name in names]))
        except (Undecodable, TypeError, ValueError, KeyError):
            continue
    return found
