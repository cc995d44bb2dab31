"""Ticks through the services again and again, and notes how much memory the process holds."""

from __future__ import annotations

import gc
import json
import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tankkeeper.app.bootstrap import desk_on, make_sample
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import AfterLastDone
from tankkeeper.core.state import HouseholdState
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import items_of_chore
from tankkeeper.services.round import round_view
from tankkeeper.services.ticking import Tick, tick

OPENED_AT = datetime(2026, 2, 16, 6, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Held:
    """What the process holds after so many ticks, and how large the household's file is.

    `resident_kib` is None where the system does not tell it.
    """

    ticks: int
    blocks: int
    resident_kib: int | None
    file_kib: int


def soaked(folder: Path, ticks: int, every: int) -> list[Held]:
    """Return what is held each time that `every` ticks more were made on the sample household.

    A day passes each time that every chore was ticked once, and a round is looked at.
    """
    clock = FixedClock(OPENED_AT)
    file = folder / "soaked.tankkeeper"
    make_sample(file, lambda _hours: clock)
    found = []
    with desk_on(file, clock) as desk:
        for number, _ in enumerate(_ticks(desk, clock, ticks), 1):
            if number % every == 0:
                gc.collect()
                blocks, size = sys.getallocatedblocks(), file.stat().st_size // 1024
                found.append(Held(number, blocks, resident_kib(), size))
    return found


def _ticks(desk: Desk, clock: FixedClock, count: int) -> Iterator[int]:
    chores = _bare_chores(desk.state())
    for number in range(count):
        chore = chores[number % len(chores)]
        if chore == chores[0]:
            clock.forward(timedelta(days=1))
            round_view(desk)
        items = [one for one in items_of_chore(desk.state(), chore) if one.entry is None]
        outcome = tick(desk, [Tick(items[0].id if items else chore)])[0]
        assert not outcome.was_done_already
        yield number


def _bare_chores(state: HouseholdState) -> list[str]:
    """Return the chores that can be ticked over and over: counted ones that ask for nothing."""
    return [
        one.chore.id
        for one in state.chores
        if isinstance(one.chore.rhythm, AfterLastDone)
        and one.paused is None
        and not any(item.asks for item in items_of_chore(state, one.chore.id))
    ]


def resident_kib() -> int | None:
    """Return what the process holds of the machine's memory, None where the system has no say."""
    status = Path("/proc/self/status")
    if not status.exists():
        return None
    line = next(one for one in status.read_text("ascii").splitlines() if one.startswith("VmRSS"))
    return int(line.split()[1])


if __name__ == "__main__":
    folder, ticks, every = sys.argv[1:]
    print(json.dumps([asdict(one) for one in soaked(Path(folder), int(ticks), int(every))]))
