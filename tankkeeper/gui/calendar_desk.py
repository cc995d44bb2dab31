"""The calendar behind its page: what is read for it, told of it, and put off on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from PySide6.QtCore import QObject, QTimer, Signal

from tankkeeper.core.calendar_days import month_after, month_of
from tankkeeper.core.turns import State
from tankkeeper.core.values import dataclass
from tankkeeper.gui.calendar_cards import OPEN_DAY, day_card
from tankkeeper.gui.carrying import Carrying
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.models.finding_rows import Hit
from tankkeeper.gui.models.month_reading import CalendarSheets, CalendarWish
from tankkeeper.gui.models.month_sheet import (
    MonthSheet,
    noun_of,
)
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.pages.calendar_page import CalendarPage
from tankkeeper.gui.session import Session
from tankkeeper.gui.views import CALENDAR
from tankkeeper.gui.widgets.why_panel import WhyCard
from tankkeeper.reports.words import Words

# Months read ahead or gone through before, as long as nothing was written.
KEPT_MONTHS = 12
# Nothing is waited for: what was posted before, the paint above all, has its turn first.
AHEAD_AFTER_MS = 0
NOTHING_OVERDUE = "Nothing is overdue."


@dataclass(frozen=True, slots=True)
class CalendarPlace:
    """What the calendar shows, and the day and the turn that have the keys in it."""

    wish: CalendarWish
    is_board: bool
    day: date | None
    is_day_open: bool
    row: ItemRow | None


class CalendarDesk(QObject):
    """Keeps the calendar's page in step with the session; `shown` tells that it is.

    `refused` tells (turn id, sentence), `changed` that the why panel has something else to tell,
    `told` what is done instead of what a key was pressed for, `form_wanted` the turn whose next one
    is put off in its form, `switched` that what was refused has no place any more: month or board
    is shown instead.
    """

    shown = Signal()
    changed = Signal()
    refused = Signal(str, str)
    told = Signal(str)
    form_wanted = Signal(object)
    switched = Signal()

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
        self.page = CalendarPage(frame.stack, motion)
        self._wish = CalendarWish(tank_id=session.tank_id)
        self._carrying = Carrying(session, self.page, self)
        self._has_keys = False
        # The day that gets the keys in the month that was asked for, None for today's.
        self._wanted: date | None = None
        self._was_asked = True
        self._kept: dict[CalendarWish, CalendarSheets] = {}
        self._under_way: set[CalendarWish] = set()
        # What the page shows, None before the first.
        self._on_page: CalendarSheets | None = None
        # A turn whose day is opened once its month is shown: day, chore, slot.
        self._awaited: tuple[date, str, object] | None = None
        self._ahead = QTimer(self)
        self._ahead.setSingleShot(True)
        self._ahead.setInterval(AHEAD_AFTER_MS)
        self._has_waited = False
        self._ahead.timeout.connect(self._on_ahead)
        self.page.set_metrics(frame.metrics)
        frame.metrics_changed.connect(self.page.set_metrics)
        self.page.wanted.connect(self._on_month)
        self.page.board_wanted.connect(self._on_board)
        self.page.month_kept.connect(self._on_month_kept)
        self.page.picked.connect(self.changed)
        self.page.turn_wanted.connect(self._on_turn)
        self.page.overdue_wanted.connect(self.go_to_next_overdue)
        self._carrying.changed.connect(self.changed)
        self._carrying.refused.connect(self.refused)
        self._carrying.told.connect(self.told)
        self._carrying.form_wanted.connect(self.form_wanted)
        # What could not be read may be asked for again; a second reading of the rest does no harm.
        session.broke.connect(self._under_way.clear)
        if on_board:
            self._on_board()
        else:
            self._ask(self._wish)

    def take(self, sheets: object) -> None:
        """Show what a new reading of the household gives the calendar.

        Where something else was asked for while it was made, that is read as the household has it
        now: it may have been shown by the state before.
        """
        if isinstance(sheets, CalendarSheets):
            self._on_sheets(sheets)
        page = self._on_page
        if page is None or page.wish != self._wish or not self._is_new(page):
            self._read(self._wish)

    def set_tank(self, tank_id: str | None) -> None:
        """Narrow the calendar to a tank; the session reads anew by itself."""
        self._wish = replace(self._wish, tank_id=tank_id)
        self._session.set_beside(self._wish.read)

    def go_to(self, day: date) -> None:
        """Show the month of a day, with the keys on that day; on the board one that it shows."""
        if self.on_board and self.page.is_board and self.page.board.table.go_to_day(day):
            self.page.take_keys()
            return
        self.page.month.close_day()
        self._on_month(day)
        self.page.take_keys()

    def is_month_at(self, today: date) -> bool:
        """Tell whether the month of a day is shown with the keys on that day."""
        month = self.page.month
        is_its_month = month.sheet is not None and month.sheet.month == month_of(today)
        return not self.on_board and is_its_month and month.table.day == today

    def go_to_today(self) -> None:
        """Show the month of today, with its keys on it, and leave the window's where they are."""
        if self.page.isVisible():
            self.page.month.close_day()
        self.page.month.leave_day()
        self._on_month(None)

    @property
    def on_board(self) -> bool:
        """Whether the board is shown, or was asked for last."""
        return self._wish.board_days is not None

    @property
    def place(self) -> CalendarPlace:
        """Where the calendar is, to come back to it."""
        page, rows = self.page, self.page.selected()
        return CalendarPlace(
            self._wish,
            page.is_board,
            page.month.table.day,
            page.month.is_day_open,
            rows[0] if rows else None,
        )

    def go_back(self, place: CalendarPlace) -> None:
        """Come back to a place that the calendar has left, or is just leaving."""
        self._awaited, self._wanted = None, place.day
        page, row = self.page, place.row
        if page.is_board is not place.is_board or self._wish != place.wish:
            self._ask(place.wish)
        if place.is_board or page.is_board:
            if row is not None:
                page.board.table.go_to_id(row.id)
        elif place.day is None or not place.is_day_open:
            page.month.close_day()
            if place.day is not None:
                page.month.table.go_to(place.day)
        elif row is None or page.day_listed != place.day or not page.month.list.go_to_id(row.id):
            chore, slot = ("", None) if row is None else (row.item.chore.id, row.item.turn.slot)
            page.month.open_day(place.day, chore, slot)

    def go_to_chore(self, hit: Hit) -> None:
        """Open the day of a chore that was found, with the keys on it."""
        if hit.day is not None:
            self._open_at(hit.day, hit.chore)

    def go_to_next_overdue(self) -> None:
        """Go to the next overdue turn after the one that has the keys, round and round."""
        last = self._session.last
        if last is None:
            return
        if self.page.is_board:
            self.page.board.table.go_to_next_overdue()
            return
        rows = last.sheet.rows
        late = [one for one in rows if isinstance(one, ItemRow) and one.item.state is State.OVERDUE]
        if not late:
            self.refused.emit("", NOTHING_OVERDUE)
            return
        here = [one.id for one in self.page.selected()]
        ids = [one.id for one in late]
        at = ids.index(here[0]) + 1 if here and here[0] in ids else 0
        self._on_turn(late[at % len(late)])

    def _on_turn(self, row: ItemRow) -> None:
        """Open today at an overdue turn, where it stands with all its keys."""
        last = self._session.last
        if last is not None:
            self._open_at(last.state.moment.day, row.item.chore.id, row.item.turn.slot)

    def _open_at(self, day: date, chore: str, slot: object = None) -> None:
        self._awaited = (day, chore, slot)
        self._on_month(day)

    def let_go(self) -> str:
        """Leave what is carried on its day; return what is told of it, empty where nothing is."""
        return self._carrying.let_go()

    @property
    def is_reading(self) -> bool:
        """Whether months are still to be read, or read ahead."""
        return self._ahead.isActive() or bool(self._under_way)

    def leave(self) -> None:
        """Ask for nothing more."""
        self._ahead.stop()
        self._session.set_beside(None)

    def do(self, command: str) -> bool:
        """Do what a button of the why panel says about the calendar; tell whether it was one."""
        if command == OPEN_DAY and self.page.month.table.day is not None:
            self.page.month.open_day(self.page.month.table.day)
            return True
        return self._carrying.do(command)

    def card(self) -> WhyCard | None:
        """Return what is told of what is held, or of the day that has the keys, else None."""
        if self.page.is_board or self._carrying.is_told:
            return self._carrying.card()
        cell, is_open = self.page.month.cell, self.page.month.is_day_open
        if cell is None or (is_open and self.page.selected()):
            return None
        return day_card(cell, self._session_words(), is_open=is_open)

    def _ask(self, wish: CalendarWish) -> None:
        """Show what is wished for: at once where it was read ahead, else when it is read."""
        self._wish = wish
        self._was_asked = True
        self._session.set_beside(wish.read)
        kept = self._kept.get(wish)
        if kept is not None and self._is_new(kept):
            self._show(kept)
        else:
            self._read(wish)

    def _read(self, wish: CalendarWish) -> None:
        if wish not in self._under_way and self._session.last is not None:
            self._under_way.add(wish)
            self._session.read_with(wish.read, self._on_sheets)

    def _is_new(self, sheets: CalendarSheets) -> bool:
        last = self._session.last
        return last is not None and sheets.shown.state is last.state

    def _on_month(self, day: date | None) -> None:
        self._leave_part(to_board=False)
        self._wanted = day
        month = None if day is None else month_of(day)
        last = self._session.last
        if month is None and last is not None:
            month = month_of(last.state.moment.day)
        self._ask(CalendarWish(month, tank_id=self._session.tank_id))

    def _leave_part(self, *, to_board: bool) -> None:
        """Let go what is carried where the other of month and board is shown next."""
        if self.page.is_board is to_board:
            return
        self._carrying.drop_all()
        self.switched.emit()

    def _on_board(self) -> None:
        self._leave_part(to_board=True)
        household, board = self._session.household, self.page.board
        if household is not None:
            board.set_nouns(frozenset(noun_of(chore) for chore in household.chores))
        # The page itself has no width yet where it begins with the board.
        days, wide = board.fitting(self._frame.stack.width())
        self._ask(CalendarWish(self._wish.day, days, self._session.tank_id, wide))

    def _on_month_kept(self) -> None:
        """Stay in the month that is shown, though the board was asked for and is being read."""
        if not self.on_board:
            return
        sheet = self.page.month.sheet
        if sheet is None:
            # It began with the board, and has no month yet.
            self._on_month(None)
            return
        self._wish = CalendarWish(sheet.month, tank_id=self._session.tank_id)
        self._was_asked = False
        self._session.set_beside(self._wish.read)

    def _on_sheets(self, sheets: object) -> None:
        """Keep what was read, and show it unless something else was asked for since.

        Nor is it shown a second time where a reading of the household has brought the same.
        """
        if not isinstance(sheets, CalendarSheets):
            return
        self._under_way.discard(sheets.wish)
        if sheets.month is not None:
            self._kept = {wish: one for wish, one in self._kept.items() if self._is_new(one)}
            self._kept[sheets.wish] = sheets
            while len(self._kept) > KEPT_MONTHS:
                del self._kept[next(iter(self._kept))]
        if sheets.wish == self._wish and (self._was_asked or not self._is_on_page(sheets)):
            self._show(sheets)

    def _is_on_page(self, sheets: CalendarSheets) -> bool:
        page = self._on_page
        if page is None or page.wish != sheets.wish:
            return False
        return page.shown.state is sheets.shown.state

    def _show(self, sheets: CalendarSheets) -> None:
        self._on_page = sheets
        if sheets.board is not None:
            self.page.show_board(sheets.board)
        elif sheets.month is not None:
            today = sheets.shown.state.moment.day
            self.page.show_month(sheets.month, self._day_to_show(today))
            self._open_awaited(sheets.month)
            self._has_waited = False
            self._ahead.start()
        if not self._has_keys:
            self._has_keys = True
            # Who went on to another view meanwhile has the keys there.
            if self._frame.view_id == CALENDAR:
                self.page.take_keys()
        self.shown.emit()

    def _open_awaited(self, sheet: MonthSheet) -> None:
        """Open the day that waited for its month, unless something else was asked for since."""
        awaited = self._awaited
        if awaited is not None and sheet.cell(awaited[0]) is not None:
            self._awaited = None
            self.page.month.open_day(*awaited)

    def _on_ahead(self) -> None:
        """Wait once more: the panel tells of the day meanwhile, and is painted after that."""
        if self._has_waited:
            self._read_ahead()
        else:
            self._has_waited = True
            self._ahead.start()

    def _read_ahead(self) -> None:
        """Read the months before and after, so that the next key finds them read.

        Only once month and panel are painted: two threads share one interpreter, and on a busy
        machine the panel would tell of the day before for as long as the reading takes.
        """
        sheet = self.page.month.sheet
        if sheet is None or self.page.is_board or self.page.month.is_day_open:
            return
        for step in (-1, 1):
            wish = CalendarWish(month_after(sheet.month, step), tank_id=self._session.tank_id)
            kept = self._kept.get(wish)
            if kept is None or not self._is_new(kept):
                self._read(wish)

    def _day_to_show(self, today: date) -> date:
        """Return the day that gets the keys: the one asked for, else the one that has them."""
        here = self.page.month.table.day
        was_asked, self._was_asked = self._was_asked, False
        return here if here is not None and not was_asked else self._wanted or today

    def _session_words(self) -> Words:
        last = self._session.last
        assert last is not None
        return last.sheet.words
