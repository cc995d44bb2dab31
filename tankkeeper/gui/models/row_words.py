"""Lines of work in the words of what becomes of them."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.chores import Calendar
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.turns import State
from tankkeeper.gui.beside import WRITTEN_DOWN
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.words import Words
from tankkeeper.services.calendar import next_to_move
from tankkeeper.services.ticking import too_early

_NAMED = 3


def not_open(row: ItemRow) -> str:
    """Return why nothing can be done with a row, and what can be done first."""
    if row.item.state is State.PAUSED:
        return f"{row.name} is paused. Resume it first, with Shift+P."
    if row.item.state is State.PROJECTED:
        return f"{row.name}: {row.state}. {comes_later(row.item)}"
    return f"{row.name}: {row.state}. Take it back first, with Space."


def not_yet(item: Item, state: HouseholdState, words: Words, form: Command) -> str:
    """Return from when a turn can be ticked that others come before, and what can be done now.

    `form` is the command whose key opens the form of a line where it is told.
    """
    turn = item.open
    assert turn is not None
    head = f"{item.chore.name} of {words.weekday_and_number(turn.target)} is not open yet"
    if isinstance(item.chore.rhythm, Calendar):
        first = words.weekday_and_number(turn.earliest)
        on = "that day" if turn.earliest == turn.target else first
        head = f"{head}: it can be ticked from {on} on."
    else:
        head = f"{head}: it can be ticked once the turn before it is done, and its day follows it."
    here = next_to_move(state, item)
    of = "" if here is None or here.open is None else words.weekday_and_number(here.open.target)
    if of and here is not None and too_early(state, here) is None:
        return f"{head} What is done now is ticked on its turn of {of}."
    if item.chore.kind in WRITTEN_DOWN:
        return f"{head} An extra one is written down with {key_caption(Command.WRITE_DOWN)}."
    if of:
        key = key_caption(form)
        return f"{head} An extra one is written down with {key} on its turn of {of}."
    return head


def not_due_yesterday(row: ItemRow, form: Command, *, can_act: bool = True) -> str:
    """Return why a line of a day to come is not what was done yesterday, and what can be done.

    What is written down outside the round is of some kinds alone; work of another kind has the form
    of its line, where its day can be said: that of the next turn, as only that one `can_act`.
    `form` is the command whose key opens it there.
    """
    head = f"{row.name}: {row.state}. {key_caption(Command.TICK_YESTERDAY)} ticks what is due."
    if row.item.chore.kind in WRITTEN_DOWN:
        key = key_caption(Command.WRITE_DOWN)
        return f"{head} What else was done yesterday, {key} writes down."
    where = "" if can_act else " on its next turn"
    key = key_caption(form)
    return f"{head} If it was done yesterday, {key}{where} asks for the day."


def comes_later(item: Item) -> str:
    """Return why a turn cannot be taken while others come before it, and what can be done.

    Days of a calendar do not move with the turn before them, what is counted from it does.
    """
    if isinstance(item.chore.rhythm, Calendar):
        return (
            "It stands by the calendar and does not move with the turn before it. "
            "It can be put off or left out once it is the next one."
        )
    return (
        "It follows from the turn before it, which comes first. "
        "Put that one off, and this one moves with it."
    )


def done_again(rows: Sequence[ItemRow]) -> str:
    """Return what an undo of taking rows back comes to."""
    is_skipped = all(row.item.state is State.SKIPPED for row in rows)
    return f"{'Skipped' if is_skipped else 'Ticked'} again: {told_rows(rows)}"


def told_rows(rows: Sequence[ItemRow]) -> str:
    """Return rows by chore and tank, or by number where they are many."""
    if len(rows) > _NAMED:
        return f"{len(rows)} chores"
    return ", ".join(
        f"{row.name} ({row.item.tank.name if row.item.tank is not None else HOUSEHOLD})"
        for row in rows
    )
