"""The questions of the first page by themselves: what stands there, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tankkeeper.core.communities import Community
from tankkeeper.gui.pages.community_question import NO_COMMUNITY, CommunityQuestion
from tankkeeper.gui.pages.household_question import USUAL_NAME, HouseholdQuestion, Places


@pytest.fixture
def page(qtbot: QtBot) -> QWidget:
    """Return what the questions stand on."""
    widget = QWidget()
    qtbot.addWidget(widget)
    return widget


def by_name(name: str) -> Path:
    """Return where a household of a name would lie by itself."""
    return Path("kept") / f"{name or 'nameless'}.tankkeeper"


def household(page: QWidget, places: Places | None) -> HouseholdQuestion:
    """Return the question about the household."""
    return HouseholdQuestion("1 of 3", "Europe/Berlin", places, page)


def test_the_file_follows_the_name_until_a_place_is_chosen(page: QWidget) -> None:
    """Where it was chosen, it stays whatever the household is called."""
    asked = household(page, by_name)
    assert asked.lies_at == by_name(USUAL_NAME)
    asked.name.set_text("Pier")
    assert asked.kept_in.text() == "Kept in Pier.tankkeeper"
    chosen = Path("elsewhere") / "mine.tankkeeper"
    asked.keep_at(chosen)
    asked.name.set_text("Quay")
    assert asked.lies_at == chosen
    assert asked.kept_in.toolTip() == str(chosen)


def test_no_place_is_asked_where_none_is_known(page: QWidget) -> None:
    """The button for it is no stop of the keys then, either."""
    asked = household(page, None)
    assert asked.lies_at is None
    assert asked.elsewhere not in asked.in_order
    assert asked.kept_in.text() == ""


def test_what_stands_there_is_another_once_something_is_answered(page: QWidget) -> None:
    """A blank behind the name is nothing."""
    asked = household(page, by_name)
    untouched = asked.standing
    asked.name.set_text(f"{USUAL_NAME} ")
    assert asked.standing == untouched
    asked.zone.setCurrentText("America/New_York")
    assert asked.standing != untouched


def test_a_community_has_to_be_chosen(page: QWidget) -> None:
    """The refusal goes with the choice."""
    asked = CommunityQuestion("3 of 3", page)
    assert asked.refuse_missing()
    assert asked.refusal.text() == NO_COMMUNITY
    assert asked.refusal in asked.seen_with(asked.choice.chips[0])
    asked.choice.chips[0].click()
    assert asked.chosen is next(iter(Community))
    assert not asked.refuse_missing()
    assert asked.refusal not in asked.seen_with(asked.choice.chips[0])


def test_for_quarantine_none_has_to_be_chosen(page: QWidget) -> None:
    """What was refused before is so no more."""
    asked = CommunityQuestion("3 of 3", page)
    assert asked.refuse_missing()
    asked.ask_for(is_quarantine=True)
    assert asked.refusal.isHidden()
    assert "can wait" in asked.choice.accessibleDescription()
    assert not asked.refuse_missing()
