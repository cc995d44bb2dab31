"""What is told once something was written down outside the round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Final

from tankkeeper.core.logbook import Entry, Note, Readings, Turn
from tankkeeper.core.state import Item
from tankkeeper.reports.in_sentences import small
from tankkeeper.reports.logbook_words import entry_text
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.outside_words import read_text
from tankkeeper.reports.people_words import limits_of_entry
from tankkeeper.reports.words import Words
from tankkeeper.services.fresh_rest import Rest

# How work is kept that counts for no turn of its chore.
BESIDE_ITS_TURNS: Final = "beside its turns"


def noted_words(entry: Entry, words: Words, *, is_of_line: bool = False) -> str:
    """Return what was kept, the day where it is not today, and the chores that it ticks.

    With `is_of_line` somebody said of which line it is: see `_ticks`.
    Such as "Nook: topped off, 1.5 L to the mark, on Tuesday 24 November. That ticks Top off."
    """
    day = words.dated(entry.day)
    if isinstance(entry.fact, Note):
        return f"Note kept{day}."
    where = words.tank_name(entry.tank)
    # What was remarked with it stands in the logbook; it is not repeated here.
    text = read_text(entry, words) or entry_text(replace(entry, note=""), words)
    kept = f"{text}{day}." if where is None else f"{where}: {small(text)}{day}."
    return " ".join(
        part
        for part in (kept, _ticks(entry, words, is_of_line), limits_of_entry(entry, words))
        if part
    )


def fed_words(entry: Entry, words: Words, *, is_of_line: bool = False) -> str:
    """Return what was kept of a feeding, such as "Fed Reef. That ticks Feed."."""
    where, day = words.tank_name(entry.tank) or "", words.dated(entry.day)
    ticks = _ticks(entry, words, is_of_line)
    if ticks:
        return " ".join([f"Fed {where}{day}. {ticks}", limits_of_entry(entry, words)]).strip()
    return f"Fed {where} once more, beside the plan{day}."


def ticked_besides(entry: Entry, words: Words) -> str:
    """Return which other tests the readings of a tick did: "Its readings tick Test pH, too."."""
    others = [one for one in entry.completes[1:] if not one.is_extra]
    names = dict.fromkeys(words.chore_name(one.chore) for one in others)
    is_read = isinstance(entry.fact, Readings)
    return f"Its readings tick {listed(list(names))}, too." if names and is_read else ""


def rest_words(rest: Rest, words: Words) -> str:
    """Return when the rest of the fresh water comes: "The rest, about 1.2 L, stands open.".

    Of a coming day: "The rest, about 1.9 L with what evaporates until then, is due tomorrow.".
    """
    litres = words.litres(rest.litres)
    if rest.day is None:
        return f"The rest, about {litres}, stands open."
    day = words.on_day(rest.day)
    if rest.part is not None:
        part = words.litres(rest.part)
        return f"The next part, about {part} of the {litres} missing by then, is due {day}."
    return f"The rest, about {litres} with what evaporates until then, is due {day}."


def left_to_mix(litres: float, words: Words) -> str:
    """Return how much is left once a part was mixed: "60 L is left to mix."."""
    return f"{words.litres(litres)} is left to mix."


def left_words(left: Sequence[Item], said_of: int, words: Words) -> str:
    """Return which turns are as they were: "That of Saturday 28 is still to do.".

    `said_of` is of how many lines it was said that they were done: where not all of them stay, or
    not of one day, those that do are named.
    """
    told = [(one, _of_day(one.open.target, words)) for one in left if one.open is not None]
    if not told:
        return ""
    days = {day for _, day in told}
    to = "to do" if any(one.is_open for one, _ in told) else "to come"
    if len(days) > 1 or len(told) < said_of:
        named = [f"{words.chore_name(one.chore.id)} of {day}" for one, day in told]
        return f"Still {to}: {listed(list(dict.fromkeys(named)))}."
    those = "That of {} is" if len(told) == 1 else "Those of {} are"
    return f"{those.format(days.pop())} still {to}."


def _of_day(day: date, words: Words) -> str:
    return "today" if day == words.today else words.named_date(day)


def _ticks(entry: Entry, words: Words, is_of_line: bool) -> str:
    """Return which chores it ticks; work without a turn ticks none.

    What was said to be of a line of a day gone by does that, be its name held by the tick of a
    later one.
    """
    named = [one for one in entry.completes if not (one.is_extra or one.is_part)]
    by_day = [one for one in entry.completes if one.is_extra and not one.is_beside]
    if named:
        return f"That ticks {_chores(named, words)}."
    if by_day and is_of_line and entry.day < words.today:
        return f"That does {_chores(by_day, words)} of that day."
    return ""


def _chores(turns: Sequence[Turn], words: Words) -> str:
    return listed(list(dict.fromkeys(words.chore_name(one.chore) for one in turns)))
