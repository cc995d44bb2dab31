"""The figures beside a reason: the numbers it used, and the last times the work was done."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import PriorBasis
from tankkeeper.core.harmful import is_over
from tankkeeper.core.household import DRY_STAGES
from tankkeeper.core.logbook import Entry, Readings, Skip, WaterChange
from tankkeeper.core.loss_filter import LossState
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.reading_outlook import Ground, ReadingOutlook
from tankkeeper.core.salinity_limit import is_high_when_full
from tankkeeper.core.state import Item
from tankkeeper.core.tank_learning import Learned
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import side_of
from tankkeeper.core.turns import State
from tankkeeper.core.volume import is_glass_guessed
from tankkeeper.core.water_turns import Limit, is_part, is_test
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.logbook_words import is_guess
from tankkeeper.reports.loss_words import NO_LOSS, glass_span, reckoned_words, system_litres
from tankkeeper.reports.numbers import NBSP, counted, decimal_text
from tankkeeper.reports.outlook_reasons import (
    range_words,
    signed_rate,
    waits_for_reading,
    with_others,
)
from tankkeeper.reports.outside_words import marked, tank_range, whole_range
from tankkeeper.reports.people_words import carried_by
from tankkeeper.reports.reservoir_reasons import is_at_reserve, lasts_or_reserve
from tankkeeper.reports.rhythms import by_its_rhythm, interval_words, rhythm_words
from tankkeeper.reports.rows import done_amount, readings_of, without_water
from tankkeeper.reports.salinity_limit_words import limit_from
from tankkeeper.reports.salinity_words import salinity_now
from tankkeeper.reports.water_reasons import is_past_before_rest, level_down
from tankkeeper.reports.window_words import first_told
from tankkeeper.reports.words import WEEKDAYS, Words

__all__ = ["last_times", "learned_from", "numbers_used"]

Figure = tuple[str, str]

LAST_TIMES = 5
WEEKDAY_SHOWN_DAYS = 13
# What a water change is for: salt, and what it thins out.
_FOR_A_CHANGE = ("salinity", "nitrate", "phosphate")
# Of fewer a tenth of a day moves what was lost on each by more than a hundredth.
_FEW_DAYS = 10.0
_PRIOR = {
    PriorBasis.ROOM_CLIMATE: "surface and the air of the room",
    PriorBasis.AREA: "surface, air not fully known",
    PriorBasis.VOLUME: "volume alone",
}


def numbers_used(item: Item, words: Words, who: str | None = None) -> list[Figure]:
    """Return label and value of every number that the reason of `item` rests on.

    `who` is the person that is to do it now, where somebody is chosen.
    """
    figures: list[Figure] = []
    item = by_its_rhythm(item, words)
    rhythm, water = item.chore.rhythm, item.water
    if isinstance(rhythm, WhenWaterSays) and rhythm.condition is Condition.EVAPORATION:
        if water is not None:
            figures += _of_evaporation(water, words)
        if item.chore.is_done_by_filling:
            figures += _of_limit(item, words)
    elif item.limit.outlook is not None:
        figures += _of_outlook(item, item.limit.outlook, words)
    elif isinstance(rhythm, AfterLastDone):
        figures.append(("Interval", interval_words(rhythm.interval)))
    elif isinstance(rhythm, Calendar):
        figures.append(("Rule", rhythm_words(item.chore)))
    figures += _of_turn(item, words)
    if item.chore.kind is ChoreKind.WATER_CHANGE and water is not None and water.net is not None:
        figures += _of_system(water, water.net, words)
    if item.is_open:
        figures += carried_by(item, words, who)
    if water is not None and item.chore.kind in (ChoreKind.TEST, ChoreKind.WATER_CHANGE):
        wanted = item.chore.tests or _FOR_A_CHANGE
        is_told = item.limit.outlook is not None
        figures += _of_readings(water, wanted, words, is_told=is_told, always=is_test(item.chore))
    return figures


def _of_evaporation(water: TankWater, words: Words) -> list[Figure]:
    figures: list[Figure] = []
    if water.net is not None:
        figures += _of_system(water, water.net, words)
    if water.tank.stage in DRY_STAGES:
        figures.append(("Loss a day", NO_LOSS))
    if water.loss is not None:
        figures.append(("Loss a day", words.litres_with_span(water.loss)))
        figures.append(("Learned from", learned_from(water.learned, words)))
    if water.reservoir_left is not None:
        figures.append(("Left in the reservoir", words.litres_left(water.reservoir_left)))
    is_at = is_at_reserve(water)
    # Of what is likely below its reserve no days are told, so nothing is divided.
    reserve, reckoned = water.tank.top_off.reserve_l, "" if is_at else reckoned_words(water, words)
    if reserve and (reckoned or is_at):
        figures.append(("Reserve in it", words.litres(reserve)))
    if reckoned:
        figures.append(("Loss reckoned with", f"{reckoned} a day"))
    if water.reservoir_days is not None:
        name = "Reservoir" if is_at else "Reservoir lasts"
        figures.append((name, lasts_or_reserve(water, words)))
    if water.mm_below_mark is not None:
        figures.append(("Level below the mark", level_down(water, words)))
    return [*figures, *_of_salinity(water, words)]


def _of_system(water: TankWater, net: Estimate, words: Words) -> list[Figure]:
    litres = ("Water in the system", system_litres(water.tank, net, words))
    return [litres] if water.tank.stage in DRY_STAGES else [litres, *_of_glass(water, words)]


def _of_glass(water: TankWater, words: Words) -> list[Figure]:
    """Return what the glass was taken for where its thickness would tell litres and loss better."""
    if not is_glass_guessed(water.tank.shape):
        return []
    return [("Glass, thickness not given", f"taken as {glass_span(words)}")]


def _of_salinity(water: TankWater, words: Words) -> list[Figure]:
    figures: list[Figure] = []
    if water.salinity is not None:
        figures.append(("Salinity now, worked out", salinity_now(water, words)))
    if is_high_when_full(water.tank, water.learned):
        figures += _when_full(water, words)
    elif water.salinity_limit is not None:
        figures.append(("Salinity to top off at", words.salinity(water.salinity_limit)))
        figures.append(("It follows from", limit_from(water, words)))
    drop = water.tank.top_off.allowed_drop_mm
    if drop is not None and not water.tank.has_automatic_top_off:
        figures.append(("Allowed drop", words.millimetres(drop)))
    return figures


def _when_full(water: TankWater, words: Words) -> list[Figure]:
    """Return the salinity of the full tank with its range: no salinity to top off at is inside."""
    full, wanted = water.learned.salinity_at_mark or 0.0, tank_range(water.tank, "salinity")
    text = marked(full, words.salinity(full), wanted)
    return [
        ("Salinity when full", text),
        ("Salinity, range", whole_range("salinity", wanted, words)),
    ]


def learned_from(learned: Learned, words: Words) -> str:
    """Return what the loss rests on: "9 fills in 21 days", or where the first figure came from."""
    state = learned.state
    if state is not None and state.accepted:
        return f"{counted(state.accepted, 'fill', 'fills')} in {_time_counted(state, words)}"
    return _PRIOR[learned.basis] if learned.basis is not None else "nothing yet"


def _time_counted(state: LossState, words: Words) -> str:
    """Return the days of some fills, to a tenth where they are few: "1.7 days", "21 days"."""
    span = round(state.counted_days, 1 if state.counted_days < _FEW_DAYS else 0)
    if span == int(span):
        return counted(max(1, int(span)), "day", "days")
    return f"{decimal_text(span, 1, words.decimal_sign)}{NBSP}days"


def _of_outlook(item: Item, outlook: ReadingOutlook, words: Words) -> list[Figure]:
    figures: list[Figure] = []
    wanted = range_words(outlook.parameter, outlook.range, words)
    if wanted:
        figures.append(("Range", wanted))
    if outlook.trend is not None and outlook.readings > 1:
        figures.append(("Readings in the trend", str(outlook.readings)))
        figures.append(("Change a day", signed_rate(outlook, words)))
    if outlook.ground is Ground.TREND:
        if outlook.inside_until is not None and not waits_for_reading(item):
            figures.append(("Surely inside until", words.day(outlook.inside_until)))
        if outlook.told_until is not None and is_test(item.chore):
            figures.append(("Known well enough until", words.day(outlook.told_until)))
    return figures


def _of_limit(item: Item, words: Words) -> list[Figure]:
    limit, water, figures = item.limit, item.water, []
    is_high = water is not None and is_high_when_full(water.tank, water.learned)
    if limit.limit is Limit.SALINITY and is_high:
        # No round is safe before which it was too salty already.
        return []
    if item.open is not None and is_past_before_rest(item, item.open, words):
        return []
    if limit.latest_on is not None:
        figures.append(("Last safe round", words.day(limit.latest_on)))
    if limit.median_on is not None:
        figures.append(("Last likely safe round", words.day(limit.median_on)))
    return figures


def _of_turn(item: Item, words: Words) -> list[Figure]:
    """Return last time, window and missed turns; what is closed has no window any more."""
    figures: list[Figure] = []
    turn = item.open
    if item.state is not State.DONE:
        figures += _of_last_time(item, words)
    if turn is None or item.state in (State.DONE, State.SKIPPED):
        return figures
    earliest = first_told(item, turn)
    if earliest != turn.latest:
        first, last = words.short_date(earliest), words.short_date(turn.latest)
        figures.append(("Window", f"{first} to {last}"))
    if item.own_latest not in (None, turn.latest):
        figures.append(("Its own window", f"to {words.short_date(item.own_latest)}"))
    if turn.missed:
        figures.append(("Turns waiting", str(turn.missed + 1)))
    return figures


def _of_last_time(item: Item, words: Words) -> list[Figure]:
    """Return when it was done last, by whatever did it: its own tick, or what it counts from."""
    done, base = item.last_done, item.limit.base
    if base is None or item.limit.can_repeat_on_base or base.completes_chore(item.chore.id):
        base = None
    if base is None or (done is not None and (done.at, done.seq) > (base.at, base.seq)):
        return [] if done is None else [("Last done", words.day_at(done.at))]
    label = "Last read" if isinstance(base.fact, Readings) else "Last filled"
    by = with_others(base, words)
    day = words.day_at(base.at)
    return [(label, f"{day}, {by}" if by else day)]


def _of_readings(
    water: TankWater, wanted: Iterable[str], words: Words, *, is_told: bool, always: bool
) -> list[Figure]:
    """Return the newest reading of each parameter with the day it was read, and its range.

    The range is left out where it `is_told` already, and inside it unless it is told `always`, as
    is the mark of one that counts no more.
    """
    newest = {value.parameter: (value, entry) for value, entry in water.learned.readings}
    figures = []
    for name in wanted:
        label, range_here = PARAMETERS[name].display, tank_range(water.tank, name)
        shows_range = always
        if name in newest:
            value, entry = newest[name]
            is_off = side_of(value.value, range_here) is not None and not is_over(value, water)
            text = words.reading(value)
            text = marked(value.value, text, range_here) if is_off else text
            figures.append((f"{label}, {words.day_at(entry.at)}", text))
            shows_range = always or is_off
        told = whole_range(name, range_here, words)
        if told and shows_range and not is_told:
            figures.append((f"{label}, range", told))
    return figures


def last_times(
    entries: Iterable[Entry], words: Words, item: Item | None = None
) -> list[tuple[str, str, str]]:
    """Return day, amount and person of the five newest entries, newest first.

    Of `item`, where it is a test, its own readings are told, and which of them were outside.

    Where a day has several, the clock tells them apart: alone where no amount is known. What was
    written down later without an hour has none.
    """
    ordered = sorted(entries, key=lambda entry: (entry.day, entry.at, entry.seq), reverse=True)
    newest = ordered[:LAST_TIMES]
    days = [entry.day for entry in ordered[: LAST_TIMES + 1]]
    with_clock = len({entry.day for entry in newest}) < len(newest)
    return [
        (
            _day_of(entry, words),
            _what_was(entry, words, with_clock, item, is_one_of=days.count(entry.day) > 1),
            words.person(entry.by) or "",
        )
        for entry in newest
    ]


def _what_was(
    entry: Entry, words: Words, with_clock: bool, item: Item | None, *, is_one_of: bool
) -> str:
    if isinstance(entry.fact, Skip):
        return "skipped"
    if item is not None and isinstance(entry.fact, Readings):
        read = _what_was_read(entry.fact, words, item)
        if entry.completes_chore(item.chore.id):
            return read
        # It was read without the test: one by its trend is done by that, another one in between.
        by_trend = item.limit.outlook is not None
        beside = with_others(entry, words) or ("logged" if by_trend else "")
        return f"{read}, {beside if by_trend else 'in between'}"
    # The chore above tells which water it is.
    amount = without_water(done_amount(entry, words))
    if amount and is_part(entry):
        amount = f"{amount} in part"
    if amount and is_guess(entry):
        # The words of the logbook would not leave the day and the person room in the line.
        amount = f"about {amount}"
    if item is not None and isinstance(entry.fact, WaterChange) and _is_besides(entry, item):
        return f"{amount}, {with_others(entry, words) or 'extra'}"
    clock = "" if _has_no_hour(entry, words) else words.clock(entry.at)
    if amount and is_one_of:
        return f"{amount}, {clock}" if clock else amount
    return amount or (clock if with_clock else "")


def _is_besides(entry: Entry, item: Item) -> bool:
    """Tell whether an entry did no turn of a chore, nor a part of one."""
    chore = item.chore.id
    return not (entry.completes_chore(chore) or entry.does_part_of(chore))


def _has_no_hour(entry: Entry, words: Words) -> bool:
    """Tell whether only the day was told, and neither is the hour that of its turn."""
    is_of_hour = any(turn.slot is not None for turn in entry.completes)
    return not is_of_hour and words.moment.is_round(entry.at)


def _what_was_read(fact: Readings, words: Words, item: Item) -> str:
    """Return what a test has of readings, each named where there are several."""
    own = readings_of(fact, item.chore.tests)
    told = []
    for one in own:
        typed = words.typed(one.typed, one.unit)
        text = marked(one.value, typed, tank_range(item.tank, one.parameter))
        told.append(text if len(own) == 1 else f"{parameter_words(one.parameter)} {text}")
    return "; ".join(told)


def _day_of(entry: Entry, words: Words) -> str:
    """Return "Mon 9 Mar" for the last two weeks, "24 Feb" before."""
    date_text = words.short_date(entry.day)
    if abs((words.today - entry.day).days) > WEEKDAY_SHOWN_DAYS:
        return date_text
    return f"{WEEKDAYS[entry.day.weekday()][:3]}{NBSP}{date_text}"
