"""The common shape of the small forms: a title, fields, a refusal in place, two buttons."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QTimer, Signal
from PySide6.QtGui import QAction, QHideEvent, QKeyEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QDialog,
    QHBoxLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from tankkeeper.gui.forms.fields_area import FieldsArea
from tankkeeper.gui.forms.form_room import FormRoom
from tankkeeper.gui.forms.kept_typing import (
    StillHere,
    Typing,
    is_other,
    leave_typing,
    put_in,
    standing_in,
    take_typing,
)
from tankkeeper.gui.forms.same_window import put_away, show_anew
from tankkeeper.gui.forms.standing_over import StandingOver, top_form
from tankkeeper.gui.forms.underlined import underlined
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button, ButtonKind
from tankkeeper.gui.widgets.labels import CaptionLabel, HeadingLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.gui.widgets.scrolling import scrolls
from tankkeeper.gui.widgets.why_panel import Notice

LEAVE = "Leave"


class Form(QDialog):
    """A form over the window; `asked` tells that its primary button was used, Escape leaves it.

    It closes only once what it asks for was kept; a refusal stands in it, and what was typed
    stays.
    """

    asked = Signal()

    def __init__(self, title: str, sentence: str, keep: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._over = StandingOver(self)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._on_focus)
        self._begin(title, sentence, keep)
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            keep_it = QShortcut(QKeySequence(keys), self)
            # On the board it is the key that opens the form, and is held down a little long.
            keep_it.setAutoRepeat(False)
            keep_it.activated.connect(self._press_primary)
        QShortcut(QKeySequence("Ctrl+Q"), self).activated.connect(self._quit)

    def _begin(self, title: str, sentence: str, keep: str) -> None:
        """Make what every form has, in a window in which nothing stands."""
        self.setWindowTitle(title)
        self.column = QVBoxLayout(self)
        self.area = FieldsArea(self)
        self.fields = self.area.fields
        self._room = FormRoom(self, self.column, self.area, self._heighten_fields)
        # Its buttons stand at its end.
        self.foot = QHBoxLayout()
        # In the order in which they stand, which is that of Tab.
        self.leave = Button(LEAVE, ButtonKind.PLAIN, self)
        self.primary = Button(keep, ButtonKind.PRIMARY, self)
        # The name of each field as it was given.
        self._names: dict[QLabel, str] = {}
        self._notice: Notice | None = None
        # What it tells, how, and on which ground.
        self._telling: tuple[Mark, str, Role] | None = None
        self._is_writing = False
        # Whether the program is to end once what is being written is kept.
        self._quits_after = False
        self._takes_keys_again = False
        # What stood in the fields before anything was typed, where that is kept at all.
        self._untouched: Typing | None = None
        self._at_first: Typing | None = None
        self._about = self._of = ""
        self._still_here: StillHere | None = None
        self._build(title, sentence)
        self.area.grown.connect(self._on_grown)
        self.primary.clicked.connect(self.asked)
        self.leave.clicked.connect(self.reject)
        self.primary.setDefault(True)
        self.leave.setAutoDefault(False)

    def begin_anew(self, title: str, sentence: str, keep: str) -> None:
        """Become the form of something else in the same window; `stand_anew` shows it."""
        self.area.grown.disconnect(self._on_grown)
        put_away(self, self.column)
        self.setAccessibleDescription("")
        self._begin(title, sentence, keep)

    def stand_anew(self) -> None:
        """Show what the form has become, and give the keys to its field."""
        show_anew(self)
        self._at_first = standing_in(self)
        self.fit(shrinks=True)
        self._room.stand_over()
        announce(self, self.windowTitle())

    def _press_primary(self) -> None:
        self.primary.click()

    def _build(self, title: str, sentence: str) -> None:
        self.column.setContentsMargins(Space.L, Space.M, Space.L, Space.M)
        self.column.setSpacing(Space.XS)
        self.column.addWidget(HeadingLabel(title, parent=self))
        # What is said under the title, None where nothing is.
        self.caption = CaptionLabel(sentence, parent=self) if sentence else None
        if self.caption is not None:
            self.column.addWidget(self.caption)
        self.column.addSpacing(Space.XS)
        self.column.addWidget(self.area)
        self.foot.setSpacing(Space.XS)
        self.foot.addStretch(1)
        self.foot.addWidget(self.leave)
        self.foot.addWidget(self.primary)
        # Where a sentence stood and went, and nowhere else, room may be left.
        self.column.addStretch(0)
        self.column.addSpacing(Space.S)
        self.column.addLayout(self.foot)
        self.setMinimumWidth(metrics_for(self.font()).px(420))

    def _on_focus(self, _before: QWidget | None, now: QWidget | None) -> None:
        self.area.follow(now)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Scroll the fields where the keys are at a button under them."""
        if self.area.holds(self.focusWidget()) or not scrolls(self.area, event):
            super().keyPressEvent(event)

    def _on_grown(self) -> None:
        self.fit(shrinks=True)

    def add_field(self, name: str, field: QWidget) -> None:
        """Add a field whose name stands on the line of what is typed.

        `&` marks its key; a name without one gets a letter that no other field has.
        """
        label = QLabel(self)
        label.setBuddy(_taking_keys(field))
        label.setFixedHeight(metrics_for(self.font()).button_height)
        self.fields.addRow(label, field)
        self._names[label] = name
        for one, text in zip(self._names, underlined(list(self._names.values())), strict=True):
            one.setText(text)

    def refuse(self, sentence: str) -> None:
        """Tell in place why it was not kept, and let it be tried again."""
        self._is_writing = self._quits_after = False
        self.primary.setEnabled(True)
        if self._takes_keys_again:
            self._takes_keys_again = False
            self.primary.setFocus()
        self._show(Mark.REFUSED, sentence, Role.OVERDUE_SOFT)

    def ask(self, sentence: str) -> None:
        """Ask in place about what was typed, before it is kept."""
        self._show(Mark.CAUTION, sentence, Role.AMBER_SOFT)

    def tell_besides(self, sentence: str) -> None:
        """Tell a sentence behind what is asked or refused in place."""
        mark, told, ground = self._telling or (Mark.CAUTION, "", Role.AMBER_SOFT)
        self._show(mark, f"{told} {sentence}".strip(), ground)

    def _show(self, mark: Mark, sentence: str, ground: Role) -> None:
        self._telling = (mark, sentence, ground) if sentence else None
        if self._notice is not None:
            self.column.removeWidget(self._notice)
            self._notice.hide()
            self._notice.deleteLater()
            self._notice = None
        self.setAccessibleDescription(sentence)
        here = self.focusWidget()
        field = here.parentWidget() if here is not None else None
        if sentence and isinstance(field, QuantityField):
            # What is typed next takes the place of what is told of.
            field.go_to()
        if sentence:
            self._notice = Notice(mark, sentence, ground, self)
            self.column.insertWidget(self.column.count() - 2, self._notice)
            announce(self, sentence)

    def wait(self) -> None:
        """Keep the form as it is while what was typed is written: it is kept once or refused."""
        self._is_writing = True
        # A button that is disabled hands its keys on.
        self._takes_keys_again = self.primary.hasFocus()
        self.primary.setEnabled(False)

    def event(self, event: QEvent) -> bool:
        """Grow where a sentence takes more lines than there was room for."""
        is_done = super().event(event)
        if event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize, QEvent.Type.Show):
            self.fit()
            if event.type() == QEvent.Type.Show and not event.spontaneous():
                self._room.stand_over()
        elif event.type() == QEvent.Type.WindowActivate:
            # Its title bar is known only once it stands.
            self._room.stay_on_screen()
        return is_done

    def fit(self, *, shrinks: bool = False) -> None:
        """Take the room that is needed and the screen has."""
        self._room.fit(shrinks=shrinks)

    def _heighten_fields(self) -> None:
        self.area.heighten()

    def rows_that_fit(self, high: int, most: int, beside: int = 0) -> int:
        """Return how many rows of a list can be seen in the form with a refusal under them.

        `beside` is what else stands in the form, in pixels at the usual type.
        """
        return self._room.rows_that_fit(high, most, beside)

    def keep_typing(self, about: str, of: str = "") -> None:
        """Let what is typed and left stand here again next time; call it once all fields are made.

        `about` tells the form from others over the same window; where what is left waits whatever
        the form is `of` by then, it is told when it was of something else.
        """
        over = self.parentWidget()
        if over is None:
            return
        self._about = f"{over.window().windowTitle()}: {type(self).__name__}: {about}"
        self._untouched = standing_in(self)
        self._of = of
        left = take_typing(over, self._about, self._untouched)
        if left is None:
            return
        put_in(self, left)
        self._still_here = StillHere(self)
        self._still_here.tell_of(left.of if left.of != of else "")
        self._still_here.cleared.connect(self._clear_typing)
        self.column.insertWidget(1, self._still_here)
        # It stands above the fields, and Tab comes to it before them.
        QWidget.setTabOrder(self.primary, self._still_here.clear)

    def _quit(self) -> None:
        """Leave the form and end the program, which tells first of what was typed and is kept.

        Where what was typed is kept nowhere, only the form is left, as by Escape.
        """
        if self._is_writing:
            # It ends once what was typed is kept; a refusal leaves the form, and the program.
            self._quits_after = True
            return
        over = self.parentWidget()
        is_typed = self._at_first is None or is_other(standing_in(self), self._at_first)
        is_safe = self._untouched is not None or not is_typed
        self.reject()
        if over is None or self.isVisible() or not is_safe:
            return
        self._end(over)

    @staticmethod
    def _end(over: QWidget) -> None:
        ending = over.window().findChild(QAction, Command.QUIT.value)
        if isinstance(ending, QAction):
            ending.trigger()

    def open(self) -> None:
        """Stand over the window, in which nothing can be done until the form is closed."""
        self.setResult(0)
        self.show()

    def hideEvent(self, event: QHideEvent) -> None:
        """Leave the window under it to whoever is there."""
        if not event.spontaneous():
            self._over.end()
        super().hideEvent(event)

    def showEvent(self, event: QShowEvent) -> None:
        """Note what stands in the fields before a key is pressed."""
        if self._at_first is None:
            self._at_first = standing_in(self)
        if not event.spontaneous():
            self._over.begin()
        super().showEvent(event)

    def _clear_typing(self) -> None:
        if self._still_here is not None and self._untouched is not None:
            self._still_here.hide()
            put_in(self, self._untouched)
            self.refuse("")
            self.focusNextChild()
            self.fit(shrinks=True)

    def done(self, result: int) -> None:
        """Close the form, and hand the keys back."""
        super().done(result)
        give_keys_back(self)
        over = self.parentWidget()
        if self._quits_after and over is not None:
            self._quits_after = False
            # Only once what was kept is told to all that wait for it.
            QTimer.singleShot(0, over, lambda: self._end(over))

    def reject(self) -> None:
        """Leave the form, but not while what was typed is on its way."""
        if self._is_writing:
            return
        over, before = self.parentWidget(), self._untouched
        if before is not None and over is not None:
            typing = standing_in(self)
            if is_other(typing, before):
                typing.name, typing.of = f"The form {self.windowTitle()}", self._of
                leave_typing(over, self._about, typing)
        super().reject()


def give_keys_back(closed: QDialog) -> None:
    """Let the keys act in the window under what was closed, whatever the desktop does with them.

    One that closes before the desktop has made the window before it the active one, as after a
    dialog of the system, would leave them nowhere. What stands over the window by now keeps them.
    """
    under = closed.parentWidget()
    if top_form() is not None:
        return
    if under is not None and under.window().isVisible():
        under.window().activateWindow()


def _taking_keys(field: QWidget) -> QWidget:
    """Return the part of a field that takes the keys; a label leads to nothing else.

    A button would be pressed by the key of the label: what holds it hands the keys on.
    """
    while (inner := field.focusProxy()) is not None and not isinstance(inner, QAbstractButton):
        field = inner
    return field
