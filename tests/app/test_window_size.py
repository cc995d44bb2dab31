"""How large the window opens."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QSize

from tankkeeper.app.window import fitting_size


@pytest.mark.parametrize(
    ("free", "expected"),
    [
        (QSize(1920, 1040), QSize(1280, 800)),
        (QSize(1280, 800), QSize(1272, 756)),
        (QSize(1366, 728), QSize(1280, 684)),
    ],
)
def test_the_window_and_its_frame_fit_the_screen(free: QSize, expected: QSize) -> None:
    """The usual size where there is room; else the line at the foot is still on the screen."""
    assert fitting_size(free) == expected
