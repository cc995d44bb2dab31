"""The head of the calendar: title, one sentence, steps through the months, month or board."""

from __future__ import annotations

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QFontMetricsF, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.typography import Space, TypeRole, line_height, metrics_for, type_font
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labels import BodyLabel, TitleLabel

# Rows for which there is room under the head.
_ROWS_BENEATH = 3


class MonthHead(QWidget):
    """Places title and sentence left and the buttons right; `commanded` tells a command."""

    commanded = Signal(str)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.title = TitleLabel("", parent=self)
        self.sentence = BodyLabel("", ink=Role.INK_2, parent=self)
        self._steps = [
            self._button("\N{SINGLE LEFT-POINTING ANGLE QUOTATION MARK}", Command.PREVIOUS_MONTH),
            self._button("\N{SINGLE RIGHT-POINTING ANGLE QUOTATION MARK}", Command.NEXT_MONTH),
            self._button("Today", Command.TODAY),
        ]
        self._back = self._button("Back", Command.CLOSE_DAY)
        self._month = self._button("Month", Command.MONTH)
        self._board = self._button("Board", Command.BOARD)
        for button in (self._month, self._board):
            button.setCheckable(True)
        self._left = Space.L
        self._most: int | None = None
        self._mode = "month"
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def _button(self, text: str, command: Command) -> Button:
        from tankkeeper.gui.shortcuts import shortcut

        button = Button(text, parent=self)
        words = shortcut(command).text
        button.setObjectName(command.value)
        button.setAccessibleName(words)
        button.setToolTip(f"{words} ({key_caption(command)})")
        button.clicked.connect(self._on_clicked)
        return button

    def _on_clicked(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())

    def set_texts(self, title: str, sentence: str, mode: str) -> None:
        """Show title and sentence; `mode` is "month", "day" or "board"."""
        self.title.setText(title)
        self.sentence.setText(sentence)
        self._mode = mode
        self._month.setChecked(mode != "board")
        self._board.setChecked(mode == "board")
        self.lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the parts."""
        super().resizeEvent(event)
        self.lay_out()

    def give_room(self, high: int) -> None:
        """Tell how high the page is: some rows must stand beneath, or what is least goes."""
        self._most = high - _ROWS_BENEATH * metrics_for(self.font()).row_height
        self.lay_out()

    def lay_out(self) -> None:
        """Place the parts and take the height they need; where it is short, keys are enough."""
        for sentence, buttons in ((True, True), (False, True), (False, False)):
            high = self._place(sentence, buttons)
            if self._most is None or high <= self._most:
                break
        self.sentence.setVisible(sentence)
        shown = [button for button, _ in self._places()] if buttons else []
        for button in (*self._steps, self._back, self._month, self._board):
            button.setVisible(button in shown)
        self.setFixedHeight(high)

    def _place(self, has_sentence: bool, has_buttons: bool) -> int:
        """Place the parts and return the height; where room is short, buttons go below."""
        base, left = self.font(), self._left
        room = self.width() - left - Space.L
        title_high = line_height(base, TypeRole.TITLE)
        body_high = line_height(base, TypeRole.BODY)
        buttons = self._places()
        wide = buttons[-1][1].right() + 1 if buttons else 0
        is_beside = self.title.text_width() + Space.M + wide <= room
        measured = QFontMetricsF(type_font(base, TypeRole.BODY))
        title_wide = room - wide - Space.M if is_beside else room
        self.title.setGeometry(left, Space.M, title_wide, title_high)
        needed = measured.horizontalAdvance(self.sentence.text())
        lines = (1 if needed <= room else 2) if has_sentence else 0
        y = Space.M + title_high
        self.sentence.setGeometry(left, y, room, body_high * lines)
        bottom = y + body_high * lines
        top = Space.M if is_beside else bottom + Space.XS
        start = self.width() - Space.L - wide if is_beside else left
        for button, place in buttons:
            button.setGeometry(place.translated(start, top))
        if not is_beside and buttons and has_buttons:
            bottom = top + buttons[0][1].height()
        return bottom + Space.S

    def _places(self) -> list[tuple[Button, QRect]]:
        """Return the buttons of what is shown with their places, counted from the first."""
        places: list[tuple[Button, QRect]] = []
        x = 0
        steps = {"month": self._steps, "day": [self._back]}.get(self._mode, [])
        for button in (*steps, self._month, self._board):
            size = button.sizeHint()
            places.append((button, QRect(x, 0, size.width(), size.height())))
            x += size.width() + (0 if button is self._month else Space.XS)
            x += Space.XS if button in (self._steps[-1], self._back) else 0
        return places
