"""Draws month, day and board in every state into the pictures that a test compares.

`python -m tests.gui.calendar_pictures` draws all of them anew. Look at them before they are
committed. A name given after it draws only the shots whose name holds it.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from PySide6.QtWidgets import QApplication

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import Calendar
from tankkeeper.core.household import Household, Person
from tankkeeper.gui.palette import Scheme
from tests.gui import pictures, round_house
from tests.gui.pictures import BASELINES, NOW, Shot
from tests.gui.round_house import box, chore, small_house
from tests.gui.small_png import save_small

HERE = BASELINES / "calendar"
TODAY = date(2026, 11, 25)
MANY = 12
HEAP = 14
LONG_TANKS = ("The Northern Barrier", "Quarantine Basement.")
MONTH, DAY, BOARD = ("Ctrl+2",), ("Ctrl+2", "Return"), ("Ctrl+2", "B")


@dataclass(frozen=True)
class CalendarShot:
    """A shot of a household that is made for it."""

    shot: Shot
    make: Callable[[Path], None]

    @property
    def name(self) -> str:
        """The name of the picture."""
        return self.shot.name


def _house(**changes: object) -> Callable[[Path], None]:
    def make(path: Path) -> None:
        round_house.make(path, small_house(**changes), FixedClock(NOW))

    return make


def _empty(path: Path) -> None:
    round_house.make(path, Household("Quay 3", "Europe/Berlin"), FixedClock(NOW))


def _one() -> Callable[[Path], None]:
    """One tank with a day's work, for one person."""
    days = (("glass", -2), ("wipe", 0), ("change", 0), ("floss", 1), ("test", 3), ("lamp", 5))
    own = tuple(_due(one, f"Do the {one}", away, noun=one) for one, away in days)
    person = Person("ada", "Ada", (20, 20, 20, 20, 20, 45, 45))
    return _house(tanks=(box("reef", "Reef", 1),), people=(person,), chores=own)


def _twelve() -> Callable[[Path], None]:
    """Twelve tanks, each with four chores on days of its own."""
    tanks = tuple(box(f"t{at}", f"Tank {at + 1}", at) for at in range(MANY))
    nouns = ("glass", "change", "skimmer", "test")
    chores = tuple(
        _due(f"c{at}-{noun}", f"Do the {noun}", (at + 2 * step) % 9 - 1, tank=f"t{at}", noun=noun)
        for at in range(MANY)
        for step, noun in enumerate(nouns)
    )
    return _house(tanks=tanks, chores=chores)


def _long() -> Callable[[Path], None]:
    """Names as long as they may be expected, nouns as long as they may be."""
    tanks = tuple(box(f"t{at}", name, at) for at, name in enumerate(LONG_TANKS))
    people = (Person("ada", "Alexandra Featherstonehaugh"), Person("bo", "Bo"))
    chores = tuple(
        _due(
            f"c{at}",
            "Clean the protein skimmer with its neck, its cup and its silencer",
            at % 5 - 2,
            tank=f"t{at % 2}" if at % 5 else None,
            noun="skimmer",
            who=("ada",),
            caution="unplug before hands go in",
        )
        for at in range(9)
    )
    return _house(tanks=tanks, people=people, chores=chores)


def _heap() -> Callable[[Path], None]:
    """More overdue turns than threads, some from the month before."""
    nouns = ("glass", "change", "floss", "test", "lamp", "lid", "sand")
    chores = tuple(
        _due(
            f"c{at}",
            f"Do the {nouns[at % len(nouns)]}",
            -3 * at - 1,
            tank=("reef", "nook", None)[at % 3],
            noun=nouns[at % len(nouns)],
        )
        for at in range(HEAP)
    )
    return _house(chores=chores)


def _refusing() -> Callable[[Path], None]:
    """A weekly turn that cannot be carried beyond the next one, among others."""
    weekly = Calendar("FREQ=WEEKLY;BYDAY=WE", date(2026, 11, 18))
    sand = replace(chore("sand", "Siphon the sand", None, rhythm=weekly), noun="sand")
    others = (_due("wipe", "Wipe the lid", 0, noun="lid"), _due("lamp", "Wipe the lamp", 1))
    return _house(chores=(sand, *others))


def _due(chore_id: str, name: str, away: int, **more: object):  # type: ignore[no-untyped-def]
    return chore(chore_id, name, None, first_due=TODAY + timedelta(days=away), **more)


_HOUSES: dict[str, Callable[[Path], None]] = {
    "sample": pictures.make_sample,
    "one": _one(),
    "twelve": _twelve(),
    "long": _long(),
    "heap": _heap(),
}


def _shots() -> tuple[CalendarShot, ...]:
    found: list[CalendarShot] = []
    views = (("month", MONTH), ("day", DAY), ("board", BOARD))
    states = [(house, view, keys) for house in _HOUSES for view, keys in views]
    refused = (*BOARD, "P", *["Right"] * 8)
    for scheme in (Scheme.LIGHT, Scheme.DARK):
        for house, view, keys in states:
            shot = Shot(f"{view}-{house}-{scheme.value}", scheme=scheme, keys=keys)
            found.append(CalendarShot(shot, _HOUSES[house]))
        shot = Shot(f"board-refused-{scheme.value}", scheme=scheme, keys=refused)
        found.append(CalendarShot(shot, _refusing()))
        shot = Shot(f"month-before-{scheme.value}", scheme=scheme, keys=(*MONTH, "Shift+PgUp"))
        found.append(CalendarShot(shot, pictures.make_sample))
        shot = Shot(f"month-empty-{scheme.value}", scheme=scheme, keys=("Esc", *MONTH))
        found.append(CalendarShot(shot, _empty))
    sample = pictures.make_sample
    large = ((150, MONTH), (150, BOARD), (200, MONTH), (200, DAY), (200, BOARD))
    for percent, keys in large:
        view = {MONTH: "month", DAY: "day", BOARD: "board"}[keys]
        shot = Shot(f"{view}-{percent}", percent=percent, keys=keys)
        found.append(CalendarShot(shot, sample))
    contrast = Scheme.HIGH_CONTRAST_DARK
    found += [
        CalendarShot(Shot("month-find", keys=(*MONTH, "F", "L", "O")), sample),
        CalendarShot(Shot("month-right-to-left", keys=MONTH, is_right_to_left=True), sample),
        CalendarShot(Shot("month-contrast", scheme=Scheme.HIGH_CONTRAST, keys=MONTH), sample),
        CalendarShot(Shot("board-contrast", scheme=contrast, keys=BOARD), sample),
    ]
    return tuple(found)


SHOTS = _shots()


def main() -> None:
    """Draw all pictures anew, or those that were named."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    font = pictures.dress(app)
    HERE.mkdir(parents=True, exist_ok=True)
    wanted = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder, pictures.keys_come_slowly():
        for one in SHOTS:
            if wanted and not any(part in one.name for part in wanted):
                continue
            path = Path(folder) / one.name / "house.tankkeeper"
            one.make(path)
            save_small(pictures.draw(app, font, path, one.shot), HERE / f"{one.name}.png")
            print(one.name)


if __name__ == "__main__":
    main()
