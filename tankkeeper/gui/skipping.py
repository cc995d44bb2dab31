"""Turns that are left out, with a reason or without."""

from __future__ import annotations

from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.going_on import GoingOn
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.models.row_words import told_rows
from tankkeeper.gui.open_lines import OpenLines
from tankkeeper.gui.session import Session


class Skipping:
    """Leaves out what is in hand, at once or once a form has asked why."""

    def __init__(
        self,
        frame: Frame,
        session: Session,
        forms: FormOverPage,
        answers: LineAnswers,
        lines: OpenLines,
        going_on: GoingOn,
    ) -> None:
        self._frame = frame
        self._session = session
        self._forms = forms
        self._answers = answers
        self._lines = lines
        self._going_on = going_on

    def skip(self, rows: list[ItemRow]) -> None:
        """Leave out the lines that are still open."""
        open_rows = self._lines.still_open(rows)
        if open_rows:
            self._going_on.after_deed()
            ids = [row.id for row in open_rows]
            answer = self._answers.of_line(f"Skipped {told_rows(open_rows)}.", open_rows[0])
            self._session.deeds.skip(ids, "", answer)

    def ask_why(self, rows: list[ItemRow]) -> None:
        """Ask why the lines that are still open are left out."""
        open_rows = self._lines.still_open(rows)
        if not open_rows:
            return
        from tankkeeper.gui.forms.skip_form import SkipForm

        form = SkipForm(told_rows(open_rows), self._frame)
        form.written.connect(lambda why: self._skip_because(why, open_rows))
        self._forms.show(form)

    def _skip_because(self, why: str, rows: list[ItemRow]) -> None:
        self._going_on.after_deed()
        answer = self._answers.of_form(f"Skipped {told_rows(rows)}.")
        self._session.deeds.skip([row.id for row in rows], why.strip(), answer)
