"""Pumps and heater that are off for some work: switched off before it, and on again after it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.window import Window
from tankkeeper.reports.reminder_words import on_again, restart_sentence
from tankkeeper.reports.words import Words
from tankkeeper.services.restarts import Restart, read_restarts, switch_off, switch_on

if TYPE_CHECKING:
    from tankkeeper.core.household import Tank
    from tankkeeper.core.logbook import Entry
    from tankkeeper.services.desk import Desk


class Switching:
    """Knows which tanks are `waiting` to be switched on again, the first of them first.

    `session` is that of the household that is open, if any; `since` gives from when on its logbook
    was lived.
    """

    def __init__(self, window: Window, since: Callable[[str], datetime | None]) -> None:
        self._window = window
        self._since = since
        self.session: Session | None = None
        self.waiting: tuple[Restart, ...] = ()

    def end(self) -> None:
        """Forget the household that is closed."""
        self.session, self.waiting = None, ()

    def read(self, shown: Shown, then: Callable[[], None]) -> None:
        """Read which tanks wait, and go on once that is known."""
        session = self.session
        if session is None:
            return
        since = self._since(shown.where)

        def take(found: object) -> None:
            assert isinstance(found, tuple)
            self.waiting = found
            then()

        session.read_with(lambda desk, read: read_restarts(desk, read.state, since), take)

    def sentence(self, words: Words) -> str:
        """Return what waits, empty where nothing does."""
        if not self.waiting:
            return ""
        first = restart_sentence(self.waiting[0], words)
        others = ", ".join(one.tank.name for one in self.waiting[1:])
        return f"{first} After that: {others}." if others else first

    def switch_on(self, meant: Tank | None) -> None:
        """Let the tank that was shown run again, else the first that waits by now.

        Which ones wait is read once more in the worker: what was kept just before may not stand in
        the banner yet, or still stand there.
        """
        session = self.session
        if session is None or session.last is None:
            return
        by, since = session.person_id, self._since(session.last.where)
        household = session.last.state.household
        waiting = {one.tank.id: one for one in self.waiting}

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

    def switch_off(self) -> None:
        """Write down that pumps or heater are off for the line in hand."""
        session, morning = self.session, self._window.morning
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
