"""What salt water will be missing for changes to come, and how much is mixed besides."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.amounts import salt_by_yield
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.mixing_beside import last_moment
from tankkeeper.core.running_short import Shortage
from tankkeeper.core.state import Item
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.words import Words


def is_told_short(item: Item) -> bool:
    """Tell whether a line says what will be missing: not where no water is mixed for it at all."""
    has_none = item.unready is not None or (
        item.not_ready is not None and item.not_ready.is_unmixed
    )
    return item.shortage is not None and not has_none


def short_state(item: Item, words: Words, for_ear: bool = False) -> str:
    """Return what will be missing beside the state of a line: "6 L short", empty for others."""
    short = item.shortage
    if short is None or not is_told_short(item):
        return ""
    litres = words.litres(short.litres)
    return f"{litres} of salt water missing" if for_ear else f"{litres} short"


def short_sentence(item: Item, words: Words) -> str:
    """Return what will be missing for a change or after a mixing, and what can be done."""
    short = item.shortage
    if short is None or not is_told_short(item):
        return ""
    if item.chore.kind is ChoreKind.MIX_SALT_WATER:
        return _after_mixing(short, "this chore", words)
    if item.stands_short is not None:
        # It is told with what stands there by now.
        return ""
    litres = words.litres(short.litres)
    return f"What stands mixed by then is {litres} too little for it: {mix_more(short, words)}."


def short_standing(short: Shortage, words: Words) -> str:
    """Return what will be missing after a mixing that has no line of its own, and what to do."""
    return _after_mixing(short, short.prep.name, words)


def short_texts(found: Sequence[Shortage], words: Words) -> tuple[str, ...]:
    """Return how much salt water will be missing, in ever fewer words; empty where none is."""
    if not found:
        return ()
    litres = words.litres(sum(one.litres for one in found))
    day = words.on_day(min(one.day for one in found))
    return f"{litres} of salt water short {day}", f"{litres} short"


def _after_mixing(short: Shortage, of: str, words: Words) -> str:
    """Return for which changes the water will not do, and how much more is mixed."""
    each = [f"{one.name} {words.on_day(one.day)}" for one in short.changes]
    own, litres = words.litres(short.own_l), words.litres(short.litres)
    told = f"With what stands mixed and the {own} of {of}, {litres} will be missing"
    if not short.own_l:
        # What this mixes is ready too late for them.
        told = f"What stands mixed is {litres} too little"
    if len(each) == 1:
        return f"{told} for {each[0]}: {mix_more(short, words)}."
    parts = [
        f"{words.litres(one.litres)} for {name}"
        for one, name in zip(short.changes, each, strict=True)
    ]
    return f"{told}, {listed(parts)}: {mix_more(short, words)}."


def mix_more(short: Shortage, words: Words) -> str:
    """Return how much is mixed besides, with which salt and until when."""
    salt = salt_by_yield(words.household, short.litres)
    told = f"mix {words.litres(short.litres)} more"
    told += "" if salt is None else f", with {words.grams(salt)} of salt"
    latest = last_moment(words.household, short.day, words.moment)
    if latest is None:
        return f"{told}, and change once it is ready"
    first = "the first of it " if len(short.changes) > 1 else ""
    return f"{told}, {first}by {words.at(latest)}"
