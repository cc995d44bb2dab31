"""What a form shows part by part can be exchanged as often as somebody runs down a list."""

from __future__ import annotations

from typing import Any

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.forms.parts_form import PartsForm
from tankkeeper.reports.preview_words import Part

MANY = [Part(f"Tank {number}", ("One line.", "Another line.")) for number in range(9)]
FEW = [Part("It cannot be restored", ("It is not whole.",))]


def test_parts_are_exchanged_again_and_again(qtbot: Any, qapp: QApplication) -> None:
    """Each row is made anew where another one was in memory; that ended the program once."""
    under = QWidget()
    qtbot.addWidget(under)
    under.resize(1280, 800)
    under.show()
    form = PartsForm("Restore", "Choose one.", "Restore", under)
    form.open()
    for _ in range(150):
        form.show_parts([], "The backup is being looked into.")
        QTest.qWait(1)
        form.show_parts(MANY, "Kept before.")
        qapp.processEvents()
        form.show_parts(FEW)

    assert form.told() == ["It cannot be restored", "It is not whole."]
    form.reject()
