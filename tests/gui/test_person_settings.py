"""Reminders and backups on the page of the household, by key."""

from __future__ import annotations

from datetime import time, timedelta

import pytest

from tankkeeper.gui.palette import Scheme
from tankkeeper.services.backup_habits import BackupHabits, BackupMeans
from tankkeeper.services.reminder_habits import Habits, WhenClosed
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn, Remind, Wear
from tests.gui.hostile import TEXTS, type_hostile
from tests.gui.reminded import Reminded
from tests.gui.round_house import small_house
from tests.gui.setting_hands import go
from tests.gui.test_house_page import house, open_house, write


def test_the_reminders_are_set_on_the_page_of_the_household(remind: Remind) -> None:
    """An hour for Saturday, no quiet; the log tells nothing, and undo puts back what there was."""
    one = remind(small_house(), habits=Habits(), has_tray=True)
    desk = open_house(one.hands, "reminders")
    first = "They hold for you, in every household on this machine."
    assert desk.page.sentence.text() == first
    write(one.hands, desk, "mornings.5", "9.30")
    for path in ("quiet_from", "quiet_to"):
        go(one.hands, desk, path)
        one.hands.hit("Delete")

    one.hands.press("Esc")

    usual = Habits().mornings
    becomes = Habits((*usual[:5], time(9, 30), usual[6]), None)
    assert one.kept == [becomes]
    assert one.desk.chosen.habits == becomes
    assert one.hands.told == "Changed the reminders of every household on this machine."
    assert one.hands.log() == []
    one.hands.press("Ctrl+Z")
    undone = "Undone: Changed the reminders of every household on this machine."
    assert one.hands.told == undone
    assert one.desk.chosen.habits == one.kept[1] == Habits()
    one.hands.press("Ctrl+Shift+Z")
    assert one.desk.chosen.habits == one.kept[2] == becomes


@pytest.mark.parametrize("is_left", [False, True])
def test_reminders_that_are_loaded_later_come_onto_a_page_that_stands(
    live_in: LiveIn, is_left: bool
) -> None:
    """They are loaded some seconds after the round; whoever is quicker finds them all the same."""
    hands = live_in(small_house())
    desk = open_house(hands, "settings")
    assert "reminders" not in desk.page.buttons
    write(hands, desk, "name", "Harbour")
    if is_left:
        hands.press("Esc")

    one = Reminded(hands, Habits())

    assert list(desk.page.buttons)[-1] == "reminders"
    row = [tab.text().replace("&", "") for tab in desk.page._parts.tabs]
    assert row[:3] == ["Settings", "Reminders", "Backups"]
    assert is_left or desk.sheet.fields["name"].standing == "Harbour"
    one.hands.press("Ctrl+Shift+R")
    assert desk.page.buttons["reminders"].isVisible()
    assert desk.part_id == "reminders"
    assert desk.sheet.fields["every_day"].isAncestorOf(one.hands.focus())
    assert hands.sheet().words.household.name == "Harbour"


def test_one_key_opens_the_settings_at_the_reminders(remind: Remind) -> None:
    """From the round, from another part of the page, and where they stand already."""
    one = remind(small_house(), habits=Habits())
    one.hands.press("Ctrl+Shift+R")
    desk = one.hands.window.morning.settling.house
    assert desk.is_open
    assert desk.sheet.fields["every_day"].isAncestorOf(one.hands.focus())
    one.hands.press("Esc")
    assert not desk.is_open

    open_house(one.hands, "rooms")
    one.hands.press("Ctrl+Shift+R")
    write(one.hands, desk, "every_day", "7:30")
    one.hands.press("Ctrl+Shift+R", "Esc")

    assert one.kept == [Habits((time(7, 30),) * 7)]


@pytest.mark.parametrize("part", ["", "rooms", "water", "people"])
def test_the_settings_at_the_reminders_are_typed_over(remind: Remind, part: str) -> None:
    """The first field is selected, wherever the page stood, and what is typed there goes on."""
    one = remind(small_house(), habits=Habits())
    if part:
        open_house(one.hands, part)
    one.hands.press("Ctrl+Shift+R")
    one.hands.type("8:15")
    one.hands.press("Ctrl+Shift+R")
    one.hands.type(" ")
    desk = one.hands.window.morning.settling.house

    assert desk.sheet.fields["every_day"].typed.text == "8:15 "
    one.hands.press("Esc")
    assert one.kept == [Habits((time(8, 15),) * 7)]


@pytest.mark.parametrize("part", ["settings", "reminders"])
def test_a_part_that_is_chosen_is_typed_over(remind: Remind, part: str) -> None:
    """The first field of the part is selected where the list of another had the keys."""
    one = remind(small_house(), habits=Habits())
    desk = open_house(one.hands, "rooms")
    assert one.hands.focus() is desk.list

    desk.page.asked.emit(part)

    here = one.hands.focus()
    first = next(iter(desk.sheet.fields.values()))
    assert first.isAncestorOf(here)
    assert here.selectedText() == here.text() != ""


def test_a_desktop_without_a_tray_keeps_what_was_chosen_for_another(remind: Remind) -> None:
    """The page says so; keeping another hour changes nothing of the icon."""
    habits = Habits(uses_tray=True)
    one = remind(small_house(), habits=habits)
    desk = open_house(one.hands, "reminders")
    assert desk.sheet.fields["uses_tray"].choice.currentText().startswith("This desktop has no")
    write(one.hands, desk, "mornings.0", "8")
    one.hands.press("Ctrl+Return")
    assert one.kept[-1].uses_tray
    one.desk.quit()


def test_the_icon_comes_with_the_choice_and_asks_what_closing_means(remind: Remind) -> None:
    """It is asked only with an icon."""
    one = remind(small_house(), habits=Habits(), has_tray=True)
    desk = open_house(one.hands, "reminders")
    assert desk.sheet.fields["when_closed"].isHidden()
    go(one.hands, desk, "uses_tray")
    one.hands.hit("Down")
    go(one.hands, desk, "when_closed")
    one.hands.hit("Down")
    go(one.hands, desk, "at_login")
    one.hands.hit("Down")

    one.hands.press("Ctrl+Return")

    kept = one.kept[-1]
    assert (kept.uses_tray, kept.when_closed, kept.at_login) == (True, WhenClosed.STAY, True)
    assert one.desk.tray is one.tray
    one.desk.quit()


def test_half_a_pair_of_quiet_hours_is_refused_at_the_empty_field(remind: Remind) -> None:
    """What was typed stays, and nothing is kept."""
    one = remind(small_house(), habits=Habits())
    desk = open_house(one.hands, "reminders")
    go(one.hands, desk, "quiet_to")
    one.hands.hit("Delete")
    one.hands.press("Ctrl+Return")
    field = desk.sheet.fields["quiet_to"].typed
    assert field.fault == "Quiet hours have a beginning and an end. Fill in both."
    assert desk.sheet.fields["quiet_from"].typed.text == "22:00"
    assert one.kept == []


def test_a_full_disk_is_told_on_the_page(remind: Remind) -> None:
    """What could not be kept stays typed, and the habits what they were."""
    one = remind(small_house(), habits=Habits(), refuses=True)
    desk = open_house(one.hands, "reminders")
    write(one.hands, desk, "mornings.0", "8")
    one.hands.press("Ctrl+Return")
    assert desk.page._notice is not None
    assert desk.sheet.is_changed
    assert one.desk.chosen.habits == Habits()


def test_no_hour_of_the_page_takes_what_is_no_time(remind: Remind) -> None:
    """Refused at its field; what was typed stays."""
    one = remind(small_house(), habits=Habits())
    desk = open_house(one.hands, "reminders")
    for text in (text for text in TEXTS if text.strip() and text != "\ufeff"):
        for path in ("every_day", "mornings.0", "mornings.6", "quiet_from", "quiet_to"):
            field = desk.sheet.fields[path]
            field.setFocus()
            type_hostile(one.hands, text)
            typed = field.typed.text
            one.hands.press("Ctrl+Return")
            assert "is not a time of day" in field.typed.fault, (path, text[:40])
            assert field.typed.text == typed
    assert one.kept == []


def test_what_is_kept_without_backups_promises_none(live_in: LiveIn) -> None:
    """None is made when the sample is closed, so none is announced."""
    hands = live_in()
    assert hands.window.session is not None
    hands.window.session.backs_up = False

    desk = open_house(hands, "backups")

    assert desk.page.sentence.text().startswith("Kept without backups")
    assert "closed" not in desk.page.sentence.text()


def test_a_backup_is_made_and_listed_by_key(live_in: LiveIn) -> None:
    """The list tells when and how large, the sentence how many and where; one is enough."""
    hands = live_in()
    desk = open_house(hands, "backups")
    assert desk.page.sentence.text().startswith("No backup yet.")

    desk.page.buttons["new"].setFocus()
    hands.press("Space")

    assert hands.told == "Backup made."
    assert desk.list.count() == 1
    assert desk.page.sentence.text().startswith("1 backup in ")
    assert list(hands.path.parent.rglob("*.sha256"))
    desk.page.buttons["new"].setFocus()
    hands.clock.forward(timedelta(hours=1))
    hands.press("Space")
    assert hands.told == "Nothing changed since the last backup, so there is no new one."
    assert desk.list.count() == 1
    hands.press("Return")
    assert desk.sheet is None
    hands.press("Esc")
    assert not desk.is_open
    assert house(hands).name == "Quay 3"


@pytest.mark.parametrize(
    ("scheme", "percent"), [(Scheme.LIGHT, 100), (Scheme.DARK, 100), (Scheme.LIGHT, 150)]
)
@pytest.mark.parametrize("part", ["reminders", "backups"])
def test_nothing_is_cut_on_the_settings_of_a_person(
    remind: Remind, wear: Wear, scheme: Scheme, percent: int, part: str
) -> None:
    """Everything that takes keys has a name."""
    wear(scheme, percent)
    one = remind(small_house(), habits=Habits(uses_tray=True), has_tray=True)
    desk = open_house(one.hands, part)
    assert cut_labels(desk.page) == []
    assert overlapping(desk.page) == []
    assert nameless(desk.page) == []
    one.desk.quit()


def test_the_room_for_backups_is_set_and_undone_by_key(live_in: LiveIn) -> None:
    """What no backup could be made by is refused at its field; the log tells nothing."""
    hands = live_in()
    held = [BackupHabits()]
    hands.window.morning.door.backup_means = lambda: BackupMeans(lambda: held[-1], held.append)  # type: ignore[union-attr]
    desk = open_house(hands, "backup-room")
    write(hands, desk, "at_most_mb", "0")
    hands.press("Ctrl+Return")
    refused = desk.sheet.fields["at_most_mb"].fault.replace("\u00a0", " ")

    write(hands, desk, "at_most_mb", "500")
    hands.press("Ctrl+Return")
    hands.press("Esc", "Ctrl+Z")

    assert refused == "Room 0 MB is not possible. It can be from 1 to 10000000 MB."
    assert held == [BackupHabits(), BackupHabits(500), BackupHabits()]
    told = "Undone: Changed the room for backups of every household on this machine."
    assert hands.told == told
    assert hands.log() == []


def test_the_first_field_of_a_part_is_typed_over(live_in: LiveIn) -> None:
    """As each one is that Tab leads to; a figure behind another would be a third."""
    hands = live_in()
    hands.window.morning.door.backup_means = lambda: BackupMeans(BackupHabits, print)  # type: ignore[union-attr]
    desk = open_house(hands, "backup-room")
    hands.press("Esc", "Ctrl+,")
    hands.type("500")
    assert desk.sheet.fields["at_most_mb"].value == 500
