"""The forms of a log entry in a tank file, and the facts of the logbook they stand for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta

from tankkeeper.core.chores import Chore
from tankkeeper.core.logbook import (
    AFTER,
    FIRST,
    Fact,
    Note,
    Pause,
    PauseMode,
    PutOff,
    Resume,
    Revoke,
    Shift,
    Skip,
    Turn,
)
from tankkeeper.core.values import dataclass
from tankkeeper.services.tank_file.log_facts import FACTS, natural_fact
from tankkeeper.services.tank_file.naming import ChoreNames, Names
from tankkeeper.services.tank_file.table import YEARS_AHEAD, Table

# Forms that tell what was done to the water or the cupboard; they may stand beside `done`.
FACT_FORMS = tuple(FACTS)
# Forms that speak about a turn, a pause or another entry; they stand alone.
LONE_FORMS = ("skipped", "put_off", "shifted", "paused", "resumed", "revokes")
FORMS = ("done", *FACT_FORMS, *LONE_FORMS, "note")
NO_FACT, NOTE_FACT = "none", "note"


@dataclass(frozen=True, slots=True)
class Scope:
    """What an entry may name, and the tank and day it belongs to."""

    chores: ChoreNames
    supplies: Names
    tank: str | None
    day: date | None


@dataclass(frozen=True, slots=True)
class Deed:
    """What an entry says was done."""

    completes: tuple[Turn, ...]
    fact: Fact | None
    note: str


def read_deed(row: Table, scope: Scope) -> Deed | None:
    """Return what an entry tells, in whichever form."""
    lone = [form for form in LONE_FORMS if form in row.raw]
    facts = [form for form in FACT_FORMS if form in row.raw]
    told = [*lone, *facts] + (["done"] if lone and "done" in row.raw else [])
    if len(told) > 1:
        row.fault(told[1], "two_forms", forms=tuple(told))
        row.know(row.raw)
        return None
    note = row.text("note") or ""
    if lone:
        return _lone(row, scope, lone[0], note)
    chores = _chores(row, scope, "done")
    if chores is None:
        # Which keys belong to a chore that is not known cannot be told.
        row.know(row.raw)
        return None
    completes = _turns(row, scope, chores)
    if facts:
        return Deed(completes, FACTS[facts[0]](row, scope.supplies), note)
    override = _override(row)
    if override is not None:
        return Deed(completes, Note() if override == NOTE_FACT else None, note)
    if chores:
        return Deed(completes, natural_fact(row, chores[0].kind), note)
    if "note" in row.raw:
        return Deed((), Note(), note)
    row.know(FORMS)
    row.fault(None, "no_form", forms=FORMS)
    return None


def _override(row: Table) -> str | None:
    """Return what `fact` says where the usual fact of a chore does not hold."""
    word = row.name("fact")
    if word is not None and word not in (NO_FACT, NOTE_FACT):
        row.refuse_choice("fact", word, (NO_FACT, NOTE_FACT))
        return None
    return word


# chores and turns


def _chores(row: Table, scope: Scope, key: str) -> list[Chore] | None:
    """Return the chores that one name or a list of names means, None when one is not known."""
    value = row.take(key)
    if value is None:
        return []
    words = row.names(key) if isinstance(value, list) else (row.name(key),)
    found: list[Chore] = []
    for word in words:
        chore = None if word is None else scope.chores.find(word, scope.tank)
        if chore is not None:
            found.append(chore)
        elif word is not None:
            scope.chores.refuse(row, key, word, scope.tank)
    if not words:
        row.fault(key, "empty_name")
    return found if words and len(found) == len(words) else None


def _chore(row: Table, scope: Scope, key: str) -> str | None:
    """Return the id of the chore named by `key`."""
    word = row.name(key)
    if word is None:
        return None
    chore = scope.chores.find(word, scope.tank)
    if chore is None:
        scope.chores.refuse(row, key, word, scope.tank)
        return None
    return chore.id


def _turns(row: Table, scope: Scope, chores: list[Chore]) -> tuple[Turn, ...]:
    """Return which turns were done; one `for`, or one for each chore in the list."""
    given = row.take("for")
    if given is None:
        return tuple(Turn(chore.id) for chore in chores)
    if not isinstance(given, list):
        inner = row.inner("for")
        tables = [] if inner is None else [inner]
    else:
        tables = list(row.rows("for"))
    if len(tables) != len(chores):
        if row.is_sound:
            row.fault("for", "turns_do_not_match", turns=len(tables), chores=len(chores))
        for table in tables:
            table.know(table.raw)
        return ()
    return tuple(
        _turn(table, chore.id, scope.day) for table, chore in zip(tables, chores, strict=True)
    )


def _turn(table: Table, chore: str, day: date | None) -> Turn:
    """Return the turn that `for` names: by date, after an entry, the first, or by its key."""
    on = table.day("date", _last_planned(table, day))
    after = table.name("after", 100)
    is_first = table.flag("first")
    key = table.name("key", 110)
    slot = table.clock("slot")
    given = [name for name in ("date", "after", "first", "key") if name in table.raw]
    if len(given) > 1:
        table.fault(given[1], "two_forms", forms=tuple(given))
    table.close()
    if on is not None:
        key = on.isoformat()
    elif after is not None:
        key = f"{AFTER}{after}"
    elif is_first:
        key = FIRST
    return Turn(chore, key or "", slot)


def _last_planned(table: Table, day: date | None) -> date:
    """Return the last day an entry may plan for, seen from its own day."""
    if day is None:
        return table.frame.last_planned
    return day + timedelta(days=366 * YEARS_AHEAD)


# forms that stand alone


def _lone(row: Table, scope: Scope, form: str, note: str) -> Deed | None:
    if form == "skipped":
        if "why" in row.raw and "note" in row.raw:
            row.fault("why", "two_forms", forms=("why", "note"))
        note = row.text("why") or note
    fact = _LONE[form](row, scope)
    return None if fact is None else Deed((), fact, note)


def _one_turn(row: Table, scope: Scope, form: str) -> Turn | None:
    chore = _chore(row, scope, form)
    inner = row.inner("for")
    if chore is None:
        if inner is not None:
            inner.know(inner.raw)
        return None
    return Turn(chore) if inner is None else _turn(inner, chore, scope.day)


def _skipped(row: Table, scope: Scope) -> Fact | None:
    turn = _one_turn(row, scope, "skipped")
    counts_from = row.day("counts_from", _last_planned(row, scope.day))
    return None if turn is None else Skip(turn, counts_from)


def _put_off(row: Table, scope: Scope) -> Fact | None:
    turn, to = _one_turn(row, scope, "put_off"), _to(row, scope)
    stood_on = row.day("from", _last_planned(row, scope.day))
    return None if turn is None or to is None else PutOff(turn, to, stood_on)


def _shifted(row: Table, scope: Scope) -> Fact | None:
    turn, to = _one_turn(row, scope, "shifted"), _to(row, scope)
    return None if turn is None or to is None else Shift(turn, to)


def _to(row: Table, scope: Scope) -> date | None:
    row.require("to")
    return row.day("to", _last_planned(row, scope.day))


def _paused(row: Table, scope: Scope) -> Fact | None:
    table = row.inner("paused")
    if table is None:
        return None
    mode = table.choice("mode", PauseMode) or PauseMode.HOLD
    chore = _chore(table, scope, "chore")
    until = table.day("until", _last_planned(row, scope.day))
    return table.build(lambda: Pause(mode, chore, until))


def _resumed(row: Table, scope: Scope) -> Fact | None:
    table = row.inner("resumed")
    if table is None:
        return None
    chore = _chore(table, scope, "chore")
    return table.build(lambda: Resume(chore))


def _revokes(row: Table, _scope: Scope) -> Fact | None:
    entry = row.name("revokes", 100)
    return None if entry is None else Revoke(entry)


_LONE: Mapping[str, Callable[[Table, Scope], Fact | None]] = {
    "skipped": _skipped,
    "put_off": _put_off,
    "shifted": _shifted,
    "paused": _paused,
    "resumed": _resumed,
    "revokes": _revokes,
}
