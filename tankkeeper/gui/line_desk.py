"""What the keys on a row come to: ticks, forms, skips, put-offs, pauses, notes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import QObject

from tankkeeper.gui.closed_elsewhere import ClosedElsewhere
from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.going_on import GoingOn
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.open_lines import OpenLines
from tankkeeper.gui.pausing import READ_ONLY, Pausing
from tankkeeper.gui.putting_off import PuttingOff
from tankkeeper.gui.remarking import Remarking
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.skipping import Skipping
from tankkeeper.gui.tick_forms import TickForms
from tankkeeper.gui.ticking import Ticking
from tankkeeper.gui.work_page import WorkPage

# What opens a form over the page, so that what is typed behind it is meant for that.
_OPENING: Final = frozenset(
    one.value
    for one in (
        Command.TICK_FORM,
        Command.SKIP_WHY,
        Command.PUT_OFF,
        Command.PAUSE,
        Command.NOTE,
    )
)
# What opens one over some lines, which are not known before what is being written is shown.
_MAY_OPEN: Final = frozenset((Command.TICK.value,))


class LineDesk(QObject):
    """Does with the selected rows what a key says, each in its turn.

    `answers` tells what came of it, `forms` has the form that a key has opened, `going_on` where
    the keys go then, and `elsewhere` what closed under the keys without a deed of this window.
    """

    def __init__(self, frame: Frame, session: Session, page: WorkPage, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._page = page
        self.forms = FormOverPage(session.keys, self._page_here, self)
        self.going_on = GoingOn(self._page_here)
        self.answers = LineAnswers(session, self._page_here, self.forms, self.going_on, self)
        self.elsewhere = ClosedElsewhere(
            session.undoing.is_own, lambda: session.desk.clock.now(), self
        )
        session.behind.connect(self._on_behind)
        lines = OpenLines(session, self._page_here, self.answers)
        of_forms = frame, session, self.forms, self.answers
        in_forms = TickForms(
            frame, session, self._page_here, self.forms, self.answers, self.going_on
        )
        self._ticking = Ticking(
            session,
            self._page_here,
            self.answers,
            lines,
            in_forms,
            self.going_on,
            self.elsewhere,
        )
        self._pausing = Pausing(frame, session, self._page_here, self.forms, self.answers)
        putting_off = PuttingOff(*of_forms, lines, self.going_on)
        skipping = Skipping(*of_forms, lines, self.going_on)
        self._deeds: dict[str, Callable[[list[ItemRow]], None]] = {
            Command.TICK.value: self._ticking.tick,
            Command.TICK_FORM.value: self._ticking.tick_in_form,
            Command.TICK_YESTERDAY.value: self._ticking.tick_yesterday,
            Command.SKIP.value: skipping.skip,
            Command.SKIP_WHY.value: skipping.ask_why,
            Command.PUT_OFF.value: putting_off.put_off,
            Command.PAUSE.value: self._pausing.pause,
            Command.NOTE.value: Remarking(*of_forms).note,
        }

    def _page_here(self) -> WorkPage:
        return self._page

    def set_page(self, page: WorkPage) -> None:
        """Act on the lines of another page from now on."""
        self._page = page

    def do(self, command: str) -> None:
        """Do what the command says with the selected rows, after what is under way."""
        self._session.keys.key_in_turn(
            lambda: self._do(command, self._page.selected()),
            opens=command in _OPENING,
            may_open=command in _MAY_OPEN,
        )

    def do_with(self, command: str, row: ItemRow) -> None:
        """Do what the command says with a row that may have no line in the page."""
        opens = command in _OPENING
        self._session.keys.key_in_turn(lambda: self._do(command, [row]), opens=opens)

    def tick_row(self, row_id: str) -> None:
        """Tick the row whose mark was clicked, whatever is selected by then."""
        self._session.keys.key_in_turn(
            lambda: self._do(
                Command.TICK.value,
                [row for row in self._page.rows() if row.id == row_id],
            )
        )

    def _do(self, command: str, rows: list[ItemRow]) -> None:
        last, deed = self._session.last, self._deeds.get(command)
        if deed is None or not rows or last is None or self.forms.form is not None:
            return
        if last.is_read_only:
            self.answers.refused.emit(rows[0].id, READ_ONLY)
            return
        deed(rows)

    def pause_tank(self, tank_id: str | None) -> None:
        """Ask until when a tank is paused, or let one go on that is."""
        self._session.keys.key_in_turn(lambda: self._pause_tank(tank_id), opens=True)

    def _pause_tank(self, tank_id: str | None) -> None:
        if self.forms.form is None:
            self._pausing.pause_tank(tank_id)

    def writes_at_once(self, command: Command, rows: Sequence[ItemRow]) -> bool:
        """Tell whether a command writes what its key says, and opens no form for any of these."""
        if command is Command.TICK_YESTERDAY:
            return not any(self._ticking.asks(row) for row in rows)
        return command is Command.SKIP

    def settle(self) -> None:
        """Go on to the next row that is still to do, once what was done is shown."""
        self.elsewhere.look(self._page.rows())
        self.going_on.settle()

    def _on_behind(self, is_behind: bool) -> None:
        """Expect nothing any more once what was written is shown."""
        if not is_behind:
            self.going_on.expect_nothing()
