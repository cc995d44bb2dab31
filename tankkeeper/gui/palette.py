"""The one table of colours: roles and values, the Qt palette, and the contrast of each pair."""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from typing import Final, NamedTuple

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication


class Role(StrEnum):
    """What a colour is for; nothing outside this module names a raw colour."""

    GROUND = "ground"
    SURFACE = "surface"
    LINE = "line"
    EDGE = "edge"
    INK = "ink"
    INK_2 = "ink 2"
    INK_3 = "ink 3"
    SEA = "sea"
    ON_SEA = "on sea"
    SEA_SOFT = "sea soft"
    WATER = "water"
    WATER_DEEP = "water deep"
    OVERDUE = "overdue"
    OVERDUE_SOFT = "overdue soft"
    AMBER = "amber"
    AMBER_SOFT = "amber soft"


class Scheme(StrEnum):
    """The sets of colours the window can wear."""

    LIGHT = "light"
    DARK = "dark"
    HIGH_CONTRAST = "high contrast"
    HIGH_CONTRAST_DARK = "high contrast dark"

    @property
    def is_dark(self) -> bool:
        """Whether light text stands on a dark ground."""
        return self in (Scheme.DARK, Scheme.HIGH_CONTRAST_DARK)

    @property
    def is_high_contrast(self) -> bool:
        """Whether lines are drawn heavier and no tint is relied upon."""
        return self in (Scheme.HIGH_CONTRAST, Scheme.HIGH_CONTRAST_DARK)


class SchemeChoice(StrEnum):
    """What the person asked for; `FOLLOW` takes what the system says."""

    FOLLOW = "follow"
    LIGHT = "light"
    DARK = "dark"


class ContrastChoice(StrEnum):
    """What the person asked for; `FOLLOW` takes what the system says."""

    FOLLOW = "follow"
    HIGH = "high"
    USUAL = "usual"


# role: light, dark, high contrast, high contrast dark
_TABLE: Final[dict[Role, tuple[str, str, str, str]]] = {
    Role.GROUND: ("#EFF3F4", "#0D171B", "#FFFFFF", "#000000"),
    Role.SURFACE: ("#FFFFFF", "#131F24", "#FFFFFF", "#000000"),
    Role.LINE: ("#D2DCDF", "#2A3B42", "#000000", "#FFFFFF"),
    Role.EDGE: ("#71858D", "#70868F", "#000000", "#FFFFFF"),
    Role.INK: ("#10242C", "#E9F1F2", "#000000", "#FFFFFF"),
    Role.INK_2: ("#3D535B", "#B9C9CE", "#000000", "#FFFFFF"),
    Role.INK_3: ("#54686F", "#93A7AE", "#262626", "#E0E0E0"),
    Role.SEA: ("#0B5F78", "#74C6DD", "#003E52", "#9FE3F5"),
    Role.ON_SEA: ("#FFFFFF", "#08222B", "#FFFFFF", "#000000"),
    Role.SEA_SOFT: ("#DDECF0", "#1B3640", "#E4F2F6", "#0A2A34"),
    Role.WATER: ("#B9DAE2", "#1F4D5C", "#D5EBF1", "#0E3440"),
    Role.WATER_DEEP: ("#8FC0CC", "#2F6C7E", "#8FC0CC", "#2F6C7E"),
    Role.OVERDUE: ("#A5351A", "#FF9C80", "#7A1C06", "#FFB9A4"),
    Role.OVERDUE_SOFT: ("#F8E7E1", "#3A211B", "#FFF3EF", "#260F09"),
    Role.AMBER: ("#7B5300", "#E4BC68", "#573A00", "#F6D58D"),
    Role.AMBER_SOFT: ("#F7EED9", "#332A17", "#FFF8E8", "#211A0A"),
}

_COLUMN: Final = {scheme: column for column, scheme in enumerate(Scheme)}

# Where a role stands in a QPalette. Labels pick their ink by a Qt role, so that they follow a
# change of scheme by themselves; Qt's own names fit only some of them.
QT_ROLE: Final[dict[Role, QPalette.ColorRole]] = {
    Role.GROUND: QPalette.ColorRole.Window,
    Role.SURFACE: QPalette.ColorRole.Base,
    Role.LINE: QPalette.ColorRole.Mid,
    Role.EDGE: QPalette.ColorRole.Dark,
    Role.INK: QPalette.ColorRole.WindowText,
    Role.INK_2: QPalette.ColorRole.LinkVisited,
    Role.INK_3: QPalette.ColorRole.PlaceholderText,
    Role.SEA: QPalette.ColorRole.Link,
    Role.ON_SEA: QPalette.ColorRole.HighlightedText,
    Role.SEA_SOFT: QPalette.ColorRole.AlternateBase,
    Role.OVERDUE: QPalette.ColorRole.BrightText,
    Role.AMBER: QPalette.ColorRole.Midlight,
}

_MORE_QT_ROLES: Final[dict[QPalette.ColorRole, Role]] = {
    QPalette.ColorRole.Text: Role.INK,
    QPalette.ColorRole.Button: Role.SURFACE,
    QPalette.ColorRole.ButtonText: Role.INK,
    QPalette.ColorRole.Highlight: Role.SEA,
    QPalette.ColorRole.Accent: Role.SEA,
    QPalette.ColorRole.ToolTipBase: Role.SURFACE,
    QPalette.ColorRole.ToolTipText: Role.INK,
    QPalette.ColorRole.Light: Role.SURFACE,
    QPalette.ColorRole.Shadow: Role.EDGE,
}

_TEXT_ROLES: Final = (
    QPalette.ColorRole.WindowText,
    QPalette.ColorRole.Text,
    QPalette.ColorRole.ButtonText,
)

TEXT_CONTRAST: Final = 4.5
MARK_CONTRAST: Final = 3.0


class Pair(NamedTuple):
    """A colour that is drawn on another one, and the contrast it must keep (WCAG 2.2)."""

    front: Role
    under: Role
    at_least: float


def _pairs() -> tuple[Pair, ...]:
    inks = (Role.INK, Role.INK_2, Role.INK_3, Role.SEA, Role.OVERDUE, Role.AMBER)
    sheets = (Role.SURFACE, Role.GROUND, Role.SEA_SOFT)
    text = [Pair(ink, sheet, TEXT_CONTRAST) for ink in inks for sheet in sheets]
    text += [
        Pair(Role.INK, Role.WATER, TEXT_CONTRAST),
        Pair(Role.INK_2, Role.WATER, TEXT_CONTRAST),
        Pair(Role.INK, Role.OVERDUE_SOFT, TEXT_CONTRAST),
        Pair(Role.OVERDUE, Role.OVERDUE_SOFT, TEXT_CONTRAST),
        Pair(Role.INK, Role.AMBER_SOFT, TEXT_CONTRAST),
        Pair(Role.AMBER, Role.AMBER_SOFT, TEXT_CONTRAST),
        Pair(Role.ON_SEA, Role.SEA, TEXT_CONTRAST),
    ]
    marks = [Pair(Role.EDGE, sheet, MARK_CONTRAST) for sheet in sheets]
    marks += [
        Pair(role, Role.WATER, MARK_CONTRAST) for role in (Role.SEA, Role.OVERDUE, Role.AMBER)
    ]
    return tuple(text + marks)


PAIRS: Final = _pairs()
"""Every pair the program draws, with the contrast it must keep; a test works all of them out."""


def contrast(a: QColor, b: QColor) -> float:
    """Return the contrast ratio of two colours, from 1 to 21.

    WCAG 2.2, definition "contrast ratio": (L1 + 0.05) / (L2 + 0.05), with the relative luminance
    L of the lighter colour on top.

    >>> contrast(QColor("#000000"), QColor("#ffffff"))
    21.0
    """
    lighter, darker = sorted((_luminance(a), _luminance(b)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: QColor) -> float:
    # WCAG 2.2, definition "relative luminance", sRGB.
    red, green, blue = (
        _linear(part / 255) for part in (colour.red(), colour.green(), colour.blue())
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)


class Colours:
    """The colours of one scheme, by role."""

    __slots__ = ("_colours", "scheme")

    def __init__(self, scheme: Scheme) -> None:
        self.scheme = scheme
        column = _COLUMN[scheme]
        self._colours = {role: QColor(values[column]) for role, values in _TABLE.items()}

    def __getitem__(self, role: Role) -> QColor:
        """Return the colour of a role; it must not be changed by the caller."""
        return self._colours[role]

    @property
    def hairline(self) -> int:
        """The width of a dividing line in pixels."""
        return 2 if self.scheme.is_high_contrast else 1


@cache
def colours(scheme: Scheme) -> Colours:
    """Return the colours of a scheme, made once."""
    return Colours(scheme)


def colours_of(palette: QPalette) -> Colours:
    """Return the colours that belong to a widget's palette, for its painter.

    A palette that is not ours (a bare test, a dialog of the system) is answered by whether its
    ground is dark.
    """
    key = palette.cacheKey()
    found = _by_palette.get(key)
    if found is None:
        if len(_by_palette) >= _MOST_PALETTES:
            _by_palette.clear()
        found = _by_palette[key] = _found_by_ground(palette)
    return found


# Every cell and label asks while it is painted, nearly always with one of a few palettes.
_MOST_PALETTES: Final = 1000
_by_palette: dict[int, Colours] = {}


def _found_by_ground(palette: QPalette) -> Colours:
    ground = palette.color(QPalette.ColorRole.Window)
    known = _by_ground().get((ground.rgb(), palette.color(QPalette.ColorRole.Dark).rgb()))
    if known is not None:
        return colours(known)
    return colours(Scheme.DARK if ground.lightness() < 128 else Scheme.LIGHT)


@cache
def _by_ground() -> dict[tuple[int, int], Scheme]:
    return {
        (colours(scheme)[Role.GROUND].rgb(), colours(scheme)[Role.EDGE].rgb()): scheme
        for scheme in Scheme
    }


def qt_palette(scheme: Scheme) -> QPalette:
    """Return the Qt palette of a scheme."""
    table = colours(scheme)
    palette = QPalette()
    for role, qt_role in QT_ROLE.items():
        palette.setColor(qt_role, table[role])
    for qt_role, role in _MORE_QT_ROLES.items():
        palette.setColor(qt_role, table[role])
    for qt_role in _TEXT_ROLES:
        palette.setColor(QPalette.ColorGroup.Disabled, qt_role, table[Role.INK_3])
    return palette


class SchemeKeeper(QObject):
    """Keeps the application in the scheme that was chosen, or that the system asks for.

    `changed` tells the new `Scheme` after the palette was handed to the application.
    """

    changed = Signal(object)

    def __init__(
        self,
        app: QApplication,
        choice: SchemeChoice = SchemeChoice.FOLLOW,
        contrast: ContrastChoice = ContrastChoice.FOLLOW,
    ) -> None:
        super().__init__(app)
        self._app = app
        self._choice = choice
        self._contrast = contrast
        # What the system says in full costs 15 ms to ask, because Qt's whole namespace loads with
        # it; the palette the system gave says as much for the first picture.
        self._is_system_dark = _is_dark(app.palette())
        self._wants_contrast = False
        self._is_asked = False
        self._scheme: Scheme | None = None
        self._apply()

    def ask_system(self) -> None:
        """Ask the system in full, and follow it from now on; to be called after the first paint."""
        if not self._is_asked:
            self._is_asked = True
            hints = QGuiApplication.styleHints()
            hints.colorSchemeChanged.connect(self._on_system_change)
            hints.accessibility().contrastPreferenceChanged.connect(self._on_system_change)
        self._on_system_change()

    @property
    def choice(self) -> SchemeChoice:
        """What was asked for."""
        return self._choice

    @property
    def contrast(self) -> ContrastChoice:
        """What was asked for."""
        return self._contrast

    @property
    def scheme(self) -> Scheme:
        """What is worn now."""
        return self._scheme or self._wanted()

    def choose(self, choice: SchemeChoice) -> None:
        """Wear this scheme from now on."""
        self._choice = choice
        self._apply()

    @Slot()
    def toggle(self) -> None:
        """Go from light to dark or back."""
        self.choose(SchemeChoice.LIGHT if self.scheme.is_dark else SchemeChoice.DARK)

    @Slot()
    def toggle_contrast(self) -> None:
        """Go from the usual contrast to high contrast or back."""
        is_high = self.scheme.is_high_contrast
        self._contrast = ContrastChoice.USUAL if is_high else ContrastChoice.HIGH
        self._apply()

    @Slot()
    def _on_system_change(self) -> None:
        hints = QGuiApplication.styleHints()
        said = hints.colorScheme().name
        # Where the system does not say (bare X11, the offscreen platform) the first look stands.
        if said != "Unknown":
            self._is_system_dark = said == "Dark"
        self._wants_contrast = hints.accessibility().contrastPreference().name == "HighContrast"
        self._apply()

    def _apply(self) -> None:
        wanted = self._wanted()
        if wanted is self._scheme:
            return
        self._scheme = wanted
        self._app.setPalette(qt_palette(wanted))
        self.changed.emit(wanted)

    def _wanted(self) -> Scheme:
        is_dark = self._choice is SchemeChoice.DARK or (
            self._choice is SchemeChoice.FOLLOW and self._is_system_dark
        )
        follows = self._contrast is ContrastChoice.FOLLOW and self._wants_contrast
        if follows or self._contrast is ContrastChoice.HIGH:
            return Scheme.HIGH_CONTRAST_DARK if is_dark else Scheme.HIGH_CONTRAST
        return Scheme.DARK if is_dark else Scheme.LIGHT


def _is_dark(palette: QPalette) -> bool:
    """Return whether a palette shows light text on a dark ground."""
    return palette.color(QPalette.ColorRole.Window).lightness() < 128
