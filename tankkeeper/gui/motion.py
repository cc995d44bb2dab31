"""Whether anything may move, and the two movements there are."""

from __future__ import annotations

from collections.abc import Callable
from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication

if TYPE_CHECKING:
    from PySide6.QtCore import QVariantAnimation
    from PySide6.QtWidgets import QStyle


class MotionChoice(StrEnum):
    """What the person asked for; `FOLLOW` takes what the style says."""

    FOLLOW = "follow"
    OFF = "off"


class Pace(IntEnum):
    """How long a movement takes in milliseconds."""

    TICK = 120
    RISE = 240


def is_motion_allowed(
    choice: MotionChoice = MotionChoice.FOLLOW, style: QStyle | None = None
) -> bool:
    """Return whether something may move: not when it was switched off here or in the style."""
    if choice is MotionChoice.OFF:
        return False
    from PySide6.QtWidgets import QStyle

    asked = style or QApplication.style()
    return bool(asked.styleHint(QStyle.StyleHint.SH_Widget_Animation_Duration) > 0)


def animate(
    owner: QObject,
    pace: Pace,
    step: Callable[[float], None],
    ended: Callable[[], None],
    choice: MotionChoice = MotionChoice.FOLLOW,
) -> QVariantAnimation | None:
    """Call `step` with 0 to 1 over the pace and `ended` at the end; at once where nothing may move.

    `step` and `ended` must be methods of `owner`: a lambda would keep it alive.
    """
    if not is_motion_allowed(choice):
        step(1.0)
        ended()
        return None
    # The start moves nothing, so it need not load what moves.
    from PySide6.QtCore import QAbstractAnimation, QEasingCurve, QVariantAnimation

    animation = QVariantAnimation(owner)
    animation.setDuration(int(pace))
    animation.setStartValue(0.0)
    animation.setEndValue(1.0)
    animation.setEasingCurve(QEasingCurve.Type.InOutQuad)
    animation.valueChanged.connect(step)
    animation.finished.connect(ended)
    step(0.0)
    animation.start(QAbstractAnimation.DeletionPolicy.DeleteWhenStopped)
    return animation
