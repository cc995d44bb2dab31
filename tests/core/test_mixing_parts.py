"""Salt water that is mixed in parts leaves the rest of its turn to mix."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta

import pytest

from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit, Chore, ChoreKind
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, SaltMix
from tankkeeper.core.logbook import PART, Entry, Skip, Turn, WaterChange, Work
from tankkeeper.core.making_ready import not_ready_by
from tankkeeper.core.mixing_parts import NOTHING_MIXED, mixed_so_far
from tankkeeper.core.state import Item, fold_household, items_of
from tankkeeper.core.turns import State
from tankkeeper.reports.asking import unready_water
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tests.builders import a_box, an_entry, by_rule, day, days
from tests.core.test_mixing import FRIDAYS, MIXING, MOMENT, THURSDAYS, change, house, mixed

TODAY = "2026-03-12"
WEDNESDAYS = replace(MIXING, rhythm=by_rule("FREQ=WEEKLY;BYDAY=WE", "2026-03-04"))
STATED = replace(MIXING, amount=Amount(100.0, AmountUnit.LITRES))


def part(seq: int, litres: float, at: time = time(8), on: str = TODAY) -> Entry:
    return an_entry(seq, on, Work(litres), done="mix", key=f"{PART}e{seq}", at=at)


def changed(seq: int, litres: float, tank: str = "nook") -> Entry:
    fact, done = WaterChange(litres, salinity=35.0), f"{tank}.change"
    return an_entry(seq, TODAY, fact, done=done, tank=tank, key="2026-03-13", at=time(10))


def left(item: Item) -> float | None:
    return None if item.amount is None else item.amount.value


def test_a_part_leaves_its_turn_open_with_the_rest() -> None:
    """60 L and 40 L are taken; 40 L of them stand mixed. 36.8 g a litre make 2208 g for 60 L."""
    household = house(
        change(60.0, "nook"), change(40.0, "reef"), salt_mix=SaltMix(grams_per_litre=36.8)
    )
    item, _ = mixed(household)
    assert left(item) == 100.0

    _, words = mixed(household)
    after = [one for one in _items(household, part(1, 40.0)) if one.entry is None]

    assert [left(one) for one in after] == [60.0]
    assert after[0].turn == item.turn
    assert plain(reason(after[0], words)).endswith(
        "The changes of Nook (60 L) and Reef (40 L) take 100 L, and 40 L of it is mixed already. "
        "60 L takes 2208 g of salt by the yield of the mix."
    )


@pytest.mark.parametrize("rhythm", [MIXING.rhythm, AfterLastDone(days(7))])
def test_what_was_begun_is_not_told_as_never_done(rhythm: object) -> None:
    """12 L of it stand there: it was not done in full."""
    mixing = replace(MIXING, rhythm=rhythm, first_due=day(TODAY))
    household = house(change(60.0, "nook"), mixing=mixing)
    _, words = mixed(household)
    begun = [one for one in _items(household, part(1, 12.0)) if one.entry is None]

    text, before = plain(reason(begun[0], words)), plain(reason(_items(household)[0], words))
    assert "It has not been done in full yet" in text
    assert "12 L of it is mixed already." in text
    assert "It has not been done yet" in before


def test_the_part_itself_is_told_as_partly_done() -> None:
    """It stays in the round today, beside its rest."""
    household = house(change(60.0, "nook"))
    _, words = mixed(household)
    done = [one for one in _items(household, part(1, 40.0)) if one.entry is not None]

    assert [one.state for one in done] == [State.DONE]
    assert plain(reason(done[0], words)).startswith(
        "Partly done today at 08:00. 40 L went in; the rest stays to mix."
    )


@pytest.mark.parametrize("rhythm", [MIXING.rhythm, AfterLastDone(days(7))])
def test_parts_of_what_the_chore_states_add_up(rhythm: object) -> None:
    """100 L stated, 40 L and 35 L mixed; by the calendar and counted from the last time."""
    mixing = replace(STATED, rhythm=rhythm, first_due=day(TODAY))
    household = house(mixing=mixing)
    after = [one for one in _items(household, part(1, 40.0), part(2, 35.0)) if one.entry is None]

    assert [(left(one), one.state) for one in after] == [(25.0, State.DUE)]


def test_what_a_change_took_is_no_longer_in_store_and_no_longer_needed() -> None:
    """Of 100 L 40 L were mixed and put into the reef: the 60 L of the nook are left to mix."""
    household = house(change(60.0, "nook"), change(40.0, "reef"))
    after = _items(household, part(1, 40.0), changed(2, 40.0, "reef"))

    assert [left(one) for one in after if one.entry is None] == [60.0]


def test_where_a_change_took_more_than_planned_more_is_left_to_mix() -> None:
    """45 L went into the reef of the 40 L mixed; none of it is there for the nook."""
    household = house(change(60.0, "nook"), change(40.0, "reef"))
    after = _items(household, part(1, 50.0), changed(2, 45.0, "reef"))

    assert [left(one) for one in after if one.entry is None] == [55.0]


def test_a_turn_that_was_left_out_counts_its_parts_no_more() -> None:
    """The next mixing is for its own changes alone."""
    skip = an_entry(2, TODAY, Skip(Turn("mix", TODAY)), at=time(9))
    household = house(mixing=STATED)

    history = history_of([part(1, 40.0), skip])
    assert mixed_so_far(STATED, household, history, day(TODAY)) == NOTHING_MIXED


def test_a_part_of_the_week_before_is_told_by_the_next_turn() -> None:
    """Nobody mixed the rest then: 40 L of it stand there still."""
    household = house(mixing=STATED)
    after = [one for one in _items(household, part(1, 40.0, on="2026-03-05")) if not one.entry]

    assert [left(one) for one in after] == [60.0]


def test_what_is_all_mixed_proposes_nothing() -> None:
    """A change that was smaller than planned needs no more."""
    household = house(change(30.0, "nook"))
    _, words = mixed(household)
    after = [one for one in _items(household, part(1, 40.0)) if one.entry is None]

    assert [left(one) for one in after] == [None]
    assert "40 L of it is mixed already." in plain(reason(after[0], words))


def test_a_change_waits_until_all_of_its_water_is_mixed() -> None:
    """A part makes no water ready: the change is told as not mixed for."""

    household = house(change(60.0, "nook"), mixing=MIXING)

    one = household.chores[0]
    waits = not_ready_by(MIXING, household, history_of([part(1, 40.0)]), one, MOMENT)
    assert waits is not None
    assert waits.ready_at is None


def test_a_part_that_fills_the_store_parts_the_rest() -> None:
    """60 L have room and are mixed; the 40 L of Saturday follow once Friday's change took its."""
    saturdays = replace(MIXING.rhythm, rule="FREQ=WEEKLY;BYDAY=SA", start=day("2026-03-14"))
    household = house(
        change(60.0, "nook"),
        change(40.0, "reef", saturdays),
        salt_mix=SaltMix(store_litres=60.0),
    )
    _, words = mixed(household)
    after = [one for one in _items(household, part(1, 60.0)) if one.entry is None]

    assert left(after[0]) == 40.0
    assert (
        "No more than 60 L can be stored, and 60 L is mixed already: "
        "make 40 L tomorrow, ready on Saturday, or move a change to another day."
    ) in plain(reason(after[0], words))


@pytest.mark.parametrize(
    ("litres", "told"),
    [
        (40.0, "make the rest in 2 parts, each once the one before is used."),
        (60.0, "make the rest once that is used."),
    ],
)
def test_the_rest_of_one_large_change_waits_for_room(litres: float, told: str) -> None:
    """100 L in one go, of which 60 L have room: 20 L and 40 L are left, or 40 L."""
    household = house(mixing=STATED, salt_mix=SaltMix(store_litres=60.0))
    _, words = mixed(household)
    after = [one for one in _items(household, part(1, litres)) if one.entry is None]

    head = f"No more than 60 L can be stored, and {litres:.0f} L is mixed already: "
    assert head + told in plain(reason(after[0], words))


@pytest.mark.parametrize(("litres", "is_ready"), [(40.0, True), (30.0, False)])
def test_a_part_that_is_enough_for_one_change_makes_its_water_ready(
    litres: float, is_ready: bool
) -> None:
    """The 40 L of the reef are due today and stood since yesterday; the 60 L of the nook follow."""
    household = house(change(60.0, "nook"), change(40.0, "reef", THURSDAYS))
    (item,) = _items(household, part(1, litres, on="2026-03-11"), of="reef.change")

    assert (item.not_ready is None) is is_ready


def test_a_part_of_today_is_told_with_the_hour_at_which_it_is_ready() -> None:
    """Mixed at eight, 24 hours as the household says."""
    household = house(change(40.0, "reef", THURSDAYS), salt_mix=SaltMix(mixing_hours=24.0))
    (item,) = _items(household, part(1, 40.0), of="reef.change")

    assert item.not_ready is not None
    assert item.not_ready.ready_at == part(1, 40.0).at + timedelta(hours=24)


@pytest.mark.parametrize(
    ("litres", "ready"),
    [
        (38.0, {"nook"}),
        (50.0, {"nook", "reef"}),
        # 38 L do not fit into it; 9.1 L and 18 L do.
        (30.0, {"reef", "sound"}),
        (8.0, set()),
        (65.1, {"nook", "reef", "sound"}),
    ],
)
def test_changes_of_one_day_share_what_is_mixed_in_parts(litres: float, ready: set[str]) -> None:
    """38 L, 9.1 L and 18 L take 65.1 L; each takes its own as the round comes by."""
    assert _ready(_three(), part(1, litres, on="2026-03-11")) == ready


def test_what_a_change_took_is_not_there_for_the_others() -> None:
    """Of 50 L the nook took 38 L: the 12 L left are enough for 9.1 L and not for 18 L more."""
    poured = changed(2, 38.0)
    poured = replace(poured, completes=(Turn("nook.change", TODAY),))
    assert _ready(_three(), part(1, 50.0, on="2026-03-11"), poured) == {"reef"}


def test_the_walk_decides_which_change_gets_the_water() -> None:
    """The sound stands first in the walk: of 39 L it takes its 18 L and the reef 9.1 L."""
    household = _three()
    walked = tuple(
        replace(one, walk_order=1 if one.id == "sound" else None) for one in household.tanks
    )
    mixed_then = part(1, 39.0, on="2026-03-11")
    assert _ready(replace(household, tanks=walked), mixed_then) == {"sound", "reef"}


def test_an_overdue_change_of_a_tank_takes_its_water_first() -> None:
    """It stands first in the round of its tank, though it was set down last."""
    late = replace(change(20.0, "nook", by_rule("FREQ=MONTHLY", "2026-03-05")), id="nook.late")
    household = house(change(25.0, "nook", THURSDAYS), late)
    assert _ready(household, part(1, 30.0, on="2026-03-11"), by="id") == {"nook.late"}


def whole(seq: int, litres: float | None, on: str, at: time = time(12)) -> Entry:
    """Return a turn of the mixing that was done."""
    return an_entry(seq, on, Work(litres), done="mix", key=on, at=at)


def change_done(
    seq: int, tank: str, litres: float | None, on: str, at: time = time(10), turn: str = ""
) -> Entry:
    fact, done = WaterChange(litres, salinity=35.0), f"{tank}.change"
    return an_entry(seq, on, fact, done=done, tank=tank, key=turn or on, at=at)


def test_what_others_took_is_not_mixed_for_a_tank_that_was_changed_before() -> None:
    """Last Thursday the nook was changed unmixed; 27.1 L were mixed later, for 9.1 L and 18 L."""
    log = (
        change_done(1, "nook", 38.0, "2026-03-05"),
        whole(2, 27.1, "2026-03-05"),
        change_done(3, "reef", 9.1, "2026-03-06", turn="2026-03-05"),
        change_done(4, "sound", 18.0, "2026-03-06", turn="2026-03-05"),
    )
    household = _three(WEDNESDAYS)
    assert _ready(household, *log) == set()
    assert [left(one) for one in _items(household, *log) if one.is_open] == [65.1]


def test_a_change_that_falls_short_says_so() -> None:
    """Its mixing was done after its last turn and is not open, but that water went elsewhere."""
    household = _three(replace(MIXING, rhythm=FRIDAYS))
    log = (
        change_done(1, "nook", 38.0, "2026-03-05"),
        whole(2, 27.1, "2026-03-05"),
        change_done(3, "reef", 9.1, "2026-03-06", turn="2026-03-05"),
    )
    (item,) = _items(household, *log, of="nook.change")
    assert (
        "It needs 38 L of mixed salt water, and what Mix salt water made last is not enough for it."
    ) in plain(reason(item, Words(household, MOMENT)))
    assert "what Mix salt water made last is not enough" in unready_water(
        item, Words(household, MOMENT)
    )
    assert _ready(household, *log) == {"sound"}

    (item,) = _items(_three(WEDNESDAYS), *log, of="nook.change")
    assert "Mix salt water is not done yet" in unready_water(item, Words(household, MOMENT))


def test_what_no_change_took_stands_there_still() -> None:
    """65.1 L were mixed a week ago and the nook took 38 L: 27.1 L are there for the others."""
    log = (whole(1, 65.1, "2026-03-04"), change_done(2, "nook", 38.0, "2026-03-05"))
    household = _three(WEDNESDAYS)
    (item,) = (one for one in _items(household, *log) if one.is_open)

    assert _ready(household, *log) == {"reef", "sound"}
    assert left(item) == pytest.approx(38.0)
    assert "take 65.1 L, and 27.1 L of it is mixed already." in plain(
        reason(item, Words(household, MOMENT))
    )


def test_water_of_two_mixings_adds_up() -> None:
    """27.1 L of the first stood there when 38 L more were mixed, and all of it is used."""
    log = [
        whole(1, 65.1, "2026-02-25"),
        change_done(2, "nook", 38.0, "2026-02-26"),
        whole(3, 38.0, "2026-03-11"),
    ]
    assert _ready(_three(), *log) == {"nook", "reef", "sound"}

    log.append(change_done(4, "nook", 38.0, TODAY, turn="2026-03-05"))
    assert _ready(_three(), *log) == {"reef", "sound"}


def test_water_of_an_old_mixing_is_not_reckoned_with_for_ever() -> None:
    """What was left of a turn before the last counts for 28 days: a choice of this project."""
    for on, is_there in (("2026-02-12", True), ("2026-02-11", False)):
        log = (
            whole(1, 65.1, on),
            change_done(2, "nook", 38.0, "2026-02-19"),
            whole(3, 38.0, "2026-02-26"),
            change_done(4, "nook", 38.0, "2026-02-26", time(18)),
        )
        stands = mixed_so_far(MIXING, _three(), history_of(log), day(TODAY)).left_l
        assert stands == pytest.approx(27.1 if is_there else 0.0)


@pytest.mark.parametrize(("litres", "ready"), [(59.0, 3), (50.0, 2)])
def test_nearly_all_of_the_water_is_for_all_of_the_changes(litres: float, ready: int) -> None:
    """65.1 L are taken; nine tenths of it, 58.6 L, are ticked as all that was needed."""
    assert len(_ready(_three(), whole(1, litres, "2026-03-11"))) == ready


def test_a_mixing_without_litres_is_for_all_changes_after_it() -> None:
    """Nobody said how much was mixed, or how much a change took."""
    mixed_then = whole(1, None, "2026-03-11")
    assert _ready(_three(), mixed_then) == {"nook", "reef", "sound"}

    took = change_done(2, "nook", None, "2026-03-11", time(20), turn="2026-03-05")
    assert _ready(_three(), whole(1, 20.0, "2026-03-11"), took) >= {"reef", "sound"}


def _three(mixing: Chore = MIXING) -> Household:
    """Return a house with three changes that are due today."""
    household = house(
        change(38.0, "nook", THURSDAYS),
        change(9.1, "reef", THURSDAYS),
        change(18.0, "sound", THURSDAYS),
        mixing=mixing,
    )
    return replace(household, tanks=(*household.tanks, a_box("Sound")))


def _ready(household: Household, *entries: Entry, by: str = "tank") -> set[str | None]:
    """Return the tanks, or the changes, that are open and whose water stands ready."""
    state = fold_household(household, history_of(entries), MOMENT.now)
    items = [
        item
        for one in state.chores
        if one.chore.kind is ChoreKind.WATER_CHANGE
        for item in items_of(state, one)
        if item.is_open
    ]
    return {getattr(one.chore, by) for one in items if one.not_ready is None}


def _items(household: Household, *entries: Entry, of: str = "mix") -> list[Item]:
    state = fold_household(household, history_of(entries), MOMENT.now)
    return items_of(state, next(one for one in state.chores if one.chore.id == of))
