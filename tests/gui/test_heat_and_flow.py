"""Heat and flow on the tank's page: typed by keys, told beside the fields, refused in place."""

from dataclasses import replace

import pytest

from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.household import Household, ShownUnits
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.volume import Sump
from tankkeeper.gui.palette import Scheme
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, small_house
from tests.gui.setting_hands import go, save
from tests.gui.test_tank_page import open_page, tanks, write

HEAT = HeatAndFlow(300, 0, 600, 3)
TOO_SMALL = Sump(20, pipes_l=1, free_l=6)


def _house(sump: Sump | None, heat: HeatAndFlow | None) -> Household:
    house = small_house()
    reef = replace(house.tanks[0], sump=sump, heat_and_flow=heat)
    return replace(house, tanks=(reef, *house.tanks[1:]))


def _said(desk, path: str) -> str:
    label = desk.sheet.fields[path]._note_label
    return label.text().replace("\u00a0", " ")


def _pump_off(desk) -> str:
    line = desk.preview.lines[4]
    return line.text().replace("\u00a0", " ") if line.isVisibleTo(desk.page) else ""


def _type_all(hands: Hands, desk, sump_free: str = "12") -> None:
    for path, text in (
        ("sump.litres", "20"),
        ("sump.pipes_l", "1"),
        ("sump.free_l", sump_free),
        ("heat_and_flow.heater_w", "300"),
        ("heat_and_flow.fans", "2"),
        ("heat_and_flow.return_l_per_h", "600"),
        ("heat_and_flow.overflow_drop_cm", "3"),
    ):
        go(hands, desk, path)
        write(hands, text)


def test_heat_and_flow_are_typed_kept_and_undone_with_the_page_closed(live_in: LiveIn) -> None:
    """2400 cm2 falling 3 cm are 7.2 L, and 1 L of pipes; undo and redo go on in the round."""
    hands = live_in()
    desk = open_page(hands)
    _type_all(hands, desk)

    assert _pump_off(desk) == "about 8.2 L run back; the sump has room for 12 L"
    assert "times its water an hour" in _said(desk, "heat_and_flow.return_l_per_h")
    hands.press("Esc")

    assert not desk.page.isVisible()
    assert tanks(hands)["reef"].heat_and_flow == HeatAndFlow(300, 2, 600, 3)
    assert tanks(hands)["reef"].sump == Sump(20, pipes_l=1, free_l=12)
    assert hands.log()[0].entry.fact == Redefined(How.CHANGED, Thing.TANK, "Reef")
    hands.press("Ctrl+Z")
    assert tanks(hands)["reef"].heat_and_flow is None
    assert tanks(hands)["reef"].sump is None
    hands.press("Ctrl+Y")
    assert tanks(hands)["reef"].heat_and_flow == HeatAndFlow(300, 2, 600, 3)


def test_a_sump_that_is_too_small_is_told_while_it_is_typed(live_in: LiveIn) -> None:
    """What is too little is told, and what would help."""
    hands = live_in()
    desk = open_page(hands)
    _type_all(hands, desk, "6")

    assert _pump_off(desk) == (
        "the sump will overflow: about 8.2 L run back, it has room for 6 L, 2.2 L too little"
    )
    said = desk.preview.accessibleDescription().replace("\u00a0", " ")
    assert "the sump will overflow" in said
    save(hands, "heat-overflows")


def test_emptied_fields_are_not_known_again(live_in: LiveIn) -> None:
    """The part goes with its last field, and nothing is told of what is not known."""
    hands = live_in(_house(TOO_SMALL, HEAT))
    desk = open_page(hands)
    for name in ("heater_w", "fans", "return_l_per_h", "overflow_drop_cm"):
        go(hands, desk, f"heat_and_flow.{name}")
        hands.hit("Ctrl+A")
        hands.hit("Delete")
    desk._show_preview()
    assert _pump_off(desk) == ""

    hands.press("Ctrl+Return")

    assert tanks(hands)["reef"].heat_and_flow is None


def test_other_fans_are_a_change_that_may_move_the_loss(live_in: LiveIn) -> None:
    """The row of the logbook carries it; it tells both values like any field."""
    hands = live_in(_house(None, HEAT))
    desk = open_page(hands)
    go(hands, desk, "heat_and_flow.fans")
    write(hands, "2")
    hands.press("Ctrl+Return")

    assert hands.log()[0].entry.fact == Redefined(How.CHANGED, Thing.TANK, "Reef", moves_loss=True)


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("heater_w", "-5", "Heaters \u22125 W is not possible. It can be from 0 to 200000 W."),
        ("fans", "1.5", "1.5 is not a whole number."),
        ("fans", "many", "many"),
        (
            "return_l_per_h",
            "2000000",
            "Return flow 2000000 L/h is not possible. It can be from 0 to 100000 L/h.",
        ),
        ("return_l_per_h", "8 L/min", "L/min"),
        ("overflow_drop_cm", "37", "It can be from 0 to 36 cm."),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(
    live_in: LiveIn, name: str, text: str, told: str
) -> None:
    """One sentence, the text stays, nothing is written."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, f"heat_and_flow.{name}")
    write(hands, text)

    hands.press("Ctrl+Return")

    field = desk.sheet.fields[f"heat_and_flow.{name}"]
    fault = field.fault.replace("\u00a0", " ").replace("\u2060", "")
    assert told in fault
    assert fault.endswith((".", "?"))
    assert field.typed.text == text
    assert hands.log() == []


def test_flow_is_typed_and_told_in_the_unit_of_the_household(live_in: LiveIn) -> None:
    """A gallon is 3.785411784 L (the US gallon of 231 cubic inches); "600 L/h" stays 600 L/h."""
    house = _house(None, None)
    hands = live_in(replace(house, units=ShownUnits("US gal", "degF")))
    desk = open_page(hands)
    go(hands, desk, "heat_and_flow.return_l_per_h")
    write(hands, "100")
    hands.press("Ctrl+Return")
    heat = tanks(hands)["reef"].heat_and_flow
    assert heat.return_l_per_h == pytest.approx(378.5411784)
    write(hands, "600 L/h")
    hands.press("Ctrl+Return")
    assert tanks(hands)["reef"].heat_and_flow.return_l_per_h == 600
    write(hands, "9999999")
    hands.press("Ctrl+Return")
    fault = desk.sheet.fields["heat_and_flow.return_l_per_h"].fault.replace("\u00a0", " ")
    assert "from 0 to 26410 US gal/h." in fault.replace("\u2060", "")


def test_work_that_stops_the_pump_warns_where_the_sump_overflows(live_in: LiveIn) -> None:
    """In the caution beside the row; where it fits, and for other work, nothing is said of it."""
    hands = live_in(_house(TOO_SMALL, HEAT))
    hands.go_to("change")
    caution = hands.why.caution.replace("\u00a0", " ")
    assert caution.startswith(
        "When the return pump stops the sump will overflow: about 8.2 L run back, it has room for "
    )
    save(hands, "heat-why")
    hands.go_to("glass")
    assert "overflow" not in hands.why.caution


def test_where_the_sump_takes_it_work_warns_of_nothing_more(live_in: LiveIn) -> None:
    """Twelve litres take eight."""
    hands = live_in(_house(replace(TOO_SMALL, free_l=12), HEAT))
    hands.go_to("change")
    assert "overflow" not in hands.why.caution


@pytest.mark.parametrize(
    ("scheme", "percent", "size"),
    [
        (Scheme.LIGHT, 100, (1280, 800)),
        (Scheme.DARK, 100, (1280, 800)),
        (Scheme.LIGHT, 150, (1280, 800)),
        (Scheme.DARK, 150, (1280, 800)),
        (Scheme.LIGHT, 100, (980, 700)),
    ],
)
def test_the_group_stands_whole(
    live_in: LiveIn, wear: Wear, scheme: Scheme, percent: int, size: tuple[int, int]
) -> None:
    """Nothing is cut, nothing lies on another thing, every field has its name."""
    wear(scheme, percent)
    hands = live_in(_house(TOO_SMALL, HEAT), size=size)
    desk = open_page(hands)
    go(hands, desk, "heat_and_flow.overflow_drop_cm")
    hands.settle()
    save(hands, f"heat-{scheme.value}-{percent}-{size[0]}")

    assert cut_labels(desk.page) == []
    assert overlapping(desk.page) == []
    assert nameless(desk.page) == []
