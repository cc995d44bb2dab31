"""How backups are told apart in a list."""

from datetime import UTC, datetime, time
from pathlib import Path

from tankkeeper.core.moment import Moment
from tankkeeper.reports.preview_words import backup_lines
from tankkeeper.reports.words import Words
from tankkeeper.services.ports import StoredBackup
from tests.builders import a_household, a_moment


def _made(*moments: str) -> list[StoredBackup]:
    """Return backups of these moments, which are an hour before those in Berlin."""
    made = [datetime.fromisoformat(one).replace(tzinfo=UTC) for one in moments]
    return [StoredBackup(Path("a.tankkeeper"), one, 1_500_000) for one in made]


def _names(now: Moment, *moments: str) -> list[str]:
    """Return how backups of these moments are called at another."""
    return [name for name, _more in backup_lines(_made(*moments), Words(a_household(), now))]


def test_a_backup_of_the_night_is_called_by_its_night() -> None:
    """The day begins at four, so at two it is still Wednesday: eight "today" would be to come.

    In the morning "yesterday, 01:35" would be read as a day before it was made.
    """
    made = ("2026-03-12T00:35", "2026-03-11T07:00", "2026-03-10T00:35")

    assert _names(a_moment("2026-03-12", time(2)), *made) == [
        "Tonight, 01:35",
        "Wed\N{NO-BREAK SPACE}11, 08:00",
        "The night to Tue\N{NO-BREAK SPACE}10, 01:35",
    ]
    assert _names(a_moment("2026-03-12", time(9)), *made)[:2] == [
        "Last night, 01:35",
        "Yesterday, 08:00",
    ]


def test_backups_of_one_minute_tell_their_seconds() -> None:
    """A restore that is turned at once makes two of them."""
    words = Words(a_household(), a_moment("2026-03-12", time(9)))
    made = _made("2026-03-12T07:30:41", "2026-03-12T07:30:05", "2026-03-12T07:00:00")
    names = [name for name, _more in backup_lines(made, words)]
    assert names == ["Today, 08:30:41", "Today, 08:30:05", "Today, 08:00"]
