"""Every text of the why panel follows the size of type, step by step, whatever was drawn before."""

from __future__ import annotations

import pytest

from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.typography import pixel_size
from tankkeeper.gui.widgets.labels import PlainLabel
from tests.gui.conftest import LiveIn, Wear

STEPS = (80, 90, 100, 110, 120, 130)


@pytest.mark.painted
def test_the_figures_of_the_panel_stay_smaller_than_its_sentence(
    live_in: LiveIn, wear: Wear
) -> None:
    """Also once the board was seen in every type: its bands bear larger names."""
    hands = live_in()
    hands.press("Ctrl+2", "B")
    for percent in STEPS:
        wear(Scheme.LIGHT, percent)
        hands.settle()
        hands.window.shell.grab()
    hands.press("Ctrl+1")
    hands.go_to("change")

    for percent in STEPS:
        wear(Scheme.LIGHT, percent)
        hands.settle()
        labels = hands.frame.why.findChildren(PlainLabel)
        assert len(labels) > 5
        for label in labels:
            size = label.type_font().pixelSize()
            assert size == pixel_size(hands.app.font(), label._size), (percent, label.text())
