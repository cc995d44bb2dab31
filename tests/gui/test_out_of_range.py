"""A reading outside the range of its tank is told as it is kept, marked, and warned of."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.communities import Community
from tankkeeper.core.household import Household, OwnRange
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn, Remind
from tests.gui.round_house import Hands, chore, small_house

UP = "\N{BLACK UP-POINTING TRIANGLE}"


def house() -> Household:
    """Return the small house where Nook wants 7.5 to 8.5 dKH, with tests of what is read."""
    small = small_house()
    reef, nook = small.tanks
    ranges = (OwnRange("alkalinity", 7.5, 8.5, "dKH"),)
    nook = replace(nook, ranges=ranges, community=Community.SOFT_CORAL)
    kind = ChoreKind.TEST
    tests = (
        chore("alk", "Test alkalinity", 12, kind=kind, tank="nook", tests=("alkalinity",)),
        chore("nh", "Test ammonia", 20, kind=kind, tank="nook", tests=("ammonia",)),
    )
    return replace(small, tanks=(reef, nook), chores=(*small.chores, *tests))


def read(hands: Hands, row: str = "lamp", **typed: str) -> None:
    """Write readings down by key, with a line of the tank selected."""
    hands.go_to(row)
    hands.press("Ctrl+L")
    hands.type("r")
    form = hands.form()
    assert isinstance(form, LogForm)
    for name, text in typed.items():
        form.readings.fields[name].setFocus()
        hands.type(text)
    hands.press("Return")
    if hands.has_form():
        # What is unlike the usual is asked about once.
        hands.press("Return")


def test_the_foot_says_on_which_side_of_which_range_a_reading_lies(live_in: LiveIn) -> None:
    """In the same sentence as what was kept; inside there is nothing to say."""
    hands = live_in(house())

    read(hands, alkalinity="12")
    outside = plain(hands.told)
    read(hands, alkalinity="8")

    assert outside == (
        "Nook: read alkalinity 12 dKH, above its range of 7.5 to 8.5 dKH. "
        "That ticks Test alkalinity."
    )
    assert plain(hands.told) == "Nook: read alkalinity 8 dKH."


def test_of_several_readings_each_outside_is_named(live_in: LiveIn) -> None:
    """The others are only repeated. Ranges of a soft coral tank: core/communities."""
    hands = live_in(house())

    read(hands, ammonia="3", nitrate="200", phosphate="0.1")

    assert plain(hands.told).startswith(
        "Nook: read ammonia 3 mg/L, above its range of 0 to 0.25 mg/L; nitrate 200 mg/L, "
        "above its range of 2 to 20 mg/L; phosphate 0.1 mg/L."
    )


def test_a_tick_tells_it_too(live_in: LiveIn) -> None:
    """With the value, which the form no longer shows."""
    hands = live_in(house())
    hands.go_to("alk")

    hands.press("Space")
    hands.type("12")
    # So far outside it is asked about first.
    hands.press("Return", "Return")

    assert plain(hands.told) == (
        "Ticked Test alkalinity (Nook): alkalinity 12 dKH, above its range of 7.5 to 8.5 dKH."
    )
    hands.press("Ctrl+Z")
    assert plain(hands.told).startswith("Undone: Ticked Test alkalinity (Nook)")


def test_the_why_panel_marks_the_value_and_shows_the_range(live_in: LiveIn) -> None:
    """By shape and word, among the figures and the last times."""
    hands = live_in(house())
    read(hands, alkalinity="12")
    hands.go_to("alk")
    hands.settle()

    numbers = {plain(label): plain(value) for label, value in hands.why.numbers}

    assert numbers["Alkalinity, today"] == f"{UP} 12.0 dKH, above"
    assert numbers["Alkalinity, range"] == "7.5 to 8.5 dKH"
    assert [plain(told) for _, told, _ in hands.why.last_times] == [f"{UP} 12 dKH, above"]


def test_last_times_tell_the_value_of_the_test_itself(live_in: LiveIn) -> None:
    """Whatever was read with it."""
    hands = live_in(house())
    read(hands, alkalinity="8", nitrate="5", ammonia="0")
    hands.go_to("alk")
    hands.settle()

    assert [plain(told) for _, told, _ in hands.why.last_times] == ["8 dKH"]


def test_ammonia_stands_in_the_banner_until_a_later_reading_is_inside(remind: Remind) -> None:
    """With what keepers do about it; an undo of the good reading brings it back."""
    one = remind(house())

    read(one.hands, ammonia="3")
    told = plain(one.reminder)
    one.passes(timedelta(hours=1))
    read(one.hands, ammonia="0.1")
    cleared = one.reminder
    one.hands.press("Ctrl+Z")

    assert told == (
        "Nook: ammonia 3 mg/L today, above its range of 0 to 0.25 mg/L. "
        "Test again, feed less, look for a dead animal, and change water."
    )
    assert cleared == ""
    assert plain(one.reminder) == told


def test_a_high_nitrate_is_no_alarm(remind: Remind) -> None:
    """It harms slowly: the sentence of the foot is enough."""
    one = remind(house())

    read(one.hands, nitrate="200")

    assert one.reminder == ""
