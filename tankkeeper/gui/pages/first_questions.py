"""The questions of the first page: where and in which units, the tank, and what lives in it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from zoneinfo import available_timezones

from PySide6.QtCore import QEvent, QLocale, QObject, Qt, Signal
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from tankkeeper.core.communities import Community
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Stage
from tankkeeper.core.volume import ShapeKind
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.models.first_answers import (
    SHAPES,
    UNIT_CHOICES,
    UnitChoice,
    first_weekday_of,
    units_like,
    units_of_locale,
)
from tankkeeper.gui.pages.first_measures import FirstMeasures
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.chips import Chips
from tankkeeper.gui.widgets.labelled import Labelled, with_its_words
from tankkeeper.gui.widgets.labels import BodyLabel, CaptionLabel, HeadingLabel, TitleLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.gui.widgets.scrolling import use_slim_bar
from tankkeeper.gui.widgets.ways_on import WaysOn
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import capital
from tankkeeper.services import settling_in
from tankkeeper.services.noting import named

# What the tank is in words, its stage, and whether it is for quarantine.
STAGES = (
    ("Running", Stage.RUNNING, False),
    ("New, still cycling", Stage.CYCLING, False),
    ("For quarantine", Stage.RUNNING, True),
)
USUAL_NAME, USUAL_ROOM = "Home", "Living room"
NO_NAME = "The tank needs a name. Any word will do."
STILL_HERE = "What you typed last time is still here. Ctrl+Z or Clear takes it away."
NO_COMMUNITY = "Choose what lives in the tank, or is to live in it."
ONE_CHOICE = "One choice: the most delicate of what lives in it. Arrow keys choose."
QUARANTINE_CHOICE = "It can wait: without a choice it is for fish only. Arrow keys choose."
_OTHER_WAYS = (
    (Command.SAMPLE, "Open the sample household"),
    (Command.IMPORT, "Import a tank file"),
)
Places = Callable[[str], Path]


class FirstQuestions(QScrollArea):
    """Asks; without a household also where it is and in which units.

    `changed` tells that an answer is another, `typed` that a text is, `lit` which size is typed,
    `commanded` another command that was chosen, `left` that the person goes back.
    `cleared` tells that all answers are to be taken away, `place_asked` that the file shall lie
    somewhere else, `size_left` that the keys went from a size, `grown` that the questions take
    another height.
    """

    changed = Signal()
    typed = Signal()
    lit = Signal()
    commanded = Signal(str)
    left = Signal()
    cleared = Signal()
    place_asked = Signal()
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
        self._places = places
        self.place: Path | None = None
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
        self._make(inside, zone, decimal_sign)
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

    def _make(self, inside: QWidget, zone: str, decimal_sign: str) -> None:
        self.house_name = self._text("Household", "household", inside)
        self.house_name.set_text(USUAL_NAME)
        self.zone = self._choice("Time zone", sorted(available_timezones()), inside)
        self.zone.setCurrentIndex(max(0, self.zone.findText(zone)))
        self.units = self._choice("Units", [one.text for one in UNIT_CHOICES], inside)
        self.units.setCurrentIndex(UNIT_CHOICES.index(units_of_locale(QLocale())))
        self.kept_in = CaptionLabel(wraps=False, parent=inside)
        self.elsewhere = Button("Elsewhere", parent=inside)
        self.elsewhere.setToolTip("Choose where the file of the household lies")
        self.name = self._text("Name", "name", inside)
        self.room = self._text("Room", "room", inside)
        rooms = self._house.rooms if self._house is not None else ()
        self.room.set_text(rooms[0].name if rooms else USUAL_ROOM)
        self.shape = self._choice("Shape", [words for words, _ in SHAPES.values()], inside)
        self.stage = self._choice("The tank is", [text for text, _, _ in STAGES], inside)
        self.measures = FirstMeasures(decimal_sign, inside)
        self.extras = FirstMeasures(decimal_sign, inside)
        self.community = Chips(
            "What lives in it", [capital(one.value) for one in Community], inside
        )
        self.how_to_choose = CaptionLabel(ONE_CHOICE, parent=inside)
        self.no_community = CaptionLabel(ink=Role.OVERDUE, parent=inside)
        self.no_community.hide()

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
        number = 0
        if is_tank:
            for hidden in (self.house_name, self.zone, self.units, self.kept_in, self.elsewhere):
                hidden.hide()
        else:
            number = 1
            self._question(column, "Where and in which units", "1 of 3")
            self._row(column, Labelled("Time zone", self.zone), Labelled("Units", self.units))
            self._row(column, Labelled("Household", self.house_name), self._whereabouts(inside))
        of = f"of {number + 2}"
        words = "The tank" if is_tank else "The first tank"
        self._question(column, words, f"{number + 1} {of}")
        self._row(column, Labelled("Name", self.name), Labelled("Room", self.room))
        self._row(column, Labelled("Shape", self.shape), Labelled("The tank is", self.stage))
        column.addWidget(self.measures)
        column.addWidget(
            CaptionLabel("Where known, for surer figures; it can wait.", parent=inside)
        )
        column.addWidget(self.extras)
        self._question(column, "What lives in it", f"{number + 2} {of}")
        column.addWidget(self.how_to_choose)
        column.addWidget(self.community)
        column.addWidget(self.no_community)
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

    def _whereabouts(self, inside: QWidget) -> QWidget:
        """Return where the file of the household will lie, and the button that changes it."""
        holder = QWidget(inside)
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        column.addWidget(self.kept_in)
        column.addWidget(self.elsewhere, 0, Qt.AlignmentFlag.AlignLeft)
        holder.setVisible(self._places is not None)
        return holder

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

    def _question(self, column: QVBoxLayout, text: str, number: str) -> None:
        column.addSpacing(Space.M)
        row = QHBoxLayout()
        row.addWidget(HeadingLabel(text, parent=self), 1)
        row.addWidget(CaptionLabel(number, wraps=False, parent=self))
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

    def _text(self, name: str, field: str, parent: QWidget) -> QuantityField:
        return QuantityField(name, "", lambda text: named(text, field), fault_words, parent=parent)

    def _connect(self) -> None:
        for choice in (self.units, self.shape):
            choice.currentIndexChanged.connect(self.ask_measures)
        self.stage.currentIndexChanged.connect(self._on_stage)
        for choice in (self.zone, self.stage):
            choice.currentIndexChanged.connect(self.changed)
        self.community.chosen.connect(self.no_community.hide)
        self.community.chosen.connect(self.changed)
        for field in (self.name, self.room):
            field.value_changed.connect(self.changed)
        self.house_name.value_changed.connect(self._show_place)
        for one in (self.measures, self.extras):
            one.changed.connect(self.changed)
            one.typed.connect(self.typed)
            one.lit.connect(self.lit)
            one.left.connect(self.size_left)
        self.back.clicked.connect(self.left)
        self.elsewhere.clicked.connect(self.place_asked)
        self._show_place()

    # What was answered

    def _standing(self) -> tuple[object, ...]:
        texts = [self.house_name, self.name, self.room]
        texts += [*self.measures.fields, *self.extras.fields]
        choices = (self.zone, self.units, self.shape, self.stage)
        chosen = (self.community.number, *(one.currentIndex() for one in choices))
        # A blank is nothing that leaving would lose.
        return (self.place, *chosen, *(one.text.strip() for one in texts))

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
        for field in (self.house_name, self.name, self.room):
            field.field.forget_typing()
        announce(self, STILL_HERE)

    @property
    def unit_choice(self) -> UnitChoice:
        """The units in which sizes are asked."""
        if self._house is not None:
            return units_like(self._house.units)
        return UNIT_CHOICES[self.units.currentIndex()]

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
        first = [] if self._house is not None else [self.zone, self.units, self.house_name]
        kept = [self.elsewhere] if self._places is not None and self._house is None else []
        sizes = [*self.measures.fields, *self.extras.fields]
        asked = [self.name, self.room, self.shape, self.stage, *sizes]
        return [*first, *kept, *asked, self.community, *self.community.chips]

    @property
    def heads(self) -> list[QWidget]:
        """The first field of each question."""
        return [*([] if self._house is not None else [self.zone]), self.name, self.community]

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
        """Say how to choose what lives in it, and whether that has to be chosen at all."""
        self.how_to_choose.setText(QUARANTINE_CHOICE if self.is_quarantine else ONE_CHOICE)
        self.community.setAccessibleDescription(self.how_to_choose.text())
        self.no_community.hide()

    def answers(self) -> settling_in.Answers:
        """Return what was answered so far."""
        name, chosen, house = self.name.value, self.community.number, self._house
        household = self.house_name.value
        return settling_in.Answers(
            zone=self.zone.currentText() if house is None else house.zone,
            tank=name if isinstance(name, str) else "the tank",
            shape=self.measures.shape(),
            community=tuple(Community)[chosen] if chosen >= 0 else None,
            room=self.room.text,
            stage=STAGES[self.stage.currentIndex()][1],
            is_quarantine=self.is_quarantine,
            units=self.unit_choice.shown,
            first_weekday=self._first_weekday,
            household=household if isinstance(household, str) else "",
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
        names = [] if self._house is not None else [self.house_name]
        others = [one for one in (*names, self.room) if not one.check()]
        faulty = [one for one in (*names, self.name, self.room) if one in others or one.fault]
        sizes = (self.measures.first_wrong(), self.extras.first_wrong())
        faulty += [one for one in sizes if one is not None]
        unfit = None if misfit is None else self._field_of(misfit)
        faulty += [] if unfit is None else [unfit]
        is_missing = self.community.number < 0 and not self.is_quarantine
        if is_missing:
            self._tell_community(NO_COMMUNITY)
        if faulty:
            self._go_to(faulty[0])
        elif is_missing:
            self.community.setFocus()
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
        others = {"room": self.room, "name": self.name, "household": self.house_name}
        if field is None:
            field = others.get(str(fault.values.get("field", "")))
            if field is not None:
                field.show_fault(fault_words(fault), stays=True)
        return field

    def _tell_community(self, sentence: str) -> None:
        self.no_community.setText(sentence)
        self.no_community.show()
        announce(self, sentence)

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
        told = [] if self.no_community.isHidden() else [self.no_community]
        return [self.how_to_choose, self.community, *told, now]

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

    # Where the file lies

    def keep_at(self, place: Path) -> None:
        """Let the file lie there, whatever the household is called."""
        self.place = place
        self._show_place()

    def _show_place(self) -> None:
        if self._places is None:
            return
        name = self.house_name.value
        place = self.place or self._places(name if isinstance(name, str) else "")
        self.kept_in.setText(f"Kept in {place.name}")
        self.kept_in.setToolTip(str(place))
        self.elsewhere.setAccessibleDescription(f"Kept in {place}")

    def _on_other(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())
