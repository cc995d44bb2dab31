"""Somebody who does to the sample household whatever comes to mind, and looks whether it holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, time, timedelta
from pathlib import Path
from random import Random
from typing import Final

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import Calendar
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import WaterChange
from tankkeeper.core.parameters import ReadingValue, parse_reading
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import calendar_of
from tankkeeper.services.moving import pause_chore, put_off, resume_chore, skip
from tankkeeper.services.noting import log_top_off, log_water_change
from tankkeeper.services.round import round_of
from tankkeeper.services.taking_back import redo, undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import BERLIN

BOARD_DAYS: Final = 14
ROUND: Final = time(7)
# From memory: what a reef at home reads on a usual day.
_USUAL: Final = {
    "salinity": 35.0,
    "temperature": 25.2,
    "ph": 8.1,
    "alkalinity": 8.0,
    "calcium": 420.0,
    "magnesium": 1320.0,
    "nitrate": 8.0,
    "phosphate": 0.05,
    "ammonia": 0.0,
    "nitrite": 0.0,
}
# Of these a tenth is much.
_CLOSE: Final = ("salinity", "temperature", "ph")

Seen = tuple[tuple[object, ...], ...]


def seen(state: HouseholdState) -> Seen:
    """Return what the round and the days to come have of every chore."""
    lines = [
        (item.id, item.state, item.amount, None if item.open is None else item.open.latest)
        for item in round_of(state).items
    ]
    return (*lines, *sorted(_next_days(state).items()))


def _next_days(state: HouseholdState) -> dict[str, tuple[str, date, date]]:
    """Return the next turn of each chore that no calendar names: its key, its day, its last day."""
    found = {}
    for one in state.chores:
        turn = one.open[0] if one.open else one.upcoming
        if turn is not None and one.paused is None and not isinstance(one.chore.rhythm, Calendar):
            found[one.chore.id] = (turn.turn.key, turn.target, turn.latest)
    return found


class Walker:
    """Lives in a household of a file; `wrong` gathers what does not hold, after which deeds."""

    def __init__(self, path: Path, now: datetime, seed: int) -> None:
        self._dice = Random(seed)
        self._deeds: list[str] = []
        self._clock = FixedClock(now)
        self.desk = open_desk(path, self._clock)
        self.wrong: list[str] = []
        self.nights = 0

    def live(self, days: int) -> None:
        """Live some days: on most of them all that is due is done in the end."""
        for _ in range(days):
            for _ in range(self._dice.randint(0, 6)):
                self.do_something()
                self.compare_views()
                if self._dice.random() < 0.2:
                    self.pass_time(timedelta(minutes=self._dice.randint(1, 240)))
            if self._dice.random() < 0.8:
                self.end_the_day()
            else:
                self.pass_time(timedelta(days=self._dice.randint(1, 3)))

    def do_something(self) -> None:
        """Do one thing; what is refused changes nothing, and what is undone leaves no trace."""
        state = self.desk.state()
        before = seen(state)
        open_items = [item for item in round_of(state).items if item.is_open]
        if not open_items:
            return
        item = self._dice.choice(open_items)
        name, deed = self._dice.choice(list(self._deeds_on(state, item)))
        self._deeds.append(f"{name} {item.id}")
        try:
            deed()
        except UserFault as fault:
            self._deeds[-1] += f" (refused: {fault.code})"
            if seen(self.desk.state()) != before:
                self._tell("a refusal changed something")
            return
        if self._dice.random() < 0.4:
            after = seen(self.desk.state())
            undo(self.desk)
            self._deeds.append("undo")
            if seen(self.desk.state()) != before:
                self._tell("an undo leaves a trace")
            if self._dice.random() < 0.5:
                redo(self.desk)
                self._deeds.append("redo")
                if seen(self.desk.state()) != after:
                    self._tell("a redo is not what was done")

    def _deeds_on(
        self, state: HouseholdState, item: Item
    ) -> Iterator[tuple[str, Callable[[], object]]]:
        """Yield what can be done; ticks are most of it."""
        ticked = self._told(item)
        for _ in range(4):
            yield "tick", lambda: tick(self.desk, [ticked])
        to = state.moment.day + timedelta(days=self._dice.randint(1, 6))
        yield f"put off to {to}", lambda: put_off(self.desk, item.id, to)
        yield "skip", lambda: skip(self.desk, item.id)
        yield "pause", lambda: pause_chore(self.desk, item.chore.id)
        litres = round(self._dice.uniform(0.3, 6.0), 1)
        tank = self._dice.choice(state.household.tanks)
        yield (
            f"change {litres} L of {tank.id} beside",
            lambda: log_water_change(self.desk, tank, WaterChange(litres, salinity=35.0)),
        )
        yield f"top off {tank.id} beside", lambda: log_top_off(self.desk, tank, litres)
        paused = [one.chore.id for one in state.chores if one.paused is not None]
        if paused:
            yield f"resume {paused[0]} beside", lambda: resume_chore(self.desk, paused[0])

    def _told(self, item: Item) -> Tick:
        """Return a tick with litres and readings as somebody would have them."""
        many = self._dice.uniform(0.6, 1.4)
        proposed = item.amount.value if item.amount and item.amount.unit == "L" else None
        litres = None
        if "litres" in item.asks:
            litres = round(self._dice.uniform(0.5, 5.0) if proposed is None else proposed * many, 1)
        is_unmeasured = litres is not None and proposed is not None and self._dice.random() < 0.3
        return Tick(
            item.id,
            litres=None if is_unmeasured else litres,
            as_proposed=is_unmeasured,
            salinity=35.0 if "salinity" in item.asks else None,
            values=tuple(self._read(name, many) for name in item.chore.tests),
        )

    def _read(self, name: str, many: float) -> ReadingValue:
        value = _USUAL[name] * (1.0 + (many - 1.0) * (0.05 if name in _CLOSE else 1.0))
        return parse_reading(name, f"{value:.3f}")

    def compare_views(self) -> None:
        """Look whether the minutes of each day are the same in the month and on the board."""
        state = self.desk.state()
        today = state.moment.day
        board = board_of(state, BOARD_DAYS)
        month = calendar_of(state, (), today, today + timedelta(days=BOARD_DAYS - 1))
        if round_of(state).totals.minutes != month.days[0].minutes:
            self._tell("the round has other minutes than the month has today")
        for ahead, one in enumerate(month.days):
            strips = board.strips
            minutes = sum(strip.minutes[ahead] for strip in strips)
            waiting = sum(strip.waiting[ahead] for strip in strips)
            if (one.minutes, one.waiting) != (minutes, waiting):
                self._tell(f"the month and the board differ on {one.day}")

    def pass_time(self, by: timedelta) -> None:
        """Let time pass: no turn that stands before and after moves by that alone."""
        before = _next_days(self.desk.state())
        self._clock.forward(by)
        self._deeds.append(f"{by} later")
        after = _next_days(self.desk.state())
        for chore, (key, *stood) in before.items():
            if chore in after and after[chore][0] == key and [*after[chore][1:]] != stood:
                self._tell(f"{chore} moved by itself: {stood} became {after[chore][1:]}")

    def end_the_day(self) -> None:
        """Do all that is due, and look whether the next morning asks for what was foretold."""
        self._do_all()
        state = self.desk.state()
        tomorrow = state.moment.day + timedelta(days=1)
        (one,) = calendar_of(state, (), tomorrow, tomorrow).days
        is_all_done = round_of(state).totals.minutes == 0
        self.pass_time(datetime.combine(tomorrow, ROUND, BERLIN) - self._clock.now())
        true = round_of(self.desk.state()).totals.minutes
        if is_all_done:
            self.nights += 1
            if one.minutes + one.waiting != true:
                told = f"{one.minutes}+{one.waiting}"
                self._tell(f"{told} min were foretold for {tomorrow}, the round has {true}")

    def _do_all(self) -> None:
        # What is done may bring something else: a part its rest.
        for _ in range(3):
            for item in round_of(self.desk.state()).items:
                if item.counts and item.is_open:
                    try:
                        tick(self.desk, [self._told(item)])
                        self._deeds.append(f"tick {item.id}")
                    except UserFault as fault:
                        self._deeds.append(f"tick {item.id} (refused: {fault.code})")

    def _tell(self, what: str) -> None:
        self.wrong.append(f"{what} after {', '.join(self._deeds[-8:])}")
