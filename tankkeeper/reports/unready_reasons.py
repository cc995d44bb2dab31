"""Why a change has no salt water yet: nothing mixes it, it is not ready, or too little is left."""

from __future__ import annotations

from tankkeeper.core.mixed_batches import CLOSEST_L
from tankkeeper.core.state import Item
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.ready_words import stands_words, unmixed_words
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.words import Words


def unready(item: Item, words: Words) -> str:
    """Return that nothing mixes the water of a change before it, or that it is not ready yet."""
    prep, waits, short = item.unready, item.not_ready, item.stands_short
    if prep is not None:
        return f"No salt water is mixed for it: {prep.name} comes {rhythm_words(prep)}."
    if waits is None:
        return "" if short is None else _short(short, item, words)
    if waits.ready_at is not None and short is not None:
        ready = f"What was mixed last is ready {words.at(waits.ready_at)}."
        return f"{ready} {_short(short, item, words)}"
    if waits.ready_at is not None:
        return f"Its salt water was mixed and is ready {words.at(waits.ready_at)}."
    litres = item.amount is not None and item.amount.unit == "L"
    needs = f"{litres_due(item.amount, words)} of" if litres and item.amount else ""
    told = f"It needs {f'{needs} mixed'.strip()} salt water"
    stands = stands_words(waits, item.amount, words)
    return f"{told}{f'. {stands}:' if stands else ', and'} {unmixed_words(waits)}."


def _short(stands_l: float, item: Item, words: Words) -> str:
    """Return that what stands mixed does not do, by the logbook."""
    if item.amount is not None and stands_l + CLOSEST_L >= item.amount.value:
        stands = f"At most {words.litres(stands_l)} stands mixed by now"
        return f"{stands} for it and the changes before it: mix more."
    left = "Nothing" if stands_l <= CLOSEST_L else f"At most {words.litres(stands_l)}"
    return f"{left} stands mixed by now: mix more."
