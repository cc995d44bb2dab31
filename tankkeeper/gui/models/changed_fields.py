"""Which fields of a tank or a chore an entry changed, in the words of their pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from tankkeeper.core.chores import Amount, AmountUnit, Chore
from tankkeeper.core.household import OwnRange, Tank
from tankkeeper.core.logbook import Redefined, Thing
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.chore_specs import chore_groups
from tankkeeper.gui.forms.range_texts import ranges_text
from tankkeeper.gui.forms.specs import Kind, Spec, shown_text_of, sign_of, text_of, value_at
from tankkeeper.gui.forms.tank_specs import TANK_GROUPS
from tankkeeper.gui.models.chore_drafts import draft_of_chore
from tankkeeper.reports.amount_words import set_amount
from tankkeeper.reports.field_words import field_values
from tankkeeper.reports.in_sentences import small
from tankkeeper.reports.log_words import is_told_in, values_text
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.words import Words
from tankkeeper.services.log_search import FieldHit, Reset, ValuesTold, WordHits

_Tell = Callable[[Spec, object, Words], str]

NOTHING: Final = "not said"
# A line of the logbook tells so many fields with their values, and more by their names alone.
_MOST_TOLD: Final = 2
_RHYTHM: Final = "rhythm."
_STAGE, _SINCE = "Stage", "since"
_OWN_RANGES, _BY_RHYTHM, _USES = "Own ranges", "Rhythm", "Uses up"
_AMOUNT, _AMOUNT_UNIT, _RISE = "amount", "amount_unit", "top_off.allowed_salinity_rise"
# Fields that a change is not told by: a choice of what follows, and a part of the amount.
_NOT_TOLD: Final = frozenset({"ranges", "from_day", _AMOUNT_UNIT})
_OF_STAGE: Final = frozenset(
    {_STAGE, *(spec.named for group in TANK_GROUPS for spec in group.specs if spec.path == _SINCE)}
)


@dataclass(frozen=True, slots=True)
class FieldChange:
    """A field by its name, with what stood in it and what stands in it now."""

    name: str
    was: str
    became: str


def changed_fields(
    resets: Iterable[Reset], fact: Redefined, words: Words
) -> tuple[FieldChange, ...]:
    """Return what differs, in the order of the fields; what no field shows is left out.

    What belongs to another thing than the one that `fact` names is told with the name of that.
    """
    return tuple(
        replace(change, name=f"{of}, {small(change.name)}" if of else change.name)
        for one in resets
        for of in (_other_name(one, fact),)
        for change in _changes(one, words)
    )


def fields_found(is_found: Callable[[str], bool]) -> tuple[FieldHit, ...]:
    """Return the fields whose names, as a change tells them, are found."""
    told = [(Thing.TANK, spec) for group in TANK_GROUPS for spec in group.specs]
    told += [(Thing.CHORE, spec) for group in chore_groups("") for spec in group.specs]
    named = {
        FieldHit(thing, spec.path): spec.named
        for thing, spec in told
        if spec.path not in _NOT_TOLD and not spec.path.startswith(_RHYTHM)
    }
    named |= {FieldHit(Thing.TANK, "stage"): _STAGE, FieldHit(Thing.TANK, ""): _OWN_RANGES}
    named |= {FieldHit(Thing.CHORE, "rhythm"): _BY_RHYTHM, FieldHit(Thing.CHORE, "uses"): _USES}
    return tuple(field for field, name in named.items() if is_found(small(name)))


def _other_name(one: Reset, fact: Redefined) -> str:
    """Return the name of a changed thing, empty where the entry is about that."""
    became = one.became
    if isinstance(became, Chore) and (fact.thing is not Thing.CHORE or fact.chore != became.id):
        return became.name
    return became.name if isinstance(became, Tank) and fact.thing is not Thing.TANK else ""


def values_told(words: Words) -> ValuesTold:
    """Return what tells whether a typed word is among the values before and after a change."""

    def read(resets: Sequence[Reset]) -> Callable[[WordHits], bool]:
        changes = [change for one in resets for change in _changes(one, words)]
        text = values_text(value for one in changes for value in (one.was, one.became))
        return lambda hits: is_told_in(text, hits)

    return read


def changes_line(changes: Iterable[FieldChange], fact: Redefined) -> str:
    """Return "length 58 cm (before: 60 cm)", or the names alone where there are many.

    The stage that the entry itself tells is left out, with the day of the entry, since when it is.
    """
    changes = [one for one in changes if fact.stage is None or one.name not in _OF_STAGE]
    if len(changes) > _MOST_TOLD:
        return ", ".join(small(one.name) for one in changes)
    return ", ".join(f"{small(one.name)} {one.became} (before: {one.was})" for one in changes)


def _changes(one: Reset, words: Words) -> Iterator[FieldChange]:
    was, became = one.was, one.became
    if isinstance(was, Tank) and isinstance(became, Tank):
        yield from _of_tank(was, became, words)
    elif isinstance(was, Chore) and isinstance(became, Chore):
        yield from _of_chore(was, became, words)
    elif isinstance(was, tuple) and isinstance(became, tuple):
        yield FieldChange(_OWN_RANGES, _ranges(was, words), _ranges(became, words))


def _of_tank(was: Tank, became: Tank, words: Words) -> Iterator[FieldChange]:
    for spec in (spec for group in TANK_GROUPS for spec in group.specs):
        if spec.path == _RISE:
            yield from _set_down(spec, was, became, words)
        else:
            yield from _differing(was, became, spec, words)
    if was.stage is not became.stage:
        yield FieldChange(_STAGE, was.stage.value, became.stage.value)


def _of_chore(was: Chore, became: Chore, words: Words) -> Iterator[FieldChange]:
    if was.rhythm != became.rhythm:
        yield FieldChange(_BY_RHYTHM, small(rhythm_words(was)), small(rhythm_words(became)))
    drafts = draft_of_chore(was), draft_of_chore(became)
    for spec in (spec for group in chore_groups(became.tank) for spec in group.specs):
        if spec.path == _AMOUNT:
            yield from _set_down(spec, was, became, words)
        elif spec.path != _AMOUNT_UNIT and not spec.path.startswith(_RHYTHM):
            yield from _differing(*drafts, spec, words)
    yield from _uses(was, became, words)


def _differing(was: Any, became: Any, spec: Spec, words: Words) -> Iterator[FieldChange]:
    before, after = value_at(was, spec.path), value_at(became, spec.path)
    if before != after:
        told = _told(spec, before, words), _told(spec, after, words)
        if told[0] == told[1]:
            # A bucket does not show the difference; all digits do.
            told = _told(spec, before, words, text_of), _told(spec, after, words, text_of)
        yield FieldChange(spec.named_in(words), *told)


def _set_down(spec: Spec, was: Any, became: Any, words: Words) -> Iterator[FieldChange]:
    """Yield a field whose unit stands in no field: told as where households are compared."""
    before, after = value_at(was, spec.path), value_at(became, spec.path)
    if before != after:
        field = spec.path.rpartition(".")[2]
        yield FieldChange(spec.named_in(words), *field_values(field, before, after, words, words))


def _uses(was: Chore, became: Chore, words: Words) -> Iterator[FieldChange]:
    if was.uses != became.uses:
        yield FieldChange(_USES, _used(was, words), _used(became, words))


def _used(chore: Chore, words: Words) -> str:
    """Return what a chore uses up: "12 g of salt mix"."""
    names = {one.id: one.name for one in words.household.supplies}
    told = []
    for one in chore.uses:
        name = names.get(one.supply, one.supply) or "an unnamed supply"
        unit = one.unit or AmountUnit.GRAMS
        size = "" if one.amount is None else set_amount(Amount(one.amount, unit), words)
        told.append(f"{size} of {name}" if size else name)
    return ", ".join(told) or NOTHING


def _told(spec: Spec, value: object, words: Words, tell: _Tell = shown_text_of) -> str:
    """Return a value as its field shows it, with its unit."""
    if spec.choices is not None:
        names = {key: text for text, key in spec.choices(words)}
        if spec.kind is Kind.MANY and isinstance(value, tuple):
            return ", ".join(names.get(one, str(one)) for one in value) or NOTHING
        return names.get(value, NOTHING if value is None else str(value))
    text, unit = tell(spec, value, words), sign_of(spec, words)
    return f"{text}{NBSP}{unit}".strip() if text else NOTHING


def _ranges(ranges: tuple[OwnRange, ...], words: Words) -> str:
    return ranges_text(ranges, words) or NOTHING
