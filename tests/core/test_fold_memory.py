"""What a fold remembers: the very same as long as nothing that it came from is another."""

from __future__ import annotations

from datetime import time

from tankkeeper.core.chores import Chore, IfMissed
from tankkeeper.core.fold_memory import Memory
from tankkeeper.core.history import history_of
from tankkeeper.core.logbook import Entry
from tankkeeper.core.schedule import NOTHING_KNOWN
from tankkeeper.core.turns import ChoreState
from tests.builders import a_box, a_chore, a_household, a_moment, an_entry, by_rule, day

TODAY = "2026-03-12"


def folded(memory: Memory, chore: Chore, entries: list[Entry], on: str = TODAY) -> ChoreState:
    """Return the state of a chore on a day."""
    return memory.folded(chore, entries, (), a_moment(on), NOTHING_KNOWN)


def test_a_chore_is_folded_again_only_where_something_changed() -> None:
    """An entry, a day, the chore itself."""
    memory, chore, done = Memory(), a_chore(), [an_entry(1, "2026-03-02", done="wipe")]
    first = folded(memory, chore, done)
    assert folded(memory, chore, list(done)) is first

    more = [*done, an_entry(2, "2026-03-09", done="wipe")]
    assert folded(memory, chore, more) != first
    assert folded(memory, chore, more, "2026-03-13") is not folded(memory, chore, more)
    assert folded(memory, a_chore(name="Wipe the pane"), more).chore.name == "Wipe the pane"


def test_what_changes_by_the_hour_is_folded_every_time() -> None:
    """A slot lapses at the hour of the next one, though the day is the same."""
    memory, slots = Memory(), by_rule("FREQ=DAILY", TODAY, (time(9), time(18)))
    chore = a_chore(slots, if_missed=IfMissed.EXPIRE)
    at_eight, at_seven = a_moment(TODAY, time(8)), a_moment(TODAY, time(19))
    first = memory.folded(chore, [], (), at_eight, NOTHING_KNOWN)
    assert memory.folded(chore, [], (), at_seven, NOTHING_KNOWN) != first


def test_a_tank_is_learned_again_only_where_something_changed() -> None:
    """Another size, or another entry of its water."""
    memory, nook, history = Memory(), a_box(), history_of([])
    household = a_household(tanks=(nook,))
    first = memory.learned(nook, household, history, day(TODAY))
    assert memory.learned(nook, household, history, day(TODAY)) is first

    other = a_box(name="Bay")
    assert memory.learned(other, household, history, day(TODAY)) is not first
