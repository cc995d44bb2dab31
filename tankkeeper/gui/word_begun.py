"""A word whose first letter is the key of a command: it is found, and the command is left out."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Sequence
from typing import TYPE_CHECKING, Final, Protocol, runtime_checkable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QDialog, QWidget
from shiboken6 import isValid

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.values import dataclass
from tankkeeper.gui.deeds import TakenBack
from tankkeeper.gui.held_back import HeldBack
from tankkeeper.gui.line_desk import LineDesk
from tankkeeper.gui.pressed_keys import is_key, is_modifier, the_app
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, Where, key_typed
from tankkeeper.gui.widgets.letters import letter_of

if TYPE_CHECKING:
    from tankkeeper.gui.calendar_desk import CalendarDesk, CalendarPlace
    from tankkeeper.gui.models.round_rows import ItemRow
    from tankkeeper.gui.work_page import WorkPage

# Who types a word has its second letter well within a second, also with one finger, and as a key
# such a letter means nothing.
WORD_S: Final = 1.0
# A letter that is a key as well may be the next command. Who types goes from letter to letter in
# a fifth of a second or so; who works through a list looks at the next line in between.
WORD_OF_KEYS_S: Final = 0.35

_CALENDAR_STAYS: Final = "the calendar stays where it was"
# The commands of a letter, and what is told where theirs had done nothing yet.
_NOTHING: Final = {
    Command.SKIP: "nothing was skipped",
    Command.PUT_OFF: "nothing was put off",
    # It opens a form only where a line asks something.
    Command.TICK_YESTERDAY: "nothing was ticked",
    # It opens a form only where there were days off.
    Command.MEANWHILE: "nothing was told",
    # A text may be typed at once: only what begins a word of something that is here is none.
    Command.NOTE: "no note was written",
    Command.SKIP_WHY: "nothing was skipped",
    Command.PAUSE: "nothing was paused",
    Command.MONTH: _CALENDAR_STAYS,
    Command.BOARD: _CALENDAR_STAYS,
    Command.NEXT_OVERDUE: _CALENDAR_STAYS,
}
# Those that open a form wherever they are pressed, and those whose form takes letters.
_OPENS: Final = frozenset({Command.MEANWHILE, Command.NOTE})
_TYPED_INTO: Final = frozenset({Command.NOTE, Command.SKIP_WHY, Command.PAUSE})
# What is told where the logbook has it already, and gets a row that takes it back. The others write
# by a form alone.
_TAKEN_BACK: Final = {
    Command.SKIP: "what it skipped is taken back",
    Command.TICK_YESTERDAY: "what it ticked is taken back",
}


def pressed_at(event: QKeyEvent) -> float:
    """Return when a key was pressed, in seconds; what the window did meanwhile does not count."""
    stamp = event.timestamp()
    return stamp / 1000 if stamp else time.monotonic()


@runtime_checkable
class Lettered(Protocol):
    """A part beside the lines of a page, in which some commands have their keys."""

    @property
    def commands(self) -> Collection[str]:
        """The commands that have their keys in it now."""


@dataclass(frozen=True, slots=True)
class _Lines:
    """A part in which letters are commands: its page, and the desk of the calendar.

    `beside` is the part where that is not the lines of the page: some letters are commands there.
    """

    page: WorkPage
    calendar: CalendarDesk | None
    beside: Lettered | None = None

    @property
    def wheres(self) -> tuple[Where, ...]:
        """Where keys act in it."""
        if self.calendar is None:
            return (Where.CHORES,)
        board = (Where.BOARD,) if self.calendar.page.is_board else ()
        return (Where.CHORES, Where.CALENDAR, *board)

    def command_of(self, event: QKeyEvent) -> Command | None:
        """Return the command that the key of a letter has in it, None where it has none."""
        letter = letter_of(event)
        # With Caps Lock the letter is a capital, and the key is not that with Shift.
        is_shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        key = letter.upper() if is_shifted else letter.lower()
        row = key_typed(key, self.wheres) if letter.isalpha() else None
        if row is None or (self.beside is not None and row.command not in self.beside.commands):
            return None
        return row.command


@dataclass(frozen=True, slots=True)
class _First:
    """A letter that a command has, as it was pressed: when, after how many keys, and where."""

    letter: str
    command: Command
    at_s: float
    keys: int
    row: str | None
    was_open: bool
    place: CalendarPlace | None
    lines: _Lines
    # What had the keys beside the lines of the page, and the part around it.
    beside: tuple[QWidget, ...] = ()
    # What lets the why panel tell again of what it told there.
    tell_again: Callable[[], None] | None = None


class WordBegun(QObject):
    """Looks at the letters that are typed on lists of chores and in the calendar.

    One right behind the letter of a command is the second of a word: `find` begins with both, and
    the command is not done. What writes at once is held back for as long; a letter that comes later
    takes it back, or `refused` is told why not. A form that was opened is left.
    """

    def __init__(
        self,
        session: Session,
        deeds: LineDesk,
        find: Callable[[str, str], None],
        refused: Callable[[TankkeeperError], None],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._deeds = deeds
        self._find = find
        self._refused = refused
        self.pressed_at: Callable[[QKeyEvent], float] = pressed_at
        # Gives what lets the why panel tell again of a chore without a line, else None.
        self.hold_told: Callable[[], Callable[[], None] | None] = _holds_nothing
        self._lines: dict[QObject, _Lines] = {}
        self._first: _First | None = None
        # Both letters, between the moment that no command may have the second and its press.
        self._word = ""
        # What writes at once is no row in the logbook, and none that takes it back, where it began
        # a word.
        self._held = HeldBack(session.keys.turns, WORD_OF_KEYS_S, self)
        # Where the mouse is looked for, while a second letter may come.
        self._beside: QObject | None = None
        # The form that the first letter opened, while the second may come there.
        self._form: QDialog | None = None
        deeds.forms.stands.connect(self.take_form)

    def watch(self, *parts: QObject, page: WorkPage, calendar: CalendarDesk | None = None) -> None:
        """Look at the letters that are typed on these parts of a page."""
        for part in parts:
            self._lines[part] = _Lines(page, calendar)
            part.installEventFilter(self)

    def watch_beside(
        self, part: QWidget, *, page: WorkPage, calendar: CalendarDesk | None = None
    ) -> None:
        """Look at the letters that are typed in a part beside the lines of a page."""
        assert isinstance(part, Lettered)
        self._lines[part] = _Lines(page, calendar, part)
        part.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the second letter of a word from being a command, and begin to find with both."""
        if self._form is not None:
            return self._is_word_at_form(event)
        if watched is self._beside:
            if event.type() == QEvent.Type.MouseButtonPress:
                self._forget()
        elif isinstance(event, QKeyEvent) and self._is_typed_in(watched):
            # Qt asks first whether a key is typed here, and looks for a command if it is not.
            if event.type() == QEvent.Type.ShortcutOverride:
                if self._is_second(event, watched):
                    event.accept()
                    return True
            elif event.type() == QEvent.Type.KeyPress and self._word:
                word, self._word = self._word, ""
                self._begin(word, self._lines[watched])
                return True
        return super().eventFilter(watched, event)

    def _is_typed_in(self, part: QObject) -> bool:
        """Tell whether the keys are in a part that is watched, and not in the lines within it."""
        lines, focus = self._lines.get(part), QApplication.focusWidget()
        return lines is not None and (lines.beside is None or focus not in self._lines)

    def _is_second(self, event: QKeyEvent, watched: QObject) -> bool:
        """Tell whether a key is the second letter of a word; else it may be the first of one."""
        self._word, lines = "", self._lines[watched]
        if is_modifier(event):
            return False
        letter = letter_of(event)
        command = lines.command_of(event)
        at_s = self.pressed_at(event)
        self._word = self._word_with(letter, at_s, is_key_too=command is not None)
        if self._word:
            return True
        self._forget()
        if command is not None and command in _NOTHING and not _carries(lines):
            rows, focus = lines.page.selected(), QApplication.focusWidget()
            parts = (focus, watched) if lines.beside is not None else ()
            self._first = _First(
                letter,
                command,
                at_s,
                self._session.keys.count,
                rows[0].id if rows else None,
                bool(rows) and rows[0].item.is_open,
                None if lines.calendar is None else lines.calendar.place,
                lines,
                tuple(one for one in parts if isinstance(one, QWidget)),
                self.hold_told(),
            )
            self._look_for_mouse(watched)
            # Beside the lines the key may act on a chore that has none.
            is_here = lines.beside is None or command is Command.SKIP
            if is_here and self._may_be_held(command, rows, lines):
                self._held.begin()
        return False

    def _may_be_held(self, command: Command, rows: Sequence[ItemRow], lines: _Lines) -> bool:
        """Tell whether a command waits for the letter that may come: it writes, or opens a window.

        A window that is left at once leaves the keys to nobody for a moment, and a letter goes with
        them. On the board P opens none.
        """
        is_board = lines.calendar is not None and lines.calendar.page.is_board
        opens = command in _OPENS or (command is Command.PUT_OFF and not is_board)
        return opens or self._deeds.writes_at_once(command, rows)

    def _word_with(self, letter: str, at_s: float, *, is_key_too: bool) -> str:
        """Return both letters where this is the second of a word, else nothing."""
        first = self._first
        if first is None or not letter.isalpha() or letter.lower() == first.letter.lower():
            return ""
        # In the list of days that P opens a letter may go to one, and a note is made of letters.
        takes_letters = first.command in (Command.PUT_OFF, *_TYPED_INTO)
        is_short = is_key_too or (takes_letters and not self._is_refused(first))
        limit = WORD_OF_KEYS_S if is_short else WORD_S
        # Nothing else was done since, be it by the mouse.
        is_behind = self._session.keys.count - first.keys <= 1
        word = first.letter + letter
        if not is_behind or not 0 <= at_s - first.at_s <= limit:
            return ""
        is_none = first.command in _TYPED_INTO and not self._is_known(word, first.lines)
        return "" if is_none else word

    def _is_refused(self, first: _First) -> bool:
        """Tell whether nothing came of a letter that opens a form, and its turn is over.

        What is told of that is not meant either, where it began a word.
        """
        is_over = self._session.keys.count > first.keys and not self._session.is_behind
        return is_over and self._form is None and not _carries(first.lines)

    def _is_known(self, word: str, lines: _Lines) -> bool:
        """Tell whether something that can be found has a word which begins so."""
        # Loaded late: the round stands without it.
        from tankkeeper.gui.finding import FindPage, index_of

        page, last = lines.page, self._session.last
        if last is None or not isinstance(page, FindPage):
            return False
        return index_of(last, page, self._session.tank_id).has_word(word)

    def take_form(self, form: object) -> None:
        """Look at the first key that comes to a form which the first letter opened."""
        first = self._first
        if first is not None and isinstance(form, QDialog):
            self._form = form
            form.finished.connect(self._forget)
            # It comes to the form, or to the window under it as long as that has the keys.
            the_app().installEventFilter(self)

    def _is_word_at_form(self, event: QEvent) -> bool:
        """Take the second letter of a word from the form, and leave everything else to it."""
        first = self._first
        if event.type() == QEvent.Type.MouseButtonPress:
            self._forget()
        elif first is not None and is_key(event) and event.type() != QEvent.Type.KeyRelease:
            assert isinstance(event, QKeyEvent)
            if is_modifier(event):
                return False
            letter = letter_of(event)
            is_key_too = first.lines.command_of(event) is not None
            word = self._word_with(letter, self.pressed_at(event), is_key_too=is_key_too)
            if event.type() == QEvent.Type.ShortcutOverride and word:
                event.accept()
            elif event.type() == QEvent.Type.KeyPress and word:
                self._begin(word, first.lines)
            elif event.type() == QEvent.Type.KeyPress:
                self._forget()
            return bool(word)
        return False

    def _begin(self, word: str, lines: _Lines) -> None:
        first, form, session = self._first, self._form, self._session
        is_pressed = first is not None and session.keys.count > first.keys
        number = session.keys.count if is_pressed else None
        # It has its turn behind it where it is not to come any more.
        is_done = number is not None and not session.keys.leave_key(number)
        self._forget()
        if first is None:
            return
        if form is not None:
            form.reject()
        if is_done:
            # The keys do not go on from what is done no more.
            self._deeds.going_on.stay()
        words = f"\N{LEFT DOUBLE QUOTATION MARK}{first.letter}\N{RIGHT DOUBLE QUOTATION MARK}"
        words = f"{words} began a word to find"
        nothing = _NOTHING[first.command]
        told = TakenBack(
            f"{words}: {nothing}.", f"{words}: {_TAKEN_BACK.get(first.command, nothing)}."
        )
        session.keys.in_turn(
            lambda: session.undoing.take_back_key(number, told, self._refused),
            lasts=True,
        )
        if lines.calendar is not None and first.command is Command.PUT_OFF:
            # On the board that letter has taken hold of it.
            lines.calendar.let_go()
        # Escape leads from the bar to the line that had the keys.
        if lines.calendar is not None and first.place is not None:
            lines.calendar.go_back(first.place)
        elif first.row is not None:
            lines.page.show_row(first.row)
        _give_keys_back(first.beside)
        if first.beside and first.tell_again is not None:
            first.tell_again()
        # A line that was done before has nothing to come back to.
        self._find(word, first.row if first.row is not None and first.was_open else "")

    def _look_for_mouse(self, part: QObject) -> None:
        if isinstance(part, QAbstractScrollArea):
            self._beside = part.viewport()
            self._beside.installEventFilter(self)

    def wait_no_longer(self) -> None:
        """Do what is held back while the second letter of a word may come."""
        self._held.end()

    def _forget(self) -> None:
        """Take no letter for the second of a word any more."""
        self._first = None
        self._held.end()
        if self._form is not None:
            self._form = None
            the_app().removeEventFilter(self)
        if self._beside is not None:
            self._beside.removeEventFilter(self)
            self._beside = None


def _holds_nothing() -> None:
    return None


def _give_keys_back(parts: Collection[QWidget]) -> None:
    """Give the keys to what had them, or to the part around it, so that Escape leads there."""
    for part in parts:
        can_have = isValid(part) and part.isVisible()
        if can_have and (part.focusProxy() or part.focusPolicy() != Qt.FocusPolicy.NoFocus):
            part.setFocus(Qt.FocusReason.OtherFocusReason)
            return


def _carries(lines: _Lines) -> bool:
    """Tell whether a turn is carried to another day already, which no word lets go."""
    return lines.calendar is not None and lines.calendar.page.is_carrying
