"""How much was mixed: what a tick keeps, and what a correction of it does to its turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import SaltMix
from tankkeeper.core.logbook import Entry, Work
from tankkeeper.services.correcting import as_it_is, correct
from tankkeeper.services.desk import Desk
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.mixed_amounts import rest_of_mixing, room_for
from tankkeeper.services.ticking import Outcome, Tick, tick
from tests.gui.round_house import SEVEN, chore, make, small_house

MIX = replace(
    chore("mix", "Mix salt water", 12, kind=ChoreKind.MIX_SALT_WATER),
    tank=None,
    amount=Amount(100.0, AmountUnit.LITRES),
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A desk on a house that is to mix 100 L today, at 38 g a litre, and can store 60 L."""
    salt = SaltMix(grams_per_litre=38.0, store_litres=60.0)
    household = small_house(chores=(MIX, chore("wipe", "Wipe the lid", 12)), salt_mix=salt)
    path, clock = tmp_path / "pier.tankkeeper", FixedClock(SEVEN)
    make(path, household, clock)
    opened = open_desk(path, clock)
    yield opened
    opened.store.close()


def mixed(desk: Desk, litres: float | None = None, **more: object) -> Outcome:
    (outcome,) = tick(desk, [Tick("mix", litres=litres, **more)])  # type: ignore[arg-type]
    return outcome


def is_done(desk: Desk) -> bool:
    return not next(one for one in desk.state().chores if one.chore.id == "mix").open


def corrected(desk: Desk, entry: Entry, litres: float) -> Entry:
    assert isinstance(entry.fact, Work)
    said = replace(as_it_is(entry), fact=replace(entry.fact, litres=litres))
    return correct(desk, entry.id, said).entry


@pytest.mark.parametrize(
    ("litres", "extent", "rest"),
    [
        (None, None, None),
        (100.0, None, None),
        # Nine tenths are all of it unless somebody says otherwise.
        (90.0, None, None),
        (89.0, None, 11.0),
        (90.0, Extent.PART, 10.0),
        (40.0, Extent.FULL, None),
    ],
)
def test_how_far_it_went(
    desk: Desk, litres: float | None, extent: Extent | None, rest: float | None
) -> None:
    """What is left stays open; what is done is kept with its salt by the yield, 38 g a litre."""
    outcome = mixed(desk, litres, extent=extent)

    assert outcome.stays_open == (rest is not None)
    assert is_done(desk) == (rest is None)
    if rest is not None:
        assert rest_of_mixing(desk.state(), "mix") == rest
    assert outcome.entry.fact == Work(litres or 100.0, 38.0 * (litres or 100.0))


def test_a_part_says_how_much_and_holds_no_reservoir(desk: Desk) -> None:
    """Nothing that was said is dropped."""
    for one, code in (
        (Tick("mix", extent=Extent.PART), "needs_litres"),
        (Tick("mix", litres=5.0, extent=Extent.HOLDS), "nothing_to_keep_it"),
        (Tick("wipe", litres=5.0, extent=Extent.PART), "nothing_to_keep_it"),
        (Tick("mix", litres=-5.0), "out_of_range"),
    ):
        with pytest.raises(UserFault) as told:
            tick(desk, [one])
        assert told.value.code == code


def test_the_room_that_is_left(desk: Desk) -> None:
    """60 L less the 45 L that stand there."""
    mixed(desk, 45.0)
    room = room_for(desk.state(), MIX)
    assert room is not None
    assert (room.left_l, room.holds(15.0), room.holds(16.0)) == (15.0, True, False)


def test_a_tick_corrected_to_less_leaves_the_rest_and_back_again(desk: Desk) -> None:
    """100 L, 40 L, 100 L; the salt follows from the litres."""
    first = mixed(desk).entry
    second = corrected(desk, first, 40.0)
    assert second.fact == Work(40.0, 1520.0)
    assert not is_done(desk)
    assert rest_of_mixing(desk.state(), "mix") == 60.0

    third = corrected(desk, second, 100.0)
    assert third.fact == Work(100.0, 3800.0)
    assert is_done(desk)


def test_salt_that_was_weighed_stays(desk: Desk) -> None:
    """Somebody wrote 4000 g down; other litres do not change that."""
    entry = mixed(desk).entry
    weighed = correct(desk, entry.id, replace(as_it_is(entry), fact=Work(100.0, 4000.0))).entry
    assert corrected(desk, weighed, 95.0).fact == Work(95.0, 4000.0)


def test_a_part_moved_to_another_day_stays_a_part(desk: Desk) -> None:
    """It was done a day earlier, and does no turn there either."""
    entry = mixed(desk, 40.0).entry
    new = correct(desk, entry.id, replace(as_it_is(entry), at=entry.at - timedelta(days=1))).entry
    assert new.completes == entry.completes
    assert rest_of_mixing(desk.state(), "mix") == 60.0
