"""How one person wants to be reminded: hours, quiet hours, and what stays when the window goes."""

from __future__ import annotations

from datetime import time
from enum import StrEnum

from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass

# One hour for each weekday from Monday on, None where nothing is wanted that day.
Mornings = tuple[
    time | None, time | None, time | None, time | None, time | None, time | None, time | None
]
USUAL_MORNING = time(7, 0)
NO_MORNINGS: Mornings = (None,) * 7
USUAL_MORNINGS: Mornings = (USUAL_MORNING,) * 7
USUAL_QUIET = (time(22, 0), time(6, 30))


class WhenClosed(StrEnum):
    """What closing the window does where reminders could go on without it."""

    ASK = "ask"
    STAY = "stay"
    END = "end"


@dataclass(frozen=True, slots=True)
class Habits:
    """The reminders of a person; `quiet` are two wall times, None for no quiet hours."""

    mornings: Mornings = USUAL_MORNINGS
    quiet: tuple[time, time] | None = USUAL_QUIET
    uses_tray: bool = False
    when_closed: WhenClosed = WhenClosed.ASK
    at_login: bool = False


def quiet_of(first: time | None, last: time | None) -> tuple[time, time] | None:
    """Return the quiet hours between two hours, None without any, or refuse what has no length."""
    if first is None and last is None:
        return None
    if first is None or last is None:
        raise UserFault("quiet_half", field="quiet_from" if first is None else "quiet_to")
    if first == last:
        raise UserFault("quiet_empty", field="quiet_to", at=first)
    return first, last
