"""Which fields of a thing differ between two households, each as it was and as it becomes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any, Final

from tankkeeper.core.chores import Amount, Chore
from tankkeeper.core.household import Supply
from tankkeeper.reports.field_words import NOT_SAID, field_name, field_values
from tankkeeper.reports.numbers import counted, with_unit
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.words import Words

_FIELDS_TOLD: Final = 4
# How much there is of a supply, in the unit of that.
_COUNTED: Final = frozenset({"stock", "pack"})
# They say since when something holds, not what.
_NEVER_TOLD: Final = frozenset({"valid_from", "earlier", "id"})


def altered_text(was: object, became: object, words: Words, then: Words) -> str:
    """Return what differs: "every 7 days \u2192 every 14 days; minutes: 10 \u2192 15".

    `then` knows the names of what there will be.
    """
    told = altered_lines(was, became, words, then)
    more = len(told) - _FIELDS_TOLD
    if more > 0:
        told = [*told[:_FIELDS_TOLD], f"{counted(more, 'field', 'fields')} more"]
    return "; ".join(told)


def altered_lines(
    was: object, became: object, words: Words, then: Words, within: str = ""
) -> list[str]:
    """Return each field that differs; `within` stands before the names of all."""
    found = _differing(was, became, words, then, within)
    return [f"{name}{before} \u2192 {after}" for name, before, after in found]


def _differing(
    was: Any, became: Any, words: Words, then: Words, within: str
) -> Iterator[tuple[str, str, str]]:
    for one in fields(became if became is not None else was):
        if one.name in _NEVER_TOLD:
            continue
        before, after = getattr(was, one.name, None), getattr(became, one.name, None)
        if before == after:
            continue
        name = f"{within}{field_name(one.name, words)}"
        if one.name == "rhythm" and isinstance(was, Chore) and isinstance(became, Chore):
            yield "", rhythm_words(was), rhythm_words(became)
        elif _can_be_opened(before) and type(before) is type(after):
            yield from _differing(before, after, words, then, f"{name}, ")
        else:
            told = field_values(one.name, before, after, words, then)
            if one.name in _COUNTED and isinstance(was, Supply) and isinstance(became, Supply):
                told = _counted(told, (was, became))
            yield f"{name}: ", *told


def _counted(told: tuple[str, str], supplies: tuple[Supply, Supply]) -> tuple[str, str]:
    """Return how much there is of a supply with the unit in which it is counted."""
    before, after = (
        text if text == NOT_SAID else with_unit(text, one.unit)
        for text, one in zip(told, supplies, strict=True)
    )
    return before, after


def _can_be_opened(value: object) -> bool:
    return is_dataclass(value) and not isinstance(value, Amount)
