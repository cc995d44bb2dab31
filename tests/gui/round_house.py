"""A window on a real household in the test's own folder, and hands that press its keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from pathlib import Path

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
)
from tankkeeper.core.household import Container, Household, Person, Room, Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.turns import State
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.icons import Icons
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.openings import Doors, Opened
from tankkeeper.gui.window import Looks, Window
from tankkeeper.services.desk import Desk
from tankkeeper.services.exchange import fill
from tankkeeper.services.ports import LoggedEntry, LogQuery
from tankkeeper.store.opening import create
from tests.builders import BERLIN, days

ICONS = Path(__file__).resolve().parents[2] / "resources" / "icons"
THURSDAY = date(2026, 3, 12)
SEVEN = datetime.combine(THURSDAY, time(7, 4), BERLIN)


def box(tank_id: str, name: str, order: int) -> Tank:
    """Return an invented tank of 60 x 40 cm."""
    shape = Shape(ShapeKind.BOX, length_cm=60.0, width_cm=40.0, height_cm=42.0, water_depth_cm=36.0)
    return Tank(tank_id, name, shape, room="hall", walk_order=order, target_salinity=35.0)


def chore(chore_id: str, name: str, first: int | None, **more: object) -> Chore:
    """Return a weekly chore counted from the last time, first due on a day of March 2026."""
    values: dict[str, object] = {
        "kind": ChoreKind.OTHER,
        "rhythm": AfterLastDone(days(7)),
        "tank": "reef",
        "minutes": 5,
        "first_due": None if first is None else date(2026, 3, first),
    }
    return Chore(chore_id, name=name, **(values | more))  # type: ignore[arg-type]


def small_house(**changes: object) -> Household:
    """Return two invented tanks, two people, and chores of every kind that the round asks about."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 1))
    house = Household(
        name="Quay 3",
        zone="Europe/Berlin",
        people=(Person("ada", "Ada"), Person("bo", "Bo")),
        rooms=(Room("hall", "hall"),),
        containers=(Container("bucket", 12.0, 2),),
        tanks=(box("reef", "Reef", 1), box("nook", "Nook", 2)),
        chores=(
            chore("glass", "Clean the glass", 10, kind=ChoreKind.GLASS),
            chore("wipe", "Wipe the lid", 12),
            chore(
                "change",
                "Change water",
                12,
                kind=ChoreKind.WATER_CHANGE,
                amount=Amount(9.0, AmountUnit.LITRES),
                caution="unplug the heater",
                minutes=20,
            ),
            chore(
                "test",
                "Test the water",
                12,
                kind=ChoreKind.TEST,
                tests=("salinity", "nitrate"),
                late_days=3,
            ),
            chore("floss", "Swap the floss", 12, late_days=4),
            chore("look", "Look at the pump", None, rhythm=daily, tank="nook"),
            chore("lamp", "Wipe the lamp", 12, tank="nook"),
            chore(
                "fill",
                "Top off",
                12,
                kind=ChoreKind.TOP_OFF,
                tank="nook",
                amount=Amount(1.5, AmountUnit.LITRES),
            ),
            chore("meter", "Calibrate the refractometer", 12, tank=None),
        ),
    )
    return replace(house, **changes)  # type: ignore[arg-type]


@dataclass
class Hands:
    """A person at the window."""

    window: Window
    clock: FixedClock
    path: Path
    app: QApplication
    # The file that the other reader has open, by its number, since opening it takes a while.
    _reader: tuple[int, Desk] | None = None
    _is_closed: bool = False

    @property
    def frame(self) -> Frame:
        """What stands in the window."""
        assert self.window.frame is not None
        return self.window.frame

    def close(self) -> None:
        """Close the window, and let what is behind it come to its end as the program does."""
        # Whatever a test left half typed.
        self.window.shell.holds = None
        self.window.shell.close()
        self.window.worker.finish()
        self._put_away()
        self._is_closed = True

    @property
    def list(self):  # type: ignore[no-untyped-def]
        """The list of the round."""
        assert self.window.morning is not None
        return self.window.morning.page.list

    @property
    def why(self):  # type: ignore[no-untyped-def]
        """What the why panel tells, once it had its turn."""
        QApplication.processEvents()
        return self.frame.why.card

    @property
    def told(self) -> str:
        """What stands in the middle of the bottom line."""
        return self.frame.bottom._texts[1]

    def settle(self) -> None:
        """Let all that is under way come to its end, and what follows from it."""
        if self.window.morning is not None:
            self.window.morning.word_begun.wait_no_longer()
        self.window.worker.settle(self.app)
        while self.window.worker.is_busy or self.window.is_loading:
            self.window.worker.settle(self.app)
        # A form that grows asks its layout once more.
        self.app.processEvents()
        if self.app.activeWindow() is None:
            # What a window manager does when a form was closed.
            self.window.shell.activateWindow()
            self.app.processEvents()

    def press(self, *keys: str) -> None:
        """Press keys where the focus is, each after the other has been dealt with."""
        for key in keys:
            self.hit(key)
            self.settle()

    def hit(self, key: str) -> None:
        """Press one key and wait for nothing."""
        pressed = QKeySequence(key)[0]
        QTest.keyClick(self.focus(), pressed.key(), pressed.keyboardModifiers())

    def type(self, text: str) -> None:
        """Type a text where the focus is."""
        for sign in text:
            QTest.keyClick(self.focus(), sign)

    def paste(self, text: str) -> None:
        """Put a text into the field with the focus through the clipboard."""
        self.app.clipboard().setText(text)
        self.hit("Ctrl+A")
        self.hit("Ctrl+V")

    def focus(self) -> QWidget:
        """Return the widget that gets the keys."""
        here = QApplication.focusWidget() or self.app.activeWindow()
        assert here is not None, "no window is active"
        return here

    def form(self) -> Form:
        """Return the form that is open."""
        forms = [one for one in self.frame.findChildren(Form) if one.isVisible()]
        assert len(forms) == 1, f"{len(forms)} forms are open"
        return forms[0]

    def has_form(self) -> bool:
        """Tell whether a form is open."""
        return any(one.isVisible() for one in self.frame.findChildren(Form))

    def rows(self) -> list[ItemRow]:
        """Return the lines of work."""
        return self.list.item_rows()

    def row(self, chore_id: str) -> ItemRow:
        """Return the line of a chore."""
        return next(row for row in self.rows() if row.item.chore.id == chore_id)

    def state(self, chore_id: str) -> State:
        """Return the state in which a chore is shown."""
        return self.row(chore_id).item.state

    def go_to(self, chore_id: str) -> None:
        """Select the line of a chore."""
        self.list.setFocus()
        self.list.go_to(self.list.round_model.row_of(chore_id))

    def current(self) -> str:
        """Return the chore on which the keys act."""
        row = self.list.current_row()
        return "" if row is None else row.item.chore.id

    def selected(self) -> list[str]:
        """Return the selected chores from top to bottom."""
        return [row.item.chore.id for row in self.list.selected_rows()]

    def area(self, chore_id: str) -> QRect:
        """Return where a line stands in the list."""
        at = self.list.round_model.row_of(chore_id)
        return self.list.visualRect(self.list.round_model.index(at))

    def mark(self, chore_id: str) -> QPoint:
        """Return the middle of the mark of a line."""
        left = int(self.list.columns.left) + self.list.metrics.mark_row // 2
        return QPoint(left, self.area(chore_id).center().y())

    def click(
        self,
        at: QPoint,
        modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
    ) -> None:
        """Click in the list."""
        QTest.mouseClick(self.list.viewport(), Qt.MouseButton.LeftButton, modifier, at)

    def log(self) -> list[LoggedEntry]:
        """Return the logbook, newest first, as another reader of the file finds it."""
        at = self.path.stat().st_ino
        if self._reader is None or self._reader[0] != at:
            self._put_away()
            self._reader = at, open_desk(self.path, self.clock)
        with self._reader[1].store.reading() as reading:
            found = list(reading.entries(LogQuery()))
        if self._is_closed:
            self._put_away()
        return found

    def _put_away(self) -> None:
        """Close the file as the other reader has it open."""
        if self._reader is not None:
            self._reader[1].store.close()
            self._reader = None

    def sheet(self):  # type: ignore[no-untyped-def]
        """Return the round in words as it was read last."""
        session = self.window.session
        assert session is not None
        assert session.last is not None
        return session.last.sheet


_MADE: dict[object, bytes] = {}


def make(
    path: Path, household: Household, clock: FixedClock, entries: Sequence[Entry] = ()
) -> None:
    """Make a household in a file, with its logbook if it has one.

    The like of one that was made before is its copy, as restoring makes it.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    made_of = (household, tuple(entries), clock.now())
    if made_of not in _MADE:
        _make(path, household, clock, entries)
        _MADE[made_of] = path.read_bytes()
    elif path.exists():
        raise FileExistsError(path)
    else:
        path.write_bytes(_MADE[made_of])
        path.chmod(0o600)


def _make(path: Path, household: Household, clock: FixedClock, entries: Sequence[Entry]) -> None:
    if not entries:
        create(path, household, clock).close()
        return
    create(path, Household(household.name, household.zone), clock).close()
    desk = open_desk(path, clock)
    try:
        fill(desk, household, entries)
    finally:
        desk.store.close()


def doors(path: Path, clock: FixedClock, person: str | None = None) -> Doors:
    """Return doors to the file of a test."""

    def own() -> Opened:
        return Opened(open_desk(path, clock), person)

    return Doors(
        here=own,
        other=lambda other: Opened(open_desk(other, clock)),
        sample=own,
        begin=lambda _file, _watch: own(),
        read_file=lambda other: other.read_text(encoding="utf-8"),
        take_out=lambda _desk, other, tank, _watch: f"Exported {tank or 'all'} to {other.name}.",
    )


def a_window(
    path: Path, clock: FixedClock, person: str | None = None, *, is_still: bool = True
) -> Window:
    """Return a window that is not shown yet."""
    return Window(lambda: doors(path, clock, person), Looks(_icons, path.stem, is_still=is_still))


def _icons() -> Icons:
    return Icons(ICONS)
