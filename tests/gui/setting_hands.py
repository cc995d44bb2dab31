"""Hands on the pages of setting down: to a field by Tab, and a page kept as a picture."""

from __future__ import annotations

import os
from pathlib import Path

from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.settle_desk import TankDesk
from tankkeeper.gui.things_desk import ThingsDesk
from tests.gui.round_house import Hands

# Where pictures go for somebody who wants to look at them; nowhere without.
PICTURES = os.environ.get("TANKKEEPER_PICTURES", "")


def go(hands: Hands, desk: TankDesk | ThingsDesk, path: str) -> SpecField:
    """Go to a field by Tab, as a person does."""
    assert desk.sheet is not None
    wanted = desk.sheet.fields[path]
    for _ in range(120):
        if wanted.isAncestorOf(hands.focus()):
            return wanted
        hands.hit("Tab")
    raise AssertionError(f"Tab does not reach {path}")


def save(shown: Hands | QWidget, name: str) -> None:
    """Keep the frame, or one widget, as a picture where somebody wants to look at it."""
    if PICTURES:
        widget = shown.frame if isinstance(shown, Hands) else shown
        widget.grab().save(str(Path(PICTURES) / f"{name}.png"))
