"""Walks over a window that find what is cut, what overlaps and what has no name."""

from __future__ import annotations

from itertools import combinations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QComboBox,
    QLabel,
    QLineEdit,
    QWidget,
)

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


def painted_over(window: QWidget) -> list[str]:
    """Return pairs of texts, buttons and fields, of whatever parents, that are seen on each other.

    What is scrolled out of view is not seen; what holds the other is no offence.
    """
    kinds = (QLabel, QAbstractButton, QLineEdit, QComboBox)
    parts = [
        (widget, seen)
        for kind in kinds
        for widget in window.findChildren(kind)
        if widget.isVisibleTo(window) and not (seen := _seen(widget, window)).isEmpty()
    ]
    return [
        f"{_name(one)} and {_name(other)}"
        for (one, here), (other, there) in combinations(parts, 2)
        if here.intersects(there)
        and not one.isAncestorOf(other)
        and not other.isAncestorOf(one)
        and not one.parent().isAncestorOf(other.parent())
    ]


def out_of_sight(window: QWidget) -> list[str]:
    """Return the buttons that are not seen whole and that no scrolling brings into view."""
    lost = []
    for button in window.findChildren(QAbstractButton):
        if not button.isVisibleTo(window) or _is_scrolled(button, window):
            continue
        if _seen(button, window).size() != button.size():
            lost.append(_name(button))
    return lost


def _seen(widget: QWidget, window: QWidget) -> QRect:
    """Return what all the parents of a widget let be seen of it, in the window."""
    seen = QRect(widget.mapTo(window, widget.rect().topLeft()), widget.size())
    around = widget
    while around is not window:
        around = around.parentWidget()
        top = around.mapTo(window, around.rect().topLeft()) if around is not window else None
        seen &= around.rect() if top is None else QRect(top, around.size())
    return seen


def _is_scrolled(widget: QWidget, window: QWidget) -> bool:
    around = widget.parentWidget()
    while around is not None and around is not window:
        if isinstance(around, QAbstractScrollArea):
            return True
        around = around.parentWidget()
    return False


def _name(widget: QWidget) -> str:
    text = getattr(widget, "text", lambda: "")()
    return f"{type(widget).__name__} {text or widget.accessibleName()!r}"


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
