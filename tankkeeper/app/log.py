"""The program's own log: a small set of files beside the person's other state."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankkeeper.services.desk import Change, Desk

LARGEST_BYTES = 1_000_000
KEPT_FILES = 5
_FORM = "%(asctime)s %(process)d %(levelname)s %(name)s: %(message)s"
_deeds = logging.getLogger("tankkeeper.deeds")


def log_file() -> Path:
    """Return the file into which the program writes what happened; it need not exist yet."""
    import platformdirs

    return platformdirs.user_log_path("tankkeeper", appauthor=False) / "tankkeeper.log"


class _WhenNeeded(logging.Handler):
    """Opens the rotating file when the first line comes: most commands write none.

    A folder that cannot be written must not keep anybody from their round; then nothing is logged.
    """

    def __init__(self, path: Callable[[], Path]) -> None:
        super().__init__()
        self._path = path
        self._file: logging.Handler | None = None

    def emit(self, record: logging.LogRecord) -> None:
        """Write one line."""
        if self._file is None:
            self._file = self._opened()
        self._file.handle(record)

    def _opened(self) -> logging.Handler:
        # Loads slowly, hence only here.
        from logging.handlers import RotatingFileHandler

        path = self._path()
        try:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            handler: logging.Handler = RotatingFileHandler(
                path, maxBytes=LARGEST_BYTES, backupCount=KEPT_FILES - 1, encoding="utf-8"
            )
        except OSError:
            return logging.NullHandler()
        handler.setFormatter(logging.Formatter(_FORM))
        return handler

    def close(self) -> None:
        """Close the file."""
        if self._file is not None:
            self._file.close()
        super().close()


@contextmanager
def logging_to(path: Callable[[], Path]) -> Iterator[None]:
    """Write the log while the block runs; `path` is asked for when the first line comes."""
    handler = _WhenNeeded(path)
    # What a library complains of stands there, too; nobody at a terminal could use its trace.
    heard = {"tankkeeper": logging.INFO, "sqlalchemy": logging.WARNING}
    before: list[tuple[logging.Logger, int, bool]] = []
    for name, level in heard.items():
        logger = logging.getLogger(name)
        before.append((logger, logger.level, logger.propagate))
        logger.addHandler(handler)
        logger.setLevel(level)
        logger.propagate = False
    try:
        yield
    finally:
        for logger, level, propagates in before:
            logger.removeHandler(handler)
            logger.setLevel(level)
            logger.propagate = propagates
        handler.close()


def write_down(desk: Desk) -> None:
    """Log from now on what is written to the household of this desk."""

    def note(change: Change) -> None:
        if change.entries is None:
            _deeds.info("the definitions of %s changed", desk.store.where)
            return
        for entry in change.entries:
            fact = type(entry.fact).__name__ if entry.fact is not None else "Done"
            turns = ", ".join(turn.id for turn in entry.completes)
            _deeds.info("entry %s: %s %s", entry.id, fact, turns)

    desk.listeners.append(note)
