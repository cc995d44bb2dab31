"""What the why panel tells of an entry of the logbook."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Readings,
    Redefined,
    ReservoirCheck,
    Revoke,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.gui.models.log_rows import LogRow
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.widgets.why_panel import WhyAction, WhyCard
from tankkeeper.reports.in_sentences import capital, small, with_stop
from tankkeeper.reports.log_words import found_text, kind_words
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.outside_words import outside_sides
from tankkeeper.reports.words import WEEKDAYS, Words
from tankkeeper.services.log_search import FoundEntry

FACTS = "Written down"
CHANGES = "What was changed"
# What goes from the line to the entries, in which alone their keys act.
TO_ENTRIES = "Down"


def log_card(
    row: LogRow,
    words: Words,
    changed: str = "",
    refusal: str | None = None,
    *,
    from_line: bool = False,
) -> WhyCard:
    """Return what is told of an entry; `changed` tells what became of the plan by it.

    `from_line` tells that the keys are in the line above the entries.
    """
    entry = row.found.entry
    return WhyCard(
        mark=None,
        small=" \N{MIDDLE DOT} ".join(
            part for part in (row.where, kind_words(row.found, words)) if part
        ),
        title=row.text if not row.changes else capital(_plain_text(entry, words)),
        reason=" ".join(_sentences(row, words, changed)),
        numbers=tuple(_facts(entry, words)) or tuple(_changes(row)),
        numbers_title=FACTS if not row.changes else CHANGES,
        refusal=refusal,
        actions=tuple(_reached(one, from_line=from_line) for one in _actions(row)),
    )


def _sentences(row: LogRow, words: Words, changed: str) -> list[str]:
    entry, found = row.found.entry, row.found
    day = f"{WEEKDAYS[entry.day.weekday()]} {words.full_date(entry.day)}"
    by = f"by {row.who}" if row.who else ""
    told = [f"{', '.join(part for part in (f'{day} at {row.time}', row.night, by) if part)}."]
    ticked = [one for one in entry.completes if not (one.is_extra or one.is_part)]
    names = list(dict.fromkeys(words.chore_name(one.chore) for one in ticked))
    if names and entry.fact is not None and not isinstance(entry.fact, Work):
        # Other entries are told by the chore itself.
        told.append(_ticks(listed(names), found))
    if entry.replaces is not None and found.target is not None:
        # It may have been a correction itself.
        before = _plain_text(replace(found.target, replaces=None), words)
        stands = "stands" if found.revoked_by is None else "stood"
        told.append(with_stop(f"It {stands} in the place of: {before}"))
    if found.revoked_by is not None:
        told.append(f"{capital(row.fate)}.")
        if not isinstance(found.revoked_by.fact, Revoke):
            now = found.stands_now or found.revoked_by
            told.append(
                with_stop(f"It reads now: {_plain_text(replace(now, replaces=None), words)}")
            )
    if changed:
        told.append(changed)
    return told


def _ticks(names: str, found: FoundEntry) -> str:
    """Return what an entry ticks, or did until something else stood in its place."""
    by = found.revoked_by
    if by is None:
        return f"It ticks {names}."
    until = "it was taken back" if isinstance(by.fact, Revoke) else "it was corrected"
    return f"It ticked {names} until {until}."


def _plain_text(entry: Entry, words: Words) -> str:
    return found_text(FoundEntry(entry), words)


def _changes(row: LogRow) -> list[tuple[str, str]]:
    return [(one.name, f"{one.became}, before: {one.was}") for one in row.changes]


def _facts(entry: Entry, words: Words) -> list[tuple[str, str]]:
    """Return what was measured or counted, each with its unit."""
    fact = entry.fact
    if isinstance(fact, TopOff):
        return [("Fresh water", _litres(fact.litres, words, estimated=fact.estimated))]
    if isinstance(fact, WaterChange):
        return _of_water_change(fact, words)
    if isinstance(fact, ReservoirCheck):
        known = (("Left in it", fact.left_l), ("Until full", fact.fill_l))
        return [(name, words.litres(value)) for name, value in known if value is not None]
    if isinstance(fact, Readings):
        return [
            (PARAMETERS[one.parameter].display, words.typed(one.typed, one.unit))
            for one in fact.values
        ]
    if isinstance(fact, Dose):
        return [(fact.of, _grams(fact.grams, words))]
    return _of_work(fact, words) if isinstance(fact, Work) else []


def corrected_words(old: Entry, new: Entry, words: Words) -> str:
    """Return what a correction changed: "Corrected: temperature 25.1 °C (before: 31.5 °C)."."""
    was, now = dict(_facts(old, words)), dict(_facts(new, words))
    sides = outside_sides(new, words)
    told = []
    for name in dict.fromkeys((*was, *now)):
        if was.get(name) == now.get(name):
            continue
        if name not in now:
            told.append(f"without {small(name)} (before: {was[name]})")
            continue
        before = f" (before: {was[name]})" if name in was else ""
        told.append(f"{small(name)} {now[name]}{before}{sides.get(name, '')}")
    if not told and old.fact != new.fact:
        told.append(small(_plain_text(new, words)).rstrip("."))
    if old.at != new.at:
        told.append(f"{words.at(new.at)} (before: {words.at(old.at)})")
    if old.by != new.by:
        told.append(f"by {words.person(new.by)}" if new.by is not None else "by nobody named")
    if old.note != new.note:
        told.append("the note")
    return f"Corrected: {'; '.join(told)}." if told else "Corrected."


def _of_water_change(fact: WaterChange, words: Words) -> list[tuple[str, str]]:
    rows = [("Changed", _litres(fact.litres, words, estimated=fact.estimated))]
    if fact.added_l is not None and fact.added_l != fact.litres:
        rows.append(("Put in", words.litres(fact.added_l)))
    if fact.salinity is not None:
        rows.append(("Salinity", words.salinity(fact.salinity)))
    if fact.temperature_c is not None:
        rows.append(("Temperature", words.temperature(fact.temperature_c)))
    return rows


def _of_work(fact: Work, words: Words) -> list[tuple[str, str]]:
    rows = []
    if fact.litres is not None:
        litres = _litres(fact.litres, words, estimated=fact.estimated)
        rows.append((capital(words.volume_name), litres))
    if fact.grams is not None:
        rows.append(("Mass", words.grams(fact.grams)))
    return rows


def _grams(value: float | None, words: Words) -> str:
    return "not measured" if value is None else words.grams(value)


def _litres(value: float | None, words: Words, *, estimated: bool) -> str:
    if value is None:
        return "not measured"
    return f"{words.litres(value)}, not measured" if estimated else words.litres(value)


def _actions(row: LogRow) -> tuple[WhyAction, ...]:
    """Return the buttons for an entry, each with its key."""
    note = _action(Command.LOG_NOTE, "Note")
    if row.is_struck:
        return (note,)
    if isinstance(row.found.entry.fact, (Revoke, Redefined)):
        # Neither can be corrected.
        return (_action(Command.TAKE_BACK, "Take back", is_primary=True), note)
    return (
        _action(Command.CORRECT, "Correct", is_primary=True),
        _action(Command.TAKE_BACK, "Take back"),
        note,
    )


def _action(command: Command, text: str, *, is_primary: bool = False) -> WhyAction:
    return WhyAction(text, key_caption(command), command.value, is_primary)


def _reached(action: WhyAction, *, from_line: bool) -> WhyAction:
    """Return a button with its key, and with the one before it that leads to the entries."""
    if not from_line or action.id == Command.LOG_NOTE.value:
        return action
    return replace(action, key=f"{TO_ENTRIES}, {action.key}")
