"""A window with reminders whose clock, tray and settings are in the hands of a test."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time, timedelta

from tankkeeper.core.chores import Calendar, ChoreKind, IfMissed
from tankkeeper.core.errors import Surroundings
from tankkeeper.core.household import Household
from tankkeeper.gui.reminder_means import Means
from tankkeeper.gui.reminding import RemindDesk
from tankkeeper.services.reminder_habits import NO_MORNINGS, Habits
from tankkeeper.services.reminders import Told
from tests.gui.round_house import Hands, chore, small_house

SILENT = Habits(NO_MORNINGS, None)


class FakeTray:
    """Keeps what it was told."""

    def __init__(self) -> None:
        self.said: list[tuple[str, str]] = []
        self.is_stopped = False

    def tell(self, title: str, sentence: str) -> None:
        self.said.append((title, sentence))

    def stop(self) -> None:
        self.is_stopped = True


@dataclass
class Reminded:
    """A window with reminders, and all that it used of the system."""

    hands: Hands
    habits: Habits = SILENT
    has_tray: bool = False
    told: dict[str, Told] = field(default_factory=dict)
    kept: list[Habits] = field(default_factory=list)
    alerts: int = 0
    left: int = 0
    refuses: bool = False
    is_seen: bool = False
    is_at_login: bool = False

    def __post_init__(self) -> None:
        self.tray = FakeTray()
        self.desk = RemindDesk(
            self.hands.window,
            Means(
                habits=self.habits,
                keep=self._keep,
                told=lambda where: self.told.get(where, {}),
                keep_told=self.told.__setitem__,
                has_tray=lambda: self.has_tray,
                make_tray=lambda _desk: self.tray,
                alert=self._alert,
                leave=self._leave,
                is_seen=lambda _shell: self.is_seen,
                is_at_login=self.is_at_login,
            ),
        )
        self.desk.begin()
        self.hands.settle()

    def _keep(self, habits: Habits) -> None:
        if self.refuses:
            raise Surroundings("disk_full", path="settings.toml")
        self.kept.append(habits)

    def _alert(self, _shell: object) -> None:
        self.alerts += 1

    def _leave(self) -> None:
        self.left += 1

    @property
    def restart(self) -> str:
        assert self.desk.banner is not None
        return self.desk.banner.restart

    @property
    def reminder(self) -> str:
        assert self.desk.banner is not None
        return self.desk.banner.reminder

    def passes(self, by: timedelta) -> None:
        """Let time pass, and the timer look at the clock."""
        self.hands.clock.forward(by)
        self.desk.look_if_due()
        self.hands.settle()


def changed_house() -> Household:
    """Return a house whose pumps are off for a service that asks nothing when it is ticked."""
    service = chore("pump", "Clean the pump", 12, kind=ChoreKind.SERVICE, minutes=20)
    lamp = chore("lamp", "Wipe the lamp", 12, tank="nook")
    other = chore("skim", "Clean the skimmer", 12, kind=ChoreKind.SERVICE, tank="nook")
    return small_house(chores=(service, lamp, other))


def slotted(*slots: time) -> Household:
    rhythm = Calendar("FREQ=DAILY", date(2026, 3, 12), slots)
    feed = chore("feed", "Feed", None, rhythm=rhythm, tank="nook", if_missed=IfMissed.EXPIRE)
    return small_house(chores=(chore("wipe", "Wipe the lid", 12), feed))
