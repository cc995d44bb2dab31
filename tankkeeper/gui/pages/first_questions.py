"""The questions of the first page: where and in which units, the tank, and what lives in it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QLocale, QObject, Qt, Signal
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Stage
from tankkeeper.core.volume import ShapeKind
from tankkeeper.gui.models.first_answers import (
    SHAPES,
    UnitChoice,
    first_weekday_of,
    units_like,
)
from tankkeeper.gui.pages.community_question import CommunityQuestion
from tankkeeper.gui.pages.first_measures import FirstMeasures
from tankkeeper.gui.pages.household_question import HouseholdQuestion, Places
from tankkeeper.gui.pages.question_parts import add_head, add_row, choice_of, name_of
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labelled import Labelled, with_its_words
from tankkeeper.gui.widgets.labels import BodyLabel, CaptionLabel, TitleLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.gui.widgets.scrolling import use_slim_bar
from tankkeeper.gui.widgets.ways_on import WaysOn
from tankkeeper.reports.faults import fault_words
from tankkeeper.services import settling_in

# What the tank is in words, its stage, and whether it is for quarantine.
STAGES = (
    ("Running", Stage.RUNNING, False),
    ("New, still cycling", Stage.CYCLING, False),
    ("For quarantine", Stage.RUNNING, True),
)
USUAL_ROOM = "Living room"
NO_NAME = "The tank needs a name. Any word will do."
STILL_HERE = "What you typed last time is still here. Ctrl+Z or Clear takes it away."
_OTHER_WAYS = (
    (Command.SAMPLE, "Open the sample household"),
    (Command.IMPORT, "Import a tank file"),
)


class FirstQuestions(QScrollArea):
    """Asks; without a household also where it is and in which units.

    `changed` tells that an answer is another, `typed` that a text is, `lit` which size is typed,
    `commanded` another command that was chosen, `left` that the person goes back.
    `cleared` tells that all answers are to be taken away, `size_left` that the keys went from a
    size, `grown` that the questions take another height.
    """

    changed = Signal()
    typed = Signal()
    lit = Signal()
    commanded = Signal(str)
    left = Signal()
    cleared = Signal()
    size_left = Signal()
    grown = Signal()

    def __init__(
        self,
        zone: str,
        decimal_sign: str,
        parent: QWidget,
        *,
        house: Household | None = None,
        places: Places | None = None,
        can_leave: bool = False,
    ) -> None:
        super().__init__(parent)
        self._house = house
        self._stands_whole = False
        self._first_weekday = first_weekday_of(QLocale())
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        use_slim_bar(self)
        self._inside = inside = QWidget(self)
        inside.setAutoFillBackground(True)
        inside.setBackgroundRole(QPalette.ColorRole.Base)
        self._make(inside, zone, decimal_sign, places)
        self._lay_out(inside)
        # Whoever only looks round finds these without scrolling past the questions.
        self.ways = self._other_ways(can_leave=can_leave)
        self.setWidget(inside)
        inside.installEventFilter(self)
        # Only now is there room to scroll to a sentence that came below all else.
        self.verticalScrollBar().rangeChanged.connect(self.show_focus)
        self._connect()
        self._on_stage()
        self.ask_measures()
        self._untouched = self._standing()

    # Building

    def _make(self, inside: QWidget, zone: str, decimal_sign: str, places: Places | None) -> None:
        # Made before the others: Tab goes round, and Qt moves no field that hands its keys on.
        number = "3 of 3" if self._house is None else "2 of 2"
        self.community = CommunityQuestion(number, inside)
        self.household = HouseholdQuestion("1 of 3", zone, places, inside)
        self.household.setVisible(self._house is None)
        self.name = name_of("Name", "name", inside)
        self.room = name_of("Room", "room", inside)
        rooms = self._house.rooms if self._house is not None else ()
        self.room.set_text(rooms[0].name if rooms else USUAL_ROOM)
        self.shape = choice_of("Shape", [words for words, _ in SHAPES.values()], inside)
        self.stage = choice_of("The tank is", [text for text, _, _ in STAGES], inside)
        self.measures = FirstMeasures(decimal_sign, inside)
        self.extras = FirstMeasures(decimal_sign, inside)

    def _lay_out(self, inside: QWidget) -> None:
        column = QVBoxLayout(inside)
        column.setContentsMargins(Space.XXL, Space.L, Space.XXL, Space.S)
        # So that in the usual window and type the last of them is seen without scrolling.
        column.setSpacing(Space.XXS)
        is_tank = self._house is not None
        title = "A new tank" if is_tank else "A new household"
        sentence = f"{'Two' if is_tank else 'Three'} answers are enough to begin. "
        column.addWidget(TitleLabel(title, parent=inside))
        column.addWidget(
            BodyLabel(f"{sentence}Everything can be changed later.", ink=Role.INK_2, parent=inside)
        )
        column.addWidget(self._draft_line(inside))
        column.addWidget(self.household)
        words, number = ("The tank", "1 of 2") if is_tank else ("The first tank", "2 of 3")
        add_head(column, words, number, self)
        add_row(column, Labelled("Name", self.name), Labelled("Room", self.room))
        add_row(column, Labelled("Shape", self.shape), Labelled("The tank is", self.stage))
        column.addWidget(self.measures)
        column.addWidget(
            CaptionLabel("Where known, for surer figures; it can wait.", parent=inside)
        )
        column.addWidget(self.extras)
        column.addWidget(self.community)
        column.addStretch(1)

    def _draft_line(self, inside: QWidget) -> QWidget:
        """Return what says that the answers are those of last time, and takes them away."""
        self.again = QWidget(inside)
        row = QHBoxLayout(self.again)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(Space.S)
        words = BodyLabel(STILL_HERE, ink=Role.INK_2, parent=self.again)
        row.addWidget(words, 1, Qt.AlignmentFlag.AlignVCenter)
        self.clear_button = Button("Clear", parent=self.again)
        self.clear_button.clicked.connect(self.cleared)
        row.addWidget(self.clear_button)
        self.again.hide()
        return self.again

    def _other_ways(self, *, can_leave: bool) -> WaysOn:
        """Return what else can be done here; it belongs beneath the questions."""
        holder = WaysOn()
        self.others: list[Button] = []
        for command, text in _OTHER_WAYS if self._house is None else ():
            button = Button(text, parent=holder)
            button.setObjectName(command.value)
            button.setToolTip(f"{text} ({key_caption(command)})")
            button.setAccessibleDescription(key_caption(command))
            button.clicked.connect(self._on_other)
            holder.add(button, key_caption(command))
            self.others.append(button)
        self.back = Button("Back", parent=holder)
        self.back.setVisible(can_leave)
        holder.add(self.back, "Esc" if can_leave else "")
        holder.setVisible(bool(self.others) or can_leave)
        return holder

    def _connect(self) -> None:
        self.household.units_changed.connect(self.ask_measures)
        self.shape.currentIndexChanged.connect(self.ask_measures)
        self.stage.currentIndexChanged.connect(self._on_stage)
        self.household.changed.connect(self.changed)
        self.stage.currentIndexChanged.connect(self.changed)
        self.community.changed.connect(self.changed)
        for field in (self.name, self.room):
            field.value_changed.connect(self.changed)
        for one in (self.measures, self.extras):
            one.changed.connect(self.changed)
            one.typed.connect(self.typed)
            one.lit.connect(self.lit)
            one.left.connect(self.size_left)
        self.back.clicked.connect(self.left)

    # What was answered

    def _standing(self) -> tuple[object, ...]:
        texts = [self.name, self.room, *self.measures.fields, *self.extras.fields]
        chosen = (self.community.chosen, self.shape.currentIndex(), self.stage.currentIndex())
        # A blank is nothing that leaving would lose.
        return (*self.household.standing, *chosen, *(one.text.strip() for one in texts))

    @property
    def is_begun(self) -> bool:
        """Whether anything was typed or chosen."""
        return self._standing() != self._untouched

    def go_on(self, house: Household | None) -> None:
        """Ask on where it was left, by now for this household."""
        self._house = house
        self.again.show()
        self.ask_measures()
        # One undo takes all of it away, and not first the letters of the field with the keys.
        for field in (self.household.name, self.name, self.room):
            field.field.forget_typing()
        announce(self, STILL_HERE)

    @property
    def unit_choice(self) -> UnitChoice:
        """The units in which sizes are asked."""
        if self._house is not None:
            return units_like(self._house.units)
        return self.household.unit_choice

    @property
    def shape_kind(self) -> ShapeKind:
        """The shape that is chosen."""
        return tuple(SHAPES)[self.shape.currentIndex()]

    @property
    def is_quarantine(self) -> bool:
        """Whether the tank is for quarantine."""
        return STAGES[self.stage.currentIndex()][2]

    @property
    def in_order(self) -> list[QWidget]:
        """What takes keys, in their order."""
        first = [] if self._house is not None else self.household.in_order
        sizes = [*self.measures.fields, *self.extras.fields]
        asked = [self.name, self.room, self.shape, self.stage, *sizes]
        return [*first, *asked, self.community.choice, *self.community.choice.chips]

    @property
    def heads(self) -> list[QWidget]:
        """The first field of each question."""
        first = [] if self._house is not None else [self.household.zone]
        return [*first, self.name, self.community.choice]

    @property
    def behind(self) -> list[QWidget]:
        """What takes keys after all else."""
        return [*self.others, self.back, self.clear_button]

    def ask_measures(self) -> None:
        """Ask the measures of the chosen shape in the chosen units."""
        self.measures.ask(self.shape_kind, self.unit_choice)
        self.extras.ask_extras(self.unit_choice)
        self.changed.emit()

    def _on_stage(self) -> None:
        self.community.ask_for(is_quarantine=self.is_quarantine)

    def answers(self) -> settling_in.Answers:
        """Return what was answered so far."""
        name, house = self.name.value, self._house
        return settling_in.Answers(
            zone=self.household.zone.currentText() if house is None else house.zone,
            tank=name if isinstance(name, str) else "the tank",
            shape=self.measures.shape(),
            community=self.community.chosen,
            room=self.room.text,
            stage=STAGES[self.stage.currentIndex()][1],
            is_quarantine=self.is_quarantine,
            units=self.unit_choice.shown,
            first_weekday=self._first_weekday,
            household=self.household.called,
            **self.extras.values(),  # type: ignore[arg-type]
        )

    def refuse_missing(self, misfit: UserFault | None) -> bool:
        """Tell at each answer what is missing or cannot be, and go to the first of them.

        `misfit` is what of the sizes does not fit the others, if anything. A name that is taken
        is told with the others, not after them.
        """
        if self.name.check() and self.name.value is None:
            self.name.show_fault(NO_NAME, stays=True)
        elif not self.name.fault and self._house is not None:
            try:
                settling_in.refuse_taken(self._house, self.answers())
            except UserFault as taken:
                self.name.show_fault(fault_words(taken), stays=True)
        names = [] if self._house is not None else [self.household.name]
        others = [one for one in (*names, self.room) if not one.check()]
        faulty = [one for one in (*names, self.name, self.room) if one in others or one.fault]
        sizes = (self.measures.first_wrong(), self.extras.first_wrong())
        faulty += [one for one in sizes if one is not None]
        unfit = None if misfit is None else self._field_of(misfit)
        faulty += [] if unfit is None else [unfit]
        is_missing = self.community.refuse_missing()
        if faulty:
            self._go_to(faulty[0])
        elif is_missing:
            self.community.choice.setFocus()
            self.show_focus()
        return bool(faulty) or is_missing

    def refuse(self, fault: UserFault) -> bool:
        """Say at its field what cannot be; tell whether there is one."""
        field = self._field_of(fault)
        if field is not None:
            self._go_to(field)
        return field is not None

    def tell_misfit(self, fault: UserFault | None) -> None:
        """Say at its size what does not fit the others, wherever the keys are."""
        if fault is not None:
            self._field_of(fault)

    def labelled(self, fault: UserFault) -> UserFault:
        """Call a size by the name that stands above its field."""
        return self.measures.labelled(self.extras.labelled(fault))

    def tell_again(self, fault: UserFault | None) -> None:
        """Say anew what was told not to fit: another answer may have mended it."""
        self.measures.tell_again(fault)
        self.extras.tell_again(fault)

    def _field_of(self, fault: UserFault) -> QuantityField | None:
        """Return the field that a fault is about, with its sentence under it."""
        field = self.measures.refuse(fault) or self.extras.refuse(fault)
        others = {"room": self.room, "name": self.name, "household": self.household.name}
        if field is None:
            field = others.get(str(fault.values.get("field", "")))
            if field is not None:
                field.show_fault(fault_words(fault), stays=True)
        return field

    def _go_to(self, field: QuantityField) -> None:
        field.go_to()
        self.show_focus()

    # What is in view

    def stand_whole(self, is_whole: bool) -> None:
        """Stand as high as the questions are where the page around them scrolls, or scroll."""
        bar = Qt.ScrollBarPolicy
        self._stands_whole = is_whole
        self.setVerticalScrollBarPolicy(
            bar.ScrollBarAlwaysOff if is_whole else bar.ScrollBarAlwaysOn
        )
        self._fit()

    def show_focus(self) -> None:
        """Bring what has the keys into view, with its sentence."""
        now = self._inside.focusWidget()
        if now is not None and now.hasFocus():
            for shown in self.seen_with(now):
                self.ensureWidgetVisible(shown, 0, Space.XS)

    def seen_with(self, now: QWidget) -> list[QWidget]:
        """Return what has to be seen with a field, the most needed last."""
        if not self.community.isAncestorOf(now):
            return [with_its_words(now), now]
        return self.community.seen_with(now)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height that the questions have in another width."""
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the questions when a sentence comes under one of them."""
        if watched is self._inside and event.type() == QEvent.Type.LayoutRequest:
            self._fit()
        elif watched is self._inside and event.type() == QEvent.Type.Resize:
            self.show_focus()
            self.grown.emit()
        return super().eventFilter(watched, event)

    def _fit(self) -> None:
        wide = self.viewport().width()
        self.setMinimumHeight(self._inside.heightForWidth(wide) if self._stands_whole else 0)

    def _on_other(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())
