"""Opens the window: the application, its look, and the doors to households."""

from __future__ import annotations

import gc
import logging
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QMargins, QObject, QRect, QSize, QTimer
from PySide6.QtGui import QFont, QFontInfo
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.app.instance import SHOW, HouseLock, hand_over
from tankkeeper.app.left_open import left_open
from tankkeeper.app.paths import resource
from tankkeeper.app.wanted import Wanted
from tankkeeper.app.window_state import Left, WindowMemory, placed, state_file
from tankkeeper.gui.palette import ContrastChoice, SchemeChoice, SchemeKeeper
from tankkeeper.gui.shell import LAST_FOLDER
from tankkeeper.gui.typography import (
    LARGEST_PERCENT,
    SMALLEST_PERCENT,
    base_font,
    interface_font,
    load_fonts,
)
from tankkeeper.gui.window import Looks, Window

if TYPE_CHECKING:
    from tankkeeper.app.doors import HouseKeeping
    from tankkeeper.gui.icons import Icons
    from tankkeeper.gui.openings import Doors

PROGRAM = "tankkeeper"
PERCENT_STEP = 10
USUAL_SIZE = (1280, 800)
# Room for borders and a title bar, which are unknown until a window stood once; from memory.
USUAL_FRAME = (4, 40, 4, 4)
# A quicker beat would itself slow what it watches: the worker waits for the window's thread.
_BEAT_MS = 10
_WARM_AFTER_MS = 2500
_log = logging.getLogger(__name__)


def application(argv: Sequence[str] = ()) -> QApplication:
    """Return the one application, made if there is none yet."""
    running = QApplication.instance()
    if isinstance(running, QApplication):
        return running
    # As an argument and not by `setStyle`, which loads all that a style has words for (8 ms).
    app = QApplication([PROGRAM, "-style", "fusion", *argv])
    app.setApplicationName(PROGRAM)
    app.setDesktopFileName(PROGRAM)
    return app


def shipped_fonts() -> list[Path]:
    """Return the font files that travel with the program."""
    folder = resource("fonts")
    return sorted(one for one in folder.iterdir() if one.suffix in (".otf", ".ttf"))


_USUAL_WEIGHT = "Regular"
# What a bare system draws with where no desktop has chosen a font.
_NOBODYS_CHOICE = frozenset({"DejaVu Sans", "Bitstream Vera Sans", "Sans Serif", "Sans", ""})


def chosen_font(app: QApplication) -> QFont:
    """Return the desktop's interface font, or the shipped one where no desktop chose any.

    Of the shipped one only the usual weight is loaded; the others follow after the first paint.
    """
    system = app.font()
    if QFontInfo(system).family() not in _NOBODYS_CHOICE:
        return interface_font(system, 100, shipped_fonts())
    family = load_fonts(one for one in shipped_fonts() if one.stem.endswith(_USUAL_WEIGHT))
    if family is not None:
        system.setFamilies([family, *system.families()])
    return base_font(system, 100)


class Looking(QObject):
    """How the application looks: scheme and size of type, changed from the window."""

    def __init__(
        self,
        app: QApplication,
        percent: int = 100,
        choice: SchemeChoice = SchemeChoice.FOLLOW,
        contrast: ContrastChoice = ContrastChoice.FOLLOW,
    ) -> None:
        super().__init__(app)
        self._app = app
        self._percent = percent
        self._system = chosen_font(app)
        self._scheme = SchemeKeeper(app, choice, contrast)
        app.setFont(self._system if percent == 100 else base_font(self._system, percent))

    @property
    def percent(self) -> int:
        """The size of type, in per cent of the system's."""
        return self._percent

    @property
    def choice(self) -> SchemeChoice:
        """The colours that were asked for."""
        return self._scheme.choice

    @property
    def contrast(self) -> ContrastChoice:
        """The contrast that was asked for."""
        return self._scheme.contrast

    def complete(self) -> None:
        """Do what the first paint need not wait for: other weights, and the system's scheme."""
        load_fonts(one for one in shipped_fonts() if not one.stem.endswith(_USUAL_WEIGHT))
        self._scheme.ask_system()

    def toggle(self) -> None:
        """Go from light to dark or back."""
        self._scheme.toggle()

    def toggle_contrast(self) -> None:
        """Go from the usual contrast to high contrast or back."""
        self._scheme.toggle_contrast()

    def scale(self, step: int) -> None:
        """Make the type larger, smaller, or with 0 as large as the system has it."""
        wished = 100 if step == 0 else self._percent + step * PERCENT_STEP
        self._percent = min(LARGEST_PERCENT, max(SMALLEST_PERCENT, wished))
        self._app.setFont(base_font(self._system, self._percent))


def run(wanted: Wanted, *, reports_start: bool = False) -> int:
    """Open the window on a household and return the exit status when it is closed."""
    # Nothing of what loads now is garbage; looking for some took a tenth of the start.
    gc.disable()
    app = application()
    memory = WindowMemory(state_file())
    place = left_open(wanted, memory.last()) or wanted.place
    lock = HouseLock()
    if wanted.now is None and hand_over(place, wish_of(wanted), lock):
        return 0
    was = memory.left()
    looking = Looking(app, was.percent, was.scheme, was.contrast)
    doors = _DoorsLater(wanted, memory, lock)
    window = Window(doors.make, looks_of(wanted))
    doors.window = window
    _once(window, lambda: _collect_from_now_on(window))
    window.ready.connect(lambda: QTimer.singleShot(_WARM_AFTER_MS, window, lambda: _warm(window)))
    window.scheme_toggled.connect(looking.toggle)
    window.contrast_toggled.connect(looking.toggle_contrast)
    window.type_scaled.connect(looking.scale)
    window.begun.connect(looking.complete)
    previous, sys.excepthook = sys.excepthook, _Unforeseen(window).tell
    reporter = _StartReport(window) if reports_start else None

    def keep_left() -> None:
        look = looking.percent, looking.choice, looking.contrast
        memory.keep_left(left_of(window.shell, *look))

    # What is chosen is kept at once: a machine that goes out closes no window.
    for chosen in (window.scheme_toggled, window.contrast_toggled, window.type_scaled):
        chosen.connect(lambda *_: keep_left())
    window.shell.closing.connect(keep_left)
    put_back(window.shell, was, app)
    _once(window, lambda: settle(window.shell, was, app))
    if wanted.is_at_login:
        window.show_minimised()
    else:
        window.show()
    try:
        status = app.exec()
        # No window is left by now: the household is backed up and closed behind the scenes.
        window.worker.finish()
        return status
    finally:
        doors.end()
        sys.excepthook = previous
        gc.enable()
        del reporter


def _once(window: Window, do: Callable[[], None]) -> None:
    """Do something when the window's first rows stand, and not with another household."""

    def first() -> None:
        window.ready.disconnect(first)
        do()

    window.ready.connect(first)


def wish_of(wanted: Wanted) -> dict[str, object]:
    """Return what a second start asks of the window that has the household open."""
    wish: dict[str, object] = {"say": SHOW}
    return wish if wanted.go_to is None else wish | {"chore": wanted.go_to}


class _DoorsLater:
    """Makes the doors to households once the window was painted, and keeps house from then on."""

    def __init__(self, wanted: Wanted, memory: WindowMemory, lock: HouseLock) -> None:
        self._wanted = wanted
        self._memory = memory
        self._lock = lock
        self._keeping: HouseKeeping | None = None
        self.window: Window | None = None

    def make(self) -> Doors:
        """Return the doors."""
        from tankkeeper.app.doors import HouseKeeping, doors_to

        self._keeping = HouseKeeping(self._wanted, self._memory, self._lock)
        if self.window is not None:
            self._keeping.attend(self.window)
        return doors_to(self._wanted, self._keeping)

    def end(self) -> None:
        """Let others open the household."""
        if self._keeping is not None:
            self._keeping.end()
        self._lock.release()


def put_back(shell: QWidget, was: Left, app: QApplication) -> None:
    """Put a window that is not shown yet where it was left, the usual place where it cannot be."""
    shell.setProperty(LAST_FOLDER, was.folder)
    place = placed(was.place, _free(app), was.frame or QMargins(*USUAL_FRAME))
    if place is None:
        shell.resize(fitting_size(app.primaryScreen().availableSize()))
    else:
        shell.setGeometry(place)
    if was.is_maximized:
        from PySide6.QtCore import Qt

        shell.setWindowState(Qt.WindowState.WindowMaximized)


def settle(shell: QWidget, was: Left, app: QApplication) -> None:
    """Bring a window that stands by now wholly onto its screen, with the frame that it has got.

    The desktop may have drawn a larger frame than was known, or taken the place for its frame's.
    """
    frame = frame_of(shell)
    if frame is None or shell.isMinimized():
        return
    here = shell.geometry()
    wanted = placed(was.place, _free(app), frame)
    by_frame = QRect(here).translated(-frame.left(), -frame.top())
    target = wanted if wanted == by_frame else placed(here, _free(app), frame)
    if target is not None and target != here:
        shell.setGeometry(target)


def frame_of(shell: QWidget) -> QMargins | None:
    """Return what the desktop has drawn around a window, None where that tells nothing."""
    handle = shell.windowHandle()
    if handle is None or shell.isMaximized() or shell.isFullScreen():
        return None
    return handle.frameMargins()


def _free(app: QApplication) -> list[QRect]:
    return [screen.availableGeometry() for screen in app.screens()]


def left_of(shell: QWidget, percent: int, choice: SchemeChoice, contrast: ContrastChoice) -> Left:
    """Return how a window is left."""
    is_maximized = shell.isMaximized()
    place = shell.normalGeometry() if is_maximized else shell.geometry()
    place_if_known = place if place.isValid() else None
    frame, folder = frame_of(shell), shell.property(LAST_FOLDER) or ""
    return Left(place_if_known, is_maximized, percent, choice, contrast, frame, folder)


def fitting_size(free: QSize) -> QSize:
    """Return the usual size, less where the screen with the window's frame would not hold it.

    Else the line at the foot, which tells what a key did, lies below the edge of the screen.
    """
    return QSize(*USUAL_SIZE).boundedTo(free.shrunkBy(QMargins(*USUAL_FRAME)))


def _collect_from_now_on(window: Window) -> None:
    """Let garbage be collected again, in the window's thread alone."""
    from tankkeeper.gui.collecting import Collecting

    Collecting(window)


def _warm(window: Window) -> None:
    """Load what the first press of a key would load, while nobody waits; once for a window."""
    from tankkeeper.app.warming import Warming

    if window.findChild(Warming) is None:
        Warming(window)


def looks_of(wanted: Wanted, *, is_still: bool = False) -> Looks:
    """Return how the window looks before a household is open."""
    sign = QLocale().decimalPoint()
    return Looks(_icons, wanted.name, sign if sign == "," else ".", is_still)


def _icons() -> Icons:
    from tankkeeper.gui.icons import Icons

    return Icons(resource("icons"))


class _StartReport(QObject):
    """Prints when the window was painted and when it was ready, as one JSON line, and closes it.

    For the benchmark of the start: the moments are seconds since the epoch, beside them how long
    the window's thread was kept from answering at the most between the two.
    """

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._painted_at = 0.0
        self._beat_at = 0.0
        self._longest = 0.0
        self._beat = QTimer(self)
        self._beat.timeout.connect(self._on_beat)
        window.painted.connect(self._on_painted)
        window.ready.connect(self._on_ready)

    def _on_painted(self) -> None:
        self._painted_at = self._beat_at = time.time()
        self._beat.start(_BEAT_MS)

    def _on_beat(self) -> None:
        """Note how long the window's thread was busy since the last beat."""
        now = time.time()
        self._longest = max(self._longest, now - self._beat_at)
        self._beat_at = now

    def _on_ready(self) -> None:
        # The rows are asked to be drawn by now; the moment counts once they are.
        QTimer.singleShot(0, self._on_drawn)

    def _on_drawn(self) -> None:
        import json

        if self._window.frame is not None:
            self._window.frame.stack.repaint()
        self._on_beat()
        report = {
            "painted_at": self._painted_at,
            "ready_at": time.time(),
            "longest_wait_ms": round(self._longest * 1000.0, 1),
        }
        sys.stdout.write(json.dumps(report) + "\n")
        sys.stdout.flush()
        self._window.shell.close()


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
        from PySide6.QtWidgets import QMessageBox

        self._is_telling = True
        box = QMessageBox(self._window.shell)
        box.setWindowTitle(PROGRAM)
        box.setText("Something went wrong that nobody foresaw. Nothing that was kept is lost.")
        box.setInformativeText("What is known of it stands in the log.")
        box.setDetailedText(f"{kind.__name__}: {error}")
        box.finished.connect(self._on_told)
        box.open()

    def _on_told(self) -> None:
        self._is_telling = False
