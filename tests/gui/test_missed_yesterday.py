"""A feeding of yesterday that nobody wrote down is offered by the key of yesterday."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

from tankkeeper.core.chores import Amount, AmountUnit, Calendar, ChoreKind, IfMissed
from tankkeeper.core.household import Household
from tankkeeper.core.turns import State
from tankkeeper.reports.numbers import plain
from tests.builders import BERLIN
from tests.gui.conftest import LiveIn
from tests.gui.round_house import SEVEN, chore, small_house


def fed_house() -> Household:
    """Return a house where Nook is fed in the morning and in the evening."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(7), time(18)))
    feed = chore(
        "feed",
        "Feed",
        None,
        rhythm=daily,
        tank="nook",
        kind=ChoreKind.FEEDING,
        if_missed=IfMissed.EXPIRE,
    )
    return replace(small_house(), chores=(chore("wipe", "Wipe the lid", 12), feed))


def test_a_missed_evening_is_offered_and_written_down_at_its_hour(live_in: LiveIn) -> None:
    """The morning was ticked on both days; the evening of the first is told on the button."""
    hands = live_in(fed_house())
    hands.go_to("feed")
    hands.press("Space")
    hands.close()
    hands = live_in(is_there=True, now=SEVEN + timedelta(days=1))
    hands.go_to("feed")
    hands.press("Space")
    hands.go_to("feed")
    assert hands.list.current_row().item.state is State.DONE
    assert [one.text for one in hands.why.actions] == ["Take back", "Note", "Yesterday 18:00"]

    hands.press("Y")

    newest = hands.log()[0].entry
    assert [turn.id for turn in newest.completes] == ["feed@2026-03-12T1800"]
    assert newest.at.astimezone(BERLIN).strftime("%d %H:%M") == "12 18:00"
    assert plain(hands.told).startswith("Ticked Feed (Nook), yesterday at 18:00.")
    hands.go_to("feed")
    assert [one.text for one in hands.why.actions] == ["Take back", "Note"]

    hands.press("Ctrl+Z")
    hands.go_to("feed")
    assert [one.text for one in hands.why.actions][-1] == "Yesterday 18:00"


def test_a_day_that_was_written_down_is_no_offer(live_in: LiveIn) -> None:
    """What comes now and then has the plain word, as before."""
    hands = live_in(fed_house())
    hands.go_to("wipe")
    assert "Yesterday" in [one.text for one in hands.why.actions]


def test_what_was_written_down_for_yesterday_is_not_offered_again(live_in: LiveIn) -> None:
    """Of two feedings each is offered once, and then there is nothing of yesterday to tick."""
    hands = live_in(fed_house())
    for offered in ("Yesterday 07:00", "Yesterday 18:00"):
        hands.go_to("feed")
        assert offered in [one.text for one in hands.why.actions]
        hands.press("Y")

    hands.go_to("feed")
    assert hands.list.current_row().item.state is not State.DONE
    assert not [one.text for one in hands.why.actions if one.text.startswith("Yesterday")]
    written = len(hands.log())
    hands.press("Y")
    assert "yesterday already" in plain(hands.told)
    assert len(hands.log()) == written

    hands.press("Ctrl+Z")
    hands.go_to("feed")
    assert [one.text for one in hands.why.actions if one.text.startswith("Yesterday")]


def test_an_amount_of_yesterday_is_asked_however_much_was_written(live_in: LiveIn) -> None:
    """A second change of one day is no mistake: the form asks its litres."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 1))
    change = chore(
        "change",
        "Change water",
        None,
        rhythm=daily,
        kind=ChoreKind.WATER_CHANGE,
        amount=Amount(9.0, AmountUnit.LITRES),
        if_missed=IfMissed.EXPIRE,
    )
    hands = live_in(small_house(chores=(change,)))
    hands.go_to("change")
    hands.press("Y")
    assert hands.has_form()
    hands.type("9")
    hands.press("Return", "Return")
    assert not hands.has_form()
    assert [row.entry.day for row in hands.log()] == [date(2026, 3, 11)]
    hands.go_to("change")

    assert hands.list.current_row().item.is_open
    assert "Yesterday" in [one.text for one in hands.why.actions]
