"""The icon in the tray, where the desktop has one and the person wants it."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QMenu, QSystemTrayIcon


class Tray(Protocol):
    """What can tell something beside the window."""

    def tell(self, title: str, sentence: str) -> None:
        """Show a notice."""

    def stop(self) -> None:
        """Take the icon away."""


def has_tray() -> bool:
    """Tell whether this desktop has a tray; whether it shows messages alone says nothing."""
    return QSystemTrayIcon.isSystemTrayAvailable()


class SystemTray(QObject):
    """The icon; `opened` tells a click on it, `followed` one on a notice, `ended` to quit."""

    opened = Signal()
    followed = Signal()
    ended = Signal()

    def __init__(self, icon: QIcon, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._menu = QMenu()
        self._menu.addAction("Open the window").triggered.connect(self.opened)
        self._menu.addAction("Quit").triggered.connect(self.ended)
        self._icon = QSystemTrayIcon(icon, self)
        self._icon.setToolTip("tankkeeper")
        self._icon.setContextMenu(self._menu)
        self._icon.activated.connect(self._on_activated)
        self._icon.messageClicked.connect(self.followed)
        self._icon.show()

    def tell(self, title: str, sentence: str) -> None:
        """Show a notice."""
        self._icon.showMessage(title, sentence, self._icon.icon())

    def stop(self) -> None:
        """Take the icon away."""
        self._icon.hide()
        self._menu.deleteLater()
        self.deleteLater()

    def _on_activated(self, why: QSystemTrayIcon.ActivationReason) -> None:
        if why in (
            QSystemTrayIcon.ActivationReason.Trigger,
            QSystemTrayIcon.ActivationReason.DoubleClick,
        ):
            self.opened.emit()
