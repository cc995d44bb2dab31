"""How the window was left: kept, read back by type, and never off the screens that are there."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QMargins, QRect

from tankkeeper.app.window_state import MOST_RECENT, Left, WindowMemory, placed, state_file
from tankkeeper.gui.openings import Standing
from tankkeeper.gui.palette import ContrastChoice, SchemeChoice
from tankkeeper.gui.typography import LARGEST_PERCENT

FRAME = QMargins(4, 40, 4, 4)
SCREEN = QRect(0, 0, 1920, 1040)
SECOND = QRect(1920, 0, 1280, 1024)


@pytest.fixture
def memory(tmp_path: Path) -> WindowMemory:
    return WindowMemory(tmp_path / "config" / "window.ini")


def test_a_window_never_closed_has_no_place(memory: WindowMemory) -> None:
    """Nothing is made up, and no file is made by looking."""
    assert memory.left() == Left()


def test_how_the_window_was_left_is_read_back(memory: WindowMemory) -> None:
    """Place, size, maximized, type, colours, frame and folder, each in its type."""
    frame = QMargins(1, 20, 2, 5)
    left = Left(
        QRect(-20, 40, 1000, 700), True, 150, SchemeChoice.DARK, ContrastChoice.HIGH, frame, "shelf"
    )

    memory.keep_left(left)

    assert memory.left() == left


def test_each_household_is_left_for_itself(memory: WindowMemory, tmp_path: Path) -> None:
    """View and tank of one do not follow into another; names with commas and umlauts hold."""
    one, other = tmp_path / "a, b = ü.tankkeeper", tmp_path / "c.tankkeeper"

    ago = datetime(2026, 3, 8, 19, 30, tzinfo=UTC)
    memory.keep_standing(
        one,
        Standing("calendar", "reef", "ada", "Käthe, 7", on_board=True, days_off_closed=ago),
        None,
    )
    memory.keep_standing(other, Standing("round", None, None), None)

    assert memory.standing(one) == Standing(
        "calendar", "reef", "ada", "Käthe, 7", on_board=True, days_off_closed=ago
    )
    assert memory.standing(other) == Standing("round", None, None)
    assert memory.standing(tmp_path / "d.tankkeeper") is None


def test_a_chosen_person_holds_until_the_settings_name_another(
    memory: WindowMemory, tmp_path: Path
) -> None:
    """Whoever was chosen in the window comes back; a change of the settings is the newer word."""
    where = tmp_path / "a.tankkeeper"
    assert memory.person(where, "Ada") == "Ada"

    memory.keep_standing(where, Standing("round", None, "bo"), "Ada")

    assert memory.person(where, "Ada") == "bo"
    assert memory.person(where, "Cy") == "Cy"
    memory.keep_standing(where, Standing("round", None, None), "Ada")
    assert memory.person(where, "Ada") is None


@pytest.mark.parametrize(
    "text",
    [
        "[window]\nx=a\ny=1,2\nwidth=\nheight=9\nmaximized=maybe\npercent=big\nscheme=pink\n",
        "[window]\nx=1\ny=1\nwidth=-5\nheight=0\npercent=99999999999999999999\n",
        "[window]\nframe_left=1\nframe_top=-3\nframe_right=2\nframe_bottom=9999\n",
        "[window]\nframe_left=1\nframe_top=20\n",
        "no ini at all \x01\x02",
        "[window]\nx=@Variant(\\0\\0)\nscheme=@Invalid()\n",
    ],
)
def test_what_cannot_be_read_is_as_if_it_had_never_been_written(tmp_path: Path, text: str) -> None:
    """A file that was edited or torn costs a place, never a start."""
    path = tmp_path / "window.ini"
    path.write_text(text, encoding="utf-8")

    assert WindowMemory(path).left() == Left()


def test_a_size_of_type_beyond_the_steps_is_the_nearest_step(tmp_path: Path) -> None:
    """Somebody who writes 900 gets the largest type there is."""
    path = tmp_path / "window.ini"
    path.write_text("[window]\npercent=900\n", encoding="utf-8")

    assert WindowMemory(path).left().percent == LARGEST_PERCENT


def test_the_file_lies_among_the_persons_settings(tmp_path: Path) -> None:
    """It is no part of a household and goes with none."""
    assert state_file().is_relative_to(tmp_path)


@pytest.mark.parametrize(
    ("place", "screens", "expected"),
    [
        (None, [SCREEN], None),
        (QRect(100, 100, 1280, 800), [SCREEN], QRect(100, 100, 1280, 800)),
        # The second screen was unplugged.
        (QRect(2000, 100, 1000, 700), [SCREEN], None),
        (QRect(2000, 100, 1000, 700), [SCREEN, SECOND], QRect(2000, 100, 1000, 700)),
        # Half below the edge, and with its title bar above the screen.
        (QRect(100, 700, 1280, 800), [SCREEN], QRect(100, 236, 1280, 800)),
        (QRect(100, -10, 600, 500), [SCREEN], QRect(100, 40, 600, 500)),
        # The screen is smaller than it was.
        (QRect(0, 40, 1900, 990), [QRect(0, 0, 1366, 728)], QRect(4, 40, 1358, 684)),
        # Across two screens it goes to the one that has most of it.
        (QRect(1900, 100, 900, 600), [SCREEN, SECOND], QRect(1924, 100, 900, 600)),
        (QRect(100, 100, 800, 600), [], None),
    ],
)
def test_a_window_is_put_back_whole_on_a_screen_that_is_there(
    place: QRect | None, screens: list[QRect], expected: QRect | None
) -> None:
    """With four pixels of border and a title bar of 40, nothing of it is out of reach."""
    assert placed(place, screens, FRAME) == expected


def test_recent_households_stand_newest_first(memory: WindowMemory, tmp_path: Path) -> None:
    """Each once, names with commas hold, and no more than a list can show."""
    one, other = tmp_path / "a, b.tankkeeper", tmp_path / "c;ü.tankkeeper"

    for where in (one, other, one):
        memory.keep_recent(where)
    twice = memory.recent()
    memory.forget_recent(one)
    forgotten = memory.recent()
    for number in range(MOST_RECENT + 3):
        memory.keep_recent(tmp_path / f"{number}.tankkeeper")

    assert twice == (one, other)
    assert forgotten == (other,)
    assert len(memory.recent()) == MOST_RECENT
    assert memory.recent()[0].name == f"{MOST_RECENT + 2}.tankkeeper"
