"""The morning behind the frame: rounds shown, keys turned into deeds, refusals told."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.backing_up import BackingUp
from tankkeeper.gui.foot_line import FootLine
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.letters_beside import LettersBeside
from tankkeeper.gui.models.in_hand import InHand, in_hand_of
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.narrowing import Narrowing
from tankkeeper.gui.new_day import NewDay
from tankkeeper.gui.noticing import NoticeDesk
from tankkeeper.gui.pages.round_page import RoundPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, Where, key_caption, key_typed, make_action
from tankkeeper.gui.ticking import TickDesk
from tankkeeper.gui.top_line import TopLine
from tankkeeper.gui.why_desk import WhyDesk
from tankkeeper.gui.word_begun import WordBegun
from tankkeeper.reports.faults import fault_words

if TYPE_CHECKING:
    from tankkeeper.gui.calendar_desk import CalendarDesk
    from tankkeeper.gui.finders import Finders
    from tankkeeper.gui.logbook_desk import LogbookDesk
    from tankkeeper.gui.pages.calendar_page import CalendarPage
    from tankkeeper.gui.pages.empty_page import EmptyPage
    from tankkeeper.gui.pages.logbook_page import LogbookPage
    from tankkeeper.gui.parts import Part
    from tankkeeper.gui.settling import Settling
    from tankkeeper.gui.writing import WriteDesk
    from tankkeeper.services.backup_habits import BackupMeans

POLL_MS = 2000
NOT_DONE = "Nothing was changed"
NO_ENTRY = "No entry is selected. Choose one to see what was written and what came of it."
ROUND = "round"
CALENDAR = "calendar"
LOGBOOK = "logbook"


class Morning(QObject):
    """Binds the frame, the page of the round and the session.

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
        self.page = RoundPage(frame.stack, motion)
        self._motion = motion
        # Whether the calendar was left on the board, for when it is first shown.
        self._began_on_board = on_board
        self._empty: EmptyPage | None = None
        self._calendar: CalendarDesk | None = None
        self._logbook: LogbookDesk | None = None
        self._writing: WriteDesk | None = None
        self._finders: Finders | None = None
        self._settling: Settling | None = None
        # What the person sets on the page of the household; reminders put theirs in.
        self._more_settings: list[Part] = []
        self.backup_means: Callable[[], BackupMeans] | None = None
        self._deeds = TickDesk(frame, session, self.page, self)
        self.notices = NoticeDesk(frame, session, self.page, self)
        self.notices.told.connect(self.tell)
        self._has_keys = False
        self._has_asked = False
        self._poll = QTimer(self)
        self._backups = BackingUp(session)
        self._new_day = NewDay(frame, session, self)
        self.top_line = TopLine(frame, session, self)
        self.foot = FootLine(frame, session, self)
        self._why = WhyDesk(frame, session, self.page, self)
        self.word_begun = WordBegun(session, self._deeds, self.find, self._on_undo_refused, self)
        self.notices.form_stands.connect(self.word_begun.take_form)
        self._letters = LettersBeside(frame, self.find, (ROUND, CALENDAR), self)
        self._narrowing = Narrowing(session, self)
        self._build()
        self._connect()

    def _build(self) -> None:
        self._frame.add_page(ROUND, self.page)
        self._narrowing.watch(self.page.list)
        self._deeds.elsewhere.watch(self.page.list, self.page.list.viewport())
        self.word_begun.watch(self.page.list, page=self.page)
        self.word_begun.watch_beside(self._frame.why, page=self.page)
        self.page.set_metrics(self._frame.metrics)
        self._poll.setInterval(POLL_MS)

    def _connect(self) -> None:
        self._session.shown.connect(self._on_shown)
        self._frame.metrics_changed.connect(self.page.set_metrics)
        self._session.did.connect(self._on_did)
        self._session.broke.connect(self._on_broke)
        self._session.behind.connect(self._frame.set_waiting)
        self.page.picked.connect(self._why.picked)
        self.page.commanded.connect(self._deeds.do)
        self.page.typed.connect(self._on_letter)
        self.page.mark_clicked.connect(self._deeds.tick_row)
        self._deeds.refused.connect(self._on_refused)
        self._deeds.refused_apart.connect(self._on_refused_apart)
        self._deeds.told.connect(self._on_did)
        self._frame.why.acted.connect(self._on_acted)
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
        if self._settling is not None:
            self._settling.leave_for_view()
        for part in (self.foot, self._why):
            part.end()
        self._poll.stop()

    def dispose(self) -> None:
        """Take the pages out of the frame and forget them, and what the panel told of them."""
        # A key that comes before this is gone would make pages for it.
        self._frame.view_chosen.disconnect(self._on_view)
        self._frame.keys_wanted.disconnect(self._take_keys)
        self._frame.why.show_card(None)
        self._frame.remove_page(self.page)
        if self._empty is not None:
            self._frame.remove_page(self._empty)
        if self._settling is not None:
            self._settling.dispose()
        if self._calendar is not None:
            self._calendar.leave()
            self._frame.remove_page(self._calendar.page)
        if self._logbook is not None:
            self._logbook.leave()
            self._frame.remove_page(self._logbook.page)
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
        if self._settling is not None and self._settling.refuse(sentence):
            return
        if self._empty is not None and self._is_empty:
            self._empty.refuse(sentence)
        else:
            self._on_refused_apart(NOT_DONE, sentence)

    def undo(self) -> None:
        """Take back what was done last: what is typed on a page first, then what was kept.

        What is carried on the board comes before all of it: it is only let go.
        """
        if self._let_go():
            return
        if self._settling is not None and self._settling.put_back():
            self._on_did("Put back what stood there before.")
            return
        self._session.keys.key_in_turn(self._undo)

    def _undo(self) -> None:
        is_named = self._settling is not None and self._settling.name_before_undo()
        # What is told at the foot, and what comes of it, is to be seen.
        self._frame.uncover()
        if is_named:
            self._session.undoing.tell()
            return
        self._deeds.expect_back()
        self._session.undoing.undo(self._on_undo_refused)

    def redo(self) -> None:
        """Do again what was taken back last; what is carried on the board is only let go.

        It waits for an undo of many turns for as long as that takes: it is about nothing else.
        """
        if not self._let_go():
            self._session.keys.key_in_turn(self._redo, lasts=True)

    def _let_go(self) -> bool:
        """Leave what is carried on the board on its day; tell whether something was carried."""
        calendar = self._calendar if self._frame.view_id == CALENDAR else None
        told = calendar.let_go() if calendar is not None else ""
        if told:
            self._on_did(told)
        return bool(told)

    def _redo(self) -> None:
        self._frame.uncover()
        self._session.undoing.redo(self._on_undo_refused)

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

    def find(self, typed: str = "", come_from: str = "") -> None:
        """Open the find bar at the head of what is shown; `typed` is its first letter.

        `come_from` is the line to which it leads back, where its deed is taken back meanwhile.

        The logbook has a line of its own. A page of setting down would hide the bar: it is left
        first, and what cannot be kept of it waits as a draft.
        """
        self.foot.begin_search(typed)
        settling = self._settling
        if settling is not None and settling.is_open:
            settling.leave_for_find()
            self._session.keys.in_turn(lambda: None if settling.is_open else self.find(typed))
            return
        if self._frame.is_covered:
            return
        if self._logbook is not None and self._frame.view_id == LOGBOOK:
            self._logbook.find(typed)
            return
        if self._is_empty:
            return
        if self._finders is None:
            from tankkeeper.gui.finders import Finders

            self._finders = Finders(self._frame, self._session, self)
            self._finders.changed.connect(self._why.picked)
            self._finders.typed.connect(self.foot.begin_search)
            self._finders.day_wanted.connect(self._on_day_wanted)
            self._why.set_finders(self._finders)
            self.word_begun.hold_told = self._finders.hold_told
        calendar = self._calendar if self._frame.view_id == CALENDAR else None
        page = self.page if calendar is None else calendar.page
        self._finders.open_for(page, calendar, typed, come_from)

    def _on_letter(self, typed: str) -> None:
        """Begin to find with a letter that no command has; one that is a key never does."""
        of_calendar = (Where.CALENDAR,) if self._frame.view_id == CALENDAR else ()
        row = key_typed(typed, (Where.CHORES, *of_calendar))
        if row is None:
            self.find(typed)
        else:
            self.tell(f"{row.text} ({key_caption(row.command)}) cannot be done here.")

    @property
    def finders(self) -> Finders | None:
        """The find bars, None until one was used."""
        return self._finders

    @property
    def settling(self) -> Settling | None:
        """The pages for setting down, None until one was opened."""
        return self._settling

    def tell(self, sentence: str) -> None:
        """Tell something at the foot, and to a screen reader."""
        self._on_no_form(sentence)

    def _on_no_form(self, sentence: str) -> None:
        self.foot.tell(sentence)
        if sentence:
            self.shown_page.announce(sentence)

    def _on_day_wanted(self, day: date) -> None:
        self._frame.show_view(CALENDAR)
        if self._calendar is not None:
            self._calendar.go_to(day)

    def settle(self, command: Command) -> None:
        """Open the page of the chosen tank or of the household, or move a tank in the walk."""
        settling = self._settling_pages()
        self._why.forget_refusals()
        self._session.keys.key_in_turn(lambda: settling.do(command, self._in_hand()))

    def _in_hand(self) -> InHand | None:
        """Tell of which tank the line is on which the keys act, None where there is none."""
        found = self._why.found_row
        return self.shown_page.in_hand() if found is None else in_hand_of([found])

    def add_settings(self, part: Part) -> None:
        """Have one more part on the page of the household, which may stand already."""
        self._more_settings.append(part)
        if self._settling is not None:
            self._settling.add_settings(part)

    def open_settings_at(self, part_id: str) -> None:
        """Open the page of the household at one of its parts."""
        settling = self._settling_pages()
        self._why.forget_refusals()
        self._session.keys.in_turn(lambda: settling.open_settings_at(part_id))

    def move_in_walk(self, tank_id: str, place: int) -> None:
        """Let a tank be at another place of the walk."""
        settling = self._settling_pages()
        self._session.keys.in_turn(lambda: settling.move_to(tank_id, place))

    def _settling_pages(self) -> Settling:
        if self._settling is None:
            from tankkeeper.gui.settling import Settling

            more = [*self._more_settings]
            if self.backup_means is not None:
                from tankkeeper.gui.backup_parts import backup_room_part

                more.append(backup_room_part(self.backup_means()))
            self._settling = Settling(self._frame, self._session, self, more)
            self._settling.added.connect(self.page.begin_anew)
            self._settling.told.connect(self._on_no_form)
            self._settling.closed.connect(self._on_settled)
            self._why.hush_while(self._is_settling)
        return self._settling

    def _is_settling(self) -> bool:
        return self._settling is not None and self._settling.is_open

    def _on_settled(self) -> None:
        """Show the view behind again."""
        self._frame.show_again()
        if self._session.last is not None:
            self._on_shown(self._session.last)
        if self._empty is not None and self._is_empty:
            self._empty.setFocus()
        else:
            self.shown_page.take_keys()
        self._why.tell_soon()

    def _on_shown(self, shown: Shown) -> None:
        """Show a new reading everywhere."""
        self._new_day.take(shown)
        self._why.forget_times()
        self._deeds.look_where()
        self._frame.rail.set_cards(shown.cards)
        self.top_line.show_reading(shown)
        self.foot.show_reading(shown)
        if self._settling is not None and self._settling.take(shown):
            self._why.show_nothing()
            return
        if self._is_empty:
            self._show_empty()
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
        if self._calendar is not None:
            self._calendar.take(shown.beside)
        if self._logbook is not None:
            self._logbook.take(shown)
        self._deeds.settle()
        if self._finders is not None:
            self._finders.take(shown)
        self._why.tell_soon()
        if not self._has_keys:
            # Only once: later the keys stay where the person is.
            self._has_keys = True
            self.page.list.setFocus()
        self._new_day.look()

    @property
    def calendar(self) -> CalendarDesk | None:
        """The calendar, None until it was shown for the first time."""
        return self._calendar

    @property
    def on_board(self) -> bool:
        """Whether the calendar shows the board, or will as soon as it is shown."""
        return self._began_on_board if self._calendar is None else self._calendar.on_board

    @property
    def logbook(self) -> LogbookDesk | None:
        """The logbook, None until it was shown for the first time."""
        return self._logbook

    @property
    def shown_page(self) -> RoundPage | CalendarPage | LogbookPage:
        """The page on whose lines the keys act."""
        if self._logbook is not None and self._frame.view_id == LOGBOOK:
            return self._logbook.page
        if self._calendar is not None and self._frame.view_id == CALENDAR:
            return self._calendar.page
        return self.page

    def _on_tank(self, tank_id: str | None) -> None:
        """Narrow every view to a tank."""
        if self._settling is not None:
            self._settling.set_tank(tank_id)
        if self._calendar is not None:
            self._calendar.set_tank(tank_id)
        self._why.picked()
        self._session.set_tank(tank_id)

    def _on_pause_tank(self) -> None:
        """Pause the tank that is chosen in the rail, or let it go on."""
        self._deeds.pause_tank(self._frame.rail.chosen_id)

    def _on_view(self, view_id: str) -> None:
        """Let the keys act on the page of a view; others than the round are made when shown.

        While there is nothing to show, what can be done about it stays in every view.
        """
        if view_id == CALENDAR and self._calendar is None and not self._is_empty:
            self._make_calendar()
        if view_id == LOGBOOK and self._logbook is not None:
            self._logbook.open_anew()
        elif view_id == LOGBOOK and not self._is_empty:
            self._make_logbook()
        if self._settling is not None:
            self._settling.leave_for_view()
        calendar = self._calendar if view_id == CALENDAR else None
        logbook = self._logbook if view_id == LOGBOOK else None
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

    @property
    def _is_empty(self) -> bool:
        """Whether the household has neither a tank nor a chore."""
        house = self._session.household
        return house is not None and not house.tanks and not house.chores

    def _make_calendar(self) -> None:
        from tankkeeper.gui.calendar_desk import CalendarDesk

        calendar = CalendarDesk(
            self._frame, self._session, self._motion, self, on_board=self._began_on_board
        )
        self._calendar = calendar
        calendar.page.commanded.connect(self._deeds.do)
        calendar.page.typed.connect(self._on_letter)
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
        self._frame.add_page(CALENDAR, calendar.page)

    def _on_next_wanted(self, row: object) -> None:
        assert isinstance(row, ItemRow)
        self._deeds.do_with(Command.PUT_OFF.value, row)

    def _make_logbook(self) -> None:
        from tankkeeper.gui.logbook_desk import LogbookDesk

        logbook = self._logbook = LogbookDesk(self._frame, self._session, self)
        logbook.changed.connect(self._why.tell_soon)
        logbook.page.picked.connect(self._why.picked)
        logbook.refused.connect(self._on_refused)
        logbook.broke.connect(self._on_broke)
        self._frame.add_page(LOGBOOK, logbook.page)
        # Once the frame shows it, the keys act in it.
        QTimer.singleShot(0, logbook.page.take_keys)

    def _show_empty(self) -> None:
        """Offer what can be done while there is no tank; the page is made when it is needed."""
        if self._empty is None:
            from tankkeeper.gui.pages.empty_page import EmptyPage

            self._empty = EmptyPage(parent=self._frame.stack, can_add=True)
            self._empty.commanded.connect(self._frame.command)
            self._frame.stack.addWidget(self._empty)
        if self._frame.stack.currentWidget() is not self._empty:
            self._frame.show_instead(self._empty)
            self._empty.setFocus()

    def _on_acted(self, command: str) -> None:
        """Do what a button of the why panel says; the keys act in the list again after it."""
        found = self._why.found_row
        # The button has said what it does.
        self._deeds.elsewhere.touch()
        self.shown_page.take_keys()
        if self._logbook is not None and self._frame.view_id == LOGBOOK:
            self._logbook.do(command)
            return
        if found is not None:
            self._deeds.do_with(command, found)
            return
        if self._calendar is None or not self._calendar.do(command):
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
