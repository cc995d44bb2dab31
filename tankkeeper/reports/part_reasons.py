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
    return f"Partly done: {_went_in(item.water, part, words)}; {rest} {due}."


def _went_in(water: TankWater, part: Entry, words: Words) -> str:
    """Return how much went in of what was missing then, and when: "3 L of about 8 L on ..."."""
    added, whole = water.learned.log.added_since_l, gone_until(water, part)
    went_in, days = words.litres(added), _days(water, part, words)
    if whole is None or whole.value <= added:
        return f"{went_in} {days}"
    # In the digits in which the work told it.
    return f"{went_in} of about {words.litres(told_litres(whole))} {days}"


def _days(water: TankWater, part: Entry, words: Words) -> str:
    """Return when the parts went in: "yesterday", "on Fri 4 and yesterday", "since Thu 3"."""
    added = water.learned.log.added
    days = sorted({part.day, *(words.moment.day_of(at) for at, litres in added if litres > 0.0)})
    if len(days) > 2:
        return f"since {words.day(days[0])}"
    return " and ".join(words.on_day(day) for day in days)
