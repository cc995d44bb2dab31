"""The fields of a form, which scroll where the screen is not high enough for all of them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QFormLayout, QFrame, QLabel, QScrollArea, QWidget

from tankkeeper.gui.forms.choices import WhenField
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.gui.widgets.scrolling import SlimScrollBar, bring_whole

_CHILDREN = Qt.FindChildOption.FindDirectChildrenOnly


class FieldsArea(QScrollArea):
    """Holds the `fields`, each as high as it takes, and keeps the one with the keys in view.

    `grown` tells that something else stands among them.
    """

    grown = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._inside = QWidget(self)
        self.fields = QFormLayout(self._inside)
        self.fields.setContentsMargins(0, 0, 0, 0)
        self.fields.setVerticalSpacing(Space.S)
        self.fields.setHorizontalSpacing(Space.M)
        self.fields.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self.fields.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setWidget(self._inside)
        self.viewport().setAutoFillBackground(False)
        self._inside.setAutoFillBackground(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBar(SlimScrollBar(self))
        # Its own hint knows nothing of the fields; the room of the form gives it their height.
        self.setFixedHeight(0)
        self._inside.installEventFilter(self)
        # Only now is there room to scroll to a sentence that came below all else.
        self.verticalScrollBar().rangeChanged.connect(self._show_focus)

    def holds(self, widget: QWidget | None) -> bool:
        """Tell whether something stands among the fields."""
        return widget is not None and self._inside.isAncestorOf(widget)

    def follow(self, now: QWidget | None) -> None:
        """Bring the field that gets the keys into view, with its sentence."""
        if now is None or not self.holds(now):
            return
        field = now.parentWidget()
        if isinstance(field, QuantityField):
            bring_whole(self, field, Space.XS)
        bring_whole(self, now, Space.XS)

    def _show_focus(self) -> None:
        self.follow(self.window().focusWidget())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Tell what comes among the fields, and follow the one with the keys."""
        if watched is self._inside and event.type() == QEvent.Type.LayoutRequest:
            self.grown.emit()
        elif watched is self._inside and event.type() == QEvent.Type.Resize:
            # A sentence may have come below the field that has the keys.
            self._show_focus()
        return super().eventFilter(watched, event)

    def needed(self) -> int:
        """Return the height of all fields, whether or not a bar stands beside them."""
        if self.fields.hasHeightForWidth():
            return self.fields.totalHeightForWidth(self.width())
        return self.fields.totalMinimumSize().height()

    def heighten(self) -> None:
        """Give each field the height of its sentence, for which a form layout leaves two lines."""
        roles, column = QFormLayout.ItemRole, 0
        children = self._inside.findChildren(QWidget, options=_CHILDREN)
        for one in children:
            if isinstance(one, (QuantityField, WhenField)):
                one.setMinimumHeight(max(0, one.heightForWidth(one.width())))
            if one.isVisible() and self._role(one) is roles.FieldRole:
                # All fields are as wide; a sentence that just came among them is not yet.
                column = max(column, 0 if isinstance(one, QLabel) else one.width())
        widths = {roles.SpanningRole: self.viewport().width(), roles.FieldRole: column}
        for one in children:
            width = widths.get(self._role(one), 0) if isinstance(one, QLabel) else 0
            if width and one.hasHeightForWidth():
                one.setMinimumHeight(max(0, one.heightForWidth(width)))

    def _role(self, field: QWidget) -> QFormLayout.ItemRole:
        return self.fields.getWidgetPosition(field)[1]  # type: ignore[index,no-any-return]
