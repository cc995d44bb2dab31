"""Salt water that stands mixed: parts of an open turn, and what no change took of turns before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

from tankkeeper.core.amounts import AmountDue, amount_of
from tankkeeper.core.chores import AmountUnit, Chore, ChoreKind
from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, WaterChange
from tankkeeper.core.making_ready import newest_settling, served, settles
from tankkeeper.core.mixed_batches import (
    CLOSEST_L,
    Batch,
    When,
    batches_left,
    litres_of,
    mixed_litres,
    when_of,
)
from tankkeeper.core.mixing import mixed_amount
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.values import dataclass

# A choice of this project: what is left below a tenth is not mixed by itself.
NEARLY_ALL: Final = 0.9
# Mixed water keeps 14 days, then its alkalinity is tested again (common practice, no source). A
# choice of this project: of turns before the last it is reckoned with for twice as long.
STANDS_DAYS: Final = 28


@dataclass(frozen=True, slots=True)
class SoFar:
    """What was mixed in parts of the open turn, and all that stands mixed and no change took."""

    litres: float = 0.0
    left_l: float = 0.0


NOTHING_MIXED: Final = SoFar()


def takes_mixed_litres(chore: Chore) -> bool:
    """Tell whether a tick may say how much was mixed."""
    is_other = chore.amount is not None and chore.amount.unit is not AmountUnit.LITRES
    return chore.kind is ChoreKind.MIX_SALT_WATER and not is_other


def mixed_with_litres(
    prep: Chore, household: Household, history: History, on: date
) -> float | None:
    """Return the litres of the last mixing where they tell what stands there, else None.

    None where the chore states its litres itself, was left out, or was done and nobody said how
    much, and where it is not known what a change took since.
    """
    newest = newest_settling(prep, history)
    if prep.amount is not None or newest is None or not mixed_litres(newest):
        return None
    since = when_of(newest)
    taken = _taken(prep, household, history, on, since)
    return None if any(litres is None for _, litres in taken) else mixed_litres(newest)


def stated_batches(
    prep: Chore, household: Household, history: History, on: date
) -> tuple[Batch, ...] | None:
    """Return what can stand of each mixing that states its litres, None if unknown.

    Whole turns and parts, less what the changes took since; nobody says what was thrown away, nor
    what a mixing was whose litres nobody told.
    """
    if prep.amount is None:
        return None
    first = on - timedelta(days=STANDS_DAYS)
    done = [one for one in history.of_chore(prep.id) if one.day >= first]
    made = [one for one in done if mixed_litres(one)]
    if not made or any(one.completes_chore(prep.id) and not mixed_litres(one) for one in done):
        return None
    taken = list(_taken(prep, household, history, on, min(when_of(one) for one in made)))
    return None if any(litres is None for _, litres in taken) else batches_left(made, taken)


def _parts(prep: Chore, history: History) -> list[Entry]:
    """Return the parts that were mixed since a turn was last done or left out."""
    settling = newest_settling(prep, history)
    return [
        one
        for one in history.of_chore(prep.id)
        if one.does_part_of(prep.id) and (settling is None or when_of(one) > when_of(settling))
    ]


def _mixings(prep: Chore, history: History, on: date) -> list[Entry]:
    """Return what was mixed and may stand there, parts and whole turns.

    What stands by the litres that a chore states itself is only known of parts. Nothing is known
    of what stood before a turn was left out, or was done and nobody said how much.
    """
    parts = _parts(prep, history)
    newest = newest_settling(prep, history)
    if prep.amount is not None or newest is None:
        return parts
    entries = history.of_chore(prep.id)
    unknown = max(
        (when_of(one) for one in entries if settles(one, prep) and not mixed_litres(one)),
        default=None,
    )
    first = on - timedelta(days=STANDS_DAYS)
    return [
        one
        for one in entries
        if mixed_litres(one)
        and (unknown is None or when_of(one) > unknown)
        and (one.day >= first or when_of(one) >= when_of(newest))
    ]


def standing(prep: Chore, household: Household, history: History, on: date) -> tuple[Batch, ...]:
    """Return what stands there of each mixing, parts and whole turns, as far as it is known.

    The changes that it serves take their water from what stands there, one after another; what
    they take beyond it came from elsewhere.
    """
    if prep.kind is not ChoreKind.MIX_SALT_WATER:
        return ()
    made = _mixings(prep, history, on)
    if not made:
        return ()
    since = min(when_of(one) for one in made)
    return batches_left(made, _taken(prep, household, history, on, since))


def mixed_so_far(prep: Chore, household: Household, history: History, on: date) -> SoFar:
    """Return what was mixed in parts since a turn was last done or left out, and what stands."""
    if prep.kind is not ChoreKind.MIX_SALT_WATER:
        return NOTHING_MIXED
    parts_l = sum(mixed_litres(one) for one in _parts(prep, history))
    return SoFar(parts_l, litres_of(standing(prep, household, history, on)))


def _taken(
    prep: Chore, household: Household, history: History, on: date, since: When
) -> Iterator[tuple[When, float | None]]:
    """Yield what the changes took that a mixing serves, None where nobody said how much."""
    changes = served(prep, household.chores, on)
    for tank in {one.tank for one in changes}:
        for entry in reversed(history.of_water(tank) if tank is not None else ()):
            if when_of(entry) <= since:
                break
            if isinstance(entry.fact, WaterChange):
                yield when_of(entry), _poured(entry.fact)
    for one in changes:
        done = [entry for entry in history.of_chore(one.id) if entry.completes_chore(one.id)]
        newest = max(done, key=when_of, default=None)
        if newest is None or isinstance(newest.fact, WaterChange) or when_of(newest) <= since:
            continue
        yield when_of(newest), None


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

    What the changes take falls with each that is done, and so does what stands there; the litres
    that a chore states itself stay as they are.
    """
    whole = amount_of(prep, None, household) or mixed_amount(
        prep, turn, states, household, history, waters, today
    )
    return less_mixed(whole, so_far.left_l if prep.amount is None else so_far.litres)


def less_mixed(whole: AmountDue | None, mixed: float) -> AmountDue | None:
    """Return an amount less the litres that stand mixed, None where nothing is left of it."""
    if whole is None or whole.unit != "L" or not mixed:
        return whole
    left = round(whole.value - mixed, 3)
    if left <= CLOSEST_L:
        return None
    salt = None if whole.salt_g is None else whole.salt_g * left / whole.value
    return replace(whole, value=left, salt_g=salt)


def _poured(change: WaterChange) -> float | None:
    return change.added_l or change.litres
