"""The commands of the window: its menu, its files, its sheet of keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.icons import Icon
from tankkeeper.gui.shortcuts import Command, key_caption, make_action
from tankkeeper.gui.widgets.view_bar import ViewWord

if TYPE_CHECKING:
    from tankkeeper.gui.house_files import HouseFiles
    from tankkeeper.gui.rail_dragging import RailDragging
    from tankkeeper.gui.window import Window

VIEWS = (
    ViewWord("round", "Round", Icon.ROUND),
    ViewWord("calendar", "Calendar", Icon.CALENDAR),
    ViewWord("logbook", "Logbook", Icon.LOGBOOK),
)
# Views and pages that do not exist have no key that does anything.
NOT_THERE = frozenset(
    {
        Command.WATER,
        Command.READINGS,
        Command.CUPBOARD,
        Command.AWAY,
    }
)
NO_HOUSEHOLD = "There is no household yet. Accept the chores of the first tank, or open one."
# What acts on the page that stands in place of everything, or shows itself over it.
_OVER_ALL = frozenset(
    {
        Command.UNDO,
        Command.REDO,
        Command.SHORTCUT_SHEET,
        Command.OPEN,
        Command.RECENT,
        Command.SAMPLE,
        Command.SAVE_COPY,
        Command.IMPORT,
        Command.EXPORT,
        Command.EXPORT_TANK,
        Command.RESTORE,
        Command.LARGER,
        Command.SMALLER,
        Command.STANDARD_SIZE,
        Command.LIGHT_OR_DARK,
        Command.HIGH_CONTRAST,
        Command.QUIT,
    }
)
_MENU = (
    (Command.WRITE_DOWN, Command.FIND),
    (Command.SHORTCUT_SHEET, Command.UNDO, Command.REDO, Command.NEXT_PERSON),
    (
        Command.TANK,
        Command.CHORES,
        Command.SETTINGS,
        Command.NEW_TANK,
        Command.COPY_TANK,
        Command.EARLIER_IN_WALK,
        Command.LATER_IN_WALK,
    ),
    (Command.NEW, Command.OPEN, Command.RECENT, Command.SAMPLE, Command.SAVE_COPY),
    (Command.IMPORT, Command.EXPORT, Command.EXPORT_TANK, Command.RESTORE),
    (
        Command.LARGER,
        Command.SMALLER,
        Command.STANDARD_SIZE,
        Command.LIGHT_OR_DARK,
        Command.HIGH_CONTRAST,
    ),
    (Command.QUIT,),
)


class WindowMenu(QObject):
    """Makes the commands of the window and carries them out."""

    def __init__(self, window: Window, frame: Frame) -> None:
        super().__init__(window)
        self._window = window
        self._frame = frame
        self._is_filled = False
        self._files: HouseFiles | None = None
        self._dragging: RailDragging | None = None
        self._deeds: dict[str, Callable[[], object]] = {
            Command.WRITE_DOWN.value: self._write_down,
            Command.FIND.value: self._find,
            Command.UNDO.value: self._undo,
            Command.REDO.value: self._redo,
            Command.NEXT_PERSON.value: self._next_person,
            Command.NEW.value: lambda: self._leave_for(Command.NEW),
            Command.TANK.value: lambda: self._settle(Command.TANK),
            Command.SETTINGS.value: lambda: self._settle(Command.SETTINGS),
            Command.CHORES.value: lambda: self._settle(Command.CHORES),
            Command.NEW_TANK.value: lambda: self._settle(Command.NEW_TANK),
            Command.COPY_TANK.value: lambda: self._settle(Command.COPY_TANK),
            Command.EARLIER_IN_WALK.value: lambda: self._settle(Command.EARLIER_IN_WALK),
            Command.LATER_IN_WALK.value: lambda: self._settle(Command.LATER_IN_WALK),
            Command.OPEN.value: lambda: self._leave_for(Command.OPEN),
            Command.RECENT.value: lambda: self._leave_for(Command.RECENT),
            Command.SAMPLE.value: lambda: self._leave_for(Command.SAMPLE),
            Command.SAVE_COPY.value: lambda: self.files.ask_copy(),
            Command.IMPORT.value: self._import,
            Command.EXPORT.value: lambda: self.files.ask_export(),
            Command.EXPORT_TANK.value: lambda: self.files.ask_export_of_tank(),
            Command.RESTORE.value: lambda: self.files.show_backups(),
            Command.SHORTCUT_SHEET.value: self._show_sheet,
            Command.MENU.value: frame.top.open_menu,
            Command.LIGHT_OR_DARK.value: window.scheme_toggled.emit,
            Command.HIGH_CONTRAST.value: window.contrast_toggled.emit,
            Command.LARGER.value: self._larger,
            Command.SMALLER.value: self._smaller,
            Command.STANDARD_SIZE.value: self._standard_size,
            Command.QUIT.value: self._quit,
        }
        frame.commanded.connect(self.carry_out)

    def fill(self) -> None:
        """Put the commands into the menu and let their keys act, once there is something open."""
        if self._is_filled:
            return
        self._is_filled = True
        from tankkeeper.gui.rail_dragging import RailDragging
        from tankkeeper.gui.rail_keys import RailKeys

        self._dragging = RailDragging(self._frame.rail, self)
        self._dragging.dropped.connect(self._on_carried)
        self._rail_keys = RailKeys(self._frame, self._tell, self)
        menu = self._frame.top.menu()
        # At large type a second column would stand past the edge of the screen.
        menu.setStyleSheet("QMenu { menu-scrollable: 1; }")
        for group in _MENU:
            menu.addSeparator()
            for command in group:
                action = make_action(command, self._frame)
                action.triggered.connect(self._on_action)
                menu.addAction(action)
        make_action(Command.MENU, self._frame).triggered.connect(self._on_action)
        people = self._frame.top.people_menu()
        people.addSeparator()
        for command in (Command.NEXT_PERSON, Command.SETTINGS):
            people.addActions([one for one in menu.actions() if one.objectName() == command.value])

    def carry_out(self, command: str) -> None:
        """Do what a command of the window says; others are left alone."""
        deed = self._deeds.get(command)
        if deed is None:
            return
        is_over = command in _OVER_ALL or self._stands_already(command)
        # Else it would open, and take the keys, behind what is seen.
        if is_over or self._frame.uncover() or command == Command.MENU:
            deed()
        elif self._window.beginning is not None and self._window.morning is None:
            self._window.beginning.refuse(NO_HOUSEHOLD)

    def _stands_already(self, command: str) -> bool:
        """Tell whether the page that a command asks for stands in place of everything."""
        beginning, morning = self._window.beginning, self._window.morning
        if command == Command.NEW:
            return beginning is not None and beginning.is_shown
        settling = morning.settling if morning is not None else None
        new_tank = settling.new_tank if settling is not None else None
        return command == Command.NEW_TANK and new_tank is not None and new_tank.is_open

    def _on_action(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.carry_out(sender.objectName())

    def _write_down(self) -> None:
        if self._window.morning is not None:
            self._window.morning.write_down()

    def _find(self) -> None:
        if self._window.morning is not None:
            self._window.morning.find()

    def _undo(self) -> None:
        if self._window.morning is not None and not self._let_go():
            self._window.morning.undo()

    def _redo(self) -> None:
        if self._window.morning is not None and not self._let_go():
            self._window.morning.redo()

    def _let_go(self) -> bool:
        """Leave a tank that the mouse carries in its place; tell whether one was carried."""
        tank = self._dragging.let_go() if self._dragging is not None else ""
        session = self._window.session
        if not tank or session is None or session.household is None:
            return False
        name = session.household.tank(tank).name
        session.did.emit(f"Let go of {name}, which keeps its place in the walk.")
        return True

    def _on_carried(self, tank_id: str, place: int) -> None:
        if self._window.morning is not None:
            self._window.morning.door.move_in_walk(tank_id, place)

    def _settle(self, command: Command) -> None:
        if self._window.morning is not None:
            self._window.morning.settle(command)

    def _tell(self, sentence: str) -> None:
        if self._window.morning is not None:
            self._window.morning.tell(sentence)

    def _next_person(self) -> None:
        if self._window.morning is not None:
            self._window.morning.top_line.next_person()

    def _larger(self) -> None:
        self._window.type_scaled.emit(1)

    def _smaller(self) -> None:
        self._window.type_scaled.emit(-1)

    def _standard_size(self) -> None:
        self._window.type_scaled.emit(0)

    def _quit(self) -> None:
        """End once the keys pressed before have acted, which is forgotten with the household."""
        session = self._window.session
        if session is None:
            self._window.shell.end()
        else:
            session.keys.in_turn(self._window.shell.end, lasts=True)

    def _leave_for(self, command: Command) -> None:
        """Go to another household, unless what is typed in this one would be lost by it."""
        goes: dict[Command, Callable[[], object]] = {
            Command.NEW: self._window.begin_household,
            Command.OPEN: self.files.ask_household,
            Command.RECENT: self.files.show_recent,
            Command.SAMPLE: self._open_sample,
            Command.IMPORT: self.files.ask_import,
        }
        again = f"{key_caption(command)} again opens another without it."
        self._window.leave_then(goes[command], again, goes_to_begun=command is Command.NEW)

    def _import(self) -> None:
        """Import into what is open; where nothing is, a household begins with the file."""
        if self._window.session is None:
            self._leave_for(Command.IMPORT)
        else:
            self.files.ask_import()

    def _open_sample(self) -> None:
        self._window.open(self._window.doors.sample)

    @property
    def files(self) -> HouseFiles:
        """What the window does with files, loaded when one of them is first asked for."""
        if self._files is None:
            from tankkeeper.gui.house_files import HouseFiles

            self._files = HouseFiles(self._window, self._frame)
        return self._files

    def _show_sheet(self) -> None:
        from tankkeeper.gui.forms.key_sheet import KeySheet

        KeySheet(self._frame, NOT_THERE).open()
