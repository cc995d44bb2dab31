"""The logbook as a table for a spreadsheet: comma-separated values."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import datetime

from tankkeeper.core.ids import moment_in
from tankkeeper.core.logbook import Revoke
from tankkeeper.reports.log_words import found_text, kind_words, taken_back_by
from tankkeeper.reports.logbook_words import CORRECTED, revoked_word
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
        kind_words(found, words),
        words.tank_name(entry.tank) or "",
        plain(found_text(found, words)),
        words.person(entry.by) or "",
        _fate(found, words),
        entry.id,
    )


def _fate(found: FoundEntry, words: Words) -> str:
    """Return what became of an entry, by the day: a table is read on other days, too."""
    by = found.revoked_by
    if by is None:
        return ""
    if isinstance(by.fact, Revoke):
        who = f" by {words.person(by.by)}" if by.by is not None else ""
        what = revoked_word(found.entry, taken_back_by(found))
        return f"{what}{who}, {_stamp(by.at, words)}"
    made = moment_in(by.id)
    return CORRECTED if made is None else f"{CORRECTED}, {_stamp(made, words)}"


def _stamp(at: datetime, words: Words) -> str:
    return f"{at.astimezone(words.moment.zone):%Y-%m-%d %H:%M}"


def _safe(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_FORMULA) else cell
