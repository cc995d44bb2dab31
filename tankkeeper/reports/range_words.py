"""Target ranges in words: those that hold for what lives in a tank where it has none of its own."""

from __future__ import annotations

from tankkeeper.core.communities import Range
from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.target_ranges import range_of
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.words import Words


def otherwise_line(tank: Tank, words: Words) -> str:
    """Return what holds for each parameter without a range of the tank's own."""
    if tank.community is None:
        return "Otherwise none holds: what lives in it is not said."
    own = {one.parameter for one in tank.ranges}
    rest = {name: range_of(tank, one) for name, one in PARAMETERS.items() if name not in own}
    told = [f"{parameter_words(name)} {_ends(name, one, words)}" for name, one in rest.items()]
    return f"Otherwise {', '.join(told)}." if told else ""


def target_note(tank: Tank, words: Words) -> str:
    """Return what comes of a target salinity without room to rise in the range of the tank."""
    high, target = range_of(tank, PARAMETERS["salinity"]).high, tank.target_salinity
    if high is None or target is None or target < high:
        return ""
    where = "at" if target == high else "above"
    return (
        f"That is {where} the high end of its range, {words.salinity(high)}: "
        "as water evaporates, readings above the range are to be expected."
    )


def _ends(name: str, one: Range, words: Words) -> str:
    """Return "7.5 to 10 dKH", or "at most 0.25 mg/L" where only one end is given."""
    low, high = (_end(name, end, words) for end in (one.low, one.high))
    if one.low is None:
        return f"at most {high}"
    if one.high is None:
        return f"at least {low}"
    return f"{low.partition(NBSP)[0]} to {high}"


def _end(name: str, value: float | None, words: Words) -> str:
    if value is None:
        return ""
    number, space, unit = words.parameter(name, value).partition(NBSP)
    whole, sign, decimals = number.partition(words.decimal_sign)
    return f"{whole if sign and decimals == '0' else number}{space}{unit}"
