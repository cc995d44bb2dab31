"""Salt water is mixed for the changes that it serves, and says how much that is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.chores import Amount, AmountUnit, Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, SaltMix, WaterSupply
from tankkeeper.core.logbook import Pause, PauseMode, Work
from tankkeeper.core.state import Item, fold_household, items_of
from tankkeeper.reports.documents import item_fields
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import amount_words
from tankkeeper.reports.words import Words
from tankkeeper.services.tick_facts import fact_of
from tankkeeper.services.ticking import Tick
from tests.builders import a_box, a_chore, a_household, a_moment, an_entry, by_rule

MOMENT = a_moment("2026-03-12")  # a Thursday
FRIDAYS = by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-03-13")
THURSDAYS = by_rule("FREQ=WEEKLY;BYDAY=TH", "2026-03-12")


def change(litres: float | None, tank: str, rhythm: Calendar = FRIDAYS) -> Chore:
    amount = None if litres is None else Amount(litres, AmountUnit.LITRES)
    made = a_chore(rhythm, id=f"{tank}.change", name="Change water", tank=tank, amount=amount)
    return replace(made, kind=ChoreKind.WATER_CHANGE)


MIXING = replace(a_chore(THURSDAYS, id="mix", name="Mix salt water"), kind=ChoreKind.MIX_SALT_WATER)


def house(*chores: Chore, mixing: Chore = MIXING, **more: object) -> Household:
    return a_household(tanks=(a_box(), a_box("Reef")), chores=(*chores, mixing), **more)


def mixed(household: Household, *entries: object) -> tuple[Item, Words]:
    state = fold_household(household, history_of(entries), MOMENT.now)  # type: ignore[arg-type]
    one = next(one for one in state.chores if one.chore.id == "mix")
    return items_of(state, one)[0], Words(household, MOMENT)


def test_the_mixing_of_today_is_for_both_changes_of_tomorrow() -> None:
    """30 L and 6 L; 36.8 g of salt a litre by the yield of the mix make 1325 g."""
    household = house(
        change(30.0, "nook"), change(6.0, "reef"), salt_mix=SaltMix(grams_per_litre=36.8)
    )
    item, words = mixed(household)

    assert plain(amount_words(item, words)) == "36 L, 1325 g salt"
    assert "The changes of Nook (30 L) and Reef (6 L) take it." in plain(reason(item, words))
    assert item_fields(item, words)["amount"] == {
        "value": 36, "low": 36, "high": 36, "unit": "L",
    }  # fmt: skip


def test_a_tick_writes_down_what_was_mixed() -> None:
    """As it does of an amount that the chore itself states."""
    household = house(change(30.0, "nook"))
    state = fold_household(household, history_of(()), MOMENT.now)
    item, _ = mixed(household)

    assert fact_of(state, item, Tick(item.id), item.turn) == Work(litres=30.0)


@pytest.mark.parametrize(
    ("rule", "start", "litres"),
    [
        # The next mixing serves the change after that.
        ("FREQ=WEEKLY;BYDAY=TH", "2026-03-12", 30.0),
        # Mixed every two weeks, changed every week.
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TH", "2026-03-12", 60.0),
    ],
)
def test_it_is_mixed_for_every_change_before_the_next_mixing(
    rule: str, start: str, litres: float
) -> None:
    """A change on the next Friday, and one a week later."""
    household = house(change(30.0, "nook"), mixing=replace(MIXING, rhythm=by_rule(rule, start)))
    item, _ = mixed(household)

    assert item.amount is not None
    assert item.amount.value == litres


def test_a_share_of_the_water_is_mixed_as_the_change_tells_it() -> None:
    """15 % of a box of 86 L."""
    share = replace(change(None, "nook"), amount=Amount(15.0, AmountUnit.PERCENT))
    item, _ = mixed(house(share))

    assert item.amount is not None
    assert item.amount.value == pytest.approx(13.0, abs=0.5)


def test_where_one_change_has_no_litres_nothing_is_told() -> None:
    """A part would be taken for all of it."""
    item, words = mixed(house(change(30.0, "nook"), change(None, "reef")))

    assert item.amount is None
    assert amount_words(item, words) == ""


def test_a_paused_change_needs_no_water() -> None:
    """Only the other is mixed for."""
    rests = an_entry(1, "2026-03-11", Pause(PauseMode.FREEZE, chore="reef.change"))
    item, _ = mixed(house(change(30.0, "nook"), change(6.0, "reef")), rests)

    assert item.amount is not None
    assert item.amount.value == 30.0


def test_what_the_chore_states_itself_wins() -> None:
    """As before."""
    own = replace(MIXING, amount=Amount(50.0, AmountUnit.LITRES))
    item, _ = mixed(house(change(30.0, "nook"), mixing=own))

    assert item.amount is not None
    assert item.amount.value == 50.0


def test_more_than_can_be_stored_is_told_with_the_batches_that_have_room() -> None:
    """30 L and 52 L make 82 L, of which 60 L have room: 60 L today and 22 L once those are used.

    Both changes come tomorrow; the second batch is mixed then, and takes a day as usual.
    """
    household = house(
        change(30.0, "nook"), change(52.0, "reef"), salt_mix=SaltMix(store_litres=60.0)
    )
    item, words = mixed(household)

    assert item.amount is not None
    assert item.amount.value == 82.0
    assert (
        "No more than 60 L can be stored: make 60 L today and 22 L tomorrow, ready on Saturday, "
        "or move a change to another day." in plain(reason(item, words))
    )


def test_a_single_change_that_takes_more_than_can_be_stored_has_no_other_day() -> None:
    """52 L are taken at once, and 40 L have room: the first 40 L stand there until it takes them.

    Beside it, a change of 30 L makes it 82 L in three parts, of 40, 40 and 2 L.
    """
    large, kept = change(52.0, "reef"), SaltMix(store_litres=40.0)
    for changes, parts in (((large,), 2), ((change(30.0, "nook"), large), 3)):
        item, words = mixed(house(*changes, salt_mix=kept))

        told = plain(reason(item, words))
        assert (
            f"No more than 40 L can be stored: make it in {parts} parts, each once the one before "
            "is used." in told
        )
        assert "move a change" not in told


def test_what_has_room_is_told_of_no_store() -> None:
    """30 L and 30 L fill 60 L to the rim."""
    household = house(
        change(30.0, "nook"), change(30.0, "reef"), salt_mix=SaltMix(store_litres=60.0)
    )
    item, words = mixed(household)

    assert item.over_store is None
    assert "stored" not in reason(item, words)


def test_a_mixing_for_several_weeks_is_parted_at_its_changes() -> None:
    """30 L a week for two weeks: the second 30 L are mixed once the first change took its water."""
    household = house(
        change(30.0, "nook"),
        mixing=replace(MIXING, rhythm=by_rule("FREQ=WEEKLY;INTERVAL=2;BYDAY=TH", "2026-03-12")),
        salt_mix=SaltMix(store_litres=30.0),
    )
    item, _ = mixed(household)

    assert item.over_store is not None
    parted = [(one.day.isoformat(), one.litres) for one in item.over_store.batches]
    assert parted == [("2026-03-12", 30.0), ("2026-03-13", 30.0)]


def test_two_mixings_of_one_day_share_the_store() -> None:
    """40 L and 30 L have room alone, and not together in 60 L."""
    nook = replace(MIXING, tank="nook")
    reef = replace(MIXING, id="mix.reef", name="Mix for the reef", tank="reef")
    household = house(
        change(40.0, "nook"),
        change(30.0, "reef"),
        reef,
        mixing=nook,
        salt_mix=SaltMix(store_litres=60.0),
    )
    item, words = mixed(household)

    told = plain(reason(item, words))
    assert (
        "With Mix for the reef it makes 70 L on one day, and no more than 60 L can be stored: "
        "put one of them off, or move a change to another day." in told
    )


def test_fresh_water_has_its_own_store() -> None:
    """100 L are made, of which 60 L have room."""
    fresh = replace(
        MIXING, kind=ChoreKind.MAKE_FRESH_WATER, amount=Amount(100.0, AmountUnit.LITRES)
    )
    item, words = mixed(house(mixing=fresh, water_supply=WaterSupply(store_litres=60.0)))

    assert (
        "No more than 60 L can be stored: make it in 2 parts, each once the one before is used."
        in plain(reason(item, words))
    )


@pytest.mark.parametrize(
    ("policy", "litres"),
    [(IfMissed.COLLAPSE, 49.6), (IfMissed.EXPIRE, 49.6), (IfMissed.EACH, 58.2)],
)
def test_turns_that_wait_together_need_the_water_of_one(policy: IfMissed, litres: float) -> None:
    """Nobody changed the nook's 8.6 L a week ago; one tick settles both turns.

    Where each stays open it takes 2 x 8.6 L. The reef takes 41 L.
    """
    fridays = by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-03-06")
    late = replace(change(8.6, "nook", fridays), if_missed=policy, late_days=6)
    item, _ = mixed(house(late, change(41.0, "reef")))

    assert item.amount is not None
    assert item.amount.value == pytest.approx(litres)


def test_turns_that_wait_together_do_not_hide_the_one_after_them() -> None:
    """Mixed for two weeks: one tick of 8.6 L for what waits, and 8.6 L on the Friday after it."""
    late = change(8.6, "nook", by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-02-27"))
    rhythm = by_rule("FREQ=WEEKLY;INTERVAL=2;BYDAY=TH", "2026-03-12")
    item, _ = mixed(house(late, mixing=replace(MIXING, rhythm=rhythm)))

    assert item.amount is not None
    assert item.amount.value == pytest.approx(17.2)
