"""What people do not do and lift, in sentences beside the work; nothing is refused for it."""

from __future__ import annotations

import math

from tankkeeper.core.capable import CARRIED_KINDS, does, named_for, weight_kg
from tankkeeper.core.carrying import Carried, carried
from tankkeeper.core.chores import AmountUnit, Chore, ChoreKind
from tankkeeper.core.household import Person
from tankkeeper.core.logbook import Entry, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.state import Item
from tankkeeper.core.units import in_unit
from tankkeeper.reports.numbers import NBSP, listed, shown
from tankkeeper.reports.words import WEEKDAYS, Words

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


def unfit_for(chore: Chore, words: Words) -> list[str]:
    """Return which of those who are to do a chore do no such work, a sentence each."""
    people = named_for(chore, words.household) or list(words.household.people)
    return [does_not(one, chore.kind, words) for one in people if not does(one, chore.kind)]


def limits_of_chore(chore: Chore, words: Words) -> list[str]:
    """Return what stands against those who are named for a chore, a sentence each."""
    told, stated = unfit_for(chore, words), chore.amount
    if stated is not None and stated.unit is AmountUnit.LITRES:
        slow = _slow(chore, stated.value, words)
        carried = listed(
            [f"{_name(one, words)} carries it in {_trips(way, words)}" for one, way in slow]
        )
        if slow:
            kg = _kg(chore.kind, stated.value, words)
            told.append(f"{words.litres(stated.value)} weighs about {kg}: {carried}.")
    return told


def carried_by(item: Item, words: Words, who: str | None = None) -> list[tuple[str, str]]:
    """Return as figures in how many trips those carry the water who do not lift it at once.

    `who` is the person that is at it, and is told alone; the others need not know of each other.
    """
    amount = item.amount
    if amount is None or amount.unit != "L":
        return []
    kg = _kg(item.chore.kind, amount.value, words)
    slow = _slow(item.chore, amount.value, words, who)
    return [
        (f"{_name(one, words)} lifts {_lifts(one, words)}", _figure(way, kg, words))
        for one, way in slow
    ]


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


def person_line(person: Person, words: Words) -> str:
    """Return what somebody gives, lifts and does not do: "20 min Mon to Fri, lifts 16 kg"."""
    told = [_minutes_given(person)]
    if person.lifts_kg is not None:
        told.append(f"lifts {_lifts(person, words)}")
    told += [_DOES_NOT[kind] for kind in person.not_for]
    return ", ".join(told)


def _minutes_given(person: Person) -> str:
    """Return the minutes by weekday, days in a row that are alike told together."""
    if person.minutes is None or set(person.minutes) == {None}:
        return "Minutes not known"
    runs: list[tuple[int | None, int, int]] = []
    for day, minutes in enumerate(person.minutes):
        if runs and runs[-1][0] == minutes:
            runs[-1] = (minutes, runs[-1][1], day)
        else:
            runs.append((minutes, day, day))
    if len(runs) == 1:
        return f"{runs[0][0]}{NBSP}min every day"
    told = []
    for minutes, first, last in runs:
        days = WEEKDAYS[first][:3]
        if last > first:
            days += f"{' and' if last == first + 1 else ' to'} {WEEKDAYS[last][:3]}"
        told.append(f"{'not known' if minutes is None else f'{minutes}{NBSP}min'} {days}")
    return ", ".join(told)


def _name(person: Person, words: Words) -> str:
    return words.person(person.id) or person.name


def _lifts(person: Person, words: Words) -> str:
    """Return what a person lifts at once: "9 kg"."""
    return words.kilograms(person.lifts_kg or 0.0)


def _slow(
    chore: Chore, litres: float, words: Words, who: str | None = None
) -> list[tuple[Person, Carried]]:
    """Return who carries the water of a chore in several trips, and how."""
    if chore.kind not in CARRIED_KINDS:
        return []
    people = [one for one in words.household.people if one.id == who]
    people = people or named_for(chore, words.household) or list(words.household.people)
    house, kind = words.household, chore.kind
    found = [(one, carried(house, kind, litres, one)) for one in people if does(one, kind)]
    return [(one, way) for one, way in found if way.trips > 1]


def _trips(way: Carried, words: Words) -> str:
    """Return what the trips follow from: "4 trips with the 12 L bucket (two at a time)"."""
    told, container = f"{way.trips} trips", way.container
    if container is None:
        return told
    litres = container.litres or 0.0
    name = container.name or "container"
    # Many call a bucket by its size.
    is_sized = any(sign.isdigit() for sign in name)
    told = f"{told} with the {name if is_sized else f'{words.litres(litres)} {name}'}"
    if way.at_once > 1:
        return f"{told} (two at a time)"
    return f"{told} ({_part(way, words)} at a time)" if way.held_l < litres else told


def _figure(way: Carried, kg: str, words: Words) -> str:
    """Return the same beside a name, where a line has no room for a sentence: "4 trips of 10 L"."""
    if way.container is None:
        return f"{kg} in {way.trips} trips"
    two = f"{way.at_once} \N{MULTIPLICATION SIGN} " if way.at_once > 1 else ""
    return f"{way.trips} trips of {two}{_part(way, words)}"


def _part(way: Carried, words: Words) -> str:
    """Return how much goes into a container at a time; not a drop more than can be lifted."""
    return words.litres(math.floor(10.0 * way.held_l) / 10.0)


def _kg(kind: ChoreKind, litres: float, words: Words) -> str:
    unit = words.units.mass
    weight = in_unit(1000.0 * weight_kg(kind, litres), unit)
    return shown(weight, unit, 0 if weight >= 10.0 else 1, words.decimal_sign)
