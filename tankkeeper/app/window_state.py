"""How the window was left: its place, type and colours, and what was open of each household."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QMargins, QRect, QSettings, QSize

from tankkeeper.app.paths import config_dir
from tankkeeper.gui.palette import ContrastChoice, SchemeChoice
from tankkeeper.gui.typography import LARGEST_PERCENT, SMALLEST_PERCENT

if TYPE_CHECKING:
    from tankkeeper.gui.openings import Standing

_WINDOW, _RECENT = "window", "recent"
# What the calendar shows.
_MONTH, _BOARD = "month", "board"
MOST_RECENT = 12
_PLACE = ("x", "y", "width", "height")
_FRAME = ("frame_left", "frame_top", "frame_right", "frame_bottom")
# A desktop's borders and title bar are no wider than this.
_WIDEST_FRAME = 200
# A window can be moved by its upper edge alone; that much of it must be on a screen.
_GRIP = QSize(120, 24)


class Left(NamedTuple):
    """How the window looked when it was closed; a `place` of None is not known.

    `frame` is what the desktop had drawn around it, None where that is not known; `folder` that
    of the file that was chosen last, if any was.
    """

    place: QRect | None = None
    is_maximized: bool = False
    percent: int = 100
    scheme: SchemeChoice = SchemeChoice.FOLLOW
    contrast: ContrastChoice = ContrastChoice.FOLLOW
    frame: QMargins | None = None
    folder: str = ""


def state_file() -> Path:
    """Return the file of all this; it need not exist."""
    return config_dir() / "window.ini"


class WindowMemory:
    """Reads and writes the file; what cannot be read there is as if it had never been written.

    It may be asked from any thread: every call opens the file for itself.
    """

    def __init__(self, path: Path) -> None:
        self._path = path

    def left(self) -> Left:
        """Return how the window was left."""
        kept = self._open(_WINDOW)
        numbers = [_whole(kept, name) for name in _PLACE]
        known = [number for number in numbers if number is not None]
        place = QRect(*known) if len(known) == len(_PLACE) else None
        percent = _whole(kept, "percent")
        return Left(
            place=place if place is not None and place.isValid() else None,
            is_maximized=_text(kept, "maximized") == "true",
            percent=min(
                LARGEST_PERCENT, max(SMALLEST_PERCENT, 100 if percent is None else percent)
            ),
            scheme=_scheme(_text(kept, "scheme")),
            contrast=_contrast(_text(kept, "contrast")),
            frame=_frame(kept),
            folder=_text(kept, "folder"),
        )

    def keep_left(self, left: Left) -> None:
        """Keep how the window is left."""
        kept = self._open(_WINDOW)
        if left.place is not None:
            place = left.place
            numbers = (place.x(), place.y(), place.width(), place.height())
            for name, number in zip(_PLACE, numbers, strict=True):
                kept.setValue(name, number)
        if left.frame is not None:
            one = left.frame
            for name, number in zip(
                _FRAME, (one.left(), one.top(), one.right(), one.bottom()), strict=True
            ):
                kept.setValue(name, number)
        kept.setValue("maximized", "true" if left.is_maximized else "false")
        kept.setValue("percent", left.percent)
        kept.setValue("scheme", left.scheme.value)
        kept.setValue("contrast", left.contrast.value)
        kept.setValue("folder", left.folder)
        kept.sync()

    def standing(self, where: Path) -> Standing | None:
        """Return what was open of a household, None where it was never left."""
        kept = self._open(_group(where))
        if not kept.contains("view"):
            return None
        from tankkeeper.gui.openings import Standing

        return Standing(
            _text(kept, "view"),
            _text(kept, "tank") or None,
            _text(kept, "person") or None,
            _text(kept, "name"),
            _text(kept, "calendar") == _BOARD,
            _moment(kept, "days_off_closed"),
        )

    def person(self, where: Path, usual: str | None) -> str | None:
        """Return who was at the window, `usual` where nobody else was chosen there.

        A choice holds as long as the settings name the same person as when it was made.
        """
        kept = self._open(_group(where))
        if not kept.contains("person") or _text(kept, "usual") != (usual or ""):
            return usual
        return _text(kept, "person") or None

    def keep_standing(self, where: Path, standing: Standing, usual: str | None) -> None:
        """Keep what is open of a household, and who was chosen where the settings say `usual`."""
        kept = self._open(_group(where))
        # For whoever reads the file; the name of the group is no place.
        kept.setValue("household", str(where))
        kept.setValue("name", standing.name)
        kept.setValue("view", standing.view)
        kept.setValue("calendar", _BOARD if standing.on_board else _MONTH)
        kept.setValue("tank", standing.tank_id or "")
        kept.setValue("person", standing.person_id or "")
        kept.setValue("usual", usual or "")
        closed = standing.days_off_closed
        kept.setValue("days_off_closed", "" if closed is None else closed.isoformat())
        kept.sync()

    def recent(self) -> tuple[Path, ...]:
        """Return the households that were opened here, the newest first; some may be gone."""
        kept = self._open(_RECENT)
        names = [_text(kept, str(at)) for at in range(MOST_RECENT)]
        return tuple(Path(name) for name in names if name)

    def keep_recent(self, where: Path) -> None:
        """Put a household first among the recent ones."""
        first = Path(os.path.realpath(where))
        others = [one for one in self.recent() if one != first]
        if (first, *others) != self.recent():
            self._write_recent([first, *others])

    def forget_recent(self, where: Path) -> None:
        """Take a household from the recent ones; its file is left alone."""
        self._write_recent([one for one in self.recent() if one != where])

    def last(self) -> Path | None:
        """Return the household that was opened last, the sample too; it may be gone."""
        name = _text(self._open(_WINDOW), "household")
        return Path(name) if name else None

    def keep_last(self, where: Path) -> None:
        """Keep which household was opened last."""
        kept = self._open(_WINDOW)
        kept.setValue("household", os.path.realpath(where))
        kept.sync()

    def _write_recent(self, places: Sequence[Path]) -> None:
        kept = self._open(_RECENT)
        kept.remove("")
        for at, place in enumerate(places[:MOST_RECENT]):
            kept.setValue(str(at), str(place))
        kept.sync()

    def _open(self, group: str) -> QSettings:
        kept = QSettings(str(self._path), QSettings.Format.IniFormat)
        kept.beginGroup(group)
        return kept


def _group(where: Path) -> str:
    import hashlib

    return f"household-{hashlib.sha256(os.path.realpath(where).encode()).hexdigest()[:16]}"


def _text(kept: QSettings, name: str) -> str:
    """Return a text; the file gives a list where somebody wrote a comma into it."""
    found = kept.value(name)
    return found if isinstance(found, str) else ""


def _whole(kept: QSettings, name: str) -> int | None:
    found = kept.value(name)
    try:
        number = int(found) if isinstance(found, (str, int)) else None
    except ValueError:
        return None
    return number if number is not None and abs(number) < 1_000_000 else None


def _moment(kept: QSettings, name: str) -> datetime | None:
    try:
        found = datetime.fromisoformat(_text(kept, name))
    except ValueError:
        return None
    return None if found.tzinfo is None else found


def _frame(kept: QSettings) -> QMargins | None:
    numbers = [_whole(kept, name) for name in _FRAME]
    known = [one for one in numbers if one is not None and 0 <= one <= _WIDEST_FRAME]
    return QMargins(*known) if len(known) == len(_FRAME) else None


def _scheme(text: str) -> SchemeChoice:
    return next((one for one in SchemeChoice if one.value == text), SchemeChoice.FOLLOW)


def _contrast(text: str) -> ContrastChoice:
    return next((one for one in ContrastChoice if one.value == text), ContrastChoice.FOLLOW)


def placed(place: QRect | None, screens: Sequence[QRect], frame: QMargins) -> QRect | None:
    """Return a place at which the whole window is on one of the present screens, or None.

    None where it was not known, or lay on a screen that is gone; one that is larger than its
    screen by now is made smaller, and moved until it is inside.
    """
    if place is None:
        return None
    seen = [(_area(screen.intersected(place)), screen) for screen in screens]
    most, screen = max(seen, key=lambda one: one[0], default=(0, QRect()))
    if most < _GRIP.width() * _GRIP.height():
        return None
    # The frame stands around the place: its sides, and a title bar above.
    free = screen.marginsRemoved(frame)
    size = place.size().boundedTo(free.size())
    left = min(max(place.left(), free.left()), free.left() + free.width() - size.width())
    top = min(max(place.top(), free.top()), free.top() + free.height() - size.height())
    return QRect(left, top, size.width(), size.height())


def _area(rect: QRect) -> int:
    return rect.width() * rect.height() if rect.isValid() else 0
