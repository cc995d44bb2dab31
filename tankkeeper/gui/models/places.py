"""Where the lines of a round stand: a line keeps its place until the day ends."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date

from tankkeeper.gui.models.round_rows import HeadingRow, ItemRow, RoundRow

_Key = tuple[str, object, int]


class Places:
    """Remembers in which order the lines of each group were shown today.

    The round is sorted by urgency, and what the water decides has lost its urgency once it is
    done; without this such a line would leave its place when it is ticked.
    """

    def __init__(self) -> None:
        self._day: date | None = None
        self._order: dict[str, dict[_Key, int]] = {}

    def settled(self, rows: Sequence[RoundRow], day: date) -> list[RoundRow]:
        """Return the rows with those that were shown today in their old order."""
        if day != self._day:
            self._day, self._order = day, {}
        found: list[RoundRow] = []
        for heading, lines in _groups(rows):
            name = f"{heading.name} {heading.room}" if heading is not None else ""
            found += [heading] if heading is not None else []
            found += self._in_place(name, lines)
        return found

    def _in_place(self, name: str, lines: list[ItemRow]) -> list[ItemRow]:
        known = self._order.get(name, {})
        ranked, last = [], -1
        for number, (key, line) in enumerate(zip(_keys(lines), lines, strict=True)):
            is_new = key not in known
            last = last if is_new else known[key]
            ranked.append(((last, is_new, number), key, line))
        ranked.sort(key=lambda one: one[0])
        self._order[name] = {key: at for at, (_, key, _) in enumerate(ranked)}
        return [line for _, _, line in ranked]


def _keys(lines: Sequence[ItemRow]) -> list[_Key]:
    """Return for each line its chore and slot, told apart by number where they come twice."""
    seen: Counter[tuple[str, object]] = Counter()
    keys: list[_Key] = []
    for line in lines:
        one = (line.item.chore.id, line.item.turn.slot)
        keys.append((*one, seen[one]))
        seen[one] += 1
    return keys


def _groups(rows: Sequence[RoundRow]) -> list[tuple[HeadingRow | None, list[ItemRow]]]:
    groups: list[tuple[HeadingRow | None, list[ItemRow]]] = []
    for row in rows:
        if isinstance(row, HeadingRow):
            groups.append((row, []))
        elif groups:
            groups[-1][1].append(row)
        else:
            groups.append((None, [row]))
    return groups
