"""A tick does the turn that stands under the keys, or it is refused and nothing is written."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit, Calendar, ChoreKind, IfMissed
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import PutOff, Work
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.widgets.labels import PlainLabel
from tankkeeper.reports.numbers import plain
from tests.builders import days
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import SEVEN, Hands, chore, small_house
from tests.gui.test_calendar_find import here

DAILY = Calendar("FREQ=DAILY", date(2026, 3, 1))
# 14 March 2026 is a Saturday, two days after the day of the window.
SATURDAYS = Calendar("FREQ=WEEKLY;BYDAY=SA", date(2026, 3, 14))
DOSE_EARLY = "Dose buffer of Fri 13 can be done from that day on"
FEED_EARLY = "Feed of Fri 13 can be done from that day on"
SAND_EARLY = "Siphon the sand of Sat 14 can be done from Fri 13 on"


def house() -> Household:
    """Return a house with a dose and two feedings a day, and work of Saturday or by its last time.

    What is done on Saturdays may be done from the day before on.
    """
    takes = Amount(6.0, AmountUnit.GRAMS)
    fed = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(7), time(18)))
    feeds = {"kind": ChoreKind.FEEDING, "rhythm": fed, "if_missed": IfMissed.EXPIRE}
    return small_house(
        chores=(
            chore("dose", "Dose buffer", None, kind=ChoreKind.DOSE, rhythm=DAILY, amount=takes),
            chore("feed", "Feed", None, **feeds),
            chore("sand", "Siphon the sand", None, rhythm=SATURDAYS, early_days=1),
            chore("wipe", "Wipe the lid", 14, rhythm=AfterLastDone(days(7))),
        )
    )


def open_day(hands: Hands, ahead: int, chore_id: str) -> None:
    """Open the list of a day to come with the keys on the first line of a chore."""
    hands.press("Ctrl+2", *["Right"] * ahead, "Return")
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == chore_id)
    assert page_of(hands).show_row(row.id)
    hands.settle()
    assert here(hands) == chore_id


def ticked_today(live_in: LiveIn) -> Hands:
    """Return a window on Thursday where dose and morning feeding are done."""
    hands = live_in(house())
    for one in ("dose", "feed"):
        hands.go_to(one)
        hands.press("Space")
    assert len(hands.log()) == 2
    return hands


@pytest.mark.parametrize(
    ("key", "ahead", "one", "told"),
    [
        *((key, 1, "dose", DOSE_EARLY) for key in ("Space", "Return", "Y")),
        *((key, 1, "feed", FEED_EARLY) for key in ("Space", "Return", "Y")),
        *((key, 2, "sand", SAND_EARLY) for key in ("Space", "Y")),
    ],
)
def test_a_turn_before_its_window_is_refused(
    live_in: LiveIn, key: str, ahead: int, one: str, told: str
) -> None:
    """A second dose of a day can do harm; an extra one is written down for what it is."""
    hands = ticked_today(live_in)
    open_day(hands, ahead, one)
    assert page_of(hands).selected()[0].item.state is State.PROJECTED
    assert "Tick" not in [action.text for action in hands.why.actions]

    hands.press(key)

    assert not hands.has_form()
    assert len(hands.log()) == 2
    how = "Return" if one == "sand" else "Ctrl+L"
    assert plain(hands.why.refusal) == f"{told}; an extra one is written down with {how}."


def test_work_before_its_window_is_kept_beside_its_turns(live_in: LiveIn) -> None:
    """What no form of its own is there for: the turn that comes stays, as the form says."""
    hands = ticked_today(live_in)
    open_day(hands, 2, "sand")
    assert "Done besides" in [action.text for action in hands.why.actions]

    hands.press("Return")
    labels = [plain(one.text()) for one in hands.form().findChildren(PlainLabel)]
    assert "Kept beside its turns: that of Saturday stays." in labels
    hands.press("Return")

    assert plain(hands.told).startswith("Ticked Siphon the sand (Reef), beside its turns.")
    entry = hands.log()[0].entry
    assert [turn.is_extra for turn in entry.completes] == [True]
    sand = next(one for one in page_of(hands).rows() if one.item.chore.id == "sand")
    assert sand.item.state is State.PROJECTED


def test_the_board_refuses_it_too(live_in: LiveIn) -> None:
    """The turn of Saturday stands there as in the list of its day."""
    hands = ticked_today(live_in)
    hands.press("Ctrl+2", "B")
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == "sand")
    assert page_of(hands).show_row(row.id)

    hands.press("Space")

    assert len(hands.log()) == 2
    assert plain(hands.why.refusal).startswith("Siphon the sand of Sat 14 can be done from Fri 13")


def test_of_several_lines_none_is_ticked_where_one_comes_too_early(live_in: LiveIn) -> None:
    """All or none, as the command line does it."""
    hands = ticked_today(live_in)
    open_day(hands, 2, "wipe")
    hands.press("Shift+Up", "Space")

    assert len(hands.log()) == 2
    assert "can be done from" in plain(hands.why.refusal)


def test_what_counts_from_its_last_time_is_done_early(live_in: LiveIn) -> None:
    """Saturday's turn is done on Thursday, and the next one is counted from there."""
    hands = ticked_today(live_in)
    open_day(hands, 2, "wipe")

    hands.press("Space")

    assert [turn.id for turn in hands.log()[0].entry.completes] == ["wipe@first"]
    assert plain(hands.told).startswith("Ticked Wipe the lid (Reef)")
    assert plain(hands.told).endswith("Next on Thu 19.")


def test_within_its_window_it_is_done_from_the_day_of_its_turn(live_in: LiveIn) -> None:
    """On Friday the turn of Saturday is open: it may be done a day early."""
    hands = live_in(house(), now=SEVEN + timedelta(days=1))
    open_day(hands, 1, "sand")

    hands.press("Space")

    assert [turn.id for turn in hands.log()[0].entry.completes] == ["sand@2026-03-14"]


def test_what_was_put_off_says_how_it_is_done_today(live_in: LiveIn) -> None:
    """Its window went with it; brought back to today it can be ticked."""
    hands = live_in(
        small_house(
            chores=(
                chore(
                    "pump",
                    "Rinse the pump",
                    None,
                    rhythm=Calendar("FREQ=WEEKLY", date(2026, 3, 12)),
                ),
            )
        )
    )
    hands.press("P", "Return")
    assert isinstance(hands.log()[0].entry.fact, PutOff)
    open_day(hands, 1, "pump")

    hands.press("Space")

    assert len(hands.log()) == 1
    assert plain(hands.why.refusal) == (
        "Rinse the pump was put off to Fri 13 and can be done from that day on. "
        "To do it now, move it to today first."
    )


def on_friday(live_in: LiveIn) -> Hands:
    """Return a window on Friday with the keys on the work of Saturday, which may wait."""
    hands = live_in(house(), now=SEVEN + timedelta(days=1))
    hands.go_to("sand")
    assert hands.row("sand").item.state is State.MAY_WAIT
    return hands


def test_y_before_the_window_says_that_the_turn_stays(live_in: LiveIn) -> None:
    """On Thursday nothing was open yet, so the work is kept beside its turns, as the form says."""
    hands = on_friday(live_in)

    hands.press("Y")

    assert plain(hands.told) == (
        "Ticked Siphon the sand (Reef), on Thursday 12 March, beside its turns. "
        "That of Saturday 14 is still to do."
    )
    assert hands.row("sand").item.is_open
    hands.press("Ctrl+Z")
    assert plain(hands.told) == (
        "Undone: Ticked Siphon the sand (Reef), on Thursday 12 March, beside its turns."
    )


@pytest.mark.parametrize(
    ("first", "told"),
    [
        (date(2026, 3, 14), "Kept beside their turns: Siphon the sand (Reef) and Rinse (Reef)."),
        (date(2026, 3, 13), "Kept beside its turns: Siphon the sand (Reef)."),
    ],
)
def test_of_several_lines_those_that_were_kept_beside_are_named(
    live_in: LiveIn, first: date, told: str
) -> None:
    """Rinsing is of Saturday as well, or of Friday: then Thursday lies in its window."""
    sand = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS, early_days=1)
    weekly = Calendar("FREQ=WEEKLY", first)
    rinse = chore("rinse", "Rinse", None, rhythm=weekly, early_days=1)
    hands = live_in(small_house(chores=(sand, rinse)), now=SEVEN + timedelta(days=1))
    hands.go_to("sand")
    hands.press("Ctrl+A", "Y")

    assert f"on Thursday 12 March. {told}" in plain(hands.told)


def test_y_on_what_is_counted_and_due_on_a_day_to_come_ticks_nothing(live_in: LiveIn) -> None:
    """The lid is wiped weekly from the last time: its next turn is no work of yesterday."""
    wipe = chore("wipe", "Wipe the lid", 13)
    hands = live_in(small_house(chores=(wipe,)))
    open_day(hands, 1, "wipe")
    assert page_of(hands).selected()[0].item.state is State.PROJECTED

    hands.press("Y")

    assert not hands.has_form()
    assert hands.log() == []
    assert plain(hands.why.refusal).endswith(
        "Y ticks what is due. If it was done yesterday, Return asks for the day."
    )


def test_y_names_the_form_of_the_line_for_work_that_is_not_written_down_elsewhere(
    live_in: LiveIn,
) -> None:
    """Mixing is none of the kinds of Ctrl+L, a feeding is; the form keeps it for yesterday."""
    mix = chore("mix", "Mix salt water", 13, kind=ChoreKind.MIX_SALT_WATER)
    hands = live_in(small_house(chores=(replace(mix, tank=None),)))
    open_day(hands, 1, "mix")

    hands.press("Y")
    told = plain(hands.why.refusal)
    hands.press("Return")
    hands.type("9")
    hands.form().when.choice.setCurrentIndex(1)
    hands.press("Ctrl+Return")

    assert told.endswith("If it was done yesterday, Return asks for the day.")
    assert [row.entry.day.day for row in hands.log()] == [11]


def test_y_names_the_next_turn_where_the_line_is_a_later_one(live_in: LiveIn) -> None:
    """Of a turn that follows from the one before nothing can be said yet, by no key."""
    hands = live_in(small_house(chores=(chore("wipe", "Wipe the lid", 13),)))
    open_day(hands, 8, "wipe")

    hands.press("Y")

    assert plain(hands.why.refusal).endswith(
        "If it was done yesterday, Return on its next turn asks for the day."
    )


def test_y_names_the_key_that_writes_down_where_that_has_the_kind(live_in: LiveIn) -> None:
    """A feeding that counts from the last one."""
    feed = chore("feed", "Feed", 13, kind=ChoreKind.FEEDING)
    hands = live_in(small_house(chores=(feed,)))
    open_day(hands, 1, "feed")
    hands.press("Y")
    assert plain(hands.why.refusal).endswith("Ctrl+L writes down.")


def test_the_form_of_another_day_says_it_too(live_in: LiveIn) -> None:
    """Return, and When on the day before."""
    hands = on_friday(live_in)
    hands.press("Return")
    hands.form().when.choice.setCurrentIndex(1)

    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert plain(hands.told).endswith(
        "12 March, beside its turns. That of Saturday 14 is still to do."
    )


def test_of_several_lines_each_that_stays_is_named_with_its_day(live_in: LiveIn) -> None:
    """The dose of yesterday was missed and is done; that of today stays."""
    hands = on_friday(live_in)
    hands.press("Ctrl+A", "Y")

    told = "Still to do: Dose buffer of today, Feed of today and Siphon the sand of Saturday 14."
    assert told in plain(hands.told)


def open_change(hands: Hands, day_back: int) -> LogForm:
    """Open the form that writes down a water change of so many days ago."""
    hands.go_to("change")
    hands.press("Ctrl+L")
    hands.type("w")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.when.choice.setCurrentIndex(day_back)
    assert form.ticks.completes.currentText() == "Change water"
    form.litres.setFocus()
    hands.type("9")
    return form


def with_change(rhythm: AfterLastDone | Calendar) -> Household:
    """Return a house with a water change due on Friday 13 March, or to wait for Saturday."""
    return small_house(
        chores=(
            chore(
                "change",
                "Change water",
                13,
                kind=ChoreKind.WATER_CHANGE,
                rhythm=rhythm,
                amount=Amount(9.0, AmountUnit.LITRES),
                early_days=1,
            ),
        )
    )


def test_a_change_written_down_for_a_day_before_its_window_says_what_it_leaves(
    live_in: LiveIn,
) -> None:
    """Before it is kept, below the choice, and behind it at the foot."""
    hands = live_in(with_change(SATURDAYS), now=SEVEN + timedelta(days=1))
    form = open_change(hands, 1)

    told = "Change water of Saturday 14 can be done from Friday 13 on."
    assert plain(form.ticks.told.text()) == f"At that time this ticks nothing: {told}"
    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert [turn.id for turn in hands.log()[0].entry.completes] == ["change"]
    assert plain(hands.told).endswith("on Thursday 12 March. That of Saturday 14 is still to do.")
    assert hands.row("change").item.is_open


def test_a_change_that_counts_from_its_last_time_is_done_by_what_is_written_down(
    live_in: LiveIn,
) -> None:
    """As Return and When do it in the round."""
    hands = live_in(with_change(AfterLastDone(days(14))), now=SEVEN + timedelta(days=1))
    form = open_change(hands, 2)

    assert form.ticks.told.text() == ("This ticks Change water. Choose Nothing where it is extra.")
    hands.press("Ctrl+Return")

    assert [turn.id for turn in hands.log()[0].entry.completes] == ["change@first"]
    assert "That ticks Change water." in hands.told
    assert "still to" not in hands.told


@pytest.mark.parametrize("keys", [("Space",), ("Return", "Ctrl+Return")])
def test_on_the_list_of_a_day_gone_by_a_tick_says_that_it_is_of_today(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """The line that stands there may wait, and is done now; Y tells its own day."""
    lid = chore("lid", "Wipe the lid", 11, late_days=3)
    hands = live_in(small_house(chores=(lid,)))
    hands.press("Ctrl+2", "Left", "Return")
    assert here(hands) == "lid"

    hands.press(*keys)

    assert hands.log()[0].entry.day == date(2026, 3, 12)
    assert plain(hands.told) == "Ticked Wipe the lid (Reef), today. Next on Thu 19."


def test_salt_water_that_was_mixed_besides_is_kept_with_its_litres(live_in: LiveIn) -> None:
    """Nothing is proposed, for what Saturday takes is no measure of it; the turn stays whole."""
    mix = chore(
        "mix", "Mix salt water", None, kind=ChoreKind.MIX_SALT_WATER, rhythm=SATURDAYS, tank=None
    )
    takes = Amount(9.0, AmountUnit.LITRES)
    sundays = Calendar("FREQ=WEEKLY;BYDAY=SU", date(2026, 3, 15))
    change = chore(
        "change", "Change water", None, kind=ChoreKind.WATER_CHANGE, rhythm=sundays, amount=takes
    )
    hands = live_in(small_house(chores=(mix, change)))
    open_day(hands, 2, "mix")

    hands.press("Return")
    assert hands.form().litres.text == ""
    hands.press("Return")
    assert hands.has_form()
    assert hands.log() == []
    hands.type("4")
    hands.press("Return")

    assert plain(hands.told).startswith("Ticked Mix salt water (Household), beside its turns.")
    entry = hands.log()[0].entry
    assert entry.fact == Work(4.0)
    assert [turn.is_extra for turn in entry.completes] == [True]
    (row,) = (one for one in page_of(hands).rows() if one.item.chore.id == "mix")
    assert (row.item.state, plain(row.amount)) == (State.PROJECTED, "5 L")

    hands.press("Return")
    hands.type("3")
    hands.press("Return")
    assert [one.entry.fact for one in hands.log()] == [Work(3.0), Work(4.0)]
