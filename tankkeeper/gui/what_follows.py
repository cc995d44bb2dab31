"""What follows from what is typed on a sheet, and what else could be set down for it."""

from __future__ import annotations

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.forms.sheet_form import SheetForm
from tankkeeper.gui.parts import Offer, Part
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labels import BodyLabel


class WhatFollows:
    """Says it in a label, or what cannot be; a button offers the rest, where there is an offer."""

    def __init__(self, label: BodyLabel, button: Button) -> None:
        self._label = label
        self._button = button
        self.offer: Offer | None = None

    def show(self, part: Part, sheet: SheetForm, shown: Shown) -> None:
        """Say what follows from what stands on a sheet."""
        self.offer = None
        try:
            thing = sheet.thing
            text = part.follows(shown.state, thing, shown.sheet.words)
            self.offer = part.offer(shown.state, thing)
        except TankkeeperError as refused:
            text = sheet.faults.words_for(refused, shown.sheet.words)
        self._label.setText(text)
        self._label.setVisible(bool(text))
        self._button.set_words(self.offer.words if self.offer is not None else "")
        self._button.setVisible(self.offer is not None)

    def clear(self) -> None:
        """Say nothing: no sheet is shown."""
        self._label.setText("")
        self.withdraw()

    def stand(self) -> None:
        """Stand beside a sheet, as far as there is something to say."""
        self._label.setVisible(bool(self._label.text()))

    def withdraw(self) -> None:
        """Stand beside no sheet."""
        self.offer = None
        self._label.setVisible(False)
        self._button.hide()
