"""Why a change has no salt water yet: nothing mixes it, it is not ready, or too little is left."""

from __future__ import annotations

from tankkeeper.core.amounts import amount_of, salt_by_yield
from tankkeeper.core.chores import Calendar
from tankkeeper.core.mixed_batches import CLOSEST_L
from tankkeeper.core.mixing_beside import last_moment
from tankkeeper.core.state import Item
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.ready_words import stands_words, unmixed_words
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.short_words import mix_more
from tankkeeper.reports.words import Words


def unready(item: Item, words: Words) -> str:
    """Return that nothing mixes the water of a change before it, or that it is not ready yet."""
    prep, waits, short = item.unready, item.not_ready, item.stands_short
    if prep is not None:
        told = f"No salt water is mixed for it: {prep.name} comes {rhythm_words(prep)}."
        return f"{told} {mix_beside(item, words)}".strip()
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
    told = f"{told}{f'. {stands}:' if stands else ', and'} {unmixed_words(waits)}."
    return f"{told} {mix_beside(item, words)}".strip()


def mix_beside(item: Item, words: Words) -> str:
    """Return how much is mixed for a change until when, where no turn of the mixing comes in time.

    "No turn of Mix salt water comes in time: mix 35 L beside its turns, with 1288 g of salt, by
    Sunday at 07:00."
    """
    waits, turn = item.not_ready, item.open
    if waits is None or not waits.is_beside or turn is None:
        return ""
    amount = amount_of(item.chore, item.water, words.household)
    much, salt = "its water", None
    if amount is not None and amount.unit == "L":
        litres = amount.value - waits.stands_l
        much, salt = words.litres(litres), salt_by_yield(words.household, litres)
    is_ruled = isinstance(waits.prep.rhythm, Calendar)
    told = f"mix {much} {'beside its turns' if is_ruled else 'sooner'}"
    told += "" if salt is None else f", with {words.grams(salt)} of salt"
    latest = last_moment(words.household, turn.target, words.moment)
    until = ", and change once it is ready" if latest is None else f", by {words.at(latest)}"
    return f"No turn of {waits.prep.name} comes in time: {told}{until}."


def _short(stands_l: float, item: Item, words: Words) -> str:
    """Return that what stands mixed does not do, by the logbook, and how much more is mixed."""
    more = "mix more" if item.shortage is None else mix_more(item.shortage, words)
    if item.amount is not None and stands_l + CLOSEST_L >= item.amount.value:
        stands = f"At most {words.litres(stands_l)} stands mixed by now"
        return f"{stands} for it and the changes before it: {more}."
    left = "Nothing" if stands_l <= CLOSEST_L else f"At most {words.litres(stands_l)}"
    return f"{left} stands mixed by now{_for_others(stands_l, item)}: {more}."


def _for_others(stands_l: float, item: Item) -> str:
    """Return that others take of what stands there, where more is to be mixed than it leaves."""
    if stands_l <= CLOSEST_L or item.amount is None or item.shortage is None:
        return ""
    is_alone = stands_l + item.shortage.litres <= item.amount.value + CLOSEST_L
    return "" if is_alone else " for it and the other changes"
