"""What is told of a tank's flow, and the caution of work that has its pump off."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.household import ShownUnits, Stage, Tank
from tankkeeper.core.volume import Shape, ShapeKind, Sump
from tankkeeper.reports.altered_words import altered_text
from tankkeeper.reports.cautions import caution_at, caution_long
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.flow_words import overflow_caution, pump_off_line, turnover_note
from tankkeeper.reports.words import Words
from tankkeeper.services.tank_file import read_tank_file
from tests.builders import a_household, a_moment
from tests.reports.scenes import change, chore, item, nook

NOW = datetime(2026, 3, 12, 6, tzinfo=UTC)
# 110 cm by 50 cm falling 1.5 cm are 8.25 L; 3 L in the pipes make 11.25.
BOX = Shape(ShapeKind.BOX, length_cm=110, width_cm=50, height_cm=55, water_depth_cm=50)
DROP = HeatAndFlow(return_l_per_h=2400, overflow_drop_cm=1.5)


def _words(units: ShownUnits | None = None) -> Words:
    return Words(a_household(units=units or ShownUnits()), a_moment("2026-03-12"))


def _tank(sump: Sump | None, heat: HeatAndFlow | None = DROP) -> Tank:
    return Tank("nook", "Nook", BOX, sump=sump, heat_and_flow=heat)


@pytest.mark.parametrize(
    ("sump", "told"),
    [
        (Sump(pipes_l=3, free_l=20), "about 11.2 L run back; the sump has room for 20 L"),
        (
            Sump(pipes_l=3, free_l=10),
            "the sump will overflow: about 11.2 L run back, it has room for 10 L, 1.2 L too little",
        ),
        (Sump(pipes_l=3), "about 11.2 L run back; the room in the sump is not known yet"),
        (
            Sump(free_l=20),
            "about 8.2 L run back, and what the pipes hold; the sump has room for 20 L",
        ),
        (None, ""),
    ],
)
def test_what_runs_back_is_told_with_the_room_there_is(sump: Sump | None, told: str) -> None:
    """No more digits than the sizes have; nothing that is not known is told as none."""
    assert pump_off_line(_tank(sump), _words()).replace("\u00a0", " ") == told


def test_it_is_told_in_the_unit_of_the_household() -> None:
    """11.25 L are 2.97 US gal of 3.785411784 L each, and 20 L are 5.28, which no bucket shows."""
    words = _words(ShownUnits("US gal"))
    told = pump_off_line(_tank(Sump(pipes_l=3, free_l=20)), words).replace("\u00a0", " ")
    assert told == "about 2.97 US gal run back; the sump has room for 5.3 US gal"


def test_the_turnover_is_told_where_flow_and_water_are_known() -> None:
    """2400 L/h over 275 L of water."""
    assert turnover_note(_tank(None), _words()).replace("\u00a0", " ") == (
        "About 8.7 times its water an hour."
    )
    assert turnover_note(_tank(None, HeatAndFlow(return_l_per_h=0)), _words()) == ""
    assert turnover_note(_tank(None, None), _words()) == ""
    nowhere = replace(_tank(None), shape=Shape(ShapeKind.BOX))
    assert turnover_note(nowhere, _words()) == ""


def test_sizes_that_cannot_be_tell_nothing_here() -> None:
    """They are refused at their own field."""
    shape = replace(BOX, length_cm=-1.0)
    assert pump_off_line(replace(_tank(Sump(free_l=2)), shape=shape), _words()) == ""
    assert turnover_note(replace(_tank(None), shape=shape), _words()) == ""


def test_only_work_that_stops_the_pump_at_a_sump_too_small_warns_of_it() -> None:
    """The caution of the kind follows whole; where the water fits it stands alone."""
    words = _words()
    small = replace(nook(), shape=BOX, sump=Sump(pipes_l=3, free_l=10), heat_and_flow=DROP)
    large = replace(small, sump=Sump(pipes_l=3, free_l=20))
    done = replace(item(change())[0], tank=small)

    told = caution_at(done, words)

    assert told.startswith("When the return pump stops the sump will overflow: about")
    assert told.endswith(caution_long(done))
    assert caution_at(replace(done, tank=large), words) == caution_long(done)
    glass = replace(item(chore(ChoreKind.GLASS))[0], tank=small)
    assert caution_at(glass, words) == caution_long(glass)
    assert overflow_caution(None, words) == ""


def test_a_file_that_holds_what_cannot_be_is_told_in_words() -> None:
    """The names are those of the page, the units stand behind the numbers."""
    text = (
        'format = "tankkeeper"\nversion = 1\n[household]\n[[tanks]]\nname = "Pool"\n'
        "[tanks.shape]\nlength_cm = 60\nwidth_cm = 40\nheight_cm = 40\n[tanks.heat_and_flow]\n"
        "heater_w = -1\nreturn_l_per_h = 100001\noverflow_drop_cm = 41\n"
    )
    with pytest.raises(UserFault) as refused:
        read_tank_file(text, now=NOW, today=NOW.date())
    told = fault_words(refused.value).replace("\u00a0", " ").replace("\u2060", "")
    assert "Heaters \u22121 W is not possible. It can be from 0 to 200000 W." in told
    assert "Return flow 100001 L/h is not possible. It can be from 0 to 100000 L/h." in told


def test_another_heater_is_told_with_its_unit_before_an_import() -> None:
    """As the preview of a file tells what differs."""
    other = _tank(None, replace(DROP, return_l_per_h=1800))
    told = altered_text(_tank(None), other, _words(), _words()).replace("\u00a0", " ")
    assert told == "heat and flow, return: 2400 L/h \u2192 1800 L/h"


def test_nothing_runs_back_in_a_tank_that_was_given_up() -> None:
    """It holds no water, so nothing is said of what the pump would let down."""
    running = _tank(Sump(pipes_l=3, free_l=20))

    assert pump_off_line(running, _words()) != ""
    assert pump_off_line(replace(running, stage=Stage.RETIRED), _words()) == ""
