"""What the form that corrects says of the tank, which stays: how it is written down for another."""

from __future__ import annotations

from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Work
from tankkeeper.gui.beside import WRITTEN_DOWN
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.services.correcting import can_move


def other_tank_words(entry: Entry, household: Household) -> str:
    """Return what to do where it was done on another tank, empty where there is none.

    Which turns it did, and what it tells of the water, is judged by the tank that it is written
    down for: so it is taken back there and written down anew.
    """
    if entry.tank is None or len(household.tanks) < 2 or not can_move(entry):
        return ""
    done = {one.chore for one in entry.completes}
    kinds = {one.kind for one in household.chores if one.id in done}
    is_ticked = isinstance(entry.fact, Work | None) and bool(kinds - WRITTEN_DOWN)
    anew = f"write it down anew with {key_caption(Command.WRITE_DOWN)}"
    if is_ticked:
        key = key_caption(Command.TICK_FORM)
        anew = f"tick the line of that tank, where {key} asks for the day"
    back = f"leave this, take the entry back with {key_caption(Command.TAKE_BACK)}"
    return f"If it was another tank, {back} and {anew}."
