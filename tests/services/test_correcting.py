"""Corrections and what is dated back: the old row stays, and what changed is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import Calendar, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Person
from tankkeeper.core.logbook import Entry, Note, TopOff, WaterChange
from tankkeeper.core.moment import moment_of
from tankkeeper.core.state import HouseholdState
from tankkeeper.reports.effect_words import effect_words
from tankkeeper.reports.words import Words
from tankkeeper.services import moving, noting, settling_house, taking_back, ticking
from tankkeeper.services.correcting import Correction, as_it_is, correct, take_back
from tankkeeper.services.desk import Desk
from tankkeeper.services.effects import with_effects
from tankkeeper.services.log_search import LogKind, LogSearch
from tankkeeper.services.ports import LoggedEntry
from tests.builders import BERLIN
from tests.gui.round_house import SEVEN, chore, make, small_house

NBSP = "\N{NO-BREAK SPACE}"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A desk on a house in a file, with nothing written down."""
    clock = FixedClock(SEVEN)
    path = tmp_path / "pier.tankkeeper"
    make(path, small_house(), clock)
    opened = open_desk(path, clock)
    yield opened
    opened.store.close()


def ticked(desk: Desk, chore: str, **more: object) -> Entry:
    """Return the entry of a tick."""
    (outcome,) = ticking.tick(desk, [ticking.Tick(chore, by="ada", **more)])  # type: ignore[arg-type]
    return outcome.entry


def logged(desk: Desk, entry_id: str) -> LoggedEntry:
    """Return an entry with whether it holds."""
    with desk.store.reading() as reading:
        found = reading.entry(entry_id)
    assert found is not None
    return found


def next_of(state: HouseholdState, chore: str) -> date | None:
    """Return on which day the next turn of a chore stands."""
    one = next(one for one in state.chores if one.chore.id == chore)
    turn = one.open[0] if one.open else one.upcoming
    return turn.target if turn is not None else None


def told(desk: Desk, effects: object) -> str:
    """Return what changed, in words."""
    household = small_house()
    words = Words(household, moment_of(household, desk.clock.now()))
    return effect_words(effects, words)  # type: ignore[arg-type]


def on(day: int, hour: int = 8) -> datetime:
    """Return an hour of a day of March."""
    return datetime.combine(date(2026, 3, day), time(hour), BERLIN)


def test_a_correction_replaces_and_the_old_entry_stays(desk: Desk) -> None:
    """The new entry does the same turn, and names the one in whose place it stands."""
    old = ticked(desk, "fill", litres=1.5)

    done = correct(desk, old.id, replace(as_it_is(old), fact=TopOff(2.5)))

    assert done.entry.replaces == old.id
    assert done.entry.completes == old.completes
    assert logged(desk, old.id).revoked
    assert logged(desk, old.id).corrected
    assert logged(desk, old.id).entry == old
    assert not logged(desk, done.entry.id).revoked


def test_undoing_a_correction_lets_the_old_entry_hold_again(desk: Desk) -> None:
    """Undo is the same for corrections as for all else."""
    old = ticked(desk, "fill", litres=1.5)
    done = correct(desk, old.id, replace(as_it_is(old), fact=TopOff(2.5)))

    taking_back.undo(desk, done.entry.id)

    assert not logged(desk, old.id).revoked
    assert logged(desk, done.entry.id).revoked


def test_what_turns_out_to_be_a_part_leaves_its_turn_open(desk: Desk) -> None:
    """The rest is still missing today, as if it had been told so at once."""
    old = ticked(desk, "fill", litres=1.0)
    assert next_of(desk.state(), "fill") == date(2026, 3, 19)

    done = correct(desk, old.id, replace(as_it_is(old), fact=TopOff(1.0, to_mark=False)))

    assert done.entry.completes == ()
    assert next_of(desk.state(), "fill") == date(2026, 3, 12)
    taking_back.take_back_all(desk, [row.id for row in done.rows])
    assert next_of(desk.state(), "fill") == date(2026, 3, 19)


def test_another_day_moves_the_next_turn_and_says_so(desk: Desk) -> None:
    """Cleaned on Monday, not today: the next cleaning comes on Monday, too."""
    old = ticked(desk, "glass")
    assert next_of(desk.state(), "glass") == date(2026, 3, 19)

    done = correct(desk, old.id, replace(as_it_is(old), at=on(9)))

    assert done.entry.day == date(2026, 3, 9)
    assert next_of(desk.state(), "glass") == date(2026, 3, 16)
    said = told(desk, done.effects)
    assert said == f"Clean the glass of Reef moves from Thu{NBSP}19 to Mon{NBSP}16."


def test_a_calendar_turn_is_settled_by_the_day_on_which_it_was_done(desk: Desk) -> None:
    """Looked at yesterday instead of today: today's turn is open again."""
    old = ticked(desk, "look")

    done = correct(desk, old.id, replace(as_it_is(old), at=on(11)))

    assert done.entry.day == date(2026, 3, 11)
    assert next_of(desk.state(), "look") == date(2026, 3, 12)


def test_correcting_twice_corrects_what_holds(desk: Desk) -> None:
    """An entry that was replaced is not replaced again."""
    old = ticked(desk, "glass")
    first = correct(desk, old.id, replace(as_it_is(old), note="only the front"))

    with pytest.raises(UserFault, match="corrected_already"):
        correct(desk, old.id, replace(as_it_is(old), note="only the back"))
    second = correct(desk, first.entry.id, replace(as_it_is(first.entry), note="only the back"))

    assert [logged(desk, one.id).revoked for one in (old, first.entry)] == [True, True]
    assert second.entry.replaces == old.id
    taking_back.take_back_all(desk, [row.id for row in second.rows])
    assert [logged(desk, one.id).revoked for one in (old, first.entry)] == [True, False]


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({}, "nothing_corrected"),
        ({"fact": Note()}, "other_kind"),
        ({"fact": TopOff(100_000.0)}, "out_of_range"),
        ({"fact": TopOff(60.0)}, "out_of_range"),
        ({"at": on(13)}, "in_the_future"),
        ({"note": "x" * 100_000}, "note_too_long"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_changes(
    desk: Desk, change: dict[str, object], code: str
) -> None:
    """By the same bounds as when it is first written down."""
    old = ticked(desk, "fill", litres=1.5)

    with pytest.raises(UserFault) as refused:
        correct(desk, old.id, replace(as_it_is(old), **change))  # type: ignore[arg-type]

    assert refused.value.code == code
    assert not logged(desk, old.id).revoked


def test_values_that_a_ticked_test_asks_for_cannot_be_left_out(desk: Desk) -> None:
    """Else a test would count as done without having been made."""
    tank = small_house().tanks[0]
    assert tank.id == "reef"
    change = WaterChange(9.0, salinity=35.0)
    old = noting.log_water_change(desk, tank, change, noting.Stamp(on(11), "ada")).entry

    with pytest.raises(UserFault) as refused:
        correct(desk, old.id, replace(as_it_is(old), fact=replace(change, salinity=90.0)))

    assert refused.value.code == "out_of_range"


def test_plans_keep_their_moment_and_undos_are_not_corrected(desk: Desk) -> None:
    """When a turn was left out or put off is no measurement; who and why can be mended."""
    skipped = moving.skip(desk, ["wipe"], by="ada")[0].entry
    with pytest.raises(UserFault, match="plan_not_moved"):
        correct(desk, skipped.id, replace(as_it_is(skipped), at=on(10)))
    mended = correct(desk, skipped.id, replace(as_it_is(skipped), by="bo", note="no cloth"))
    assert (mended.entry.by, mended.entry.note) == ("bo", "no cloth")

    undo = taking_back.undo(desk, mended.entry.id).entry

    with pytest.raises(UserFault, match="undo_not_corrected"):
        correct(desk, undo.id, Correction(undo.at, "bo", undo.fact, "why"))


def test_a_change_of_settings_is_not_corrected_but_found_by_its_kind(desk: Desk) -> None:
    """Its rows before and after are kept with the entry; another in its place would lose them."""
    changed = settling_house.add(desk, Person("", "Cleo"), "ada").entries[0]

    with pytest.raises(UserFault, match="definition_not_corrected"):
        correct(desk, changed.id, replace(as_it_is(changed), note="at last"))

    with desk.store.reading() as reading:
        search = LogSearch(kind=LogKind.DEFINITION)
        found = reading.search(search, None, 10, 100).found
    assert [one.entry.id for one in found] == [changed.id]


def test_taking_back_tells_what_is_due_again(desk: Desk) -> None:
    """As after a correction."""
    old = ticked(desk, "glass")

    done = take_back(desk, old.id, by="bo")

    said = told(desk, done.effects)
    assert said == f"Clean the glass of Reef moves from Thu{NBSP}19 to Tue{NBSP}10."


def test_what_is_written_for_an_earlier_day_tells_what_it_changes(desk: Desk) -> None:
    """A top-off of Tuesday is no top-off of today."""
    nook = next(one for one in small_house().tanks if one.id == "nook")

    def write(here: Desk) -> noting.Noted:
        return noting.log_top_off(here, nook, 1.5, stamp=noting.Stamp(on(10), "ada"))

    _noted, effects = with_effects(desk, write)

    assert told(desk, effects) == f"Top off of Nook moves from today to Tue{NBSP}17."


def test_an_entry_without_consequence_tells_none(desk: Desk) -> None:
    """A note changes nothing that is due."""
    _noted, effects = with_effects(desk, lambda here: noting.log_note(here, "All calm"))

    assert told(desk, effects) == ""


def test_a_turn_that_is_open_again_on_the_same_day_is_told(desk: Desk) -> None:
    """Of two feedings of a day one is still to come, so the next stands on the same day."""
    twice = Calendar("FREQ=DAILY", date(2026, 3, 1), slots=(time(6), time(18)))
    feed = chore("feed", "Feed", None, rhythm=twice, kind=ChoreKind.FEEDING)
    house = small_house()
    with desk.store.writing() as writing:
        writing.save_household(replace(house, chores=(*house.chores, feed)))
    old = ticked(desk, "feed")

    done = take_back(desk, old.id)

    assert told(desk, done.effects) == "Feed of Reef is open once more today."
