"""Nothing moves where the person or the style wants stillness."""

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication, QProxyStyle, QStyle

from tankkeeper.gui.motion import MotionChoice, Pace, animate, is_motion_allowed


class _Owner(QObject):
    def __init__(self) -> None:
        super().__init__()
        self.shares: list[float] = []
        self.ends = 0

    def step(self, share: float) -> None:
        self.shares.append(share)

    def ended(self) -> None:
        self.ends += 1


class _Still(QProxyStyle):
    def styleHint(self, hint, *arguments):  # type: ignore[no-untyped-def]
        if hint == QStyle.StyleHint.SH_Widget_Animation_Duration:
            return 0
        return super().styleHint(hint, *arguments)


@pytest.mark.parametrize("pace", Pace)
def test_a_movement_goes_from_nothing_to_all_and_ends_once(qtbot, pace: Pace) -> None:  # type: ignore[no-untyped-def]
    """The last step is the whole way."""
    owner = _Owner()

    running = animate(owner, pace, owner.step, owner.ended)

    assert running is not None
    assert running.duration() == int(pace)
    qtbot.waitUntil(lambda: owner.ends == 1, timeout=20_000)
    assert owner.shares[-1] == 1.0
    assert owner.shares == sorted(owner.shares)


def test_without_motion_the_end_is_there_at_once(qapp: QApplication) -> None:
    """The result is the same, only the way there is left out."""
    owner = _Owner()

    assert animate(owner, Pace.TICK, owner.step, owner.ended, MotionChoice.OFF) is None
    assert (owner.shares, owner.ends) == ([1.0], 1)


def test_a_style_without_animation_switches_motion_off(qapp: QApplication) -> None:
    """The platform's own wish is followed."""
    still = _Still("Fusion")

    assert is_motion_allowed()
    assert not is_motion_allowed(style=still)
