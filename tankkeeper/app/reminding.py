"""Gives the window its reminders, some time after the first round stands."""

from __future__ import annotations

import logging
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from tankkeeper.app.wanted import Wanted
from tankkeeper.core.errors import UserFault
from tankkeeper.gui.loading import load_modules
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.window import Window

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from tankkeeper.gui.reminder_means import Means
    from tankkeeper.gui.reminding import RemindDesk
    from tankkeeper.gui.tray import Tray
    from tankkeeper.services.reminder_habits import Habits

# After the alarm of the window, which has its own wait; nobody is reminded in the first seconds.
REMIND_AFTER_MS = 2000
_NOT_LOADED = "The reminders could not be loaded, so there is nothing to choose."
_MODULES = ("tankkeeper.gui.reminding", "tankkeeper.app.reminder_settings", "tankkeeper.app.told")
_log = logging.getLogger(__name__)


class Reminding(QObject):
    """Loads the reminders beside the window; `asked` is for what a second start says."""

    def __init__(self, window: Window, wanted: Wanted) -> None:
        super().__init__(window)
        self._window = window
        self._wanted = wanted
        self._chore = wanted.go_to
        self.desk: RemindDesk | None = None
        # The key of the reminders until they are there, and whether it was pressed.
        self._key: QAction | None = None
        self._is_asked_for = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(REMIND_AFTER_MS)
        self._soon.timeout.connect(self._load)
        window.ready.connect(self._on_ready)
        window.shell.closing.connect(self._soon.stop)

    def _on_ready(self) -> None:
        if self.desk is None and self._window.session is not None:
            self._soon.start()
            self._take_key()

    def _take_key(self) -> None:
        """Take the key of the reminders in the place of what is not loaded."""
        frame = self._window.frame
        if self._key is None and frame is not None:
            self._key = make_action(Command.REMINDERS, frame)
            self._key.setAutoRepeat(False)
            self._key.triggered.connect(self._load_now)

    def _load_now(self) -> None:
        """Load the reminders without the wait, and then let them be chosen."""
        self._is_asked_for = True
        self._soon.stop()
        self._load()

    def _load(self) -> None:
        self._window.worker.run(_loaded, self._begin, self._not_begun)

    def _begin(self, loaded: tuple[Habits, UserFault | None]) -> None:
        from tankkeeper.gui.reminding import RemindDesk

        if self.desk is not None:
            return
        if self._key is not None:
            # From now on the key is theirs.
            self._key.setParent(None)
            self._key.deleteLater()
            self._key = None
        habits, fault = loaded
        if fault is not None:
            self._tell(fault)
        self.desk = RemindDesk(self._window, means_for(self._window, self._wanted, habits))
        self.desk.begin()
        if self._chore is not None:
            self.desk.following.go_to_chore(self._chore)
        if self._is_asked_for:
            self.desk.do(Command.REMINDERS.value)

    def _tell(self, fault: UserFault) -> None:
        _log.warning("%s", fault)
        if self._window.morning is not None:
            self._window.morning.failed(fault)

    def _not_begun(self, error: Exception) -> None:
        _log.warning("nothing is reminded of", exc_info=error)
        if self._is_asked_for and self._window.morning is not None:
            self._is_asked_for = False
            self._window.morning.tell(_NOT_LOADED)

    def asked(self, said: dict[str, object]) -> None:
        """Go to the chore that a second start names."""
        chore = said.get("chore")
        if not isinstance(chore, str):
            return
        if self.desk is None:
            self._chore = chore
        else:
            self.desk.following.go_to_chore(chore)


def _loaded() -> tuple[Habits, UserFault | None]:
    """Load what reminds, and how the person wants it; the usual way where that is unreadable."""
    load_modules(_MODULES)
    from tankkeeper.app.reminder_settings import read_habits
    from tankkeeper.app.settings import settings_file
    from tankkeeper.services.reminder_habits import Habits

    try:
        return read_habits(settings_file()), None
    except UserFault as fault:
        return Habits(), fault


def means_for(window: Window, wanted: Wanted, habits: Habits) -> Means:
    """Return what reminders use of this system."""
    from tankkeeper.app.told import ToldMemory, told_file
    from tankkeeper.gui.reminder_means import Means
    from tankkeeper.gui.tray import has_tray

    session = window.session
    begun = session.desk.clock.now() if session is not None else None
    memory = ToldMemory(told_file())
    # A clock that stands still is for trying things out; it leaves no trace for the real one.
    is_real = wanted.now is None
    return Means(
        habits=habits,
        keep=_Keeping(None if wanted.is_demo else wanted.place, habits.at_login).keep,
        told=memory.told if is_real else lambda _where: {},
        keep_told=memory.keep if is_real else lambda _where, _told: None,
        has_tray=has_tray,
        make_tray=_tray,
        since=lambda where: _lived_since(where, begun),
        is_at_login=wanted.is_at_login,
    )


def _lived_since(where: str, begun: datetime | None) -> datetime | None:
    """Return from when on a logbook was lived, None for all of it.

    What the sample's logbook was made with is invented: nobody has switched anything off. Of a copy
    that does not say when it was made, nothing is trusted that is older than this window.
    """
    from tankkeeper.app.demo import made_at
    from tankkeeper.app.paths import demo_file, is_demo_file

    return made_at(demo_file()) or begun if is_demo_file(Path(where)) else None


class _Keeping:
    """Keeps how the person wants to be reminded, and has the program start at login or not."""

    def __init__(self, household: Path | None, is_at_login: bool) -> None:
        self._household = household
        self._is_at_login = is_at_login

    def keep(self, habits: Habits) -> None:
        """Keep it; runs in the worker."""
        from tankkeeper.app.autostart import login_command, set_autostart
        from tankkeeper.app.paths import user_data_file
        from tankkeeper.app.reminder_settings import write_habits
        from tankkeeper.app.settings import settings_file

        if habits.at_login != self._is_at_login:
            place = self._household
            named = None if place is None or place == user_data_file() else place.absolute()
            set_autostart(habits.at_login, login_command(named))
            self._is_at_login = habits.at_login
        write_habits(settings_file(), habits)


def _tray(desk: RemindDesk) -> Tray:
    from PySide6.QtGui import QIcon

    from tankkeeper.app.paths import resource
    from tankkeeper.gui.tray import SystemTray

    tray = SystemTray(QIcon(str(resource("icons/tankkeeper.svg"))), desk)
    tray.opened.connect(desk.raise_window)
    tray.followed.connect(desk.raise_and_follow)
    tray.ended.connect(desk.quit)
    return tray
