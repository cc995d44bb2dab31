"""The window where no household is yet, and hands at its first page."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QApplication

from tankkeeper.app.clock import FixedClock
from tankkeeper.app.doors import doors_to
from tankkeeper.app.wanted import Wanted
from tankkeeper.gui.icons import Icons
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.gui.window import Looks, Window
from tests.gui.round_house import ICONS, SEVEN, Hands


def empty_window(path: Path, *, decimal_sign: str = ".") -> Window:
    """Return a window on a file that is not there yet; the clock stands."""
    wanted = Wanted(
        where=lambda: path,
        person=lambda: None,
        name=path.stem,
        place=path,
        now=SEVEN.isoformat(),
    )
    looks = Looks(lambda: Icons(ICONS), path.stem, decimal_sign, is_still=True)
    return Window(lambda: doors_to(wanted), looks)


def first_page(window: Window) -> FirstPage:
    """Return the page that asks."""
    assert window.frame is not None
    (page,) = window.frame.findChildren(FirstPage)
    return page


def hands_at(window: Window, path: Path, app: QApplication) -> Hands:
    """Return hands at its keys."""
    return Hands(window, FixedClock(SEVEN), path, app)


# A box of 59 x 39 x 40 cm with soft corals, in the order of the keys.
NOOK = ("Nook", "59", "39", "40", "36")


def type_box(hands: Hands, sizes: tuple[str, ...] = NOOK) -> int:
    """Type the answers from the name on, choose soft corals, and return how many keys it took."""
    name, *rest = sizes
    hands.type(name)
    hands.press("Tab", "Tab", "Tab", "Tab")
    keys = len(name) + 4
    for size in rest:
        hands.type(size)
        hands.press("Tab")
        keys += len(size) + 1
    # What may wait is passed over: rock, sand, sump, reservoir.
    hands.press("Tab", "Tab", "Tab", "Tab")
    hands.press("Space", "Right", "Right")
    return keys + 7
