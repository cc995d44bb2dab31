"""What is asked about an entry that is corrected, or written down outside the round."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType
from typing import Final

from tankkeeper.core.amounts import MEASURED_KINDS, amount_of, stated_grams
from tankkeeper.core.chores import FRESH_KINDS, Chore, ChoreKind
from tankkeeper.core.fills import is_poured_part
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    Readings,
    ReservoirCheck,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.state import HouseholdState
from tankkeeper.reports.asking import (
    asked_once,
    fast_litres,
    large_change,
    more_litres,
    short_litres,
    unusual_due,
    unusual_fed,
    unusual_grams,
)
from tankkeeper.reports.new_water_doubts import new_water_doubt
from tankkeeper.reports.reading_doubts import doubtful_words
from tankkeeper.reports.words import Words
from tankkeeper.services.fed import Fed
from tankkeeper.services.fresh_fills import due_then, missing_then, safe_today
from tankkeeper.services.litres_limits import litres_limits

# Facts of which nothing is said yet, by their class.
_NOTHING_SAID: Final[Mapping[type, Fact]] = MappingProxyType(
    {Readings: Readings(()), WaterChange: WaterChange(None), Dose: Dose(), Work: Work()}
)


def correction_doubts(
    then: HouseholdState, old: Entry, fact: Fact | None, at: datetime, words: Words
) -> str:
    """Return what is asked about what a correction says otherwise, empty where it is likely.

    `then` is the state without the entry that is corrected. What stays as it stood was kept
    before and is asked about no more.
    """
    return asked_once(_doubts(then, old, fact, at, words))


def written_doubts(before: HouseholdState, entry: Entry, words: Words) -> Iterator[str]:
    """Yield what is asked about an entry that is written down, of each doubtful value once.

    `before` is the state that it is written down in. How fast fresh water went in is not asked
    here.
    """
    nothing = replace(entry, fact=_NOTHING_SAID.get(type(entry.fact)))
    litres = _poured(entry.fact)
    yield from _of_values(before, nothing, entry.fact, entry.at, words)
    if litres is not None:
        yield _far_more(before, entry, entry.fact, litres, entry.at, words)


def how_far_doubts(
    then: HouseholdState, old: Entry, fact: Fact | None, at: datetime, words: Words
) -> tuple[str, str]:
    """Return what is so where it is said to be full with less than was missing, or a part of more.

    The first or the second is empty, or both are.
    """
    litres, kind = _poured(fact), _kind_of(then, old, fact)
    if fact == old.fact or litres is None or kind not in FRESH_KINDS:
        return "", ""
    if not litres_limits(then, kind, old.tank).holds(litres):
        # What cannot be is refused where it is kept.
        return "", ""
    missing = missing_then(then, kind, old.tank, at, _chore_of(then, old))
    if isinstance(fact, TopOff) and not fact.to_mark:
        return "", more_litres(missing, litres, words)
    return short_litres(missing, litres, words), ""


def _doubts(
    then: HouseholdState, old: Entry, fact: Fact | None, at: datetime, words: Words
) -> Iterator[str]:
    yield from _of_values(then, old, fact, at, words)
    litres = _poured(fact)
    if litres is None or litres == _poured(old.fact):
        return
    yield _far_more(then, old, fact, litres, at, words)
    kind = _kind_of(then, old, fact)
    if kind in FRESH_KINDS and litres_limits(then, kind, old.tank).holds(litres):
        most_l = safe_today(then, old.tank, litres, at, _chore_of(then, old))
        fast = fast_litres(most_l, litres, words)
        yield f"{fast} Keep all the same?" if fast else ""


def _of_values(
    then: HouseholdState, old: Entry, fact: Fact | None, at: datetime, words: Words
) -> Iterator[str]:
    """Yield what is asked about readings, salinity and grams that are not as they were."""
    before = old.fact
    if isinstance(fact, Readings):
        known = before.values if isinstance(before, Readings) else ()
        for value in fact.values:
            if value not in known:
                yield doubtful_words(value, then, old.tank, at, words)
    if isinstance(fact, WaterChange) and isinstance(before, WaterChange):
        yield _of_new_water(then, old, fact, before, words)
    if isinstance(fact, Dose | Work) and isinstance(before, Dose | Work):
        chore = _chore_of(then, old)
        stated = None if chore is None else stated_grams(chore, then.household)
        if fact.grams is not None and stated is not None and fact.grams != before.grams:
            is_fed = chore is not None and chore.kind is ChoreKind.FEEDING
            if is_fed:
                yield unusual_fed(chore, Fed(fact.grams), words)
            else:
                yield unusual_grams(stated, fact.grams, words)


def _of_new_water(
    then: HouseholdState, old: Entry, fact: WaterChange, before: WaterChange, words: Words
) -> str:
    """Return what is asked about the salinity of new water, or about litres of the same."""
    salinity, litres = fact.salinity, fact.litres
    if salinity is None or (salinity, litres) == (before.salinity, before.litres):
        return ""
    tank = None if old.tank is None else then.household.tank(old.tank)
    water = None if tank is None else then.waters.get(tank.id)
    is_new = salinity != before.salinity
    return new_water_doubt(tank, salinity, litres, words, water, is_new=is_new)


def _far_more(
    then: HouseholdState,
    entry: Entry,
    fact: Fact | None,
    litres: float,
    at: datetime,
    words: Words,
) -> str:
    """Return what is asked where far more was poured in than its chore proposed, else nothing.

    Of a change for which nothing was proposed, where it is most of the water.
    """
    chore = _chore_of(then, entry)
    kind = _kind_of(then, entry, fact)
    if kind is None or not litres_limits(then, kind, entry.tank).holds(litres):
        return ""
    if chore is None:
        amount = None
    elif kind in FRESH_KINDS:
        amount = due_then(then, chore, at)
    else:
        amount = amount_of(chore, then.water_of(chore), then.household)
    if kind not in MEASURED_KINDS:
        return ""
    if amount is not None and amount.unit == "L":
        return unusual_due(amount, litres, words)
    if kind is not ChoreKind.WATER_CHANGE or entry.tank is None:
        return ""
    return large_change(then.waters.get(entry.tank), litres, words)


def _poured(fact: Fact | None) -> float | None:
    """Return the litres that were poured in, or changed."""
    if isinstance(fact, ReservoirCheck):
        return fact.fill_l
    return fact.litres if isinstance(fact, TopOff | WaterChange) else None


def _kind_of(then: HouseholdState, entry: Entry, fact: Fact | None) -> ChoreKind | None:
    if isinstance(fact, TopOff):
        tank = None if entry.tank is None else then.household.tank(entry.tank)
        return ChoreKind.RESERVOIR if is_poured_part(fact, tank) else ChoreKind.TOP_OFF
    if isinstance(fact, ReservoirCheck):
        return ChoreKind.RESERVOIR
    return ChoreKind.WATER_CHANGE if isinstance(fact, WaterChange) else None


def _chore_of(then: HouseholdState, old: Entry) -> Chore | None:
    """Return the chore that the entry did, None where it did none or several."""
    done = {turn.chore for turn in old.completes}
    chores = [one for one in then.household.chores if one.id in done]
    return chores[0] if len(chores) == 1 else None
