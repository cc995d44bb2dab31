"""Why a chore that a reading's trend decides is due when it is, or what would make that known."""

from __future__ import annotations

from datetime import date, timedelta

from tankkeeper.core.chores import Chore, WhenWaterSays
from tankkeeper.core.communities import Range
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.logbook import Entry, Readings
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.reading_outlook import LEAST_READINGS, Ground, ReadingOutlook
from tankkeeper.core.shown_digits import decimals_of
from tankkeeper.core.state import Item
from tankkeeper.core.trend_filter import HORIZON_DAYS
from tankkeeper.core.turns import OpenTurn
from tankkeeper.core.units import Dimension, in_unit
from tankkeeper.core.water_turns import days_between, is_test
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import (
    NBSP,
    counted,
    decimal_text,
    listed,
    shown,
    span_words,
    with_unit,
)
from tankkeeper.reports.words import Words

_AS_READ = "As of the reading before this was done"


def outlook_reasons(item: Item, rhythm: WhenWaterSays, turn: OpenTurn, words: Words) -> list[str]:
    """Return the sentences on the date of a chore that waits for a forecast."""
    outlook = item.limit.outlook
    if outlook is None:
        of = parameter_words(rhythm.of or "a parameter")
        return [f"The forecast of {of} decides this, and only in a tank there is one."]
    return [*_told(item, outlook, words), _bound(item, outlook, turn, words)]


def _told(item: Item, outlook: ReadingOutlook, words: Words) -> list[str]:
    """Return what the readings tell."""
    of, ground = parameter_words(outlook.parameter), outlook.ground
    if ground is Ground.UNREAD or outlook.newest is None or outlook.value is None:
        return [
            f"{capital(of)} of this tank was not read yet; "
            f"{LEAST_READINGS} readings on different days make its trend known."
        ]
    value = _as_read(outlook, outlook.newest, outlook.value, words)
    read = f"{capital(of)} was {value} {words.on_day(outlook.newest.day)}"
    wanted = range_words(outlook.parameter, outlook.range, words)
    if ground is Ground.OUTSIDE:
        return [f"{read}, outside its range of {wanted}."]
    if ground is Ground.UNTRENDED:
        return [f"{read}. Each reading speaks for itself: no trend of it is worked out."]
    if ground is Ground.NO_RANGE:
        return [f"{read}. No range is given for it: give one, or say what lives in the tank."]
    if ground is Ground.FEW:
        return [f"{read}. {few_readings(outlook)}"]
    return [f"{read} and {_moves(outlook, words)}.", *_end(item, outlook, wanted, words)]


def _as_read(outlook: ReadingOutlook, newest: Entry, value: float, words: Words) -> str:
    """Return the newest reading as it was measured."""
    values = newest.fact.values if isinstance(newest.fact, Readings) else ()
    own = [one for one in values if (one.parameter, one.value) == (outlook.parameter, value)]
    return words.reading(own[0]) if own else words.parameter(outlook.parameter, value)


def few_readings(outlook: ReadingOutlook) -> str:
    """Return how many readings there are and how many a trend needs."""
    readings = counted(outlook.readings, "reading", "readings")
    so_far = "since it jumped" if outlook.trend and outlook.trend.is_restarted else "so far"
    return f"{capital(readings)} {so_far}; a trend needs {LEAST_READINGS} on different days."


def until_known(chore: Chore, outlook: ReadingOutlook | None) -> str:
    """Return how a test comes until its trend is known, and what decides then; else nothing."""
    if outlook is None or not is_test(chore) or not outlook.is_begun:
        return ""
    least, most = days_between(chore, outlook)
    often = "every day" if least == 1 else f"every {counted(least, 'day', 'days')}"
    longest = "" if most is None else f", at least every {counted(most, 'day', 'days')}"
    return (
        f"It comes {often} until {LEAST_READINGS} readings on different days are there; "
        f"then its trend decides{longest}."
    )


def waits_for_reading(item: Item) -> bool:
    """Tell whether work was done after the newest reading, so that the next one decides its day."""
    limit, outlook = item.limit, item.limit.outlook
    if outlook is None or is_test(item.chore):
        return False
    return limit.latest_on is None and outlook.inside_until is not None


def by_next_reading(chore: Chore, outlook: ReadingOutlook | None) -> str:
    """Return what decides a turn of work that is only foreseen by its longest interval."""
    if outlook is None or is_test(chore):
        return ""
    _, most = days_between(chore, outlook)
    longest = "" if most is None else f"; at least every {counted(most, 'day', 'days')}"
    return f"Decided by the next reading of {parameter_words(outlook.parameter)}{longest}."


def after_reading(item: Item, outlook: ReadingOutlook, words: Words) -> str:
    """Return when the next turn comes once a reading was taken, or what its day still needs."""
    if outlook.ground is Ground.FEW:
        return few_readings(outlook)
    if waits_for_reading(item):
        # Its longest interval stands in the rhythm that is told beside it.
        of = parameter_words(outlook.parameter)
        return f"{_read_before(outlook, words)}The next reading of {of} decides."
    if outlook.ground is Ground.TREND and outlook.inside_until is not None:
        after = outlook.inside_until + timedelta(days=1)
        wanted = range_words(outlook.parameter, outlook.range, words)
        return f"It may leave its range of {wanted} from {words.day(after)} on."
    return ""


def _read_before(outlook: ReadingOutlook, words: Words) -> str:
    """Return until when the reading before the work was done knew it inside, else nothing."""
    if outlook.ground is not Ground.TREND or outlook.inside_until is None:
        return ""
    after = words.day(outlook.inside_until + timedelta(days=1))
    wanted = range_words(outlook.parameter, outlook.range, words)
    of = parameter_words(outlook.parameter)
    return f"{_AS_READ}, {of} may leave its range of {wanted} from {after} on. "


def with_others(entry: Entry, words: Words) -> str:
    """Return with which chores readings were written down: "with Test alkalinity", or nothing."""
    names = dict.fromkeys(words.chore_name(one.chore) for one in entry.completes)
    return f"with {listed(list(names))}" if names else ""


def _moves(outlook: ReadingOutlook, words: Words) -> str:
    """Return how the parameter moves: "falls by 0.12 ± 0.04 dKH a day", "is steady".

    Where the readings do not tell yet whether it moves at all: "may fall by up to 0.2 dKH a day".
    """
    assert outlook.trend is not None
    if outlook.is_steady:
        return "is steady"
    if outlook.may_be_still:
        moves = "rise" if outlook.trend.rate.value > 0.0 else "fall"
        return f"may {moves} by up to {_most(outlook, words)} a day"
    rate = rate_words(outlook, words)
    return f"{'rises' if outlook.trend.rate.value > 0.0 else 'falls'} by {rate} a day"


def rate_words(outlook: ReadingOutlook, words: Words) -> str:
    """Return the size of the change a day in the shown unit, with its span."""
    size, unit = _size(outlook, words)
    return span_words(size, unit, words.decimal_sign)


def _most(outlook: ReadingOutlook, words: Words) -> str:
    """Return the most that it may change, by the side to which it seems to go."""
    size, unit = _size(outlook, words)
    return shown(size.high, unit, decimals_of(size, unit), words.decimal_sign)


def _size(outlook: ReadingOutlook, words: Words) -> tuple[Estimate, str]:
    """Return the size of the change a day and the unit in which it is shown."""
    assert outlook.trend is not None
    rate = outlook.trend.rate
    size = rate if rate.value >= 0.0 else Estimate(-rate.value, -rate.high, -rate.low)
    parameter = PARAMETERS[outlook.parameter]
    unit = words.unit_of(parameter)
    if parameter.dimension is Dimension.SALINITY:
        unit = "practical"
    elif parameter.dimension is Dimension.ALKALINITY:
        size = size.scaled(in_unit(1.0, unit))
    return size, unit


def signed_rate(outlook: ReadingOutlook, words: Words) -> str:
    """Return the change a day as a figure: "−0.12 ± 0.04 dKH"; "steady" where none is seen."""
    assert outlook.trend is not None
    if outlook.is_steady:
        return "steady"
    rate = outlook.trend.rate
    if outlook.may_be_still:
        return f"{_ends(outlook, words)}, not sure yet"
    sign = "+" if rate.value > 0.0 else "\N{MINUS SIGN}"
    return sign + rate_words(outlook, words)


def _ends(outlook: ReadingOutlook, words: Words) -> str:
    """Return between what the change a day lies, as in "−0.12 to +0.02 dKH"."""
    assert outlook.trend is not None
    size, unit = _size(outlook, words)
    rises = outlook.trend.rate.value >= 0.0
    decimals = decimals_of(size, unit)
    low, high = (size.low, size.high) if rises else (-size.high, -size.low)
    first, last = (_signed(one, decimals, words.decimal_sign) for one in (low, high))
    return f"{first}{NBSP}to{NBSP}{with_unit(last, unit)}"


def _signed(value: float, decimals: int, decimal_sign: str) -> str:
    """Return a number with its sign, and none where it is shown as 0."""
    text = decimal_text(abs(value), decimals, decimal_sign)
    if not float(decimal_text(abs(value), decimals)):
        return "0"
    return ("+" if value > 0.0 else "\N{MINUS SIGN}") + text


def range_words(name: str, wanted: Range, words: Words) -> str:
    """Return a range in the shown unit: "7 to 9 dKH", "at most 20 mg/L", "at least 8"."""
    low, high = wanted.low, wanted.high
    if low is None:
        return f"at most {words.parameter(name, high)}" if high is not None else ""
    if high is None:
        return f"at least {words.parameter(name, low)}"
    first, last = words.parameter(name, low), words.parameter(name, high)
    number, _, unit = first.partition(NBSP)
    return f"{number if last.endswith(NBSP + unit) else first}{NBSP}to{NBSP}{last}"


def _end(item: Item, outlook: ReadingOutlook, wanted: str, words: Words) -> list[str]:
    """Return when the range may be left, and until when the trend tells enough."""
    told: list[str] = []
    inside, known = outlook.inside_until, outlook.told_until
    if inside is None:
        told.append(f"No end of its range of {wanted} is in sight within {HORIZON_DAYS} days.")
    else:
        after = inside + timedelta(days=1)
        begins = f"{_AS_READ}, from" if waits_for_reading(item) else "From"
        told.append(
            f"{begins} {words.day(after)} on it may leave its range of {wanted}: "
            f"{_expected(outlook, after, words)}."
        )
    if is_test(item.chore) and known is not None and (inside is None or known < inside):
        told.append(f"After {words.day(known)} only a new reading tells where it stands.")
    if waits_for_reading(item):
        told.append(
            "It was not read since this was done last: "
            "the next reading tells what that did, and decides."
        )
    return told


def _expected(outlook: ReadingOutlook, on: date, words: Words) -> str:
    """Return what is expected by a day, with its span: "8.1 by then, could be 7.7 to 8.5".

    No middle is told where the readings do not tell yet whether it moves.
    """
    value = outlook.value_on(on)
    assert value is not None
    name, parameter = outlook.parameter, PARAMETERS[outlook.parameter]
    if parameter.dimension in (Dimension.SALINITY, Dimension.ALKALINITY):
        middle = words.parameter(name, value.value)
        ends = range_words(name, Range(value.low, value.high), words)
    else:
        unit, sign = words.unit_of(parameter), words.decimal_sign
        decimals = decimals_of(value, unit)
        middle = shown(value.value, unit, decimals, sign)
        low = decimal_text(max(0.0, value.low), decimals, sign)
        ends = f"{low}{NBSP}to{NBSP}{shown(value.high, unit, decimals, sign)}"
    if outlook.may_be_still and not outlook.is_steady:
        return f"it could be {ends} by then"
    return f"{middle} by then, could be {ends}"


def _bound(item: Item, outlook: ReadingOutlook, turn: OpenTurn, words: Words) -> str:
    """Return the bound of the rhythm, where it and not the trend sets the day."""
    base = item.limit.base
    # A turn that is only looked ahead to does not say what it counts from.
    since = turn.counted_from or (base.day if base is not None else None)
    least, most = days_between(item.chore, outlook)
    if since is None and most is not None and waits_for_reading(item) and not turn.is_put_off:
        return f"It comes at least every {counted(most, 'day', 'days')}."
    if turn.is_put_off or since is None:
        return ""
    if most is not None and turn.target == since + timedelta(days=most):
        days = counted(most, "day", "days")
        return f"It comes at least every {days}, counted from {words.day(since)}."
    if turn.target == since + timedelta(days=least):
        days = f"{counted(least, 'day', 'days')} after {words.day(since)}"
        early = (turn.target - turn.earliest).days
        if not early or turn.target <= words.today:
            return f"It comes {days} at the soonest."
        before = counted(early, "day", "days")
        return f"Its day is {days} at the soonest, and it may be done {before} before."
    return ""
