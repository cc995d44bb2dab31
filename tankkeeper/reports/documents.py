"""The JSON documents of the command line, field by field; always in L, g, degC and so on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime

from tankkeeper.core.amounts import AmountDue
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Readings,
    ReservoirCheck,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.tank_water import TankWater, hours_to_limit
from tankkeeper.core.target_ranges import range_of
from tankkeeper.core.turns import State
from tankkeeper.reports.cautions import caution_at
from tankkeeper.reports.logbook_words import entry_kind, entry_text
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.window_words import first_told
from tankkeeper.reports.words import Words
from tankkeeper.services.day_minutes import minutes_left

Fields = dict[str, object]

DIGITS = 6
_FRESH_TO_ADD = frozenset({ChoreKind.TOP_OFF, ChoreKind.RESERVOIR})


def number(value: float | None) -> float | int | None:
    """Return a number with six digits, whole ones as integers; None stays None.

    >>> number(0.1 + 0.2), number(40.0), number(443.2178123), number(None)
    (0.3, 40, 443.218, None)
    """
    if value is None:
        return None
    rounded = float(f"{value:.{DIGITS}g}")
    return int(rounded) if rounded.is_integer() else rounded


def span_fields(estimate: Estimate | None) -> Fields | None:
    """Return value, low and high of an estimate."""
    if estimate is None:
        return None
    low, high = number(estimate.low), number(estimate.high)
    return {"value": number(estimate.value), "low": low, "high": high}


def moment_text(at: datetime | None, words: Words) -> str | None:
    """Return a moment in the household's zone with its offset."""
    return None if at is None else at.astimezone(words.moment.zone).isoformat(timespec="seconds")


def day_text(day: date | None) -> str | None:
    """Return a day in ISO form."""
    return None if day is None else day.isoformat()


# Round and ahead


def round_document(items: Iterable[Item], words: Words) -> Fields:
    """Return the document of `round`: totals and items."""
    rows = list(items)
    return {
        **_heading(words),
        "totals": totals(rows),
        "items": [item_fields(item, words) for item in rows],
    }


def ahead_document(items: Iterable[Item], words: Words) -> Fields:
    """Return the document of `ahead`: the projected turns."""
    return {**_heading(words), "items": [item_fields(item, words) for item in items]}


def _heading(words: Words) -> Fields:
    now = moment_text(words.moment.now, words)
    return {"household": words.household.name, "now": now}


def item_fields(item: Item, words: Words) -> Fields:
    """Return the fields of one turn."""
    turn = item.open
    return {
        "id": item.id,
        "chore": item.chore.id,
        "kind": item.chore.kind.value,
        "name": item.chore.name,
        "tank": item.tank.name if item.tank is not None else None,
        "state": item.state.value,
        "slot": f"{item.turn.slot:%H:%M}" if item.turn.slot is not None else None,
        "due_at": moment_text(turn.due_at if turn is not None else None, words),
        "earliest": day_text(first_told(item, turn) if turn is not None else None),
        "target": day_text(turn.target if turn is not None else _own_day(item)),
        "latest": day_text(turn.latest if turn is not None else None),
        "missed": turn.missed if turn is not None else 0,
        "amount": amount_fields(item.amount or _amount_done(item)),
        "minutes": item.chore.minutes,
        "who": [words.person(one) or one for one in item.chore.who],
        "asks": list(item.asks),
        "reason": plain(reason(item, words)),
        "caution": plain(caution_at(item, words)) or None,
    }


def _own_day(item: Item) -> date | None:
    """Return the day that a closed turn of a calendar chore was for; its key says it."""
    key = item.turn.key
    return date.fromisoformat(key) if key[:1].isdigit() else None


def amount_fields(amount: AmountDue | None) -> Fields | None:
    """Return value, low, high and unit; an exact amount has low and high equal to its value."""
    if amount is None:
        return None
    low = amount.value if amount.low is None else amount.low
    high = amount.value if amount.high is None else amount.high
    return {
        "value": number(amount.value),
        "low": number(low),
        "high": number(high),
        "unit": amount.unit,
    }


def _amount_done(item: Item) -> AmountDue | None:
    """Return how much was done of a turn that is done, as its entry keeps it."""
    if item.entry is None or item.state is not State.DONE:
        return None
    fact = item.entry.fact
    if isinstance(fact, Readings):
        return AmountDue(float(len(fact.values)), "tests")
    litres = grams = None
    if isinstance(fact, (TopOff, WaterChange)):
        litres = fact.litres
    elif isinstance(fact, ReservoirCheck):
        litres = fact.fill_l
    elif isinstance(fact, Dose):
        grams = fact.grams
    elif isinstance(fact, Work):
        litres, grams = fact.litres, fact.grams
    if litres is not None:
        return AmountDue(litres, "L")
    return None if grams is None else AmountDue(grams, "g")


def totals(items: Iterable[Item]) -> Fields:
    """Return minutes and litres of what is overdue or due; fresh water told by its use."""
    counting = [item for item in items if item.counts]
    return {
        "minutes": minutes_left(counting),
        "fresh_water_l": _litres(counting, _FRESH_TO_ADD),
        "fresh_water_to_mix_l": _litres(counting, {ChoreKind.MIX_SALT_WATER}),
        "salt_water_l": _litres(counting, {ChoreKind.WATER_CHANGE}),
    }


def _litres(items: Iterable[Item], kinds: Iterable[ChoreKind]) -> float | int | None:
    wanted = frozenset(kinds)
    due = [item.amount for item in items if item.chore.kind in wanted]
    return number(sum(one.value for one in due if one is not None and one.unit == "L"))


# Tanks


def tanks_document(state: HouseholdState, words: Words, tanks: Sequence[Tank]) -> Fields:
    """Return the document of `tanks`."""
    return {**_heading(words), "tanks": [tank_fields(state, tank, words) for tank in tanks]}


def tank_fields(state: HouseholdState, tank: Tank, words: Words) -> Fields:
    """Return the fields of one tank's state."""
    water = state.waters.get(tank.id)
    return {
        "name": tank.name,
        "stage": tank.stage.value,
        **(_water_fields(water, state) if water is not None else _NO_WATER),
        "readings": _readings(tank, water, words),
    }


_NO_WATER: Mapping[str, None] = dict.fromkeys(
    (
        "water_l",
        "loss_l_per_day",
        "flag",
        "mm_below_mark",
        "salinity",
        "hours_to_limit",
        "reservoir_days",
    )
)


def _water_fields(water: TankWater, state: HouseholdState) -> Fields:
    net = water.net
    return {
        "water_l": number(net.value if net is not None else None),
        "loss_l_per_day": span_fields(water.loss),
        "flag": water.flag.kind.value if water.flag is not None else None,
        "mm_below_mark": number(water.mm_below_mark),
        "salinity": span_fields(water.salinity),
        "hours_to_limit": number(hours_to_limit(water, state.moment)),
        "reservoir_days": span_fields(water.reservoir_days),
    }


def _readings(tank: Tank, water: TankWater | None, words: Words) -> Fields:
    """Return the newest reading of each parameter with the range that the tank should keep."""
    if water is None:
        return {}
    found = {value.parameter: (value, entry) for value, entry in water.learned.readings}
    rows: Fields = {}
    for name, parameter in PARAMETERS.items():
        if name in found:
            value, entry = found[name]
            wanted = range_of(tank, parameter)
            rows[name] = {
                "value": number(value.value),
                "unit": parameter.stored_unit,
                "at": moment_text(entry.at, words),
                "low": number(wanted.low),
                "high": number(wanted.high),
            }
    return rows


# Logbook


def logbook_document(
    entries: Iterable[tuple[Entry, bool]],
    words: Words,
    taken_back: Mapping[str, Entry] | None = None,
) -> Fields:
    """Return the document of `logbook` from entries with whether each is revoked."""
    known = taken_back or {}
    rows = [entry_fields(entry, revoked, words, known) for entry, revoked in entries]
    return {**_heading(words), "entries": rows}


def entry_fields(
    entry: Entry,
    revoked: bool,
    words: Words,
    taken_back: Mapping[str, Entry] | None = None,
) -> Fields:
    """Return the fields of one entry; `taken_back` holds, by id, what undos took back."""
    return {
        "id": entry.id,
        "at": moment_text(entry.at, words),
        "by": words.person(entry.by),
        "kind": entry_kind(entry, words),
        "tank": words.tank_name(entry.tank),
        "text": plain(entry_text(entry, words, taken_back or {})),
        "revoked": revoked,
    }
