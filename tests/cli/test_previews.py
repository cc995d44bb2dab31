"""What an import and a restore tell before they change anything."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankkeeper.app.main import main

COVE = """\
format = "tankkeeper"
version = 1
[[people]]
name = "Ilse"
[[rooms]]
name = "study"
[[tanks]]
name = "Cove"
room = "study"
shape = { litres = 30 }
[[chores]]
tank = "Cove"
kind = "glass"
name = "Clean the glass"
rhythm = { after_last_done = "7 days" }
"""
HOUSE = """\
format = "tankkeeper"
version = 1
[household]
name = "Quay 3"
zone = "Europe/Oslo"
day_begins = 05:00:00
[[people]]
name = "Ilse"
[[tanks]]
name = "Reef"
shape = { litres = 90 }
"""


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "quay.tankkeeper"


def _run(place: Path, *typed: str) -> int:
    return main(["--household", str(place), "--now", "2026-03-02T07:00", *typed])


def _file(tmp_path: Path, text: str) -> str:
    file = tmp_path / "file.toml"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_a_household_for_an_empty_one_is_told_with_what_changes_in_it(
    place: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each field as it is and as it would be, and nothing is written."""
    assert _run(place, "new", str(place), "--name", "Mine", "--zone", "Europe/Berlin") == 0
    capsys.readouterr()

    assert _run(place, "import", "--preview", _file(tmp_path, HOUSE)) == 0

    told = capsys.readouterr().out
    assert "1 tank: Reef" in told
    assert "name: Mine → Quay 3" in told
    assert "time zone: Europe/Berlin → Europe/Oslo" in told
    assert "the day begins at: 04:00 → 05:00" in told
    assert _run(place, "tanks") == 0
    assert "Reef" not in capsys.readouterr().out
    assert not (tmp_path / "quay-backups").exists()


def test_a_tank_is_told_with_what_stays_as_it_is(
    place: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """People that are known stay; the import then brings just what was told, after a backup."""
    assert _run(place, "import", _file(tmp_path, HOUSE)) == 0
    capsys.readouterr()

    assert _run(place, "import", "--preview", _file(tmp_path, COVE)) == 0
    told = capsys.readouterr().out
    assert _run(place, "import", _file(tmp_path, COVE)) == 0
    done = capsys.readouterr().out

    assert "1 tank: Cove" in told
    assert "1 chore: Clean the glass (Cove)" in told
    assert "1 room: study" in told
    assert "Stays as it is here, though the file has it too:\n  1 person: Ilse" in told
    assert "backup" in told
    backup = next((tmp_path / "quay-backups").glob("quay-before-import-*.tankkeeper"))
    assert backup.name in done


def test_a_preview_tells_every_bad_line(
    place: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With its number, just as the import does; nothing is changed, and no backup made."""
    assert _run(place, "import", _file(tmp_path, HOUSE)) == 0
    capsys.readouterr()
    bad = COVE.replace("litres = 30", "litres = -30").replace("7 days", "7 dogs")

    assert _run(place, "import", "--preview", _file(tmp_path, bad)) == 1
    told = capsys.readouterr().err
    assert _run(place, "import", _file(tmp_path, bad)) == 1

    assert capsys.readouterr().err == told
    assert "Line 10" in told
    assert "Line 15" in told
    assert not (tmp_path / "quay-backups").exists()


def test_a_restore_is_told_before_it_is_done(
    place: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What would be lost, what would come back, and that the present is kept first."""
    backup = tmp_path / "then.tankkeeper"
    assert _run(place, "import", _file(tmp_path, HOUSE)) == 0
    assert _run(place, "log", "note", "before") == 0
    assert _run(place, "backup", str(backup)) == 0
    assert _run(place, "import", _file(tmp_path, COVE)) == 0
    for text in ("one", "two"):
        assert _run(place, "log", "note", text) == 0
    capsys.readouterr()

    assert _run(place, "restore", "--preview", str(backup)) == 0

    told = capsys.readouterr().out
    assert "1 tank, 0 chores, 1 entry of the logbook; the last is of today: before." in told
    assert "Would be lost:\n  3 entries of the logbook written since\n  1 tank: Cove" in told
    assert "backed up first" in told
    assert _run(place, "tanks") == 0
    assert "Cove" in capsys.readouterr().out
    assert _run(place, "restore", str(backup)) == 0
    done = capsys.readouterr().out
    kept = next((tmp_path / "quay-backups").glob("quay-before-restore-*.tankkeeper"))
    assert kept.name in done
    assert _run(place, "restore", "--preview", str(kept)) == 0
    assert "Would come back:\n  3 entries" in capsys.readouterr().out


def test_what_is_no_backup_is_refused_by_the_preview_too(
    place: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In one sentence; the household stays as it is."""
    assert _run(place, "import", _file(tmp_path, HOUSE)) == 0
    capsys.readouterr()

    assert _run(place, "restore", "--preview", _file(tmp_path, HOUSE)) == 1

    assert "is not a household of tankkeeper" in capsys.readouterr().err


def test_equipment_without_a_name_is_called_by_its_kind(
    place: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As its list and the logbook call it."""
    gear = """[[equipment]]
tank = "Reef"
kind = "return pump"
[[equipment]]
tank = "Reef"
kind = "heater"
name = "Left heater"
"""
    assert _run(place, "new", str(place), "--name", "Mine") == 0

    assert _run(place, "import", "--preview", _file(tmp_path, f"{HOUSE}{gear}")) == 0

    out = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "2 pieces of equipment: return pump (Reef), Left heater (Reef)" in out
    assert "without a name" not in out
