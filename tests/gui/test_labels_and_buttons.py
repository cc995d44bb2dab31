"""Labels wrap and show what was written; buttons are high enough and keep their words."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QFontMetricsF
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.palette import Role, Scheme, colours
from tankkeeper.gui.typography import TypeRole, Weight
from tankkeeper.gui.widgets.buttons import Button, ButtonKind, KeyedButton
from tankkeeper.gui.widgets.labels import CaptionLabel, PlainLabel, TitleLabel


@pytest.mark.parametrize("width", [80, 120, 300])
def test_a_label_is_as_high_as_its_lines(qtbot, width: int) -> None:  # type: ignore[no-untyped-def]
    """Wrapped lines stand 21 px apart at the standard font."""
    label = PlainLabel("Last done on 24 February. This chore comes 14 days after it is done.")
    qtbot.addWidget(label)
    words = QFontMetricsF(label.type_font()).horizontalAdvance(label.text())

    high = label.heightForWidth(width)

    assert high % 21 == 0
    assert high / 21 >= words / width


def test_a_number_is_never_parted_from_its_unit(qtbot) -> None:  # type: ignore[no-untyped-def]
    """A no-break space keeps 40 L on one line, so the label needs at least its width."""
    free, bound = PlainLabel("40 L"), PlainLabel("40\u00a0L")
    qtbot.addWidget(free)
    qtbot.addWidget(bound)

    assert free.heightForWidth(28) == 42
    assert bound.minimumSizeHint().width() > free.minimumSizeHint().width()


def test_a_label_follows_the_font_of_the_application(qtbot, wear) -> None:  # type: ignore[no-untyped-def]
    """Larger type arrives without making the label anew."""
    label = TitleLabel("Thursday")
    qtbot.addWidget(label)
    label.show()
    before = label.sizeHint()

    wear(Scheme.LIGHT, 200)

    assert label.sizeHint().height() == 2 * before.height()
    assert label.sizeHint().width() >= 2 * before.width() - 4


@pytest.mark.parametrize("align", [Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight])
def test_a_label_is_drawn_on_the_side_it_is_told(qtbot, wear, align: Qt.AlignmentFlag) -> None:  # type: ignore[no-untyped-def]
    """Numbers align right on their last digit."""
    wear(Scheme.LIGHT, 100)
    label = CaptionLabel("443", ink=Role.INK, align=align)
    qtbot.addWidget(label)
    label.resize(200, 18)
    image = label.grab().toImage()
    ground = image.pixel(100, 1)

    inked = [x for x in range(200) if any(image.pixel(x, y) != ground for y in range(18))]

    assert inked
    assert (min(inked) < 30) is (align is Qt.AlignmentFlag.AlignLeft)
    assert (max(inked) > 170) is (align is Qt.AlignmentFlag.AlignRight)


@pytest.mark.parametrize("percent", [80, 100, 150, 200])
@pytest.mark.parametrize("words", ["Tick", "Put off to Sun 15", "Salt & sand"])
def test_a_button_has_room_for_its_words(qtbot, wear, percent: int, words: str) -> None:  # type: ignore[no-untyped-def]
    """36 px high at the standard font, never narrower than its words."""
    wear(Scheme.LIGHT, percent)
    button = Button(words)
    qtbot.addWidget(button)

    assert button.minimumSizeHint().height() >= round(36 * percent / 100) - 1
    assert button.minimumSizeHint().width() > button.fontMetrics().horizontalAdvance(words)


def test_an_ampersand_is_no_hidden_key(qtbot) -> None:  # type: ignore[no-untyped-def]
    """A tank called "Salt & sand" must not make a shortcut."""
    button = Button("Salt & sand")
    qtbot.addWidget(button)
    spoken = QAccessible.queryAccessibleInterface(button)

    assert button.shortcut().isEmpty()
    assert spoken.text(QAccessible.Text.Name) == "Salt & sand"
    assert button.words == "Salt & sand"


def test_a_filled_button_gives_way_to_its_ring(qtbot, wear) -> None:  # type: ignore[no-untyped-def]
    """With the focus the ring stands two pixels off the filled part."""
    wear(Scheme.LIGHT, 100)
    keyed = KeyedButton("tick", "Tick", "Space", ButtonKind.PRIMARY)
    qtbot.addWidget(keyed)
    keyed.resize(90, 60)
    with qtbot.waitActive(keyed):
        keyed.show()
    keyed.button.clearFocus()
    plain = keyed.button.grab().toImage()
    keyed.button.setFocus()
    ringed = keyed.button.grab().toImage()
    middle, sea = plain.height() // 2, colours(Scheme.LIGHT)[Role.SEA]

    assert plain.pixelColor(2, middle) == sea
    assert ringed.pixelColor(0, middle) == sea
    assert ringed.pixelColor(2, middle) != sea
    assert ringed.pixelColor(5, middle) == sea


def test_the_key_stands_beneath_and_is_told(qtbot) -> None:  # type: ignore[no-untyped-def]
    """Seen below the button, heard as its description."""
    keyed = KeyedButton("skip", "Skip", "S")
    qtbot.addWidget(keyed)
    keyed.show()
    caption = keyed.findChild(CaptionLabel)

    assert caption is not None
    assert caption.text() == "S"
    assert caption.y() >= keyed.button.geometry().bottom()
    assert keyed.button.accessibleDescription() == "S"


@pytest.mark.parametrize("size", TypeRole)
@pytest.mark.parametrize("weight", Weight)
def test_one_line_needs_one_line(qtbot, size: TypeRole, weight: Weight) -> None:  # type: ignore[no-untyped-def]
    """A label given the width it asks for does not wrap, in any size and weight."""
    label = PlainLabel("Replace the RO/DI prefilter, 15\u00a0min", size=size, weight=weight)
    qtbot.addWidget(label)

    assert label.heightForWidth(label.text_width()) == label.line_px()
    assert label.font() == QApplication.font()


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space])
def test_a_button_is_pressed_by_return_and_by_space(qtbot, key: Qt.Key) -> None:  # type: ignore[no-untyped-def]
    """On a page, too, where Qt knows no button for Return; with Ctrl it is another key."""
    button, pressed = Button("Open"), []
    qtbot.addWidget(button)
    button.clicked.connect(lambda: pressed.append(key))
    button.show()

    qtbot.keyClick(button, key)
    qtbot.keyClick(button, key, Qt.KeyboardModifier.ControlModifier)

    assert len(pressed) == (2 if key is Qt.Key.Key_Space else 1)
