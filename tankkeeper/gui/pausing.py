"""Chores and tanks that are paused until a day, and go on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.household import Tank
from tankkeeper.core.turns import State
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.models.row_words import told_rows
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.faults import fault_words

if TYPE_CHECKING:
    from tankkeeper.gui.work_page import WorkPage

READ_ONLY = "This household can only be read here. Nothing was kept."
PAUSE_TANK = "Pause a tank"
_NO_TANK = (
    "The whole house is chosen here. Choose a tank with Up and Down to pause it, or go to a chore "
    "in the list to pause that alone."
)


class Pausing:
    """Pauses what is in hand, or lets it go on."""

    def __init__(
        self,
        frame: Frame,
        session: Session,
        page: Callable[[], WorkPage],
        forms: FormOverPage,
        answers: LineAnswers,
    ) -> None:
        self._frame = frame
        self._session = session
        self._page = page
        self._forms = forms
        self._answers = answers

    def pause(self, rows: list[ItemRow]) -> None:
        """Ask until when a chore is paused, or its tank; let one go on that is."""
        row, last = rows[0], self._session.last
        if last is None:
            return
        if len(rows) > 1:
            told = f"{len(rows)} chores are selected. Choose one, or pause its whole tank from it."
            self._answers.refused.emit(row.id, told)
            return
        if row.item.state is State.PAUSED or self._rests(row):
            self._resume(row)
            return
        from tankkeeper.gui.forms.pause_form import PauseForm

        form = PauseForm(row, row.item.tank, last.sheet.words, self._frame)
        form.chosen.connect(lambda is_tank, until: self._keep(row, until, is_tank=is_tank))
        self._forms.show(form)

    def pause_tank(self, tank_id: str | None) -> None:
        """Ask until when a tank is paused, or let one go on that is."""
        last = self._session.last
        if last is None:
            return
        tank = last.state.household.tank(tank_id) if tank_id is not None else None
        if last.is_read_only or tank is None:
            told = READ_ONLY if last.is_read_only else _NO_TANK
            self._answers.refused_apart.emit(PAUSE_TANK, told)
            return
        if last.state.pause_of(tank) is not None:
            self._session.deeds.resume_tank(
                tank, Answer(f"{tank.name} goes on.", self._refuse_apart)
            )
            return
        from tankkeeper.gui.forms.pause_form import PauseForm

        form = PauseForm(None, tank, last.sheet.words, self._frame)
        form.chosen.connect(lambda _is_tank, until: self._keep_tank(tank, until))
        self._forms.show(form, returns_to=self._frame.rail)

    def _rests(self, row: ItemRow) -> bool:
        """Tell whether the chore of a line that was done today is paused since."""
        last = self._session.last
        if last is None or not row.is_closed:
            return False
        return any(
            one.paused is not None for one in last.state.chores if one.chore.id == row.item.chore.id
        )

    def _keep(self, row: ItemRow, until: date | None, *, is_tank: bool) -> None:
        item = row.item
        if is_tank and item.tank is not None:
            self._keep_tank(item.tank, until)
            return
        answer = self._answer(told_rows([row]), until, is_tank=False)
        self._page().step_on()
        self._session.deeds.pause_chore(item.chore.id, until, answer)

    def _keep_tank(self, tank: Tank, until: date | None) -> None:
        self._session.deeds.pause_tank(tank, until, self._answer(tank.name, until, is_tank=True))

    def _answer(self, what: str, until: date | None, *, is_tank: bool) -> Answer:
        """Return the answer of the form: what was paused, until when, and what lets it go on."""
        from tankkeeper.reports.pause_words import goes_on_by, paused_told

        last = self._session.last
        assert last is not None
        answer = self._answers.of_form(paused_told(what, until, last.sheet.words))
        key = key_caption(Command.PAUSE)
        return replace(answer, moved=lambda: goes_on_by(key, is_tank=is_tank))

    def _refuse_apart(self, error: TankkeeperError) -> None:
        last = self._session.last
        words = last.sheet.words if last is not None else None
        self._answers.refused_apart.emit(PAUSE_TANK, fault_words(error, words))

    def _resume(self, row: ItemRow) -> None:
        """End the pause that the row is in: its tank's if the tank rests, else its own."""
        item, last = row.item, self._session.last
        assert last is not None
        if item.tank is not None and last.state.pause_of(item.tank) is not None:
            answer = self._answers.of_line(f"{item.tank.name} goes on.", row)
            self._session.deeds.resume_tank(item.tank, answer)
        else:
            answer = self._answers.of_line(f"{row.name} goes on.", row)
            self._session.deeds.resume_chore(item.chore.id, answer)
