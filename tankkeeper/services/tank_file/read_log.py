"""Reads the logbook of a tank file: entries in order of time, each in one of its forms."""

from __future__ import annotations

import json
import unicodedata
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import MAXYEAR, UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tankkeeper.core.days import logical_day, parse_zone
from tankkeeper.core.logbook import Entry, Revoke
from tankkeeper.services.tank_file.log_forms import Scope, read_deed
from tankkeeper.services.tank_file.naming import ChoreNames, Names
from tankkeeper.services.tank_file.order import NotInOrder, written_order
from tankkeeper.services.tank_file.problems import Findings, nearest
from tankkeeper.services.tank_file.read_house import read_zone
from tankkeeper.services.tank_file.table import Table
from tankkeeper.services.watching import Step, unwatched, watched

# A log is in order of time; this much covers clocks that were set wrong or changed.
STEP_BACK = timedelta(hours=24)
NOON = time(12)
# The name space of ids that are made from what an entry says.
_MADE = uuid.UUID("5b0f4a53-6c0a-5f57-9a38-0d2f6b1c7e11")


@dataclass(frozen=True, slots=True)
class Between:
    """What the order of the file leaves for the moment of a row that does not tell its own."""

    newest: datetime | None
    latest: datetime

    def moment_on(self, day: date | None, clock: ZoneInfo) -> datetime:
        """Return the latest moment there is room for, noon where the row tells the day."""
        at = self.latest
        if day is not None:
            at = min(at, datetime.combine(day, NOON, clock).astimezone(UTC))
        return at if self.newest is None else max(at, self.newest)


def _latest_moments(rows: Sequence[Table]) -> list[datetime]:
    """Return for each row the moment of the next that tells one; after the last it is now."""
    found: list[datetime] = []
    latest = rows[-1].frame.now if rows else None
    for row in reversed(rows):
        at = row.raw.get("at")
        if isinstance(at, datetime) and at.tzinfo is not None and 1 < at.year < MAXYEAR:
            latest = at.astimezone(UTC)
        if latest is not None:
            found.append(latest)
    return found[::-1]


def _chores_named(raw: Mapping[str, object]) -> Iterator[str]:
    """Yield the chores that a row names, in whichever form, as far as they are names."""
    inner = (raw.get("paused"), raw.get("resumed"))
    chores = [one.get("chore") for one in inner if isinstance(one, dict)]
    for value in (*map(raw.get, ("done", "skipped", "put_off", "shifted")), *chores):
        for word in value if isinstance(value, list) else [value]:
            if isinstance(word, str):
                yield unicodedata.normalize("NFC", word).strip()


@dataclass(slots=True)
class LogReader:
    """What the entries of one file have in common."""

    chores: ChoreNames
    people: Names
    tanks: Names
    supplies: Names
    zone: str
    day_begins: time
    findings: Findings
    whole: bool = True
    _afters: dict[int, str] = field(default_factory=dict)
    _clock: ZoneInfo | None = None

    def read(self, rows: Iterable[Table]) -> tuple[Entry, ...]:
        """Return the entries in the order in which they were written, numbered from 1."""
        self._clock = parse_zone(self.zone)
        found: list[Entry] = []
        tables: list[Table] = []
        newest: datetime | None = None
        everything = list(rows)
        watch = everything[0].frame.watch if everything else unwatched
        watched_rows = watched(everything, Step.READING, watch)
        for row, latest in zip(watched_rows, _latest_moments(everything), strict=True):
            entry = self._entry(row, len(found), Between(newest, latest))
            if entry is None:
                continue
            if newest is not None and entry.at < newest - STEP_BACK:
                row.fault("at", "out_of_order", value=row.raw["at"], newest=newest)
            newest = entry.at if newest is None else max(newest, entry.at)
            found.append(entry)
            tables.append(row)
        if self.findings.all:
            return ()
        self._check_ids(found, tables)
        ordered = self._ordered(found, tables)
        self._check_named(ordered, found, tables)
        return ordered

    def _entry(self, row: Table, place: int, between: Between) -> Entry | None:
        at = row.moment("at")
        tank = self.tanks.look_up(row, "tank") if "tank" in row.raw else self._tank_of(row)
        row.know(("tank",))
        zone = read_zone(row, "zone") or self.zone
        clock = self._clock if zone == self.zone and self._clock else parse_zone(zone)
        day = row.day("day", row.frame.today + timedelta(days=1))
        if "at" not in row.raw:
            at = between.moment_on(day, clock)
        if day is None and at is not None:
            day = logical_day(at, clock, self.day_begins)
        deed = read_deed(row, Scope(self.chores, self.supplies, tank, day))
        after = row.name("written_after", 100)
        entry_id = self._id(row, place)
        by = self.people.look_up(row, "by")
        replaced = row.name("replaces", 100)
        if after is not None:
            self._afters[place] = after
        row.close()
        if not row.is_sound or at is None or day is None or deed is None:
            return None
        return Entry(
            id=entry_id,
            seq=0,
            at=at,
            day=day,
            zone=zone,
            by=by,
            tank=tank,
            completes=deed.completes,
            fact=deed.fact,
            note=deed.note,
            replaces=replaced,
        )

    def _tank_of(self, row: Table) -> str | None:
        """Return the tank of the first chore that a row names, where only one tank has it."""
        for word in _chores_named(row.raw):
            if self.chores.find(word, None) is None:
                chore = self.chores.only_one(word)
                return None if chore is None else chore.tank
        return None

    def _id(self, row: Table, place: int) -> str:
        """Return the id an entry gives itself, else one made from its place and what it says."""
        found = row.name("id", 100)
        if found is not None:
            if any(sign.isspace() for sign in found):
                row.fault("id", "bad_id", value=found)
            return found
        said = json.dumps(row.raw, sort_keys=True, default=str, ensure_ascii=True)
        return str(uuid.uuid5(_MADE, f"{place} {said}"))

    def _check_ids(self, found: Sequence[Entry], tables: Sequence[Table]) -> None:
        seen: set[str] = set()
        for entry, row in zip(found, tables, strict=True):
            if entry.id in seen:
                row.fault("id", "doubled_id", value=entry.id)
            seen.add(entry.id)

    def _ordered(self, found: list[Entry], tables: Sequence[Table]) -> tuple[Entry, ...]:
        """Return the entries in the order of writing; late ones say which they followed."""
        try:
            places = written_order([entry.id for entry in found], self._afters)
        except NotInOrder as wrong:
            row = tables[wrong.place]
            word = self._afters[wrong.place]
            row.fault("written_after", "unknown_reference", of="log entry", value=word)
            return ()
        return tuple(replace(found[place], seq=seq) for seq, place in enumerate(places, start=1))

    def _check_named(
        self, ordered: Sequence[Entry], found: Sequence[Entry], tables: Sequence[Table]
    ) -> None:
        """Note undos and corrections of entries that were not there when they were written."""
        rows = {entry.id: row for entry, row in zip(found, tables, strict=True)}
        seen: set[str] = set()
        for entry in ordered:
            revoked = entry.fact.entry if isinstance(entry.fact, Revoke) else None
            for key, named in (("revokes", revoked), ("replaces", entry.replaces)):
                if named is not None and named not in seen:
                    near = nearest(named, rows) if len(rows) < 300 else None
                    rows[entry.id].fault(
                        key, "unknown_reference", of="log entry", value=named, nearest=near
                    )
            seen.add(entry.id)
