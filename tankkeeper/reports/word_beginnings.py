"""Words that begin as it was typed come before those that only hold it."""

from __future__ import annotations

from typing import Final

# What stands before a word, besides a space and nothing at all.
_BEFORE: Final = " -/(+'\N{RIGHT SINGLE QUOTATION MARK}&.,:"


def begins_a_word(typed: str, text: str) -> bool:
    """Tell whether a word of a text begins so; both are folded already.

    >>> begins_a_word("nit", "measure nitrate"), begins_a_word("nit", "salinity")
    (True, False)
    """
    at = text.find(typed)
    while at > 0 and text[at - 1] not in _BEFORE:
        at = text.find(typed, at + 1)
    return at >= 0
