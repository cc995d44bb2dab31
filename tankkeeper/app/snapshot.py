"""Paints the window into a picture file, at the line of a chore where one is named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEventLoop, QTimer

from tankkeeper.app.wanted import Wanted
from tankkeeper.app.window import USUAL_SIZE, Looking, application, looks_of
from tankkeeper.core.errors import UserFault
from tankkeeper.gui.window import Window

if TYPE_CHECKING:
    from tankkeeper.gui.openings import Doors

_WAIT_MS = 20_000


def snapshot(wanted: Wanted, target: Path) -> int:
    """Paint the window into a picture file and return the exit status."""
    app = application()
    looking = Looking(app)
    looking.complete()
    window = Window(lambda: _plain_doors(wanted), looks_of(wanted, is_still=True))
    loop = QEventLoop()
    window.ready.connect(loop.quit)
    QTimer.singleShot(_WAIT_MS, loop.quit)
    window.shell.resize(*USUAL_SIZE)
    window.show()
    loop.exec()
    window.worker.settle(app)
    try:
        if wanted.go_to is not None:
            show_chore(window, wanted.go_to)
            window.worker.settle(app)
        is_kept = window.shell.grab().save(str(target))
    finally:
        window.shell.close()
    del looking
    return 0 if is_kept else 1


def show_chore(window: Window, chore: str) -> None:
    """Go to the line of a chore; one that has none is refused, or the picture would be of another.

    A window that somebody looks at goes to the round then.
    """
    from tankkeeper.gui.reminder_following import Following

    following = Following(window)
    following.session = window.session
    if following.go_to_chore(chore):
        return
    last = window.session.last if window.session is not None else None
    known = last.state.household.chores if last is not None else ()
    if any(chore.casefold() in (one.id.casefold(), one.name.casefold()) for one in known):
        raise UserFault("no_such_turn", item=chore, chore=chore)
    raise UserFault("no_such_chore", chore=chore)


def _plain_doors(wanted: Wanted) -> Doors:
    from tankkeeper.app.doors import doors_to

    return doors_to(wanted)
