"""Reminders in the window: looked for by the clock, told in the banner and in the tray.

The dates are the service's, which is asked again after every reading and whenever the wall clock
has come to the moment that it named. The timer here only looks at the clock.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from tankkeeper.gui.chosen_habits import ChosenHabits
from tankkeeper.gui.morning import Morning
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.reminder_following import Following
from tankkeeper.gui.reminder_means import Means
from tankkeeper.gui.reminder_stops import stops_of
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.standing_reminders import StandingReminders
from tankkeeper.gui.switching import Switching
from tankkeeper.gui.tray import Tray
from tankkeeper.gui.tray_keeping import TrayKeeper
from tankkeeper.gui.widgets.banner import Banner
from tankkeeper.gui.window import Window
from tankkeeper.reports.reminder_words import notice_sentence, title_of
from tankkeeper.services.reminder_causes import Cause, Reminder
from tankkeeper.services.reminders import plan, summary_to_come, with_left_out
from tankkeeper.services.round import following_work

if TYPE_CHECKING:
    from tankkeeper.core.household import Tank

LOOK_MS = 15_000
_OF_WINDOW = (
    Command.SWITCHED_ON,
    Command.SHOW_REMINDED,
    Command.CLOSE_REMINDER,
    Command.WHOLE_REMINDER,
    Command.REMINDERS,
)


class RemindDesk(QObject):
    """Tells what must be told while a household is open in the window; `told` tells each notice."""

    told = Signal(str, str)

    def __init__(self, window: Window, means: Means) -> None:
        super().__init__(window)
        self._window = window
        self._means = means
        self.chosen = ChosenHabits(window, means, self)
        self.banner: Banner | None = None
        self.keeper = TrayKeeper(
            window.shell,
            means.has_tray,
            lambda: means.make_tray(self),
            means.is_at_login,
            self,
        )
        self._session: Session | None = None
        self._standing = StandingReminders()
        self._switching = Switching(window, means.since)
        self._look_at: datetime | None = None
        self._looked: datetime | None = None
        self.following = Following(window)
        self._clock = QTimer(self)
        self._clock.setInterval(LOOK_MS)
        self._clock.timeout.connect(self.look_if_due)
        window.ready.connect(self.begin)
        self.chosen.changed.connect(self._on_chosen)
        window.left.connect(self._on_left)
        window.shell.closing.connect(self.end)
        window.shell.keeps = self._keeps

    @property
    def tray(self) -> Tray | None:
        """The icon in the tray, None where there is none."""
        return self.keeper.tray

    def begin(self) -> None:
        """Begin with the household that stands in the window."""
        session, frame, morning = self._window.session, self._window.frame, self._window.morning
        if session is None or frame is None or morning is None or session is self._session:
            return
        self._take_session(session)
        self.keeper.follow(self.chosen.habits)
        if self.banner is None:
            self.banner = Banner()
            self.banner.commanded.connect(self.do)
            self.banner.resized.connect(frame.lay_out)
            frame.hold_banner(self.banner)
            actions = [self._act_on(command, frame) for command in _OF_WINDOW]
            _put_beside_settings(frame.top.menu(), actions[-1])
        self._act_on(Command.SWITCHED_OFF, morning.page.list)
        morning.door.add_settings(self.chosen.part())
        morning.foot.sooner = self._sooner
        session.shown.connect(self._on_shown)
        self._clock.start()
        if session.last is not None:
            self._standing.begin(self._means.told(session.last.where))
            self._on_shown(session.last)

    def end(self) -> None:
        """Look no more."""
        self._clock.stop()
        self._take_session(None)
        if self.keeper.drop():
            # A hidden window is none whose end would end the program.
            self._means.leave()

    def _take_session(self, session: Session | None) -> None:
        self._session = session
        self.following.session = self.chosen.session = self._switching.session = session

    def _act_on(self, command: Command, owner: QWidget) -> QAction:
        action = make_action(command, owner)
        action.setAutoRepeat(False)
        action.triggered.connect(lambda: self.do(command.value))
        return action

    def _on_left(self, _where: str, _standing: object) -> None:
        """Forget the household that is closed; the banner is empty until another stands."""
        self._clock.stop()
        self._take_session(None)
        self._look_at = self._looked = None
        self._standing.end()
        self._switching.end()
        self.following.end()
        if self.banner is not None:
            self.banner.show_sentences("", "")

    def _on_shown(self, shown: Shown) -> None:
        if self._session is not None and shown is self._session.last:
            self._switching.read(shown, self._on_read)

    def _on_read(self) -> None:
        self.look()
        self.following.arrive()

    def look_if_due(self) -> None:
        """Look if the clock has come to the moment that was named, or stands before the last look.

        The wall clock is compared, so a sleep of the machine is over with the first look.
        """
        session = self._session
        if session is None or self._look_at is None or self._looked is None:
            return
        if self.tray is None and self.chosen.habits.uses_tray:
            # At login the desktop's tray may come after the program.
            self.keeper.follow(self.chosen.habits)
        now = session.desk.clock.now()
        if now >= self._look_at or now < self._looked:
            self.look()

    def look(self) -> None:
        """Tell what must be told now."""
        session = self._session
        if session is None or session.last is None:
            return
        now, is_first = session.desk.clock.now(), self._looked is None
        state, before = session.last.state, self._standing.told
        found = plan(state, self._switching.waiting, self.chosen.habits, before, now)
        day_of = state.moment.day_of
        if self._looked is None or day_of(self._looked) != day_of(now):
            self._standing.begin_day(now)
            self.following.begin_anew()
        self._look_at, self._looked = found.look_at, now
        tell, told = found.tell, found.told
        is_seen = self._means.is_seen(self._window.shell)
        if is_seen and (is_first or self.tray is not None):
            # The round itself, just opened or beside the tray, says what is due today.
            summaries = [one for one in tell if one.cause is Cause.MORNING]
            tell = tuple(one for one in tell if one.cause is not Cause.MORNING)
            if self.tray is None:
                told = with_left_out(told, summaries, now)
        if dict(told) != dict(before):
            self._standing.told = told
            self._means.keep_told(session.last.where, told)
        if tell:
            self._standing.add(tell)
            self.following.begin_anew()
            self._tell(tell, session.last)
        self._show(session.last, now)
        if self._window.morning is not None:
            self._window.morning.foot.show_newest()

    def _tell(self, tell: tuple[Reminder, ...], last: Shown) -> None:
        title, sentence = title_of(tell), notice_sentence(tell, last.sheet.words)
        if self.tray is not None:
            self.tray.tell(title, sentence)
        else:
            self._means.alert(self._window.shell)
        self.told.emit(title, sentence)

    def _show(self, last: Shown, now: datetime) -> None:
        """Show what waits and what was told and still stands."""
        if self.banner is None:
            return
        words = last.sheet.words
        reminder = notice_sentence(self._shown(last, now), words)
        self.banner.show_sentences(self._switching.sentence(words), reminder)

    def _sooner(self, shown: Shown) -> str | None:
        """Return the words on today's summary, where it comes before the next work."""
        if self._session is None:
            return None
        now = self._session.desk.clock.now()
        at = summary_to_come(shown.state, self.chosen.habits, self._standing.told, now)
        coming = following_work(shown.state)
        if at is None or (coming is not None and now < coming.at <= at):
            return None
        return f"Next: morning summary, {shown.sheet.words.at(at)}"

    def _shown(self, last: Shown, now: datetime) -> list[Reminder]:
        waiting = self._switching.waiting
        return self._standing.shown(last.state, waiting, self.chosen.habits, now)

    def do(self, command: str) -> None:
        """Do what a key or a button of the banner says."""
        # Who presses the key means what is shown then, though it acts in its turn.
        waiting = self._switching.waiting
        meant = waiting[0].tank if waiting else None
        deeds: dict[str, Callable[[], None]] = {
            Command.SWITCHED_ON.value: lambda: self._switch_on(meant),
            Command.SWITCHED_OFF.value: self._switching.switch_off,
            Command.SHOW_REMINDED.value: self.follow,
            Command.CLOSE_REMINDER.value: self._close_reminder,
            Command.WHOLE_REMINDER.value: self._show_whole,
            Command.REMINDERS.value: self.open_settings,
        }
        session, frame = self._session, self._window.frame
        # What it shows stands in the frame, which a page may stand in place of.
        if session is not None and frame is not None and frame.uncover():
            session.keys.in_turn(deeds[command])

    def _switch_on(self, meant: Tank | None) -> None:
        if self._session is not None:
            self._switching.switch_on(meant)
            self._take_keys()

    def _take_keys(self) -> None:
        """Let the keys act in the page where a button of the banner had them."""
        here, morning = QApplication.focusWidget(), self._window.morning
        if self.banner is None or here is None or morning is None:
            return
        if self.banner.isAncestorOf(here):
            morning.shown_page.take_keys()

    def _close_reminder(self) -> None:
        session = self._session
        if session is not None and session.last is not None:
            now = session.desk.clock.now()
            self._standing.close(self._shown(session.last, now), now)
            self._means.keep_told(session.last.where, self._standing.told)
        self._take_keys()
        self.look()

    def _show_whole(self) -> None:
        """Show all of what stands in the banner in short, or it in short again."""
        session = self._session
        if session is not None and (self.banner is None or not self.banner.toggle_whole()):
            session.did.emit("There is nothing more to show of a reminder.")

    def follow(self) -> None:
        """Go to what the first matter of the banner is about, the next time to the next matter."""
        session = self._session
        if session is None or session.last is None:
            return
        found = self._shown(session.last, session.desk.clock.now())
        told = self.following.go_on(stops_of(found, self._switching.waiting))
        if told:
            session.did.emit(told)

    def raise_and_follow(self) -> None:
        """Bring the window to the front and go to what was told."""
        self.raise_window()
        self.follow()

    def raise_window(self) -> None:
        """Bring the window to the front."""
        self.keeper.raise_window()

    def open_settings(self) -> None:
        """Open the settings at the reminders."""
        from tankkeeper.gui.reminder_parts import REMINDERS

        morning: Morning | None = self._window.morning
        if morning is not None:
            morning.open_settings_at(REMINDERS)

    def _on_chosen(self) -> None:
        """Remind as was chosen from now on."""
        self.keeper.follow(self.chosen.habits)
        self.look()

    def quit(self) -> None:
        """End the program."""
        self._window.shell.end()

    def _keeps(self) -> bool:
        if self._window.frame is None:
            return False
        return self.keeper.keeps(self.chosen.habits, self.chosen.ask_when_closed)


def _put_beside_settings(menu: QMenu, action: QAction) -> None:
    """Put a command where the settings are, and not below what ends the program."""
    there = menu.actions()
    names = [one.objectName() for one in there]
    if Command.SETTINGS.value not in names:
        menu.addAction(action)
        return
    # There is always more in the menu after the settings.
    menu.insertAction(there[names.index(Command.SETTINGS.value) + 1], action)
