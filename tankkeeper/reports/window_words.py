"""What is said of moving a turn: put off or brought forward, and a day past its window."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tankkeeper.core.chores import Calendar, Chore, ChoreKind, WhenWaterSays
from tankkeeper.core.counted_turns import Base, raw_target
from tankkeeper.core.logbook import FIRST, Entry
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.turns import OpenTurn
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import Words
from tankkeeper.services.moving import settled_with, window_end


def move_verb(items: Sequence[Item], to: date) -> str:
    """Return what moving turns to a day is: "Put off", "Bring forward", of both kinds "Move"."""
    forward = [one.open is not None and to < one.open.target for one in items]
    return "Bring forward" if all(forward) else "Move" if any(forward) else "Put off"


def moved_word(items: Sequence[Item], to: date) -> str:
    """Return what was done with turns that went to a day: "Put off", "Brought forward", "Moved"."""
    verb = move_verb(items, to)
    return {"Bring forward": "Brought forward", "Move": "Moved"}.get(verb, verb)


def done_already(name: str, entry: Entry, words: Words) -> str:
    """Return that work was done on a day already: "... yesterday already, at 07:10 by Marta."."""
    by = words.person(entry.by)
    who = f" by {by}" if by else ""
    on = words.on_day_at(entry.at)
    return f"{name} was done {on} already, at {words.clock(entry.at)}{who}."


def only_the_next(chore: Chore, day: str) -> str:
    """Return which turn is moved in place of a later one, and what becomes of that."""
    told = f"Only the next turn can be put off, that of {day}."
    return told if isinstance(chore.rhythm, Calendar) else f"{told} Those after it move with it."


def first_told(item: Item, turn: OpenTurn) -> date:
    """Return the first day on which a turn may be done: none before its chore or its tank began."""
    days = [item.chore.begun_on]
    if item.tank is not None and item.last_done is None:
        # What was done before the stage of today shows that the tank began before that.
        days.append(item.tank.since)
    begun = max((day for day in days if day is not None), default=turn.earliest)
    return max(turn.earliest, min(begun, turn.target))


def own_day(item: Item, turn: OpenTurn, words: Words) -> date | None:
    """Return the day that a turn has unless it is moved, None where nothing tells it any more.

    That is by its rhythm alone, or sooner by a reading that left its range.
    """
    if turn.turn.key[:1].isdigit():
        return date.fromisoformat(turn.turn.key)
    if isinstance(item.chore.rhythm, WhenWaterSays):
        return item.limit.latest_on
    if turn.counted_from is None:
        base = Base() if turn.turn.key == FIRST else None
    else:
        at = item.last_done.at if item.last_done is not None else words.moment.now
        base = Base(turn.counted_from, at)
    own = None if base is None else raw_target(item.chore, base, words.moment)
    return own if own is None or turn.left is None else min(own, turn.left.day)


def is_brought_forward(item: Item, turn: OpenTurn, words: Words) -> bool:
    """Tell whether a turn was moved to a day before its own."""
    own = own_day(item, turn, words) if turn.is_put_off else None
    return own is not None and turn.target < own


def is_guessed(item: Item, turn: OpenTurn) -> bool:
    """Tell whether a turn stands on an expected day: a loss that nobody has measured set it."""
    return item.limit.is_expected and turn.latest > turn.target


def days_past(end: date | None, to: date) -> str:
    """Return "2 days past own window" for a day after its end, empty for one inside."""
    # Short: it stands behind the name of a day in a narrow list.
    return _days_past(end, to, "own window")


def _days_past(end: date | None, to: date, what: str) -> str:
    days = (to - end).days if end is not None else 0
    return f"{counted(days, 'day', 'days')} past {what}" if days > 0 else ""


def past_window(state: HouseholdState, item: Item, to: date, words: Words) -> str:
    """Return how far a day lies past the own window of a turn, and until when it can wait there.

    Empty for a day inside.
    """
    end = window_end(state, item)
    past = _days_past(end, to, "its own window")
    if end is None or not past:
        return ""
    verb = "ended" if end < words.today else "ends"
    told = f"That is {past}, which {verb} {words.on_day(end)}"
    # Nothing of the first round asks for it.
    from tankkeeper.services.forecasting import moved_turn

    moved = moved_turn(state, item, to)
    latest = None if moved is None or moved.open is None else moved.open.latest
    if latest is None or latest <= to:
        return f"{told}."
    return f"{told}; its window moves with it, to {words.weekday_and_number(latest)}."


def done_with(following: date | None, words: Words) -> str:
    """Return that the next turn of a rule is done with the one that is moved, empty where not."""
    if following is None:
        return ""
    return f"The turn of {words.weekday_and_number(following)} is then done with it."


def day_words(state: HouseholdState, item: Item, day: date, words: Words) -> str:
    """Return what is to be said of a day for one turn: how far past its window, what it settles.

    Besides that the water of a change is to be mixed for it, where no turn does so.
    """
    past = past_window(state, item, day, words)
    settled = done_with(settled_with(state, item, day), words)
    return " ".join(one for one in (past, settled, water_words(state, item, day, words)) if one)


def water_words(state: HouseholdState, item: Item, day: date, words: Words) -> str:
    """Return what is to be mixed for a change that is put off to a day, empty where nothing is."""
    if item.chore.kind is not ChoreKind.WATER_CHANGE or item.open is None:
        return ""
    # Nothing of the first round asks for these.
    from tankkeeper.reports.unready_reasons import mix_beside
    from tankkeeper.services.forecasting import moved_turn

    moved = moved_turn(state, item, day)
    return "" if moved is None else mix_beside(moved, words)


def stands_on(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return where a turn stands that was moved before, and until when it can wait there."""
    own, to = own_day(item, turn, words), words.weekday_and_number(turn.target)
    since = "" if own is None or own == turn.target else f" from {words.weekday_and_number(own)}"
    moved = "brought forward" if is_brought_forward(item, turn, words) else "put off"
    if turn.latest > turn.target:
        last = words.weekday_and_number(turn.latest)
        told = f"It was {moved}{since} to {to}; its window moved with it, to {last}."
    else:
        told = f"It was {moved}{since} to {to}."
    return f"{told} {own_window(item, turn, words)}".strip()


def own_window(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return until when a turn that was put off could wait by its rhythm, where that differs.

    It is told for whoever wonders; how late the turn is counts from the window that moved with it.
    """
    own = item.own_latest
    if own is None or own == turn.latest:
        return ""
    verb = "could have waited" if own < words.today else "could wait"
    where = "By its rhythm" if turn.left is None else "Where it stood before"
    return f"{where} it {verb} until {words.day(own)}."
