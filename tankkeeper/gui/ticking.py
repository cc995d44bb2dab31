"""Ticks of what is in hand, for now or for yesterday; what is done already is taken back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from tankkeeper.core.chores import ChoreKind
from tankkeeper.gui.beside import ticks_beside
from tankkeeper.gui.closed_elsewhere import ClosedElsewhere, closed_words
from tankkeeper.gui.going_on import GoingOn
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.models.row_words import done_again, told_rows
from tankkeeper.gui.open_lines import OpenLines
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.tick_forms import TickForms
from tankkeeper.gui.tick_told import TickTold
from tankkeeper.services.away import newest_ahead
from tankkeeper.services.lapsed import LapsedTurn, lapsed_yesterday
from tankkeeper.services.tick_facts import has_amount
from tankkeeper.services.ticking import Outcome, Tick

if TYPE_CHECKING:
    from tankkeeper.gui.work_page import WorkPage

Came = tuple[Outcome, ...]


class Ticking:
    """Ticks lines: those that ask something `in_forms`, all others at once and after them."""

    def __init__(
        self,
        session: Session,
        page: Callable[[], WorkPage],
        answers: LineAnswers,
        lines: OpenLines,
        in_forms: TickForms,
        going_on: GoingOn,
        elsewhere: ClosedElsewhere,
    ) -> None:
        self._session = session
        self._page = page
        self._answers = answers
        self._lines = lines
        self._in_forms = in_forms
        self._going_on = going_on
        self._elsewhere = elsewhere

    def tick(self, rows: list[ItemRow]) -> None:
        """Tick lines, or take back what was done where all of them are done."""
        closed = [row for row in rows if row.is_closed]
        if len(closed) == len(rows):
            if not self._asks_before(closed):
                self._take_back(closed)
            return
        self._tick_open(rows, 0)

    def tick_in_form(self, rows: list[ItemRow]) -> None:
        """Tick lines with a form for each, whether or not it asks something."""
        last = self._session.last
        is_beside = last is not None and len(rows) == 1 and ticks_beside(last.state, rows[0].item)
        if is_beside or not self._lines.is_too_early(rows):
            self._in_forms.begin(self._lines.still_to_tick(rows))

    def tick_yesterday(self, rows: list[ItemRow]) -> None:
        """Tick for yesterday: of what comes day by day the turn that nobody wrote down then."""
        last = self._session.last
        found = [] if last is None else [lapsed_yesterday(last.state, row.item) for row in rows]
        turns = [one for one in found if one is not None]
        if self._lines.is_to_come(rows):
            return
        if last is None or len(turns) < len(rows):
            self._tick_open(rows, 1)
        else:
            self._tick_lapsed(rows, turns, last)

    def asks(self, row: ItemRow) -> bool:
        """Tell whether a tick of a line opens a form.

        A clock that cannot be right dates nothing: each line is asked for its day.
        """
        last = self._session.last
        is_behind = last is not None and newest_ahead(last.state) is not None
        return is_behind or has_amount(row.item)

    def _tick_lapsed(self, rows: list[ItemRow], turns: list[LapsedTurn], last: Shown) -> None:
        told = self._told(last)
        at = turns[0].at
        when = f", {last.sheet.words.at(at)}" if len(turns) == 1 else told.dated(at)
        by = self._session.person_id
        ticks = {one.turn.id: Tick(one.turn.id, at=one.at, by=by) for one in turns}
        answer = self._answers.of_line(f"Ticked {told_rows(rows)}{when}.", rows[0])
        self._going_on.after_deed(is_earlier=True)
        lines = [row.id for row in rows]
        self._session.deeds.tick(list(ticks.values()), told.with_limits(answer), lines=lines)

    def _tick_open(self, rows: list[ItemRow], days_ago: int) -> None:
        """Open a form for each line that asks something, and tick the others after the last."""
        if self._lines.is_too_early(rows):
            return
        open_rows = self._lines.still_to_tick(rows)
        asking = [row for row in open_rows if self.asks(row)]
        plain = [row for row in open_rows if row not in asking]
        # The water of a change is mixed before it, wherever the line stands.
        asking.sort(key=lambda row: row.item.chore.kind is not ChoreKind.MIX_SALT_WATER)
        self._in_forms.begin(asking, days_ago, plain, lambda now: self._tick_plain(now, days_ago))

    def _tick_plain(self, plain: list[ItemRow], days_ago: int) -> None:
        last = self._session.last
        assert last is not None
        at = last.state.moment.usual(days_ago) if days_ago else None
        told = self._told(last)
        ticks = [Tick(row.id, at=at, by=self._session.person_id) for row in plain]
        when = told.dated(at)
        self._going_on.after_deed(is_earlier=days_ago > 0)
        answer = self._answers.of_line(f"Ticked {told_rows(plain)}{when}.", plain[0])
        answer = told.with_limits(answer, told.plain(plain, when))
        self._session.deeds.tick(ticks, answer, self._as_it_came(plain, when, last))

    def _told(self, last: Shown) -> TickTold:
        return TickTold(last.sheet.words, self._page().day_listed)

    def _as_it_came(self, rows: Sequence[ItemRow], when: str, last: Shown) -> Callable[[Came], str]:
        """Return what tells of a tick where it came to something else than the line says."""
        words = last.sheet.words

        def told(came: Came) -> str:
            from tankkeeper.gui.dated_back import told_as_it_came

            if all(one.was_done_already for one in came):
                self._going_on.stay()
            names = [told_rows([row]) for row in rows]
            return told_as_it_came(came, rows, names, when, words)

        return told

    def _asks_before(self, rows: list[ItemRow]) -> bool:
        """Say who closed lines elsewhere under the keys, or days ago; tell whether that is so."""
        last = self._session.last
        self._elsewhere.look(self._page().rows())
        if last is None:
            return False
        asked = self._elsewhere.asks_first(rows, last.state.moment.day)
        if asked:
            told = closed_words(asked, last.sheet.words, key_caption(Command.TICK))
            self._answers.told.emit(told)
        return bool(asked)

    def _take_back(self, rows: list[ItemRow]) -> None:
        entries = [row.item.entry.id for row in rows if row.item.entry is not None]
        words, undone = f"Took back {told_rows(rows)}.", f"{done_again(rows)}."
        answer = self._answers.of_line(words, rows[0], undone)
        self._session.deeds.take_back(tuple(dict.fromkeys(entries)), answer)
