"""Which changes to come get too little salt water by the litres that their mixing states itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final, NamedTuple

from tankkeeper.core.amounts import amount_of
from tankkeeper.core.chores import AmountUnit, Calendar, Chore, ChoreKind
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.logbook import Entry, Turn
from tankkeeper.core.making_ready import is_mixed_for, lead_days, mixed_ready_at, served
from tankkeeper.core.mixed_batches import CLOSEST_L, Batch, draw
from tankkeeper.core.mixed_shares import Due, Shares, shared
from tankkeeper.core.mixing_parts import STANDS_DAYS, mixed_so_far, rest_to_mix, stated_batches
from tankkeeper.core.turns import ChoreState, OpenTurn, State
from tankkeeper.core.values import dataclass

if TYPE_CHECKING:
    from tankkeeper.core.state import HouseholdState

_COMING: Final = "coming"
# Behind all that is in the log.
_LAST: Final = 2**62
# As far as the mixings of a household may lie apart.
_FARTHEST: Final = timedelta(days=84)


class ShortChange(NamedTuple):
    """A change to come that gets too little, by the name of its tank, and the litres missing."""

    chore: Chore
    name: str
    day: date
    litres: float


@dataclass(frozen=True, slots=True)
class Shortage:
    """What is missing for one change, or for all those until the mixing after the next one.

    The first change comes first. `prep` mixes for them, by `own_l` at once; 0 where that comes too
    late for them.
    """

    prep: Chore
    own_l: float
    changes: tuple[ShortChange, ...]

    @property
    def litres(self) -> float:
        """What has to be mixed besides."""
        return round(sum(one.litres for one in self.changes), 3)

    @property
    def day(self) -> date:
        """The day of the first change that lacks water."""
        return self.changes[0].day


class RunningShort(NamedTuple):
    """The shortages by the turns of changes, and by the next turns of the mixings."""

    of_changes: Mapping[tuple[str, str], Shortage]
    of_mixings: Mapping[str, Shortage]


class _Wanted(NamedTuple):
    """A turn of a change on the day on which it is expected; `key` is that of `key_of`."""

    chore: Chore
    turn: OpenTurn
    key: tuple[str, str]


NOTHING_SHORT: Final = RunningShort({}, {})


def key_of(turn: Turn, place: int | None = None) -> tuple[str, str]:
    """Return by what a turn is known; one without a key of its own by its place among the coming.

    The day of such a turn moves where work that is open waits.
    """
    return turn.chore, turn.key if place is None else f"{_COMING}:{place}"


def may_be_short(state: HouseholdState, chore: Chore) -> bool:
    """Tell whether water will be missing for a turn of a change."""
    return any(key[0] == chore.id for key in state.short.of_changes)


def shortage_of(state: HouseholdState, chore: Chore, turn: OpenTurn) -> Shortage | None:
    """Return what is or will be missing for a change, or after the next turn of a mixing."""
    if chore.kind is ChoreKind.MIX_SALT_WATER and chore.id in state.short.of_mixings:
        one = next(one for one in state.chores if one.chore.id == chore.id)
        is_next = turn.turn == (
            one.open[0].turn if one.open else one.upcoming and one.upcoming.turn
        )
        return state.short.of_mixings[chore.id] if is_next else None
    return state.short.of_changes.get(key_of(turn.turn))


def running_short(state: HouseholdState) -> RunningShort:
    """Walk through the days to come, for each set of mixings that serves some changes alone.

    As in all that is expected, open work is done today and the rest on its day. What nobody knows
    is told as nothing: where a mixing does not state its litres it follows the changes, and where
    what stands there is not known, they may be enough.
    """
    chores, today = state.household.chores, state.moment.day
    preps = {
        prep.id: prep
        for prep in chores
        if prep.kind is ChoreKind.MIX_SALT_WATER and not prep.has_ended(today)
    }
    if all(prep.amount is None for prep in preps.values()):
        return NOTHING_SHORT
    serves = {key: {one.id for one in served(prep, chores, today)} for key, prep in preps.items()}
    sets: dict[tuple[str, ...], list[ChoreState]] = {}
    for one in state.chores:
        mixed_by = tuple(key for key in preps if one.chore.id in serves[key])
        if mixed_by:
            sets.setdefault(mixed_by, []).append(one)
    of_changes: dict[tuple[str, str], Shortage] = {}
    of_mixings: dict[str, Shortage] = {}
    for ids, changes in sets.items():
        mixings = [preps[each] for each in ids]
        short = list(_walk(state, mixings, changes))
        if short:
            prep = mixings[0]
            own_l = prep.amount.value if prep.amount is not None else 0.0
            of_changes |= {key: Shortage(prep, own_l, (one,)) for key, one in short}
            told = of_mixings.get(prep.id)
            lacking = (*(told.changes if told else ()), *(one for _, one in short))
            of_mixings[prep.id] = _told_of(state, prep, own_l, lacking)
    return RunningShort(of_changes, of_mixings)


def _told_of(
    state: HouseholdState, prep: Chore, own_l: float, lacking: Sequence[ShortChange]
) -> Shortage:
    """Return what is told of a mixing: first of the changes for which its next water comes late.

    Its own litres do nothing for those.
    """
    ordered = sorted(lacking, key=lambda one: one.day)
    comes = min((_ready_on(state, one) for one in _mixed_ahead(state, prep)[0]), default=None)
    before = [one for one in ordered if comes is None or one.day < comes]
    return Shortage(prep, 0.0, tuple(before)) if before else Shortage(prep, own_l, tuple(ordered))


def _walk(
    state: HouseholdState, mixings: Sequence[Chore], changes: Sequence[ChoreState]
) -> Iterator[tuple[tuple[str, str], ShortChange]]:
    """Yield the changes to come that get too little, of those that some mixings serve."""
    household, today = state.household, state.moment.day
    stated: list[Batch] = []
    coming: list[Batch] = []
    ends = []
    for prep in mixings:
        made = stated_batches(prep, household, state.history, today)
        if made is None or prep.amount is None or prep.amount.unit is not AmountUnit.LITRES:
            return
        mixed, end = _mixed_ahead(state, prep)
        stated += made
        coming += mixed
        ends.append(end)
    wanted = list(_wanted(state, changes, min(ends)))
    if any(_litres(state, one.chore) is None for one in wanted):
        return
    due = [one for one in wanted if one.turn.target <= today]
    is_open = any(_ready_on(state, one) > today and one.mixed.day == today for one in coming)
    # What is due today waits for a mixing that is open, else what is missing is mixed besides.
    owed = due if is_open else []
    stands = [*stated, *coming]
    for day in sorted({max(one.turn.target, today) for one in wanted}):
        of_day = [one for one in wanted if max(one.turn.target, today) == day and one not in owed]
        # By the logbook what stirs today stands there, too: until when, the change itself tells.
        known = stated if day == today else stands
        ready = [one for one in known if day == today or _ready_on(state, one) <= day]
        stands = [one for one in stands if one not in ready]
        for asked in (owed, of_day):
            shares = _shared(state, mixings, asked, ready, day)
            for one in asked:
                litres = _litres(state, one.chore) or 0.0
                missing = 0.0
                if one.turn.turn not in shares.of:
                    missing = litres - shares.left_l.get(one.turn.turn, 0.0)
                if one in of_day and missing > CLOSEST_L:
                    yield one.key, ShortChange(one.chore, _name_of(state, one.chore), day, missing)
                if one in of_day or not missing:
                    ready = list(draw(ready, litres - missing).left)
            owed = [one for one in owed if one.turn.turn not in shares.of]
        stands += ready


def _shared(
    state: HouseholdState,
    mixings: Sequence[Chore],
    asked: Sequence[_Wanted],
    ready: Sequence[Batch],
    day: date,
) -> Shares:
    """Return which turns of a day get their litres, those of today as it is told of them."""
    household, moment = state.household, state.moment
    if day > moment.day:
        due = [Due(one.chore, one.turn, is_mixed_for=True) for one in asked]
        moment = replace(moment, now=moment.round_on(day), day=day)
    else:
        due = [
            Due(
                one.chore,
                one.turn,
                is_mixed_for(mixings[-1], household, state.history, one.chore, moment),
            )
            for one in asked
        ]
    return shared(due, ready, 0.0, household, state.waters, moment)


def _mixed_ahead(state: HouseholdState, prep: Chore) -> tuple[list[Batch], date]:
    """Return what the next mixing makes, and the last day before the water of that after it."""
    household, moment = state.household, state.moment
    today = moment.day
    one = next(one for one in state.chores if one.chore.id == prep.id)
    so_far = mixed_so_far(prep, household, state.history, today)
    known = (state.chores, household, state.history, state.waters, today)
    own_l = prep.amount.value if prep.amount is not None else 0.0
    coming: list[tuple[date, float]] = []
    if one.paused is None and one.open:
        rest = rest_to_mix(prep, one.open[0], so_far, *known)
        day = max(one.open[0].target, today)
        coming.append((day, 0.0 if rest is None else rest.value))
        coming += [(max(turn.target, today), own_l) for turn in one.open[1:]]
    first, last = today.toordinal() + 1, (today + _FARTHEST).toordinal()
    turns = projected_turns(state, one, first, last)
    coming += [(date.fromordinal(turn.day), own_l) for _, turn in turns]
    if not coming:
        return [], today + timedelta(days=STANDS_DAYS)
    begun_l = so_far.litres if not one.open else 0.0
    day, litres = coming[0]
    coming[0] = day, max(0.0, litres - begun_l)
    later = next((on for on, _ in coming if on > day), day + timedelta(days=STANDS_DAYS))
    mixed = [Batch(_as_mixed(state, prep, on), litres) for on, litres in coming if on == day]
    return mixed, later + timedelta(days=lead_days(prep, household) - 1)


def _as_mixed(state: HouseholdState, prep: Chore, day: date) -> Entry:
    """Return a mixing to come as the logbook would have it."""
    moment = state.moment
    at = max(moment.now, moment.round_on(day))
    return Entry(f"{_COMING}:{prep.id}", _LAST, at, day, state.household.zone)


def _ready_on(state: HouseholdState, one: Batch) -> date:
    """Return the day on which the water of a mixing is ready, be it some hours after the round."""
    return state.moment.day_of(mixed_ready_at(one.mixed, state.household))


def _wanted(state: HouseholdState, changes: Sequence[ChoreState], last: date) -> Iterator[_Wanted]:
    """Yield the turns of changes that are open or come up to a day, in the order of their days."""
    first = state.moment.day.toordinal() + 1
    for one in changes:
        chore = one.chore
        if one.paused is None:
            yield from (_Wanted(chore, turn, key_of(turn.turn)) for turn in one.open)
        turns = projected_turns(state, one, first, last.toordinal())
        for place, (_, turn) in enumerate(turns):
            day = date.fromordinal(turn.day)
            is_own = bool(turn.key) or isinstance(chore.rhythm, Calendar)
            key = turn.key or (day.isoformat() if is_own else f"{_COMING}:{day.isoformat()}")
            named = Turn(chore.id, key, turn.slot)
            known = key_of(named, None if is_own else place)
            yield _Wanted(chore, OpenTurn(named, day, day, day, State.DUE), known)


def _name_of(state: HouseholdState, chore: Chore) -> str:
    return chore.name if chore.tank is None else state.household.tank(chore.tank).name


def _litres(state: HouseholdState, chore: Chore) -> float | None:
    amount = amount_of(chore, state.water_of(chore), state.household)
    return None if amount is None or amount.unit != "L" else amount.value
