"""The form that puts turns off: the days to come, those on which they cannot stand told why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from math import ceil
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QFrame, QListWidgetItem, QWidget

from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.days_listed import DaysListed
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.models.month_sheet import day_at_head, long_day
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.typography import Space, TypeRole, metrics_for, type_font
from tankkeeper.gui.widgets.line_delegate import REFUSED_ROLE, LineDelegate
from tankkeeper.gui.widgets.scrolling import use_slim_bar
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.window_words import (
    days_past,
    done_with,
    move_verb,
    stands_on,
)
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words
from tankkeeper.services.moving import (
    days_to_choose,
    settled_with,
    stands_there,
    waits_for_its_day,
    window_end,
)
from tankkeeper.services.other_days import refusal_of

_ROWS_SEEN: Final = 8


@dataclass(frozen=True, slots=True)
class PutOffDay:
    """A day to put off to, and the sentence that refuses it if it does not work.

    `late` says of a day that works that it lies past the window, `settles` which turn is done with
    it there; `is_now` marks the day on which all of them stand already.
    """

    day: date
    words: str
    short: str
    refusal: str
    late: str = ""
    settles: str = ""
    is_now: bool = False
    is_today: bool = False


def day_choices(
    rows: Sequence[ItemRow], state: HouseholdState, words: Words
) -> tuple[PutOffDay, ...]:
    """Return the days from tomorrow on, each with the first refusal of any of the rows.

    Today is one of them where all of the rows were put off and wait for their day.
    """
    ends = [(row, window_end(state, row.item)) for row in rows]
    stand = {row.item.open.target for row in rows if row.item.open is not None}
    wait = all(waits_for_its_day(state, row.item) for row in rows)
    choices = []
    for day in days_to_choose(state, [row.item for row in rows]):
        ahead = (day - state.moment.day).days
        # Of several, those that stand there already are left where they are.
        going = [row for row in rows if not stands_there(row.item, day)] or rows
        refusal = next((told for row in going if (told := _refusal(row, state, day, words))), "")
        short = words.weekday_and_number(day)
        late = "" if refusal else _past(ends, day)
        settles = "" if refusal or len(rows) > 1 else _settles(rows[0], state, day, words)
        is_now = wait and stand == {day}
        name = _named(day, ahead, words)
        choices.append(
            PutOffDay(day, name, short, refusal, late, settles, is_now, is_today=ahead == 0)
        )
    return tuple(choices)


def standing_words(rows: Sequence[ItemRow], state: HouseholdState, words: Words) -> str:
    """Return where a single line stands that was put off before, empty for any other."""
    item = rows[0].item
    if len(rows) > 1 or item.open is None or not waits_for_its_day(state, item):
        return ""
    return stands_on(item, item.open, words)


def _settles(row: ItemRow, state: HouseholdState, day: date, words: Words) -> str:
    return done_with(settled_with(state, row.item, day), words)


def _refusal(row: ItemRow, state: HouseholdState, day: date, words: Words) -> str:
    fault = refusal_of(state, row.item, day)
    return "" if fault is None else fault_words(fault, words)


def _past(ends: Sequence[tuple[ItemRow, date | None]], day: date) -> str:
    """Return how far a day is past a window, of several lines for which of them."""
    found = [(row, past) for row, end in ends if (past := days_past(end, day))]
    if len(ends) == 1 or not found:
        return found[0][1] if found else ""
    if len(found) == 1:
        return f"{found[0][1]} for {found[0][0].name}"
    return f"past window for {len(found)} of {len(ends)}"


def why_nowhere(rows: Sequence[ItemRow], choices: Sequence[PutOffDay]) -> str:
    """Return why none of the days works: that it stands on one of them already is no reason.

    It is told of the first day after those on which the lines stand.
    """
    stand = {row.item.open.target for row in rows if row.item.open is not None}
    others = [one for one in choices if one.day not in stand]
    after = [one for one in others if one.day > min(stand, default=date.min)]
    return next(iter((*after, *others, *choices))).refusal


def _head(items: Sequence[Item], choices: Sequence[PutOffDay]) -> str:
    """Return what the days that work do: "Put off", "Bring forward", of both kinds "Move"."""
    verbs = {move_verb(items, one.day) for one in choices if not one.refusal}
    return verbs.pop() if len(verbs) == 1 else "Move" if verbs else "Put off"


def _named(day: date, ahead: int, words: Words) -> str:
    name = f"{WEEKDAYS[day.weekday()]} {day.day}{NBSP}{MONTHS[day.month - 1]}"
    if ahead == 0:
        return f"{name}, back to today"
    near = words.day(day)
    return f"{name}, {near}" if near == "tomorrow" else name


def _nothing(_day: date) -> str:
    """Return nothing to tell of a day past the window."""
    return ""


class PutOffForm(Form):
    """Lists the days; `chosen` tells the one to put off to.

    `told_past` says of a day past its own window until when the turn can wait there.
    """

    chosen = Signal(object)

    def __init__(
        self,
        rows: Sequence[ItemRow],
        choices: Sequence[PutOffDay],
        parent: QWidget,
        sentence: str = "",
        told_past: Callable[[date], str] = _nothing,
    ) -> None:
        name = rows[0].name if len(rows) == 1 else f"{len(rows)} chores"
        self._items = tuple(row.item for row in rows)
        self._told_past = told_past
        head = _head(self._items, choices)
        super().__init__(f"{head}: {name}", sentence, head, parent)
        self.choices = tuple(choices)
        first_day = self.choices[0]
        today = first_day.day - timedelta(days=0 if first_day.is_today else 1)
        self.days = DaysListed(self, today)
        self._fill()
        self.days.currentRowChanged.connect(self._on_day)
        self.days.missed.connect(self._on_missed)
        self.days.itemActivated.connect(self._on_asked)
        self.asked.connect(self._on_asked)
        first = self._proposed()
        self.days.setCurrentRow(first)
        self.days.setFocus()
        self._on_day(first)

    def _proposed(self) -> int:
        """Return the place of the first day that works after that on which the last of them stands.

        So the two keys that put off never bring forward; only where none comes later it is a day
        before.
        """
        works = [at for at, one in enumerate(self.choices) if not one.refusal]
        stand = [item.open.target for item in self._items if item.open is not None]
        own = max(stand, default=date.min)
        ahead = [at for at in works if not self.choices[at].is_today]
        later = [at for at in ahead if self.choices[at].day > own]
        return next(iter(later or ahead or works), 0)

    def _fill(self) -> None:
        self.days.setAccessibleName("Days")
        self.days.setFrameShape(QFrame.Shape.NoFrame)
        use_slim_bar(self.days)
        self.days.setItemDelegate(LineDelegate(self.days, Space.S))
        for choice in self.choices:
            more = (choice.late, "where it stands now" if choice.is_now else "")
            shown = ", ".join(part for part in (choice.words, *more) if part)
            item = QListWidgetItem(shown)
            told = f"{choice.words}. {choice.refusal}" if choice.refusal else shown
            item.setData(Qt.ItemDataRole.AccessibleTextRole, told)
            item.setData(REFUSED_ROLE, bool(choice.refusal))
            self.days.addItem(item)
        self.days.set_days([one.day for one in self.choices])
        row = metrics_for(self.font()).list_hit_height
        self.days.setFixedHeight(row * self.rows_that_fit(row, _ROWS_SEEN))
        self.setMinimumWidth(max(self.minimumWidth(), self._wide_enough(row)))
        self.column.insertWidget(self.column.count() - 2, self.days, 1)

    def _wide_enough(self, row: int) -> int:
        """Return the width at which the words of each day stand whole; a narrower window cuts it.

        How far a day is past its window stands behind its name, and is what must be seen.
        """
        metrics = QFontMetricsF(type_font(self.font(), TypeRole.BODY))
        shown = (self.days.item(at).text() for at in range(self.days.count()))
        widest = max(metrics.horizontalAdvance(one) for one in shown)
        around = self.column.contentsMargins()
        # The slim bar beside the days, and the inset of their words.
        beside = around.left() + around.right() + 2 * Space.S + row // 2
        return ceil(widest) + beside

    @property
    def choice(self) -> PutOffDay:
        """The day that is chosen now."""
        return self.choices[max(0, self.days.currentRow())]

    def _on_day(self, _row: int) -> None:
        choice = self.choice
        self.refuse(choice.refusal)
        past = self._told_past(choice.day) if choice.late else ""
        if past or choice.settles:
            self.ask(" ".join(part for part in (past, choice.settles) if part))
        verb = move_verb(self._items, choice.day)
        self.primary.set_words("Back to today" if choice.is_today else f"{verb} to {choice.short}")
        self.primary.setEnabled(not choice.refusal)

    def _on_missed(self, day: date) -> None:
        """Say that a day that was typed is not here, and move nothing to the one that is chosen."""
        first, last = self.choices[0].day, self.choices[-1].day
        end = f"first day is {long_day(first)}" if day < first else f"last day is {long_day(last)}"
        self.refuse(f"{day_at_head(day, first)} is not in this list. Its {end}.")
        self.primary.setEnabled(False)

    def _on_asked(self) -> None:
        if self.primary.isEnabled():
            self.wait()
            self.chosen.emit(self.choice.day)
