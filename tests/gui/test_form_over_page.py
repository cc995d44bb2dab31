"""The one form over a page of work: what follows once it is closed, and where the keys go."""

from __future__ import annotations

from typing import cast

import pytest
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from tankkeeper.gui.form_over_page import FormOverPage
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.key_turns import KeyTurns
from tankkeeper.gui.work_page import WorkPage


class _Page:
    """Notes in what order it gets the keys."""

    def __init__(self, order: list[str]) -> None:
        self._order = order

    def take_keys(self) -> None:
        """Get the keys."""
        self._order.append("keys")


class _Place:
    """A window with a list beside the page, and what opens forms over it."""

    def __init__(self, qtbot: QtBot) -> None:
        self.order: list[str] = []
        self.window = QWidget()
        qtbot.addWidget(self.window)
        self.rail = QLineEdit()
        QVBoxLayout(self.window).addWidget(self.rail)
        self.window.show()
        page = cast(WorkPage, _Page(self.order))
        keys = KeyTurns(lambda _behind: None, lambda _told: None, self.window)
        self.forms = FormOverPage(keys, lambda: page, self.window)

    def form(self) -> Form:
        """Return a form that nothing is asked in."""
        return Form("Wipe the lid", "", "Tick", self.window)


@pytest.mark.parametrize("is_kept", [True, False])
def test_what_follows_a_form_comes_before_the_keys_of_the_page(qtbot: QtBot, is_kept: bool) -> None:
    """It may open another form, which keeps them."""
    place = _Place(qtbot)
    form = place.form()
    place.forms.show(form, closed=lambda kept: place.order.append(f"closed {kept}"))
    assert place.forms.form is form

    if is_kept:
        place.forms.close()
    else:
        form.reject()

    assert place.forms.form is None
    assert place.order == [f"closed {is_kept}", "keys"]


def test_a_form_without_anything_behind_it_leads_on_to_nothing_of_the_one_before(
    qtbot: QtBot,
) -> None:
    """Who leaves a note does not tick what a form before it was about."""
    place = _Place(qtbot)
    place.forms.show(place.form(), closed=lambda kept: place.order.append(f"closed {kept}"))
    place.forms.close()
    place.order.clear()

    place.forms.show(place.form())
    place.forms.close()

    assert place.order == ["keys"]


def test_the_keys_go_back_to_what_the_form_was_opened_from(qtbot: QtBot) -> None:
    """A tank is paused from the rail, and the rail has the keys again."""
    place = _Place(qtbot)
    place.forms.show(place.form(), returns_to=place.rail)

    place.forms.close()

    assert place.order == []
    assert place.window.focusWidget() is place.rail
