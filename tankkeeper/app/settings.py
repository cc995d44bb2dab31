"""The person's settings, kept as text beside the settings of other programs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from pathlib import Path

from tankkeeper.app.paths import config_dir
from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass
from tankkeeper.services.backup_habits import (
    MOST_MB,
    MOST_MINUTES,
    USUAL_MB,
    USUAL_MINUTES,
    BackupHabits,
)

PERSON, BACKUP_MINUTES, BACKUP_MB = "person", "backup_every_minutes", "backups_at_most_mb"
BYTES_OF_A_MB = 1_000_000


@dataclass(frozen=True, slots=True)
class Settings:
    """What a person chose; keys that this program does not know are kept as they are.

    `person` is who does the work unless somebody else is named, None for nobody;
    `backups_at_most_mb` is the room that all backups beside one household may take.
    """

    person: str | None = None
    backup_every_minutes: int = USUAL_MINUTES
    unknown: Mapping[str, object] = field(default_factory=dict)
    backups_at_most_mb: int = USUAL_MB


def settings_file() -> Path:
    """Return the file of the settings; it need not exist."""
    return config_dir() / "settings.toml"


def read_settings(path: Path) -> Settings:
    """Return the settings in a file, the defaults where there is none."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Settings()
    except (OSError, UnicodeDecodeError) as failure:
        raise UserFault("settings_unreadable", path=str(path), why=str(failure)) from failure

    import tomllib

    try:
        found = tomllib.loads(text)
    except (ValueError, RecursionError) as wrong:
        raise UserFault("settings_unreadable", path=str(path), why=str(wrong)) from wrong
    return _settings(found, path)


def _settings(found: dict[str, object], path: Path) -> Settings:
    person = found.pop(PERSON, None)
    minutes = found.pop(BACKUP_MINUTES, USUAL_MINUTES)
    megabytes = found.pop(BACKUP_MB, USUAL_MB)
    if person is not None and not isinstance(person, str):
        raise UserFault("settings_unreadable", path=str(path), why=f"{PERSON} is not a name")
    if (
        not isinstance(minutes, int)
        or isinstance(minutes, bool)
        or not 1 <= minutes <= MOST_MINUTES
    ):
        why = f"{BACKUP_MINUTES} is not a number of minutes from 1 to {MOST_MINUTES}"
        raise UserFault("settings_unreadable", path=str(path), why=why)
    if (
        not isinstance(megabytes, int)
        or isinstance(megabytes, bool)
        or not 1 <= megabytes <= MOST_MB
    ):
        why = f"{BACKUP_MB} is not a number of megabytes from 1 to {MOST_MB}"
        raise UserFault("settings_unreadable", path=str(path), why=why)
    return Settings(person, minutes, found, megabytes)


def most_backup_bytes() -> int:
    """Return the room that backups may take, as the person chose, the usual where it is not said.

    It is read when it is needed, which a start need not wait for.
    """
    try:
        found = read_settings(settings_file())
    except UserFault:
        # Told where the settings are read for a start; a backup does not wait for their repair.
        found = Settings()
    return found.backups_at_most_mb * BYTES_OF_A_MB


def read_backup_habits() -> BackupHabits:
    """Return how backups are made at this machine; a file that cannot be read is refused."""
    found = read_settings(settings_file())
    return BackupHabits(found.backups_at_most_mb, found.backup_every_minutes)


def keep_backup_habits(habits: BackupHabits) -> None:
    """Write how backups are made; everything else of the settings stays as it is."""
    found = read_settings(settings_file())
    minutes, megabytes = habits.every_minutes, habits.at_most_mb
    changed = replace(found, backup_every_minutes=minutes, backups_at_most_mb=megabytes)
    write_settings(settings_file(), changed)


def write_settings(path: Path, settings: Settings) -> None:
    """Write the settings into their file; remarks and keys not known here stay as they are."""
    # tomlkit keeps remarks but takes long to load; reading does without it.
    import tomlkit

    text = path.read_text(encoding="utf-8") if path.exists() else ""
    document = tomlkit.parse(text)
    for key, value in settings.unknown.items():
        if key not in document:
            document[key] = value
    document[BACKUP_MINUTES] = settings.backup_every_minutes
    if BACKUP_MB in document or settings.backups_at_most_mb != USUAL_MB:
        document[BACKUP_MB] = settings.backups_at_most_mb
    if settings.person is None:
        document.pop(PERSON, None)
    else:
        document[PERSON] = settings.person
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    part = path.with_name(f"{path.name}.part")
    part.write_text(tomlkit.dumps(document), encoding="utf-8")
    part.replace(path)
