"""How much was fed is understood in one way, and refused where it is none."""

from __future__ import annotations

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.services.fed_amounts import fed_amount


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("0.5", 0.5),
        ("0,5 g", 0.5),
        ("1 kg", 1000.0),
        ("2 cubes", "2 cubes"),
        ("two cubes", "2 cubes"),
        (" 2  Cubes ", "2 cubes"),
        ("2cubes", "2 cubes"),
        ("a cube", "1 cube"),
        ("cube", "1 cube"),
        ("half a cube", "0.5 cube"),
        ("\N{VULGAR FRACTION ONE HALF} cube", "0.5 cube"),
        ("1,5 cubes", "1.5 cubes"),
        ("a pinch", "1 pinch"),
        ("3 pinches", "3 pinches"),
        ("2 leaves", "2 leaves"),
        ("1 tsp", "1 teaspoon"),
        ("5 ml", "5 ml"),
        ("1 ml", "1 ml"),
        ("2 millilitres", "2 ml"),
        ("1 millilitre", "1 ml"),
        ("two milliliters", "2 ml"),
        ("half a millilitre", "0.5 ml"),
        ("2 grams", 2.0),
        ("two grams", 2.0),
        ("half a gram", 0.5),
    ],
)
def test_an_amount_is_grams_or_a_number_of_things(typed: str, amount: float | str) -> None:
    """However it was typed, it is kept in one way."""
    assert fed_amount(typed) == amount


@pytest.mark.parametrize(
    "typed",
    [
        "as always",
        "two stones",
        "half a gram of krill",
        "2 cubes of krill",
        "krill",
        "many",
        "0 cubes",
        "2 stones",
        "a",
        "5000 cubes",
    ],
)
def test_words_that_are_no_amount_are_refused(typed: str) -> None:
    """What it was has a field of its own."""
    with pytest.raises(UserFault) as caught:
        fed_amount(typed)

    assert caught.value.code == "not_fed_so"
