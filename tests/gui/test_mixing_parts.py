"""Ticking a mixing in the window: how much was mixed, by keys alone; a part leaves the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Household, SaltMix, ShownUnits
from tankkeeper.core.logbook import Work
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.correct_form import CorrectForm
from tankkeeper.reports.numbers import plain
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house


def house(store: float | None = None, unit: str = "L") -> Household:
    """Return a house in which 100 L of salt water are to be mixed, at 38 g of salt a litre."""
    mix = replace(
        chore("mix", "Mix salt water", 12, kind=ChoreKind.MIX_SALT_WATER),
        tank=None,
        amount=Amount(100.0, AmountUnit.LITRES),
    )
    return small_house(
        chores=(mix,),
        salt_mix=SaltMix(grams_per_litre=38.0, store_litres=store),
        units=ShownUnits(volume=unit),
    )


def amounts(hands: Hands) -> list[tuple[str, State]]:
    return [(plain(row.amount), row.item.state) for row in hands.rows()]


def test_a_tick_asks_how_much_and_enter_accepts(live_in: LiveIn) -> None:
    """What is proposed stands in the field, selected: two keys, and the salt is kept with it."""
    hands = live_in(house())
    hands.press("Space")

    assert hands.form().litres.text == "100"
    assert hands.focus() is hands.form().litres.field
    assert hands.form().primary.words == "Tick"
    assert not cut_labels(hands.form())
    assert not nameless(hands.form())
    assert not overlapping(hands.form())
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.fact == Work(litres=100.0, grams=3800.0)
    assert hands.state("mix") is State.DONE


def test_less_is_a_part_and_the_rest_stays_to_mix(live_in: LiveIn) -> None:
    """40 L of 100 L, then the 60 L that are left; what is typed takes the place of what stands."""
    hands = live_in(house())
    hands.press("Space")
    hands.type("40")

    assert hands.form().mixed.currentText() == "A part, the rest stays to mix"
    assert hands.form().primary.words == "Keep as a part"
    hands.press("Return")

    assert not hands.has_form()
    assert plain(hands.told).startswith("Partly done: Mix salt water, 40 L, 1520 g.")
    assert plain(hands.told).endswith("60 L is left to mix.")
    assert sorted(amounts(hands)) == [
        ("40 L, 1520 g", State.DONE),
        ("60 L, 2280 g salt", State.DUE),
    ]
    assert [hands.list.current_row().item.state] == [State.DUE]
    hands.press("Space", "Return")
    assert hands.log()[0].entry.fact == Work(litres=60.0, grams=2280.0)
    assert {one for _, one in amounts(hands)} == {State.DONE}


def test_undo_and_redo_of_a_part(live_in: LiveIn) -> None:
    """By the keys of every deed."""
    hands = live_in(house())
    hands.press("Space")
    hands.type("40")
    hands.press("Return", "Ctrl+Z")
    assert amounts(hands) == [("100 L, 3800 g salt", State.DUE)]
    hands.press("Ctrl+Y")
    assert ("60 L, 2280 g salt", State.DUE) in amounts(hands)


def test_who_mixed_less_on_purpose_says_that_it_is_all(live_in: LiveIn) -> None:
    """One key in the field below: the turn is done."""
    hands = live_in(house())
    hands.press("Space")
    hands.type("40")
    hands.press("Tab", "Up")
    assert hands.form().primary.words == "Tick"
    hands.press("Return")

    assert hands.log()[0].entry.fact == Work(litres=40.0, grams=1520.0)
    assert amounts(hands) == [("40 L, 1520 g", State.DONE)]


@pytest.mark.parametrize("typed", ["70", None])
def test_more_than_can_be_stored_is_asked_once(live_in: LiveIn, typed: str | None) -> None:
    """60 L have room; what is proposed is asked about, too. The second Enter keeps it."""
    hands = live_in(house(60.0))
    hands.press("Space")
    if typed is not None:
        hands.type(typed)
    hands.press("Return")

    litres = typed or "100"
    assert hands.has_form()
    assert plain(hands.form().accessibleDescription()) == (
        f"{litres} L is more than the 60 L that can be stored. Keep all the same?"
    )
    hands.press("Return")
    assert not hands.has_form()
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, Work)
    assert fact.litres == float(litres)


def test_gallons_are_asked_where_the_household_has_them(live_in: LiveIn) -> None:
    """100 L are 26.4 US gallons as a jug shows them; accepted, no litre is lost by rounding."""
    hands = live_in(house(unit="US gal"))
    hands.press("Space")
    assert hands.form().litres.text == "26.4"
    hands.press("Return")
    assert hands.log()[0].entry.fact == Work(litres=100.0, grams=3800.0)


def test_a_correction_to_less_opens_the_rest_again(live_in: LiveIn) -> None:
    """100 L were ticked and 40 L mixed: 60 L are left to mix, until that is undone."""
    hands = live_in(house())
    hands.press("Space", "Return", "Ctrl+6", "Home", "Return")
    assert isinstance(hands.form(), CorrectForm)
    hands.press("Ctrl+A")
    hands.type("40")
    hands.press("Ctrl+Return")
    assert plain(hands.told) == (
        "Corrected: litres 40 L (before: 100 L); mass 1520 g (before: 3800 g). "
        "Mix salt water of the household moves from Thu 19 to today and takes 60 L."
    )
    hands.press("Ctrl+1")

    assert not hands.has_form()
    assert sorted(amounts(hands)) == [
        ("40 L, 1520 g", State.DONE),
        ("60 L, 2280 g salt", State.DUE),
    ]
    hands.press("Ctrl+Z")
    assert amounts(hands) == [("100 L, 3800 g", State.DONE)]


def test_a_part_corrected_to_all_does_the_turn(live_in: LiveIn) -> None:
    """40 L were written down and 100 L mixed."""
    hands = live_in(house())
    hands.press("Space")
    hands.type("40")
    hands.press("Return", "Ctrl+6", "Home", "Return", "Ctrl+A")
    hands.type("100")
    hands.press("Ctrl+Return", "Ctrl+1")

    assert [state for _, state in amounts(hands)] == [State.DONE]
