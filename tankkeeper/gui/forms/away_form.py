"""The form after days off: for each turn that piled up or lapsed, whether and when it was done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from itertools import pairwise

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFormLayout, QFrame, QLabel, QScrollArea, QWidget

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.asking_form import AskingForm
from tankkeeper.gui.forms.away_daily import AllLine, DailyLine
from tankkeeper.gui.forms.away_line import AwayLine
from tankkeeper.gui.forms.choices import WhoField
from tankkeeper.gui.forms.field_faults import OF_LITRES, fault_in_form
from tankkeeper.gui.forms.sheet_travel import PAGES, go_a_page_on
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.buttons import without_mnemonic
from tankkeeper.gui.widgets.focus import is_inside
from tankkeeper.gui.widgets.scrolling import bring_whole, use_slim_bar
from tankkeeper.reports.asking import asked_once
from tankkeeper.reports.words import Words
from tankkeeper.services.away import PiledUp, done_at
from tankkeeper.services.lapsed import Lapsed

TITLE = "While you were away"
SENTENCE = (
    "Say what was done and on which day; Up and Down choose. What was not done stays where it is."
)
NOTHING_PILED_UP = "Nothing of what is overdue or due could have been done before today."
_ROWS_SEEN = 9
# The sentence and the field of who, at the usual type.
_BESIDE = 90
_NAME_WIDE, _FORM_WIDE = 220, 520
KEEP = "Keep"


@dataclass(frozen=True, slots=True)
class Answers:
    """What was chosen and typed: per turn its day and the texts of its fields, and by whom.

    `people` holds the lines of which that was said by themselves.
    """

    lines: Mapping[str, tuple[date | None, tuple[str, ...]]]
    person_id: str | None
    people: Mapping[str, str | None]


def _seen_stops(line: AllLine | DailyLine | AwayLine) -> list[QWidget]:
    """Return the fields of a line that are shown."""
    return [one for one in _stops_of(line) if one.isVisibleTo(line)]


def _stops_of(line: AllLine | DailyLine | AwayLine) -> list[QWidget]:
    """Return what Tab goes through in a line."""
    stops: list[QWidget] = [line.choice, *(field.field for field in line.fields())]
    return stops if line.who is None else [*stops, line.who]


class AwayForm(AskingForm):
    """All that piled up in one list; `told` gives the ticks of what was done, oldest first."""

    told = Signal(tuple)

    def __init__(
        self,
        piled: Sequence[PiledUp],
        since: datetime,
        state: HouseholdState,
        words: Words,
        person_id: str | None,
        parent: QWidget,
        lapsed: Sequence[Lapsed] = (),
    ) -> None:
        has_lines = bool(piled or lapsed)
        super().__init__(TITLE, SENTENCE if has_lines else NOTHING_PILED_UP, KEEP, parent)
        self._since = since
        self._state = state
        self._words = words
        self._lines_area = QScrollArea(self)
        self._lines_inside = inside = QWidget(self._lines_area)
        self._list = QFormLayout(inside)
        self.daily = [DailyLine(one, words, inside) for one in lapsed]
        self.all_daily = AllLine(self.daily, inside) if len(self.daily) > 1 else None
        self.lines = [AwayLine(one, words, inside) for one in piled]
        for line in self.lines:
            line.changed.connect(self.forget_question)
        first = [self.all_daily] if self.all_daily is not None else []
        self._rows: list[AllLine | DailyLine | AwayLine] = [*first, *self.daily, *self.lines]
        self._build_list(inside)
        self.who = WhoField(words.household, person_id, self)
        self.add_field("W&ho", self.who)
        self.who.currentIndexChanged.connect(self._follow_who)
        self._follow_who()
        self.asked.connect(self._on_asked)
        self._order_tab()
        (self._rows[0].choice if self._rows else self.primary).setFocus()

    @property
    def answers(self) -> Answers:
        """What stands in the form."""
        own = {
            line.key: line.who.person_id
            for line in self._kept
            if line.who is not None and line.who.is_own
        }
        lines = {line.key: line.answer for line in self._kept}
        return Answers(lines, self.who.person_id, own)

    @property
    def _kept(self) -> list[DailyLine | AwayLine]:
        return [*self.daily, *self.lines]

    def fill(self, answers: Answers) -> None:
        """Go on with what was answered when the form was left."""
        for line in self._kept:
            line.fill(*answers.lines.get(line.key, (None, ())))
        at = self.who.findData(answers.person_id)
        if at >= 0:
            self.who.setCurrentIndex(at)
        for line in self._kept:
            if line.who is not None and line.key in answers.people:
                line.who.say(answers.people[line.key])

    def _follow_who(self) -> None:
        """Let each line that does not say it by itself be of who is chosen for all."""
        for line in self._kept:
            if line.who is not None:
                line.who.follow(self.who.person_id)

    def _order_tab(self) -> None:
        """Let Tab go through the rows as they stand, then to who, and to the buttons."""
        stops: list[QWidget] = []
        for line in self._rows:
            stops += _stops_of(line)
        stops += [self.who, self.leave, self.primary]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)

    def _build_list(self, inside: QWidget) -> None:
        self._list.setContentsMargins(0, 0, Space.S, 0)
        self._list.setVerticalSpacing(Space.XS)
        self._list.setHorizontalSpacing(Space.M)
        self._list.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        sizes = metrics_for(self.font())
        for line in self._rows:
            label = QLabel(without_mnemonic(line.name), inside)
            label.setBuddy(line.choice)
            label.setWordWrap(True)
            label.setMinimumHeight(sizes.button_height)
            label.setMinimumWidth(sizes.px(_NAME_WIDE))
            self._list.addRow(label, line)
            for widget in _stops_of(line):
                widget.installEventFilter(self)
        self._lines_area.setFrameShape(QFrame.Shape.NoFrame)
        self._lines_area.setWidgetResizable(True)
        self._lines_area.setWidget(inside)
        self._lines_area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._lines_area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        use_slim_bar(self._lines_area)
        inside.installEventFilter(self)
        self._lines_area.verticalScrollBar().rangeChanged.connect(self._bring_line)
        self._fit_lines()
        # Above the fields that hold for all lines.
        self.column.insertWidget(self.column.indexOf(self.area), self._lines_area, 1)
        self._lines_area.setVisible(bool(self._rows))
        self.setMinimumWidth(max(sizes.px(_FORM_WIDE), self._wide_enough()))

    def _wide_enough(self) -> int:
        """Return the width at which each choice is read in full when it is closed.

        Over a window that is narrower it is cut, as the form is no wider than that.
        """
        wide = max((line.choice.widest() for line in self._rows), default=0)
        margins = (self.column.contentsMargins(), self._list.contentsMargins())
        beside = sum(one.left() + one.right() for one in margins)
        beside += metrics_for(self.font()).px(_NAME_WIDE) + self._list.horizontalSpacing()
        beside += self._lines_area.verticalScrollBar().sizeHint().width()
        under = self.parentWidget()
        most = wide if under is None else max(0, under.window().width() - beside)
        for line in self._rows:
            line.choice.setMinimumWidth(min(wide, most))
        return beside + wide

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Bring the line into view whose field gets the keys, and grow with what it asks."""
        if watched is self._lines_inside:
            if event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize):
                self._fit_lines()
        elif event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            bring_whole(self._lines_area, watched)
        elif event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            by = PAGES.get(Qt.Key(event.key()))
            if by is not None:
                # Scrolled alone, the list would leave the field with the keys out of sight.
                go_a_page_on(
                    self._lines_inside, [(one, _seen_stops(one)) for one in self._rows], by
                )
                return True
        return super().eventFilter(watched, event)

    def _bring_line(self) -> None:
        """Bring the line in hand into view with all that it asks since, the field in hand last."""
        here = self.focusWidget()
        line = next((one for one in self._kept if is_inside(here, one)), None)
        if here is not None and line is not None:
            bring_whole(self._lines_area, line)
            bring_whole(self._lines_area, here)

    def _fit_lines(self) -> None:
        """Give each field the height of its sentence, and the lines as much room as there is."""
        for line in self.lines:
            for field in line.fields():
                if field.isVisibleTo(line):
                    field.setMinimumHeight(max(0, field.heightForWidth(field.width())))
        row = metrics_for(self.font()).button_height + Space.XS
        needed = self._list.totalHeightForWidth(self._lines_inside.width())
        seen = self.rows_that_fit(row, _ROWS_SEEN, _BESIDE)
        self._lines_area.setFixedHeight(min(max(needed, row), seen * row))

    def _doubts(self, line: AwayLine) -> list[str]:
        """Return what is asked about the values of a line, with its name before it."""
        if line.day is None:
            return []
        at = done_at(self._state, line.day, self._since)
        beside = {one.chore_id for one in self.lines if one.day is not None}
        return [f"{line.name}: {one}" for one in line.doubts(self._state, at, beside)]

    def refuse_for(self, error: TankkeeperError) -> None:
        """Tell a refusal at the field it is about, else at the foot of the form."""
        told = fault_in_form(error, self._words)
        line = next((one for one in self.lines if one.key == error.values.get("item")), None)
        field = line.litres if line is not None and error.code in OF_LITRES else None
        if field is None:
            self.refuse(told)
            return
        self.refuse("")
        field.show_fault(told)
        field.go_to()

    def _on_asked(self) -> None:
        wrong = [field for line in self.lines if (field := line.check()) is not None]
        if wrong:
            wrong[0].go_to()
            return
        question = asked_once(one for line in self.lines for one in self._doubts(line))
        if self.asks_first(question):
            return
        by = self.who.person_id
        ticks = [tick for line in self.daily for tick in line.ticks(by)]
        ticks += [
            line.tick(done_at(self._state, line.day, self._since), by)
            for line in self.lines
            if line.day is not None
        ]
        self.wait()
        self.told.emit(tuple(sorted(ticks, key=lambda one: one.at or self._since)))
