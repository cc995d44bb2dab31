"""What holds for every test: a fixed place and look, no network, and nothing left behind."""

import faulthandler
import gc
import os
import shutil
import socket
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

# The zone stands before Qt is loaded, because Qt reads it once.
os.environ["TZ"] = "Europe/Berlin"
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
for name in ("LC_ALL", "LC_NUMERIC", "LC_TIME", "LANGUAGE"):
    os.environ.pop(name, None)
os.environ["LANG"] = "C.UTF-8"
if hasattr(time, "tzset"):
    time.tzset()

# The same examples in every run, so that a red test is red for everybody. A busy machine is
# no fault of the code, hence neither a deadline nor the check for slow drawing.
settings.register_profile(
    "repeatable",
    derandomize=True,
    deadline=None,
    max_examples=40,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))

FONTS = Path(__file__).resolve().parent.parent / "resources" / "fonts"


TRACES = pytest.StashKey[Path]()


@pytest.hookimpl(trylast=True)
def pytest_configure(config: pytest.Config) -> None:
    """Let a process that dies write down where it was, after pytest sent that among the dots."""
    given = getattr(config, "workerinput", {}).get("traces")
    if given is None:
        config.stash[TRACES] = Path(tempfile.mkdtemp(prefix="tankkeeper-traces-"))
    else:
        # It stays open as long as the process, which may need it in its last moment.
        faulthandler.enable(os.open(Path(given, str(os.getpid())), os.O_WRONLY | os.O_CREAT))


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node: Any) -> None:
    """Tell a process beside this one where to write it."""
    node.workerinput["traces"] = str(node.config.stash[TRACES])


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """Show at the end where a process died."""
    for trace in sorted(config.stash[TRACES].iterdir()):
        lines = trace.read_text(encoding="utf-8", errors="replace").splitlines()
        if lines:
            terminalreporter.section("where a process of the tests died")
            # The last line names every extension that was loaded, for half a page.
            for line in lines[:120]:
                terminalreporter.line(line[:200])


def pytest_unconfigure(config: pytest.Config) -> None:
    """Leave no traces behind."""
    folder = config.stash.get(TRACES, None)
    if folder is not None:
        shutil.rmtree(folder, ignore_errors=True)


def pytest_runtest_setup() -> None:
    """Keep Python from looking for garbage in the middle of a test, and in any of its threads.

    A collection that deletes a widget in the worker, or while something is painted, can end the
    process (the program itself collects between two events, see `tankkeeper.gui.collecting`).
    """
    gc.disable()


def pytest_runtest_logfinish() -> None:
    """Collect what the test left, once all that it opened is closed."""
    from tankkeeper.gui.collecting import collect_if_due

    collect_if_due()


def pytest_collection_finish() -> None:
    """Leave what was loaded, and the thousands of tests themselves, out of every collection."""
    gc.collect()
    gc.freeze()


class NetworkUsed(AssertionError):
    """A test tried to reach another machine."""


def _refuse(*_arguments: object, **_named: object) -> Any:
    raise NetworkUsed("a test may not use the network")


@pytest.fixture(scope="session", autouse=True)
def _no_network() -> Iterator[None]:
    """Refuses every connection that leaves the process by address; local sockets still work."""
    connect = socket.socket.connect

    def only_local(self: socket.socket, address: Any) -> None:
        if self.family in (socket.AF_INET, socket.AF_INET6):
            _refuse()
        connect(self, address)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", only_local)
        patch.setattr(socket.socket, "connect_ex", only_local)
        patch.setattr(socket, "getaddrinfo", _refuse)
        patch.setattr(socket, "create_connection", _refuse)
        yield


@pytest.fixture(autouse=True)
def _own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Points every folder that belongs to a person into the test's own folder."""
    home = tmp_path / "home"
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("USERPROFILE", str(home))
    for variable, folder in (
        ("XDG_DATA_HOME", "data"),
        ("XDG_CONFIG_HOME", "config"),
        ("XDG_CACHE_HOME", "cache"),
        ("XDG_STATE_HOME", "state"),
        ("XDG_RUNTIME_DIR", "run"),
    ):
        monkeypatch.setenv(variable, str(home / folder))
    (home / "run").mkdir(parents=True, mode=0o700)


@pytest.fixture(scope="session")
def qapp(qapp: Any) -> Any:
    """The one application, with the bundled font and a fixed locale, style and set of effects."""
    from PySide6.QtCore import QLocale, Qt
    from PySide6.QtGui import QFont, QFontDatabase

    families = [_family(QFontDatabase.addApplicationFont(str(f))) for f in FONTS.glob("*.otf")]
    assert "Inter" in families, f"the bundled font is missing from {FONTS}"
    font = QFont("Inter")
    font.setPixelSize(14)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    qapp.setStyle("Fusion")
    qapp.setFont(font)
    qapp.setCursorFlashTime(0)
    for effect in (
        Qt.UIEffect.UI_AnimateCombo,
        Qt.UIEffect.UI_AnimateMenu,
        Qt.UIEffect.UI_AnimateTooltip,
        Qt.UIEffect.UI_FadeMenu,
        Qt.UIEffect.UI_FadeTooltip,
    ):
        qapp.setEffectEnabled(effect, False)
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    return qapp


def _family(font_id: int) -> str:
    from PySide6.QtGui import QFontDatabase

    names = QFontDatabase.applicationFontFamilies(font_id)
    return names[0] if names else ""


@pytest.fixture(autouse=True)
def _nothing_left_behind(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fails a test after which a thread still runs or a window's timer still ticks."""
    before = set(threading.enumerate())
    uses_qt = "qapp" in request.fixturenames
    started = _record_qt_threads(request) if uses_qt else []
    yield
    left = _qt_leftovers(started) if uses_qt else []
    for thread in set(threading.enumerate()) - before:
        thread.join(timeout=2)
        if thread.is_alive():
            left.append(f"thread {thread.name}")
    if left:
        pytest.fail("left behind: " + ", ".join(left), pytrace=False)


def _record_qt_threads(request: pytest.FixtureRequest) -> list[Any]:
    from PySide6.QtCore import QThread

    started: list[Any] = []
    start = QThread.start

    def recording_start(self: Any, *arguments: Any) -> None:
        started.append(self)
        start(self, *arguments)

    patch = pytest.MonkeyPatch()
    patch.setattr(QThread, "start", recording_start)
    request.addfinalizer(patch.undo)
    return started


def _qt_leftovers(started: list[Any]) -> list[str]:
    from PySide6.QtCore import QCoreApplication, QEvent, QThreadPool, QTimer
    from PySide6.QtWidgets import QApplication
    from shiboken6 import isValid

    left = []
    if not QThreadPool.globalInstance().waitForDone(2000):
        left.append("work in the thread pool")
    # Windows that the test closed are gone only after their deferred deletion.
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    left += [f"running {thread!r}" for thread in started if isValid(thread) and thread.isRunning()]
    for window in QApplication.topLevelWidgets():
        for timer in window.findChildren(QTimer):
            if timer.isActive():
                left.append(f"ticking {timer.objectName() or 'timer'} of {type(window).__name__}")
                timer.stop()  # so that the next test is not blamed for it
    return left


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave out what measures time, unless it is asked for: a busy machine is no fault.

    What takes long begins first, so that no process is left with it when the others are done.
    """
    items.sort(key=lambda item: item.get_closest_marker("slow") is None)
    if os.environ.get("TANKKEEPER_BENCHMARKS"):
        return
    for item in items:
        if item.get_closest_marker("benchmark"):
            item.add_marker(pytest.mark.skip(reason="measures time; set TANKKEEPER_BENCHMARKS=1"))
