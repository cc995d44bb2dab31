"""The window: it stands at once, and what is in it is loaded beside it."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal, SignalInstance

from tankkeeper.gui.loading import FRAME, ROUND, Opening, Steps
from tankkeeper.gui.shell import Shell
from tankkeeper.gui.worker import Worker

if TYPE_CHECKING:
    from tankkeeper.gui.beginning import Beginning
    from tankkeeper.gui.frame import Frame
    from tankkeeper.gui.icons import Icons
    from tankkeeper.gui.menu import WindowMenu
    from tankkeeper.gui.morning import Morning
    from tankkeeper.gui.motion import MotionChoice
    from tankkeeper.gui.openings import Doors, Opened, Standing
    from tankkeeper.gui.pages.empty_page import EmptyPage
    from tankkeeper.gui.quitting import Quitting
    from tankkeeper.gui.session import Session
    from tankkeeper.gui.waking import Waking

# Loading what wakes the window takes longer than the first round; the first keys come before.
ALARM_AFTER_MS = 1500
NOTHING_SELECTED = "Choose a chore to see why it is due, and how much it takes."


class Looks(NamedTuple):
    """What the window is told about how to look; `icons` are made when first drawn."""

    icons: Callable[[], Icons]
    title: str = ""
    decimal_sign: str = "."
    is_still: bool = False


class Window(QObject):
    """The program's window; `ready` tells that rows stand and ticks are taken.

    `painted` tells that the window can be seen, `begun` that there is time for what the first paint
    need not wait for; `scheme_toggled`, `contrast_toggled` and
    `type_scaled` are for whoever owns the application; `left` tells where a household lies that is
    being closed, and its `Standing`, `stands` the same when something of it was chosen that is
    kept at once.
    """

    painted = Signal()
    begun = Signal()
    ready = Signal()
    scheme_toggled = Signal()
    contrast_toggled = Signal()
    type_scaled = Signal(int)
    left = Signal(str, object)
    stands = Signal(str, object)

    doors: Doors
    """How it gets at households, once it was painted."""

    def __init__(
        self, make_doors: Callable[[], Doors], looks: Looks, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._make_doors = make_doors
        self._looks = looks
        self._frame: Frame | None = None
        self._menu: WindowMenu | None = None
        self._session: Session | None = None
        self._morning: Morning | None = None
        self._opened: Opened | Exception | None = None
        self._opening: Opening | None = None
        self._not_opened: EmptyPage | None = None
        self._beginning: Beginning | None = None
        self._waking: Waking | None = None
        self._standing: Standing | None = None
        # What was told last of what is open.
        self._kept: tuple[str, Standing] | None = None
        self._told = ""
        self._alarm_soon = QTimer(self)
        self._alarm_soon.setSingleShot(True)
        self._alarm_soon.setInterval(ALARM_AFTER_MS)
        self._alarm_soon.timeout.connect(self._set_alarm)
        self._steps = Steps(self)
        self.worker = Worker(self)
        self.shell = Shell(looks.title)
        self.shell.curtain.painted.connect(self._on_painted)
        self.shell.closing.connect(self._on_closing)
        self.shell.holds = self._holds
        self._quitting: Quitting | None = None

    @property
    def frame(self) -> Frame | None:
        """What stands in the window, None until it was painted for the first time."""
        return self._frame

    @property
    def session(self) -> Session | None:
        """The open household, None until it is there."""
        return self._session

    @property
    def morning(self) -> Morning | None:
        """What is behind the frame, None until it is there."""
        return self._morning

    @property
    def beginning(self) -> Beginning | None:
        """What asks for a household of one's own, None while nothing does."""
        return self._beginning

    @property
    def is_loading(self) -> bool:
        """Whether the window still loads what stands in it."""
        return self._steps.is_busy

    def show(self) -> None:
        """Show the window; the household is opened once it was painted."""
        self.shell.show()

    def show_minimised(self) -> None:
        """Let the window stand back; what nobody sees is not waited for to be painted."""
        self.shell.curtain.painted.disconnect(self._on_painted)
        self.shell.showMinimized()
        self._on_painted()

    def _on_painted(self) -> None:
        self.painted.emit()
        QTimer.singleShot(0, self._begin)

    def _begin(self) -> None:
        """Let the worker open the household, and meanwhile load and build the frame here."""
        # First this: beside the worker it would take twice as long, and the worker, too.
        self.begun.emit()
        self.doors = self._make_doors()
        self._load(self.doors.here)
        self._steps.go(FRAME, self._furnish)

    def _raise(self, error: Exception) -> None:
        raise error

    def leave_then(
        self, go_on: Callable[[], object], again: str, *, goes_to_begun: bool = False
    ) -> None:
        """Go on to another household; what would be lost by it is told first, with that key."""

        def once_more() -> None:
            self.leave_then(go_on, again, goes_to_begun=goes_to_begun)

        if not self._holds(once_more, again, goes_to_begun=goes_to_begun):
            go_on()

    def open(self, door: Callable[[], Opened]) -> None:
        """Close what is open and open another household."""
        self._close_session()
        self._load(door)

    def _load(self, door: Callable[[], Opened]) -> None:
        if self._opening is not None:
            # One household after the other: what is being opened would never be closed.
            return
        self._opened, self._is_view_wanted = None, False
        self._opening = Opening(door)
        self.worker.run(self._opening.run, self._on_open, self._on_not_open)

    def _furnish(self) -> None:
        from tankkeeper.gui.frame import Frame
        from tankkeeper.gui.menu import VIEWS, WindowMenu
        from tankkeeper.gui.widgets.rail import TankRail
        from tankkeeper.gui.widgets.why_panel import WhyPanel

        rail = TankRail(motion=self._motion())
        why = WhyPanel(NOTHING_SELECTED)
        self._frame = Frame(self._looks.title, VIEWS, rail, why, self._looks.icons())
        self._menu = WindowMenu(self, self._frame)
        self.shell.put_in(self._frame)
        self._frame.set_waiting(True)
        self._frame.keys_wanted.connect(self._on_view_wanted)
        self._meet()

    def _motion(self) -> MotionChoice:
        from tankkeeper.gui.motion import MotionChoice

        return MotionChoice.OFF if self._looks.is_still else MotionChoice.FOLLOW

    def _on_open(self, opened: Opened) -> None:
        self._opened = opened
        self._meet()

    def _on_not_open(self, error: Exception) -> None:
        self._opened = error
        self._meet()

    def _meet(self) -> None:
        """Go on as soon as both the frame and the household are there."""
        opened = self._opened
        if opened is None or self._frame is None:
            return
        self._opened = None
        if isinstance(opened, Exception):
            self._opening = None
            self._tell_not_open(opened, self._frame)
        else:
            frame = self._frame
            self._steps.go(ROUND, lambda: self._move_in(opened, frame))

    def _move_in(self, opened: Opened, frame: Frame) -> None:
        """Put the round into the frame."""
        from tankkeeper.gui.morning import Morning
        from tankkeeper.gui.session import Session

        self._opening = None
        standing = self._standing = opened.standing
        tank_id = standing.tank_id if standing is not None else None
        on_board = standing is not None and standing.on_board
        self._told = opened.told
        frame.rail.want(tank_id)
        self._session = Session(self.worker, opened.desk, self._looks.decimal_sign, self, tank_id)
        self._session.backs_up = opened.backs_up
        self._session.shown.connect(self._on_shown)
        self._morning = Morning(frame, self._session, self._motion(), self, on_board=on_board)
        self._morning.door.backup_means = self.doors.backups
        self._morning.top_line.person_chosen.connect(lambda: self._tell_standing(self.stands))
        self._morning.looked.connect(self._keep_standing)
        if standing is not None:
            self._morning.notices.begin_with(standing.days_off_closed)
        self._morning.begin(opened.person)

    def _on_shown(self) -> None:
        if self._session is not None:
            self._session.shown.disconnect(self._on_shown)
        if self._frame is not None:
            self._frame.set_waiting(False)
        self.ready.emit()
        if self._menu is not None:
            QTimer.singleShot(0, self._menu.fill)
        QTimer.singleShot(0, self._restore)
        if self.doors.alarm is not None:
            self._alarm_soon.start()

    def _on_view_wanted(self) -> None:
        self._is_view_wanted = True

    def _restore(self) -> None:
        """Go to the view that was left, and tell what there is to say of the opening.

        Who pressed the key of a view meanwhile wants that one.
        """
        standing, self._standing = self._standing, None
        told, self._told = self._told, ""
        frame, session = self._frame, self._session
        if frame is None or session is None:
            return
        if self._is_view_wanted:
            frame.show_view(frame.view_id)
        elif standing is not None and frame.has_view(standing.view):
            frame.show_view(standing.view)
        if told:
            session.did.emit(told)

    def _set_alarm(self) -> None:
        """Let the worker make what wakes the window, once the round stands."""
        session, make_alarm = self._session, self.doors.alarm
        if session is None or make_alarm is None:
            return
        from tankkeeper.gui.waking import Waking

        waking = self._waking = Waking(session, time.monotonic, self.worker.tell, self)
        self.worker.run(lambda: waking.make(make_alarm), self._on_alarm, self._raise)

    def _on_alarm(self, _made: None) -> None:
        if self._waking is not None:
            self._waking.begin()

    def _tell_not_open(self, error: Exception, frame: Frame) -> None:
        """Say in the window why the household could not be opened, and what can be done."""
        from tankkeeper.core.errors import TankkeeperError
        from tankkeeper.gui.pages.empty_page import EmptyPage
        from tankkeeper.reports.faults import fault_words

        frame.set_waiting(False)
        if not isinstance(error, TankkeeperError):
            raise error
        # What is said of the household that was open last, where that could not be opened either.
        aside = str(error.values.get("left_aside", ""))
        if error.code in ("no_household", "stopped") and self.begin_household():
            if aside and self._beginning is not None:
                self._beginning.refuse(aside)
            self._ready_without()
            return
        if error.code == "no_household":
            page = EmptyPage("No household yet", parent=frame.stack)
        else:
            page = EmptyPage("Not opened", fault_words(error), frame.stack)
        if aside:
            page.refuse(aside)
        page.commanded.connect(frame.command)
        self._not_opened = page
        frame.stack.addWidget(page)
        frame.stack.setCurrentWidget(page)
        page.setFocus()
        self._ready_without()

    def _ready_without(self) -> None:
        self.ready.emit()
        if self._menu is not None:
            self._menu.fill()

    def begin_household(self) -> bool:
        """Show the page on which a household of one's own begins, and tell whether it can."""
        if self._frame is None or self.doors.founding is None:
            return False
        if self._beginning is None:
            from tankkeeper.gui.beginning import Beginning

            self._beginning = Beginning(self, self._frame, self.doors.founding)
        self._beginning.show(self._looks.decimal_sign)
        return True

    def _close_session(self) -> None:
        """Take away what is shown; the worker closes the household after what is under way."""
        self._tell_standing(self.left)
        if self._beginning is not None:
            self._beginning.end()
            self._beginning = None
        self._alarm_soon.stop()
        if self._waking is not None:
            self._waking.stop()
            self._waking.deleteLater()
            self._waking = None
        if self._not_opened is not None and self._frame is not None:
            self._frame.remove_page(self._not_opened)
            self._not_opened = None
        if self._morning is not None:
            self._morning.end()
            self._morning.dispose()
            self._morning = None
        if self._session is not None:
            self._session.leave()
            self._session.deleteLater()
            self._session = None

    def _stands_now(self) -> tuple[str, Standing] | None:
        """Return where the household lies and what is open of it, None before it is shown."""
        session, frame, morning = self._session, self._frame, self._morning
        if session is None or frame is None or morning is None or session.last is None:
            return None
        from tankkeeper.gui.openings import Standing

        name = session.last.state.household.name
        on_board = morning.on_board
        closed = morning.notices.closed
        person = session.person_id
        standing = Standing(frame.view_id, session.tank_id, person, name, on_board, closed)
        return session.last.where, standing

    def _tell_standing(self, told: SignalInstance) -> None:
        now = self._stands_now()
        if now is not None:
            told.emit(*now)

    def _keep_standing(self) -> None:
        """Tell what is open once it changed: also a window that is ended by force opens there."""
        now = self._stands_now()
        if now is not None and now != self._kept:
            self._kept = now
            self.stands.emit(*now)

    def _holds(self, *going_on: Any, goes_to_begun: bool = False) -> bool:
        """Tell whether the window stays, since something typed would be lost."""
        if self._morning is None and self._beginning is None:
            return False
        if self._quitting is None:
            from tankkeeper.gui.quitting import Quitting

            self._quitting = Quitting(self)
        return self._quitting.holds(*going_on, goes_to_begun=goes_to_begun)

    def _on_closing(self) -> None:
        """Leave at once; the household is backed up and closed behind it, and nothing waits here.

        Whoever runs the window lets the worker finish once no window is left.
        """
        self._steps.stop()
        self._close_session()
        self.shell.hide()
        self.worker.forget()
        if self._opening is not None:
            # Closed before its household was shown.
            self.worker.run(self._opening.close, _nothing, self._raise)


def _nothing(_closed: None) -> None:
    """Take note of nothing: there is nobody left to tell."""
