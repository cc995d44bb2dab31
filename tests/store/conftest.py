"""A household in a file of the test's own folder, under a clock that stands still."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.services.desk import Desk
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import create
from tests.fakes import CountingIds
from tests.store.households import NOON, small


@pytest.fixture
def clock() -> FixedClock:
    """Noon of an invented day."""
    return FixedClock(NOON)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the household of the test lives."""
    return tmp_path / "pier" / "pier.tankkeeper"


@pytest.fixture
def store(path: Path, clock: FixedClock) -> Iterator[FileStore]:
    """An open household with one tank and two chores."""
    opened = create(path, small(), clock)
    yield opened
    opened.close()


@pytest.fixture
def desk(store: FileStore) -> Desk:
    """A desk on one tank, Skerry, with two chores of a fortnight."""
    return Desk(store, FixedClock(NOON), CountingIds())
