"""Lives the acts of one tank in order of time and writes them into the logbook."""

from __future__ import annotations

import math
import uuid
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random

from tankkeeper.core.amounts import asks_of
from tankkeeper.core.chores import AmountUnit, Calendar, Chore, ChoreKind
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    PutOff,
    Readings,
    ReservoirCheck,
    Revoke,
    Skip,
    TopOff,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.moment import Moment
from tankkeeper.core.schedule import turns_of
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.core.water_turns import LimitForecast
from tankkeeper.services.sample.kits import read_off, round_to
from tankkeeper.services.sample.planning import Act, Opening, Way
from tankkeeper.services.sample.water import Water
from tankkeeper.services.tick_facts import work_as_stated

# A chore's open turn follows from its newest entries; older ones are closed by them.
ENTRIES_THAT_MATTER = 8


@dataclass(slots=True)
class Life:
    """One tank, or the household's own work, while its log is lived."""

    household: Household
    opening: Opening
    tank: Tank | None = None
    water: Water | None = None
    is_in_use: bool = True
    entries: list[Entry] = field(default_factory=list)
    truth: list[tuple[datetime, float]] = field(default_factory=list)
    _of_chore: defaultdict[str, list[Entry]] = field(default_factory=lambda: defaultdict(list))
    _mark: Entry | None = None

    def live(self, acts: Iterable[Act]) -> None:
        """Do the acts one after the other, up to now."""
        steps: dict[Way, Callable[[Act], None]] = {
            Way.DO: self._do,
            Way.SKIP: self._skip,
            Way.PUT_OFF: self._put_off,
            Way.MISTAKE: self._tick_by_mistake,
            Way.LOOK: self._look,
        }
        for act in sorted(acts, key=lambda one: (one.at, one.chore.id)):
            if self.water is not None:
                self.water.advance(act.at)
                self.truth.append((act.at, self.water.salinity))
            steps[act.way](act)
        if self.water is not None and self.is_in_use:
            self.water.advance(self.opening.moment.now)
            self.truth.append((self.water.at, self.water.salinity))

    # what can be said about a turn

    def _do(self, act: Act) -> None:
        turn = self._turn(act)
        if turn is None:
            return
        fact, is_written = self._fact(act)
        if not is_written:
            return
        if act.is_typed_wrong and isinstance(fact, TopOff) and fact.litres is not None:
            slip = self._entry(act, (turn,), TopOff(round_to(fact.litres * 10.0, 0.1)))
            self.entries.append(slip)
            right = self._entry(act, (turn,), fact, minutes=2, replaces=slip.id)
            self._keep(act.chore, right)
            return
        self._keep(act.chore, self._entry(act, (turn,), fact))

    def _skip(self, act: Act) -> None:
        turn = self._turn(act)
        if turn is not None:
            self._keep(act.chore, self._entry(act, (), Skip(turn), note=act.why))

    def _put_off(self, act: Act) -> None:
        found = self._open_turn(act)
        if found is not None and act.to is not None:
            fact = PutOff(found.turn, act.to, found.target)
            self._keep(act.chore, self._entry(act, (), fact))

    def _tick_by_mistake(self, act: Act) -> None:
        turn = self._turn(act)
        if turn is not None:
            wrong = self._entry(act, (turn,), None)
            undo = self._entry(act, (), Revoke(wrong.id), minutes=3)
            self.entries += [wrong, undo]

    def _look(self, act: Act) -> None:
        if self.water is not None:
            left = round_to(self.water.content_l, 0.5)
            entry = self._entry(act, (), ReservoirCheck(left_l=left))
            self.entries.append(entry)
            self._mark = entry

    def _keep(self, chore: Chore, entry: Entry) -> None:
        self.entries.append(entry)
        self._of_chore[chore.id].append(entry)
        fact = entry.fact
        if isinstance(fact, ReservoirCheck) or (isinstance(fact, TopOff) and fact.to_mark):
            self._mark = entry

    def _turn(self, act: Act) -> Turn | None:
        found = self._open_turn(act)
        return None if found is None else found.turn

    def _open_turn(self, act: Act) -> OpenTurn | None:
        """Return the turn that stands open at that moment, found as the services find it."""
        recent = self._of_chore[act.chore.id][-ENTRIES_THAT_MATTER:]
        moment = _moment_at(self.opening.moment, act)
        forecast = LimitForecast(base=self._mark, latest_on=act.day, can_repeat_on_base=True)
        found = [
            one
            for one in turns_of(act.chore, recent, (), moment, forecast)
            if act.slot is None or one.turn.slot == act.slot
        ]
        ready = [one for one in found if one.state is not State.PROJECTED]
        if not ready and not isinstance(act.chore.rhythm, Calendar):
            ready = found
        return ready[0] if ready else None

    # what is written down

    def _entry(
        self,
        act: Act,
        completes: tuple[Turn, ...],
        fact: Fact | None,
        *,
        minutes: int = 0,
        note: str = "",
        replaces: str | None = None,
    ) -> Entry:
        at = act.at + timedelta(minutes=minutes)
        dice = self.opening.rng(f"{act.chore.id}@{(self.opening.today - act.day).days}{act.slot}")
        return Entry(
            id=entry_id(at, self.opening, f"{act.chore.id}{len(self.entries)}{minutes}"),
            seq=len(self.entries) + 1,
            at=at,
            day=act.day,
            zone=self.household.zone,
            by=_who(act.chore, dice.random()),
            tank=act.chore.tank,
            completes=completes,
            fact=fact,
            note=note,
            replaces=replaces,
        )

    def _fact(self, act: Act) -> tuple[Fact | None, bool]:
        """Return what is measured, and whether anybody writes it down."""
        chore, water = act.chore, self.water
        dice = self.opening.rng(f"fact:{chore.id}@{(self.opening.today - act.day).days}")
        luck = dice.random()
        if water is None or self.tank is None:
            return _household_work(chore, luck), True
        if chore.kind is ChoreKind.TOP_OFF:
            return _top_off(water, act, luck, dice)
        if chore.kind is ChoreKind.RESERVOIR:
            filled = water.fill_reservoir()
            known = act.is_exact or luck > 0.08
            return ReservoirCheck(fill_l=round_to(filled, 0.5) if known else None), True
        if chore.kind is ChoreKind.WATER_CHANGE:
            return _water_change(chore, self.tank, water, luck, dice), True
        if chore.kind is ChoreKind.TEST:
            values = tuple(read_off(name, water.value(name), dice) for name in asks_of(chore))
            return Readings(values), True
        if chore.kind is ChoreKind.DOSE and chore.amount is not None:
            water.dose_bicarbonate(chore.amount.value)
            return Dose("sodium bicarbonate", chore.amount.value), True
        return work_as_stated(chore, self.household), True


def _top_off(water: Water, act: Act, luck: float, dice: Random) -> tuple[TopOff, bool]:
    """Return a top-off: measured, accepted as proposed, only a part, or not written down."""
    if not act.is_exact and luck < 0.04:
        part = round_to(max(0.1, water.missing_l * 0.6), 0.1)
        water.missing_l -= part
        return TopOff(part, to_mark=False), True
    litres = water.fill()
    is_guessed = not act.is_exact and 0.04 <= luck < 0.12
    if is_guessed:
        # What the program proposed then, and nobody measured.
        litres *= math.exp(dice.gauss(0.0, 0.12))
    step = 0.05 if litres < 2.0 else 0.1
    shown = max(step, round_to(litres, step))
    is_written = act.is_exact or not 0.12 <= luck < 0.15
    return TopOff(shown, estimated=is_guessed), is_written


def _water_change(chore: Chore, tank: Tank, water: Water, luck: float, dice: Random) -> WaterChange:
    """Return a change with its litres, and salinity and temperature of the new water as read."""
    litres = _litres(chore, water.net_l) - (2.0 if luck < 0.15 else 0.0)
    salinity = (tank.target_salinity or 35.0) + dice.gauss(0.0, 0.15)
    warmth = (tank.target_temperature_c or 25.0) + dice.gauss(0.0, 0.3)
    water.change(litres, salinity)
    read = round_to(salinity + dice.gauss(0.0, 0.06), 0.1)
    return WaterChange(litres, salinity=read, temperature_c=round_to(warmth, 0.1))


def _household_work(chore: Chore, luck: float) -> Fact | None:
    """Return how much was made or mixed; other work of the household has no amount."""
    if chore.amount is None or chore.amount.unit is not AmountUnit.LITRES:
        return None
    grams = next((use.amount for use in chore.uses if use.unit is AmountUnit.GRAMS), None)
    return Work(litres=chore.amount.value, grams=grams, estimated=luck < 0.1)


def _litres(chore: Chore, net_l: float) -> float:
    amount = chore.amount
    if amount is None:
        raise ValueError(f"{chore.id} says no amount")
    if amount.unit is AmountUnit.PERCENT:
        return round_to(net_l * amount.value / 100.0, 0.5)
    return amount.value


def _who(chore: Chore, luck: float) -> str | None:
    """Return who did it: the first one named in three cases of four."""
    if not chore.who:
        return None
    return chore.who[0] if luck < 0.75 else chore.who[-1]


def _moment_at(opening: Moment, act: Act) -> Moment:
    return Moment(act.at, act.day, opening.zone, opening.day_begins, opening.round_at)


def entry_id(at: datetime, opening: Opening, of: str) -> str:
    """Return an id that sorts by time: UUID version 7 (RFC 9562, 2024, section 5.7)."""
    milliseconds = int(at.timestamp() * 1000)
    low = opening.rng(f"id:{of}{milliseconds}").getrandbits(74)
    high = (milliseconds << 16) | (0x7 << 12) | (low >> 62)
    return str(uuid.UUID(int=(high << 64) | (0b10 << 62) | (low & ((1 << 62) - 1))))


def in_order(entries: Sequence[Entry]) -> list[Entry]:
    """Return the entries of the whole house in order of time."""
    return sorted(entries, key=lambda entry: (entry.at, entry.id))
