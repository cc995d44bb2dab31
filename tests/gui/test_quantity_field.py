"""The number field reads what people type, and says what it cannot read."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from tankkeeper.gui.palette import Role, Scheme, colours
from tankkeeper.gui.widgets.labels import PlainLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tests.gui.quantities import litres, worded


@pytest.fixture
def field(qtbot) -> QuantityField:  # type: ignore[no-untyped-def]
    """A field for litres in a window with another field to go to."""
    window = QWidget()
    column = QVBoxLayout(window)
    made = QuantityField("Water taken out", "L", litres, worded, parent=window)
    column.addWidget(made)
    column.addWidget(QLineEdit(window))
    qtbot.addWidget(window)
    window.resize(300, 200)
    with qtbot.waitActive(window):
        window.show()
    made.setFocus()
    made.window_kept = window  # type: ignore[attr-defined]
    return made


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("12,5", 12.5),
        ("12.5", 12.5),
        ("12,5 L", 12.5),
        ("12.5L", 12.5),
        ("800 mL", 0.8),
        ("40", 40.0),
    ],
)
def test_comma_point_and_unit_are_read(qtbot, field, typed: str, value: float) -> None:  # type: ignore[no-untyped-def]
    """A comma is a decimal mark: "12,5" is never a hundred and twenty-five."""
    qtbot.keyClicks(field.field, typed)

    assert field.value == pytest.approx(value)
    assert field.text == typed
    assert field.fault == ""


def test_a_fault_is_told_when_the_field_is_left_and_the_text_is_kept(qtbot, field) -> None:  # type: ignore[no-untyped-def]
    """What was typed stays; the sentence stands right below."""
    qtbot.keyClicks(field.field, "1,2,5")
    assert field.fault == ""

    qtbot.keyClick(field.field, Qt.Key.Key_Tab)

    assert field.text == "1,2,5"
    assert field.value is None
    label = field.findChild(PlainLabel)
    assert label is not None
    assert label.isVisible()
    assert label.text() == "1,2,5 is not a number. Write it as 12.5 or 12,5."
    assert label.geometry().top() >= field.field.geometry().bottom()


def test_the_fault_goes_as_soon_as_the_text_can_be_read(qtbot, field) -> None:  # type: ignore[no-untyped-def]
    """Nobody has to leave the field to learn that it is right now."""
    qtbot.keyClicks(field.field, "5 x")
    assert field.check() is False

    qtbot.keyClick(field.field, Qt.Key.Key_Backspace)

    assert field.fault == ""
    assert field.value == pytest.approx(5.0)


def test_an_empty_field_is_not_known_and_not_zero(qtbot, field) -> None:  # type: ignore[no-untyped-def]
    """None means "not known"."""
    told: list[object] = []
    field.value_changed.connect(told.append)
    qtbot.keyClick(field.field, Qt.Key.Key_0)
    qtbot.keyClick(field.field, Qt.Key.Key_Backspace)

    assert told == [0.0, None]
    assert field.check() is True


def test_a_field_in_error_has_a_heavy_border_in_the_colour_of_overdue(qtbot, field, wear) -> None:  # type: ignore[no-untyped-def]
    """Two pixels of rust all round."""
    wear(Scheme.LIGHT, 100)
    field.set_text("x")
    qtbot.keyClick(field.field, Qt.Key.Key_Tab)
    image = field.field.grab().toImage()
    middle = image.height() // 2

    for x in (0, 1, image.width() - 1, image.width() - 2):
        assert image.pixelColor(x, middle) == colours(Scheme.LIGHT)[Role.OVERDUE]


def test_a_screen_reader_hears_name_unit_value_and_fault(qtbot, field) -> None:  # type: ignore[no-untyped-def]
    """The sentence of the fault is the description."""
    qtbot.keyClicks(field.field, "5 x")
    field.check()
    spoken = QAccessible.queryAccessibleInterface(field.field)

    assert spoken.text(QAccessible.Text.Name) == "Water taken out, L"
    assert spoken.text(QAccessible.Text.Value) == "5 x"
    assert spoken.text(QAccessible.Text.Description).startswith("x is not a measure of water")


def test_a_fault_of_the_parser_itself_is_not_swallowed(qtbot) -> None:  # type: ignore[no-untyped-def]
    """Only faults of the person are worded; a bug stays a bug."""

    def broken(text: str) -> object:
        raise ZeroDivisionError(text)

    field = QuantityField("Litres", "L", broken, worded)
    qtbot.addWidget(field)

    with qtbot.captureExceptions() as raised:
        qtbot.keyClick(field.field, Qt.Key.Key_1)

    assert [kind for kind, _, _ in raised] == [ZeroDivisionError]


def test_the_unit_never_lies_on_the_text(qtbot, field) -> None:  # type: ignore[no-untyped-def]
    """Long text scrolls before the unit behind it."""
    margins = field.field.textMargins()

    assert margins.right() >= field.field.fontMetrics().horizontalAdvance("L") + 8
