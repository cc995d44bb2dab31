"""Several threads and processes on one file: nothing is lost and nothing is done twice."""

import subprocess
import sys
import threading
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import UserFault
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import create
from tankkeeper.store.tables import household
from tests.store.households import chore, made, small, turn_of

THREADS, ROUNDS = 4, 40


def test_threads_that_read_and_then_write_lose_no_step(store: FileStore) -> None:
    """A counter read and written back by four threads, through the program's own transactions."""

    def count() -> None:
        for _ in range(ROUNDS):
            with store.writing() as writing:
                connection = writing._connection
                value = connection.scalar(
                    household.select().with_only_columns(household.c.currency)
                )
                connection.execute(household.update().values(currency=str(int(value or "0") + 1)))

    threads = [threading.Thread(target=count) for _ in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    with store.reading() as reading:
        assert reading.household().currency == str(THREADS * ROUNDS)


TICK_ALL = """
import sys
from pathlib import Path
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import UserFault
from tankkeeper.store.opening import open_household
from tests.store.households import NOON, made, turn_of
name, path = sys.argv[1:]
store = open_household(Path(path), FixedClock(NOON))
won = 0
for number in range(60):
    entry = made(number, completes=(turn_of("glass", f"key-{number}"),))
    entry = type(entry)(f"{name}-{number}", *[getattr(entry, f) for f in entry.__slots__[1:]])
    try:
        with store.writing() as writing:
            writing.add(entry)
        won += 1
    except UserFault as fault:
        assert fault.code == "already_done", fault
store.close()
print(won)
"""


@pytest.mark.slow
def test_processes_that_tick_the_same_turns_have_one_winner_each(
    store: FileStore, path: Path
) -> None:
    """Three processes, sixty turns: sixty entries, sixty winners, everybody told the truth."""
    children = [
        subprocess.Popen(
            [sys.executable, "-c", TICK_ALL, name, str(path)], stdout=subprocess.PIPE, text=True
        )
        for name in ("a", "b", "c")
    ]
    won = [int(child.communicate()[0]) for child in children]

    assert sum(won) == 60
    assert (store.check().entries, store.check().problems) == (60, ())


def test_one_turn_ticked_by_many_threads_is_done_once(path: Path, clock: FixedClock) -> None:
    """Exactly one thread succeeds; the others are told who did it."""
    store = create(path, small().__class__("x", "UTC", chores=(chore("glass", None),)), clock)
    outcomes: list[str] = []

    def tick(number: int) -> None:
        try:
            with store.writing() as writing:
                writing.add(made(number, tank=None, completes=(turn_of("glass"),)))
            outcomes.append("done")
        except UserFault as fault:
            outcomes.append(fault.code)

    threads = [threading.Thread(target=tick, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    store.close()

    assert sorted(outcomes) == ["already_done"] * 7 + ["done"]
