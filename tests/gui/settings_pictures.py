"""The pictures of the settings and of the reminders: the pages, the form, and the banner."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import time
from pathlib import Path

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.household import Household
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.window import Window
from tankkeeper.services.reminder_habits import Habits, WhenClosed
from tankkeeper.services.reminders import Told
from tests.gui.pictures import Shot, in_all_looks
from tests.gui.reminded import SILENT, FakeTray, changed_house, slotted
from tests.gui.round_house import SEVEN, make, small_house

WITH_TRAY = Habits(uses_tray=True, when_closed=WhenClosed.STAY)


def _made(household: Household) -> Callable[[Path], None]:
    return lambda path: make(path, household, FixedClock(SEVEN))


# A page is drawn without the summary of its morning, which has pictures of its own.
_TOLD = {"morning:2026-03-12T0700": SEVEN}


def reminding(habits: Habits, told: Told | None = None) -> Callable[[Window], object]:
    """Return what gives a window its reminders, with a tray and nothing of this machine."""
    from tankkeeper.gui.reminder_means import Means
    from tankkeeper.gui.reminding import RemindDesk

    def begin(window: Window) -> None:
        RemindDesk(
            window,
            Means(
                habits=habits,
                keep=lambda _habits: None,
                told=lambda _where: told or {},
                keep_told=lambda _where, _told: None,
                has_tray=lambda: True,
                make_tray=lambda _desk: FakeTray(),
                alert=lambda _shell: None,
                leave=lambda: None,
                is_seen=lambda _shell: False,
            ),
        ).begin()

    return begin


# The name of a part of the household page, and the buttons pushed on it; one line for each.
_PARTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("settings", ()),
    ("settings-reminders", ("@reminders",)),
    ("settings-people", ("@people",)),
    ("settings-person", ("@people", "@new")),
    ("settings-rooms", ("@rooms",)),
    ("settings-room", ("@rooms", "@new")),
    ("settings-containers", ("@containers",)),
    ("settings-container", ("@containers", "@new")),
    ("settings-supply", ("@supplies", "@new")),
    ("settings-water", ("@water",)),
    ("settings-salt", ("@salt",)),
)
_BANNERS: tuple[tuple[str, Household, Habits, tuple[str, ...]], ...] = (
    ("banner-morning", small_house(), Habits(), ()),
    ("banner-slot", slotted(time(7)), SILENT, ()),
    ("banner-restart", changed_house(), SILENT, ("Space",)),
)


def _all() -> tuple[Shot, ...]:
    shots: list[Shot] = []
    for name, keys in _PARTS:
        page = Shot(name, keys=("Ctrl+,", *keys), make=_made(small_house()), now=SEVEN)
        shots.extend(in_all_looks(replace(page, begin=reminding(WITH_TRAY, _TOLD))))
    for name, household, habits, keys in _BANNERS:
        for look, scheme in (("light", Scheme.LIGHT), ("dark", Scheme.DARK)):
            banner = Shot(f"{name}-{look}", scheme=scheme, keys=keys, make=_made(household))
            shots.append(replace(banner, now=SEVEN, begin=reminding(habits)))
    return tuple(shots)


SETTINGS_SHOTS = _all()
