"""What must be told now and when to look next: a pure function of state, clock and what was told.

Every cause has a key of its own, made of its day, its turn or its entry, and is told once. Whatever
comes due together is told as one, be it after a quiet night or after days of sleep: a heap of
notices is read by nobody.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from tankkeeper.core.days import instant_of
from tankkeeper.core.moment import Moment
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.services.reminder_causes import Cause, Reminder, causes_of, mornings, next_restart
from tankkeeper.services.reminder_habits import Habits
from tankkeeper.services.restarts import Restart

LONGEST_WAIT = timedelta(hours=24)
# Told keys are forgotten after that; no cause lasts as long without having changed its key.
KEPT = timedelta(days=14)

Told = Mapping[str, datetime]
# Before the key of what was told and closed.
_CLOSED = "closed:"
# Before the key of a summary that was left out where the round itself stood before the eyes.
_LEFT_OUT = "left-out:"
_ORDER = tuple(Cause)
# They harm animals for as long as they stand, however long ago they were told.
LASTING = frozenset({Cause.POISON, Cause.LIMIT, Cause.RESERVOIR})


@dataclass(frozen=True, slots=True)
class Plan:
    """What to tell now as one notice (empty for nothing), what is told then, when to look again."""

    tell: tuple[Reminder, ...]
    told: Told
    look_at: datetime


def plan(
    state: HouseholdState,
    restarts: Sequence[Restart],
    habits: Habits,
    told: Told,
    now: datetime,
) -> Plan:
    """Return what must be told at `now`; the state may be somewhat older."""
    stands = list(causes_of(state, restarts, habits, now))
    found = _once_a_day(stands, told, state.moment)
    causes = [one for one in found if not _was_told(one, told)]
    ripe = [one for one in causes if one.at <= now]
    quiet_until = quiet_end(habits, state.moment, now)
    speak = [one for one in ripe if quiet_until is None or one.breaks_quiet]
    kept = {key: at for key, at in told.items() if abs(now - at) <= KEPT}
    kept |= {one.key: now for one in speak}
    # What is told another day may stand before that.
    stands = list(_until_filled(stands, told, state.moment))
    later = [one.at for one in (*causes, *stands) if one.at > now] + [now + LONGEST_WAIT]
    if quiet_until is not None:
        later.append(quiet_until)
    later += [next_restart(one, now) for one in restarts]
    shown = [one for one in speak if _says_something(one)]
    return Plan(tuple(in_order(shown)), kept, min(later))


def _was_told(one: Reminder, told: Told) -> bool:
    """Tell whether something was told; of a morning whatever its hour was then.

    So a summary comes once a day, also where its hour is set anew after it came. One that was left
    out comes at an hour that is set for later that day.
    """
    if one.cause is not Cause.MORNING:
        return one.key in told
    day = one.key.rpartition("T")[0]
    days = {key: key.rpartition("T")[0] for key in told}
    left_out = (told[key] for key, of in days.items() if of == f"{_LEFT_OUT}{day}")
    return day in days.values() or any(at >= one.at for at in left_out)


def _once_a_day(causes: Iterable[Reminder], told: Told, moment: Moment) -> Iterator[Reminder]:
    """Let the limit of a tank that was told today wait for the round of the next day.

    A tank that reaches it within hours of each filling would be told of at each of them.
    """
    for one in causes:
        last = _told_last(one, told, but=one.key)
        yield one if last is None else _next_day(one, last, moment)


def _until_filled(causes: Iterable[Reminder], told: Told, moment: Moment) -> Iterator[Reminder]:
    """Let the limit of a tank wait in the same way, but only where it was filled since it was told.

    Whatever else is written down or taken back, what harms stands for as long as it does so: the
    limit may count from a fill of an earlier day then, which is no fill since.
    """
    for one in causes:
        last = _told_last(one, told)
        is_anew = last is not None and one.filled_at is not None and one.filled_at > last
        yield _next_day(one, last, moment) if last is not None and is_anew else one


def _next_day(one: Reminder, last: datetime, moment: Moment) -> Reminder:
    following = moment.day_of(last) + timedelta(days=1)
    return replace(one, at=max(one.at, moment.round_on(following)))


def _told_last(one: Reminder, told: Told, but: str = "") -> datetime | None:
    """Return when the limit of the same tank was told last, after whichever filling."""
    if one.cause is not Cause.LIMIT or one.tank is None:
        return None
    begins = f"{one.cause.value}:{one.tank.id}:"
    found = (at for key, at in told.items() if key.startswith(begins) and key != but)
    return max(found, default=None)


def in_order(reminders: Iterable[Reminder]) -> list[Reminder]:
    """Return them by what they are about: what harms animals first, the morning's summary last.

    Of what lacks water the tank stands first that is harmed first.
    """

    def place(one: Reminder) -> tuple[int, datetime, datetime, str]:
        cause = Cause.LIMIT if one.cause is Cause.RESERVOIR else one.cause
        return _ORDER.index(cause), one.harm_at or one.at, one.at, one.key

    return sorted(reminders, key=place)


def newest_first(reminders: Iterable[Reminder], told: Told, begun: datetime) -> list[Reminder]:
    """Return work that was told last first: of a full banner that is what can be read.

    Before all work told earlier stands what harms animals, the worst first whenever it was told.
    What comes up at once stands by what it is about; at a new start, which has `begun` then, so
    does all that was told before it.
    """
    ordered = in_order(reminders)

    def came_up_at(one: Reminder) -> datetime:
        return max(begun, told.get(one.key, one.at))

    harms = [one for one in ordered if one.cause in LASTING]
    work = [one for one in ordered if one.cause not in LASTING]
    work.sort(key=came_up_at, reverse=True)
    newest = max(map(came_up_at, ordered), default=begun)
    count = sum(begun < newest == came_up_at(one) for one in work)
    return [*work[:count], *harms, *work[count:]]


def standing(
    state: HouseholdState,
    restarts: Sequence[Restart],
    habits: Habits,
    now: datetime,
    told: Told | None = None,
) -> dict[str, Reminder]:
    """Return by key what has come by `now` and still stands, told or not."""
    found = _until_filled(causes_of(state, restarts, habits, now), told or {}, state.moment)
    return {one.key: one for one in found if one.at <= now}


def with_closed(told: Told, closed: Iterable[Reminder], now: datetime) -> Told:
    """Return what was told with what was closed: a slot of today does not come with a new start.

    What harms animals does.
    """
    slots = (one for one in closed if one.cause is Cause.SLOT)
    return {**told, **{f"{_CLOSED}{one.key}": now for one in slots}}


def with_left_out(told: Told, summaries: Iterable[Reminder], now: datetime) -> Told:
    """Return what was told where these summaries were not, because the round was just opened."""
    keys = {one.key for one in summaries}
    kept = {key: at for key, at in told.items() if key not in keys}
    return {**kept, **{f"{_LEFT_OUT}{key}": now for key in keys}}


def closed_before(told: Told) -> Told:
    """Return what was closed, with its moment."""
    return {key.removeprefix(_CLOSED): at for key, at in told.items() if key.startswith(_CLOSED)}


def left_open(
    reminders: Iterable[Reminder], closed: Told, moment: Moment, now: datetime
) -> list[Reminder]:
    """Return those that have something to say and were not closed.

    What harms animals stands again on the next day of the household, as it would after a new
    start, and on the same day once the moment has come that was still ahead when it was closed.
    """

    def stays_away(one: Reminder, at: datetime) -> bool:
        if one.cause not in LASTING:
            return True
        has_come = one.by is not None and at < one.by <= now
        return not has_come and moment.day_of(at) == moment.day_of(now)

    return [
        one
        for one in reminders
        if _says_something(one) and not (one.key in closed and stays_away(one, closed[one.key]))
    ]


def _says_something(one: Reminder) -> bool:
    return one.cause is not Cause.MORNING or bool(one.overdue or one.due)


def summary_to_come(
    state: HouseholdState, habits: Habits, told: Told, now: datetime
) -> datetime | None:
    """Return when the summary of today comes, None once it came or where it has nothing to say.

    One of an hour that is quiet comes at the end of the quiet hours, as all that is told does.
    """
    today = now.astimezone(state.moment.zone).date()
    for one in mornings(state, habits, now):
        at = quiet_end(habits, state.moment, one.at) or one.at
        is_today = one.at.astimezone(state.moment.zone).date() == today
        if at > now and is_today and (one.overdue or one.due) and not _was_told(one, told):
            return at
    return None


def quiet_end(habits: Habits, moment: Moment, now: datetime) -> datetime | None:
    """Return when the quiet hours that `now` lies in end, None where it lies in none.

    Both ends are moments of a calendar day, so a night of 23 or 25 hours has one beginning and one
    end like any other.
    """
    if habits.quiet is None or habits.quiet[0] == habits.quiet[1]:
        return None
    first, last = habits.quiet
    today = now.astimezone(moment.zone).date()
    for ago in (1, 0):
        begins = today - timedelta(days=ago)
        ends = begins if first < last else begins + timedelta(days=1)
        if instant_of(begins, first, moment.zone) <= now < instant_of(ends, last, moment.zone):
            return instant_of(ends, last, moment.zone)
    return None
