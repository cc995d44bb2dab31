"""Stories: random things that people do to a household, through the use cases."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, time, timedelta

from hypothesis import strategies as st

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, ChoreKind, IfMissed, Once
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household
from tankkeeper.core.intervals import parse_interval
from tankkeeper.core.moment import moment_of
from tankkeeper.core.pauses import pause_spans, spans_for
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.state import fold_household, turn_before
from tankkeeper.core.turns import ChoreState, State
from tankkeeper.services.desk import Desk
from tankkeeper.services.moving import (
    pause_chore,
    pause_tank,
    put_off,
    resume_chore,
    resume_tank,
    shift,
    skip,
)
from tankkeeper.services.taking_back import redo, undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_household, by_rule, day
from tests.fakes import FakeStore, SetClock, a_desk

BEGINS = day("2026-01-05")
TANK = a_box()

RHYTHMS: tuple[tuple[str, dict[str, object]], ...] = (
    ("every 7 days", {"rhythm": AfterLastDone(parse_interval("7 days"))}),
    ("every month", {"rhythm": AfterLastDone(parse_interval("1 month")), "early_days": 3}),
    ("every 8 hours", {"rhythm": AfterLastDone(parse_interval("8 hours"))}),
    ("once", {"rhythm": Once(day("2026-01-20"))}),
    ("Saturdays", {"rhythm": by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-01-05"), "early_days": 2}),
    ("Saturdays, late", {"rhythm": by_rule("FREQ=WEEKLY", "2026-01-10"), "late_days": 2}),
    ("daily", {"rhythm": by_rule("FREQ=DAILY", "2026-01-05"), "if_missed": IfMissed.EXPIRE}),
    (
        "twice a day",
        {
            "rhythm": by_rule("FREQ=DAILY", "2026-01-05", (time(8), time(18))),
            "if_missed": IfMissed.EXPIRE,
        },
    ),
    ("two slots kept", {"rhythm": by_rule("FREQ=WEEKLY", "2026-01-06", (time(2), time(9)))}),
    (
        "each Tuesday",
        {"rhythm": by_rule("FREQ=WEEKLY", "2026-01-06"), "if_missed": IfMissed.EACH},
    ),
    ("every 900 days", {"rhythm": by_rule("FREQ=DAILY;INTERVAL=900", "2026-01-06")}),
)


def a_story_chore(name: str) -> Chore:
    """Return the chore with this rhythm, on the tank of the stories."""
    settings = dict(RHYTHMS)[name]
    rhythm = settings["rhythm"]
    assert isinstance(rhythm, AfterLastDone | Calendar | Once)
    first = BEGINS if isinstance(rhythm, AfterLastDone) else None
    chore = Chore("wipe", ChoreKind.GLASS, "Wipe", rhythm, tank=TANK.id, first_due=first)
    for field in ("early_days", "late_days", "if_missed"):
        if field in settings:
            object.__setattr__(chore, field, settings[field])
    return chore


@dataclass(frozen=True, slots=True)
class Step:
    """One thing done: days since the last one, the hour, what, and a number it may need."""

    days: int
    hour: int
    what: str
    number: int


WHAT = (
    *("tick", "tick", "tick", "tick_coming", "yesterday", "yesterday", "skip", "put_off"),
    *("put_off", "shift", "undo", "undo_some", "redo", "pause", "resume", "freeze", "thaw", "wait"),
)

steps = st.lists(
    st.builds(
        Step,
        days=st.sampled_from((0, 0, 1, 1, 2, 3, 5, 8, 20, 45, 500)),
        hour=st.sampled_from((1, 5, 9, 12, 19, 23)),
        what=st.sampled_from(WHAT),
        number=st.integers(0, 30),
    ),
    max_size=14,
)


@dataclass(slots=True)
class Story:
    """A household in which things happen."""

    household: Household
    desk: Desk
    store: FakeStore
    clock: SetClock
    today: date = BEGINS

    @classmethod
    def of(cls, chore: Chore) -> Story:
        """Return the beginning of a story about one chore."""
        household = a_household(tanks=(TANK,), chores=(chore,))
        desk, store, clock = a_desk(household, BEGINS.isoformat())
        return cls(household, desk, store, clock)

    def do(self, step: Step) -> str | None:
        """Do one thing; return the code of the fault where it is refused."""
        self.today += timedelta(days=step.days)
        last = self.clock.at
        self.clock.set_to(self.today, time(step.hour))
        self.clock.at = max(self.clock.at, last + timedelta(minutes=1))
        try:
            self._action(step)()
        except UserFault as fault:
            return fault.code
        return None

    def _action(self, step: Step) -> Callable[[], object]:
        desk, to = self.desk, self.today + timedelta(days=step.number)
        until = to if step.number % 3 else None
        back = self.clock.at - timedelta(hours=step.number * 5)
        actions: dict[str, Callable[[], object]] = {
            "tick": lambda: tick(desk, [Tick("wipe")]),
            "tick_coming": lambda: tick(desk, [Tick(self._coming())]),
            "yesterday": lambda: tick(desk, [Tick("wipe", at=back)]),
            "skip": lambda: skip(desk, ["wipe"]),
            "put_off": lambda: put_off(desk, "wipe", to),
            "shift": lambda: shift(desk, "wipe", to),
            "undo": lambda: undo(desk),
            "undo_some": lambda: undo(desk, f"n{step.number}"),
            "redo": lambda: redo(desk),
            "pause": lambda: pause_chore(desk, "wipe", until),
            "resume": lambda: resume_chore(desk, "wipe"),
            "freeze": lambda: pause_tank(desk, TANK, until),
            "thaw": lambda: resume_tank(desk, TANK),
            "wait": lambda: None,
        }
        return actions[step.what]

    def _coming(self) -> str:
        coming = self.desk.state().chores[0].upcoming
        return "wipe" if coming is None else coming.turn.id

    def states_before_closing(self, *, of_everything: bool = False) -> list[State | None]:
        """Return the states of today's closed turns before they were closed."""
        state = self.desk.state()
        if of_everything:
            history = history_of(self.store.entries)
            state = fold_household(self.household, history, self.clock.at)
        one = state.chores[0]
        turns = [turn_before(state, one.chore, closed) for closed in one.closed]
        return [None if turn is None else turn.state for turn in turns]

    def state(self, *, of_everything: bool = False) -> ChoreState:
        """Return the state of the chore, from what the store gives or from the whole log."""
        if not of_everything:
            return self.desk.state().chores[0]
        history = history_of(self.store.entries)
        spans = spans_for(self.household.chores[0], pause_spans(history.pauses, (TANK,)))
        moment = moment_of(self.household, self.clock.at)
        return fold_chore(self.household.chores[0], history.of_chore("wipe"), spans, moment)
