"""What people do not do is told where they are named, and when they did it all the same."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Household, Person
from tankkeeper.core.turns import State
from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.setting_hands import go
from tests.gui.test_chores_page import follows, open_chore

PIET = Person("bo", "Piet", not_for=(ChoreKind.GLASS,))


def house() -> Household:
    """Return the small house where Piet cleans no glass."""
    small = small_house()
    return replace(small, people=(small.people[0], PIET))


def test_the_editor_tells_that_one_who_is_named_does_not_do_it(live_in: LiveIn) -> None:
    """Beside the rhythm, while it is chosen; it can be kept."""
    hands = live_in(house())
    desk = open_chore(hands, "Clean the glass")
    before = follows(desk)
    go(hands, desk, "who")
    boxes = desk.sheet.fields["who"].many.boxes
    boxes[-1].setFocus()

    hands.press("Space")
    desk._show_preview()

    assert "Piet" not in before
    assert follows(desk).endswith("Piet cleans no glass.")


def test_a_tick_by_one_who_does_not_do_it_is_kept_and_told(live_in: LiveIn) -> None:
    """Somebody may still have done it."""
    hands = live_in(house())
    hands.window.session.set_person("bo")
    hands.go_to("glass")

    hands.press("Space")

    assert hands.state("glass") is State.DONE
    assert hands.told == (
        "Ticked Clean the glass (Reef). Piet cleans no glass, by the household's settings. "
        "Next on Thu\u00a019."
    )


def test_the_row_proposes_those_who_do_it(live_in: LiveIn) -> None:
    """In the column of the people and in the why panel."""
    hands = live_in(house())
    hands.go_to("glass")

    assert hands.row("glass").who == "Ada"
    assert hands.row("wipe").who == ""
    assert "Piet cleans no glass." in hands.why.reason


def test_the_panel_tells_the_trips_of_the_person_at_the_window_alone(live_in: LiveIn) -> None:
    """Another person is chosen, and what that one lifts is told at once."""
    small = small_house()
    ada, bo = replace(small.people[0], lifts_kg=4.0), replace(small.people[1], lifts_kg=9.0)
    litres = Amount(20.0, AmountUnit.LITRES)
    change = chore("change", "Change water", 12, kind=ChoreKind.WATER_CHANGE, amount=litres)
    hands = live_in(replace(small, people=(ada, bo), chores=(change,)))
    hands.go_to("change")
    assert {"Ada lifts 4 kg", "Bo lifts 9 kg"} <= lifters(hands)

    hands.window.session.set_person("bo")
    hands.settle()

    assert lifters(hands) == {"Bo lifts 9 kg"}


def lifters(hands: Hands) -> set[str]:
    """Return who lifts how much by the panel."""
    figures = hands.why.numbers
    return {plain(label) for label, _ in figures if " lifts " in label}
