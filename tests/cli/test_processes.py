"""The program as processes of its own: what is loaded, killed, doubled, cut off."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from tests.cli.harbour import NOW, Type

ROOT = Path(__file__).resolve().parents[2]
HEAVY = ("PySide6", "shiboken6", "alembic", "apscheduler", "tomlkit", "numpy")

pytestmark = pytest.mark.slow


def command(house: Path, *words: str, now: str = NOW) -> list[str]:
    """Return the command line that starts the program on a household."""
    where = ("--household", str(house), "--now", now)
    return [sys.executable, "-m", "tankkeeper", *where, *words]


def start(house: Path, *words: str) -> subprocess.Popen[str]:
    """Start the program."""
    return subprocess.Popen(
        command(house, *words),
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_a_round_loads_nothing_heavy(house: Path) -> None:
    """The window's library, the migrations, the timer and arrays are not needed for a round."""
    script = (
        "import sys; from tankkeeper.app.main import main; status = main(sys.argv[1:]);"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr);"
        "sys.exit(status)"
    )
    words = command(house, "round")[3:]
    done = subprocess.run(
        [sys.executable, "-c", script, *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr.strip()) == (0, "[]")


def test_nothing_acknowledged_is_lost_when_the_writer_is_killed(
    house: Path, at_house: Type
) -> None:
    """10 times the writing process is killed at some moment; each id it printed is in the logbook.

    An id is printed after its commit has returned, so whoever reads it may rely on it.
    """
    chance, told = Random(20), []
    for _ in range(10):
        with start(house, "soak", "--writes", "100000") as writer:
            assert writer.stdout is not None
            told += [writer.stdout.readline().strip() for _ in range(chance.randint(1, 8))]
            try:
                writer.wait(chance.random() / 50)
            except subprocess.TimeoutExpired:
                writer.kill()
            left, complaint = writer.communicate()
            whole_lines = left.rpartition("\n")[0].split()
            told += whole_lines
        assert writer.returncode == -signal.SIGKILL, complaint
    kept = {entry["id"] for entry in at_house("logbook", "--json").document["entries"]}
    assert len(told) > 20
    assert len(set(told)) == len(told)
    assert set(told) <= kept
    assert at_house("check").status == 0
    assert at_house("round").status == 0


def test_two_processes_ticking_one_item_give_one_completion(house: Path, at_house: Type) -> None:
    """Both end well; one of them says that it was done already."""
    before = len(at_house("logbook", "--json").document["entries"])
    item = next(
        one["id"]
        for one in at_house("round", "--json").document["items"]
        if one["chore"] == "nook.wipe-the-glass"
    )
    both = [start(house, "tick", item) for _ in range(2)]
    said = [one.communicate() for one in both]
    assert [one.returncode for one in both] == [0, 0], said
    assert sum("done already" in out for out, _ in said) == 1
    assert len(at_house("logbook", "--json").document["entries"]) == before + 1


def test_a_reader_that_leaves_early_is_no_failure(house: Path) -> None:
    """`tankkeeper logbook | head -1` ends quietly."""
    process = start(house, "logbook", "--json")
    assert process.stdout is not None
    assert process.stderr is not None
    with process:
        process.stdout.close()
        complaint = process.stderr.read()
    assert complaint == ""
    assert process.returncode == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a full device is a file of Linux")
def test_a_result_that_cannot_be_written_is_told(house: Path, at_house: Type) -> None:
    """Status 1 and a sentence that claims nothing about the household: the tick was kept."""
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(
            command(house, "tick", "nook.feed"),
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert "No space left" in done.stderr
    assert "done already" in at_house("tick", "nook.feed@2026-03-02T0700").out


@pytest.fixture
def heeded_interrupt() -> Iterator[None]:
    """Let children heed an interrupt, also where the tests were started with `&`.

    A shell without job control starts such a list with the interrupt ignored (POSIX 2.11), a
    child inherits that, and Python then leaves it so; a handler of ours is reset for the child.
    """
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("heeded_interrupt")
def test_ctrl_c_ends_without_a_word(house: Path) -> None:
    """Exit status 130 is the shell's own for an interrupt (128 + 2, POSIX 2.8.2)."""
    with start(house, "soak", "--writes", "100000") as process:
        assert process.stdout is not None
        process.stdout.readline()
        process.send_signal(signal.SIGINT)
        _out, complaint = process.communicate()
    assert (process.returncode, complaint) == (130, "")


_INTERRUPTED_IN_TEXT = """
import sys
from tankkeeper.app.main import main
from tankkeeper.cli import looking

def interrupted(*_):
    exec("raise KeyboardInterrupt")

looking.show_tanks = interrupted
sys.exit(main(sys.argv[1:]))
"""


def test_an_interrupt_within_text_that_is_run_has_the_same_status(
    house: Path, tmp_path: Path
) -> None:
    """Such as in a module that makes its classes just then."""
    (tmp_path / "interrupted.py").write_text(_INTERRUPTED_IN_TEXT, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "interrupted", "--household", str(house), "tanks"],
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")


def test_json_is_utf_8_in_a_terminal_that_is_not(house: Path, at_house: Type) -> None:
    """A document keeps every sign; a table shows a mark for those the terminal cannot."""
    at_house("log", "note", "26 °C 水槽")
    environment = os.environ | {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    found = {}
    for words in (("logbook", "--json"), ("logbook",)):
        done = subprocess.run(
            command(house, *words), cwd=ROOT, env=environment, capture_output=True, check=False
        )
        assert (done.returncode, done.stderr) == (0, b"")
        found[len(words)] = done.stdout
    assert json.loads(found[2].decode("utf-8"))["entries"][0]["text"] == "26 °C 水槽"
    assert b"26 ?C" in found[1]
