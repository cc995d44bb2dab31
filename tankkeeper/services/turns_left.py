"""Which lines stay to be done although work was written down of them: it was of another turn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tankkeeper.core.chores import Calendar, IfMissed
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.turns import State
from tankkeeper.services.finding import find_item, items_of_chore, past_beside


def turns_left(
    after: HouseholdState, lines: Iterable[str], entries: Sequence[Entry]
) -> tuple[Item, ...]:
    """Return the turns that are still open, or still to come, once work was said of these lines.

    Each line is a turn or a chore by id, `after` the state with the entries. A part of the work
    tells by itself what is left of it.
    """
    return tuple({item.id: item for item in _left(after, lines, entries)}.values())


def _left(after: HouseholdState, lines: Iterable[str], entries: Sequence[Entry]) -> Iterator[Item]:
    turns = [turn for entry in entries for turn in entry.completes if not turn.is_extra]
    parts = {turn.chore for turn in turns if turn.is_part}
    done = {one for turn in turns for one in (turn.id, turn.chore)}
    for line in lines:
        if line.partition("@")[0] in parts:
            continue
        item = None if line in done else find_item(after, line)
        item = _heap(after, line) if item is None else past_beside(after, item)
        if item is not None and (item.is_open or item.state is State.PROJECTED):
            yield item


def _heap(after: HouseholdState, line: str) -> Item | None:
    """Return what is left open of a line that held missed turns, too, None for none.

    By the calendar it is called by the oldest of them, which goes once that day is done.
    """
    chore_id, _, key = line.partition("@")
    for item in items_of_chore(after, chore_id) if key else ():
        is_one = (
            isinstance(item.chore.rhythm, Calendar) and item.chore.if_missed is IfMissed.COLLAPSE
        )
        if is_one and item.is_open and _hour(item.id) == _hour(line):
            return item
    return None


def _hour(line: str) -> str:
    """Return the hour in the id of a turn, empty for none."""
    return line.partition("@")[2].partition("T")[2]
