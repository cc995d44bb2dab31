"""A keeper who lives day by day with the program and the tanks, and checks both all the time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from random import Random

from tankkeeper.core.chores import Calendar, Chore
from tests.story.agreeing import disagreements
from tests.story.program import CLOSED, Program, Row
from tests.story.standing import Standing, moved, standing, wrong_states
from tests.story.truth import MOST_LOWERING, READING_SPREAD, Truth

MORNING, AWAY_FILL, EVENING = time(7, 0), time(12, 30), time(18, 40)
WATER_KINDS = frozenset({"top-off", "reservoir"})
MOVABLE = frozenset({"glass", "filter-media", "service", "check", "other", "substrate", "test"})
FORGOTTEN = 0.06
# So the reason of an amount begins to say that it is only a part of what is missing.
TOO_FAST = "would lower the salinity too fast"


@dataclass(slots=True)
class Plan:
    """What happens beside the usual work, by the number of the day."""

    away: frozenset[int] = frozenset()
    # A neighbour fills this tank on a day on which nobody is at home; it is logged days later.
    filled_by_neighbour: Mapping[int, str] = field(default_factory=dict)
    pauses: Mapping[int, tuple[str, int]] = field(default_factory=dict)
    undone: frozenset[int] = frozenset()
    processes: frozenset[int] = frozenset()
    other: Mapping[int, Callable[[Keeper], None]] = field(default_factory=dict)
    # The views are compared with each other at every look, which takes its time.
    is_compared: bool = False


@dataclass(slots=True)
class Keeper:
    """Lives the days of a plan; what is wrong is gathered, so that one run tells all of it."""

    program: Program
    truth: Truth
    chores: Mapping[str, Chore]
    plan: Plan
    wrong: list[str] = field(default_factory=list)
    did: Counter[str] = field(default_factory=Counter)
    proposals: list[bool] = field(default_factory=list)
    chance: Random = field(default_factory=lambda: Random(14))
    touched: set[str] = field(default_factory=set)
    not_filled: set[str] = field(default_factory=set)
    last: Standing | None = None
    in_processes: bool = False
    filled_at: dict[str, str] = field(default_factory=dict)

    def live(self, number: int, on: date) -> None:
        """Live one day."""
        if number in self.plan.away:
            self._be_away(number, on)
            return
        self._move_to(on, MORNING)
        self._check_waters(on, number)
        before = self._look(on)
        self.in_processes = number in self.plan.processes
        if self.in_processes:
            self._same_in_a_process()
        self._log_what_the_neighbour_did(on)
        self._pause(number, on)
        self._skip_and_put_off(before, on)
        self._work(on, in_evening=False)
        if number in self.plan.other:
            self.plan.other[number](self)
        self._move_to(on, EVENING)
        self._work(on, in_evening=True)
        if number in self.plan.undone:
            self._undo_and_redo(on)
        self._look(on)

    def _move_to(self, on: date, wall: time) -> None:
        self.program.at(on, wall)
        self.truth.pass_to(self.program.now)

    def say(self, what: str) -> None:
        """Note what is wrong."""
        self.wrong.append(f"{self.program.now:%a %d %b %H:%M} {what}")

    # what must hold

    def _look(self, on: date) -> Standing:
        """Look at round and projection, and compare them with the last look."""
        now = standing(self.program, on)
        for what in wrong_states(now.items, on):
            self.say(what)
        if self.plan.is_compared:
            for what in disagreements(self.program):
                self.say(what)
            self.did["views compared"] += 1
        if self.last is not None:
            for what in moved(self.chores.values(), self.last, now, frozenset(self.touched)):
                self.say(what)
        self.last = now
        self.touched.clear()
        return now

    def _check_waters(self, on: date, number: int) -> None:
        """Every tank that was filled as the round said is inside its limits before work begins."""
        was_away = number - 1 in self.plan.away
        for tank_id, water in self.truth.waters.items():
            if was_away or tank_id in self.not_filled:
                continue
            low, high = self.truth.lowest(tank_id), self.truth.highest(tank_id)
            self.did["salinities checked"] += 1
            if not low <= water.salinity <= high:
                self.say(f"{tank_id} has {water.salinity:.2f}, not {low:.2f} to {high:.2f}")

    def _be_away(self, number: int, on: date) -> None:
        tank = self.plan.filled_by_neighbour.get(number)
        self._move_to(on, AWAY_FILL)
        if tank is not None:
            litres = self.truth.fill(tank)
            self.filled_at[tank] = f"{self.program.now.isoformat()} {litres}"
        self.did["days away"] += 1

    # work

    def _work(self, on: date, in_evening: bool) -> None:
        rows = self._to_do(on, in_evening)
        bare = [row for row in rows if not row["asks"]]
        if bare:
            self._tick(bare)
        for row in rows:
            if row["asks"]:
                self._tick([row], *self._measured(row))
        self._nothing_done_stands_open(rows)

    def _to_do(self, on: date, in_evening: bool) -> list[Row]:
        """Return what is done now: all that is due, but for what is forgotten or has its hour."""
        found = []
        for row in self.program.round():
            if row["state"] in CLOSED or row["state"] == "paused":
                continue
            is_water = row["kind"] in WATER_KINDS
            luck = self.chance.random()
            if row["state"] == "may wait" and luck > 0.1:
                continue
            if not in_evening and (row["slot"] or "") > "12":
                continue
            if luck < FORGOTTEN and not is_water and row["state"] != "overdue":
                self.did["forgotten"] += 1
                continue
            if in_evening and not row["slot"]:
                continue
            found.append(row)
        return found

    def _tick(self, rows: list[Row], *measured: str) -> None:
        words = ("tick", *(row["id"] for row in rows), *measured)
        if self.in_processes and not measured:
            self.program.in_a_process(*words)
            self.did["ticked through a process"] += len(rows)
        else:
            self.program.do(*words)
        for row in rows:
            self._touch(row["chore"])
            self.did[f"ticked {row['kind']}"] += 1

    def _touch(self, chore_id: str) -> None:
        """Remember that something was logged for a chore, and on its tank's water if so."""
        self.touched.add(chore_id)
        chore = self.chores[chore_id]
        if chore.kind in ("top-off", "reservoir", "water-change") or "salinity" in chore.tests:
            self._touch_water(chore.tank)

    def _touch_water(self, tank_id: str | None) -> None:
        self.touched |= {
            one.id
            for one in self.chores.values()
            if one.tank == tank_id and one.kind in WATER_KINDS
        }

    def _measured(self, row: Row) -> tuple[str, ...]:
        """Return the options that say what was measured while it was done."""
        tank = self.chores[row["chore"]].tank
        if tank is None:
            raise ValueError(f"{row['chore']} asks for {row['asks']} without a tank")
        if row["kind"] == "top-off":
            return self._top_off(row, tank)
        if row["kind"] == "reservoir":
            return self._reservoir(row, tank)
        if row["kind"] == "water-change":
            litres = float(round(row["amount"]["value"]))
            salinity = self.truth.change(tank, litres)
            return ("--litres", f"{litres:g}", "--salinity", f"{salinity:g}")
        options = []
        for name in row["asks"]:
            options += ["--value", self.truth.reading(tank, name)]
        return tuple(options)

    def _top_off(self, row: Row, tank: str) -> tuple[str, ...]:
        """Fill to the mark, or pour in the part that the round says, and watch the salinity."""
        amount, water = row["amount"], self.truth.waters[tank]
        missing, before = water.missing_l, water.salinity
        is_part = TOO_FAST in row["reason"]
        litres = self.truth.pour(tank, amount["value"]) if is_part else self.truth.fill(tank)
        self.did["parts poured"] += is_part
        if not is_part:
            self.proposals.append(amount["low"] <= missing <= amount["high"])
        self._fell(tank, before)
        (self.not_filled.add if is_part else self.not_filled.discard)(tank)
        if not is_part and self.chance.random() < 0.08:
            self.did["accepted as proposed"] += 1
            return ("--as-proposed",)
        return ("--litres", f"{litres:g}")

    def _reservoir(self, row: Row, tank: str) -> tuple[str, ...]:
        """Fill until full; once it has run dry, only what the round lets into the tank at once."""
        water = self.truth.waters[tank]
        before, is_part = water.salinity, TOO_FAST in row["reason"]
        if is_part:
            litres = self.truth.pour(tank, row["amount"]["value"])
        else:
            litres = round(2 * water.fill_reservoir()) / 2
        self.did["parts poured"] += is_part
        self.did["reservoirs that had run dry"] += is_part
        self._fell(tank, before)
        (self.not_filled.add if is_part else self.not_filled.discard)(tank)
        return ("--litres", f"{litres:g}")

    def _fell(self, tank: str, before: float) -> None:
        after = self.truth.waters[tank].salinity
        if before - after > MOST_LOWERING:
            self.say(f"{tank} fell from {before:.2f} to {after:.2f} at once")

    def _nothing_done_stands_open(self, rows: list[Row]) -> None:
        after = self.program.round()
        state_of = {row["id"]: row["state"] for row in after}
        for row in rows:
            if state_of.get(row["id"]) != "done":
                self.say(f"{row['id']} was ticked and is {state_of.get(row['id'])}")
            is_calendar = isinstance(self.chores[row["chore"]].rhythm, Calendar)
            if not is_calendar:
                again = [
                    o for o in after if o["chore"] == row["chore"] and o["state"] not in CLOSED
                ]
                for one in again:
                    self.say(f"{row['chore']} was ticked and stands open as {one['id']}")

    # what else a keeper does

    def _skip_and_put_off(self, now: Standing, on: date) -> None:
        rows = [r for r in now.items if r["state"] not in CLOSED and r["kind"] in MOVABLE]
        self.chance.shuffle(rows)
        if rows and self.chance.random() < 0.3:
            row = rows.pop()
            self.program.do("skip", row["id"], "--why", "still clean")
            self._touch(row["chore"])
            self.did["skipped"] += 1
        if rows and self.chance.random() < 0.3:
            row = rows.pop()
            to = on + timedelta(days=self.chance.choice((1, 2, 3)))
            status, out, err = self.program.type_("put-off", row["id"], "--to", str(to))
            if (status, bool(err)) not in ((0, False), (1, True)):
                self.say(f"put-off {row['id']}: {status} {out} {err}")
            if status == 0:
                self._touch(row["chore"])
                self._is_put_off(row, to)
            self.did["put off" if status == 0 else "put-off refused"] += 1

    def _is_put_off(self, row: Row, to: date) -> None:
        """A turn that was put off is not open today and stands on the day it was put off to."""
        now = self.program.round()
        later = self.program.ahead(to)
        if any(o["chore"] == row["chore"] and o["state"] not in ("may wait", *CLOSED) for o in now):
            self.say(f"{row['chore']} was put off to {to} and is due today")
        if not any(o["chore"] == row["chore"] and o["target"] == str(to) for o in (*now, *later)):
            self.say(f"{row['chore']} was put off to {to} and does not stand there")

    def _pause(self, number: int, on: date) -> None:
        if number not in self.plan.pauses:
            return
        chore, days = self.plan.pauses[number]
        until = on + timedelta(days=days)
        self.program.do("pause", chore, "--until", str(until))
        self.touched.add(chore)
        self.did["paused"] += 1
        shown = [row for row in self.program.round() if row["chore"] == chore]
        shown += self.program.ahead(until)
        if any(r["chore"] == chore and r["state"] not in ("paused", *CLOSED) for r in shown):
            self.say(f"{chore} is paused until {until} and stands in the round or before")

    def _undo_and_redo(self, on: date) -> None:
        """What an undo takes away a redo brings back, to the letter."""
        rows = [r for r in self.program.round() if r["state"] not in CLOSED and not r["asks"]]
        if not rows:
            return
        before = self.program.document("round")
        self._tick(rows[:1])
        after = self.program.document("round")
        self.program.do("undo")
        if self.program.document("round") != before:
            self.say(f"undo of {rows[0]['id']} left another round")
        self.program.do("redo")
        if self.program.document("round") != after:
            self.say(f"redo of {rows[0]['id']} left another round")
        self.did["undone and redone"] += 1

    def _log_what_the_neighbour_did(self, on: date) -> None:
        """A top-off of days ago moves what depends on it, and brings the amount near the truth."""
        for tank, told in self.filled_at.items():
            at, litres = told.split()
            self.program.do("log", "top-off", "--tank", tank, "--litres", litres, "--at", at)
            self._touch_water(tank)
            self.did["logged days later"] += 1
            rows = self.program.document("tanks")["tanks"]
            names = {one.id: one.name for one in self.truth.sample.household.tanks}
            now = next(one for one in rows if one["name"] == names[tank])
            true = self.truth.waters[tank].salinity
            if abs(now["salinity"]["value"] - true) > 2 * READING_SPREAD:
                self.say(f"{tank} is said to have {now['salinity']['value']}, it has {true:.2f}")
        self.filled_at.clear()

    def _same_in_a_process(self) -> None:
        """A process of its own says the same, sign for sign."""
        for words in (("round", "--json"), ("round",), ("tanks", "--json")):
            if self.program.in_a_process(*words) != self.program.do(*words):
                self.say(f"{words} of a process differs")
        self.did["days through processes"] += 1
