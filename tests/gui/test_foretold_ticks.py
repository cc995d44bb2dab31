"""A turn that others come before: from when it can be ticked, and what a tick of now is of."""

from __future__ import annotations

import pytest

from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn
from tests.gui.test_ticked_ahead import open_day, ticked_today


@pytest.mark.parametrize(
    ("key", "ahead", "one", "told"),
    [
        *(
            (
                key,
                9,
                "sand",
                "Siphon the sand of Sat 21 is not open yet: it can be ticked from Fri 20 on. "
                "An extra one is written down with Return on its turn of Sat 14.",
            )
            for key in ("Space", "Return", "Y")
        ),
        (
            "Space",
            9,
            "dose",
            "Dose buffer of Sat 21 is not open yet: it can be ticked from that day on. "
            "An extra one is written down with Ctrl+L.",
        ),
        *(
            (
                key,
                9,
                "wipe",
                "Wipe the lid of Sat 21 is not open yet: it can be ticked once the turn before it "
                "is done, and its day follows it. What is done now is ticked on its turn of "
                "Sat 14.",
            )
            for key in ("Space", "Return")
        ),
    ],
)
def test_a_tick_of_a_turn_that_others_come_before_tells_when_it_opens(
    live_in: LiveIn, key: str, ahead: int, one: str, told: str
) -> None:
    """Of putting off, which nobody asked for, nothing is told."""
    hands = ticked_today(live_in)
    open_day(hands, ahead, one)

    hands.press(key)

    assert not hands.has_form()
    assert len(hands.log()) == 2
    assert plain(hands.why.refusal) == told


def test_a_skip_of_it_still_tells_of_the_turn_before(live_in: LiveIn) -> None:
    """To leave out or put off one, the one before has to be settled."""
    hands = ticked_today(live_in)
    open_day(hands, 9, "wipe")

    hands.press("S")

    assert "follows from the turn before it" in plain(hands.why.refusal)
