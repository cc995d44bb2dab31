"""How the keys travel in a sheet of many fields: from group to group, and on from what is seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget

from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.focus import is_inside

# The keys that scroll, with the way they go.
PAGES: Mapping[Qt.Key, int] = MappingProxyType({Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1})
Groups = Sequence[tuple[QWidget, Sequence[QWidget]]]


def area_of(sheet: QWidget) -> QScrollArea | None:
    """Return what scrolls a sheet."""
    around = sheet.parentWidget()
    while around is not None and not isinstance(around, QScrollArea):
        around = around.parentWidget()
    return around


def go_to_group(sheet: QWidget, groups: Groups, by: int) -> bool:
    """Let the keys act in the first field of the next group, or of the one before.

    From within a group the way back leads to its own first field before it leads out of it. Tells
    whether there was one.
    """
    firsts = [(box, _first(fields)) for box, fields in groups]
    there = [(box, field) for box, field in firsts if field is not None]
    now = QApplication.focusWidget()
    here = next((n for n, (box, _) in enumerate(there) if now and box.isAncestorOf(now)), None)
    if here is None:
        wanted = 0 if by > 0 else len(there) - 1
    elif by < 0 and now is not None and not there[here][1].isAncestorOf(now):
        wanted = here
    else:
        wanted = here + by
    if not 0 <= wanted < len(there):
        return False
    box, field = there[wanted]
    area = area_of(sheet)
    if area is not None:
        # The group as a whole, as far as there is room, and not only its first field.
        top = box.mapTo(sheet, QPoint(0, 0)).y()
        area.verticalScrollBar().setValue(top - Space.XS)
    # As Tab does: what is typed next takes the place of what stands there.
    field.setFocus(Qt.FocusReason.TabFocusReason)
    show_field(sheet, field)
    return True


def _first(fields: Sequence[QWidget]) -> QWidget | None:
    return next((one for one in fields if not one.isHidden()), None)


def go_a_page_on(sheet: QWidget, groups: Groups, by: int) -> None:
    """Let the keys act as far on as is seen at once, and scroll as far; at the end in the last row.

    Where all is seen there is no page to go on by: they go to the next group, or the one before.
    """
    area, now = area_of(sheet), QApplication.focusWidget()
    if area is None:
        return
    bar = area.verticalScrollBar()
    if not bar.maximum():
        go_to_group(sheet, groups, by)
        return
    before = bar.value()
    here = next((one for _, made in groups for one in made if now and is_inside(now, one)), None)
    at = QPoint(0, before) if here is None else _place(sheet, here).topLeft()
    bar.setValue(before + by * bar.pageStep())
    wanted = at.y() + by * bar.pageStep()
    seen = seen_fields(sheet, groups)
    if not seen:
        return
    if bar.value() == before:
        wanted = bar.maximum() + bar.pageStep() if by > 0 else 0

    def away(field: QWidget) -> tuple[int, int]:
        place = _place(sheet, field)
        return abs(place.top() - wanted), abs(place.left() - at.x())

    min(seen, key=away).setFocus(Qt.FocusReason.TabFocusReason)


def seen_fields(sheet: QWidget, groups: Groups) -> list[QWidget]:
    """Return the fields that are wholly in view."""
    area = area_of(sheet)
    if area is None:
        return []
    seen = QRect(QPoint(0, area.verticalScrollBar().value()), area.viewport().size())
    fields = [one for _, made in groups for one in made if not one.isHidden()]
    return [one for one in fields if seen.contains(_place(sheet, one))]


def goes_on_from_view(sheet: QWidget, groups: Groups, is_next: bool) -> bool:
    """Let Tab go on from what is seen where the field with the keys was scrolled away.

    Tells whether it was so; otherwise Tab does what it does anywhere.
    """
    now, area = QApplication.focusWidget(), area_of(sheet)
    if area is None or now is None or not sheet.isAncestorOf(now):
        return False
    top = area.verticalScrollBar().value()
    place = _place(sheet, now)
    if place.bottom() >= top and place.top() <= top + area.viewport().height():
        return False
    seen = seen_fields(sheet, groups)
    if not seen:
        return False
    seen[0 if is_next else -1].setFocus(Qt.FocusReason.TabFocusReason)
    # It is seen whole already, whatever of its group lies above.
    area.verticalScrollBar().setValue(top)
    return True


def show_field(sheet: QWidget, field: QWidget) -> None:
    """Bring a field into view, with its name and its note."""
    area, box = area_of(sheet), field.parentWidget()
    if area is None or box is None:
        return
    top, around = _place(sheet, box).top(), Space.XS
    spare = area.viewport().height() - (_place(sheet, field).bottom() + 1 - top)
    if spare >= 0:
        # With the heading of its group, which would stand there cut otherwise.
        area.ensureVisible(0, top, 0, 0)
        around = min(around, spare)
    area.ensureWidgetVisible(field, 0, around)


def _place(sheet: QWidget, one: QWidget) -> QRect:
    return QRect(one.mapTo(sheet, QPoint(0, 0)), one.size())
