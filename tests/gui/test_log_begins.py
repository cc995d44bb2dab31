"""The form for what is not in the round begins with the day of the calendar that has the keys."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

from tankkeeper.core.chores import Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.core.household import Household
from tankkeeper.gui.forms.choices import NOW
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tests.builders import BERLIN, an_entry
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house

DAILY = Calendar("FREQ=DAILY", date(2026, 3, 1))
NINTH, TENTH, ELEVENTH = date(2026, 3, 9), date(2026, 3, 10), date(2026, 3, 11)
EVENING = replace(DAILY, slots=(time(18),))


def _daily(name: str, rhythm: Calendar = DAILY, **more: object) -> Chore:
    kinds: dict[str, object] = {"kind": ChoreKind.DOSE, "if_missed": IfMissed.EXPIRE, "minutes": 2}
    return chore(name, name.capitalize(), None, rhythm=rhythm, **{**kinds, **more})


def _house() -> Household:
    return small_house(
        chores=(
            _daily("calcium"),
            _daily("bicarbonate"),
            _daily("feed", EVENING, kind=ChoreKind.FEEDING, tank="nook"),
            chore("glass", "Clean the glass", 9),
        )
    )


def _lived(live_in: LiveIn, household: Household | None = None) -> Hands:
    """Open the house on 12 March in the month; of the 11th bicarbonate and feed are missing."""
    done = [
        (NINTH, "calcium"),
        (TENTH, "calcium"),
        (TENTH, "bicarbonate"),
        (TENTH, "feed"),
        (ELEVENTH, "calcium"),
        (ELEVENTH, "glass"),
    ]
    entries = tuple(
        an_entry(seq, on.isoformat(), done=what, key=on.isoformat())
        if what != "feed"
        else an_entry(seq, on.isoformat(), done=what, key=on.isoformat(), slot=time(18))
        for seq, (on, what) in enumerate(done, start=1)
    )
    hands = live_in(household or _house(), entries=entries)
    hands.press("Ctrl+2")
    return hands


def _open(hands: Hands) -> LogForm:
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    return form


def _local(form: LogForm) -> datetime | None:
    return None if form.when.at is None else form.when.at.astimezone(BERLIN)


def test_a_past_day_begins_with_what_was_missed_there(live_in: LiveIn) -> None:
    """The dose of the 11th that nobody wrote down, until another substance is typed."""
    hands = _lived(live_in)
    month_of(hands).go_to(ELEVENTH)

    form = _open(hands)

    assert form.chosen is What.DOSE
    assert form.tank.currentText() == "Reef"
    assert form.when.choice.currentText() == "Yesterday"
    assert form.ticks.which == "bicarbonate"
    form.substance.set_text("calcium")
    assert form.ticks.which == "calcium"
    form.substance.set_text("bicarbonate")
    assert form.ticks.which == "bicarbonate"
    form.grams.set_text("6")
    hands.press("Ctrl+Return")
    entry = hands.log()[0].entry
    assert (entry.day, entry.completes[0].chore) == (ELEVENTH, "bicarbonate")
    assert month_of(hands).current_cell().content.not_done == 1


def test_a_tank_that_is_chosen_begins_with_its_own_at_its_hour(live_in: LiveIn) -> None:
    """The feeding of Nook at 18:00, which is no usual hour of a round."""
    hands = _lived(live_in)
    hands.press("Ctrl+Down", "Ctrl+Down")
    assert hands.window.session.tank_id == "nook"
    month_of(hands).go_to(ELEVENTH)

    form = _open(hands)

    assert (form.chosen, form.tank.currentText()) == (What.FEEDING, "Nook")
    assert _local(form) == datetime(2026, 3, 11, 18, tzinfo=BERLIN)
    assert form.feeding.which == "feed"
    hands.press("Ctrl+Return")
    entry = hands.log()[0].entry
    assert (entry.day, entry.completes[0].chore) == (ELEVENTH, "feed")


def test_a_past_day_without_a_gap_begins_with_the_day_alone(live_in: LiveIn) -> None:
    """At the usual hour of its round, which is what a day without an hour means."""
    hands = _lived(live_in)
    month_of(hands).go_to(TENTH)

    form = _open(hands)

    assert form.chosen is What.TOP_OFF
    assert _local(form) == datetime(2026, 3, 10, 7, tzinfo=BERLIN)


def test_the_list_of_a_past_day_begins_with_the_tank_of_its_line(live_in: LiveIn) -> None:
    """The line is of Nook, so that the dose of Reef is not what is meant."""
    feed = replace(_house().chores[2], rhythm=replace(DAILY, slots=(time(8), time(18))))
    house = _house()
    hands = _lived(live_in, replace(house, chores=(*house.chores[:2], feed, house.chores[3])))
    month_of(hands).go_to(TENTH)
    hands.press("Return")
    assert page_of(hands).month.is_day_open
    assert page_of(hands).month.list.go_to_id(
        next(row.id for row in page_of(hands).rows() if row.item.chore.id == "feed")
    )

    form = _open(hands)

    assert (form.chosen, form.tank.currentText()) == (What.FEEDING, "Nook")
    assert _local(form) == datetime(2026, 3, 10, 8, tzinfo=BERLIN)


def test_a_line_of_a_tank_with_nothing_missed_begins_with_what_was(live_in: LiveIn) -> None:
    """The day says that Ctrl+L writes it down, whichever of its lines has the keys."""
    chores = _house().chores
    feed, glass = replace(chores[2], tank="reef"), replace(chores[3], tank="nook")
    hands = _lived(live_in, replace(_house(), chores=(*chores[:2], feed, glass)))
    month_of(hands).go_to(ELEVENTH)
    hands.press("Return")
    row = next(row for row in page_of(hands).rows() if row.item.chore.id == "glass")
    assert page_of(hands).month.list.go_to_id(row.id)

    form = _open(hands)

    assert (form.chosen, form.tank.currentText()) == (What.DOSE, "Reef")
    at = _local(form)
    assert at is not None
    assert at.date() == ELEVENTH


def test_today_and_days_to_come_begin_as_on_the_round(live_in: LiveIn) -> None:
    """What has not happened cannot be logged; today it is now."""
    hands = _lived(live_in)
    for on in (date(2026, 3, 12), date(2026, 3, 13)):
        month_of(hands).go_to(on)

        form = _open(hands)

        assert form.when.choice.currentText() == NOW
        assert form.chosen is What.TOP_OFF
        hands.press("Esc")
    hands.press("B")
    assert _open(hands).when.choice.currentText() == NOW


def test_an_hour_that_is_typed_alone_is_of_the_day_in_hand(live_in: LiveIn) -> None:
    """Who looks at the 10th and types an hour means that day, and sees it in full."""
    hands = _lived(live_in)
    month_of(hands).go_to(TENTH)
    form = _open(hands)
    form.when.choice.setFocus()

    hands.type("9:30 pm")
    hands.press("Tab")

    assert form.when.other.text == "10 Mar 2026 21:30"
    form.when.other.set_text("evening")
    assert _local(form) == datetime(2026, 3, 10, 19, tzinfo=BERLIN)
    form.when.other.set_text("yesterday 9")
    assert _local(form) == datetime(2026, 3, 11, 9, tzinfo=BERLIN)


def test_what_was_typed_of_now_does_not_come_to_a_past_day(live_in: LiveIn) -> None:
    """It would bring its time along. On its own day it waits, with its day."""
    hands = _lived(live_in)
    form = _open(hands)
    form.litres.set_text("2")
    hands.press("Esc")
    month_of(hands).go_to(TENTH)

    form = _open(hands)

    assert form.litres.text == ""
    assert _local(form) == datetime(2026, 3, 10, 7, tzinfo=BERLIN)
    form.litres.set_text("3")
    hands.press("Esc")
    month_of(hands).go_to(ELEVENTH)
    hands.press("Ctrl+L", "Esc")
    month_of(hands).go_to(TENTH)
    form = _open(hands)
    assert form.litres.text == "3"
    assert _local(form) == datetime(2026, 3, 10, 7, tzinfo=BERLIN)


def test_a_line_of_the_household_asks_for_the_tank(live_in: LiveIn) -> None:
    """No tank is meant by it, and what is written down for the wrong one looks right."""
    hands = live_in()
    hands.go_to("meter")

    form = _open(hands)

    assert form.chosen is What.TOP_OFF
    assert (form.tank.currentIndex(), form.tank.placeholderText()) == (-1, "Choose")
    form.litres.set_text("1.5")
    hands.press("Ctrl+Return")
    assert form.accessibleDescription() == "Choose the tank that it was."
    assert hands.focus() is form.tank
    assert hands.log() == []
    form.choose(What.WATER_CHANGE)
    assert (form.tank.currentIndex(), form.ticks.told.text()) == (-1, "")
    form.choose(What.NOTE)
    assert form.tank.currentText() == "The household"
    form.choose(What.TOP_OFF)
    assert form.tank.currentIndex() == -1
    hands.press("Down", "Down")
    assert form.accessibleDescription() == ""
    hands.press("Ctrl+Return")
    assert hands.log()[0].entry.tank == "nook"


def test_a_line_of_the_household_means_the_only_tank(live_in: LiveIn) -> None:
    """There is no other one to be asked for."""
    house = small_house()
    only = tuple(one for one in house.chores if one.tank != "nook")
    hands = live_in(replace(house, tanks=house.tanks[:1], chores=only))
    hands.go_to("meter")

    assert _open(hands).tank.currentText() == "Reef"


def test_a_day_without_a_line_in_hand_asks_for_the_tank(live_in: LiveIn) -> None:
    """Neither a day of the month nor the logbook names one; one that is chosen is meant."""
    hands = _lived(live_in)
    month_of(hands).go_to(TENTH)
    form = _open(hands)
    assert (form.tank.currentIndex(), form.tank.placeholderText()) == (-1, "Choose")
    hands.press("Escape", "Ctrl+3")
    assert _open(hands).tank.currentIndex() == -1
    hands.press("Escape")

    hands.frame.rail.chosen.emit("nook")
    hands.settle()
    assert _open(hands).tank.currentText() == "Nook"


def test_a_dose_still_open_is_begun_on_its_own_day(live_in: LiveIn) -> None:
    """It lapsed not yet, and somebody may have given it on that day all the same."""
    dose = _daily("calcium", if_missed=IfMissed.COLLAPSE, late_days=1)
    entries = (an_entry(1, NINTH.isoformat(), done="calcium", key=NINTH.isoformat()),)
    hands = live_in(small_house(chores=(dose,)), entries=entries)
    hands.press("Ctrl+2")
    month_of(hands).go_to(TENTH)

    form = _open(hands)

    assert (form.chosen, form.ticks.which) == (What.DOSE, "calcium")
    assert _local(form) == datetime(2026, 3, 10, 7, tzinfo=BERLIN)
    form.substance.set_text("calcium")
    form.grams.set_text("6")
    hands.press("Ctrl+Return")
    entry = hands.log()[0].entry
    assert (entry.day, [turn.key for turn in entry.completes]) == (TENTH, [TENTH.isoformat()])


def test_a_turn_whose_name_todays_tick_holds_is_told_as_that_of_its_day(live_in: LiveIn) -> None:
    """Today's tick closed both by the name of the older one; yesterday's feeding was no extra."""
    feed = _daily("feed", kind=ChoreKind.FEEDING, tank="nook", late_days=1)
    entries = (
        an_entry(1, "2026-03-10", done="feed", key="2026-03-10", tank="nook"),
        an_entry(2, "2026-03-12", done="feed", key="2026-03-11", tank="nook"),
    )
    hands = live_in(small_house(chores=(feed,)), entries=entries)
    hands.press("Ctrl+2")
    month_of(hands).go_to(ELEVENTH)
    assert _open(hands).chosen is What.FEEDING

    hands.press("Ctrl+Return")

    assert hands.told.replace("\N{NO-BREAK SPACE}", " ").startswith(
        "Fed Nook, on Wednesday 11 March. That does Feed of that day."
    )
