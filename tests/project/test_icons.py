"""The icons are one family: one grid, one stroke, and no colour of their own."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

VIEWS = ["round", "calendar", "water", "readings", "cupboard", "logbook", "away"]
ACTIONS = ["undo", "redo", "person", "menu"]

EXPECTED = {
    "width": "20",
    "height": "20",
    "viewBox": "0 0 20 20",
    "fill": "none",
    "stroke": "currentColor",
    "stroke-width": "1.5",
    "stroke-linecap": "round",
    "stroke-linejoin": "round",
}


@pytest.mark.parametrize("name", VIEWS + ACTIONS)
def test_a_line_icon_keeps_to_the_grid_and_takes_its_colour_from_the_role(
    project: Path, name: str
) -> None:
    """20 x 20, stroke 1.5, round ends, no fill; the colour is put in at run time."""
    drawing = ET.parse(project / "resources" / "icons" / f"{name}.svg").getroot()

    assert {key: drawing.get(key) for key in EXPECTED} == EXPECTED
    assert all(part.get("fill") is part.get("stroke") is None for part in drawing)


@pytest.mark.parametrize("name", [*VIEWS, *ACTIONS, "tankkeeper"])
def test_an_icon_can_be_painted(project: Path, qapp: object, name: str) -> None:
    """Qt's own reader takes every icon, and something is to be seen."""
    from PySide6.QtGui import QImage, QPainter
    from PySide6.QtSvg import QSvgRenderer

    picture = QImage(40, 40, QImage.Format.Format_ARGB32)
    picture.fill(0)
    renderer = QSvgRenderer(str(project / "resources" / "icons" / f"{name}.svg"))
    painter = QPainter(picture)
    renderer.render(painter)
    painter.end()

    painted = sum(picture.pixelColor(x, y).alpha() > 128 for x in range(40) for y in range(40))

    assert renderer.isValid()
    assert painted > 100
