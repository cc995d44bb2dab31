"""What could be kept though it makes no sense is refused where it is set down."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Person
from tankkeeper.gui.palette import Scheme
from tankkeeper.services.reminder_habits import Habits, quiet_of
from tests.gui.checks import cut_labels
from tests.gui.conftest import LiveIn, Remind, Wear
from tests.gui.round_house import small_house
from tests.gui.setting_hands import go as go_to_chore_field
from tests.gui.test_chores_page import chore, open_chore
from tests.gui.test_chores_page import write as write_chore
from tests.gui.test_house_page import house, new, open_house, write


def _typed(hands, desk, path: str, text: str) -> str:  # type: ignore[no-untyped-def]
    go_to_chore_field(hands, desk, path)
    write_chore(hands, text)
    hands.press("Ctrl+Return")
    # Where it was kept the list stands there again.
    return "" if desk.sheet is None else desk.sheet.fields[path].fault.replace("\u00a0", " ")


def test_no_more_is_changed_than_the_tank_holds(live_in: LiveIn) -> None:
    """With the litres of the tank; what is less goes through."""
    hands = live_in()
    desk = open_chore(hands, "Change water")
    told = _typed(hands, desk, "amount", "5000")
    assert told.startswith("Amount 5000 L is not possible. It can be from 0 to ")
    assert told.endswith(" L, all the water of the tank.")
    assert chore(hands, "change").amount == Amount(9.0, AmountUnit.LITRES)
    assert _typed(hands, desk, "amount", "20") == ""
    assert chore(hands, "change").amount == Amount(20.0, AmountUnit.LITRES)


def test_a_share_of_more_than_all_the_water_is_refused(live_in: LiveIn) -> None:
    """In per cent, too."""
    hands = live_in()
    desk = open_chore(hands, "Change water")
    unit = go_to_chore_field(hands, desk, "amount_unit")
    unit.choice.setCurrentIndex(unit._values.index(AmountUnit.PERCENT))
    assert _typed(hands, desk, "amount", "150") == (
        "Amount 150 % is not possible. It can be from 0 to 100 %."
    )


def test_an_amount_that_a_file_brought_bars_no_other_change(live_in: LiveIn) -> None:
    """The tank file allows it, so only who changes it is asked to mend it."""
    small = small_house()
    much = tuple(
        replace(one, amount=Amount(5000.0, AmountUnit.LITRES)) if one.id == "change" else one
        for one in small.chores
    )
    hands = live_in(replace(small, chores=much))
    desk = open_chore(hands, "Change water")
    go_to_chore_field(hands, desk, "name")
    write_chore(hands, "Swap water")
    hands.press("Ctrl+Return")
    assert chore(hands, "change").name == "Swap water"


def test_a_chore_is_not_offered_to_wait_for_itself(live_in: LiveIn) -> None:
    """All others of the tank and the household are."""
    hands = live_in()
    desk = open_chore(hands, "Change water")
    boxes = [one.text() for one in desk.sheet.fields["ready_before"].many.boxes]
    assert "Change water" not in boxes
    assert {"Test the water", "Calibrate the refractometer"} <= set(boxes)


def test_two_people_do_not_differ_by_capitals_alone(live_in: LiveIn) -> None:
    """Refused at the name, for a new person and for one who is renamed; one's own may change."""
    hands = live_in()
    desk = open_house(hands, "people")
    new(hands, desk)
    write(hands, desk, "name", "ADA")
    hands.press("Ctrl+Return")
    told = "There is a person called Ada already. Choose another name."
    assert desk.sheet.fields["name"].fault == told
    desk.page.asked.emit("as-it-was")
    hands.press("Esc", "End", "Return")
    write(hands, desk, "name", "ada")
    hands.press("Ctrl+Return")
    assert desk.sheet.fields["name"].fault == told
    write(hands, desk, "name", "BO")
    hands.press("Ctrl+Return")
    assert [one.name for one in house(hands).people] == ["Ada", "BO"]


def test_people_whom_a_file_brought_so_can_be_changed_otherwise(live_in: LiveIn) -> None:
    """Their names stay."""
    people = (Person("ada", "Ada"), Person("ada-2", "ada"))
    hands = live_in(replace(small_house(), people=people))
    desk = open_house(hands, "people")
    hands.press("End", "Return")
    write(hands, desk, "lifts_kg", "12")
    hands.press("Ctrl+Return")
    assert house(hands).people[1].lifts_kg == 12


def test_quiet_hours_have_a_length(remind: Remind) -> None:
    """It is told at the end of them."""
    with pytest.raises(UserFault):
        quiet_of(time(22), time(22))
    one = remind(small_house(), habits=Habits())
    desk = open_house(one.hands, "reminders")
    write(one.hands, desk, "quiet_to", "22:00")
    one.hands.press("Ctrl+Return")
    told = "Quiet hours from 22:00 to 22:00 have no length. Empty both fields for no quiet hours."
    assert desk.sheet.fields["quiet_to"].fault == told
    assert one.kept == []


def test_nothing_is_cut_where_the_tank_page_tells_what_holds_otherwise(
    live_in: LiveIn, wear: Wear
) -> None:
    """In large type, too."""
    wear(Scheme.LIGHT, 150)
    hands = live_in()
    hands.press("Ctrl+Down", "F2")
    desk = hands.window.morning.settling.tank
    lives = desk.sheet.fields["community"]
    lives.choice.setCurrentIndex(4)
    hands.settle()
    # The height of the note goes up through the layouts, one after the other.
    for _ in range(3):
        hands.app.processEvents()
    assert cut_labels(desk.page) == []
