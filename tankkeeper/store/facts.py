"""Entries of the logbook as rows and back; written by hand because thousands are read at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Stage
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    How,
    Note,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    Redefined,
    ReservoirCheck,
    Resume,
    Revoke,
    Shift,
    Skip,
    StockChange,
    Thing,
    TopOff,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.store.columns import Field
from tankkeeper.store.faults import Undecodable
from tankkeeper.store.layout import COMPLETION_FIELDS, ENTRY_FIELDS, MOVES_LOSS, READING_FIELDS

# Where things stand in a row: `seq`, one completed turn, then the columns of ENTRY_FIELDS.
TURN = 1
_AT = {field.name: index for index, field in enumerate(ENTRY_FIELDS, start=4)}
SEQ, FACT = 0, _AT["fact"]
_CHORE, _KEY, _SLOT, _OTHER_DAY = (
    _AT[name] for name in ("chore", "turn_key", "turn_slot", "other_day")
)
_LITRES, _GRAMS, _SUBSTANCE = _AT["litres"], _AT["grams"], _AT["substance"]
_TO_MARK, _ESTIMATED = _AT["to_mark"], _AT["estimated"]
_PAUSE_MODE = _AT["pause_mode"]
READINGS = "readings"
_STAGES = frozenset(Stage)
_HEAD = _AT["replaces"] + 1


def _turn(row: Sequence[Any]) -> Turn:
    slot = row[_SLOT]
    return Turn(row[_CHORE], row[_KEY], None if slot is None else time.fromisoformat(slot))


def _day(row: Sequence[Any]) -> date | None:
    stored = row[_OTHER_DAY]
    return None if stored is None else date.fromisoformat(stored)


# What each fact puts into the columns of an entry, by its class.
_TO_COLUMNS: Mapping[type[Any], tuple[str, Callable[[Any], dict[str, Any]]]] = {
    TopOff: (
        "top_off",
        lambda f: {"litres": f.litres, "to_mark": f.to_mark, "estimated": f.estimated},
    ),
    ReservoirCheck: (
        "reservoir_check",
        lambda f: {"left_l": f.left_l, "fill_l": f.fill_l, "estimated": f.estimated},
    ),
    WaterChange: (
        "water_change",
        lambda f: {
            "litres": f.litres,
            "added_l": f.added_l,
            "salinity": f.salinity,
            "temperature_c": f.temperature_c,
            "estimated": f.estimated,
        },
    ),
    Readings: (READINGS, lambda _f: {}),
    Dose: ("dose", lambda f: {"substance": f.of, "grams": f.grams}),
    StockChange: (
        "stock_change",
        lambda f: {
            "substance": f.of,
            "stock_add": f.add,
            "stock_count": f.count,
            "other_day": f.expires_on,
        },
    ),
    Work: ("work", lambda f: {"litres": f.litres, "grams": f.grams, "estimated": f.estimated}),
    Note: ("note", lambda _f: {}),
    Skip: ("skip", lambda f: _turn_columns(f.turn) | {"other_day": f.counts_from}),
    # The day on which it stood is kept where a pause has its mode: nothing that is moved has one,
    # and no search looks there.
    PutOff: (
        "put_off",
        lambda f: (
            _turn_columns(f.turn)
            | {
                "other_day": f.to,
                "pause_mode": None if f.stood_on is None else f.stood_on.isoformat(),
            }
        ),
    ),
    Shift: ("shift", lambda f: _turn_columns(f.turn) | {"other_day": f.to}),
    Pause: (
        "pause",
        lambda f: {"pause_mode": f.mode.value, "chore": f.chore, "other_day": f.until},
    ),
    Resume: ("resume", lambda f: {"chore": f.chore}),
    Revoke: ("revoke", lambda f: {"revokes": f.entry}),
    # How, what, and what else there is to it stand in the column that names a turn, which no
    # change of definitions has.
    Redefined: (
        "redefined",
        lambda f: {
            "turn_key": " ".join((f.how.value, f.thing.value, *_more_of(f))),
            "substance": f.name,
            "chore": f.chore,
            "other_day": f.rested_since,
        },
    ),
}

_FROM_ROW: Mapping[str, Callable[[Sequence[Any]], Fact]] = {
    "top_off": lambda r: TopOff(r[_LITRES], bool(r[_TO_MARK]), bool(r[_ESTIMATED])),
    "reservoir_check": lambda r: ReservoirCheck(
        r[_AT["left_l"]], r[_AT["fill_l"]], bool(r[_ESTIMATED])
    ),
    "water_change": lambda r: WaterChange(
        r[_LITRES],
        r[_AT["added_l"]],
        r[_AT["salinity"]],
        r[_AT["temperature_c"]],
        bool(r[_ESTIMATED]),
    ),
    "dose": lambda r: Dose(r[_SUBSTANCE], r[_GRAMS]),
    "stock_change": lambda r: StockChange(
        r[_SUBSTANCE], r[_AT["stock_add"]], r[_AT["stock_count"]], _day(r)
    ),
    "work": lambda r: Work(r[_LITRES], r[_GRAMS], bool(r[_ESTIMATED])),
    "note": lambda _r: Note(),
    "skip": lambda r: Skip(_turn(r), _day(r)),
    "put_off": lambda r: PutOff(
        _turn(r),
        date.fromisoformat(r[_OTHER_DAY]),
        None if r[_PAUSE_MODE] is None else date.fromisoformat(r[_PAUSE_MODE]),
    ),
    "shift": lambda r: Shift(_turn(r), date.fromisoformat(r[_OTHER_DAY])),
    "pause": lambda r: Pause(PauseMode(r[_PAUSE_MODE]), r[_CHORE], _day(r)),
    "resume": lambda r: Resume(r[_CHORE]),
    "revoke": lambda r: Revoke(r[_AT["revokes"]]),
    "redefined": lambda r: _redefined(r),
}


# Before a number in the column that names a turn: how many animals, and out of how many.
_COUNT, _OUT_OF = "n", "of"


def _more_of(fact: Redefined) -> tuple[str, ...]:
    """Return the stage, the tank that it is like, how many rows or animals it is about, and so on.

    Of a fact there is at most one of the first three. What an older program does not know it skips.
    """
    found = [fact.like] if fact.like else [str(fact.brought)] if fact.brought else []
    found += [fact.stage.value] if fact.stage is not None else []
    pieces = ((_COUNT, fact.count), (_OUT_OF, fact.out_of))
    found += [f"{name}{number}" for name, number in pieces if number is not None]
    return (*found, *((MOVES_LOSS,) if fact.moves_loss else ()))


def _redefined(row: Sequence[Any]) -> Redefined:
    how, thing, *more = row[_KEY].split(" ")
    name, chore = row[_SUBSTANCE], row[_CHORE]
    if how == How.COPIED:
        like = " ".join(more)
        return Redefined(How(how), Thing(thing), name, chore, like=like)
    stage = next((Stage(one) for one in more if one in _STAGES), None)
    brought = next((int(one) for one in more if one.isdecimal()), 0)
    moves = MOVES_LOSS in more
    return Redefined(
        How(how),
        Thing(thing),
        name,
        chore,
        brought,
        moves,
        _day(row),
        stage,
        count=_number(more, _COUNT),
        out_of=_number(more, _OUT_OF),
    )


def _number(more: Sequence[str], name: str) -> int | None:
    """Return the number that stands behind a name, None where it does not."""
    told = (one.removeprefix(name) for one in more if one.startswith(name))
    return next((int(one) for one in told if one.isdecimal()), None)


def _turn_columns(turn: Turn) -> dict[str, Any]:
    return {"chore": turn.chore, "turn_key": turn.key, "turn_slot": turn.slot}


def entry_to_row(entry: Entry) -> dict[str, Any]:
    """Return the columns of `entry`, checked, without its `seq`."""
    values: dict[str, Any] = {
        "id": entry.id,
        "at": entry.at,
        "zone": entry.zone,
        "day": entry.day,
        "by_person": entry.by,
        "tank": entry.tank,
        "note": entry.note,
        "replaces": entry.replaces,
    }
    if entry.fact is not None:
        values["fact"], columns = _TO_COLUMNS[type(entry.fact)]
        values |= columns(entry.fact)
    return {field.name: field.put(values.get(field.name)) for field in ENTRY_FIELDS}


def completions_to_rows(entry: Entry, seq: int) -> list[dict[str, Any]]:
    """Return the rows of the turns that `entry` does."""
    day = entry.day
    return [
        {"entry": seq, "place": place}
        | _put(COMPLETION_FIELDS, (turn.chore, turn.key, turn.slot, day))
        for place, turn in enumerate(entry.completes)
    ]


def readings_to_rows(entry: Entry, seq: int) -> list[dict[str, Any]]:
    """Return the rows of the values that `entry` measured."""
    if not isinstance(entry.fact, Readings):
        return []
    return [
        {"entry": seq, "place": place}
        | _put(
            READING_FIELDS,
            (one.parameter, one.value, one.unit, one.typed, one.sample_temperature_c),
        )
        for place, one in enumerate(entry.fact.values)
    ]


def _put(fields: Sequence[Field], values: Sequence[Any]) -> dict[str, Any]:
    return {field.name: field.put(value) for field, value in zip(fields, values, strict=True)}


def rows_to_readings(rows: Iterable[Sequence[Any]]) -> dict[int, list[ReadingValue]]:
    """Return the values of each entry, from rows in the order of entry and place."""
    found: dict[int, list[ReadingValue]] = {}
    for seq, parameter, value, unit, typed, sample_c in rows:
        one = ReadingValue(parameter, value, unit, typed, sample_c)
        found.setdefault(seq, []).append(one)
    return found


def rows_to_entries(
    rows: Iterable[Sequence[Any]],
    readings: Mapping[int, Sequence[ReadingValue]],
    known: Mapping[int, Entry],
) -> list[Entry]:
    """Return the entries of `rows`, in which one that does several turns stands several times.

    Rows of one entry stand together, in the order of its turns. Entries in `known` are not made
    anew.
    """
    entries: list[Entry] = []
    last = -1
    try:
        for row in rows:
            if row[SEQ] in known:
                if row[SEQ] != last:
                    last = row[SEQ]
                    entries.append(known[last])
                continue
            if row[SEQ] == last:
                more = (*entries[-1].completes, _completed(row))
                entries[-1] = replace(entries[-1], completes=more)
                continue
            last = row[SEQ]
            entries.append(_entry(row, readings))
    except (ValueError, TypeError, KeyError, UserFault) as failure:
        raise Undecodable(f"entry {last}: {failure}"[:200]) from failure
    return entries


def _completed(row: Sequence[Any]) -> Turn:
    slot = row[TURN + 2]
    return Turn(row[TURN], row[TURN + 1], None if slot is None else time.fromisoformat(slot))


def _entry(row: Sequence[Any], readings: Mapping[int, Sequence[ReadingValue]]) -> Entry:
    fact: Fact | None
    kind = row[FACT]
    if kind is None:
        fact = None
    elif kind == READINGS:
        fact = Readings(tuple(readings.get(row[SEQ], ())))
    else:
        fact = _FROM_ROW[kind](row)
    key, at, zone, day, by, tank, _kind, note, replaces = row[_AT["id"] : _HEAD]
    completes = () if row[TURN] is None else (_completed(row),)
    return Entry(
        key,
        row[SEQ],
        datetime.fromisoformat(at),
        date.fromisoformat(day),
        zone,
        by,
        tank,
        completes,
        fact,
        note,
        replaces,
    )
