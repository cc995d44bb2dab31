"""The test run's own promises: no network, a home of its own, leaks are caught."""

import os
import socket
import time
from datetime import datetime
from pathlib import Path

import pytest

LEAKS = """
import threading
import pytest

def test_that_leaves_a_thread_behind():
    threading.Thread(target=threading.Event().wait, daemon=True, name="forgotten").start()

def test_that_leaves_a_running_qthread_behind(qapp):
    from PySide6.QtCore import QThread
    qapp.forgotten_thread = QThread()
    qapp.forgotten_thread.start()

def test_that_leaves_a_ticking_timer_behind(qapp):
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QWidget
    qapp.forgotten_window = QWidget()
    timer = QTimer(qapp.forgotten_window)
    timer.start(1000)

def test_that_cleans_up(qtbot):
    from PySide6.QtCore import QThread, QTimer
    from PySide6.QtWidgets import QWidget
    window = QWidget()
    qtbot.addWidget(window)
    QTimer(window).start(1000)
    thread = QThread()
    thread.start()
    thread.quit()
    assert thread.wait(2000)

@pytest.fixture(scope="session", autouse=True)
def end_the_thread():
    yield
    from PySide6.QtWidgets import QApplication
    thread = getattr(QApplication.instance(), "forgotten_thread", None)
    if thread is not None:
        thread.quit()
        thread.wait(2000)
"""


def test_a_connection_to_another_machine_is_refused() -> None:
    """No test may depend on the network."""
    with socket.socket() as connection, pytest.raises(AssertionError, match="network"):
        connection.connect(("192.0.2.1", 9))  # TEST-NET-1 of RFC 5737: nobody's address


def test_every_folder_of_a_person_lies_in_the_tests_own_folder(tmp_path: Path) -> None:
    """A test can neither read nor spoil what belongs to whoever runs it."""
    from tankkeeper.app import paths

    folders = [paths.data_dir(), paths.config_dir(), paths.cache_dir(), Path.home()]

    assert all(folder.is_relative_to(tmp_path) for folder in folders)
    assert paths.user_data_file().name == "household.tankkeeper"


def test_the_local_zone_is_the_same_on_every_machine() -> None:
    """Local time in tests is that of one fixed zone with summer time."""
    summer = datetime(2026, 7, 1, 12).astimezone()

    assert os.environ["TZ"] == "Europe/Berlin"
    assert summer.utcoffset() is not None
    assert time.tzname == ("CET", "CEST")


def test_the_bundled_font_is_the_one_that_is_drawn(qapp: object) -> None:
    """Pictures look the same everywhere: Inter, three weights, digits of equal width."""
    from PySide6.QtGui import QFont, QFontDatabase, QFontInfo, QFontMetricsF
    from PySide6.QtWidgets import QApplication

    font = QApplication.font()
    tabular = QFont(font)
    tabular.setFeature(QFont.Tag("tnum"), 1)
    metrics = QFontMetricsF(tabular)

    assert QFontInfo(font).family() == "Inter"
    assert font.pixelSize() == 14
    assert {"Regular", "Medium", "Semi Bold"} <= set(QFontDatabase.styles("Inter"))
    assert metrics.horizontalAdvance("1111") == metrics.horizontalAdvance("8888")


def test_a_test_that_leaves_something_running_fails(pytester: pytest.Pytester) -> None:
    """Threads and timers that outlive their test are reported, tidy tests are not."""
    conftest = Path(__file__).resolve().parent.parent / "conftest.py"
    fonts = Path(__file__).resolve().parent.parent.parent / "resources" / "fonts"
    source = conftest.read_text(encoding="utf-8")
    fixed = 'FONTS = Path(__file__).resolve().parent.parent / "resources" / "fonts"'
    assert fixed in source
    pytester.makeconftest(source.replace(fixed, f"FONTS = Path({str(fonts)!r})"))
    pytester.makepyfile(LEAKS)

    result = pytester.runpytest_subprocess("-p", "no:randomly", "-p", "no:cacheprovider")

    result.assert_outcomes(passed=4, errors=3)
    result.stdout.fnmatch_lines(
        [
            "*left behind: thread forgotten*",
            "*left behind: running*QThread*",
            "*left behind: ticking timer of QWidget*",
        ]
    )
