"""The facts of a log entry in a tank file: water, readings, doses, stock and other work."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.logbook import (
    Dose,
    Fact,
    Readings,
    ReservoirCheck,
    StockChange,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import ReadingValue, parse_reading
from tankkeeper.services.tank_file.naming import Names
from tankkeeper.services.tank_file.table import LATEST_EXPIRY, Table

MOST_GRAMS = 10_000_000.0
MOST_STOCK = 1_000_000_000.0


def _top_off(row: Table, _supplies: Names) -> Fact | None:
    table = row.inner("top_off")
    if table is None:
        return None
    fact = _as_top_off(table)
    return table.build(lambda: fact)


def _as_top_off(table: Table) -> TopOff:
    to_mark = table.flag("to_mark")
    return TopOff(
        table.volume("litres"),
        True if to_mark is None else to_mark,
        bool(table.flag("estimated")),
    )


def _as_water_change(table: Table) -> WaterChange:
    return WaterChange(
        litres=table.volume("litres"),
        added_l=table.volume("added"),
        salinity=table.salinity("salinity"),
        temperature_c=table.temperature("temperature_c"),
        estimated=bool(table.flag("estimated")),
    )


def _water_change(row: Table, _supplies: Names) -> Fact | None:
    table = row.inner("water_change")
    if table is None:
        return None
    fact = _as_water_change(table)
    return table.build(lambda: fact)


def _reservoir(row: Table, _supplies: Names) -> Fact | None:
    table = row.inner("reservoir")
    if table is None:
        return None
    left, fill = table.volume("left"), table.volume("fill")
    if left is not None and fill is not None:
        table.fault("fill", "two_forms", forms=("left", "fill"))
    estimated = bool(table.flag("estimated"))
    return table.build(lambda: ReservoirCheck(left, fill, estimated))


def _reading(row: Table, _supplies: Names) -> Fact | None:
    table = row.inner("reading")
    if table is None:
        return None
    values: list[ReadingValue] = []
    for name in table.raw:
        text = table.name(name, 60)
        if text is None:
            continue
        value = table.guarded(name, lambda n=name, t=text: parse_reading(n, t))  # type: ignore[misc]
        if value is not None:
            values.append(value)
    if not table.raw:
        table.fault(None, "empty_reading")
    if len({value.parameter for value in values}) < len(values):
        table.fault(None, "named_twice")
    return table.build(lambda: Readings(tuple(values)))


def _dose(row: Table, _supplies: Names) -> Fact | None:
    table = row.inner("dose")
    if table is None:
        return None
    of = table.name("of") or ""
    grams = table.number("grams", 0.0, MOST_GRAMS)
    return table.build(lambda: Dose(of, grams))


def _stock(row: Table, supplies: Names) -> Fact | None:
    table = row.inner("stock")
    if table is None:
        return None
    of = supplies.look_up(table, "of") or ""
    add = table.number("add", 0.0, MOST_STOCK)
    count = table.number("count", 0.0, MOST_STOCK)
    expires = table.day("expires", LATEST_EXPIRY)
    return table.build(lambda: StockChange(of, add, count, expires))


def _work(row: Table, _supplies: Names) -> Fact | None:
    table = row.inner("work")
    if table is None:
        return None
    fact = _as_work(table)
    return table.build(lambda: fact)


def _as_work(table: Table) -> Work:
    litres, grams = table.volume("litres"), table.number("grams", 0.0, MOST_GRAMS)
    return Work(litres, grams, bool(table.flag("estimated")))


FACTS: Mapping[str, Callable[[Table, Names], Fact | None]] = {
    "top_off": _top_off,
    "reservoir": _reservoir,
    "water_change": _water_change,
    "reading": _reading,
    "dose": _dose,
    "stock": _stock,
    "work": _work,
}


# the usual fact of a chore's kind, its keys beside `done`

NATURAL_KEYS: Mapping[ChoreKind, tuple[str, ...]] = {
    ChoreKind.WATER_CHANGE: ("added", "salinity", "temperature_c", "estimated"),
    ChoreKind.TOP_OFF: ("to_mark", "estimated"),
}


def natural_fact(row: Table, kind: ChoreKind) -> Fact | None:
    """Return the fact that a chore of this kind leaves when it is done."""
    if kind is ChoreKind.RESERVOIR:
        return ReservoirCheck(None, row.volume("litres"), bool(row.flag("estimated")))
    if kind in NATURAL_KEYS:
        row.know(("litres", *NATURAL_KEYS[kind]))
        if kind is ChoreKind.TOP_OFF:
            return _as_top_off(row)
        change = _as_water_change(row)
        return None if change == WaterChange(None) else change
    work = _as_work(row)
    return None if work == Work() else work
