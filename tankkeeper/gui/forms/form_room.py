"""The room that a form takes: as high as its fields, on the screen, over its window."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.gui.forms.fields_area import FieldsArea
from tankkeeper.gui.typography import metrics_for

# Room for a title bar around the form, which is unknown before it stands; from memory.
_FRAME = 44
# As high as a form may be over a window that is lower.
_USUAL = 720
# Title, buttons and a refusal around a list; and as few of its rows as are of any use.
_AROUND_LIST = 170
_LEAST_ROWS = 2


class FormRoom:
    """Gives a form its size and its place; `column` is all of it, `area` its fields.

    `heighten` gives what stands among the fields the height that it takes at their width.
    """

    def __init__(
        self,
        form: QWidget,
        column: QVBoxLayout,
        area: FieldsArea,
        heighten: Callable[[], None],
    ) -> None:
        self._form = form
        self._column = column
        self._area = area
        self._heighten = heighten

    def fit(self, *, shrinks: bool) -> None:
        """Give the fields the room that they need and the screen has, and the form its height."""
        form, column, area = self._form, self._column, self._area
        self._fit_width()
        self._heighten()
        bar = Qt.ScrollBarPolicy
        is_needed = area.fields.rowCount() > 0
        area.setVisible(is_needed)
        needed = area.needed() if is_needed else 0
        others = column.totalHeightForWidth(form.width()) - area.minimumHeight()
        free = self._most_high() - metrics_for(form.font()).px(_FRAME)
        room = max(metrics_for(form.font()).button_height, free - others)
        area.setVerticalScrollBarPolicy(
            bar.ScrollBarAlwaysOn if needed > room else bar.ScrollBarAlwaysOff
        )
        area.setFixedHeight(min(needed, room))
        wanted = others + area.minimumHeight()
        # The layout would hold it as high as its sentences were if they stood in a narrower form.
        form.setMinimumHeight(min(wanted, max(free, others)))
        # What was higher for a moment than there is room for has its foot below the screen.
        shrinks = shrinks or form.height() > max(free, wanted)
        if shrinks:
            # The layout holds the form at the height it had, until it is laid out anew.
            column.activate()
        if wanted > form.height() or (shrinks and wanted < form.height()):
            form.resize(form.width(), wanted)
        self.stay_on_screen()

    def _fit_width(self) -> None:
        """Be no wider than the window under it, whatever the type would like."""
        form, under = self._form, self._form.parentWidget()
        if under is not None and form.minimumWidth() > under.window().width():
            form.setMinimumWidth(under.window().width())
            form.resize(form.minimumWidth(), form.height())

    def stand_over(self) -> None:
        """Stand over the middle of the window; where it is only proposed, some desktops do not."""
        form, under = self._form, self._form.parentWidget()
        if under is None:
            return
        room, middle = form.screen().availableGeometry(), under.window().frameGeometry().center()
        place = form.rect()
        place.moveCenter(middle)
        left = max(room.left(), min(place.left(), room.right() + 1 - place.width()))
        top = max(room.top(), min(place.top(), room.bottom() + 1 - place.height()))
        form.move(left, top)

    def stay_on_screen(self) -> None:
        """Keep the foot of a form that grew, where its buttons stand, and its title on the screen.

        Where there is no room for both, the title is seen. A desktop that puts a title bar around
        it tells for a moment that it stands in the corner: a step from there would lead it there.
        """
        form = self._form
        frame, room = form.frameGeometry(), form.screen().availableGeometry()
        if not form.isVisible() or frame.width() < form.width():
            return
        if frame.top() < room.top():
            self.stand_over()
        elif (over := frame.bottom() - max(room.bottom(), room.top() + frame.height() - 1)) > 0:
            form.move(form.pos() - QPoint(0, over))

    def rows_that_fit(self, high: int, most: int, beside: int) -> int:
        """Return how many rows of a list, each so `high`, can be seen with a refusal under them."""
        taken = metrics_for(self._form.font()).px(_FRAME + _AROUND_LIST + beside)
        return max(_LEAST_ROWS, min(most, (self._most_high() - taken) // max(1, high)))

    def _most_high(self) -> int:
        """Return how high the form may be: as the screen, and no higher than the window under it.

        Over a small window it may be as high as the usual form needs, in whatever type.
        """
        screen = self._form.screen().availableSize().height()
        under = self._form.parentWidget()
        if under is None:
            return screen
        return min(screen, max(under.window().height(), _USUAL))
