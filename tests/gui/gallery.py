"""Draws the window with an invented household into pictures: python -m tests.gui.gallery FOLDER."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.marks import Mark, paint_mark
from tankkeeper.gui.palette import Role, Scheme, colours, qt_palette
from tankkeeper.gui.typography import base_font, load_fonts
from tests.gui.invented import FONTS, MANY, OVERDUE_CHANGE, REFUSED_MOVE, THREE, a_frame

SHOTS = (
    ("light-1280", Scheme.LIGHT, 100, (1280, 800), THREE, OVERDUE_CHANGE),
    ("dark-1440", Scheme.DARK, 100, (1440, 900), THREE, REFUSED_MOVE),
    ("many-1280", Scheme.LIGHT, 100, (1280, 800), MANY, REFUSED_MOVE),
    ("large-1440", Scheme.LIGHT, 150, (1440, 900), THREE, OVERDUE_CHANGE),
    ("large-1280-125", Scheme.DARK, 125, (1280, 800), MANY, OVERDUE_CHANGE),
    ("double-1280", Scheme.LIGHT, 200, (1280, 800), THREE, OVERDUE_CHANGE),
    ("narrow-980", Scheme.LIGHT, 100, (980, 700), THREE, OVERDUE_CHANGE),
    ("high-contrast-1280", Scheme.HIGH_CONTRAST, 100, (1280, 800), THREE, REFUSED_MOVE),
)


def draw(folder: Path) -> list[Path]:
    """Draw all pictures and return their files."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    app.setStyle("Fusion")
    app.setEffectEnabled(Qt.UIEffect.UI_AnimateMenu, False)
    system = app.font()
    family = load_fonts(sorted(FONTS.glob("*.otf")))
    if family:
        system.setFamily(family)
    files = [_marks(folder, scheme) for scheme in (Scheme.LIGHT, Scheme.DARK)]
    for name, scheme, percent, size, cards, why in SHOTS:
        app.setPalette(qt_palette(scheme))
        app.setFont(base_font(system, percent))
        frame = a_frame(cards, why)
        frame.resize(*size)
        frame.show()
        frame.rail.setFocus()
        if frame.metrics.why_is_drawer:
            frame.open_why()
        app.processEvents()
        app.processEvents()
        files.append(folder / f"{name}.png")
        frame.grab().save(str(files[-1]))
        frame.close()
        frame.deleteLater()
    return files


def _marks(folder: Path, scheme: Scheme) -> Path:
    table = colours(scheme)
    sheet = QPixmap(11 * 100, 120)
    sheet.fill(table[Role.SURFACE])
    painter = QPainter(sheet)
    for column, mark in enumerate(Mark):
        left = 20.0 + column * 100
        for size, x in ((10, 0.0), (12, 14.0), (16, 32.0)):
            paint_mark(painter, mark, QPointF(left + x, 16), size, table)
        paint_mark(painter, mark, QPointF(left, 48), 48, table)
    painter.end()
    file = folder / f"marks-{scheme.value}.png"
    sheet.save(str(file))
    return file


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.mkdtemp(prefix="gallery-"))
    target.mkdir(parents=True, exist_ok=True)
    for drawn in draw(target):
        print(drawn)
