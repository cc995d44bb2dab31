"""A mixing that states its litres itself: told is where what can stand of it is too little."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.history import history_of
from tankkeeper.core.household import SaltMix
from tankkeeper.core.logbook import Entry, WaterChange, Work
from tankkeeper.core.state import Item, fold_household, items_of
from tankkeeper.reports.asking import unready_water
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tests.builders import a_moment, an_entry
from tests.core.test_mixing import MIXING, MOMENT, THURSDAYS, change, house

STATED = replace(MIXING, amount=Amount(40.0, AmountUnit.LITRES))
YESTERDAY = "2026-03-11"


def mixing(seq: int, on: str = YESTERDAY, at: time = time(12)) -> Entry:
    return an_entry(seq, on, Work(40.0), done="mix", key=f"{on}", at=at)


def taken(seq: int, litres: float, tank: str = "reef", on: str = YESTERDAY) -> Entry:
    fact = WaterChange(litres, salinity=35.0)
    return an_entry(seq, on, fact, done=f"{tank}.change", tank=tank, key="2026-03-06", at=time(14))


def due(*entries: Entry, of: str = "nook", **more: object) -> tuple[Item, str]:
    """Return the change of a tank, due today, with its reason."""
    chores = (change(6.0, "nook", THURSDAYS), replace(change(40.0, "reef"), early_days=2))
    household = house(*chores, mixing=STATED, **more)
    state = fold_household(household, history_of(entries), MOMENT.now)
    one = next(one for one in state.chores if one.chore.id == f"{of}.change")
    item = items_of(state, one)[0]
    return item, plain(reason(item, Words(household, MOMENT)))


def test_a_change_that_takes_more_than_can_stand_says_so() -> None:
    """38 of 40 L went into the other tank, so 6 L are not there by that mixing."""
    item, text = due(mixing(1), taken(2, 38.0))

    assert item.stands_short == pytest.approx(2.0)
    assert "At most 2 L stands mixed by now: mix more." in text


def test_while_its_water_is_not_ready_both_are_told() -> None:
    """It does not claim the water that is ready later for this change."""
    _, text = due(mixing(1, at=time(13)), taken(2, 38.0), salt_mix=SaltMix(mixing_hours=24.0))

    assert "What was mixed last is ready today at 13:00. At most 2 L stands mixed" in text
    assert "Its salt water was mixed" not in text


def test_where_nothing_is_left_that_is_told() -> None:
    """What the change took beyond the mixing came from elsewhere."""
    _, text = due(mixing(1), taken(2, 45.0))

    assert "Nothing stands mixed by now: mix more." in text


@pytest.mark.parametrize(
    "entries",
    [
        (mixing(1), taken(2, 34.0)),
        (mixing(1),),
        # What the mixing before left stands there, too.
        (mixing(1, on="2026-03-04"), mixing(2), taken(3, 38.0)),
        # Of one of them nobody said how much.
        (an_entry(1, "2026-03-10", done="mix", key="2026-03-10"), mixing(2), taken(3, 38.0)),
        (taken(1, 38.0, on="2026-03-06"), mixing(2)),
        (),
    ],
)
def test_where_enough_is_left_or_nothing_is_known_nothing_is_told(
    entries: tuple[Entry, ...],
) -> None:
    """6 L are left; a change before the mixing took none of it."""
    item, text = due(*entries)

    assert item.stands_short is None
    assert "stands mixed" not in text


def test_a_change_that_is_not_due_yet_tells_nothing() -> None:
    """It may be mixed for until then."""
    item, _ = due(mixing(1), taken(2, 38.0, tank="nook"), of="reef")

    assert item.stands_short is None


def own_change(litres: float) -> Entry:
    """Return the change of the tank itself, after the mixing."""
    fact = WaterChange(litres, salinity=35.0)
    return an_entry(
        9, YESTERDAY, fact, done="nook.change", tank="nook", key="2026-03-05", at=time(15)
    )


def test_what_is_left_by_the_logbook_needs_no_new_mixing() -> None:
    """Changed once since the mixing, 6 L are left of it, as for the change of another tank."""
    waiting, text = due(mixing(1), taken(2, 28.0), own_change(6.0))

    assert waiting.not_ready is None
    assert waiting.stands_short is None
    assert "mixed" not in text


def test_where_too_little_is_left_it_is_not_mixed_yet() -> None:
    """Its own mixing is still to be done."""
    waiting, text = due(mixing(1), taken(2, 31.0), own_change(6.0))

    assert waiting.not_ready is not None
    assert waiting.not_ready.is_unmixed
    assert "It needs 6 L of mixed salt water, and Mix salt water is not done yet." in text


def test_what_is_left_of_a_mixing_that_stirs_still_is_waited_for() -> None:
    """As what was mixed for the change itself."""
    mix = SaltMix(mixing_hours=48.0)
    waiting, text = due(mixing(1), taken(2, 28.0), own_change(6.0), salt_mix=mix)

    assert waiting.not_ready is not None
    assert "is ready tomorrow at 12:00" in text


def test_of_two_that_are_due_the_second_is_told_that_the_first_takes_all() -> None:
    """40 L stand for 40 L and 6 L; who comes first by the walk has enough."""
    both = (change(6.0, "nook", THURSDAYS), change(40.0, "reef", THURSDAYS))
    state = fold_household(house(*both, mixing=STATED), history_of([mixing(1)]), MOMENT.now)
    items = {one.chore.id: items_of(state, one)[0] for one in state.chores}
    told = {key: plain(reason(item, Words(state.household, MOMENT))) for key, item in items.items()}

    short = [key for key in ("nook.change", "reef.change") if "mix more" in told[key]]
    (second,) = short
    assert items[second].stands_short == pytest.approx(40.0)
    left = "At most 40 L stands mixed by now for it and the changes before it: mix more."
    assert left in told[second]


LAST_WEEK, TODAY = "2026-03-04", "2026-03-12"
DAY_LONG = SaltMix(mixing_hours=24.0)


def test_older_water_that_does_is_not_waited_for() -> None:
    """34 L of last week stand ready beside what was mixed this morning; 6 L are taken."""
    before = taken(2, 6.0, on="2026-03-06")
    item, text = due(mixing(1, LAST_WEEK), before, mixing(3, TODAY, time(9)), salt_mix=DAY_LONG)

    assert item.not_ready is None
    assert "ready" not in text


def test_what_the_older_water_does_not_cover_is_waited_for() -> None:
    """2 L of last week are left, so 4 of the 6 L come from the mixing of this morning."""
    before = taken(2, 38.0, on="2026-03-06")
    item, text = due(mixing(1, LAST_WEEK), before, mixing(3, TODAY, time(9)), salt_mix=DAY_LONG)

    assert item.not_ready is not None
    assert "Its salt water was mixed and is ready tomorrow at 09:00." in text


def _both_due(*entries: Entry) -> dict[str, Item]:
    """Return what a large change and a small one behind it wait for, both due today."""
    both = (change(40.0, "reef", THURSDAYS), change(6.0, "nook", THURSDAYS))
    household = house(*both, mixing=STATED, salt_mix=DAY_LONG)
    walk = {"reef": 1, "nook": 2}
    tanks = tuple(replace(one, walk_order=walk[one.id]) for one in household.tanks)
    household = replace(household, tanks=tanks)
    state = fold_household(household, history_of(entries), MOMENT.now)
    return {
        one.chore.tank: items_of(state, one)[0]
        for one in state.chores
        if one.chore.tank is not None
    }


def test_a_change_that_waits_leaves_what_is_ready_to_the_one_behind_it() -> None:
    """34 L are ready and 40 L of this morning are not: 40 L wait for them anyway, 6 L need not."""
    before = taken(2, 6.0, on="2026-03-06")
    items = _both_due(mixing(1, LAST_WEEK), before, mixing(3, TODAY, time(9)))

    assert items["reef"].not_ready is not None
    assert items["reef"].not_ready.ready_at is not None
    assert items["reef"].stands_short is None
    assert items["nook"].not_ready is None
    assert items["nook"].stands_short is None


def test_no_change_goes_short_because_another_takes_what_is_ready() -> None:
    """34 L are ready, 6 of this morning are not: together they are those of the first."""
    before = taken(2, 6.0, on="2026-03-06")
    fresh = replace(mixing(3, TODAY, time(9)), fact=Work(6.0))
    items = _both_due(mixing(1, LAST_WEEK), before, fresh)

    assert items["reef"].stands_short is None
    assert items["nook"].stands_short is not None


def test_of_two_mixings_that_stir_the_one_that_covers_it_is_waited_for() -> None:
    """The older one is ready first, and 6 L of it are left."""
    log = (mixing(1, at=time(14)), taken(2, 30.0), mixing(3, TODAY, time(9)))
    _, text = due(log[0], replace_at(log[1], time(15)), log[2], salt_mix=DAY_LONG)

    assert "Its salt water was mixed and is ready today at 14:00." in text


def test_a_mixing_that_another_change_took_is_not_waited_for() -> None:
    """All of it went into the other tank minutes after it was mixed."""
    item, text = due(mixing(1, at=time(13)), taken(2, 40.0), salt_mix=DAY_LONG)

    assert item.not_ready is None
    assert "Nothing stands mixed by now: mix more." in text
    assert "is ready" not in text


def test_a_change_that_may_be_done_early_tells_that_its_water_is_not_ready() -> None:
    """It comes tomorrow and may be done today, but the water stirs until tomorrow at 09:00."""
    waiting, text = due(mixing(1, TODAY, time(9)), of="reef", salt_mix=DAY_LONG)
    assert waiting.not_ready is None, "the change of today takes 6 of the 40 L before it"

    log = (mixing(1, TODAY, time(9)), mixing(2, TODAY, time(10)))
    waiting, text = due(*log, of="reef", salt_mix=DAY_LONG)
    assert waiting.not_ready is not None
    assert waiting.not_ready.mixed_at == log[1].at
    assert "Its salt water was mixed and is ready tomorrow at 10:00." in text


def test_keeping_the_change_tells_that_its_water_is_not_ready() -> None:
    """A change of before the mixing did not take that water."""
    item, _ = due(mixing(1, TODAY, time(9)), salt_mix=DAY_LONG)
    words = Words(house(change(6.0, "nook"), mixing=STATED), MOMENT)

    told = plain(unready_water(item, words, MOMENT.now))
    assert told == "Its salt water is not ready until tomorrow at 09:00."
    assert not unready_water(item, words, a_moment(TODAY, time(8)).now)


def test_of_water_that_does_not_do_no_change_is_told_that_it_is_its_own() -> None:
    """2 L are left of a mixing that stirs still, and 6 L are taken."""
    item, _ = due(mixing(1, at=time(13)), taken(2, 38.0), salt_mix=DAY_LONG)
    words = Words(house(change(6.0, "nook"), mixing=STATED, salt_mix=DAY_LONG), MOMENT)

    told = plain(unready_water(item, words, MOMENT.now))
    assert told == "What was mixed last is not ready until today at 13:00."


def replace_at(entry: Entry, at: time) -> Entry:
    """Return an entry of the same day at another hour."""
    return replace(entry, at=a_moment(entry.day, at).now)
