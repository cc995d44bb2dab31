"""Builds the concrete parts: the store, the clock, the ids, and households that are new."""

from __future__ import annotations

import logging
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from tankkeeper.app.clock import FixedClock, Ids, SystemClock
from tankkeeper.app.log import write_down
from tankkeeper.app.paths import is_demo_file, sample_tanks
from tankkeeper.cli.values import Hours, given_now
from tankkeeper.core.days import parse_zone
from tankkeeper.core.errors import Surroundings, UserFault
from tankkeeper.core.household import Household
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.ports import Clock

if TYPE_CHECKING:
    from tankkeeper.services.exchange import Imported
    from tankkeeper.services.tank_file import Document
    from tankkeeper.services.watching import Watch

USUAL_ZONE = "UTC"
USUAL_ROUND = Household("", USUAL_ZONE).round_at
SAMPLE = "sample_household.toml"
_SERVER = Pattern(r"[a-z][a-z0-9+]+://", re.IGNORECASE)
_ZONE_LINE = Pattern(r'^zone = "[^"]*"', re.MULTILINE)
_log = logging.getLogger(__name__)


def file_named(where: str) -> Path:
    """Return the file that `--household` names, or refuse an address of a server."""
    if _SERVER.match(where):
        raise UserFault("server_not_built", where=where.partition("://")[0])
    if not where.strip():
        raise UserFault("file_not_named")
    return Path(where).expanduser()


def open_desk(where: Path, clock: Clock) -> Desk:
    """Return the household in a file with all that the use cases need; the caller closes it."""
    # The database library loads only when a household is opened.
    from tankkeeper.store.opening import open_household

    if not where.exists():
        raise Surroundings("no_household", path=str(where))
    desk = Desk(open_household(where, clock, _most_backup_bytes), clock, Ids())
    write_down(desk)
    return desk


def _most_backup_bytes() -> int:
    from tankkeeper.app.settings import most_backup_bytes

    return most_backup_bytes()


def open_at(where: Path, now: str | None) -> Desk:
    """Return the household in a file at the moment that `--now` says; the caller closes it."""
    if now is None:
        return open_desk(where, SystemClock())
    # A moment without an offset is told in the household's zone, which only the file knows.
    clock = FixedClock(given_now(now, _Hours(USUAL_ZONE)))
    desk = open_desk(where, clock)
    with desk.store.reading() as reading:
        household = desk.household(reading)
    clock.forward(given_now(now, household) - clock.now())
    return desk


@contextmanager
def desk_on(where: Path, clock: Clock) -> Iterator[Desk]:
    """Open a household for the block, and close it."""
    desk = open_desk(where, clock)
    try:
        yield desk
    finally:
        desk.store.close()


@dataclass(frozen=True, slots=True)
class _Hours:
    """The hours of a household that is not there yet."""

    zone: str
    round_at: time = USUAL_ROUND


@dataclass(frozen=True, slots=True)
class TheHouses:
    """Opens and makes households for the command line; `now` is what `--now` says."""

    where: Path
    now: str | None = None
    backup_every: timedelta = timedelta(minutes=30)
    complain: Callable[[str, Exception], None] = lambda _what, _why: None

    def clock_in(self, hours: Hours) -> Clock:
        """Return the clock of a household with these hours."""
        return SystemClock() if self.now is None else FixedClock(given_now(self.now, hours))

    def is_there(self) -> bool:
        """Tell whether the household that was named exists."""
        return self.where.exists()

    @contextmanager
    def open(self) -> Iterator[Desk]:
        """Open the household that was named; a backup follows what is written, now and then."""
        with self._open(self.where) as desk:
            written: list[Change] = []
            desk.listeners.append(written.append)
            yield desk
            if written and not is_demo_file(self.where):
                self._roll(desk)

    @contextmanager
    def _open(self, where: Path) -> Iterator[Desk]:
        desk = open_at(where, self.now)
        try:
            yield desk
        finally:
            desk.store.close()

    def _roll(self, desk: Desk) -> None:
        now = desk.clock.now()
        try:
            last = desk.store.last_backup_at()
            if last is None or abs(now - last) >= self.backup_every:
                desk.store.rolling_backup(now)
        except (Surroundings, OSError) as failure:
            # What was asked for is done and kept; that is told beside it.
            self.complain("backup", failure)

    @contextmanager
    def new(self, where: Path, name: str | None, zone: str | None) -> Iterator[Desk]:
        """Make an empty household and open it."""
        household = _empty(where, name, zone)
        clock = self.clock_in(household)
        _create(where, household, clock)
        with desk_on(where, clock) as desk:
            yield desk

    @contextmanager
    def new_sample(self, where: Path, name: str | None, zone: str | None) -> Iterator[Desk]:
        """Make the sample household, as it stands now, and open it."""
        clock = make_sample(where, self.clock_in, name, zone)
        with desk_on(where, clock) as desk:
            yield desk

    def new_from(self, text: str | Document, watch: Watch | None = None) -> Imported:
        """Make the household that was named from the text of a tank file.

        What says nothing of its household comes into an empty one, with the zone of this computer.
        """
        from tankkeeper.services.exchange import import_text
        from tankkeeper.services.tank_file import Document
        from tankkeeper.services.watching import unwatched

        text = Document.of(text)
        household = self._said_in(text.without_log())
        clock = self.clock_in(household)
        with _staged(self.where) as part:
            _create(part, _bare(household), clock)
            with desk_on(part, clock) as desk:
                return import_text(desk, text, watch=watch or unwatched)

    def found(self, household: Household) -> None:
        """Make the household that was named with its first tank and chores, or nothing at all."""
        from tankkeeper.services.settling_in import settle_in

        clock = self.clock_in(household)
        with _staged(self.where) as part:
            _create(part, _bare(household), clock)
            with desk_on(part, clock) as desk:
                settle_in(desk, household)

    def _said_in(self, text: Document) -> Household:
        """Return the household that a text describes, for its hours and zone."""
        from tankkeeper.services.tank_file import is_tank_file, read_tank_file

        if is_tank_file(text):
            return _empty(self.where, None, None)
        # The file says its own zone, by which a moment without an offset is read.
        far = datetime(9000, 1, 1, tzinfo=UTC)
        return read_tank_file(text, now=far, today=far.date(), usual_zone=local_zone()).household


def make_sample(
    where: Path,
    clock_in: Callable[[Hours], Clock],
    name: str | None = None,
    zone: str | None = None,
) -> Clock:
    """Make the sample household in a new file and return the clock it was made by."""
    from tankkeeper.services.exchange import fill
    from tankkeeper.services.sample import sample_household

    text = (sample_tanks() / SAMPLE).read_text(encoding="utf-8")
    if zone is not None:
        text = _ZONE_LINE.sub(f'zone = "{parse_zone(zone).key}"', text, count=1)
    found = _ZONE_LINE.search(text)
    assert found is not None, "the sample names its zone"
    clock = clock_in(_Hours(found[0].split('"')[1]))
    household, entries = sample_household(text, clock.now())
    household = replace(household, name=_name(name) or household.name)
    with _staged(where) as part:
        _create(part, _bare(household), clock)
        with desk_on(part, clock) as desk:
            fill(desk, household, entries)
    return clock


def _bare(household: Household) -> Household:
    """Return a household with nothing in it yet, by whose hours and zone the rest is read."""
    return Household(
        name=household.name,
        zone=household.zone,
        day_begins=household.day_begins,
        round_at=household.round_at,
    )


def _empty(where: Path, name: str | None, zone: str | None) -> Household:
    return Household(
        name=_name(name) or where.stem or "Household",
        zone=parse_zone(zone).key if zone is not None else local_zone(),
    )


def _name(name: str | None) -> str | None:
    from tankkeeper.services.noting import named

    return None if name is None else named(name, "name")


def _create(where: Path, household: Household, clock: Clock) -> None:
    from tankkeeper.store.opening import create

    create(where, household, clock).close()


@contextmanager
def _staged(where: Path) -> Iterator[Path]:
    """Give a place beside `where` for a household in the making; it appears whole or not at all."""
    if where.exists():
        raise UserFault("file_exists", path=str(where))
    import secrets

    part = where.with_name(f".{where.stem}-{secrets.token_hex(4)}{where.suffix or '.part'}")
    try:
        yield part
        _appear(part, where)
    finally:
        for name in (part.name, f"{part.name}-wal", f"{part.name}-shm"):
            part.with_name(name).unlink(missing_ok=True)


def _appear(part: Path, where: Path) -> None:
    """Give a finished file its name, never over another file."""
    try:
        where.hardlink_to(part)
    except FileExistsError as there:
        raise UserFault("file_exists", path=str(where)) from there
    except OSError:
        # Some disks have no second names for a file; there the name is looked at once more.
        if where.exists():
            raise UserFault("file_exists", path=str(where)) from None
        part.rename(where)


def local_zone() -> str:
    """Return the zone of this computer by its IANA name, "UTC" where it does not say.

    It is what `TZ` names, else where the system's own zone file leads (common practice on Linux
    and macOS, no source).
    """
    for candidate in (os.environ.get("TZ", "").lstrip(":"), *_zones_of_system()):
        if candidate:
            try:
                return parse_zone(candidate).key
            except UserFault:
                _log.info("the zone %r of this computer is not known", candidate)
    return USUAL_ZONE


def _zones_of_system() -> Iterator[str]:
    try:
        target = str(Path("/etc/localtime").readlink())
    except OSError:
        target = ""
    yield target.partition("zoneinfo/")[2]
    try:
        yield Path("/etc/timezone").read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        yield ""
