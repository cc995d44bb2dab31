"""Pumps and heater that work had switched off, until somebody says that they run again.

Nothing is stored for it but the logbook: the tick of such work begins the wait, a note that says
"Switched on again" ends it. So it outlives the program, and whatever is taken back takes its
part along: without the tick nothing waits, without the note it waits on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from types import MappingProxyType

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import Entry, Note, WaterChange
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.noting import Noted, Stamp, log_note
from tankkeeper.services.ports import LogQuery

SWITCHED_ON = "Switched on again"
SWITCHED_OFF = "Switched off for"
# Work in these cautions the heater or the pump to be unplugged first; a chore of another kind
# counts where its own caution says so.
_OFF_KINDS = frozenset({ChoreKind.WATER_CHANGE, ChoreKind.SUBSTRATE, ChoreKind.SERVICE})
_OFF_WORDS = ("unplug", "switch off", "switched off", "turn off")
# Longer than somebody is away without a word; nobody answers for a pump of longer ago.
LOOKED_BACK = timedelta(days=7)
# Common practice, no source: time to carry the buckets away after the tick.
AFTER_TICK = timedelta(minutes=15)
USUAL_MINUTES = 30


@dataclass(frozen=True, slots=True)
class Off:
    """Work that had something switched off: its chore in words, empty where it names none.

    `gear` is the one piece that it takes from the mains, empty where that is not known.
    """

    work: str
    at: datetime
    is_begun: bool = False
    gear: str = ""


@dataclass(frozen=True, slots=True)
class Restart:
    """A tank whose pumps and heater may still be off.

    `entry` is the newest row that says so, `works` all the work since the pumps were known to run,
    oldest first and each once, `due_at` when it is time to be reminded.
    """

    tank: Tank
    entry: Entry
    works: tuple[Off, ...]
    due_at: datetime


def switches_off(chore: Chore) -> bool:
    """Tell whether work on a tank has its pumps or heater switched off."""
    if chore.tank is None:
        return False
    own = chore.caution.casefold()
    return chore.kind in _OFF_KINDS or any(word in own for word in _OFF_WORDS)


def gear_switched_off(chore: Chore, household: Household) -> str:
    """Return the one piece of gear that work takes from the mains, empty where nobody says so.

    It is that of its tank which the name of the work tells: the skimmer of "Empty the skimmer cup".
    Work on the water has heater and pumps off, as has whatever its caution says that of.
    """
    if chore.kind in (ChoreKind.WATER_CHANGE, ChoreKind.SUBSTRATE):
        return ""
    name, caution = f" {chore.name.casefold()} ", chore.caution.casefold()
    named = {
        one.called
        for one in household.equipment
        if one.tank == chore.tank and one.called and f" {one.called.casefold()} " in name
    }
    if len(named) != 1 or "heater" in f"{name}{caution}" or "pumps" in caution:
        return ""
    return named.pop()


def restarts_of(
    state: HouseholdState,
    entries: Iterable[Entry],
    since: datetime | None = None,
    firsts: Mapping[str, Entry] = MappingProxyType({}),
) -> tuple[Restart, ...]:
    """Return the tanks that wait, in walking order; `entries` are the valid ones in any order.

    Rows before `since` are left out, and those of more than a week ago. `firsts` holds, by id, the
    entries in whose place corrections stand.
    """
    farthest = state.moment.now - LOOKED_BACK
    first = farthest if since is None else max(farthest, since)
    chores = {chore.id: chore for chore in state.household.chores}
    waiting: dict[str, list[_Row]] = {}
    answers: dict[str, list[_Place]] = {}
    for entry in sorted((one for one in entries if one.at >= first), key=lambda one: one.seq):
        place = _place(entry, firsts)
        if isinstance(entry.fact, Note) and entry.note == SWITCHED_ON:
            answers.setdefault(entry.tank or "", []).append(place)
            continue
        found = _off(state, entry, chores)
        if found is not None:
            tank_id, work, minutes, gear = found
            waiting.setdefault(tank_id, []).append((entry, place, work, minutes, gear))
    tanks = sorted(state.household.tanks, key=lambda one: (one.walk_order is None, one.walk_order))
    found_rows = ((tank, _unanswered(waiting, answers, tank)) for tank in tanks)
    return tuple(_restart(tank, rows) for tank, rows in found_rows if rows)


def _unanswered(
    waiting: Mapping[str, Sequence[_Row]], answers: Mapping[str, Sequence[_Place]], tank: Tank
) -> list[_Row]:
    """Return the rows of a tank behind which nobody said that pumps and heater are on again."""
    said = answers.get(tank.id, ())
    rows = (row for row in waiting.get(tank.id, ()) if not any(_ends(one, row[1]) for one in said))
    return sorted(rows, key=lambda row: row[1].seq)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a row stands among the others: a correction where that stands which it replaces.

    One that `is_moved` says that it was at another time, and by that alone it is placed.
    """

    seq: int
    at: datetime
    is_moved: bool = False


def _place(entry: Entry, firsts: Mapping[str, Entry]) -> _Place:
    if entry.replaces is None:
        return _Place(entry.seq, entry.at)
    first = firsts.get(entry.replaces)
    if first is None or first.at != entry.at:
        return _Place(entry.seq, entry.at, is_moved=True)
    return _Place(first.seq, entry.at)


def _ends(answer: _Place, work: _Place) -> bool:
    """Tell whether it was said behind some work that all is on again."""
    if answer.is_moved or work.is_moved:
        return answer.at >= work.at
    return answer.seq > work.seq


# A row that says that something is off: with its place, work, minutes and gear.
_Row = tuple[Entry, _Place, str, int | None, str]


def _off(
    state: HouseholdState, entry: Entry, chores: dict[str, Chore]
) -> tuple[str, str, int | None, str] | None:
    """Return tank, work, minutes and gear where a row says that something is switched off.

    Minutes are None where the work is done. Work written down later, at the usual hour of the
    round, is left out: whoever does that does not stand beside a tank without a pump.
    """
    if isinstance(entry.fact, Note) and entry.note.startswith(f"{SWITCHED_OFF} "):
        name = entry.note.removeprefix(f"{SWITCHED_OFF} ")
        if entry.tank is None:
            return None
        here = (one for one in chores.values() if (one.tank, one.name) == (entry.tank, name))
        begun = next(here, None)
        if begun is None:
            return entry.tank, name, USUAL_MINUTES, ""
        gear = gear_switched_off(begun, state.household)
        return entry.tank, name, begun.minutes or USUAL_MINUTES, gear
    if state.moment.is_round(entry.at):
        return None
    for turn in entry.completes:
        chore = chores.get(turn.chore)
        if chore is not None and chore.tank is not None and switches_off(chore):
            return chore.tank, chore.name, None, gear_switched_off(chore, state.household)
    if isinstance(entry.fact, WaterChange) and not entry.completes and entry.tank is not None:
        return entry.tank, "", None, ""
    return None


def _restart(tank: Tank, rows: Sequence[_Row]) -> Restart:
    entry, _, _, minutes, _ = rows[-1]
    wait = AFTER_TICK if minutes is None else timedelta(minutes=minutes)
    # Work that was begun and then done is one, told by how it stands now.
    newest = {
        work: Off(work, one.at, begun is not None, gear) for one, _, work, begun, gear in rows
    }
    works = tuple(sorted(newest.values(), key=lambda off: off.at))
    return Restart(tank, entry, works, entry.at + wait)


def read_restarts(
    desk: Desk, state: HouseholdState, since: datetime | None = None
) -> tuple[Restart, ...]:
    """Return the tanks that wait, by the logbook of the last days."""
    first = state.moment.day - LOOKED_BACK - timedelta(days=1)
    with desk.store.reading() as reading:
        rows = reading.entries(LogQuery(from_day=first))
    valid = [row.entry for row in rows if not row.revoked]
    return restarts_of(state, valid, since, {row.entry.id: row.entry for row in rows})


def switch_off(desk: Desk, chore: Chore, tank: Tank, by: str | None = None) -> Noted:
    """Write down that work begins for which pumps or heater were switched off."""
    return log_note(desk, f"{SWITCHED_OFF} {chore.name}", tank, Stamp(by=by))


def switch_on(
    desk: Desk, tank: Tank | None, by: str | None = None, since: datetime | None = None
) -> Noted | None:
    """Write down that pumps and heater of a tank run again, None where it waits for that no more.

    Without a tank it is the first one that waits.
    """
    waiting = [one.tank for one in read_restarts(desk, desk.state(), since)]
    found = next((one for one in waiting if tank is None or one.id == tank.id), None)
    return None if found is None else log_note(desk, SWITCHED_ON, found, Stamp(by=by))
