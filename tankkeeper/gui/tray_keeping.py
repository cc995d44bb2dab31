"""The icon in the tray as long as it is wanted, and what closing the window means with it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.tray import Tray
from tankkeeper.services.reminder_habits import Habits, WhenClosed


class TrayKeeper(QObject):
    """Shows the icon or takes it away; `tray` is None where there is none.

    A window that the login opened stands minimised, and is put away once the icon is there, which
    brings it back.
    """

    def __init__(
        self,
        shell: QWidget,
        has_tray: Callable[[], bool],
        make: Callable[[], Tray],
        is_at_login: bool,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._shell = shell
        self._has_tray = has_tray
        self._make = make
        self._is_at_login = is_at_login
        self.tray: Tray | None = None

    def follow(self, habits: Habits) -> None:
        """Show the icon or take it away, as chosen and as there is a tray by now."""
        wanted = habits.uses_tray and self._has_tray()
        if wanted and self.tray is None:
            self.tray = self._make()
            QApplication.setQuitOnLastWindowClosed(False)
            if self._is_at_login and self._shell.isMinimized():
                self._shell.hide()
            self._is_at_login = False
        elif not wanted:
            self.drop()

    def drop(self) -> bool:
        """Take the icon away; tell whether there was one."""
        if self.tray is None:
            return False
        self.tray.stop()
        self.tray = None
        QApplication.setQuitOnLastWindowClosed(True)
        return True

    def raise_window(self) -> None:
        """Bring the window to the front."""
        shell = self._shell
        shell.setWindowState(shell.windowState() & ~Qt.WindowState.WindowMinimized)
        shell.show()
        shell.raise_()
        shell.activateWindow()

    def keeps(self, habits: Habits, ask: Callable[[], None]) -> bool:
        """Tell whether closing the window leaves the program running; asks the first time."""
        if self.tray is None or habits.when_closed is WhenClosed.END:
            return False
        app = QApplication.instance()
        if isinstance(app, QApplication) and app.isSavingSession():
            # Whoever logs out is not asked, and is not held up.
            return False
        if habits.when_closed is WhenClosed.STAY:
            self._shell.hide()
        else:
            ask()
        return True
