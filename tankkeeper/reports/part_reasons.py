"""What went in of the fresh water that was missing, and when the rest of it comes."""

from __future__ import annotations

from tankkeeper.core.amounts import told_litres
from tankkeeper.core.logbook import AFTER, Entry
from tankkeeper.core.state import Item
from tankkeeper.core.tank_water import TankWater, gone_until
from tankkeeper.core.turns import OpenTurn
from tankkeeper.reports.words import Words


def part_before(item: Item, turn: OpenTurn) -> Entry | None:
    """Return the part that was put in last, where the turn is the rest of it."""
    part = item.water.learned.log.part if item.water is not None else None
    return part if part is not None and turn.turn.key == AFTER + part.id else None


def partly_done(item: Item, turn: OpenTurn, part: Entry, words: Words) -> str:
    """Return what went in and that more is due: not the rest, where that is spread over days."""
    assert item.water is not None
    is_spread = item.amount is not None and item.amount.is_split
    rest = "the next part" if is_spread else "the rest"
    due = f"{'was' if turn.target < words.today else 'is'} due {words.on_day(turn.target)}"
    added, whole = item.water.learned.log.added_since_l, gone_until(item.water, part)
    went_in, days = words.litres(added), _days(item.water, part, words)
    if whole is None or whole.value <= added:
        return f"Partly done: {went_in} {days}; {rest} {due}."
    # In the digits in which the work told it. More is missing by now than that leaves.
    whole_told = words.litres(told_litres(whole))
    if is_spread:
        rest = f"more evaporated since, and {rest}"
    else:
        rest = f"{rest}, with what evaporated since,"
    return f"Partly done: {went_in} of about {whole_told} {days}; {rest} {due}."


def _days(water: TankWater, part: Entry, words: Words) -> str:
    """Return when the parts went in: "yesterday", "on Fri 4 and yesterday", "since Thu 3"."""
    added = water.learned.log.added
    days = sorted({part.day, *(words.moment.day_of(at) for at, litres in added if litres > 0.0)})
    if len(days) > 2:
        return f"since {words.day(days[0])}"
    return " and ".join(words.on_day(day) for day in days)
