"""An entry of the logbook among others: when, where, by whom, and what became of it."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from tankkeeper.core.ids import moment_in
from tankkeeper.core.logbook import Entry, Revoke
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.patterns import Pattern
from tankkeeper.reports.called_days import is_day_alone
from tankkeeper.reports.log_phrases import LONGEST_PHRASE, amount_hits, day_hits
from tankkeeper.reports.logbook_words import (
    CORRECTED,
    entry_kind,
    entry_text,
    revoked_word,
    what_was_undone,
)
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.redefined_words import told_beginnings
from tankkeeper.reports.typed_days import DayStyle
from tankkeeper.reports.word_beginnings import begins_a_word
from tankkeeper.reports.words import WEEKDAYS, Words
from tankkeeper.services.log_search import FieldHit, FoundEntry, LogKind, WordHits

LONGEST_TYPED = 200
MOST_WORDS = 8
# How each kind is called in a list of kinds; the order is that of the list.
KIND_WORDS = {
    LogKind.DONE: "Chores done",
    LogKind.TOP_OFF: "Top-offs",
    LogKind.RESERVOIR: "Reservoirs",
    LogKind.WATER_CHANGE: "Water changes",
    LogKind.READING: "Readings",
    LogKind.DOSE: "Doses",
    LogKind.STOCK: "Supplies",
    LogKind.NOTE: "Notes",
    LogKind.SKIP: "Skipped",
    LogKind.PUT_OFF: "Put off",
    LogKind.SHIFT: "Moved for good",
    LogKind.PAUSE: "Pauses",
    LogKind.RESUME: "Pauses ended",
    LogKind.DEFINITION: "Settings changed",
    LogKind.CORRECTION: "Corrections",
    LogKind.UNDO: "Taken back",
}
# By which typed words a kind is found: those in which its entries are told.
_TOLD_AS = {
    LogKind.DONE: "done",
    LogKind.TOP_OFF: "topped off top-off to the mark in part",
    LogKind.RESERVOIR: "reservoir filled until full left",
    LogKind.WATER_CHANGE: "changed water change",
    LogKind.READING: "read readings",
    LogKind.DOSE: "dosed dose",
    LogKind.STOCK: "bought counted supplies",
    LogKind.NOTE: "note",
    LogKind.SKIP: "skipped",
    LogKind.PUT_OFF: "put off brought forward moved",
    LogKind.SHIFT: "moved from here on",
    LogKind.PAUSE: "paused",
    LogKind.RESUME: "resumed",
    LogKind.DEFINITION: "set down",
    LogKind.CORRECTION: "corrected correction",
    LogKind.UNDO: "taken back did again undid undo",
}
# What stands around a word or a number in a row.
_AROUND = ".,:;()"
# It may be a day as well, but an amount is what one looks for.
_DECIMAL = Pattern(r"[0-9]+[.,][0-9]+")
_COMMA = Pattern(r"(?<=[0-9]),(?=[0-9])")
# A part that went into the reservoir of a tank is told by these, though kept as a top-off.
_POURED_AS = "poured into the reservoir not full"


# Returns the fields of a change whose names are found by what it is given.
FieldsFound = Callable[[Callable[[str], bool]], tuple[FieldHit, ...]]


def no_fields(_is_found: Callable[[str], bool]) -> tuple[FieldHit, ...]:
    """Return no field: nobody says by which names they are told."""
    return ()


def found_text(found: FoundEntry, words: Words) -> str:
    """Return what an entry says; a correction is told by its own line, not by its first word."""
    if not isinstance(found.entry.fact, Revoke):
        return entry_text(found.entry, words)
    return entry_text(found.entry, words, taken_back_by(found))


def taken_back_by(found: FoundEntry) -> dict[str, Entry]:
    """Return by id what an undo took back, and what that took back in turn."""
    rows = (*(() if found.target is None else (found.target,)), *found.beyond)
    return {one.id: one for one in rows}


def undo_verb(found: FoundEntry) -> str:
    """Return whether an undo took something back or did it again, in the words of its line."""
    fact = found.entry.fact
    assert isinstance(fact, Revoke)
    return what_was_undone(fact, taken_back_by(found))[0]


def fate_words(found: FoundEntry, words: Words) -> str:
    """Return what became of an entry: "taken back by Bo today at 07:10", empty where it holds.

    Of an undo that was undone it is "done again ...", since its line begins with "Taken back".
    """
    by = found.revoked_by
    if by is None:
        return ""
    if not isinstance(by.fact, Revoke):
        # A correction names who did the work and when; that it was made, its id tells.
        made = moment_in(by.id)
        when = "" if made is None else f" {_at(made, words)}"
        return f"{CORRECTED}{when}"
    who = f" by {words.person(by.by)}" if by.by is not None else ""
    what = revoked_word(found.entry, taken_back_by(found))
    return f"{what}{who} {_at(by.at, words)}"


def _at(at: datetime, words: Words) -> str:
    if words.night_to(at) is not None:
        return words.at(at)
    return f"{words.on_day(words.moment.day_of(at))} at {words.clock(at)}"


def gutter_day(day: date, words: Words) -> str:
    """Return a day as it stands beside its first entry: "Today", "Tue 10 Mar", "10 Mar 2008"."""
    away = (words.today - day).days
    if away in (0, 1):
        return "Today" if away == 0 else "Yesterday"
    short = words.short_date(day)
    has_year = short[-4:].isdigit()
    return short if has_year else f"{WEEKDAYS[day.weekday()][:3]} {short}"


def night_words(entry: Entry, words: Words) -> str:
    """Return "in the night to Thu 26" where it was done after midnight, before the day's end.

    Beside the day alone its hour would read as one of the morning before.
    """
    on = entry.at.astimezone(words.moment.zone).date()
    if on != entry.day + timedelta(days=1):
        return ""
    return f"in the night to {WEEKDAYS[on.weekday()][:3]}{NBSP}{on.day}"


def found_sentence(found: FoundEntry, words: Words, text: str, tank: str | None) -> str:
    """Return an entry of a tank that says this as one sentence for a screen reader."""
    entry = found.entry
    day = f"{WEEKDAYS[entry.day.weekday()]} {words.full_date(entry.day)}"
    parts = [f"{day}, {words.clock(entry.at)}"]
    night = night_words(entry, words)
    if night:
        parts.append(night)
    where = words.tank_name(tank)
    if where is not None:
        parts.append(where)
    parts.append(text)
    who = words.person(entry.by)
    if who is not None:
        parts.append(f"by {who}")
    fate = fate_words(found, words)
    if fate:
        parts.append(fate)
    return ", ".join(parts)


def kind_words(found: FoundEntry, words: Words) -> str:
    """Return the kind of an entry as one of a list of kinds; an undo that did again says so."""
    if isinstance(found.entry.fact, Revoke):
        return undo_verb(found)
    return KIND_WORDS[LogKind(entry_kind(found.entry, words))]


def word_hits(
    text: str, words: Words, style: DayStyle | None = None, fields: FieldsFound = no_fields
) -> tuple[WordHits, ...]:
    """Return what each typed word may stand for: names, kinds, parameters, or a part of a note.

    Words that are an amount or a day together, "25 L" or "24 nov", are one; where all of them are
    a day, only that day is looked for. "ammonia > 1" asks for ammonia of more than 1. `fields`
    knows by which names the fields of a change are told.
    """
    tokens = text[:LONGEST_TYPED].split()[:MOST_WORDS]
    style, found, at = style or DayStyle(), [], 0
    is_number = len(tokens) == 1 and _DECIMAL.fullmatch(tokens[0]) is not None
    if not is_number and is_day_alone([one.casefold() for one in tokens], style.order):
        # Nobody who asks for last Tuesday looks for a note with the word "last".
        days = day_hits(tokens, style, words.today)
        if days:
            return (WordHits((), days=days),)
    named: tuple[str, ...] = ()
    while at < len(tokens):
        some = tokens[at : at + LONGEST_PHRASE]
        length, hits = _phrase(some, words, style, named)
        hits = replace(hits, told=_as_told(" ".join(some[:length])))
        if length == 1:
            hits = replace(hits, fields=fields(_begins(some[0])))
        found.append(hits)
        named = _read_as(tokens[at], hits) or named
        at += length
    return tuple(found)


def values_text(values: Iterable[str]) -> str:
    """Return values before and after a change as typed words are looked for in them."""
    return f" {_as_told(' '.join(values))} "


def is_told_in(text: str, hits: WordHits) -> bool:
    """Tell whether values are told by a typed word: by a number whole, by others that begin so."""
    end = " " if hits.told[:1].isdigit() else ""
    return bool(hits.told) and f" {hits.told}{end}" in text


def _as_told(text: str) -> str:
    """Return words without case and what stands around them, and numbers with a point."""
    words = " ".join(one.strip(_AROUND) for one in _folded(text).split())
    # A gallon without a word is that of the household.
    return _COMMA.sub(".", words).replace("us gal", "gal")


def _read_as(typed: str, hits: WordHits) -> tuple[str, ...]:
    """Return which parameters a word names, none where it is a tank or a person as well."""
    if hits.tanks or hits.people:
        return ()
    plain = _folded(typed)
    exact = tuple(
        one for one in hits.parameters if plain in (one, _folded(PARAMETERS[one].display))
    )
    return exact or hits.parameters


def _phrase(
    tokens: Sequence[str], words: Words, style: DayStyle, named: Sequence[str]
) -> tuple[int, WordHits]:
    """Return how many words begin with one amount or day, the most there are, and what it is."""
    for length in range(len(tokens), 1, -1):
        some = tokens[:length]
        amounts, days = amount_hits(some, words, named), day_hits(some, style, words.today)
        if amounts or days:
            # A unit is too short to be looked for alone; it may be bound to its number in a note.
            apart = () if amounts else tuple(_hits(one, words, style, named) for one in some)
            spelled = (*_spellings(" ".join(some)), *_spellings(NBSP.join(some)))
            return length, WordHits(spelled, amounts=amounts, days=days, apart=apart)
    return 1, _hits(tokens[0], words, style, named)


def _hits(typed: str, words: Words, style: DayStyle, named_before: Sequence[str]) -> WordHits:
    plain, house = _folded(typed), words.household
    # Their rows are told by these names, too.
    gone = {one_id: _folded(name) for one_id, name in words.gone}
    named = (
        gone | {one.id: _folded(f"{one.name} {one.noun}") for one in house.chores},
        gone | {one.id: _folded(one.name) for one in house.tanks},
        {one.id: _folded(one.name) for one in house.people},
        {one.id: _folded(one.name) for one in house.supplies},
        {name: _folded(f"{name} {one.display}") for name, one in PARAMETERS.items()},
    )
    groups = [_named(group, lambda name: begins_a_word(plain, name)) for group in named]
    if not any(groups):
        groups = [_named(group, lambda name: plain in name) for group in named]
    chores, tanks, people, supplies, parameters = groups
    kinds = tuple(kind for kind, told in _TOLD_AS.items() if f" {plain}" in f" {told}")
    is_poured = f" {plain}" in f" {_POURED_AS}"
    return WordHits(
        spellings=_spellings(typed),
        chores=chores,
        tanks=tanks,
        people=people,
        supplies=supplies,
        parameters=parameters,
        kinds=kinds,
        changes=told_beginnings(_begins(typed)),
        unnamed=told_beginnings(_begins(typed), ""),
        poured=tuple(one.id for one in house.tanks if is_poured and one.has_automatic_top_off),
        amounts=amount_hits([typed], words, named_before),
        days=day_hits([typed], style, words.today),
    )


def _begins(typed: str) -> Callable[[str], bool]:
    """Return what tells whether a word of a text begins as it was typed."""
    plain = _folded(typed)
    return lambda told: f" {plain}" in f" {told.casefold()}"


def _named(named: Mapping[str, str], fits: Callable[[str], bool]) -> tuple[str, ...]:
    return tuple(one for one, name in named.items() if fits(name))


def _spellings(typed: str) -> tuple[str, ...]:
    """Return a word as it may be written; the file itself folds only plain letters."""
    if typed.isascii():
        return (typed,)
    ways = (typed, typed.lower(), typed.capitalize(), typed.upper())
    return tuple(dict.fromkeys(ways))


def _folded(text: str) -> str:
    """Return text without case and accents."""
    parts = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in parts if not unicodedata.combining(sign)).casefold()
