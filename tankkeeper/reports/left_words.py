"""Which reading left its range and so brings a test sooner."""

from __future__ import annotations

from tankkeeper.core.harmful import Harm
from tankkeeper.core.state import Item
from tankkeeper.core.turns import LeftRange, State
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.outside_words import standing_sentence
from tankkeeper.reports.words import Words


def left_of(item: Item) -> LeftRange | None:
    """Return the reading for which the turn that is told of comes sooner, None where none does."""
    # What is told of work that is done is the turn after it.
    turn = item.next_turn if item.state is State.DONE else item.open
    return None if turn is None or turn.is_put_off else turn.left


def left_sentence(item: Item, words: Words) -> str:
    """Return why a test comes sooner than by its interval, empty where it does not.

    Such as "It comes sooner this time, after 4 days, since nitrate was 31 mg/L on Wed 25, above
    its range of 1 to 10 mg/L, and had been inside before."
    """
    left = left_of(item)
    if left is None or item.water is None:
        return ""
    is_plain = (left.day - left.entry.day).days == left.days
    after = f" after {counted(left.days, 'day', 'days')}," if is_plain else ""
    was = words.small(standing_sentence(Harm(left.value, left.entry), item.water, words))
    return f"It comes sooner this time,{after} since {was.removesuffix('.')}{_before(left)}."


def _before(left: LeftRange) -> str:
    if not left.was_read:
        return ""
    where = "inside" if left.was_on is None else f"{left.was_on.value} it"
    return f", and had been {where} before"
