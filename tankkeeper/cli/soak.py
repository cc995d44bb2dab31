"""The diagnostic `soak`: ticks through the services again and again, for crash tests.

Each line on standard output is the id of an entry whose commit has returned: whatever was printed
is in the logbook, however the process ends. It ticks chores that ask for nothing, one after the
other; where there are none, it writes notes.
"""

from __future__ import annotations

import argparse
import sys
from itertools import cycle

from tankkeeper.cli.session import Session
from tankkeeper.core.chores import AfterLastDone
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import items_of_chore
from tankkeeper.services.noting import Stamp, log_note
from tankkeeper.services.ticking import Tick, tick


def do_soak(session: Session, said: argparse.Namespace) -> None:
    """Write so many entries and print the id of each after its commit."""
    desk, by = session.desk, session.by(None)
    chores = cycle(_chores(desk.state()) or ("",))
    for number in range(1, said.writes + 1):
        entry = _one(desk, next(chores), number, by)
        sys.stdout.write(f"{entry.id}\n")
        sys.stdout.flush()


def _chores(state: HouseholdState) -> tuple[str, ...]:
    """Return the chores that can be ticked over and over: counted ones that ask for nothing."""
    return tuple(
        one.chore.id
        for one in state.chores
        if isinstance(one.chore.rhythm, AfterLastDone)
        and one.paused is None
        and not any(item.asks for item in items_of_chore(state, one.chore.id))
    )


def _one(desk: Desk, chore: str, number: int, by: str | None) -> Entry:
    items = items_of_chore(desk.state(), chore) if chore else []
    coming = next((item for item in items if item.entry is None), None)
    if coming is not None:
        try:
            outcome = tick(desk, [Tick(coming.id, by=by, note=f"soak {number}")])[0]
        except UserFault as fault:
            # Another process may have done this very turn meanwhile; a note counts as well.
            if fault.code not in ("already_done", "no_such_turn", "skipped_already"):
                raise
        else:
            if not outcome.was_done_already:
                return outcome.entry
    return log_note(desk, f"soak {number}", stamp=Stamp(by=by)).entry
