"""The figures beside a reason: the numbers it used, and the last times the work was done."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.evaporation import PriorBasis
from tankkeeper.core.logbook import Entry, Skip
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.reading_outlook import Ground, ReadingOutlook
from tankkeeper.core.state import Item
from tankkeeper.core.tank_learning import Learned
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import State
from tankkeeper.core.water_turns import is_part, is_test
from tankkeeper.reports.numbers import NBSP, counted
from tankkeeper.reports.outlook_reasons import range_words, signed_rate
from tankkeeper.reports.rhythms import interval_words, rhythm_words
from tankkeeper.reports.rows import done_amount, without_water
from tankkeeper.reports.water_reasons import days_words
from tankkeeper.reports.words import WEEKDAYS, Words

__all__ = ["last_times", "learned_from", "numbers_used"]

Figure = tuple[str, str]

LAST_TIMES = 5
WEEKDAY_SHOWN_DAYS = 13
# What a water change is for: salt, and what it thins out.
_FOR_A_CHANGE = ("salinity", "nitrate", "phosphate")
_PRIOR = {
    PriorBasis.ROOM_CLIMATE: "surface and the air of the room",
    PriorBasis.AREA: "surface, air not fully known",
    PriorBasis.VOLUME: "litres alone",
}


def numbers_used(item: Item, words: Words) -> list[Figure]:
    """Return label and value of every number that the reason of `item` rests on."""
    figures: list[Figure] = []
    rhythm, water = item.chore.rhythm, item.water
    if isinstance(rhythm, WhenWaterSays) and rhythm.condition is Condition.EVAPORATION:
        if water is not None:
            figures += _of_evaporation(water, words)
        figures += _of_limit(item, words)
    elif item.limit.outlook is not None:
        figures += _of_outlook(item, item.limit.outlook, words)
    elif isinstance(rhythm, AfterLastDone):
        figures.append(("Interval", interval_words(rhythm.interval)))
    elif isinstance(rhythm, Calendar):
        figures.append(("Rule", rhythm_words(item.chore)))
    figures += _of_turn(item, words)
    if item.chore.kind is ChoreKind.WATER_CHANGE and water is not None and water.net is not None:
        figures.append(("Water in the system", words.litres_with_span(water.net)))
    if water is not None and item.chore.kind in (ChoreKind.TEST, ChoreKind.WATER_CHANGE):
        wanted = item.chore.tests or _FOR_A_CHANGE
        figures += _of_readings(water.learned, wanted, words)
    return figures


def _of_evaporation(water: TankWater, words: Words) -> list[Figure]:
    figures: list[Figure] = []
    if water.net is not None:
        figures.append(("Water in the system", words.litres_with_span(water.net)))
    if water.loss is not None:
        figures.append(("Loss a day", words.litres_with_span(water.loss)))
        figures.append(("Learned from", learned_from(water.learned)))
    if water.reservoir_left is not None:
        figures.append(("Left in the reservoir", words.litres_with_span(water.reservoir_left)))
    if water.reservoir_days is not None:
        figures.append(("Reservoir lasts", days_words(water.reservoir_days)))
    if water.mm_below_mark is not None:
        figures.append(("Level below the mark", words.millimetres(water.mm_below_mark)))
    return [*figures, *_of_salinity(water, words)]


def _of_salinity(water: TankWater, words: Words) -> list[Figure]:
    figures: list[Figure] = []
    if water.salinity is not None:
        figures.append(("Salinity now, worked out", words.salinity_with_span(water.salinity)))
    if water.salinity_limit is not None:
        figures.append(("Salinity limit", words.salinity(water.salinity_limit)))
    drop = water.tank.top_off.allowed_drop_mm
    if drop is not None and not water.tank.has_automatic_top_off:
        figures.append(("Allowed drop", words.millimetres(drop)))
    return figures


def learned_from(learned: Learned) -> str:
    """Return what the loss rests on: "9 fills in 21 days", or where the first figure came from."""
    fills = learned.log.fills
    accepted = learned.state.accepted if learned.state is not None else 0
    if accepted and fills:
        span = max(1, (fills[-1].at - fills[0].at).days)
        return f"{counted(accepted, 'fill', 'fills')} in {counted(span, 'day', 'days')}"
    return _PRIOR[learned.basis] if learned.basis is not None else "nothing yet"


def _of_outlook(item: Item, outlook: ReadingOutlook, words: Words) -> list[Figure]:
    figures: list[Figure] = []
    wanted = range_words(outlook.parameter, outlook.range, words)
    if wanted:
        figures.append(("Range", wanted))
    if outlook.trend is not None and outlook.readings > 1:
        figures.append(("Readings in the trend", str(outlook.readings)))
        figures.append(("Change a day", signed_rate(outlook, words)))
    if outlook.ground is Ground.TREND:
        if outlook.inside_until is not None:
            figures.append(("Surely inside until", words.day(outlook.inside_until)))
        if outlook.told_until is not None and is_test(item.chore):
            figures.append(("Known well enough until", words.day(outlook.told_until)))
    return figures


def _of_limit(item: Item, words: Words) -> list[Figure]:
    limit, figures = item.limit, []
    if limit.latest_on is not None:
        figures.append(("Last safe round", words.day(limit.latest_on)))
    if limit.median_on is not None:
        figures.append(("Last likely safe round", words.day(limit.median_on)))
    return figures


def _of_turn(item: Item, words: Words) -> list[Figure]:
    """Return last time, window and missed turns."""
    figures: list[Figure] = []
    turn = item.open
    if item.last_done is not None and item.state is not State.DONE:
        figures.append(("Last done", words.day(item.last_done.day)))
    if turn is None:
        return figures
    if turn.earliest != turn.latest:
        first, last = words.short_date(turn.earliest), words.short_date(turn.latest)
        figures.append(("Window", f"{first} to {last}"))
    if turn.missed:
        figures.append(("Turns waiting", str(turn.missed + 1)))
    return figures


def _of_readings(learned: Learned, wanted: Iterable[str], words: Words) -> list[Figure]:
    """Return the newest reading of each parameter with the day it was read."""
    newest = {value.parameter: (value, entry) for value, entry in learned.readings}
    figures = []
    for name in wanted:
        if name in newest:
            value, entry = newest[name]
            label = f"{PARAMETERS[name].display}, {words.day(entry.day)}"
            figures.append((label, words.parameter(name, value.value)))
    return figures


def last_times(entries: Iterable[Entry], words: Words) -> list[tuple[str, str, str]]:
    """Return day, amount and person of the five newest entries, newest first.

    Where a day has several and no amount tells them apart, the clock does.
    """
    ordered = sorted(entries, key=lambda entry: (entry.day, entry.at, entry.seq), reverse=True)
    newest = ordered[:LAST_TIMES]
    with_clock = len({entry.day for entry in newest}) < len(newest)
    return [
        (_day_of(entry, words), _what_was(entry, words, with_clock), words.person(entry.by) or "")
        for entry in newest
    ]


def _what_was(entry: Entry, words: Words, with_clock: bool) -> str:
    if isinstance(entry.fact, Skip):
        return "skipped"
    # The chore above tells which water it is.
    amount = without_water(done_amount(entry, words))
    if amount and is_part(entry):
        return f"{amount} in part"
    return amount or (words.clock(entry.at) if with_clock else "")


def _day_of(entry: Entry, words: Words) -> str:
    """Return "Mon 9 Mar" for the last two weeks, "24 Feb" before."""
    date_text = words.short_date(entry.day)
    if abs((words.today - entry.day).days) > WEEKDAY_SHOWN_DAYS:
        return date_text
    return f"{WEEKDAYS[entry.day.weekday()][:3]}{NBSP}{date_text}"
