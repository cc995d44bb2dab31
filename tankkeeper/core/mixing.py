"""How much salt water is mixed at once: what the changes before the next mixing take."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from tankkeeper.core.amounts import AmountDue, MixedFor, amount_of, salt_by_yield
from tankkeeper.core.chores import Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.core.early_days import early_days
from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.making_ready import lead_days, served
from tankkeeper.core.rule_versions import nominal_days, rule_spans
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.values import dataclass

# As far as the mixing of a household may lie apart.
_FARTHEST = timedelta(days=84)


@dataclass(frozen=True, slots=True)
class Demand:
    """The litres that one turn of a change takes on its day; `name` is that of its tank."""

    change: str
    name: str
    day: date
    litres: float


def mixed_amount(
    prep: Chore,
    turn: OpenTurn,
    states: Iterable[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    today: date,
) -> AmountDue | None:
    """Return the litres that the changes served by an open turn of mixing take.

    None where the chore states its own, where no change comes before the next mixing, or where the
    litres of one of them are not known: a part would be told as if it were all.
    """
    if prep.kind is not ChoreKind.MIX_SALT_WATER or prep.amount is not None:
        return None
    wanted = demands(prep, turn, states, household, history, waters, today)
    return together(wanted or (), household)


def together(wanted: Sequence[Demand], household: Household) -> AmountDue | None:
    """Return the litres that changes take together, each with its part; None where none does."""
    if not wanted:
        return None
    names = {one.change: one.name for one in wanted}
    parts = [
        MixedFor(name, sum(one.litres for one in wanted if one.change == change))
        for change, name in names.items()
    ]
    litres = round(sum(one.litres for one in parts), 3)
    return AmountDue(litres, "L", salt_g=salt_by_yield(household, litres), parts=tuple(parts))


def demands(
    prep: Chore,
    turn: OpenTurn,
    states: Iterable[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    today: date,
) -> list[Demand] | None:
    """Return what each change takes of the water of an open turn; None where one is not known."""
    day = max(turn.target, today)
    ready_on = day + timedelta(days=lead_days(prep, household))
    last = next_ready(prep, household, history, day)
    mine = {one.id for one in served(prep, household.chores, today)}
    found: list[Demand] = []
    for one in states:
        if one.chore.id not in mine or one.paused is not None:
            continue
        days = _days_until(one, history, today, ready_on, last)
        if not days:
            continue
        tank = one.chore.tank
        amount = amount_of(one.chore, waters.get(tank) if tank is not None else None, household)
        if amount is None or amount.unit != "L":
            return None
        name = household.tank(tank).name if tank is not None else one.chore.name
        found += [Demand(one.chore.id, name, on, amount.value) for on in days]
    return found


def next_ready(prep: Chore, household: Household, history: History, day: date) -> date:
    """Return the last day on which a change takes the water of this mixing, not of the next."""
    lead = timedelta(days=lead_days(prep, household))
    if not isinstance(prep.rhythm, Calendar):
        return day + lead
    spans = rule_spans(prep, history.of_chore(prep.id))
    first = (day + timedelta(days=1)).toordinal()
    coming = nominal_days(spans, first, (day + _FARTHEST).toordinal())
    if not coming:
        return day + lead
    return date.fromordinal(coming[0]) + lead - timedelta(days=1)


def _days_until(
    one: ChoreState, history: History, today: date, ready_on: date, last: date
) -> list[date]:
    """Return the days of the turns of a change that come up to one, those that wait included.

    Turns that were missed are settled by one tick, and so is what comes by the day on which the
    water is ready, unless each of them stays open.
    """
    turn = one.open[0] if one.open else one.upcoming
    if turn is None or turn.target > last:
        return []
    if not isinstance(one.chore.rhythm, Calendar):
        return [turn.target]
    first, found = turn.target, [turn.target]
    early = timedelta(days=early_days(one.chore))
    if one.chore.if_missed is IfMissed.EACH:
        found = [each.target for each in one.open if each.target <= last] or found
        first = max(*found, today + early) if one.open else first
    elif turn.target < today:
        first = max(today, ready_on) + early
    spans = rule_spans(one.chore, history.of_chore(one.chore.id))
    begin, end = first.toordinal() + 1, last.toordinal()
    more = nominal_days(spans, begin, end) if begin <= end else []
    return [*found, *(date.fromordinal(day) for day in more)]
