"""How a chore ends: with its last day, or with its last turn where that day leaves none out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.chores import Calendar, Chore, IfMissed
from tankkeeper.core.recurrence import compile_rule


def ends_with_its_turns(chore: Chore) -> bool:
    """Tell whether the last day of a chore is that of the window of the last turn of its rule.

    Such a day says only that nothing comes after, as the rule does: a turn that is open then stays
    so until it is done or skipped. After any other last day what was missed is void.
    """
    rhythm, ended_on = chore.rhythm, chore.ended_on
    if ended_on is None or not isinstance(rhythm, Calendar) or chore.if_missed is IfMissed.EXPIRE:
        return False
    rule = compile_rule(rhythm.rule, rhythm.start)
    if rule.parts.count is None and rule.parts.until is None:
        return False
    last = rule.last_on_or_before(rule.last_day)
    return last is not None and last + chore.late_days == ended_on.toordinal()


def ended(chore: Chore, last: date) -> Chore:
    """Return a chore that somebody ended, `last` being its last day; nothing of it stays open."""
    found = replace(chore, ended_on=last)
    # On this one day the last turn would stay until it is done.
    return (
        replace(found, ended_on=last - timedelta(days=1)) if ends_with_its_turns(found) else found
    )
