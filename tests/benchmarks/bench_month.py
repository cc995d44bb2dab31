"""How long a month takes from the key until it is painted, and the painting against bare text.

Run: python tests/benchmarks/bench_month.py [--household FILE] [--tanks N] [--years N]. Prints one
JSON document. The household is invented: 12 tanks with 250 chores and ten years of log in a file,
made first if none is given (that takes minutes; FILE is kept for the next time). The window is
offscreen at 1440 x 900. A month change is timed from the key press to the end of the paint that
shows the new month. "warm" is at the pace of a person who looks at each month: the worker has read
the neighbours of the month meanwhile. "held" is a key held down: the next press comes as soon as
the month is painted, so the worker's reading of the log and all wording lie between. The yardstick
of the painting is a QPainter that draws the same texts and marks at the same places into an image
of the same size, prepared beforehand: fonts, colours and pictures of the marks at hand.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import platform
import statistics
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from time import perf_counter

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from PySide6.QtCore import QEventLoop, QObject, QPointF, Qt
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.household import Household
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.widgets.month_table import MonthTable
from tankkeeper.gui.window import Window
from tests.benchmarks.bench_state import NOW, invented
from tests.gui import pictures, round_house

CHANGE_GOAL_MS, PAINT_GOAL = 33.0, 1.7
CHORES = 250
WARM_UP, ROUNDS = 6, 40


class _Painted(QObject):
    """Notes when the month was painted, and which month it was."""

    def __init__(self, table: MonthTable) -> None:
        super().__init__(table)
        self._paint = table.paintEvent
        self._table = table
        self.at = 0.0
        self.month: object = None
        self.took_ms: list[float] = []
        table.paintEvent = self._painted  # type: ignore[method-assign]

    def _painted(self, event: object) -> None:
        start = perf_counter()
        self._paint(event)  # type: ignore[arg-type]
        self.at = perf_counter()
        self.took_ms.append((self.at - start) * 1000)
        self.month = self._table.sheet.month if self._table.sheet is not None else None


def write_household(path: Path, tanks: int, years: int) -> None:
    """Write the invented household with 250 chores and its log into a file."""
    household, entries = invented(tanks, years)
    kept = trimmed_to(household, CHORES)
    known = {chore.id for chore in kept.chores}
    log = [one for one in entries if all(turn.chore in known for turn in one.completes)]
    log = [
        one
        for one in log
        if getattr(one.fact, "turn", None) is None or one.fact.turn.chore in known
    ]
    round_house.make(path, kept, FixedClock(NOW), log)


def trimmed_to(household: Household, count: int) -> Household:
    """Return the household with so many chores, spread over its tanks as before."""
    chores = household.chores
    step = len(chores) / count if len(chores) > count else 1.0
    kept = {int(at * step) for at in range(min(count, len(chores)))}
    return replace(household, chores=tuple(one for at, one in enumerate(chores) if at in kept))


def open_window(path: Path, app: QApplication) -> Window:
    """Return the window with the month of today shown."""
    window = round_house.a_window(path, FixedClock(NOW))
    window.shell.resize(1440, 900)
    window.show()
    window.shell.activateWindow()
    while window.session is None or window.session.last is None:
        app.processEvents()
    hands = round_house.Hands(window, FixedClock(NOW), path, app)
    hands.settle()
    hands.press("Ctrl+2")
    # As app.window does once the window stands: what was loaded for good is collected no more.
    gc.collect()
    gc.freeze()
    return window


def month_changes(
    window: Window, table: MonthTable, painted: _Painted, app: QApplication, *, is_held: bool
) -> list[float]:
    """Return the milliseconds from the key to the painted month, years back and forth."""
    took = []
    assert window.morning is not None
    calendar = window.morning.calendar
    assert calendar is not None
    for number in range(WARM_UP + ROUNDS):
        key = Qt.Key.Key_PageUp if number % 40 < 30 else Qt.Key.Key_PageDown
        while calendar.is_reading and not is_held:
            app.processEvents()
        app.processEvents()
        before = painted.month
        start = perf_counter()
        QTest.keyClick(table, key)
        while painted.month == before:
            app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        if number >= WARM_UP:
            took.append((painted.at - start) * 1000)
    return took


def go_home(window: Window, table: MonthTable, app: QApplication) -> None:
    """Show the month of today again."""
    QTest.keyClick(table, Qt.Key.Key_Home)
    while window.worker.is_busy or table.sheet is None or table.sheet.week_of_today < 0:
        app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    app.processEvents()


def bare_painting_ms(table: MonthTable) -> float:
    """Return the milliseconds in which bare QPainter draws the same texts and marks."""
    orders = drawn_of(table)
    image = QImage(table.viewport().size(), QImage.Format.Format_RGB32)
    times = []
    for _ in range(30):
        start = perf_counter()
        image.fill(orders.surface)
        painter = QPainter(image)
        for font, colour, at, text in orders.texts:
            painter.setFont(font)
            painter.setPen(colour)
            painter.drawText(at, text)
        for at, picture in orders.pictures:
            painter.drawPixmap(at, picture)
        painter.end()
        times.append((perf_counter() - start) * 1000)
    return statistics.median(times)


class Orders:
    """Texts with font, colour and place, and pictures with their places."""

    def __init__(self) -> None:
        self.texts: list[tuple[QFont, object, QPointF, str]] = []
        self.pictures: list[tuple[QPointF, object]] = []
        self.surface: object = None


def drawn_of(table: MonthTable) -> Orders:
    """Return what the month draws, as orders for a bare painter."""
    orders, colours = Orders(), colours_of(table.palette())
    orders.surface = colours[Role.SURFACE]
    style = table.styled()
    sheet = table.sheet
    assert sheet is not None
    for row, week in enumerate(sheet.weeks):
        for column, cell in enumerate(week):
            area = table.visualRect(table.model().index(row, column))
            drawn = table.drawn(row, column)
            left, top = area.left(), area.top()
            ink = colours[Role.INK]
            head = QPointF(left + 8, top + drawn.number_y)
            orders.texts.append((style.strong, ink, head, drawn.number))
            if drawn.minutes:
                at = QPointF(left + drawn.minutes_x, top + drawn.minutes_y)
                orders.texts.append((style.plain, ink, at, drawn.minutes))
            for line in drawn.lines:
                y = top + line.y
                if line.first:
                    x = left + line.x + (14 if line.mark is not None else 0)
                    orders.texts.append((style.medium, ink, QPointF(x, y), line.first))
                if line.mark is not None:
                    size = style.metrics.mark_cell
                    picture = table._painter.marks.pixmap(line.mark, size, colours, 1.0)
                    orders.pictures.append((QPointF(left + line.x, y - size), picture))
                    at = QPointF(left + line.second_x, y + style.line * (line.rows - 1))
                    orders.texts.append((style.plain, ink, at, line.second))
            assert cell is not None
    return orders


def measured(path: Path, app: QApplication) -> dict[str, object]:
    """Return the figures of one run."""
    window = open_window(path, app)
    try:
        assert window.morning is not None
        calendar = window.morning.calendar
        assert calendar is not None
        table = calendar.page.month.table
        painted = _Painted(table)
        table.viewport().repaint()
        changes = month_changes(window, table, painted, app, is_held=False)
        go_home(window, table, app)
        held = month_changes(window, table, painted, app, is_held=True)
        # Painted is the month of today, the fullest one.
        go_home(window, table, app)
        # The yardstick has the machine for itself; so has the painting: nothing is read beside it.
        while window.worker.is_busy or calendar.is_reading:
            app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        painted.took_ms.clear()
        for _ in range(30):
            table.viewport().repaint()
        painting = statistics.median(painted.took_ms)
        bare = bare_painting_ms(table)
        assert window.session is not None
        household = window.session.household
        assert household is not None
        return {
            "tanks": len(household.tanks),
            "chores": len(household.chores),
            "warm_change_ms_median": round(statistics.median(changes), 1),
            "warm_change_ms_worst": round(max(changes), 1),
            "held_change_ms_median": round(statistics.median(held), 1),
            "held_change_ms_worst": round(max(held), 1),
            "change_goal_ms": CHANGE_GOAL_MS,
            "painting_ms": round(painting, 2),
            "bare_painting_ms": round(bare, 2),
            "painting_ratio": round(painting / bare, 2),
            "painting_goal": PAINT_GOAL,
        }
    finally:
        window.shell.close()
        window.worker.finish()


def main() -> int:
    """Print the figures; 1 when a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--household", type=Path, default=None)
    parser.add_argument("--tanks", type=int, default=12)
    parser.add_argument("--years", type=int, default=10)
    given = parser.parse_args()
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    pictures.dress(app)
    with tempfile.TemporaryDirectory() as folder:
        path = given.household or Path(folder) / "bench.tankkeeper"
        if not path.exists():
            write_household(path, given.tanks, given.years)
        figures = measured(path, app)
    figures |= {"years": given.years, "python": platform.python_version()}
    print(json.dumps(figures, indent=2))
    is_met = (
        float(str(figures["warm_change_ms_median"])) <= CHANGE_GOAL_MS
        and float(str(figures["painting_ratio"])) <= PAINT_GOAL
    )
    return 0 if is_met else 1


if __name__ == "__main__":
    sys.exit(main())
