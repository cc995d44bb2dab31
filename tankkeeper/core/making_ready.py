"""Whether the water of a change is made ready before it, and how the chore that does so follows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from math import ceil

from tankkeeper.core.chores import AmountUnit, Calendar, Chore, ChoreKind
from tankkeeper.core.counted_turns import is_skip_of
from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.core.moment import Moment
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.rule_text import WEEKDAYS
from tankkeeper.core.rule_versions import nominal_days, rule_spans
from tankkeeper.core.values import dataclass

MAKING_READY = frozenset({ChoreKind.MIX_SALT_WATER, ChoreKind.MAKE_FRESH_WATER})
# Common practice, no source: what salt needs to be mixed, aerated and warmed through.
USUAL_MIXING_HOURS = 24.0
# Twelve weeks show every phase of the weeks that rules of a household come in.
_AHEAD_DAYS = 84
_MOST_WEEKS = 12


@dataclass(frozen=True, slots=True)
class NotReady:
    """The mixing that a change waits for: not done yet, or when its water is ready.

    `mixed_at` is when that water was mixed. `falls_short` tells that it was done and is not open,
    but that too little of its water is left; `stands_l` is what stands mixed for the change where
    that is too little, as far as it is known. `is_beside` tells that no turn of the mixing is open
    or comes in time.
    """

    prep: Chore
    ready_at: datetime | None = None
    falls_short: bool = False
    mixed_at: datetime | None = None
    stands_l: float = 0.0
    is_beside: bool = False

    @property
    def is_unmixed(self) -> bool:
        """Whether the water still has to be mixed, rather than only waited for."""
        return self.ready_at is None


def lead_days(prep: Chore, household: Household) -> int:
    """Return how many days before a change its water is mixed, or the fresh water for it made."""
    mixing = max(1, ceil(mixing_hours(household) / 24.0))
    return mixing if prep.kind is ChoreKind.MIX_SALT_WATER else mixing + 1


def served(prep: Chore, chores: Iterable[Chore], on: date) -> tuple[Chore, ...]:
    """Return the water changes that a chore makes ready: those that name it, else all it may."""
    changes = [
        one
        for one in chores
        if one.kind is ChoreKind.WATER_CHANGE
        and prep.tank in (None, one.tank)
        and not one.has_ended(on)
    ]
    named = [one for one in changes if prep.name in one.ready_before]
    return tuple(named or changes)


def following(prep: Chore, household: Household, on: date) -> Calendar | None:
    """Return the rhythm with which a chore makes ready each change, None where there is none.

    It counts from the first such day, `on` or later. Only weeks are followed: what counts from the
    last time moves with the work, and no rule of another chore can tell of that.
    """
    slots = prep.rhythm.slots if isinstance(prep.rhythm, Calendar) else ()
    return _rhythm_on(_days_wanted(prep, household, on), on, slots)


def before_each(change: Calendar, lead: int, on: date) -> Calendar | None:
    """Return the rhythm that comes so many days before each turn of a change, if there is one."""
    days = _days_of(change, on + timedelta(days=lead))
    return _rhythm_on([day - lead for day in days], on, ())


def _rhythm_on(wanted: Sequence[int], on: date, slots: tuple[time, ...]) -> Calendar | None:
    """Return the rhythm of weeks that comes on just these days of the twelve weeks from `on`."""
    if not wanted:
        return None
    start = date.fromordinal(wanted[0])
    names = ",".join(WEEKDAYS[day] for day in sorted({(one - 1) % 7 for one in wanted}))
    for weeks in range(1, _MOST_WEEKS + 1):
        every = "" if weeks == 1 else f";INTERVAL={weeks}"
        found = Calendar(f"FREQ=WEEKLY{every};BYDAY={names}", start, slots)
        if _days_of(found, on) == list(wanted):
            return found
    return None


def is_in_step(prep: Chore, household: Household, on: date) -> bool:
    """Tell whether a chore comes exactly as the changes that it makes ready ask for."""
    if not isinstance(prep.rhythm, Calendar):
        return False
    wanted = _days_wanted(prep, household, on)
    return bool(wanted) and _days_of(prep.rhythm, on) == wanted


def lost_step(before: Household, after: Household, on: date) -> list[Chore]:
    """Return the chores that came as the changes asked for and do not any more, as they follow.

    One that was changed itself is left as it was wanted.
    """
    was = {one.id: one for one in before.chores}
    found = []
    for prep in after.chores:
        if prep.kind not in MAKING_READY or prep != was.get(prep.id):
            continue
        if is_in_step(prep, before, on) and not is_in_step(prep, after, on):
            rhythm = following(prep, after, on)
            if rhythm is not None:
                found.append(replace(prep, rhythm=rhythm))
    return found


def unready_by(
    household: Household, history: History, change: Chore, day: date, since: date | None
) -> Chore | None:
    """Return the chore that mixes the water of a change, where no turn of it comes before `day`.

    `since` is the day of the change before where the change counts from it. A chore that mixes
    enough for several changes may leave some of them out.
    """
    if change.kind is not ChoreKind.WATER_CHANGE:
        return None
    missing = None
    for prep in household.chores:
        is_mixing = prep.kind is ChoreKind.MIX_SALT_WATER and isinstance(prep.rhythm, Calendar)
        if not is_mixing or prep.has_ended(day):
            continue
        changes = served(prep, household.chores, day)
        if all(one.id != change.id for one in changes):
            continue
        lead = lead_days(prep, household)
        before = _change_before(history, change, day, since, _batches(prep, changes))
        if before is None or _is_mixed(history, prep, before, day, lead):
            return None
        missing = missing or prep
    return missing


def mixers(household: Household, change: Chore, on: date) -> Iterator[Chore]:
    """Yield the chores that mix the water of a change."""
    for prep in household.chores:
        if prep.kind is not ChoreKind.MIX_SALT_WATER or prep.has_ended(on):
            continue
        if any(one.id == change.id for one in served(prep, household.chores, on)):
            yield prep


def not_ready_by(
    prep: Chore, household: Household, history: History, change: Chore, moment: Moment
) -> NotReady | None:
    """Return what a change still waits for by when its mixing was done, whatever the litres.

    Its water was mixed if that was done, or left out as not needed, after the change before; of a
    mixing for several changes after the first of those.
    """
    newest = newest_settling(prep, history)
    back = _batches(prep, served(prep, household.chores, moment.day))
    since = _since(history, change, back)
    if newest is None or (since is not None and newest.at <= since):
        return NotReady(prep)
    is_mixed = newest.completes_chore(prep.id)
    # What is mixed once more leaves the water that stands ready as it is.
    mixed = newest if since is None else _first_mixed(prep, history, since) or newest
    ready_at = mixed_ready_at(mixed, household) if is_mixed else None
    if ready_at is None or ready_at <= moment.now:
        return None
    return NotReady(prep, ready_at, mixed_at=mixed.at)


def is_mixed_for(
    prep: Chore, household: Household, history: History, change: Chore, moment: Moment
) -> bool:
    """Tell whether the mixing of a change was done since the change before."""
    waits = not_ready_by(prep, household, history, change, moment)
    return waits is None or not waits.is_unmixed


def newest_settling(prep: Chore, history: History) -> Entry | None:
    """Return the newest entry by which a turn of a chore was done or left out."""
    return max(
        (one for one in history.of_chore(prep.id) if settles(one, prep)),
        key=lambda one: (one.at, one.seq),
        default=None,
    )


def _first_mixed(prep: Chore, history: History, since: datetime) -> Entry | None:
    """Return the first entry after a moment by which a turn of a chore was done."""
    found = (one for one in history.of_chore(prep.id) if one.completes_chore(prep.id))
    return min(
        (one for one in found if one.at > since), key=lambda one: (one.at, one.seq), default=None
    )


def settles(entry: Entry, prep: Chore) -> bool:
    """Tell whether an entry does a turn of a chore or leaves it out."""
    return entry.completes_chore(prep.id) or is_skip_of(entry, prep.id)


def _since(history: History, change: Chore, back: int) -> datetime | None:
    """Return when the change was done that is `back` before, None where none is known.

    The history holds the last two days for sure; of a mixing for more changes nothing is told.
    """
    if back > 2:
        return None
    done = sorted(one.at for one in history.of_chore(change.id) if one.completes_chore(change.id))
    return done[-back] if len(done) >= back else None


def mixing_hours(household: Household) -> float:
    """Return how long salt water is mixed, the usual hours where nobody gave any."""
    given = _given_hours(household)
    return USUAL_MIXING_HOURS if given is None else given


def _given_hours(household: Household) -> float | None:
    return household.salt_mix.mixing_hours if household.salt_mix is not None else None


def mixed_ready_at(mixed: Entry, household: Household) -> datetime:
    """Return when what was mixed is ready, by the usual hours where nobody gave any."""
    return mixed.at + timedelta(hours=mixing_hours(household))


def is_nearly_ready(waits: NotReady, household: Household, moment: Moment) -> bool:
    """Tell whether a change waits for nothing but the end of the usual hours since another day.

    That is told, but nobody is held back by it: who mixes one morning and changes on the next is
    rarely later to the minute, and the hours are a habit of the trade.
    """
    if waits.mixed_at is None or _given_hours(household) is not None:
        return False
    return moment.day_of(waits.mixed_at) < moment.day


def first_unready(
    household: Household, history: History, change: Chore, on: date
) -> tuple[Chore, date] | None:
    """Return the chore that mixes for a change and the first day without a turn of it."""
    if not isinstance(change.rhythm, Calendar):
        return None
    first = on.toordinal()
    spans = rule_spans(change, history.of_chore(change.id))
    for ordinal in nominal_days(spans, first, first + _AHEAD_DAYS):
        day = date.fromordinal(ordinal)
        prep = unready_by(household, history, change, day, None)
        if prep is not None:
            return prep, day
    return None


def _is_mixed(history: History, prep: Chore, before: date, day: date, lead: int) -> bool:
    """Tell whether a turn of the mixing, or the work itself, lies between two changes."""
    entries = history.of_chore(prep.id)
    if any(one.completes_chore(prep.id) and before <= one.day <= day for one in entries):
        return True
    wait = timedelta(days=lead)
    first, last = before + timedelta(days=1) - wait, day - wait
    return bool(nominal_days(rule_spans(prep, entries), first.toordinal(), last.toordinal()))


def _change_before(
    history: History, change: Chore, day: date, since: date | None, back: int
) -> date | None:
    """Return the day of the change that is `back` before, None where none is known."""
    if not isinstance(change.rhythm, Calendar):
        return since if back == 1 else None
    spans = rule_spans(change, history.of_chore(change.id))
    first = day - timedelta(days=_AHEAD_DAYS * back)
    days = nominal_days(spans, first.toordinal(), day.toordinal() - 1)
    return date.fromordinal(days[-back]) if len(days) >= back else None


def _batches(prep: Chore, changes: Sequence[Chore]) -> int:
    """Return for how many changes in a row is mixed at once, 1 where the litres are not said."""
    made = _litres(prep)
    taken = [_litres(one) for one in changes]
    total = sum(one or 0.0 for one in taken)
    if made is None or None in taken or total <= 0.0:
        return 1
    return max(1, int(made / total + 1e-9))


def _litres(chore: Chore) -> float | None:
    amount = chore.amount
    return amount.value if amount is not None and amount.unit is AmountUnit.LITRES else None


def _days_wanted(prep: Chore, household: Household, on: date) -> list[int]:
    """Return the days on which the changes want their water made ready; none where not known."""
    lead = timedelta(days=lead_days(prep, household))
    found: set[int] = set()
    for change in served(prep, household.chores, on):
        if not isinstance(change.rhythm, Calendar):
            return []
        found |= {day - lead.days for day in _days_of(change.rhythm, on + lead)}
    return sorted(found)


def _days_of(rhythm: Calendar, on: date) -> list[int]:
    first = on.toordinal()
    return compile_rule(rhythm.rule, rhythm.start).days(first, first + _AHEAD_DAYS)
