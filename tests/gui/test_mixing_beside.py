"""The form of a mixing beside its turns proposes what the changes lack that wait for no turn."""

from __future__ import annotations

from tankkeeper.core.household import SaltMix
from tankkeeper.core.logbook import BESIDE, Turn, Work
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn
from tests.gui.round_house import small_house
from tests.gui.test_ticked_ahead import open_day
from tests.services.test_mixing_beside import DUE, LATE


def test_what_lacks_stands_in_the_form_and_enter_keeps_it(live_in: LiveIn) -> None:
    """9 L for the change of today, 38 g a litre; the mixing comes next Wednesday."""
    hands = live_in(small_house(chores=(LATE, DUE), salt_mix=SaltMix(grams_per_litre=38.0)))
    open_day(hands, 6, "mix")
    hands.press("Return")
    form = hands.form()
    assert isinstance(form, TickForm)
    assert form.is_beside
    assert form.litres is not None
    assert form.litres.text == "9"
    hands.press("Return")

    entry = hands.log()[0].entry
    assert (entry.completes, entry.fact) == ((Turn("mix", BESIDE),), Work(9.0, 342.0))


def test_who_puts_a_change_off_is_told_what_to_mix_until_when(live_in: LiveIn) -> None:
    """From Thursday to Friday there is no time left, to Saturday there is a day."""
    hands = live_in(small_house(chores=(LATE, DUE)))
    hands.go_to("change")
    hands.press("P", "Down", "Return")

    told = "No turn of Mix salt water comes in time: mix 9 L beside its turns"
    assert plain(hands.told) == (
        f"Put off Change water (Reef) to Sat 14. {told}, by tomorrow at 07:00."
    )
