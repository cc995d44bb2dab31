"""How backups are made at this machine: how often beside the window, and what room they take."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass

USUAL_MINUTES: Final = 30
# A choice of this project: some 15 backups of 137 MB, which is 20 years of 10 tanks.
USUAL_MB: Final = 2000
MOST_MINUTES: Final = 100_000
MOST_MB: Final = 10_000_000


@dataclass(frozen=True, slots=True)
class BackupHabits:
    """`at_most_mb` is the room in MB of all backups beside one household.

    Commands make a backup where the last is older than `every_minutes`; the window makes one
    half an hour after the last, and whenever a household with anything new is closed.
    """

    at_most_mb: int = USUAL_MB
    every_minutes: int = USUAL_MINUTES


@dataclass(frozen=True, slots=True)
class BackupMeans:
    """Where the habits lie: `read` gives them, `keep` writes them; both may refuse."""

    read: Callable[[], BackupHabits]
    keep: Callable[[BackupHabits], None]


def checked_habits(habits: BackupHabits) -> BackupHabits:
    """Return the habits, or refuse what no backup could be made by."""
    for name, unit, most in (("at_most_mb", "MB", MOST_MB), ("every_minutes", "min", MOST_MINUTES)):
        value = getattr(habits, name)
        if value is None:
            raise UserFault("missing", field=name)
        if not 1 <= value <= most:
            raise UserFault(
                "out_of_range", field=name, value=value, low=1, high=most, unit=unit, hint=""
            )
    return habits
