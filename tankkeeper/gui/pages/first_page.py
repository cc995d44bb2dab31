"""The first page: three questions, the tank as it is typed, and the chores that are proposed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from zoneinfo import available_timezones

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtGui import QKeySequence, QPalette, QResizeEvent, QShortcut
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from tankkeeper.core.communities import Community
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Stage
from tankkeeper.core.moment import moment_of
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.models.first_answers import (
    SHAPES,
    UNIT_CHOICES,
    UnitChoice,
    first_weekday_of,
    units_of_locale,
)
from tankkeeper.gui.models.first_drawing import drawing_of, litres_words
from tankkeeper.gui.pages.first_measures import FirstMeasures
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.buttons import Button, ButtonKind
from tankkeeper.gui.widgets.chips import Chips
from tankkeeper.gui.widgets.first_picture import FirstPicture
from tankkeeper.gui.widgets.labelled import Labelled
from tankkeeper.gui.widgets.labels import (
    BodyLabel,
    CaptionLabel,
    FigureLabel,
    HeadingLabel,
    TitleLabel,
)
from tankkeeper.gui.widgets.proposal_list import ProposalList
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.gui.widgets.scrolling import use_slim_bar
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import Words, capital
from tankkeeper.services import settling_in
from tankkeeper.services.noting import named

ACCEPT_KEY = "Ctrl+Return"
_STACKED_BELOW = 840
_LARGE_TYPE = 1.2
_STAGES = (("Running", Stage.RUNNING), ("New, still cycling", Stage.CYCLING))
_NO_NAME = "The tank needs a name. Any word will do."
_NO_COMMUNITY = "Choose what lives in the tank, or is to live in it."


class FirstPage(QWidget):
    """Asks three questions and proposes chores.

    `accepted` tells the household to be made, `commanded` another command that was chosen, `left`
    that the person went back to what was open before.
    """

    accepted = Signal(object)
    commanded = Signal(str)
    left = Signal()

    def __init__(
        self,
        zone: str,
        now: datetime,
        decimal_sign: str = ".",
        *,
        can_leave: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._now = now
        self._decimal_sign = decimal_sign
        self._misfit = ""
        self._first_weekday = first_weekday_of(QLocale())
        self.setAccessibleName("A new household")
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self._build(zone, can_leave=can_leave)
        self._connect(can_leave=can_leave)
        self._show_measures()

    # Building

    def _build(self, zone: str, *, can_leave: bool) -> None:
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._halves.setContentsMargins(0, 0, 0, 0)
        self._halves.setSpacing(0)
        self._halves.addWidget(self._questions(zone, can_leave=can_leave), 9)
        self._halves.addWidget(self._answer(), 10)

    def _questions(self, zone: str, *, can_leave: bool) -> QWidget:
        inside = QWidget(self)
        column = QVBoxLayout(inside)
        column.setContentsMargins(Space.XXL, Space.XL, Space.XXL, Space.L)
        column.setSpacing(Space.XS)
        column.addWidget(TitleLabel("A new household", parent=inside))
        column.addWidget(
            BodyLabel(
                "Three answers are enough to begin. Everything can be changed later.",
                ink=Role.INK_2,
                parent=inside,
            )
        )
        self._question(column, "Where and in which units", 1)
        self.zone = self._choice("Time zone", sorted(available_timezones()), inside)
        self.zone.setCurrentIndex(max(0, self.zone.findText(zone)))
        self.units = self._choice("Units", [one.text for one in UNIT_CHOICES], inside)
        self.units.setCurrentIndex(UNIT_CHOICES.index(units_of_locale(QLocale())))
        self._row(column, Labelled("Time zone", self.zone), Labelled("Units", self.units))
        self._question(column, "The first tank", 2)
        self.name = self._text("Name", "name")
        self.room = self._text("Room", "room")
        self.room.set_text("Living room")
        self._row(column, Labelled("Name", self.name), Labelled("Room", self.room))
        self.shape = self._choice("Shape", [words for words, _ in SHAPES.values()], inside)
        column.addWidget(Labelled("Shape", self.shape))
        self.measures = FirstMeasures(self._decimal_sign, inside)
        column.addWidget(self.measures)
        self._question(column, "What lives in it", 3)
        words = [capital(one.value) for one in Community]
        self.community = Chips("What lives in it", words, inside)
        column.addWidget(self.community)
        self.stage = self._choice("The tank is", [text for text, _ in _STAGES], inside)
        column.addWidget(Labelled("The tank is", self.stage))
        column.addStretch(1)
        column.addLayout(self._other_ways(inside, can_leave=can_leave))
        return self._scrolled(inside)

    def _other_ways(self, inside: QWidget, *, can_leave: bool) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(Space.S)
        self.others: list[Button] = []
        for command, text in (
            (Command.SAMPLE, "Open the sample household"),
            (Command.IMPORT, "Import a tank file"),
        ):
            button = Button(text, parent=inside)
            button.setObjectName(command.value)
            button.setToolTip(f"{text} ({key_caption(command)})")
            button.setAccessibleDescription(key_caption(command))
            button.clicked.connect(self._on_other)
            row.addWidget(button)
            self.others.append(button)
        self.back = Button("Back", parent=inside)
        self.back.setVisible(can_leave)
        row.addWidget(self.back)
        row.addStretch(1)
        return row

    def _answer(self) -> QWidget:
        side = QWidget(self)
        side.setAutoFillBackground(True)
        side.setBackgroundRole(QPalette.ColorRole.Window)
        column = QVBoxLayout(side)
        column.setContentsMargins(Space.XL, Space.XL, Space.XL, Space.L)
        column.setSpacing(Space.XS)
        top = QHBoxLayout()
        top.setSpacing(Space.M)
        self.picture = FirstPicture(side)
        top.addWidget(self.picture, 3)
        figures = QVBoxLayout()
        figures.setSpacing(0)
        self.litres = FigureLabel(parent=side)
        self.litres_from = CaptionLabel(parent=side)
        figures.addWidget(self.litres)
        figures.addWidget(self.litres_from)
        figures.addStretch(1)
        top.addLayout(figures, 2)
        column.addLayout(top)
        self.heading = HeadingLabel(parent=side)
        column.addWidget(self.heading)
        column.addWidget(
            CaptionLabel("Space switches a chore off or on; + and - change its days.", parent=side)
        )
        self.list = ProposalList(side)
        self.list.setMinimumHeight(120)
        column.addWidget(self.list, 1)
        self.refusal = BodyLabel(ink=Role.OVERDUE, parent=side)
        self.refusal.hide()
        column.addWidget(self.refusal)
        foot = QHBoxLayout()
        foot.setSpacing(Space.S)
        self.minutes = BodyLabel(ink=Role.INK_2, wraps=False, parent=side)
        self.accept = Button("Accept", ButtonKind.PRIMARY, side)
        self.accept.setToolTip(ACCEPT_KEY.replace("Return", "Enter"))
        foot.addWidget(self.minutes, 1)
        foot.addWidget(CaptionLabel("Ctrl+Enter", wraps=False, parent=side))
        foot.addWidget(self.accept)
        column.addLayout(foot)
        return side

    def _scrolled(self, inside: QWidget) -> QScrollArea:
        area = QScrollArea(self)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        inside.setAutoFillBackground(True)
        inside.setBackgroundRole(QPalette.ColorRole.Base)
        use_slim_bar(area)
        area.setWidget(inside)
        self._area = area
        return area

    def _question(self, column: QVBoxLayout, text: str, number: int) -> None:
        column.addSpacing(Space.S)
        row = QHBoxLayout()
        row.addWidget(HeadingLabel(text, parent=self), 1)
        row.addWidget(CaptionLabel(f"{number} of 3", wraps=False, parent=self))
        column.addLayout(row)

    def _row(self, column: QVBoxLayout, *fields: QWidget) -> None:
        row = QHBoxLayout()
        row.setSpacing(Space.M)
        for field in fields:
            row.addWidget(field, 1, Qt.AlignmentFlag.AlignTop)
        column.addLayout(row)

    def _choice(self, name: str, texts: Sequence[str], parent: QWidget) -> ChoiceField:
        field = ChoiceField(name, parent)
        field.addItems(list(texts))
        return field

    def _text(self, name: str, field: str) -> QuantityField:
        return QuantityField(name, "", lambda text: named(text, field), fault_words, parent=self)

    def _connect(self, *, can_leave: bool) -> None:
        self.units.currentIndexChanged.connect(self._show_measures)
        self.shape.currentIndexChanged.connect(self._show_measures)
        self.zone.currentIndexChanged.connect(self._refresh)
        self.stage.currentIndexChanged.connect(self._refresh)
        self.community.chosen.connect(self._refresh)
        self.measures.changed.connect(self._refresh)
        self.measures.typed.connect(self._forget_refusal)
        self.measures.lit.connect(self._show_picture)
        for field in (self.name, self.room):
            field.value_changed.connect(self._refresh)
        self.list.chosen_changed.connect(self._show_sums)
        self.accept.clicked.connect(self._on_accept)
        self.back.clicked.connect(self.left)
        for key in (ACCEPT_KEY, "Ctrl+Enter"):
            QShortcut(QKeySequence(key), self).activated.connect(self._on_accept)
        if can_leave:
            QShortcut(QKeySequence("Esc"), self).activated.connect(self.left)
        self.setFocusProxy(self.name)

    # The measures

    @property
    def unit_choice(self) -> UnitChoice:
        """The units that are chosen."""
        return UNIT_CHOICES[self.units.currentIndex()]

    @property
    def shape_kind(self) -> ShapeKind:
        """The shape that is chosen."""
        return tuple(SHAPES)[self.shape.currentIndex()]

    def _show_measures(self) -> None:
        """Ask the measures of the chosen shape in the chosen units."""
        self.measures.ask(self.shape_kind, self.unit_choice)
        before: QWidget = self.shape
        fields = [one.field for one in self.measures.fields]
        behind = (*self.community.chips, self.stage, self.list, self.accept, *self.others)
        for widget in (*fields, *behind, self.back):
            QWidget.setTabOrder(before, widget)
            before = widget
        self._refresh()

    # What follows from the answers

    def _answers(self) -> settling_in.Answers:
        name = self.name.value
        chosen = self.community.number
        return settling_in.Answers(
            zone=self.zone.currentText(),
            tank=name if isinstance(name, str) else "the tank",
            shape=self.measures.shape(),
            community=tuple(Community)[chosen] if chosen >= 0 else None,
            room=self.room.text,
            stage=_STAGES[self.stage.currentIndex()][1],
            units=self.unit_choice.shown,
            first_weekday=self._first_weekday,
        )

    def _household(self) -> Household:
        """Return the household as far as it is told; measures that do not fit are left out."""
        answers = self._answers()
        try:
            household = settling_in.household_of(answers)
            settling_in.proposals_for(household, settling_in.day_of(household, self._now))
            self._misfit = ""
        except UserFault as fault:
            self._misfit = fault_words(fault)
            bare = replace(answers, shape=Shape(self.shape_kind), room="")
            household = settling_in.household_of(bare)
        return household

    def _words(self, household: Household) -> Words:
        return Words(household, moment_of(household, self._now), self._decimal_sign)

    def _refresh(self) -> None:
        """Show picture, litres and chores for what is typed so far."""
        self._forget_refusal()
        household = self._household()
        words = self._words(household)
        tank = household.tanks[0]
        litres, made_of = litres_words(tank, words)
        self.litres.setText(litres)
        self.litres_from.setText(self._misfit or made_of)
        self.heading.setText(f"Chores we propose for {tank.name}")
        day = settling_in.day_of(household, self._now)
        self.list.show_proposals(settling_in.proposals_for(household, day), words)
        self._show_picture()

    def _show_picture(self) -> None:
        household = self._household()
        lit, words = self.measures.lit_field, self._words(household)
        self.picture.show_picture(drawing_of(household.tanks[0], lit, words, self.unit_choice))

    def _show_sums(self) -> None:
        accepted = self.list.accepted
        count = counted(len(accepted), "chore", "chores")
        self.accept.set_words(f"Accept {count}")
        a_day = round(sum(one.minutes_a_day for one in accepted))
        self.minutes.setText(f"About {counted(a_day, 'minute', 'minutes')} a day")

    # Accepting

    def refuse(self, sentence: str) -> None:
        """Say why nothing was made; what was typed stays."""
        self.refusal.setText(sentence)
        self.refusal.show()

    def _forget_refusal(self) -> None:
        self.refusal.hide()

    def _on_other(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())

    def _on_accept(self) -> None:
        """Make the household, or go to the first answer that cannot be."""
        if self.name.value is None:
            if not self.name.fault:
                self.name.show_fault(_NO_NAME)
            self.name.setFocus()
            return
        wrong = self.measures.first_wrong()
        if wrong is not None:
            wrong.setFocus()
            return
        if self.community.number < 0:
            self.refuse(_NO_COMMUNITY)
            self.community.chips[0].setFocus()
            return
        try:
            household = settling_in.household_of(self._answers())
            settling_in.proposals_for(household, settling_in.day_of(household, self._now))
        except UserFault as fault:
            self._refuse_measures(fault)
            return
        self.accepted.emit(settling_in.with_chores(household, self.list.accepted))

    def _refuse_measures(self, fault: UserFault) -> None:
        """Say at its field what does not fit the other measures."""
        field = self.measures.refuse(fault)
        if field is None and fault.values.get("field") == "room":
            field = self.room
            field.show_fault(fault_words(fault))
        if field is None:
            self.refuse(fault_words(fault))
        else:
            field.setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand the halves one above the other where they would be too narrow side by side."""
        super().resizeEvent(event)
        scale = self.font().pixelSize() / 14 if self.font().pixelSize() > 0 else 1.0
        is_narrow = self.width() < _STACKED_BELOW * max(1.0, scale)
        self._halves.setDirection(
            QBoxLayout.Direction.TopToBottom if is_narrow else QBoxLayout.Direction.LeftToRight
        )
