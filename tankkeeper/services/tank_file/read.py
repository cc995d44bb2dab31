"""Reads a tank file: a whole household, or one tank to add to a household that is there."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TypeVar

from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import AFTER, PART, Entry, PutOff, Revoke, Shift, Skip, Turn
from tankkeeper.core.values import dataclass
from tankkeeper.services.tank_file.document import Document
from tankkeeper.services.tank_file.gather import Gathered, gather
from tankkeeper.services.tank_file.places import Places
from tankkeeper.services.tank_file.problems import (
    Findings,
    Problem,
    TooManyProblems,
    name_at,
    place_of,
)
from tankkeeper.services.tank_file.read_house import UNKNOWN_ZONE
from tankkeeper.services.tank_file.table import Frame, Table
from tankkeeper.services.watching import Watch, unwatched

T = TypeVar("T")

_RENAMED = uuid.UUID("0e0d6d0c-3d2b-55c1-8b8f-3a6a6e1f9d42")


@dataclass(frozen=True, slots=True)
class TankFile:
    """What a file holds; `is_whole` when it describes a household, not one tank of it."""

    household: Household
    entries: tuple[Entry, ...]
    is_whole: bool = True


@dataclass(frozen=True, slots=True)
class TankAddition:
    """A household with the tanks of a file added, and what of it is new."""

    household: Household
    tanks: tuple[Tank, ...]
    chores: tuple[Chore, ...]
    entries: tuple[Entry, ...]


def read_tank_file(
    text: str | Document,
    *,
    now: datetime,
    today: date,
    usual_zone: str = UNKNOWN_ZONE,
    watch: Watch = unwatched,
) -> TankFile:
    """Return the household and the log in `text`; `usual_zone` holds where it names no zone.

    Everything is checked before anything is returned. Raises UserFault "import_problems" with
    `problems`, a tuple of `Problem` in the order of the file.
    """
    found = _read(text, None, Frame(now, today, watch), usual_zone=usual_zone)
    return TankFile(found.household, found.entries, found.is_whole)


def read_tank_addition(
    text: str | Document,
    household: Household,
    *,
    now: datetime,
    today: date,
    taken_entries: Collection[str] = (),
    onto_empty: bool = False,
    watch: Watch = unwatched,
) -> TankAddition:
    """Return `household` with the tanks of the file `text` added.

    Rooms, people, supplies and household chores that `household` knows by name stay as they are
    there. A tank whose name is taken is refused. Entries whose id is in `taken_entries` get new
    ones, the same in every run. With `onto_empty` the file is a household that leaves its own
    table out, so it may bring containers and water as well. Raises UserFault "import_problems"
    like `read_tank_file`.
    """
    found = _read(text, household, Frame(now, today, watch), onto_empty=onto_empty)
    entries = _with_free_ids(found.entries, taken_entries)
    return TankAddition(found.household, found.new_tanks, found.new_chores, entries)


def is_tank_file(text: str | Document) -> bool:
    """Tell whether `text` holds one tank to be added, and no household of its own."""
    return "household" not in Document.of(text).tables


def _read(
    text: str | Document,
    base: Household | None,
    frame: Frame,
    *,
    onto_empty: bool = False,
    usual_zone: str = UNKNOWN_ZONE,
) -> Gathered:
    document = Document.of(text)
    findings = Findings()
    found: Gathered | None = None
    try:
        top = Table(document.tables, (), findings, frame)
        found = gather(top, base, onto_empty=onto_empty, usual_zone=usual_zone)
    except TooManyProblems:
        findings.all.append(replace(findings.all[-1], path=(), code="more_problems", values={}))
    if findings.all or found is None:
        raise _problems(document, findings)
    return found


def _problems(document: Document, findings: Findings) -> UserFault:
    """Return the fault with all problems, each with its line."""
    places = Places(document.text.removeprefix("\ufeff"))
    tables = document.tables
    problems = [
        Problem(
            places.line_of(one.path),
            place_of(one.path),
            one.code,
            one.values,
            name_at(tables, one.path),
        )
        for one in findings.all
    ]
    last = float("inf")
    problems.sort(key=lambda one: last if one.line is None else one.line)
    return UserFault("import_problems", problems=tuple(problems))


# ids of entries that a household has already


def _with_free_ids(entries: Sequence[Entry], taken: Collection[str]) -> tuple[Entry, ...]:
    """Return the entries with new ids for those that are taken, and every mention of them."""
    mine = {entry.id for entry in entries}
    new: dict[str, str] = {}
    for entry in entries:
        if entry.id in taken:
            new[entry.id] = _free_id(entry.id, taken, mine)
    return tuple(_renamed(entry, new) for entry in entries) if new else tuple(entries)


def _free_id(old: str, taken: Collection[str], mine: Iterable[str]) -> str:
    found = old
    while found in taken or found in mine:
        found = str(uuid.uuid5(_RENAMED, found))
    return found


def _renamed(entry: Entry, new: Mapping[str, str]) -> Entry:
    fact = entry.fact
    if isinstance(fact, Revoke):
        fact = Revoke(new.get(fact.entry, fact.entry))
    elif isinstance(fact, (Skip, PutOff, Shift)):
        fact = replace(fact, turn=_renamed_turn(fact.turn, new))
    replaced = entry.replaces
    return replace(
        entry,
        id=new.get(entry.id, entry.id),
        completes=tuple(_renamed_turn(turn, new) for turn in entry.completes),
        fact=fact,
        replaces=None if replaced is None else new.get(replaced, replaced),
    )


def _renamed_turn(turn: Turn, new: Mapping[str, str]) -> Turn:
    named = next((one for one in (AFTER, PART) if turn.key.startswith(one)), None)
    if named is None:
        return turn
    entry = turn.key.removeprefix(named)
    return replace(turn, key=f"{named}{new.get(entry, entry)}")
