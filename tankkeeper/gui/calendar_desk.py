"""The calendar behind its page: what is read for it, told of it, and put off on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from PySide6.QtCore import QObject, QTimer, Signal

from tankkeeper.core.calendar_days import month_after, month_of
from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import State
from tankkeeper.core.values import dataclass
from tankkeeper.gui.calendar_cards import OPEN_DAY, cannot_move, day_card, loads
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.board_sheet import BoardCell
from tankkeeper.gui.models.finding_rows import Hit
from tankkeeper.gui.models.month_reading import CalendarSheets, CalendarWish
from tankkeeper.gui.models.month_sheet import (
    MonthSheet,
    noun_of,
)
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.pages.calendar_page import CalendarPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.widgets.board_table import BoardTable
from tankkeeper.gui.widgets.month_dragging import MonthDragging
from tankkeeper.gui.widgets.why_panel import WhyAction, WhyCard
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import place_line, short_line
from tankkeeper.reports.window_words import day_words, move_verb, moved_word, only_the_next
from tankkeeper.reports.words import Words
from tankkeeper.services.board import BoardView
from tankkeeper.services.calendar import can_be_moved, next_to_move
from tankkeeper.services.desk import Desk
from tankkeeper.services.other_days import can_go_elsewhere, refusal_of

DROP = "drop-turn"
DROP_ON = "drop-turn-where-it-can"
LET_GO = "let-turn-go"
# Months read ahead or gone through before, as long as nothing was written.
KEPT_MONTHS = 12
# Nothing is waited for: what was posted before, the paint above all, has its turn first.
AHEAD_AFTER_MS = 0
NOTHING_OVERDUE = "Nothing is overdue."
CARRY_HELP = "Left and Right carry it to another day, P puts it there, Esc lets go."
DRAG_HELP = "Released here, it is put off to this day. Esc lets go."
CARRY_ON_HELP = "Left and Right carry it to another day, Esc lets go."


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
        self, frame: Frame, session: Session, motion: MotionChoice, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self.page = CalendarPage(frame.stack, motion)
        self._wish = CalendarWish(tank_id=session.tank_id)
        self._fault: TankkeeperError | None = None
        # What a mouse dropped where it cannot stand: it is let go, and a day is offered for it.
        self._rejected: tuple[BoardCell, date] | None = None
        # Held on after a refused drop, whose words at the foot say how to go on with it.
        self._told_held: BoardCell | None = None
        # The board as it will stand once what is held is put off: of which turn, to which day.
        self._foreseen: tuple[str, date, BoardView] | None = None
        self._has_keys = False
        # The day that gets the keys in the month that was asked for, None for today's.
        self._wanted: date | None = None
        self._was_asked = True
        self._kept: dict[CalendarWish, CalendarSheets] = {}
        self._under_way: set[CalendarWish] = set()
        # A turn whose day is opened once its month is shown: day, chore, slot.
        self._awaited: tuple[date, str, object] | None = None
        self._ahead = QTimer(self)
        self._ahead.setSingleShot(True)
        self._ahead.setInterval(AHEAD_AFTER_MS)
        self._ahead.timeout.connect(self._read_ahead)
        self.page.set_metrics(frame.metrics)
        frame.metrics_changed.connect(self.page.set_metrics)
        self.page.wanted.connect(self._on_month)
        self.page.board_wanted.connect(self._on_board)
        self.page.month_kept.connect(self._on_month_kept)
        self.page.picked.connect(self.changed)
        self.page.turn_wanted.connect(self._on_turn)
        self.page.overdue_wanted.connect(self.go_to_next_overdue)
        for part in (self.page.board, self.page.month):
            part.drop_wanted.connect(self._on_drop_where_it_can)
            part.table.picked.connect(self._forget_offer)
        for hand in (self.page.board.table, self.page.month.table.hand):
            hand.carried.connect(self._on_carried)
            hand.dropped.connect(self._on_dropped)
            hand.rejected.connect(self._on_rejected)
            hand.let_go.connect(self._on_let_go)
        self._ask(self._wish)

    def take(self, sheets: object) -> None:
        """Show what a new reading of the household gives the calendar."""
        if isinstance(sheets, CalendarSheets):
            self._on_sheets(sheets)

    def set_tank(self, tank_id: str | None) -> None:
        """Narrow the calendar to a tank; the session reads anew by itself."""
        self._wish = replace(self._wish, tank_id=tank_id)
        self._session.set_beside(self._wish.read)

    def go_to(self, day: date) -> None:
        """Show the month of a day, with the keys on that day."""
        self.page.month.close_day()
        self._on_month(day)
        self.page.take_keys()

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
        held = self._hand.held
        if held is None:
            return ""
        self._told_held = None
        self._hand.release()
        return self._let_go_words(held)

    def _let_go_words(self, held: BoardCell) -> str:
        item = held.row.item
        where = item.tank.name if item.tank is not None else "Household"
        day = self._session_words().weekday_and_number(held.day)
        return f"Let go of {held.row.name} ({where}), which stays on {day}."

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
        table = self._hand
        if command == OPEN_DAY and self.page.month.table.day is not None:
            self.page.month.open_day(self.page.month.table.day)
        elif command == DROP:
            table.drop()
        elif command == LET_GO:
            table.release()
        elif command == DROP_ON:
            self._on_drop_where_it_can()
        else:
            return False
        return True

    def card(self) -> WhyCard | None:
        """Return what is told of what is held, or of the day that has the keys, else None."""
        if self.page.is_board:
            return self._held_card()
        if self._rejected is not None or self._hand.held is not None:
            return self._held_card()
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
        self._hand.release()
        self._fault = self._rejected = None
        self.switched.emit()

    def _on_board(self) -> None:
        self._leave_part(to_board=True)
        household, board = self._session.household, self.page.board
        if household is not None:
            board.set_nouns(frozenset(noun_of(chore) for chore in household.chores))
        days, wide = board.fitting(self.page.width())
        self._ask(CalendarWish(self._wish.day, days, self._session.tank_id, wide))

    def _on_month_kept(self) -> None:
        """Stay in the month that is shown, though the board was asked for and is being read."""
        sheet = self.page.month.sheet
        if self._wish.board_days is not None and sheet is not None:
            self._wish = CalendarWish(sheet.month, tank_id=self._session.tank_id)
            self._was_asked = False
            self._session.set_beside(self._wish.read)

    def _on_sheets(self, sheets: object) -> None:
        """Keep what was read, and show it unless something else was asked for since."""
        if not isinstance(sheets, CalendarSheets):
            return
        self._under_way.discard(sheets.wish)
        if sheets.month is not None:
            self._kept = {wish: one for wish, one in self._kept.items() if self._is_new(one)}
            self._kept[sheets.wish] = sheets
            while len(self._kept) > KEPT_MONTHS:
                del self._kept[next(iter(self._kept))]
        if sheets.wish == self._wish:
            self._show(sheets)

    def _show(self, sheets: CalendarSheets) -> None:
        if sheets.board is not None:
            self.page.show_board(sheets.board)
        elif sheets.month is not None:
            today = sheets.shown.state.moment.day
            self.page.show_month(sheets.month, self._day_to_show(today))
            self._open_awaited(sheets.month)
            self._ahead.start()
        if not self._has_keys:
            self._has_keys = True
            self.page.take_keys()
        self.shown.emit()

    def _open_awaited(self, sheet: MonthSheet) -> None:
        """Open the day that waited for its month, unless something else was asked for since."""
        awaited = self._awaited
        if awaited is not None and sheet.cell(awaited[0]) is not None:
            self._awaited = None
            self.page.month.open_day(*awaited)

    def _read_ahead(self) -> None:
        """Read the months before and after, so that the next key finds them read.

        Only once the month is painted: two threads share one interpreter.
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

    def _on_carried(self, cell: BoardCell, to: date) -> None:
        """Find out whether what is held can stand where it is carried, and tell why not."""
        state = self._state()
        self._fault = self._rejected = None
        if not can_be_moved(state, cell.row.item):
            is_dragged = self._hand.is_dragged
            self._hand.release()
            if is_dragged or not self._hold_next(cell):
                self.refused.emit(cell.row.id, cannot_move(cell))
            return
        if not can_go_elsewhere(state, cell.row.item):
            self._hand.release()
            self.form_wanted.emit(cell.row)
            return
        if to != cell.day:
            self._fault = refusal_of(state, cell.row.item, to)
            self._foresee(cell, to)
        table = self._hand
        table.set_refused(self._fault is not None)
        if to == cell.day and not table.is_dragged:
            self.page.announce(CARRY_HELP)
        if self._fault is not None:
            self.page.announce(self._worded(self._fault))
        elif to != cell.day and (late := self._late(cell, to)):
            self.page.announce(late)
        self.changed.emit()

    def _hold_next(self, cell: BoardCell) -> bool:
        """Take hold of the next turn of a chore in place of a later one; tell whether there is one.

        Where it has no place on the board, or no other day, its form is opened, or tells why not.
        """
        state, item, table = self._state(), cell.row.item, self.page.board.table
        movable = next_to_move(state, item) if item.state is State.PROJECTED else None
        if movable is None or movable.open is None:
            return False
        if not can_go_elsewhere(state, movable) or not table.go_to_id(movable.id):
            self.form_wanted.emit(cell.row)
            return True
        table.take_hold()
        day = max(movable.open.target, state.moment.day)
        self.told.emit(only_the_next(item.chore, self._session_words().weekday_and_number(day)))
        return True

    def _foresee(self, cell: BoardCell, to: date) -> None:
        """Have the worker work out the minutes that the days of the board will have."""
        sheet = self.page.board.sheet
        if self._fault is not None or sheet is None or not self.page.is_board:
            return
        item, count = cell.row.item, len(sheet.days)

        def read(desk: Desk, shown: Shown) -> tuple[str, date, BoardView]:
            from tankkeeper.services.forecasting import board_if_put_off

            return item.id, to, board_if_put_off(shown.state, item, to, count, desk.memory)

        self._session.read_with(read, self._on_foreseen)

    def _on_foreseen(self, found: object) -> None:
        """Tell the minutes, unless what is held was carried on since."""
        assert isinstance(found, tuple)
        held, to = self._hand.held, self._hand.to
        if held is not None and found[:2] == (held.row.item.id, to):
            self._foreseen = found
            self.changed.emit()

    def _on_rejected(self, cell: BoardCell, to: date) -> None:
        """Tell why what was dropped cannot stand there, and offer the day that works."""
        fault = self._fault
        assert fault is not None
        sentence = self._worded(fault)
        self._rejected, self._told_held = None, None
        if self._hand.held is None:
            self._rejected = (cell, to)
            self.refused.emit(cell.row.id, sentence)
        else:
            # The panel tells it of what is held, and no more once that is let go.
            self._told_held = cell
            self.told.emit(f"{sentence} {CARRY_ON_HELP}")

    def _on_let_go(self) -> None:
        held, self._told_held = self._told_held, None
        self._foreseen = None
        self._forget_offer()
        self.changed.emit()
        if held is not None:
            self.told.emit(self._let_go_words(held))

    def _forget_offer(self) -> None:
        """Offer no day any more for what was dropped where it cannot stand."""
        if self._hand.held is None:
            self._fault = self._rejected = None

    def _on_dropped(self, cell: BoardCell, to: date) -> None:
        words = self._session_words()
        where = cell.row.item.tank.name if cell.row.item.tank is not None else "Household"
        moved = moved_word([cell.row.item], to)
        told = f"{moved} {cell.row.name} ({where}) to {words.weekday_and_number(to)}."
        told = f"{told} {self._late(cell, to)}".strip()
        self._forget_offer()

        def refused(error: TankkeeperError) -> None:
            self.refused.emit(cell.row.id, self._worded(error))

        self._session.put_off([cell.row.id], to, Answer(told, refused))
        self.page.take_keys()

    def _on_drop_where_it_can(self) -> None:
        """Put off what is held to the day that is offered; without a refusal where it is."""
        table, works = self._hand, self._works()
        held = self._rejected[0] if self._rejected is not None else table.held
        if works is None:
            table.drop()
        elif held is not None:
            table.release()
            self._on_dropped(held, works)

    def _late(self, cell: BoardCell, to: date) -> str:
        """Return how late a day is on which a turn may stand, empty where it is not."""
        return day_words(self._state(), cell.row.item, to, self._session_words())

    def _works(self) -> date | None:
        """Return the day that is offered instead of the one that was refused."""
        works = self._fault.values.get("works") if self._fault is not None else None
        return works if isinstance(works, date) else None

    @property
    def _hand(self) -> BoardTable | MonthDragging:
        """What carries a turn to another day in what is shown."""
        return self.page.board.table if self.page.is_board else self.page.month.table.hand

    def _state(self) -> HouseholdState:
        last = self._session.last
        assert last is not None
        return last.state

    def _loads(self, held: BoardCell, to: date) -> tuple[tuple[str, str], ...]:
        """Return the minutes on the days around, which only the board shows."""
        sheet, foreseen = self.page.board.sheet, self._foreseen
        if sheet is None or not self.page.is_board or self._fault is not None:
            return ()
        view = sheet.view
        if to != held.day:
            if foreseen is None or foreseen[:2] != (held.row.item.id, to):
                return ()
            view = foreseen[2]
        return loads(view, held, to, self._session_words())

    def _session_words(self) -> Words:
        last = self._session.last
        assert last is not None
        return last.sheet.words

    def _worded(self, error: TankkeeperError) -> str:
        return fault_words(error, self._session_words())

    def _held_card(self) -> WhyCard | None:
        """Return why what is held can or cannot stand where it is carried."""
        table = self._hand
        held, to = self._rejected or (table.held, table.to)
        if held is None or to is None:
            return None
        words, fault = self._session_words(), self._fault
        works, actions = self._works(), []
        if works is not None:
            verb = move_verb([held.row.item], works)
            text = f"{verb} to {words.weekday_and_number(works)}"
            key = key_caption(Command.DROP_WHERE_IT_CAN)
            actions.append(WhyAction(text, key, DROP_ON, True))
        elif fault is None and to != held.day and self.page.is_board:
            verb = move_verb([held.row.item], to)
            text = f"{verb} to {words.weekday_and_number(to)}"
            actions.append(WhyAction(text, key_caption(Command.GRAB), DROP, True))
        if self._rejected is None:
            actions.append(WhyAction("Let go", key_caption(Command.LET_GO), LET_GO))
        late = self._late(held, to) if fault is None and to != held.day else ""
        return WhyCard(
            mark=Mark(held.row.item.state.value),
            small=place_line(held.row.item, words),
            title=short_line(held.row.item, words),
            reason=reason(held.row.item, words),
            numbers=self._loads(held, to),
            advice=f"{late} {self._carry_help()}".strip(),
            refusal=self._worded(fault) if fault is not None else None,
            actions=tuple(actions),
        )

    def _carry_help(self) -> str:
        """Return how to go on with what is held; on the board the mouse needs no words."""
        hand = self._hand
        if hand.held is None:
            return ""
        if hand.is_dragged:
            is_moved = not self.page.is_board and hand.to != hand.held.day
            return DRAG_HELP if is_moved and self._fault is None else ""
        return CARRY_HELP if self._fault is None else CARRY_ON_HELP
