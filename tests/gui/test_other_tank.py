"""An entry that was written down for the wrong tank: the form that corrects it says what to do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tankkeeper.core.logbook import Entry, Note, PutOff, TopOff, Turn
from tankkeeper.gui.forms.correct_form import STAYS
from tankkeeper.gui.widgets.labels import PlainLabel
from tankkeeper.reports.numbers import plain
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house

BACK = "If it was another tank, leave this, take the entry back with Del and "
ANEW = f"{BACK}write it down anew with Ctrl+L."
TICK = f"{BACK}tick the line of that tank, where Return asks for the day."


def _head(hands: Hands) -> str:
    """Return what the form says of the entry that is corrected."""
    labels = [plain(one.text()) for one in hands.form().findChildren(PlainLabel)]
    return next(one for one in labels if STAYS in one).partition(STAYS)[2].strip()


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        (an_entry(1, "2026-03-11", TopOff(2.0), tank="nook", done="fill"), ANEW),
        (an_entry(1, "2026-03-11", Note(), tank="nook"), ANEW),
        (an_entry(1, "2026-03-11", tank="nook", done="lamp", key="2026-03-11"), TICK),
        (an_entry(1, "2026-03-11", Note()), ""),
        (
            an_entry(1, "2026-03-11", PutOff(Turn("lamp", "x"), date(2026, 3, 14)), tank="nook"),
            "",
        ),
    ],
    ids=["top-off", "note", "tick", "household", "put off"],
)
def test_the_form_says_how_it_goes_to_another_tank(
    live_in: LiveIn, entry: Entry, told: str
) -> None:
    """Where there is another one that it can have been."""
    hands = live_in(entries=(entry,))

    hands.press("Ctrl+6", "Return")

    assert _head(hands) == told


def test_of_the_only_tank_nothing_is_said(live_in: LiveIn) -> None:
    """It cannot have been another one."""
    house = small_house()
    alone = replace(
        house,
        tanks=house.tanks[:1],
        chores=tuple(one for one in house.chores if one.tank != "nook"),
    )
    entry = an_entry(1, "2026-03-11", Note(), tank="reef")
    hands = live_in(alone, entries=(entry,))

    hands.press("Ctrl+6", "Return")

    assert _head(hands) == ""
