"""What belongs to the person at this machine: when to be reminded; a part of the household page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import time
from typing import Any

from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.close_form import CLOSED_WORDS
from tankkeeper.gui.forms.specs import Group, Kind, Spec
from tankkeeper.gui.parts import OF_EVERY_HOUSEHOLD, Part, Row
from tankkeeper.reports.words import WEEKDAYS, Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.reminder_habits import Habits, Mornings, WhenClosed, quiet_of
from tankkeeper.services.settling import Apart, SetDown

REMINDERS = "reminders"
NO_TRAY = "This desktop has no tray; reminders stand in the window"
TRAY_WORDS = (("No icon", False), ("An icon that tells reminders", True))
LOGIN_WORDS = (("Do not start", False), ("Start the program", True))


@dataclass(frozen=True, slots=True)
class Draft:
    """The habits as they stand in the fields: each end of the quiet hours for itself.

    `every_day` is the hour of all mornings, where they have the same.
    """

    mornings: Mornings
    quiet_from: time | None
    quiet_to: time | None
    uses_tray: bool
    when_closed: WhenClosed
    at_login: bool
    every_day: time | None = None


def draft_of(habits: Habits) -> Draft:
    """Return what stands in the fields."""
    first, last = habits.quiet or (None, None)
    hours = set(habits.mornings)
    return Draft(
        habits.mornings,
        first,
        last,
        habits.uses_tray,
        habits.when_closed,
        habits.at_login,
        hours.pop() if len(hours) == 1 else None,
    )


def habits_of(draft: Draft) -> Habits:
    """Return what was meant, or refuse half a pair of quiet hours."""
    return Habits(
        draft.mornings,
        quiet_of(draft.quiet_from, draft.quiet_to),
        draft.uses_tray,
        draft.when_closed,
        draft.at_login,
    )


def reminders_part(
    habits: Callable[[], Habits],
    has_tray: Callable[[], bool],
    keep: Callable[[Habits], Apart],
) -> Part:
    """Return the reminders as a part of the page; `keep` gives what keeps them, and what undoes it.

    Both are called in the worker.
    """

    def rows(_state: HouseholdState, _words: Words) -> Sequence[Row]:
        return [Row("Reminders", "", habits())]

    def write(desk: Desk, _was: Any, becomes: Draft, _by: str | None) -> SetDown:
        # No row of the logbook: they belong to the person at this machine, not to the household.
        kept = keep(habits_of(becomes))
        if not desk.is_trial:
            kept.redo()
        with desk.store.reading() as reading:
            return SetDown(reading.household(), None, kept)

    return Part(
        id=REMINDERS,
        name="Reminders",
        noun="reminders",
        rows=rows,
        groups=lambda _words: _groups(has_tray(), habits().uses_tray),
        write=write,
        draft=lambda thing, _words: draft_of(thing),
        sentence=lambda: "They hold for you, in every household on this machine.",
        reach=OF_EVERY_HOUSEHOLD,
    )


def _groups(has_tray: bool, uses_tray: bool) -> tuple[Group, ...]:
    # What was chosen for another desktop stays as it is.
    icons = TRAY_WORDS if has_tray else ((NO_TRAY, uses_tray),)
    closed = Spec(
        "when_closed",
        "When the window is closed",
        Kind.CHOICE,
        choices=lambda _words: tuple((words, one) for one, words in CLOSED_WORDS.items()),
        shown=lambda draft: has_tray and draft.uses_tray,
    )
    return (
        Group(
            "Morning summary",
            (
                Spec(
                    "every_day",
                    "Every day at",
                    Kind.CLOCK,
                    note="Goes into all seven.",
                    fills=tuple(f"mornings.{at}" for at in range(len(WEEKDAYS))),
                ),
                *(
                    Spec(f"mornings.{at}", f"Summary on {day}", Kind.CLOCK)
                    for at, day in enumerate(WEEKDAYS)
                ),
            ),
            "You are told at these hours what the day brings; an empty hour is a day without a "
            "summary. The hour of the round, in Settings, brings no "
            "reminder; it is the hour up to which limits are foreseen.",
        ),
        Group(
            "Quiet hours",
            (
                Spec("quiet_from", "Quiet from", Kind.CLOCK),
                Spec("quiet_to", "Quiet to", Kind.CLOCK),
            ),
            "What comes in them, the summary too, is told at their end; only pumps and heaters "
            "that wait to be switched on again are told of once at any hour. Leave both empty to "
            "be told at any hour.",
        ),
        Group(
            "Beside the window",
            (
                Spec("uses_tray", "In the tray", Kind.CHOICE, choices=lambda _words: icons),
                closed,
                Spec("at_login", "At login", Kind.CHOICE, choices=lambda _words: LOGIN_WORDS),
            ),
        ),
    )
