"""Makes the sample: moves the definitions to today and lives 120 days of log up to now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, time, timedelta
from functools import partial

from tankkeeper.core.chores import Chore, WhenWaterSays
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import Entry, Fact, Note, Pause, PauseMode, StockChange
from tankkeeper.core.moment import moment_of
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import allowed_loss, water_now
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_turns import water_turn
from tankkeeper.services.sample.habits import (
    DAYS_OF_LOG,
    HABITS,
    PAUSED_AT,
    PAUSED_BECAUSE,
    PAUSED_BY,
    PAUSED_DAYS_AGO,
    PAUSED_TANK,
    PURCHASES,
    REMARKS,
    Purchase,
)
from tankkeeper.services.sample.living import Life, entry_id, in_order
from tankkeeper.services.sample.moved_dates import household_on
from tankkeeper.services.sample.planning import Opening, chores_of, plan
from tankkeeper.services.sample.water import NATURES, Water, daily_losses, usual_loss

SEED = 7
# Moving the last fill by a day moves the next one by a day, so a few tries are enough.
TRIES = 6
# A careful keeper counts on a loss this much above the usual one (judgement, no source).
CAUTION = 1.2


@dataclass(frozen=True, slots=True)
class Sample:
    """The sample with what nobody in it can see: the true water of each tank by its id."""

    household: Household
    entries: tuple[Entry, ...]
    lives: dict[str, Life]


def make_sample(definitions: str, now: datetime, seed: int = SEED) -> Sample:
    """Return the sample household as it stands at `now`, with the truth behind its log."""
    opening = _opening(definitions, now, seed)
    household = household_on(definitions, opening.today)
    lives = {tank.id: _live_tank(household, tank, opening) for tank in household.tanks}
    house = Life(household, opening)
    house.live([act for chore in chores_of(household, None) for act in plan(chore, opening)])
    entries = [entry for life in (*lives.values(), house) for entry in life.entries]
    entries += _aside(household, opening)
    ordered = [replace(entry, seq=seq) for seq, entry in enumerate(in_order(entries), 1)]
    return Sample(household, tuple(ordered), lives)


def _opening(definitions: str, now: datetime, seed: int) -> Opening:
    """Return the day of opening; zone and start of the day do not move with the dates."""
    return Opening(moment_of(household_on(definitions, now.date()), now), seed)


def _live_tank(household: Household, tank: Tank, opening: Opening) -> Life:
    """Return the life of a tank whose water-driven chore stands today as its habit says."""
    driven = [one for one in chores_of(household, tank.id) if isinstance(one.rhythm, WhenWaterSays)]
    shift = 0
    tried: dict[int, tuple[int, Life]] = {}
    for _ in range(TRIES):
        life = _lived(household, tank, opening, shift)
        off = _days_off(life, tank, driven)
        tried[shift] = (off, life)
        if off == 0 or shift + off in tried:
            break
        shift += off
    is_wanted_now = any((HABITS[one.id].aim or 0) <= 0 for one in driven)

    def misfit(one: tuple[int, Life]) -> tuple[int, bool]:
        # Where no day fits, rather a day overdue than not due, and rather waiting than due.
        return abs(one[0]), (one[0] < 0) is is_wanted_now

    return min(tried.values(), key=misfit)[1]


def _lived(household: Household, tank: Tank, opening: Opening, shift_days: int) -> Life:
    nature, room = NATURES[tank.id], household.room(tank.room)
    dice = opening.rng(f"loss:{tank.id}")
    losses = daily_losses(tank, room, nature, opening.today, DAYS_OF_LOG + 2, dice)
    chores = chores_of(household, tank.id)
    every = _days_between_fills(household, tank, opening)
    acts = [act for one in chores for act in plan(one, opening, every, shift_days)]
    begins = min((act.at for act in acts), default=opening.moment.now) - timedelta(days=1)
    life = Life(
        household,
        opening,
        tank,
        Water(tank, nature, losses, begins, f"{opening.seed}:water:{tank.id}"),
        is_in_use=tank.id != PAUSED_TANK,
    )
    life.live(acts)
    return life


def _days_between_fills(household: Household, tank: Tank, opening: Opening) -> int:
    """Return for how many days a careful keeper leaves a tank or its reservoir alone."""
    room = household.room(tank.room)
    loss = usual_loss(tank, room, NATURES[tank.id], opening.today)
    if tank.top_off.reservoir_l is not None:
        return max(
            1, int((tank.top_off.reservoir_l - (tank.top_off.reserve_l or 0.0)) / loss / 1.2)
        )
    allowed = allowed_loss(tank, learn(tank, room, (), opening.today))
    return 2 if allowed is None else min(7, max(1, int(allowed[0] / loss / 1.2)))


def _days_off(life: Life, tank: Tank, driven: Sequence[Chore]) -> int:
    """Return by how many days the last fill must move to make the open turn stand as wished."""
    opening = life.opening
    for chore in driven:
        habit = HABITS[chore.id]
        if habit.aim is None or habit.last:
            continue
        history = history_of(life.entries)
        room = life.household.room(tank.room)
        learned = learn(tank, room, history.of_water(tank.id), opening.today)
        water = water_now(tank, learned, opening.moment)
        turn = water_turn(chore, history.of_chore(chore.id), (), opening.moment, water.limit)
        if turn is not None:
            return habit.aim - (turn.target - opening.today).days
    return 0


# what stands in the log beside the chores


def _aside(household: Household, opening: Opening) -> list[Entry]:
    """Return notes, purchases, and the pause of the quarantine tank."""
    write = partial(_remark, household, opening)
    notes = [write(one.days_ago, one.at, one.by, Note(), one.text, one.tank) for one in REMARKS]
    bought = [write(one.days_ago, one.at, one.by, _stock_change(one, opening)) for one in PURCHASES]
    pause = Pause(PauseMode.FREEZE)
    paused = write(PAUSED_DAYS_AGO, PAUSED_AT, PAUSED_BY, pause, PAUSED_BECAUSE, PAUSED_TANK)
    return [*notes, *bought, paused]


def _stock_change(one: Purchase, opening: Opening) -> StockChange:
    expires = None
    if one.good_for_days is not None:
        expires = opening.back(one.days_ago) + timedelta(days=one.good_for_days)
    return StockChange(one.supply, add=one.add, count=one.count, expires_on=expires)


def _remark(
    household: Household,
    opening: Opening,
    days_ago: int,
    wall: time,
    by: str,
    fact: Fact,
    note: str = "",
    tank: str | None = None,
) -> Entry:
    day = opening.back(days_ago)
    at = opening.at(day, wall)
    return Entry(
        id=entry_id(at, opening, f"aside{days_ago}{wall}"),
        seq=0,
        at=at,
        day=day,
        zone=household.zone,
        by=next(one.id for one in household.people if one.name == by),
        tank=tank,
        fact=fact,
        note=note,
    )
