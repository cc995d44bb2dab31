"""Reminders in the window: looked for by the clock, told in the banner and in the tray.

The dates are the service's, which is asked again after every reading and whenever the wall clock
has come to the moment that it named. The timer here only looks at the clock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.forms.close_form import CloseForm
from tankkeeper.gui.morning import Morning
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.reminder_following import Following
from tankkeeper.gui.reminder_means import Means
from tankkeeper.gui.reminder_stops import stops_of
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.tray import Tray
from tankkeeper.gui.tray_keeping import TrayKeeper
from tankkeeper.gui.widgets.banner import Banner
from tankkeeper.gui.window import Window
from tankkeeper.reports.reminder_words import (
    notice_sentence,
    on_again,
    restart_sentence,
    title_of,
)
from tankkeeper.services.reminder_causes import Cause, Reminder
from tankkeeper.services.reminder_habits import Habits, WhenClosed
from tankkeeper.services.reminders import (
    LASTING,
    Told,
    closed_before,
    left_open,
    newest_first,
    plan,
    standing,
    summary_to_come,
    with_closed,
    with_left_out,
)
from tankkeeper.services.restarts import Restart, read_restarts, switch_off, switch_on
from tankkeeper.services.round import following_work

if TYPE_CHECKING:
    from tankkeeper.core.household import Tank
    from tankkeeper.core.logbook import Entry
    from tankkeeper.gui.parts import Part
    from tankkeeper.services.desk import Desk
    from tankkeeper.services.settling import Apart

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
    _settled = Signal(object)

    def __init__(self, window: Window, means: Means) -> None:
        super().__init__(window)
        self._window = window
        self._means = means
        self.habits = means.habits
        self.banner: Banner | None = None
        self.keeper = TrayKeeper(
            window.shell,
            means.has_tray,
            lambda: means.make_tray(self),
            means.is_at_login,
            self,
        )
        self._session: Session | None = None
        self._restarts: tuple[Restart, ...] = ()
        self._told: Told = {}
        self._keys: tuple[str, ...] = ()
        self._closed: Told = {}
        self._look_at: datetime | None = None
        self._looked: datetime | None = None
        # When what stands was looked for the first time in this household on its day.
        self._begun: datetime | None = None
        self.following = Following(window)
        self._form: CloseForm | None = None
        self._clock = QTimer(self)
        self._clock.setInterval(LOOK_MS)
        self._clock.timeout.connect(self.look_if_due)
        window.ready.connect(self.begin)
        self._settled.connect(self._take)
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
        self._session = self.following.session = session
        self.keeper.follow(self.habits)
        if self.banner is None:
            self.banner = Banner()
            self.banner.commanded.connect(self.do)
            self.banner.resized.connect(frame.lay_out)
            frame.hold_banner(self.banner)
            actions = [self._act_on(command, frame) for command in _OF_WINDOW]
            _put_beside_settings(frame.top.menu(), actions[-1])
        self._act_on(Command.SWITCHED_OFF, morning.page.list)
        morning.door.add_settings(self._part())
        morning.foot.sooner = self._sooner
        session.shown.connect(self._on_shown)
        self._clock.start()
        if session.last is not None:
            self._told = self._means.told(session.last.where)
            self._closed = closed_before(self._told)
            self._on_shown(session.last)

    def end(self) -> None:
        """Look no more."""
        self._clock.stop()
        self._session = self.following.session = None
        if self.keeper.drop():
            # A hidden window is none whose end would end the program.
            self._means.leave()

    def _act_on(self, command: Command, owner: QWidget) -> QAction:
        action = make_action(command, owner)
        action.setAutoRepeat(False)
        action.triggered.connect(lambda: self.do(command.value))
        return action

    def _on_left(self, _where: str, _standing: object) -> None:
        """Forget the household that is closed; the banner is empty until another stands."""
        self._clock.stop()
        self._session, self._restarts, self._keys = None, (), ()
        self._closed = {}
        self._look_at = self._looked = self._begun = None
        self.following.end()
        if self.banner is not None:
            self.banner.show_sentences("", "")

    def _on_shown(self, shown: Shown) -> None:
        if self._session is not None and shown is self._session.last:
            since = self._means.since(shown.where)
            self._session.read_with(
                lambda desk, read: read_restarts(desk, read.state, since), self._on_restarts
            )

    def _on_restarts(self, found: object) -> None:
        assert isinstance(found, tuple)
        self._restarts = found
        self.look()
        self.following.arrive()

    def look_if_due(self) -> None:
        """Look if the clock has come to the moment that was named, or stands before the last look.

        The wall clock is compared, so a sleep of the machine is over with the first look.
        """
        session = self._session
        if session is None or self._look_at is None or self._looked is None:
            return
        if self.tray is None and self.habits.uses_tray:
            # At login the desktop's tray may come after the program.
            self.keeper.follow(self.habits)
        now = session.desk.clock.now()
        if now >= self._look_at or now < self._looked:
            self.look()

    def look(self) -> None:
        """Tell what must be told now."""
        session = self._session
        if session is None or session.last is None:
            return
        now, is_first = session.desk.clock.now(), self._looked is None
        found = plan(session.last.state, self._restarts, self.habits, self._told, now)
        day_of = session.last.state.moment.day_of
        if self._looked is None or day_of(self._looked) != day_of(now):
            # Another day begins as a new start does, with what harms first.
            self._begun = now
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
        if dict(told) != dict(self._told):
            self._told = told
            self._means.keep_told(session.last.where, told)
        if tell:
            fresh = [one.key for one in tell if one.cause is not Cause.RESTART]
            self._keys = (*self._keys, *fresh)
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
        restart = ""
        if self._restarts:
            restart = restart_sentence(self._restarts[0], words)
            others = ", ".join(one.tank.name for one in self._restarts[1:])
            restart = f"{restart} After that: {others}." if others else restart
        self.banner.show_sentences(restart, notice_sentence(self._standing(last, now), words))

    def _sooner(self, shown: Shown) -> str | None:
        """Return the words on today's summary, where it comes before the next work."""
        if self._session is None:
            return None
        now = self._session.desk.clock.now()
        at = summary_to_come(shown.state, self.habits, self._told, now)
        coming = following_work(shown.state)
        if at is None or (coming is not None and now < coming.at <= at):
            return None
        return f"Next: morning summary, {shown.sheet.words.at(at)}"

    def _standing(self, last: Shown, now: datetime) -> list[Reminder]:
        """Return what was told and still stands, and what harms animals until it is mended."""
        still = standing(last.state, self._restarts, self.habits, now, self._told)
        lasting = [key for key, one in still.items() if self._lasts(one)]
        # What a tick took away stands again when the tick is undone, so its key is kept.
        known = dict.fromkeys((*self._keys, *lasting))
        self._keys = tuple(key for key in known if key in still or key in self._told)
        found = [still[key] for key in self._keys if key in still]
        shown = left_open(found, self._closed, last.state.moment, now)
        return newest_first(shown, self._told, self._begun or now)

    def _lasts(self, one: Reminder) -> bool:
        """Tell whether something stands until it is mended or done, also after a new start."""
        return one.cause in LASTING or (one.cause is Cause.SLOT and one.key in self._told)

    def do(self, command: str) -> None:
        """Do what a key or a button of the banner says."""
        # Who presses the key means what is shown then, though it acts in its turn.
        meant = self._restarts[0].tank if self._restarts else None
        deeds: dict[str, Callable[[], None]] = {
            Command.SWITCHED_ON.value: lambda: self._switch_on(meant),
            Command.SWITCHED_OFF.value: self._switch_off,
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
        """Let the tank that was shown run again, else the first that waits by now.

        Which ones wait is read once more in the worker: what was kept just before may not stand in
        the banner yet, or still stand there.
        """
        session, frame = self._session, self._window.frame
        if session is None or frame is None or session.last is None:
            return
        by, since = session.person_id, self._means.since(session.last.where)
        household = session.last.state.household
        waiting = {one.tank.id: one for one in self._restarts}

        def work(desk: Desk) -> tuple[Entry, ...]:
            noted = switch_on(desk, meant, by, since)
            return () if noted is None else (noted.entry,)

        def tell(entries: tuple[Entry, ...]) -> str:
            tank = next(one for one in household.tanks if one.id == entries[0].tank)
            return on_again(tank, waiting.get(tank.id), is_already=False)

        if meant is None:
            nothing = "Nothing waits to be switched on again."
        else:
            nothing = on_again(meant, waiting.get(meant.id), is_already=True)
        answer = self._answer(nothing)
        session.write(work, replace(answer, tell=lambda kept: tell(kept) if kept else nothing))
        self._take_keys()

    def _switch_off(self) -> None:
        session, morning = self._session, self._window.morning
        if session is None or morning is None:
            return
        rows = morning.page.selected()
        item = rows[0].item if rows else None
        if item is None or item.tank is None:
            session.did.emit("Choose a chore of a tank first; this one belongs to none.")
            return
        chore, tank, by = item.chore, item.tank, session.person_id
        words = f"{tank.name}: pumps or heater off for {chore.name}."
        session.write(lambda desk: (switch_off(desk, chore, tank, by).entry,), self._answer(words))

    def _answer(self, words: str) -> Answer:
        morning = self._window.morning
        assert morning is not None
        return Answer(words, morning.failed)

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
            closed = self._standing(session.last, now)
            self._closed = {**self._closed, **{one.key: now for one in closed}}
            self._told = with_closed(self._told, closed, now)
            self._means.keep_told(session.last.where, self._told)
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
        found = self._standing(session.last, session.desk.clock.now())
        told = self.following.go_on(stops_of(found, self._restarts))
        if told:
            session.did.emit(told)

    def raise_and_follow(self) -> None:
        """Bring the window to the front and go to what was told."""
        self.raise_window()
        self.follow()

    def raise_window(self) -> None:
        """Bring the window to the front."""
        self.keeper.raise_window()

    # How the person wants it

    def open_settings(self) -> None:
        """Open the settings at the reminders."""
        from tankkeeper.gui.reminder_parts import REMINDERS

        morning: Morning | None = self._window.morning
        if morning is not None:
            morning.open_settings_at(REMINDERS)

    def _on_chosen(self, habits: Habits) -> None:
        form, window = self._form, self._window

        def kept(_none: object = None) -> None:
            self._take(habits)
            if form is not None:
                form.accept()

        def refused(error: Exception) -> None:
            from tankkeeper.core.errors import TankkeeperError
            from tankkeeper.reports.faults import fault_words

            if not isinstance(error, TankkeeperError) or form is None:
                raise error
            form.refuse(fault_words(error))

        if self._session is None:
            window.worker.run(lambda: self._means.keep(habits), kept, refused)
        else:
            answer = Answer("Reminders kept, for every household on this machine.", refused, kept)
            self._session.change_apart(self._keeping(habits), answer)

    def _take(self, habits: Habits) -> None:
        """Remind as was chosen from now on."""
        self.habits = habits
        self.keeper.follow(habits)
        self.look()

    def _part(self) -> Part:
        """Return the part of the household page on which the same is chosen."""
        from tankkeeper.gui.reminder_parts import reminders_part

        return reminders_part(lambda: self.habits, self._means.has_tray, self._keeping)

    def _keeping(self, becomes: Habits) -> Apart:
        """Return what keeps other habits and what puts back those there are, in the worker."""
        from tankkeeper.services.settling import Apart

        was = self.habits

        def keep(habits: Habits) -> None:
            self._means.keep(habits)
            # The signal brings it to the window's thread.
            self._settled.emit(habits)

        return Apart(lambda: keep(was), lambda: keep(becomes))

    def _on_finished(self, _result: int) -> None:
        form, self._form = self._form, None
        if form is not None:
            form.deleteLater()

    def quit(self) -> None:
        """End the program."""
        self._window.shell.end()

    def _keeps(self) -> bool:
        return self._window.frame is not None and self.keeper.keeps(self.habits, self._ask)

    def _ask(self) -> None:
        """Ask once what closing the window means."""
        frame = self._window.frame
        if self._form is None and frame is not None:
            form = CloseForm(frame)
            form.answered.connect(self._on_answered)
            form.finished.connect(self._on_finished)
            self._form = form
            form.open()

    def _on_answered(self, when_closed: WhenClosed) -> None:
        self._on_chosen(replace(self.habits, when_closed=when_closed))
        form = self._form
        if form is not None:
            form.accepted.connect(self._window.shell.close)


def _put_beside_settings(menu: QMenu, action: QAction) -> None:
    """Put a command where the settings are, and not below what ends the program."""
    there = menu.actions()
    names = [one.objectName() for one in there]
    if Command.SETTINGS.value not in names:
        menu.addAction(action)
        return
    # There is always more in the menu after the settings.
    menu.insertAction(there[names.index(Command.SETTINGS.value) + 1], action)
