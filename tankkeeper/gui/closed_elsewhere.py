"""Work that the first Space does not take back: closed under the keys elsewhere, or days ago."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta

from PySide6.QtCore import QEvent, QObject

from tankkeeper.core.logbook import Entry
from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.models.row_words import told_rows
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.words import Words

# A choice of this project: a key pressed this soon was meant for the line as it stood before.
JUST_S = 3.0

# Chore and slot.
_Place = tuple[str, object]
_TOUCHES = (QEvent.Type.KeyPress, QEvent.Type.MouseButtonPress)


class ClosedElsewhere(QObject):
    """Knows which lines closed under the eyes of a person without a deed of this window.

    `is_own` tells whether an entry was written by this window, `now` what the clock says.
    """

    def __init__(
        self, is_own: Callable[[str], bool], now: Callable[[], datetime], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._is_own = is_own
        self._now = now
        # Lines that were shown open, by chore and slot, however their turns are called by now.
        self._open: set[_Place] = set()
        # What closed lines that were shown already.
        self._known: set[str] = set()
        # When entries that closed such a line were shown, and those since which no key was pressed.
        self._shown_at: dict[str, datetime] = {}
        self._untouched: set[str] = set()
        self._told: set[str] = set()

    def watch(self, *parts: QObject) -> None:
        """Look at the keys and clicks that come to these lists.

        A key of a command never does: it comes to its action.
        """
        for part in parts:
            part.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        """Note that a person has gone on since what is shown came."""
        if self._untouched and event.type() in _TOUCHES:
            self.touch()
        return False

    def touch(self) -> None:
        """Take note that a person acts on what is shown now."""
        self._untouched.clear()

    def look(self, rows: Sequence[ItemRow]) -> None:
        """Take note of lines as they are shown now."""
        closed = [(_place(row), row.item.entry) for row in rows if row.is_closed]
        # Work beside the plan closes no line.
        still_open = {_place(row) for row in rows if not row.is_closed}
        for place, entry in closed:
            if entry is None or entry.id in self._known:
                continue
            self._known.add(entry.id)
            if place in self._open - still_open and not self._is_own(entry.id):
                self._shown_at[entry.id] = self._now()
                self._untouched.add(entry.id)
        self._open.difference_update(place for place, _ in closed)
        self._open |= still_open

    def asks_first(self, rows: Sequence[ItemRow], today: date) -> list[ItemRow]:
        """Return those of some lines that a key may not have been meant to take back.

        They are returned once: the next key is meant for them. On what was done on a day before
        today much rests by now.
        """
        entries = [(row, row.item.entry) for row in rows]
        found = [(row, one.id) for row, one in entries if one and self._asks(one, today)]
        self._told.update(entry for _, entry in found)
        return [row for row, _ in found]

    def _asks(self, one: Entry, today: date) -> bool:
        entry, at = one.id, self._shown_at.get(one.id)
        if entry in self._told:
            return False
        if at is None:
            return one.day < today
        is_just = abs(self._now() - at) < timedelta(seconds=JUST_S)
        return is_just or entry in self._untouched


def _place(row: ItemRow) -> _Place:
    return row.item.chore.id, row.item.turn.slot


def closed_words(rows: Sequence[ItemRow], words: Words, key: str) -> str:
    """Return who closed lines and when, and how they are taken back all the same."""
    more = len(rows) - 1
    told = _closed(rows[0], words, is_alone=not more)
    others = f" {more} more {'was' if more == 1 else 'were'} done, too." if more else ""
    return f"{told}{others} {key} again takes {'them' if more else 'it'} back."


def _closed(row: ItemRow, words: Words, *, is_alone: bool) -> str:
    entry = row.item.entry
    assert entry is not None
    what = "this" if is_alone else told_rows([row])
    verb = "skipped" if row.item.state is State.SKIPPED else "ticked"
    is_today = words.moment.day_of(entry.at) == words.today
    when = f"at {words.clock(entry.at)}" if is_today else words.at(entry.at)
    who = words.person(entry.by)
    if who is None:
        where = " elsewhere" if is_today else ""
        return f"{capital(what)} was {verb}{where} {when}."
    return f"{who} {verb} {what} {when}."
