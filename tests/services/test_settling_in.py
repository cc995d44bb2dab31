"""A household of one's own begins whole, or not at all."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import TheHouses, desk_on
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.adjusting import Adjustment, adjusted
from tankkeeper.core.chores import Calendar
from tankkeeper.core.communities import Community
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, Stage
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.salinity_limit import allowed_rise
from tankkeeper.core.state import Item, fold_household, items_of
from tankkeeper.core.target_ranges import range_of
from tankkeeper.core.turns import OpenTurn
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.reports.window_words import first_told
from tankkeeper.services import settling_in
from tankkeeper.services.desk import Desk

NOW = datetime(2026, 3, 12, 6, tzinfo=UTC)
BOX = Shape(ShapeKind.BOX, length_cm=59.0, width_cm=39.0, height_cm=40.0)


def _nook() -> Household:
    answers = settling_in.Answers("Europe/Berlin", "Nook", BOX, Community.SOFT_CORAL, "Office")
    household = settling_in.household_of(answers)
    found = settling_in.proposals_for(household, settling_in.day_of(household, NOW))
    return settling_in.with_chores(household, [one for one in found if one.is_on])


def test_tank_room_and_chores_are_kept_as_they_were_accepted(tmp_path: Path) -> None:
    """What is read back from the file is what was told."""
    household, path = _nook(), tmp_path / "own.tankkeeper"

    TheHouses(path, NOW.isoformat()).found(household)

    with desk_on(path, FixedClock(NOW)) as desk, desk.store.reading() as reading:
        kept = desk.household(reading)
    assert kept.tanks == household.tanks
    assert kept.rooms == household.rooms
    assert {one.id for one in kept.chores} == {one.id for one in household.chores}


def _windows(desk: Desk) -> list[tuple[Item, OpenTurn]]:
    state = desk.state()
    items = [item for one in state.chores for item in items_of(state, one)]
    return [(item, item.open) for item in items if item.open is not None]


def test_no_window_of_a_new_household_begins_before_it(tmp_path: Path) -> None:
    """On its first day nobody could have done anything before; no due day is another for it.

    Nor of a tank that comes later.
    """
    household, path = _nook(), tmp_path / "own.tankkeeper"
    state = fold_household(household, history_of(()), NOW)
    due = {turn.turn: turn.target for one in state.chores for turn in one.open}

    TheHouses(path, NOW.isoformat()).found(household)

    today = date(2026, 3, 12)
    with desk_on(path, FixedClock(NOW)) as desk:
        found = _windows(desk)
        assert any(turn.earliest < today for _, turn in found)
        assert [item.chore.name for item, turn in found if first_told(item, turn) < today] == []
        assert {turn.turn: turn.target for _, turn in found} == due
    later = NOW + timedelta(days=10)
    answers = settling_in.Answers("Europe/Berlin", "Reef", BOX, Community.SOFT_CORAL)
    with desk_on(path, FixedClock(later)) as desk:
        grown = settling_in.household_with(household, answers)
        proposals = settling_in.proposals_for(grown, date(2026, 3, 22))
        settling_in.add_tank(desk, answers, [one for one in proposals if one.is_on])
        of_reef = [one for one in _windows(desk) if one[0].chore.tank == "reef"]
        assert any(turn.earliest < date(2026, 3, 22) for _, turn in of_reef)
        assert all(first_told(item, turn) >= date(2026, 3, 22) for item, turn in of_reef)


def _on_with_another(first: Stage, left_out: set[str]) -> set[str]:
    """Return the chores of the house that are on where they are proposed for a second tank."""
    on = settling_in.day_of(_nook(), NOW)
    answers = settling_in.Answers("Europe/Berlin", "Nook", BOX, Community.SOFT_CORAL, stage=first)
    house = settling_in.household_of(answers)
    found = settling_in.proposals_for(house, on)
    house = settling_in.with_chores(
        house, [one for one in found if one.is_on and one.row.key not in left_out]
    )
    more = settling_in.Answers("Europe/Berlin", "Reef", BOX, Community.SOFT_CORAL)
    proposals = settling_in.proposals_for(settling_in.household_with(house, more), on)
    assert left_out <= {one.row.key for one in proposals}
    assert [one.is_on for one in proposals] == sorted(
        (one.is_on for one in proposals), reverse=True
    )
    return {one.row.key for one in proposals if one.row.for_house and one.is_on}


def test_what_the_house_declined_stays_off_with_the_next_tank() -> None:
    """It is listed, below what is on, for whoever changed their mind."""
    declined = {"rcd", "calibrate-salinity", "mix-salt-water"}
    assert _on_with_another(Stage.RUNNING, declined) == set()


def test_what_the_house_was_never_proposed_is_on_with_the_next_tank() -> None:
    """A tank in its first weeks is proposed no mixing, so that nobody declined it."""
    assert _on_with_another(Stage.CYCLING, {"rcd"}) == {"mix-salt-water"}


def test_a_household_that_has_a_tank_is_left_alone(tmp_path: Path) -> None:
    """Neither written over by a second beginning, nor filled twice."""
    path = tmp_path / "own.tankkeeper"
    TheHouses(path, NOW.isoformat()).found(_nook())

    with desk_on(path, FixedClock(NOW)) as desk, pytest.raises(UserFault, match="not_empty"):
        settling_in.settle_in(desk, _nook())
    with pytest.raises(UserFault, match="file_exists"):
        TheHouses(path, NOW.isoformat()).found(_nook())
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []


@pytest.mark.parametrize(
    ("is_quarantine", "said", "lives"),
    [
        (True, None, Community.FISH_ONLY),
        (True, Community.ANEMONE, Community.ANEMONE),
        (False, None, None),
    ],
)
def test_a_quarantine_tank_is_for_fish_unless_somebody_says_otherwise(
    is_quarantine: bool, said: Community | None, lives: Community | None
) -> None:
    """Of no other tank is guessed what lives in it; its stage is that of any running tank."""
    answers = settling_in.Answers("Europe/Berlin", "Ward", BOX, said, is_quarantine=is_quarantine)
    (tank,) = settling_in.household_of(answers).tanks
    assert (tank.community, tank.stage) == (lives, Stage.RUNNING)


def test_the_mixing_of_the_household_serves_a_new_tank_too(tmp_path: Path) -> None:
    """Its change comes each week, the other every second; what mixed for one mixes for both."""
    household, path = _nook(), tmp_path / "own.tankkeeper"
    TheHouses(path, NOW.isoformat()).found(household)
    answers = settling_in.Answers("Europe/Berlin", "Reef", BOX, Community.SOFT_CORAL)
    grown = settling_in.household_with(household, answers)
    found = settling_in.proposals_for(grown, settling_in.day_of(grown, NOW))
    change = next(one for one in found if one.chore.name == "Change water")
    weekly = adjusted(change, Adjustment(1, (5,)), settling_in.day_of(grown, NOW))

    with desk_on(path, FixedClock(NOW)) as desk:
        settling_in.add_tank(desk, answers, [weekly])
        kept = {one.name: one for one in desk.state().household.chores if one.tank is None}
    rhythm = kept["Mix salt water"].rhythm
    assert isinstance(rhythm, Calendar)
    assert rhythm.rule == "FREQ=WEEKLY;BYDAY=FR"


@pytest.mark.parametrize("community", [*Community, None])
def test_the_target_of_a_new_tank_leaves_room_to_rise_in_its_range(
    community: Community | None,
) -> None:
    """By the half that the salinity may rise before a top-off; 35 where that fits.

    Fish alone are kept at 30 to 35 (core/communities), whose middle is 32.5.
    """
    answers = settling_in.Answers("Europe/Berlin", "Nook", BOX, community)
    [tank] = settling_in.household_of(answers).tanks
    wanted = range_of(tank, PARAMETERS["salinity"])
    target = tank.target_salinity
    assert target is not None

    assert target == (32.5 if community is Community.FISH_ONLY else 35.0)
    assert wanted.low is None or wanted.low <= target
    assert wanted.high is None or target + allowed_rise(tank) <= wanted.high
