"""The tank rail by keyboard, by screen reader, and with more tanks than fit."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QPainter

from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.rail import FOLDS_FROM_TANKS, RailModel, TankRail
from tests.gui.invented import BOWL, HOLM, LONGEST_BY_HAND, MANY, NOOK, SKERRY, THREE, WHOLE_HOUSE


@pytest.fixture
def rail(qtbot) -> TankRail:  # type: ignore[no-untyped-def]
    """A shown rail with three tanks."""
    made = TankRail(motion=MotionChoice.OFF)
    made.resize(216, 700)
    qtbot.addWidget(made)
    made.set_cards(THREE)
    with qtbot.waitExposed(made):
        made.show()
    made.setFocus()
    return made


def test_the_model_is_a_proper_model(qtmodeltester) -> None:  # type: ignore[no-untyped-def]
    """The rows are told to Qt as Qt wants them."""
    model = RailModel()
    model.set_cards(THREE)

    qtmodeltester.check(model)


def test_arrow_keys_choose_a_tank(qtbot, rail) -> None:  # type: ignore[no-untyped-def]
    """Each tank is one stop; the whole house is the first."""
    told: list[object] = []
    rail.chosen.connect(told.append)

    for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_Home):
        qtbot.keyClick(rail, key)

    assert told == ["skerry", "nook", "skerry", None]


def test_a_click_chooses_a_tank(qtbot, rail) -> None:  # type: ignore[no-untyped-def]
    """Mouse and keyboard are equal."""
    area = rail.visualRect(rail.model().index(3))

    with qtbot.waitSignal(rail.chosen) as told:
        qtbot.mouseClick(rail.viewport(), Qt.MouseButton.LeftButton, pos=area.center())

    assert told.args == ["holm"]


def test_new_figures_keep_the_chosen_tank_and_are_no_choice(qtbot, rail) -> None:  # type: ignore[no-untyped-def]
    """A tick changes the figures; it must not narrow or widen the views."""
    rail.choose("nook")
    told: list[object] = []
    rail.chosen.connect(told.append)

    rail.set_cards((WHOLE_HOUSE, SKERRY, replace(NOOK, overdue=0), HOLM))
    rail.set_cards((WHOLE_HOUSE, SKERRY, BOWL, NOOK, HOLM))

    assert rail.chosen_id == "nook"
    assert told == []


def test_a_tank_that_went_gives_way_to_the_whole_house(qtbot, rail) -> None:  # type: ignore[no-untyped-def]
    """When the chosen tank is gone the views widen."""
    rail.choose("nook")

    with qtbot.waitSignal(rail.chosen) as told:
        rail.set_cards((WHOLE_HOUSE, SKERRY))

    assert told.args == [None]


def test_a_screen_reader_hears_a_sentence_for_each_tank(rail) -> None:  # type: ignore[no-untyped-def]
    """The name in the accessible tree is the whole sentence."""
    tree = QAccessible.queryAccessibleInterface(rail)
    spoken = [tree.child(number).text(QAccessible.Text.Name) for number in range(tree.childCount())]

    assert tree.text(QAccessible.Text.Name) == "Tanks"
    for card in THREE:
        assert card.sentence in spoken


def test_the_chosen_tank_is_kept_in_view(qtbot, rail) -> None:  # type: ignore[no-untyped-def]
    """Ten tanks do not fit; the one that was chosen is never out of sight."""
    rail.set_cards(MANY)
    rail.resize(216, 300)

    rail.choose(MANY[-1].id)

    area = rail.visualRect(rail.currentIndex())
    assert rail.viewport().rect().intersects(area)
    assert area.top() >= 0


def test_from_six_tanks_on_quiet_ones_fold(rail) -> None:  # type: ignore[no-untyped-def]
    """Pictures go to half scale; a quiet tank has neither gauge nor figures."""
    assert len(MANY) - 1 >= FOLDS_FROM_TANKS
    rail.set_cards((WHOLE_HOUSE, SKERRY, NOOK, HOLM, BOWL))
    wide = rail.sizeHintForRow(1)
    assert rail.look_of(BOWL).has_figures

    rail.set_cards(MANY)

    assert rail.look_of(BOWL).has_picture
    assert not rail.look_of(BOWL).has_figures
    assert not rail.look_of(BOWL).has_gauge
    assert rail.look_of(HOLM).has_gauge
    assert rail.look_of(HOLM).has_figures
    assert rail.sizeHintForRow(1) < wide


def test_a_folded_tank_still_says_that_it_is_paused(rail) -> None:  # type: ignore[no-untyped-def]
    """Else an empty drawing would be all there is to see of it."""
    rail.set_cards(tuple(replace(one, rests="paused" if one.id == BOWL.id else "") for one in MANY))

    assert rail.look_of(replace(BOWL, rests="paused")).has_figures
    assert not rail.look_of(replace(BOWL, rests="paused")).has_gauge


def test_a_narrow_rail_shows_names_and_figures_only(rail) -> None:  # type: ignore[no-untyped-def]
    """Under 1000 px the pictures go."""
    rail.set_metrics(metrics_for(rail.font(), 980, 700))

    look = rail.look_of(SKERRY)

    assert not look.has_picture
    assert not look.has_litres
    assert look.has_figures


@pytest.mark.parametrize("percent", [100, 125, 150, 200])
def test_every_card_is_high_enough_to_be_hit(qtbot, wear, percent: int) -> None:  # type: ignore[no-untyped-def]
    """34 px at the standard font, and more with larger type."""
    from tankkeeper.gui.palette import Scheme

    wear(Scheme.LIGHT, percent)
    rail = TankRail()
    qtbot.addWidget(rail)
    rail.set_cards((*MANY, LONGEST_BY_HAND))

    smallest = min(rail.sizeHintForRow(row) for row in range(len(MANY)))

    assert smallest >= round(34 * percent / 100)


def test_the_water_rises_to_the_mark_after_a_top_off(qtbot, rail) -> None:  # type: ignore[no-untyped-def]
    """While it moves the level is between the old and the new one, and then it is the new one."""
    moving = TankRail(motion=MotionChoice.FOLLOW)
    qtbot.addWidget(moving)
    moving.set_cards(THREE)
    filled = replace(NOOK, picture=replace(NOOK.picture, mm_down=0.0))
    moving.set_cards((WHOLE_HOUSE, SKERRY, filled, HOLM))

    started = moving.drawn_card(filled).picture.mm_down
    qtbot.waitUntil(lambda: moving.drawn_card(filled).picture.mm_down == 0.0, timeout=20_000)

    assert 0.0 < started <= 12.0


def test_nothing_rises_where_motion_is_off(qtbot, rail) -> None:  # type: ignore[no-untyped-def]
    """The new level is there at once."""
    filled = replace(NOOK, picture=replace(NOOK.picture, mm_down=0.0))

    rail.set_cards((WHOLE_HOUSE, SKERRY, filled, HOLM))

    assert rail.drawn_card(filled).picture.mm_down == 0.0


@pytest.mark.parametrize(
    ("points", "expected"),
    [
        (None, ["planned", "111\N{NO-BREAK SPACE}US\N{NO-BREAK SPACE}gal when full"]),
        (24, ["planned"]),
    ],
)
def test_the_litres_of_a_planned_tank_are_never_cut(
    rail: TankRail, monkeypatch: pytest.MonkeyPatch, points: int | None, expected: list[str]
) -> None:
    """Without "when full" they read as if they were in it: on a line of their own, or on none."""
    told = "planned, 111\N{NO-BREAK SPACE}US\N{NO-BREAK SPACE}gal when full"
    if points is not None:
        font = rail.font()
        font.setPointSize(points)
        rail.setFont(font)
    drawn: list[str] = []
    keep = QPainter.drawText

    def draw(painter: QPainter, at: object, words: str, *more: object) -> object:
        drawn.append(words)
        return keep(painter, at, words, *more)  # type: ignore[call-overload]

    rail.set_cards((WHOLE_HOUSE, replace(NOOK, overdue=0, due=0, litres="", rests=told)))
    monkeypatch.setattr(QPainter, "drawText", draw)
    rail.grab()

    assert [one for one in drawn if "planned" in one or "gal" in one] == expected
