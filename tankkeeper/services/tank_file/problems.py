"""What is wrong with a tank file, each problem with its place."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from itertools import islice
from typing import Any

from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass

Path = tuple[str | int, ...]

MOST_PROBLEMS = 200
LONGEST_SHOWN = 80
# Likeness is slow to work out; a household has fewer names of one kind than this.
MOST_COMPARED = 300


@dataclass(frozen=True, slots=True)
class Problem:
    """One problem: its line from 1, its place such as "chores[3].rhythm" (the third), and why.

    `of` is the name that stands in the file for what the place is in, empty where it has none.
    """

    line: int | None
    place: str
    code: str
    values: dict[str, object]
    of: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """A problem before its line is known."""

    path: Path
    code: str
    values: dict[str, object]


class TooManyProblems(Exception):
    """Reading stops: the rest would tell nothing new and could take for ever."""


class Findings:
    """Collects what is found while a file is read."""

    def __init__(self) -> None:
        self.all: list[Finding] = []

    def add(self, path: Path, code: str, **values: object) -> None:
        """Write down one problem."""
        shown = {name: _short(value) for name, value in values.items()}
        self.all.append(Finding(path, code, shown))
        if len(self.all) >= MOST_PROBLEMS:
            raise TooManyProblems

    def add_fault(self, path: Path, fault: UserFault) -> None:
        """Write down what a type of the core refuses."""
        self.add(path, fault.code, **fault.values)

    def __len__(self) -> int:
        return len(self.all)


def place_of(path: Path) -> str:
    """Return a path as people write it; rows are counted from 1.

    >>> place_of(("chores", 2, "rhythm"))
    'chores[3].rhythm'
    """
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step[:LONGEST_SHOWN]}"
    return text.removeprefix(".")


def name_at(tables: Mapping[str, Any], path: Path) -> str:
    """Return the name of the row that a path leads into, empty where it leads to the name."""
    if len(path) < 2 or path[-1] == "name" or not isinstance(path[1], int):
        return ""
    rows = tables.get(str(path[0]))
    row = rows[path[1]] if isinstance(rows, list) and path[1] < len(rows) else None
    name = row.get("name") if isinstance(row, dict) else None
    return str(_short(name.strip())) if isinstance(name, str) else ""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word nearest to `word`, or None when none is like it."""
    if len(word) > LONGEST_SHOWN:
        return None
    by_small = {one.casefold(): one for one in islice(known, MOST_COMPARED)}
    found = difflib.get_close_matches(word.casefold(), list(by_small), n=1, cutoff=0.5)
    return by_small[found[0]] if found else None


def _short(value: object) -> object:
    """Return `value`, cut when it is text too long to show."""
    if isinstance(value, str) and len(value) > LONGEST_SHOWN:
        return value[: LONGEST_SHOWN - 1] + "…"
    if isinstance(value, int) and abs(value) > 10**30:
        return "a number of more than 30 digits"
    return value
