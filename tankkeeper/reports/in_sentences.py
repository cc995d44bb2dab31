"""A text as it stands in a sentence: at its beginning, within it, and at its end."""

from __future__ import annotations


def with_stop(text: str) -> str:
    """Return a text that somebody typed as the end of a sentence, with one stop and no second."""
    return text if text.endswith((".", "!", "?", "\N{HORIZONTAL ELLIPSIS}")) else f"{text}."


def capital(text: str) -> str:
    """Return text with its first letter in capital, for the start of a sentence.

    What is written with a small letter before a capital one stays so.

    >>> capital("nitrate"), capital("pH of this tank")
    ('Nitrate', 'pH of this tank')
    """
    if text[1:2].isupper():
        return text
    return text[:1].upper() + text[1:]


def begins_with(text: str, name: str) -> bool:
    """Tell whether a name is the first word or words of a text: "Ward's" has the name of Ward."""
    return bool(name) and text.startswith(name) and not text[len(name) : len(name) + 1].isalnum()


def small(text: str) -> str:
    """Return text with a small first letter, unless its first word is an abbreviation."""
    if len(text) > 1 and text[1].isupper():
        return text
    return text[:1].lower() + text[1:]
