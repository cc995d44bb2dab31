"""Going to what a reminder is about: from matter to matter, to its line wherever that stands."""

from __future__ import annotations

from tankkeeper.gui.reminder_stops import THE_ROUND, Stop, stop_after, words_of
from tankkeeper.gui.session import Session
from tankkeeper.gui.views import ROUND
from tankkeeper.gui.window import Window


class Following:
    """Leads to the lines of the round; `session` is that of the household that is open, if any."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.session: Session | None = None
        # Where to go once the reading that shows it has come.
        self._wanted: Stop | None = None
        # The matter that was gone to last; what is told anew begins at its first matter.
        self._followed: str | None = None

    def begin_anew(self) -> None:
        """Go to the first matter the next time."""
        self._followed = None

    def end(self) -> None:
        """Forget the household that is closed."""
        self.session = self._wanted = self._followed = None

    def go_on(self, stops: tuple[Stop, ...]) -> str:
        """Go to the stop after the last one, to the round where there is none; return its words."""
        if not stops:
            self.go_to(None)
            return ""
        at = stop_after(stops, self._followed)
        self._followed = stops[at].key
        if stops[at].has_line:
            self._stop_at(stops[at])
        return words_of(stops, at)

    def go_to(self, row: str | None) -> None:
        """Go to a line of the round, None for the round itself."""
        self._stop_at(THE_ROUND if row is None else Stop("", row))

    def go_to_chore(self, chore: str) -> bool:
        """Go to the first line of a chore, by its id or its name; tell whether it has one.

        Else go to the round.
        """
        last = self.session.last if self.session is not None else None
        if last is None:
            return False
        wanted = chore.casefold()
        for one in last.state.chores:
            if wanted in (one.chore.id.casefold(), one.chore.name.casefold()) and one.open:
                self.go_to(one.open[0].turn.id)
                return True
        self.go_to(None)
        return False

    def arrive(self) -> None:
        """Go on to what was not shown yet, once it is."""
        session, stop = self.session, self._wanted
        if session is None or session.last is None or stop is None:
            return
        # A reading that was under way may still be of the tank that was shown before.
        if session.last.sheet.narrowed_to == session.tank_id:
            self._wanted = None
            self._look_for(stop)

    def _stop_at(self, stop: Stop) -> None:
        """Show the round with the keys in it, at a line wherever it stands."""
        frame, morning = self._window.frame, self._window.morning
        if frame is None or morning is None:
            return
        frame.show_view(ROUND)
        morning.page.take_keys()
        self._wanted = None
        self._look_for(stop)

    def _look_for(self, stop: Stop) -> None:
        frame, morning, session = self._window.frame, self._window.morning, self.session
        if frame is None or morning is None or session is None:
            return
        if stop.row is not None and morning.page.show_row(stop.row):
            return
        if stop.row is not None and session.tank_id is not None:
            # It may stand with a tank that is not shown.
            self._wanted = stop
            frame.rail.choose_whole_house()
        elif stop.key and stop.tank is None and session.tank_id is None:
            morning.page.list.go_to_first_open()
        elif stop.key and stop.tank is None:
            self._wanted = stop
            frame.rail.choose_whole_house()
