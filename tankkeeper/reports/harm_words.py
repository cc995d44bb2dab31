"""What a reading that harms animals means for the chore that looks after it."""

from __future__ import annotations

from tankkeeper.core.amounts import dose_of
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.harmful import Harm, harms_of, readings_outside
from tankkeeper.core.household import Household
from tankkeeper.core.salinity_limit import SALINITY
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.left_words import left_of, left_sentence
from tankkeeper.reports.lowering_words import lowering_of
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.outside_words import EXPECTED, standing_sentence, tank_range, while_cycling
from tankkeeper.reports.rows import poisons_against
from tankkeeper.reports.words import Words

# The first word that is found decides: calcium carbonate is dosed for its carbonate, too, but it
# is the salts of sodium that raise the alkalinity alone.
_DOSED = (
    ("bicarbonate", "alkalinity"),
    ("sodium carbonate", "alkalinity"),
    ("soda", "alkalinity"),
    ("alkalinity", "alkalinity"),
    ("magnesium", "magnesium"),
    ("calcium", "calcium"),
)


def read_sentences(item: Item, words: Words) -> list[str]:
    """Return what the newest readings say to a chore: that they harm, or are expected."""
    if item.water is None or item.tank is None:
        return []
    return [
        *_harming(item, words),
        *_against(item, words),
        *_outside(item, words),
        *_lowering(item, words),
        *_expected(item, words),
    ]


def _lowering(item: Item, words: Words) -> list[str]:
    """Return what can be done about a salinity above its range: to its test, and to a change.

    A change tells the reading, too, which stands in no reason of its own.
    """
    water, tank = item.water, item.tank
    is_change = item.chore.kind is ChoreKind.WATER_CHANGE and item.state is not State.DONE
    if water is None or tank is None or not (is_change or SALINITY.name in item.chore.tests):
        return []
    animals = words.household.animals
    standing = (
        *harms_of(tank, water.learned.readings, animals),
        *readings_outside(water, animals),
    )
    for one in standing:
        told = lowering_of(one, water, words)
        if told:
            return [_was(one, item, words), told] if is_change else [told]
    return []


def _against(item: Item, words: Words) -> list[str]:
    """Return the poisons that a change of water helps against, and that its day stays its own."""
    found = poisons_against(item, words) if item.state is not State.DONE else ()
    if not found:
        return []
    names = listed([parameter_words(one.value.parameter) for one in found])
    told = [_was(one, item, words) for one in found]
    if item.counts:
        return [*told, f"A change helps against the {names}."]
    return [*told, f"A change now helps against the {names}; by its rhythm it can wait."]


def _outside(item: Item, words: Words) -> list[str]:
    """Return the newest readings outside their range that a test reads or a dose is about.

    First of them the one for which a test comes sooner.

    Where a trend of readings decides the day, its reason tells of them.
    """
    assert item.water is not None
    if item.limit.outlook is not None:
        return []
    raised = dosed(item.chore, words.household)
    about = (*item.chore.tests, *raised)
    outside = readings_outside(item.water, words.household.animals)
    found = [one for one in outside if one.value.parameter in about]
    left, sooner = left_of(item), left_sentence(item, words)
    told = [sooner] if sooner else []
    told += [
        _was(one, item, words)
        for one in found
        if left is None or one.value is not left.value or one.is_reckoned
    ]
    # Common practice, no source: nothing is dosed of what is there in excess.
    if item.is_open and any(_is_above(one, item) for one in found if one.value.parameter in raised):
        told.append("Leave the dose out until it is inside again.")
    return told


def _is_above(one: Harm, item: Item) -> bool:
    wanted = tank_range(item.tank, one.value.parameter)
    return wanted.high is not None and one.value.value > wanted.high


def dosed(chore: Chore, household: Household) -> tuple[str, ...]:
    """Return what a dose raises, told by the name of its supply or else by its own."""
    if chore.kind is not ChoreKind.DOSE:
        return ()
    supply = dose_of(chore, household)
    named = f"{supply[0] if supply is not None else ''} {chore.name} {chore.noun}".lower()
    return next(((name,) for word, name in _DOSED if word in named), ())


def _harming(item: Item, words: Words) -> list[str]:
    """Return each reading that harms, with when it is to be read again."""
    assert item.water is not None
    assert item.tank is not None
    # A test by the forecast names the reading by itself, and comes the day after it.
    if item.limit.outlook is not None:
        return []
    harms = harms_of(item.tank, item.water.learned.readings, words.household.animals)
    looked = looked_after(item.chore)
    told = [_was(one, item, words) for one in harms if one.value.parameter in looked]
    if not told:
        return []
    if item.open is not None and item.open.brought_by is not None:
        is_over, day = item.open.target < words.today, words.on_day(item.open.target)
        return [*told, f"So it {'was' if is_over else 'is'} due again {day}, within a day."]
    return [*told, "Read it again within a day."]


def looked_after(chore: Chore) -> tuple[str, ...]:
    """Return the parameters that a chore is about: its tests, and the temperature of a heater."""
    # A check of the heater reads nothing that could be kept; only its own words tell what it is.
    if chore.kind is ChoreKind.CHECK and "heater" in f"{chore.name} {chore.noun}".lower():
        return (*chore.tests, "temperature")
    return chore.tests


def _was(one: Harm, item: Item, words: Words) -> str:
    assert item.water is not None
    return standing_sentence(one, item.water, words)


def _expected(item: Item, words: Words) -> list[str]:
    """Return that what a test read last is expected while its tank cycles."""
    assert item.water is not None
    found = [
        value
        for value, _ in item.water.learned.readings
        if value.parameter in item.chore.tests
        and while_cycling(item.tank, value.parameter, value.value, words)
    ]
    if not found:
        return []
    names = listed([parameter_words(one.parameter) for one in found])
    return [f"{capital(names)} above the range is {EXPECTED}, so nothing warns of it."]
