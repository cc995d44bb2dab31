"""Which household a start opens that names none: the one that was left open last."""

from __future__ import annotations

from pathlib import Path

from tankkeeper.app.paths import demo_file, is_demo_file
from tankkeeper.app.wanted import Wanted


def left_open(wanted: Wanted, last: Path | None) -> Path | None:
    """Return the household that was open last, None where what is wanted goes first.

    The sample gives way to a household at the usual place: whoever looked at it for a while would
    tick its rows for their own.
    """
    if not wanted.is_usual or last is None or last == wanted.place.resolve():
        return None
    if is_demo_file(last):
        return None if wanted.place.exists() else demo_file()
    return last if last.is_file() else None


def told_of_gone(wanted: Wanted, last: Path | None) -> str:
    """Return what is said where another household opens because that one is gone."""
    is_elsewhere = last is not None and last != wanted.place.resolve() and not is_demo_file(last)
    if not wanted.is_usual or last is None or not is_elsewhere or last.is_file():
        return ""
    return f"{last.name}, which was open last, is no longer where it was; this is the usual one."
