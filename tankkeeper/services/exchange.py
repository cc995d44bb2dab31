"""Taking a household or a tank out as text, and putting it in again, all or nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from tankkeeper.core.chores import AfterLastDone, Chore, Once
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import brought_with, chores_of, history_of
from tankkeeper.core.household import Household, Person, Supply, Tank
from tankkeeper.core.logbook import (
    Entry,
    How,
    PutOff,
    Redefined,
    Revoke,
    Shift,
    Skip,
    StockChange,
    Thing,
)
from tankkeeper.core.moment import moment_of
from tankkeeper.core.state import Item, fold_household
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.finding import find_item, items_of_chore
from tankkeeper.services.moving import skip_counts_from
from tankkeeper.services.ports import LogQuery, Reading, Writing
from tankkeeper.services.round import place_at_end, walk
from tankkeeper.services.tank_file import (
    Document,
    TankFile,
    is_tank_file,
    read_tank_addition,
    read_tank_file,
    write_household,
    write_tank,
)
from tankkeeper.services.ticking import new_entry
from tankkeeper.services.watching import Step, Watch, unwatched, watched


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import brought: tanks and chores that are new, and how many entries.

    `backup` holds what was there before, where there was something; `row` is what undo takes back.
    """

    tanks: tuple[Tank, ...]
    chores: tuple[Chore, ...]
    entries: int
    is_whole: bool
    backup: Path | None = None
    row: Entry | None = None


def export_household(desk: Desk, watch: Watch = unwatched) -> str:
    """Return the whole household with its log as the text of a tank file."""
    with desk.store.reading() as reading:
        entries = _everything(reading, watch)
        named = _with_all_named(desk.household(reading), entries)
        return write_household(named, entries, watch)


def export_tank(desk: Desk, tank: Tank, watch: Watch = unwatched) -> str:
    """Return one tank with its log as the text of a tank file."""
    with desk.store.reading() as reading:
        entries = _everything(reading, watch)
        named = _with_all_named(desk.household(reading), entries)
        return write_tank(named, tank.id, entries, watch)


def import_text(
    desk: Desk,
    text: str | Document,
    by: str | None = None,
    *,
    looks_on: bool = False,
    watch: Watch = unwatched,
) -> Imported:
    """Put a household into an empty one, or add a tank; nothing is changed when it is refused.

    What was there is backed up before, and undo takes the import back with all that it brought:
    the row that says so stands behind its rows in the log. What an empty household is filled with
    gets such a row where somebody `looks_on`; elsewhere the household begins with the file.
    """
    text = Document.of(text)
    backup = None
    if is_tank_file(text):
        with desk.store.reading() as reading:
            plan = _planned_addition(desk, text, reading, watch)
        if not plan.onto_empty:
            backup = desk.store.backup_before_import()
        imported = replace(_add_tank(desk, text, plan, by, watch, looks_on=looks_on), backup=backup)
    else:
        found = household_in(desk, text, watch)
        imported = _fill(desk, found, by, watch, looks_on=looks_on)
    desk.tell(Change(None))
    return imported


@dataclass(frozen=True, slots=True)
class Planned:
    """What an import would make of the household there is; nothing is written yet."""

    before: Household
    after: Household
    tanks: tuple[Tank, ...]
    chores: tuple[Chore, ...]
    entries: tuple[Entry, ...]
    onto_empty: bool
    taken: frozenset[str] = frozenset()


def planned_import(desk: Desk, text: str | Document, watch: Watch = unwatched) -> Planned:
    """Return what importing a text would come to; it is refused as the import would be."""
    text = Document.of(text)
    found = None if is_tank_file(text) else household_in(desk, text, watch)
    with desk.store.reading() as reading:
        if found is None:
            return _planned_addition(desk, text, reading, watch)
        present = reading.household()
        if present.tanks or present.chores or reading.entries(LogQuery(limit=1)):
            raise UserFault("not_empty", household=present.name)
    house = found.household
    return Planned(present, house, house.tanks, house.chores, found.entries, onto_empty=True)


def _planned_addition(
    desk: Desk, text: Document, reading: Reading, watch: Watch, plan: Planned | None = None
) -> Planned:
    """Return what adding a tank comes to; a plan made before, where nobody wrote since."""
    present = reading.household()
    moment = moment_of(present, desk.clock.now())
    taken = frozenset(reading.entry_ids())
    if plan is not None and (plan.before, plan.taken) == (present, taken):
        return plan
    is_empty = not (present.tanks or present.chores or taken)
    found = read_tank_addition(
        text,
        present,
        now=moment.now,
        today=moment.day,
        taken_entries=taken,
        onto_empty=is_empty,
        watch=watch,
    )
    if not found.tanks and not is_empty:
        raise UserFault("no_tank_in_file")
    household, entries = found.household, found.entries
    if not is_empty:
        household = _walked_last(present, household, found.tanks)
        new = {one.id for one in found.tanks}
        found = replace(found, tanks=tuple(one for one in household.tanks if one.id in new))
    return Planned(present, household, found.tanks, found.chores, entries, is_empty, taken)


def _walked_last(before: Household, after: Household, tanks: Sequence[Tank]) -> Household:
    """Return a household whose added tanks come last in the walk, in the order of their own.

    Their places count in the household that they come from, not in this one.
    """
    order = {one.id: at for at, one in enumerate(walk(replace(before, tanks=tuple(tanks))))}
    first = place_at_end(before)
    placed = tuple(
        replace(one, walk_order=None if first is None else first + order[one.id])
        if one.id in order
        else one
        for one in after.tanks
    )
    return replace(after, tanks=placed)


def household_in(desk: Desk, text: str | Document, watch: Watch = unwatched) -> TankFile:
    """Return what the text of a whole household says, checked."""
    with desk.store.reading() as reading:
        present = desk.household(reading)
    moment = moment_of(present, desk.clock.now())
    return read_tank_file(
        text, now=moment.now, today=moment.day, usual_zone=present.zone, watch=watch
    )


def fill(desk: Desk, household: Household, entries: Sequence[Entry]) -> Imported:
    """Put a household with its log into an empty one."""
    return _fill(desk, TankFile(household, tuple(entries)))


def _fill(
    desk: Desk,
    found: TankFile,
    by: str | None = None,
    watch: Watch = unwatched,
    *,
    looks_on: bool = False,
) -> Imported:
    household = found.household
    with desk.store.writing() as writing:
        present = writing.household()
        if present.tanks or present.chores or writing.entries(LogQuery(limit=1)):
            raise UserFault("not_empty", household=present.name)
        said = Redefined(How.IMPORTED, Thing.HOUSEHOLD, household.name) if looks_on else None
        brought = watched(settled(household, found.entries), Step.WRITING, watch)
        row = _write(desk, writing, household, brought, said, by)
    entries = len(found.entries)
    return Imported(household.tanks, household.chores, entries, is_whole=True, row=row)


def _add_tank(
    desk: Desk, text: Document, plan: Planned, by: str | None, watch: Watch, *, looks_on: bool
) -> Imported:
    with desk.store.writing() as writing:
        found = _planned_addition(desk, text, writing, watch, plan)
        said = None
        if looks_on or not found.onto_empty:
            names = ", ".join(tank.name for tank in found.tanks)
            said = Redefined(How.IMPORTED, Thing.TANK, names)
        tank = found.tanks[0].id if len(found.tanks) == 1 else None
        brought = watched(settled(found.after, found.entries), Step.WRITING, watch)
        row = _write(desk, writing, found.after, brought, said, by, tank)
    entries, is_whole = len(found.entries), not found.tanks
    return Imported(found.tanks, found.chores, entries, is_whole=is_whole, row=row)


def _with_all_named(household: Household, entries: Sequence[Entry]) -> Household:
    """Return the household with people and supplies that were taken out but the log still names."""
    people = {one.id for one in household.people}
    supplies = {one.id for one in household.supplies}
    by = [one.by for one in entries if one.by is not None and one.by not in people]
    of = [one.fact.of for one in entries if isinstance(one.fact, StockChange)]
    gone = [one for one in of if one and one not in supplies]
    return replace(
        household,
        people=(*household.people, *(Person(one, one) for one in dict.fromkeys(by))),
        supplies=(*household.supplies, *(Supply(one, one) for one in dict.fromkeys(gone))),
    )


def _everything(reading: Reading, watch: Watch) -> list[Entry]:
    """Return the log as a file holds it: without changes of what the file sets down itself.

    What was only written of tanks and chores that an undo took away goes with them, and so does
    all that an import brought which was taken back.
    """
    household = reading.household()
    watch(Step.READING, 0, 0)
    rows = reading.entries(LogQuery())
    undone = {seq for row in rows if row.revoked for seq in brought_with(row.entry)}
    tanks = {one.id for one in household.tanks}
    chores = {one.id for one in household.chores}
    left_out: set[str] = set()
    kept: list[Entry] = []
    for entry in reversed([row.entry for row in rows]):
        fact = entry.fact
        is_of_change = isinstance(fact, Redefined) or (
            isinstance(fact, Revoke) and fact.entry in left_out
        )
        is_of_gone = entry.tank not in (None, *tanks) or not chores.issuperset(chores_of(entry))
        if is_of_change or is_of_gone or entry.seq in undone:
            left_out.add(entry.id)
        else:
            kept.append(replace(entry, replaces=None) if entry.replaces in left_out else entry)
    return kept


def _write(
    desk: Desk,
    writing: Writing,
    household: Household,
    brought: Iterable[Entry],
    said: Redefined | None,
    by: str | None,
    tank: str | None = None,
) -> Entry | None:
    """Write what came in, and behind it the row that says so, if one is to."""
    if said is None:
        writing.save_household(household)
        for entry in brought:
            writing.add(entry)
        return None
    state = desk.state_in(writing)
    row = new_entry(desk, state, None, state.moment.now, by, (), said, tank=tank)
    return writing.redefine(row, household, brought)


# moves that do not say which turn they mean


def settled(household: Household, entries: Sequence[Entry]) -> list[Entry]:
    """Return entries in which every skip, put-off and shift names its turn.

    One written by hand may leave it out; then the turn is meant that was open at that moment, by
    the entries before it.
    """
    done: list[Entry] = []
    for entry in entries:
        is_vague = _is_vague(household, entry)
        done.append(_settled(household, entry, done) if is_vague else entry)
    return done


def _is_vague(household: Household, entry: Entry) -> bool:
    fact = entry.fact
    if not isinstance(fact, (Skip, PutOff, Shift)):
        return False
    if not fact.turn.key:
        return True
    return isinstance(fact, Skip) and fact.counts_from is None and _is_counted(household, fact)


def _is_counted(household: Household, fact: Skip) -> bool:
    rhythms = [one.rhythm for one in household.chores if one.id == fact.turn.chore]
    return any(isinstance(rhythm, (AfterLastDone, Once)) for rhythm in rhythms)


def _settled(household: Household, entry: Entry, before: Sequence[Entry]) -> Entry:
    fact = entry.fact
    assert isinstance(fact, (Skip, PutOff, Shift))
    state = fold_household(household, history_of(before), entry.at)
    if fact.turn.key:
        item = find_item(state, fact.turn.id)
    elif fact.turn.slot is not None:
        items = items_of_chore(state, fact.turn.chore)
        item = next((one for one in items if _is_slot(one, fact)), None)
    else:
        item = find_item(state, fact.turn.chore)
    if item is None or item.open is None or item.entry is not None:
        # Nothing was open then; the entry stays as it was written.
        return entry
    if isinstance(fact, PutOff):
        stood_on = fact.stood_on or item.open.target
        return replace(entry, fact=PutOff(item.turn, fact.to, stood_on))
    if isinstance(fact, Shift):
        return replace(entry, fact=replace(fact, turn=item.turn))
    counts_from = fact.counts_from or skip_counts_from(state, item)
    return replace(entry, fact=Skip(item.turn, counts_from))


def _is_slot(item: Item, fact: Skip | PutOff | Shift) -> bool:
    return item.entry is None and item.turn.slot == fact.turn.slot
