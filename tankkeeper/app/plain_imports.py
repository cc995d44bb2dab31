"""Importing without the hook that PySide6 puts around every import."""

from __future__ import annotations

import builtins
from collections.abc import Iterator
from contextlib import contextmanager

# What stands here when this module loads; `app.main` sees to it that this is before Qt does.
_PYTHONS_OWN = builtins.__import__


@contextmanager
def plain_imports() -> Iterator[None]:
    """Let the block import as Python does by itself, then put back what stood before.

    PySide6 (seen in 6.11.3) replaces the import function, to switch the naming style of modules
    that ask for it, and reads the source of each module to find out; nobody here asks. It took a
    quarter of the time that the database library needs to load.
    """
    hook = builtins.__import__
    builtins.__import__ = _PYTHONS_OWN
    try:
        yield
    finally:
        builtins.__import__ = hook
