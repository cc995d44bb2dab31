"""The first page: three questions, the tank as it is typed, and the chores that are proposed."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from itertools import pairwise
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPalette, QResizeEvent, QShortcut
from PySide6.QtWidgets import (
    QApplication,
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from tankkeeper.core.adjusting import Adjustment, adjusted
from tankkeeper.core.catalogue import Proposal
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household
from tankkeeper.core.moment import moment_of
from tankkeeper.core.volume import Shape
from tankkeeper.gui.forms.proposal_form import ProposalForm
from tankkeeper.gui.models.first_drawing import drawing_of, litres_words
from tankkeeper.gui.pages.first_questions import FirstQuestions
from tankkeeper.gui.pages.household_question import Places
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button, ButtonKind
from tankkeeper.gui.widgets.first_picture import FirstPicture
from tankkeeper.gui.widgets.labels import (
    BodyLabel,
    CaptionLabel,
    FigureLabel,
    HeadingLabel,
)
from tankkeeper.gui.widgets.letters import is_plain
from tankkeeper.gui.widgets.proposal_list import ProposalList
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.gui.widgets.scrolling import SlimScrollBar
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.settling_words import next_line
from tankkeeper.reports.words import Words
from tankkeeper.services import settling_in

ACCEPT_KEY = "Ctrl+Return"
_FILES = "Households (*.tankkeeper);;All files (*)"
_STACKED_BELOW = 840
_LIST, _TALL_LIST = 120, 240
_ANY_HEIGHT = 16_777_215


class FirstPage(QWidget):
    """Asks three questions and proposes chores; in a household that is there, two, for a new tank.

    `accepted` tells the answers and the chores that were accepted, `commanded` another command that
    was chosen, `left` that the person went back to what was open before, `cleared` that the
    answers of last time are to go.
    """

    accepted = Signal(object, object)
    commanded = Signal(str)
    left = Signal()
    cleared = Signal()

    def __init__(
        self,
        zone: str,
        now: datetime,
        decimal_sign: str = ".",
        *,
        house: Household | None = None,
        places: Places | None = None,
        can_leave: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._now = now
        self._decimal_sign = decimal_sign
        self._house = house
        self._misfit: UserFault | None = None
        self.setAccessibleName("A new household" if house is None else "A new tank")
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.asked = FirstQuestions(
            zone, decimal_sign, self, house=house, places=places, can_leave=can_leave
        )
        around = self._around = QVBoxLayout(self)
        around.setContentsMargins(0, 0, 0, 0)
        around.setSpacing(0)
        self._body = QWidget(self)
        self._whole = self._scrolled(self._body)
        around.addWidget(self._whole)
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, self._body)
        self._halves.setContentsMargins(0, 0, 0, 0)
        self._halves.setSpacing(0)
        self._halves.addWidget(self._questions(), 9)
        self._halves.addWidget(self._answer(), 10)
        self._connect(can_leave=can_leave)
        self._refresh()

    def _scrolled(self, body: QWidget) -> QScrollArea:
        """Return what scrolls the halves where they stand one above the other."""
        area = QScrollArea(self)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setVerticalScrollBar(SlimScrollBar(area))
        area.setWidget(body)
        return area

    def _questions(self) -> QWidget:
        side = QWidget(self)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.asked, 1)
        column.addWidget(self.asked.ways)
        return side

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
            CaptionLabel(
                "Space switches a chore off or on, Left and Right (- and +) change its days, "
                "Return changes more.",
                parent=side,
            )
        )
        self.list = ProposalList(side)
        column.addWidget(self.list, 1)
        self._answer_column = column
        column.addWidget(self._make_foot(side))
        return side

    def _make_foot(self, parent: QWidget) -> QWidget:
        """Return what accepts, with the refusal above it; it is seen whatever scrolls."""
        self._foot = QWidget(parent)
        self._foot.setAutoFillBackground(True)
        self._foot.setBackgroundRole(QPalette.ColorRole.Window)
        inside = self._foot_inside = QVBoxLayout(self._foot)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(Space.XS)
        self.refusal = BodyLabel(ink=Role.OVERDUE, parent=self._foot)
        self.refusal.hide()
        inside.addWidget(self.refusal)
        row = QHBoxLayout()
        row.setSpacing(Space.S)
        self.minutes = BodyLabel(ink=Role.INK_2, wraps=False, parent=self._foot)
        self.accept = Button("Accept", ButtonKind.PRIMARY, self._foot)
        self.accept.setToolTip(ACCEPT_KEY.replace("Return", "Enter"))
        row.addWidget(self.minutes, 1, Qt.AlignmentFlag.AlignVCenter)
        middle = Qt.AlignmentFlag.AlignVCenter
        row.addWidget(CaptionLabel("Ctrl+Enter", wraps=False, parent=self._foot), 0, middle)
        row.addWidget(self.accept)
        inside.addLayout(row)
        return self._foot

    def _connect(self, *, can_leave: bool) -> None:
        asked = self.asked
        asked.changed.connect(self._refresh)
        asked.size_left.connect(lambda: asked.tell_misfit(self._misfit))
        asked.grown.connect(self._show_focus)
        self._whole.verticalScrollBar().rangeChanged.connect(self._show_focus)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._show_focus)
        asked.typed.connect(self._forget_refusal)
        asked.lit.connect(self._show_picture)
        asked.commanded.connect(self.commanded)
        asked.left.connect(self.left)
        asked.cleared.connect(self.cleared)
        asked.household.place_asked.connect(self._ask_place)
        self.list.chosen_changed.connect(self._show_sums)
        self.list.opened.connect(self._on_opened)
        self.accept.clicked.connect(self._on_accept)
        for key in (ACCEPT_KEY, "Ctrl+Enter"):
            QShortcut(QKeySequence(key), self).activated.connect(self._on_accept)
        for command, by in ((Command.NEXT_GROUP, 1), (Command.PREVIOUS_GROUP, -1)):
            make_action(command, self).triggered.connect(partial(self._go_to_group, by))
        if can_leave:
            QShortcut(QKeySequence("Esc"), self).activated.connect(self.left)

    def setFocus(self, reason: Qt.FocusReason = Qt.FocusReason.OtherFocusReason) -> None:
        """Begin with the name. A focus proxy would be a stop of Tab before the first question."""
        self.asked.name.setFocus(reason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go on to the next question with Return, as with Tab; only the whole page is kept."""
        is_return = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        questions = [one.focusProxy() or one for one in self.asked.in_order]
        if is_return and is_plain(event) and QApplication.focusWidget() in questions:
            self.focusNextChild()
            return
        super().keyPressEvent(event)

    def _go_to_group(self, by: int, _is_on: bool = False) -> None:
        """Let the keys act in the next question, in the chores after the last; or the one before.

        From within a question the way back leads to its own first field.
        """
        heads = [*self.asked.heads, self.list]
        order: list[QWidget] = [*self.asked.in_order, self.list, self.accept, *self.asked.behind]
        now = QApplication.focusWidget()
        here = next((at for at, one in enumerate(order) if now in (one, one.focusProxy())), 0)
        places = [order.index(one) for one in heads]
        on = [at for at in places if at > here] if by > 0 else [at for at in places if at < here]
        if on:
            order[on[0] if by > 0 else on[-1]].setFocus(Qt.FocusReason.TabFocusReason)

    @property
    def is_begun(self) -> bool:
        """Whether anything was answered that leaving would lose."""
        return self.asked.is_begun or self.list.is_touched

    def go_on(self, now: datetime, house: Household | None = None) -> None:
        """Ask on with what was typed before the page was left."""
        self._now, self._house = now, house
        self.asked.go_on(house)
        self._refresh()

    def _order_keys(self) -> None:
        asked = self.asked
        order: list[QWidget] = []
        proxies: dict[QWidget, QWidget] = {}
        for widget in (*asked.in_order, self.list, self.accept, *asked.behind):
            order.append(widget)
            proxy = widget.focusProxy()
            if proxy is not None:
                # It is a stop itself, which has to come right before what takes its keys; while
                # it has a proxy Qt would move both as one, and not to where they belong.
                proxies[widget] = proxy
                widget.setFocusProxy(None)  # type: ignore[arg-type]
                if isinstance(widget, QuantityField):
                    order.append(proxy)
        for before, widget in pairwise(order):
            QWidget.setTabOrder(before, widget)
        for widget, proxy in proxies.items():
            widget.setFocusProxy(proxy)

    def _on_opened(self, proposal: Proposal) -> None:
        """Ask how a proposed chore shall come, and say when that is while it is asked."""
        household = self._household()
        day, words = settling_in.day_of(household, self._now), self._words(household)

        def preview(wanted: Adjustment) -> str:
            chore = adjusted(proposal, wanted, day).chore
            days = settling_in.first_days(household, chore, self._now)
            return next_line(capital(rhythm_words(chore)), days, words)

        form = ProposalForm(proposal, words, preview, self)
        form.chosen.connect(lambda wanted: self.list.adjust(proposal, wanted, day))
        form.finished.connect(form.deleteLater)
        form.finished.connect(self.list.setFocus)
        form.open()

    # What follows from the answers

    def _household(self) -> Household:
        """Return the household as far as it is told; measures that do not fit are left out."""
        answers = self.asked.answers()
        try:
            household = settling_in.household_with(self._house, answers)
            settling_in.proposals_for(household, settling_in.day_of(household, self._now))
            self._misfit = None
        except UserFault as fault:
            self._misfit = self.asked.labelled(fault)
            bare = settling_in.Answers(
                answers.zone,
                answers.tank,
                Shape(self.asked.shape_kind),
                answers.community,
                stage=answers.stage,
                is_quarantine=answers.is_quarantine,
                units=answers.units,
            )
            household = settling_in.household_with(self._house, bare)
        return household

    def _words(self, household: Household) -> Words:
        return Words(household, moment_of(household, self._now), self._decimal_sign)

    def _refresh(self) -> None:
        """Show picture, litres and chores for what is typed so far."""
        self._order_keys()
        self._forget_refusal()
        household = self._household()
        self.asked.tell_again(self._misfit)
        words = self._words(household)
        tank = household.tanks[-1]
        litres, made_of = litres_words(tank, words, self.asked.measures.unread)
        self.litres.setText(litres)
        self.litres_from.setText(fault_words(self._misfit, words) if self._misfit else made_of)
        self.heading.setText(f"Chores we propose for {tank.name}")
        day = settling_in.day_of(household, self._now)
        proposals = settling_in.proposals_for(
            household, day, is_quarantine=self.asked.is_quarantine
        )
        self.list.show_proposals(proposals, words)
        self._draw(household)

    def _show_picture(self) -> None:
        self._draw(self._household())

    def _draw(self, household: Household) -> None:
        lit, words = self.asked.measures.lit_field, self._words(household)
        units, unread = self.asked.unit_choice, self.asked.measures.unread
        self.picture.show_picture(drawing_of(household.tanks[-1], lit, words, units, unread))

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
        announce(self, sentence)

    def _forget_refusal(self) -> None:
        self.refusal.hide()

    def _on_accept(self) -> None:
        """Tell the answers, or go to the first one that is missing or cannot be."""
        if self.asked.refuse_missing(self._misfit):
            return
        answers = self.asked.answers()
        try:
            household = settling_in.household_with(self._house, answers)
            settling_in.proposals_for(household, settling_in.day_of(household, self._now))
        except UserFault as fault:
            if not self.asked.refuse(fault):
                self.refuse(fault_words(fault))
            return
        self.accepted.emit(answers, self.list.accepted)

    def _ask_place(self) -> None:
        """Ask where the file of the household shall lie, without holding the window up."""
        from tankkeeper.gui.file_work import ask_file

        def keep_at(name: str) -> None:
            self.asked.household.keep_at(Path(name))

        # Whoever makes the file refuses one that is there already.
        title = "Where the household is kept"
        place = str(self.asked.household.lies_at or "")
        ask_file(self, title, _FILES, keep_at, "tankkeeper", beside=place, writes_over=False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand the halves as the width allows."""
        super().resizeEvent(event)
        self._stand_halves()

    def changeEvent(self, event: QEvent) -> None:
        """Stand the halves as the width allows in another type."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._stand_halves()

    def _stand_halves(self) -> None:
        """Stand them one above the other where they would be too narrow side by side."""
        scale = self.font().pixelSize() / 14 if self.font().pixelSize() > 0 else 1.0
        is_narrow = self.width() < _STACKED_BELOW * max(1.0, scale)
        self._halves.setDirection(
            QBoxLayout.Direction.TopToBottom if is_narrow else QBoxLayout.Direction.LeftToRight
        )
        self.asked.stand_whole(is_narrow)
        self.list.setMinimumHeight(round((_TALL_LIST if is_narrow else _LIST) * max(1.0, scale)))
        self._stand_foot(is_narrow)
        # Side by side each half scrolls what is too high for it.
        self._body.setMaximumHeight(_ANY_HEIGHT if is_narrow else self.height())

    def _stand_foot(self, is_narrow: bool) -> None:
        """Stand what accepts under the whole page where that scrolls, else under the chores."""
        column = self._around if is_narrow else self._answer_column
        if column.indexOf(self._foot) >= 0:
            return
        self._answer_column.removeWidget(self._foot)
        self._around.removeWidget(self._foot)
        side = Space.XXL if is_narrow else 0
        self._foot_inside.setContentsMargins(side, side and Space.S, side, side and Space.S)
        column.addWidget(self._foot)
        self._order_keys()

    def _show_focus(self) -> None:
        """Bring what has the keys into view where the whole page scrolls."""
        now = QApplication.focusWidget()
        if now is None or now is self.list or not self._whole.isAncestorOf(now):
            return
        self.asked.show_focus()
        within = self.asked.seen_with(now) if self.asked.isAncestorOf(now) else [now]
        for shown in within:
            self._whole.ensureWidgetVisible(shown, 0, Space.XS)
