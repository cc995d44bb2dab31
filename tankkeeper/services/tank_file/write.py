"""Writes a household, or one tank of it, as the text of a tank file."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from tankkeeper.core.chores import Chore, Condition, WhenWaterSays
from tankkeeper.core.history import chores_of
from tankkeeper.core.household import Household
from tankkeeper.core.ids import chore_slug
from tankkeeper.core.logbook import Entry, Pause, Resume, Revoke, StockChange
from tankkeeper.services.tank_file import write_chores, write_house, write_tanks
from tankkeeper.services.tank_file.gather import FORMAT, VERSION
from tankkeeper.services.tank_file.layout import clock, table, text
from tankkeeper.services.tank_file.naming import id_maker, needed_ids
from tankkeeper.services.tank_file.words import Words
from tankkeeper.services.tank_file.write_log import LogWriter
from tankkeeper.services.watching import Watch, unwatched


def write_household(
    household: Household, entries: Iterable[Entry], watch: Watch = unwatched
) -> str:
    """Return a whole household with its log as text; equal content gives equal text."""
    return _write(household, list(entries), write_house.basics(household), watch)


def write_tank(
    household: Household, tank_id: str, entries: Iterable[Entry], watch: Watch = unwatched
) -> str:
    """Return one tank with what it needs and its log, to be added to another household.

    Its room, the people, supplies and household chores that its chores or its log name go along.
    """
    kept = _entries_of(household, tank_id, entries)
    part = _part(household, tank_id, kept)
    origin = table(
        "[origin]",
        [("zone", text(household.zone)), ("day_begins", clock(household.day_begins))],
    )
    return _write(part, kept, origin, watch)


def _write(household: Household, entries: Sequence[Entry], head: list[str], watch: Watch) -> str:
    blocks = [[f'format = "{FORMAT}"', f"version = {VERSION}"], head, *_blocks(household)]
    lines: list[str] = []
    for block in blocks:
        lines += [*block, ""]
    lines.pop()
    log = LogWriter(Words(household), household.zone, household.day_begins)
    lines += log.write(entries, watch)
    return "\n".join(lines) + "\n"


def _blocks(household: Household) -> list[list[str]]:
    """Return the tables of a household in their fixed order."""
    words = Words(household)
    people = _ids("person", [(one.name, one.id) for one in household.people])
    rooms = _ids("room", [(one.name, one.id) for one in household.rooms])
    tanks = _ids("tank", [(one.name, one.id) for one in household.tanks])
    supplies = _ids("supply", [(one.name, one.id) for one in household.supplies])
    return [
        *map(write_house.person, household.people, people),
        *map(write_house.room, household.rooms, rooms),
        *write_house.means(household),
        *(
            write_tanks.tank(one, given, words.room(one.room))
            for one, given in zip(household.tanks, tanks, strict=True)
        ),
        *(write_tanks.equipment(one, words.tank(one.tank)) for one in household.equipment),
        *(
            write_chores.chore(one, given, words)
            for one, given in zip(household.chores, _chore_ids(household.chores), strict=True)
        ),
        *(write_tanks.animal(one, words.tank(one.tank)) for one in household.animals),
        *map(write_house.supply, household.supplies, supplies),
    ]


def _ids(kind: str, rows: Sequence[tuple[str, str]]) -> list[str | None]:
    """Return the ids that must stand in the file, None where the name gives the id."""
    make = id_maker(kind, [name for name, _ in rows])
    return needed_ids([one_id for _, one_id in rows], make)


def _chore_ids(chores: Sequence[Chore]) -> list[str | None]:
    return needed_ids(
        [one.id for one in chores],
        lambda at, held: chore_slug(chores[at].tank, chores[at].name, held),
    )


# one tank of a household


def _entries_of(household: Household, tank_id: str, entries: Iterable[Entry]) -> list[Entry]:
    """Return the entries that tell of a tank, and the undos and corrections of these."""
    own = {chore.id for chore in household.chores if chore.tank == tank_id}
    kept: list[Entry] = []
    ids: set[str] = set()
    others = {chore.id for chore in household.chores if chore.tank not in (None, tank_id)}
    for entry in sorted(entries, key=lambda one: one.seq):
        seen = _seen_from(entry, tank_id, own, ids)
        if seen is not None:
            done = tuple(turn for turn in seen.completes if turn.chore not in others)
            kept.append(replace(seen, completes=done))
            ids.add(entry.id)
    return kept


def _seen_from(
    entry: Entry, tank_id: str, own: Collection[str], ids: Collection[str]
) -> Entry | None:
    """Return an entry as it looks from one tank, None when it does not concern it.

    A correction that moved an entry to another tank is an undo here, and a new entry there.
    """
    is_own = _tells_of(entry, tank_id, own)
    if isinstance(entry.fact, Revoke):
        return entry if entry.fact.entry in ids else None
    if entry.replaces is None or entry.replaces in ids:
        if is_own:
            return entry
        if entry.replaces is None:
            return None
        undo = Revoke(entry.replaces)
        return replace(entry, tank=tank_id, completes=(), fact=undo, replaces=None)
    return replace(entry, replaces=None) if is_own else None


def _tells_of(entry: Entry, tank_id: str, chores: Collection[str]) -> bool:
    if entry.tank is not None:
        return entry.tank == tank_id
    paused = entry.fact.chore if isinstance(entry.fact, (Pause, Resume)) else None
    return paused in chores or any(chore in chores for chore in chores_of(entry))


def _part(household: Household, tank_id: str, entries: Sequence[Entry]) -> Household:
    """Return the household cut down to one tank and what it names."""
    tank = household.tank(tank_id)
    chores = _chores_of(household, tank_id, entries)
    people = {who for chore in chores for who in chore.who} | {one.by for one in entries}
    supplies = {use.supply for chore in chores for use in chore.uses}
    supplies |= {_stock_of(chore) for chore in chores}
    supplies |= {one.fact.of for one in entries if isinstance(one.fact, StockChange)}
    return replace(
        household,
        people=tuple(one for one in household.people if one.id in people),
        rooms=tuple(one for one in household.rooms if one.id == tank.room),
        containers=(),
        water_supply=None,
        salt_mix=None,
        tanks=(tank,),
        chores=chores,
        equipment=tuple(one for one in household.equipment if one.tank == tank_id),
        animals=tuple(one for one in household.animals if one.tank == tank_id),
        supplies=tuple(one for one in household.supplies if one.id in supplies),
    )


def _stock_of(chore: Chore) -> str:
    """Return the supply whose stock decides when a chore is due, empty when none does."""
    rhythms = (chore.rhythm, *(old.rhythm for old in chore.earlier))
    for rhythm in rhythms:
        if isinstance(rhythm, WhenWaterSays) and rhythm.condition is Condition.STOCK:
            return rhythm.of or ""
    return ""


def _chores_of(household: Household, tank_id: str, entries: Sequence[Entry]) -> tuple[Chore, ...]:
    """Return the chores of a tank, and those of the household that they or the log name."""
    named = {chore for entry in entries for chore in chores_of(entry)}
    kept = {one.id for one in household.chores if one.tank == tank_id or one.id in named}
    house = {one.name: one for one in household.chores if one.tank is None}
    waiting = [one for one in household.chores if one.id in kept]
    while waiting:
        for name in waiting.pop().ready_before:
            needed = house.get(name)
            if needed is not None and needed.id not in kept:
                kept.add(needed.id)
                waiting.append(needed)
    return tuple(one for one in household.chores if one.id in kept)
