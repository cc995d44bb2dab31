"""The tank rail: every tank drawn to one scale, with what is overdue and what is due."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.gui.motion import MotionChoice, Pace, animate
from tankkeeper.gui.typography import Metrics, Space, metrics_for
from tankkeeper.gui.widgets.labels import tip
from tankkeeper.gui.widgets.rail_delegate import CardLook, RailDelegate
from tankkeeper.gui.widgets.row_in_hand import RowInHand
from tankkeeper.gui.widgets.scrolling import look_quiet, use_slim_bar
from tankkeeper.gui.widgets.tank_picture import TankPicture, common_scale

FOLDS_FROM_TANKS: Final = 6

_Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class TankCard:
    """What the rail shows of one tank; an `id` of None is the whole house.

    `sentence` is what a screen reader says: "Nook, 74 litres, 12 millimetres below the fill
    mark, 1 overdue". `harms` are the readings that harm what lives in it, in words.
    """

    id: str | None
    name: str
    litres: str
    picture: TankPicture | None
    overdue: int
    due: int
    sentence: str
    rests: str = ""
    harms: tuple[str, ...] = ()

    @property
    def is_quiet(self) -> bool:
        """Whether nothing is overdue or due, and no reading harms anything."""
        return self.overdue == 0 and self.due == 0 and not self.harms


class RailModel(QAbstractListModel):
    """The cards in walking order, the whole house first."""

    CardRole = Qt.ItemDataRole.UserRole + 1

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cards: list[TankCard] = []

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008 -- as Qt declares it
        """Return how many cards there are."""
        return 0 if parent.isValid() else len(self._cards)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the card, its name, or the sentence for a screen reader."""
        if not index.isValid():
            return None
        card = self._cards[index.row()]
        if role == self.CardRole:
            return card
        if role == Qt.ItemDataRole.DisplayRole:
            return card.name
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(card.sentence)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return card.sentence
        return None

    @property
    def cards(self) -> Sequence[TankCard]:
        """The cards as they are shown."""
        return tuple(self._cards)

    def row_of(self, tank_id: str | None) -> int:
        """Return the row of a tank, -1 when it is not among them."""
        return next((row for row, card in enumerate(self._cards) if card.id == tank_id), -1)

    def set_cards(self, cards: Sequence[TankCard]) -> None:
        """Show these cards; where the tanks are the same the selection stays."""
        if [card.id for card in cards] != [card.id for card in self._cards]:
            self.beginResetModel()
            self._cards = list(cards)
            self.endResetModel()
            return
        self._cards = list(cards)
        if cards:
            self.dataChanged.emit(self.index(0), self.index(len(cards) - 1))


class TankRail(RowInHand, QListView):
    """The list of tanks; `chosen` tells the id of the tank, None for the whole house."""

    chosen = Signal(object)

    def __init__(
        self, parent: QWidget | None = None, motion: MotionChoice = MotionChoice.FOLLOW
    ) -> None:
        super().__init__(parent)
        self._motion = motion
        self._has_told = False
        self._told: str | None = None
        self._wish: str | None = None
        # The tank that a page is about, None where the choice is what is shown.
        self._marked: str | None = None
        self._has_wish = False
        self._targets: dict[str | None, tuple[TankPicture, TankPicture]] = {}
        self._rising: dict[str | None, tuple[TankPicture, TankPicture]] = {}
        self._metrics: Metrics = metrics_for(self.font())
        # A viewport of our own: asking Qt for its own one makes the binding look through all
        # classes of widgets for its type, which costs 10 ms at the start.
        self._paper = QWidget()
        self._model = RailModel(self)
        self._delegate = RailDelegate(self)
        self._build()

    def _build(self) -> None:
        self.setAccessibleName("Tanks")
        look_quiet(self)
        self.setViewport(self._paper)
        self._paper.setBackgroundRole(QPalette.ColorRole.Window)
        self.setModel(self._model)
        self.setItemDelegate(self._delegate)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setViewportMargins(0, Space.XS, 0, 0)
        use_slim_bar(self)
        self.selectionModel().currentChanged.connect(self._on_current)

    @property
    def chosen_id(self) -> str | None:
        """The id of the chosen tank, None for the whole house or where there is none yet."""
        card = self._card(self.currentIndex())
        return card.id if card else None

    @property
    def cards(self) -> Sequence[TankCard]:
        """The cards that are shown."""
        return self._model.cards

    def set_cards(self, cards: Sequence[TankCard]) -> None:
        """Show these cards, keep the chosen one, and let water rise where it was topped off."""
        chosen = self._wish if self._has_wish else self.chosen_id
        self._has_wish = False
        before = {card.id: card for card in self._model.cards}
        self.selectionModel().blockSignals(True)
        self._model.set_cards(cards)
        self.selectionModel().blockSignals(False)
        self._refresh_look()
        if self._model.row_of(chosen) >= 0:
            self.choose(chosen)
        elif cards:
            self.choose(cards[0].id)
        self._let_rise(before, cards)

    def want(self, tank_id: str | None) -> None:
        """Choose this tank among the cards that come next, the first one if it is not there."""
        self._wish, self._has_wish = tank_id, True

    def choose(self, tank_id: str | None) -> None:
        """Choose a tank, None for the whole house, and bring it into view."""
        row = self._model.row_of(tank_id)
        if row < 0:
            return
        index = self._model.index(row)
        flag = QItemSelectionModel.SelectionFlag.ClearAndSelect
        self.selectionModel().setCurrentIndex(index, flag)
        self.scrollTo(index)

    def bring_into_view(self, tank_id: str) -> None:
        """Scroll to a tank and leave the choice as it is."""
        row = self._model.row_of(tank_id)
        if row >= 0:
            self.scrollTo(self._model.index(row))

    def mark(self, tank_id: str | None) -> None:
        """Show a tank as the one that a page is about, whatever is chosen; None for the choice."""
        if tank_id == self._marked:
            return
        self._marked = tank_id
        self._paper.update()
        if tank_id is not None:
            self.bring_into_view(tank_id)

    def is_shown_chosen(self, card: TankCard, *, is_chosen: bool) -> bool:
        """Tell whether a card looks chosen: the one that is marked, else the one that is."""
        return is_chosen if self._marked is None else card.id == self._marked

    def choose_next(self) -> None:
        """Choose the tank below."""
        self._step(1)

    def choose_previous(self) -> None:
        """Choose the tank above."""
        self._step(-1)

    def choose_whole_house(self) -> None:
        """Choose the whole house."""
        self.choose(None)

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        self._metrics = metrics
        self._refresh_look()

    def look_of(self, card: TankCard) -> CardLook:
        """Return how a card is drawn now."""
        return self._delegate.look_of(card)

    def sizeHint(self) -> QSize:
        """Return the width of the rail and a modest height."""
        return QSize(self._metrics.rail_width, self._metrics.px(360))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the cards out again, for their width decides how their figures wrap."""
        super().resizeEvent(event)
        self._refresh_look()
        self.scrollTo(self.currentIndex())

    def changeEvent(self, event: QEvent) -> None:
        """Measure again when the font of the application changed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._refresh_look()

    def drawn_card(self, card: TankCard) -> TankCard:
        """Return the card with its water where it stands during a movement."""
        rising = self._rising.get(card.id)
        if rising is None:
            return card
        return replace(card, picture=rising[0])

    def _refresh_look(self) -> None:
        tanks = [card for card in self._model.cards if card.id is not None]
        pictures = [card.picture for card in tanks if card.picture is not None]
        folds = len(tanks) >= FOLDS_FROM_TANKS
        width = self._metrics.tank_width * (0.5 if folds else 1.0)
        self._delegate.set_look(
            scale=common_scale(pictures, width),
            folds=folds,
            is_narrow=self._metrics.rail_is_narrow,
            width=self._paper.width(),
        )
        self.scheduleDelayedItemsLayout()
        self._paper.update()

    def _step(self, by: int) -> None:
        from_row = -1 if self._marked is None else self._model.row_of(self._marked)
        row = (self.currentIndex().row() if from_row < 0 else from_row) + by
        if 0 <= row < self._model.rowCount():
            self.choose(self._model.cards[row].id)

    def _card(self, index: QModelIndex) -> TankCard | None:
        card = index.data(RailModel.CardRole) if index.isValid() else None
        return card if isinstance(card, TankCard) else None

    def _on_current(self, current: QModelIndex, previous: QModelIndex) -> None:
        card = self._card(current)
        # A list that was filled anew chooses the same tank again; that is no news.
        if card is not None and (not self._has_told or card.id != self._told):
            self._has_told, self._told = True, card.id
            self.chosen.emit(card.id)

    def _let_rise(self, before: dict[str | None, TankCard], cards: Sequence[TankCard]) -> None:
        self._targets = {
            card.id: (old, card.picture)
            for card in cards
            if card.id in before
            and (old := before[card.id].picture) is not None
            and card.picture is not None
            and _has_risen(old, card.picture)
        }
        if self._targets:
            animate(self, Pace.RISE, self._rise, self._risen, self._motion)

    def _rise(self, share: float) -> None:
        self._rising = {
            tank: (_between(old, new, share), new) for tank, (old, new) in self._targets.items()
        }
        self._paper.update()

    def _risen(self) -> None:
        self._rising = {}
        self._paper.update()


def _has_risen(old: TankPicture, new: TankPicture) -> bool:
    return old.mm_down is not None and new.mm_down is not None and new.mm_down < old.mm_down - 0.5


def _between(old: TankPicture, new: TankPicture, share: float) -> TankPicture:
    before, after = old.mm_down or 0.0, new.mm_down or 0.0
    return replace(new, mm_down=before + (after - before) * share)
