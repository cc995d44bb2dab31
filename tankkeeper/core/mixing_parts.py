"""Salt water that was mixed in parts: what of an open turn is mixed already, and what is left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Final

from tankkeeper.core.amounts import AmountDue, amount_of
from tankkeeper.core.chores import AmountUnit, Chore, ChoreKind
from tankkeeper.core.counted_turns import is_skip_of
from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, WaterChange, Work
from tankkeeper.core.making_ready import NotReady, mixed_ready_at, served
from tankkeeper.core.mixing import mixed_amount
from tankkeeper.core.moment import Moment
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.values import dataclass

# Below this no scale of a container shows a difference.
CLOSEST_L: Final = 0.05


@dataclass(frozen=True, slots=True)
class SoFar:
    """What was mixed in parts of the open turn, and what of it no change took since."""

    litres: float = 0.0
    left_l: float = 0.0


NOTHING_MIXED: Final = SoFar()


def takes_mixed_litres(chore: Chore) -> bool:
    """Tell whether a tick may say how much was mixed."""
    is_other = chore.amount is not None and chore.amount.unit is not AmountUnit.LITRES
    return chore.kind is ChoreKind.MIX_SALT_WATER and not is_other


def ready_in_parts(
    waits: NotReady, household: Household, history: History, moment: Moment
) -> NotReady | None:
    """Return what a change still waits for whose litres stand there in parts of its mixing."""
    ready_at = mixed_ready_at(max(_parts(waits.prep, history), key=_when), household, moment)
    if ready_at is None or ready_at <= moment.now:
        return None
    return NotReady(waits.prep, ready_at)


def _parts(prep: Chore, history: History) -> list[Entry]:
    """Return the parts that were mixed since a turn was last done or left out."""
    entries = history.of_chore(prep.id)
    settled = [
        _when(one) for one in entries if one.completes_chore(prep.id) or is_skip_of(one, prep.id)
    ]
    since = max(settled, default=None)
    return [
        one
        for one in entries
        if one.does_part_of(prep.id) and (since is None or _when(one) > since)
    ]


def mixed_so_far(prep: Chore, household: Household, history: History, on: date) -> SoFar:
    """Return what was mixed in parts since a turn of the chore was last done or left out.

    The changes that it serves take their water from that.
    """
    if prep.kind is not ChoreKind.MIX_SALT_WATER:
        return NOTHING_MIXED
    parts = _parts(prep, history)
    if not parts:
        return NOTHING_MIXED
    litres = sum(_mixed(one) for one in parts)
    first = min(_when(one) for one in parts)
    tanks = {one.tank for one in served(prep, household.chores, on)}
    taken = sum(
        _poured(one)
        for tank in tanks
        if tank is not None
        for one in history.of_water(tank)
        if _when(one) > first
    )
    return SoFar(litres, max(0.0, litres - taken))


def rest_to_mix(
    prep: Chore,
    turn: OpenTurn,
    so_far: SoFar,
    states: Iterable[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    today: date,
) -> AmountDue | None:
    """Return what is left to mix for a turn, None where that is nothing or not known.

    What the changes take falls with each that is done, and so does what of the parts is left; the
    litres that a chore states itself stay as they are.
    """
    whole = amount_of(prep, None, household) or mixed_amount(
        prep, turn, states, household, history, waters, today
    )
    if whole is None or whole.unit != "L" or not so_far.litres:
        return whole
    mixed = so_far.left_l if prep.amount is None else so_far.litres
    left = round(whole.value - mixed, 3)
    if left <= CLOSEST_L:
        return None
    salt = None if whole.salt_g is None else whole.salt_g * left / whole.value
    return replace(whole, value=left, salt_g=salt)


def _when(entry: Entry) -> tuple[datetime, int]:
    return entry.at, entry.seq


def _mixed(entry: Entry) -> float:
    return (entry.fact.litres or 0.0) if isinstance(entry.fact, Work) else 0.0


def _poured(entry: Entry) -> float:
    fact = entry.fact
    if not isinstance(fact, WaterChange):
        return 0.0
    return fact.added_l or fact.litres or 0.0
