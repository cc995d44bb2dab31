"""Icons take the colour of a role and are drawn once for each colour and density."""

import logging

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.icons import Icon, Icons
from tankkeeper.gui.palette import Role, Scheme, colours
from tests.gui.invented import ICONS


@pytest.mark.parametrize("icon", [icon for icon in Icon if icon is not Icon.PROGRAM])
@pytest.mark.parametrize("scheme", [Scheme.LIGHT, Scheme.DARK])
def test_an_icon_is_drawn_in_the_colour_it_is_asked_for(
    qapp: QApplication, icon: Icon, scheme: Scheme
) -> None:
    """Every fully covered pixel has the colour of the role."""
    wanted = colours(scheme)[Role.SEA]
    image = Icons(ICONS).pixmap(icon, wanted, 20, 2.0).toImage()

    inked = [
        image.pixelColor(x, y)
        for x in range(image.width())
        for y in range(image.height())
        if image.pixelColor(x, y).alpha() == 255
    ]

    assert inked
    assert {colour.name() for colour in inked} == {wanted.name()}


@pytest.mark.parametrize(("ratio", "side"), [(1.0, 20), (1.5, 30), (2.0, 40)])
def test_an_icon_has_the_pixels_of_the_screen(qapp: QApplication, ratio: float, side: int) -> None:
    """At double density it is drawn with double the pixels, not stretched."""
    pixmap = Icons(ICONS).pixmap(Icon.ROUND, QColor("black"), 20, ratio)

    assert pixmap.width() == side
    assert pixmap.devicePixelRatio() == ratio


def test_an_icon_is_drawn_once_until_the_palette_changes(qapp: QApplication) -> None:
    """The cache is by name, colour, size and density."""
    icons = Icons(ICONS)
    first = icons.pixmap(Icon.WATER, QColor("black"), 20).cacheKey()

    assert icons.pixmap(Icon.WATER, QColor("black"), 20).cacheKey() == first
    assert icons.pixmap(Icon.WATER, QColor("red"), 20).cacheKey() != first
    icons.clear()
    assert icons.pixmap(Icon.WATER, QColor("black"), 20).cacheKey() != first


def test_a_missing_icon_is_logged_and_leaves_its_place_empty(
    qapp: QApplication, tmp_path, caplog: pytest.LogCaptureFixture
) -> None:  # type: ignore[no-untyped-def]
    """The word beside it still says everything."""
    with caplog.at_level(logging.WARNING):
        pixmap = Icons(tmp_path).pixmap(Icon.ROUND, QColor("black"), 20)

    assert pixmap.width() == 20
    assert "missing" in caplog.text


def test_every_icon_has_a_file() -> None:
    """This module is the only one that names them."""
    assert [icon for icon in Icon if not (ICONS / f"{icon.value}.svg").is_file()] == []
