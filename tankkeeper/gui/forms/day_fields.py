"""The fields for a day, and for a day and a time: typed whole, or chosen from a calendar.

No part of it is bounded while it is typed. Words that name a day ("yesterday", "24 nov") are read,
too; the day that was understood stands there in full once the field is left.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Final
from zoneinfo import ZoneInfo

from PySide6.QtCore import QDate, QEvent, QLocale, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QWidget

from tankkeeper.core.errors import UserFault
from tankkeeper.gui.forms.fields import CHEVRON, is_opening_key, paint_chevron
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.quantity_field import Field, QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.typed_days import (
    DayStyle,
    day_in,
    day_length,
    day_text,
    is_whole,
    moment_in,
    moment_text,
    style_of,
)
from tankkeeper.reports.words import Words

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QCalendarWidget

# Longer than any date with its time, so that no end of what is typed is cut without a word.
LONGEST_TYPED: Final = 1_000_000
# A choice of this project: nobody logs what was before, as on the command line.
EARLIEST: Final = date(1990, 1, 1)
_STEPS: Final = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}


def local_style() -> DayStyle:
    """Return how days in numbers are read where the program runs."""
    return style_of(QLocale().dateFormat(QLocale.FormatType.ShortFormat))


class _Opener(QAbstractButton):
    """The mark at the end of the line; a click opens the calendar, a key does so in the line."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("Calendar")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setCursor(Qt.CursorShape.ArrowCursor)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the mark of the other fields that open."""
        wide = metrics_for(self.font()).px(CHEVRON)
        x = (self.width() - wide) / 2
        paint_chevron(QPainter(self), self, x, self.height() / 2)


class DayLine(Field):
    """The line in which it is typed; `stepped` tells Up and Down, `opened` asks for a calendar."""

    stepped = Signal(int)
    opened = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self._opener = _Opener(self)
        self._opener.clicked.connect(self.opened)
        self.setMaxLength(LONGEST_TYPED)
        self._make_room()

    def _unit_width(self) -> int:
        """Return the room of the mark, which stands where others have their unit."""
        return metrics_for(self.font()).px(CHEVRON) + 2 * Space.XS

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the mark at the end."""
        super().resizeEvent(event)
        wide = self._unit_width() + Space.XXS
        is_left = self.layoutDirection() is Qt.LayoutDirection.LeftToRight
        self._opener.setGeometry(self.width() - wide if is_left else 0, 0, wide, self.height())

    def event(self, event: QEvent) -> bool:
        """Keep the keys that open the calendar from acting in the window."""
        if is_opening_key(event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the calendar, or go a day or an hour on or back; the other keys are typed."""
        key = Qt.Key(event.key())
        has_alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        if key == Qt.Key.Key_F4 or (has_alt and key == Qt.Key.Key_Down):
            self.opened.emit()
        elif key in _STEPS and not has_alt:
            self.stepped.emit(_STEPS[key])
        else:
            super().keyPressEvent(event)


class DayField(QuantityField):
    """A day; `first` and `last` bound it, and what lies outside is refused below the line."""

    def __init__(
        self,
        name: str,
        words: Words | None = None,
        *,
        first: date = EARLIEST,
        last: date | None = None,
        parent: QWidget | None = None,
    ) -> None:
        self._words = words
        self._style = local_style()
        self._first, self._last = first, last
        self._calendar: QCalendarWidget | None = None
        super().__init__(name, "", self._read_text, self._worded, parent=parent, line=DayLine())
        assert isinstance(self.field, DayLine)
        self.field.stepped.connect(self._on_step)
        self.field.opened.connect(self.open_calendar)

    @property
    def day(self) -> date | None:
        """The day that stands there, None where there is none or it is refused."""
        return self.value if isinstance(self.value, date) else None

    def set_day(self, day: date) -> None:
        """Show a day."""
        self.set_text(day_text(day))

    def bound(self, words: Words, first: date = EARLIEST, last: date | None = None) -> None:
        """Take other bounds."""
        self._words, self._first, self._last = words, first, last

    def _worded(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def check(self) -> bool:
        """Show what is wrong, if anything, and in full the day that was understood."""
        is_sound = super().check()
        if is_sound and self.value is not None and self.text != self._full_text():
            self._put_text(self._full_text())
        return is_sound

    @property
    def is_whole(self) -> bool:
        """Whether all parts of it stand there, so that no more is to be typed."""
        return is_whole(self.text, self._style, has_time=False)

    def _full_text(self) -> str:
        return "" if self.day is None else day_text(self.day)

    def _today(self) -> date:
        return self._example() if self._words is None else self._words.today

    def _example(self) -> date:
        return self._last or self._first

    def _read_text(self, text: str) -> object:
        is_past = True if self._last is not None else False if self._first > EARLIEST else None
        return self._within(day_in(text, self._style, self._today(), is_past=is_past))

    def _within(self, day: date) -> date:
        if self._last is not None and day > self._last:
            raise UserFault("still_to_come", day=day)
        if day < self._first:
            if self._first == EARLIEST:
                raise UserFault("too_long_ago", at=day, earliest=EARLIEST)
            raise UserFault("gone_by", day=day)
        return day

    def _on_step(self, by: int) -> None:
        """Go a day on or back, as far as it may be."""
        day = self.day
        if day is not None:
            self._show_if_it_can(day + timedelta(days=by))

    def _show_if_it_can(self, day: date) -> None:
        try:
            self._within(day)
        except UserFault:
            return
        self._put(day)

    def _put(self, day: date) -> None:
        self._put_text(day_text(day))

    def _put_text(self, text: str) -> None:
        """Show another text and leave the keys where they stand in it."""
        at, has_all = self.field.cursorPosition(), self.field.hasSelectedText()
        self.set_text(text)
        self.field.setCursorPosition(at)
        if has_all:
            self.field.selectAll()

    # The calendar

    def open_calendar(self) -> None:
        """Open a calendar below the line; Return or a click takes the day, Escape none."""
        from PySide6.QtWidgets import QCalendarWidget

        calendar = self._calendar = QCalendarWidget(self)
        calendar.setWindowFlags(Qt.WindowType.Popup)
        calendar.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        calendar.setAccessibleName("Calendar")
        calendar.setVerticalHeaderFormat(QCalendarWidget.VerticalHeaderFormat.NoVerticalHeader)
        # Red says here that something is overdue; Saturday and Sunday are days like the others.
        plain = calendar.weekdayTextFormat(Qt.DayOfWeek.Monday)
        for weekday in (Qt.DayOfWeek.Saturday, Qt.DayOfWeek.Sunday):
            calendar.setWeekdayTextFormat(weekday, plain)
        calendar.setMinimumDate(_qt_day(self._first))
        if self._last is not None:
            calendar.setMaximumDate(_qt_day(self._last))
        calendar.setSelectedDate(_qt_day(self._shown_day() or self._example()))
        calendar.activated.connect(self._on_chosen)
        calendar.clicked.connect(self._on_chosen)
        calendar.adjustSize()
        calendar.move(self._place_of(calendar))
        calendar.show()
        calendar.setFocus()

    def _place_of(self, calendar: QWidget) -> QPoint:
        """Return where there is room: below the line, else above it."""
        at = self.field.mapToGlobal(QPoint(0, self.field.height()))
        free = self.screen().availableGeometry()
        if at.y() + calendar.height() > free.bottom():
            at = self.field.mapToGlobal(QPoint(0, -calendar.height()))
        at.setX(max(free.left(), min(at.x(), free.right() - calendar.width())))
        return at

    def _shown_day(self) -> date | None:
        return self.day

    def _on_chosen(self, chosen: QDate) -> None:
        calendar, self._calendar = self._calendar, None
        if calendar is None:
            return
        calendar.close()
        self._show_if_it_can(date(chosen.year(), chosen.month(), chosen.day()))
        self.field.setFocus()


class MomentField(DayField):
    """A day and a time of it, on the household's wall clock."""

    def __init__(
        self,
        name: str,
        words: Words,
        *,
        last: date | None = None,
        parent: QWidget | None = None,
    ) -> None:
        self._moment_now = words.moment
        self._now = words.moment.local.replace(tzinfo=None, second=0, microsecond=0)
        self._zone = words.moment.zone
        self._hours_on: date | None = None
        super().__init__(name, words, last=last or self._now.date(), parent=parent)

    @property
    def moment(self) -> datetime | None:
        """The wall clock time that stands there, without its zone, None where there is none."""
        return self.value if isinstance(self.value, datetime) else None

    @property
    def at(self) -> datetime | None:
        """The moment that stands there, None where there is none or it is refused."""
        return None if self.moment is None else self.moment.replace(tzinfo=self._zone)

    @property
    def is_whole(self) -> bool:
        """Whether day and time stand there."""
        return is_whole(self.text, self._style, has_time=True)

    def _full_text(self) -> str:
        return "" if self.moment is None else moment_text(self.moment)

    def take_hours_on(self, day: date) -> None:
        """Take an hour that is typed alone as one of another day than today."""
        self._hours_on = day

    def set_moment(self, local: datetime) -> None:
        """Show a wall clock time, to the minute."""
        self.set_text(moment_text(local))

    def _read_text(self, text: str) -> object:
        typed = moment_in(text, self._style, self._moment_now, self._hours_on)
        self._within(typed.date())
        if not _is_there(typed, self._zone):
            raise UserFault("clock_went_forward", at=typed)
        return typed

    def _shown_day(self) -> date | None:
        return None if self.moment is None else self.moment.date()

    def _put(self, day: date) -> None:
        before = self.moment or self._now
        self._put_text(moment_text(datetime.combine(day, before.time())))

    def _on_step(self, by: int) -> None:
        """Go a day on or back, an hour where the keys stand in the time."""
        moment = self.moment
        if moment is None:
            return
        at, text = self.field.cursorPosition(), self.field.text()
        is_in_day = at <= day_length(text, self._style)
        if is_in_day or self.field.hasSelectedText():
            self._show_if_it_can(moment.date() + timedelta(days=by))
            return
        later = moment + timedelta(hours=by)
        if later.date() <= (self._last or later.date()):
            self._put_text(moment_text(later))
            # The day before it may be a sign longer or shorter than it was.
            self.field.setCursorPosition(len(self.field.text()) - (len(text) - at))


def _is_there(typed: datetime, zone: ZoneInfo) -> bool:
    """Tell whether a wall clock ever showed this: an hour is left out when clocks go forward."""
    read = typed.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)
    return read.replace(tzinfo=None) == typed


def _qt_day(day: date) -> QDate:
    return QDate(day.year, day.month, day.day)
