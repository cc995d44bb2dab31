"""The backups beside the household: which there are, one more now, and what room they take."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, cast

from tankkeeper.core.errors import UserFault
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.specs import Group, Kind, Spec
from tankkeeper.gui.parts import OF_EVERY_HOUSEHOLD, Part, Row
from tankkeeper.reports.words import Words
from tankkeeper.services import keeping
from tankkeeper.services.backup_habits import BackupHabits, BackupMeans, checked_habits
from tankkeeper.services.desk import Desk
from tankkeeper.services.ports import StoredBackup
from tankkeeper.services.settling import Apart, SetDown

_NOTHING_NEW = "Nothing changed since the last backup, so there is no new one."


class _Found:
    """What was found in the folder last; filled beside the page, read when it is shown."""

    def __init__(self, backs_up: Callable[[], bool]) -> None:
        self._backs_up = backs_up
        self.backups: Sequence[StoredBackup] | None = None
        self.made = False

    def read(self, desk: Desk) -> Sequence[StoredBackup]:
        return keeping.backups(desk)

    def hold(self, found: object) -> None:
        self.backups = cast(Sequence[StoredBackup], found)

    def rows(self, _state: HouseholdState, words: Words) -> Sequence[Row]:
        if self.backups is None:
            return ()
        names = [(words.at(one.made_at), one) for one in self.backups]
        return [Row(name[:1].upper() + name[1:], _line(one), one) for name, one in names]

    def sentence(self) -> str:
        found = self.backups
        if found is None:
            return ""
        if not found and not self._backs_up():
            return "Kept without backups: none is made by itself. You can make one here."
        if not found:
            return "No backup yet. The first one is made when the household is closed."
        many = "1 backup" if len(found) == 1 else f"{len(found)} backups"
        return f"{many} in {found[0].path.parent}. Older ones thin out by themselves."

    def make(self, desk: Desk) -> None:
        self.made = keeping.rolling_backup(desk) is not None

    def told(self) -> str:
        return "Backup made." if self.made else _NOTHING_NEW


def _line(one: StoredBackup) -> str:
    reasons = {
        "before-upgrade": "Before a new version",
        "before-restore": "Before a restore",
        "before-import": "Before an import",
    }
    megabytes = max(0.1, one.size_bytes / 1e6)
    why = reasons.get(one.reason, "")
    return f"{why}, {megabytes:.1f}\u00a0MB" if why else f"{megabytes:.1f}\u00a0MB, verified"


def backups_part(backs_up: Callable[[], bool]) -> Part:
    """Return the backups as a part of the household page."""
    found = _Found(backs_up)

    def write(_desk: Desk, _was: Any, _becomes: Any, _by: str | None) -> Any:
        raise AssertionError("a backup is made, not typed")

    return Part(
        id="backups",
        name="Backups",
        noun="backup",
        rows=found.rows,
        groups=lambda _words: (),
        write=write,
        blank=lambda: None,
        beside=(found.read, found.hold),
        sentence=found.sentence,
        make=found.make,
        made=found.told,
    )


def backup_room_part(means: BackupMeans) -> Part:
    """Return what room backups take at this machine, as a part of the household page."""

    def habits() -> BackupHabits:
        try:
            return means.read()
        except UserFault:
            # Told at the start; keeping refuses as long as the file cannot be read.
            return BackupHabits()

    def write(desk: Desk, _was: Any, becomes: BackupHabits, _by: str | None) -> SetDown:
        kept, was = checked_habits(becomes), habits()
        if not desk.is_trial:
            means.keep(kept)
        with desk.store.reading() as reading:
            household = reading.household()
        return SetDown(household, None, Apart(lambda: means.keep(was), lambda: means.keep(kept)))

    return Part(
        id="backup-room",
        name="Backup room",
        noun="room for backups",
        rows=lambda _state, _words: [Row("Backup room", "", habits())],
        groups=lambda _words: _ROOM,
        write=write,
        sentence=lambda: "It holds for you, in every household on this machine.",
        reach=OF_EVERY_HOUSEHOLD,
    )


_ROOM = (
    Group(
        "Room for backups",
        (
            Spec("at_most_mb", "All backups take at most", Kind.WHOLE, "MB", short="Room"),
            Spec("every_minutes", "Commands make one after", Kind.WHOLE, "min", short="The time"),
        ),
        "Old backups go where there is no room, so that the rest reaches as far back; some always "
        "stay. The window makes one on closing, but not of the sample.",
    ),
)
