"""Which fields of a tank or a chore an entry changed, in the words of their pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

from tankkeeper.core.chores import Chore
from tankkeeper.core.household import OwnRange, Tank
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.chore_specs import chore_groups
from tankkeeper.gui.forms.range_texts import ranges_text
from tankkeeper.gui.forms.specs import Kind, Spec, sign_of, text_of, value_at
from tankkeeper.gui.forms.tank_specs import TANK_GROUPS
from tankkeeper.gui.models.chore_drafts import draft_of_chore
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.words import Words, small
from tankkeeper.services.log_search import Reset

NOTHING: Final = "not said"
# A line of the logbook tells so many fields with their values, and more by their names alone.
_MOST_TOLD: Final = 2
_RHYTHM: Final = "rhythm."


@dataclass(frozen=True, slots=True)
class FieldChange:
    """A field by its name, with what stood in it and what stands in it now."""

    name: str
    was: str
    became: str


def changed_fields(resets: Iterable[Reset], words: Words) -> tuple[FieldChange, ...]:
    """Return what differs, in the order of the fields; what no field shows is left out."""
    return tuple(change for one in resets for change in _changes(one, words))


def changes_line(changes: tuple[FieldChange, ...]) -> str:
    """Return "length 58 cm (before: 60 cm)", or the names alone where there are many."""
    if len(changes) > _MOST_TOLD:
        return ", ".join(small(one.name) for one in changes)
    return ", ".join(f"{small(one.name)} {one.became} (before: {one.was})" for one in changes)


def _changes(one: Reset, words: Words) -> Iterator[FieldChange]:
    was, became = one.was, one.became
    if isinstance(was, Tank) and isinstance(became, Tank):
        specs = [spec for group in TANK_GROUPS for spec in group.specs]
        yield from _differing(was, became, specs, words)
        if was.stage is not became.stage:
            yield FieldChange("Stage", was.stage.value, became.stage.value)
    elif isinstance(was, Chore) and isinstance(became, Chore):
        specs = [spec for group in chore_groups(became.tank) for spec in group.specs]
        own = [spec for spec in specs if not spec.path.startswith(_RHYTHM)]
        if was.rhythm != became.rhythm:
            yield FieldChange("Rhythm", small(rhythm_words(was)), small(rhythm_words(became)))
        yield from _differing(draft_of_chore(was), draft_of_chore(became), own, words)
    elif isinstance(was, tuple) and isinstance(became, tuple):
        yield FieldChange("Own ranges", _ranges(was, words), _ranges(became, words))


def _differing(was: Any, became: Any, specs: Iterable[Spec], words: Words) -> Iterator[FieldChange]:
    for spec in specs:
        before, after = value_at(was, spec.path), value_at(became, spec.path)
        if before != after:
            yield FieldChange(spec.named, _told(spec, before, words), _told(spec, after, words))


def _told(spec: Spec, value: object, words: Words) -> str:
    """Return a value as its field shows it, with its unit."""
    if spec.choices is not None:
        names = {key: text for text, key in spec.choices(words)}
        if spec.kind is Kind.MANY and isinstance(value, tuple):
            return ", ".join(names.get(one, str(one)) for one in value) or NOTHING
        return names.get(value, NOTHING if value is None else str(value))
    text, unit = text_of(spec, value, words), sign_of(spec, words)
    return f"{text}{NBSP}{unit}".strip() if text else NOTHING


def _ranges(ranges: tuple[OwnRange, ...], words: Words) -> str:
    return ranges_text(ranges, words) or NOTHING
