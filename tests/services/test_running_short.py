"""Salt water that will be missing by the litres that a mixing states itself, told days before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit, Calendar, ChoreKind
from tankkeeper.core.household import SaltMix
from tankkeeper.core.state import Item
from tankkeeper.gui.models.round_rows import HeadingRow, sheet_of
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.short_words import short_standing
from tankkeeper.reports.words import Words
from tankkeeper.services.ahead import ahead
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import calendar_view
from tankkeeper.services.desk import Desk
from tankkeeper.services.mixing_beside import missing_beside
from tankkeeper.services.round import round_of, round_view
from tankkeeper.services.ticking import Tick, tick
from tests.builders import days
from tests.gui.round_house import SEVEN, make, small_house
from tests.services.test_mixed_beside import CHANGE, MIX

# The day of the tests is Thursday 12 March 2026; the change takes 9 L on Sunday.
SUNDAY, SUNDAY_AFTER = date(2026, 3, 15), date(2026, 3, 22)
LAST = SUNDAY_AFTER + timedelta(days=7)
STATED = replace(MIX, amount=Amount(5.0, AmountUnit.LITRES))
IN_WINDOW = replace(CHANGE, early_days=4)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A house that mixes 5 L on Saturdays, whatever the changes take."""
    file = tmp_path / "pier.tankkeeper"
    salt = SaltMix(grams_per_litre=38.0)
    make(file, small_house(chores=(STATED, IN_WINDOW), salt_mix=salt), FixedClock(SEVEN))
    opened = open_desk(file, FixedClock(SEVEN))
    yield opened
    opened.store.close()


def later(desk: Desk, at: int) -> Desk:
    """Return the desk so many days after Thursday."""
    return Desk(desk.store, FixedClock(SEVEN + timedelta(days=at)), desk.ids)


def views(desk: Desk) -> dict[str, Sequence[Item]]:
    """Return the lines of every view that has days to come."""
    today = desk.state().moment.day
    month = calendar_view(desk, today, LAST)
    board = board_of(desk.state(), 11)
    return {
        "round": round_view(desk).items,
        "ahead": ahead(desk, today, LAST).items,
        "month": [item for one in month.days for item in one.items],
        "board": [one.item for band in board.bands for one in band.placed],
    }


def told(desk: Desk, chore: str) -> dict[date, set[tuple[str, str]]]:
    """Return by day what the views say of the water that is missing: state and last sentence."""
    state = desk.state()
    words, found = Words(state.household, state.moment), dict[date, set[tuple[str, str]]]()
    for items in views(desk).values():
        for item in items:
            if item.chore.id != chore or item.open is None or item.entry is not None:
                continue
            row, why = plain(state_words(item, words)), plain(reason(item, words))
            short = row.rpartition(", ")[2] if row.endswith("short") else ""
            starts = [why.find(each) for each in ("What stands", "With what", "At most")]
            at = max(starts)
            found.setdefault(item.open.target, set()).add((short, why[at:] if at >= 0 else ""))
    return found


def test_a_change_says_days_before_what_will_be_missing_in_every_view(desk: Desk) -> None:
    """2 L stand, Saturday makes 5 L: of Sunday's 9 L 2 L lack, and 4 L a week later."""
    tick(desk, [Tick("mix", litres=2.0)])

    found = told(desk, "change")

    assert found[SUNDAY] == {
        (
            "2 L short",
            "What stands mixed by then is 2 L too little for it: "
            "mix 2 L more, with 76 g of salt, by Saturday at 07:00.",
        )
    }
    # What the mixing after the next one leaves missing is told once its turn is the next.
    assert found[SUNDAY_AFTER] == {("", "")}


def test_the_mixing_says_it_too(desk: Desk) -> None:
    """With the changes that its litres do not reach for."""
    tick(desk, [Tick("mix", litres=2.0)])

    found = told(desk, "mix")

    assert found[SUNDAY - timedelta(days=1)] == {
        (
            "2 L short",
            "With what stands mixed and the 5 L of this chore, 2 L will be missing for "
            "Reef on Sunday: mix 2 L more, with 76 g of salt, by Saturday at 07:00.",
        )
    }


def test_the_round_says_it_where_no_line_does(desk: Desk) -> None:
    """On Thursday the mixing is not in its window; on Friday its own line says so."""
    tick(desk, [Tick("mix", litres=2.0)])
    thursday, friday = round_view(desk), round_view(later(desk, 1))
    words = Words(thursday.household, thursday.moment)

    (short,) = thursday.short
    assert plain(short_standing(short, words)) == (
        "With what stands mixed and the 5 L of Mix salt water, 2 L will be missing for Reef "
        "on Sunday: mix 2 L more, with 76 g of salt, by Saturday at 07:00."
    )
    rows = [one for one in sheet_of(thursday, words).rows if isinstance(one, HeadingRow)]
    assert [one.name for one in rows if one.standing] == ["Household"]
    heading = rows[-1]
    assert plain(heading.standing[0]) == "2 L of salt water short on Sunday"
    assert heading.way == short_standing(short, words)
    assert plain(heading.way) in heading.sentence
    assert friday.short == ()


@pytest.mark.parametrize(("tank", "person"), [("nook", None), (None, "bo")])
def test_whom_it_does_not_concern_it_is_not_told(
    desk: Desk, tank: str | None, person: str | None
) -> None:
    """The round of a tank that takes none of the water, and of who does not mix."""
    tick(desk, [Tick("mix", litres=2.0)])
    state = desk.state()
    house = state.household
    bo = replace(house.people[1], not_for=(ChoreKind.MIX_SALT_WATER,))
    house = replace(house, people=(house.people[0], bo))
    state = replace(state, household=house)

    of_tank = None if tank is None else house.tank(tank)
    by = None if person is None else bo
    assert round_of(state, of_tank, by).short == ()
    assert round_of(state).short


def test_what_is_missing_is_proposed_of_a_mixing_beside_the_turns(desk: Desk) -> None:
    """Then nothing is missing any more."""
    tick(desk, [Tick("mix", litres=2.0)])
    lacking = missing_beside(desk.state(), STATED)
    assert lacking is not None
    assert (lacking.value, lacking.salt_g) == (2.0, 76.0)

    tick(desk, [Tick("mix", litres=2.0)])

    assert told(desk, "change")[SUNDAY] == {("", "")}
    assert missing_beside(desk.state(), STATED) is None


def test_on_its_day_it_says_the_same_litres(desk: Desk) -> None:
    """Saturday mixed its 5 L: 7 L stand on Sunday."""
    tick(desk, [Tick("mix", litres=2.0)])
    tick(later(desk, 2), [Tick("mix", litres=5.0)])

    (row, why), *others = told(later(desk, 3), "change")[SUNDAY]

    assert not others
    assert row == "2 L short"
    assert why.startswith(
        "At most 7 L stands mixed by now: mix 2 L more, with 76 g of salt, "
        "and change once it is ready."
    )


def test_litres_that_come_too_late_are_not_told_to_help(desk: Desk) -> None:
    """On Sunday the next mixing is that of Saturday after."""
    tick(desk, [Tick("mix", litres=2.0)])
    tick(later(desk, 2), [Tick("mix", litres=5.0)])

    ((row, why),) = told(later(desk, 3), "mix")[SUNDAY_AFTER - timedelta(days=1)]

    assert row == "2 L short"
    assert why == (
        "What stands mixed is 2 L too little for Reef today: mix 2 L more, with 76 g of salt, "
        "and change once it is ready."
    )


def test_what_others_take_of_it_is_told_with_what_stands_there(tmp_path: Path) -> None:
    """Of 7 L the nook takes 4 L, which leaves 3 L of the 9 L."""
    nook = replace(CHANGE, id="nook", tank="nook", amount=Amount(4.0, AmountUnit.LITRES))
    file = tmp_path / "pier.tankkeeper"
    make(file, small_house(chores=(STATED, IN_WINDOW, nook)), FixedClock(SEVEN))
    thursday = open_desk(file, FixedClock(SEVEN))
    tick(thursday, [Tick("mix", litres=2.0)])
    tick(later(thursday, 2), [Tick("mix", litres=5.0)])
    desk = later(thursday, 3)

    ((row, why),) = told(desk, "change")[SUNDAY]

    assert row == "6 L short"
    assert why.startswith("At most 7 L stands mixed by now for it and the other changes: mix 6 L ")
    thursday.store.close()


def test_a_change_that_waits_for_the_last_mixing_leaves_the_one_before_it(tmp_path: Path) -> None:
    """5 L are ready on Sunday evening and 8 L on Monday: the nook's 4 L need not wait for those."""
    nook = replace(CHANGE, id="nook", tank="nook", amount=Amount(4.0, AmountUnit.LITRES))
    file = tmp_path / "pier.tankkeeper"
    make(file, small_house(chores=(STATED, IN_WINDOW, nook)), FixedClock(SEVEN))
    thursday = open_desk(file, FixedClock(SEVEN))
    evening = later(thursday, 2)
    evening.clock.forward(timedelta(hours=12))
    tick(evening, [Tick("mix", litres=5.0)])
    desk = later(thursday, 3)
    tick(desk, [Tick("mix", litres=8.0)])

    ready = {
        one.chore.id: one.not_ready.ready_at
        for one in round_view(desk).items
        if one.not_ready is not None
    }

    assert ready["nook"] < ready["change"]
    thursday.store.close()


@pytest.mark.parametrize("litres", [4.0, 20.0])
def test_where_enough_will_stand_nothing_is_said(desk: Desk, litres: float) -> None:
    """4 L and the 5 L of Saturday do."""
    tick(desk, [Tick("mix", litres=litres)])

    assert told(desk, "change")[SUNDAY] == {("", "")}


def test_where_nobody_knows_what_stands_nothing_is_said(desk: Desk) -> None:
    """Nothing was ever mixed by the logbook: water may have come from elsewhere."""
    assert told(desk, "change")[SUNDAY] == {("", "")}


def test_of_a_mixing_that_follows_the_changes_nothing_is_missing(tmp_path: Path) -> None:
    """It makes what they take."""
    file = tmp_path / "pier.tankkeeper"
    make(file, small_house(chores=(MIX, IN_WINDOW)), FixedClock(SEVEN))
    desk = open_desk(file, FixedClock(SEVEN))
    tick(desk, [Tick("mix", litres=2.0)])

    assert told(desk, "change")[SUNDAY] == {("", "")}
    desk.store.close()


def test_a_turn_without_a_key_is_told_wherever_it_is_expected(tmp_path: Path) -> None:
    """A change that is open since Tuesday moves those after it in the month, not in what is ahead.

    Of 10 L today's takes 9 L, and Saturday makes 5 L.
    """
    file = tmp_path / "pier.tankkeeper"
    counted = replace(
        CHANGE, rhythm=AfterLastDone(days(4)), first_due=date(2026, 3, 10), late_days=3
    )
    make(file, small_house(chores=(STATED, counted)), FixedClock(SEVEN))
    desk = open_desk(file, FixedClock(SEVEN))
    tick(desk, [Tick("mix", litres=10.0)])

    short = {
        name: [
            (item.open.target.day, item.shortage.litres)
            for item in items
            if item.shortage and item.open and item.chore.id == "change"
        ]
        for name, items in views(desk).items()
    }

    assert short["ahead"] == [(16, 3.0), (20, 9.0)]
    assert short["month"] == short["board"] == [(17, 3.0), (21, 9.0)]
    desk.store.close()


def test_what_is_due_today_waits_for_a_mixing_that_is_open(tmp_path: Path) -> None:
    """2 L stand on Saturday for 4 L of the nook: Saturday's 5 L do, and leave 3 L for Sunday."""
    file = tmp_path / "pier.tankkeeper"
    saturday = SUNDAY - timedelta(days=1)
    nook = replace(
        CHANGE,
        id="nook",
        tank="nook",
        amount=Amount(4.0, AmountUnit.LITRES),
        rhythm=Calendar("FREQ=WEEKLY;BYDAY=SA", saturday),
    )
    make(file, small_house(chores=(STATED, IN_WINDOW, nook)), FixedClock(SEVEN))
    thursday = open_desk(file, FixedClock(SEVEN))
    tick(thursday, [Tick("mix", litres=2.0)])
    desk = later(thursday, 2)

    assert {row for row, _ in told(desk, "change")[SUNDAY]} == {"6 L short"}
    # With the 4 L of the Saturday after.
    assert {row for row, _ in told(desk, "mix")[saturday]} == {"10 L short"}
    (nooks,) = told(desk, "nook")[saturday]
    assert nooks[1].startswith("At most 2 L stands mixed by now: mix more.")
    thursday.store.close()
