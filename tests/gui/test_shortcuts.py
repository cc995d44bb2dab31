"""No two commands share a key in one place, and everything is made from the one table."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from tankkeeper.gui.shortcuts import (
    ANY_LETTER,
    EVERY_LETTER,
    TABLE,
    TYPED_IN,
    Command,
    Shortcut,
    Where,
    clashes,
    key_caption,
    key_captions,
    make_action,
    sheet,
)


def test_no_two_commands_share_a_key_in_one_place() -> None:
    """With one key twice in a window Qt fires neither of them."""
    assert clashes() == []


def test_a_shared_key_is_found() -> None:
    """A key of the window clashes everywhere, two keys in different places do not."""
    window = Shortcut(Command.UNDO, "Undo", ("Ctrl+Z",))
    chores = Shortcut(Command.SKIP, "Skip", ("Z", "ctrl+z"), Where.CHORES)
    why = Shortcut(Command.PAUSE, "Pause", ("Z",), Where.WHY)

    assert [key for _, _, key in clashes((window, chores, why))] == ["Ctrl+Z"]


def test_every_command_stands_in_the_table_once() -> None:
    """A command without a row would have neither words nor a key."""
    assert sorted(row.command for row in TABLE) == sorted(Command)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row.command.value)
def test_every_key_is_one_that_qt_knows(row: Shortcut) -> None:
    """A misspelt key would be silently dead."""
    for key in row.keys:
        combination = QKeySequence(key)[0]
        assert combination.key() not in (Qt.Key.Key_unknown, Qt.Key(0)), key


def test_single_letters_act_in_lists_only() -> None:
    """A letter that acted everywhere could not be typed into a field."""
    for row in TABLE:
        for key in row.keys:
            if len(key) == 1 and key.isalnum():
                assert row.where is not Where.WINDOW, key


def test_captions_are_the_keys_as_they_are_written() -> None:
    """What stands beneath a button is the key that works."""
    assert key_caption(Command.TICK) == "Space"
    assert key_captions(Command.REDO) == "Ctrl+Y or Ctrl+Shift+Z"
    assert key_captions(Command.LARGER) == "Ctrl++ or Ctrl+="


def test_the_sheet_holds_every_command() -> None:
    """The sheet of keys is complete by construction."""
    rows = [row for rows in sheet().values() for row in rows]

    typed = (ANY_LETTER, EVERY_LETTER)
    assert len([row for row in rows if row not in typed]) == len(TABLE)


def test_the_sheet_says_what_other_letters_do() -> None:
    """Where letters are keys, those that are none begin to find; in the logbook all do."""
    found = {where: rows[-1] for where, rows in sheet().items() if "find" in rows[-1][0]}

    assert found == TYPED_IN
    assert found[Where.LOGBOOK] == EVERY_LETTER


def test_no_letter_is_a_key_of_the_logbook() -> None:
    """Every letter is typed there, so that none may act on an entry; nor may a space."""
    own = [key for row in TABLE if row.where is Where.LOGBOOK for key in row.keys]

    assert [key for key in own if len(key) == 1 or key == "Space"] == []


def test_a_key_of_a_list_does_not_act_outside_it(qtbot) -> None:  # type: ignore[no-untyped-def]
    """S skips in the list and is a letter in a field."""
    window = QWidget()
    column = QVBoxLayout(window)
    chores, field = QWidget(window), QLineEdit(window)
    chores.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    column.addWidget(chores)
    column.addWidget(field)
    fired: list[str] = []
    skip = make_action(Command.SKIP, chores)
    skip.triggered.connect(lambda: fired.append("skip"))
    qtbot.addWidget(window)
    with qtbot.waitActive(window):
        window.show()

    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_S)
    assert (field.text(), fired) == ("s", [])

    chores.setFocus()
    qtbot.keyClick(chores, Qt.Key.Key_S)
    assert fired == ["skip"]
