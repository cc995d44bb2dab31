"""Reads chores of a tank file: kinds, rhythms, windows and what they use."""

from __future__ import annotations

from datetime import date, time
from itertools import pairwise

from tankkeeper.core.chores import (
    LONGEST_NOUN,
    LONGEST_WINDOW_DAYS,
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    EarlierRhythm,
    IfMissed,
    Once,
    Rhythm,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.intervals import Season, check_seasons, parse_interval, parse_month_day
from tankkeeper.core.parameters import find_parameter
from tankkeeper.core.recurrence import compile_rule, rule_slots, without_slots
from tankkeeper.core.values import dataclass
from tankkeeper.services.tank_file.naming import Names, read_id
from tankkeeper.services.tank_file.table import Table

MOST_AMOUNT = 10_000_000.0
RHYTHM_KEYS = ("after_last_done", "calendar", "when", "once")


@dataclass(frozen=True, slots=True)
class Around:
    """What a chore may name."""

    tanks: Names
    people: Names
    supplies: Names


def read_chore(row: Table, new_id: str, around: Around) -> Chore | None:
    """Return one chore; whether `ready_before` names others is checked once all are read."""
    for key in ("kind", "name", "rhythm"):
        row.require(key)
    read_id(row)
    kind = row.choice("kind", ChoreKind) or ChoreKind.OTHER
    first_due, valid_from = row.day("first_due"), row.day("from")
    start = first_due or valid_from or row.frame.today
    rhythm = _with_seasons(row, _rhythm(row.inner("rhythm"), start, around.supplies))
    chore = {
        "name": row.name("name") or "",
        "tank": around.tanks.look_up(row, "tank"),
        "noun": row.name("noun", LONGEST_NOUN) or "",
        "early_days": row.whole("early_days", 0, LONGEST_WINDOW_DAYS) or 0,
        "late_days": row.whole("late_days", 0, LONGEST_WINDOW_DAYS) or 0,
        "minutes": row.whole("minutes", 0, 1440),
        "who": around.people.look_up_all(row, "who"),
        "amount": _amount(row.inner("amount")),
        "tests": _tests(row),
        "ready_before": row.names("ready_before"),
        "caution": row.text("caution") or "",
        "uses": tuple(
            one for one in (_use(use, around.supplies) for use in row.rows("uses", 100)) if one
        ),
        "ended_on": row.day("ended"),
        "earlier": _earlier(row, start, around.supplies),
    }
    if_missed = row.choice("if_missed", IfMissed) or usual_if_missed(rhythm)
    if rhythm is None:
        row.close()
        return None
    return row.build(
        lambda: Chore(
            id=new_id,
            kind=kind,
            rhythm=rhythm,
            first_due=first_due,
            valid_from=valid_from,
            if_missed=if_missed,
            **chore,  # type: ignore[arg-type]
        )
    )


def usual_if_missed(rhythm: Rhythm | None) -> IfMissed:
    """Return what becomes of missed turns when nothing is said: slots expire."""
    has_slots = isinstance(rhythm, Calendar) and bool(rhythm.slots)
    return IfMissed.EXPIRE if has_slots else IfMissed.COLLAPSE


def _tests(row: Table) -> tuple[str, ...]:
    """Return the names of parameters a test asks for."""
    found: list[str] = []
    for word in row.names("tests"):
        known = row.guarded("tests", lambda word=word: find_parameter(word))  # type: ignore[misc]
        if known is not None:
            found.append(known.name)
    return tuple(dict.fromkeys(found))


def _amount(table: Table | None) -> Amount | None:
    if table is None:
        return None
    found = _measured(table)
    return table.build(lambda: Amount(*found) if found else None)


def _use(row: Table, supplies: Names) -> Use | None:
    supply = supplies.look_up(row, "supply") or ""
    found = _measured(row)
    return row.build(lambda: Use(supply, *found) if found else Use(supply))


def _measured(table: Table) -> tuple[float, AmountUnit] | None:
    """Return the one amount in a table, with the unit that is its key; None when not known."""
    found = [
        (value, unit)
        for unit in AmountUnit
        if (value := table.number(unit.value, 0.0, MOST_AMOUNT)) is not None
    ]
    if len(found) == 1:
        return found[0]
    if table.is_sound and found:
        units = tuple(unit.value for unit in AmountUnit)
        table.fault(None, "one_of", keys=units, found=len(found))
    return None


def _earlier(row: Table, start: date, supplies: Names) -> tuple[EarlierRhythm, ...]:
    """Return the rhythms a chore had before."""
    found: list[EarlierRhythm] = []
    for version in row.rows("versions", 500):
        for key in ("valid_from", "rhythm"):
            version.require(key)
        on = version.day("valid_from")
        rhythm = _rhythm(version.inner("rhythm"), on or start, supplies)
        version.close()
        if on is not None and rhythm is not None:
            found.append(EarlierRhythm(on, rhythm))
    return tuple(found)


def _rhythm(table: Table | None, start: date, supplies: Names) -> Rhythm | None:
    """Return a rhythm; `start` is where a calendar without a start of its own begins."""
    if table is None:
        return None
    given = [key for key in RHYTHM_KEYS if key in table.raw]
    table.know(RHYTHM_KEYS)
    if len(given) != 1:
        table.fault(None, "one_of", keys=RHYTHM_KEYS, found=len(given))
        table.know(table.raw)
        return None
    kind = given[0]
    if kind == "after_last_done":
        return _after_last_done(table)
    if kind == "calendar":
        return _calendar(table, start)
    return _when(table, supplies) if kind == "when" else _once(table)


def _once(table: Table) -> Rhythm | None:
    on = table.day("once")
    return table.build(lambda: Once(on or table.frame.today))


def _after_last_done(table: Table) -> Rhythm | None:
    text = table.name("after_last_done") or ""
    interval = table.guarded("after_last_done", lambda: parse_interval(text)) if text else None
    seasons = _seasons(table)
    if interval is None:
        table.close()
        return None
    found = interval
    if table.is_sound:
        table.guarded("seasons", lambda: check_seasons(found, seasons))
    return table.build(lambda: AfterLastDone(found, seasons))


def _with_seasons(row: Table, rhythm: Rhythm | None) -> Rhythm | None:
    """Return the rhythm with the seasons that stand beside it in the chore."""
    seasons = _seasons(row)
    if rhythm is None or "seasons" not in row.raw:
        return rhythm
    if not isinstance(rhythm, AfterLastDone):
        row.fault("seasons", "seasons_beside_other")
        return rhythm
    if rhythm.seasons:
        row.fault("seasons", "seasons_twice")
        return rhythm
    row.guarded("seasons", lambda: check_seasons(rhythm.interval, seasons))
    return AfterLastDone(rhythm.interval, seasons)


def _seasons(table: Table) -> tuple[Season, ...]:
    """Return the sound seasons of a chore or, as earlier versions need them, of a rhythm."""
    return tuple(one for one in map(_season, table.rows("seasons", 50)) if one is not None)


def _season(row: Table) -> Season | None:
    for key in ("from", "to", "after_last_done"):
        row.require(key)
    first, last, text = (row.name(key) or "" for key in ("from", "to", "after_last_done"))
    if not row.is_sound:
        row.close()
        return None
    begin = row.guarded("from", lambda: parse_month_day(first))
    end = row.guarded("to", lambda: parse_month_day(last))
    interval = row.guarded("after_last_done", lambda: parse_interval(text))
    if begin is None or end is None or interval is None:
        row.close()
        return None
    return row.build(lambda: Season(begin, end, interval))


def _calendar(table: Table, start: date) -> Rhythm | None:
    rule = table.text("calendar", 2000) or ""
    begins = table.day("start") or start
    slots = _slots(table)
    if table.is_sound:
        inside = table.guarded("calendar", lambda: rule_slots(rule)) or ()
        if inside and slots:
            table.fault("slots", "slots_twice")
        elif inside:
            rule, slots = without_slots(rule), inside
    if table.is_sound:
        table.guarded("calendar", lambda: compile_rule(rule, begins))
    return table.build(lambda: Calendar(rule, begins, slots))


def _slots(table: Table) -> tuple[time, ...]:
    """Return the times of day of a calendar rhythm, in order."""
    value = table.take("slots")
    if value is None:
        return ()
    if not isinstance(value, list) or len(value) > 48:
        table.fault("slots", "wrong_type", expected="list of at most 48 times", found="other")
        return ()
    found = [table.as_clock("slots", one) for one in value]
    slots = [one for one in found if one is not None]
    if len(set(slots)) < len(slots):
        table.fault("slots", "named_twice")
    # A day runs from its begin over midnight, so the first slot may be the latest by the clock;
    # turning the list is meant, any other order is a slip.
    turns = sum(a > b for a, b in pairwise(slots))
    return tuple(slots if turns <= 1 else sorted(slots))


def _when(table: Table, supplies: Names) -> Rhythm | None:
    condition = table.choice("when", Condition) or Condition.EVAPORATION
    of = _of(table, condition, supplies)
    low = table.whole("min_days", 0, 3650)
    high = table.whole("max_days", 0, 3650)
    return table.build(lambda: WhenWaterSays(condition, of, low, high))


def _of(table: Table, condition: Condition, supplies: Names) -> str | None:
    """Return what a condition looks at: a parameter by name, a supply by id."""
    if condition is Condition.STOCK:
        table.require("of")
        return supplies.look_up(table, "of")
    if condition is Condition.FORECAST:
        table.require("of")
        word = table.name("of") or ""
        found = table.guarded("of", lambda: find_parameter(word)) if word else None
        return None if found is None else found.name
    return None
