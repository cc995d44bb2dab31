"""Walks over a window that find what is cut, what overlaps and what has no name."""

from __future__ import annotations

from itertools import combinations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractButton, QLabel, QWidget

from tankkeeper.gui.widgets.labels import PlainLabel


def cut_labels(window: QWidget) -> list[str]:
    """Return the texts that have less room than they need."""
    cut = []
    for label in window.findChildren(PlainLabel):
        if not label.isVisibleTo(window) or not label.text():
            continue
        needed = label.heightForWidth(label.width())
        is_narrow = label.width() < label.minimumSizeHint().width()
        if label.height() < needed or is_narrow:
            cut.append(f"{label.text()!r}: {label.size()}, needs {needed} high")
    return cut


def overlapping(window: QWidget) -> list[str]:
    """Return pairs of texts and buttons that lie on each other."""
    parts = [
        (widget, QRect(widget.mapTo(window, widget.rect().topLeft()), widget.size()))
        for kind in (QLabel, QAbstractButton)
        for widget in window.findChildren(kind)
        if widget.isVisibleTo(window) and not widget.visibleRegion().isEmpty()
    ]
    return [
        f"{one.text()!r} and {other.text()!r}"
        for (one, here), (other, there) in combinations(parts, 2)
        if here.intersects(there) and one.parent() is other.parent()
    ]


def nameless(window: QWidget) -> list[str]:
    """Return what can be reached by key or pressed and says nothing to a screen reader."""
    silent = []
    for widget in [window, *window.findChildren(QWidget)]:
        is_stop = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
        if not widget.isVisibleTo(window) or widget.focusProxy() is not None:
            continue
        if not is_stop and not isinstance(widget, QAbstractButton):
            continue
        spoken = QAccessible.queryAccessibleInterface(widget)
        if not spoken.text(QAccessible.Text.Name).strip():
            silent.append(f"{type(widget).__name__} {widget.objectName()}")
    return silent
