"""A chore whose rhythm changes on a day to come: as it holds until then, and as it comes after."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from tankkeeper.core.chores import Calendar, Chore, EarlierRhythm, Rhythm


class Parted(NamedTuple):
    """The chore of today, and the same chore by the rhythms that follow; None where none does."""

    now: Chore
    later: Chore | None = None


def rhythm_on(chore: Chore, day: date) -> Rhythm:
    """Return the rhythm that holds on a day, the first one for the days before it."""
    if chore.valid_from is None or chore.valid_from <= day or not chore.earlier:
        return chore.rhythm
    rows = sorted(chore.earlier, key=lambda one: one.valid_from)
    held = [one.rhythm for one in rows if one.valid_from <= day]
    return held[-1] if held else rows[0].rhythm


def as_on(chore: Chore, day: date) -> Chore:
    """Return a chore with the rhythm that holds on a day; its versions stay as they are."""
    rhythm = rhythm_on(chore, day)
    return chore if rhythm == chore.rhythm else replace(chore, rhythm=rhythm)


def parted(chore: Chore, day: date) -> Parted:
    """Return a chore by the rhythm that holds on a day, and by those that replace it later.

    Calendars that follow one another are one series of rules and stay whole; any other rhythm
    ends where the next one begins. What follows knows the rhythm before it, and may be parted
    again on a later day.
    """
    begins = chore.valid_from
    if begins is None or begins <= day or not chore.earlier:
        return Parted(chore)
    rows = sorted(chore.earlier, key=lambda one: one.valid_from)
    rows.append(EarlierRhythm(begins, chore.rhythm))
    at = max((at for at, one in enumerate(rows) if one.valid_from <= day), default=0)
    last = at
    if isinstance(rows[at].rhythm, Calendar):
        while last + 1 < len(rows) and isinstance(rows[last + 1].rhythm, Calendar):
            last += 1
    if last + 1 == len(rows):
        return Parted(chore)
    ends = rows[last + 1].valid_from - timedelta(days=1)
    now = replace(
        chore,
        rhythm=rows[last].rhythm,
        valid_from=rows[last].valid_from,
        earlier=tuple(rows[:last]),
        ended_on=ends if chore.ended_on is None else min(ends, chore.ended_on),
    )
    return Parted(now, replace(chore, earlier=tuple(rows[last:-1])))
