"""The statements that search the logbook by time, as text; each looks through a bounded stretch.

No index serves the words somebody types, and none is needed: along the index on the moment a
stretch of ten thousand entries takes some milliseconds, and what is shown first is found first.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from tankkeeper.services.log_search import (
    AmountHit,
    DayHit,
    FieldHit,
    LogKind,
    LogSearch,
    Measure,
    Place,
    WordHits,
)
from tankkeeper.store.columns import utc_text

# A day of the household lies within these days of the same day in UTC.
_DAY_SLACK = timedelta(days=2)
# The columns of each amount, as far as a row tells it.
_AMOUNTS = {
    Measure.LITRES: ("litres", "added_l", "left_l", "fill_l"),
    Measure.GRAMS: ("grams",),
    Measure.SALINITY: ("salinity",),
    Measure.TEMPERATURE: ("temperature_c",),
    Measure.STOCK: ("stock_add", "stock_count"),
}
LATEST = ("~", 0)

SELECT_COUNT = "SELECT count(*) FROM entry"
SELECT_FIRST_DAY = "SELECT entry.day FROM entry ORDER BY entry.at LIMIT 1"
# Where a stretch of the log ends.
SELECT_FLOOR = """
    SELECT entry.at, entry.seq FROM entry WHERE (entry.at, entry.seq) < (:at, :seq)
    ORDER BY entry.at DESC, entry.seq DESC LIMIT 1 OFFSET :reach
"""
# `void` holds only pairs whose second entry holds itself; the latest of several is told.
SELECT_REVOKERS = """
    SELECT void.entry, max(void.by_entry) FROM void
    WHERE void.entry IN (SELECT value FROM json_each(:seqs)) GROUP BY void.entry
"""
SELECT_SEQS_OF = """
    SELECT entry.seq FROM entry WHERE entry.id IN (SELECT value FROM json_each(:ids))
"""

# There are far fewer changes of what is set down than entries: those come first.
_SELECT_CHANGES = """
    SELECT DISTINCT redefinition.entry FROM redefinition
    CROSS JOIN entry ON entry.seq = redefinition.entry
    WHERE (entry.at, entry.seq) < (:at, :seq) AND (entry.at, entry.seq) >= (:floor_at, :floor_seq)
"""

# The plus sign below keeps SQLite from going by the chore, which has far more rows than an entry.
_DOES = "EXISTS (SELECT 1 FROM completion WHERE completion.entry = entry.seq{also})"
# A part of a reservoir is kept as a top-off in part of a tank that has one.
_POURED = (
    "entry.fact = 'top_off' AND entry.to_mark = 0 AND EXISTS (SELECT 1 FROM tank "
    "WHERE tank.id = entry.tank AND tank.top_off_reservoir_l IS NOT NULL)"
)
_KINDS = {
    LogKind.DONE: f"(entry.fact = 'work' OR entry.fact IS NULL AND {_DOES.format(also='')})",
    LogKind.NOTE: f"(entry.fact = 'note' OR entry.fact IS NULL AND NOT {_DOES.format(also='')})",
    LogKind.TOP_OFF: f"(entry.fact = 'top_off' AND NOT ({_POURED}))",
    LogKind.WATER_CHANGE: "entry.fact = 'water_change'",
    LogKind.RESERVOIR: f"(entry.fact = 'reservoir_check' OR {_POURED})",
    LogKind.READING: "entry.fact = 'readings'",
    LogKind.DOSE: "entry.fact = 'dose'",
    LogKind.STOCK: "entry.fact = 'stock_change'",
    LogKind.SKIP: "entry.fact = 'skip'",
    LogKind.PUT_OFF: "entry.fact = 'put_off'",
    LogKind.SHIFT: "entry.fact = 'shift'",
    LogKind.PAUSE: "entry.fact = 'pause'",
    LogKind.RESUME: "entry.fact = 'resume'",
    LogKind.DEFINITION: "entry.fact = 'redefined'",
    LogKind.UNDO: "entry.fact = 'revoke'",
    LogKind.CORRECTION: "entry.replaces IS NOT NULL",
}
# The words in which a change is kept begin with how and what; more may stand behind.
_CHANGED = (
    "(entry.fact = 'redefined'{also} AND EXISTS (SELECT 1 FROM json_each(:{name}) "
    "WHERE entry.turn_key || ' ' LIKE value || ' %'))"
)
_IS_UNNAMED = " AND coalesce(entry.substance, '') = ''"
# What was there before and is there after, and stands otherwise in the column of a field.
_ALTERED = (
    "(entry.fact = 'redefined' AND EXISTS (SELECT 1 FROM redefinition, json_each(:{name}) AS field "
    "WHERE redefinition.entry = entry.seq "
    "AND redefinition.sheet = json_extract(field.value, '$[0]') "
    "AND (json_extract(field.value, '$[1]') = '' "
    "OR redefinition.was IS NOT NULL AND redefinition.became IS NOT NULL "
    "AND json_extract(redefinition.was, '$.' || json_extract(field.value, '$[1]')) "
    "IS NOT json_extract(redefinition.became, '$.' || json_extract(field.value, '$[1]')))))"
)
# An amount stands in two columns.
_COLUMNS = {"amount": ("amount_value", "amount_unit")}
_CONDITIONS = {
    "tank": "entry.tank = :tank",
    "person": "entry.by_person = :person",
    "chore": f"(entry.chore = :chore OR {_DOES.format(also=' AND +completion.chore = :chore')})",
    "from_day": "entry.day >= :from_day",
    "to_day": "entry.day <= :to_day",
}


def latest_of(search: LogSearch) -> tuple[str, int]:
    """Return the place above everything that is wanted."""
    if search.to_day is None:
        return LATEST
    return (_shifted(search.to_day, _DAY_SLACK), 0)


def earliest_of(search: LogSearch) -> str:
    """Return the moment below which nothing is wanted."""
    return "" if search.from_day is None else _shifted(search.from_day, -_DAY_SLACK)


def _shifted(day: date, by: timedelta) -> str:
    try:
        return (day + by).isoformat()
    except OverflowError:
        return day.isoformat()


def key_of(place: Place) -> tuple[str, int]:
    """Return a place as it is compared."""
    return (utc_text(place.at), place.seq)


def changes_between(below: tuple[str, int], floor: tuple[str, int]) -> tuple[str, dict[str, Any]]:
    """Return the statement for the changes of one stretch, with the values for it."""
    ends = {"at": below[0], "seq": below[1], "floor_at": floor[0], "floor_seq": floor[1]}
    return _SELECT_CHANGES, ends


def seqs_of(
    search: LogSearch,
    below: tuple[str, int],
    floor: tuple[str, int],
    most: int,
    by_values: Sequence[Sequence[int]] = (),
) -> tuple[str, dict[str, Any]]:
    """Return the statement for the entries of one stretch, with the values for it.

    `by_values` are the entries that each typed word finds by what they changed.
    """
    values: dict[str, Any] = {
        "tank": search.tank,
        "person": search.person,
        "chore": search.chore,
        "from_day": search.from_day and search.from_day.isoformat(),
        "to_day": search.to_day and search.to_day.isoformat(),
    }
    values = {name: value for name, value in values.items() if value is not None}
    conditions = [_CONDITIONS[name] for name in values]
    if search.kind is not None:
        conditions.append(_KINDS[search.kind])
    for number, hits in enumerate(search.words):
        condition, more = _word(number, hits)
        changed = by_values[number] if by_values else ()
        if changed:
            more[f"values{number}"] = json.dumps(list(changed))
            of_changes = f"entry.seq IN (SELECT value FROM json_each(:values{number}))"
            condition = f"({condition} OR {of_changes})"
        conditions.append(condition)
        values |= more
    values |= {"at": below[0], "seq": below[1], "floor_at": floor[0], "floor_seq": floor[1]}
    statement = f"""
        SELECT entry.at, entry.seq FROM entry
        WHERE (entry.at, entry.seq) < (:at, :seq)
        AND (entry.at, entry.seq) >= (:floor_at, :floor_seq)
        {"".join(f" AND {one}" for one in conditions)}
        ORDER BY entry.at DESC, entry.seq DESC LIMIT :most
    """
    return statement, values | {"most": most}


def _word(number: int | str, hits: WordHits) -> tuple[str, dict[str, Any]]:
    """Return what finds one typed word, with the values for it; other words have other names."""
    values: dict[str, Any] = {}
    ways: list[str] = []
    for at, spelling in enumerate(hits.spellings):
        name = f"w{number}_{at}"
        values[name] = f"%{_escaped(spelling)}%"
        ways.append(f"entry.note LIKE :{name} ESCAPE '\\'")
        ways.append(f"entry.substance LIKE :{name} ESCAPE '\\'")

    def among(column: str, what: str, ids: tuple[str, ...], within: str = "{}") -> None:
        if ids:
            name = f"{what}{number}"
            values[name] = json.dumps(ids)
            ways.append(within.format(f"{column} IN (SELECT value FROM json_each(:{name}))"))

    among("entry.tank", "tanks", hits.tanks)
    among("entry.by_person", "people", hits.people)
    among("entry.substance", "supplies", hits.supplies)
    among("entry.chore", "moved", hits.chores)
    among("+completion.chore", "chores", hits.chores, _DOES.format(also=" AND {}"))
    among(
        "+reading.parameter",
        "parameters",
        hits.parameters,
        "EXISTS (SELECT 1 FROM reading WHERE reading.entry = entry.seq AND {})",
    )
    part = "(entry.fact = 'top_off' AND entry.to_mark = 0 AND {})"
    among("entry.tank", "poured", hits.poured, part)
    ways += _of_changes(number, hits, values)
    ways += [_KINDS[kind] for kind in hits.kinds]
    for at, amount in enumerate(hits.amounts):
        ways.append(_amount(f"a{number}_{at}", amount, values))
    for at, day in enumerate(hits.days):
        ways.append(_day(f"d{number}_{at}", day, values))
    if hits.apart:
        each = [_word(f"{number}_{at}_", one) for at, one in enumerate(hits.apart)]
        ways.append(f"({' AND '.join(condition for condition, _ in each)})")
        for _, more in each:
            values |= more
    return f"({' OR '.join(ways)})", values


def _of_changes(number: int | str, hits: WordHits, values: dict[str, Any]) -> list[str]:
    """Return what finds a change of what is set down by the words that tell it."""
    columns = [pair for one in hits.fields for pair in columns_of(one)]
    ways = []
    for name, wanted, condition in (
        (f"changes{number}", hits.changes, _CHANGED.format(name=f"changes{number}", also="")),
        (
            f"unnamed{number}",
            hits.unnamed,
            _CHANGED.format(name=f"unnamed{number}", also=_IS_UNNAMED),
        ),
        (f"fields{number}", columns, _ALTERED.format(name=f"fields{number}")),
    ):
        if wanted:
            values[name] = json.dumps(wanted)
            ways.append(condition)
    return ways


def columns_of(field: FieldHit) -> list[tuple[str, str]]:
    """Return the sheet of a field with each column in which it stands; all of own ranges is one."""
    if not field.path:
        return [("own_range", "")]
    names = _COLUMNS.get(field.path, (field.path.replace(".", "_"),))
    return [(field.of.value, name) for name in names]


def _amount(name: str, hit: AmountHit, values: dict[str, Any]) -> str:
    """Return what finds an amount in the columns in which it may stand."""
    values |= {f"{name}_low": hit.low, f"{name}_high": hit.high}
    within = f"BETWEEN :{name}_low AND :{name}_high"
    if hit.of is not Measure.READING:
        return " OR ".join(f"entry.{column} {within}" for column in _AMOUNTS[hit.of])
    unit = ""
    if hit.unit:
        values[f"{name}_unit"] = hit.unit
        unit = f" AND reading.unit = :{name}_unit"
    of = ""
    if hit.parameters:
        values[f"{name}_of"] = json.dumps(hit.parameters)
        of = f" AND reading.parameter IN (SELECT value FROM json_each(:{name}_of))"
    read = f"SELECT 1 FROM reading WHERE reading.entry = entry.seq AND reading.typed {within}"
    return f"(entry.fact = 'readings' AND EXISTS ({read}{unit}{of}))"


def _day(name: str, hit: DayHit, values: dict[str, Any]) -> str:
    """Return what finds the days that are so; a day is kept as 2026-03-02."""
    # SQLite counts the weekdays from Sunday.
    weekday = None if hit.weekday is None else str((hit.weekday + 1) % 7)
    parts = {
        "substr(entry.day, 1, 4)": None if hit.year is None else f"{hit.year:04}",
        "substr(entry.day, 6, 2)": None if hit.month is None else f"{hit.month:02}",
        "substr(entry.day, 9, 2)": None if hit.number is None else f"{hit.number:02}",
        "strftime('%w', entry.day)": weekday,
    }
    conditions = []
    for at, (part, wanted) in enumerate(parts.items()):
        if wanted is not None:
            values[f"{name}_{at}"] = wanted
            conditions.append(f"{part} = :{name}_{at}")
    return f"({' AND '.join(conditions)})"


def _escaped(text: str) -> str:
    """Return a text in which no sign stands for another one."""
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
