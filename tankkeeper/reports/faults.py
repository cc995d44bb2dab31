"""What a person is told when something is refused: what is so, then what can be done."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, datetime

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.logbook import Entry
from tankkeeper.reports.fault_table import TEMPLATES
from tankkeeper.reports.fault_units import AS_STORED
from tankkeeper.reports.fault_values import (
    Values,
    field_name,
    told_value,
)
from tankkeeper.reports.full_words import full_since_words
from tankkeeper.reports.held_faults import (
    already_done_words,
    corrected_otherwise_words,
    done_meanwhile_words,
    redo_is_held_words,
)
from tankkeeper.reports.in_sentences import capital, small
from tankkeeper.reports.number_faults import (
    gravity_words,
    not_finite_words,
    out_of_range_words,
    salinity_taken_words,
)
from tankkeeper.reports.numbers import with_unit
from tankkeeper.reports.problem_places import place_words
from tankkeeper.reports.tables import clean
from tankkeeper.reports.words import Words

__all__ = ["CODES", "fault_words", "problem_lines", "problem_words"]

# Extra work of these is told by `tankkeeper log`; of others a tick of the chore does.
_LOGGED = frozenset(
    {
        ChoreKind.TOP_OFF,
        ChoreKind.RESERVOIR,
        ChoreKind.WATER_CHANGE,
        ChoreKind.TEST,
        ChoreKind.DOSE,
    }
)
# About the unit of an amount itself, where litres are those of the household.
_OF_UNITS = frozenset({"unit_not_of_kind", "use_not_as_counted"})
_UNIT_NAMES = frozenset({"unit", "choice", "choices", "counted"})


def fault_words(fault: TankkeeperError, words: Words | None = None) -> str:
    """Return the sentences for a fault; `words` lets days be named as the household sees them."""
    if fault.code == "import_problems":
        return "\n".join(problem_lines(fault, words))
    text = _begun(fault.code, _sentence(fault.code, fault.values, words))
    # The words for a line of an import are no sentence yet; a command at the end stays as typed.
    return _ended(text) if TEMPLATES.get(fault.code, "")[:1].islower() else text


def problem_lines(
    fault: TankkeeperError, words: Words | None = None, *, by_name: bool = False
) -> list[str]:
    """Return one line for each problem of an import, with line and place.

    `by_name` tells the place as a person calls it, "the tank Nook", instead of "tanks[1].name".
    """
    problems = fault.values.get("problems")
    found = problems if isinstance(problems, Iterable) else ()
    return [problem_words(one, words, by_name=by_name) for one in found]


def problem_words(problem: object, words: Words | None = None, *, by_name: bool = False) -> str:
    """Return "line 12, chores[3].rhythm: ..." for one problem of an import."""
    line, place = getattr(problem, "line", None), str(getattr(problem, "place", ""))
    code, values = str(getattr(problem, "code", "")), getattr(problem, "values", {})
    where = [] if line is None else [f"line {line}"]
    # Nobody counts the tanks of a file: the name tells which is meant.
    named = str(getattr(problem, "of", ""))
    if by_name:
        value = values.get("value")
        place = place_words(place, named, value if isinstance(value, str) else "")
    elif named:
        place = f"{place} of {named}"
    where += [clean(place)] if place else []
    if code == "out_of_range":
        # Numbers of a file are told as they stand there.
        values = {**values, AS_STORED: True}
    text = _ended(_sentence(code, values, words))
    return f"{capital(', '.join(where))}: {text}" if where else _begun(code, text)


def _begun(code: str, text: str) -> str:
    """Return a sentence with a capital first, unless it begins with what somebody typed."""
    template = TEMPLATES.get(code, "{own}")
    begins_with_value = template.startswith("{") and not template.startswith("{field}")
    is_ph = text[1:2].isupper()
    return text if begins_with_value or is_ph else capital(text)


def _ended(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."


def _sentence(code: str, values: Values, words: Words | None) -> str:
    special = _SPECIAL.get(code)
    if special is not None:
        return special(values, words)
    template = TEMPLATES.get(code)
    if template is None:
        return _unworded(code, values)
    told = {name: told_value(name, value, words) for name, value in values.items()}
    if code in _OF_UNITS and words is not None:
        for name in told.keys() & _UNIT_NAMES:
            told[name] = told[name].replace("litres", words.volume_name)
    if "label" in told:
        told["field"] = told["label"]
    text = template.format_map(_Told(told))
    nearest = values.get("nearest")
    if nearest:
        return f"{_ended(text)} Did you mean {told_value('nearest', nearest, words)}?"
    there_are = values.get("there_are")
    return f"{_ended(text)} There are: {told_value('', there_are, words)}." if there_are else text


class _Told(dict[str, str]):
    """Values as text; one that a fault does not carry reads as not known."""

    def __missing__(self, key: str) -> str:
        return "something not named"


def _unworded(code: str, values: Values) -> str:
    """Return a fault nobody has put into words: its code and values, rather than nothing."""
    told = ", ".join(f"{name} {told_value(name, value, None)}" for name, value in values.items())
    said = code.replace("_", " ")
    return f"Refused: {said} ({told})." if told else f"Refused: {said}."


# Faults that need more than a template


def _how_litres(words: Words | None) -> str:
    """Return the option for litres: a bare number there is litres, in every household."""
    unit = "L" if words is None else words.units.volume
    return "--litres" if unit == "L" else f'--litres, such as --litres "5 {unit}"'


def _before_window(values: Values, words: Words | None) -> str:
    """Return when a turn to come can be done; the window names its own way for an extra one."""
    chore, day, earliest = (values.get(name) for name in ("chore", "day", "earliest"))
    named = [
        told_value("", one, None) if words is None else words.weekday_and_number(one)
        for one in (day, earliest)
        if isinstance(one, date)
    ]
    from_on = "that day" if day == earliest else named[-1]
    if values.get("is_put_off"):
        return (
            f"{told_value('', chore, words)} was put off to {named[0]} and can be done from "
            f"{from_on} on. To do it now, move it to today first."
        )
    how = values.get("how") or _how_extra(values)
    return (
        f"{told_value('', chore, words)} of {named[0]} can be done from {from_on} on; "
        f"an extra one is written down with {how}."
    )


def _how_extra(values: Values) -> str:
    """Return the command for work beside the turns: what has none of its own is ticked by chore."""
    if values.get("kind") in _LOGGED:
        return "tankkeeper log"
    return f"tankkeeper tick {str(values.get('item')).partition('@')[0]}"


def _needs_litres(values: Values, words: Words | None) -> str:
    chore = told_value("", values.get("chore"), words)
    water = "litres" if words is None else words.volume_name
    how = f"Say how much with {_how_litres(words)}"
    if values.get("takes_proposal"):
        how += ", or accept the proposal with --as-proposed"
    if values.get("also") != ("salinity",):
        return f"{chore} asks for {water}. {how}."
    return f"{chore} asks for {water} and the salinity of the new water. {how}, and --salinity."


def _nothing_proposed(values: Values, words: Words | None) -> str:
    chore = told_value("", values.get("chore"), words)
    water = "litres" if words is None else words.volume_name
    how = f"Say how much with {_how_litres(words)}."
    if values.get("is_beside"):
        return f"Beside its turns {chore} has no {water} to propose. {how}"
    return f"{chore} has no {water} to propose yet. {how}"


def _nothing_missing(values: Values, words: Words | None) -> str:
    chore, filled = told_value("", values.get("chore"), words), values.get("entry")
    how = f"Say how much with {_how_litres(words)} if some went in besides."
    if words is None or not isinstance(filled, Entry):
        return f"{chore}: nothing was missing then. {how}"
    return f"{chore}: {small(full_since_words(filled, words))} {how}"


def _no_such_tank(values: Values, words: Words | None) -> str:
    name = values.get("name", values.get("tank"))
    text = f"There is no tank called {told_value('', name, words)}."
    nearest = values.get("nearest")
    return f"{text} Did you mean {told_value('', nearest, words)}?" if nearest else text


def _in_the_future(values: Values, words: Words | None) -> str:
    at = told_value("", values.get("at", values.get("value")), words)
    now = told_value("", values.get("now"), words)
    return f"{at} lies ahead; it is {now} now. Only what has happened is written down."


def _disk_full(values: Values, words: Words | None) -> str:
    path = told_value("", values.get("path"), words)
    needed, free = values.get("needed_bytes"), values.get("free_bytes")
    if isinstance(needed, int) and isinstance(free, int):
        return f"The disk of {path} has {_bytes(free)} free, and {_bytes(needed)} are needed."
    return f"The disk of {path} is full. Nothing was changed; it works again when there is room."


def _bytes(count: int) -> str:
    return with_unit(str(max(1, round(count / 1_000_000))), "MB")


def _paused_then(values: Values, words: Words | None) -> str:
    return _from_then_on("it is paused then", values, words)


def _day_is_past(values: Values, words: Words | None) -> str:
    return _from_then_on("that day is past", values, words)


def _from_then_on(why: str, values: Values, words: Words | None) -> str:
    """Return why something cannot stand on a day, and from which day on it can, if on any."""
    to, works = told_value("", values.get("to"), words), values.get("works")
    text = f"Cannot stand on {to}: {why}."
    return text if works is None else f"{text} From {told_value('', works, words)} on it can."


def _beyond_next_turn(values: Values, words: Words | None) -> str:
    following, slot = told_value("", values.get("following"), words), values.get("slot")
    next_at = values.get("next_at")
    if slot is None:
        return _up_to_then(f"the next turn comes on {following}", values, words)
    if values.get("works") is None and isinstance(next_at, datetime) and words is not None:
        # Of the other hours one may come first.
        day = words.on_day(words.moment.day_of(next_at))
        day = words.day_at(next_at) if words.night_to(next_at) else day
        when = f"{day} at {words.clock(next_at)}"
        return _up_to_then(f"the next turn comes {when}", values, words)
    of = told_value("", slot, words)
    return _up_to_then(f"the next turn of {of} comes on {following}", values, words)


def _up_to_then(why: str, values: Values, words: Words | None) -> str:
    """Return why something cannot stand on a day, and up to which day it can, if to any."""
    to, works = told_value("", values.get("to"), words), values.get("works")
    if works is None:
        further = " any further" if values.get("is_last") else ""
        return f"Cannot be put off{further}: {why}."
    return f"Cannot stand on {to}: {why}. Up to {told_value('', works, words)} it can."


def _paused_already(values: Values, words: Words | None) -> str:
    name, until = told_value("", values.get("name"), words), values.get("until")
    if until is None:
        return f"{name} is paused already, until somebody resumes it."
    return f"{name} is paused already, to {told_value('', until, words)}."


def _not_paused(values: Values, words: Words | None) -> str:
    name, tank = told_value("", values.get("name"), words), values.get("paused_tank")
    served = values.get("served")
    if isinstance(served, tuple) and served:
        when = "that tank runs" if len(served) == 1 else "one of them runs"
        return f"{name} rests with {told_value('', served, words)}. It goes on as soon as {when}."
    if tank is None:
        return f"{name} is not paused."
    of = told_value("", tank, words)
    return f"{name} is not paused by itself; its tank {of} is. Resume the tank."


def _limit_before(values: Values, words: Words | None) -> str:
    limit = values.get("limit")
    what = {
        "level": "the level falls too low before that",
        "salinity": "salinity rises too high before that",
        "reservoir": "the reservoir runs out before that",
    }.get(str(limit), "its limit is reached before that")
    reserve = values.get("reserve_l")
    if limit == "reservoir" and reserve:
        # There is water in it still, as the panel beside it says.
        what = f"its reserve of {told_value('reserve_l', reserve, words)} is reached before that"
    text = _up_to_then(what, values, words)
    has_days = values.get("works") is not None or values.get("is_last")
    return text if has_days else f"{text} It has to be done now."


_ZONE, _RULE = "A zone reads like Europe/Oslo.", "Write it like FREQ=MONTHLY;BYDAY=1SA."
# What more than one of may be chosen.
_NONE_CHOSEN = {
    "weekdays": "No weekday is chosen. Choose at least one.",
    "month_days": "No day of the month is given. Write 1 to 31, or last.",
}


def _missing(values: Values, _words: Words | None) -> str:
    field = str(values.get("field", "value"))
    named = (
        told_value("", values.get("label"), None) if "label" in values else clean(field_name(field))
    )
    return _NONE_CHOSEN.get(field) or f"{capital(named)} is missing."


def _unknown_zone(values: Values, _words: Words | None) -> str:
    zone = told_value("", values.get("zone"), None).strip()
    return (
        f"There is no time zone called {zone}. {_ZONE}"
        if zone
        else f"A time zone is missing. {_ZONE}"
    )


def _rule_unreadable(values: Values, _words: Words | None) -> str:
    rule = told_value("", values.get("rule"), None).strip()
    return (
        f"The calendar rule {rule} cannot be read. {_RULE}"
        if rule
        else f"A rule is missing. {_RULE}"
    )


_SPECIAL: dict[str, Callable[[Values, Words | None], str]] = {
    "out_of_range": out_of_range_words,
    "looks_like_salinity": salinity_taken_words,
    "looks_like_specific_gravity": gravity_words,
    "number_not_finite": not_finite_words,
    "already_done": already_done_words,
    "done_meanwhile": done_meanwhile_words,
    "before_window": _before_window,
    "needs_litres": _needs_litres,
    "nothing_proposed": _nothing_proposed,
    "nothing_missing": _nothing_missing,
    "corrected_otherwise": corrected_otherwise_words,
    "redo_is_held": redo_is_held_words,
    "no_such_tank": _no_such_tank,
    "in_the_future": _in_the_future,
    "disk_full": _disk_full,
    "paused_then": _paused_then,
    "day_is_past": _day_is_past,
    "beyond_next_turn": _beyond_next_turn,
    "paused_already": _paused_already,
    "not_paused": _not_paused,
    "limit_before": _limit_before,
    "missing": _missing,
    "unknown_zone": _unknown_zone,
    "rule_unreadable": _rule_unreadable,
}
CODES = frozenset(TEMPLATES) | frozenset(_SPECIAL) | {"import_problems"}
