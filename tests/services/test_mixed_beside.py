"""Salt water mixed before the window of its turn: kept whole, beside the turns."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import Amount, AmountUnit, Calendar, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import SaltMix
from tankkeeper.core.logbook import BESIDE, Turn, Work
from tankkeeper.core.turns import State
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.mixed_amounts import rest_of_mixing
from tankkeeper.services.ticking import Tick, tick
from tests.gui.round_house import SEVEN, chore, make, small_house

# The day of the tests is Thursday 12 March 2026.
MIX = replace(
    chore(
        "mix",
        "Mix salt water",
        None,
        kind=ChoreKind.MIX_SALT_WATER,
        rhythm=Calendar("FREQ=WEEKLY;BYDAY=SA", date(2026, 3, 14)),
        early_days=1,
    ),
    tank=None,
)
CHANGE = chore(
    "change",
    "Change water",
    None,
    kind=ChoreKind.WATER_CHANGE,
    rhythm=Calendar("FREQ=WEEKLY;BYDAY=SU", date(2026, 3, 15)),
    amount=Amount(9.0, AmountUnit.LITRES),
)
MIX_OF_SATURDAY = Turn("mix", "2026-03-14")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A house that mixes on Saturdays, or on Friday, what Sunday's change takes: 9 L."""
    file = tmp_path / "pier.tankkeeper"
    salt = SaltMix(grams_per_litre=38.0)
    make(file, small_house(chores=(MIX, CHANGE), salt_mix=salt), FixedClock(SEVEN))
    return file


@pytest.fixture
def desk(path: Path) -> Iterator[Desk]:
    """A desk on Thursday, the day before the window."""
    opened = open_desk(path, FixedClock(SEVEN))
    yield opened
    opened.store.close()


@pytest.mark.parametrize("extent", [None, Extent.FULL, Extent.PART])
def test_fewer_litres_than_the_turn_takes_are_no_part_of_it(
    desk: Desk, extent: Extent | None
) -> None:
    """4 L on Thursday: nothing of it is left open, and Saturday mixes the 5 L that lack of 9 L."""
    (outcome,) = tick(desk, [Tick("mix", litres=4.0, extent=extent)])

    assert (outcome.stays_open, outcome.is_extra, outcome.is_beside) == (False, True, True)
    assert outcome.entry.completes == (Turn("mix", BESIDE),)
    assert outcome.entry.fact == Work(4.0, 152.0)
    coming = find_item(desk.state(), MIX_OF_SATURDAY.id)
    assert coming is not None
    assert coming.state is State.PROJECTED
    assert rest_of_mixing(desk.state(), "mix") == 5.0


def test_each_is_kept_that_is_mixed_besides_on_one_day(desk: Desk) -> None:
    """4 L and 3 L: Saturday mixes the 2 L that lack of 9 L. Done without a word is no more."""
    first, second = (tick(desk, [Tick("mix", litres=one)])[0] for one in (4.0, 3.0))

    assert (second.was_done_already, second.is_beside) == (False, True)
    assert second.entry.fact == Work(3.0, 114.0)
    assert first.entry.id != second.entry.id
    assert rest_of_mixing(desk.state(), "mix") == 2.0
    assert tick(desk, [Tick("mix")])[0].was_done_already


def test_in_its_window_they_are(path: Path) -> None:
    """On Friday 4 L of 9 L leave 5 L of the turn."""
    opened = open_desk(path, FixedClock(SEVEN + timedelta(days=1)))
    (outcome,) = tick(opened, [Tick("mix", litres=4.0)])
    assert (outcome.stays_open, outcome.is_beside) == (True, False)
    assert [turn.is_part for turn in outcome.entry.completes] == [True]
    assert rest_of_mixing(opened.state(), "mix") == 5.0
    opened.store.close()


@pytest.mark.parametrize("more", [{}, {"as_proposed": True}, {"extent": Extent.PART}])
def test_nothing_is_proposed_of_what_is_mixed_besides(desk: Desk, more: dict[str, object]) -> None:
    """What the turn to come takes is no measure of it, so the litres are asked for."""
    with pytest.raises(UserFault) as told:
        tick(desk, [Tick("mix", **more)])  # type: ignore[arg-type]

    assert told.value.code == "nothing_proposed"
    assert fault_words(told.value, None) == (
        "Beside its turns Mix salt water has no litres to propose. Say how much with --litres."
    )


def test_on_a_day_before_the_window_it_is_beside_too(path: Path) -> None:
    """4 L of Thursday, written down on Friday, when the turn is open: it still takes 5 L."""
    opened = open_desk(path, FixedClock(SEVEN + timedelta(days=1)))
    (outcome,) = tick(opened, [Tick("mix", litres=4.0, at=SEVEN)])
    assert (outcome.stays_open, outcome.is_beside) == (False, True)
    assert rest_of_mixing(opened.state(), "mix") == 5.0
    opened.store.close()
