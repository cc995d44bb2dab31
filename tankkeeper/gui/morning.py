"""The morning behind the frame: rounds shown, keys turned into deeds, refusals told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import PurePath
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.logbook import Entry
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.noticing import NoticeDesk
from tankkeeper.gui.pages.round_page import RoundPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.ticking import TickDesk
from tankkeeper.gui.why_cards import card_for, card_for_several
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words, shown_people

if TYPE_CHECKING:
    from tankkeeper.gui.calendar_desk import CalendarDesk
    from tankkeeper.gui.finding import FindDesk
    from tankkeeper.gui.pages.calendar_page import CalendarPage
    from tankkeeper.gui.pages.empty_page import EmptyPage
    from tankkeeper.gui.settling import Settling
    from tankkeeper.gui.shortcuts import Command
    from tankkeeper.gui.writing import WriteDesk

POLL_MS = 2000
BACKUP_MS = 30 * 60 * 1000
TOLD_MS = 10_000
ROUND = "round"
CALENDAR = "calendar"
NOBODY = "Nobody named"


class Morning(QObject):
    """Binds the frame, the page of the round and the session."""

    def __init__(
        self, frame: Frame, session: Session, motion: MotionChoice, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self.page = RoundPage(frame.stack, motion)
        self._motion = motion
        self._empty: EmptyPage | None = None
        self._calendar: CalendarDesk | None = None
        self._writing: WriteDesk | None = None
        self._finding: FindDesk | None = None
        self._settling: Settling | None = None
        self._deeds = TickDesk(frame, session, self.page, self)
        self.notices = NoticeDesk(frame, session, self.page, self)
        self._times: dict[str, tuple[Entry, ...]] = {}
        self._refusal: tuple[str, str] | None = None
        self._told = ""
        self._has_keys = False
        self._wanted_person: str | None = None
        self._poll = QTimer(self)
        self._backups = QTimer(self)
        self._fade = QTimer(self)
        # Why is told once for all that one key or one reading changes, after it was drawn.
        self._why = QTimer(self)
        self._build()
        self._connect()

    def _build(self) -> None:
        self._frame.add_page(ROUND, self.page)
        self.page.set_metrics(self._frame.metrics)
        self._poll.setInterval(POLL_MS)
        self._backups.setInterval(BACKUP_MS)
        self._fade.setSingleShot(True)
        self._fade.setInterval(TOLD_MS)
        self._why.setSingleShot(True)
        self._why.setInterval(0)

    def _connect(self) -> None:
        self._session.shown.connect(self._on_shown)
        self._frame.metrics_changed.connect(self.page.set_metrics)
        self._session.did.connect(self._on_did)
        self._session.broke.connect(self._on_broke)
        self._session.behind.connect(self._frame.set_waiting)
        self.page.picked.connect(self._why.start)
        self._why.timeout.connect(self._on_picked)
        self.page.commanded.connect(self._deeds.do)
        self.page.mark_clicked.connect(self._deeds.tick_row)
        self._deeds.refused.connect(self._on_refused)
        self._frame.why.acted.connect(self._on_acted)
        self._frame.rail.chosen.connect(self._on_tank)
        self._frame.view_chosen.connect(self._on_view)
        self._frame.person_chosen.connect(self._on_person)
        self._poll.timeout.connect(self._on_poll)
        self._backups.timeout.connect(self._session.back_up)
        self._fade.timeout.connect(self._on_fade)

    def begin(self, person: str | None = None) -> None:
        """Read the round for the first time; `person` is who is at the window."""
        self._wanted_person = person
        self._session.refresh()
        self._poll.start()
        self._backups.start()

    def end(self) -> None:
        """Stop looking; what is under way is finished by the session."""
        if self._settling is not None:
            self._settling.leave_for_view()
        for timer in (self._poll, self._backups, self._fade, self._why):
            timer.stop()

    def dispose(self) -> None:
        """Take the pages out of the frame and forget them."""
        self._frame.remove_page(self.page)
        if self._empty is not None:
            self._frame.remove_page(self._empty)
        if self._settling is not None:
            self._settling.dispose()
        if self._calendar is not None:
            self._calendar.leave()
            self._frame.remove_page(self._calendar.page)
        self._frame.show_view(ROUND)
        self.deleteLater()

    def told_and_refresh(self, sentence: str) -> None:
        """Tell what was done and read the household anew."""
        self._on_did(sentence)
        self._session.refresh()

    def failed(self, error: Exception) -> None:
        """Tell what could not be done."""
        self._on_broke(error)

    def undo(self) -> None:
        """Take back what was done last."""
        self._session.in_turn(self._undo)

    def _undo(self) -> None:
        self._session.undo(self._on_undo_refused)

    def redo(self) -> None:
        """Do again what was taken back last."""
        self._session.in_turn(self._redo)

    def _redo(self) -> None:
        self._session.redo(self._on_undo_refused)

    def write_down(self) -> None:
        """Open the form for what is not in the round."""
        if self._writing is None:
            from tankkeeper.gui.writing import WriteDesk

            self._writing = WriteDesk(self._frame, self._session, self)
            self._writing.refused.connect(self._on_no_form)
        writing = self._writing
        self._session.in_turn(lambda: writing.open_for(self.shown_page))

    def find(self) -> None:
        """Open the find bar at the head of the round."""
        if self._empty is not None and self._frame.stack.currentWidget() is self._empty:
            return
        if self._finding is None:
            from tankkeeper.gui.finding import FindDesk

            self._finding = FindDesk(self._frame, self._session, self.page, self)
            self._finding.changed.connect(self._why.start)
            self._finding.day_wanted.connect(self._on_day_wanted)
        self._frame.show_view(ROUND)
        self._finding.open_bar()

    def _on_no_form(self, sentence: str) -> None:
        self._tell(sentence)
        self.shown_page.announce(sentence)

    def _on_day_wanted(self, day: date) -> None:
        self._frame.show_view(CALENDAR)
        if self._calendar is not None:
            self._calendar.go_to(day)

    def settle(self, command: Command) -> None:
        """Open the page of the chosen tank or of the household, or move a tank in the walk."""
        settling = self._settling_pages()
        self._session.in_turn(lambda: settling.do(command))
        self._why.start()

    def move_in_walk(self, tank_id: str, place: int) -> None:
        """Let a tank be at another place of the walk."""
        settling = self._settling_pages()
        self._session.in_turn(lambda: settling.move_to(tank_id, place))

    def _settling_pages(self) -> Settling:
        if self._settling is None:
            from tankkeeper.gui.settling import Settling

            self._settling = Settling(self._frame, self._session, self)
            self._settling.told.connect(self._on_no_form)
            self._settling.closed.connect(self._on_settled)
        return self._settling

    def _on_settled(self) -> None:
        """Show the view behind again."""
        self._frame.show_again()
        if self._session.last is not None:
            self._on_shown(self._session.last)
        self.shown_page.take_keys()
        self._why.start()

    def next_person(self) -> None:
        """Go on to the next person of the household."""
        household = self._session.household
        if household is None or not household.people:
            return
        ids = [person.id for person in household.people]
        at = ids.index(self._session.person_id) if self._session.person_id in ids else -1
        self._choose_person(ids[(at + 1) % len(ids)])

    def _on_shown(self, shown: Shown) -> None:
        """Show a new reading everywhere."""
        household, words = shown.state.household, shown.sheet.words
        self._times.clear()
        self._frame.top.set_household(household.name)
        self._frame.rail.set_cards(shown.cards)
        self._show_people()
        self._show_moment(words)
        self._show_bottom(shown)
        if self._settling is not None and self._settling.take(shown):
            self._frame.why.show_card(None)
            return
        if not household.tanks and not household.chores:
            self._show_empty()
            self._frame.why.show_card(None)
            return
        if self._frame.view_id == ROUND:
            self._frame.stack.setCurrentWidget(self.page)
        self.page.show_sheet(shown.sheet)
        self.notices.take(shown)
        if self._calendar is not None:
            self._calendar.take(shown.beside)
        self._deeds.settle()
        if self._finding is not None:
            self._finding.take(shown)
        self._why.start()
        if not self._has_keys:
            # Only once: later the keys stay where the person is.
            self._has_keys = True
            self.page.list.setFocus()

    @property
    def calendar(self) -> CalendarDesk | None:
        """The calendar, None until it was shown for the first time."""
        return self._calendar

    @property
    def shown_page(self) -> RoundPage | CalendarPage:
        """The page on whose lines the keys act."""
        if self._calendar is not None and self._frame.view_id == CALENDAR:
            return self._calendar.page
        return self.page

    def _on_tank(self, tank_id: str | None) -> None:
        """Narrow every view to a tank."""
        if self._settling is not None:
            self._settling.set_tank(tank_id)
        if self._calendar is not None:
            self._calendar.set_tank(tank_id)
        self._session.set_tank(tank_id)

    def _on_view(self, view_id: str) -> None:
        """Let the keys act on the page of a view; the calendar is made when it is first shown."""
        if view_id == CALENDAR and self._calendar is None:
            self._make_calendar()
        if self._settling is not None:
            self._settling.leave_for_view()
        self._deeds.set_page(self.shown_page)
        self._why.start()

    def _make_calendar(self) -> None:
        from tankkeeper.gui.calendar_desk import CalendarDesk

        calendar = CalendarDesk(self._frame, self._session, self._motion, self)
        self._calendar = calendar
        calendar.page.commanded.connect(self._deeds.do)
        calendar.page.mark_clicked.connect(self._deeds.tick_row)
        calendar.shown.connect(self._deeds.settle)
        calendar.changed.connect(self._why.start)
        calendar.refused.connect(self._on_refused)
        self._frame.add_page(CALENDAR, calendar.page)

    def _show_empty(self) -> None:
        """Offer what can be done while there is no tank; the page is made when it is needed."""
        if self._empty is None:
            from tankkeeper.gui.pages.empty_page import EmptyPage

            self._empty = EmptyPage(parent=self._frame.stack)
            self._empty.commanded.connect(self._frame.command)
            self._frame.stack.addWidget(self._empty)
        if self._frame.stack.currentWidget() is not self._empty:
            self._frame.stack.setCurrentWidget(self._empty)
            self._empty.setFocus()

    def _show_people(self) -> None:
        household = self._session.household
        if household is None:
            return
        if self._wanted_person is not None:
            wanted = self._wanted_person.casefold()
            found = [one.id for one in household.people if wanted in (one.id, one.name.casefold())]
            self._session.set_person(found[0] if found else None)
            self._wanted_person = None
        names = shown_people(household)
        name = names.get(self._session.person_id or "", NOBODY)
        self._frame.top.set_people(list(names.values()), name)

    def _show_moment(self, words: Words) -> None:
        self._frame.top.set_moment(moment_words(words, words.moment.local))

    def _show_bottom(self, shown: Shown) -> None:
        words = shown.sheet.words
        at = shown.last_backup_at
        backup = "No backup yet" if at is None else f"Backed up {words.at(at)}"
        if shown.is_read_only:
            backup = "Can only be read here"
        where = f"{PurePath(shown.where).name} on this computer"
        if self._told:
            # What was just said has the whole line.
            self._frame.bottom.set_texts("", self._told, "")
        else:
            self._frame.bottom.set_texts(backup, where, shown.sheet.following)

    def _on_picked(self) -> None:
        """Tell why for what is selected."""
        last, rows = self._session.last, self.shown_page.selected()
        if last is None:
            return
        if self._settling is not None and self._settling.is_open:
            self._frame.why.show_card(None)
            return
        if self._calendar is not None and self._frame.view_id == CALENDAR:
            card = self._calendar.card()
            if card is not None:
                self._frame.why.show_card(card)
                return
        words, found = last.sheet.words, self._found_row()
        if found is not None:
            self._show_found(found, words)
            return
        if not rows:
            self._frame.why.show_card(None)
            return
        row, refusal = rows[0], None
        if self._refusal is not None and self._refusal[0] in {one.id for one in rows}:
            refusal = self._refusal[1]
        if len(rows) > 1:
            self._frame.why.show_card(card_for_several(rows, refusal))
            return
        times = self._times.get(row.item.chore.id)
        self._frame.why.show_card(card_for(row, words, times or (), refusal))
        if times is None:
            self._session.last_times(row, _Times(self, row.item.chore.id).take)

    def _found_row(self) -> ItemRow | None:
        """Return the chore that was found and has no line in the page, while it is told of."""
        if self._finding is None or self._frame.view_id != ROUND:
            return None
        return self._finding.told_row

    def _show_found(self, row: ItemRow, words: Words) -> None:
        """Tell why for a chore that was found; its buttons act, for no key has its line."""
        times = self._times.get(row.item.chore.id)
        card = card_for(row, words, times or (), None)
        actions = tuple(replace(action, key="") for action in card.actions)
        self._frame.why.show_card(replace(card, actions=actions))
        if times is None:
            self._session.last_times(row, _Times(self, row.item.chore.id).take)

    def _on_acted(self, command: str) -> None:
        """Do what a button of the why panel says; the keys act in the list again after it."""
        found = self._found_row()
        self.shown_page.take_keys()
        if found is not None:
            self._deeds.do_with(command, found)
            return
        if self._calendar is None or not self._calendar.do(command):
            self._deeds.do(command)

    def take_times(self, chore: str, entries: tuple[Entry, ...]) -> None:
        """Keep when a chore was done before, and tell it if it is still selected."""
        self._times[chore] = entries
        found = self._found_row()
        rows = self.shown_page.selected() if found is None else [found]
        if entries and len(rows) == 1 and rows[0].item.chore.id == chore:
            self._on_picked()

    def _on_refused(self, row_id: str, sentence: str) -> None:
        self._refusal = (row_id, sentence)
        self._on_picked()
        self.shown_page.announce(sentence)
        is_shown = row_id in {one.id for one in self.shown_page.selected()}
        if not (is_shown and self._frame.is_why_open):
            self._tell(sentence)

    def _on_undo_refused(self, error: TankkeeperError) -> None:
        sentence = self._worded(error)
        self._tell(sentence)
        self.shown_page.announce(sentence)

    def _worded(self, error: TankkeeperError) -> str:
        last = self._session.last
        return fault_words(error, last.sheet.words if last is not None else None)

    def _on_did(self, words: str) -> None:
        self._refusal = None
        self._tell(words)
        self.shown_page.announce(words)

    def _tell(self, sentence: str) -> None:
        """Tell for some seconds in the bottom line what was done."""
        self._told = sentence
        self._fade.start()
        if self._session.last is not None:
            self._show_bottom(self._session.last)

    def _on_fade(self) -> None:
        self._told = ""
        if self._session.last is not None:
            self._show_bottom(self._session.last)

    def _on_broke(self, error: Exception) -> None:
        """Tell a failure of the surroundings; a bug goes on to where all bugs are told."""
        if not isinstance(error, TankkeeperError):
            raise error
        self._tell(self._worded(error))

    def _on_person(self, name: str) -> None:
        household = self._session.household
        if household is not None:
            found = [one for one, shown in shown_people(household).items() if shown == name]
            self._choose_person(found[0] if found else None)

    def _choose_person(self, person_id: str | None) -> None:
        self._session.set_person(person_id)
        self._show_people()

    def _on_poll(self) -> None:
        self._session.look()
        last = self._session.last
        if last is not None:
            moment = last.sheet.words.moment
            now = self._session.desk.clock.now().astimezone(moment.zone)
            self._frame.top.set_moment(moment_words(last.sheet.words, now))


def moment_words(words: Words, local: datetime) -> str:
    """Return the household's day and the time on its wall."""
    day = words.today
    return f"{WEEKDAYS[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1]}, {local:%H:%M}"


class _Times:
    """Carries the chore along with what was read about it."""

    def __init__(self, morning: Morning, chore: str) -> None:
        self._morning = morning
        self._chore = chore

    def take(self, entries: tuple[Entry, ...]) -> None:
        """Hand over what was read."""
        self._morning.take_times(self._chore, entries)
