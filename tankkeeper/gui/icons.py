"""The only module that names icon files; it draws them in the colour of a role."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap

if TYPE_CHECKING:
    pass


class Icon(StrEnum):
    """An icon by what it stands for; the value is the name of its file without the ending."""

    ROUND = "round"
    CALENDAR = "calendar"
    WATER = "water"
    READINGS = "readings"
    CUPBOARD = "cupboard"
    LOGBOOK = "logbook"
    AWAY = "away"
    MENU = "menu"
    PERSON = "person"
    UNDO = "undo"
    REDO = "redo"
    PROGRAM = "tankkeeper"


class Icons:
    """The icons of a folder, drawn when first asked for and kept until `clear`."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._sources: dict[Icon, str] = {}
        self._drawn: dict[tuple[Icon, int, int, int], QPixmap] = {}

    def pixmap(self, icon: Icon, colour: QColor, size: int, ratio: float = 1.0) -> QPixmap:
        """Return the icon `size` pixels wide, for a screen with `ratio` device pixels to one."""
        key = (icon, colour.rgba(), size, round(ratio * 100))
        drawn = self._drawn.get(key)
        if drawn is None:
            drawn = self._drawn[key] = self._draw(icon, colour, size, ratio)
        return drawn

    def clear(self) -> None:
        """Forget what was drawn; to be called when the palette changes."""
        self._drawn.clear()

    def _draw(self, icon: Icon, colour: QColor, size: int, ratio: float) -> QPixmap:
        # Only a window that shows an icon pays for loading QtSvg.
        from PySide6.QtSvg import QSvgRenderer

        side = max(1, round(size * ratio))
        pixmap = QPixmap(side, side)
        pixmap.fill(Qt.GlobalColor.transparent)
        text = self._source(icon).replace("currentColor", colour.name())
        if text:
            renderer = QSvgRenderer(QByteArray(text.encode()))
            painter = QPainter(pixmap)
            renderer.render(painter, QRectF(0, 0, side, side))
            painter.end()
        pixmap.setDevicePixelRatio(ratio)
        return pixmap

    def _source(self, icon: Icon) -> str:
        if icon not in self._sources:
            self._sources[icon] = self._read(self._folder / f"{icon.value}.svg")
        return self._sources[icon]

    def _read(self, file: Path) -> str:
        try:
            return file.read_text(encoding="utf-8")
        except OSError as fault:
            # Every icon stands beside its word, so the window works without; a broken
            # installation must not keep anybody from the round.
            import logging

            logging.getLogger(__name__).warning(
                "An icon is missing from the installation: %s", fault
            )
            return ""
