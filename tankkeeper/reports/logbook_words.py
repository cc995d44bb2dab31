"""The text of one entry of the logbook: what was done, in one line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from types import MappingProxyType
from typing import Any

from tankkeeper.core.fills import is_poured_part
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    Note,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    Redefined,
    ReservoirCheck,
    Resume,
    Revoke,
    Shift,
    Skip,
    StockChange,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import with_unit
from tankkeeper.reports.redefined_words import redefined_text
from tankkeeper.reports.words import Words

_ESTIMATED = "{text}, not measured"
TAKEN_BACK, DID_AGAIN = "Taken back", "Did again"
# What became of an entry that holds no longer.
CORRECTED, REVOKED, DONE_AGAIN = "corrected", "taken back", "done again"
# They are told as "Skipped: Wipe the lid".
_WITH_COLON = (Work, Skip, PutOff, Shift)


def entry_text(
    entry: Entry, words: Words, taken_back: Mapping[str, Entry] = MappingProxyType({})
) -> str:
    """Return what an entry says, such as "Topped off, 2.4 L to the mark".

    `taken_back` holds, by id, what undos took back, where that is at hand.
    """
    if isinstance(entry.fact, Revoke):
        return _undo(entry.fact, entry.day, words, taken_back)
    if entry.replaces is not None:
        return f"Corrected: {text_inside(replace(entry, replaces=None), words)}"
    text = _fact_text(entry, words)
    done = done_names(entry, words)
    if not text:
        text = f"Done: {', '.join(done)}" if done else ""
    note = entry.note.strip()
    if isinstance(entry.fact, Note) or not text:
        return note or text or "Nothing written down"
    return f"{text}. {capital(note)}" if note else text


def _undo(fact: Revoke, on: date, words: Words, taken_back: Mapping[str, Entry]) -> str:
    """Return what an undo undid; an undo of an undo did the work again, and so on.

    It stands under its own day `on`: what was of another one names that.
    """
    verb, revoked = what_was_undone(fact, taken_back)
    # What it tells of stands further back, or went with the tank that it was about.
    if revoked is None:
        return f"{verb}: an earlier entry"
    day = "" if revoked.day == on else f"of {words.short_day(revoked.day)}"
    return f"{verb}: {text_inside(revoked, words, day)}"


def what_was_undone(fact: Revoke, taken_back: Mapping[str, Entry]) -> tuple[str, Entry | None]:
    """Return the verb of an undo, and what was done in the end, None where that is not at hand."""
    verb, other = TAKEN_BACK, DID_AGAIN
    while (revoked := taken_back.get(fact.entry)) is not None:
        if not isinstance(revoked.fact, Revoke):
            return verb, revoked
        fact, verb, other = revoked.fact, other, verb
    return verb, None


def revoked_word(entry: Entry, taken_back: Mapping[str, Entry] = MappingProxyType({})) -> str:
    """Return what an undo made of an entry; one of an undo did again what that took back."""
    fact = entry.fact
    if isinstance(fact, Revoke) and what_was_undone(fact, taken_back)[0] == TAKEN_BACK:
        return DONE_AGAIN
    return REVOKED


def text_inside(entry: Entry, words: Words, day: str = "") -> str:
    """Return what an entry says behind a colon, without one of its own: "Wipe (skipped)".

    `day` is told with it, where it is not that of the line.
    """
    note, asides = entry.note.strip(), []
    text = _fact_text(entry, words) or f"Done: {', '.join(done_names(entry, words))}"
    if isinstance(entry.fact, Note) or not (entry.completes or entry.fact is not None):
        return f"{note or 'a note'} ({day})" if day else note or "a note"
    if entry.fact is None or _has_colon(entry.fact):
        head, _, text = text.partition(": ")
        asides += [head[:1].lower() + head[1:]] if head != "Done" else []
    asides += ["a correction"] if entry.replaces is not None else []
    asides += [day] if day else []
    text = f"{text} ({', '.join(asides)})" if asides else text
    return f"{text}. {capital(note)}" if note else text


def _has_colon(fact: Fact) -> bool:
    """Tell whether a fact is told with its chore behind a colon; the pause of a tank is not."""
    if isinstance(fact, Pause | Resume):
        return fact.chore is not None
    return isinstance(fact, _WITH_COLON)


def done_names(entry: Entry, words: Words) -> list[str]:
    return list(dict.fromkeys(words.chore_name(turn.chore) for turn in entry.completes))


def _fact_text(entry: Entry, words: Words) -> str:
    fact = entry.fact
    if isinstance(fact, (Pause, Resume)):
        return _pause_text(fact, entry, words)
    if isinstance(fact, Work):
        return _work(fact, entry, words)
    if isinstance(fact, TopOff) and _is_poured(entry, words):
        return _poured(fact, words)
    if isinstance(fact, Redefined):
        return redefined_text(fact, entry.tank, words)
    make = _TEXTS.get(type(fact))
    return "" if make is None else make(fact, words)


def _work(fact: Work, entry: Entry, words: Words) -> str:
    sizes = [] if fact.litres is None else [words.litres(fact.litres)]
    sizes += [] if fact.grams is None else [words.grams(fact.grams)]
    names = ", ".join(done_names(entry, words)) or "some work"
    head = "Partly done" if any(one.is_part for one in entry.completes) else "Done"
    return _maybe_estimated(", ".join([f"{head}: {names}", *sizes]), fact.estimated)


def is_guess(entry: Entry) -> bool:
    """Tell whether the amount of an entry was kept as proposed, and nobody measured it."""
    fact = entry.fact
    if isinstance(fact, ReservoirCheck):
        # What is left was told then; what was poured in before is the guess.
        return fact.estimated and fact.left_l is None
    return isinstance(fact, TopOff | WaterChange | Work) and fact.estimated


def _maybe_estimated(text: str, estimated: bool) -> str:
    return _ESTIMATED.format(text=text) if estimated else text


def _top_off(fact: TopOff, words: Words) -> str:
    litres = "" if fact.litres is None else f" {words.litres(fact.litres)}"
    if fact.to_mark:
        text = f"Topped off,{litres} to the mark" if litres else "Topped off to the mark"
    else:
        text = f"Topped off in part,{litres}" if litres else "Topped off in part"
    return _maybe_estimated(text, fact.estimated)


def _is_poured(entry: Entry, words: Words) -> bool:
    """Tell whether an entry is a part that went into a reservoir."""
    # The logbook may tell of a tank that is gone.
    tank = next((one for one in words.household.tanks if one.id == entry.tank), None)
    return is_poured_part(entry.fact, tank)


def _poured(fact: TopOff, words: Words) -> str:
    """Return what a part comes to where a reservoir tops off: it is poured into that."""
    litres = "some" if fact.litres is None else words.litres(fact.litres)
    return _maybe_estimated(f"Poured {litres} into the reservoir, not full", fact.estimated)


def _reservoir(fact: ReservoirCheck, words: Words) -> str:
    if fact.left_l is not None and fact.estimated:
        # Something was poured in that nobody measured, so nobody knows what was left before.
        return f"Reservoir not full, {words.litres(fact.left_l)} in it"
    if fact.left_l is not None:
        text = f"Looked at the reservoir, {words.litres(fact.left_l)} left"
    elif fact.fill_l is not None:
        text = f"Filled the reservoir, {words.litres(fact.fill_l)} until full"
    else:
        text = "Filled the reservoir until full"
    return _maybe_estimated(text, fact.estimated)


def _water_change(fact: WaterChange, words: Words) -> str:
    # Only the litres were taken as proposed; the salinity was told.
    guess = " (not measured)" if fact.estimated else ""
    litres = "" if fact.litres is None else f", {words.litres(fact.litres)}{guess}"
    salinity = "" if fact.salinity is None else f" at salinity {words.salinity(fact.salinity)}"
    if fact.added_l is not None and fact.added_l != fact.litres:
        added = words.litres(fact.added_l)
        taken_out = f"{litres} taken out" if litres else ""
        text = f"Changed water{taken_out}, {added}{salinity} put in"
    else:
        text = f"Changed water{litres}{salinity}"
    if fact.temperature_c is not None:
        text += f", {words.temperature(fact.temperature_c)}"
    return text if fact.litres is not None else _maybe_estimated(text, fact.estimated)


def reading_text(value: ReadingValue, words: Words) -> str:
    """Return one reading as it was typed: "nitrate 12 mg/L"."""
    typed = words.typed(value.typed, value.unit)
    text = f"{parameter_words(value.parameter)} {typed}"
    if value.sample_temperature_c is None:
        return text
    return f"{text} at {words.temperature(value.sample_temperature_c)}"


def _readings(fact: Readings, words: Words) -> str:
    return f"Read {', '.join(reading_text(value, words) for value in fact.values)}"


def _dose(fact: Dose, words: Words) -> str:
    of = fact.of or "something"
    return f"Dosed {of}" if fact.grams is None else f"Dosed {words.grams(fact.grams)} of {of}"


def _stock(fact: StockChange, words: Words) -> str:
    supply = next((one for one in words.household.supplies if one.id == fact.of), None)
    name, unit = (supply.name, supply.unit) if supply is not None else (fact.of, "")
    name = name or "an unnamed supply"
    if fact.add is not None:
        text = f"Bought {with_unit(words.typed(fact.add, ''), unit)} of {name}"
    elif fact.count is not None:
        text = f"Counted {with_unit(words.typed(fact.count, ''), unit)} of {name}"
    else:
        text = f"Wrote down {name}"
    if fact.expires_on is None:
        return text
    return f"{text}, to be used by {words.full_date(fact.expires_on)}"


def _skip(fact: Skip, words: Words) -> str:
    return f"Skipped: {words.chore_name(fact.turn.chore)}"


def _put_off(fact: PutOff, words: Words) -> str:
    return f"{_moved(fact)} to {words.full_date(fact.to)}: {words.chore_name(fact.turn.chore)}"


def _moved(fact: PutOff) -> str:
    """Return what was done with a turn: the day on which it stood tells whether that was forward.

    Entries of older programs hold none: the calendar's is in the key of the turn, but what counts
    from the last time has none there, and may have gone either way.
    """
    key, stood_on = fact.turn.key, fact.stood_on
    if stood_on is None and not key[:1].isdigit():
        return "Moved"
    return "Brought forward" if fact.to < (stood_on or date.fromisoformat(key)) else "Put off"


def _shift(fact: Shift, words: Words) -> str:
    return f"Moved from here on to {words.full_date(fact.to)}: {words.chore_name(fact.turn.chore)}"


def _pause_text(fact: Pause | Resume, entry: Entry, words: Words) -> str:
    if fact.chore is not None:
        return _pause_of_chore(fact, words.chore_name(fact.chore), words)
    tank = words.tank_name(entry.tank)
    what = "the whole house" if tank is None else f"the tank {tank}"
    if isinstance(fact, Resume):
        return f"Resumed {what}"
    until = "" if fact.until is None else f" until {words.full_date(fact.until)}"
    return _frozen(f"Paused {what}{until}", fact)


def _pause_of_chore(fact: Pause | Resume, name: str, words: Words) -> str:
    if isinstance(fact, Resume):
        return f"Resumed: {name}"
    until = "" if fact.until is None else f" until {words.full_date(fact.until)}"
    return _frozen(f"Paused{until}: {name}", fact)


def _frozen(text: str, fact: Pause) -> str:
    return f"{text}; its days do not count" if fact.mode is PauseMode.FREEZE else text


_TEXTS: dict[type, Callable[[Any, Words], str]] = {
    TopOff: _top_off,
    ReservoirCheck: _reservoir,
    WaterChange: _water_change,
    Readings: _readings,
    Dose: _dose,
    StockChange: _stock,
    Skip: _skip,
    PutOff: _put_off,
    Shift: _shift,
}


def entry_kind(entry: Entry, words: Words) -> str:
    """Return the stable word for what an entry is, for JSON: "top-off", "skip", "done"."""
    if _is_poured(entry, words):
        return "reservoir"
    kind = _KINDS.get(type(entry.fact))
    if kind is not None:
        return kind
    return "done" if entry.completes else "note"


_KINDS: dict[type, str] = {
    TopOff: "top-off",
    ReservoirCheck: "reservoir",
    WaterChange: "water-change",
    Readings: "reading",
    Dose: "dose",
    StockChange: "stock",
    Work: "done",
    Skip: "skip",
    PutOff: "put-off",
    Shift: "shift",
    Pause: "pause",
    Resume: "resume",
    Revoke: "undo",
    Redefined: "definition",
}
