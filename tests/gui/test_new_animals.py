"""What new animals bring is chosen by where they come to, and the form says why."""

from dataclasses import replace
from datetime import date

import pytest

from tankkeeper.core.communities import Community
from tankkeeper.core.household import Animal, Loss, Stage
from tankkeeper.services.settling_animals import Brings, is_display, usual_brings
from tests.builders import day
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.test_chores_page import BEFORE, desk_of, follows, write


def open_new_animal(hands: Hands):
    hands.press("Ctrl+Down", "F3")
    desk = desk_of(hands)
    for button in ("animals", "new"):
        desk.page.buttons[button].setFocus()
        hands.press("Space")
    return desk


def test_a_new_animal_in_a_display_is_tested_after_and_not_reviewed(live_in: LiveIn) -> None:
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


def test_a_new_animal_in_an_empty_tank_is_reviewed(live_in: LiveIn) -> None:
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


@pytest.mark.parametrize(
    ("changes", "is_one"),
    [
        ({}, True),
        ({"since": date(2026, 1, 28)}, True),
        ({"since": date(2026, 1, 29)}, False),
        ({"community": None}, False),
        ({"stage": Stage.CYCLING}, False),
    ],
)
def test_a_tank_that_runs_with_a_community_is_a_display(
    live_in: LiveIn, changes: dict[str, object], is_one: bool
) -> None:
    """Without an animal written down; six weeks before 12 March are up to 29 January."""
    values = {"community": Community.SMALL_POLYP_STONY, "stage": Stage.RUNNING} | changes
    house = small_house()
    reef = replace(house.tanks[0], **values)  # type: ignore[arg-type]
    hands = live_in(replace(house, tanks=(reef, *house.tanks[1:])))

    desk = open_new_animal(hands)
    write(hands, "wrasse")

    note = desk.sheet.fields["brings"]._note_label.text()
    assert ("counts as a display" in note) is is_one
    # Nobody wrote an animal down, so none is said to live there for long.
    assert "Animals live in" not in note
    since = changes.get("since")
    runs = "Reef is running with small-polyp stony corals, so it counts as a display"
    if since is not None:
        runs = (
            "Reef has been running with small-polyp stony corals since 28\N{NO-BREAK SPACE}January,"
            " so it counts as a display"
        )
    assert (runs in note) is is_one
    with_it = "Test after adding: wrasse"
    if not is_one:
        with_it = "Review the quarantine: wrasse and Test ammonia: wrasse"
    assert follows(desk) == f"With it: {with_it}."


def _open_firefish(live_in: LiveIn):
    fish = Animal("reef", "Firefish", 1, date(2026, 3, 10))
    house = small_house(animals=(fish,))
    tests = chore("ammonia", "Test ammonia: Firefish", 12)
    hands = live_in(replace(house, chores=(*house.chores, tests)))
    hands.press("Ctrl+Down", "F3")
    desk = desk_of(hands)
    desk.page.buttons["animals"].setFocus()
    hands.press("Space")
    desk.list.setFocus()
    hands.press("Return")
    desk.sheet.fields["lost.0.count"].go_to()
    return hands, desk


def test_more_lost_than_came_is_refused_in_place(live_in: LiveIn) -> None:
    """What was typed stays, and nothing is kept."""
    hands, desk = _open_firefish(live_in)
    write(hands, "5")
    assert follows(desk) == "5 lost are more than the 1 that came."

    hands.press("Ctrl+Return")

    assert desk.sheet.fields["lost.0.count"].typed.fault == "5 lost are more than the 1 that came."
    assert hands.window.session.household.animals[0].lost in (None, ())


def test_the_chores_of_the_last_animal_end_with_it(live_in: LiveIn) -> None:
    """The page says so before, and one undo brings both back."""
    hands, desk = _open_firefish(live_in)
    write(hands, "1")
    assert follows(desk) == "None is left, so Test ammonia: Firefish ends."

    hands.press("Ctrl+Return")

    def ended():
        chores = {one.id: one for one in hands.window.session.household.chores}
        return chores["ammonia"].ended_on

    assert ended() == date(2026, 3, 11)
    hands.press("Ctrl+Z")
    assert ended() is None


def test_of_several_tests_alone_it_is_said_that_they_are_left_out(live_in: LiveIn) -> None:
    """Into a display: the tests 2 and 5 days after the animal came are one box of several tests."""
    hands = live_in(small_house(animals=(Animal("reef", "goby", 2, date(2025, 1, 5)),)))
    desk = open_new_animal(hands)
    write(hands, "wrasse")
    fields = desk.sheet.fields

    fields["added_on"].go_to()
    write(hands, "2024-05-01")

    assert fields["brings"]._note_label.text().replace("\u00a0", " ") == (
        "Ticked, but no chore comes of it: the tests after it came are left out, "
        "since it came on 1 May 2024."
    )


def test_boxes_that_bring_nothing_say_so(live_in: LiveIn) -> None:
    """Of animals that came long ago: their quarantine is over."""
    hands = live_in()
    desk = open_new_animal(hands)
    write(hands, "wrasse")
    note = desk.sheet.fields["brings"]._note_label
    assert "left out" not in note.text()

    desk.sheet.fields["added_on"].go_to()
    write(hands, "2024-05-01")

    # How new animals are kept apart is of no use to those that came long ago.
    assert note.text().replace("\u00a0", " ") == (
        "Ticked, but no chore comes of it: the review and the daily tests are left out, "
        "since it came on 1 May 2024."
    )
    assert follows(desk) == ""


def test_a_new_animal_without_a_name_waits_as_a_draft(live_in: LiveIn) -> None:
    """Half typed it is not kept, and brings no chores; what was typed stands there again."""
    hands = live_in()
    desk = open_new_animal(hands)
    desk.sheet.fields["count"].go_to()
    write(hands, "2")

    hands.press("Esc")

    assert desk.sheet.fields["name"].typed.fault == "The name is empty; write one."
    assert hands.window.session.household.animals == ()
    hands.press("Esc")
    assert hands.window.session.household.animals == ()
    assert {one.id for one in hands.window.session.household.chores} == BEFORE
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    assert desk.sheet.fields["count"].standing == "2"
