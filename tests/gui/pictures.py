"""Draws the window on the sample household into the pictures that tests compare and people see.

`python -m tests.gui.pictures` draws all of them anew: the baselines in tests/gui/pictures and
the picture of the README in resources/pictures. Look at them before they are committed.
"""

from __future__ import annotations

import os
import sys
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy
from PySide6.QtCore import QCoreApplication, QEvent, QLocale, Qt
from PySide6.QtGui import QFont, QFontDatabase, QImage, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tankkeeper.app.clock import FixedClock
from tankkeeper.gui.palette import Scheme, qt_palette
from tankkeeper.gui.typography import base_font
from tankkeeper.services.sample import sample_household
from tests.gui import round_house

ROOT = Path(__file__).resolve().parents[2]
BASELINES = Path(__file__).resolve().parent / "pictures"
README_PICTURE = ROOT / "resources" / "pictures" / "round.png"
SAMPLE = ROOT / "sample_tanks" / "sample_household.toml"
# Five past seven on a Wednesday morning where the sample household lives.
NOW = datetime(2026, 11, 25, 6, 5, tzinfo=UTC)


@dataclass(frozen=True)
class Shot:
    """One picture: how the window looks, and the keys that were pressed before."""

    name: str
    size: tuple[int, int] = (1280, 800)
    scheme: Scheme = Scheme.LIGHT
    percent: int = 100
    keys: tuple[str, ...] = ()
    is_right_to_left: bool = False


README_SHOT = Shot("round-light")
_FIND = ("Ctrl+6", "/")
_BOARD, _DOWN = ("Ctrl+2", "B"), ("Down",) * 3
SHOTS = (
    README_SHOT,
    Shot("round-dark", size=(1440, 900), scheme=Scheme.DARK),
    Shot("round-large", percent=150),
    Shot("round-narrow", size=(1000, 700), scheme=Scheme.DARK, keys=("Down", "F1")),
    Shot("round-refused", keys=("Down", "Space", "Up", "S")),
    Shot("round-right-to-left", is_right_to_left=True),
    Shot("month-light", keys=("Ctrl+2",)),
    Shot("month-dark", size=(1440, 900), scheme=Scheme.DARK, keys=("Ctrl+2", "PgDown")),
    Shot("month-large", percent=150, keys=("Ctrl+2",)),
    Shot("day-light", keys=("Ctrl+2", "Return")),
    Shot("board-light", keys=("Ctrl+2", "B")),
    Shot("logbook-light", keys=("Ctrl+6", "Down", "Space", "Down")),
    Shot("logbook-dark", (1440, 900), Scheme.DARK, keys=(*_FIND, *"nitrate", "Down")),
    Shot("logbook-large", percent=150, keys=("Ctrl+6", "Space")),
    Shot("board-refused", (1440, 900), Scheme.DARK, keys=(*_BOARD, *_DOWN, "P", "Down")),
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


def make_sample(path: Path) -> None:
    """Make the sample household as it stands on the morning of the pictures."""
    household, entries = sample_household(SAMPLE.read_text(encoding="utf-8"), NOW)
    round_house.make(path, household, FixedClock(NOW), entries)


def draw(app: QApplication, font: QFont, path: Path, shot: Shot) -> QImage:
    """Return the picture of the window on the household in a file."""
    app.setPalette(qt_palette(shot.scheme))
    app.setFont(base_font(font, shot.percent))
    if shot.is_right_to_left:
        app.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    window = round_house.a_window(path, FixedClock(NOW))
    try:
        window.shell.resize(*shot.size)
        window.show()
        window.shell.activateWindow()
        while window.session is None or window.session.last is None:
            app.processEvents()
        hands = round_house.Hands(window, FixedClock(NOW), path, app)
        hands.settle()
        for key in shot.keys:
            pressed = QKeySequence(key)[0]
            QTest.keyClick(hands.focus(), pressed.key(), pressed.keyboardModifiers())
            hands.settle()
        hands.settle()
        return window.shell.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    finally:
        window.shell.close()
        window.worker.finish()
        window.shell.deleteLater()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        app.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def in_few_colours(picture: QImage, most: int = 256) -> QImage:
    """Return a picture in its most frequent colours, which takes a third of the room.

    Others, those of the edges of letters, take the nearest of these; no eye sees the difference.
    """
    plain = picture.convertToFormat(QImage.Format.Format_RGB32)
    flat = numpy.frombuffer(plain.constBits(), dtype=numpy.uint32).reshape(plain.height(), -1)
    colours, places, counts = numpy.unique(flat, return_inverse=True, return_counts=True)
    kept = colours[numpy.argsort(-counts, kind="stable")[:most]]

    def parts(values: numpy.ndarray) -> numpy.ndarray:
        return numpy.stack([(values >> shift) & 255 for shift in (16, 8, 0)], axis=-1).astype(int)

    far = ((parts(colours)[:, None, :] - parts(kept)[None, :, :]) ** 2).sum(axis=2)
    nearest = far.argmin(axis=1).astype(numpy.uint8)
    indexes = numpy.ascontiguousarray(nearest[places].reshape(flat.shape))
    image = QImage(
        indexes.data, flat.shape[1], flat.shape[0], flat.shape[1], QImage.Format.Format_Indexed8
    )
    image.setColorTable([int(colour) | 0xFF000000 for colour in kept])
    return image.copy()


def main() -> None:
    """Draw all pictures anew, or those whose names are given."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    font = dress(app)
    BASELINES.mkdir(exist_ok=True)
    README_PICTURE.parent.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        for shot in SHOTS:
            if sys.argv[1:] and shot.name not in sys.argv[1:]:
                continue
            path = Path(folder) / shot.name / "sample.tankkeeper"
            make_sample(path)
            picture = in_few_colours(draw(app, font, path, shot))
            picture.save(str(BASELINES / f"{shot.name}.png"))
            if shot is README_SHOT:
                picture.save(str(README_PICTURE))
            print(shot.name)


if __name__ == "__main__":
    main()
