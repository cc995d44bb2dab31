"""A household of ten tanks with a year of log, in a file, for the benchmarks of the start."""

from __future__ import annotations

from pathlib import Path

from tankkeeper.app.clock import FixedClock
from tankkeeper.store.opening import create
from tests.benchmarks.bench_state import NOW, invented


def write_big_house(where: Path, tanks: int = 10, years: int = 1) -> None:
    """Write the invented household into a new file."""
    household, entries = invented(tanks, years)
    store = create(where, household, FixedClock(NOW))
    with store.writing() as writing:
        for entry in entries:
            writing.add(entry)
    store.close()
