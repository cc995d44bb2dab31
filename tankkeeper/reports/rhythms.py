"""How a chore recurs, in plain words, complete for everything that a rhythm may hold."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, time

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, Condition, Once, WhenWaterSays
from tankkeeper.core.intervals import Interval, MonthDay, Season
from tankkeeper.core.rhythm_ahead import as_on
from tankkeeper.core.rule_text import Freq, RuleParts, parse_rule
from tankkeeper.core.state import Item
from tankkeeper.reports.numbers import NBSP, counted, listed
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words, wall_time

_PERIODS = {
    Freq.DAILY: ("day", "days"),
    Freq.WEEKLY: ("week", "weeks"),
    Freq.MONTHLY: ("month", "months"),
    Freq.YEARLY: ("year", "years"),
}
_ALL_WEEK = frozenset(range(7))
_WORKING_WEEK = (0, 1, 2, 3, 4)


def rhythm_words(chore: Chore) -> str:
    """Return how a chore recurs: "every Saturday", "14 days after it is done"."""
    rhythm = chore.rhythm
    if isinstance(rhythm, Calendar):
        return calendar_words(rhythm)
    if isinstance(rhythm, AfterLastDone):
        return counted_words(rhythm)
    if isinstance(rhythm, Once):
        return f"once, on {date_words(rhythm.on)}"
    return water_words(rhythm)


def rhythm_now_and_later(chore: Chore, words: Words) -> str:
    """Return how a chore recurs today, and from which day on in another way, where it will."""
    now, begins = as_on(chore, words.today), chore.valid_from
    if now is chore or begins is None:
        return rhythm_words(chore)
    return f"{rhythm_words(now)}, from {words.day(begins)} {rhythm_words(chore)}"


def by_its_rhythm(item: Item, words: Words) -> Item:
    """Return a line whose chore has the rhythm that its day follows from, another one may come."""
    day = item.open.target if item.open is not None else words.today
    chore = as_on(item.chore, day)
    return item if chore is item.chore else replace(item, chore=chore)


def date_words(day: date) -> str:
    """Return a date in full: "24 February 2026"."""
    return f"{day.day}{NBSP}{MONTHS[day.month - 1]} {day.year}"


def interval_words(interval: Interval) -> str:
    """Return an interval with its count bound: "14 days", "1 month"."""
    return str(interval).replace(" ", NBSP)


def counted_words(rhythm: AfterLastDone) -> str:
    """Return a rhythm counted from the last time: "14 days after it is done"."""
    text = f"{interval_words(rhythm.interval)} after it is done"
    seasons = [season_words(season) for season in rhythm.seasons]
    return ", ".join([text, *seasons])


def season_words(season: Season) -> str:
    """Return a season with its interval: "10 days from 1 June to 15 September"."""
    first, last = month_day_words(season.from_month_day), month_day_words(season.to_month_day)
    return f"{interval_words(season.interval)} from {first} to {last}"


def month_day_words(day: MonthDay) -> str:
    """Return a day of the year: "1 June"."""
    return f"{day.day}{NBSP}{MONTHS[day.month - 1]}"


def water_words(rhythm: WhenWaterSays) -> str:
    """Return what of the water decides, with the bounds of the rhythm."""
    of = rhythm.of or "something not named"
    text = {
        Condition.EVAPORATION: "when evaporation asks for it",
        Condition.FORECAST: f"when the forecast of {of} asks for it",
        Condition.STOCK: f"when the stock of {of} asks for it",
    }[rhythm.condition]
    if rhythm.min_days:
        text += f", not sooner than {counted(rhythm.min_days, 'day', 'days')} after the last time"
    if rhythm.max_days is not None:
        text += f", at least every {counted(rhythm.max_days, 'day', 'days')}"
    return text


def calendar_words(rhythm: Calendar) -> str:
    """Return a rhythm by the calendar: "every 2 weeks on Saturday at 08:00 and 18:00"."""
    parts = parse_rule(rhythm.rule)
    text = rule_words(parts, rhythm.start)
    slots = rhythm.slots or parts.slots
    return f"{text} {slots_words(slots)}" if slots else text


def slots_words(slots: Iterable[time]) -> str:
    """Return times of day: "at 08:00 and 18:00"."""
    return f"at {listed([wall_time(slot) for slot in slots])}"


def rule_words(parts: RuleParts, start: date) -> str:
    """Return a calendar rule in words; `start` says the day that the rule leaves open."""
    if parts.count == 1 and parts.is_pure and parts.freq is Freq.DAILY:
        return f"once, on {date_words(start)}"
    month_end = _month_end(parts)
    if month_end is not None:
        days = [month_end]
        limits = ["or the last day where there is none", *_limits(parts, with_positions=False)]
    else:
        days, limits = _day_phrases(parts, start), _limits(parts)
    return ", ".join([" ".join([_every(parts, days), *days]).strip(), *limits])


def _every(parts: RuleParts, days: list[str]) -> str:
    """Return how often; where the days alone say it, the first of them is taken for it."""
    one, many = _PERIODS[parts.freq]
    if parts.interval > 1:
        return f"every {counted(parts.interval, one, many)}"
    if _weekdays_lead(parts):
        return days.pop(0).replace("on ", "every ", 1)
    is_place = not parts.positions or _month_end(parts) is not None
    if _is_monthly(parts) and is_place and not parts.months and days:
        return f"{days.pop(0)} of each month"
    return f"every {one}"


def _is_monthly(parts: RuleParts) -> bool:
    """Whether the rule picks days of every month, though it may be written as a daily one."""
    return parts.freq is Freq.MONTHLY or (parts.freq is Freq.DAILY and bool(parts.month_days))


def _weekdays_lead(parts: RuleParts) -> bool:
    is_plain = bool(parts.weekdays) and not any(number for number, _ in parts.weekdays)
    is_short = parts.freq in (Freq.DAILY, Freq.WEEKLY)
    return is_plain and (is_short or not (parts.positions or parts.weeks or parts.year_days))


def _day_phrases(parts: RuleParts, start: date) -> list[str]:
    """Return what picks the days within a period, the broadest last."""
    phrases = []
    if parts.weekdays:
        phrases.append(_weekday_phrase(parts))
    if parts.month_days:
        days = _ordinals(parts.month_days, "day")
        phrases.append(f"that is the {days} of the month" if parts.weekdays else f"on the {days}")
    if parts.year_days:
        phrases.append(f"on the {_places(parts.year_days)} day of the year")
    if parts.weeks:
        phrases.append(f"in the {_places(parts.weeks)} week of the year")
    if not phrases:
        phrases += _from_start(parts, start)
    if parts.months:
        joint = "of" if parts.month_days and not parts.weekdays else "in"
        phrases.append(f"{joint} {listed([MONTHS[month - 1] for month in parts.months])}")
    return phrases


def _weekday_phrase(parts: RuleParts) -> str:
    """Return the weekdays as a place in the period, or as a condition on days counted off."""
    if parts.freq is Freq.DAILY and parts.interval > 1:
        days = listed([WEEKDAYS[weekday] for _, weekday in parts.weekdays], "or")
        return f"where that is a {days}"
    is_of_year = parts.freq is Freq.YEARLY and not (parts.months or parts.weeks)
    is_numbered = any(number for number, _ in parts.weekdays)
    return f"on {_weekdays(parts)}" + (" of the year" if is_of_year and is_numbered else "")


def _from_start(parts: RuleParts, start: date) -> list[str]:
    """Return the day that a rule without day parts takes from its start (RFC 5545, 3.8.5.3)."""
    if parts.freq is Freq.WEEKLY:
        return [f"on {WEEKDAYS[start.weekday()]}"]
    if parts.freq is Freq.MONTHLY or (parts.freq is Freq.YEARLY and parts.months):
        return [f"on the {_ordinal(start.day)}"]
    if parts.freq is Freq.YEARLY:
        return [f"on {start.day}{NBSP}{MONTHS[start.month - 1]}"]
    return []


def _weekdays(parts: RuleParts) -> str:
    """Return the weekdays of a rule: "Saturday", "the 2nd Saturday", "the last Friday"."""
    pairs = parts.weekdays
    if any(number for number, _ in pairs):
        named = [f"the {_place(number)} {WEEKDAYS[weekday]}" for number, weekday in pairs]
        return listed(named)
    days = [weekday for _, weekday in pairs]
    if frozenset(days) == _ALL_WEEK:
        return "day" if _weekdays_lead(parts) and parts.interval == 1 else "any day"
    if tuple(days) == _WORKING_WEEK:
        leads = _weekdays_lead(parts) and parts.interval == 1
        return "day from Monday to Friday" if leads else "the days from Monday to Friday"
    return listed([WEEKDAYS[day] for day in days])


def _month_end(parts: RuleParts) -> str | None:
    """Return the day of a rule that takes the last one of a shorter month, None for others."""
    days = parts.month_days
    if parts.positions != (-1,) or len(days) < 2 or parts.weekdays or parts.year_days:
        return None
    if parts.weeks or days != tuple(range(28, days[-1] + 1)):
        return None
    text = f"on the {_ordinal(days[-1])}"
    if parts.months:
        text += f" of {listed([MONTHS[month - 1] for month in parts.months])}"
    return text


def _limits(parts: RuleParts, with_positions: bool = True) -> list[str]:
    """Return what narrows the days further, and where the rule ends."""
    limits = []
    if parts.positions and with_positions:
        period = _PERIODS[parts.freq][0]
        places = listed([_place(number) for number in parts.positions])
        limits.append(f"only the {places} of these days in each {period}")
    if parts.week_begins and (parts.weeks or (parts.freq is Freq.WEEKLY and parts.interval > 1)):
        limits.append(f"with weeks that begin on {WEEKDAYS[parts.week_begins]}")
    if parts.count is not None:
        limits.append(f"{counted(parts.count, 'time', 'times')} in all")
    if parts.until is not None:
        limits.append(f"until {date_words(parts.until)}")
    return limits


def _ordinals(numbers: Iterable[int], noun: str) -> str:
    """Return places in a row, those from the end with their noun: "1st, 15th and last day"."""
    from_start = [_ordinal(one) for one in numbers if one > 0]
    from_end = [f"{_place(one)} {noun}" for one in sorted(numbers, reverse=True) if one < 0]
    return listed([*from_start, *from_end])


def _places(numbers: Iterable[int]) -> str:
    """Return places in a row before one noun: "1st, 20th and last"."""
    ahead = sorted(one for one in numbers if one > 0)
    return listed([_place(one) for one in [*ahead, *sorted(n for n in numbers if n < 0)[::-1]]])


def _place(number: int) -> str:
    """Return a place from the start or the end: "2nd", "last", "2nd last"."""
    if number > 0:
        return _ordinal(number)
    return "last" if number == -1 else f"{_ordinal(-number)}{NBSP}last"


def _ordinal(number: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if number % 100 in (11, 12, 13) else ending}"
