"""The window: its frame stands at once, what is behind it is loaded beside it."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QFileDialog

from tankkeeper.core.values import dataclass
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.icons import Icon, Icons
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.widgets.bars import ViewWord
from tankkeeper.gui.widgets.rail import TankRail
from tankkeeper.gui.widgets.why_panel import WhyPanel
from tankkeeper.gui.worker import Worker

if TYPE_CHECKING:
    from tankkeeper.gui.morning import Morning
    from tankkeeper.gui.pages.empty_page import EmptyPage
    from tankkeeper.gui.session import Session
    from tankkeeper.services.desk import Desk

VIEWS = (ViewWord("round", "Round", Icon.ROUND),)
NOTHING_SELECTED = "Choose a chore to see why it is due, and how much it takes."
FILE_FILTER = "Households (*.tankkeeper);;All files (*)"
TANK_FILES = "Tank files (*.toml);;All files (*)"


@dataclass(frozen=True, slots=True)
class Doors:
    """How the window gets at households; each is called in the worker."""

    here: Callable[[], Desk]
    other: Callable[[Path], Desk]
    sample: Callable[[], Desk]
    bring_in: Callable[[Desk, Path], str]
    take_out: Callable[[Desk, Path], str]


@dataclass(frozen=True, slots=True)
class Looks:
    """What the window is told about how to look, and who is at it."""

    icons: Icons
    title: str = ""
    person: str | None = None
    decimal_sign: str = "."
    motion: MotionChoice = MotionChoice.FOLLOW


class Window(QObject):
    """The program's window; `ready` tells that rows stand and ticks are taken.

    `scheme_toggled`, `type_scaled` and `quit_asked` are for whoever owns the application.
    """

    ready = Signal()
    scheme_toggled = Signal()
    type_scaled = Signal(int)
    quit_asked = Signal()

    def __init__(self, doors: Doors, looks: Looks, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._doors = doors
        self._looks = looks
        self._session: Session | None = None
        self._morning: Morning | None = None
        self._has_commands = False
        self._not_opened: EmptyPage | None = None
        self.worker = Worker(self)
        rail = TankRail(motion=looks.motion)
        self.frame = Frame(looks.title, VIEWS, rail, WhyPanel(NOTHING_SELECTED), looks.icons)
        self._connect()

    def _connect(self) -> None:
        self.frame.closing.connect(self._on_closing)
        self.frame.commanded.connect(self._on_command)

    @property
    def session(self) -> Session | None:
        """The open household, None until it is there."""
        return self._session

    @property
    def morning(self) -> Morning | None:
        """What is behind the frame, None until it is there."""
        return self._morning

    def show(self) -> None:
        """Show the frame and open the household as soon as it was painted."""
        self.frame.show()
        QTimer.singleShot(0, self.open_here)

    def open_here(self) -> None:
        """Open the household that the program was started with."""
        self._open(self._doors.here)

    def _open(self, door: Callable[[], Desk]) -> None:
        self.frame.set_waiting(True)
        self._close_session()
        self.worker.run(_Opening(door).run, self._on_open, self._on_not_open)

    def _on_open(self, desk: Desk) -> None:
        """Put the page of the round into the frame; its modules came with the household."""
        from tankkeeper.gui.morning import Morning
        from tankkeeper.gui.session import Session

        self._session = Session(self.worker, desk, self._looks.decimal_sign, self)
        self._session.shown.connect(self._on_shown)
        self._morning = Morning(self.frame, self._session, self._looks.motion, self)
        self._add_commands()
        self._morning.begin(self._looks.person)

    def _on_shown(self) -> None:
        self.frame.set_waiting(False)
        if self._session is not None:
            self._session.shown.disconnect(self._on_shown)
        self.ready.emit()

    def _on_not_open(self, error: Exception) -> None:
        """Say in the window why the household could not be opened, and what can be done."""
        from tankkeeper.core.errors import TankkeeperError
        from tankkeeper.gui.pages.empty_page import EmptyPage
        from tankkeeper.reports.faults import fault_words

        self.frame.set_waiting(False)
        if not isinstance(error, TankkeeperError):
            raise error
        page = EmptyPage("Not opened", fault_words(error), self.frame.stack)
        page.commanded.connect(self.frame.command)
        self._not_opened = page
        self.frame.stack.addWidget(page)
        self.frame.stack.setCurrentWidget(page)
        page.setFocus()
        self._add_commands()
        self.ready.emit()

    def _close_session(self) -> None:
        """Take away what is shown; the worker closes the household after what is under way."""
        if self._not_opened is not None:
            self.frame.remove_page(self._not_opened)
            self._not_opened = None
        if self._morning is not None:
            self._morning.end()
            self._morning.dispose()
            self._morning = None
        if self._session is not None:
            self._session.leave()
            self._session.deleteLater()
            self._session = None

    def _add_commands(self) -> None:
        """Put the commands of the window into its menu, once there is something behind them."""
        menu = self.frame.top.menu()
        if self._has_commands:
            return
        self._has_commands = True
        for group in _MENU:
            menu.addSeparator()
            for command in group:
                action = make_action(command, self.frame)
                action.triggered.connect(self._on_action)
                menu.addAction(action)

    def _on_action(self) -> None:
        sender = self.sender()
        if sender is not None:
            self._on_command(sender.objectName())

    def _on_command(self, command: str) -> None:
        deeds: dict[str, Callable[[], None]] = {
            Command.UNDO.value: self._undo,
            Command.REDO.value: self._redo,
            Command.NEXT_PERSON.value: self._next_person,
            Command.OPEN.value: self._ask_household,
            Command.SAMPLE.value: self._open_sample,
            Command.IMPORT.value: self._ask_import,
            Command.EXPORT.value: self._ask_export,
            Command.SHORTCUT_SHEET.value: self._show_sheet,
            Command.LIGHT_OR_DARK.value: self.scheme_toggled.emit,
            Command.LARGER.value: self._larger,
            Command.SMALLER.value: self._smaller,
            Command.STANDARD_SIZE.value: self._standard,
            Command.QUIT.value: self._quit,
        }
        deed = deeds.get(command)
        if deed is not None:
            deed()

    def _undo(self) -> None:
        if self._morning is not None:
            self._morning.undo()

    def _redo(self) -> None:
        if self._morning is not None:
            self._morning.redo()

    def _next_person(self) -> None:
        if self._morning is not None:
            self._morning.next_person()

    def _quit(self) -> None:
        self.frame.close()

    def _larger(self) -> None:
        self.type_scaled.emit(1)

    def _smaller(self) -> None:
        self.type_scaled.emit(-1)

    def _standard(self) -> None:
        self.type_scaled.emit(0)

    def _open_sample(self) -> None:
        self._open(self._doors.sample)

    def _ask_household(self) -> None:
        self._ask("Open a household", FILE_FILTER, self._on_household, is_new=False)

    def _ask_import(self) -> None:
        self._ask("Import a tank file", TANK_FILES, self._on_import, is_new=False)

    def _ask_export(self) -> None:
        self._ask("Export the household", TANK_FILES, self._on_export, is_new=True)

    def _ask(
        self, title: str, filters: str, chosen: Callable[[str], None], *, is_new: bool
    ) -> None:
        """Ask for a file without holding the window up."""
        dialog = QFileDialog(self.frame, title, "", filters)
        if is_new:
            dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
            dialog.setDefaultSuffix("toml")
        else:
            dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(chosen)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def _on_household(self, name: str) -> None:
        path = Path(name)
        other = self._doors.other
        self._open(lambda: other(path))

    def _on_import(self, name: str) -> None:
        self._with_file(self._doors.bring_in, name)

    def _on_export(self, name: str) -> None:
        self._with_file(self._doors.take_out, name)

    def _with_file(self, door: Callable[[Desk, Path], str], name: str) -> None:
        session, morning = self._session, self._morning
        if session is not None and morning is not None:
            desk, path = session.desk, Path(name)
            self.worker.run(lambda: door(desk, path), morning.told_and_refresh, morning.failed)

    def _show_sheet(self) -> None:
        from tankkeeper.gui.forms.key_sheet import KeySheet

        KeySheet(self.frame).open()

    def _on_closing(self) -> None:
        self._close_session()
        self.worker.finish()


_MENU = (
    (Command.UNDO, Command.REDO, Command.NEXT_PERSON),
    (Command.OPEN, Command.SAMPLE, Command.IMPORT, Command.EXPORT),
    (Command.LARGER, Command.SMALLER, Command.STANDARD_SIZE, Command.LIGHT_OR_DARK),
    (Command.SHORTCUT_SHEET, Command.QUIT),
)


class _Opening:
    """Loads what is behind the frame and opens the household, in the worker."""

    def __init__(self, door: Callable[[], Desk]) -> None:
        self._door = door

    def run(self) -> Desk:
        """Return the open household; the imports here are why the window is quick."""
        desk = self._door()
        importlib.import_module("tankkeeper.gui.morning")
        return desk
