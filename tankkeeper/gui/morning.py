"""The morning behind the frame: rounds shown, keys turned into deeds, refusals told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.backing_up import BackingUp
from tankkeeper.gui.find_door import FindDoor
from tankkeeper.gui.foot_line import FootLine
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.letters_beside import LettersBeside
from tankkeeper.gui.line_desk import LineDesk
from tankkeeper.gui.models.in_hand import InHand, in_hand_of
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.narrowing import Narrowing
from tankkeeper.gui.new_day import NewDay
from tankkeeper.gui.noticing import NoticeDesk
from tankkeeper.gui.pages.round_page import RoundPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.settling_door import SettlingDoor
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.top_line import TopLine
from tankkeeper.gui.undo_desk import UndoDesk
from tankkeeper.gui.views import CALENDAR, ROUND, Views
from tankkeeper.gui.why_desk import WhyDesk
from tankkeeper.gui.word_begun import WordBegun
from tankkeeper.reports.faults import fault_words

if TYPE_CHECKING:
    from tankkeeper.gui.calendar_desk import CalendarDesk
    from tankkeeper.gui.finders import Finders
    from tankkeeper.gui.logbook_desk import LogbookDesk
    from tankkeeper.gui.pages.calendar_page import CalendarPage
    from tankkeeper.gui.pages.logbook_page import LogbookPage
    from tankkeeper.gui.settling import Settling
    from tankkeeper.gui.writing import WriteDesk

POLL_MS = 2000
NOT_DONE = "Nothing was changed"
NO_ENTRY = "No entry is selected. Choose one to see what was written and what came of it."


class Morning(QObject):
    """Binds the frame, the pages of the views and the session.

    `looked` tells that it has looked, every two seconds, whether something is to be done by now.
    """

    looked = Signal()

    def __init__(
        self,
        frame: Frame,
        session: Session,
        motion: MotionChoice,
        parent: QObject,
        *,
        on_board: bool = False,
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._views = Views(frame, session, motion, self, begun_on_board=on_board)
        self.page = self._views.round
        self._writing: WriteDesk | None = None
        self.door = SettlingDoor(frame, session, self._in_hand, self)
        self._deeds = LineDesk(frame, session, self.page, self)
        self.notices = NoticeDesk(frame, session, self.page, self)
        self._has_keys = False
        self._has_asked = False
        self._poll = QTimer(self)
        self._backups = BackingUp(session)
        self._new_day = NewDay(frame, session, self)
        self.top_line = TopLine(frame, session, self)
        self.foot = FootLine(frame, session, self)
        self._why = WhyDesk(frame, session, self.page, self)
        self._undoing = UndoDesk(
            frame, session, self._views, self.door, self._deeds, self._on_undo_refused, self
        )
        self._finding = FindDoor(frame, session, self._views, self.door, self.foot, self)
        self.word_begun = WordBegun(
            session, self._deeds, self._finding.find, self._on_undo_refused, self
        )
        self._letters = LettersBeside(frame, self._finding.find, (ROUND, CALENDAR), self)
        self._narrowing = Narrowing(session, self)
        self._watch()
        self._connect()

    def _watch(self) -> None:
        rows = self.page.list
        self._narrowing.watch(rows)
        self._deeds.elsewhere.watch(rows, rows.viewport())
        self.word_begun.watch(rows, page=self.page)
        self.word_begun.watch_beside(self._frame.why, page=self.page)
        self._poll.setInterval(POLL_MS)

    def _connect(self) -> None:
        self._session.shown.connect(self._on_shown)
        self._session.did.connect(self._on_did)
        self._session.broke.connect(self._on_broke)
        self._session.behind.connect(self._frame.set_waiting)
        self.page.picked.connect(self._why.picked)
        self.page.commanded.connect(self._deeds.do)
        self.page.typed.connect(self._finding.take_letter)
        self.page.mark_clicked.connect(self._deeds.tick_row)
        self._views.calendar_made.connect(self._bind_calendar)
        self._views.logbook_made.connect(self._bind_logbook)
        self._deeds.answers.refused.connect(self._on_refused)
        self._deeds.answers.refused_apart.connect(self._on_refused_apart)
        self._deeds.answers.told.connect(self._on_did)
        self._undoing.told.connect(self._on_did)
        self._finding.told.connect(self.tell)
        self._finding.made.connect(self._bind_finders)
        self.door.made.connect(self._bind_settling)
        self.notices.told.connect(self.tell)
        self.notices.form_stands.connect(self.word_begun.take_form)
        self._frame.why.acted.connect(self._on_acted)
        self.top_line.named.connect(self.foot.tell_more)
        self.top_line.named.connect(lambda said: self.shown_page.announce(said))
        self._frame.rail.chosen.connect(self._on_tank)
        pause = make_action(Command.PAUSE_TANK, self._frame.rail)
        pause.setAutoRepeat(False)
        pause.triggered.connect(self._on_pause_tank)
        self._rail_pause = pause
        self._frame.view_chosen.connect(self._on_view)
        self._frame.keys_wanted.connect(self._take_keys)
        self._poll.timeout.connect(self._on_poll)

    def begin(self, person: str | None = None) -> None:
        """Read the round for the first time; `person` is who is at the window."""
        self.top_line.want(person)
        self._session.refresh()
        self._poll.start()
        self._backups.begin()

    def end(self) -> None:
        """Stop looking; what is under way is finished by the session."""
        self.door.leave_for_view()
        for part in (self.foot, self._why):
            part.end()
        self._poll.stop()

    def dispose(self) -> None:
        """Take the pages out of the frame and forget them, and what the panel told of them."""
        # A key that comes before this is gone would make pages for it.
        self._frame.view_chosen.disconnect(self._on_view)
        self._frame.keys_wanted.disconnect(self._take_keys)
        self._frame.why.show_card(None)
        self.door.dispose()
        self._views.dispose()
        self._frame.show_view(ROUND)
        self._frame.rail.removeAction(self._rail_pause)
        self._rail_pause.deleteLater()
        self.deleteLater()

    def told_and_refresh(self, sentence: str) -> None:
        """Tell what was done and read the household anew."""
        self._on_did(sentence)
        self._session.refresh()

    def failed(self, error: Exception) -> None:
        """Tell why a file was not read or written, where one looks after choosing it."""
        if not isinstance(error, TankkeeperError):
            raise error
        sentence = self._worded(error)
        if not self.door.refuse(sentence) and not self._views.refuse(sentence):
            self._on_refused_apart(NOT_DONE, sentence)

    def undo(self) -> None:
        """Take back what was done last; see `UndoDesk`."""
        self._undoing.undo()

    def redo(self) -> None:
        """Do again what was taken back last; see `UndoDesk`."""
        self._undoing.redo()

    def find(self, typed: str = "") -> None:
        """Open the find bar at the head of what is shown; see `FindDoor`."""
        self._finding.find(typed)

    def write_down(self) -> None:
        """Open the form for what is not in the round."""
        if self._writing is None:
            from tankkeeper.gui.writing import WriteDesk

            self._writing = WriteDesk(self._frame, self._session, self)
            self._writing.refused.connect(self._on_no_form)
        writing = self._writing
        self._session.keys.key_in_turn(
            lambda: writing.open_for(self.shown_page, self._in_hand()), opens=True
        )

    @property
    def finders(self) -> Finders | None:
        """The find bars, None until one was used."""
        return self._finding.finders

    @property
    def settling(self) -> Settling | None:
        """The pages for setting down, None until one was opened."""
        return self.door.pages

    def tell(self, sentence: str) -> None:
        """Tell something at the foot, and to a screen reader."""
        self._on_no_form(sentence)

    def _on_no_form(self, sentence: str) -> None:
        self.foot.tell(sentence)
        if sentence:
            self.shown_page.announce(sentence)

    def settle(self, command: Command) -> None:
        """Open the page of the chosen tank or of the household, or move a tank in the walk."""
        self._why.forget_refusals()
        self.door.do(command)

    def open_settings_at(self, part_id: str) -> None:
        """Open the page of the household at one of its parts."""
        self._why.forget_refusals()
        self.door.open_settings_at(part_id)

    def _in_hand(self) -> InHand | None:
        """Tell of which tank the line is on which the keys act, None where there is none."""
        found = self._why.found_row
        return self.shown_page.in_hand() if found is None else in_hand_of([found])

    def _bind_settling(self, pages: Settling) -> None:
        pages.added.connect(self.page.begin_anew)
        pages.told.connect(self._on_no_form)
        pages.closed.connect(self._on_settled)
        self._why.hush_while(self._is_settling)

    def _is_settling(self) -> bool:
        return self.door.is_open

    def _on_settled(self) -> None:
        """Show the view behind again."""
        self._frame.show_again()
        if self._session.last is not None:
            self._on_shown(self._session.last)
        self._views.take_keys()
        self._why.tell_soon()

    def _on_shown(self, shown: Shown) -> None:
        """Show a new reading everywhere."""
        self._new_day.take(shown)
        self._why.forget_times()
        self._deeds.going_on.look_where()
        self._frame.rail.set_cards(shown.cards)
        self.top_line.show_reading(shown)
        self.foot.show_reading(shown)
        if self.door.take(shown):
            self._why.show_nothing()
            return
        if self._views.is_empty:
            self._views.show_empty()
            self._why.show_nothing()
            if not self._has_asked and not shown.is_read_only:
                # Once: who leaves the page wants something else than a tank of their own.
                self._has_asked = True
                self.settle(Command.NEW_TANK)
            return
        self._frame.show_instead(None)
        if self._frame.view_id == ROUND:
            self._frame.stack.setCurrentWidget(self.page)
        elif not self._frame.has_page(self._frame.view_id):
            self._on_view(self._frame.view_id)
        self.page.show_sheet(shown.sheet)
        self.notices.take(shown)
        self._views.take(shown)
        self._deeds.settle()
        if self.finders is not None:
            self.finders.take(shown)
        self._why.tell_soon()
        if not self._has_keys:
            # Only once: later the keys stay where the person is.
            self._has_keys = True
            self.page.list.setFocus()
        self._new_day.look()

    @property
    def calendar(self) -> CalendarDesk | None:
        """The calendar, None until it was shown for the first time."""
        return self._views.calendar

    @property
    def on_board(self) -> bool:
        """Whether the calendar shows the board, or will as soon as it is shown."""
        return self._views.on_board

    @property
    def logbook(self) -> LogbookDesk | None:
        """The logbook, None until it was shown for the first time."""
        return self._views.logbook

    @property
    def shown_page(self) -> RoundPage | CalendarPage | LogbookPage:
        """The page on whose lines the keys act."""
        return self._views.page

    def _on_tank(self, tank_id: str | None) -> None:
        """Narrow every view to a tank."""
        self.door.set_tank(tank_id)
        if self.calendar is not None:
            self.calendar.set_tank(tank_id)
        self._why.picked()
        self._session.set_tank(tank_id)

    def _on_pause_tank(self) -> None:
        """Pause the tank that is chosen in the rail, or let it go on."""
        self._deeds.pause_tank(self._frame.rail.chosen_id)

    def _on_view(self, view_id: str) -> None:
        """Let the keys act on the page of a view."""
        self._views.make(view_id)
        self.door.leave_for_view()
        calendar, logbook = self._views.calendar_here, self._views.logbook_here
        own = calendar or logbook
        self._deeds.set_page(self.shown_page)
        self.notices.set_page(self.shown_page)
        self._frame.why.set_nothing_selected(NO_ENTRY if logbook is not None else "")
        self._why.set_page(self.shown_page, own.card if own is not None else None)
        if logbook is None:
            page = self.page if calendar is None else calendar.page
            self.word_begun.watch_beside(self._frame.why, page=page, calendar=calendar)

    def _take_keys(self) -> None:
        """Let the keys act in the view that was asked for by its key, where its page is shown."""
        page = self.shown_page
        if self._frame.stack.currentWidget() is page and not self._is_settling():
            page.take_keys()

    def _bind_calendar(self, calendar: CalendarDesk) -> None:
        calendar.page.commanded.connect(self._deeds.do)
        calendar.page.typed.connect(self._finding.take_letter)
        self.word_begun.watch(*calendar.page.typed_on, page=calendar.page, calendar=calendar)
        self.word_begun.watch_beside(calendar.page, page=calendar.page, calendar=calendar)
        self._narrowing.watch(calendar.page.month.list)
        self._deeds.elsewhere.watch(*calendar.page.touched_on)
        calendar.page.mark_clicked.connect(self._deeds.tick_row)
        calendar.shown.connect(self._deeds.settle)
        calendar.changed.connect(self._why.picked)
        calendar.refused.connect(self._on_refused)
        calendar.told.connect(self.tell)
        calendar.form_wanted.connect(self._on_next_wanted)
        calendar.switched.connect(self._why.forget_refusals)

    def _on_next_wanted(self, row: object) -> None:
        assert isinstance(row, ItemRow)
        self._deeds.do_with(Command.PUT_OFF.value, row)

    def _bind_logbook(self, logbook: LogbookDesk) -> None:
        logbook.changed.connect(self._why.tell_soon)
        logbook.page.picked.connect(self._why.picked)
        logbook.refused.connect(self._on_refused)
        logbook.broke.connect(self._on_broke)

    def _bind_finders(self, finders: Finders) -> None:
        finders.changed.connect(self._why.picked)
        self._why.set_finders(finders)
        self.word_begun.hold_told = finders.hold_told

    def _on_acted(self, command: str) -> None:
        """Do what a button of the why panel says; the keys act in the list again after it."""
        found = self._why.found_row
        # The button has said what it does.
        self._deeds.elsewhere.touch()
        self.shown_page.take_keys()
        if self._views.logbook_here is not None:
            self._views.logbook_here.do(command)
            return
        if found is not None:
            self._deeds.do_with(command, found)
            return
        if self.calendar is None or not self.calendar.do(command):
            self._deeds.do(command)

    def _on_refused(self, row_id: str, sentence: str) -> None:
        self._why.refuse(row_id, sentence)
        # There stood what was done before, and would be taken for what the key came to.
        self.foot.tell(sentence)

    def _on_refused_apart(self, title: str, sentence: str) -> None:
        if not self._why.refuse_apart(title, sentence):
            self.foot.tell(sentence)

    def _on_undo_refused(self, error: TankkeeperError) -> None:
        sentence = self._worded(error)
        self.foot.tell(sentence)
        if sentence:
            self.shown_page.announce(sentence)

    def _worded(self, error: TankkeeperError) -> str:
        last = self._session.last
        return fault_words(error, last.sheet.words if last is not None else None)

    def _on_did(self, words: str) -> None:
        self._why.forget_refusals()
        self.foot.tell(words)
        self.shown_page.announce(words)

    def _on_broke(self, error: Exception) -> None:
        """Tell a failure of the surroundings; a bug goes on to where all bugs are told."""
        if not isinstance(error, TankkeeperError):
            raise error
        self.foot.tell(self._worded(error))

    def _on_poll(self) -> None:
        self._session.look()
        self._backups.look()
        self._new_day.look()
        self.top_line.show_now()
        self.looked.emit()
