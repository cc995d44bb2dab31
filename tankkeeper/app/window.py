"""Opens the window: the application, its look, and the doors to households."""

from __future__ import annotations

import logging
import sys
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QEventLoop, QLocale, QObject, QTimer
from PySide6.QtGui import QFont, QFontInfo
from PySide6.QtWidgets import QApplication, QMessageBox

from tankkeeper.app.paths import cache_dir, resource
from tankkeeper.gui.icons import Icons
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.palette import SchemeKeeper
from tankkeeper.gui.typography import (
    LARGEST_PERCENT,
    SMALLEST_PERCENT,
    base_font,
    interface_font,
    load_fonts,
)
from tankkeeper.gui.window import Doors, Looks, Window

if TYPE_CHECKING:
    from tankkeeper.app.settings import Settings
    from tankkeeper.services.desk import Desk

PROGRAM = "tankkeeper"
SAMPLE_SUFFIX = "sample household"
PERCENT_STEP = 10
SNAPSHOT_SIZE = (1280, 800)
_SNAPSHOT_WAIT_MS = 20_000
_log = logging.getLogger(__name__)


def application(argv: Sequence[str] = ()) -> QApplication:
    """Return the one application, made if there is none yet."""
    running = QApplication.instance()
    if isinstance(running, QApplication):
        return running
    app = QApplication([PROGRAM, *argv])
    app.setApplicationName(PROGRAM)
    app.setDesktopFileName(PROGRAM)
    app.setStyle("Fusion")
    return app


def shipped_fonts() -> list[Path]:
    """Return the font files that travel with the program."""
    folder = resource("fonts")
    return sorted(one for one in folder.iterdir() if one.suffix in (".otf", ".ttf"))


# What a bare system draws with where no desktop has chosen a font.
_NOBODYS_CHOICE = frozenset({"DejaVu Sans", "Bitstream Vera Sans", "Sans Serif", "Sans", ""})


def chosen_font(app: QApplication, percent: int) -> QFont:
    """Return the desktop's interface font, or the shipped one where no desktop chose any."""
    system = app.font()
    if QFontInfo(system).family() in _NOBODYS_CHOICE:
        family = load_fonts(shipped_fonts())
        if family is not None:
            system.setFamilies([family, *system.families()])
    return interface_font(system, percent, shipped_fonts())


class Looking(QObject):
    """How the application looks: scheme and size of type, changed from the window."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._app = app
        self._percent = 100
        self._system = chosen_font(app, 100)
        self.scheme = SchemeKeeper(app)
        app.setFont(self._system)

    def scale(self, step: int) -> None:
        """Make the type larger, smaller, or with 0 as large as the system has it."""
        wished = 100 if step == 0 else self._percent + step * PERCENT_STEP
        self._percent = min(LARGEST_PERCENT, max(SMALLEST_PERCENT, wished))
        self._app.setFont(base_font(self._system, self._percent))


def run(
    where: Path,
    *,
    settings: Settings,
    now: str | None = None,
    person: str | None = None,
    is_demo: bool = False,
) -> int:
    """Open the window on a household and return the exit status when it is closed."""
    app = application()
    looking = Looking(app)
    window = Window(doors_to(where, now, is_demo), _looks(where, person, is_demo))
    window.scheme_toggled.connect(looking.scheme.toggle)
    window.type_scaled.connect(looking.scale)
    previous, sys.excepthook = sys.excepthook, _Unforeseen(window).tell
    window.frame.resize(*SNAPSHOT_SIZE)
    window.show()
    try:
        return app.exec()
    finally:
        sys.excepthook = previous


def snapshot(
    where: Path,
    target: Path,
    *,
    now: str | None = None,
    person: str | None = None,
    is_demo: bool = False,
) -> int:
    """Paint the window into a picture file and return the exit status."""
    app = application()
    Looking(app)
    looks = _looks(where, person, is_demo)
    looks = Looks(looks.icons, looks.title, looks.person, looks.decimal_sign, MotionChoice.OFF)
    window = Window(doors_to(where, now, is_demo), looks)
    loop = QEventLoop()
    window.ready.connect(loop.quit)
    QTimer.singleShot(_SNAPSHOT_WAIT_MS, loop.quit)
    window.frame.resize(*SNAPSHOT_SIZE)
    window.show()
    loop.exec()
    window.worker.settle(app)
    is_kept = window.frame.grab().save(str(target))
    window.frame.close()
    return 0 if is_kept else 1


def _looks(where: Path, person: str | None, is_demo: bool) -> Looks:
    title = SAMPLE_SUFFIX if is_demo else where.stem
    sign = QLocale().decimalPoint()
    return Looks(Icons(resource("icons")), title, person, sign if sign == "," else ".")


def doors_to(where: Path, now: str | None, is_demo: bool) -> Doors:
    """Return how the window gets at households; nothing is loaded before a door is used."""
    return Doors(
        here=lambda: _open(where, now, is_demo),
        other=lambda path: _open(path, now, False),
        sample=lambda: _open(cache_dir() / "sample.tankkeeper", now, True),
        bring_in=_bring_in,
        take_out=_take_out,
    )


def _open(where: Path, now: str | None, is_demo: bool) -> Desk:
    from tankkeeper.app.bootstrap import open_at
    from tankkeeper.app.demo import ready_demo

    if is_demo:
        ready_demo(where, now)
    return open_at(where, now)


def _bring_in(desk: Desk, path: Path) -> str:
    from tankkeeper.cli.files import read_text
    from tankkeeper.services.exchange import import_text

    import_text(desk, read_text(str(path)))
    return f"Imported {path.name}."


def _take_out(desk: Desk, path: Path) -> str:
    from tankkeeper.cli.files import write_text
    from tankkeeper.services.exchange import export_household

    write_text(path, export_household(desk), over=True)
    return f"Exported to {path.name}."


class _Unforeseen:
    """Tells a bug once, in plain words, and lets the window go on."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._is_telling = False

    def tell(
        self,
        kind: type[BaseException],
        error: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Log the trace and open one box; a bug while it is open is only logged."""
        _log.error("unexpected", exc_info=(kind, error, trace))
        if self._is_telling or not isinstance(error, Exception):
            return
        self._is_telling = True
        box = QMessageBox(self._window.frame)
        box.setWindowTitle(PROGRAM)
        box.setText("Something went wrong that nobody foresaw. Nothing that was kept is lost.")
        box.setInformativeText("What is known of it stands in the log.")
        box.setDetailedText(f"{kind.__name__}: {error}")
        box.finished.connect(self._on_told)
        box.open()

    def _on_told(self) -> None:
        self._is_telling = False
