"""The logbook as a table for a spreadsheet: comma-separated values."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from tankkeeper.core.logbook import Revoke
from tankkeeper.reports.log_words import fate_words, found_text, kind_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.words import Words
from tankkeeper.services.log_search import FoundEntry

HEADS = ("Day", "Time", "Kind", "Tank", "What", "Who", "What became of it", "Id")
# A spreadsheet takes a cell that begins so for a formula and would work it out.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_lines(rows: Iterable[FoundEntry], words: Words, *, heads: bool = False) -> str:
    """Return entries as lines, as they are shown: struck ones too, with what became of them."""
    text = io.StringIO()
    writer = csv.writer(text)
    if heads:
        writer.writerow(HEADS)
    writer.writerows([_safe(cell) for cell in _cells(one, words)] for one in rows)
    return text.getvalue()


def _cells(found: FoundEntry, words: Words) -> tuple[str, ...]:
    entry = found.entry
    return (
        entry.day.isoformat(),
        words.clock(entry.at),
        kind_words(entry),
        words.tank_name(entry.tank) or "",
        plain(found_text(found, words)),
        words.person(entry.by) or "",
        _fate(found, words),
        entry.id,
    )


def _fate(found: FoundEntry, words: Words) -> str:
    """Return what became of an entry, by the day: a table is read on other days, too."""
    by = found.revoked_by
    if by is None or not isinstance(by.fact, Revoke):
        return fate_words(found, words)
    who = f" by {words.person(by.by)}" if by.by is not None else ""
    return f"taken back{who}, {by.day.isoformat()} {words.clock(by.at)}"


def _safe(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_FORMULA) else cell
