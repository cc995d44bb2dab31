"""Notes that are written down at a line of work, about its tank or the household."""

from __future__ import annotations

from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow
from tankkeeper.gui.session import Session


class Remarking:
    """Asks for a note about what is in hand, and keeps it."""

    def __init__(
        self, frame: Frame, session: Session, forms: FormOverPage, answers: LineAnswers
    ) -> None:
        self._frame = frame
        self._session = session
        self._forms = forms
        self._answers = answers

    def note(self, rows: list[ItemRow]) -> None:
        """Ask for a note about the tank of the first line."""
        from tankkeeper.gui.forms.note_form import NoteForm

        tank = rows[0].item.tank
        form = NoteForm(tank.name if tank is not None else HOUSEHOLD, self._frame)
        form.written.connect(
            lambda text: self._session.deeds.note(text, tank, self._answers.of_form("Note kept."))
        )
        self._forms.show(form)
