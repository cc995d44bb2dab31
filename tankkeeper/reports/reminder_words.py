"""The sentences of reminders: what is so, then what can be done."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.outside_words import beyond, tank_range
from tankkeeper.reports.words import Words
from tankkeeper.services.reminders import Cause, Outside, Reminder
from tankkeeper.services.restarts import Off, Restart

# Common practice, no source.
AGAINST_POISON = "Test again within a day, feed less, look for a dead animal, and change water."
# Common practice, no source: what a tank bears in a day.
_HEATER = (
    "Look at heater, pumps and thermometer, measure again, and bring it back slowly: by {most}."
)
_SALINITY = "Measure again with another instrument, and bring it back over several days."
_HIGH = "the salinity, high even when the tank is full, may"
_WEAKER = "Top off; a change with weaker salt water lowers it."
# More than this many causes are counted instead of being read out.
_NAMED = 3
# Of those, so many are named by a word each before the rest is counted.
_NAMED_SHORT = 4


def restart_sentence(one: Restart, words: Words) -> str:
    """Return the sentence that stands in the window until somebody says that all runs again."""
    named = [_off_words(off, words) for off in one.works[-_NAMED:]]
    more = len(one.works) - len(named)
    works = listed([*named, f"{more} more"] if more else named)
    return (
        f"{one.tank.name}: pumps and heater may still be off. "
        f"Off for: {works}. Switch them on again, the heater only under water."
    )


def _off_words(off: Off, words: Words) -> str:
    is_today = words.moment.day_of(off.at) == words.today and not words.is_past_midnight
    when = words.clock(off.at) if is_today else words.at(off.at)
    work = words.small(off.work) if off.work else "a water change"
    return f"{work} ({'begun' if off.is_begun else 'done'}, {when})"


def title_of(told: Sequence[Reminder]) -> str:
    """Return a few words for the head of a notice."""
    if len(told) != 1:
        return "Several things at the tanks"
    one = told[0]
    if one.cause is Cause.MORNING:
        return "The round of today"
    return one.tank.name if one.tank is not None else "Household"


def notice_sentence(told: Sequence[Reminder], words: Words) -> str:
    """Return all that is told at once, as one text with a line for each matter."""
    if not told:
        return ""
    shown = list(told)
    rest: list[Reminder] = []
    if len(shown) > _NAMED:
        morning = [one for one in shown if one.cause is Cause.MORNING]
        others = [one for one in shown if one.cause is not Cause.MORNING]
        rest = others[_NAMED - len(morning) :]
        shown = [one for one in shown if one not in rest]
    parts = [_sentence(one, words) for one in shown]
    if rest:
        # One that would be left over alone is named instead of being counted.
        named = rest if len(rest) <= _NAMED_SHORT + 1 else rest[:_NAMED_SHORT]
        names = [_short(one, words) for one in named]
        more = len(rest) - len(named)
        also = "; ".join([*names, f"{more} more in the round"] if more else names)
        parts.append(f"Also {also}.")
    return "\n".join(parts)


def _short(one: Reminder, words: Words) -> str:
    """Return the tank and the matter alone: "Bay: feed, 07:30"."""
    name = one.tank.name if one.tank is not None else "Household"
    if one.restart is not None:
        return f"{name}: pumps and heater"
    if one.reading is not None:
        return f"{name}: {parameter_words(one.reading.parameter)}"
    if one.cause is Cause.RESERVOIR:
        return f"{name}: the reservoir"
    if one.cause is Cause.LIMIT:
        return f"{name}: the {'water level' if one.limit is Limit.LEVEL else 'salinity'}"
    return _sentence(one, words).removesuffix(".")


def _sentence(one: Reminder, words: Words) -> str:
    if one.restart is not None:
        return restart_sentence(one.restart, words)
    name = one.tank.name if one.tank is not None else "Household"
    if one.reading is not None:
        return _of_poison(one, name, one.reading, words)
    if one.cause is Cause.MORNING:
        counts = [f"{one.overdue} overdue"] * bool(one.overdue) + [f"{one.due} due"] * bool(one.due)
        told = f"Today: {', '.join(counts)}."
        return f"{told} {_outside(one.outside)}".rstrip()
    if one.cause is Cause.RESERVOIR:
        low = _low(one, words)
        told = _when(one, words, low, low)
        return _of_water(one, name, f"the reservoir may {told}", words, "Fill it up.")
    if one.cause is Cause.LIMIT:
        if one.limit is Limit.SALINITY and one.is_high:
            told = f"{_HIGH} {_when(one, words, 'have risen further', 'have risen further')}"
            return _of_water(one, name, told, words, _WEAKER)
        what = "water level" if one.limit is Limit.LEVEL else "salinity"
        told = _when(one, words, "reach its limit", "be past its limit")
        return _of_water(one, name, f"the {what} may {told}", words, "Top off.")
    chore = one.item.chore.name if one.item is not None else "a chore"
    at = words.clock(one.by) if one.by is not None else ""
    return f"{name}: {words.small(chore)}, {at}."


def _outside(found: Sequence[Outside]) -> str:
    """Return which readings lie outside their range, by tank where there are several."""
    named = [
        f"{one.tank.name} {listed([parameter_words(name) for name in one.parameters])}"
        for one in found
    ]
    count = sum(len(one.parameters) for one in found)
    if not count:
        return ""
    what = (
        "1 reading is outside its range"
        if count == 1
        else (f"{count} readings are outside their ranges")
    )
    return f"{what}: {'; '.join(named)}."


def _low(one: Reminder, words: Words) -> str:
    """Return what a reservoir comes to: nothing, or the reserve that is not counted on."""
    reserve = one.tank.top_off.reserve_l if one.tank is not None else None
    return f"be down to its reserve of {words.litres(reserve)}" if reserve else "be empty"


def _of_water(one: Reminder, name: str, told: str, words: Words, usual: str) -> str:
    """Return what the water does and what can be done, where a paused chore asks for nothing."""
    if one.paused is None:
        return f"{name}: {told}. {_what_to_do(one, words, usual)}"
    back = "Let it go on, or do it all the same."
    return f"{name}: {one.paused.name} is paused; {told}. {back}"


def _of_poison(one: Reminder, name: str, read: ReadingValue, words: Words) -> str:
    """Return the reading with its range, and what keepers do about it."""
    assert one.tank is not None
    assert one.by is not None
    value = words.reading(read)
    said = beyond(read.parameter, read.value, tank_range(one.tank, read.parameter), words)
    against = _against(read.parameter, words)
    told = f"{parameter_words(read.parameter)} {value} {words.on_day_at(one.by)}, {said}"
    return f"{name}: {told}. {against}"


def _against(parameter: str, words: Words) -> str:
    """Return what keepers do about a reading that harms."""
    if parameter == "temperature":
        is_fahrenheit = words.units.temperature == "degF"
        most = "4\u00a0°F" if is_fahrenheit else "2\u00a0°C"
        return _HEATER.format(most=f"{most} a day at most")
    return _SALINITY if parameter == "salinity" else AGAINST_POISON


def _what_to_do(one: Reminder, words: Words, usual: str) -> str:
    if one.part is None:
        return usual
    amount = one.item.amount if one.item is not None else None
    if amount is None or amount.unit != "L":
        return f"A part went in {words.on_day(one.part.day)}. Put in the rest."
    more = litres_due(amount, words)
    return f"A part went in {words.on_day(one.part.day)}. Put in {more} more."


def _when(one: Reminder, words: Words, coming: str, past: str) -> str:
    """Return what a tank comes to by a moment, or has come to since."""
    assert one.by is not None
    if one.by <= words.moment.now:
        return f"{past} since {words.day_at(one.by, is_noun=True)}, {words.clock(one.by)}"
    return f"{coming} {words.on_day_at(one.by)} at {words.clock(one.by)}"
