"""A change whose salt water is not mixed by the log is asked about once before it is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Household, SaltMix
from tankkeeper.core.logbook import WaterChange, Work
from tankkeeper.gui.forms.away_form import AwayForm
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.reports.numbers import plain
from tests.builders import an_entry, day
from tests.gui.conftest import LiveIn
from tests.gui.round_house import chore, small_house

QUESTION = "No salt water is mixed for it: Mix salt water is not done yet. Keep all the same?"


def house() -> Household:
    """Return the small house with a chore that mixes the water of its change."""
    mix = chore("mix", "Mix salt water", 12, kind=ChoreKind.MIX_SALT_WATER)
    mix = replace(mix, tank=None, amount=Amount(9.0, AmountUnit.LITRES))
    home = small_house()
    return replace(home, chores=(*home.chores, mix))


def test_a_change_without_mixed_water_is_asked_about_once_and_then_kept(live_in: LiveIn) -> None:
    """Enter confirms it, as with every other question."""
    hands = live_in(house())
    hands.go_to("change")
    hands.press("Space")
    hands.form().salinity.field.setFocus()
    hands.type("35")
    hands.press("Return")

    assert hands.log() == []
    assert plain(hands.form().accessibleDescription()) == QUESTION
    assert hands.form().primary.words == "Keep all the same"
    hands.press("Return")

    assert not hands.has_form()
    assert isinstance(hands.log()[0].entry.fact, WaterChange)


def test_a_change_that_is_written_down_outside_the_round_is_asked_about_as_well(
    live_in: LiveIn,
) -> None:
    """Where it ticks the chore; one beside the plan takes water that no chore mixes."""
    hands = live_in(house())
    hands.go_to("change")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.what.setCurrentIndex(form.what.findData(What.WATER_CHANGE))
    form.litres.field.setText("9")
    form.salinity.field.setText("35")
    assert form.ticks.chore is not None
    hands.press("Ctrl+Return")

    assert hands.log() == []
    assert plain(form.accessibleDescription()) == QUESTION
    hands.press("Ctrl+Return")
    assert isinstance(hands.log()[0].entry.fact, WaterChange)


def test_a_change_with_water_that_is_not_ready_is_asked_about_as_well(live_in: LiveIn) -> None:
    """By the round and written down outside it: what was mixed this morning stirs for a day."""
    mixed = an_entry(1, "2026-03-12", Work(9.0), done="mix", key="first", at=time(8))
    hands = live_in(replace(house(), salt_mix=SaltMix(mixing_hours=24.0)), entries=(mixed,))
    told = "Its salt water is not ready until tomorrow at 08:00. Keep all the same?"
    hands.go_to("change")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.what.setCurrentIndex(form.what.findData(What.WATER_CHANGE))
    form.litres.field.setText("9")
    form.salinity.field.setText("35")
    hands.press("Ctrl+Return")
    assert plain(form.accessibleDescription()) == told
    hands.press("Escape")
    if hands.has_form():
        hands.press("Escape")

    hands.go_to("change")
    hands.press("Space")
    hands.form().salinity.field.setFocus()
    hands.type("35")
    hands.press("Return")
    assert plain(hands.form().accessibleDescription()) == told
    hands.press("Return")
    assert isinstance(hands.log()[0].entry.fact, WaterChange)


def test_of_water_that_stirs_since_yesterday_the_row_tells_and_nobody_asks(
    live_in: LiveIn,
) -> None:
    """No hours are set down: 24 are usual, and half an hour of them is left."""
    mixed = an_entry(1, "2026-03-11", Work(9.0), done="mix", key="first", at=time(12, 30))
    hands = live_in(house(), entries=(mixed,))
    hands.go_to("change")
    (row,) = [one for one in hands.rows() if one.id.startswith("change")]
    assert row.state == "today, ready 12:30"
    hands.press("Space")
    hands.form().salinity.field.setFocus()
    hands.type("35")
    hands.press("Return")

    assert not hands.has_form()
    assert isinstance(hands.log()[0].entry.fact, WaterChange)


@pytest.mark.parametrize("mixes", [False, True])
def test_what_piled_up_is_asked_about_unless_the_mixing_is_told_with_it(
    live_in: LiveIn, mixes: bool
) -> None:
    """In one form for all of it, with the name of its line."""
    away = an_entry(1, "2026-03-08", done="glass", tank="reef", at=time(18))
    old = house()
    late = {"change": day("2026-03-09"), "mix": day("2026-03-09")}
    chores = (replace(one, first_due=late.get(one.id, one.first_due)) for one in old.chores)
    hands = live_in(replace(old, chores=tuple(chores)), entries=(away,))
    hands.press("W")
    form = hands.form()
    assert isinstance(form, AwayForm)
    for line in form.lines:
        if line.chore_id == "change" or (mixes and line.chore_id == "mix"):
            line.choice.setCurrentIndex(1)
            for field in line.fields():
                field.set_text("35" if field is line.salinity else "9")
    hands.press("Ctrl+Return")

    assert hands.has_form() is not mixes
    if not mixes:
        assert plain(form.accessibleDescription()) == f"Change water, Reef: {QUESTION}"


def test_nothing_is_asked_once_the_water_is_mixed(live_in: LiveIn) -> None:
    """The mixing of the day before was done."""
    hands = live_in(house(), entries=(an_entry(1, "2026-03-11", done="mix", key="first"),))
    hands.go_to("change")
    hands.press("Space")
    hands.form().salinity.field.setFocus()
    hands.type("35")
    hands.press("Return")

    assert not hands.has_form()
    assert isinstance(hands.log()[0].entry.fact, WaterChange)
