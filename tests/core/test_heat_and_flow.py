"""Heat and flow of a tank: what runs back, what it turns over, what makes the loss another."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.core.evaporation import Prior, PriorBasis
from tankkeeper.core.heat_and_flow import (
    HeatAndFlow,
    check_heat_and_flow,
    pump_off,
    turnover_per_hour,
)
from tankkeeper.core.household import Cover, CoverKind, Tank
from tankkeeper.core.loss_filter import Fill, FlagKind, fold, fold_restated, rate, span, start
from tankkeeper.core.tank_learning import may_lose_otherwise
from tankkeeper.core.volume import Shape, ShapeKind, Sump

# 110 cm by 50 cm are 5500 cm2.
BOX = Shape(ShapeKind.BOX, length_cm=110, width_cm=50, height_cm=55, water_depth_cm=50)
DROP = HeatAndFlow(overflow_drop_cm=1.5)
BEGUN = datetime(2025, 1, 1, 8, tzinfo=UTC)


def test_what_runs_back_is_surface_by_fall_and_the_pipes() -> None:
    """By hand: 5500 cm2 falling 1.5 cm are 8.25 L; 3 L of pipes make 11.25, 8.75 of 20 stay."""
    found = pump_off(BOX, Sump(pipes_l=3, free_l=20), DROP)

    assert found is not None
    assert found.back_l == pytest.approx(11.25)
    assert found.spare_l == pytest.approx(8.75)
    assert found.has_pipes
    assert not found.overflows


def test_a_negative_spare_overflows() -> None:
    """The water that does not fit: 11.25 L into 10."""
    found = pump_off(BOX, Sump(pipes_l=3, free_l=10), DROP)

    assert found is not None
    assert found.spare_l == pytest.approx(-1.25)
    assert found.overflows


def test_what_is_not_known_is_never_taken_as_zero() -> None:
    """Neither room nor fall nor surface is guessed; pipes that nobody measured are told."""
    found = pump_off(BOX, Sump(litres=90), DROP)
    assert found is not None
    assert (found.back_l, found.has_pipes, found.spare_l) == (pytest.approx(8.25), False, None)
    assert not found.overflows
    assert pump_off(BOX, None, DROP) is None
    assert pump_off(BOX, Sump(free_l=20), HeatAndFlow(heater_w=300)) is None
    assert pump_off(BOX, Sump(free_l=20), None) is None
    assert pump_off(Shape(ShapeKind.BOX), Sump(free_l=20), DROP) is None


def test_the_flow_over_the_water_is_the_turnover() -> None:
    """2400 L/h over 400 L are six times an hour."""
    assert turnover_per_hour(HeatAndFlow(return_l_per_h=2400), 400) == pytest.approx(6)
    assert turnover_per_hour(HeatAndFlow(), 400) is None
    assert turnover_per_hour(None, 400) is None
    assert turnover_per_hour(HeatAndFlow(return_l_per_h=2400), None) is None


@pytest.mark.parametrize(
    ("one", "field"),
    [
        (HeatAndFlow(heater_w=-1), "heater_w"),
        (HeatAndFlow(heater_w=200_001), "heater_w"),
        (HeatAndFlow(fans=101), "fans"),
        (HeatAndFlow(return_l_per_h=100_001), "return_l_per_h"),
        (HeatAndFlow(overflow_drop_cm=50.5), "overflow_drop_cm"),
        (HeatAndFlow(overflow_drop_cm=float("nan")), "overflow_drop_cm"),
    ],
)
def test_what_cannot_be_is_refused(one: HeatAndFlow, field: str) -> None:
    """Bounds of the project; and no water falls below the floor it stands on, 50 cm here."""
    with pytest.raises(UserFault) as refused:
        check_heat_and_flow(one, BOX)

    assert refused.value.values["field"] == field


def test_water_that_falls_to_the_floor_is_the_most() -> None:
    """Its depth decides, else the height of the tank."""
    check_heat_and_flow(HeatAndFlow(0, 0, 0, 50), BOX)
    check_heat_and_flow(HeatAndFlow(overflow_drop_cm=55), replace(BOX, water_depth_cm=None))
    check_heat_and_flow(HeatAndFlow(overflow_drop_cm=55))


def _tank(cover: Cover | None = None, heat: HeatAndFlow | None = None, room: str = "hall") -> Tank:
    return Tank("reef", "Reef", BOX, room=room, cover=cover, heat_and_flow=heat)


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        (_tank(Cover(CoverKind.LID)), _tank(Cover(CoverKind.MESH))),
        (_tank(Cover(CoverKind.LID)), _tank(Cover(CoverKind.LID, 0.5))),
        (_tank(Cover(CoverKind.LID)), _tank()),
        (_tank(heat=HeatAndFlow(fans=0)), _tank(heat=HeatAndFlow(fans=2))),
        (_tank(heat=HeatAndFlow(300)), _tank(heat=HeatAndFlow(200))),
        (_tank(), _tank(room="cellar")),
    ],
)
def test_another_cover_fan_heater_or_room_may_move_the_loss(was: Tank, becomes: Tank) -> None:
    """The stated events "lid/fan/heater/room changed"."""
    assert may_lose_otherwise(was, becomes)


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        (_tank(), _tank(Cover(CoverKind.MESH))),
        (_tank(), _tank(heat=HeatAndFlow(300, 2))),
        (_tank(heat=HeatAndFlow(300, None)), _tank(heat=HeatAndFlow(300, 2))),
        (_tank(heat=HeatAndFlow(300, 2)), _tank(heat=HeatAndFlow(300, 2, 2400, 1.5))),
        (_tank(Cover(CoverKind.LID)), _tank(Cover(CoverKind.LID, 1.0))),
    ],
)
def test_what_only_became_known_moves_no_loss(was: Tank, becomes: Tank) -> None:
    """Nor does another flow."""
    assert not may_lose_otherwise(was, becomes)


def _daily(litres: float, days: int, first: int = 0) -> list[Fill]:
    return [Fill(BEGUN + timedelta(days=first + day), litres) for day in range(1, days + 1)]


def test_a_loss_that_was_said_to_change_is_taken_up_without_an_alarm() -> None:
    """From 2.5 to 4 L a day with the fans: told, no flag; not told, a step or rise is found."""
    begun = start(Prior(2.5, 0.5, PriorBasis.AREA), BEGUN)
    fills = [*_daily(2.5, 15), *_daily(4.0, 10, first=15)]
    told_at = BEGUN + timedelta(days=15, hours=3)

    told, flags = fold_restated(begun, fills, [told_at])
    _plain, others = fold(begun, fills)

    assert flags == ()
    assert rate(told) == pytest.approx(4.0, rel=0.1)
    assert {one.kind for one in others} & {FlagKind.STEP_UP, FlagKind.DRIFT_UP}


def test_from_the_change_on_the_loss_is_less_sure() -> None:
    """Before the first fill after it the variance has grown by 0.4 squared, the rate stays."""
    begun = start(Prior(2.5, 0.5, PriorBasis.AREA), BEGUN)
    fills = _daily(2.5, 15)
    before, _ = fold(begun, fills)
    after, _ = fold_restated(begun, fills, [BEGUN + timedelta(days=15, hours=3)])

    assert after.variance == pytest.approx(before.variance + 0.16)
    assert rate(after) == rate(before)
    assert span(after).high > span(before).high


def test_a_change_before_the_first_fill_changes_nothing_learned() -> None:
    """The expectation was worked out from what is there now."""
    begun = start(Prior(2.5, 0.5, PriorBasis.AREA))
    fills = _daily(2.5, 15)

    assert fold_restated(begun, fills, [BEGUN]) == fold(begun, fills)
    assert fold_restated(begun, (), [BEGUN]) == (begun, ())
