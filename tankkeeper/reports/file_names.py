"""Names of files as a sentence has room for them."""

from __future__ import annotations

from typing import Final

LONGEST: Final = 36


def told_apart(name: str, longest: int = LONGEST) -> str:
    """Return the name of a file, what is too long cut out of its middle.

    Both ends stay: by its head it is known whose it is, by its end which of them.

    >>> told_apart("harbour.tankkeeper")
    'harbour.tankkeeper'
    >>> told_apart("harbour-before-restore-20260312T060400000000Z-1a2b3c4d.tankkeeper")
    'harbour-before-res…0000000Z-1a2b3c4d'
    """
    if len(name) <= longest:
        return name
    stem = name.rpartition(".")[0] or name
    if len(stem) <= longest:
        return stem
    head = longest // 2
    return f"{stem[:head]}…{stem[len(stem) - (longest - head - 1) :]}"
