"""Which household a start opens that names none: the one that was left open last."""

from __future__ import annotations

from pathlib import Path

from tankkeeper.app.paths import demo_file, is_demo_file
from tankkeeper.app.wanted import Wanted
from tankkeeper.core.errors import Surroundings, TankkeeperError


def left_open(wanted: Wanted, last: Path | None) -> Path | None:
    """Return the household that was open last, None where what is wanted goes first.

    The sample gives way to a household at the usual place: whoever looked at it for a while would
    tick its rows for their own.
    """
    if not wanted.is_usual or last is None or last == wanted.place.resolve():
        return None
    if is_demo_file(last):
        return None if wanted.place.exists() else demo_file()
    return None if _is_gone(last) else last


# What is said of the household that opens in place of the one that was open last.
USUAL_INSTEAD = "; this is the usual one"


def told_of_gone(wanted: Wanted, last: Path | None, instead: str) -> str:
    """Return what is said where another household opens because that one is gone.

    `instead` says what is shown in its place.
    """
    is_elsewhere = last is not None and last != wanted.place.resolve() and not is_demo_file(last)
    if not wanted.is_usual or last is None or not is_elsewhere or not _is_gone(last):
        return ""
    return f"{last.name}, which was open last, is no longer where it was{instead}."


def told_of_unread(last: Path, failure: TankkeeperError | OSError, instead: str) -> str:
    """Return which household that was open last could not be opened, and why.

    `instead` says what is shown in its place.
    """
    from tankkeeper.reports.faults import fault_words

    if isinstance(failure, OSError):
        why = failure.strerror or str(failure)
        failure = Surroundings("cannot_open", path=str(last), why=why)
    return f"{last.name}, which was open last, could not be opened{instead}: {fault_words(failure)}"


def _is_gone(last: Path) -> bool:
    """Tell whether a file is no longer there; one at which nobody may look is not gone."""
    try:
        return not last.is_file()
    except OSError:
        return False
