"""The line at the foot: backup, household and what comes next, or what was just said."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

from PySide6.QtCore import QObject, QTimer

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session

TOLD_MS = 10_000
# A choice: ten letters a second are read slowly.
_LETTER_MS = 100
# So `word_begun` tells what became of the letter of a command, which stands in quotes before it.
_OF_A_WORD = " began a word to find"


class FootLine(QObject):
    """Fills the bottom line of the frame."""

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        # What is told before the next work of the round: its words, None for nothing.
        self.sooner: Callable[[Shown], str | None] = lambda _shown: None
        self._told = ""
        self._fade = QTimer(self)
        self._fade.setSingleShot(True)
        self._fade.setInterval(TOLD_MS)
        self._fade.timeout.connect(self._on_fade)
        # On another page nothing is left of the lines at which the letter was pressed.
        frame.stack.currentChanged.connect(self._forget_word)

    def tell(self, sentence: str) -> None:
        """Tell something for some seconds."""
        self._told = sentence
        self._fade.start(max(TOLD_MS, _LETTER_MS * len(sentence)))
        self.show_newest()

    def tell_more(self, sentence: str) -> None:
        """Tell something behind what was just said."""
        self.tell(f"{self._told} {sentence}".strip())

    def begin_search(self, text: str) -> None:
        """Tell no more what came of the first letter of another search; `text` is looked for now.

        One that begins with two letters is told of itself, before it or behind it.
        """
        is_own = len(text) > 1 and self._told[1:2].lower() == text[0].lower()
        if not is_own:
            self._forget_word()

    def _forget_word(self) -> None:
        if _OF_A_WORD in self._told:
            self._fade.stop()
            self._on_fade()

    def end(self) -> None:
        """Stop waiting for those seconds."""
        self._fade.stop()

    def show_reading(self, shown: Shown) -> None:
        """Show what a reading gives; what was just said has the whole line."""
        if self._told:
            self._frame.bottom.set_texts("", self._told, "")
            return
        words, at = shown.sheet.words, shown.last_backup_at
        backup = "No backup yet" if at is None else f"Backed up {words.at(at)}"
        if at is None and not self._session.backs_up:
            backup = "Kept without backups"
        if shown.is_read_only:
            backup = "Can only be read here"
        where = f"{PurePath(shown.where).name} on this computer"
        coming = self.sooner(shown) or shown.sheet.following
        self._frame.bottom.set_texts(backup, where, coming)

    def show_newest(self) -> None:
        """Show what the last reading gives."""
        if self._session.last is not None:
            self.show_reading(self._session.last)

    def _on_fade(self) -> None:
        self._told = ""
        self.show_newest()
