"""What the tests of the window share: a palette and a base font that are put back."""

import os
from collections.abc import Callable, Iterator
from datetime import datetime
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.gui import word_begun
from tankkeeper.gui.palette import Scheme, qt_palette
from tankkeeper.gui.typography import base_font
from tests.gui import round_house
from tests.gui.first_house import empty_window, hands_at
from tests.gui.reminded import Reminded
from tests.gui.round_house import Hands

Wear = Callable[[Scheme, int], None]
LiveIn = Callable[..., Hands]
Remind = Callable[..., Reminded]
Begin = Callable[..., Hands]
BRITISH = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)


@pytest.fixture
def wear(qapp: QApplication) -> Iterator[Wear]:
    """A function that puts the application into a scheme and a size of type in per cent."""
    font, palette = qapp.font(), qapp.palette()

    def put_on(scheme: Scheme, percent: int) -> None:
        qapp.setPalette(qt_palette(scheme))
        qapp.setFont(base_font(font, percent))
        # Qt posts the change to the widgets that are shown already.
        qapp.processEvents()

    yield put_on
    qapp.setFont(font)
    qapp.setPalette(palette)


@pytest.fixture(autouse=True)
def _windows_outlive_their_last_paint(
    request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> Iterator[None]:
    """Holds every window of a test until it was closed.

    qtbot keeps only a weak reference. A window that a test leaves unreferenced is garbage while
    it is still shown, and a collection of garbage in the middle of its paint event ends the run
    with a segmentation fault (seen with PySide6 6.11.3).
    """
    kept: list[QWidget] = []
    if "qtbot" in request.fixturenames:
        qtbot = request.getfixturevalue("qtbot")
        add_widget = qtbot.addWidget

        def add_and_keep(widget: QWidget, **named: Any) -> None:
            kept.append(widget)
            add_widget(widget, **named)

        monkeypatch.setattr(qtbot, "addWidget", add_and_keep)
    yield
    kept.clear()


@pytest.fixture(autouse=True)
def _keys_come_slowly(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no two letters that a test presses be a word, however fast it presses them.

    A test of words takes the time itself.
    """
    minutes = count()
    monkeypatch.setattr(word_begun, "pressed_at", lambda _event: 60.0 * next(minutes))


class Painting:
    """Lets windows be painted no more while a test uses them, and once when it is over.

    Painting after each key was a quarter of what the tests of the window took. A test that looks
    at what is painted is marked with `painted`.
    """

    def __init__(self, is_wanted: bool) -> None:
        self._is_wanted = is_wanted

    def rest(self, hands: Hands) -> None:
        """Paint the window no more."""
        if not self._is_wanted:
            hands.window.shell.setUpdatesEnabled(False)

    def last(self, hands: Hands) -> None:
        """Paint the window as the test leaves it."""
        hands.window.shell.setUpdatesEnabled(True)
        hands.app.processEvents()


@pytest.fixture
def painting(request: pytest.FixtureRequest) -> Painting:
    """When the windows of this test are painted."""
    is_marked = request.node.get_closest_marker("painted") is not None
    return Painting(is_marked or bool(os.environ.get("TANKKEEPER_PAINT")))


@pytest.fixture
def live_in(
    qtbot: Any,
    qapp: QApplication,
    tmp_path: Path,
    wear: Wear,
    painting: Painting,
) -> Iterator[LiveIn]:
    """A function that opens the window on a household of the test, and gives hands at its keys."""
    opened: list[Hands] = []

    def open_window(
        household: Household | None = None,
        size: tuple[int, int] = (1280, 800),
        person: str | None = None,
        is_there: bool = False,
        name: str = "quay",
        entries: tuple[Entry, ...] = (),
        now: datetime = round_house.SEVEN,
        is_still: bool = True,
    ) -> Hands:
        clock = FixedClock(now)
        path = tmp_path / f"{name}.tankkeeper"
        if not is_there:
            round_house.make(path, household or round_house.small_house(), clock, entries)
        window = round_house.a_window(path, clock, person, is_still=is_still)
        qtbot.addWidget(window.shell)
        window.shell.resize(*size)
        with qtbot.waitSignal(window.ready, timeout=20_000):
            window.show()
        hands = Hands(window, clock, path, qapp)
        painting.rest(hands)
        opened.append(hands)
        window.shell.activateWindow()
        qtbot.waitUntil(window.shell.isActiveWindow)
        hands.settle()
        return hands

    wear(Scheme.LIGHT, 100)
    yield open_window
    for hands in opened:
        painting.last(hands)
        hands.close()
        hands.window.worker.finish()
        hands.window.deleteLater()


@pytest.fixture
def remind(live_in: LiveIn) -> Iterator[Remind]:
    """A function that opens the window with reminders.

    An icon in the tray keeps the application alive without a window; the next test begins without.
    """

    def open_window(
        household: Household | None = None, is_there: bool = False, **more: object
    ) -> Reminded:
        now = more.pop("now", None)
        named = {"is_there": is_there, "entries": more.pop("entries", ())}
        named |= {} if now is None else {"now": now}
        return Reminded(live_in(household, **named), **more)  # type: ignore[arg-type]

    ends_with_its_window = QApplication.quitOnLastWindowClosed()
    yield open_window
    QApplication.setQuitOnLastWindowClosed(ends_with_its_window)


@pytest.fixture
def begin(  # type: ignore[no-untyped-def]
    qtbot,
    qapp: QApplication,
    tmp_path: Path,
    wear: Wear,
    painting: Painting,
) -> Iterator[Begin]:
    """A function that starts the program where there is no household, in a locale."""
    before, opened = QLocale(), []

    def start(
        locale: QLocale = BRITISH, size: tuple[int, int] = (1280, 800), sign: str = "."
    ) -> Hands:
        QLocale.setDefault(locale)
        path = tmp_path / "home" / "household.tankkeeper"
        window = empty_window(path, decimal_sign=sign)
        qtbot.addWidget(window.shell)
        window.shell.resize(*size)
        with qtbot.waitSignal(window.ready, timeout=20_000):
            window.show()
        window.shell.activateWindow()
        qtbot.waitUntil(window.shell.isActiveWindow)
        hands = hands_at(window, path, qapp)
        painting.rest(hands)
        opened.append(hands)
        hands.settle()
        return hands

    wear(Scheme.LIGHT, 100)
    yield start
    for hands in opened:
        painting.last(hands)
        hands.close()
        hands.window.worker.finish()
        hands.window.deleteLater()
    QLocale.setDefault(before)
