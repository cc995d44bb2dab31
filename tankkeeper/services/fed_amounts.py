"""How much was fed, as it is typed: grams, or a number of something that nobody weighs."""

from __future__ import annotations

from typing import Final

from tankkeeper.core.errors import UserFault
from tankkeeper.core.parameters import to_stored
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.units import Dimension, parse_number, parse_quantity, plain_text
from tankkeeper.services.tick_facts import checked_grams

_LONGEST: Final = 60
# Choices of this project: nobody feeds more cubes or pinches at once.
_MOST: Final = 1000.0
_NUMBERS: Final = {
    "a": 1.0,
    "an": 1.0,
    "half": 0.5,
    "one": 1.0,
    "two": 2.0,
    "three": 3.0,
    "four": 4.0,
    "five": 5.0,
    "six": 6.0,
    "seven": 7.0,
    "eight": 8.0,
    "nine": 9.0,
    "ten": 10.0,
    "\u00bd": 0.5,
    "\u00bc": 0.25,
    "\u00be": 0.75,
}
# What food is counted in where it is not weighed, each as one and as several.
_COUNTED: Final = {
    "cube": "cubes",
    "pinch": "pinches",
    "piece": "pieces",
    "sheet": "sheets",
    "strip": "strips",
    "leaf": "leaves",
    "drop": "drops",
    "spoon": "spoons",
    "spoonful": "spoonfuls",
    "teaspoon": "teaspoons",
    "tablespoon": "tablespoons",
    "scoop": "scoops",
    "cup": "cups",
    "pellet": "pellets",
    "tablet": "tablets",
    "wafer": "wafers",
    "flake": "flakes",
    "squirt": "squirts",
    "pipette": "pipettes",
    "syringe": "syringes",
    "portion": "portions",
    "handful": "handfuls",
    "shrimp": "shrimps",
    "mussel": "mussels",
    "worm": "worms",
    "ml": "ml",
}
_OTHERWISE: Final = {
    "tsp": "teaspoon",
    "millilitre": "ml",
    "millilitres": "ml",
    "milliliter": "ml",
    "milliliters": "ml",
}
# Of these many go into what a chore counts as one piece.
_SMALL: Final = frozenset({"ml", "drop", "pellet", "flake"})
_ONE: Final = {several: one for one, several in _COUNTED.items()} | _OTHERWISE
_NUMBER_AND_THING = Pattern(r"([0-9]+(?:[.,][0-9]+)?)?\s*(.*)")
_HALF_A = Pattern(r"half\s+an?\s+(.+)")


def fed_amount(text: str) -> float | str:
    """Return grams, or how many of what else, always written in one way.

    >>> fed_amount("0,5 g"), fed_amount("two  Cubes"), fed_amount("a pinch"), fed_amount("2cubes")
    (0.5, '2 cubes', '1 pinch', '2 cubes')
    """
    counted = _counted(text)
    if counted is not None:
        return counted
    try:
        grams = to_stored(parse_quantity(_in_digits(text), Dimension.MASS, "g"))
    except UserFault as fault:
        if fault.code in ("unknown_unit", "not_a_number") and fault.values.get("nearest") is None:
            raise UserFault("not_fed_so", text=text.strip()[:_LONGEST]) from fault
        raise
    return checked_grams(grams)


def pieces_in(amount: str) -> float | None:
    """Return how many pieces an amount is that was read here, None where it counts no pieces.

    >>> pieces_in("2 cubes"), pieces_in("0.5 sheet"), pieces_in("30 pellets"), pieces_in("")
    (2.0, 0.5, None, None)
    """
    number, _, thing = amount.partition(" ")
    one = thing if thing in _COUNTED else _ONE.get(thing)
    return None if one is None or one in _SMALL else float(number)


def _in_digits(text: str) -> str:
    """Return "2 grams" for "two grams", all else as it is."""
    plain = " ".join(text.casefold().split())
    half = _HALF_A.fullmatch(plain)
    word, _, thing = ("half", " ", half[1]) if half is not None else plain.partition(" ")
    return f"{_NUMBERS[word]} {thing}" if word in _NUMBERS and thing else text


def _counted(text: str) -> str | None:
    """Return "2 cubes" for a number of something that is counted, None for all else."""
    plain = " ".join(text.casefold().split())
    if len(plain) > _LONGEST:
        return None
    half = _HALF_A.fullmatch(plain)
    if half is not None:
        return _told(0.5, half[1])
    found = _NUMBER_AND_THING.fullmatch(plain)
    if found is None:
        return None
    if found[1]:
        number = parse_number(found[1], "amount")
        return _told(number, found[2])
    word, _, thing = plain.partition(" ")
    return _told(_NUMBERS[word], thing) if word in _NUMBERS else _told(1.0, plain)


def _told(number: float, thing: str) -> str | None:
    one = thing if thing in _COUNTED else _ONE.get(thing)
    if one is None or not 0.0 < number <= _MOST:
        return None
    return f"{plain_text(number)} {one if number <= 1.0 else _COUNTED[one]}"
