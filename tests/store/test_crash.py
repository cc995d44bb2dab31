"""Killed at any moment: whatever was told as done is there, and the file is whole."""

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.services.ports import LogQuery
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import open_household

KILLS = int(os.environ.get("TANKKEEPER_KILLS", "20"))
ADD_AND_TELL = """
import itertools, sys
from pathlib import Path
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.logbook import Revoke, TopOff
from tankkeeper.store.opening import open_household
from tests.store.households import NOON, made, turn_of
store = open_household(Path(sys.argv[1]), FixedClock(NOON))
start = int(sys.argv[2])
for number in itertools.count(start):
    turn = turn_of("glass", f"key-{number}")
    entry = made(number, TopOff(1.0), completes=(turn,))
    if number % 3 == 2:
        entry = made(number, Revoke(f"entry-{number - 1:06d}")) if number > start else entry
    with store.writing() as writing:
        writing.add(entry)
    print(entry.id, flush=True)
"""


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX's")
def test_every_acknowledged_entry_survives_a_kill(
    store: FileStore, path: Path, clock: FixedClock
) -> None:
    """Half of the kills come right after an acknowledgement, half a little later."""
    store.close()
    chance = random.Random(20260320)
    told: list[str] = []
    for kill in range(KILLS):
        wait_s = 0.0 if kill % 2 else chance.uniform(0.0, 0.003)
        told += _run_and_kill(path, kill * 1000, chance.randint(1, 8), wait_s)

    opened = open_household(path, clock)
    with opened.reading() as reading:
        kept = {one.entry.id for one in reading.entries(LogQuery())}
    found = opened.check()
    opened.close()

    assert set(told) <= kept
    # At most one commit a kill can have been made without being told.
    assert len(kept) <= len(told) + KILLS
    assert found.problems == ()


def _run_and_kill(path: Path, start: int, acknowledged: int, wait_s: float) -> list[str]:
    child = subprocess.Popen(
        [sys.executable, "-c", ADD_AND_TELL, str(path), str(start)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    told = [child.stdout.readline().strip() for _ in range(acknowledged)]
    try:
        # The wait is the point of the test: the moment of the kill.
        child.wait(timeout=wait_s)
    except subprocess.TimeoutExpired:
        child.send_signal(signal.SIGKILL)
    rest = [line.strip() for line in child.stdout if line.endswith("\n")]
    child.wait()
    child.stdout.close()
    assert child.returncode == -signal.SIGKILL
    return told + rest
