"""The foot says when what was done or left out comes next, where that counts from it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.logbook import TopOff
from tankkeeper.reports.numbers import plain
from tests.builders import an_entry, days
from tests.gui.conftest import LiveIn
from tests.gui.round_house import SEVEN, chore, small_house
from tests.reports.test_sooner_words import by_salinity, slow

NBSP = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(("key", "did"), [("Space", "Ticked"), ("S", "Skipped")])
def test_what_counts_from_the_last_time_tells_its_next_day(
    live_in: LiveIn, key: str, did: str
) -> None:
    """Seven days after Thursday 12 March; undone it comes back to its day, so nothing is told."""
    hands = live_in()
    hands.go_to("wipe")

    hands.press(key)
    assert hands.told == f"{did} Wipe the lid (Reef). Next on Thu{NBSP}19."
    # The foot tells it for a moment, the line for as long as it stands.
    hands.go_to("wipe")
    assert hands.why.reason.endswith(f" Next on Thu{NBSP}19.")
    assert "Window" not in dict(hands.why.numbers)

    hands.press("Ctrl+Z")
    assert hands.told == f"Undone: {did} Wipe the lid (Reef)."


def test_a_form_tells_the_next_day_too(live_in: LiveIn) -> None:
    """Both the form of the line and the one that writes down what is not in the round."""
    hands = live_in()
    hands.go_to("change")
    hands.press("Ctrl+L")
    hands.type("w")
    hands.press("Tab", "Tab")
    hands.type("9")
    hands.press("Ctrl+Return")
    assert hands.told.endswith(f"That ticks Change water. Next on Thu{NBSP}19.")

    hands.go_to("fill")
    hands.press("Return")
    hands.press("Ctrl+Return")
    assert hands.told.endswith(f"Next on Thu{NBSP}19.")


@pytest.mark.parametrize(
    ("rule", "told"),
    [("FREQ=WEEKLY", f"on Thu{NBSP}19"), ("FREQ=WEEKLY;BYDAY=TH,FR", "tomorrow")],
)
def test_work_by_the_calendar_tells_its_next_day(live_in: LiveIn, rule: str, told: str) -> None:
    """Of what comes every other week, too, nobody knows by heart which week it is."""
    rhythm = Calendar(rule, date(2026, 3, 12))
    lone = replace(small_house(), chores=(chore("pump", "Look at it", 12, rhythm=rhythm),))
    hands = live_in(lone)

    hands.press("Space")

    assert hands.told == f"Ticked Look at it (Reef). Next {told}."


def test_what_goes_on_after_a_pause_tells_its_next_day(live_in: LiveIn) -> None:
    """Done on Thursday 12 March, paused and let go on the same day: seven days after the tick."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    hands.go_to("wipe")
    hands.press("Shift+P", "Return")
    hands.go_to("wipe")

    hands.press("Shift+P")

    assert hands.told == f"Wipe the lid goes on. Next on Thu{NBSP}19."


@pytest.mark.parametrize(
    "rhythm", [AfterLastDone(days(1)), Calendar("FREQ=DAILY", date(2026, 3, 12))]
)
def test_work_of_every_day_tells_it_too(live_in: LiveIn, rhythm: AfterLastDone | Calendar) -> None:
    """A foot that tells it of some work only would leave open whether the other comes again."""
    lone = replace(small_house(), chores=(chore("pump", "Look at it", 12, rhythm=rhythm),))
    hands = live_in(lone)

    hands.press("Space")

    assert hands.told == "Ticked Look at it (Reef). Next tomorrow."


def test_the_next_hour_of_a_chore_is_told_with_its_day(live_in: LiveIn) -> None:
    """At 7:04 that of 7:00 is done, then that of 18:00; the next one is that of the morning."""
    rule = Calendar("FREQ=DAILY", date(2026, 3, 12), (time(7), time(18)))
    feed = chore("feed", "Feed", None, kind=ChoreKind.FEEDING, rhythm=rule)
    hands = live_in(replace(small_house(), chores=(feed,)))

    hands.press("Space")
    assert hands.told == "Ticked Feed (Reef). Next today at 18:00."

    hands.press("Space")
    assert hands.told == "Ticked Feed (Reef). Next tomorrow at 07:00."


def test_a_top_off_tells_about_when_the_next_one_comes(live_in: LiveIn) -> None:
    """The water decides it, so it may move: the foot names the day that the calendar has it on."""
    by_water = WhenWaterSays(Condition.EVAPORATION, max_days=3)
    fill = chore("fill", "Top off", None, kind=ChoreKind.TOP_OFF, rhythm=by_water)
    hands = live_in(replace(small_house(), chores=(fill,)))

    hands.press("Space")
    hands.type("1.5")
    hands.press("Ctrl+Return")

    last = hands.window.session.last
    assert last is not None
    (one,) = last.state.chores
    assert one.upcoming is not None
    day = f"{one.upcoming.target:%a}{NBSP}{one.upcoming.target.day}"
    assert hands.told.endswith(f"Next about {day}.")


def test_a_reading_tells_what_other_work_it_brings_to_today(live_in: LiveIn) -> None:
    """A line appears that nobody foretold; what was due today already is told of no more."""
    by_water = WhenWaterSays(Condition.EVAPORATION)
    fill = chore("it", "Top off", None, kind=ChoreKind.TOP_OFF, rhythm=by_water, tank="nook")
    test = chore("test", "Test salinity", 12, kind=ChoreKind.TEST, tests=("salinity",), tank="nook")
    hands = live_in(
        replace(small_house(), tanks=(by_salinity(),), chores=(fill, test)),
        entries=tuple(slow("2026-03-11")),
        now=SEVEN + timedelta(days=1),
    )
    assert not any(row.item.chore.id == "it" for row in hands.rows())

    hands.go_to("test")
    hands.press("Space")
    hands.type("36.4")
    hands.press("Return")
    if hands.has_form():
        hands.press("Return")

    assert "Top off of Nook moves from Sat 14 to today and takes 0.5 L." in plain(hands.told)
    assert hands.row("it").item.is_open
    hands.press("Ctrl+Z", "Ctrl+Y")
    assert "moves" not in hands.told


def test_a_skipped_top_off_tells_what_the_water_comes_to(live_in: LiveIn) -> None:
    """Nothing was poured in: the foot says what putting it off would have been refused for."""
    by_water = WhenWaterSays(Condition.EVAPORATION)
    fill = chore("fill", "Top off", None, kind=ChoreKind.TOP_OFF, rhythm=by_water)
    filled = an_entry(1, "2026-02-12", TopOff(2.0), tank="reef", done="fill")
    hands = live_in(replace(small_house(), chores=(fill,)), entries=[filled])

    hands.press("S")

    assert plain(hands.told).startswith(
        "Skipped Top off (Reef). The salinity is past its top-off limit of 35.5 PSU, maybe since "
    )


def test_several_ticked_at_once_tell_their_days(live_in: LiveIn) -> None:
    """Each with its name where they differ: 7 days and 14 days after Thursday 12 March."""
    glass = chore("glass", "Clean the glass", 12)
    pump = chore("pump", "Rinse the pump", 12, rhythm=AfterLastDone(days(14)))
    hands = live_in(replace(small_house(), chores=(glass, pump)))

    hands.press("Shift+Down", "Space")

    told = f"Next: Clean the glass on Thu{NBSP}19 and Rinse the pump on Thu{NBSP}26."
    assert hands.told.endswith(told)


def test_the_only_one_with_a_day_worth_telling_is_named(live_in: LiveIn) -> None:
    """Three come tomorrow, which nobody asks; a day alone would be said of all four."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 1))
    others = [chore(f"feed{at}", f"Feed {at}", None, rhythm=daily) for at in range(3)]
    glass = chore("glass", "Clean the glass", 12)
    hands = live_in(replace(small_house(), chores=(glass, *others)))

    hands.press("Ctrl+A", "Space")

    assert hands.told == f"Ticked 4 chores. Next: Clean the glass on Thu{NBSP}19."


def test_several_that_all_come_on_one_day_tell_it_once(live_in: LiveIn) -> None:
    """Seven days after Thursday 12 March, both."""
    two = (chore("glass", "Clean the glass", 12), chore("lid", "Wipe the lid", 12))
    hands = live_in(replace(small_house(), chores=two))

    hands.press("Ctrl+A", "Space")

    assert hands.told.endswith(f"Wipe the lid (Reef). Next on Thu{NBSP}19.")
