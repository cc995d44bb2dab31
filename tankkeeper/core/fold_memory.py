"""What earlier folds of the household found, so that only what changed is worked out again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from datetime import date, datetime, time
from typing import NamedTuple
from zoneinfo import ZoneInfo

from tankkeeper.core.chores import Chore, WhenWaterSays
from tankkeeper.core.history import History
from tankkeeper.core.household import Household, Room, Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span
from tankkeeper.core.reading_outlook import ReadingOutlook, reading_outlook
from tankkeeper.core.rhythm_ahead import parted
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.tank_learning import Learned, learn
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import ChoreState
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_turns import LimitForecast


class _Kept(NamedTuple):
    """What was learned of a tank, and all that it was learned from."""

    tank: Tank
    room: Room | None
    freezes: tuple[Span, ...]
    on: date
    entries: Sequence[Entry]
    restated: tuple[datetime, ...]
    found: Learned

    def holds_for(
        self,
        tank: Tank,
        room: Room | None,
        freezes: tuple[Span, ...],
        on: date,
        entries: Sequence[Entry],
        restated: tuple[datetime, ...],
    ) -> bool:
        """Tell whether learning again would give the same."""
        return (
            (self.tank is tank or self.tank == tank)
            and (self.room is room or self.room == room)
            and self.freezes == freezes
            and (self.on == on or bool(self.found.log.fills))
            and self.entries == entries
            and self.restated == restated
        )


class _Foreseen(NamedTuple):
    """The outlook of one parameter of a tank, and all that it was worked out from."""

    tank: Tank
    entries: Sequence[Entry]
    net_l: float | None
    outlook: ReadingOutlook


class _Folded(NamedTuple):
    """The state of a chore, and all that it was folded from."""

    chore: Chore
    entries: Sequence[Entry]
    pauses: tuple[Span, ...]
    on: tuple[date, ZoneInfo, time, time]
    state: ChoreState


@dataclass(slots=True)
class Memory:
    """A pure cache: with or without it every result is the same."""

    _tanks: dict[str, _Kept] = field(default_factory=dict)
    _chores: dict[str, _Folded] = field(default_factory=dict)
    _outlooks: dict[tuple[str, str], _Foreseen] = field(default_factory=dict)

    def folded(
        self,
        chore: Chore,
        entries: Sequence[Entry],
        pauses: tuple[Span, ...],
        moment: Moment,
        forecast: LimitForecast,
    ) -> ChoreState:
        """Return the state of a chore, from the last time if it still holds.

        What changes by the hour is folded every time: slots, and what the water says.
        """
        if chore.slots or isinstance(parted(chore, moment.day).now.rhythm, WhenWaterSays):
            return fold_chore(chore, entries, pauses, moment, forecast)
        kept = self._chores.get(chore.id)
        on = (moment.day, moment.zone, moment.day_begins, moment.round_at)
        if (
            kept is not None
            and kept.chore is chore
            and kept.on == on
            and kept.pauses == pauses
            and kept.entries == entries
        ):
            return kept.state
        state = fold_chore(chore, entries, pauses, moment, forecast)
        self._chores[chore.id] = _Folded(chore, entries, pauses, on, state)
        return state

    def learned(
        self,
        tank: Tank,
        household: Household,
        history: History,
        on: date,
        freezes: tuple[Span, ...] = (),
    ) -> Learned:
        """Return what the water entries of a tank teach, from the last time if they still hold."""
        entries = history.of_water(tank.id)
        restated = history.restated_at(tank.id)
        room = household.room(tank.room)
        kept = self._tanks.get(tank.id)
        if kept is not None and kept.holds_for(tank, room, freezes, on, entries, restated):
            return kept.found
        found = learn(tank, room, entries, on, freezes, restated)
        self._tanks[tank.id] = _Kept(tank, room, freezes, on, entries, restated, found)
        return found

    def outlook(self, water: TankWater, parameter: str, entries: Sequence[Entry]) -> ReadingOutlook:
        """Return where a parameter is going, from the last time if that still holds."""
        tank, net_l = water.tank, water.net.value if water.net is not None else None
        kept = self._outlooks.get((tank.id, parameter))
        if kept is not None and kept[:3] == (tank, entries, net_l):
            return kept.outlook
        found = reading_outlook(tank, parameter, entries, net_l)
        self._outlooks[tank.id, parameter] = _Foreseen(tank, entries, net_l, found)
        return found
