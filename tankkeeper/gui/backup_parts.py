"""The backups beside the household: which there are, where, and one more now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.things_desk import Part, Row
from tankkeeper.reports.words import Words
from tankkeeper.services import keeping
from tankkeeper.services.desk import Desk
from tankkeeper.services.ports import Backups

_NOTHING_NEW = "Nothing changed since the last backup, so there is no new one."


class _Found:
    """What was found in the folder last; filled beside the page, read when it is shown."""

    def __init__(self) -> None:
        self.backups: Backups | None = None
        self.made = False

    def read(self, desk: Desk) -> Backups:
        return keeping.backups(desk)

    def hold(self, found: object) -> None:
        assert isinstance(found, Backups)
        self.backups = found

    def rows(self, _state: HouseholdState, words: Words) -> Sequence[Row]:
        if self.backups is None:
            return ()
        names = [(words.at(one.made_at), one) for one in self.backups.made]
        return [Row(name[:1].upper() + name[1:], _line(one), one) for name, one in names]

    def sentence(self) -> str:
        found = self.backups
        if found is None:
            return ""
        if not found.made:
            return f"No backup yet. They will lie in {found.folder}."
        many = "1 backup" if len(found.made) == 1 else f"{len(found.made)} backups"
        return f"{many} in {found.folder}. Older ones thin out by themselves."

    def make(self, desk: Desk) -> None:
        self.made = keeping.rolling_backup(desk) is not None

    def told(self) -> str:
        return "Backup made." if self.made else _NOTHING_NEW


def _line(one: Any) -> str:
    reasons = {"before-upgrade": "Before a new version", "before-restore": "Before a restore"}
    megabytes = max(0.1, one.bytes / 1e6)
    why = reasons.get(one.reason, "")
    return f"{why}, {megabytes:.1f}\u00a0MB" if why else f"{megabytes:.1f}\u00a0MB, verified"


def backups_part() -> Part:
    """Return the backups as a part of the household page."""
    found = _Found()

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
