"""What reminders need of the system, handed to the window by the program."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.services.reminder_habits import Habits
from tankkeeper.services.reminders import Told

if TYPE_CHECKING:
    from tankkeeper.gui.reminding import RemindDesk
    from tankkeeper.gui.tray import Tray


def alert(shell: QWidget) -> None:
    """Have the desktop point at the window."""
    QApplication.alert(shell)


def is_before_eyes(shell: QWidget) -> bool:
    """Tell whether somebody works in the window, so that what it shows need not be told."""
    return shell.isActiveWindow() and not shell.isMinimized()


@dataclass(frozen=True, slots=True)
class Means:
    """What reminders need of the system.

    `keep` is called in the worker and may refuse; `tray` makes an icon, None where there is no
    tray; `told` and `keep_told` hold what was told of a household. `since` gives from when on its
    logbook was lived, None for all of it. `is_at_login` says that nobody asked for the window.
    """

    habits: Habits
    keep: Callable[[Habits], None]
    told: Callable[[str], Told]
    keep_told: Callable[[str, Told], None]
    has_tray: Callable[[], bool]
    make_tray: Callable[[RemindDesk], Tray]
    alert: Callable[[QWidget], None] = alert
    leave: Callable[[], None] = QCoreApplication.exit
    is_seen: Callable[[QWidget], bool] = is_before_eyes
    since: Callable[[str], datetime | None] = lambda _where: None
    is_at_login: bool = False
