"""An interrupt beside a transaction: what is being begun or ended is brought to its end first."""

from __future__ import annotations

import signal
from collections.abc import Iterator

import pytest
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

from tankkeeper.store.interrupts import begun


@pytest.fixture
def engine() -> Iterator[Engine]:
    """Give an engine on one table, with Python's own way of heeding an interrupt."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    made = create_engine("sqlite://", poolclass=QueuePool, pool_size=1, max_overflow=0)
    with made.begin() as connection:
        connection.exec_driver_sql("CREATE TABLE notes (text)")
    yield made
    made.dispose()
    signal.signal(signal.SIGINT, before)


def notes(engine: Engine) -> int:
    with begun(engine) as connection:
        found: int = connection.exec_driver_sql("SELECT count(*) FROM notes").scalar_one()
        return found


def add(connection: Connection) -> None:
    connection.exec_driver_sql("INSERT INTO notes VALUES ('a')")


def test_an_interrupt_within_a_transaction_undoes_it(engine: Engine) -> None:
    """It is heeded at once: what comes after it in the transaction does not run."""
    ran = []

    def write() -> None:
        with begun(engine) as connection:
            add(connection)
            signal.raise_signal(signal.SIGINT)
            ran.append("after it")

    with pytest.raises(KeyboardInterrupt):
        write()

    assert ran == []
    assert notes(engine) == 0
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


@pytest.mark.parametrize(
    ("moment", "kept"), [("begin", 0), ("commit", 1), ("checkin", 1), ("reset", 1)]
)
def test_an_interrupt_at_the_ends_of_a_transaction_waits_for_them(
    engine: Engine, moment: str, kept: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """One at the beginning is heeded before anything is written, one at the end after it."""
    target = engine if moment in ("begin", "commit") else engine.pool
    at_end: list[str] = []

    def interrupt(*_: object) -> None:
        signal.raise_signal(signal.SIGINT)
        at_end.append(moment)

    def write() -> None:
        with begun(engine) as connection:
            add(connection)

    event.listen(target, moment, interrupt)
    with pytest.raises(KeyboardInterrupt):
        write()
    event.remove(target, moment, interrupt)

    assert at_end == [moment]
    assert notes(engine) == kept
    assert capsys.readouterr().err == ""


def test_an_interrupt_while_another_is_undone_waits_until_that_is_done(engine: Engine) -> None:
    """Ctrl+C pressed twice leaves nothing half undone."""
    undone: list[str] = []

    def again(_connection: Connection) -> None:
        signal.raise_signal(signal.SIGINT)
        undone.append("whole")

    def write() -> None:
        with begun(engine) as connection:
            add(connection)
            signal.raise_signal(signal.SIGINT)

    event.listen(engine, "rollback", again)
    with pytest.raises(KeyboardInterrupt):
        write()
    event.remove(engine, "rollback", again)

    assert undone == ["whole"]
    assert notes(engine) == 0


def test_who_ignores_interrupts_is_left_alone(engine: Engine) -> None:
    """A program started with `&` by a plain shell ignores them, and goes on doing so."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with begun(engine) as connection:
        add(connection)
        signal.raise_signal(signal.SIGINT)
    assert notes(engine) == 1
    assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
