"""What was typed into a form that was left without keeping it: there again when it is opened next.

Nothing could bring it back otherwise: undo knows of what was kept alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Protocol, runtime_checkable
from weakref import WeakKeyDictionary

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QTextCursor
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QPlainTextEdit, QWidget

from tankkeeper.gui.forms.choices import WhoField
from tankkeeper.gui.palette import Role
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labels import BodyLabel

STILL_HERE = "What you typed last time is still here."
STILL_HERE_OF = "What you typed last time about {} is still here."
# By the window that a form stands over, then by what the form is about.
_left: WeakKeyDictionary[QWidget, dict[str, Typing]] = WeakKeyDictionary()
_MOST = 20


@runtime_checkable
class Standing(Protocol):
    """What holds more than a text: what stands in it, and how that is put back."""

    @property
    def standing(self) -> object:
        """What stands in it."""

    def stand(self, standing: object) -> None:
        """Let this stand in it."""


class Typing(list[tuple[str, object]]):
    """What stands in the fields of a form: the kind of each, and its text; `name` is the form's.

    Of a list of proposals it is what was switched and changed in it. `of` is what it was typed
    about, where the form may be opened for something else the next time. `title` is that of the
    window, which names its household.
    """

    name = ""
    of = ""
    title = ""


def standing_in(form: QWidget) -> Typing:
    """Return what stands in all fields of a form, in the order in which they were made."""
    return standing_of(_fields(form))


def standing_of(fields: Iterable[QWidget]) -> Typing:
    """Return what stands in these fields."""
    return Typing((type(one).__name__, _text(one)) for one in fields)


def is_other(now: Typing, before: Typing) -> bool:
    """Tell whether something else stands there by now; blanks alone are nothing."""
    return _without_blanks(now) != _without_blanks(before)


def _without_blanks(typing: Typing) -> list[tuple[str, object]]:
    return [(kind, text.strip() if isinstance(text, str) else text) for kind, text in typing]


def put_in(form: QWidget, typing: Typing) -> None:
    """Let this stand in its fields again; what is chosen first, since it decides what is asked."""
    put_into(_fields(form), typing)


def put_into(inputs: Sequence[QWidget], typing: Typing) -> None:
    """Let this stand in these fields; what is chosen first, since it decides what is asked."""
    fields = list(zip(inputs, typing, strict=True))
    for one, (_kind, text) in fields:
        if isinstance(one, QComboBox) and one.findText(str(text)) >= 0:
            one.setCurrentIndex(one.findText(str(text)))
    for one, (_kind, text) in fields:
        if isinstance(one, QLineEdit):
            one.setText(str(text))
        elif isinstance(one, QPlainTextEdit):
            one.setPlainText(str(text))
            # Who goes on typing goes on behind it.
            one.moveCursor(QTextCursor.MoveOperation.End)
        elif isinstance(one, Standing):
            one.stand(text)


def leave_typing(over: QWidget, about: str, typing: Typing) -> None:
    """Keep what stands in a form that is left."""
    kept = _left.setdefault(over, {})
    typing.title = over.window().windowTitle()
    kept[about] = typing
    while len(kept) > _MOST:
        del kept[next(iter(kept))]


def typing_left(over: QWidget) -> list[tuple[str, Typing]]:
    """Return the names of the forms over a window that were left with something typed."""
    return [(typing.name, typing) for typing in _left.get(over, {}).values()]


def take_typing(over: QWidget, about: str, like: Typing) -> Typing | None:
    """Return what was left in such a form, if it has the same fields by now, and forget it."""
    typing = _left.get(over, {}).pop(about, None)
    kinds = [kind for kind, _ in like]
    return typing if typing is not None and [kind for kind, _ in typing] == kinds else None


def inputs_of(fields: Iterable[QWidget]) -> list[QWidget]:
    """Return what can be typed into or chosen from in these fields, themselves or in them."""
    return [one for field in fields for one in (field, *field.findChildren(QWidget)) if _takes(one)]


def _takes(field: QWidget) -> bool:
    kind: object = type(field)
    return isinstance(field, (QLineEdit, QComboBox, QPlainTextEdit)) or _stands(kind)


@cache
def _stands(kind: object) -> bool:
    """Tell whether widgets of a kind are `Standing`; asked of every widget of a form, and often."""
    return hasattr(kind, "standing") and hasattr(kind, "stand")


def _fields(form: QWidget) -> list[QWidget]:
    found = [one for one in form.findChildren(QWidget) if _takes(one)]
    found = [one for one in found if getattr(one, "is_kept", True)]
    # Somebody else may be at the window by then.
    return [one for one in found if not isinstance(one, WhoField)]


def _text(field: QWidget) -> object:
    if isinstance(field, QComboBox):
        return field.currentText()
    if isinstance(field, QPlainTextEdit):
        return field.toPlainText()
    if isinstance(field, Standing):
        return field.standing
    assert isinstance(field, QLineEdit)
    return field.text()


class StillHere(QWidget):
    """Says that what was typed last time stands in the form; `cleared` asks to take it away."""

    cleared = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(Space.S)
        self.words = BodyLabel(STILL_HERE, ink=Role.INK_2, parent=self)
        row.addWidget(self.words, 1, Qt.AlignmentFlag.AlignVCenter)
        self.clear = Button("Clear", parent=self)
        self.clear.setAutoDefault(False)
        self.clear.clicked.connect(self.cleared)
        row.addWidget(self.clear)

    def tell_of(self, other: str) -> None:
        """Say that it was typed about something else than the form was opened for now."""
        self.words.setText(STILL_HERE_OF.format(other) if other else STILL_HERE)
