"""Finding by typing: what is marked in the page, listed below the bar, and gone to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, runtime_checkable

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.come_from import ComeFrom
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.models.finding_rows import FindIndex, Found, Hit, HitKind, item_of
from tankkeeper.gui.models.round_rows import ItemRow, item_row
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.why_cards import card_without_turns
from tankkeeper.gui.widgets.find_bar import FindBar
from tankkeeper.gui.widgets.focus import is_inside
from tankkeeper.gui.widgets.why_panel import WhyCard


@runtime_checkable
class FindPage(Protocol):
    """A page in which can be found: it takes the bar at its head, and marks and shows lines."""

    @property
    def place(self) -> str:
        """How it is said that something is among the lines, empty where the page shows none."""

    def rows(self) -> list[ItemRow]:
        """Return all lines."""

    def selected(self) -> list[ItemRow]:
        """Return the lines on which the keys act."""

    def hold_at_head(self, bar: QWidget) -> None:
        """Take the bar above everything else."""

    def mark_found(self, ids: frozenset[str]) -> None:
        """Mark the lines with these ids, and no others."""

    def show_row(self, row_id: str) -> bool:
        """Select a line and bring it into view; tell whether it is there."""

    def go_on(self) -> None:
        """Go to the next line that is still to do where the current one was closed."""

    def take_keys(self) -> None:
        """Let the keys act in the lines."""

    @property
    def is_carrying(self) -> bool:
        """Whether something is carried to another day, which Escape lets go first."""


def index_of(shown: Shown, page: FindPage, tank_id: str | None) -> FindIndex:
    """Return what can be found in a page by now; `tank_id` is the one it is narrowed to."""
    # Loaded late: the round stands without it.
    from tankkeeper.gui.forms.day_fields import local_style

    style, words = local_style(), shown.sheet.words
    return FindIndex(shown.state, words, page.rows(), page.place, style, tank_id)


class FindDesk(QObject):
    """Finds in a page; `changed` tells that the why panel has something else to tell.

    `day_wanted` tells a day that is to be shown, `marked` the chores that are found by now. Where
    the page has days, a chore without a line is gone to on its day: `chore_wanted` tells its hit.
    """

    changed = Signal()
    day_wanted = Signal(object)
    chore_wanted = Signal(object)
    marked = Signal(object)

    def __init__(
        self,
        frame: Frame,
        session: Session,
        page: FindPage,
        parent: QObject,
        *,
        has_days: bool = False,
    ) -> None:
        super().__init__(parent)
        self._has_days = has_days
        self._frame = frame
        self._session = session
        self._page = page
        self.bar = FindBar()
        self._index: FindIndex | None = None
        self._found = Found()
        self._at = -1
        self._come_from = ComeFrom(frame, page)
        # What the why panel told of while it had the keys before.
        self._told_before: Hit | None = None
        # The part of the page that has the keys while the bar is open.
        self._watched: QWidget | None = None
        # A chore that is gone to once its tank is shown, and one that the why panel tells of.
        self._awaited: Hit | None = None
        self._told: Hit | None = None
        self._told_row: ItemRow | None = None
        self._told_card: WhyCard | None = None
        page.hold_at_head(self.bar)
        self.bar.hide()
        self._connect()

    def _connect(self) -> None:
        self.bar.typed.connect(self._on_typed)
        self.bar.stepped.connect(self._on_step)
        self.bar.entered.connect(self._on_entered)
        self.bar.clicked.connect(self._on_clicked)
        self.bar.left.connect(self._on_left)
        self._frame.left.connect(self._on_left_beside)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._on_focus)

    @property
    def is_open(self) -> bool:
        """Whether the bar can be seen."""
        return not self.bar.isHidden()

    @property
    def told_row(self) -> ItemRow | None:
        """The chore that was gone to and has no line in the page; the why panel tells of it."""
        return self._told_row

    @property
    def told_card(self) -> WhyCard | None:
        """What is told of a chore that was gone to and has nothing to come."""
        return self._told_card

    def hold_told(self) -> Callable[[], None] | None:
        """Return what tells again of the chore that is told of now, None where none is."""
        hit = self._told
        return None if hit is None else lambda: self._tell_of(hit)

    def open_bar(self, typed: str = "") -> None:
        """Open the bar, or go back to it; a letter that was typed before is its first."""
        last = self._session.last
        if last is None:
            return
        if not self.is_open or not is_inside(self._come_from.focus, self.bar):
            self._come_from.note()
            self._told_before = self._told if self._come_from.is_why else None
        if not self.is_open:
            self._index = self._index_of(last)
            self._search()
        self._tell_of(None)
        self.bar.begin(typed)

    def come_from(self, row_id: str) -> None:
        """Let Escape lead to a line that is to do again as soon as its deed is taken back."""
        self._come_from.wait_for(row_id)

    def take(self, shown: Shown) -> None:
        """Go on with a new reading, once the page shows it; nothing jumps."""
        self._come_from.follow(self._shown, is_open=self.is_open)
        self.look_again()
        awaited, self._awaited = self._awaited, None
        if awaited is not None:
            self._arrive(awaited)
        elif self._told is not None:
            self._tell_of(self._told)

    @property
    def _shown(self) -> str | None:
        """The line that was found and is shown, None where none is."""
        rows = self._found.rows
        return rows[self._at] if 0 <= self._at < len(rows) else None

    def look_again(self) -> None:
        """Go on with what the page shows by now: another month, a day, the board."""
        last = self._session.last
        if self.is_open and last is not None:
            self._index = self._index_of(last)
            self._look_again()

    def close_bar(self) -> None:
        """Close the bar; nothing is marked any more."""
        self.bar.hide()
        self._watch(None)
        self._page.mark_found(frozenset())
        self.marked.emit(frozenset())
        self._index = None

    def _index_of(self, shown: Shown) -> FindIndex:
        return index_of(shown, self._page, self._session.tank_id)

    # Typing

    def _on_typed(self, _text: str) -> None:
        self._search()

    def _search(self) -> None:
        """Find anew, and go to what is most likely meant."""
        self._look_again()
        self._at = self._found.first if self._found.rows or self._found.hits else -1
        if self._come_from.is_rail:
            # There a name that is typed is that of a tank, where one is called so.
            tanks = (at for at, hit in enumerate(self._found.hits) if hit.kind is HitKind.TANK)
            self._at = next((len(self._found.rows) + at for at in tanks), self._at)
        self._show_current()

    def _look_again(self) -> None:
        if self._index is None:
            return
        self._found = self._index.search(self.bar.text)
        self._page.mark_found(frozenset(self._found.rows))
        self.marked.emit(self._found.chores)
        self.bar.show_found(self._found.sentence, [hit.text for hit in self._found.hits])
        self._at = min(self._at, len(self._found.rows) + len(self._found.hits) - 1)
        self.bar.set_current(self._at - len(self._found.rows))

    def _on_step(self, by: int) -> None:
        count = len(self._found.rows) + len(self._found.hits)
        if count:
            self._at = (self._at + by) % count
            self._show_current()

    def _show_current(self) -> None:
        """Show where Return leads: a line of the page, or one below the bar."""
        rows, said = self._found.rows, ""
        if 0 <= self._at < len(rows):
            self._page.show_row(rows[self._at])
            said = next((one.sentence for one in self._page.rows() if one.id == rows[self._at]), "")
        elif self._come_from.row is not None:
            self._page.show_row(self._come_from.row)
        hit = self._hit()
        self.bar.set_current(self._at - len(rows) if hit is not None else -1)
        said = hit.text if hit is not None else said
        self.bar.say(". ".join(part for part in (self._found.sentence.rstrip("."), said) if part))

    def _hit(self) -> Hit | None:
        at = self._at - len(self._found.rows)
        return self._found.hits[at] if 0 <= at < len(self._found.hits) else None

    # Going there

    def _on_left(self) -> None:
        """Close, with the keys on the line that had them before, or where they were beside it."""
        self.close_bar()
        if self._come_from.lead_back() and self._told_before is not None:
            self._tell_of(self._told_before)

    def _on_left_beside(self) -> None:
        """Close by Escape on the lines around the page, too, and leave the keys where they are."""
        if self.bar.isVisible():
            self._come_from.forget()
            self.close_bar()

    def _on_clicked(self, at: int) -> None:
        self._at = len(self._found.rows) + at
        self._on_entered()

    def _on_entered(self) -> None:
        hit = self._hit()
        # Somebody goes elsewhere.
        self._come_from.forget()
        if hit is not None:
            self._go_to(hit)
        elif 0 <= self._at < len(self._found.rows):
            self.close_bar()
            self._page.show_row(self._found.rows[self._at])
            self._page.take_keys()

    def _go_to(self, hit: Hit) -> None:
        self.close_bar()
        self._page.take_keys()
        if hit.kind is HitKind.DAY and hit.day is not None:
            self.day_wanted.emit(hit.day)
            return
        if self._has_days and hit.kind is HitKind.CHORE:
            self._lead_to(hit)
            return
        if hit.kind is HitKind.TANK:
            self._frame.rail.choose(hit.tank)
        elif self._show_where(hit):
            # The page shows the tank only once it was read.
            self._awaited = hit
        else:
            self._arrive(hit)

    def _lead_to(self, hit: Hit) -> None:
        """Go to a chore on its day, where it has one; another tank gives way to its own."""
        if hit.day is None:
            self._arrive(hit)
            return
        self._show_where(hit)
        self.chore_wanted.emit(hit)

    def _show_where(self, hit: Hit) -> bool:
        """Let another tank give way to that of a chore; tell whether it did.

        The whole house holds the chore already: to be left alone with its tank was not asked for.
        """
        if self._session.tank_id in (None, hit.tank):
            return False
        self._frame.rail.choose(hit.tank)
        return True

    def _arrive(self, hit: Hit) -> None:
        """Go to the line of a chore if it has one now, else tell of it in the why panel."""
        row = next((one for one in self._page.rows() if one.item.chore.id == hit.chore), None)
        if row is not None:
            self._page.show_row(row.id)
            self._page.take_keys()
            return
        self._tell_of(hit)
        if self._told_row is not None or self._told_card is not None:
            self._frame.open_why()

    def _tell_of(self, hit: Hit | None) -> None:
        """Let the why panel tell of a chore, as it stands now; of none where it has a line."""
        before = (self._told_row, self._told_card)
        self._told, self._told_row, self._told_card = hit, None, None
        if hit is not None:
            self._told_row, self._told_card = self._told_of(hit)
        if (self._told_row, self._told_card) != (None, None) or before != (None, None):
            self.changed.emit()

    def _told_of(self, hit: Hit) -> tuple[ItemRow | None, WhyCard | None]:
        """Return the next turn of a chore, or the card of one that has nothing to come."""
        last = self._session.last
        if last is None or any(one.item.chore.id == hit.chore for one in self._page.rows()):
            return None, None
        found = next((one for one in last.state.chores if one.chore.id == hit.chore), None)
        if found is None:
            return None, None
        words, item = last.sheet.words, item_of(last.state, found)
        if item is not None:
            return item_row(item, words), None
        return None, card_without_turns(found, last.state.household, words)

    def _on_focus(self, _old: QWidget | None, new: QWidget | None) -> None:
        """Tell of the page's own line again as soon as the keys act in it."""
        page = self._page
        if not isinstance(page, QWidget) or not is_inside(new, page):
            self._watch(None)
            return
        if self._told is not None:
            self._tell_of(None)
        self._watch(new if self.is_open and not is_inside(new, self.bar) else None)

    def _watch(self, widget: QWidget | None) -> None:
        """Look at the keys of this part of the page, and of no other."""
        if widget is not self._watched:
            if self._watched is not None:
                self._watched.removeEventFilter(self)
            if widget is not None:
                widget.installEventFilter(self)
            self._watched = widget

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Close by Escape in the page, too, and leave the keys where they are.

        What is carried is let go by it first.
        """
        is_key = event.type() in (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress)
        if not is_key or not isinstance(event, QKeyEvent) or self._page.is_carrying:
            return super().eventFilter(watched, event)
        if event.key() != Qt.Key.Key_Escape or event.modifiers():
            return super().eventFilter(watched, event)
        event.accept()
        if event.type() is QEvent.Type.KeyPress:
            self._on_left_beside()
        return True
