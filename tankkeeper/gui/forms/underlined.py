"""Which letter of each field's name is underlined, so that Alt with it goes to the field."""

from __future__ import annotations

from collections.abc import Sequence

_MARK = "&"


def underlined(names: Sequence[str]) -> list[str]:
    """Return the names with one letter marked in each, and no letter twice.

    A mark that is there stays where it is, so that a field has the same letter in every form; the
    other names take what is left, the first letters of their words before the rest. Where nothing
    is left a name has none.

    >>> underlined(["Nitrate", "Put in", "&Note", "W&ho"])
    ['N&itrate', '&Put in', '&Note', 'W&ho']
    """
    taken: set[str] = set()
    found: dict[int, str] = {}
    for at, name in enumerate(names):
        letter = letter_of(name)
        if letter and letter not in taken:
            taken.add(letter)
            found[at] = name
    for at, name in enumerate(names):
        if at in found:
            continue
        plain = name.replace(_MARK, "")
        place = next((one for one in _places(plain) if plain[one].casefold() not in taken), None)
        if place is None:
            found[at] = plain
            continue
        taken.add(plain[place].casefold())
        found[at] = f"{plain[:place]}{_MARK}{plain[place:]}"
    return [found[at] for at in range(len(names))]


def letter_of(name: str) -> str:
    """Return the marked letter of a name, small; empty where none is marked."""
    return name.partition(_MARK)[2][:1].casefold()


def _places(name: str) -> list[int]:
    """Return where a letter can be marked, the first letters of words first."""
    letters = [at for at, sign in enumerate(name) if sign.isascii() and sign.isalpha()]
    return sorted(letters, key=lambda at: at > 0 and name[at - 1].isalnum())
