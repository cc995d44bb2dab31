"""Long work told step by step, so that it can be shown and stopped."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from enum import StrEnum
from typing import Final, TypeVar

from tankkeeper.core.errors import UserFault

T = TypeVar("T")
# Told after so many things: often enough for an eye, seldom enough to cost nothing.
TOLD_EVERY: Final = 100


class Step(StrEnum):
    """What is being done: with the entries of a logbook, or with the whole file.

    Of `REPLACING` there is no way back; nothing ends it.
    """

    READING = "reading"
    WRITING = "writing"
    COPYING = "copying"
    CHECKING = "checking"
    REPLACING = "replacing"


# Called with the step, how many are done, and of how many, zero where nobody knows; it raises what
# `stopped` gives once the work is wanted no more.
Watch = Callable[[Step, int, int], None]


def unwatched(_step: Step, _done: int, _of: int) -> None:
    """Show nothing, and never stop."""


def watched(things: Sequence[T], step: Step, watch: Watch) -> Iterator[T]:
    """Give one thing after the other, and tell how far this is.

    >>> told = []
    >>> list(watched("ab", Step.READING, lambda *far: told.append(far[1:]))), told
    (['a', 'b'], [(0, 2), (2, 2)])
    """
    for at, one in enumerate(things):
        if at % TOLD_EVERY == 0:
            watch(step, at, len(things))
        yield one
    watch(step, len(things), len(things))


def stopped() -> UserFault:
    """Return what long work raises that somebody stopped before anything was changed by it."""
    return UserFault("stopped")
