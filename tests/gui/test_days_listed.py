"""A day of the list that P opens is found by typing what it is called."""

from __future__ import annotations

from datetime import date

import pytest

from tankkeeper.gui.forms.put_off_form import PutOffForm
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands

# Today is Thursday 12 March 2026; the list begins on Friday 13 and ends on Thursday 9 April.
FIRST, LAST = date(2026, 3, 13), date(2026, 4, 9)


def opened(live_in: LiveIn) -> tuple[Hands, PutOffForm]:
    """Return hands at the list of days of a line."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("P")
    form = hands.form()
    assert isinstance(form, PutOffForm)
    assert (form.choices[0].day, form.choices[-1].day) == (FIRST, LAST)
    return hands, form


@pytest.mark.parametrize(
    ("typed", "month", "day"),
    [
        ("tomorrow", 3, 13),
        ("tom", 3, 13),
        ("monday", 3, 16),
        ("Thursday", 3, 19),
        ("thursday 26", 3, 26),
        ("28", 3, 28),
        ("28 mar", 3, 28),
        ("2 apr", 4, 2),
        ("next friday", 3, 13),
        ("in 3 days", 3, 15),
        ("in a week", 3, 19),
    ],
)
def test_a_typed_word_goes_to_its_day(live_in: LiveIn, typed: str, month: int, day: int) -> None:
    """By the beginning of its line, else as in every field of a day; Return puts off to it."""
    hands, form = opened(live_in)
    form.days.setCurrentRow(4)

    hands.type(typed)

    assert form.choice.day == date(2026, month, day)
    hands.press("Return")
    assert not hands.has_form()
    assert hands.log()[0].entry.fact.to == date(2026, month, day)  # type: ignore[union-attr]


def test_the_same_letter_goes_from_day_to_day_that_begins_so(live_in: LiveIn) -> None:
    """And from the last of them to the first."""
    hands, form = opened(live_in)
    seen = []

    for _ in range(9):
        hands.type("t")
        seen.append(form.choice.day)

    tuesday, thursday = date(2026, 3, 17).toordinal(), date(2026, 3, 19).toordinal()
    weeks = [date.fromordinal(one + 7 * at) for at in range(4) for one in (tuesday, thursday)]
    assert seen == [*weeks, weeks[0]]


def test_what_names_no_day_moves_nothing_and_an_arrow_begins_anew(live_in: LiveIn) -> None:
    """Backspace takes the last letter back."""
    hands, form = opened(live_in)
    hands.type("28x")
    assert form.choice.day == date(2026, 3, 28)

    hands.press("Backspace", "Backspace")
    hands.type("0")
    assert form.choice.day == date(2026, 3, 20)

    hands.press("Down")
    hands.type("mon")
    assert form.choice.day == date(2026, 3, 16)


def test_a_day_beyond_the_list_is_told_and_return_moves_nothing_elsewhere(live_in: LiveIn) -> None:
    """Else the line that had the keys would be put off to a day that nobody typed."""
    hands, form = opened(live_in)

    hands.type("28 apr")

    assert form.choice.day == date(2026, 3, 28)
    assert (
        "Tuesday 28 April is not in this list. Its last day is Thursday 9 April."
        in form.accessibleDescription()
    )
    hands.press("Return")
    assert hands.has_form()
    hands.press("Down")
    assert "not in this list" not in form.accessibleDescription()
    assert form.primary.isEnabled()

    hands.press("Up")
    hands.type("yesterday")
    assert "Its first day is Friday 13 March." in form.accessibleDescription()
    hands.press("Home")
    hands.type("yesterday")
    hands.press("Backspace")
    hands.press("Escape")
    assert not hands.has_form()
    assert hands.log() == []
