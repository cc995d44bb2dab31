"""What the tests of the window share: a palette and a base font that are put back."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.palette import Scheme, qt_palette
from tankkeeper.gui.typography import base_font

Wear = Callable[[Scheme, int], None]


@pytest.fixture
def wear(qapp: QApplication) -> Iterator[Wear]:
    """A function that puts the application into a scheme and a size of type in per cent."""
    font, palette = qapp.font(), qapp.palette()

    def put_on(scheme: Scheme, percent: int) -> None:
        qapp.setPalette(qt_palette(scheme))
        qapp.setFont(base_font(font, percent))
        # Qt posts the change to the widgets that are shown already.
        qapp.processEvents()

    yield put_on
    qapp.setFont(font)
    qapp.setPalette(palette)
