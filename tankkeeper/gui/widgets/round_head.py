"""The head of the round: day, one sentence, the sums, and the names of the columns."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from tankkeeper.gui.models.round_rows import Figure
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, metrics_for, type_font
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.labels import BodyLabel, TitleLabel
from tankkeeper.gui.widgets.round_columns import HEADS, Columns
from tankkeeper.gui.widgets.scrolling import BAR_WIDTH

_FIGURE_GAP = 20
# What is shown of title, sums and sentence, and the rows of the list that have room beneath. The
# sums stand nowhere else; most counts stand in the rail, and the day mostly in the top bar.
_LOOKS = (
    (True, True, True, 3),
    (True, True, False, 3),
    (False, True, False, 2),
    (True, False, False, 3),
)
_LEAST_ROWS = 2
_MORE_TO_COME = ("99 done", "9 skipped")


class Figures(QWidget):
    """The sums in one row, or two by two where the row is too long; the labels under them."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._figures: tuple[Figure, ...] = ()
        self._per_row = 4

    def set_figures(self, figures: Sequence[Figure]) -> None:
        """Show these sums."""
        self._figures = tuple(figures)
        told = ", ".join(f"{one.number} {one.label}" for one in figures)
        self.setAccessibleName(told)
        self.update()

    def widths(self) -> list[float]:
        """Return what each sum takes."""
        large = QFontMetricsF(type_font(self.font(), TypeRole.FIGURE, Weight.SEMIBOLD))
        small = QFontMetricsF(type_font(self.font(), TypeRole.CAPTION))
        return [
            max(large.horizontalAdvance(one.number), small.horizontalAdvance(one.label))
            for one in self._figures
        ]

    def size_for(self, room: float) -> QSize:
        """Return the size in which the sums fit into `room`, and take that many to a row."""
        widths = self.widths()
        count = len(widths)
        self._per_row = count if _row_width(widths) <= room else 2
        rows = -(-count // max(1, self._per_row)) if count else 0
        high = rows * (self._line_heights() + Space.XS) - (Space.XS if rows else 0)
        wide = _row_width([max(part) for part in _columns(self._rows(widths))])
        return QSize(round(wide + 0.5), round(high))

    def _line_heights(self) -> int:
        base = self.font()
        return line_height(base, TypeRole.FIGURE) + line_height(base, TypeRole.CAPTION)

    def _rows(self, widths: list[float]) -> list[list[float]]:
        step = max(1, self._per_row)
        return [widths[at : at + step] for at in range(0, len(widths), step)]

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw numbers and labels."""
        painter = QPainter(self)
        table, base = colours_of(self.palette()), self.font()
        widths = self.widths()
        column = [max(part) for part in _columns(self._rows(widths))]
        large = type_font(base, TypeRole.FIGURE, Weight.SEMIBOLD)
        small = type_font(base, TypeRole.CAPTION)
        top = line_height(base, TypeRole.FIGURE)
        for at, figure in enumerate(self._figures):
            row, place = divmod(at, max(1, self._per_row))
            x = sum(column[:place]) + place * _FIGURE_GAP
            y = row * (self._line_heights() + Space.XS)
            painter.setFont(large)
            painter.setPen(table[Role.INK])
            painter.drawText(QPointF(x, y + _baseline(large, top)), figure.number)
            painter.setFont(small)
            painter.setPen(table[Role.INK_2])
            under = line_height(base, TypeRole.CAPTION)
            painter.drawText(QPointF(x, y + top + _baseline(small, under)), figure.label)


def _row_width(widths: list[float]) -> float:
    return sum(widths) + _FIGURE_GAP * max(0, len(widths) - 1)


def _columns(rows: list[list[float]]) -> list[list[float]]:
    longest = max((len(row) for row in rows), default=0)
    return [[row[at] for row in rows if at < len(row)] for at in range(longest)]


def _baseline(font: object, line: float) -> float:
    metrics = QFontMetricsF(font)  # type: ignore[call-overload]
    return float((line - metrics.height()) / 2 + metrics.ascent())


def _lines(metrics: QFontMetricsF, text: str, width: float) -> int:
    """Return in how many lines a text stands that is broken between its words."""
    room = QRectF(0, 0, max(1.0, width), 10_000)
    high = metrics.boundingRect(room, Qt.TextFlag.TextWordWrap.value, text).height()
    return max(1, round(high / metrics.lineSpacing()))


def with_more_to_come(sentence: str) -> str:
    """Return the counts as long as they get once more of the round is done; what rests stays."""
    undone, _, settled = sentence.partition(".")
    rest = [one for one in settled.strip(" .").split(", ") if one.endswith("paused")]
    return f"{undone}. {', '.join([*_MORE_TO_COME, *rest])}."


class ColumnHeads(QWidget):
    """The names of the columns, small, above the list."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._columns: Columns | None = None

    def set_columns(self, columns: Columns) -> None:
        """Stand above these columns."""
        self._columns = columns
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the names."""
        columns = self._columns
        if columns is None:
            return
        painter = QPainter(self)
        font = type_font(self.font(), TypeRole.CAPTION)
        painter.setFont(font)
        painter.setPen(colours_of(self.palette())[Role.INK_2])
        baseline = _baseline(font, self.height())
        minutes = QFontMetricsF(font).horizontalAdvance(HEADS[2])
        places = (
            columns.chore,
            columns.amount,
            columns.minutes_right - minutes,
            columns.who,
            columns.state,
        )
        left_out = {1} if columns.has_two_lines else set()
        left_out |= {3} if columns.has_who_below else set()
        measured, end = QFontMetricsF(font), 0.0
        for at, (name, x) in enumerate(zip(HEADS, places, strict=True)):
            # In a very narrow list one name would stand on the other.
            if at not in left_out and x >= end:
                painter.drawText(QPointF(x, baseline), name)
                end = x + measured.horizontalAdvance(name)


class RoundHead(QWidget):
    """Places title and sentence at the left and the sums at the right, or below."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._long, self._short = "", ""
        self._room: int | None = None
        self.title = TitleLabel("", parent=self)
        self.sentence = BodyLabel("", ink=Role.INK_2, parent=self)
        self.figures = Figures(self)
        self.heads = ColumnHeads(self)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_texts(self, title: str, short: str, sentence: str, figures: Sequence[Figure]) -> None:
        """Tell the day, in short where the sums need the room, the counts and the sums."""
        self._long, self._short = title, short
        self.sentence.setText(sentence)
        self.figures.set_figures(figures)
        self.lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the parts."""
        super().resizeEvent(event)
        self.lay_out()

    def give_room(self, high: int) -> None:
        """Tell how high the page is: some rows must stand beneath, or what is least goes."""
        self._room = high
        self.lay_out()

    def lay_out(self) -> None:
        """Place the parts and take the height they need; the sentence goes first where it is short.

        The names of the columns go last, and then nothing is left of it.
        """
        for has_title, has_figures, has_sentence, rows in _LOOKS:
            high = self._place(has_title, has_figures, has_sentence)
            if high <= self._most(rows):
                break
        else:
            has_title = has_figures = has_sentence = False
            names = self.heads.height() + Space.S
            high = names if names <= self._most(_LEAST_ROWS) else 0
            self.heads.move(0, Space.S if high else self.heads.height())
        self.title.setVisible(has_title)
        self.figures.setVisible(has_figures)
        self.sentence.setVisible(has_sentence)
        self.setFixedHeight(high)

    def _most(self, rows: int) -> float:
        """Return how high it may be where so many rows are to stand beneath."""
        if self._room is None:
            return math.inf
        return self._room - rows * metrics_for(self.font()).row_height

    def _place(self, has_title: bool, has_figures: bool, has_sentence: bool) -> int:
        """Place the parts that are to be shown and return the height they need."""
        base, room = self.font(), float(self.width() - 2 * Space.L - BAR_WIDTH)
        title_high = line_height(base, TypeRole.TITLE) if has_title else 0
        body_high = line_height(base, TypeRole.BODY)
        small = QFontMetricsF(type_font(base, TypeRole.BODY))
        all_in_a_row = _row_width(self.figures.widths()) if has_figures else 0.0
        for title in (self._long, self._short):
            wide = self._title_width(title) + Space.L + all_in_a_row
            is_beside = has_title and wide <= room
            if is_beside:
                break
        else:
            title = self._long if self._title_width(self._long) <= room else self._short
        self.title.setText(title)
        size = self.figures.size_for(room) if has_figures else QSize(0, 0)
        y = Space.M if has_title else 0
        self.title.setGeometry(Space.L, y, int(room), title_high)
        left = room - size.width() - Space.L if is_beside else room
        # Room for what it says once more is done, so that no row moves under a hand that ticks.
        now, later = self.sentence.text(), with_more_to_come(self.sentence.text())
        lines = max(_lines(small, now, left), min(2, _lines(small, later, left)))
        lines = lines if has_sentence else 0
        self.sentence.setGeometry(Space.L, y + title_high, int(left), body_high * lines)
        bottom = y + title_high + body_high * lines
        if not has_figures:
            pass
        elif is_beside:
            x = int(Space.L + room - size.width())
            self.figures.setGeometry(x, y + 4, size.width(), size.height())
            bottom = max(bottom, y + 4 + size.height())
        else:
            self.figures.setGeometry(Space.L, bottom + Space.XS, size.width(), size.height())
            bottom += Space.XS + size.height()
        high = line_height(base, TypeRole.CAPTION)
        self.heads.setGeometry(0, bottom + Space.S, self.width(), high)
        return bottom + Space.S + high

    def _title_width(self, title: str) -> float:
        own = QFontMetricsF(type_font(self.font(), TypeRole.TITLE, Weight.SEMIBOLD))
        return own.horizontalAdvance(title)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw nothing of its own; the page's ground shows."""
        paint_ground(QPainter(self), self.rect(), colours_of(self.palette())[Role.SURFACE])
