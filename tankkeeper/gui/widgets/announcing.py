"""Saying a sentence through a screen reader."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget


def announce(widget: QWidget, sentence: str) -> None:
    """Have a screen reader say a sentence about a widget."""
    # The classes for it are large, and nothing is said before the first key.
    from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

    QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(widget, sentence))
