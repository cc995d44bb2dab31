"""The sentences of reminders: what is so, then what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.limit_words import limit_words
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.outside_words import beyond, tank_range
from tankkeeper.reports.words import Words
from tankkeeper.services.reminder_causes import Cause, Outside, Reminder
from tankkeeper.services.restarts import Off, Restart

# Common practice, no source.
AGAINST_POISON = "Test again within a day, feed less, look for a dead animal, and change water."
# Common practice, no source: what a tank bears in a day.
_HEATER = (
    "Look at heater, pumps and thermometer, measure again, and bring it back slowly: by {most}."
)
_SALINITY = "Measure again with another instrument, and bring it back over several days."
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
    gear = _gear(one)
    them = "it on again" if len(gear) == 1 else "them on again"
    again = them if gear else f"{them}, the heater only under water"
    return f"{one.tank.name}: {gear_words(one)} may still be off. Off for: {works}. Switch {again}."


def _gear(one: Restart) -> list[str]:
    """Return the pieces that are off, none where nobody can tell of all work which it took."""
    gear = list(dict.fromkeys(off.gear for off in one.works))
    return gear if all(gear) else []


def gear_words(one: Restart) -> str:
    """Return what may be off: "the skimmer", and "pumps and heater" where nobody can tell."""
    return listed([f"the {piece}" for piece in _gear(one)]) or "pumps and heater"


def on_again(tank: Tank, one: Restart | None, *, is_already: bool) -> str:
    """Return that what was off runs again: "Reef: the skimmer is on again."."""
    gear, what = ([], "pumps and heater") if one is None else (_gear(one), gear_words(one))
    verb = ("was" if is_already else "is") if len(gear) == 1 else ("were" if is_already else "are")
    return f"{tank.name}: {what} {verb} on again{' already' if is_already else ''}."


def _off_words(off: Off, words: Words) -> str:
    when = _clock_or_day(off.at, words)
    work = words.small(off.work) if off.work else "a water change"
    return f"{work} ({'begun' if off.is_begun else 'done'}, {when})"


def _clock_or_day(at: datetime, words: Words) -> str:
    """Return the hour alone of today, with its day of another one."""
    is_today = words.moment.day_of(at) == words.today and not words.is_past_midnight
    return words.clock(at) if is_today else words.at(at)


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
        return f"{name}: {gear_words(one.restart)}"
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
    if one.cause in (Cause.RESERVOIR, Cause.LIMIT):
        assert one.by is not None
        told = limit_words(
            one.limit,
            one.tank,
            one.by,
            words,
            surely=one.surely,
            is_high=one.is_high,
            salinity=one.salinity_limit,
        )
        told = f"{told}{_likely(one, words)}"
        if one.is_unsure and (one.surely is None or one.surely > words.moment.now):
            told = f"{told}; the loss is not known well yet"
        is_high = one.limit is Limit.SALINITY and one.is_high
        usual = "Top off." if not is_high else _WEAKER
        usual = "Fill it up." if one.cause is Cause.RESERVOIR else usual
        return _of_water(one, name, told, words, usual)
    chore = one.item.chore.name if one.item is not None else "a chore"
    at = _clock_or_day(one.by, words) if one.by is not None else ""
    return f"{name}: {words.small(chore)}, {at}."


def _likely(one: Reminder, words: Words) -> str:
    """Return since or from when a limit likely is passed that may be since a day before its line.

    The line stands on today, where its last surely safe round is over but nothing is late: without
    the likely moment the two would seem to contradict each other.
    """
    turn, by, likely = one.item.open if one.item is not None else None, one.by, one.likely
    now = words.moment.now
    if turn is None or by is None or likely is None or likely <= by:
        return ""
    if one.limit is Limit.SALINITY and one.is_high:
        # No moment is told of a salinity that was high before.
        return ""
    if one.surely is not None and one.surely <= now:
        return ""
    if turn.latest < words.today or words.moment.day_of(by) >= words.today:
        return ""
    if likely <= now:
        return f", likely since {words.day_at(likely, is_noun=True)}, {words.clock(likely)}"
    return f", likely {words.on_day_at(likely)} at {words.clock(likely)}"


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
