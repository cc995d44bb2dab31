"""Corrections of corrections in the logbook: each is told by the one before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import Entry, Revoke, TopOff
from tankkeeper.core.moment import moment_of
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.log_words import fate_words
from tankkeeper.reports.words import Words
from tankkeeper.services import noting, taking_back
from tankkeeper.services.correcting import as_it_is, correct
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_pages import log_page
from tankkeeper.services.log_search import FoundEntry, LogKind, LogSearch
from tankkeeper.services.logbook import logbook
from tankkeeper.services.ports import LogQuery
from tests.gui.round_house import SEVEN, make, small_house

MINUTE = timedelta(minutes=1)


class Running(FixedClock):
    """A clock that goes on by some milliseconds whenever somebody looks at it."""

    def now(self) -> datetime:
        """Return the moment, which is a later one each time."""
        return self.forward(timedelta(milliseconds=7))


@pytest.fixture(params=[FixedClock, Running])
def desk(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Desk]:
    """A desk on a house in a file, with nothing written down."""
    clock = request.param(SEVEN)
    path = tmp_path / "pier.tankkeeper"
    make(path, small_house(), clock)
    opened = open_desk(path, clock)
    yield opened
    opened.store.close()


def topped_off(desk: Desk) -> Entry:
    """Return the entry of a top-off of 1.5 L."""
    nook = next(one for one in small_house().tanks if one.id == "nook")
    return noting.log_top_off(desk, nook, 1.5, stamp=noting.Stamp(by="ada")).entry


def corrected(desk: Desk, old: Entry, litres: float) -> Entry:
    """Return what stands in the place of an entry, a minute later."""
    assert isinstance(desk.clock, FixedClock)
    desk.clock.forward(MINUTE)
    return correct(desk, old.id, replace(as_it_is(old), fact=TopOff(litres))).entry


def found(desk: Desk) -> dict[str, FoundEntry]:
    """Return all of the logbook by id."""
    return {one.entry.id: one for one in log_page(desk, LogSearch()).slice.found}


def fates(desk: Desk) -> dict[str, tuple[bool, bool]]:
    """Return of each entry whether it is taken back, and whether by a correction."""
    page = logbook(desk, LogQuery()).entries
    return {row.entry.id: (row.revoked, row.corrected) for row in page}


def undo_between(desk: Desk, new: Entry) -> FoundEntry:
    """Return the undo that stands right before a correction."""
    (undo,) = (one for one in found(desk).values() if one.entry.seq == new.seq - 1)
    assert isinstance(undo.entry.fact, Revoke)
    return undo


def test_a_correction_of_a_correction_stands_in_the_place_of_that(desk: Desk) -> None:
    """And the one between was corrected, not taken back; what holds now is told of each."""
    first = topped_off(desk)
    second = corrected(desk, first, 2.0)
    third = corrected(desk, second, 2.5)
    household = small_house()
    words = Words(household, moment_of(household, desk.clock.now()))

    rows = found(desk)
    assert rows[third.id].target == second
    assert rows[second.id].target == first
    assert rows[second.id].revoked_by == third
    assert fate_words(rows[second.id], words) == "corrected today at 07:06"
    assert rows[first.id].revoked_by == third
    undo = undo_between(desk, third)
    assert undo.clears_for == third
    assert rows[third.id].cleared_by == undo.entry
    assert (fates(desk)[second.id], fates(desk)[third.id]) == ((True, True), (False, False))


def test_the_next_correction_says_what_holds_of_all_before(desk: Desk) -> None:
    """The second was corrected to the third, which holds no longer either."""
    first = topped_off(desk)
    second = corrected(desk, first, 2.0)
    third = corrected(desk, second, 2.5)
    fourth = corrected(desk, third, 3.0)

    rows = found(desk)
    assert (rows[second.id].revoked_by, rows[second.id].stands_now) == (third, fourth)
    assert (rows[third.id].revoked_by, rows[third.id].stands_now) == (fourth, fourth)
    assert rows[fourth.id].target == third
    assert fates(desk)[third.id] == (True, True)


def test_a_correction_that_somebody_took_back_says_so(desk: Desk) -> None:
    """Corrected anew after that, the first entry is what stood there."""
    first = topped_off(desk)
    second = corrected(desk, first, 2.0)
    taking_back.undo(desk, second.id, "bo")
    third = corrected(desk, first, 2.5)

    rows = found(desk)
    undo = undo_between(desk, third)
    assert rows[second.id].revoked_by == undo.entry
    assert undo.clears_for is None
    assert rows[third.id].target == first
    assert rows[third.id].cleared_by is None
    assert fates(desk)[second.id] == (True, False)


def test_a_page_of_one_kind_tells_it_as_well(desk: Desk) -> None:
    """The undo between is no correction, and stands outside what was asked for."""
    second = corrected(desk, topped_off(desk), 2.0)
    third = corrected(desk, second, 2.5)

    rows = log_page(desk, LogSearch(kind=LogKind.CORRECTION)).slice.found
    assert [(one.entry, one.revoked_by) for one in rows] == [(third, None), (second, third)]
    assert rows[0].target == second


def litres_that_hold(desk: Desk) -> list[float | None]:
    """Return the litres of the top-offs that hold."""
    rows = (one.entry for one in logbook(desk, LogQuery()).entries if not one.revoked)
    return [row.fact.litres for row in rows if isinstance(row.fact, TopOff)]


def test_undo_lets_the_correction_before_hold_again_and_redo_the_next(desk: Desk) -> None:
    """Step by step there and back, with one that holds after each."""
    first = topped_off(desk)
    corrected(desk, corrected(desk, first, 2.0), 2.5)
    held = []
    for step in (*[taking_back.undo] * 2, *[taking_back.redo] * 2, taking_back.undo):
        assert isinstance(desk.clock, FixedClock)
        desk.clock.forward(MINUTE)
        step(desk)
        held.append(litres_that_hold(desk))
    assert held == [[2.0], [1.5], [2.0], [2.5], [2.0]]


def test_nothing_is_done_again_of_what_only_made_room(desk: Desk) -> None:
    """A correction of a correction leaves nothing to redo: both would hold."""
    corrected(desk, corrected(desk, topped_off(desk), 2.0), 2.5)
    with pytest.raises(UserFault) as refused:
        taking_back.redo(desk)
    assert refused.value.code == "nothing_to_redo"
    assert litres_that_hold(desk) == [2.5]


def test_once_the_last_correction_is_taken_back_the_one_before_is_told_as_it_is(desk: Desk) -> None:
    """It holds, and the first entry reads as it says."""
    first = topped_off(desk)
    second = corrected(desk, first, 2.0)
    third = corrected(desk, second, 2.5)
    taking_back.undo(desk, third.id)

    rows = found(desk)
    assert rows[second.id].revoked_by is None
    assert rows[first.id].revoked_by == second
    assert fates(desk)[second.id] == (False, False)


def test_what_was_corrected_otherwise_since_is_not_brought_back_beside_it(desk: Desk) -> None:
    """Neither by taking its undo back nor by redo: two would hold in the place of one."""
    first = topped_off(desk)
    second = corrected(desk, first, 2.0)
    undone = taking_back.undo(desk, second.id)
    third = corrected(desk, first, 2.5)
    before = fates(desk)
    household = small_house()
    words = Words(household, moment_of(household, desk.clock.now()))

    with pytest.raises(UserFault, match="corrected_otherwise") as held:
        taking_back.undo(desk, undone.entry.id)
    assert held.value.values["holder"] == third
    told = fault_words(held.value, words).replace("\N{NO-BREAK SPACE}", " ")
    assert told.startswith("Another correction holds in its place: ")
    assert "2.5 L" in told
    with pytest.raises(UserFault, match="redo_is_held") as held:
        taking_back.redo(desk)
    assert "of a correction, and another one holds in its place" in fault_words(held.value, words)
    assert fates(desk) == before

    taking_back.undo(desk, third.id)
    taking_back.undo(desk, undone.entry.id)
    assert fates(desk)[second.id] == (False, False)
