"""The doors to households: how the window opens one, and what is kept beside each."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from tankkeeper.app.instance import HouseLock
from tankkeeper.app.left_open import USUAL_INSTEAD, left_open, told_of_gone, told_of_unread
from tankkeeper.app.paths import demo_file, is_demo_file
from tankkeeper.app.wanted import Wanted
from tankkeeper.app.window_state import WindowMemory
from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.openings import Doors, Founding, Opened, Recent, Standing
from tankkeeper.gui.window import Window

if TYPE_CHECKING:
    from tankkeeper.app.listening import Listening
    from tankkeeper.app.reminding import Reminding
    from tankkeeper.core.household import Household
    from tankkeeper.gui.waking import Alarm
    from tankkeeper.services.backup_habits import BackupMeans
    from tankkeeper.services.desk import Desk
    from tankkeeper.services.watching import Watch

# Second starts that come sooner wait for it; the first drawing of the rows does not.
_LISTEN_AFTER_MS = 200
_log = logging.getLogger(__name__)


class HouseKeeping(QObject):
    """What the window keeps beside each household that it opens: that it is open, and how it was.

    `opened` is for the worker, everything else for the window's thread.
    """

    def __init__(self, wanted: Wanted, memory: WindowMemory, lock: HouseLock) -> None:
        super().__init__()
        self._wanted = wanted
        self._memory = memory
        self._lock = lock
        self._listening: Listening | None = None
        self._usual: str | None = None
        self._newest: Path | None = None
        self._last: Path | None = None
        self._window: Window | None = None
        self._reminding: Reminding | None = None
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_LISTEN_AFTER_MS)
        self._soon.timeout.connect(self._on_soon)

    def attend(self, window: Window) -> None:
        """Keep what this window opens."""
        from tankkeeper.app.reminding import Reminding

        self._window = window
        self._reminding = Reminding(window, self._wanted)
        window.ready.connect(self._on_ready)
        window.left.connect(self._on_left)
        window.stands.connect(self._keep_standing)

    def opened(
        self, where: Path, usual: str | None, open_it: Callable[[], Desk], backs_up: bool
    ) -> Opened:
        """Open a household with what is kept of it, marked as open here unless it is elsewhere."""
        # A clock that stands still is for trying things out, beside a window that is in use.
        holder = self._lock.take(where) if self._wanted.now is None else None
        try:
            desk = open_it()
        except BaseException:
            self._lock.release()
            raise
        self._usual = usual
        # The sample is there at any time, and what is made for trying out is none of one's own.
        self._newest = where if backs_up else None
        self._last = where
        person = usual if self._wanted.is_person_named else self._memory.person(where, usual)
        told = "" if holder is None else holder.sentence
        return Opened(desk, person, self._memory.standing(where), told, backs_up)

    def recent(self) -> tuple[tuple[Path, str], ...]:
        """Return the households that were opened here with their names, the newest first."""
        standing = self._memory.standing
        return tuple(
            (one, "" if (left := standing(one)) is None else left.name)
            for one in self._memory.recent()
        )

    def forget(self, where: Path) -> None:
        """Take one of them from the list."""
        self._memory.forget_recent(where)

    def last(self) -> Path | None:
        """Return the household that was open last here."""
        return self._memory.last()

    def end(self) -> None:
        """Let others open the household."""
        self._soon.stop()
        if self._listening is not None:
            self._listening.stop()
        self._lock.release()

    def _on_ready(self) -> None:
        self._soon.start()

    def _keep_recent(self) -> None:
        newest, self._newest = self._newest, None
        last, self._last = self._last, None
        if newest is not None:
            self._memory.keep_recent(newest)
        # With a clock that stands still somebody tries something out.
        if last is not None and self._wanted.now is None:
            self._memory.keep_last(last)

    def _on_soon(self) -> None:
        """Do what the first drawing of the rows does not wait for."""
        self._keep_recent()
        if self._lock.is_ours:
            self._listen()

    def _listen(self) -> None:
        """Answer a second start; what is needed for it is loaded once the round stands."""
        try:
            from tankkeeper.app.listening import Listening, raising
        except ImportError as missing:
            _log.warning("nobody can raise this window", exc_info=missing)
            return
        if self._listening is None and self._window is not None:
            self._listening = Listening(self)
            self._listening.asked.connect(raising(self._window.shell))
            if self._reminding is not None:
                self._listening.asked.connect(self._reminding.asked)
        if self._listening is not None and self._lock.where is not None:
            self._listening.listen(self._lock.where)

    def _on_left(self, where: str, standing: Standing) -> None:
        self._soon.stop()
        if self._listening is not None:
            self._listening.stop()
        self._keep_recent()
        self._keep_standing(where, standing)

    def _keep_standing(self, where: str, standing: Standing) -> None:
        place = Path(where)
        if self._wanted.is_person_named:
            kept = self._memory.person(place, self._usual)
            standing = replace(standing, person_id=kept)
        self._memory.keep_standing(place, standing, self._usual)


def doors_to(wanted: Wanted, keeping: HouseKeeping | None = None) -> Doors:
    """Return how the window gets at households; nothing is loaded before a door is used."""
    way = _Way(wanted, keeping)
    return Doors(
        here=way.here,
        other=way.other,
        sample=way.sample,
        begin=way.begin,
        read_file=_read_file,
        take_out=_take_out,
        # A clock that stands still wakes nobody.
        alarm=_alarm if wanted.now is None else None,
        founding=way.founding,
        recent=way.recent,
        forget=way.forget,
        backups=_backups,
    )


def _alarm(ring: Callable[[], None], beat: Callable[[], None]) -> Alarm:
    from tankkeeper.app.scheduler import BackgroundAlarm

    return BackgroundAlarm(ring, beat)


class _Way:
    """How each door gets at its household; all of it runs in the worker."""

    def __init__(self, wanted: Wanted, keeping: HouseKeeping | None) -> None:
        self._wanted = wanted
        self._keeping = keeping

    def here(self) -> Opened:
        """Open what was wanted; where none was named, the one that was open last."""
        newest = self._keeping.last() if self._keeping is not None else None
        last = left_open(self._wanted, newest)
        if last is not None:
            try:
                return self.sample() if last == demo_file() else self._opened(last)
            except (TankkeeperError, OSError) as failure:
                why = failure
            return self._usual(lambda instead: told_of_unread(last, why, instead))
        if self._wanted.is_demo:
            told = self._ready_sample()
            opened = self._opened(demo_file())
            return replace(opened, told=told or opened.told)
        return self._usual(lambda instead: told_of_gone(self._wanted, newest, instead))

    def _usual(self, aside: Callable[[str], str]) -> Opened:
        """Open what is there at the usual place, or was named; say what was left aside for it."""
        try:
            opened = self._opened(self._wanted.where())
        except TankkeeperError as other:
            other.values["left_aside"] = aside("")
            raise
        both = (aside(USUAL_INSTEAD), opened.told)
        return replace(opened, told=" ".join(one for one in both if one))

    def other(self, path: Path) -> Opened:
        """Open another file."""
        return self._opened(path)

    def sample(self) -> Opened:
        """Open the copy of the sample household."""
        told = self._ready_sample()
        opened = self._opened(demo_file(), is_sample=True)
        return replace(opened, told=told or opened.told)

    def _ready_sample(self) -> str:
        """Make the copy where it is missing or old, and return what is to be said of an old one."""
        from tankkeeper.app.demo import ready_demo, told_of

        aside = ready_demo(demo_file(), self._wanted.now)
        return "" if aside is None else told_of(aside)

    def begin(self, file: Path, watch: Watch | None = None) -> Opened:
        """Make what was wanted from a file, and open it."""
        where = self._wanted.where()
        _make(where, file, self._wanted.now, watch)
        return self._opened(where)

    def founding(self) -> Founding:
        """Return how a household of one's own begins here."""
        from tankkeeper.app.bootstrap import TheHouses, local_zone
        from tankkeeper.core.household import Household

        zone = local_zone()
        clock = TheHouses(self._wanted.place, self._wanted.now).clock_in(Household("", zone))
        return Founding(zone, clock.now(), self._place, self._keep)

    def _place(self, name: str) -> Path:
        """Return where a new household lies: the file that was wanted, or one beside it."""
        from tankkeeper.core.ids import slug

        where = self._wanted.where()
        if not where.exists():
            return where
        taken = {one.stem for one in where.parent.iterdir()}
        return where.with_name(slug(name, taken) + where.suffix)

    def _keep(self, household: Household, place: Path | None) -> Path:
        """Make the file of a new household; one that is there already is left as it is."""
        from tankkeeper.app.bootstrap import TheHouses

        where = place or self._place(household.name)
        where.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        TheHouses(where, self._wanted.now).found(household)
        return where

    def recent(self) -> tuple[Recent, ...]:
        """Return the households that were opened before."""
        places = () if self._keeping is None else self._keeping.recent()
        return tuple(Recent(one, one.is_file(), name) for one, name in places)

    def forget(self, where: Path) -> None:
        """Drop one of them from the list."""
        if self._keeping is not None:
            self._keeping.forget(where)

    def _opened(self, where: Path, *, is_sample: bool = False) -> Opened:
        backs_up = not is_demo_file(where)
        named = None if is_sample else self._wanted.person()
        if self._keeping is None:
            return Opened(_open(where, self._wanted.now), named, backs_up=backs_up)
        return self._keeping.opened(where, named, lambda: _open(where, self._wanted.now), backs_up)


def _open(where: Path, now: str | None) -> Desk:
    from tankkeeper.app.bootstrap import open_at

    return open_at(where, now)


def _make(where: Path, file: Path, now: str | None, watch: Watch | None) -> None:
    """Make a household from a tank file: a whole one as it is, a tank in one that is new."""
    from tankkeeper.app.bootstrap import TheHouses
    from tankkeeper.cli.files import read_text

    text = read_text(str(file))
    where.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    TheHouses(where, now).new_from(text, watch)


def _backups() -> BackupMeans:
    from tankkeeper.app.settings import keep_backup_habits, read_backup_habits
    from tankkeeper.services.backup_habits import BackupMeans

    return BackupMeans(read_backup_habits, keep_backup_habits)


def _read_file(path: Path) -> str:
    from tankkeeper.cli.files import read_text

    return read_text(str(path))


def _take_out(
    desk: Desk, path: Path, tank_id: str | None = None, watch: Watch | None = None
) -> str:
    from tankkeeper.cli.files import write_text
    from tankkeeper.services.exchange import export_household, export_tank
    from tankkeeper.services.watching import unwatched

    watch = watch or unwatched
    if tank_id is None:
        write_text(path, export_household(desk, watch), over=True)
        return f"Exported the household to {path.name}."
    with desk.store.reading() as reading:
        tank = desk.household(reading).tank(tank_id)
    write_text(path, export_tank(desk, tank, watch), over=True)
    return f"Exported {tank.name} to {path.name}."
