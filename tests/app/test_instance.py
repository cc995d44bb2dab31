"""One window for each household: told who has it, raised by a second start, never in the way."""

from __future__ import annotations

import gc
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from tankkeeper.app import instance, window
from tankkeeper.app.instance import SHOW, HouseLock, hand_over, lock_file, server_name
from tankkeeper.app.listening import Listening, raising
from tankkeeper.app.wanted import Wanted
from tankkeeper.app.window_state import WindowMemory, state_file

ROOT = Path(__file__).resolve().parents[2]

HOLD = """
import sys
from pathlib import Path
from tankkeeper.app.instance import HouseLock
lock = HouseLock()
print(lock.take(Path(sys.argv[1])), flush=True)
sys.stdin.read()
"""
SAY = """
import sys
from pathlib import Path
from PySide6.QtCore import QCoreApplication
from tankkeeper.app.instance import HouseLock, hand_over
app = QCoreApplication([])
wish = {"say": "show", "words": ["round"]}
print(hand_over(Path(sys.argv[1]), wish, HouseLock(), 10_000))
"""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    where = tmp_path / "quay.tankkeeper"
    where.write_bytes(b"only its name matters here")
    return where


@contextmanager
def held_elsewhere(where: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that has the household open, until the block ends."""
    child = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(where)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with child:
        assert child.stdout is not None
        assert child.stdout.readline() == "None\n"
        yield child
        child.kill()


@pytest.fixture
def listening(qapp: Any) -> Iterator[Listening]:
    made = Listening()
    yield made
    made.stop()
    made.deleteLater()


def test_a_household_is_marked_as_open_and_unmarked(house: Path) -> None:
    """The mark lies beside it and goes with the window."""
    lock = HouseLock()

    assert lock.take(house) is None
    assert lock.is_ours
    assert lock_file(house).exists()
    lock.release()
    assert not lock_file(house).exists()


def test_opening_another_household_gives_the_first_one_up(house: Path, tmp_path: Path) -> None:
    """A window has one household open."""
    other = tmp_path / "other.tankkeeper"
    other.write_bytes(b"")
    lock = HouseLock()
    lock.take(house)

    lock.take(other)

    assert not lock_file(house).exists()
    assert lock_file(other).exists()
    lock.release()


def test_who_has_it_open_is_told_with_process_and_host(house: Path) -> None:
    """The number is the process that holds it, the name that of the machine."""
    with held_elsewhere(house) as child:
        lock = HouseLock()

        holder = lock.take(house)

        assert holder is not None
        assert holder.process == child.pid
        assert holder.host == socket.gethostname()
        assert str(child.pid) in holder.sentence
        assert not lock.is_ours


def test_what_a_killed_process_left_is_in_nobodys_way(house: Path) -> None:
    """After SIGKILL the file is still there, and the next start has the household at once."""
    with held_elsewhere(house) as child:
        child.send_signal(signal.SIGKILL)
        child.wait()
        assert lock_file(house).exists()
        assert not hand_over(house, {"say": SHOW}, HouseLock())
        lock = HouseLock()

        assert lock.take(house) is None
        assert lock.is_ours
        lock.release()


def test_a_household_that_is_not_there_yet_gets_no_mark(tmp_path: Path) -> None:
    """A start makes no file of its own accord."""
    lock = HouseLock()

    assert lock.take(tmp_path / "none.tankkeeper") is None
    assert list(tmp_path.glob("none*")) == []


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_folder_nobody_can_write_in_is_no_reason_to_refuse(house: Path) -> None:
    """The mark is a courtesy; the household opens without it."""
    house.parent.chmod(0o555)
    try:
        assert HouseLock().take(house) is None
    finally:
        house.parent.chmod(0o755)


def test_the_name_is_of_the_file_however_it_is_written(house: Path, tmp_path: Path) -> None:
    """A link and a detour lead to the same window, another file to another."""
    link = tmp_path / "link.tankkeeper"
    link.symlink_to(house)

    assert server_name(link) == server_name(house)
    assert server_name(tmp_path / "home" / ".." / house.name) == server_name(house)
    assert server_name(tmp_path / "other.tankkeeper") != server_name(house)


def test_a_second_start_is_heard_by_the_first_and_ends(
    house: Path, listening: Listening, qtbot: Any
) -> None:
    """Another process hands over what it was asked for, and learns that it was heard."""
    lock = HouseLock()
    lock.take(house)
    assert listening.listen(house)
    child = subprocess.Popen(
        [sys.executable, "-c", SAY, str(house)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    with qtbot.waitSignal(listening.asked, timeout=20_000) as heard:
        pass
    # The window lives on, and so tells that it is there.
    qtbot.waitUntil(lambda: child.poll() is not None, timeout=20_000)
    said, _ = child.communicate(timeout=120)
    lock.release()

    assert heard.args == [{"say": "show", "words": ["round"]}]
    assert said == "True\n"


def test_a_window_that_ends_right_after_it_was_asked_is_no_answer(
    house: Path, listening: Listening, qtbot: Any
) -> None:
    """The key that ends it was pressed before: the second start waits for the household instead."""
    lock = HouseLock()
    lock.take(house)
    assert listening.listen(house)
    child = subprocess.Popen(
        [sys.executable, "-c", SAY, str(house)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    with qtbot.waitSignal(listening.asked, timeout=20_000):
        pass

    listening.stop()
    # It backs the household up before it lets go.
    qtbot.wait(300)
    assert child.poll() is None
    lock.release()
    said, _ = child.communicate(timeout=120)

    assert said == "False\n"


def test_who_called_a_window_that_ends_is_let_go_without_a_word(
    house: Path, listening: Listening
) -> None:
    """One that was too busy to read the line before it ended has not answered it."""
    from PySide6.QtNetwork import QLocalSocket

    listening.listen(house)
    caller = QLocalSocket()
    caller.connectToServer(server_name(house))
    assert caller.waitForConnected(5000)
    caller.write(b'{"say": "show"}\n')
    caller.flush()

    listening.stop()

    assert not caller.waitForReadyRead(5000)
    assert caller.state() is QLocalSocket.LocalSocketState.UnconnectedState
    assert caller.readAll().isEmpty()
    caller.deleteLater()


@pytest.mark.parametrize("other", ["user", "computer"])
def test_nobody_waits_for_a_window_of_another_user_or_computer(
    other: str, house: Path, qapp: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It cannot be asked, and may stand open for days; an hour of patience is not used up."""
    if other == "user":
        monkeypatch.setattr(os, "getuid", lambda: house.stat().st_uid + 1)
    else:
        monkeypatch.setattr(instance.QSysInfo, "machineHostName", lambda: "another computer")
    with held_elsewhere(house):
        assert not hand_over(house, {"say": SHOW}, HouseLock(), wait_ms=3_600_000)


def test_a_second_start_raises_the_window_on_what_was_open_last(
    house: Path, tmp_path: Path, qapp: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It asks there and not at the usual place, unless a household was named."""
    asked: list[Path] = []

    def hears(where: Path, _message: object, _lock: HouseLock) -> bool:
        asked.append(where)
        return True

    monkeypatch.setattr(window, "hand_over", hears)
    usual = tmp_path / "household.tankkeeper"
    wanted = Wanted(lambda: usual, lambda: None, "household", usual, is_usual=True)
    WindowMemory(state_file()).keep_last(house)
    is_collecting = gc.isenabled()
    try:
        assert window.run(wanted) == 0
        assert window.run(wanted._replace(is_usual=False)) == 0
    finally:
        if is_collecting:
            gc.enable()

    assert asked == [house, usual]


def test_of_two_starts_at_the_same_moment_one_is_the_first(house: Path, qapp: Any) -> None:
    """The household is marked before anything of it is read, and stays so until it is open."""
    first, second = HouseLock(), HouseLock()

    assert not hand_over(house, {"say": SHOW}, first)
    taken = second.take(house)

    assert taken is not None
    assert taken.process == os.getpid()
    assert first.take(house) is None
    first.release()
    assert second.take(house) is None
    second.release()


def test_a_first_start_that_does_not_answer_holds_nobody_up_for_long(
    house: Path, qapp: Any
) -> None:
    """It has the household but listens to nobody: after the wait the second start goes on."""
    with held_elsewhere(house):
        assert not hand_over(house, {"say": SHOW}, HouseLock(), wait_ms=1)


def test_a_first_start_that_closes_meanwhile_is_waited_for_no_longer(
    house: Path, qapp: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between two tries the household came free; an hour of patience is not used up."""
    with held_elsewhere(house) as child:

        def tried(*_arguments: object) -> bool:
            child.kill()
            child.wait()
            return False

        monkeypatch.setattr(instance, "_told", tried)

        assert not hand_over(house, {"say": SHOW}, HouseLock(), wait_ms=3_600_000)


def test_a_socket_that_a_killed_process_left_is_used_again(
    house: Path, listening: Listening
) -> None:
    """It is removed once nobody answered on it; where somebody answers it is left alone."""
    from PySide6.QtCore import QDir

    dead = Path(QDir.tempPath()) / server_name(house)
    left = socket.socket(socket.AF_UNIX)
    left.bind(str(dead))
    left.close()
    assert dead.exists()

    assert listening.listen(house)

    second = Listening()
    assert not second.listen(house)
    second.deleteLater()
    listening.stop()
    assert not dead.exists()


@pytest.mark.parametrize("line", [b"not json\n", b"[1]\n", b"\xff\xfe\n", b"x" * 70_000])
def test_a_message_that_is_none_is_left_alone(
    line: bytes, house: Path, listening: Listening, qtbot: Any
) -> None:
    """Whatever else connects changes nothing, and the next message is heard."""
    from PySide6.QtNetwork import QLocalSocket

    heard: list[object] = []
    listening.asked.connect(heard.append)
    listening.listen(house)
    for said in (line, b'{"say": "show"}\n'):
        caller = QLocalSocket()
        caller.connectToServer(server_name(house))
        with qtbot.waitSignal(caller.disconnected, timeout=20_000):
            caller.write(said)
            caller.flush()
        caller.deleteLater()

    assert heard == [{"say": "show"}]


def test_asked_to_show_the_window_comes_to_the_front(qtbot: Any) -> None:
    """A minimized window is shown again; what is not known changes nothing."""
    window = QWidget()
    qtbot.addWidget(window)
    answer: Callable[[dict[str, object]], None] = raising(window)

    answer({"say": "something else"})
    assert not window.isVisible()
    window.showMinimized()
    answer({"say": SHOW})

    assert window.isVisible()
    assert not window.isMinimized()


def test_nothing_of_the_network_is_loaded_by_a_start_that_is_alone() -> None:
    """The library of the sockets loads after the round, or where a household is open already."""
    child = (
        "import sys; from pathlib import Path; import tankkeeper.app.window; "
        "from tankkeeper.app.instance import HouseLock, hand_over; "
        "hand_over(Path('nowhere'), {}, HouseLock()); "
        "print('PySide6.QtNetwork' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", child], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert done.stdout.strip() == "False"
    assert issubclass(Listening, QObject)
