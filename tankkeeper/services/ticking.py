"""Ticking: saying that a turn was done, with what was measured."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date, datetime

from tankkeeper.core.chores import FRESH_KINDS, Calendar, Chore
from tankkeeper.core.counted_turns import is_skip_of
from tankkeeper.core.errors import UserFault
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.logbook import (
    BESIDE,
    Entry,
    Fact,
    Readings,
    Skip,
    Turn,
    Work,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.pauses import spans_for
from tankkeeper.core.schedule import EXTRA, turns_of
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.core.values import dataclass
from tankkeeper.services.dated_turns import meant_on_day
from tankkeeper.services.desk import Change, Desk, moment_given
from tankkeeper.services.fed import Fed
from tankkeeper.services.finding import find_item, past_beside
from tankkeeper.services.fresh_fills import (
    Extent,
    leaves_open,
)
from tankkeeper.services.lapsed import lapsed_item
from tankkeeper.services.mixed_amounts import as_part, leaves_rest
from tankkeeper.services.ports import Writing
from tankkeeper.services.reading_turns import done_by_readings
from tankkeeper.services.tick_facts import fact_of


@dataclass(frozen=True, slots=True)
class Tick:
    """What somebody says who did an item.

    `item` is an item id or a chore id, `by` a person's id. `as_proposed` accepts the proposed
    litres unmeasured: `proposed_l`, which were shown, or those of the moment `at` where it is None.
    `grams` are those of a dose, None for as many as the chore states. `extent` tells how far fresh
    water went, or whether all was mixed, None as far as a bare tick or the litres mean; `fed` what
    was given at a feeding. `may_be_extra` keeps a tick of a day gone by as work of its own where
    that day has its completion already; one that tells an amount, a value or a note is kept so
    anyway. `is_besides` keeps it as work of its own where the turn itself was done already.
    """

    item: str
    at: datetime | None = None
    by: str | None = None
    litres: float | None = None
    grams: float | None = None
    added_l: float | None = None
    salinity: float | None = None
    temperature_c: float | None = None
    values: tuple[ReadingValue, ...] = ()
    as_proposed: bool = False
    proposed_l: float | None = None
    extent: Extent | None = None
    fed: Fed | None = None
    note: str = ""
    may_be_extra: bool = False
    is_besides: bool = False

    @property
    def is_bare(self) -> bool:
        """Whether it says only that the work was done, so that twice is no more than once."""
        said = (self.litres, self.grams, self.salinity, self.extent, self.fed)
        return not (
            self.may_be_extra
            or any(one is not None for one in said)
            or self.values
            or self.note.strip()
        )


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a tick came to: a new entry, or the one that had done it already.

    `stays_open` tells that only a part was done, which completes nothing. Of the work that is
    extra, `is_beside` is what can never count for a turn: none was open then.
    """

    chore: Chore
    entry: Entry
    was_done_already: bool = False
    is_extra: bool = False
    stays_open: bool = False

    @property
    def is_beside(self) -> bool:
        """Whether it was kept beside the turns of its chore."""
        return any(turn.is_beside for turn in self.entry.completes)


def tick(desk: Desk, ticks: Sequence[Tick], *, keeps_told: bool = False) -> tuple[Outcome, ...]:
    """Mark items as done, all or none, and return what each came to.

    The readings of one do the other open tests that they answer, too, as logged ones do; those that
    are ticked besides get their own. Where `keeps_told`, what was told of work that somebody did
    already is refused (UserFault "done_meanwhile") instead of being left out.
    """
    chores = {one.item.partition("@")[0] for one in ticks}
    with desk.store.writing() as writing:
        outcomes = tuple(_tick_one(desk, writing, one, chores) for one in ticks)
        for one, outcome in zip(ticks, outcomes, strict=True):
            if keeps_told and outcome.was_done_already and not one.is_bare:
                chore = outcome.chore
                raise UserFault(
                    "done_meanwhile",
                    item=one.item,
                    chore=chore.name,
                    kind=chore.kind,
                    entry=outcome.entry,
                )
    new = tuple(one.entry for one in outcomes if not one.was_done_already)
    if new:
        desk.tell(Change(new))
    return outcomes


def _tick_one(desk: Desk, writing: Writing, one: Tick, ticked: Collection[str]) -> Outcome:
    state = desk.state_in(writing)
    at = moment_given(state, one.at)
    item = _line_meant(state, one)
    if item is None:
        # Somebody may hold its name who did that of a later day.
        missed = lapsed_item(state, one.item, at)
        if missed is not None and is_free(writing, missed.turn, state.moment.day_of(at)):
            return _tick_lapsed(desk, writing, state, missed, replace(one, at=at), ticked)
    if item is None:
        return _done_or_unknown(state, writing, one.item)
    closed = None if _is_besides(item, one) else _closed_already(item, one)
    if closed is not None:
        return closed
    then = state if at == state.moment.now else desk.state_in(writing, at)
    turn = turn_of_line(then, item)
    if "@" in one.item and (early := too_early(then, item)) is not None:
        # Who names only the chore says that it was done, whichever turn that does.
        raise early
    if one.is_bare and then.moment.day < state.moment.day:
        meant = meant_on_day(writing, state, item, turn, at)
        if meant.done_by is not None:
            return Outcome(item.chore, meant.done_by, was_done_already=True)
        turn, at = meant.turn, meant.at
    fact = fact_of(then, item, one, turn)
    if one.fed is not None:
        one = replace(one, note=one.fed.noted(one.note, is_weighed=isinstance(fact, Work)))
    if _is_part(then, item, turn, one):
        entry = new_entry(desk, then, item.chore, at, one.by, (), fact, one.note)
        return Outcome(item.chore, writing.add(as_part(entry, item)), stays_open=True)
    turn = unclaimed(writing, turn)
    outcome = _done(desk, writing, then, item, turn, fact, replace(one, at=at), ticked)
    return replace(outcome, is_extra=turn.is_extra)


def _line_meant(state: HouseholdState, one: Tick) -> Item | None:
    """Return the line that a tick is of; what work beside the turns tells is work of its own."""
    item = find_item(state, one.item)
    if item is None or "@" in one.item or one.is_bare:
        return item
    return past_beside(state, item)


def _is_besides(item: Item, one: Tick) -> bool:
    """Tell whether a turn that was done already is said to be done once more."""
    return one.is_besides and item.entry is not None and item.state is not State.SKIPPED


def _is_part(then: HouseholdState, item: Item, turn: Turn, one: Tick) -> bool:
    """Tell whether a turn stays open after what was said: only one that is done by it can.

    Of work beside the turns nothing is left; of other extra work, only where somebody says so.
    """
    if turn.is_beside:
        return False
    if leaves_open(then, item, one.extent):
        return True
    litres = None if turn.is_extra else one.litres
    return leaves_rest(then, item, litres, one.extent)


def _done(
    desk: Desk,
    writing: Writing,
    then: HouseholdState,
    item: Item,
    turn: Turn,
    fact: Fact | None,
    one: Tick,
    ticked: Collection[str],
) -> Outcome:
    """Write down a turn as done, and with its readings the other open tests that they answer."""
    assert one.at is not None
    turns = [turn]
    if isinstance(fact, Readings):
        but = {item.chore.id, *ticked}
        also = done_by_readings(writing, then, item.chore.tank, fact, but)
        turns += [unclaimed(writing, other.turn) for other in also]
    new = new_entry(desk, then, item.chore, one.at, one.by, tuple(turns), fact, one.note)
    return Outcome(item.chore, writing.add(new))


def _closed_already(item: Item, one: Tick) -> Outcome | None:
    """Return who did a turn already, or refuse one that was skipped; None where it is to do.

    Readings of a test that others did are none the less true, and kept as extra.
    """
    entry = item.entry
    if entry is None:
        return None
    if item.state is State.SKIPPED:
        raise UserFault("skipped_already", item=one.item, chore=item.chore.name)
    by_others = not entry.completes or entry.completes[0].chore != item.chore.id
    if one.values and by_others and isinstance(entry.fact, Readings):
        return None
    return Outcome(item.chore, entry, was_done_already=True)


def is_free(writing: Writing, missed: Turn, day: date) -> bool:
    """Tell whether nobody did a turn on its day, though one of a later day may hold its name."""
    holder = writing.holder_of(missed.id)
    return holder is None or holder.day > day


def _tick_lapsed(
    desk: Desk,
    writing: Writing,
    state: HouseholdState,
    item: Item,
    one: Tick,
    ticked: Collection[str],
) -> Outcome:
    """Write down a turn that is over.

    What it takes is stated, so today's state says it all; but fresh water was missing as of then.
    """
    assert one.at is not None
    turn = unclaimed(writing, item.turn)
    is_fresh = item.chore.kind in FRESH_KINDS
    then = desk.state_in(writing, one.at) if is_fresh else state
    fact = fact_of(then, item, one, turn)
    if isinstance(fact, Readings):
        then = desk.state_in(writing, one.at)
    return _done(desk, writing, then, item, turn, fact, one, ticked)


def _done_or_unknown(state: HouseholdState, writing: Writing, wanted: str) -> Outcome:
    """Return who did a turn that stands in no list any more, or refuse one that never was."""
    chore_id, _, key = wanted.partition("@")
    chore = next(one for one in state.household.chores if one.id == chore_id)
    holder = None
    if key.startswith(EXTRA):
        logged = writing.entry(key.removeprefix(EXTRA))
        holder = logged.entry if logged is not None and not logged.revoked else None
    else:
        holder = writing.holder_of(wanted)
    if holder is None:
        raise UserFault("no_such_turn", item=wanted, chore=chore.name)
    if isinstance(holder.fact, Skip):
        raise UserFault("skipped_already", item=wanted, chore=chore.name)
    return Outcome(chore, holder, was_done_already=True)


def turn_of_line(then: HouseholdState, item: Item) -> Turn:
    """Return the turn that work said of a line settles at the moment of `then`.

    What is done already is none that could be done once more, so work beside it is extra.
    """
    return turn_done_at(then, item) if item.entry is None else Turn(item.chore.id)


def turn_done_at(then: HouseholdState, item: Item) -> Turn:
    """Return the turn that a completion at the moment of `then` settles.

    The item's own where its window had begun by then; another one that was open then; else none,
    and the work counts as extra. Counted chores count every completion, but one that came before
    the latest does no turn.
    """
    chore = item.chore
    is_counted = not isinstance(chore.rhythm, Calendar)
    if is_counted and _counts_from_later(then, chore):
        return Turn(chore.id, "", item.turn.slot)
    open_then = [
        one
        for one in _turns_then(then, chore)
        if one.turn.slot == item.turn.slot and one.state is not State.PROJECTED
    ]
    if is_counted or any(one.turn == item.turn for one in open_then):
        return item.turn
    if open_then:
        return open_then[0].turn
    return Turn(chore.id, "" if _was_open(then, item) else BESIDE, item.turn.slot)


def _was_open(then: HouseholdState, item: Item) -> bool:
    """Tell whether a turn of the line was open at the moment of `then` that later work has done.

    Once that is taken back, what was done first counts for it.
    """
    chore = item.chore
    entries = [one for one in then.history.of_chore(chore.id) if one.at < then.moment.now]
    turns = turns_of(chore, entries, spans_for(chore, then.spans), then.moment)
    return any(
        one.turn.slot == item.turn.slot and one.state is not State.PROJECTED for one in turns
    )


def too_early(then: HouseholdState, item: Item) -> UserFault | None:
    """Return why work done at the moment of `then` does not do a turn to come, None where it does.

    By the calendar a turn is done from the first day of its window on. What is done before is of
    another turn, or extra: to whoever means this one it would be done twice. What is counted from
    when it was done can be done on any day.
    """
    turn = item.open
    if turn is None or not isinstance(item.chore.rhythm, Calendar):
        return None
    if item.state is not State.PROJECTED or turn_done_at(then, item) == item.turn:
        return None
    return UserFault(
        "before_window",
        item=item.id,
        chore=item.chore.name,
        day=turn.target,
        earliest=turn.earliest,
        is_put_off=turn.is_put_off,
        kind=item.chore.kind,
    )


def _counts_from_later(then: HouseholdState, chore: Chore) -> bool:
    """Tell whether a chore was done or left out after the moment of `then` already."""
    return any(
        one.at > then.moment.now
        for one in then.history.of_chore(chore.id)
        if one.completes_chore(chore.id) or is_skip_of(one, chore.id)
    )


def unclaimed(writing: Writing, turn: Turn) -> Turn:
    """Return `turn`, or extra work where it was done already, which old entries alone may tell."""
    if turn.is_extra or writing.holder_of(turn.id) is None:
        return turn
    return Turn(turn.chore, "", turn.slot)


def _turns_then(then: HouseholdState, chore: Chore) -> list[OpenTurn]:
    return turns_of(
        chore,
        then.history.of_chore(chore.id),
        spans_for(chore, then.spans),
        then.moment,
        then.limit_of(chore),
    )


def new_entry(
    desk: Desk,
    then: HouseholdState,
    chore: Chore | None,
    at: datetime,
    by: str | None,
    completes: tuple[Turn, ...],
    fact: Fact | None,
    note: str = "",
    tank: str | None = None,
) -> Entry:
    """Return an entry of the logbook that is not written yet; its id tells when that was."""
    return Entry(
        id=desk.ids.new(desk.clock.now()),
        seq=0,
        at=at,
        day=then.moment.day_of(at),
        zone=then.household.zone,
        by=by,
        tank=chore.tank if chore is not None else tank,
        completes=completes,
        fact=fact,
        note=checked_note(note),
    )


def checked_note(note: str) -> str:
    """Return a note without its outer spaces, or refuse one that is too long."""
    text = note.strip()
    longest = int(HARD_RANGES["note_length"].high)
    if len(text) > longest:
        raise UserFault("note_too_long", length=len(text), longest=longest)
    return text
