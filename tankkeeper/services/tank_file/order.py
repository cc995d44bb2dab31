"""The two orders of a log: by time, as a file shows it, and as it was written."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tankkeeper.core.logbook import Entry


@dataclass
class NotInOrder(Exception):
    """The row at `place` says it followed an entry that cannot stand before it."""

    place: int


def by_time(entries: Sequence[Entry]) -> tuple[list[Entry], dict[str, str]]:
    """Return the entries by time, and for each written late the id of the one before it.

    An entry is late when one written before it tells of a later moment.
    """
    written = sorted(entries, key=lambda entry: entry.seq)
    followed: dict[str, str] = {}
    newest: Entry | None = None
    before: Entry | None = None
    for entry in written:
        if newest is not None and before is not None and entry.at < newest.at:
            followed[entry.id] = before.id
        else:
            newest = entry
        before = entry
    return sorted(written, key=lambda entry: entry.at), followed


def written_order(ids: Sequence[str], followed: Mapping[int, str]) -> list[int]:
    """Return the places of a file's rows in the order of writing; undoes `by_time`.

    `followed` names for a place the id of the row it followed.
    """
    place_of = {one: place for place, one in enumerate(ids)}
    after: defaultdict[int, list[int]] = defaultdict(list)
    for late, one in followed.items():
        if one not in place_of:
            raise NotInOrder(late)
        after[place_of[one]].append(late)
    found: list[int] = []
    for place in range(len(ids)):
        if place in followed:
            continue
        waiting = [place]
        while waiting:
            reached = waiting.pop()
            found.append(reached)
            waiting.extend(reversed(after.get(reached, [])))
    if len(found) < len(ids):
        # What is left follows itself in a ring.
        placed = set(found)
        raise NotInOrder(next(late for late in followed if late not in placed))
    return found
