"""Refusals of what is held by something else: a turn that is done, the place of a correction."""

from __future__ import annotations

from tankkeeper.core.logbook import Entry
from tankkeeper.reports.fault_values import Values, time_text, told_value
from tankkeeper.reports.logbook_words import text_inside
from tankkeeper.reports.tables import clean
from tankkeeper.reports.window_words import done_already
from tankkeeper.reports.words import Words


def already_done_words(values: Values, words: Words | None) -> str:
    """Return who did a turn and when, of one that cannot be done twice."""
    holder = values.get("holder")
    turn = str(values.get("turn", ""))
    chore = turn.split("@", 1)[0]
    name = chore if words is None else words.chore_name(chore)
    if not isinstance(holder, Entry):
        return f"{name} is done already."
    when = time_text(holder.at, words)
    who = holder.by if words is None else words.person(holder.by)
    by = f" by {who}" if who else ""
    return f"{clean(name)} is done already: {when}{clean(by)}. Undo that first to do it again."


def done_meanwhile_words(values: Values, words: Words | None) -> str:
    """Return that a turn was done while somebody was about to do it."""
    name, entry = told_value("", values.get("chore"), words), values.get("entry")
    if words is None or not isinstance(entry, Entry):
        return f"{name} was done already."
    return done_already(name, entry, words)


def corrected_otherwise_words(values: Values, words: Words | None) -> str:
    """Return which correction holds in the place of one that was to hold again."""
    holder = values.get("holder")
    said = f": {text_inside(holder, words)}" if words and isinstance(holder, Entry) else ""
    return f"Another correction holds in its place{said}. Take that back first."


def redo_is_held_words(values: Values, words: Words | None) -> str:
    """Return why the newest undo cannot be taken back."""
    turn, holder = str(values.get("turn", "")), values.get("holder")
    if "turn" not in values:
        at = told_value("", values.get("at"), words)
        return (
            f"The newest undo is that of {at}, of a correction, and another one holds in its "
            "place since. So there is nothing to bring back."
        )
    chore = turn.split("@", 1)[0]
    name = chore if words is None else words.chore_name(chore)
    since = f", {time_text(holder.at, words)}" if isinstance(holder, Entry) else ""
    at = told_value("", values.get("at"), words)
    return (
        f"The newest undo is that of {at}, and its work was done once more since: "
        f"{clean(name)}{since}. So there is nothing to bring back."
    )
