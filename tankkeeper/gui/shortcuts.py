"""The one table of commands with their keys: actions, captions and the sheet are made from it."""

from __future__ import annotations

from collections.abc import Collection
from enum import StrEnum
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.gui.widgets.buttons import without_mnemonic


class Where(StrEnum):
    """Where a key acts; the value heads its part of the shortcut sheet."""

    WINDOW = "Everywhere"
    CHORES = "In a list of chores"
    RAIL = "In the tank rail"
    CALENDAR = "In the calendar"
    BOARD = "On the board"
    LOGBOOK = "In the logbook"
    SETTLING = "On a page of a tank, of settings, or of what begins"
    WHY = "In the why panel"


class Command(StrEnum):
    """The commands that have a key."""

    TICK = "tick"
    TICK_FORM = "tick-form"
    TICK_YESTERDAY = "tick-yesterday"
    SKIP = "skip"
    SKIP_WHY = "skip-why"
    PUT_OFF = "put-off"
    PAUSE = "pause"
    PAUSE_TANK = "pause-tank"
    NOTE = "note"
    SELECT_ALL = "select-all"
    MEANWHILE = "meanwhile"
    CLOSE_NOTICE = "close-notice"
    SWITCHED_OFF = "switched-off"
    MONTH = "month"
    BOARD = "board"
    NEXT_OVERDUE = "next-overdue"
    OPEN_DAY = "open-day"
    CLOSE_DAY = "close-day"
    PREVIOUS_DAY = "previous-day"
    NEXT_DAY = "next-day"
    TODAY = "today"
    PREVIOUS_MONTH = "previous-month"
    NEXT_MONTH = "next-month"
    PREVIOUS_YEAR = "previous-year"
    NEXT_YEAR = "next-year"
    GRAB = "grab"
    TICK_FORM_ON_BOARD = "tick-form-on-board"
    DROP_WHERE_IT_CAN = "drop-where-it-can"
    LET_GO = "let-go"
    LAST_DAY = "last-day"
    CORRECT = "correct"
    TAKE_BACK = "take-back"
    LOG_NOTE = "log-note"
    EXPORT_LOG = "export-log"
    EVERY_ENTRY = "every-entry"
    WRITE_DOWN = "write-down"
    FIND = "find"
    SWITCHED_ON = "switched-on"
    SHOW_REMINDED = "show-reminded"
    CLOSE_REMINDER = "close-reminder"
    WHOLE_REMINDER = "whole-reminder"
    REMINDERS = "reminders"
    UNDO = "undo"
    REDO = "redo"
    ROUND = "round"
    CALENDAR = "calendar"
    WATER = "water"
    READINGS = "readings"
    CUPBOARD = "cupboard"
    LOGBOOK = "logbook"
    AWAY = "away"
    WHOLE_HOUSE = "whole-house"
    NEXT_TANK = "next-tank"
    PREVIOUS_TANK = "previous-tank"
    NEXT_PERSON = "next-person"
    WHY_PANEL = "why-panel"
    CLOSE_WHY_PANEL = "close-why-panel"
    NEXT_AREA = "next-area"
    PREVIOUS_AREA = "previous-area"
    SHORTCUT_SHEET = "shortcut-sheet"
    MENU = "menu"
    OPEN = "open"
    RECENT = "recent"
    SAVE_COPY = "save-copy"
    IMPORT = "import"
    EXPORT = "export"
    EXPORT_TANK = "export-tank"
    RESTORE = "restore"
    SAMPLE = "sample"
    NEW = "new"
    LARGER = "larger"
    SMALLER = "smaller"
    STANDARD_SIZE = "standard-size"
    LIGHT_OR_DARK = "light-or-dark"
    HIGH_CONTRAST = "high-contrast"
    SETTINGS = "settings"
    TANK = "tank"
    CHORES = "chores"
    NEW_TANK = "new-tank"
    EARLIER_IN_WALK = "earlier-in-walk"
    LATER_IN_WALK = "later-in-walk"
    KEEP = "keep"
    LEAVE_PAGE = "leave-page"
    NEXT_GROUP = "next-group"
    TAKE_OFFER = "take-offer"
    COPY_TANK = "copy-tank"
    STAGE = "stage"
    PREVIOUS_GROUP = "previous-group"
    QUIT = "quit"


@dataclass(frozen=True, slots=True)
class Shortcut:
    """A command with its words and its keys, the first of which is told to people.

    `in_sheet` are its words in the sheet of keys, where they say more than a button has room for.
    """

    command: Command
    text: str
    keys: tuple[str, ...]
    where: Where = Where.WINDOW
    in_sheet: str = ""


# Letters act in lists of work only, so that they can be typed in fields; there every letter that is
# no key begins to find, as it does beside them on the round and in the calendar
# (`letters_beside`). In the logbook all of them do. The people are gone through with
# one key, because Ctrl and a digit choose a view.
TABLE: Final = (
    Shortcut(
        Command.TICK,
        "Tick",
        ("Space",),
        Where.CHORES,
        in_sheet="Tick, or ask what has to be told",
    ),
    Shortcut(Command.TICK_FORM, "Tick and write down", ("Return", "Enter"), Where.CHORES),
    Shortcut(Command.TICK_YESTERDAY, "Done yesterday", ("Y",), Where.CHORES),
    Shortcut(Command.SKIP, "Skip", ("S",), Where.CHORES),
    Shortcut(Command.SKIP_WHY, "Skip and say why", ("Shift+S",), Where.CHORES),
    Shortcut(Command.PUT_OFF, "Put off", ("P",), Where.CHORES),
    Shortcut(Command.PAUSE, "Pause", ("Shift+P",), Where.CHORES),
    Shortcut(Command.NOTE, "Write a note", ("N",), Where.CHORES),
    Shortcut(Command.SELECT_ALL, "Select all", ("Ctrl+A",), Where.CHORES),
    Shortcut(Command.MEANWHILE, "What was done meanwhile", ("W",), Where.CHORES),
    Shortcut(Command.CLOSE_NOTICE, "Close the notice", ("Esc",), Where.CHORES),
    Shortcut(Command.PAUSE_TANK, "Pause the tank, or resume it", ("Shift+P",), Where.RAIL),
    Shortcut(Command.SWITCHED_OFF, "Pumps or heater switched off", ("Shift+O",), Where.CHORES),
    Shortcut(Command.MONTH, "Month", ("M",), Where.CALENDAR),
    Shortcut(Command.BOARD, "Board", ("B",), Where.CALENDAR),
    Shortcut(Command.NEXT_OVERDUE, "Next overdue chore", ("O",), Where.CALENDAR),
    Shortcut(Command.OPEN_DAY, "Open the day", ("Return", "Enter"), Where.CALENDAR),
    Shortcut(Command.CLOSE_DAY, "Back to the month", ("Esc",), Where.CALENDAR),
    Shortcut(Command.PREVIOUS_DAY, "Previous day", ("Left",), Where.CALENDAR),
    Shortcut(Command.NEXT_DAY, "Next day", ("Right",), Where.CALENDAR),
    Shortcut(Command.TODAY, "Today", ("Home",), Where.CALENDAR),
    Shortcut(Command.PREVIOUS_MONTH, "Previous month", ("PgUp",), Where.CALENDAR),
    Shortcut(Command.NEXT_MONTH, "Next month", ("PgDown",), Where.CALENDAR),
    Shortcut(Command.PREVIOUS_YEAR, "Previous year", ("Shift+PgUp",), Where.CALENDAR),
    Shortcut(Command.NEXT_YEAR, "Next year", ("Shift+PgDown",), Where.CALENDAR),
    Shortcut(Command.GRAB, "Take hold, then drop", ("P", "Return", "Enter"), Where.BOARD),
    Shortcut(
        Command.DROP_WHERE_IT_CAN,
        "Drop on the day that works",
        ("Shift+Return", "Shift+Enter"),
        Where.BOARD,
    ),
    Shortcut(Command.LET_GO, "Let go", ("Esc",), Where.BOARD),
    Shortcut(
        Command.TICK_FORM_ON_BOARD,
        "Tick and write down",
        ("Ctrl+Return", "Ctrl+Enter"),
        Where.BOARD,
    ),
    Shortcut(Command.LAST_DAY, "Last day", ("End",), Where.BOARD),
    Shortcut(Command.CORRECT, "Correct", ("Return", "Enter"), Where.LOGBOOK),
    Shortcut(Command.TAKE_BACK, "Take back", ("Del",), Where.LOGBOOK),
    Shortcut(Command.LOG_NOTE, "Write a note", ("Ctrl+M",), Where.LOGBOOK),
    Shortcut(Command.EXPORT_LOG, "Export what is shown as CSV", ("Ctrl+S",), Where.LOGBOOK),
    Shortcut(Command.EVERY_ENTRY, "Every entry again", ("Esc",), Where.LOGBOOK),
    Shortcut(Command.WRITE_DOWN, "Write down what happened", ("Ctrl+L",)),
    Shortcut(Command.FIND, "Find a chore, a tank, a day", ("Ctrl+F", "/")),
    Shortcut(Command.SWITCHED_ON, "Switched on again", ("Ctrl+R",)),
    Shortcut(Command.SHOW_REMINDED, "Go to what the reminder is about", ("Ctrl+G",)),
    Shortcut(Command.CLOSE_REMINDER, "Close the reminder", ("Ctrl+Shift+G",)),
    Shortcut(Command.WHOLE_REMINDER, "All of the reminder, or less", ("Ctrl+Shift+M",)),
    Shortcut(Command.REMINDERS, "Choose the reminders", ("Ctrl+Shift+R",)),
    Shortcut(Command.UNDO, "Undo", ("Ctrl+Z",)),
    Shortcut(Command.REDO, "Redo", ("Ctrl+Y", "Ctrl+Shift+Z")),
    Shortcut(Command.ROUND, "Round", ("Ctrl+1",)),
    Shortcut(Command.CALENDAR, "Calendar", ("Ctrl+2",)),
    Shortcut(Command.WATER, "Water", ("Ctrl+3",)),
    Shortcut(Command.READINGS, "Readings", ("Ctrl+4",)),
    Shortcut(Command.CUPBOARD, "Cupboard", ("Ctrl+5",)),
    Shortcut(Command.LOGBOOK, "Logbook", ("Ctrl+6",)),
    Shortcut(Command.AWAY, "Away", ("Ctrl+7",)),
    Shortcut(Command.WHOLE_HOUSE, "Whole house", ("Ctrl+Home",)),
    Shortcut(Command.NEXT_TANK, "Next tank", ("Ctrl+Down",)),
    Shortcut(Command.PREVIOUS_TANK, "Previous tank", ("Ctrl+Up",)),
    Shortcut(Command.TANK, "This tank", ("F2",)),
    Shortcut(Command.CHORES, "Its chores, animals, equipment", ("F3",)),
    Shortcut(Command.NEW_TANK, "New tank", ("Ctrl+Shift+N",)),
    Shortcut(Command.COPY_TANK, "Copy this tank", ("Ctrl+Shift+C",)),
    Shortcut(Command.EARLIER_IN_WALK, "Tank earlier in the walk", ("Alt+Up",)),
    Shortcut(Command.LATER_IN_WALK, "Tank later in the walk", ("Alt+Down",)),
    Shortcut(Command.NEXT_PERSON, "Next person", ("Ctrl+Shift+P",)),
    Shortcut(Command.WHY_PANEL, "Why panel", ("F1",)),
    Shortcut(Command.CLOSE_WHY_PANEL, "Close the why panel", ("Esc",), Where.WHY),
    Shortcut(Command.NEXT_AREA, "Next part of the window", ("F6",)),
    Shortcut(Command.PREVIOUS_AREA, "Previous part of the window", ("Shift+F6",)),
    Shortcut(Command.SHORTCUT_SHEET, "Sheet of keys", ("F9", "?")),
    Shortcut(Command.MENU, "Menu", ("F10",)),
    Shortcut(Command.NEW, "New household", ("Ctrl+Shift+H",)),
    Shortcut(Command.OPEN, "Open a household", ("Ctrl+O",)),
    Shortcut(Command.RECENT, "Open a recent household", ("Ctrl+Shift+O",)),
    Shortcut(Command.SAVE_COPY, "Save a copy as", ("Ctrl+Shift+S",)),
    Shortcut(Command.IMPORT, "Import a tank file", ("Ctrl+I",)),
    Shortcut(Command.EXPORT, "Export the household", ("Ctrl+E",)),
    Shortcut(Command.EXPORT_TANK, "Export this tank", ("Ctrl+Shift+E",)),
    Shortcut(Command.RESTORE, "Restore from a backup", ("Ctrl+Shift+B",)),
    Shortcut(Command.SAMPLE, "New from the sample household", ("Ctrl+N",)),
    Shortcut(Command.LARGER, "Larger type", ("Ctrl++", "Ctrl+=")),
    Shortcut(Command.SMALLER, "Smaller type", ("Ctrl+-",)),
    Shortcut(Command.STANDARD_SIZE, "Standard type", ("Ctrl+0",)),
    Shortcut(Command.LIGHT_OR_DARK, "Light or dark", ("Ctrl+Shift+L",)),
    Shortcut(Command.HIGH_CONTRAST, "High contrast or usual", ("Ctrl+Shift+K",)),
    Shortcut(Command.SETTINGS, "Household and settings", ("Ctrl+,",)),
    Shortcut(Command.KEEP, "Keep", ("Ctrl+Return", "Ctrl+Enter"), Where.SETTLING),
    Shortcut(Command.LEAVE_PAGE, "Keep and go back", ("Esc",), Where.SETTLING),
    Shortcut(
        Command.NEXT_GROUP,
        "Next group, or part of the page",
        ("Ctrl+PgDown",),
        Where.SETTLING,
    ),
    Shortcut(Command.TAKE_OFFER, "Take what the page offers", ("Ctrl+M",), Where.SETTLING),
    Shortcut(Command.STAGE, "Change its stage", ("Ctrl+Shift+T",), Where.SETTLING),
    Shortcut(
        Command.PREVIOUS_GROUP,
        "Group or part before; from the first, their row",
        ("Ctrl+PgUp",),
        Where.SETTLING,
    ),
    Shortcut(Command.QUIT, "Quit", ("Ctrl+Q",)),
)

# No command has these keys: what is left of the alphabet is typed into the find bar.
ANY_LETTER: Final = ("Begin to find", "any other letter or digit")
EVERY_LETTER: Final = ("Begin to find", "any letter or digit")
TYPED_IN: Final = {
    Where.CHORES: ANY_LETTER,
    Where.CALENDAR: ANY_LETTER,
    Where.LOGBOOK: EVERY_LETTER,
}

_BY_COMMAND: Final = {row.command: row for row in TABLE}


def shortcut(command: Command) -> Shortcut:
    """Return the row of a command."""
    return _BY_COMMAND[command]


def key_caption(command: Command) -> str:
    """Return the first key of a command as it is written on a keyboard here, such as "Space"."""
    first = QKeySequence(shortcut(command).keys[0])
    return first.toString(QKeySequence.SequenceFormat.NativeText)


def key_captions(command: Command) -> str:
    """Return all keys of a command, for the sheet."""
    native = QKeySequence.SequenceFormat.NativeText
    return " or ".join(QKeySequence(key).toString(native) for key in shortcut(command).keys)


def key_typed(letter: str, wheres: Collection[Where]) -> Shortcut | None:
    """Return the command that has a letter as its key in one of these places, None where none has.

    A capital letter is the key with Shift.
    """
    key = letter.upper() if letter == letter.lower() else f"Shift+{letter}"
    return next((row for row in TABLE if row.where in wheres and key in row.keys), None)


def make_action(command: Command, owner: QWidget) -> QAction:
    """Return the action of a command; its keys act in the window or only inside `owner`."""
    row = shortcut(command)
    # With a text among its arguments Qt's pictures of themes are loaded first.
    action = QAction(owner)
    action.setText(without_mnemonic(row.text))
    action.setObjectName(command.value)
    action.setShortcuts([QKeySequence(key) for key in row.keys])
    action.setShortcutContext(
        Qt.ShortcutContext.WindowShortcut
        if row.where is Where.WINDOW
        else Qt.ShortcutContext.WidgetWithChildrenShortcut
    )
    owner.addAction(action)
    return action


def sheet(without: Collection[Command] = ()) -> dict[Where, tuple[tuple[str, str], ...]]:
    """Return the rows of the shortcut sheet, words and keys, by where they act."""
    there = [row for row in TABLE if row.command not in without]
    rows = {
        where: tuple(
            (row.in_sheet or row.text, key_captions(row.command))
            for row in there
            if row.where is where
        )
        for where in Where
    }
    return {
        where: (*keys, TYPED_IN[where]) if where in TYPED_IN else keys
        for where, keys in rows.items()
    }


def clashes(table: tuple[Shortcut, ...] = TABLE) -> list[tuple[Shortcut, Shortcut, str]]:
    """Return the commands that share a key in one place; a key of the window acts in all places."""
    found: list[tuple[Shortcut, Shortcut, str]] = []
    for number, one in enumerate(table):
        for other in table[number + 1 :]:
            if one.where is not other.where and Where.WINDOW not in (one.where, other.where):
                continue
            theirs = {QKeySequence(key).toString() for key in other.keys}
            own = (QKeySequence(key).toString() for key in one.keys)
            found += [(one, other, key) for key in own if key in theirs]
    return found
