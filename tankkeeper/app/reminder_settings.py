"""The reminders among the person's settings: one table, read and written for itself."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import time
from pathlib import Path

from tankkeeper.app.settings import read_settings
from tankkeeper.core.errors import UserFault
from tankkeeper.services.reminder_habits import Habits, Mornings, WhenClosed

TABLE = "reminders"
MORNING, QUIET, TRAY, CLOSED, LOGIN = "morning", "quiet", "tray", "when_closed", "at_login"
_DAYS = 7


def read_habits(path: Path) -> Habits:
    """Return how the person wants to be reminded, the usual way where the file says nothing."""
    table = read_settings(path).unknown.get(TABLE, {})
    try:
        return _habits(table)
    except ValueError as wrong:
        raise UserFault("settings_unreadable", path=str(path), why=f"{TABLE}: {wrong}") from wrong


def _habits(table: object) -> Habits:
    if not isinstance(table, Mapping):
        raise ValueError("it is not a table")  # noqa: TRY004  told to a person as one more fault
    usual = Habits()
    closed = table.get(CLOSED, usual.when_closed.value)
    if closed not in list(WhenClosed):
        raise ValueError(f"{CLOSED} is not one of {', '.join(WhenClosed)}")
    return Habits(
        mornings=_mornings(table[MORNING]) if MORNING in table else usual.mornings,
        quiet=_quiet(table[QUIET]) if QUIET in table else usual.quiet,
        uses_tray=_yes_or_no(table, TRAY),
        when_closed=WhenClosed(closed),
        at_login=_yes_or_no(table, LOGIN),
    )


def _mornings(value: object) -> Mornings:
    if not isinstance(value, list) or len(value) != _DAYS:
        raise ValueError(f"{MORNING} is not a list of seven times, from Monday on")
    one, two, three, four, five, six, seven = (_time(each) if each else None for each in value)
    return (one, two, three, four, five, six, seven)


def _quiet(value: object) -> tuple[time, time] | None:
    if value == []:
        return None
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError(f"{QUIET} is not a list of two times")
    return _time(value[0]), _time(value[1])


def _time(value: object) -> time:
    if not isinstance(value, str) or len(value) != len("07:00"):
        raise ValueError(f"{value!r} is not a time such as '07:00'")
    return time.fromisoformat(value)


def _yes_or_no(table: Mapping[object, object], key: str) -> bool:
    value = table.get(key, False)
    if not isinstance(value, bool):
        raise ValueError(f"{key} is neither true nor false")  # noqa: TRY004
    return value


def write_habits(path: Path, habits: Habits) -> None:
    """Write the table into the file of the settings; everything else in it stays as it is."""
    import tomlkit

    # Refused before anything is written where the file cannot be read as it is.
    read_settings(path)
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    document = tomlkit.parse(text)
    found = document.get(TABLE)
    table = found if isinstance(found, Mapping) else None
    if table is None:
        document[TABLE] = tomlkit.table()
        table = document[TABLE]
    for key, value in _shown(habits).items():
        table[key] = value  # type: ignore[index]
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    part = path.with_name(f"{path.name}.part")
    part.write_text(tomlkit.dumps(document), encoding="utf-8")
    part.replace(path)


def _shown(habits: Habits) -> dict[str, object]:
    return {
        MORNING: [f"{one:%H:%M}" if one is not None else "" for one in habits.mornings],
        QUIET: [] if habits.quiet is None else [f"{one:%H:%M}" for one in habits.quiet],
        TRAY: habits.uses_tray,
        CLOSED: habits.when_closed.value,
        LOGIN: habits.at_login,
    }
