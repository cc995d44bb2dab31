"""Writes the logbook into a table file, a stretch at a time, so that ticks go on between."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.log_reader import counted_entries
from tankkeeper.gui.models.log_rows import told_values
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.reports.logbook_csv import csv_lines
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_pages import log_page
from tankkeeper.services.log_search import LogSearch, Place

MOST = 1_000
# By this mark at its beginning a spreadsheet knows that the text is UTF-8.
MARK = "\ufeff"


class LogExport(QObject):
    """Writes beside the file and puts it in its place when it is whole.

    `finished` tells a sentence, `failed` why there is no file.
    """

    finished = Signal(str)
    failed = Signal(object)

    def __init__(self, session: Session, search: LogSearch, name: str, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._search = search
        self._target = Path(name)
        self._part = self._target.with_name(f".{self._target.name}.{secrets.token_hex(4)}.part")
        self._below: Place | None = None
        self._count = 0
        self._is_stopped = False

    def begin(self) -> None:
        """Write the first stretch."""
        self._session.read_with(self._write, self._on_written)

    def stop(self) -> None:
        """Write nothing more; there is no file then, and the worker takes its beginning away."""
        self._is_stopped = True
        self._part.unlink(missing_ok=True)

    def _write(self, desk: Desk, shown: Shown) -> object:
        """Write one stretch, in the worker; return why it could not be, or whether it was last."""
        try:
            return self._write_stretch(desk, shown)
        except (TankkeeperError, OSError) as failure:
            self._part.unlink(missing_ok=True)
            if isinstance(failure, TankkeeperError):
                return failure
            why = failure.strerror or "the disk failed"
            return UserFault("cannot_write_table", path=str(self._target), why=why)

    def _write_stretch(self, desk: Desk, shown: Shown) -> bool:
        told = told_values(self._search, shown.sheet.words)
        page = log_page(desk, self._search, self._below, MOST, told)
        words = Words(page.household, page.moment, shown.sheet.words.decimal_sign, page.gone)
        is_first, is_last = self._below is None, page.slice.reached is None
        text = csv_lines(page.slice.found, words, heads=is_first)
        with self._part.open("w" if is_first else "a", encoding="utf-8", newline="") as file:
            file.write(f"{MARK}{text}" if is_first else text)
            if is_last:
                file.flush()
                os.fsync(file.fileno())
        if self._is_stopped:
            self._part.unlink(missing_ok=True)
        elif is_last:
            self._part.replace(self._target)
        self._below = page.slice.reached
        self._count += len(page.slice.found)
        return is_last

    def _on_written(self, outcome: object) -> None:
        if self._is_stopped:
            return
        if isinstance(outcome, TankkeeperError):
            self.failed.emit(outcome)
        elif outcome:
            self.finished.emit(f"Wrote {counted_entries(self._count)} to {self._target.name}.")
        else:
            self.begin()
