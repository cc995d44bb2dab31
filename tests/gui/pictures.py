"""Draws the window on the sample household into the pictures that tests compare and people see.

`python -m tests.gui.pictures [NAME ...]` draws all of them, or those named, anew: the baselines in
tests/gui/pictures and the picture of the README in resources/pictures. Look at them before they
are committed.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cache
from itertools import count
from pathlib import Path
from unittest.mock import patch

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication, QEvent, QEventLoop, QLocale, Qt
from PySide6.QtGui import QFont, QFontDatabase, QImage
from PySide6.QtWidgets import QApplication

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.gui import word_begun
from tankkeeper.gui.pages.settle_page import SettlePage
from tankkeeper.gui.palette import Scheme, qt_palette
from tankkeeper.gui.typography import base_font
from tankkeeper.gui.window import Window
from tankkeeper.services.sample import sample_household
from tests.gui import round_house
from tests.gui.small_png import save_small

ROOT = Path(__file__).resolve().parents[2]
BASELINES = Path(__file__).resolve().parent / "pictures"
README_PICTURE = ROOT / "resources" / "pictures" / "round.png"
SAMPLE = ROOT / "sample_tanks" / "sample_household.toml"
# Five past seven on a Wednesday morning where the sample household lives.
NOW = datetime(2026, 11, 25, 6, 5, tzinfo=UTC)


def make_sample(path: Path) -> None:
    """Make the sample household as it stands on the morning of the pictures."""
    household, entries = the_sample()
    round_house.make(path, household, FixedClock(NOW), entries)


@cache
def the_sample() -> tuple[Household, tuple[Entry, ...]]:
    """Return the sample of that morning; to live its months takes longer than to draw it."""
    return sample_household(SAMPLE.read_text(encoding="utf-8"), NOW)


# Larger type moves what stands there, another scheme colours it: once each.
LOOKS = (
    ("light", Scheme.LIGHT, 100),
    ("dark", Scheme.DARK, 100),
    ("large", Scheme.LIGHT, 150),
)


@dataclass(frozen=True)
class Shot:
    """One picture: how the window looks, and the keys that were pressed before.

    A key that begins with `TYPED` is a text, one that begins with `PUSHED` the button of a page.
    `begin` gives the window what the program gives it after its first round. `is_form` draws
    the form that is open instead of the window; `make` makes the household that stands at `now`.
    `do` is done last, where keys would have to go through a dialog of the system.
    """

    name: str
    size: tuple[int, int] = (1280, 800)
    scheme: Scheme = Scheme.LIGHT
    percent: int = 100
    keys: tuple[str, ...] = ()
    is_right_to_left: bool = False
    is_form: bool = False
    make: Callable[[Path], None] = make_sample
    now: datetime = NOW
    begin: Callable[[Window], object] | None = None
    do: Callable[[round_house.Hands], None] | None = None


def in_all_looks(shot: Shot) -> tuple[Shot, ...]:
    """Return a picture in light and in dark, and with type at 150 %."""
    return tuple(
        replace(shot, name=f"{shot.name}-{look}", scheme=scheme, percent=percent)
        for look, scheme, percent in LOOKS
    )


TYPED = "="
PUSHED = "@"
README_SHOT = Shot("round-light")
_FIND = ("Ctrl+6", "/")
SHOTS = (
    README_SHOT,
    Shot("round-dark", size=(1440, 900), scheme=Scheme.DARK),
    Shot("round-large", percent=150),
    Shot("round-narrow", size=(1000, 700), scheme=Scheme.DARK, keys=("Down", "F1")),
    Shot("round-refused", keys=("Down", "Space", "Up", "S")),
    Shot("round-right-to-left", is_right_to_left=True),
    Shot("logbook-light", keys=("Ctrl+6", "Down", "Del", "Down")),
    Shot("logbook-dark", (1440, 900), Scheme.DARK, keys=(*_FIND, *"nitrate", "Down")),
    Shot("logbook-large", percent=150, keys=("Ctrl+6", "Del")),
    Shot("tank-light", keys=("Ctrl+Down", "F2")),
    Shot("tank-dark", scheme=Scheme.DARK, keys=("Ctrl+Down", "F2")),
    Shot("tank-large", percent=150, keys=("Ctrl+Down", "F2")),
    Shot("chores-large", percent=150, keys=("Ctrl+Down", "F3", "Home", "Down", "Return")),
    Shot("chores-light", keys=("Ctrl+Down", "F3", "Home", "Down", "Return")),
    Shot("chores-dark", scheme=Scheme.DARK, keys=("Ctrl+Down", "F3", "Home")),
)


def dress(app: QApplication) -> QFont:
    """Give the application the look in which all pictures are drawn, and return its font."""
    for file in (ROOT / "resources" / "fonts").glob("*.otf"):
        QFontDatabase.addApplicationFont(str(file))
    font = QFont("Inter")
    font.setPixelSize(14)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    app.setStyle("Fusion")
    app.setFont(font)
    app.setCursorFlashTime(0)
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    return font


def keys_come_slowly() -> AbstractContextManager[object]:
    """Return in what no two letters are a word, however fast they are pressed, as in the tests."""
    minutes = count()
    return patch.object(word_begun, "pressed_at", lambda _event: 60.0 * next(minutes))


def draw(app: QApplication, font: QFont, path: Path, shot: Shot) -> QImage:
    """Return the picture of the window on the household in a file."""
    app.setPalette(qt_palette(shot.scheme))
    app.setFont(base_font(font, shot.percent))
    if shot.is_right_to_left:
        app.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    clock = FixedClock(shot.now)
    window = round_house.a_window(path, clock)
    try:
        window.shell.resize(*shot.size)
        window.show()
        window.shell.activateWindow()
        is_ready: list[bool] = []
        window.ready.connect(lambda: is_ready.append(True))
        while not is_ready:
            app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        hands = round_house.Hands(window, clock, path, app)
        hands.settle()
        if shot.begin is not None:
            shot.begin(window)
            hands.settle()
        for key in shot.keys:
            if key.startswith(PUSHED):
                _push(window, key.removeprefix(PUSHED))
            elif key.startswith(TYPED):
                hands.type(key.removeprefix(TYPED))
            else:
                hands.hit(key)
            hands.settle()
        if shot.do is not None:
            shot.do(hands)
        hands.settle()
        shown = hands.form() if shot.is_form else window.shell
        return shown.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    finally:
        # Closing may leave it in a tray.
        window.shell.end()
        window.worker.finish()
        window.shell.deleteLater()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        app.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def _push(window: Window, button: str) -> None:
    """Push a button of the page that is open, and leave the keys where they were."""
    assert window.frame is not None
    page = window.frame.stack.currentWidget()
    assert isinstance(page, SettlePage)
    page.buttons[button].click()


def every_shot() -> tuple[Shot, ...]:
    """Return the pictures of the views and those of forms and unusual households."""
    from tests.gui.form_pictures import FORM_SHOTS
    from tests.gui.settings_pictures import SETTINGS_SHOTS

    return (*SHOTS, *FORM_SHOTS, *SETTINGS_SHOTS)


def main(only: Sequence[str] = ()) -> None:
    """Draw all pictures anew, or those that are named."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    font = dress(app)
    BASELINES.mkdir(exist_ok=True)
    README_PICTURE.parent.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, keys_come_slowly():
        for shot in (one for one in every_shot() if not only or one.name in only):
            path = Path(folder) / shot.name / "sample.tankkeeper"
            shot.make(path)
            picture = draw(app, font, path, shot)
            name = str(BASELINES / f"{shot.name}.png")
            if shot is README_SHOT:
                picture.save(name)
            else:
                save_small(picture, Path(name))
            if shot is README_SHOT:
                picture.save(str(README_PICTURE))
            print(shot.name)


if __name__ == "__main__":
    main(sys.argv[1:])
