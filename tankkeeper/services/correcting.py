"""Correcting the logbook: an entry that replaces an earlier one, which stays readable."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from tankkeeper.core.amounts import is_spread
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.fills import is_poured_part
from tankkeeper.core.history import History, sort_valid
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    Note,
    Readings,
    Redefined,
    ReservoirCheck,
    Revoke,
    TopOff,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.state import HouseholdState, Item, fold_household
from tankkeeper.core.turns import State
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Change, Desk, moment_given
from tankkeeper.services.effects import Effects, effects_of
from tankkeeper.services.litres_limits import (
    checked_left,
    checked_litres,
    within_reservoir,
    within_tank,
)
from tankkeeper.services.log_search import LogKind, LogSearch, Place
from tankkeeper.services.mixed_amounts import salted_anew, turns_mixed
from tankkeeper.services.noting import named
from tankkeeper.services.outside_turns import turns_for
from tankkeeper.services.ports import Writing
from tankkeeper.services.taking_back import take_back_all
from tankkeeper.services.tick_facts import checked_change, checked_grams, refuse_doubled
from tankkeeper.services.ticking import checked_note, new_entry, turn_done_at, unclaimed

# What is said of a moment and not of a plan: only this can have happened at another time.
TIMED = (type(None), TopOff, ReservoirCheck, WaterChange, Readings, Dose, Work, Note)
# Choices of this project: a trend forgets what lies further back.
_READ_BEFORE, _REACH = 40, 10_000


@dataclass(frozen=True, slots=True)
class Correction:
    """The whole entry as it should have been; `fact` is of the kind that the entry has."""

    at: datetime
    by: str | None
    fact: Fact | None
    note: str


@dataclass(frozen=True, slots=True)
class Corrected:
    """The new entry, the one in whose place it stands, and what changed by it.

    `rows` are all that were written for it: taking them back lets the old one hold again.
    """

    entry: Entry
    old: Entry
    effects: Effects
    rows: tuple[Entry, ...]


def as_it_is(entry: Entry) -> Correction:
    """Return the correction that changes nothing."""
    return Correction(entry.at, entry.by, entry.fact, entry.note)


def can_move(entry: Entry) -> bool:
    """Tell whether an entry can have happened at another time than it says."""
    return isinstance(entry.fact, TIMED)


def refuse_correction(entry: Entry, *, is_revoked: bool) -> None:
    """Refuse to correct what no longer holds, undos, and changes of what is set down."""
    if isinstance(entry.fact, Revoke):
        raise UserFault("undo_not_corrected")
    if isinstance(entry.fact, Redefined):
        raise UserFault("definition_not_corrected")
    if is_revoked:
        raise UserFault("corrected_already")


def correct(desk: Desk, entry_id: str, said: Correction, by: str | None = None) -> Corrected:
    """Replace an entry by one that says what was so; both stay in the logbook.

    `by` is who corrects it, which `said.by`, who did the work, need not be.
    """
    with desk.store.writing() as writing:
        logged = writing.entry(entry_id)
        if logged is None:
            raise UserFault("no_such_entry", entry=entry_id)
        old = logged.entry
        refuse_correction(old, is_revoked=logged.revoked)
        said = replace(said, note=checked_note(said.note))
        if said == as_it_is(old):
            raise UserFault("nothing_corrected")
        before = desk.state_in(writing)
        wanted = _corrected(desk, writing, before, old, said)
        rows: tuple[Entry, ...] = ()
        if old.replaces is not None:
            # Replaced alone, a correction would let the first entry hold again, beside the new
            # one. So it is taken back, and the new one stands in the place of the first.
            now = before.moment.now
            undo = new_entry(desk, before, None, now, by, (), Revoke(old.id), tank=old.tank)
            rows = (writing.add(undo),)
            wanted = replace(wanted, replaces=old.replaces)
        new = writing.add(wanted)
        after = desk.state_in(writing, before.moment.now)
    rows = (*rows, new)
    desk.tell(Change(rows))
    return Corrected(new, old, effects_of(before, after), rows)


def take_back(desk: Desk, *entry_ids: str, by: str | None = None) -> Corrected:
    """Take entries of one deed back, and tell what changed by it."""
    before = desk.state()
    rows = take_back_all(desk, entry_ids, by)
    with desk.store.reading() as reading:
        logged = reading.entry(entry_ids[-1])
        after = desk.state_in(reading, before.moment.now)
    assert logged is not None
    return Corrected(rows[0], logged.entry, effects_of(before, after), rows)


def _corrected(
    desk: Desk, writing: Writing, state: HouseholdState, old: Entry, said: Correction
) -> Entry:
    if type(said.fact) is not type(old.fact) and not _is_same_pouring(state, old, said.fact):
        raise UserFault("other_kind")
    if said.at != old.at:
        if not can_move(old):
            raise UserFault("plan_not_moved")
        moment_given(state, said.at)
    then = _state_without(state, old, said.at)
    done = replace(old, completes=_still_done(writing, then, old, said.fact))
    day = old.day if said.at == old.at else then.moment.day
    return replace(
        old,
        # Of the present, so that it tells when the correction was made.
        id=desk.ids.new(state.moment.now),
        seq=0,
        at=said.at,
        day=day,
        zone=old.zone if said.at == old.at else state.household.zone,
        by=said.by,
        completes=_turns(writing, then, done) if day != old.day else done.completes,
        fact=_checked(then, old, said.fact),
        note=said.note,
        replaces=old.id,
    )


def _state_without(state: HouseholdState, old: Entry, at: datetime) -> HouseholdState:
    """Return the state at a moment as if the old entry had never been written."""
    history = _without(state.history, old)
    return fold_household(state.household, history, at)


def _without(history: History, old: Entry) -> History:
    kept = {
        one.id: one
        for rows in (
            *history.by_chore.values(),
            *history.water.values(),
            history.pauses,
            *history.restated.values(),
        )
        for one in rows
        if one.id != old.id
    }
    return sort_valid(kept.values())


def without(desk: Desk, state: HouseholdState, old: Entry) -> HouseholdState:
    """Return a state in which the water of an entry's tank is as if it had never been written.

    All else stays as it is: this serves to judge what is to stand in its place.
    """
    if old.tank is None or old.tank not in state.waters:
        return state
    rows = {one.id: one for one in state.history.of_water(old.tank) if one.id != old.id}
    if isinstance(old.fact, Readings):
        # Of readings a state holds the newest alone, which this one may have been.
        rows |= {one.id: one for one in _read_before(desk, old)}
    ordered = sorted(rows.values(), key=lambda one: (one.at, one.seq))
    history = replace(state.history, water={**state.history.water, old.tank: ordered})
    alone = replace(state.household, tanks=(state.household.tank(old.tank),), chores=())
    water = fold_household(alone, history, state.moment.now).waters[old.tank]
    return replace(state, waters={**state.waters, old.tank: water}, history=history)


def _read_before(desk: Desk, old: Entry) -> list[Entry]:
    wanted = LogSearch(tank=old.tank, kind=LogKind.READING)
    with desk.store.reading() as reading:
        found = reading.search(wanted, Place(old.at, old.seq), _READ_BEFORE, _REACH).found
    return [one.entry for one in found if one.revoked_by is None]


def _is_same_pouring(state: HouseholdState, old: Entry, fact: Fact | None) -> bool:
    """Tell whether both are water poured into a reservoir; a part of it is kept as a top-off."""
    tank = state.household.tank(old.tank) if old.tank is not None else None
    if tank is None or not tank.has_automatic_top_off:
        return False
    return all(
        isinstance(one, ReservoirCheck) or is_poured_part(one, tank) for one in (old.fact, fact)
    )


def _still_done(
    writing: Writing, then: HouseholdState, old: Entry, fact: Fact | None
) -> tuple[Turn, ...]:
    """Return the turns that are done where fresh water went further, or less far, than was said.

    As where more or less was mixed.
    What turns out to be a part leaves its turn open; where only a part may go in on one day, that
    is all of its turn. What turns out to be all of it does the turn that was open.
    """
    if isinstance(fact, Work) and isinstance(old.fact, Work) and fact.litres != old.fact.litres:
        turns = turns_mixed(then, old, fact.litres)
        return tuple(one if one in old.completes else unclaimed(writing, one) for one in turns)
    was_full, is_full = _is_full(old.fact), _is_full(fact)
    if was_full is None or is_full is None or was_full == is_full or old.tank is None:
        return old.completes
    if is_full:
        kind = ChoreKind.TOP_OFF if isinstance(fact, TopOff) else ChoreKind.RESERVOIR
        found = old.completes or turns_for(then, then.household.tank(old.tank), kind)
        return tuple(one if one in old.completes else unclaimed(writing, one) for one in found)
    water = then.waters.get(old.tank)
    goes_on = water is not None and is_spread(water) and isinstance(fact, TopOff)
    return old.completes if goes_on else ()


def _is_full(fact: Fact | None) -> bool | None:
    """Tell whether fresh water went to the mark, or until full; None where it is no such work."""
    if isinstance(fact, TopOff):
        return fact.to_mark
    return fact.left_l is None if isinstance(fact, ReservoirCheck) else None


def _turns(writing: Writing, then: HouseholdState, old: Entry) -> tuple[Turn, ...]:
    """Return the turns that the work settles on its other day; a turn of its own stays its own."""
    chores = {one.id: one for one in then.household.chores}
    found = []
    for turn in old.completes:
        chore = chores.get(turn.chore)
        if chore is None or turn.is_part:
            found.append(turn)
            continue
        settled = turn_done_at(then, _item(then, chore, turn))
        found.append(settled if settled == turn else unclaimed(writing, settled))
    return tuple(dict.fromkeys(found))


def _item(then: HouseholdState, chore: Chore, turn: Turn) -> Item:
    tank = then.household.tank(chore.tank) if chore.tank is not None else None
    return Item(turn, State.DUE, chore, tank)


def _checked(then: HouseholdState, old: Entry, fact: Fact | None) -> Fact | None:
    """Return what is to be kept, or refuse it by the same bounds as when it is written down."""
    if isinstance(fact, TopOff) and fact.litres is not None:
        within_tank(then, old.tank, checked_litres(fact.litres))
    elif isinstance(fact, WaterChange):
        if fact.litres is not None:
            checked_litres(fact.litres)
        checked_change(then, old.tank, fact)
    elif isinstance(fact, ReservoirCheck):
        return _check_reservoir(then, old, fact)
    elif isinstance(fact, Readings):
        _check_readings(then, old, fact)
    elif isinstance(fact, Dose):
        _check_grams(fact.grams)
        return replace(fact, of=named(fact.of, "of"))
    elif isinstance(fact, Work):
        if fact.litres is not None:
            checked_litres(fact.litres)
        _check_grams(fact.grams)
        return salted_anew(then, old, fact)
    return fact


def _check_grams(grams: float | None) -> None:
    if grams is not None:
        checked_grams(grams)


def _check_reservoir(then: HouseholdState, old: Entry, fact: ReservoirCheck) -> ReservoirCheck:
    tank = then.household.tank(old.tank) if old.tank is not None else None
    capacity = tank.top_off.reservoir_l if tank is not None else None
    if fact.left_l is not None and tank is not None and capacity is not None:
        left_l = checked_left(tank, fact.left_l, then.household.units.volume)
        fact = replace(fact, left_l=left_l)
    if fact.fill_l is not None:
        within_reservoir(then, old.tank, "fill", fact.fill_l)
    return fact


def _check_readings(then: HouseholdState, old: Entry, fact: Readings) -> None:
    """Refuse a session without values, and one that misses what its tests ask for."""
    if not fact.values:
        raise UserFault("no_values")
    refuse_doubled(fact.values)
    given = {value.parameter for value in fact.values}
    done = {turn.chore for turn in old.completes}
    for chore in then.household.chores:
        if chore.id in done and chore.kind is ChoreKind.TEST:
            missing = tuple(name for name in chore.tests if name not in given)
            if missing:
                raise UserFault("needs_values", chore=chore.name, missing=missing)
