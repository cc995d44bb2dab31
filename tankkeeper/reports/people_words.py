"""What people do not do and lift, in sentences beside the work; nothing is refused for it."""

from __future__ import annotations

from tankkeeper.core.capable import CARRIED_KINDS, does, named_for, turns_to_carry, weight_kg
from tankkeeper.core.chores import AmountUnit, Chore, ChoreKind
from tankkeeper.core.household import Person
from tankkeeper.core.logbook import Entry, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.state import Item
from tankkeeper.reports.numbers import NBSP, listed
from tankkeeper.reports.words import Words

_DOES_NOT = {
    ChoreKind.TOP_OFF: "tops off no tank",
    ChoreKind.RESERVOIR: "fills no reservoir",
    ChoreKind.WATER_CHANGE: "changes no water",
    ChoreKind.MAKE_FRESH_WATER: "makes no fresh water",
    ChoreKind.MIX_SALT_WATER: "mixes no salt water",
    ChoreKind.FETCH_WATER: "fetches no water",
    ChoreKind.GLASS: "cleans no glass",
    ChoreKind.FILTER_MEDIA: "changes no filter media",
    ChoreKind.SUBSTRATE: "does no work in the sand",
    ChoreKind.FEEDING: "does no feeding",
    ChoreKind.TEST: "does no tests",
    ChoreKind.DOSE: "does no dosing",
    ChoreKind.CALIBRATION: "does no calibration",
    ChoreKind.SERVICE: "does no service",
    ChoreKind.CHECK: "does no checks",
    ChoreKind.BUY: "does no shopping",
    ChoreKind.OTHER: "does no other work",
}
_FACTS = {
    Readings: ChoreKind.TEST,
    TopOff: ChoreKind.TOP_OFF,
    ReservoirCheck: ChoreKind.RESERVOIR,
    WaterChange: ChoreKind.WATER_CHANGE,
}


def limits_of_item(item: Item, words: Words) -> list[str]:
    """Return what stands against those who are to do a turn, a sentence each."""
    amount = item.amount
    litres = amount.value if amount is not None and amount.unit == "L" else None
    return limits_of_chore(item.chore, words, litres)


def limits_of_chore(chore: Chore, words: Words, litres: float | None = None) -> list[str]:
    """Return the same of a chore; `litres` are what is carried, its own where they are None."""
    stated = chore.amount
    if litres is None and stated is not None and stated.unit is AmountUnit.LITRES:
        litres = stated.value
    people = named_for(chore, words.household) or list(words.household.people)
    told = [does_not(one, chore.kind, words) for one in people if not does(one, chore.kind)]
    if litres is not None and chore.kind in CARRIED_KINDS:
        told += _carried(chore.kind, litres, people, words)
    return told


def limits_of_entry(entry: Entry, words: Words) -> str:
    """Return what the one who did something does not do by the household, empty for nothing.

    It was done all the same, so it is told and not refused.
    """
    person = next((one for one in words.household.people if one.id == entry.by), None)
    if person is None:
        return ""
    done = {turn.chore for turn in entry.completes}
    kinds = [one.kind for one in words.household.chores if one.id in done]
    kind = _FACTS.get(type(entry.fact))
    kinds += [kind] if kind is not None and not kinds else []
    unfit = dict.fromkeys(one for one in kinds if not does(person, one))
    told = [does_not(person, one, words) for one in unfit]
    return " ".join(f"{one.removesuffix('.')}, by the household's settings." for one in told)


def does_not(person: Person, kind: ChoreKind, words: Words) -> str:
    """Return "Piet does no tests."."""
    return f"{_name(person, words)} {_DOES_NOT[kind]}."


def _name(person: Person, words: Words) -> str:
    return words.person(person.id) or person.name


def _carried(kind: ChoreKind, litres: float, people: list[Person], words: Words) -> list[str]:
    """Return in how many turns those carry the water who do not lift it at once."""
    weight = weight_kg(kind, litres)
    slow = [one for one in people if does(one, kind) and turns_to_carry(one, weight) > 1]
    if not slow:
        return []
    first, *others = [
        f"{_name(one, words)} {{verb}}in {turns_to_carry(one, weight)} turns" for one in slow
    ]
    told = listed([first.format(verb="carries it "), *(one.format(verb="") for one in others)])
    about = f"{weight:.0f}" if weight >= 10.0 else f"{weight:.1f}"
    kg = f"{about.replace('.', words.decimal_sign)}{NBSP}kg"
    return [f"{words.litres(litres)} weighs about {kg}: {told}."]
