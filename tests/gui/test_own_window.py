"""Heading, list, row and panel say the same of the window of a turn that was put off."""

from __future__ import annotations

from tankkeeper.gui.forms.put_off_form import PutOffForm
from tankkeeper.gui.widgets.labels import PlainLabel
from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn
from tests.gui.round_house import chore, small_house


def test_where_a_turn_was_put_off_its_own_window_is_named_everywhere(live_in: LiveIn) -> None:
    """Its day is Thursday 12 March, its own last day four days on: Monday 16, by its rhythm."""
    floss = chore("floss", "Swap the floss", 12, early_days=2, late_days=4)
    hands = live_in(small_house(chores=(floss, chore("wipe", "Wipe the lid", 12))))
    hands.go_to("floss")
    hands.press("P", "Return")

    own = "By its rhythm it could wait until Monday."
    moved = "Its window moved with it, so it can wait until Tuesday."
    hands.press("Ctrl+F")
    hands.type("floss")
    hands.press("Return")
    assert plain(hands.why.reason).endswith(f"to tomorrow. {moved} {own}")
    assert ("Its own window", "to 16 Mar") in [(name, plain(at)) for name, at in hands.why.numbers]
    hands.go_to("floss")
    hands.press("P")
    form = hands.form()
    assert isinstance(form, PutOffForm)
    heading = [plain(one.text()) for one in form.findChildren(PlainLabel)]
    assert any(
        one.endswith(f"to Fri 13; its window moved with it, to Tue 17. {own}") for one in heading
    )
    days = [plain(form.days.item(at).text()) for at in range(form.days.count())]
    assert "Tuesday 17 March, 1 day past own window" in days

    form.days.setCurrentRow(days.index("Thursday 19 March, 3 days past own window"))
    told = [plain(one.text()) for one in form.findChildren(PlainLabel)]
    assert (
        "That is 3 days past its own window, which ends on Monday; its window moves with it, "
        "to Mon 23."
    ) in told
    hands.press("Return", "Ctrl+F")
    hands.type("floss")
    hands.press("Return")

    assert plain(hands.why.small) == "Reef, put off to Thu 19"
    told = "By its rhythm it could wait until Monday."
    assert told in plain(hands.why.reason)
