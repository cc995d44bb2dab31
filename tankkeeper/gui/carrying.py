"""A turn that is carried to another day of the calendar: where it can stand, and why not."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import State
from tankkeeper.gui.calendar_cards import cannot_move, loads
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.board_sheet import BoardCell
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
CARRY_HELP = "Left and Right carry it to another day, P or Return puts it there, Esc lets go."
DRAG_HELP = "Released here, it is put off to this day. Esc lets go."
CARRY_ON_HELP = "Left and Right carry it to another day, Esc lets go."


class Carrying(QObject):
    """Follows what is held on the board or in the month, and puts it off where it is dropped.

    `refused` tells (turn id, sentence), `changed` that the why panel has something else to tell,
    `told` what is done instead of what a key was pressed for, `form_wanted` the turn whose next one
    is put off in its form.
    """

    changed = Signal()
    refused = Signal(str, str)
    told = Signal(str)
    form_wanted = Signal(object)

    def __init__(self, session: Session, page: CalendarPage, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._page = page
        self._fault: TankkeeperError | None = None
        # What a mouse dropped where it cannot stand: it is let go, and a day is offered for it.
        self._rejected: tuple[BoardCell, date] | None = None
        # Held on after a refused drop, whose words at the foot say how to go on with it.
        self._told_held: BoardCell | None = None
        # The board as it will stand once what is held is put off: of which turn, to which day.
        self._foreseen: tuple[str, date, BoardView] | None = None
        for part in (page.board, page.month):
            part.drop_wanted.connect(self._on_drop_where_it_can)
            part.table.picked.connect(self._forget_offer)
        for hand in (page.board.table, page.month.table.hand):
            hand.carried.connect(self._on_carried)
            hand.dropped.connect(self._on_dropped)
            hand.rejected.connect(self._on_rejected)
            hand.let_go.connect(self._on_let_go)

    @property
    def is_told(self) -> bool:
        """Whether something is held, or was just dropped where it cannot stand."""
        return self._rejected is not None or self._hand.held is not None

    def do(self, command: str) -> bool:
        """Do what a button of the why panel says about what is held; tell whether it was one."""
        if command == DROP:
            self._hand.drop()
        elif command == LET_GO:
            self._hand.release()
        elif command == DROP_ON:
            self._on_drop_where_it_can()
        else:
            return False
        return True

    def drop_all(self) -> None:
        """Let go what is held, with all that was told of it."""
        self._hand.release()
        self._fault = self._rejected = None

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
            self._page.announce(CARRY_HELP)
        if self._fault is not None:
            self._page.announce(self._worded(self._fault))
        elif to != cell.day and (late := self._late(cell, to)):
            self._page.announce(late)
        self.changed.emit()

    def _hold_next(self, cell: BoardCell) -> bool:
        """Take hold of the next turn of a chore in place of a later one; tell whether there is one.

        Where it has no place on the board, or no other day, its form is opened, or tells why not.
        """
        state, item, table = self._state(), cell.row.item, self._page.board.table
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
        sheet = self._page.board.sheet
        if self._fault is not None or sheet is None or not self._page.is_board:
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
        # It is so only as long as the turn stands there: an undo does not say it again.
        late = self._late(cell, to)
        self._forget_offer()

        def refused(error: TankkeeperError) -> None:
            self.refused.emit(cell.row.id, self._worded(error))

        answer = Answer(told, refused, moved=lambda: late)
        self._session.deeds.put_off([cell.row.id], to, answer)
        self._page.take_keys()

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
        return self._page.board.table if self._page.is_board else self._page.month.table.hand

    def _state(self) -> HouseholdState:
        last = self._session.last
        assert last is not None
        return last.state

    def _loads(self, held: BoardCell, to: date) -> tuple[tuple[str, str], ...]:
        """Return the minutes on the days around, which only the board shows."""
        sheet, foreseen = self._page.board.sheet, self._foreseen
        if sheet is None or not self._page.is_board or self._fault is not None:
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

    def card(self) -> WhyCard | None:
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
        elif fault is None and to != held.day and self._page.is_board:
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
            is_moved = not self._page.is_board and hand.to != hand.held.day
            return DRAG_HELP if is_moved and self._fault is None else ""
        return CARRY_HELP if self._fault is None else CARRY_ON_HELP
