"""Ctrl+C beside a transaction: noted while the library begins or ends one, heeded within it."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from sqlalchemy import Connection, Engine


class _Noting:
    """Stands in for Python's own handler, which would break into whatever runs just then."""

    def __init__(self) -> None:
        self.is_wanted = False
        self._lets_through = False

    def __call__(self, _signal: int, _frame: FrameType | None) -> None:
        if not self._lets_through:
            self.is_wanted = True
            return
        # What follows it is the end of the transaction, and has to be whole.
        self._lets_through = False
        raise KeyboardInterrupt

    @contextmanager
    def heeded(self) -> Iterator[None]:
        """Heed an interrupt at once within the block, and one from before it."""
        self._lets_through = True
        if self.is_wanted:
            self.is_wanted = self._lets_through = False
            raise KeyboardInterrupt
        try:
            yield
        finally:
            self._lets_through = False


@contextmanager
def begun(engine: Engine) -> Iterator[Connection]:
    """Begin a transaction that is committed at the end, or undone by an exception.

    An interrupt that hits SQLAlchemy while it gives a connection back leaves that in pieces, and a
    trace on the terminal. So it undoes what runs within the transaction, but its beginning and end
    are whole; one that comes with the commit is heeded right after it.
    """
    # Not `current_thread`, which makes up a thread where Qt started this one.
    is_ours = threading.get_ident() == threading.main_thread().ident
    if not is_ours or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        with engine.begin() as connection:
            yield connection
        return
    noting = _Noting()
    signal.signal(signal.SIGINT, noting)
    try:
        with engine.begin() as connection, noting.heeded():
            yield connection
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        if noting.is_wanted:
            raise KeyboardInterrupt
