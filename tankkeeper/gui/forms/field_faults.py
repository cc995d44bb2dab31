"""A refusal in the words of a form, whose fields take what the command line has options for."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.logbook import Entry
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.full_words import full_since_words
from tankkeeper.reports.words import Words

# On the command line these faults name the option to give; here the field stands before the eyes.
ASKED: Final[Mapping[str, str]] = MappingProxyType(
    {
        "needs_litres": "Nothing is proposed here. Write down the {water}.",
        "nothing_proposed": "Nothing is proposed here. Write down the {water}.",
        "needs_salinity": "Write down the salinity of the new water.",
        "needs_values": "Write down what was measured.",
    }
)
# What the field of the litres takes away.
OF_LITRES: Final = frozenset({"needs_litres", "nothing_proposed", "nothing_missing"})


def fault_in_form(error: TankkeeperError, words: Words) -> str:
    """Return what a form says of a refusal."""
    filled = error.values.get("entry")
    if error.code == "nothing_missing" and isinstance(filled, Entry):
        return poured_besides(full_since_words(filled, words), words)
    asked = ASKED.get(error.code)
    return fault_words(error, words) if asked is None else asked.format(water=words.volume_name)


def litres_typed(words: Words) -> str:
    """Return what to do where the proposal cannot be taken."""
    return f"Write down the {words.volume_name}."


def poured_besides(full: str, words: Words) -> str:
    """Return what to do where it was `full`, and nothing was missing."""
    return f"{full} Write down the {words.volume_name} if some went in besides."
