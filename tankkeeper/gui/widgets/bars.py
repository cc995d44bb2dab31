"""The top bar around the words of the views, and the bottom line."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAction,
    QActionGroup,
    QFontMetrics,
    QFontMetricsF,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from tankkeeper.gui.icons import Icons
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import (
    Metrics,
    Space,
    TypeRole,
    Weight,
    line_height,
    metrics_for,
    type_font,
)
from tankkeeper.gui.widgets.buttons import without_mnemonic
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_ground
from tankkeeper.gui.widgets.labels import CaptionLabel, PlainLabel, paint_line, tip
from tankkeeper.gui.widgets.view_bar import ViewBar, ViewWord

_MARGIN = 20
_LONGEST_PERSON = 240
_SHORTEST_PERSON = 24


class MenuButton(QToolButton):
    """A word with a menu beneath: who minds the tanks now, or all commands.

    `heard` is how the word is read, with {} where it stands.
    """

    def __init__(self, word: str, heard: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._heard = heard
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAutoRaise(True)
        self.set_name(word)

    def set_name(self, name: str) -> None:
        """Show another word."""
        self._name = name
        self.setText(without_mnemonic(self._name))
        self.setAccessibleName(self._heard.format(name))
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Return room for the name and the arrow."""
        metrics = QFontMetrics(type_font(self.font(), TypeRole.BODY, Weight.SEMIBOLD))
        sizes = metrics_for(self.font())
        name = min(metrics.horizontalAdvance(self._name), sizes.px(_LONGEST_PERSON))
        return QSize(name + sizes.px(12) + 3 * Space.XS, sizes.button_height)

    def minimumSizeHint(self) -> QSize:
        """Return the same: whoever places it knows when a name must be shortened."""
        return self.sizeHint()

    def least_width(self) -> int:
        """Return the width below which no name could be told from another."""
        return metrics_for(self.font()).px(_SHORTEST_PERSON) + self.arrow_width()

    def arrow_width(self) -> int:
        """Return the width of the arrow alone."""
        return metrics_for(self.font()).px(12) + 3 * Space.XS

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the name, an arrow that points down, and the ring."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        table = colours_of(self.palette())
        painter.setPen(table[Role.SEA if self.underMouse() else Role.INK])
        font = type_font(self.font(), TypeRole.BODY, Weight.SEMIBOLD)
        line = line_height(self.font(), TypeRole.BODY)
        at = QPointF(Space.XS, (self.height() - line) // 2)
        room = self.width() - self.arrow_width()
        metrics = QFontMetricsF(font)
        shown = metrics.elidedText(self._name, Qt.TextElideMode.ElideRight, room + 1)
        name = shown if room > 0 else ""
        paint_line(painter, name, font, at, line)
        half = metrics_for(self.font()).px(4)
        tip = QPointF(self.width() - Space.XS - half, self.height() / 2 + half / 2 + 1)
        painter.setPen(QPen(table[Role.INK_2], 1.5))
        arms = [tip + QPointF(-half, -half), tip, tip + QPointF(half, -half)]
        painter.drawPolyline(QPolygonF(arms))
        if self.hasFocus():
            paint_focus_ring(painter, QRectF(self.rect()), table)


class TopBar(QWidget):
    """Household, views, moment and person; `person_chosen` tells the name of a person."""

    person_chosen = Signal(str)

    def __init__(
        self, household: str, words: Sequence[ViewWord], icons: Icons | None, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._metrics = metrics_for(self.font())
        self._people: QActionGroup | None = None
        self._shown: tuple[str, ...] = ()
        self._menu: QMenu | None = None
        self._has_person = False
        self._name = household
        self._household = PlainLabel(household, weight=Weight.SEMIBOLD, wraps=False, parent=self)
        self.views = ViewBar(words, icons, self)
        self._moments: tuple[str, ...] = ()
        self._moment = PlainLabel("", ink=Role.INK_2, wraps=False, parent=self)
        self.person = MenuButton("", "{}, who minds the tanks", self)
        self.person.setMenu(QMenu(self.person))
        self.people_menu().aboutToShow.connect(self._begin_at_person)
        self.person.hide()
        self.more = MenuButton("Menu", "Menu of all commands", self)
        self.more.setMenu(self.menu())

    def menu(self) -> QMenu:
        """Return the menu at the right, to which others add the commands."""
        if self._menu is None:
            self._menu = QMenu(self)
        return self._menu

    def open_menu(self) -> None:
        """Open it beneath its button, its first command chosen."""
        menu = self.menu()
        menu.popup(self.more.mapToGlobal(self.more.rect().bottomLeft()))
        first = next((one for one in menu.actions() if not one.isSeparator()), None)
        if first is not None:
            menu.setActiveAction(first)

    def people_menu(self) -> QMenu:
        """Return the menu of the people, who are put in by `set_people`."""
        menu = self.person.menu()
        assert isinstance(menu, QMenu)
        return menu

    def _begin_at_person(self) -> None:
        """Let the keys of the menu begin at who is at the window, once it stands."""
        menu = self.people_menu()
        there = [one for one in menu.actions() if not one.isSeparator()]
        own = next((one for one in there if one.isChecked()), next(iter(there), None))
        if own is not None:
            QTimer.singleShot(0, menu, lambda: menu.setActiveAction(own))

    def set_household(self, name: str) -> None:
        """Show the name of the household."""
        if name != self._name:
            self._name = name
            self.lay_out()

    def set_moments(self, texts: Sequence[str]) -> None:
        """Show day and time in the first of these ways for which there is room."""
        if tuple(texts) != self._moments:
            self._moments = tuple(texts)
            self.lay_out()

    def set_people(self, names: Sequence[str], current: str) -> None:
        """Put the people at the head of their menu, with the present one checked."""
        shown = (*names, current)
        if shown == self._shown and self.person.text() == without_mnemonic(current):
            # Nor is a menu that is open just now taken apart.
            return
        self._shown = shown
        menu = self.people_menu()
        if self._people is not None:
            for action in self._people.actions():
                menu.removeAction(action)
            self._people.deleteLater()
        first = next(iter(menu.actions()), None)
        self._people = QActionGroup(self)
        for name in names:
            action = QAction(self._people)
            action.setText(without_mnemonic(name))
            action.setData(name)
            action.setCheckable(True)
            action.setChecked(name == current)
            menu.insertAction(first, action) if first else menu.addAction(action)
        self._people.triggered.connect(self._on_person)
        self.person.set_name(current)
        self._has_person = True
        self.lay_out()
        # Once it has its place: where it is made, the pointer may lie over it.
        self.person.show()

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        self._metrics = metrics
        self.lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the parts."""
        super().resizeEvent(event)
        self.lay_out()

    def changeEvent(self, event: QEvent) -> None:
        """Place the parts anew when the font of the application changed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.lay_out()

    def lay_out(self) -> None:
        """Place name, views, moment and person; the moment gives way where room is short."""
        width, height = self.width(), self.height()
        left = self._metrics.rail_width + self._metrics.margin
        line = self._moment.line_px()
        y = (height - line) // 2
        end = width - Space.S
        free = end - self.more.sizeHint().width() - Space.S - self.views.width_for(0) - left
        for button in (self.more, self.person):
            if button is self.person and not self._has_person:
                continue
            size = button.sizeHint()
            # A long name gives way to the words of the views, then the menu to its arrow.
            if button is self.person:
                size.setWidth(min(size.width(), max(free, button.least_width())))
            elif self._has_person and free < self.person.least_width():
                size.setWidth(button.arrow_width() - 2 * Space.XS)
                free += button.sizeHint().width() - size.width()
            end -= size.width()
            # The button stands so that its name has the baseline of the moment.
            button.setGeometry(end, y - (size.height() - line) // 2, size.width(), size.height())
        has_moment, moment, words = False, 0, 0
        for text in self._moments:
            self._moment.setText(text)
            moment = self._moment.text_width()
            words = self.views.width_for(end - Space.L - moment - left)
            has_moment = left + words + moment + Space.L <= end
            if has_moment:
                break
        room = end - Space.S - left if not has_moment else end - Space.L - moment - left
        words = self.views.fit(room)
        words = max(0, min(words, end - Space.S - left))
        self._moment.setVisible(has_moment)
        self._moment.setGeometry(end - moment - Space.XXS, y, moment, line)
        lead = self.views.lead
        self.views.setGeometry(left - lead, 0, lead + words + 1, height)
        self._household.setGeometry(_MARGIN, y, left - _MARGIN - Space.XS, line)
        self._elide_household(left - _MARGIN - Space.XS)

    def _elide_household(self, room: int) -> None:
        metrics = QFontMetricsF(self._household.type_font())
        shown = metrics.elidedText(self._name, Qt.TextElideMode.ElideRight, room)
        self._household.setAccessibleName(self._name)
        self._household.setToolTip(tip(self._name) if shown != self._name else "")
        self._household.setText(shown)

    def _on_person(self, action: QAction) -> None:
        name = str(action.data())
        self.person.set_name(name)
        self.lay_out()
        self.person_chosen.emit(name)


class BottomLine(QWidget):
    """The last backup, the database, and what comes next.

    A sentence that was just said has the whole line, and where it is longer than that, lines above
    it: they cover the foot of the page for as long as it is told, and move nothing. `resized` tells
    that the line needs another height.
    """

    resized = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._metrics = metrics_for(self.font())
        self._told = CaptionLabel(parent=self)
        self._told.hide()
        self._backup = CaptionLabel(wraps=False, parent=self)
        self._database = CaptionLabel(wraps=False, parent=self)
        self._next = CaptionLabel(wraps=False, parent=self)
        self._texts = ("", "", "")

    def set_texts(self, backup: str, database: str, upcoming: str) -> None:
        """Show the three texts, left, from the edge of the content, and right."""
        before = self.more_height(self.width())
        self._texts = (backup, database, upcoming)
        self.lay_out()
        if self.more_height(self.width()) != before:
            self.resized.emit()

    def more_height(self, width: int) -> int:
        """Return the height that a sentence needs in this width above that of one line."""
        backup, told, upcoming = self._texts
        if backup or upcoming or not told.rstrip().endswith("."):
            return 0
        self._told.setText(told)
        line, room = self._told.line_px(), self._told_room(width)
        return max(0, self._told.heightForWidth(room) - line)

    def _told_room(self, width: int) -> int:
        return max(1, width - self._told_left - _MARGIN)

    @property
    def _told_left(self) -> int:
        return self._metrics.rail_width + self._metrics.margin

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        self._metrics = metrics
        self.lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the texts."""
        super().resizeEvent(event)
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw a ground and an edge of its own where it is higher than one line."""
        if self.more_height(self.width()):
            painter, table = QPainter(self), colours_of(self.palette())
            paint_ground(painter, self.rect(), table[Role.GROUND])
            edge = QRect(0, 0, self.width(), table.hairline)
            paint_ground(painter, edge, table[Role.LINE])

    def lay_out(self) -> None:
        """Place the texts; the database's name is shortened first, then the backup moves on."""
        backup, database, upcoming = self._texts
        more = self.more_height(self.width())
        self._told.setVisible(more > 0)
        for one in (self._backup, self._database, self._next):
            one.setVisible(not more)
        self._told.setGeometry(
            self._told_left,
            (self.height() - more - self._told.line_px()) // 2,
            self._told_room(self.width()),
            more + self._told.line_px(),
        )
        self._next.setText(upcoming)
        self._backup.setText(backup)
        line = self._next.line_px()
        y = (self.height() - line) // 2
        right = self.width() - _MARGIN - self._next.text_width()
        self._next.setGeometry(right, y, self._next.text_width(), line)
        self._backup.setGeometry(_MARGIN, y, self._backup.text_width(), line)
        edge = self._metrics.rail_width + self._metrics.margin
        left = max(edge, _MARGIN + self._backup.text_width() + Space.L)
        room = right - Space.L - left
        metrics = QFontMetricsF(self._database.type_font())
        # A name is known by its end as well; of a sentence two halves would make another one.
        modes, is_sentence = Qt.TextElideMode, database.rstrip().endswith(".")
        mode = modes.ElideRight if is_sentence else modes.ElideMiddle
        shown = metrics.elidedText(database, mode, max(0, room - 1))
        self._database.setText(shown)
        self._database.setToolTip(tip(database) if shown != database else "")
        self._database.setAccessibleName(database)
        self._database.setGeometry(left, y, max(0, room), line)
