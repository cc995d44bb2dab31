"""What is chosen on the first page: what lives in the tank, and whether it is for quarantine."""

from __future__ import annotations

from PySide6.QtCore import Qt

from tankkeeper.core.communities import Community
from tankkeeper.core.household import Stage
from tankkeeper.gui.pages.first_page import FirstPage
from tests.gui.conftest import Begin, LiveIn
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands

DAILY = "Look over the quarantine"


def row(page: FirstPage, name: str) -> str:
    return page.list.findItems(name, Qt.MatchFlag.MatchStartsWith)[0].text()


def to_community(hands: Hands) -> FirstPage:
    """Type name and sizes, and go with Tab to what lives in it."""
    hands.type("Nook")
    hands.press(*["Tab"] * 4)
    for size in ("59", "39", "40", "36"):
        hands.type(size)
        hands.press("Tab")
    hands.press(*["Tab"] * 4)
    return first_page(hands.window)


def test_an_arrow_chooses_at_once_what_lives_in_it(begin: Begin) -> None:
    """As among radio buttons; nothing has to be pressed besides, and one line says so."""
    hands = begin()
    page = to_community(hands)
    assert page.asked.community.choice.chips[0].hasFocus()
    assert "the most delicate" in page.asked.community.how_to_choose.text()
    assert "Arrow keys choose" in page.asked.community.how_to_choose.text()

    hands.press("Right")
    assert page.asked.community.choice.number == 1
    hands.press("Left")
    assert page.asked.community.choice.number == 0
    hands.press("Left")
    assert page.asked.community.choice.number == len(Community) - 1


def test_what_is_not_chosen_is_asked_for_where_it_is_chosen(begin: Begin) -> None:
    """The sentence stands under the chips, where the keys are, and goes with the first choice."""
    hands = begin()
    page = to_community(hands)
    hands.press("Ctrl+Return")
    assert page.asked.community.refusal.isVisible()
    assert page.asked.community.choice.chips[0].hasFocus()
    hands.press("Right")
    assert not page.asked.community.refusal.isVisible()


def test_a_quarantine_tank_brings_its_chores_and_asks_for_no_community(live_in: LiveIn) -> None:
    """It is for fish then; the day's look and test stand in the round of its first day."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    page = first_page(hands.window)
    hands.type("Ward")
    page.asked.stage.setFocus()
    assert row(page, DAILY).endswith("off, because this is no quarantine tank")
    hands.press("Down", "Down")
    assert page.asked.stage.currentText() == "For quarantine"
    assert "off" not in row(page, DAILY)
    assert "without a choice it is for fish only" in page.asked.community.how_to_choose.text()
    hands.press("Ctrl+Return")

    assert hands.window.session is not None
    with hands.window.session.desk.store.reading() as reading:
        house = hands.window.session.desk.household(reading)
    ward = house.tank("ward")
    assert (ward.stage, ward.community) == (Stage.RUNNING, Community.FISH_ONLY)
    assert any(one.item.chore.name.startswith(DAILY) for one in hands.rows())


def test_a_chore_that_is_switched_on_does_not_say_that_it_is_off(begin: Begin) -> None:
    """Nor does one that is switched off again say otherwise."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    page.list.setFocus()
    names = [one.chore.name for one in page.list._proposals]
    number = next(n for n, name in enumerate(names) if name.startswith(DAILY))
    hands.press("Home", *["Down"] * number, "Space")
    assert row(page, DAILY).endswith("a small tank turns within a day")
    hands.press("Space")
    assert row(page, DAILY).endswith("off, because this is no quarantine tank")


def test_all_questions_are_seen_at_once_in_the_usual_window(begin: Begin) -> None:
    """1280 x 800 in usual type: no chip lies half under the edge."""
    hands = begin()
    page = first_page(hands.window)
    for chip in page.asked.community.choice.chips:
        assert chip.visibleRegion().boundingRect().size() == chip.size()
