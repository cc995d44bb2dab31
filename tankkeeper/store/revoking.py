"""What an undo or a correction does to older entries: which hold, and which turns they claim.

An entry is void while at least one entry that itself holds revokes or replaces it; `void` keeps
all such pairs. Effects run from newer entries to older ones only, so going through them from the
newest to the oldest settles each entry once.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from typing import Any

from sqlalchemy import Connection, bindparam

from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import Entry, Skip, Turn
from tankkeeper.store import queries
from tankkeeper.store.logbook import is_void, seq_of
from tankkeeper.store.redefinitions import follow
from tankkeeper.store.tables import claim, void

_SEQ: Any = bindparam("seq")
_ADD_VOID = void.insert()
_REMOVE_VOID = void.delete().where(void.c.entry == _SEQ, void.c.by_entry == bindparam("by"))
_FREE = claim.delete().where(claim.c.entry == _SEQ)
_TAKE = claim.insert()

Load = Callable[[int], Entry]


def claimed_turns(one: Entry) -> tuple[Turn, ...]:
    """Return the turns that only one valid entry may do or skip; extra work claims none."""
    skipped = (one.fact.turn,) if isinstance(one.fact, Skip) else ()
    return tuple(dict.fromkeys(turn for turn in (*one.completes, *skipped) if not turn.is_extra))


def take_back(connection: Connection, targets: Sequence[str], by: int, load: Load) -> bool:
    """Void `targets` by the new entry `by`, and settle what follows for the entries before.

    Returns whether what is set down of the household changed with them.
    """
    for target in targets:
        seq = seq_of(connection, target)
        if seq is None or seq == by:
            raise UserFault("no_such_entry", entry=target)
        if is_void(connection, seq):
            raise UserFault("already_taken_back", entry=target)
    covers = _targets(connection, by) if targets else []
    freed, held = _settle(connection, [(-seq, by, True) for seq in covers])
    _refuse_second_correction(connection, held, load)
    for seq in freed:
        connection.execute(_FREE, {"seq": seq})
    for seq in sorted(held):
        take_turns(connection, load(seq), load)
    return bool(targets) and follow(connection, freed, held)


def take_turns(connection: Connection, one: Entry, load: Load) -> None:
    """Claim the turns of `one`, or tell who holds one of them."""
    for turn in claimed_turns(one):
        slot = turn.slot.isoformat() if turn.slot is not None else ""
        at = {"chore": turn.chore, "key": turn.key, "slot": slot}
        holder = connection.exec_driver_sql(queries.SELECT_HOLDER_AT, at).scalar()
        if holder is not None:
            raise UserFault("already_done", turn=turn.id, holder=load(holder))
        row = {"chore": turn.chore, "turn_key": turn.key, "slot": slot}
        connection.execute(_TAKE, row | {"turn": turn.id, "entry": one.seq})


def _refuse_second_correction(connection: Connection, rose: Sequence[int], load: Load) -> None:
    """Refuse that an entry holds again in whose place another correction stands by now."""
    for seq in rose:
        holder = connection.exec_driver_sql(queries.SELECT_IN_ITS_PLACE, {"seq": seq}).scalar()
        if holder is not None:
            raise UserFault("corrected_otherwise", holder=load(holder))


def _settle(
    connection: Connection, changes: list[tuple[int, int, bool]]
) -> tuple[list[int], list[int]]:
    """Carry out changes to `void`; return the entries that fell and those that rose by it."""
    heapq.heapify(changes)
    fell: list[int] = []
    rose: list[int] = []
    while changes:
        seq = -changes[0][0]
        was_void = is_void(connection, seq)
        while changes and changes[0][0] == -seq:
            _minus, by, covers = heapq.heappop(changes)
            if covers:
                connection.execute(_ADD_VOID, {"entry": seq, "by_entry": by})
            else:
                connection.execute(_REMOVE_VOID, {"seq": seq, "by": by})
        falls = is_void(connection, seq)
        if falls == was_void:
            continue
        (fell if falls else rose).append(seq)
        for target in _targets(connection, seq):
            heapq.heappush(changes, (-target, seq, not falls))
    return fell, rose


def _targets(connection: Connection, seq: int) -> list[int]:
    revoked, replaced = connection.exec_driver_sql(queries.SELECT_TARGETS, {"seq": seq}).one()
    found = [seq_of(connection, one) for one in (revoked, replaced) if one is not None]
    brought = () if revoked is None else _brought(connection, revoked)
    return list(dict.fromkeys(one for one in (*found, *brought) if one is not None))


def _brought(connection: Connection, entry_id: str) -> range:
    """Return where the rows stand that an import brought; none for all else."""
    row = connection.exec_driver_sql(queries.SELECT_BROUGHT, {"id": entry_id}).first()
    if row is None:
        return range(0)
    seq, kind = row
    return range(seq - int(kind.split(" ")[2]), seq)
