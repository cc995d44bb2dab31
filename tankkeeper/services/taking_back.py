"""Undo and redo: taking back an entry by adding another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field

from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import Entry, Revoke
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.log_search import is_clearing
from tankkeeper.services.ports import LoggedEntry, LogQuery, Reading, Writing
from tankkeeper.services.ticking import new_entry

# Fewer letters of an id are more likely a slip than a name.
SHORTEST_BEGINNING = 4


@dataclass(frozen=True, slots=True)
class TakenBack:
    """The entry that holds no longer (or again), and the row that says so.

    `taken_back` holds by id what the row took back, and what that had taken back in turn.
    """

    target: Entry
    entry: Entry
    taken_back: Mapping[str, Entry] = field(default_factory=dict)


def undo(desk: Desk, entry_id: str | None = None, by: str | None = None) -> TakenBack:
    """Take back the newest entry that still holds, or the one named by its id.

    The id may be cut short where no other entry begins like it. Of a correction that replaced
    another one, that holds again.
    """
    with desk.store.writing() as writing:
        target = writing.newest_standing() if entry_id is None else _named(writing, entry_id)
        if target is None:
            raise UserFault("nothing_to_undo")
        state = desk.state_in(writing)
        done = _revoke(desk, writing, state, target, by)
        cleared = _clearing(writing, target)
        more = [_revoke(desk, writing, state, one.entry, by) for one in cleared if not one.revoked]
    desk.tell(Change((done.entry, *(one.entry for one in more))))
    return done


def redo(desk: Desk, by: str | None = None) -> TakenBack:
    """Take back the newest undo, so that what it took back holds again."""
    with desk.store.writing() as writing:
        target = writing.newest_undo()
        if target is None:
            raise UserFault("nothing_to_redo")
        state = desk.state_in(writing)
        try:
            # First, so that what was corrected gives way to what is to hold again.
            more = [
                _revoke(desk, writing, state, one, by) for one in _undone_beside(writing, target)
            ]
            done = _revoke(desk, writing, state, target, by)
        except UserFault as held:
            if held.code not in ("already_done", "corrected_otherwise"):
                raise
            raise UserFault("redo_is_held", at=target.at, **held.values) from held
    desk.tell(Change((*(one.entry for one in more), done.entry)))
    return done


def _clearing(reading: Reading, correction: Entry) -> tuple[LoggedEntry, ...]:
    """Return the undo that cleared the place of a correction, none where nothing was there."""
    if correction.replaces is None:
        return ()
    before = reading.entries(LogQuery(before_seq=correction.seq, limit=1))
    for one in before:
        if isinstance(one.entry.fact, Revoke):
            taken = reading.entry(one.entry.fact.entry)
            if taken is not None and is_clearing(one.entry, taken.entry, correction):
                return (one,)
    return ()


def _undone_beside(reading: Reading, undo: Entry) -> tuple[Entry, ...]:
    """Return the undo of what had cleared the place of a correction, taken back with it."""
    assert isinstance(undo.fact, Revoke)
    taken = reading.entry(undo.fact.entry)
    cleared = () if taken is None else _clearing(reading, taken.entry)
    behind = reading.entries(LogQuery(before_seq=undo.seq + 2, limit=1))
    return tuple(
        one.entry
        for one in behind
        for clearing in cleared
        if one.entry.fact == Revoke(clearing.entry.id) and not one.revoked
    )


def _named(writing: Writing, entry_id: str) -> Entry:
    logged = writing.entry(_whole_id(writing, entry_id))
    if logged is None:
        raise UserFault("no_such_entry", entry=entry_id)
    if logged.revoked:
        raise UserFault("already_taken_back", entry=entry_id)
    return logged.entry


def _whole_id(reading: Reading, typed: str) -> str:
    """Return the id that was typed, or the only one that begins with what was typed."""
    if len(typed) < SHORTEST_BEGINNING or reading.entry(typed) is not None:
        return typed
    found = reading.entry_ids(typed)
    if len(found) > 1:
        raise UserFault("ambiguous_entry", entry=typed, count=len(found))
    return found[0] if found else typed


def _revoke(
    desk: Desk, writing: Writing, state: HouseholdState, target: Entry, by: str | None
) -> TakenBack:
    now = state.moment.now
    row = new_entry(desk, state, None, now, by, (), Revoke(target.id), tank=target.tank)
    return TakenBack(target, writing.add(row), taken_back_by(writing, target))


def taken_back_by(reading: Reading, target: Entry) -> dict[str, Entry]:
    """Return by id an entry that was taken back, and where it is an undo, what that took back."""
    found = {target.id: target}
    while isinstance(target.fact, Revoke):
        logged = reading.entry(target.fact.entry)
        if logged is None:
            break
        target = logged.entry
        found[target.id] = target
    return found


def take_back_all(desk: Desk, entry_ids: Sequence[str], by: str | None = None) -> tuple[Entry, ...]:
    """Take back several entries, all or none, and return the rows that say so.

    Taking back such rows again (they are undos) makes the entries hold again.
    """
    with desk.store.writing() as writing:
        targets = [_named(writing, entry_id) for entry_id in reversed(entry_ids)]
        state = desk.state_in(writing)
        rows = tuple(_revoke(desk, writing, state, target, by).entry for target in targets)
    desk.tell(Change(rows))
    return rows
