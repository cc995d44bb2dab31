"""Reminders in the window, with a clock, a tray and settings in the hands of the test."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from PySide6.QtWidgets import QApplication

from tankkeeper.core.chores import Calendar, Chore, ChoreKind, Condition, IfMissed, WhenWaterSays
from tankkeeper.core.household import Household, TopOffLimits
from tankkeeper.core.logbook import ReservoirCheck, TopOff
from tankkeeper.core.turns import State
from tankkeeper.gui import turn_taking
from tankkeeper.gui.forms.close_form import CloseForm
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tankkeeper.reports.numbers import plain
from tankkeeper.services.noting import log_top_off
from tankkeeper.services.reminder_habits import Habits, WhenClosed
from tankkeeper.services.restarts import SWITCHED_ON
from tests.builders import BERLIN, an_entry, day
from tests.gui.conftest import Remind, Wear
from tests.gui.reminded import SILENT, Reminded, changed_house, slotted
from tests.gui.round_house import box, chore, small_house


def local(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=BERLIN)


OFF = (
    "Reef: pumps and heater may still be off. Off for: clean the pump (done, 07:04). "
    "Switch them on again, the heater only under water."
)


def test_a_tick_that_had_pumps_off_is_told_until_a_key_says_that_they_run(remind: Remind) -> None:
    """In every view; the key writes a note into the logbook, and an undo brings the words back."""
    one = remind(changed_house())
    one.hands.go_to("pump")
    one.hands.press("Space")
    assert one.restart == OFF
    one.hands.press("Ctrl+2")
    assert one.desk.banner is not None
    assert one.desk.banner.isVisible()

    one.hands.press("Ctrl+R")

    assert one.restart == ""
    assert not one.desk.banner.isVisible()
    assert one.hands.log()[0].entry.note == SWITCHED_ON
    assert one.hands.told == "Reef: pumps and heater are on again."
    one.hands.press("Ctrl+Z")
    assert one.restart == OFF


def test_the_banner_moves_no_row(remind: Remind) -> None:
    """It stands beneath the page: the next click hits what it is meant for."""
    one = remind(changed_house())
    one.hands.go_to("pump")
    rows = one.hands.list.item_rows()
    before = [one.hands.list.visualRect(one.hands.list.model().index(at, 0)).top() for at in (0, 1)]
    top = one.hands.list.mapTo(one.hands.frame, one.hands.list.rect().topLeft())
    one.hands.press("Space")

    assert one.restart == OFF
    after = [one.hands.list.visualRect(one.hands.list.model().index(at, 0)).top() for at in (0, 1)]
    assert after == before
    assert one.hands.list.mapTo(one.hands.frame, one.hands.list.rect().topLeft()) == top
    assert len(rows) == len(one.hands.list.item_rows())


def test_the_undo_of_the_tick_takes_the_reminder_along(remind: Remind) -> None:
    """What was not done had nothing switched off."""
    one = remind(changed_house())
    one.hands.go_to("pump")
    one.hands.press("Space")
    one.hands.press("Ctrl+Z")
    assert one.restart == ""


def test_pumps_that_are_off_are_told_after_a_new_start(remind: Remind) -> None:
    """The logbook holds them; a program that ended forgets nothing."""
    first = remind(changed_house())
    first.hands.go_to("pump")
    first.hands.press("Space")
    first.hands.close()

    second = remind(is_there=True)

    assert second.restart == OFF


def test_several_tanks_wait_one_after_the_other(remind: Remind) -> None:
    """The key speaks of the tank that is named first; the other is named with it."""
    one = remind(changed_house())
    for name in ("pump", "skim"):
        one.hands.go_to(name)
        one.hands.press("Space")
    assert one.restart == f"{OFF} After that: Nook."

    one.hands.press("Ctrl+R")

    assert one.restart.startswith("Nook: pumps and heater may still be off.")


def test_pumps_are_on_again_by_the_key_right_after_the_tick(remind: Remind) -> None:
    """Before the banner stands: what was kept by then decides, not what was shown."""
    one = remind(changed_house())
    one.hands.go_to("pump")
    one.hands.hit("Space")
    one.hands.hit("Ctrl+R")
    one.hands.settle()

    assert one.hands.told == "Reef: pumps and heater are on again."
    assert one.restart == ""
    assert one.hands.log()[0].entry.note == SWITCHED_ON


def test_a_tank_is_switched_on_once_however_often_its_key_is_pressed(remind: Remind) -> None:
    """While the banner still names the first tank, the key never means the one after it."""
    one = remind(changed_house())
    for name in ("pump", "skim"):
        one.hands.go_to(name)
        one.hands.press("Space")
    one.hands.hit("Ctrl+R")
    one.hands.hit("Ctrl+R")
    one.hands.settle()

    assert one.hands.told == "Reef: pumps and heater were on again already."
    notes = [row.entry for row in one.hands.log() if row.entry.note == SWITCHED_ON]
    assert [entry.tank for entry in notes] == ["reef"]
    assert one.restart.startswith("Nook: pumps and heater may still be off.")


def test_the_end_of_the_program_waits_for_the_keys_before_it(remind: Remind) -> None:
    """The tick and what is switched on again stand in the logbook of the next start."""
    first = remind(changed_house())
    first.hands.go_to("pump")
    for key in ("Space", "Ctrl+R", "Ctrl+Q"):
        first.hands.hit(key)
    first.hands.settle()
    assert not first.hands.window.shell.isVisible()
    first.hands.window.worker.finish()
    first.hands.close()

    second = remind(is_there=True)

    assert second.hands.log()[0].entry.note == SWITCHED_ON
    assert second.hands.state("pump") is State.DONE
    assert second.restart == ""


def test_the_end_of_the_program_is_not_lost_however_long_something_is_written(
    remind: Remind, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Other keys are left out by then; who wants to leave still does."""
    monkeypatch.setattr(turn_taking, "LONGEST_WISH_S", -1.0)
    one = remind(changed_house())
    one.hands.go_to("pump")
    for key in ("Space", "Ctrl+R", "Ctrl+Q"):
        one.hands.hit(key)
    one.hands.settle()
    assert not one.hands.window.shell.isVisible()


def test_work_that_begins_is_told_by_a_key_and_reminded_of_after_its_minutes(
    remind: Remind,
) -> None:
    """O on the line; after twenty minutes the window asks to be looked at."""
    one = remind(changed_house())
    one.hands.go_to("pump")
    one.hands.press("Shift+O")
    assert "(begun, 07:04)" in one.restart
    assert one.hands.state("pump") is not State.DONE
    one.passes(timedelta(minutes=19))
    assert one.alerts == 0

    one.passes(timedelta(minutes=1))

    assert one.alerts == 1
    assert one.reminder == "", "the words stand in the banner already"


def test_nothing_waits_and_no_tank_is_chosen_are_told(remind: Remind) -> None:
    """A key that finds nothing says so."""
    one = remind(small_house())
    one.hands.press("Ctrl+R")
    assert one.hands.told == "Nothing waits to be switched on again."
    one.hands.go_to("meter")
    one.hands.press("Shift+O")
    assert one.hands.told == "Choose a chore of a tank first; this one belongs to none."


def test_a_slot_is_told_in_the_window_where_there_is_no_tray(remind: Remind) -> None:
    """At nine it stands in the banner; the key leads to its line, the tick takes it away."""
    one = remind(slotted(time(9)))
    assert one.reminder == ""
    one.passes(timedelta(hours=2))
    assert one.reminder == "Nook: feed, 09:00."
    assert one.alerts == 1
    one.hands.press("Ctrl+2")

    one.hands.press("Ctrl+G")

    assert one.hands.frame.view_id == "round"
    assert one.hands.list.current_row().item.chore.id == "feed"
    one.hands.press("Space")
    assert one.reminder == ""


def test_the_key_of_the_reminder_goes_from_matter_to_matter(remind: Remind) -> None:
    """Each stands on a line of its own; after the last comes the first again."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 12), (time(9),))
    feed = chore("feed", "Feed", None, rhythm=daily, tank="nook", if_missed=IfMissed.EXPIRE)
    dose = chore("dose", "Dose", None, rhythm=daily, tank="reef", if_missed=IfMissed.EXPIRE)
    wipe = chore("wipe", "Wipe the lid", 12)
    one = remind(small_house(chores=(wipe, feed, dose)))
    one.passes(timedelta(hours=2))
    assert one.reminder == "Reef: dose, 09:00.\nNook: feed, 09:00."

    gone_to = []
    for number in (1, 2, 1):
        one.hands.press("Ctrl+G")
        gone_to.append(one.hands.current())
        assert one.hands.told == f"{number} of 2 in the reminder."
    assert gone_to == ["dose", "feed", "dose"]
    one.hands.press("Space", "Ctrl+G")
    assert one.hands.current() == "feed"


def test_the_newest_reminder_stands_before_those_that_were_told_earlier(
    remind: Remind, wear: Wear
) -> None:
    """A full banner shows its beginning alone; the key leads to what is read there."""

    def fed(number: int, hour: int) -> Chore:
        rhythm = Calendar("FREQ=DAILY", date(2026, 3, 12), (time(hour),))
        name, missed = f"Feed basin {number}", IfMissed.EXPIRE
        return chore(f"feed{number}", name, None, rhythm=rhythm, tank="nook", if_missed=missed)

    wear(Scheme.LIGHT, 200)
    early = [fed(number, 9) for number in range(1, 6)]
    one = remind(small_house(chores=(chore("wipe", "Wipe the lid", 12), *early, fed(6, 10))))
    one.passes(timedelta(hours=2))
    before = one.reminder.split("\n")
    one.passes(timedelta(hours=1))

    assert before[0] == "Nook: feed basin 1, 09:00."
    assert one.reminder.split("\n")[:2] == ["Nook: feed basin 6, 10:00.", before[0]]
    assert one.desk.banner is not None
    bar = one.desk.banner.findChildren(NoticeBar)[1]
    assert plain(bar.shown_text).startswith("Nook: feed basin 6")
    assert "more" in bar.shown_text
    one.hands.press("Ctrl+G")
    assert one.hands.current() == "feed6"


def test_what_is_about_another_tank_widens_the_view(remind: Remind) -> None:
    """The line stands with a tank that is not shown."""
    one = remind(slotted(time(9)))
    one.hands.press("Ctrl+Down")
    assert [row.id for row in one.hands.rows()] == ["wipe@first"]
    one.passes(timedelta(hours=2))

    one.hands.press("Ctrl+G")

    assert one.hands.list.current_row().item.chore.id == "feed"


def test_a_reminder_is_closed_for_good(remind: Remind) -> None:
    """And the next one comes by itself."""
    one = remind(slotted(time(9), time(10)))
    one.passes(timedelta(hours=2))
    one.hands.press("Ctrl+Shift+G")
    assert one.reminder == ""
    one.passes(timedelta(hours=1))
    assert one.reminder == "Nook: feed, 10:00."


def test_what_a_tick_took_away_stands_again_when_the_tick_is_undone(remind: Remind) -> None:
    """The feeding is due as before; what was closed meanwhile is another matter."""
    one = remind(slotted(time(9)))
    one.passes(timedelta(hours=2))
    one.hands.go_to("feed")
    one.hands.press("Space")
    assert one.reminder == ""
    one.hands.press("Ctrl+Shift+G")

    one.hands.press("Ctrl+Z")

    assert one.reminder == "Nook: feed, 09:00."


def test_an_open_slot_stands_after_a_new_start_until_it_is_done_or_closed(remind: Remind) -> None:
    """Told once and not told anew, but what is still to do stands in the window."""
    first = remind(slotted(time(7)), now=local("2026-03-12T08:00"))
    first.hands.go_to("feed")
    first.hands.press("Space")
    assert first.reminder == ""
    first.hands.press("Ctrl+Z")
    first.hands.close()

    second = remind(is_there=True, told=first.told, now=local("2026-03-12T08:05"))
    assert second.reminder == "Nook: feed, 07:00."
    assert second.alerts == 0
    second.hands.press("Ctrl+Shift+G")
    second.hands.close()

    third = remind(is_there=True, told=second.told, now=local("2026-03-12T08:10"))
    assert third.reminder == ""


def test_with_a_tray_the_notice_is_told_there_as_well(remind: Remind) -> None:
    """Everything stands in the window, too; the desktop need not point at it."""
    one = remind(slotted(time(9)), has_tray=True, habits=replace(SILENT, uses_tray=True))
    one.passes(timedelta(hours=2))
    assert one.tray.said == [("Nook", "Nook: feed, 09:00.")]
    assert one.reminder == "Nook: feed, 09:00."
    assert one.alerts == 0
    one.hands.close()
    one.desk.quit()


def test_the_tray_is_off_until_it_is_wanted_and_possible(remind: Remind) -> None:
    """Neither where the person has not asked for it nor where the desktop has none."""
    for wanted, is_there in ((False, True), (True, False)):
        one = remind(
            small_house(),
            is_there=is_there is False,
            has_tray=is_there,
            habits=replace(SILENT, uses_tray=wanted),
        )
        assert one.desk.tray is None
        one.hands.close()


def test_a_second_start_does_not_tell_what_the_first_told(remind: Remind) -> None:
    """What was told is kept beside the household."""
    first = remind(slotted(time(7)), now=local("2026-03-12T08:00"))
    assert first.alerts == 1
    first.hands.close()
    second = remind(is_there=True, told=first.told, now=local("2026-03-12T08:00"))
    assert second.alerts == 0


def past_its_limit() -> Household:
    """Return a house whose nook should have been topped off days ago."""
    nook = box("nook", "Nook", 2)
    nook = replace(nook, top_off=TopOffLimits(allowed_drop_mm=4.0))
    rhythm = WhenWaterSays(Condition.EVAPORATION, max_days=7)
    fill = chore("fill", "Top off", None, rhythm=rhythm, tank="nook", kind=ChoreKind.TOP_OFF)
    feed = chore("feed", "Feed", 12, tank="nook")
    return small_house(tanks=(nook,), chores=(fill, feed))


def test_what_harms_animals_is_told_after_a_new_start_until_it_is_mended(remind: Remind) -> None:
    """Told before, it stands all the same, first of all; closed, it comes with the next start."""
    filled = an_entry(1, "2026-03-01", done="fill", tank="nook", fact=TopOff(1.0))
    first = remind(past_its_limit(), entries=(filled,), is_seen=True)
    assert first.reminder.startswith("Nook: the ")
    first.hands.press("Ctrl+Shift+G")
    assert first.reminder == ""

    second = remind(is_there=True, told=first.told, is_seen=True)
    assert second.reminder.startswith("Nook: the ")
    session = second.hands.window.session
    assert session is not None
    log_top_off(session.desk, session.household.tank("nook"), 2.0)  # type: ignore[union-attr]
    session.refresh()
    second.hands.settle()
    assert second.reminder == ""


def running_dry() -> Household:
    """Return a house whose nook is kept at its mark by a pump out of a small reservoir."""
    nook = replace(box("nook", "Nook", 2), top_off=TopOffLimits(reservoir_l=1.5))
    rhythm = WhenWaterSays(Condition.EVAPORATION, max_days=7)
    fill = chore("fill", "Fill it", None, rhythm=rhythm, tank="nook", kind=ChoreKind.RESERVOIR)
    return small_house(tanks=(nook,), chores=(fill, chore("feed", "Feed", 12, tank="nook")))


DAILY_FILLS = tuple(
    an_entry(at, f"2026-03-{at:02}", done="fill", tank="nook", fact=ReservoirCheck(fill_l=1.0))
    for at in range(4, 12)
)


def test_a_caution_that_was_closed_stands_again_once_what_it_foretold_has_come(
    remind: Remind,
) -> None:
    """Closed while the reservoir still held water, it says the same day that it may be empty."""
    one = remind(running_dry(), entries=DAILY_FILLS)
    assert plain(one.reminder).startswith("Nook: the reservoir may be empty today at 14:24")
    one.hands.press("Ctrl+Shift+G")

    one.hands.clock.forward(timedelta(hours=7))
    one.hands.window.session.look()  # type: ignore[union-attr]
    one.hands.settle()
    assert one.reminder == ""
    one.hands.clock.forward(timedelta(minutes=30))
    one.hands.window.session.look()  # type: ignore[union-attr]
    one.hands.settle()

    assert plain(one.reminder).startswith("Nook: the reservoir may be empty since today, 14:24")
    one.hands.press("Ctrl+Shift+G")
    one.passes(timedelta(hours=6))
    assert one.reminder == "", "closed as what it is by now"


def test_a_caution_that_was_closed_stands_again_on_the_next_day_as_after_a_new_start(
    remind: Remind,
) -> None:
    """After a sleep of two days as well; the same stands in a window that is opened then."""
    one = remind(running_dry(), entries=DAILY_FILLS, habits=Habits(quiet=None))
    assert "Nook: the reservoir" in one.reminder
    one.hands.press("Ctrl+Shift+G")
    assert one.reminder == ""

    one.hands.clock.forward(timedelta(days=2))
    one.hands.window.session.look()  # type: ignore[union-attr]
    one.hands.settle()

    first, second = plain(one.reminder).split("\n")
    assert first.startswith("Nook: the reservoir is empty, maybe since Thu 12, 14:24")
    assert second.startswith("Today: ")
    one.hands.press("Ctrl+G")
    assert one.hands.current() == "fill"
    now = one.hands.clock.now()
    one.hands.close()
    again = remind(is_there=True, told=one.told, now=now, habits=Habits(quiet=None))
    assert plain(again.reminder).split("\n")[0] == first


def test_a_fill_of_yesterday_that_is_taken_back_leaves_the_warning_that_stood(
    remind: Remind,
) -> None:
    """Also with a new start of that day; the sentence is the one from before the fill."""
    filled = an_entry(1, "2026-03-09", done="fill", tank="nook", fact=TopOff(1.0))
    house = past_its_limit()
    nook = replace(house.tanks[0], top_off=TopOffLimits(allowed_drop_mm=1.0))
    house = replace(house, tanks=(nook,), chores=house.chores[:1])
    first = remind(house, entries=(filled,), now=local("2026-03-11T08:00"))
    first.hands.close()
    second = remind(is_there=True, told=first.told, now=local("2026-03-12T09:20"))
    stood = second.reminder
    assert stood.startswith("Nook: the water level is past its limit, maybe since")

    second.hands.go_to("fill")
    second.hands.press("Y")
    second.hands.press("Return")
    told_of_fill = second.reminder
    second.hands.press("Ctrl+Z")

    assert told_of_fill.startswith("Nook: the water level is past its limit, maybe since yesterday")
    assert told_of_fill != stood == second.reminder
    second.hands.close()
    third = remind(is_there=True, told=second.told, now=local("2026-03-12T09:30"))
    assert third.reminder == stood
    third.hands.press("Ctrl+Shift+G")
    assert third.reminder == ""
    third.hands.go_to("fill")
    third.hands.press("Y")
    third.hands.press("Return")
    third.hands.press("Ctrl+Z")
    assert third.reminder == "", "closed, for the cause that stands again"


def test_of_what_a_start_brings_up_what_harms_stands_first(remind: Remind) -> None:
    """The level was told the day before, the feeding is new; one that comes later stands first."""
    house = past_its_limit()
    rhythm = Calendar("FREQ=DAILY", date(2026, 3, 13), (time(7), time(9)))
    feed = chore("feed", "Feed", None, rhythm=rhythm, tank="nook", if_missed=IfMissed.EXPIRE)
    house = replace(house, chores=(house.chores[0], feed))
    filled = an_entry(1, "2026-03-01", done="fill", tank="nook", fact=TopOff(1.0))
    first = remind(house, entries=(filled,), is_seen=True)
    level = first.reminder
    assert level.startswith("Nook: the water level is past its limit")
    first.hands.close()

    second = remind(is_there=True, told=first.told, is_seen=True, now=local("2026-03-13T08:00"))

    lines = second.reminder.split("\n")
    assert [line.split(",")[0] for line in lines[1:]] == ["Nook: feed"]
    assert lines[0].startswith("Nook: the water level is past its limit")
    second.passes(timedelta(hours=1))
    assert [line.rpartition(", ")[2] for line in second.reminder.split("\n")] == [
        "09:00.", lines[0].rpartition(", ")[2], "07:00.",
    ]  # fmt: skip


def test_a_sleep_of_two_days_is_one_notice(remind: Remind) -> None:
    """The first look after it tells today's morning and slot together, and once."""
    habits = Habits(quiet=None)
    one = remind(slotted(time(9)), habits=habits)
    one.passes(timedelta(minutes=1))
    one.alerts = 0
    one.hands.clock.forward(timedelta(days=2, hours=3))
    one.hands.window.session.refresh()  # type: ignore[union-attr]
    one.hands.settle()

    one.passes(timedelta(seconds=15))

    assert one.alerts == 1
    assert one.reminder.startswith("Nook: feed, 09:00.\nToday: 1 overdue")


def test_who_works_in_the_window_is_not_told_what_the_round_says(remind: Remind) -> None:
    """The morning's summary is for who looks elsewhere; a slot is told in any case.

    The round was just opened after that hour, and so says by itself what is due.
    """
    habits = Habits(quiet=None)
    one = remind(slotted(time(9)), habits=habits, is_seen=True)
    assert (one.reminder, one.alerts) == ("", 0)

    one.passes(timedelta(hours=2, minutes=1))

    assert one.reminder.startswith("Nook: feed, 09:00.")
    assert "Today" not in one.reminder
    assert one.alerts == 1


def at_half_past(hour: int = 7) -> Habits:
    """Return habits with a summary at half past an hour of every day, and no quiet hours."""
    return Habits((time(hour, 30),) * 7, None)


def foot(one: Reminded) -> str:
    """Return what the foot of the window says comes next."""
    return one.hands.frame.bottom._next.text().replace("\u00a0", " ")


def test_before_work_of_that_hour_the_foot_tells_the_work(remind: Remind) -> None:
    """What comes sooner is told, also while something is overdue."""
    one = remind(slotted(time(7, 20)), habits=at_half_past())

    assert foot(one) == "Later: Nook, feed, today at 07:20"


def test_where_there_is_no_tray_the_summary_stands_in_the_window_at_its_hour(
    remind: Remind,
) -> None:
    """Though somebody looks at the window: nothing else would show that it was told."""
    one = remind(slotted(time(18)), habits=at_half_past(), is_seen=True)
    assert one.reminder == ""
    assert foot(one) == "Next: morning summary, today at 07:30"

    one.passes(timedelta(minutes=26))

    assert one.reminder == "Today: 2 due."
    assert foot(one) == "Later: Nook, feed, today at 18:00"
    assert one.alerts == 1
    one.passes(timedelta(minutes=15))
    assert one.alerts == 1


def test_a_summary_that_the_opened_round_replaced_comes_at_a_later_hour_of_that_day(
    remind: Remind,
) -> None:
    """Opened at 07:04, the hour of 06:30 has passed without a word; it is set to 07:30 then."""
    one = remind(slotted(time(18)), habits=at_half_past(6), is_seen=True)
    assert one.reminder == ""

    one.desk.chosen.take(at_half_past())
    one.hands.settle()
    assert foot(one) == "Next: morning summary, today at 07:30"
    one.passes(timedelta(minutes=26))

    assert one.reminder == "Today: 2 due."
    one.desk.chosen.take(at_half_past(8))
    one.passes(timedelta(hours=2))
    assert one.alerts == 1


def test_an_hour_that_was_over_when_the_round_was_opened_stays_over(remind: Remind) -> None:
    """Set from 06:30 to 05:30 nothing comes up."""
    one = remind(slotted(time(18)), habits=at_half_past(6), is_seen=True)

    one.desk.chosen.take(at_half_past(5))
    one.passes(timedelta(hours=2))

    assert one.reminder == ""
    assert one.alerts == 0


def test_with_a_tray_the_summary_is_not_told_to_who_works_in_the_window(remind: Remind) -> None:
    """It would only be in the way; the round says the same."""
    habits = replace(at_half_past(), uses_tray=True)
    one = remind(slotted(time(18)), habits=habits, is_seen=True, has_tray=True)

    one.passes(timedelta(minutes=26))

    assert one.reminder == ""
    assert one.tray.said == []


def test_a_clock_set_back_is_looked_at_and_tells_nothing_twice(remind: Remind) -> None:
    """The look that was named lies far ahead then; the window looks all the same."""
    one = remind(slotted(time(9)))
    one.passes(timedelta(hours=2))
    assert one.alerts == 1
    one.passes(timedelta(hours=-3))
    assert one.desk._looked == one.hands.clock.now()
    one.passes(timedelta(hours=3))
    assert one.alerts == 1


def test_closing_asks_once_where_reminders_can_go_on(remind: Remind) -> None:
    """The first time with a tray; the answer holds from then on, and quitting always ends."""
    one = remind(small_house(), has_tray=True, habits=replace(SILENT, uses_tray=True))
    shell = one.hands.window.shell

    shell.close()
    one.hands.settle()
    form = one.hands.form()
    assert isinstance(form, CloseForm)
    assert shell.isVisible()
    one.hands.press("Return")

    assert one.kept[-1].when_closed is WhenClosed.STAY
    assert not shell.isVisible()
    assert one.left == 0
    one.desk.raise_window()
    assert shell.isVisible()
    shell.close()
    assert not shell.isVisible()
    one.desk.quit()
    assert one.left == 1
    assert one.tray.is_stopped


def test_closing_ends_where_there_is_no_tray_whatever_was_chosen(remind: Remind) -> None:
    """Nothing could bring the window back."""
    one = remind(small_house(), habits=replace(SILENT, uses_tray=True, when_closed=WhenClosed.STAY))
    one.hands.close()
    assert one.desk._session is None
    assert not one.hands.window.shell.isVisible()
    assert QApplication.quitOnLastWindowClosed()


def test_a_second_start_leads_to_the_chore_that_it_names(remind: Remind) -> None:
    """By its name or its id; what is not there leads to the round."""
    one = remind(changed_house())
    one.hands.press("Ctrl+2")
    one.desk.following.go_to_chore("wipe THE lamp")
    one.hands.settle()
    assert one.hands.list.current_row().item.chore.id == "lamp"
    assert one.hands.frame.view_id == "round"
    one.desk.following.go_to_chore("nowhere")
    assert one.hands.list.current_row().item.chore.id == "lamp"


def test_the_banner_is_read_aloud_with_its_keys(remind: Remind) -> None:
    """Sentence and button have names; the button says its key."""
    one = remind(changed_house())
    one.hands.go_to("pump")
    one.hands.press("Space")
    assert one.desk.banner is not None
    bar = one.desk.banner.findChildren(NoticeBar)[0]
    assert bar._whole.label.accessibleName().endswith(OFF)  # type: ignore[attr-defined]
    assert bar._buttons[0].words == "Switched on again (Ctrl+R)"  # type: ignore[attr-defined]
    assert day("2026-03-12") == one.hands.sheet().words.today


def test_at_login_the_window_is_put_away_once_the_icon_is_there(remind: Remind) -> None:
    """A tray that comes after the program is found, and brings the window back."""
    one = remind(small_house(), habits=replace(SILENT, uses_tray=True), is_at_login=True)
    shell = one.hands.window.shell
    shell.showMinimized()
    one.passes(timedelta(seconds=15))
    assert shell.isVisible(), "without an icon it is listed among the windows"

    one.has_tray = True
    one.passes(timedelta(seconds=15))

    assert one.desk.tray is one.tray
    assert not shell.isVisible()
    one.desk.raise_window()
    assert shell.isVisible()
    assert not shell.isMinimized()
    one.hands.close()
    one.desk.quit()


def test_a_window_that_was_opened_meanwhile_stays_open(remind: Remind) -> None:
    """Whoever brought it up at login before the icon came wants to see it."""
    one = remind(small_house(), habits=replace(SILENT, uses_tray=True), is_at_login=True)
    one.has_tray = True
    one.passes(timedelta(seconds=15))
    assert one.desk.tray is one.tray
    assert one.hands.window.shell.isVisible()
    one.desk.quit()


def test_an_icon_shown_by_hand_minimises_nothing(remind: Remind) -> None:
    """Only the start at login puts the window away."""
    one = remind(small_house(), has_tray=True)
    one.hands.window.shell.showMinimized()
    one.desk.keeper.follow(replace(SILENT, uses_tray=True))
    assert one.hands.window.shell.isVisible()
    one.desk.quit()


def test_the_summary_of_the_morning_leads_to_the_beginning_of_the_whole_round(
    remind: Remind,
) -> None:
    """It is about all tanks, whichever is shown."""
    one = remind(changed_house(), habits=at_half_past(), is_seen=True)
    one.passes(timedelta(hours=1))
    assert one.reminder.startswith("Today: ")
    one.hands.press("Ctrl+Down")
    assert one.desk._session is not None
    assert one.desk._session.tank_id is not None

    one.hands.press("Ctrl+G")

    assert one.desk._session.tank_id is None
    assert one.hands.list.current_row() == one.hands.list.item_rows()[0]
