"""Importing without the hook that PySide6 puts around every import.

PySide6 (seen in 6.11.3) replaces the import function when it loads, to switch the naming style of
modules that ask for it, and reads the source of each module to find out; nobody here asks. It took
a quarter of the time that the database library needs to load.
"""

from __future__ import annotations

import builtins
from importlib import import_module

# What stands here when this module loads; `app.main` sees to it that this is before Qt does.
_PYTHONS_OWN = builtins.__import__


def import_qt_plainly() -> None:
    """Load PySide6 and put Python's own import function back, for good and for all threads."""
    import_module("PySide6")
    builtins.__import__ = _PYTHONS_OWN
