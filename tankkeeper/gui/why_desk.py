"""What the why panel tells of the lines that are selected, and of what was refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject, QTimer

from tankkeeper.core.logbook import Entry
from tankkeeper.gui.beside import ticks_beside
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.why_cards import YESTERDAY, card_for, card_for_several, card_of_refusal
from tankkeeper.gui.widgets.why_panel import WhyCard
from tankkeeper.reports.words import Words
from tankkeeper.services.calendar import can_be_moved, next_to_move
from tankkeeper.services.dated_turns import writes_nothing_yesterday
from tankkeeper.services.lapsed import lapsed_yesterday
from tankkeeper.services.other_days import can_go_elsewhere
from tankkeeper.services.ticking import too_early

if TYPE_CHECKING:
    from tankkeeper.gui.finders import Finders


class WhyPage(Protocol):
    """A page whose selected lines are told of."""

    def selected(self) -> list[ItemRow]:
        """Return the lines on which the keys act."""

    @property
    def form_command(self) -> Command:
        """The command whose key opens the form of a line here."""

    def announce(self, sentence: str) -> None:
        """Have a screen reader say a sentence."""


class WhyDesk(QObject):
    """Tells why once for all that one key or one reading changes, after it was drawn."""

    def __init__(self, frame: Frame, session: Session, page: WhyPage, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._page = page
        # A page may have a card of its own, and a chore that was found may have no line in it.
        self._own_card: Callable[[], WhyCard | None] = _no_card
        self._finders: Finders | None = None
        self._times: dict[str, tuple[Entry, ...]] = {}
        self._refusal: tuple[str, str] | None = None
        self._refused_apart: WhyCard | None = None
        self._is_hushed: Callable[[], bool] = _never
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self._tell)

    def tell_soon(self) -> None:
        """Tell why once what is under way was drawn."""
        self._soon.start()

    def picked(self) -> None:
        """Tell of what was just selected; what was refused apart from any line is read by now."""
        self._refused_apart = None
        self.tell_soon()

    def end(self) -> None:
        """Tell nothing any more."""
        self._soon.stop()

    def set_page(self, page: WhyPage, own_card: Callable[[], WhyCard | None] | None = None) -> None:
        """Tell of the lines of another page from now on, and no more of what was refused before."""
        self._page = page
        self._own_card = own_card or _no_card
        self.forget_refusals()

    def hush_while(self, is_hushed: Callable[[], bool]) -> None:
        """Tell of no line while this is so: what is shown then has none."""
        self._is_hushed = is_hushed

    def set_finders(self, finders: Finders) -> None:
        """Tell of what was found and has no line, while there is something."""
        self._finders = finders

    @property
    def found_row(self) -> ItemRow | None:
        """The chore that was found and has no line in the page, while it is told of."""
        return self._finders.told_row if self._finders is not None else None

    def forget_times(self) -> None:
        """Read anew when chores were done before: something was written since."""
        self._times.clear()

    def forget_refusals(self) -> None:
        """Something was kept, so what was refused before is told no more."""
        self._refusal = self._refused_apart = None
        self.tell_soon()

    def show_nothing(self) -> None:
        """Tell that nothing is selected, or what was refused apart from any line."""
        self._soon.stop()
        self._frame.why.show_card(self._refused_apart)

    def refuse(self, row_id: str, sentence: str) -> None:
        """Tell at a line why something was not done."""
        self._refusal = (row_id, sentence)
        self._refused_apart = None
        self._tell()
        self._page.announce(sentence)

    def refuse_apart(self, title: str, sentence: str) -> bool:
        """Tell why something was not done that has no line, until another line is chosen."""
        self._refused_apart = card_of_refusal(title, sentence)
        self._frame.why.show_card(self._refused_apart)
        self._page.announce(f"{title}. {sentence}")
        return self._frame.is_why_open

    def _tell(self) -> None:
        """Tell why for what is selected."""
        last, rows = self._session.last, self._page.selected()
        if last is None:
            return
        if self._is_hushed():
            self.show_nothing()
            return
        words, found = last.sheet.words, self.found_row
        if self._refused_apart is None and found is not None:
            # The panel has the keys then, and each stands under its button.
            self._frame.why.show_card(self._card(found, words, None))
            return
        found_card = self._finders.told_card if self._finders is not None else None
        own = self._refused_apart or found_card or self._own_card()
        if own is not None:
            self._frame.why.show_card(own)
            return
        if not rows:
            self._frame.why.show_card(None)
            return
        row, refusal = rows[0], None
        if self._refusal is not None and self._refusal[0] in {one.id for one in rows}:
            refusal = self._refusal[1]
        else:
            # The person went on: it is not told again where they come back.
            self._refusal = None
        if len(rows) > 1:
            self._frame.why.show_card(
                card_for_several(rows, refusal, can_put_off=self._can_put_off(rows))
            )
            return
        self._frame.why.show_card(self._card(row, words, refusal))

    def _card(self, row: ItemRow, words: Words, refusal: str | None) -> WhyCard:
        times, can_move, who = self._times_of(row), self._can_move(row), self._session.person_id
        return card_for(
            row,
            words,
            times,
            refusal,
            can_move=can_move,
            can_move_next=can_move or self._can_move_next(row),
            can_tick=self._can_tick(row),
            can_tick_beside=self._can_tick_beside(row),
            can_put_off=not can_move or self._can_put_off([row]),
            who=who,
            can_tick_yesterday=self._can_tick_yesterday(row),
            yesterday=self._yesterday(row, words),
            form=self._page.form_command,
        )

    def _yesterday(self, row: ItemRow, words: Words) -> str:
        """Return the words on the turn of yesterday that nobody wrote down, empty for none."""
        last = self._session.last
        turn = None if last is None else lapsed_yesterday(last.state, row.item)
        if turn is None:
            return ""
        return YESTERDAY if turn.turn.slot is None else f"{YESTERDAY} {words.clock(turn.at)}"

    def _can_move(self, row: ItemRow) -> bool:
        last = self._session.last
        return last is None or can_be_moved(last.state, row.item)

    def _can_put_off(self, rows: Sequence[ItemRow]) -> bool:
        """Tell whether there is another day for each of the lines that can be moved."""
        last = self._session.last
        if last is None:
            return True
        movable = [row.item for row in rows if can_be_moved(last.state, row.item)]
        return all(can_go_elsewhere(last.state, one) for one in movable)

    def _can_tick(self, row: ItemRow) -> bool:
        last = self._session.last
        return last is None or too_early(last.state, row.item) is None

    def _can_tick_yesterday(self, row: ItemRow) -> bool:
        last = self._session.last
        return last is None or not writes_nothing_yesterday(last.state, row.item)

    def _can_tick_beside(self, row: ItemRow) -> bool:
        last = self._session.last
        return last is not None and ticks_beside(last.state, row.item)

    def _can_move_next(self, row: ItemRow) -> bool:
        """Tell whether there is another day for the turn that comes before a later one."""
        last = self._session.last
        movable = None if last is None else next_to_move(last.state, row.item)
        return last is not None and movable is not None and can_go_elsewhere(last.state, movable)

    def _times_of(self, row: ItemRow) -> tuple[Entry, ...]:
        """Return when a chore was done before; where it is not read yet, that is told later."""
        chore = row.item.chore.id
        times = self._times.get(chore)
        if times is None:
            self._session.last_times(row, _Times(self, chore).take)
        return times or ()

    def take_times(self, chore: str, entries: tuple[Entry, ...]) -> None:
        """Keep when a chore was done before, and tell it if it is still selected."""
        self._times[chore] = entries
        found = self.found_row
        rows = self._page.selected() if found is None else [found]
        if entries and len(rows) == 1 and rows[0].item.chore.id == chore:
            self._tell()


def _never() -> bool:
    return False


def _no_card() -> WhyCard | None:
    return None


class _Times:
    """Carries the chore along with what was read about it."""

    def __init__(self, desk: WhyDesk, chore: str) -> None:
        self._desk = desk
        self._chore = chore

    def take(self, entries: tuple[Entry, ...]) -> None:
        """Hand over what was read."""
        self._desk.take_times(self._chore, entries)
