"""The window's frame: top bar, rail, content, why panel and bottom line; it knows no services."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QRect, Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QApplication, QStackedWidget, QWidget

from tankkeeper.gui.areas import Areas
from tankkeeper.gui.foot_banner import FootBanner
from tankkeeper.gui.icons import Icons
from tankkeeper.gui.palette import colours_of
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.tab_order import HasTabParts, go_by_tab
from tankkeeper.gui.typography import Metrics, metrics_for
from tankkeeper.gui.widgets.bars import BottomLine, TopBar
from tankkeeper.gui.widgets.focus import is_inside
from tankkeeper.gui.widgets.frame_body import FrameBody
from tankkeeper.gui.widgets.rail import TankRail
from tankkeeper.gui.widgets.view_bar import ViewWord
from tankkeeper.gui.widgets.wait_line import Waiting
from tankkeeper.gui.widgets.why_panel import WhyPanel

if TYPE_CHECKING:
    from tankkeeper.gui.widgets.banner import Banner

# The keys of groups with Ctrl, which a page has as shortcuts where the keys are in it.
_GROUP_KEYS: Final = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}


class Frame(QWidget):
    """The window: `view_chosen` tells a view's id, `person_chosen` a person's name,

    `why_toggled` whether the why panel is open, `closing` that the window is about to close,
    `commanded` a command that a page passes on, `left` Escape that nothing else took,
    `group_wanted` the same of the keys to the next group (1) and to the one before (-1),
    `metrics_changed` new sizes for the pages, `keys_wanted` that the key of a view was pressed,
    shown already or not.
    """

    view_chosen = Signal(str)
    keys_wanted = Signal()
    person_chosen = Signal(str)
    why_toggled = Signal(bool)
    closing = Signal()
    commanded = Signal(str)
    left = Signal()
    group_wanted = Signal(int)
    metrics_changed = Signal(object)

    def __init__(
        self,
        household: str,
        views: Sequence[ViewWord],
        rail: TankRail,
        why: WhyPanel,
        icons: Icons | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._views = tuple(views)
        self._icons = icons
        self._pages: dict[str, QWidget] = {}
        self._instead: QWidget | None = None
        self._is_drawer_open = False
        self._cover: QWidget | None = None
        self._leave_cover: Callable[[], None] | None = None
        self._metrics = metrics_for(self.font(), 0, 0)
        self._body = FrameBody(self._metrics, self)
        self._waiting = Waiting(self._body)
        self.top = TopBar(household, self._views, icons, self._body)
        self.rail = rail
        self.stack = QStackedWidget(self._body)
        self.why = why
        self.bottom = BottomLine(self._body)
        self._foot_banner = FootBanner(self._body)
        self._areas = Areas(self.top, rail, self.stack, why, lambda: self.is_why_open)
        self._build(household)
        self._connect()

    def set_household(self, name: str) -> None:
        """Tell whose household it is, along the top and to the desktop."""
        self.top.set_household(name)
        self.window().setWindowTitle(f"{name} - tankkeeper")

    def _build(self, household: str) -> None:
        self.setWindowTitle(f"{household} - tankkeeper")
        # The words are English and the parts are placed by hand: half a mirrored window, with
        # numbers behind their units, would be worse than none. A painter asks the application.
        QApplication.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self.rail.setParent(self._body)
        self.stack.setParent(self._body)
        self.why.setParent(self._body)
        self.stack.setAutoFillBackground(True)
        self.stack.setBackgroundRole(QPalette.ColorRole.Base)
        # For pages that stand in place of a view; through views `go_by_tab` leads.
        QWidget.setTabOrder(self.top.views, self.rail)
        QWidget.setTabOrder(self.rail, self.stack)
        QWidget.setTabOrder(self.stack, self.why)
        self.setMinimumSize(640, 480)

    def _connect(self) -> None:
        self._body.resized.connect(self.lay_out)
        self.top.views.currentChanged.connect(self._on_view)
        self.top.views.tabBarClicked.connect(self._on_view_click)
        self.top.views.opened.connect(self._on_view_opened)
        self.stack.currentChanged.connect(self.lay_out)
        self.stack.currentChanged.connect(self._mark_view)
        self.top.person_chosen.connect(self.person_chosen)
        self.bottom.resized.connect(self.lay_out)
        self._own_action(Command.NEXT_AREA).triggered.connect(self.next_area)
        self._own_action(Command.PREVIOUS_AREA).triggered.connect(self.previous_area)
        self._own_action(Command.WHY_PANEL).triggered.connect(self.toggle_why)
        for command, choose in (
            (Command.NEXT_TANK, self.rail.choose_next),
            (Command.PREVIOUS_TANK, self.rail.choose_previous),
            (Command.WHOLE_HOUSE, self.rail.choose_whole_house),
        ):
            self._own_action(command).triggered.connect(partial(self._when_seen, choose))
        for view in self._views:
            # The ids of the views are those of their commands.
            self._own_action(Command(view.id)).triggered.connect(self._on_view_key)
        close = make_action(Command.CLOSE_WHY_PANEL, self.why)
        close.triggered.connect(self.close_why)

    def _own_action(self, command: Command) -> QAction:
        return make_action(command, self)

    @property
    def metrics(self) -> Metrics:
        """The sizes for the present window and font."""
        return self._metrics

    @property
    def is_why_open(self) -> bool:
        """Whether the why panel can be seen."""
        return self.has_why and (not self._metrics.why_is_drawer or self._is_drawer_open)

    @property
    def has_why(self) -> bool:
        """Whether there is something to tell of: what stands in place of the views has no lines."""
        shown = self.stack.currentWidget()
        return shown is None or shown in self._pages.values()

    @property
    def view_id(self) -> str:
        """The id of the view that is shown."""
        return self._views[self.top.views.currentIndex()].id

    def add_page(self, view_id: str, page: QWidget) -> None:
        """Put the page of a view into the content; a page may be added when it is first shown."""
        self._pages[view_id] = page
        self.stack.addWidget(page)
        if view_id == self.view_id and self._instead is None:
            self.stack.setCurrentWidget(page)

    def focusNextPrevChild(self, next_: bool) -> bool:
        """Go by Tab from the views to the rail, the page and the panel, then to what is left."""
        page = self.stack.currentWidget()
        own = page.tab_parts if isinstance(page, HasTabParts) else ()
        parts = (self.top.views, self.rail, *own, self.stack, self.why)
        # Pages that stand in place of a view have an order of their own.
        is_view = page in self._pages.values() and not self.is_covered
        is_gone = is_view and go_by_tab(self, parts, is_forth=next_)
        return is_gone or super().focusNextPrevChild(next_)

    def hold_banner(self, banner: Banner) -> None:
        """Take what stands beneath every page; it asks for `lay_out` when its height changes."""
        self._foot_banner.hold(banner)
        self.lay_out()

    def remove_page(self, page: QWidget) -> None:
        """Take a page out and delete it."""
        self._instead = None if page is self._instead else self._instead
        self._pages = {view: one for view, one in self._pages.items() if one is not page}
        self.stack.removeWidget(page)
        page.deleteLater()

    def show_instead(self, page: QWidget | None) -> None:
        """Show a page instead of that of any view; with None views have their pages again."""
        if page is self._instead:
            return
        self._instead = page
        shown = page or self._pages.get(self.view_id)
        if shown is not None:
            self.stack.setCurrentWidget(shown)

    def command(self, command: str) -> None:
        """Pass a command on to whoever carries it out."""
        self.commanded.emit(command)

    def has_view(self, view_id: str) -> bool:
        """Return whether there is a view with this id."""
        return any(view.id == view_id for view in self._views)

    def has_page(self, view_id: str) -> bool:
        """Return whether the page of a view was added."""
        return view_id in self._pages

    def show_view(self, view_id: str) -> None:
        """Go to a view; `view_chosen` tells it before its page is shown."""
        number = next(n for n, view in enumerate(self._views) if view.id == view_id)
        if number == self.top.views.currentIndex() and self.has_page(view_id):
            # Something that belongs to no view may stand in its place.
            if self.stack.currentWidget() is not self._pages[view_id]:
                self._on_view(number)
            return
        self.top.views.setCurrentIndex(number)

    @property
    def is_covered(self) -> bool:
        """Whether a page stands in place of everything else."""
        return self._body.isHidden()

    def cover(self, page: QWidget | None, leave: Callable[[], None] | None = None) -> None:
        """Let a page stand in place of everything else; None shows it all again.

        `leave` goes back as the keeper would, where there is something to go back to.
        """
        self._cover, self._leave_cover = page, leave
        self._body.setVisible(page is None)
        if page is not None:
            page.setGeometry(self.rect())
            page.show()
            page.setFocus(Qt.FocusReason.OtherFocusReason)

    def uncover(self) -> bool:
        """Leave what stands in place of everything else; tell whether all can be seen."""
        if self.is_covered and self._leave_cover is not None:
            self._leave_cover()
        return not self.is_covered

    def _when_seen(self, do: Callable[[], object], _is_on: bool = False) -> None:
        """Do what acts on what can be seen only once it is."""
        if self.uncover():
            do()

    def show_again(self) -> None:
        """Show the page of the chosen view in place of one that belongs to none."""
        page = self._instead or self._pages.get(self.view_id)
        # One that is made when it is first shown comes by itself.
        if page is not None:
            self.stack.setCurrentWidget(page)

    def set_waiting(self, is_waiting: bool) -> None:
        """Show the thin line if work still goes on after 300 ms; nothing else moves."""
        self._waiting.set(is_waiting)

    def toggle_why(self) -> None:
        """Open or close the drawer; where the panel stands beside the content, go to it or back."""
        if not self.has_why or self.is_covered:
            return
        is_drawer = self._metrics.why_is_drawer
        if self._is_drawer_open if is_drawer else is_inside(QApplication.focusWidget(), self.why):
            self.close_why()
        else:
            self.open_why()

    def open_why(self) -> None:
        """Open the drawer."""
        self._set_drawer(True)
        self.why.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def close_why(self) -> None:
        """Close the drawer and give the keys back to the content."""
        self._set_drawer(False)
        self._areas.go_to_content()

    def next_area(self) -> None:
        """Go on to the next of views, rail, content and why panel."""
        self._go_round(1)

    def previous_area(self) -> None:
        """Go back to the previous of them."""
        self._go_round(-1)

    def lay_out(self) -> None:
        """Place all parts for the present size of window and font."""
        width, height = self._body.width(), self._body.height()
        sizes = self._take_metrics(width, height)
        line = colours_of(self.palette()).hairline
        more = self.bottom.more_height(width)
        # A sentence of several lines covers nothing: all that stands above it has less room.
        foot = height - sizes.bottom_line - more
        middle = max(0, foot - sizes.top_bar)
        self.top.setGeometry(0, 0, width, sizes.top_bar - line)
        self.bottom.setGeometry(0, foot + line, width, sizes.bottom_line - line + more)
        self.rail.setGeometry(0, sizes.top_bar, sizes.rail_width - line, middle)
        beside = 0 if sizes.why_is_drawer or not self.has_why else sizes.why_width
        left = sizes.rail_width
        room = max(0, width - left - beside)
        between = QRect(left, sizes.top_bar, room, foot - sizes.top_bar)
        taken = self._foot_banner.place(between, self.stack.currentWidget())
        self.stack.setGeometry(left, sizes.top_bar, room, max(0, middle - taken))
        self.why.setVisible(self.is_why_open)
        self.why.setGeometry(width - sizes.why_width, sizes.top_bar, sizes.why_width, middle)
        if sizes.why_is_drawer:
            self.why.raise_()
        self._waiting.place(sizes.top_bar - 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the body fill the window."""
        super().resizeEvent(event)
        self._body.setGeometry(self.rect())
        if self._cover is not None:
            self._cover.setGeometry(self.rect())

    def changeEvent(self, event: QEvent) -> None:
        """Draw anew with another font or palette."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.lay_out()
        elif event.type() == QEvent.Type.PaletteChange and self._icons is not None:
            self._icons.clear()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Tell of keys of a page that are pressed beside it, such as on the button of the menu."""
        if not self.is_covered:
            if event.key() == Qt.Key.Key_Escape and not event.modifiers():
                self.left.emit()
                return
            by = _GROUP_KEYS.get(Qt.Key(event.key()))
            if by is not None and event.modifiers() == Qt.KeyboardModifier.ControlModifier:
                self.group_wanted.emit(by)
                return
        super().keyPressEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Tell that the window closes."""
        self.closing.emit()
        super().closeEvent(event)

    def _take_metrics(self, width: int, height: int) -> Metrics:
        sizes = metrics_for(self.font(), width, height)
        if sizes is not self._metrics:
            was_drawer = self._metrics.why_is_drawer
            self._metrics = self._body.sizes = sizes
            self.rail.set_metrics(sizes)
            self.top.set_metrics(sizes)
            self.bottom.set_metrics(sizes)
            self.metrics_changed.emit(sizes)
            if was_drawer and not sizes.why_is_drawer:
                self._is_drawer_open = False
        return sizes

    def _set_drawer(self, is_open: bool) -> None:
        if not self._metrics.why_is_drawer or is_open == self._is_drawer_open:
            return
        self._is_drawer_open = is_open
        self.lay_out()
        self._body.update()
        self.why_toggled.emit(is_open)

    def _mark_view(self) -> None:
        """Mark the view only while its page is shown, and not one that belongs to no view."""
        shown = self.stack.currentWidget()
        self.top.views.set_shown(self.has_why or shown is self._instead)

    def _on_view_click(self, number: int) -> None:
        """Go back to the chosen view from a page that stands in its place."""
        if number == self.top.views.currentIndex():
            self.show_view(self.view_id)

    def _on_view_opened(self) -> None:
        self.show_view(self.view_id)

    def _on_view_key(self) -> None:
        sender = self.sender()
        if sender is not None and self.uncover():
            self.show_view(sender.objectName())
            self.keys_wanted.emit()

    def _on_view(self, number: int) -> None:
        view_id = self._views[number].id
        self.view_chosen.emit(view_id)
        page = self._instead or self._pages.get(view_id)
        if page is not None:
            self.stack.setCurrentWidget(page)

    def _go_round(self, by: int) -> None:
        # What stands in place of everything is one part.
        if not self.is_covered:
            self._areas.go_round(by)
