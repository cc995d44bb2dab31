"""A sentence above a list, with what can be done about it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QWidget

from tankkeeper.gui.marks import Mark
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption, shortcut
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labels import PlainLabel, laid_out
from tankkeeper.gui.widgets.why_panel import Notice

# Beside the sentence it is plain what is meant.
_SHORT = {
    Command.MEANWHILE: "Say what was done",
    Command.CLOSE_NOTICE: "Close",
    Command.SHOW_REMINDED: "Show",
    Command.CLOSE_REMINDER: "Close",
}
# A sentence has at least so many heights of a line as its width beside the buttons.
_NARROWEST = 14
# Less beside the names of the keys: who works by keys needs them more than a wider sentence.
_NARROWEST_KEYED = 11.5


class NoticeBar(QWidget):
    """Shows one sentence at a time; `commanded` tells the command of the button that was used."""

    commanded = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(Space.L, Space.S, Space.L, 0)
        self._row.setSpacing(Space.XS)
        self._side = QHBoxLayout()
        self._side.setSpacing(Space.XS)
        self._row.addLayout(self._side)
        self._whole: Notice | None = None
        self._cut: Notice | None = None
        self._buttons: list[Button] = []
        self._commands: tuple[Command, ...] = ()
        self._keyed: frozenset[Command] | None = None
        self.sentence = ""
        self.hide()

    def show_notice(
        self,
        sentence: str,
        commands: Sequence[Command],
        keyed: frozenset[Command] | None = None,
    ) -> None:
        """Show a sentence with the buttons of these commands, or with an empty one nothing.

        `keyed` are those whose key acts where the bar stands, None for all.
        """
        if sentence == self.sentence:
            return
        self.sentence = sentence
        for part in (self._whole, self._cut, *self._buttons):
            if part is not None:
                # It is deleted later, and painted over what follows until then.
                part.hide()
                self._row.removeWidget(part)
                self._side.removeWidget(part)
                part.deleteLater()
        self._whole, self._cut, self._buttons = None, None, []
        self.setVisible(bool(sentence))
        if not sentence:
            return
        self._whole = Notice(Mark.CAUTION, sentence, Role.AMBER_SOFT, self)
        self._commands = tuple(commands)
        self._keyed = keyed
        self._buttons = [self._button(command) for command in commands]
        self._row.insertWidget(0, self._whole, 1)
        for button in self._buttons:
            self._side.addWidget(button)
        announce(self, sentence)

    @property
    def shown_text(self) -> str:
        """What can be read of the sentence."""
        shown = self._cut if self._cut is not None and not self._cut.isHidden() else self._whole
        return shown.label.text() if shown is not None else ""

    def whole_height(self, width: int, *, keeps_keys: bool = False) -> int:
        """Return the height at which all of the sentence can be read in a bar of this width.

        Where it `keeps_keys` the buttons go under the sentence before they lose their keys.
        """
        if self._whole is None:
            return 0
        is_narrow = self._word_buttons(width, keeps_keys=keeps_keys, may_be_bare=not keeps_keys)
        buttons = self._buttons_high()
        room = self._room(width)
        text_wide = self._whole.text_room(width - 2 * Space.L if is_narrow else room)
        label = self._whole.label
        high = self._whole.height_of(label.heightForWidth(text_wide) // label.line_px())
        if is_narrow:
            return Space.S + high + Space.XS + buttons
        return Space.S + max(high, buttons)

    def least_height(self) -> int:
        """Return the height in which one line of the sentence stands beside the buttons."""
        if self._whole is None:
            return 0
        one_line = self._whole.label.line_px() + 2 * Space.XS
        return Space.S + max(one_line, self._buttons_high())

    def show_whole(self, width: int, *, keeps_keys: bool = False) -> None:
        """Let all of the sentence be read, the buttons under it where there is no room beside."""
        if self._whole is None:
            return
        is_narrow = self._word_buttons(width, keeps_keys=keeps_keys, may_be_bare=not keeps_keys)
        way = QBoxLayout.Direction
        self._row.setDirection(way.TopToBottom if is_narrow else way.LeftToRight)
        self._whole.setVisible(True)
        if self._cut is not None:
            self._cut.setVisible(False)
        for button in self._buttons:
            button.setVisible(True)

    def show_cut(self, width: int, high: int, more: str) -> None:
        """Let so much of the sentence be read as stands in this height, and what tells `more`.

        Where even their bare words leave no room the buttons are left out; their keys act all the
        same, and what tells `more` shows them, too.
        """
        if self._whole is None:
            return
        if self._cut is None:
            self._cut = Notice(Mark.CAUTION, "", Role.AMBER_SOFT, self, is_always_beside=True)
            # Beside higher buttons its line stands in their middle.
            self._row.insertWidget(0, self._cut, 1, Qt.AlignmentFlag.AlignVCenter)
        is_narrow = self._word_buttons(width, keeps_keys=True, may_be_bare=True)
        room = self._room(width)
        label, line = self._cut.label, self._cut.label.line_px()
        lines = max(1, (high - Space.S - self._cut.height_of(0)) // line)
        text_wide = self._cut.text_room(width - 2 * Space.L if is_narrow else room)
        label.setText(cut_text(label, self.sentence, text_wide, lines, more))
        label.setAccessibleName(f"Caution: {self.sentence}")
        self._row.setDirection(QBoxLayout.Direction.LeftToRight)
        self._whole.setVisible(False)
        self._cut.setVisible(True)
        for button in self._buttons:
            button.setVisible(not is_narrow)

    def measure_anew(self) -> None:
        """Forget heights that were measured for a text before, or in another width.

        Each layout hears of a text that changed within it only once the events are dealt with, one
        after the other from the inside; until then it tells the height of the text before.
        """
        for part in (self._whole, self._cut, self):
            column = part.layout() if part is not None else None
            if column is not None:
                column.activate()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tell a click on a sentence that is cut: all of it is wanted."""
        at, cut = event.position().toPoint(), self._cut
        if cut is not None and cut.isVisible() and cut.geometry().contains(at):
            self.commanded.emit(Command.WHOLE_REMINDER.value)
        event.accept()

    def _word_buttons(self, width: int, *, keeps_keys: bool, may_be_bare: bool) -> bool:
        """Name the keys on the buttons where the sentence leaves room for them; tell whether

        they have no room beside it, where they `may_be_bare` not even without the keys.
        `keeps_keys` leaves the sentence less room before they lose them.
        """
        for with_keys in (True, False) if may_be_bare else (True,):
            for button, command in zip(self._buttons, self._commands, strict=True):
                button.set_words(_words(command, with_key=with_keys and self._has_key(command)))
            least = _NARROWEST_KEYED if with_keys and keeps_keys else _NARROWEST
            if not self._is_narrow(self._room(width), least):
                return False
        for button, command in zip(self._buttons, self._commands, strict=True):
            button.set_words(_words(command, with_key=self._has_key(command)))
        return bool(self._buttons)

    def _room(self, width: int) -> int:
        """Return what the buttons leave to the sentence in a bar of this width."""
        taken = sum(button.sizeHint().width() + Space.XS for button in self._buttons)
        return width - 2 * Space.L - taken

    def _is_narrow(self, room: int, least: float) -> bool:
        line = self._whole.label.line_px() if self._whole is not None else 0
        return bool(self._buttons) and room < least * line

    def _buttons_high(self) -> int:
        return max((button.sizeHint().height() for button in self._buttons), default=0)

    def _has_key(self, command: Command) -> bool:
        return self._keyed is None or command in self._keyed

    def _button(self, command: Command) -> Button:
        has_key = self._has_key(command)
        button = Button(_words(command, with_key=has_key), parent=self)
        if has_key:
            button.setToolTip(key_caption(command))
            button.setAccessibleDescription(key_caption(command))
        button.clicked.connect(lambda: self.commanded.emit(command.value))
        return button


def _words(command: Command, *, with_key: bool) -> str:
    """Return what stands on the button of a command; its tooltip tells the key in any case."""
    text = _SHORT.get(command, shortcut(command).text)
    return f"{text} ({key_caption(command)})" if with_key else text


def cut_text(label: PlainLabel, text: str, width: int, lines: int, more: str) -> str:
    """Return as many whole words of a text as fit into so many lines, and then `more`."""

    def fits(one: str) -> bool:
        return laid_out(one, label.type_font(), width, label.line_px()).lineCount() <= lines

    if fits(text):
        return text
    words = text.split(" ")
    while words and not fits(f"{' '.join(words)} … {more}"):
        words.pop()
    return f"{' '.join(words)} … {more}".strip()
