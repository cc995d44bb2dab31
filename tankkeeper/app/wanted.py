"""What a person asks for who opens the window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple


class Wanted(NamedTuple):
    """What the person typed who opened the window; `where` and `person` are asked in the worker.

    `place` is where the file lies that `where` gives once it is there; `go_to` names the chore to
    whose line the window goes; `is_at_login` that the login opens the window and nobody asked;
    `is_usual` that no household was named, so that the one that was open last goes first.
    """

    where: Callable[[], Path]
    person: Callable[[], str | None]
    name: str
    place: Path
    is_person_named: bool = False
    now: str | None = None
    is_demo: bool = False
    go_to: str | None = None
    is_at_login: bool = False
    is_usual: bool = False
