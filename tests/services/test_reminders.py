"""Reminders by a clock in the test's hand: what is told, once, in one notice, and when to look."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankkeeper.core.chores import (
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    IfMissed,
    WhenWaterSays,
)
from tankkeeper.core.communities import Community
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Animal, Equipment, Household, Stage, TopOffLimits
from tankkeeper.core.logbook import (
    Entry,
    Note,
    Pause,
    PauseMode,
    Readings,
    ReservoirCheck,
    Revoke,
    Skip,
    TopOff,
    Turn,
    WaterChange,
)
from tankkeeper.core.moment import moment_of
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import HouseholdState, fold_household
from tankkeeper.core.tank_water import hours_to_limit
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.limit_words import limit_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reminder_words import notice_sentence, on_again, restart_sentence, title_of
from tankkeeper.reports.words import Words
from tankkeeper.services import reminders
from tankkeeper.services.desk import Desk
from tankkeeper.services.reminder_causes import (
    LIMIT_AHEAD,
    RESERVOIR_AHEAD,
    Cause,
    Outside,
    Reminder,
)
from tankkeeper.services.reminder_habits import NO_MORNINGS, USUAL_MORNINGS, Habits
from tankkeeper.services.reminders import (
    Plan,
    Told,
    plan,
    quiet_end,
    summary_to_come,
)
from tankkeeper.services.restarts import (
    AFTER_TICK,
    LOOKED_BACK,
    SWITCHED_OFF,
    SWITCHED_ON,
    gear_switched_off,
    read_restarts,
    restarts_of,
    switch_off,
    switch_on,
    switches_off,
)
from tankkeeper.services.round import round_of
from tankkeeper.services.taking_back import take_back_all
from tankkeeper.services.ticking import Tick, tick
from tests.builders import BERLIN, a_box, a_chore, a_household, an_entry
from tests.fakes import CountingIds, FakeStore, SetClock

LOUD = Habits(quiet=None)
SPRING, AUTUMN = date(2026, 3, 29), date(2026, 10, 25)


def local(text: str, fold: int = 0) -> datetime:
    """Return a wall clock time in Berlin as a UTC moment."""
    return datetime.fromisoformat(text).replace(tzinfo=BERLIN, fold=fold).astimezone(UTC)


def fed(*slots: time, **changes: object) -> Chore:
    """Return a chore of every day at these hours."""
    rhythm = Calendar("FREQ=DAILY", date(2026, 3, 1), slots)
    more = {"kind": ChoreKind.FEEDING, "if_missed": IfMissed.EXPIRE, "tank": "nook"} | changes
    return a_chore(rhythm, id="feed", name="Feed", **more)


def house(*chores: Chore, **changes: object) -> Household:
    return a_household(**{"tanks": (a_box(),), "chores": chores} | changes)


class Machine:
    """A program that looks when it was told to, with its record of what it told."""

    def __init__(
        self,
        household: Household,
        habits: Habits = LOUD,
        entries: Sequence[Entry] = (),
        told: Told | None = None,
    ) -> None:
        self.household = household
        self.habits = habits
        self.entries = list(entries)
        self.told: Told = told or {}
        self.said: list[tuple[datetime, tuple[Reminder, ...]]] = []

    def state(self, now: datetime) -> HouseholdState:
        return fold_household(self.household, history_of(self.entries), now)

    def look(self, now: datetime) -> Plan:
        """Look once and tell what there is to tell."""
        state = self.state(now)
        found = plan(state, restarts_of(state, self.entries), self.habits, self.told, now)
        self.told = found.told
        if found.tell:
            self.said.append((now, found.tell))
        return found

    def runs(self, first: datetime, last: datetime) -> None:
        """Look whenever the last look said, and when the day changes, as the window does."""
        now = first
        while now <= last:
            found = self.look(now)
            moment = moment_of(self.household, now)
            change = moment.at(moment.day + timedelta(days=1), moment.day_begins)
            now = min(found.look_at, change if change > now else found.look_at)

    @property
    def keys(self) -> list[str]:
        return [one.key for _, tell in self.said for one in tell]

    @property
    def causes(self) -> list[Cause]:
        return [one.cause for _, tell in self.said for one in tell]


def test_the_morning_is_summed_up_once_at_its_hour() -> None:
    """At seven, not before, and not again when the program starts a second time that day."""
    one = Machine(house(a_chore(first_due=date(2026, 3, 1))))

    before = one.look(local("2026-03-12T06:59"))
    one.runs(before.look_at, local("2026-03-12T23:00"))
    again = Machine(one.household, told=one.told)
    again.runs(local("2026-03-12T09:00"), local("2026-03-12T23:00"))

    assert before.look_at == local("2026-03-12T07:00")
    assert [at for at, _ in one.said] == [local("2026-03-12T07:00")]
    assert one.said[0][1][0].overdue == 1
    assert again.said == []


def test_each_weekday_has_its_own_hour_and_may_have_none() -> None:
    """On Saturday at nine, on Sunday not at all."""
    hours = (*(time(6, 30),) * 5, time(9), None)
    one = Machine(house(a_chore(first_due=date(2026, 3, 1))), Habits(hours, None))  # type: ignore[arg-type]

    one.runs(local("2026-03-13T00:00"), local("2026-03-16T12:00"))

    assert [at for at, _ in one.said] == [
        local("2026-03-13T06:30"),
        local("2026-03-14T09:00"),
        local("2026-03-16T06:30"),
    ]


@pytest.mark.parametrize(
    ("first", "then"),
    [
        (time(7), time(7, 30)),
        (time(7), time(12)),
        (time(7, 30), time(7)),
        (time(7), time(7)),
    ],
)
def test_a_summary_comes_once_a_day_whatever_hour_is_set_then(first: time, then: time) -> None:
    """Told at its hour of that morning, it comes the next day at the new one."""
    one = Machine(house(a_chore(first_due=date(2026, 3, 1))), Habits((first,) * 7, None))
    one.runs(local("2026-03-12T06:50"), local("2026-03-12T07:31"))

    one.habits = Habits((then,) * 7, None)
    now = local("2026-03-12T07:32")
    assert summary_to_come(one.state(now), one.habits, one.told, now) is None
    one.runs(now, local("2026-03-12T23:00"))

    assert len(one.said) == 1
    one.runs(local("2026-03-13T00:01"), local("2026-03-13T23:00"))
    assert len(one.said) == 2
    assert one.said[-1][0].astimezone(BERLIN).time() == then


def test_a_morning_without_work_says_nothing() -> None:
    """A notice that says nothing is to be done would be one to be closed."""
    one = Machine(house())
    one.runs(local("2026-03-12T06:00"), local("2026-03-14T12:00"))
    assert one.said == []


def test_a_slot_is_told_at_its_time_with_the_line_it_leads_to() -> None:
    """Feeding at eight and at eighteen o'clock; what was done before its hour is not told."""
    done = an_entry(
        1, "2026-03-12", done="feed", key="2026-03-12", slot=time(18), at=time(17, 50), tank="nook"
    )
    one = Machine(house(fed(time(8), time(18), early_days=0)), Habits(NO_MORNINGS, None))
    one.runs(local("2026-03-12T07:00"), local("2026-03-12T12:00"))
    one.entries.append(done)
    one.runs(local("2026-03-12T17:55"), local("2026-03-12T23:00"))

    assert [(at, tell[0].row) for at, tell in one.said] == [
        (local("2026-03-12T08:00"), "feed@2026-03-12T0800")
    ]


def test_a_slot_of_the_day_before_is_told_with_its_day() -> None:
    """The hour alone would be taken for one that comes this evening."""
    at = local("2026-03-12T18:54")
    one = Reminder("k", Cause.SLOT, at, by=at)

    def said(now: str) -> str:
        return plain(notice_sentence([one], _words(local(now), house())))

    assert said("2026-03-12T19:30") == "Household: a chore, 18:54."
    assert said("2026-03-13T07:23") == "Household: a chore, yesterday at 18:54."


def test_quiet_hours_hold_everything_back_and_end_in_one_notice() -> None:
    """Slots at 22:30 and 5 o'clock and the morning at six come together at half past six."""
    habits = Habits((time(6),) * 7, (time(22), time(6, 30)))  # type: ignore[arg-type]
    chore = fed(time(22, 30), time(5), if_missed=IfMissed.EACH)
    one = Machine(house(chore), habits)

    one.runs(local("2026-03-12T21:00"), local("2026-03-13T07:00"))

    assert [at for at, _ in one.said] == [local("2026-03-12T21:00"), local("2026-03-13T06:30")]
    assert set(one.causes[1:]) == {Cause.SLOT, Cause.MORNING}


def test_a_summary_of_a_quiet_hour_is_announced_for_their_end() -> None:
    """At half past five nobody is told: it comes at seven, and stands to come until then."""
    habits = Habits((time(5, 30),) * 7, (time(22), time(7)))  # type: ignore[arg-type]
    one = Machine(house(fed(time(12))), habits)
    ends = local("2026-03-13T07:00")

    for at in ("2026-03-13T05:00", "2026-03-13T05:30", "2026-03-13T06:59"):
        now = local(at)
        assert summary_to_come(one.state(now), habits, one.told, now) == ends
        assert one.look(now).tell == ()
    assert one.look(ends).tell
    assert summary_to_come(one.state(ends), habits, one.told, ends) is None


@pytest.mark.parametrize(
    ("quiet", "at", "ends"),
    [
        ((time(22), time(6, 30)), "2026-03-12T21:59", None),
        ((time(22), time(6, 30)), "2026-03-12T22:00", "2026-03-13T06:30"),
        ((time(22), time(6, 30)), "2026-03-12T06:29", "2026-03-12T06:30"),
        ((time(22), time(6, 30)), "2026-03-12T06:30", None),
        ((time(13), time(15)), "2026-03-12T14:00", "2026-03-12T15:00"),
        ((time(13), time(13)), "2026-03-12T13:00", None),
        # The night of 23 hours has no 2:30, that of 25 hours has it twice.
        ((time(22), time(2, 30)), "2026-03-29T01:59", "2026-03-29T02:30"),
        ((time(22), time(2, 30)), "2026-10-25T02:29", "2026-10-25T02:30"),
    ],
)
def test_quiet_hours_begin_and_end_by_the_wall(
    quiet: tuple[time, time], at: str, ends: str | None
) -> None:
    """The beginning belongs to them, the end does not; two equal hours are none."""
    moment = moment_of(house(), local(at))
    expected = None if ends is None else local(ends)
    assert quiet_end(Habits(quiet=quiet), moment, local(at)) == expected


def test_the_hour_that_comes_twice_is_quiet_once() -> None:
    """Quiet hours that ended at the first 2:30 do not begin again with the second 2:10."""
    second = local("2026-10-25T02:10", fold=1)
    moment = moment_of(house(), second)
    assert quiet_end(Habits(quiet=(time(22), time(2, 30))), moment, second) is None


@pytest.mark.parametrize(
    ("night", "expected"),
    [(SPRING, local("2026-03-29T03:30")), (AUTUMN, local("2026-10-25T02:30", fold=0))],
)
def test_a_morning_in_the_hour_that_is_missing_or_double_is_told_once(
    night: date, expected: datetime
) -> None:
    """The missing half past two is half past three; of two the first counts."""
    habits = Habits((time(2, 30),) * 7, None)  # type: ignore[arg-type]
    one = Machine(house(a_chore(first_due=date(2026, 3, 1))), habits)
    start = datetime.combine(night, time(0), BERLIN).astimezone(UTC)

    one.runs(start, start + timedelta(hours=24))

    assert [at for at, _ in one.said] == [expected]


@pytest.mark.parametrize("night", [SPRING, AUTUMN])
def test_slots_of_a_night_with_another_length_are_told_once_each(night: date) -> None:
    """Every hour of the night, on the day before and the day after the change."""
    slots = tuple(time(hour, 30) for hour in (0, 1, 2, 3, 4))
    one = Machine(house(fed(*slots, if_missed=IfMissed.EACH)), Habits(NO_MORNINGS, None))
    start = datetime.combine(night, time(0), BERLIN).astimezone(UTC)

    one.runs(start, start + timedelta(hours=12))

    assert len(one.keys) == len(set(one.keys))
    for hour in (0, 1, 2, 3, 4):
        expected = datetime.combine(night, time(hour, 30), BERLIN).astimezone(UTC)
        assert expected in [each.by for _, tell in one.said for each in tell]


def test_a_sleep_of_two_days_ends_in_one_notice() -> None:
    """Two mornings and four slots came and went; one notice tells of today and of what is late."""
    chores = (fed(time(8), time(18)), a_chore(first_due=date(2026, 3, 1)))
    one = Machine(house(*chores))
    one.runs(local("2026-03-12T07:00"), local("2026-03-12T09:00"))
    one.said.clear()

    one.look(local("2026-03-14T19:00"))
    one.look(local("2026-03-14T19:00:20"))

    assert len(one.said) == 1
    tell = one.said[0][1]
    mornings = [each.key for each in tell if each.cause is Cause.MORNING]
    assert mornings == ["morning:2026-03-14T0700"]
    assert all(each.by is None or each.by >= local("2026-03-13T19:00") for each in tell)


@pytest.mark.parametrize("back", [timedelta(minutes=10), timedelta(hours=5), timedelta(days=1)])
def test_a_clock_that_is_set_back_tells_nothing_twice(back: timedelta) -> None:
    """What was told has a key of its day and turn; the hours that come again bring nothing new."""
    chores = (fed(time(8), time(18)), a_chore(first_due=date(2026, 3, 1)))
    one = Machine(house(*chores))
    one.runs(local("2026-03-11T05:00"), local("2026-03-12T09:00"))

    one.runs(local("2026-03-12T09:00") - back, local("2026-03-12T23:00"))

    assert len(one.keys) == len(set(one.keys))


def test_the_day_changes_between_two_looks() -> None:
    """What belongs to the new day is told although nobody ticked the old one."""
    one = Machine(house(fed(time(8)), a_chore(first_due=date(2026, 3, 1))))
    one.runs(local("2026-03-12T07:30"), local("2026-03-13T08:00"))
    assert [key for key in one.keys if key.startswith("slot")] == [
        "slot:feed@2026-03-12T0800",
        "slot:feed@2026-03-13T0800",
    ]


FILLS = [
    an_entry(
        number, date(2026, 2, 1) + timedelta(days=3 * number), TopOff(3.0), tank="nook", at=time(7)
    )
    for number in range(1, 12)
]


def test_a_salinity_limit_is_told_while_something_can_still_be_done() -> None:
    """Six hours before the unfavourable moment, once for each fill."""
    slow = [replace(one, fact=TopOff(2.0)) for one in FILLS]
    one = Machine(house(), Habits(NO_MORNINGS, None), slow)
    start = FILLS[-1].at
    limit = one.state(start).waters["nook"].limit
    assert limit.limit is Limit.SALINITY
    assert limit.limit_at is not None

    one.runs(start, limit.limit_at + timedelta(days=2))

    assert [(each.cause, each.by) for _, tell in one.said for each in tell] == [
        (Cause.LIMIT, limit.limit_at)
    ]
    assert abs(one.said[0][0] - (limit.limit_at - LIMIT_AHEAD)) < timedelta(minutes=1)


def test_a_skipped_top_off_does_not_silence_the_limit() -> None:
    """It moves no water: what was told stays, and what is to come is told at the same moment."""
    slow = [replace(one, fact=TopOff(2.0)) for one in FILLS]
    rhythm = WhenWaterSays(Condition.EVAPORATION)
    fill = a_chore(rhythm, id="fill", tank="nook", kind=ChoreKind.TOP_OFF)
    one = Machine(house(fill), Habits(NO_MORNINGS, None), slow)
    limit = one.state(FILLS[-1].at).waters["nook"].limit
    assert limit.limit_at is not None
    turn = Turn("fill", f"after:{FILLS[-1].id}")
    skips = limit.limit_at - LIMIT_AHEAD - timedelta(hours=1)
    left_out = an_entry(99, skips.astimezone(BERLIN).date(), Skip(turn), tank="nook")
    one.entries.append(replace(left_out, at=skips))

    one.runs(skips, limit.limit_at + timedelta(hours=1))

    assert [(each.cause, each.by) for _, tell in one.said for each in tell] == [
        (Cause.LIMIT, limit.limit_at)
    ]


def test_a_reservoir_that_runs_empty_is_told_a_day_before() -> None:
    """Long enough to make the water; a fill begins anew."""
    tank = a_box(top_off=TopOffLimits(reservoir_l=20.0))
    fills = [replace(one, fact=ReservoirCheck(fill_l=3.0)) for one in FILLS]
    one = Machine(replace(house(), tanks=(tank,)), Habits(NO_MORNINGS, None), fills)
    limit = one.state(fills[-1].at).waters["nook"].limit
    assert limit.limit_at is not None

    one.runs(fills[-1].at, limit.limit_at)

    assert one.causes == [Cause.RESERVOIR]
    assert limit.limit_at - one.said[0][0] <= RESERVOIR_AHEAD + timedelta(minutes=1)
    now, told = one.said[0]
    assert ": the reservoir may be empty " in notice_sentence(told, _words(now, one.household))


def test_a_closed_limit_comes_back_on_the_next_day_and_when_it_is_reached() -> None:
    """Over a sleep of two days, too, where nothing is told twice; a feeding stays closed."""
    tank = a_box(top_off=TopOffLimits(reservoir_l=20.0))
    fills = [replace(one, fact=ReservoirCheck(fill_l=3.0)) for one in FILLS]
    one = Machine(replace(house(), tanks=(tank,)), _ALONE, fills)
    reached = one.state(fills[-1].at).waters["nook"].limit.limit_at
    assert reached is not None
    now = reached - timedelta(hours=2)
    one.look(now)
    [dry] = reminders.standing(one.state(now), (), _ALONE, now, one.told).values()
    slot = replace(dry, key="slot:feed", cause=Cause.SLOT)
    moment, closed = moment_of(one.household, now), {dry.key: now, slot.key: now}
    assert reminders.left_open((dry, slot), closed, moment, now + timedelta(hours=1)) == []
    assert reminders.left_open((dry, slot), closed, moment, reached) == [dry]

    later = now + timedelta(days=2)
    one.look(later)

    [still] = reminders.standing(one.state(later), (), _ALONE, later, one.told).values()
    assert len(one.keys) == 1
    assert reminders.left_open((still, slot), closed, moment, later) == [still]
    assert reminders.left_open((still,), {still.key: later}, moment, later) == []


def test_what_is_kept_in_a_reservoir_as_reserve_is_not_called_empty() -> None:
    """It is told when nothing but the reserve is left, and the words say so."""
    tank = a_box(top_off=TopOffLimits(reservoir_l=20.0, reserve_l=4.0))
    fills = [replace(one, fact=ReservoirCheck(fill_l=3.0)) for one in FILLS]
    one = Machine(replace(house(), tanks=(tank,)), Habits(NO_MORNINGS, None), fills)
    limit = one.state(fills[-1].at).waters["nook"].limit
    assert limit.limit_at is not None

    one.runs(fills[-1].at, limit.limit_at)

    now, told = one.said[0]
    sentence = plain(notice_sentence(told, _words(now, one.household)))
    assert ": the reservoir may be down to its reserve of 4 L in the night to " in sentence


def test_a_limit_that_rests_on_no_fill_yet_is_warned_of_from_its_expected_day_on() -> None:
    """What is only expected is wide: its early end would warn of a reservoir that was just filled.

    The same fills teach it, and the warning comes by the unfavourable end as ever.
    """
    first = Machine(house(), Habits(NO_MORNINGS, None), FILLS[:1])
    limit = first.state(FILLS[0].at).waters["nook"].limit
    assert limit.limit_at is not None
    assert limit.median_on is not None

    first.runs(FILLS[0].at, limit.limit_at + timedelta(days=60))

    told = first.said[0][0]
    assert told.date() == limit.median_on
    assert told > limit.limit_at
    # Wherever the hours until the limit are told, it is not reached before.
    for at, is_reached in ((told - timedelta(minutes=1), False), (told, True)):
        state = first.state(at)
        assert (hours_to_limit(state.waters["nook"], state.moment) == 0.0) is is_reached


TOP = a_chore(
    WhenWaterSays(Condition.EVAPORATION),
    id="top",
    name="Top off",
    kind=ChoreKind.TOP_OFF,
    tank="nook",
)


def test_a_limit_of_the_next_morning_is_told_once_that_day_begins() -> None:
    """1 L a day takes the 0.5 PSU within a day, and no chore asks for anything."""
    one = Machine(house(), _ALONE, FILLS)
    full_at, day_after = FILLS[-1].at, FILLS[-1].day + timedelta(days=1)
    begins = datetime.combine(day_after, time(4), BERLIN).astimezone(UTC)
    limit = one.state(full_at).waters["nook"].limit
    assert limit.limit_at is not None
    assert limit.limit_at - LIMIT_AHEAD < begins < limit.limit_at

    one.runs(full_at, limit.limit_at)

    assert [at for at, _ in one.said] == [begins]


def test_a_tank_that_is_topped_off_daily_is_warned_of_by_nobody() -> None:
    """Every day at 08:30, an hour and a half after the usual round.

    At most as much as 1 L a day may come to takes the 0.5 PSU before that: each morning there would
    be a warning of what the round asks for anyway.
    """
    one = Machine(house(TOP), _ALONE, FILLS)
    now = FILLS[-1].at
    for ahead in range(1, 8):
        day = FILLS[-1].day + timedelta(days=ahead)
        fill = an_entry(100 + ahead, day, TopOff(1.0), tank="nook", done="top", at=time(8, 30))
        limit = one.state(fill.at).waters["nook"].limit
        assert limit.limit_at is not None
        assert limit.limit_at - LIMIT_AHEAD < fill.at, "it would have been told"
        one.runs(now, fill.at - timedelta(minutes=1))
        one.entries.append(fill)
        now = fill.at

    assert one.said == []


@pytest.mark.parametrize("litres", [2.4, 2.7, 3.0, 6.0])
def test_who_forgets_a_daily_top_off_is_warned_on_that_day(litres: float) -> None:
    """At the moment at which the limit likely is past, and in its evening at the latest.

    The litres are those of three days; of 2 L a day it is past before the round, which has four
    hours to be done.
    """
    fills = [replace(one, fact=TopOff(litres)) for one in FILLS]
    one = Machine(house(TOP), _ALONE, fills)
    full_at, day = fills[-1].at, fills[-1].day + timedelta(days=1)
    limit = one.state(full_at).waters["nook"].limit
    assert limit.likely_at is not None
    assert limit.latest_on is not None
    round_over, evening = local(f"{day}T11:00"), local(f"{day}T19:00")

    one.runs(full_at, evening)

    assert [at for at, _ in one.said] == [max(round_over, min(limit.likely_at, evening))]
    assert one.causes == [Cause.LIMIT]
    assert one.said[0][1][0].row is not None


def test_a_warning_by_a_loss_that_is_hardly_known_says_so() -> None:
    """Of one fill nobody knows it, of many alike it is known."""
    many = [
        an_entry(200 + one, FILLS[0].day + timedelta(days=2 * one), TopOff(2.0), tank="nook")
        for one in range(30)
    ]
    for fills, is_unsure in ((FILLS[:1], True), (many, False)):
        one = Machine(house(TOP), _ALONE, fills)
        one.runs(fills[-1].at, fills[-1].at + timedelta(days=20))
        now, told = one.said[0]
        sentence = plain(notice_sentence(told, _words(now, one.household)))
        assert ("; the loss is not known well yet. Top off." in sentence) is is_unsure, sentence


@pytest.mark.parametrize("chores", [(), (TOP,)], ids=["no chore", "a chore"])
def test_a_tank_at_its_mark_is_not_told_to_be_topped_off(chores: tuple[Chore, ...]) -> None:
    """Full it has 35.2, and may rise to the 35.5 of soft corals (core/communities) in hours.

    By 0.3 of 35.2 rise 86 L once 0.7 L are gone, in less than a day at 1 L a day: nothing to be
    poured in. The round of the next day asks for it, and so does the reminder: four hours after the
    round, at once where no chore is in it.
    """
    salinity = Readings((ReadingValue("salinity", 35.2, "PSU", 35.2),))
    entries = [*FILLS, an_entry(90, FILLS[-1].day, salinity, tank="nook", at=time(7))]
    home = replace(house(*chores), tanks=(replace(a_box(), community=Community.SOFT_CORAL),))
    one = Machine(home, _ALONE, entries)
    full_at = FILLS[-1].at
    limit = one.state(full_at).waters["nook"].limit
    assert limit.limit is Limit.SALINITY
    assert limit.limit_at is not None
    assert limit.limit_at - full_at < timedelta(hours=20)

    one.runs(full_at, full_at + timedelta(days=2))

    hour = time(11) if chores else time(7)
    day_after = datetime.combine(FILLS[-1].day + timedelta(days=1), hour, BERLIN)
    assert [at for at, _ in one.said] == [day_after.astimezone(UTC)]
    [told] = one.said[0][1]
    assert told.cause is Cause.LIMIT
    assert (told.row is not None) is bool(chores)
    assert notice_sentence([told], _words(day_after, home)).endswith(" Top off.")


def test_no_limit_is_passed_on_the_day_on_which_a_tank_was_filled_that_is_salty_when_full() -> None:
    """At 35.4 it would be past the 35.5 of soft corals by noon, hours after it was topped off.

    Nobody can do a thing about that in the round, so no limit lies there, and nothing tells it.
    """
    salinity = Readings((ReadingValue("salinity", 35.4, "PSU", 35.4),))
    entries = [*FILLS, an_entry(90, FILLS[-1].day, salinity, tank="nook", at=time(7))]
    home = replace(house(TOP), tanks=(replace(a_box(), community=Community.SOFT_CORAL),))
    one = Machine(home, _ALONE, entries)
    limit = one.state(FILLS[-1].at).waters["nook"].limit
    assert limit.limit is Limit.SALINITY
    assert limit.limit_at is not None

    one.runs(FILLS[-1].at, limit.limit_at)

    assert limit.limit_at - FILLS[-1].at > timedelta(hours=18)
    assert one.said == []


def test_a_level_that_falls_to_its_limit_in_hours_is_told_once_half_of_it_is_gone() -> None:
    """A drop of 1 mm of 2400 cm2 is 0.24 L, which 1 L a day takes in some six hours."""
    tank = a_box(top_off=TopOffLimits(allowed_drop_mm=1.0))
    one = Machine(replace(house(), tanks=(tank,)), _ALONE, FILLS)
    full_at = FILLS[-1].at
    limit = one.state(full_at).waters["nook"].limit
    assert limit.limit is Limit.LEVEL
    assert limit.limit_at is not None

    one.runs(full_at, limit.limit_at)

    assert [at for at, _ in one.said] == [full_at + (limit.limit_at - full_at) / 2]


def test_a_level_that_falls_to_its_limit_in_hours_is_told_once_a_day() -> None:
    """However often the tank is filled on that day; the next day it is told again."""
    tank = a_box(top_off=TopOffLimits(allowed_drop_mm=1.0))
    one = Machine(replace(house(), tanks=(tank,)), _ALONE, FILLS)
    full_at = FILLS[-1].at
    one.runs(full_at, full_at + timedelta(hours=5))
    assert one.causes == [Cause.LIMIT]
    day = FILLS[-1].day
    fills = [an_entry(90 + at, day, TopOff(0.2), tank="nook", at=time(at)) for at in (12, 17)]
    one.entries += fills

    one.runs(fills[0].at, fills[-1].at + timedelta(hours=6))
    state, now, told = one.state(fills[-1].at), fills[-1].at + timedelta(hours=6), one.told
    one.runs(now, full_at + timedelta(days=2))

    next_round = datetime.combine(day + timedelta(days=1), time(7), BERLIN).astimezone(UTC)
    assert [at for at, _ in one.said[1:]] == [next_round]
    assert one.causes == [Cause.LIMIT] * 2
    assert reminders.standing(state, (), _ALONE, now, told) == {}


def test_a_limit_stands_again_once_a_fill_of_the_day_before_is_taken_back() -> None:
    """The fill of yesterday reaches it as well and is told; without it the first one counts anew.

    1 L a day takes the 0.5 PSU in a day, so each fill is past its limit a day later.
    """
    one = Machine(house(TOP), _ALONE, FILLS)
    evening = datetime.combine(FILLS[-1].day + timedelta(days=2), time(19), BERLIN).astimezone(UTC)
    one.runs(FILLS[-1].at, evening)
    now = evening + timedelta(hours=1)
    [before] = reminders.standing(one.state(now), (), _ALONE, now, one.told).values()
    day_before = FILLS[-1].day + timedelta(days=1)
    one.entries.append(an_entry(90, day_before, TopOff(1.0), tank="nook", at=time(7)))
    one.look(now)
    assert len(one.keys) == len(set(one.keys)) == 2

    one.entries.pop()
    later = now + timedelta(minutes=1)
    look_at = one.look(later).look_at

    after = reminders.standing(one.state(later), (), _ALONE, later, one.told)
    assert list(after) == [before.key]
    assert len(one.keys) == 2, "it stands, and is not told anew"
    assert look_at > later


def test_a_limit_that_was_told_stands_when_its_tank_is_paused_or_its_fill_is_corrected() -> None:
    """Told this evening, it is not told once more today; but nothing was poured in since."""
    evening = datetime.combine(FILLS[-1].day + timedelta(days=1), time(19), BERLIN)
    begun = evening.astimezone(UTC)
    one = Machine(house(TOP), _ALONE, FILLS)
    one.runs(FILLS[-1].at, begun)
    assert one.causes == [Cause.LIMIT]
    now = begun + timedelta(hours=2)

    corrected = [*FILLS[:-1], replace(FILLS[-1], id="e91", seq=91, note="with the small jug")]
    rests = an_entry(92, begun.date(), Pause(PauseMode.HOLD, "top", None), at=time(20))
    for entries in (corrected, [*FILLS, rests]):
        one.entries = list(entries)
        one.look(now)
        stands = reminders.standing(one.state(now), (), _ALONE, now, one.told)
        assert [each.cause for each in stands.values()] == [Cause.LIMIT]
        assert one.causes == [Cause.LIMIT]


@pytest.mark.parametrize("reservoir_l", [None, 3.0])
def test_after_a_part_nobody_is_told_to_pour_in_the_rest_the_same_day(
    reservoir_l: float | None,
) -> None:
    """The rest is due the day after, and from its usual round on the limit is told again."""
    tank, chore, fills = a_box(), TOP, FILLS
    if reservoir_l is not None:
        tank = a_box(top_off=TopOffLimits(reservoir_l=reservoir_l))
        chore = replace(TOP, kind=ChoreKind.RESERVOIR)
        fills = [replace(one, fact=ReservoirCheck(fill_l=3.0)) for one in FILLS]
    late = local("2026-03-16T08:00")
    household = a_household(tanks=(tank,), chores=(chore,))
    store, clock = FakeStore(household, fills), SetClock(late)
    desk = Desk(store, clock, CountingIds())
    cause = Cause.LIMIT if reservoir_l is None else Cause.RESERVOIR

    def waters(at: datetime, told: Told | None = None) -> Plan:
        clock.at = at
        return plan(desk.state(), (), Habits(NO_MORNINGS, None), told or {}, at)

    before = waters(late)
    [item] = round_of(desk.state()).items
    tick(desk, [Tick(item.id, as_proposed=True)])
    after = waters(late + timedelta(minutes=1), before.told)
    next_day = waters(local("2026-03-17T06:59"), after.told)
    at_round = waters(local("2026-03-17T07:00"), after.told)

    assert item.amount is not None
    assert item.amount.is_split
    assert [one.cause for one in before.tell] == [cause]
    assert after.tell == ()
    assert reminders.standing(desk.state(), (), Habits(NO_MORNINGS, None), late) == {}
    assert next_day.tell == ()
    assert next_day.look_at == local("2026-03-17T07:00")
    [told] = at_round.tell
    assert told.cause is cause
    sentence = notice_sentence([told], Words(household, desk.state().moment))
    assert told.item is not None
    assert told.item.amount is not None
    more = f"{told.item.amount.value:.2g}\N{NO-BREAK SPACE}L"
    assert sentence.endswith(f"A part went in yesterday. Put in {more} more.")
    assert told.row == round_of(desk.state()).items[0].id


def test_a_part_that_brings_the_water_back_inside_its_limit_moves_the_reminder() -> None:
    """What was put in lowers what is missing, so the limit is reached that much later."""
    one = Machine(house(TOP), Habits(NO_MORNINGS, None), FILLS)
    limit = one.state(FILLS[-1].at).waters["nook"].limit
    assert limit.limit_at is not None
    part = an_entry(50, "2026-03-07", TopOff(2.0, to_mark=False), tank="nook", done="top")
    one.entries.append(part)

    later = one.state(part.at).waters["nook"].limit
    assert later.limit_at is not None
    # Two litres at a litre a day, less what the uncertain loss makes of them.
    assert timedelta(days=1) < later.limit_at - limit.limit_at < timedelta(days=2.5)
    one.runs(part.at, limit.limit_at)
    assert one.said == []


def test_no_limit_is_said_to_be_past_since_before_a_reading_inside_it() -> None:
    """Four days after the mark some 4 L are gone, and 1.5 PSU are 3.6 L of some 86 L. Of 1.3 L that
    go in nobody knows whether they are enough; a minute later a reading does, 0.4 PSU below.
    """
    tank = a_box(top_off=TopOffLimits(allowed_salinity_rise=1.5))
    one = Machine(house(TOP, tanks=(tank,)), Habits(NO_MORNINGS, None), FILLS)
    part = an_entry(50, "2026-03-10", TopOff(1.3, to_mark=False), tank="nook", at=time(8, 16))
    psu = Readings((ReadingValue("salinity", 36.0, "PSU", 36.0),))
    read = an_entry(51, "2026-03-10", psu, tank="nook", at=time(8, 17))
    one.entries.append(part)
    without = one.state(part.at).waters["nook"].limit
    one.entries.append(read)
    water = one.state(read.at).waters["nook"]
    morning = local("2026-03-11T07:00")
    one.runs(morning, morning)

    assert without.limit_at == part.at
    assert water.limit.limit is Limit.SALINITY
    assert water.salinity_limit == pytest.approx(36.4, abs=0.05)
    # What is left goes at a litre a day, or somewhat sooner.
    assert water.limit.limit_at is not None
    assert 10.0 < (water.limit.limit_at - read.at).total_seconds() / 3600.0 < 21.0
    [(_, [told])] = one.said
    assert told.by == water.limit.limit_at
    sentence = notice_sentence([told], Words(one.household, moment_of(one.household, morning)))
    assert "since last night, 00:2" in plain(sentence)


CHANGE = a_chore(id="change", name="Change water", kind=ChoreKind.WATER_CHANGE, tank="nook")
AT_NINE = an_entry(
    1, "2026-03-12", WaterChange(9.0), done="change", key="first", tank="nook", at=time(9)
)


@pytest.mark.parametrize(
    ("chore", "expected"),
    [
        (CHANGE, True),
        (replace(CHANGE, kind=ChoreKind.SUBSTRATE), True),
        (replace(CHANGE, kind=ChoreKind.SERVICE), True),
        (replace(CHANGE, kind=ChoreKind.SERVICE, tank=None), False),
        (replace(CHANGE, kind=ChoreKind.GLASS), False),
        (replace(CHANGE, kind=ChoreKind.GLASS, caution="Unplug the flow pump"), True),
        (replace(CHANGE, kind=ChoreKind.CHECK, caution="switch off the return"), True),
    ],
)
def test_what_switches_pumps_or_heater_off(chore: Chore, expected: bool) -> None:
    """By the kind of work on a tank, or by the chore's own caution."""
    assert switches_off(chore) is expected


def test_a_restart_is_told_again_and_again_until_somebody_says_so() -> None:
    """A quarter of an hour after the tick, then every half hour; the note ends it."""
    one = Machine(house(CHANGE), Habits(NO_MORNINGS, None), [AT_NINE])

    one.runs(local("2026-03-12T09:00"), local("2026-03-12T10:20"))
    note = an_entry(2, "2026-03-12", Note(), tank="nook", at=time(10, 20))
    one.entries.append(replace(note, note=SWITCHED_ON))
    one.runs(local("2026-03-12T10:21"), local("2026-03-12T20:00"))

    assert [at for at, _ in one.said] == [
        local("2026-03-12T09:15"),
        local("2026-03-12T09:45"),
        local("2026-03-12T10:15"),
    ]


def test_a_restart_breaks_the_quiet_hours_once() -> None:
    """The keeper has wet hands still; the repeats wait for the end of the night."""
    late = an_entry(
        1, "2026-03-12", WaterChange(9.0), done="change", key="first", tank="nook", at=time(22, 5)
    )
    one = Machine(house(CHANGE), Habits(NO_MORNINGS, (time(22), time(6, 30))), [late])

    one.runs(local("2026-03-12T22:05"), local("2026-03-13T06:45"))

    assert [at for at, _ in one.said] == [
        local("2026-03-12T22:20"),
        local("2026-03-13T06:30"),
    ]


def test_a_restart_waits_for_an_answer_for_a_week() -> None:
    """It outlives days away; nobody is asked about a change of longer ago."""
    one = Machine(house(CHANGE), entries=[AT_NINE])
    for at, expected in ((timedelta(days=6), 1), (LOOKED_BACK + timedelta(minutes=1), 0)):
        state = one.state(AT_NINE.at + at)
        assert len(restarts_of(state, one.entries)) == expected


def test_work_written_down_later_asks_for_no_restart() -> None:
    """Done yesterday means at yesterday's usual hour: whatever was off runs by now."""
    one = Machine(house(CHANGE), entries=[replace(AT_NINE, at=local("2026-03-12T07:00"))])
    assert restarts_of(one.state(local("2026-03-13T07:00")), one.entries) == ()


def a_desk(*chores: Chore) -> tuple[Desk, SetClock]:
    clock = SetClock(local("2026-03-12T09:00"))
    return Desk(FakeStore(house(*chores)), clock, CountingIds()), clock


def test_the_logbook_keeps_the_wait_and_every_undo_is_heeded() -> None:
    """Tick: waits. Note: ends. Undo of the note: waits again. Undo of the tick: nothing waits."""
    chore = replace(CHANGE, first_due=date(2026, 3, 12))
    desk, clock = a_desk(chore)
    found: list[int] = []

    def look() -> None:
        clock.at += timedelta(minutes=1)
        found.append(len(read_restarts(desk, desk.state())))

    tank = desk.state().household.tanks[0]
    row = plan_row(desk)
    entry = tick(desk, [Tick(row, litres=9.0, salinity=35.0)])[0].entry
    look()
    noted = switch_on(desk, tank)
    look()
    undo = take_back_all(desk, [noted.entry.id], None)
    look()
    assert isinstance(undo[0].fact, Revoke)
    take_back_all(desk, [entry.id], None)
    look()

    assert found == [1, 0, 1, 0]


def plan_row(desk: Desk) -> str:
    """Return the id of the open turn of the water change."""
    return desk.state().chores[0].open[0].turn.id


def test_begun_work_waits_for_its_minutes_and_is_ended_by_the_same_note() -> None:
    """Switched off before the work: reminded once its minutes are over, named as begun."""
    desk, clock = a_desk(replace(CHANGE, minutes=40))
    tank = desk.state().household.tanks[0]

    noted = switch_off(desk, desk.state().household.chores[0], tank)
    one = read_restarts(desk, desk.state())[0]

    assert noted.entry.note == f"{SWITCHED_OFF} Change water"
    assert [(off.work, off.is_begun) for off in one.works] == [("Change water", True)]
    assert one.due_at == clock.at + timedelta(minutes=40)
    switch_on(desk, tank)
    assert read_restarts(desk, desk.state()) == ()


# Any morning with its work, followed through several days.
_WALLS = st.times(min_value=time(0), max_value=time(23, 59)).map(
    lambda one: one.replace(microsecond=0)
)
_HABITS = st.builds(
    Habits,
    st.tuples(*[st.none() | _WALLS] * 7),
    st.none() | st.tuples(_WALLS, _WALLS),
)
_NIGHTS = st.sampled_from([SPRING, AUTUMN, date(2026, 3, 12), date(2026, 12, 31)])
_SLOTS = st.lists(
    _WALLS.map(lambda one: one.replace(second=0)), min_size=1, max_size=3, unique=True
)


def _household(slots: list[time]) -> Household:
    return house(
        fed(*sorted(slots), if_missed=IfMissed.EACH), a_chore(first_due=date(2026, 3, 1)), CHANGE
    )


def _start(night: date) -> datetime:
    return datetime.combine(night - timedelta(days=1), time(12), BERLIN).astimezone(UTC)


@given(_HABITS, _NIGHTS, _SLOTS, st.lists(st.integers(-1500, 3000), max_size=25))
def test_whatever_the_clock_does_nothing_is_told_twice_and_quiet_hours_hold(
    habits: Habits, night: date, slots: list[time], steps: list[int]
) -> None:
    """Steps of minutes on, back, or over days of sleep; the next look always lies ahead."""
    household, start = _household(slots), _start(night)
    entry = replace(AT_NINE, at=start, day=start.date())
    one, now = Machine(household, habits, [entry]), start
    for step in steps:
        now = max(start, now + timedelta(minutes=step))
        found = one.look(now)
        assert found.look_at > now
        if quiet_end(habits, moment_of(household, now), now) is not None:
            assert all(each.breaks_quiet for each in found.tell)
    assert len(one.keys) == len(set(one.keys))
    assert sum(each.breaks_quiet for _, tell in one.said for each in tell) <= 1


@settings(max_examples=10)
@given(_HABITS, _NIGHTS, _SLOTS)
def test_who_looks_only_when_told_to_misses_nothing(
    habits: Habits, night: date, slots: list[time]
) -> None:
    """The same is told as to somebody who looks every quarter of an hour, and no later."""
    household, start = _household(slots), _start(night)
    seldom, often = Machine(household, habits), Machine(household, habits)
    # Whole minutes, so that both can look at the very moment.
    habits = replace(
        habits,
        mornings=tuple(one and one.replace(second=0) for one in habits.mornings),  # type: ignore[arg-type]
        quiet=habits.quiet
        and (habits.quiet[0].replace(second=0), habits.quiet[1].replace(second=0)),
    )
    seldom.habits = often.habits = habits
    end = start + timedelta(hours=30)

    seldom.runs(start, end)
    now = start
    while now <= end:
        often.look(now)
        now += timedelta(minutes=15)

    told = {key: at for at, tell in seldom.said for key in [one.key for one in tell]}
    late = {key: at for at, tell in often.said for key in [one.key for one in tell]}
    assert set(late) <= set(told)
    for key, at in late.items():
        assert timedelta(0) <= at - told[key] < timedelta(minutes=15), key


def _words(now: datetime, household: Household) -> Words:
    return Words(household, moment_of(household, now))


def test_the_sentences_say_what_is_so_and_what_can_be_done() -> None:
    """Whole sentences, for one cause and for several."""
    chores = (fed(time(8)), a_chore(first_due=date(2026, 3, 1)), CHANGE)
    now = local("2026-03-12T09:20")
    one = Machine(house(*chores), entries=[AT_NINE])
    tell = one.look(now).tell
    words = _words(now, one.household)

    assert title_of(tell) == "Several things at the tanks"
    assert notice_sentence(tell, words) == (
        "Nook: pumps and heater may still be off. Off for: change water (done, 09:00). "
        "Switch them on again, the heater only under water.\n"
        "Nook: feed, 08:00.\n"
        "Today: 1 overdue, 1 due."
    )


def test_a_limit_that_was_reached_in_the_night_is_not_said_to_be_of_yesterday() -> None:
    """At 04:26, 01:35 of the same night is three hours ago, not a day and three hours."""
    one = house()
    past = Reminder(
        "limit:nook:e1",
        Cause.LIMIT,
        local("2026-03-12T00:00"),
        tank=one.tanks[0],
        by=local("2026-03-13T01:35"),
        limit=Limit.LEVEL,
    )
    told = notice_sentence([past], _words(local("2026-03-13T04:26"), one))
    assert told == "Nook: the water level may be past its limit since last night, 01:35. Top off."
    ahead = notice_sentence([past], _words(local("2026-03-12T19:35"), one))
    assert ahead == "Nook: the water level may reach its limit tonight at 01:35. Top off."


def test_many_causes_are_named_instead_of_being_read_out() -> None:
    """Three at the most, the morning among them; the others by tank and matter."""
    chores = (
        fed(time(7, 10), time(7, 20), time(7, 30), time(7, 40), if_missed=IfMissed.EACH),
        a_chore(first_due=date(2026, 3, 1)),
    )
    now = local("2026-03-12T09:20")
    one = Machine(house(*chores))
    tell = one.look(now).tell
    sentence = notice_sentence(tell, _words(now, one.household))
    assert plain(sentence).endswith("Also Nook: feed, 07:30; Nook: feed, 07:40.")
    assert "Today:" in sentence
    assert sentence.count("feed") == 4


def test_of_several_tanks_that_lack_water_the_one_harmed_first_is_told_first() -> None:
    """The reservoir of the Bay ran empty in February, that of the Pond a day ago.

    The others lack some water since Saturday 7. A tank whose reservoir ran empty is harmed only
    once it lacks as much as a full tank may lose, and so the Pond stands last.
    """
    by_hand = [a_box(name, top_off=TopOffLimits(allowed_drop_mm=30)) for name in ("Nook", "Den")]
    kept = [a_box("Bay", top_off=TopOffLimits(reservoir_l=8.0))]
    kept.append(a_box("Pond", top_off=TopOffLimits(reservoir_l=4.0)))
    february, last = date(2026, 2, 1), {"bay": 5, "pond": 12, "nook": 11, "den": 11}
    entries = [
        an_entry(
            100 * place + number,
            february + timedelta(days=3 * number),
            TopOff(3.0) if tank in ("nook", "den") else ReservoirCheck(fill_l=3.0),
            tank=tank,
            at=time(7 + place),
        )
        for place, (tank, count) in enumerate(last.items())
        for number in range(1, count + 1)
    ]
    now = local("2026-03-12T19:20")
    home = a_household(tanks=(*by_hand, *kept))
    one = Machine(home, Habits(NO_MORNINGS, None), entries)

    tell = one.look(now).tell

    assert [each.tank.name for each in tell if each.tank] == ["Bay", "Nook", "Den", "Pond"]
    sentence = notice_sentence(tell, _words(now, home))
    assert sentence.startswith("Bay: the reservoir is empty, maybe since ")
    assert sentence.endswith("Also Pond: the reservoir.")
    # Also where the others were told later.
    earlier = {each.key: now - timedelta(days=1 if each is tell[0] else 0) for each in tell}
    begun = now - timedelta(days=2)
    assert reminders.newest_first(tell[::-1], earlier, begun) == list(tell)


def test_work_that_comes_up_now_stands_before_what_was_told_earlier() -> None:
    """Of what harms a tank and of work alike; at a new start the harm stands first."""
    now = local("2026-03-12T09:20")
    one = Machine(house(fed(time(8), time(9), if_missed=IfMissed.EACH)), entries=FILLS)
    harm, early, late = (
        each for each in one.look(now).tell if each.cause in (Cause.LIMIT, Cause.SLOT)
    )
    told = {early.key: early.at, late.key: late.at, harm.key: early.at}

    def ordered(begun: datetime) -> list[Reminder]:
        return reminders.newest_first([early, late, harm], told, begun)

    assert ordered(early.at - timedelta(hours=1)) == [late, harm, early]
    assert ordered(now) == [harm, early, late]


def test_of_very_many_causes_the_last_are_counted() -> None:
    """Four are named, one over is not worth a count."""
    hours = [time(7, 10 + at) for at in range(9)]
    for count, ends in ((8, "feed, 07:17."), (9, "feed, 07:16; 2 more in the round.")):
        now = local("2026-03-12T09:20")
        one = Machine(house(fed(*hours[:count], if_missed=IfMissed.EACH)))
        tell = [each for each in one.look(now).tell if each.cause is not Cause.MORNING]
        sentence = plain(notice_sentence(tell, _words(now, one.household)))
        assert len(tell) == count
        assert sentence.endswith(ends)


def test_a_restart_of_yesterday_says_its_day() -> None:
    """An hour alone would be taken for one of today."""
    one = Machine(house(CHANGE), entries=[AT_NINE])
    now = local("2026-03-13T08:00")
    found = restarts_of(one.state(now), one.entries)[0]
    assert "yesterday at 09:00" in restart_sentence(found, _words(now, one.household))
    assert found.due_at == AT_NINE.at + AFTER_TICK
    assert USUAL_MORNINGS[0] == time(7)


def test_all_work_that_had_the_pumps_off_is_named_with_its_own_time() -> None:
    """Two pieces of work since the pumps last ran: each with when, begun and done being one."""
    service = replace(CHANGE, id="cup", name="Clean the pump", kind=ChoreKind.SERVICE, amount=None)
    cup = an_entry(1, "2026-03-11", done="cup", key="first", tank="nook", at=time(19, 41))
    begun = an_entry(2, "2026-03-12", Note(), tank="nook", at=time(8, 30), entry_id="begun")
    begun = replace(begun, note=f"{SWITCHED_OFF} Change water")
    one = Machine(house(service, CHANGE), entries=[cup, begun, replace(AT_NINE, seq=3, id="done")])
    state = one.state(local("2026-03-12T09:20"))

    (waiting,) = restarts_of(state, one.entries)

    words = Words(state.household, state.moment)
    assert "Off for: clean the pump (done, yesterday at 19:41) and change water (done, 09:00)." in (
        restart_sentence(waiting, words)
    )


def test_only_the_gear_that_work_takes_from_the_mains_is_said_to_be_off() -> None:
    """The tank's gear and the name of the work tell it; with other work it is pumps and heater."""
    cup = a_chore(id="cup", name="Empty the skimmer cup", kind=ChoreKind.SERVICE, tank="nook")
    gear = (Equipment("skimmer", "skimmer", "nook"), Equipment("heater", "heater", "nook"))
    done = an_entry(1, "2026-03-12", done="cup", key="first", tank="nook", at=time(8, 41))
    one = Machine(house(cup, CHANGE, equipment=gear), entries=[done])
    state = one.state(local("2026-03-12T09:20"))
    words = Words(state.household, state.moment)

    (waiting,) = restarts_of(state, one.entries)
    assert restart_sentence(waiting, words) == (
        "Nook: the skimmer may still be off. Off for: empty the skimmer cup (done, 08:41). "
        "Switch it on again."
    )
    tank = state.household.tanks[0]
    assert on_again(tank, waiting, is_already=False) == "Nook: the skimmer is on again."
    assert on_again(tank, None, is_already=True) == "Nook: pumps and heater were on again already."

    (waiting,) = restarts_of(state, [done, replace(AT_NINE, seq=2, id="done")])
    assert restart_sentence(waiting, words).startswith("Nook: pumps and heater may still be off. ")


@pytest.mark.parametrize(
    ("name", "caution", "gear"),
    [
        ("Empty the skimmer cup", "", "skimmer"),
        ("Clean the pump", "", ""),
        ("Clean the heater", "", ""),
        ("Clean the skimmer", "Unplug pump and heater first.", ""),
        ("Clean skimmer and heater", "", ""),
    ],
)
def test_what_is_off_is_named_only_where_one_piece_is_meant(
    name: str, caution: str, gear: str
) -> None:
    """A heater is named with its warning, which the usual sentence has."""
    chore = a_chore(name=name, caution=caution, kind=ChoreKind.SERVICE, tank="nook")
    pieces = (Equipment("skimmer", "skimmer", "nook"), Equipment("heater", "heater", "nook"))
    assert gear_switched_off(chore, house(chore, equipment=pieces)) == gear


def _ammonia(seq: int, on: str, value: float, name: str = "ammonia") -> Entry:
    return an_entry(seq, on, Readings((ReadingValue(name, value, "mg/L", value),)), tank="nook")


_ALONE = Habits(NO_MORNINGS, None)
CORALS = replace(a_box(), community=Community.SOFT_CORAL)


def test_ammonia_is_told_once_and_stands_until_a_later_reading_is_inside() -> None:
    """Soft corals: at most 0.25 mg/L (core/communities). The second reading is inside."""
    household = a_household(tanks=(CORALS,))
    one = Machine(household, _ALONE, entries=[_ammonia(1, "2026-03-12", 3.0)])
    at = local("2026-03-12T12:00")
    one.runs(at, at + timedelta(days=3))
    state = one.state(at)
    after = Machine(household, _ALONE, entries=[*one.entries, _ammonia(2, "2026-03-13", 0.1)])
    later = local("2026-03-13T13:00")

    assert one.causes == [Cause.POISON]
    assert [one.cause for one in reminders.standing(state, (), _ALONE, at).values()] == [
        Cause.POISON
    ]
    assert reminders.standing(after.state(later), (), _ALONE, later) == {}


def test_a_correction_of_what_was_told_is_told_no_second_time() -> None:
    """Neither of ammonia nor of the pumps that are off: it is the same deed, written better."""
    first = _ammonia(2, "2026-03-12", 3.0)
    one = Machine(house(CHANGE, tanks=(CORALS,)), _ALONE, entries=[first, AT_NINE])
    one.runs(local("2026-03-12T09:00"), local("2026-03-12T12:20"))
    told = list(one.keys)
    better = replace(_ammonia(3, "2026-03-12", 2.5), replaces=first.id)
    changed = replace(AT_NINE, id="e4", seq=4, note="in two halves", replaces=AT_NINE.id)
    one.entries += [better, changed]
    one.runs(local("2026-03-12T12:21"), local("2026-03-12T12:40"))

    assert {one.partition(":")[0] for one in told} == {Cause.POISON.value, Cause.RESTART.value}
    assert one.keys == told


@pytest.mark.parametrize(
    ("stage", "animals", "is_told"),
    [
        (Stage.RUNNING, (), True),
        (Stage.CYCLING, (), False),
        (Stage.CYCLING, (Animal("nook", "clown"),), True),
        (Stage.RETIRED, (), False),
    ],
)
def test_a_tank_that_cycles_without_animals_is_meant_to_have_ammonia(
    stage: Stage, animals: tuple[Animal, ...], is_told: bool
) -> None:
    """Husbandry of a new tank: it is fed ammonia so that bacteria settle (common practice)."""
    household = a_household(tanks=(replace(CORALS, stage=stage),), animals=animals)
    at = local("2026-03-12T12:00")
    state = Machine(household, _ALONE, entries=[_ammonia(1, "2026-03-12", 3.0)]).state(at)

    assert bool(reminders.standing(state, (), _ALONE, at)) is is_told


def test_nitrite_warns_and_nitrate_does_not() -> None:
    """Soft corals: nitrite at most 0.1, nitrate 2 to 20 mg/L (core/communities)."""
    entries = [
        _ammonia(1, "2026-03-12", 1.0, "nitrite"),
        _ammonia(2, "2026-03-12", 200.0, "nitrate"),
    ]
    at = local("2026-03-12T12:00")
    state = Machine(a_household(tanks=(CORALS,)), entries=entries).state(at)
    told = list(reminders.standing(state, (), _ALONE, at).values())

    assert plain(notice_sentence(told, Words(state.household, state.moment))) == (
        "Nook: nitrite 1 mg/L today, above its range of 0 to 0.1 mg/L. "
        "Test again within a day, feed less, look for a dead animal, and change water."
    )


@pytest.mark.parametrize(
    ("until", "is_at_once"),
    [(None, True), (date(2026, 3, 20), True), (date(2026, 3, 6), False)],
    ids=["until resumed", "beyond the limit", "over before the limit"],
)
def test_a_paused_top_off_does_not_silence_what_the_water_does(
    until: date | None, is_at_once: bool
) -> None:
    """It is told at once where the limit comes during the pause, and that nothing will ask."""
    paused = an_entry(50, "2026-03-06", Pause(PauseMode.HOLD, "top", until), at=time(8))
    one = Machine(house(TOP), Habits(NO_MORNINGS, None), [*FILLS, paused])
    limit = one.state(paused.at).waters["nook"].limit
    assert limit.limit_at is not None
    assert date(2026, 3, 6) < limit.limit_at.date() < date(2026, 3, 20)

    one.runs(paused.at, limit.limit_at + timedelta(days=1))

    assert [each.cause for _, tell in one.said for each in tell] == [Cause.LIMIT]
    assert (one.said[0][0] == paused.at) is is_at_once
    words = Words(one.household, moment_of(one.household, paused.at))
    told = plain(notice_sentence(one.said[0][1], words))
    assert told.startswith("Nook: Top off is paused; the salinity may") is is_at_once
    assert told.endswith("Let it go on, or do it all the same.") is is_at_once
    row = one.said[0][1][0].row
    assert row is not None
    assert row.startswith("top")


@pytest.mark.parametrize(
    ("read", "expected"), [(38.0, {Cause.POISON}), (30.0, {Cause.POISON, Cause.LIMIT})]
)
def test_beside_a_salinity_read_too_high_nothing_is_said_of_one_that_may_be(
    read: float, expected: set[Cause]
) -> None:
    """The keeper knows already, and topping off alone does not bring it back. After one that was
    read too low the forecast is another matter.
    """
    home = replace(house(), tanks=(replace(a_box(), community=Community.SOFT_CORAL),))
    before = Machine(home, _ALONE, FILLS)
    limit = before.state(FILLS[-1].at).waters["nook"].limit
    assert limit.limit is Limit.SALINITY
    assert limit.limit_at is not None
    salinity = Readings((ReadingValue("salinity", read, "PSU", read),))
    entries = [*FILLS, an_entry(90, FILLS[-1].day, salinity, tank="nook", at=time(23))]
    late = limit.limit_at + timedelta(days=9)

    one = Machine(home, _ALONE, entries)
    state = one.state(late)

    assert {each.cause for each in reminders.standing(state, (), _ALONE, late).values()} == expected


@pytest.mark.parametrize(
    ("read", "told"),
    [
        (35.0, "the salinity is past its top-off limit of 35.5 PSU, maybe since {}. Top off."),
        (
            36.4,
            "the salinity, high even when the tank is full, has risen by more than 0.5 PSU since "
            "it was full. Top off; a change with weaker salt water lowers it.",
        ),
    ],
)
def test_no_limit_is_named_of_a_salinity_that_is_high_when_full(read: float, told: str) -> None:
    """The range of soft corals ends at 35.5 (core/communities); fresh water brings back to 36.4."""
    home = replace(house(), tanks=(replace(a_box(), community=Community.SOFT_CORAL),))
    salinity = Readings((ReadingValue("salinity", read, "PSU", read),))
    entries = [*FILLS, an_entry(90, FILLS[-1].day, salinity, tank="nook", at=time(7))]
    late = FILLS[-1].at + timedelta(days=9)
    one = Machine(home, _ALONE, entries)
    state = one.state(late)
    standing = reminders.standing(state, (), _ALONE, late).values()

    text = plain(notice_sentence(list(standing), _words(late, home)))

    since = text.partition("since ")[2].partition(". ")[0]
    assert text == f"Nook: {told.format(since)}"


def test_a_salinity_that_is_high_when_full_is_told_from_that_and_with_no_moment_gone_by() -> None:
    """Nobody saw when it rose by more than it may; it was beyond its range before that."""
    home = replace(house(), tanks=(replace(a_box(), community=Community.SOFT_CORAL),))
    salinity = Readings((ReadingValue("salinity", 36.4, "PSU", 36.4),))
    entries = [*FILLS, an_entry(90, FILLS[-1].day, salinity, tank="nook", at=time(7))]
    one = Machine(home, _ALONE, entries)
    limit = one.state(FILLS[-1].at).waters["nook"].limit
    assert limit.limit_at is not None

    def told(at: datetime) -> str:
        (found,) = reminders.standing(one.state(at), (), _ALONE, at).values()
        return plain(notice_sentence([found], _words(at, home)))

    may_be = told(limit.limit_at + timedelta(minutes=1))
    assert may_be.startswith(
        "Nook: the salinity, high even when the tank is full, may have risen by more than 0.5 PSU "
        "since it was full. "
    )
    assert "likely" not in told(limit.limit_at + timedelta(days=2))
    state = one.state(FILLS[-1].at)
    coming = limit_words(
        Limit.SALINITY,
        state.household.tanks[0],
        limit.limit_at,
        _words(FILLS[-1].at, home),
        is_high=True,
        salinity=state.waters["nook"].salinity_limit,
    )
    assert plain(coming).startswith(
        "the salinity, high even when the tank is full, may rise by 0.5 PSU "
    )


@pytest.mark.parametrize(
    ("outside", "told"),
    [
        ([("Nook", "ph")], "1 reading is outside its range: Nook pH."),
        (
            [("Bay", "alkalinity", "nitrate", "ph"), ("Nook", "salinity")],
            "4 readings are outside their ranges: Bay alkalinity, nitrate and pH; Nook salinity.",
        ),
    ],
)
def test_a_morning_names_the_readings_outside_in_a_whole_sentence(
    outside: list[tuple[str, ...]], told: str
) -> None:
    """Nobody has to guess what is theirs, or to look for it tank by tank."""
    at = local("2026-03-16T08:00")
    found = tuple(Outside(a_box(name), tuple(names)) for name, *names in outside)
    morning = Reminder("morning", Cause.MORNING, at, due=3, outside=found)
    words = Words(a_household(), moment_of(a_household(), at))

    assert notice_sentence([morning], words) == f"Today: 3 due. {told}"
