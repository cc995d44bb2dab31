"""Reminders with the parts of the system that they use: settings, login, a second start."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.app import autostart, reminding
from tankkeeper.app.clock import FixedClock
from tankkeeper.app.reminder_settings import read_habits
from tankkeeper.app.reminding import Reminding, means_for
from tankkeeper.app.settings import settings_file
from tankkeeper.app.told import told_file
from tankkeeper.app.wanted import Wanted
from tankkeeper.app.window import wish_of
from tankkeeper.cli.arguments import parsed
from tankkeeper.gui.tray import SystemTray, has_tray
from tankkeeper.services.reminder_habits import Habits
from tests.gui import round_house
from tests.gui.round_house import SEVEN, Hands


def wanted(place: Path, **more: object) -> Wanted:
    values = {"where": lambda: place, "person": lambda: None, "name": "quay", "place": place}
    return Wanted(**(values | more))  # type: ignore[arg-type]


@pytest.fixture
def hands(qtbot: Any, qapp: QApplication, tmp_path: Path) -> Iterator[Hands]:
    """A window on a small house, whose clock stands."""
    path, clock = tmp_path / "quay.tankkeeper", FixedClock(SEVEN)
    round_house.make(path, round_house.small_house(), clock)
    window = round_house.a_window(path, clock)
    qtbot.addWidget(window.shell)
    with qtbot.waitSignal(window.ready, timeout=20_000):
        window.show()
    found = Hands(window, clock, path, qapp)
    window.shell.activateWindow()
    qtbot.waitUntil(window.shell.isActiveWindow)
    found.settle()
    yield found
    window.shell.end()
    window.worker.finish()
    window.deleteLater()


def begun(hands: Hands, **more: object) -> Reminding:
    """Return the reminders of a window, loaded without the wait."""
    found = Reminding(hands.window, wanted(hands.path, **more))
    found._load()
    hands.settle()
    hands.settle()
    return found


def test_reminders_are_loaded_beside_the_window_and_keep_what_they_told(hands: Hands) -> None:
    """The morning's summary at seven is written down, so that no second start tells it.

    Somebody works in another window; in this one the round itself says it.
    """
    other = QWidget()
    other.show()
    other.activateWindow()
    hands.app.processEvents()
    one = begun(hands)
    assert one.desk is not None
    assert one.desk.banner is not None
    assert one.desk.banner.reminder == "Today: 2 overdue, 7 due."
    assert "morning:2026-03-12" in told_file().read_text()
    other.close()
    hands.window.shell.end()


def test_the_key_of_the_reminders_acts_before_they_are_loaded(hands: Hands) -> None:
    """They are loaded at once, and stand to be chosen; the key stays theirs."""
    one = Reminding(hands.window, wanted(hands.path))
    one._on_ready()
    hands.press("Ctrl+Shift+R")

    assert one.desk is not None
    assert not one._soon.isActive()
    morning = hands.window.morning
    assert morning is not None
    assert morning.settling is not None
    house = morning.settling.house
    assert house is not None
    assert house.is_open
    hands.press("Esc")
    assert not house.is_open
    hands.press("Ctrl+Shift+R")
    assert house.is_open


def test_reminders_that_cannot_be_loaded_are_told_to_who_asks_for_them(
    hands: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The key is not without an answer, and may be pressed again."""

    def broken() -> None:
        raise OSError("no module can be read")

    one = Reminding(hands.window, wanted(hands.path))
    one._on_ready()
    with monkeypatch.context() as patch:
        patch.setattr(reminding, "_loaded", broken)
        hands.press("Ctrl+Shift+R")
    assert one.desk is None
    assert hands.told == reminding._NOT_LOADED
    hands.press("Ctrl+Shift+R")

    assert one.desk is not None


def test_broken_settings_do_not_keep_the_reminders_away(hands: Hands) -> None:
    """The usual way holds, and the file stays as it is."""
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text("reminders = 3")
    one = begun(hands)
    assert one.desk is not None
    assert one.desk.chosen.habits == Habits()
    assert "cannot be read" in hands.told
    assert settings_file().read_text() == "reminders = 3"


def test_a_clock_that_stands_still_leaves_no_trace(hands: Hands) -> None:
    """Trying a morning out does not swallow the real one's summary."""
    begun(hands, now="2026-03-12T07:04")
    assert not told_file().exists()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere no desktop entry")
def test_what_is_chosen_is_kept_and_the_entry_at_login_follows(hands: Hands) -> None:
    """Written only where the choice changes, with the household that is open."""
    means = means_for(hands.window, wanted(hands.path), Habits())
    means.keep(replace(Habits(), uses_tray=True))
    assert not autostart.desktop_entry_file().exists()
    means.keep(replace(Habits(), at_login=True))
    entry = autostart.desktop_entry_file().read_text()
    assert f"--household {hands.path} --at-login\n" in entry
    assert read_habits(settings_file()).at_login
    means.keep(Habits())
    assert not autostart.desktop_entry_file().exists()


def test_a_chore_named_at_the_start_or_by_a_second_start_is_shown(hands: Hands) -> None:
    """Before the reminders are loaded as well as after; anything else said changes nothing."""
    one = begun(hands, go_to="lamp")
    hands.settle()
    assert hands.list.current_row().item.chore.id == "lamp"
    one.asked(wish_of(wanted(hands.path, go_to="Swap the floss")))
    hands.settle()
    assert hands.list.current_row().item.chore.id == "floss"
    one.asked(wish_of(wanted(hands.path)))
    one.asked({"say": "show", "chore": 3})
    assert hands.list.current_row().item.chore.id == "floss"


def test_the_entry_at_login_is_a_command_that_the_program_takes() -> None:
    """It says that nobody asked for the window; a typed start does not."""
    said = parsed(autostart.login_command()[3:])
    assert (said.command, said.at_login) == (None, True)
    assert parsed(["--demo", "--at-login"]).at_login
    assert not parsed([]).at_login
    assert not parsed(["--demo"]).at_login


def test_a_window_of_the_login_stands_minimised_and_opens_its_household(
    qtbot: Any, qapp: QApplication, tmp_path: Path
) -> None:
    """Without a tray it stays where every desktop lists it, and comes to the front when asked."""
    path, clock = tmp_path / "quay.tankkeeper", FixedClock(SEVEN)
    round_house.make(path, round_house.small_house(), clock)
    window = round_house.a_window(path, clock)
    qtbot.addWidget(window.shell)
    with qtbot.waitSignal(window.ready, timeout=20_000):
        window.show_minimised()
    hands = Hands(window, clock, path, qapp)
    hands.settle()
    assert window.shell.isMinimized()
    assert len(hands.rows()) == 9

    one = begun(hands, is_at_login=True)

    assert window.shell.isVisible()
    assert one.desk is not None
    one.desk.raise_window()
    assert window.shell.isVisible()
    assert not window.shell.isMinimized()
    window.shell.end()
    window.worker.finish()
    window.deleteLater()


def test_without_a_screen_there_is_no_tray_though_it_says_it_has_messages() -> None:
    """The question about messages alone is answered with yes even here."""
    assert SystemTray is not None
    assert not has_tray()
