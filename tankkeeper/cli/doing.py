"""The commands that do and move work: tick, undo, redo, skip, put-off, shift, pause, resume."""

from __future__ import annotations

import argparse
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from tankkeeper.cli import values
from tankkeeper.cli.session import Session, say, say_aside, words_of
from tankkeeper.core.amounts import takes_grams
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import (
    Entry,
    Pause,
    Redefined,
    ReservoirCheck,
    Resume,
    Thing,
    TopOff,
    Work,
)
from tankkeeper.core.parameters import ReadingValue, full_name
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import State
from tankkeeper.reports.asking import (
    fast_litres,
    over_room,
    short_litres,
    unready_beside,
    unready_water,
)
from tankkeeper.reports.correction_doubts import written_doubts
from tankkeeper.reports.full_words import full_already
from tankkeeper.reports.limit_words import skipped_limit_words
from tankkeeper.reports.logbook_words import entry_text
from tankkeeper.reports.next_words import next_words
from tankkeeper.reports.noted_words import (
    BESIDE_ITS_TURNS,
    left_to_mix,
    left_words,
    rest_words,
    ticked_besides,
)
from tankkeeper.reports.outside_words import read_text
from tankkeeper.reports.people_words import limits_of_entry
from tankkeeper.reports.window_words import done_with, past_window, water_words
from tankkeeper.reports.words import Words
from tankkeeper.services import moving, taking_back
from tankkeeper.services.finding import find_chore, find_item, find_tank, items_of_chore
from tankkeeper.services.fresh_fills import Extent, missing_then, safe_today
from tankkeeper.services.fresh_rest import is_part, rest_of
from tankkeeper.services.mixed_amounts import parts_mixed, rest_of_mixing, room_for
from tankkeeper.services.next_days import next_days, settled_by
from tankkeeper.services.skipped_limits import limits_passed
from tankkeeper.services.taking_back import TakenBack
from tankkeeper.services.ticking import Outcome, Tick, tick
from tankkeeper.services.turns_left import turns_left

_NOT_DONE = "If the change was not done, take it back with: tankkeeper undo"


def told(entry: Entry, words: Words, taken: TakenBack | None = None, more: str = "") -> str:
    """Return one line about an entry that was just written; its id stands last, for `undo`."""
    tank = words.tank_name(entry.tank)
    about = taken.target if taken is not None else entry
    where = f" ({tank})" if tank and not _rests_whole(about) else ""
    text = entry_text(entry, words, taken.taken_back if taken is not None else {})
    if taken is None and (read := read_text(entry, words)):
        # What was remarked with the readings stays behind them.
        text = text.replace(entry_text(replace(entry, note=""), words), read, 1)
    return f"{text}{where}.{more} Entry {entry.id}"


def told_of_day(entry: Entry, after: HouseholdState, more: str = "") -> str:
    """Return the line about work that was just written down, with its day where it is not today.

    `after` is the state with it: it tells when the work comes next, as the window does.
    """
    words = words_of(after)
    day = words.dated(entry.day).removeprefix(", on ")
    coming = next_words(next_days(after, (entry,)), len(settled_by((entry,))), words)
    passed = skipped_limit_words(limits_passed(after, (entry,)), words)
    told_after = (passed, coming, _rest_of_part(entry, after, words))
    parts = (f" For {day}." if day else "", more, *(f" {one}" for one in told_after if one))
    return told(entry, words, more="".join(parts))


def _rest_of_part(entry: Entry, after: HouseholdState, words: Words) -> str:
    """Return what a part of today left to pour in, and when it comes; empty for other work."""
    rest = rest_of(after, entry) if is_part(entry) and entry.day == words.today else None
    return "" if rest is None else rest_words(rest, words)


def _rests_whole(entry: Entry) -> bool:
    """Return whether an entry is about a whole tank, which its words then name already."""
    fact = entry.fact
    if isinstance(fact, Redefined):
        return fact.thing is Thing.TANK
    return isinstance(fact, (Pause, Resume)) and fact.chore is None


def ask_about(
    entry: Entry, before: HouseholdState, words: Words, beside: Collection[str] = ()
) -> None:
    """Tell beside the result which values of a new entry can be, but are unlike the usual.

    Besides what the one who did it does not do by the household, and that the water of a change is
    not mixed or not ready, unless by what was done `beside` it. `before` is the state that it was
    written down in.
    """
    for turn in entry.completes:
        item = find_item(before, turn.id) if not turn.is_extra else None
        if unready := unready_water(item, words, entry.at, beside):
            say_aside(f"{unready} {_NOT_DONE}")
    if unready := unready_beside(before, entry, words):
        say_aside(f"{unready} {_NOT_DONE}")
    if limits := limits_of_entry(entry, words):
        say_aside(limits)
    for sentence in written_doubts(before, entry, words):
        if sentence:
            say_aside(f"{sentence} If not, take it back with: tankkeeper undo")


def ask_about_part(
    entry: Entry, before: HouseholdState, words: Words, chore: Chore | None = None
) -> None:
    """Tell beside the result where less went in than was missing until full, and how to say so.

    Besides where more went in than the salinity may be lowered by in a day.
    """
    fact = entry.fact
    _ask_about_pace(entry, before, words, chore)
    if isinstance(fact, TopOff) and fact.to_mark and not fact.estimated:
        kind, litres, kept = ChoreKind.TOP_OFF, fact.litres, "filled to the mark"
    elif isinstance(fact, ReservoirCheck) and not fact.estimated:
        kind, litres, kept = ChoreKind.RESERVOIR, fact.fill_l, "filled until full"
    else:
        return
    missing = missing_then(before, kind, entry.tank, entry.at, chore)
    short = "" if litres is None else short_litres(missing, litres, words)
    if short:
        say_aside(
            f"{short} It is kept as {kept}. If it was a part, take it back with: tankkeeper undo, "
            f"and say it again with --part"
        )


def _ask_about_pace(
    entry: Entry, before: HouseholdState, words: Words, chore: Chore | None
) -> None:
    fact = entry.fact
    if not isinstance(fact, (TopOff, ReservoirCheck)) or fact.estimated:
        return
    litres = fact.litres if isinstance(fact, TopOff) else fact.fill_l
    if litres is None:
        return
    most_l = safe_today(before, entry.tank, litres, entry.at, chore)
    fast = fast_litres(most_l, litres, words)
    if fast:
        say_aside(f"{fast} If it was not poured in, take it back with: tankkeeper undo")


def do_tick(session: Session, said: argparse.Namespace) -> None:
    """Mark work as done."""
    state = session.desk.state()
    ticks = _ticks(session, state, said)
    outcomes = tick(session.desk, ticks)
    words, after = words_of(state), session.desk.state()
    done = {one.chore.id for one in outcomes}
    for one, outcome in zip(ticks, outcomes, strict=True):
        say(_outcome(outcome, after, left_by(one.item, outcome.entry, after)))
        if outcome.was_done_already and not one.is_bare:
            say_aside(
                f"What was said of {outcome.chore.name} is not kept. If it was done once more, "
                f"say it again with --besides"
            )
        if not outcome.was_done_already:
            ask_about(outcome.entry, state, words, done)
            _ask_about_full(outcome, state, words)
            ask_about_part(outcome.entry, state, words, outcome.chore)
            _ask_about_room(outcome, state, words)


def _ask_about_full(outcome: Outcome, before: HouseholdState, words: Words) -> None:
    """Tell beside the result where it was filled at that moment already, or since."""
    fact, at = outcome.entry.fact, outcome.entry.at
    is_full = isinstance(fact, TopOff) and fact.to_mark
    if is_full or (isinstance(fact, ReservoirCheck) and fact.left_l is None):
        full = full_already(before, outcome.chore, at, words)
        if full:
            say_aside(f"{full} If nothing went in besides, take it back with: tankkeeper undo")


def _ask_about_room(outcome: Outcome, before: HouseholdState, words: Words) -> None:
    """Tell beside the result where more was mixed than can be stored."""
    fact = outcome.entry.fact
    litres = fact.litres if isinstance(fact, Work) else None
    over = "" if litres is None else over_room(room_for(before, outcome.chore), litres, words)
    if over:
        say_aside(f"{over} If it was not so much, take it back with: tankkeeper undo")


def _ticks(session: Session, state: HouseholdState, said: argparse.Namespace) -> list[Tick]:
    items = list(dict.fromkeys(said.items))
    asks = [_asks(state, item) for item in items]
    readings = values.readings(said.values)
    _refuse_shared(items, asks, said)
    at = values.when(said.at, state.moment)
    by = session.by(said.by)
    litres, salinity = values.litres(said.litres), values.salinity(said.salinity)
    grams = None if said.grams is None else values.grams(said.grams)
    alone = len(items) == 1
    return [
        Tick(
            item=item,
            at=at,
            by=by,
            litres=litres if alone or "litres" in asked else None,
            grams=grams if alone or "grams" in asked else None,
            salinity=salinity if alone or "salinity" in asked else None,
            values=readings if alone else _asked_for(readings, asked),
            as_proposed=said.as_proposed,
            is_besides=said.besides,
            extent=Extent.PART if said.part and (alone or "litres" in asked) else None,
            note=said.note,
        )
        for item, asked in zip(items, asks, strict=True)
    ]


def _asks(state: HouseholdState, item: str) -> tuple[str, ...]:
    """Return what a line asks for, and grams where it may be told them.

    A turn that stands in no list asks what its chore asks.
    """
    found = find_item(state, item) or find_item(state, item.split("@", 1)[0])
    if found is None:
        return ()
    return (*found.asks, "grams") if takes_grams(found.chore) else found.asks


def _refuse_shared(
    items: Sequence[str], asks: Sequence[tuple[str, ...]], said: argparse.Namespace
) -> None:
    """Refuse an amount or a reading of which nobody could tell which item it is for."""
    if len(items) == 1:
        return
    names = [full_name(name.partition("=")[0]) for name in said.values]
    for option, name, given in (
        ("--litres", "litres", said.litres),
        ("--grams", "grams", said.grams),
        ("--salinity", "salinity", said.salinity),
        *(("--value", name, name) for name in names),
    ):
        takers = [item for item, asked in zip(items, asks, strict=True) if name in asked]
        if given is not None and len(takers) != 1:
            raise UserFault("value_for_several", option=option, name=name, items=tuple(takers))


def _asked_for(readings: Iterable[ReadingValue], asked: Sequence[str]) -> tuple[ReadingValue, ...]:
    return tuple(value for value in readings if value.parameter in asked)


def left_by(line: str, entry: Entry, after: HouseholdState) -> str:
    """Return that a line of which work was said stays as it was, with its day; else empty."""
    told = left_words(turns_left(after, (line,), (entry,)), 1, words_of(after))
    return f" {told}" if told else ""


def _outcome(outcome: Outcome, after: HouseholdState, left: str) -> str:
    if not outcome.was_done_already:
        extra = " It counts as extra work." if outcome.is_extra else ""
        if outcome.is_beside:
            extra = f" Kept {BESIDE_ITS_TURNS}."
        extra += left
        if outcome.stays_open:
            extra = f" {_stays(outcome, after)}{_left_to_mix(outcome, after)}"
        also = ticked_besides(outcome.entry, words_of(after))
        extra += f" {also}" if also else ""
        return told_of_day(outcome.entry, after, extra)
    entry, words = outcome.entry, words_of(after)
    by = words.person(entry.by)
    who = f" by {by}" if by else ""
    return f"{outcome.chore.name} was done already{who}, {words.at(entry.at)}. Entry {entry.id}"


def _stays(outcome: Outcome, after: HouseholdState) -> str:
    """Return that a turn stays open of which a part was done, or which turn to come has a part."""
    chore = outcome.chore
    lines = [one for one in items_of_chore(after, chore.id) if one.open and not one.entry]
    line = next(iter(lines), None) if parts_mixed(outcome.entry) else None
    if line is None or line.open is None or line.state is not State.PROJECTED:
        return f"{chore.name} stays open."
    return f"It is a part of the turn of {words_of(after).named_date(line.open.target)}."


def _left_to_mix(outcome: Outcome, after: HouseholdState) -> str:
    """Return how much of a mixing is left, where it was done in part."""
    left_l = rest_of_mixing(after, outcome.chore.id)
    return "" if left_l is None else f" {left_to_mix(left_l, words_of(after))}"


def do_undo(session: Session, said: argparse.Namespace) -> None:
    """Take back an entry."""
    done = taking_back.undo(session.desk, said.entry, session.by(said.by))
    say(told(done.entry, words_of(session.desk.state()), done))


def do_redo(session: Session, said: argparse.Namespace) -> None:
    """Take back the newest undo."""
    done = taking_back.redo(session.desk, session.by(said.by))
    say(told(done.entry, words_of(session.desk.state()), done))


def do_skip(session: Session, said: argparse.Namespace) -> None:
    """Leave work out."""
    items = list(dict.fromkeys(said.items))
    skipped = moving.skip(session.desk, items, said.why, session.by(said.by))
    after = session.desk.state()
    for one in skipped:
        say(told_of_day(one.entry, after))


def do_put_off(session: Session, said: argparse.Namespace) -> None:
    """Move one turn to another day, and say where that lies past its window."""
    state = session.desk.state()
    to = values.day_of(said.to, state.moment)
    moved = moving.put_off(session.desk, said.item, to, session.by(said.by))
    item = find_item(state, said.item)
    _say_moved(session, [moved])
    if item is None:
        return
    words = words_of(state)
    for more in (
        past_window(state, item, to, words),
        done_with(moving.settled_with(state, item, to), words),
        water_words(state, item, to, words),
    ):
        if more:
            say(more)


def do_shift(session: Session, said: argparse.Namespace) -> None:
    """Move a turn and all that follow."""
    to = values.day_of(said.to, session.desk.state().moment)
    _say_moved(session, [moving.shift(session.desk, said.item, to, session.by(said.by))])


def do_pause(session: Session, said: argparse.Namespace) -> None:
    """Let a chore or a tank rest."""
    state = session.desk.state()
    until = None if said.until is None else values.day_of(said.until, state.moment)
    tank, by = _tank_meant(state, said.what), session.by(said.by)
    if tank is not None:
        _say_moved(session, [moving.pause_tank(session.desk, tank, until, by)])
    else:
        _say_moved(session, [moving.pause_chore(session.desk, said.what, until, by)])


def do_resume(session: Session, said: argparse.Namespace) -> None:
    """End the pause of a chore or a tank."""
    tank, by = _tank_meant(session.desk.state(), said.what), session.by(said.by)
    if tank is not None:
        _say_moved(session, [moving.resume_tank(session.desk, tank, by)])
    else:
        resumed = moving.resume_chore(session.desk, said.what, by)
        say(told_of_day(resumed.entry, session.desk.state()))


def _tank_meant(state: HouseholdState, what: str) -> Tank | None:
    """Return the tank that is meant, or None where a chore has this id."""
    if find_chore(state.household, what.split("@", 1)[0]) is not None:
        return None
    try:
        return find_tank(state.household, what)
    except UserFault as unknown:
        raise UserFault(
            "no_such_item_or_tank", name=what, item=what, nearest=unknown.values.get("nearest")
        ) from unknown


def _say_moved(session: Session, moved: Iterable[moving.Moved]) -> None:
    words = words_of(session.desk.state())
    for one in moved:
        say(told(one.entry, words))
