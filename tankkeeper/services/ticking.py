"""Ticking: saying that a turn was done, with what was measured."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date, datetime

from tankkeeper.core.amounts import (
    AmountDue,
    dose_of,
    stated_amount,
    takes_grams,
)
from tankkeeper.core.chores import FRESH_KINDS, Calendar, Chore, ChoreKind
from tankkeeper.core.counted_turns import is_skip_of
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.household import Household
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.logbook import (
    BESIDE,
    Dose,
    Entry,
    Fact,
    Readings,
    Skip,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.mixing_parts import takes_mixed_litres
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
    due_then,
    full_since,
    leaves_open,
    reservoir,
    top_off,
)
from tankkeeper.services.lapsed import lapsed_item
from tankkeeper.services.litres_limits import checked_litres, litres_limits
from tankkeeper.services.mixed_amounts import as_part, leaves_rest, mixed_work
from tankkeeper.services.ports import Writing
from tankkeeper.services.reading_turns import done_by_readings

MOST_GRAMS = 1_000_000.0


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


def fact_of(then: HouseholdState, item: Item, said: Tick, turn: Turn) -> Fact | None:
    """Return what the logbook keeps of a tick that does a turn, or refuse what is not whole."""
    chore = item.chore
    _refuse_unkept(item, said)
    if chore.kind is ChoreKind.TEST and chore.tests:
        return _readings(chore, said)
    if "litres" in item.asks:
        return _water_fact(then, item, said)
    if chore.kind is ChoreKind.DOSE:
        dosed = _dosed(chore, then.household, said)
        if dosed is not None:
            return dosed
    if said.fed is not None:
        return fed_fact(chore, then.household, said.fed)
    if said.values:
        return Readings(said.values)
    if takes_mixed_litres(chore):
        litres = said.proposed_l if said.litres is None and said.as_proposed else said.litres
        return mixed_work(then, item, turn, litres, said.extent)
    if said.litres is not None:
        return Work(litres=checked_litres(said.litres))
    return work_as_stated(chore, then.household)


def _dosed(chore: Chore, household: Household, said: Tick) -> Dose | Work | None:
    """Return the dose of a tick, or only its grams where nobody knows of what."""
    if said.grams is not None:
        checked_grams(said.grams)
    if said.litres is not None or said.values:
        return None
    dose = dose_of(chore, household)
    if dose is None:
        return Work(grams=said.grams) if said.grams is not None else None
    of, stated = dose
    grams = stated if said.grams is None else said.grams
    return None if grams is None else Dose(of, grams)


def checked_grams(grams: float) -> float:
    """Return grams that can be, or refuse them."""
    if not 0.0 < grams <= MOST_GRAMS:
        raise out_of_range("grams", grams, 0.0, MOST_GRAMS, "more_than_zero")
    return grams


def fed_fact(chore: Chore, household: Household, fed: Fed) -> Work | None:
    """Return the amount of a feeding: weighed, else as stated unless it is told in words."""
    if fed.grams is not None:
        return Work(grams=checked_grams(fed.grams))
    return None if fed.amount.strip() else work_as_stated(chore, household)


def work_as_stated(chore: Chore, household: Household) -> Work | None:
    """Return the grams or litres that the chore states, which a plain tick says were given."""
    stated = stated_amount(chore, None, household)
    if stated is not None and stated.unit == "g":
        return Work(grams=stated.value)
    if stated is not None and stated.unit == "L":
        return Work(litres=stated.value, grams=stated.salt_g)
    return None


def _refuse_unkept(item: Item, said: Tick) -> None:
    """Refuse what this work has no place for, rather than drop it without a word."""
    asks_litres = "litres" in item.asks
    has_readings = bool(said.values)
    takes_extent = asks_litres and item.chore.kind in FRESH_KINDS
    if takes_mixed_litres(item.chore):
        # A turn of a day gone by is done by it, or it is not.
        takes_extent = item.open is not None and said.extent is not Extent.HOLDS
    for name, given in (
        ("part", said.extent is not None and not takes_extent),
        ("food", said.fed is not None and item.chore.kind is not ChoreKind.FEEDING),
        ("salinity", said.salinity is not None and "salinity" not in item.asks),
        ("values", has_readings and asks_litres),
        ("litres", said.litres is not None and not asks_litres and has_readings),
        ("grams", said.grams is not None and not takes_grams(item.chore)),
        ("litres", said.litres is not None and said.grams is not None),
        ("values", has_readings and said.grams is not None),
    ):
        if given:
            raise UserFault("nothing_to_keep_it", chore=item.chore.name, option=name)
    refuse_doubled(said.values)


def refuse_doubled(values: Sequence[ReadingValue]) -> None:
    """Refuse a parameter that is given twice: nobody could tell which value holds."""
    names = [value.parameter for value in values]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise UserFault("value_twice", parameter=twice)


def _readings(chore: Chore, said: Tick) -> Readings:
    given = {value.parameter for value in said.values}
    missing = tuple(name for name in chore.tests if name not in given)
    if missing:
        raise UserFault("needs_values", chore=chore.name, missing=missing)
    return Readings(said.values)


def _water_fact(then: HouseholdState, item: Item, said: Tick) -> Fact:
    if said.litres is None and (not said.as_proposed or said.extent is not None):
        also = ("salinity",) if "salinity" in item.asks and said.salinity is None else ()
        # What is proposed is all that was missing; with other words on how far, nothing is.
        raise UserFault(
            "needs_litres",
            chore=item.chore.name,
            item=item.id,
            also=also,
            takes_proposal=said.extent is None,
        )
    amount = due_then(then, item.chore)
    if said.litres is None and (filled := full_since(then, item.chore)) is not None:
        raise UserFault("nothing_missing", chore=item.chore.name, item=item.id, entry=filled)
    if said.litres is None and amount is None:
        raise UserFault("nothing_proposed", chore=item.chore.name, item=item.id)
    if amount is not None and said.proposed_l is not None:
        amount = replace(amount, value=said.proposed_l)
    if item.chore.kind is ChoreKind.TOP_OFF:
        return top_off(then, item.chore, said.litres, amount, said.extent)
    if item.chore.kind is ChoreKind.RESERVOIR:
        return reservoir(then, item.chore, said.litres, amount, said.extent)
    return _water_change(then, item, said, amount)


def _water_change(
    then: HouseholdState, item: Item, said: Tick, amount: AmountDue | None
) -> WaterChange:
    if said.litres is not None:
        litres = checked_litres(said.litres)
    else:
        assert amount is not None
        litres = amount.value
    if said.salinity is None:
        raise UserFault("needs_salinity", chore=item.chore.name, item=item.id)
    return checked_change(
        then,
        item.chore.tank,
        WaterChange(
            litres=litres,
            added_l=said.added_l,
            salinity=said.salinity,
            temperature_c=said.temperature_c,
            estimated=said.litres is None,
        ),
    )


def checked_change(then: HouseholdState, tank_id: str | None, change: WaterChange) -> WaterChange:
    """Return a water change that can be, or refuse it."""
    if change.added_l is not None:
        checked_litres(change.added_l, "added")
    for name, value in (("salinity", change.salinity), ("temperature", change.temperature_c)):
        limits = HARD_RANGES[name]
        if value is not None and not limits.low <= value <= limits.high:
            raise out_of_range(name, value, limits.low, limits.high)
    water = then.waters.get(tank_id) if tank_id is not None else None
    litres = change.litres or 0.0
    if water is not None and water.net is not None and litres >= water.net.value:
        raise litres_limits(then, ChoreKind.WATER_CHANGE, tank_id).refusal(litres)
    return change
