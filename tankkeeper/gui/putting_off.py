"""Turns that are put off to another day, or brought forward."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tankkeeper.core.turns import State
from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.going_on import GoingOn
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import ItemRow, item_row
from tankkeeper.gui.models.row_words import told_rows
from tankkeeper.gui.open_lines import OpenLines
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.services.calendar import next_to_move


class PuttingOff:
    """Asks for the day, and moves what is in hand to it."""

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

    def put_off(self, rows: list[ItemRow]) -> None:
        """Ask to which day lines are moved; where there is none it is told at once."""
        last = self._session.last
        if last is None:
            return
        going, sentence = self._that_can_move(rows, last)
        open_rows = self._lines.still_open(going)
        if not open_rows:
            return
        from tankkeeper.gui.forms.put_off_form import (
            PutOffForm,
            day_choices,
            standing_words,
            why_nowhere,
        )
        from tankkeeper.reports.window_words import past_window

        choices = day_choices(open_rows, last.state, last.sheet.words)
        if all(choice.refusal for choice in choices):
            # Told at the line in hand, which may be a later one than that which cannot move.
            self._answers.refused.emit(rows[0].id, why_nowhere(open_rows, choices))
            return
        sentence = sentence or standing_words(open_rows, last.state, last.sheet.words)
        state, words = last.state, last.sheet.words

        def past(day: date) -> str:
            # Of several lines each has a window of its own.
            one = open_rows[0].item
            return past_window(state, one, day, words) if len(open_rows) == 1 else ""

        form = PutOffForm(open_rows, choices, self._frame, sentence, past)
        form.chosen.connect(lambda to: self._move(open_rows, to))
        self._forms.show(form)

    def _that_can_move(self, rows: list[ItemRow], last: Shown) -> tuple[list[ItemRow], str]:
        """Return the next turn in place of a later one, that cannot be moved, and say so."""
        item = rows[0].item
        if len(rows) > 1 or item.state is not State.PROJECTED or self._lines.can_act(rows[0]):
            return rows, ""
        movable = next_to_move(last.state, item)
        if movable is None or movable.open is None:
            return rows, ""
        day = last.sheet.words.weekday_and_number(max(movable.open.target, last.state.moment.day))
        from tankkeeper.reports.window_words import only_the_next

        return [item_row(movable, last.sheet.words)], only_the_next(item.chore, day)

    def _move(self, rows: list[ItemRow], to: date) -> None:
        last = self._session.last
        assert last is not None
        from tankkeeper.reports.window_words import day_words, moved_word
        from tankkeeper.services.moving import stands_there

        day = last.sheet.words.weekday_and_number(to)
        going = [row for row in rows if not stands_there(row.item, to)] or rows
        moved = moved_word([row.item for row in going], to)
        answer = self._answers.of_form(f"{moved} {told_rows(going)} to {day}.")
        if len(going) == 1:
            more = day_words(last.state, going[0].item, to, last.sheet.words)
            # It is so only as long as the turn stands there: an undo does not say it again.
            answer = replace(answer, moved=lambda: more)
        ids = [row.id for row in going]
        # What was brought back to today is to be done now.
        self._going_on.after_deed(steps=to > last.state.moment.day)
        self._session.deeds.put_off(ids, to, answer)
