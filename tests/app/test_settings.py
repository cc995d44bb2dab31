"""The person's settings: read with defaults, written without losing what is not known here."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tankkeeper.app.main import main
from tankkeeper.app.settings import (
    Settings,
    keep_backup_habits,
    most_backup_bytes,
    read_backup_habits,
    read_settings,
    settings_file,
    write_settings,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.services.backup_habits import USUAL_MB, BackupHabits


def test_without_a_file_the_defaults_hold(tmp_path: Path) -> None:
    """Nobody is named, and a backup follows half an hour after the last."""
    assert read_settings(tmp_path / "settings.toml") == Settings(None, 30)


def test_settings_come_back_as_they_were_written(tmp_path: Path) -> None:
    """Remarks and keys of other versions stay."""
    file = tmp_path / "deep" / "settings.toml"
    file.parent.mkdir()
    file.write_text('# mine\nperson = "Ilse"\ntheme = "dark"\n[later]\nx = 1\n', encoding="utf-8")
    found = read_settings(file)
    assert (found.person, dict(found.unknown)) == ("Ilse", {"theme": "dark", "later": {"x": 1}})
    write_settings(file, Settings("Jonas", 60, found.unknown))
    text = file.read_text(encoding="utf-8")
    assert "# mine" in text
    assert read_settings(file) == Settings("Jonas", 60, found.unknown)
    write_settings(file, Settings(None, 60, found.unknown))
    assert read_settings(file).person is None


@pytest.mark.parametrize(
    "text",
    [
        "person = 3",
        "backup_every_minutes = 0",
        "backup_every_minutes = true",
        "backups_at_most_mb = 0",
        'backups_at_most_mb = "2"',
        "a = [",
        "\x00",
    ],
)
def test_settings_that_cannot_be_read_are_refused(tmp_path: Path, text: str) -> None:
    """With the file and the reason."""
    file = tmp_path / "settings.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(UserFault) as refused:
        read_settings(file)
    assert refused.value.code == "settings_unreadable"


def test_the_person_of_the_settings_does_the_work(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where the household knows the name; elsewhere nobody is named, and nothing is refused."""
    settings_file().parent.mkdir(parents=True)
    sample = ["--household", str(tmp_path / "s.tankkeeper"), "--now", "2026-03-02T07:00"]
    assert main(["--now", "2026-03-02T07:00", "new", sample[1], "--sample"]) == 0
    for name, expected in (("marta", "Marta"), ("Somebody Else", None)):
        settings_file().write_text(f'person = "{name}"\n', encoding="utf-8")
        assert main([*sample, "log", "note", f"by {name}"]) == 0
        capsys.readouterr()
        assert main([*sample, "logbook", "--json"]) == 0
        newest = json.loads(capsys.readouterr().out)["entries"][0]
        assert (newest["text"], newest["by"]) == (f"by {name}", expected)


def test_broken_settings_do_not_hold_up_a_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """They are told, the defaults hold, and the file stays as it is."""
    settings_file().parent.mkdir(parents=True)
    settings_file().write_text("person = [", encoding="utf-8")
    assert main(["new", str(tmp_path / "x.tankkeeper")]) == 0
    assert "cannot be read" in capsys.readouterr().err
    assert settings_file().read_text(encoding="utf-8") == "person = ["


def test_the_room_for_backups_is_the_persons_choice() -> None:
    """The usual where nothing is said, or where the file cannot be read."""
    assert most_backup_bytes() == USUAL_MB * 1_000_000
    write_settings(settings_file(), Settings(backups_at_most_mb=300))
    assert most_backup_bytes() == 300_000_000
    settings_file().write_text("person = [", encoding="utf-8")
    assert most_backup_bytes() == USUAL_MB * 1_000_000


def test_how_backups_are_made_is_kept_beside_all_else() -> None:
    """Remarks and what is not known here stay as they are."""
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text('# mine\nperson = "Marta"\n[other]\nkey = 1\n', encoding="utf-8")

    keep_backup_habits(BackupHabits(300, 5))

    assert read_backup_habits() == BackupHabits(300, 5)
    text = settings_file().read_text(encoding="utf-8")
    assert text.startswith("# mine\n")
    assert 'person = "Marta"' in text
    assert "[other]\nkey = 1" in text
