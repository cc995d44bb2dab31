"""Lines that ask something when they are ticked: a form for each, one after the other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.beside import stays_beside
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.going_on import GoingOn
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.models.row_words import told_rows
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.tick_queue import TickQueue
from tankkeeper.gui.tick_told import TickTold, is_of_part
from tankkeeper.services.away import newest_ahead
from tankkeeper.services.ticking import Tick

if TYPE_CHECKING:
    from tankkeeper.gui.forms.tick_form import TickForm
    from tankkeeper.gui.work_page import WorkPage


def _leave(_rows: list[ItemRow]) -> None:
    """Tick nothing: every line is asked about."""


class TickForms:
    """Asks what the lines of one tick ask, and hands over those that ask nothing after the last.

    A form that is kept becomes that of the next line, and who leaves one leaves all that is still
    to come.
    """

    def __init__(
        self,
        frame: Frame,
        session: Session,
        page: Callable[[], WorkPage],
        forms: FormOverPage,
        answers: LineAnswers,
        going_on: GoingOn,
    ) -> None:
        self._frame = frame
        self._session = session
        self._page = page
        self._forms = forms
        self._answers = answers
        self._going_on = going_on
        self._queue = TickQueue()
        self._tick_plain: Callable[[list[ItemRow]], None] = _leave
        self._days_ago = 0

    def begin(
        self,
        asking: Sequence[ItemRow],
        days_ago: int = 0,
        plain: Sequence[ItemRow] = (),
        tick_plain: Callable[[list[ItemRow]], None] = _leave,
    ) -> None:
        """Open a form for each line that is asked about, and tick the plain ones after the last."""
        self._queue = TickQueue(asking, plain, self._page().rows())
        self._tick_plain = tick_plain
        self._days_ago = days_ago
        self._go_on()

    def _go_on(self) -> None:
        """Open the form of the next line; after the last one tick what asks nothing."""
        last = self._session.last
        if last is None:
            return
        row = self._queue.next_asking(self._page().rows())
        if row is not None:
            self._ask_in(None, row, last)
            return
        plain = self._queue.take_plain(self._page().rows())
        if plain:
            self._tick_plain(plain)

    def _ask_in(self, form: TickForm | None, row: ItemRow, last: Shown) -> None:
        """Ask what a line asks, in a form of its own or in the window of one that was kept."""
        from tankkeeper.gui.forms.tick_form import TickForm
        from tankkeeper.services.litres_limits import litres_limits

        chore, by = row.item.chore, self._session.person_id
        limits = litres_limits(last.state, chore.kind, chore.tank)
        is_first = form is None
        if form is None:
            form = TickForm(
                row, last.sheet.words, by, self._frame, self._days_ago, limits, last.state
            )
            form.ticked.connect(self._on_ticked)
        else:
            form.go_on_to(row, last.sheet.words, by, self._days_ago, limits, last.state)
        place = self._queue.place()
        if form.is_beside:
            place = stays_beside(row, last.sheet.words)
        form.tell_place(place, is_followed=self._queue.asks_more)
        if newest_ahead(last.state) is not None:
            # A clock that cannot be right dates nothing.
            form.when.ask()
        self._row = row
        if is_first:
            self._forms.show(form, closed=self._on_closed)
        else:
            form.stand_anew()

    def _on_closed(self, is_kept: bool) -> None:
        if is_kept:
            self._go_on()
        else:
            self._leave_rest()

    def _leave_rest(self) -> None:
        """Tick nothing more of what was selected, and say so where that is more than one line."""
        rest, self._queue = self._queue.still_to_come(), TickQueue()
        if len(rest) > 1:
            self._answers.told.emit(f"Not ticked: {told_rows(rest)}.")

    def _on_ticked(self, tick: Tick) -> None:
        from tankkeeper.gui.forms.tick_form import TickForm

        form, last = self._forms.form, self._session.last
        assert isinstance(form, TickForm)
        assert last is not None
        self._going_on.after_deed(is_earlier=self._days_ago > 0 and not is_of_part(tick))

        def refused(error: TankkeeperError) -> None:
            form.refuse_for(error)
            # What was typed for the next form is not meant for this one.
            self._session.keys.hand_on(form)

        if self._queue.asks_more:
            self._session.keys.wait_for_form(form)
        told = TickTold(last.sheet.words, self._page().day_listed).from_form(self._row, tick)
        answer = Answer("", refused, self._on_kept, told)
        self._session.deeds.tick([tick], answer, in_form=True)

    def _on_kept(self) -> None:
        """Close the open form, because what it asked for was written, or ask for the next line."""
        if not self._goes_on_in_form():
            self._forms.close()

    def _goes_on_in_form(self) -> bool:
        """Ask for the next line in the window of the open form, which keeps the keys that way."""
        from tankkeeper.gui.forms.tick_form import TickForm

        form, last = self._forms.form, self._session.last
        if not isinstance(form, TickForm) or last is None:
            return False
        row = self._queue.next_asking(self._page().rows())
        if row is None:
            return False
        self._session.keys.ask_next(form, lambda: self._ask_in(form, row, last))
        return True
