"""One window for several forms: what stands in it gives way to the next, and the keys stay there.

A window that closes and another that opens leave a moment in which no window has the keys; what
is typed then reaches no program at all.
"""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLayout, QWidget

_CHILDREN = Qt.FindChildOption.FindDirectChildrenOnly


def put_away(form: QWidget, column: QLayout) -> None:
    """Take all that stands in a form out of it, its layout as well."""
    husk = QWidget()
    husk.setLayout(column)
    for one in form.findChildren(QWidget, options=_CHILDREN):
        one.setParent(husk)
    husk.deleteLater()


def show_anew(form: QWidget) -> None:
    """Show what was put into a form that stands already, and give the keys to its field."""
    field = form.focusWidget()
    for one in form.findChildren(QWidget, options=_CHILDREN):
        # A layout would show it as well, but only once other events came in.
        if not one.testAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide):
            one.show()
    if field is not None:
        field.setFocus()
