"""What the keys on a row come to: ticks, forms, skips, put-offs, pauses, notes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.gui.beside import WRITTEN_DOWN, stays_beside, ticked_words, ticks_beside
from tankkeeper.gui.closed_elsewhere import ClosedElsewhere, closed_words
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.going_on import GoingOn
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow
from tankkeeper.gui.models.row_words import (
    done_again,
    not_due_yesterday,
    not_open,
    not_yet,
    told_rows,
)
from tankkeeper.gui.pausing import READ_ONLY, Pausing
from tankkeeper.gui.putting_off import PuttingOff
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.tick_queue import TickQueue
from tankkeeper.gui.work_page import WorkPage
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.outside_words import outside_of
from tankkeeper.reports.people_words import limits_of_entry
from tankkeeper.services.away import newest_ahead
from tankkeeper.services.calendar import can_be_moved
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.lapsed import lapsed_yesterday
from tankkeeper.services.tick_facts import has_amount
from tankkeeper.services.ticking import Outcome, Tick, too_early

if TYPE_CHECKING:
    from tankkeeper.gui.forms.form import Form
    from tankkeeper.gui.forms.tick_form import TickForm

Came = tuple[Outcome, ...]


# What opens a form over the page, so that what is typed behind it is meant for that.
_OPENING = frozenset(
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
_MAY_OPEN = frozenset((Command.TICK.value,))


class TickDesk(QObject):
    """Does with the selected rows what a key says; `refused` tells (row id, sentence).

    `told` tells a sentence about what was left, and `refused_apart` (what was wished, sentence)
    where there is no row to tell it at. `form_stands` tells a form that a key has opened.
    """

    refused = Signal(str, str)
    refused_apart = Signal(str, str)
    told = Signal(str)
    form_stands = Signal(object)

    def __init__(self, frame: Frame, session: Session, page: WorkPage, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._page = page
        self._form: QObject | None = None
        # What gets the keys once the form is closed, None for the page.
        self._returns_to: QWidget | None = None
        self._queue = TickQueue()
        self._days_ago = 0
        self._going_on = GoingOn(lambda: self._page)
        self.elsewhere = ClosedElsewhere(
            session.undoing.is_own, lambda: session.desk.clock.now(), self
        )
        session.behind.connect(self._on_behind)
        self._pausing = Pausing(frame, session, self)
        self._putting_off = PuttingOff(frame, session, self)
        self._deeds: dict[str, Callable[[list[ItemRow]], None]] = {
            Command.TICK.value: self._tick,
            Command.TICK_FORM.value: self._tick_with_form,
            Command.TICK_YESTERDAY.value: self._tick_yesterday,
            Command.SKIP.value: self._skip,
            Command.SKIP_WHY.value: self._skip_with_reason,
            Command.PUT_OFF.value: self._putting_off.put_off,
            Command.PAUSE.value: self._pausing.pause,
            Command.NOTE.value: self._note,
        }

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
        if deed is None or not rows or last is None or self._form is not None:
            return
        if last.is_read_only:
            self.refused.emit(rows[0].id, READ_ONLY)
            return
        deed(rows)

    def writes_at_once(self, command: Command, rows: Sequence[ItemRow]) -> bool:
        """Tell whether a command writes what its key says, and opens no form for any of these."""
        if command is Command.TICK_YESTERDAY:
            return not (self._is_clock_behind() or any(has_amount(row.item) for row in rows))
        return command is Command.SKIP

    def expect_back(self) -> None:
        """Go to what an undo brings back, once it is shown."""
        self._going_on.expect_back()

    def stay(self) -> None:
        """Leave the keys where they are, whatever was done there."""
        self._going_on.stay()

    def look_where(self) -> None:
        """Leave the keys on the line that a person chose since, before what was done is shown."""
        self._going_on.look_where()

    def settle(self) -> None:
        """Go on to the next row that is still to do, once what was done is shown."""
        self.elsewhere.look(self._page.rows())
        self._going_on.settle()

    def _on_behind(self, is_behind: bool) -> None:
        """Expect nothing back any more once what was written is shown."""
        if not is_behind:
            self._going_on.expect_nothing_back()

    def _tick(self, rows: list[ItemRow]) -> None:
        closed = [row for row in rows if row.is_closed]
        if len(closed) == len(rows):
            if not self._asks_before(closed):
                self._take_back(closed)
            return
        self._tick_open(rows, 0)

    def _tick_yesterday(self, rows: list[ItemRow]) -> None:
        """Tick for yesterday: of what comes day by day the turn that nobody wrote down then."""
        last = self._session.last
        found = [] if last is None else [lapsed_yesterday(last.state, row.item) for row in rows]
        turns = [one for one in found if one is not None]
        to_come = next((row for row in rows if row.item.state is State.PROJECTED), None)
        if to_come is not None:
            if not self._is_too_early(rows):
                # Told at the line in hand, which may be another one.
                form, can_act = self._page.form_command, self.can_act(to_come)
                self.refused.emit(rows[0].id, not_due_yesterday(to_come, form, can_act=can_act))
            return
        if last is None or len(turns) < len(rows):
            self._tick_open(rows, 1)
            return
        words = last.sheet.words
        when = f", {words.at(turns[0].at)}" if len(turns) == 1 else self._dated(turns[0].at)
        by = self._session.person_id
        ticks = {one.turn.id: Tick(one.turn.id, at=one.at, by=by) for one in turns}
        answer = self.answer(f"Ticked {told_rows(rows)}{when}.", rows[0])
        self._going_on.after_deed(is_earlier=True)
        lines = [row.id for row in rows]
        self._session.deeds.tick(list(ticks.values()), self._with_limits(answer), lines=lines)

    def _tick_open(self, rows: list[ItemRow], days_ago: int) -> None:
        """Open a form for each line that asks something, and tick the others after the last."""
        if self._is_too_early(rows):
            return
        open_rows = self._still_to_tick(rows)
        # A clock that cannot be right dates nothing: each line is asked for its day.
        is_asked = self._is_clock_behind()
        plain = [row for row in open_rows if not (is_asked or has_amount(row.item))]
        asking = [row for row in open_rows if row not in plain]
        # The water of a change is mixed before it, wherever the line stands.
        asking.sort(key=lambda row: row.item.chore.kind is not ChoreKind.MIX_SALT_WATER)
        self._queue = TickQueue(asking, plain, self._page.rows())
        self._days_ago = days_ago
        self._next_form()

    def _tick_plain(self, plain: list[ItemRow]) -> None:
        at = self._moment(self._days_ago)
        ticks = [Tick(row.id, at=at, by=self._session.person_id) for row in plain]
        when = self._dated(at)
        self._going_on.after_deed(is_earlier=self._days_ago > 0)
        answer = self.answer(f"Ticked {told_rows(plain)}{when}.", plain[0])

        def tell(entries: Sequence[Entry]) -> str:
            turns = [turn for entry in entries for turn in entry.completes]
            extra = {turn.chore for turn in turns if turn.is_beside}
            beside = [told_rows([row]) for row in plain if row.item.chore.id in extra]
            return ticked_words(told_rows(plain), beside, when)

        self._session.deeds.tick(
            ticks, self._with_limits(answer, tell), self._as_it_came(plain, when)
        )

    def _as_it_came(self, rows: Sequence[ItemRow], when: str) -> Callable[[Came], str]:
        """Return what tells of a tick where it came to something else than the line says."""
        last = self._session.last
        assert last is not None
        words = last.sheet.words

        def told(came: Came) -> str:
            from tankkeeper.gui.dated_back import told_as_it_came

            if all(one.was_done_already for one in came):
                self._going_on.stay()
            names = [told_rows([row]) for row in rows]
            return told_as_it_came(came, rows, names, when, words)

        return told

    def _with_limits(
        self, answer: Answer, came: Callable[[Sequence[Entry]], str] | None = None
    ) -> Answer:
        """Return an answer that also tells of work which its doer does not do by the household.

        `came` words what was done by its entries, where it may have come to something else.
        """
        last = self._session.last
        if last is None:
            return answer
        words = last.sheet.words

        def tell(entries: tuple[Entry, ...]) -> str:
            first = answer.words if came is None else came(entries)
            limits = dict.fromkeys(limits_of_entry(entry, words) for entry in entries)
            return " ".join(part for part in (first, *limits) if part)

        return replace(answer, tell=tell)

    def _is_clock_behind(self) -> bool:
        last = self._session.last
        return last is not None and newest_ahead(last.state) is not None

    def _moment(self, days_ago: int) -> datetime | None:
        last = self._session.last
        if days_ago == 0 or last is None:
            return None
        return last.state.moment.usual(days_ago)

    def _dated(self, at: datetime | None) -> str:
        """Return the day of a tick that is not of today, or not of the past day that is shown."""
        last = self._session.last
        if last is None:
            return ""
        words, listed = last.sheet.words, self._page.day_listed
        day = words.today if at is None else words.moment.day_of(at)
        is_elsewhere = listed is not None and listed < day == words.today
        return ", today" if is_elsewhere else words.dated(day)

    def still_open(self, rows: list[ItemRow]) -> list[ItemRow]:
        """Return the rows that can be worked on; where there is none, that is told as a refusal."""
        found = [row for row in rows if self.can_act(row)]
        if not found:
            self.refused.emit(rows[0].id, not_open(rows[0]))
        return found

    def _still_to_tick(self, rows: list[ItemRow]) -> list[ItemRow]:
        """Return the rows that can be ticked; of one far ahead is told from when it can be."""
        last, ahead = self._session.last, rows[0].item
        if last is None or ahead.state is not State.PROJECTED or any(map(self.can_act, rows)):
            return self.still_open(rows)
        self.refused.emit(rows[0].id, self._not_yet(ahead, last))
        return []

    def _not_yet(self, item: Item, last: Shown) -> str:
        return not_yet(item, last.state, last.sheet.words, self._page.form_command)

    def can_act(self, row: ItemRow) -> bool:
        """Tell whether a turn is open, or the next one of its chore and can be done early."""
        last = self._session.last
        return row.item.is_open or (last is not None and can_be_moved(last.state, row.item))

    def _is_too_early(self, rows: list[ItemRow]) -> bool:
        """Refuse lines of which a tick would leave a turn to come as it is; none is ticked then."""
        last = self._session.last
        if last is None:
            return False
        found = [(row, too_early(last.state, row.item)) for row in rows]
        row, early = next((one for one in found if one[1] is not None), (rows[0], None))
        if early is not None:
            # Told at the line in hand, which may be another one.
            can_act = self.can_act(row)
            told = self._worded(early) if can_act else self._not_yet(row.item, last)
            self.refused.emit(rows[0].id, told)
        return early is not None

    def _tick_with_form(self, rows: list[ItemRow]) -> None:
        last = self._session.last
        is_beside = last is not None and len(rows) == 1 and ticks_beside(last.state, rows[0].item)
        if not is_beside and self._is_too_early(rows):
            return
        self._queue = TickQueue(self._still_to_tick(rows), (), self._page.rows())
        self._days_ago = 0
        self._next_form()

    def _next_form(self) -> None:
        """Open the form of the next line; after the last one tick what asks nothing."""
        last = self._session.last
        if last is None:
            return
        row = self._queue.next_asking(self._page.rows())
        if row is None:
            plain = self._queue.take_plain(self._page.rows())
            if plain:
                self._tick_plain(plain)
            return
        self._ask_in(None, row, last)

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
        if self._is_clock_behind():
            form.when.ask()
        self._row = row
        if is_first:
            self._show(form)
        else:
            form.stand_anew()

    def show_alone(self, form: QObject, returns_to: QWidget | None = None) -> None:
        """Open a form after which no other one waits; the keys go back to the page, or to this."""
        self._queue = TickQueue()
        self._show(form, returns_to)

    def step_on(self) -> None:
        """Go to the next line that is still to do."""
        self._page.step_on()

    def after_deed(self, *, steps: bool) -> None:
        """Go on once what is being written is kept, where the line has its work behind it."""
        self._going_on.after_deed(steps=steps)

    def _show(self, form: QObject, returns_to: QWidget | None = None) -> None:
        from tankkeeper.gui.forms.form import Form

        assert isinstance(form, Form)
        self._form = form
        self._returns_to = returns_to
        form.finished.connect(self._on_finished)
        form.open()
        self.form_stands.emit(form)

    def _on_finished(self, result: int) -> None:
        form, self._form = self._form, None
        if form is not None:
            form.deleteLater()
        if result:
            self._next_form()
        else:
            self._leave_rest()
        if self._returns_to is not None:
            self._returns_to.setFocus()
        else:
            self._page.take_keys()
        if isinstance(form, QWidget):
            self._session.keys.hand_on(form)

    def _leave_rest(self) -> None:
        """Tick nothing more of what was selected, and say so where that is more than one line."""
        rest, self._queue = self._queue.still_to_come(), TickQueue()
        if len(rest) > 1:
            self.told.emit(f"Not ticked: {told_rows(rest)}.")

    def _on_ticked(self, tick: Tick) -> None:
        from tankkeeper.gui.forms.tick_form import TickForm

        form = self._form
        assert isinstance(form, TickForm)
        is_part = tick.extent in (Extent.PART, Extent.HOLDS)
        self._going_on.after_deed(is_earlier=self._days_ago > 0 and not is_part)
        said, dated, last = told_rows([self._row]), self._dated(tick.at), self._session.last
        assert last is not None
        words = last.sheet.words

        def tell(entries: tuple[Entry, ...]) -> str:
            from tankkeeper.reports.noted_words import (
                BESIDE_ITS_TURNS,
                noted_words,
                ticked_besides,
            )

            outside = "; ".join(one for entry in entries if (one := outside_of(entry, words)))
            is_beside = any(turn.is_beside for entry in entries for turn in entry.completes)
            how = f", {BESIDE_ITS_TURNS}" if is_beside else ""
            first = f"Ticked {said}{dated}{how}{f': {outside}' if outside else ''}."
            if is_part and not is_beside:
                # It is not all done by it.
                first = " ".join(noted_words(entry, words) for entry in entries)
            also = [ticked_besides(entry, words) for entry in entries]
            limits = [limits_of_entry(entry, words) for entry in entries]
            return " ".join(part for part in (first, *also, *limits) if part)

        def refused(error: TankkeeperError) -> None:
            form.refuse_for(error)
            # What was typed for the next form is not meant for this one.
            self._session.keys.hand_on(form)

        if self._queue.asks_more:
            self._session.keys.wait_for_form(form)
        answer = Answer("", refused, self._on_kept, tell)
        self._session.deeds.tick([tick], answer, in_form=True)

    def _on_kept(self) -> None:
        """Close the open form, because what it asked for was written, or ask for the next line."""
        from tankkeeper.gui.forms.form import Form

        form = self._form
        if isinstance(form, Form) and not self._goes_on_in(form):
            form.accept()

    def _goes_on_in(self, form: Form) -> bool:
        """Ask for the next line in the window of the open form, which keeps the keys that way."""
        from tankkeeper.gui.forms.tick_form import TickForm

        last = self._session.last
        row = self._queue.next_asking(self._page.rows())
        if row is None or last is None or not isinstance(form, TickForm):
            return False
        self._session.keys.ask_next(form, lambda: self._ask_in(form, row, last))
        return True

    def _asks_before(self, rows: list[ItemRow]) -> bool:
        """Say who closed lines elsewhere under the keys, or days ago; tell whether that is so."""
        last = self._session.last
        self.elsewhere.look(self._page.rows())
        if last is None:
            return False
        asked = self.elsewhere.asks_first(rows, last.state.moment.day)
        if asked:
            self.told.emit(closed_words(asked, last.sheet.words, key_caption(Command.TICK)))
        return bool(asked)

    def _take_back(self, rows: list[ItemRow]) -> None:
        entries = [row.item.entry.id for row in rows if row.item.entry is not None]
        answer = self.answer(f"Took back {told_rows(rows)}.", rows[0], f"{done_again(rows)}.")
        self._session.deeds.take_back(tuple(dict.fromkeys(entries)), answer)

    def _skip(self, rows: list[ItemRow]) -> None:
        open_rows = self.still_open(rows)
        if open_rows:
            self._going_on.after_deed()
            ids = [row.id for row in open_rows]
            answer = self.answer(f"Skipped {told_rows(open_rows)}.", open_rows[0])
            self._session.deeds.skip(ids, "", answer)

    def _skip_with_reason(self, rows: list[ItemRow]) -> None:
        open_rows = self.still_open(rows)
        if not open_rows:
            return
        from tankkeeper.gui.forms.skip_form import SkipForm

        form = SkipForm(told_rows(open_rows), self._frame)
        form.written.connect(self._on_skipped)
        self._queue = TickQueue()
        self._rows = open_rows
        self._show(form)

    def _on_skipped(self, why: str) -> None:
        self._going_on.after_deed()
        answer = self.form_answer(f"Skipped {told_rows(self._rows)}.")
        self._session.deeds.skip([row.id for row in self._rows], why.strip(), answer)

    def pause_tank(self, tank_id: str | None) -> None:
        """Ask until when a tank is paused, or let one go on that is."""
        self._session.keys.key_in_turn(lambda: self._pause_tank(tank_id), opens=True)

    def _pause_tank(self, tank_id: str | None) -> None:
        if self._form is None:
            self._pausing.pause_tank(tank_id)

    def _note(self, rows: list[ItemRow]) -> None:
        from tankkeeper.gui.forms.note_form import NoteForm

        self._row = rows[0]
        tank = self._row.item.tank
        form = NoteForm(tank.name if tank is not None else HOUSEHOLD, self._frame)
        form.written.connect(self._on_note)
        self._queue = TickQueue()
        self._show(form)

    def _on_note(self, text: str) -> None:
        self._session.deeds.note(text, self._row.item.tank, self.form_answer("Note kept."))

    def _worded(self, error: TankkeeperError) -> str:
        last = self._session.last
        if error.code == "before_window":
            is_logged = error.values.get("kind") in WRITTEN_DOWN
            how = key_caption(Command.WRITE_DOWN if is_logged else self._page.form_command)
            error = UserFault("before_window", **{**error.values, "how": how})
        return fault_words(error, last.sheet.words if last is not None else None)

    def answer(self, words: str, row: ItemRow, undone: str = "") -> Answer:
        """Return the answer of a deed without a form; a refusal is told in the why panel."""

        def refused(error: TankkeeperError) -> None:
            self._going_on.stay()
            self.refused.emit(row.id, self._worded(error))

        return Answer(words, refused, undone=undone)

    def form_answer(self, words: str) -> Answer:
        """Return the answer of the open form; it stays open with a refusal, else it closes."""

        def refused(error: TankkeeperError) -> None:
            from tankkeeper.gui.forms.form import Form

            self._going_on.stay()
            if isinstance(self._form, Form):
                self._form.refuse(self._worded(error))

        return Answer(words, refused, self._on_kept)
