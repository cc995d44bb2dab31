"""Another rhythm of a chore, with the rhythms before it and the turn that is open by them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.chores import Calendar, Chore, EarlierRhythm, Once, Rhythm, WhenWaterSays
from tankkeeper.core.pauses import spans_for
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.rule_text import parse_rule
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import OpenTurn

_DAY = timedelta(days=1)
_ON_ONE_DAY = "FREQ=DAILY;COUNT=1"


def changed_from(state: HouseholdState, present: Chore, wanted: Chore, begins: date) -> Chore:
    """Return the chore as wanted, another rhythm from a day on; what is open today stays open.

    A turn of today stays by the rhythm that brought it, and the new one begins the day after. It
    counts on from the turn where its own first day would have left that out. What the water
    decides, and a single day, say themselves what is to be done.
    """
    says_itself = isinstance(wanted.rhythm, (WhenWaterSays, Once))
    if wanted.rhythm == present.rhythm or says_itself or begins != state.moment.day:
        return with_version(present, wanted, begins)
    owed = _owed(state, present)
    if owed is None:
        return with_version(present, wanted, begins)
    wanted = replace(wanted, rhythm=_counted_on(present.rhythm, wanted.rhythm, owed))
    plain = with_version(present, wanted, begins)
    if _stands(state, plain, owed):
        return plain
    after = max(begins, _last_day_of(owed) + _DAY)
    kept = with_version(_with_single_day(present, wanted.rhythm, owed), wanted, after)
    # Where missed turns lapse from now on, one that is missed does so, too.
    return kept if _stands(state, kept, owed) else plain


def with_version(present: Chore, wanted: Chore, begins: date) -> Chore:
    """Return the chore as wanted, another rhythm from a day on, with the rhythms it had before."""
    past = {"valid_from": present.valid_from, "earlier": present.earlier}
    if wanted.rhythm == present.rhythm:
        return replace(wanted, **past)  # type: ignore[arg-type]
    # What would have held only from the new day on never holds, so there is no past to keep it for.
    rows = (*present.earlier, EarlierRhythm(_held_from(present, begins), present.rhythm))
    earlier = tuple(one for one in rows if one.valid_from < begins)
    return replace(wanted, valid_from=begins, earlier=earlier)


def _held_from(present: Chore, begins: date) -> date:
    """Return the first day of the present rhythm, the day before the new one where none is said."""
    if present.valid_from is not None:
        return present.valid_from
    if isinstance(present.rhythm, Calendar):
        return present.rhythm.start
    return min(present.first_due or begins, begins - _DAY)


def _open(state: HouseholdState, chore: Chore) -> list[OpenTurn]:
    """Return the turns of a chore that are to be done by today, as the log stands."""
    entries, pauses = state.history.of_chore(chore.id), spans_for(chore, state.spans)
    folded = fold_chore(chore, entries, pauses, state.moment, state.limit_of(chore))
    return [one for one in folded.open if one.target <= state.moment.day]


def _owed(state: HouseholdState, chore: Chore) -> OpenTurn | None:
    """Return the turn that has waited longest of those to be done by today, None where none is."""
    return min(_open(state, chore), key=lambda one: one.target, default=None)


def _stands(state: HouseholdState, changed: Chore, owed: OpenTurn) -> bool:
    """Tell whether a turn is open by the changed chore, too, and has waited as long there."""
    return any(one.target <= owed.target for one in _open(state, changed))


def _last_day_of(owed: OpenTurn) -> date:
    """Return the last day that the rhythm of a turn has to hold for it to stay."""
    key = owed.turn.key
    return max(owed.target, date.fromisoformat(key)) if key[:1].isdigit() else owed.target


def _counted_on(before: Rhythm, rhythm: Rhythm, owed: OpenTurn) -> Rhythm:
    """Return a rhythm that counts on from the open turn where only how often it comes changed.

    Every second week from a first day that was said for every week would come in the one week or
    the other by chance. Where another first day was said, that holds.
    """
    if not isinstance(before, Calendar) or not isinstance(rhythm, Calendar):
        return rhythm
    if rhythm.start != before.start or parse_rule(rhythm.rule).count is not None:
        return rhythm
    day = date.fromisoformat(owed.turn.key)
    if compile_rule(rhythm.rule, rhythm.start).has(day.toordinal()):
        return rhythm
    comes = compile_rule(rhythm.rule, day).has(day.toordinal())
    return replace(rhythm, start=day) if comes else rhythm


def _with_single_day(present: Chore, becomes: Rhythm, owed: OpenTurn) -> Chore:
    """Return the chore with the day of the open turn as its last rhythm before the new one.

    A calendar knows its own days alone, and what is counted the last time alone; rules that follow
    one another are one series anyway.
    """
    is_rule = isinstance(becomes, Calendar)
    if is_rule and isinstance(present.rhythm, Calendar):
        return present
    held = _held_from(present, owed.target)
    rows = (*present.earlier, EarlierRhythm(held, present.rhythm))
    earlier = tuple(one for one in rows if one.valid_from < owed.target)
    day = owed.target
    single = Calendar(_ON_ONE_DAY, day) if is_rule else Once(day)
    return replace(present, rhythm=single, valid_from=day, earlier=earlier)
