"""The chore that mixes the water follows the change it serves, or it is said that it does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    EarlierRhythm,
)
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, SaltMix
from tankkeeper.core.logbook import Entry, Shift, Skip, Turn
from tankkeeper.core.making_ready import (
    NotReady,
    following,
    is_in_step,
    is_nearly_ready,
    lead_days,
    mixers,
    not_ready_by,
    unready_by,
)
from tankkeeper.core.rhythm_ahead import parted
from tests.builders import a_box, a_chore, a_household, a_moment, an_entry, by_rule, day, days

TODAY = day("2026-03-12")  # a Thursday
EVERY_SECOND = by_rule("FREQ=WEEKLY;INTERVAL=2;BYDAY=FR", "2026-03-13")
SATURDAYS = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-14")


def change(
    rhythm: Calendar | AfterLastDone = SATURDAYS, tank: str = "nook", **more: object
) -> Chore:
    made = a_chore(rhythm, id=f"{tank}.change", name="Change water", tank=tank)
    return replace(made, kind=ChoreKind.WATER_CHANGE, **more)  # type: ignore[arg-type]


def mixing(rhythm: Calendar = EVERY_SECOND, **more: object) -> Chore:
    made = a_chore(rhythm, id="mix", name="Mix salt water")
    return replace(made, kind=ChoreKind.MIX_SALT_WATER, **more)  # type: ignore[arg-type]


def house(*chores: Chore, **more: object) -> Household:
    return a_household(tanks=(a_box(), a_box("Reef")), chores=chores, **more)


def missing(household: Household, on: str, entries: tuple[Entry, ...] = ()) -> bool:
    """Tell whether the change of the Nook has no water on a day."""
    return (
        unready_by(household, history_of(entries), household.chores[0], day(on), None) is not None
    )


def test_every_second_change_has_no_water_where_mixing_comes_every_two_weeks() -> None:
    """The mixing of a Friday is for the Saturday after it, and for no other."""
    found = [
        missing(house(change(), mixing()), f"2026-{one}") for one in ("03-14", "03-21", "03-28")
    ]

    assert found == [False, True, False]


def test_water_that_was_mixed_all_the_same_is_there() -> None:
    """Nobody is told to mix what stands ready."""
    mixed = an_entry(1, "2026-03-20", done="mix")

    assert not missing(house(change(), mixing()), "2026-03-21", (mixed,))


def test_a_mixing_that_makes_enough_for_two_changes_may_leave_one_out() -> None:
    """40 L are two changes of 20 L; 30 L are one."""
    twenty = change(amount=Amount(20.0, AmountUnit.LITRES))
    for litres, is_missing in ((40.0, False), (30.0, True)):
        mix = mixing(amount=Amount(litres, AmountUnit.LITRES))
        assert missing(house(twenty, mix), "2026-03-21") is is_missing


def test_a_mixing_moved_behind_the_change_is_noticed() -> None:
    """A shift of the series counts like a rule of its own."""
    each_week = mixing(by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-03-13"))
    moved = an_entry(1, "2026-03-12", Shift(Turn("mix", "2026-03-20"), day("2026-03-22")))

    assert not missing(house(change(), each_week), "2026-03-21")
    assert missing(house(change(), each_week), "2026-03-21", (moved,))


@pytest.mark.parametrize(
    ("changes", "hours", "rule", "start"),
    [
        ((change(),), None, "FREQ=WEEKLY;BYDAY=FR", "2026-03-13"),
        ((change(),), 36.0, "FREQ=WEEKLY;BYDAY=TH", "2026-03-12"),
        (
            (change(by_rule("FREQ=WEEKLY;INTERVAL=2;BYDAY=MO", "2026-03-16")),),
            None,
            "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU",
            "2026-03-15",
        ),
        (
            (change(), change(by_rule("FREQ=WEEKLY;BYDAY=WE", "2026-03-18"), "reef")),
            None,
            "FREQ=WEEKLY;BYDAY=TU,FR",
            "2026-03-13",
        ),
    ],
)
def test_a_mixing_follows_the_days_of_its_changes(
    changes: tuple[Chore, ...], hours: float | None, rule: str, start: str
) -> None:
    """By as many days as the mixing takes (24 hours unless said: common practice, no source)."""
    mix = None if hours is None else SaltMix(mixing_hours=hours)
    household = house(*changes, mixing(), salt_mix=mix)

    found = following(household.chores[-1], household, TODAY)

    assert found == Calendar(rule, day(start))
    followed = replace(household, chores=(*changes, mixing(found)))
    assert is_in_step(followed.chores[-1], followed, TODAY)


def test_what_counts_from_the_last_time_cannot_be_followed_by_a_rule() -> None:
    """It moves with the work."""
    household = house(change(AfterLastDone(days(7))), mixing())

    assert following(household.chores[-1], household, TODAY) is None


def test_a_change_that_names_its_mixing_is_the_only_one_it_serves() -> None:
    """The other tank has its water from elsewhere."""
    named = change(ready_before=("Mix salt water",))
    other = change(by_rule("FREQ=WEEKLY;BYDAY=WE", "2026-03-18"), "reef")
    household = house(named, other, mixing())

    assert following(household.chores[-1], household, TODAY) == Calendar(
        "FREQ=WEEKLY;BYDAY=FR", date(2026, 3, 13)
    )


def test_fresh_water_is_made_a_day_before_it_is_mixed() -> None:
    """It has to be there when the salt goes in."""
    fresh = replace(mixing(), kind=ChoreKind.MAKE_FRESH_WATER)

    assert lead_days(fresh, house()) == lead_days(mixing(), house()) + 1 == 2


def waiting(entries: tuple[Entry, ...], at: time = time(12), **more: object) -> NotReady | None:
    """Return what the change of Saturday the 14th waits for."""
    home = house(change(), mixing(), **more)
    return not_ready_by(
        home.chores[1], home, history_of(entries), home.chores[0], a_moment("2026-03-14", at)
    )


CHANGED = an_entry(1, "2026-03-07", done="nook.change", key="2026-03-07")
MIXED = an_entry(2, "2026-03-13", done="mix", key="2026-03-13")


def test_a_change_waits_for_the_mixing_after_the_change_before() -> None:
    """What was mixed earlier went into that one; a mixing that was left out is not waited for."""
    before = an_entry(0, "2026-03-06", done="mix")
    skipped = an_entry(3, "2026-03-13", Skip(Turn("mix", "2026-03-13")))

    for entries, waits in (
        ((), True),
        ((before, CHANGED), True),
        ((before,), False),
        ((CHANGED, MIXED), False),
        ((CHANGED, skipped), False),
    ):
        found = waiting(entries)
        assert (found is not None) is waits
        if found is not None:
            assert (found.prep.id, found.ready_at) == ("mix", None)


def test_what_is_mixed_has_its_hours() -> None:
    """To the minute, of hours that the keeper gave as of the usual ones (24)."""
    for hours, at, ready in (
        (24.0, time(11), time(12)),
        (24.0, time(12), None),
        (None, time(11), time(12)),
        (None, time(12), None),
    ):
        found = waiting((CHANGED, MIXED), at, salt_mix=SaltMix(mixing_hours=hours))
        assert (found is not None) is (ready is not None)
        if found is not None and ready is not None:
            assert found.ready_at == a_moment("2026-03-14", ready).now
    today = an_entry(2, "2026-03-14", done="mix", at=time(8))
    found = waiting((CHANGED, today))
    assert found is not None
    assert found.ready_at == a_moment("2026-03-15", time(8)).now


@pytest.mark.parametrize(("hours", "is_near"), [(24.0, False), (None, True)])
def test_of_usual_hours_since_yesterday_nobody_is_held_back(
    hours: float | None, is_near: bool
) -> None:
    """Hours that the keeper gave are meant; on the day of the mixing the usual ones are, too."""
    home = house(change(), mixing(), salt_mix=SaltMix(mixing_hours=hours))
    later, same = a_moment("2026-03-14", time(11)), a_moment("2026-03-13", time(14))
    for moment, expected in ((later, is_near), (same, False)):
        found = not_ready_by(
            home.chores[1], home, history_of((CHANGED, MIXED)), home.chores[0], moment
        )
        assert found is not None
        assert is_nearly_ready(found, home, moment) is expected


def test_what_is_mixed_once_more_leaves_the_water_ready_that_stands() -> None:
    """As do all batches after the first since the change before; what is older went into that."""
    older = an_entry(0, "2026-03-06", done="mix")
    more = an_entry(3, "2026-03-14", done="mix", at=time(10))
    day_long = SaltMix(mixing_hours=24.0)

    assert waiting((older, CHANGED, MIXED, more), time(12), salt_mix=day_long) is None
    found = waiting((older, CHANGED, more), time(12), salt_mix=day_long)
    assert found is not None
    assert found.ready_at == a_moment("2026-03-15", time(10)).now


def test_a_change_that_nothing_mixes_for_waits_for_nothing() -> None:
    """Whoever keeps no chore for it mixes all the same."""
    home = house(change())
    assert list(mixers(home, home.chores[0], day("2026-03-14"))) == []


@pytest.mark.parametrize(("litres", "waits"), [(20.0, True), (40.0, False), (60.0, False)])
def test_a_mixing_for_several_changes_is_waited_for_after_the_last_of_them(
    litres: float, waits: bool
) -> None:
    """Mixed before the change of last week: enough for one, for two, or for more than is known."""
    one = change(amount=Amount(20.0, AmountUnit.LITRES))
    home = house(one, mixing(amount=Amount(litres, AmountUnit.LITRES)))
    log = [
        an_entry(1, "2026-02-28", done="nook.change", key="2026-02-28"),
        an_entry(2, "2026-03-06", done="mix"),
        an_entry(3, "2026-03-07", done="nook.change", key="2026-03-07"),
    ]
    found = not_ready_by(home.chores[1], home, history_of(log), one, a_moment("2026-03-14"))
    assert (found is not None) is waits


def test_a_change_of_another_rhythm_from_a_later_day_on_has_its_mixing_too() -> None:
    """Until then it stands in the state as it holds now, which is no chore of the household."""
    counted = EarlierRhythm(day("2026-03-01"), AfterLastDone(days(7)))
    one = change(valid_from=day("2026-04-01"), earlier=(counted,))
    now = parted(one, day("2026-03-14")).now
    home = house(one, mixing())
    assert now not in home.chores
    assert list(mixers(home, now, day("2026-03-14"))) == [home.chores[1]]
    found = not_ready_by(home.chores[1], home, history_of(()), now, a_moment("2026-03-14"))
    assert found == NotReady(home.chores[1])
    since = day("2026-03-14")
    prep = unready_by(home, history_of(()), now, day("2026-03-21"), since)
    assert prep == home.chores[1]
