"""What a changed rhythm brings along is said while it is typed, and can be chosen otherwise."""

from dataclasses import replace
from datetime import date

from tankkeeper.core.chores import AfterLastDone, Calendar, IfMissed, Once
from tankkeeper.core.household import Animal
from tankkeeper.core.state import items_of
from tankkeeper.core.turns import State
from tests.builders import an_entry, days
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house
from tests.gui.setting_hands import go, save
from tests.gui.test_chores_page import choose, chore, chore_of, desk_of, follows, open_chore, write
from tests.gui.test_new_animals import open_new_animal

WEEKLY = replace(chore_of("look", "Look at the pump", AfterLastDone(days(7))), early_days=1)


def state_of(hands: Hands, name: str) -> list[tuple[State, date]]:
    """Return the open turns of the chores of a name."""
    last = hands.window.session.last
    assert last is not None
    items = [one for each in last.state.chores for one in items_of(last.state, each)]
    found = [one for one in items if one.chore.name == name and one.open is not None]
    return [(one.open.state, one.open.target) for one in found if one.open is not None]


def clear(hands: Hands) -> None:
    """Empty the field with the keys."""
    hands.hit("Ctrl+A")
    hands.hit("Delete")
    hands.settle()


def note(hands: Hands, path: str) -> str:
    label = desk_of(hands).sheet.fields[path]._note_label
    assert label is not None
    return label.text()


def test_every_day_with_a_day_early_comes_every_day_and_says_what_counts(live_in: LiveIn) -> None:
    """The day early stays typed for a slower rhythm; while it is daily none of it counts."""
    hands = live_in(small_house(chores=(WEEKLY,)))
    desk = open_chore(hands, "Look at the pump")
    choose(hands, desk, "rhythm.way", "Every so many days")
    go(hands, desk, "rhythm.count")
    write(hands, "1")
    assert follows(desk) == (
        "Every day. Open today. "
        "Next: Fri 13 Mar, Sat 14 Mar, Sun 15 Mar, Mon 16 Mar and Tue 17 Mar. "
        "It may be done on its day, not before: a day earlier it would count for the turn before."
    )
    save(hands, "chore-daily-early")
    write(hands, "2")
    assert follows(desk).endswith("Wed 18 Mar, Fri 20 Mar and Sun 22 Mar.")


def test_times_of_day_let_missed_turns_lapse_and_say_so_before_they_are_kept(
    live_in: LiveIn,
) -> None:
    """The choice stands changed in its field, and the note at the times tells of it."""
    daily = chore_of("look", "Look at the pump", Calendar("FREQ=DAILY", date(2026, 3, 1)))
    hands = live_in(small_house(chores=(daily,)))
    desk = open_chore(hands, "Look at the pump")
    missed = desk.sheet.fields["if_missed"]
    go(hands, desk, "rhythm.slots")
    write(hands, "8, 18")
    assert missed.value is IfMissed.EXPIRE
    assert follows(desk).endswith(
        "Missed turns lapse now; the field of that name chooses otherwise."
    )
    assert note(hands, "if_missed") == "With times of day, a missed turn lapses at the next one."
    save(hands, "chore-times-lapse")
    clear(hands)
    assert missed.value is IfMissed.COLLAPSE
    assert note(hands, "if_missed") == ""
    write(hands, "8, 18")
    hands.press("Ctrl+Return")
    assert chore(hands, "look").if_missed is IfMissed.EXPIRE
    hands.press("Return")
    assert note(hands, "if_missed") == ""
    hands.press("Ctrl+Z")
    assert chore(hands, "look").if_missed is IfMissed.COLLAPSE


def test_what_a_person_chose_for_missed_turns_stays_whatever_times_are_typed(
    live_in: LiveIn,
) -> None:
    """Chosen once, it changes of itself no more, and is kept as it was chosen."""
    daily = chore_of("look", "Look at the pump", Calendar("FREQ=DAILY", date(2026, 3, 1)))
    hands = live_in(small_house(chores=(daily,)))
    desk = open_chore(hands, "Look at the pump")
    go(hands, desk, "rhythm.slots")
    write(hands, "8, 18")
    choose(hands, desk, "if_missed", "Count as one, overdue")
    go(hands, desk, "rhythm.slots")
    clear(hands)
    write(hands, "9")
    assert "Missed turns" not in follows(desk)
    hands.press("Ctrl+Return")
    assert chore(hands, "look").if_missed is IfMissed.COLLAPSE
    assert chore(hands, "look").slots


def test_another_interval_holds_from_a_later_day(live_in: LiveIn) -> None:
    """Every 4 days from the 14th, never done, and every 10 days from the 19th on."""
    counted = replace(
        chore_of("look", "Look at the pump", AfterLastDone(days(4))), first_due=date(2026, 3, 14)
    )
    hands = live_in(small_house(chores=(counted,)))
    desk = open_chore(hands, "Look at the pump")
    go(hands, desk, "rhythm.count")
    write(hands, "10")
    go(hands, desk, "from_day")
    write(hands, "2026-03-19")
    assert follows(desk).endswith(
        "Next: Sat 14 Mar, Wed 18 Mar, Sat 28 Mar, Tue 7 Apr and Fri 17 Apr."
    )

    hands.press("Ctrl+Return")
    kept = chore(hands, "look")
    assert [one.rhythm for one in kept.earlier] == [counted.rhythm]
    assert (kept.valid_from, kept.rhythm) == (date(2026, 3, 19), AfterLastDone(days(10)))
    hands.press("Return")
    assert "from 19 March 10 days after it is done" in follows(desk)


def test_a_rhythm_becomes_a_single_day_that_comes(live_in: LiveIn) -> None:
    """Done every 5 days until now: the one day that is left still comes."""
    counted = chore_of("look", "Look at the pump", AfterLastDone(days(5)))
    done = an_entry(1, "2026-03-12", done="look")
    hands = live_in(small_house(chores=(counted,)), entries=(done,))
    desk = open_chore(hands, "Look at the pump")
    choose(hands, desk, "rhythm.way", "Once")
    go(hands, desk, "rhythm.start")
    write(hands, "2026-04-01")
    assert follows(desk).endswith("Next: Wed 1 Apr.")
    hands.press("Ctrl+Return")
    assert chore(hands, "look").rhythm == Once(date(2026, 4, 1))


def test_animals_of_yesterday_bring_tests_that_are_due_today(live_in: LiveIn) -> None:
    """Nobody can be late with what was made a moment ago."""
    hands = live_in()
    desk = open_new_animal(hands)
    write(hands, "goby")
    go(hands, desk, "added_on")
    write(hands, "yesterday")
    hands.press("Ctrl+Return")
    assert state_of(hands, "Test ammonia: goby") == [(State.DUE, date(2026, 3, 12))]


def test_animals_whose_tests_would_have_ended_bring_none(live_in: LiveIn) -> None:
    """Their review may still be done for two weeks (common practice, no source)."""
    hands = live_in()
    desk = open_new_animal(hands)
    write(hands, "goby")
    go(hands, desk, "added_on")
    write(hands, "2026-02-10")
    assert follows(desk) == "With it: Review the quarantine: goby."
    hands.press("Ctrl+Return")
    assert state_of(hands, "Review the quarantine: goby") == [(State.MAY_WAIT, date(2026, 3, 10))]
    assert Animal("reef", "goby", None, date(2026, 2, 10)) in hands.window.session.household.animals


def test_equipment_of_long_ago_says_since_when_its_first_service_waits(live_in: LiveIn) -> None:
    """It is due today, and the line says what it counts from."""
    hands = live_in()
    hands.press("Ctrl+Down", "F3")
    desk = desk_of(hands)
    for button in ("equipment", "new"):
        desk.page.buttons[button].setFocus()
        hands.press("Space")
    write(hands, "skimmer")
    go(hands, desk, "installed_on")
    write(hands, "2024-05-04")
    go(hands, desk, "service_weeks")
    write(hands, "8")
    assert follows(desk) == (
        "With it: Service: skimmer, first today, since it was installed on 4 May 2024."
    )
    hands.press("Ctrl+Return")
    assert state_of(hands, "Service: skimmer") == [(State.DUE, date(2026, 3, 12))]
