"""Whatever a page of setting down or a form refuses is seen, with the field it is about."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.specs import Kind
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.labels import PlainLabel
from tests.gui.conftest import LiveIn, Wear
from tests.gui.test_refused_at_field import PAGES, _ready

# Low enough that the sheets scroll.
LOW = (900, 640)


def seen_whole(widget: QWidget) -> bool:
    return widget.visibleRegion().boundingRect() == QRect(QPoint(0, 0), widget.size())


@pytest.mark.parametrize("percent", [100, 200])
@pytest.mark.parametrize("place", [0, -1])
@pytest.mark.parametrize(
    "name",
    ["tank", "chore, every so many days", "animals", "equipment", "settings", "people", "water"],
)
def test_a_refusal_is_seen_with_its_field(
    live_in: LiveIn, wear: Wear, name: str, place: int, percent: int
) -> None:
    """The keys stood at the other end of the page when it was to be kept."""
    hands = live_in(size=LOW)
    wear(Scheme.LIGHT, percent)
    page = next(one for one in PAGES if one.name == name)
    desk = page.reach(hands)
    _ready(hands, desk, page)
    assert desk.sheet is not None
    shown = [one for one in desk.sheet.fields.values() if one.typed and not one.isHidden()]
    numbers = [one for one in shown if one.spec.kind is not Kind.TEXT]
    field, other = numbers[place], shown[0 if place else -1]
    assert field.typed is not None
    field.setFocus()
    field.typed.field.selectAll()
    hands.type("abc")
    if other is not field:
        other.setFocus()
        hands.settle()
    hands.press("Ctrl+Return")

    assert field.fault
    assert field.isAncestorOf(hands.focus())
    (told,) = (one for one in field.findChildren(PlainLabel) if one.text() == field.fault)
    assert seen_whole(field.typed.field)
    assert seen_whole(told)


@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("key", ["salinity", "ph", "nitrate"])
def test_a_refusal_of_a_form_is_seen_with_its_field(
    live_in: LiveIn, wear: Wear, key: str, percent: int
) -> None:
    """The fields of a form scroll where the screen is low; several refuse at once."""
    hands = live_in(size=LOW)
    wear(Scheme.LIGHT, percent)
    hands.press("Ctrl+L")
    hands.type("r")
    form = hands.form()
    hands.settle()
    field = form.readings.fields[key]  # type: ignore[attr-defined]
    field.field.setFocus()
    hands.type("abc")
    hands.press("Ctrl+Return")

    assert field.fault
    assert field.isAncestorOf(hands.focus())
    (told,) = (one for one in field.findChildren(PlainLabel) if one.text() == field.fault)
    assert seen_whole(field.field)
    assert seen_whole(told)
