"""The five sizes of type and every measure that follows from the height of the base font."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from functools import lru_cache
from pathlib import Path
from typing import Final, NamedTuple

from PySide6.QtGui import QFont, QFontDatabase, QFontInfo, QFontMetricsF

DESIGN_PX: Final = 14
SMALLEST_PX: Final = 12
SMALLEST_PERCENT: Final = 80
LARGEST_PERCENT: Final = 200


class TypeRole(StrEnum):
    """The five sizes, smallest first."""

    CAPTION = "caption"
    BODY = "body"
    HEADING = "heading"
    FIGURE = "figure"
    TITLE = "title"


class Weight(StrEnum):
    """The three weights."""

    REGULAR = "regular"
    MEDIUM = "medium"
    SEMIBOLD = "semibold"


class Space:
    """The steps of the spacing grid in pixels; spacing does not grow with the font."""

    XXS: Final = 4
    XS: Final = 8
    S: Final = 12
    M: Final = 16
    L: Final = 24
    XL: Final = 32
    XXL: Final = 48
    HUGE: Final = 64


_SIZE_RATIO: Final = {
    TypeRole.CAPTION: 0.86,
    TypeRole.BODY: 1.0,
    TypeRole.HEADING: 1.21,
    TypeRole.FIGURE: 1.57,
    TypeRole.TITLE: 2.0,
}

# Line height over the size of the base font: 18, 21, 24, 28 and 36 px at 14 px.
_LINE_RATIO: Final = {
    TypeRole.CAPTION: 18 / 14,
    TypeRole.BODY: 21 / 14,
    TypeRole.HEADING: 24 / 14,
    TypeRole.FIGURE: 28 / 14,
    TypeRole.TITLE: 36 / 14,
}

_QT_WEIGHT: Final = {
    Weight.REGULAR: QFont.Weight.Normal,
    Weight.MEDIUM: QFont.Weight.Medium,
    Weight.SEMIBOLD: QFont.Weight.DemiBold,
}

_TABULAR: Final = QFont.Tag("tnum")


def base_font(system: QFont, percent: int = 100) -> QFont:
    """Return the font everything is measured by: the system's, at least 14 px, times `percent`."""
    font = QFont(system)
    size = max(DESIGN_PX, QFontInfo(system).pixelSize()) * percent / 100
    font.setPixelSize(max(SMALLEST_PX, round(size)))
    font.setFeature(_TABULAR, 1)
    return font


def has_tabular_digits(font: QFont) -> bool:
    """Return whether ones and eights of this font are equally wide, so that columns stand."""
    metrics = QFontMetricsF(font)
    return abs(metrics.horizontalAdvance("1111") - metrics.horizontalAdvance("8888")) < 0.5


def load_fonts(files: Iterable[Path]) -> str | None:
    """Load font files and return the first family among them, or None when none could be read."""
    families: list[str] = []
    for file in files:
        number = QFontDatabase.addApplicationFont(str(file))
        families += QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
    return families[0] if families else None


def interface_font(system: QFont, percent: int, shipped: Iterable[Path]) -> QFont:
    """Return the system's font, or the shipped one where the system's digits are not tabular."""
    font = base_font(system, percent)
    if has_tabular_digits(font):
        return font
    family = load_fonts(shipped)
    if family is not None:
        font.setFamilies([family, *system.families()])
    return font


@lru_cache(maxsize=128)
def _sized(base: QFont, role: TypeRole, weight: Weight) -> QFont:
    font = QFont(base)
    font.setPixelSize(pixel_size(base, role))
    font.setWeight(_QT_WEIGHT[weight])
    font.setFeature(_TABULAR, 1)
    return font


def type_font(base: QFont, role: TypeRole, weight: Weight = Weight.REGULAR) -> QFont:
    """Return the font of a role, derived from the base font, with tabular digits.

    It is the caller's own: what is made of it changes no text elsewhere.
    """
    return QFont(_sized(base, role, weight))


def pixel_size(base: QFont, role: TypeRole) -> int:
    """Return the size of a role in pixels; never under 12."""
    return max(SMALLEST_PX, round(_base_px(base) * _SIZE_RATIO[role]))


def line_height(base: QFont, role: TypeRole) -> int:
    """Return the height of a line in pixels; never under what the letters take."""
    return _line_height(base, role)


@lru_cache(maxsize=64)
def _line_height(base: QFont, role: TypeRole) -> int:
    letters = QFontMetricsF(_sized(base, role, Weight.REGULAR)).height()
    return max(round(_base_px(base) * _LINE_RATIO[role]), round(letters + 0.49))


def _base_px(base: QFont) -> int:
    return base.pixelSize() if base.pixelSize() > 0 else QFontInfo(base).pixelSize()


_COMPACT_BELOW_HEIGHT: Final = 860
_WIDE_FROM: Final = 1400
_DRAWER_BELOW: Final = 1200
_NARROW_BELOW: Final = 1000
# From one and a half times the type the widths of the window count in type, too.
_LARGE_TYPE: Final = 1.5


class Metrics(NamedTuple):
    """Sizes in pixels for one font and one window; `scale` is the base font over 14 px."""

    scale: float
    row_height: int
    group_height: int
    top_bar: int
    bottom_line: int
    rail_width: int
    why_width: int
    tank_width: int
    button_height: int
    list_hit_height: int
    icon: int
    mark_row: int
    mark_small: int
    mark_cell: int
    margin: int
    why_is_drawer: bool
    rail_is_narrow: bool

    def px(self, at_base: float) -> int:
        """Return a size given for a base of 14 px at the present one."""
        return round(at_base * self.scale)


def metrics_for(base: QFont, window_width: int = 1440, window_height: int = 900) -> Metrics:
    """Return the sizes for a font and a window; computed once for each pair."""
    return _metrics(_base_px(base), window_width, window_height)


@lru_cache(maxsize=64)
def _metrics(base_px: int, width: int, height: int) -> Metrics:
    scale = base_px / DESIGN_PX
    is_wide = width >= _WIDE_FROM
    is_compact = height < _COMPACT_BELOW_HEIGHT
    is_drawer = width < _DRAWER_BELOW or (scale >= _LARGE_TYPE and width < _DRAWER_BELOW * scale)
    is_narrow = width < _NARROW_BELOW or (scale >= _LARGE_TYPE and width < 800 * scale)
    rail = 148 if is_narrow else (216 if is_wide else 196)
    return Metrics(
        scale=scale,
        row_height=round((34 if is_compact else 38) * scale),
        group_height=round((38 if is_compact else 46) * scale),
        top_bar=round(56 * scale),
        bottom_line=round(32 * scale),
        rail_width=round(rail * scale),
        why_width=round((296 if is_wide or is_drawer else 256) * scale),
        tank_width=round(148 * scale),
        button_height=round(36 * scale),
        list_hit_height=round(34 * scale),
        icon=round(20 * scale),
        mark_row=round(16 * scale),
        mark_small=round(12 * scale),
        mark_cell=max(10, round(10 * scale)),
        margin=Space.L,
        why_is_drawer=is_drawer,
        rail_is_narrow=is_narrow,
    )
