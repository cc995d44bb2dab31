"""The commands that only look: round, ahead, tanks, logbook."""

from __future__ import annotations

import argparse
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.cli import values
from tankkeeper.cli.session import (
    SCRIPT_WIDTH,
    Session,
    is_terminal,
    say,
    say_document,
    say_lines,
    screen_width,
    words_of,
)
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.tank_water import TankWater
from tankkeeper.reports import documents
from tankkeeper.reports.amount_words import litres_in_all
from tankkeeper.reports.count_words import counts_at_head, day_minutes, open_counts, settled_counts
from tankkeeper.reports.limit_words import limit_in_words
from tankkeeper.reports.logbook_words import CORRECTED, entry_text, revoked_word
from tankkeeper.reports.lowering_words import lowering_of
from tankkeeper.reports.moment_words import moment_words
from tankkeeper.reports.numbers import counted, plain
from tankkeeper.reports.outside_words import standing_sentence
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.reservoir_reasons import lasts_or_reserve
from tankkeeper.reports.rows import (
    amount_words,
    minutes_words,
    state_words,
    title,
    who_words,
)
from tankkeeper.reports.rows import tank_words as tank_title
from tankkeeper.reports.short_words import short_standing
from tankkeeper.reports.tables import NARROWEST_TANK, ROUND_COLUMNS, Column, clean, table
from tankkeeper.reports.water_reasons import level_down, salinity_and_when_full
from tankkeeper.reports.words import Words
from tankkeeper.services.ahead import ahead
from tankkeeper.services.calendar import coming_day
from tankkeeper.services.logbook import logbook, shortest_ids
from tankkeeper.services.ports import LoggedEntry, LogQuery
from tankkeeper.services.round import RoundView, Totals, effective_stage, round_of, walk

A_WEEK = timedelta(days=6)
_ROUND = (*ROUND_COLUMNS, Column("Id"))
_LOGBOOK = (
    Column("When"),
    Column("Who", gives_way=3),
    Column("Tank", gives_way=1, narrowest=NARROWEST_TANK),
    Column("What", gives_way=2, narrowest=20),
    Column("Id"),
)
_TANKS = (
    Column("Tank", gives_way=1, narrowest=6),
    Column("Stage"),
    Column("Water"),
    Column("Loss a day"),
    Column("Below mark"),
    Column("Salinity"),
    Column("Limit"),
    Column("Reservoir"),
    Column("Noticed"),
)


def show_round(session: Session, said: argparse.Namespace) -> None:
    """Print what is due now."""
    state = session.desk.state()
    tank = session.tank_or_none(said.tank)
    view = round_of(state, tank, session.person_named(state, said.by))
    words = words_of(state)
    if said.json:
        say_document(documents.round_document(view.items, words))
        return
    say(_headline(session, view, words))
    if view.items:
        say_lines(_round_lines(view.items, words))
    for sentence in _standing(view, words):
        say(sentence)
    say(_foot(view, words))
    if said.why:
        _say_reasons(view.items, words)


def _headline(session: Session, view: RoundView, words: Words) -> str:
    counts = counts_at_head(view)
    parts = [*open_counts(counts), *settled_counts(counts)]
    when = moment_words(words.moment, words.moment.now)[0]
    head = f"{view.household.name}{session.title}, {when}"
    return f"{head}: {', '.join(parts) or 'nothing is due'}"


def _round_lines(items: Sequence[Item], words: Words) -> list[str]:
    often = Counter(item.chore.id for item in items)
    rows = [
        (
            tank_title(item),
            title(item),
            amount_words(item, words),
            minutes_words(item).removesuffix("min").strip(),
            who_words(item, words),
            state_words(item, words),
            _shown_id(item, often),
        )
        for item in items
    ]
    return table(_ROUND, rows, screen_width())


def _shown_id(item: Item, often: Mapping[str, int]) -> str:
    """Return what a person types for a line: the chore's id where that says enough."""
    has_day = item.turn.key[:1].isdigit()
    return item.id if often[item.chore.id] > 1 and has_day else item.chore.id


def _standing(view: RoundView, words: Words) -> Iterator[str]:
    """Yield which newest readings of the tanks shown are outside, and what water will be missing.

    The water where no line of the round tells of it.
    """
    shown = {group.tank for group in view.groups}
    for one in view.tanks:
        if one.tank in shown:
            for off in (*one.harms, *one.outside):
                told = words.small(standing_sentence(off, one.water, words))
                yield f"{one.tank.name}: {told} {lowering_of(off, one.water, words)}".rstrip()
    yield from (short_standing(one, words) for one in view.short)


def _foot(view: RoundView, words: Words) -> str:
    """Return what the work adds up to, or when the next thing comes."""
    if view.totals.minutes or view.counts.overdue or view.counts.due:
        return _sums(view.totals, words)
    following = view.following
    if following is None:
        return "Nothing comes after this." if view.household.chores else "There are no chores yet."
    item = following.item
    where = f", {item.tank.name}" if item.tank is not None else ""
    return f"Next: {item.chore.name}{where}, {words.at(following.at)}"


def _sums(totals: Totals, words: Words) -> str:
    parts = [counted(totals.minutes, "minute", "minutes")]
    for each_l, of in (
        (totals.each_fresh_l, "fresh water to add"),
        (totals.each_to_mix_l, "fresh water to mix"),
        (totals.each_salt_l, "salt water"),
    ):
        if sum(each_l) > 0.0:
            parts.append(f"{litres_in_all(each_l, words)} {of}")
    return f"In all: {', '.join(parts)}"


def _say_reasons(items: Iterable[Item], words: Words) -> None:
    for item in items:
        where = f"{tank_title(item)}, {title(item)}: "
        text = clean(plain(where + reason(item, words)))
        say_lines(textwrap.wrap(text, screen_width() or SCRIPT_WIDTH, subsequent_indent="  "))


def show_ahead(session: Session, said: argparse.Namespace) -> None:
    """Print what comes in a span of days."""
    state = session.desk.state()
    first = values.day_of("today" if said.first is None else said.first, state.moment)
    if said.last is None:
        last = first + min(A_WEEK, date.max - first)
    else:
        last = values.day_of(said.last, state.moment)
    tank = session.tank_or_none(said.tank)
    view = ahead(session.desk, first, last, tank)
    words = words_of(state)
    if said.json:
        say_document(documents.ahead_document(view.items, words))
        return
    say(f"{view.household.name}{session.title}, {first} to {last}")
    if view.items:
        say_lines(_round_lines(view.items, words))
    else:
        say("Nothing comes in these days.")
    day = coming_day(state, first, tank) if first == last else None
    minutes = [] if day is None else day_minutes(day.minutes, day.waiting)
    if minutes:
        say(f"In the calendar: {', '.join(minutes)}")
    if view.has_last_days or any(item.follows is not None for item in view.items):
        # A calendar has it on its last day, and what follows it from there on.
        say("Days behind work that is open since a past day are told as if it were done today.")


def show_tanks(session: Session, said: argparse.Namespace) -> None:
    """Print the state of each tank."""
    state = session.desk.state()
    words = words_of(state)
    tanks = [replace(tank, stage=effective_stage(state, tank)) for tank in walk(state.household)]
    if said.json:
        say_document(documents.tanks_document(state, words, tanks))
        return
    say(f"{state.household.name}{session.title}, {moment_words(state.moment, state.moment.now)[0]}")
    if tanks:
        rows = [_tank_row(tank, state, words) for tank in tanks]
        say_lines(table(_TANKS, rows, screen_width()))
    else:
        say("There are no tanks yet.")


def _tank_row(tank: Tank, state: HouseholdState, words: Words) -> tuple[str, ...]:
    water: TankWater = state.waters[tank.id]
    return (
        tank.name,
        tank.stage.value,
        "" if water.net is None else words.about_litres(water.net),
        "" if water.loss is None else words.litres_with_span(water.loss),
        level_down(water, words),
        salinity_and_when_full(water, words),
        limit_in_words(water, words),
        lasts_or_reserve(water, words),
        "" if water.flag is None else water.flag.kind.value,
    )


def show_logbook(session: Session, said: argparse.Namespace) -> None:
    """Print what was done, newest first."""
    state = session.desk.state()
    tank = session.tank_or_none(said.tank)
    query = LogQuery(
        tank=None if tank is None else tank.id,
        from_day=None if said.first is None else values.past_day(said.first, state.moment),
        to_day=None if said.last is None else values.past_day(said.last, state.moment),
    )
    view = logbook(session.desk, query)
    words = replace(words_of(state), gone=view.gone)
    if said.json:
        rows = [(row.entry, row.revoked) for row in view.entries]
        say_document(documents.logbook_document(rows, words, view.taken_back))
        return
    if not view.entries:
        say("Nothing is written down for this.")
        return
    ids = [row.entry.id for row in view.entries]
    # A terminal has no room for whole ids; undo takes the shortest beginning as well.
    short = shortest_ids(session.desk, ids) if is_terminal() else {}
    lines = [
        (*_logbook_row(row, view.taken_back, words), short.get(row.entry.id, row.entry.id))
        for row in view.entries
    ]
    say_lines(table(_LOGBOOK, lines, screen_width()))


def _logbook_row(
    row: LoggedEntry, taken_back: Mapping[str, Entry], words: Words
) -> tuple[str, ...]:
    entry = row.entry
    text = entry_text(entry, words, taken_back)
    fate = CORRECTED if row.corrected else revoked_word(entry, taken_back)
    return (
        f"{entry.at.astimezone(words.moment.zone):%Y-%m-%d %H:%M}",
        words.person(entry.by) or "",
        words.tank_name(entry.tank) or "",
        f"{text} ({fate})" if row.revoked else text,
    )
