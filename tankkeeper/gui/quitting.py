"""Leaving a household while something is typed that is not kept: told once, then let go."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import Qt

from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.in_sentences import small
from tankkeeper.reports.numbers import listed

if TYPE_CHECKING:
    from tankkeeper.gui.beginning import Beginning
    from tankkeeper.gui.forms.kept_typing import Typing
    from tankkeeper.gui.morning import Morning
    from tankkeeper.gui.settling import Settling
    from tankkeeper.gui.window import Window

AGAIN = "Ctrl+Q again ends without it."
ALL_AGAIN = "Ctrl+Q again ends without them."
BEGUN = "The new household"
BEGUN_TANK = "The new tank"
# What stands behind the name of the household in the title of the window.
TITLE_END = " - tankkeeper"


class Unkept(NamedTuple):
    """Something typed that would be lost: its name, and all that stands in it."""

    name: str
    standing: object


class Quitting:
    """Holds the end of the program, or another household, back once for what is not kept yet.

    What can be kept is kept first, and it goes on after it. What cannot be is told; where nothing
    else is typed, the second time goes on without it.
    """

    def __init__(self, window: Window) -> None:
        self._window = window
        self._told: tuple[str, list[Unkept]] = ("", [])

    def holds(
        self,
        go_on: Callable[[], None] | None = None,
        again: str = AGAIN,
        *,
        goes_to_begun: bool = False,
    ) -> bool:
        """Tell whether the window is to stay for now.

        It goes on to the end of the program, or what was asked for instead; `again` tells which
        key does it without what is not kept. A household that was begun may be what it goes to.
        """
        unkept = self._unkept(go_on is None, goes_to_begun)
        if not unkept:
            return False
        session, settling = self._window.session, self._settling
        page = None if settling is None else settling.changed_page()
        is_told = (again, unkept) == self._told
        if is_told and (page is None or session is None or not session.is_behind):
            return False
        # What is being written ends by itself; a second press would write it once more.
        if not is_told:
            self._told = again, unkept
            self._stand_up()
            if page is not None and session is not None:
                then = self._window.shell.end if go_on is None else go_on

                def kept() -> None:
                    """Go on once what was written is shown: the session still has to read it."""
                    session.keys.in_turn(then)

                session.keys.in_turn(lambda: page.keep_then(kept, leaves=False, ends=again))
            else:
                self._tell(unkept, again)
        return True

    @property
    def _settling(self) -> Settling | None:
        morning: Morning | None = self._window.morning
        return None if morning is None else morning.settling

    def _unkept(self, is_end: bool, goes_to_begun: bool) -> list[Unkept]:
        from tankkeeper.gui.forms.kept_typing import standing_in, typing_left
        from tankkeeper.gui.forms.kind_drafts import drafts_left

        found: list[Unkept] = []
        beginning: Beginning | None = self._window.beginning
        begun = None if beginning is None or goes_to_begun else beginning.page
        if begun is not None and begun.is_begun:
            found.append(Unkept(BEGUN, standing_in(begun)))
        if self._settling is not None:
            page = self._settling.begun_tank()
            if page is not None:
                found.append(Unkept(BEGUN_TANK, standing_in(page)))
            found += [Unkept(*one) for one in self._settling.unkept()]
        if is_end and self._window.frame is not None:
            # Over the window they wait until their household is opened again.
            over = self._window.frame
            left = (*typing_left(over), *drafts_left(over.window()))
            title = over.window().windowTitle()
            found += [Unkept(_named(typing, title), typing) for _name, typing in left]
        return found

    def _stand_up(self) -> None:
        """Show the window where the icon of the desktop's tray ends the program."""
        shell = self._window.shell
        if shell.isHidden() or shell.isMinimized():
            shell.setWindowState(shell.windowState() & ~Qt.WindowState.WindowMinimized)
            shell.show()
            shell.raise_()
            shell.activateWindow()

    def _tell(self, unkept: list[Unkept], again: str) -> None:
        """Say it where one looks: on a page that covers the frame, else at the foot."""
        names = list(dict.fromkeys(one.name for one in unkept))
        told = listed([names[0], *(small(name) for name in names[1:])])
        sentence = f"{told} is not kept yet. {again}"
        if len(names) > 1:
            sentence = f"{told} are not kept yet. {again.replace(AGAIN, ALL_AGAIN)}"
        beginning, morning = self._window.beginning, self._window.morning
        if beginning is not None and beginning.page is not None and beginning.page.isVisible():
            beginning.page.refuse(sentence)
        elif morning is not None and not (morning.settling and morning.settling.refuse(sentence)):
            morning.tell(sentence)


def _named(typing: Typing, title: str) -> str:
    """Return the name of a form that was left, with its household where another one is open."""
    if typing.title == title:
        return typing.name
    household = typing.title.removesuffix(TITLE_END)
    return f"{typing.name} of {household} ({key_caption(Command.RECENT)} leads there)"
