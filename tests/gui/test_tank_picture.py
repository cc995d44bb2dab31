"""Tanks are drawn to one scale, and the gauge shows millimetres as they are."""

from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, Tank, TopOffLimits
from tankkeeper.core.logbook import ReservoirCheck
from tankkeeper.core.state import fold_household
from tankkeeper.core.volume import Shape, ShapeKind, Sump
from tankkeeper.gui.models.tank_cards import picture_of
from tankkeeper.gui.palette import Role, Scheme, colours
from tankkeeper.gui.widgets.gauge import (
    GAUGE_CUT_MM,
    GaugeUnit,
    gauge_size,
    gauge_words,
    paint_gauge,
)
from tankkeeper.gui.widgets.tank_picture import (
    GaugeAt,
    Lid,
    SumpPicture,
    TankPicture,
    common_scale,
    gauge_place,
    paint_picture,
    picture_size,
)
from tankkeeper.reports.words import Words
from tests.builders import an_entry
from tests.gui.round_house import SEVEN

LIGHT = colours(Scheme.LIGHT)
LONG = TankPicture(width_cm=150, height_cm=60, water_cm=55)
SMALL = TankPicture(width_cm=60, height_cm=40, water_cm=36, mm_down=12)


def _drawn(picture: TankPicture, scale: float) -> QImage:
    image = QImage(400, 400, QImage.Format.Format_ARGB32)
    image.fill(LIGHT[Role.GROUND])
    painter = QPainter(image)
    paint_picture(painter, picture, QPointF(10, 10), scale, LIGHT)
    painter.end()
    return image


def _rows_of(image: QImage, x: int, role: Role) -> list[int]:
    return [y for y in range(image.height()) if image.pixelColor(x, y) == LIGHT[role]]


def test_the_longest_tank_gives_the_one_scale() -> None:
    """148 px for the longest tank: a pixel for a centimetre where that is 148 cm."""
    assert common_scale([LONG, SMALL], 148) == pytest.approx(148 / 150)
    assert common_scale([SMALL], 148) == pytest.approx(148 / 60)


def test_a_tower_does_not_outgrow_the_rail() -> None:
    """Where a tank is higher than the longest is long, its height gives the scale."""
    tower = TankPicture(width_cm=40, height_cm=80, water_cm=70)

    assert common_scale([tower], 148) == pytest.approx(148 / 80)


@pytest.mark.parametrize("scale", [0.6, 1.0, 2.0])
def test_width_and_height_are_real_measures(scale: float) -> None:
    """Only the strokes and the rim come on top of the measures."""
    size = picture_size(replace(LONG, mm_down=None), scale)

    assert size.width() == pytest.approx(150 * scale, abs=4)
    assert size.height() == pytest.approx(60 * scale, abs=4)


def test_the_water_stands_at_its_height(qapp: QApplication) -> None:
    """55 cm of water at two pixels a centimetre are 110 rows of water or surface."""
    image = _drawn(LONG, 2.0)

    rows = _rows_of(image, 100, Role.WATER)

    assert len(rows) == pytest.approx(110, abs=3)


def test_a_tank_out_of_use_holds_no_water(qapp: QApplication) -> None:
    """Paused and retired tanks are drawn in outline."""
    image = _drawn(replace(LONG, is_outline_only=True), 2.0)

    assert _rows_of(image, 100, Role.WATER) == []


def test_what_evaporates_is_missing_in_the_last_chamber_of_the_sump(qapp: QApplication) -> None:
    """With an overflow the display never falls; only the last chamber does."""
    full = replace(
        LONG, sump=SumpPicture(100, 40, 25), mm_down=0, gauge_at=GaugeAt.SUMP, lid=Lid.MESH
    )
    low = replace(full, mm_down=80)
    before, after = _drawn(full, 2.0), _drawn(low, 2.0)

    display, last_chamber, first_chamber = 290, 190, 60
    assert len(_rows_of(after, first_chamber, Role.WATER)) == len(
        _rows_of(before, first_chamber, Role.WATER)
    )
    assert _rows_of(after, display, Role.WATER) == _rows_of(before, display, Role.WATER)
    lost = len(_rows_of(before, last_chamber, Role.WATER)) - len(
        _rows_of(after, last_chamber, Role.WATER)
    )
    assert lost == pytest.approx(16, abs=1)


def test_fresh_water_is_hatched_and_never_solid(qapp: QApplication) -> None:
    """The reservoir shows more ground than lines."""
    picture = replace(LONG, reservoir_fill=1.0)
    image = _drawn(picture, 2.0)
    below = [
        image.pixelColor(x, y)
        for x in range(22, 60)
        for y in range(150, 200)
        if image.pixelColor(x, y) == LIGHT[Role.WATER]
    ]

    assert below == []


def test_a_reservoir_of_which_nobody_knows_the_level_is_not_drawn_full(qapp: QApplication) -> None:
    """A sign stands in it in place of water."""
    tank = Tank("reef", "Reef", Shape(ShapeKind.BOX), top_off=TopOffLimits(reservoir_l=30.0))
    shape = Shape(ShapeKind.BOX, length_cm=60.0, width_cm=40.0, height_cm=42.0, water_depth_cm=36.0)
    house = Household("Quay", "Europe/Berlin", tanks=(replace(tank, shape=shape),))
    state = fold_household(house, history_of(()), SEVEN)
    picture = picture_of(house.tanks[0], state.waters["reef"], Words(house, state.moment))
    assert picture is not None
    assert picture.reservoir_fill == 0.0
    assert not picture.reservoir_is_known
    known = _drawn(replace(picture, reservoir_is_known=True), 3.0)
    assert _drawn(picture, 3.0) != known


@pytest.mark.parametrize("sump", [None, Sump(litres=20.0, last_chamber_cm2=600.0)])
def test_what_is_missing_since_a_reservoir_ran_empty_is_drawn(
    qapp: QApplication, sump: Sump | None
) -> None:
    """As in words: an empty reservoir beside a full tank would say that all is well.

    As long as the reservoir lasts no gauge stands there.
    """
    shape = Shape(ShapeKind.BOX, length_cm=60.0, width_cm=40.0, height_cm=42.0, water_depth_cm=36.0)
    tank = Tank("reef", "Reef", shape, sump=sump, top_off=TopOffLimits(reservoir_l=10.0))
    house = Household("Quay", "Europe/Berlin", tanks=(tank,))
    log = [
        an_entry(1 + days, SEVEN.date() - timedelta(days=30 - days), fact, tank="reef")
        for days, fact in ((0, ReservoirCheck(fill_l=3.0)), (3, ReservoirCheck(fill_l=3.0)))
    ]

    def drawn_after(passed: int) -> tuple[TankPicture, float | None]:
        state = fold_household(house, history_of(log), log[-1].at + timedelta(days=passed))
        water = state.waters["reef"]
        picture = picture_of(tank, water, Words(house, state.moment))
        assert picture is not None
        return picture, water.mm_below_mark

    (full, _), (empty, down) = drawn_after(2), drawn_after(40)

    assert full.mm_down is None
    assert down is not None
    assert down > 10.0
    assert empty.mm_down == down
    if sump is None:
        rows = [len(_rows_of(_drawn(one, 2.0), 60, Role.WATER)) for one in (empty, full)]
        assert rows[0] < rows[1]


def _level(mm_down: float) -> int:
    image = QImage(60, 60, QImage.Format.Format_ARGB32)
    image.fill(LIGHT[Role.GROUND])
    painter = QPainter(image)
    paint_gauge(painter, mm_down, QPointF(10, 5), QApplication.font(), 1.0, LIGHT)
    painter.end()
    water = [y for y in range(60) if image.pixelColor(14, y) == LIGHT[Role.WATER]]
    return water[0]


@pytest.mark.parametrize(("less", "more"), [(0, 4), (4, 12), (12, 29)])
def test_a_millimetre_is_a_pixel_on_the_gauge(qapp: QApplication, less: int, more: int) -> None:
    """The level stands at its true distance under the fill mark, ten times the drawing."""
    assert _level(more) - _level(less) == more - less


def test_a_deep_drop_is_cut_with_a_break_line(qapp: QApplication) -> None:
    """Beyond 30 mm the level stays at 30 and the words tell the rest."""
    assert _level(41) == _level(90) == pytest.approx(_level(GAUGE_CUT_MM), abs=1)
    assert gauge_words(41) == ("41\u00a0mm", "down")


def test_the_gauge_says_when_the_level_is_too_high_or_right() -> None:
    """The words never say "0 mm down" or a negative number."""
    assert gauge_words(0.3) == ("at the", "fill mark")
    assert gauge_words(-3) == ("3\u00a0mm", "too high")


def test_the_gauge_tells_the_level_in_the_inches_of_the_household() -> None:
    """An inch is 25.4 mm: 5.4 / 25.4 = 0.213, and 0.3 mm are seen by nobody."""
    inches = GaugeUnit("in", ",")
    assert gauge_words(5.4, inches) == ("0,21\u00a0in", "down")
    assert gauge_words(-3, inches) == ("0,12\u00a0in", "too high")
    assert gauge_words(0.3, inches) == ("at the", "fill mark")


def test_a_gauge_that_finds_no_room_beside_its_tank_stands_below(qapp: QApplication) -> None:
    """The longest tank fills the rail; nothing may overlap."""
    gauge = gauge_size(QApplication.font(), 12, 1.0)

    beside = gauge_place(SMALL, 1.0, gauge, 160)
    below = gauge_place(replace(LONG, mm_down=12), 1.0, gauge, 160)

    assert beside.x() > 60
    assert beside.y() < 40
    assert below.y() > picture_size(LONG, 1.0).height()
