"""What an import or a restore would change, in words for the window and the command line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import is_dataclass, replace

from tankkeeper.core.values import dataclass
from tankkeeper.reports.altered_words import altered_lines, altered_text
from tankkeeper.reports.field_words import field_values
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.log_words import found_text
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import WEEKDAYS, Words
from tankkeeper.services.ports import StoredBackup
from tankkeeper.services.previews import (
    KINDS,
    Changed,
    Differences,
    ImportPreview,
    Named,
    RestorePreview,
)

NAMES_TOLD = 12
_TOLD_BY_FIELD = ("tanks", "chores")
_KINDS = {
    "tanks": ("tank", "tanks"),
    "chores": ("chore", "chores"),
    "people": ("person", "people"),
    "rooms": ("room", "rooms"),
    "containers": ("container", "containers"),
    "equipment": ("piece of equipment", "pieces of equipment"),
    "animals": ("kind of animal", "kinds of animals"),
    "supplies": ("supply", "supplies"),
}
_FIELDS = {
    "name": "name",
    "zone": "time zone",
    "day_begins": "the day begins at",
    "round_at": "hour of the round",
    "first_weekday": "first day of the week",
    "currency": "currency",
    "units": "units",
    "water_supply": "water supply",
    "salt_mix": "salt mix",
}
_BEFORE = {
    "before-upgrade": "before an upgrade",
    "before-restore": "before a restore",
    "before-import": "before an import",
}
COMES_BACK = "Undo takes the import back; a backup is made just before as well."
IS_EMPTY = "The household is empty, so nothing in it can be lost."
NOTHING_DIFFERS = "It holds the same as the household does now."
KEPT_BEFORE = "What is there now is backed up first, so that it can be restored in turn."


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with its lines."""

    heading: str
    lines: tuple[str, ...]


def import_parts(preview: ImportPreview, words: Words) -> list[Part]:
    """Return what an import would add, change and leave alone."""
    found, then = preview.differences, replace(words, household=preview.household)
    added = [*_by_kind(found.added), *_entries("{}", preview.entries)]
    parts = [
        Part("Would be added", tuple(added or ["nothing"])),
        Part("Would be changed", tuple(_other(found, words, then))),
        Part(
            "Stays as it is here, though the file has it too",
            tuple(_by_kind(preview.left_alone)),
        ),
    ]
    return [one for one in parts if one.lines]


def import_end(preview: ImportPreview) -> str:
    """Return how what an import does can be taken back."""
    return COMES_BACK if preview.is_backed_up else IS_EMPTY


def restore_parts(preview: RestorePreview, words: Words) -> list[Part]:
    """Return what a restore would take away and bring back."""
    found = preview.differences
    lost = [*_entries("{} written since", preview.lost), *_by_kind(found.gone)]
    back = [*_entries("{} that are not in the logbook now", preview.again), *_by_kind(found.added)]
    then = _other(found, words, replace(words, household=preview.household))
    parts = [
        Part("It holds", (_holds(preview, words),)),
        Part("Would be lost", tuple(lost)),
        Part("Would come back", tuple(back)),
        Part("Would be again as it was then", tuple(then)),
    ]
    return [one for one in parts if one.lines]


def differs(preview: RestorePreview) -> bool:
    """Tell whether a restore would change anything."""
    return bool(preview.lost or preview.again) or preview.differences != Differences()


def backup_lines(backups: Sequence[StoredBackup], words: Words) -> list[tuple[str, str]]:
    """Return how backups are named in a list; those of one minute tell their seconds."""
    minutes = Counter(f"{one.made_at:%Y-%m-%dT%H:%M}" for one in backups)
    return [_line(one, words, minutes[f"{one.made_at:%Y-%m-%dT%H:%M}"] > 1) for one in backups]


def _line(backup: StoredBackup, words: Words, with_seconds: bool) -> tuple[str, str]:
    """Return the day and hour of one backup, and what else is known of it."""
    local = backup.made_at.astimezone(words.moment.zone)
    day = words.day_at(backup.made_at, is_noun=True)
    name = f"{capital(day)}, {local:%H:%M:%S}" if with_seconds else f"{capital(day)}, {local:%H:%M}"
    why = _BEFORE.get(backup.reason, "")
    size = size_words(backup.size_bytes)
    return name, f"{size}, made {why}" if why else size


def size_words(size_bytes: int) -> str:
    """Return the size of a file.

    >>> size_words(420), size_words(137_500_000)
    ('1\xa0kB', '137.5\xa0MB')
    """
    if size_bytes < 1_000_000:
        return f"{max(1, round(size_bytes / 1000))}\u00a0kB"
    return f"{size_bytes / 1_000_000:.1f}\u00a0MB"


def told_lines(parts: Iterable[Part], end: str) -> list[str]:
    """Return the parts as lines for a terminal."""
    lines: list[str] = []
    for part in parts:
        lines += [f"{part.heading}:", *(f"  {line}" for line in part.lines)]
    return [*lines, end] if end else lines


def _holds(preview: RestorePreview, words: Words) -> str:
    tanks = counted(len(preview.household.tanks), "tank", "tanks")
    chores = counted(len(preview.household.chores), "chore", "chores")
    entries = counted(preview.entries, "entry", "entries")
    text = f"{tanks}, {chores}, {entries} of the logbook"
    newest = preview.newest
    if newest is None:
        return f"{text}."
    then = replace(words, household=preview.household)
    return f"{text}; the last is of {words.day(newest.entry.day)}: {found_text(newest, then)}."


def _entries(text: str, count: int) -> list[str]:
    return [text.format(counted(count, "entry of the logbook", "entries of the logbook"))][:count]


def _by_kind(found: Sequence[Named]) -> list[str]:
    """Return one line for each kind: how many, and the first of their names."""
    lines = []
    for kind in KINDS:
        names = [_name(one) for one in found if one.kind == kind]
        if names:
            told = names[:NAMES_TOLD]
            more = len(names) - len(told)
            tail = f" and {more} more" if more else ""
            lines.append(f"{counted(len(names), *_KINDS[kind])}: {', '.join(told)}{tail}")
    return lines


def _other(found: Differences, words: Words, then: Words) -> list[str]:
    """Return what becomes another, in the units of the household as it is."""
    then = replace(then, household=replace(then.household, units=words.units))
    return [*_changes(found.changed, words, then), *_altered(found.altered, words, then)]


def _altered(found: Sequence[Named], words: Words, then: Words) -> list[str]:
    """Return a line for each tank and chore with what differs, and one for each other kind."""
    lines = []
    for kind in KINDS:
        some = [one for one in found if one.kind == kind]
        if kind not in _TOLD_BY_FIELD:
            lines += _by_kind(some)
            continue
        for one in some[:NAMES_TOLD]:
            text = altered_text(one.was, one.became, words, then)
            what = f"{_KINDS[kind][0]} {_name(one)}"
            lines.append(f"{what}: {text}" if text else what)
        if len(some) > NAMES_TOLD:
            lines += _by_kind(some[NAMES_TOLD:])
    return lines


def _name(one: Named) -> str:
    name = one.name or "without a name"
    return f"{name} ({one.tank})" if one.tank else name


def _changes(found: Sequence[Changed], words: Words, then: Words) -> list[str]:
    lines: list[str] = []
    for one in found:
        name = _FIELDS[one.field]
        if is_dataclass(one.before) or is_dataclass(one.after):
            lines += altered_lines(one.before, one.after, words, then, f"{name}, ")
        elif one.field == "first_weekday":
            assert isinstance(one.before, int)
            assert isinstance(one.after, int)
            lines.append(f"{name}: {WEEKDAYS[one.before]} \u2192 {WEEKDAYS[one.after]}")
        else:
            before, after = field_values(one.field, one.before, one.after, words, then)
            lines.append(f"{name}: {before} \u2192 {after}")
    return lines
