"""What new animals bring is chosen by where they come to, and the form says why."""

from dataclasses import replace
from datetime import date

import pytest

from tankkeeper.core.household import Animal, Loss
from tankkeeper.services.settling_animals import Brings, is_display, usual_brings
from tests.builders import day
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house
from tests.gui.test_chores_page import BEFORE, desk_of, follows, write


def open_new_animal(hands: Hands):
    hands.press("Ctrl+Down", "F3")
    desk = desk_of(hands)
    for button in ("animals", "new"):
        desk.page.buttons[button].setFocus()
        hands.press("Space")
    return desk


def test_a_newcomer_in_a_display_is_tested_after_and_not_reviewed(live_in: LiveIn) -> None:
    """Days 2 and 5 (common practice, no source); a quarantine can be chosen all the same."""
    hands = live_in(small_house(animals=(Animal("reef", "goby", 2, date(2025, 1, 5)),)))
    desk = open_new_animal(hands)
    write(hands, "wrasse")
    assert follows(desk) == "With it: Test after adding: wrasse."
    note = desk.sheet.fields["brings"]._note_label.text()
    assert "Animals live in Reef for longer than a quarantine lasts" in note
    hands.press("Ctrl+Return")
    new = [one for one in hands.window.session.household.chores if one.id not in BEFORE]
    assert [(one.name, one.tests) for one in new] == [
        ("Test after adding: wrasse", ("ammonia", "nitrite"))
    ]
    assert (new[0].rhythm.start, new[0].ended_on) == (date(2026, 3, 14), date(2026, 3, 18))


def test_a_newcomer_in_an_empty_tank_is_reviewed(live_in: LiveIn) -> None:
    """It counts as kept apart there, and the form says so."""
    hands = live_in()
    desk = open_new_animal(hands)
    write(hands, "wrasse")
    assert follows(desk) == "With it: Review the quarantine: wrasse and Test ammonia: wrasse."
    assert "count as kept apart here" in desk.sheet.fields["brings"]._note_label.text()


@pytest.mark.parametrize(
    ("animal", "is_one"),
    [
        (Animal("reef", "goby", 2, None), True),
        (Animal("reef", "goby", 2, date(2026, 1, 28)), True),
        (Animal("reef", "goby", 2, date(2026, 1, 29)), False),
        (Animal("nook", "goby", 2, date(2025, 1, 28)), False),
        (Animal("reef", "goby", 2, date(2025, 1, 28), (Loss(None, 2),)), False),
        (Animal("reef", "goby", 2, date(2025, 1, 28), (Loss(None, 1),)), True),
        (Animal("reef", "goby", 3, date(2025, 1, 28), (Loss(None, 1), Loss(None, 2))), False),
        (Animal("reef", "goby", 2, date(2025, 1, 28), (Loss(),)), False),
    ],
)
def test_a_display_is_where_others_live_for_longer_than_six_weeks(
    animal: Animal, is_one: bool
) -> None:
    """Those that are lost do not count."""
    house, today = replace(small_house(), animals=(animal,)), day("2026-03-12")
    assert is_display(house, "reef", today) is is_one
    assert (Brings.REVIEW in usual_brings(house, "reef", today)) is not is_one
