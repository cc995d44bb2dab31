"""What stands above the page that is shown: days off, and a clock that cannot be right."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.pages.round_page import RoundPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tankkeeper.gui.widgets.round_list import RoundList
from tankkeeper.reports.away_words import absence_sentence
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.away import absence, away_since, newest_ahead, piled_up
from tankkeeper.services.days_off import DaysOff, last_days_off
from tankkeeper.services.lapsed import Lapsed, lapsed, still_lapsed
from tankkeeper.services.ticking import Tick

if TYPE_CHECKING:
    from tankkeeper.gui.forms.away_form import Answers
    from tankkeeper.gui.pages.calendar_page import CalendarPage
    from tankkeeper.gui.pages.logbook_page import LogbookPage

    NoticePage = RoundPage | CalendarPage | LogbookPage

NO_DAYS_OFF = "There are no days off of which nothing was told yet."
_OF_ABSENCE = (Command.MEANWHILE, Command.CLOSE_NOTICE)


class NoticeDesk(QObject):
    """Shows one notice above the page that is shown, and writes down what was done in days off.

    `told` tells in one sentence that there were none, `form_stands` a form that a key has opened.
    """

    told = Signal(str)
    form_stands = Signal(object)

    def __init__(self, frame: Frame, session: Session, page: RoundPage, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._page: NoticePage = page
        self._bars: dict[NoticePage, NoticeBar] = {}
        self._shown: tuple[str, tuple[Command, ...]] = ("", ())
        self._keyed: set[NoticePage] = set()
        self._form: QObject | None = None
        # Since when nobody wrote, until it is dealt with: the first tick ends no absence.
        self._since: datetime | None = None
        # What had lapsed when that was noticed, and on which day.
        self._at_first: tuple[Sequence[Lapsed], date] = ((), date.min)
        # The days off that were answered or closed last: they stand above no page again.
        self._closed: datetime | None = None
        # Whether days off that ended before this start are looked for: not yet, now, or no more.
        self._looks: bool | None = None
        self._is_asked = False
        # What stood in the form when it was left, and of which absence.
        self._left: tuple[datetime, Answers] | None = None
        self._make_keys()

    @property
    def closed(self) -> datetime | None:
        """Since when the days off were that were answered or closed last."""
        return self._closed

    def begin_with(self, closed: datetime | None) -> None:
        """Let days off that were answered or closed in an earlier window stand no more."""
        self._closed = closed

    @property
    def sentence(self) -> str:
        """What is shown, empty when nothing is."""
        bar = self._bars.get(self._page)
        return bar.sentence if bar is not None else ""

    def set_page(self, page: NoticePage) -> None:
        """Show what there is to tell above another page from now on."""
        self._page = page
        self._make_keys()
        self._show(*self._shown)

    def take(self, shown: Shown) -> None:
        """Show what a reading gives cause for."""
        state, words = shown.state, shown.sheet.words
        ahead = newest_ahead(state)
        if ahead is not None:
            fault = UserFault("clock_behind", now=state.moment.now, newest=ahead)
            self._show(fault_words(fault, words))
            return
        since = away_since(state)
        if since is not None and since != self._closed:
            if since != self._since:
                self._at_first = (lapsed(state, since), state.moment.day)
            self._since = since
        if self._looks is None:
            self._looks = False
            if since is None:
                # Days off end for the logbook with the first row written, and not with a new start.
                self._look()
        found = None
        if self._since is not None:
            found = absence(state, self._since, self._lost(state, self._since))
        if found is None:
            self._since = None
            self._show("")
        elif self._since != self._closed:
            is_narrowed = self._session.tank_id is not None
            sentence = absence_sentence(found, words, beside_one_tank=is_narrowed)
            self._show(sentence, _OF_ABSENCE)

    def begin_anew(self) -> None:
        """Forget all days off: another logbook is looked at from now on."""
        self._since = self._closed = self._left = self._looks = None
        self._is_asked = False

    def _look(self) -> None:
        """Look in the logbook for the last days off of which something stands unwritten."""
        self._looks = True
        self._session.read_with(
            lambda desk, read: last_days_off(desk, read.state), self._on_days_off
        )

    def _on_days_off(self, found: object) -> None:
        """Open the days off that were found where that was asked; else show what ended today."""
        self._looks = False
        is_asked, self._is_asked = self._is_asked, False
        if self._since is None and isinstance(found, DaysOff):
            if is_asked or (found.is_fresh and found.since != self._closed):
                self._since, self._at_first = found.since, (found.lost, found.on)
            if self._session.last is not None:
                self.take(self._session.last)
        if is_asked:
            self._ask()

    def _ask(self) -> None:
        """Open the form on the days off, or tell that there is nothing left to ask."""
        if self._since is None:
            self.told.emit(NO_DAYS_OFF)
        else:
            self._session.keys.key_in_turn(self._open_form, opens=True)

    def _lost(self, state: HouseholdState, since: datetime) -> Sequence[Lapsed]:
        return still_lapsed(state, since, *self._at_first)

    def _show(self, sentence: str, commands: tuple[Command, ...] = ()) -> None:
        self._shown = (sentence, commands)
        bar = self._bars.get(self._page)
        if bar is None:
            if not sentence:
                return
            bar = self._make_bar()
        keyed = self._page.notice_keys()
        if sentence != bar.sentence:
            bar.show_notice(sentence, commands, frozenset(keyed))
            # Reminders beneath the page are shorter beside it.
            self._frame.lay_out()

    def _make_bar(self) -> NoticeBar:
        bar = NoticeBar(self._page)
        self._page.hold_notice(bar)
        self._bars[self._page] = bar
        bar.commanded.connect(self._do)
        return bar

    def _make_keys(self) -> None:
        """Let the keys of a notice act in the page, whether or not one stands there.

        What was closed by a slip is still asked, and a letter that is a key never begins to find.
        """
        if self._page in self._keyed:
            return
        self._keyed.add(self._page)
        for command, owner in self._page.notice_keys().items():
            action = make_action(command, owner)
            action.setAutoRepeat(False)
            action.triggered.connect(self._on_action)

    def _on_action(self) -> None:
        sender = self.sender()
        name, owner = sender.objectName(), sender.parent()
        if name == Command.CLOSE_NOTICE.value and isinstance(owner, RoundList) and owner.hold_one():
            # What is chosen besides the row in hand ends first.
            return
        self._do(name)

    def _do(self, command: str) -> None:
        if self._form is not None:
            return
        if command == Command.MEANWHILE.value:
            self._do_meanwhile()
        elif self._since is not None:
            self._close()
            self._page.take_keys()

    def _do_meanwhile(self) -> None:
        """Ask what was done: also once more, of what was closed or answered with "not done"."""
        last = self._session.last
        if self._since is None and self._closed is not None and last is not None:
            # Nothing was written since then, so the logbook knows of no return.
            still = away_since(last.state)
            self._since = still if still == self._closed else None
        if self._since is not None or (last is not None and last.is_read_only):
            self._ask()
        else:
            self._is_asked = True
            if not self._looks:
                self._look()

    def _close(self) -> None:
        self._closed, self._since = self._since or self._closed, None
        self._show("")

    def _open_form(self) -> None:
        last, since = self._session.last, self._since
        if last is None or since is None or last.is_read_only:
            return
        from tankkeeper.gui.forms.away_form import AwayForm

        piled = piled_up(last.state, since)
        words = last.sheet.words
        lost = self._lost(last.state, since)
        person = self._session.person_id
        form = AwayForm(piled, since, last.state, words, person, self._frame, lost)
        if self._left is not None and self._left[0] == since:
            form.fill(self._left[1])
        form.told.connect(self._on_told)
        form.finished.connect(self._on_finished)
        self._form = form
        form.open()
        self.form_stands.emit(form)

    def _on_told(self, ticks: tuple[Tick, ...]) -> None:
        """Keep all of it as one deed; undo takes it back as one."""
        from tankkeeper.gui.forms.away_form import AwayForm

        form = self._form
        assert isinstance(form, AwayForm)
        if not ticks:
            self._close()
            form.accept()
            return
        chores = len({one.item.split("@", 1)[0] for one in ticks})
        count = "1 chore" if chores == 1 else f"{chores} chores"
        if len(ticks) > chores:
            count = f"{len(ticks)} turns of {count}"
        days = self._days_of(ticks)
        words = f"Wrote down {count} done while you were away{days}."
        since = self._since

        def stands(is_kept: bool) -> None:
            # The rows that take it back are new, so the newest entry tells of no absence.
            self._closed = since if is_kept else None
            self._since = None if is_kept else since

        answer = Answer(words, self._refuse, self._on_kept, stands=stands)
        # What is open now stands in the list behind the form, whichever days were done.
        self._session.deeds.tick(ticks, answer, lines=(), in_form=True)

    def _days_of(self, ticks: tuple[Tick, ...]) -> str:
        """Return the day of all ticks, or the first and the last of their days."""
        last = self._session.last
        if last is None:
            return ""
        words = last.sheet.words
        days = sorted({words.moment.day_of(one.at) for one in ticks if one.at is not None})
        if len(days) < 2:
            return words.dated(days[0]) if days else ""
        first, latest = (words.dated(one).removeprefix(", on ") for one in (days[0], days[-1]))
        return f", from {first} to {latest}"

    def _on_kept(self) -> None:
        from tankkeeper.gui.forms.away_form import AwayForm

        self._close()
        if isinstance(self._form, AwayForm):
            self._form.accept()

    def _refuse(self, error: TankkeeperError) -> None:
        from tankkeeper.gui.forms.away_form import AwayForm

        if isinstance(self._form, AwayForm):
            self._form.refuse_for(error)

    def _on_finished(self, result: int) -> None:
        from tankkeeper.gui.forms.away_form import AwayForm

        form, self._form = self._form, None
        if isinstance(form, AwayForm):
            # Nobody answers many lines twice: the form opens with them the next time.
            self._left = (self._since, form.answers) if self._since and not result else None
            if self._since == self._closed:
                # Asked by the key alone, after they were dealt with.
                self._since = None
        if form is not None:
            form.deleteLater()
        self._page.take_keys()
