"""The reminders in the file of the settings, the start at login, and what was told."""

from __future__ import annotations

import plistlib
import re
import sys
from datetime import UTC, datetime, time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.app import autostart
from tankkeeper.app.reminder_settings import read_habits, write_habits
from tankkeeper.app.settings import read_settings
from tankkeeper.app.told import ToldMemory, told_file
from tankkeeper.core.errors import Surroundings, UserFault
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.reminder_habits import Habits, WhenClosed

ODD = Habits(
    (time(6, 30), None, time(7), time(0), time(23, 59), time(9), None),
    (time(21), time(5, 45)),
    uses_tray=True,
    when_closed=WhenClosed.STAY,
    at_login=True,
)


def test_without_a_file_everything_that_leaves_the_window_is_off(tmp_path: Path) -> None:
    """A summary at seven, quiet at night; no icon, no start at login, nothing running on."""
    found = read_habits(tmp_path / "settings.toml")
    assert found == Habits()
    assert (found.uses_tray, found.at_login, found.when_closed) == (False, False, WhenClosed.ASK)


@pytest.mark.parametrize("habits", [Habits(), ODD, Habits(quiet=None)])
def test_reminders_come_back_as_they_were_written(tmp_path: Path, habits: Habits) -> None:
    """Remarks, other settings and keys of other versions stay."""
    file = tmp_path / "deep" / "settings.toml"
    file.parent.mkdir()
    file.write_text(
        '# mine\nperson = "Ilse"\n'
        '[reminders]\n# loud\nsound = "bell"\ntray = true\n[later]\nx = 1\n',
        encoding="utf-8",
    )

    write_habits(file, habits)

    assert read_habits(file) == habits
    text = file.read_text(encoding="utf-8")
    for kept in ("# mine", "# loud", 'sound = "bell"', "[later]"):
        assert kept in text
    assert read_settings(file).person == "Ilse"


def test_reminders_are_written_where_there_was_no_file(tmp_path: Path) -> None:
    """The folder is made, too."""
    file = tmp_path / "new" / "settings.toml"
    write_habits(file, ODD)
    assert read_habits(file) == ODD


@pytest.mark.parametrize(
    "text",
    [
        "reminders = 3",
        "[reminders]\nmorning = 7",
        '[reminders]\nmorning = ["07:00"]',
        '[reminders]\nmorning = ["25:00", "", "", "", "", "", ""]',
        '[reminders]\nquiet = ["22:00"]',
        "[reminders]\nquiet = [22, 6]",
        "[reminders]\ntray = 1",
        '[reminders]\nat_login = "yes"',
        '[reminders]\nwhen_closed = "never"',
        "[reminders]\nwhen_closed = [1]",
    ],
)
def test_reminders_that_cannot_be_read_are_refused(tmp_path: Path, text: str) -> None:
    """With file and reason, as the other settings are."""
    file = tmp_path / "settings.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(UserFault) as refused:
        read_habits(file)
    assert refused.value.code == "settings_unreadable"
    assert "reminders" in fault_words(refused.value)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="a desktop entry is for Linux")
def test_the_entry_at_login_is_made_and_taken_away() -> None:
    """In the autostart folder of the person; taking away what is not there changes nothing."""
    file = autostart.desktop_entry_file()
    assert not file.exists()

    autostart.set_autostart(True, ["tankkeeper", "--household", "/a b/c.tankkeeper"])

    assert file.parent.name == "autostart"
    text = file.read_text(encoding="utf-8")
    assert 'Exec=tankkeeper --household "/a b/c.tankkeeper"' in text.splitlines()
    assert "Type=Application" in text
    for _ in range(2):
        autostart.set_autostart(False, [])
        assert not file.exists()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="a desktop entry is for Linux")
def test_an_entry_that_cannot_be_written_is_told() -> None:
    """A file stands where the folder should be."""
    folder = autostart.desktop_entry_file().parent
    folder.parent.mkdir(parents=True)
    folder.write_text("in the way")
    with pytest.raises(Surroundings) as refused:
        autostart.set_autostart(True, ["tankkeeper"])
    assert "could not be changed" in fault_words(refused.value)


_WORDS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
_ESCAPES = {"\\\\": "\\", "\\n": "\n", "\\r": "\r", "\\t": "\t"}


def words_of(line: str) -> list[str]:
    """Return the words of an Exec line by the rules of the Desktop Entry Specification 1.5.

    First the escapes of every text in the file, then the quotes, then the doubled percent sign.
    """
    text = re.sub(r"\\.", lambda found: _ESCAPES[found[0]], line.removeprefix("Exec="))
    words = re.findall(r'"((?:\\.|[^"\\])*)"|([^\s"]+)', text, re.DOTALL)
    plain = [re.sub(r"\\(.)", r"\1", quoted, flags=re.DOTALL) or bare for quoted, bare in words]
    return [word.replace("%%", "%") for word in plain]


@given(st.lists(_WORDS, min_size=1, max_size=4))
def test_any_command_survives_the_quoting_of_an_entry(command: list[str]) -> None:
    """Spaces, quotes, dollars, percent signs, line ends: read back it is the same command."""
    lines = autostart.desktop_entry(command).split("\n")
    assert len(lines) == 7
    assert words_of(lines[3]) == command


def test_the_agent_of_macos_holds_the_command() -> None:
    """By launchd.plist(5) of Apple: a label, under which the file is named, an array of arguments,
    RunAtLoad for a start with the session. Nobody has run it there.
    """
    found = plistlib.loads(autostart.launch_agent(["tankkeeper", "--household", "a b"]))
    assert autostart.launch_agent_file().name == f"{found['Label']}.plist"
    assert found["ProgramArguments"] == ["tankkeeper", "--household", "a b"]
    assert found["RunAtLoad"] is True


def test_the_value_for_windows_is_one_command_line_that_is_not_too_long() -> None:
    """Microsoft, "Run and RunOnce Registry Keys": no longer than 260 characters.

    learn.microsoft.com/en-us/windows/win32/setupapi/run-and-runonce-registry-keys
    """
    command = ["C:\\Program Files\\tk.exe", "--household", "C:\\a b\\c.tankkeeper", "--at-login"]
    assert autostart.run_value(command) == (
        '"C:\\Program Files\\tk.exe" --household "C:\\a b\\c.tankkeeper" --at-login'
    )
    assert len(autostart.run_value(["x" * 260])) == 260
    with pytest.raises(Surroundings) as refused:
        autostart.run_value(["x" * 261])
    assert "260 characters" in fault_words(refused.value)


def test_the_own_command_names_the_household_only_where_it_is_another(tmp_path: Path) -> None:
    """A start at login opens what the person had open."""
    plain = autostart.own_command()
    assert plain == [sys.executable, "-m", "tankkeeper"]
    assert autostart.own_command(tmp_path / "x")[3:] == ["--household", str(tmp_path / "x")]


def test_what_was_told_comes_back_by_household(tmp_path: Path) -> None:
    """Each household has its own; a file that is broken is as if it were not there."""
    memory, at = ToldMemory(told_file()), datetime(2026, 3, 12, 7, tzinfo=UTC)
    memory.keep("a.tankkeeper", {"morning:2026-03-12": at})
    memory.keep("b.tankkeeper", {})
    assert memory.told("a.tankkeeper") == {"morning:2026-03-12": at}
    assert memory.told("b.tankkeeper") == {}
    for text in ("{", "[]", '{"x": 1}', "\x00"):
        told_file().write_text(text)
        assert memory.told("a.tankkeeper") == {}
    memory.keep("a.tankkeeper", {"k": at})
    assert memory.told("a.tankkeeper") == {"k": at}


def test_what_cannot_be_kept_is_told_again(tmp_path: Path) -> None:
    """A folder that cannot be written is no reason to say nothing."""
    blocked = tmp_path / "file"
    blocked.write_text("")
    memory = ToldMemory(blocked / "told.json")
    memory.keep("a", {"k": datetime(2026, 3, 12, tzinfo=UTC)})
    assert memory.told("a") == {}
