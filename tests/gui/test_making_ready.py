"""The mixing that makes a change ready, in the editor by key: it follows, or is offered to."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.chores import Calendar, Chore, ChoreKind
from tankkeeper.core.household import Household
from tests.builders import day
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn
from tests.gui.round_house import small_house
from tests.gui.setting_hands import go
from tests.gui.test_chores_page import chore, follows, open_chore, write

FRIDAYS = Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=FR", day("2026-03-13"))
SATURDAYS = Calendar("FREQ=WEEKLY;BYDAY=SA", day("2026-03-14"))
OFFER = "Let Mix salt water follow"


def house(change: Calendar) -> Household:
    """Return the small house, where the change comes by the calendar and is mixed for on Friday."""
    home = small_house()
    chores = tuple(
        replace(one, rhythm=change, first_due=None) if one.id == "change" else one
        for one in home.chores
    )
    mix = Chore("mix", ChoreKind.MIX_SALT_WATER, "Mix salt water", FRIDAYS)
    return replace(home, chores=(*chores, mix))


def test_a_change_without_water_says_so_and_one_key_lets_the_mixing_follow(
    live_in: LiveIn,
) -> None:
    """The rule of the mixing is the keeper's own, so it is asked for, and undone like any other."""
    hands = live_in(household=house(SATURDAYS))
    desk = open_chore(hands, "Change water")

    assert follows(desk).endswith(
        "No salt water is mixed for Change water on 21 March: Mix salt water comes every 2 weeks "
        "on Friday. Ctrl+M lets it follow."
    )
    assert desk.page.buttons["offer"].isVisible()
    assert desk.page.buttons["offer"].words == OFFER
    assert not cut_labels(desk.page)
    assert not nameless(desk.page)
    assert not overlapping(desk.page)
    hands.press("Ctrl+M")

    rhythm = chore(hands, "mix").rhythm
    assert isinstance(rhythm, Calendar)
    assert rhythm.rule == "FREQ=WEEKLY;BYDAY=FR"
    assert "No salt water" not in follows(desk)
    assert not desk.page.buttons["offer"].isVisible()
    hands.press("Ctrl+Z")
    assert chore(hands, "mix").rhythm == FRIDAYS


def test_a_mixing_in_step_follows_the_change_and_one_undo_takes_both_back(live_in: LiveIn) -> None:
    """It is told while the new rhythm is typed."""
    every_second = Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA", day("2026-03-14"))
    hands = live_in(household=house(every_second))
    desk = open_chore(hands, "Change water")
    assert "Mix salt water" not in follows(desk)

    go(hands, desk, "rhythm.count")
    write(hands, "1")
    assert follows(desk).endswith("Mix salt water follows: every Friday.")
    hands.press("Ctrl+Return")

    rhythm = chore(hands, "mix").rhythm
    assert isinstance(rhythm, Calendar)
    assert rhythm.rule == "FREQ=WEEKLY;BYDAY=FR"
    hands.press("Ctrl+Z")
    assert chore(hands, "mix").rhythm == FRIDAYS
    assert chore(hands, "change").rhythm == every_second


def test_the_button_keeps_what_was_typed_and_lets_the_mixing_follow(live_in: LiveIn) -> None:
    """From the fields Tab leads to it, and Return presses it."""
    hands = live_in(household=house(SATURDAYS))
    desk = open_chore(hands, "Change water")
    go(hands, desk, "minutes")
    write(hands, "25")

    desk.page.buttons["offer"].setFocus()
    hands.press("Return")

    assert chore(hands, "change").minutes == 25
    rhythm = chore(hands, "mix").rhythm
    assert isinstance(rhythm, Calendar)
    assert rhythm.rule == "FREQ=WEEKLY;BYDAY=FR"
