"""How backups are told apart in a list."""

from datetime import UTC, datetime, time
from pathlib import Path

from tankkeeper.reports.preview_words import backup_lines
from tankkeeper.reports.words import Words
from tankkeeper.services.ports import StoredBackup
from tests.builders import a_household, a_moment


def _made(*moments: str) -> list[StoredBackup]:
    """Return backups of these moments, which are an hour before those in Berlin."""
    made = [datetime.fromisoformat(one).replace(tzinfo=UTC) for one in moments]
    return [StoredBackup(Path("a.tankkeeper"), one, 1_500_000) for one in made]


def test_a_backup_of_the_night_belongs_to_the_day_that_still_runs() -> None:
    """The day begins at four: what was made at half past one is not of tomorrow."""
    words = Words(a_household(), a_moment("2026-03-12", time(2)))
    shown = backup_lines(_made("2026-03-12T00:35", "2026-03-11T07:00"), words)
    assert [name for name, _more in shown] == ["Today, 01:35", "Today, 08:00"]


def test_backups_of_one_minute_tell_their_seconds() -> None:
    """A restore that is turned at once makes two of them."""
    words = Words(a_household(), a_moment("2026-03-12", time(9)))
    made = _made("2026-03-12T07:30:41", "2026-03-12T07:30:05", "2026-03-12T07:00:00")
    names = [name for name, _more in backup_lines(made, words)]
    assert names == ["Today, 08:30:41", "Today, 08:30:05", "Today, 08:00"]
