"""What the window is given of households: how they are opened, and how they were left."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from tankkeeper.core.values import dataclass

if TYPE_CHECKING:
    from tankkeeper.core.household import Household
    from tankkeeper.gui.waking import MakeAlarm
    from tankkeeper.services.backup_habits import BackupMeans
    from tankkeeper.services.desk import Desk
    from tankkeeper.services.watching import Watch


@dataclass(frozen=True, slots=True)
class Standing:
    """What is open of a household: the view, the chosen tank, and who is at the window.

    `name` is how the household calls itself, empty where that is not known. `on_board` says that
    the calendar shows the board, `days_off_closed` since when the days off were that were answered
    or closed last.
    """

    view: str
    tank_id: str | None = None
    person_id: str | None = None
    name: str = ""
    on_board: bool = False
    days_off_closed: datetime | None = None


@dataclass(frozen=True, slots=True)
class Opened:
    """An open household, who is at the window if that is known, and how it was left.

    `told` is what there is to say of its opening; `backs_up` says whether it is worth a backup.
    """

    desk: Desk
    person: str | None = None
    standing: Standing | None = None
    told: str = ""
    backs_up: bool = True


@dataclass(frozen=True, slots=True)
class Recent:
    """A household that was opened here before, and whether its file is still there.

    `name` is how it called itself when it was left, empty where that is not known.
    """

    path: Path
    is_there: bool = True
    name: str = ""


def _none_recent() -> tuple[Recent, ...]:
    return ()


def _forget_nothing(_path: Path) -> None:
    """Take note of nothing where nothing is kept."""


@dataclass(frozen=True, slots=True)
class Founding:
    """How a household of one's own begins: where and when this is, and who keeps its file.

    `place` tells where the file of a household of that name lies unless it is wanted elsewhere;
    `keep` makes the file there, or elsewhere, in the worker and returns where it lies.
    """

    zone: str
    now: datetime
    place: Callable[[str], Path]
    keep: Callable[[Household, Path | None], Path]


@dataclass(frozen=True, slots=True)
class Doors:
    """How the window gets at households; each is called in the worker.

    `begin` makes the household that was wanted, which is not there yet, from a tank file; `alarm`
    makes what wakes the window, None where its clock stands still.
    `founding` tells how a new household begins, None where none can. `read_file` gives the text of
    a tank file from elsewhere; `take_out` writes the whole household, or the tank with an id.
    Both tell their watch how far they are, which may stop them.
    `recent` lists the households opened before, the newest first, and `forget` drops one of them.
    `backups` gives how the habits of making them are read and kept, None where there are none.
    """

    here: Callable[[], Opened]
    other: Callable[[Path], Opened]
    sample: Callable[[], Opened]
    begin: Callable[[Path, Watch], Opened]
    read_file: Callable[[Path], str]
    take_out: Callable[[Desk, Path, str | None, Watch], str]
    alarm: MakeAlarm | None = None
    founding: Callable[[], Founding] | None = None
    recent: Callable[[], tuple[Recent, ...]] = _none_recent
    forget: Callable[[Path], None] = _forget_nothing
    backups: Callable[[], BackupMeans] | None = None
