"""What is told of a deed on lines of work: at its line, in its form, or at the foot."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.beside import WRITTEN_DOWN
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.going_on import GoingOn
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.faults import fault_words

if TYPE_CHECKING:
    from tankkeeper.gui.work_page import WorkPage


class LineAnswers(QObject):
    """Makes the answers of deeds, and tells what is refused without one.

    `refused` tells (row id, sentence), `refused_apart` (what was wished, sentence) where there is
    no row to tell it at. `told` tells a sentence about what was left.
    """

    refused = Signal(str, str)
    refused_apart = Signal(str, str)
    told = Signal(str)

    def __init__(
        self,
        session: Session,
        page: Callable[[], WorkPage],
        forms: FormOverPage,
        going_on: GoingOn,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._page = page
        self._forms = forms
        self._going_on = going_on

    def of_line(self, words: str, row: ItemRow, undone: str = "") -> Answer:
        """Return the answer of a deed without a form; a refusal is told in the why panel."""

        def refused(error: TankkeeperError) -> None:
            self._going_on.stay()
            self.refused.emit(row.id, self.worded(error))

        return Answer(words, refused, undone=undone)

    def of_form(self, words: str) -> Answer:
        """Return the answer of the open form; it stays open with a refusal, else it closes."""

        def refused(error: TankkeeperError) -> None:
            self._going_on.stay()
            if self._forms.form is not None:
                self._forms.form.refuse(self.worded(error))

        return Answer(words, refused, self._forms.close)

    def worded(self, error: TankkeeperError) -> str:
        """Return the sentence of a refusal, with the key of this page that leads on."""
        last = self._session.last
        if error.code == "before_window":
            is_logged = error.values.get("kind") in WRITTEN_DOWN
            how = key_caption(Command.WRITE_DOWN if is_logged else self._page().form_command)
            error = UserFault("before_window", **{**error.values, "how": how})
        return fault_words(error, last.sheet.words if last is not None else None)
