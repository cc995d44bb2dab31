"""When each chore of the sample was done: planned backwards from how it stands today."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from enum import StrEnum
from random import Random
from zoneinfo import ZoneInfo

from tankkeeper.core.chores import Calendar, Chore, ChoreKind, Once, WhenWaterSays
from tankkeeper.core.counted_turns import counted_turn
from tankkeeper.core.days import instant_of
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.values import dataclass
from tankkeeper.services.sample.habits import (
    ALWAYS_MEASURED,
    AWAY,
    DAYS_OF_LOG,
    HABITS,
    MORNING,
    TICKED_BY_MISTAKE,
    TYPED_WRONG,
    USUAL,
    WHY_SKIPPED,
    Habit,
)

DAY = timedelta(days=1)


class Way(StrEnum):
    """What an act is."""

    DO = "do"
    SKIP = "skip"
    PUT_OFF = "put off"
    MISTAKE = "ticked by mistake and undone"
    LOOK = "look at the reservoir"


@dataclass(frozen=True, slots=True)
class Act:
    """One thing a keeper does on a chore at a moment; `to` is where a turn is put off to."""

    at: datetime
    day: date
    chore: Chore
    way: Way = Way.DO
    slot: time | None = None
    to: date | None = None
    why: str = ""
    is_typed_wrong: bool = False
    is_exact: bool = False


@dataclass(frozen=True, slots=True)
class Opening:
    """The day on which the sample is opened."""

    moment: Moment
    seed: int

    @property
    def today(self) -> date:
        """The day of the household."""
        return self.moment.day

    @property
    def zone(self) -> ZoneInfo:
        """The zone of the household."""
        return self.moment.zone

    def back(self, days: int) -> date:
        """Return the day so many days ago."""
        return self.today - timedelta(days=days)

    def at(self, day: date, wall: time) -> datetime:
        """Return a moment on a day, in UTC."""
        return instant_of(day, wall, self.zone)

    def is_away(self, day: date) -> bool:
        """Tell whether nobody was at home."""
        return (self.today - day).days in AWAY

    def rng(self, of: str) -> Random:
        """Return the dice of one thing, the same whatever the day of opening."""
        return Random(f"{self.seed}:{of}")


def plan(chore: Chore, opening: Opening, every_days: int = 1, shift_days: int = 0) -> list[Act]:
    """Return the acts of one chore in order of time.

    `every_days` is how long the water lets a water-driven chore rest, `shift_days` moves its last
    turn, so that it stands today as its habit says.
    """
    habit = HABITS.get(chore.id, USUAL)
    rng = opening.rng(chore.id)
    rhythm = chore.rhythm
    if isinstance(rhythm, Calendar):
        acts = _by_calendar(chore, rhythm, habit, opening, rng)
    elif isinstance(rhythm, WhenWaterSays):
        last = opening.today + timedelta(days=(habit.aim or 0) - every_days + shift_days)
        if habit.last:
            last = opening.back(habit.last)
        acts = _counted_back(chore, min(last, opening.back(1)), every_days, opening, rng)
        if chore.kind is ChoreKind.RESERVOIR:
            acts += _looks(acts, opening, rng)
    elif habit.aim is None or isinstance(rhythm, Once):
        acts = []
    else:
        last, every_days = _last_counted(chore, habit, opening)
        acts = _counted_back(chore, last, every_days, opening, rng)
    acts = [*_with_mistake(chore, acts, opening), *_this_morning(chore, opening)]
    return sorted(acts, key=lambda act: act.at)


def _first_day(chore: Chore, opening: Opening) -> date:
    """Return the first day of the log on which the chore was there."""
    begun = chore.valid_from or chore.first_due
    return max(opening.back(DAYS_OF_LOG), begun or date.min)


# by the calendar


def _by_calendar(
    chore: Chore, rhythm: Calendar, habit: Habit, opening: Opening, rng: Random
) -> list[Act]:
    """Return acts on the days of the rule: daily ones left out now and then, others late."""
    first = max(opening.back(DAYS_OF_LOG), rhythm.start)
    last = opening.back(max(1, habit.behind, habit.last))
    rule = compile_rule(rhythm.rule, rhythm.start)
    on = _daily if "FREQ=DAILY" in rhythm.rule else _seldom
    acts = []
    for ordinal in rule.days(first.toordinal(), last.toordinal()):
        for slot in rhythm.slots or (None,):
            minutes = rng.randrange(2, 40)
            day = on(chore, date.fromordinal(ordinal), opening, rng)
            if day is not None and day <= last:
                wall = _wall(chore, slot, minutes, rng)
                acts.append(Act(opening.at(day, wall), day, chore, slot=slot))
    return acts


def _daily(_: Chore, day: date, opening: Opening, rng: Random) -> date | None:
    """Return the day, or None when nobody was at home or it was forgotten."""
    is_forgotten = rng.random() < 0.06 and day < opening.back(1)
    return None if is_forgotten or opening.is_away(day) else day


def _seldom(chore: Chore, day: date, opening: Opening, rng: Random) -> date | None:
    """Return the day itself or one somewhat later; lately everything was on time."""
    luck, late = rng.random(), rng.randrange(1, 4)
    if luck > 0.85 and day < opening.back(9):
        day += min(late, chore.late_days) * DAY
    while opening.is_away(day):
        day += DAY
    return day


def _wall(chore: Chore, slot: time | None, minutes: int, rng: Random) -> time:
    """Return the time of day at which a chore is done: at its slot, else by its kind."""
    if slot is not None:
        begun = slot.hour * 60 + slot.minute + minutes // 3
    else:
        first, last = _HOURS.get(chore.kind, (17 * 60 + 10, 20 * 60 + 30))
        begun = rng.randrange(first, last)
    return time(begun // 60, begun % 60, rng.randrange(60))


_HOURS = {
    ChoreKind.TOP_OFF: (6 * 60 + 30, 7 * 60 + 50),
    ChoreKind.RESERVOIR: (6 * 60 + 40, 8 * 60),
    ChoreKind.FEEDING: (7 * 60, 8 * 60 + 15),
    ChoreKind.DOSE: (7 * 60 + 20, 8 * 60 + 20),
    ChoreKind.WATER_CHANGE: (17 * 60 + 30, 19 * 60 + 30),
    ChoreKind.MAKE_FRESH_WATER: (16 * 60, 18 * 60),
    ChoreKind.MIX_SALT_WATER: (18 * 60, 20 * 60),
    ChoreKind.TEST: (18 * 60, 20 * 60 + 30),
}


# counted from the last time


def _last_counted(chore: Chore, habit: Habit, opening: Opening) -> tuple[date, int]:
    """Return the day whose completion gives the target of the habit, and the days between."""
    aim = opening.today + timedelta(days=habit.aim or 0)
    if habit.last:
        aim = opening.back(habit.last) + timedelta(days=30)
    for back in range(max(1, habit.last), 400):
        day = opening.back(back)
        target = _target_after(chore, day, opening)
        if target <= aim:
            return day, max(1, (target - day).days)
    raise ValueError(f"no day makes {chore.id} stand as its habit says")


def _target_after(chore: Chore, day: date, opening: Opening) -> date:
    at = opening.at(day, time(18, 30))
    done = Entry("x", 1, at, day, opening.zone.key, completes=(Turn(chore.id, "x"),))
    turn = counted_turn(chore, (done,), (), opening.moment)
    if turn is None:
        raise ValueError(f"{chore.id} is not counted from the last time")
    return turn.target


def _counted_back(
    chore: Chore, last: date, every_days: int, opening: Opening, rng: Random
) -> list[Act]:
    """Return acts from the last one back to the first day, now and then early or late."""
    first = _first_day(chore, opening)
    acts: list[Act] = []
    day, number = last, 0
    while day >= first:
        while opening.is_away(day):
            day -= DAY
        act = _act_on(chore, day, number, opening, rng)
        moved = _moved_by(chore, every_days, rng)
        before = day - moved * DAY
        may_wait = moved > 0 and number > 0 and act.way is Way.DO
        is_put_off = rng.random() < 0.3 and may_wait and not opening.is_away(before)
        if is_put_off and before >= first and not isinstance(chore.rhythm, WhenWaterSays):
            at = opening.at(before, time(20, 45, rng.randrange(60)))
            acts.append(Act(at, before, chore, Way.PUT_OFF, to=day))
        acts.append(act)
        day -= max(1, every_days + moved) * DAY
        number += 1
    return acts


def _act_on(chore: Chore, day: date, number: int, opening: Opening, rng: Random) -> Act:
    """Return what was done on a day, `number` turns before the last one: the work, or a skip."""
    at = opening.at(day, _wall(chore, None, 0, rng))
    if rng.random() < 0.05 and number > 1 and chore.kind not in _NEVER_SKIPPED:
        return Act(at, day, chore, Way.SKIP, why=rng.choice(WHY_SKIPPED))
    is_wrong = TYPED_WRONG.get(chore.id) == number
    is_exact = is_wrong or number < 2 or chore.id in ALWAYS_MEASURED
    return Act(at, day, chore, is_typed_wrong=is_wrong, is_exact=is_exact)


_NEVER_SKIPPED = {
    ChoreKind.TOP_OFF,
    ChoreKind.RESERVOIR,
    ChoreKind.WATER_CHANGE,
    ChoreKind.MAKE_FRESH_WATER,
    ChoreKind.MIX_SALT_WATER,
}


def _moved_by(chore: Chore, every_days: int, rng: Random) -> int:
    """Return by how many days one turn came early (below zero) or late."""
    luck = rng.random()
    if luck < 0.62:
        return 0
    if luck < 0.74:
        return -1 if (chore.early_days or every_days > 2) else 0
    if luck < 0.93:
        return 1 if every_days > 1 else 0
    if every_days <= 2 or isinstance(chore.rhythm, WhenWaterSays):
        return 1
    return min(3, max(1, every_days // 3) + 1)


def _looks(acts: list[Act], opening: Opening, rng: Random) -> list[Act]:
    """Return a look at the reservoir between some fills, but not after the last one."""
    looks = []
    for act in acts[1:]:
        day = act.day + 2 * DAY
        if rng.random() < 0.35 and not opening.is_away(day):
            at = opening.at(day, time(19, rng.randrange(60)))
            looks.append(Act(at, day, act.chore, Way.LOOK))
    return looks


def _with_mistake(chore: Chore, acts: list[Act], opening: Opening) -> list[Act]:
    """Return the acts with one that was ticked on the evening before by mistake, and undone."""
    number = TICKED_BY_MISTAKE.get(chore.id)
    if number is None:
        return acts
    done = [act for act in sorted(acts, key=lambda one: one.at) if act.way is Way.DO]
    if len(done) < number:
        return acts
    before = done[-number].day - DAY
    return [*acts, Act(opening.at(before, time(20, 52)), before, chore, Way.MISTAKE)]


def _this_morning(chore: Chore, opening: Opening) -> list[Act]:
    """Return what was done before the round of today, once that moment has come."""
    morning = MORNING.get(chore.id)
    if morning is None:
        return []
    at = opening.at(opening.today, morning.at)
    if at > opening.moment.now - timedelta(minutes=10):
        return []
    way = Way.SKIP if morning.skipped_because else Way.DO
    why = morning.skipped_because
    return [Act(at, opening.today, chore, way, slot=morning.slot, why=why)]


def chores_of(household: Household, tank: str | None) -> list[Chore]:
    """Return the chores of one tank, or of the household."""
    return [chore for chore in household.chores if chore.tank == tank]
