"""What was typed of each kind of thing and left: there again when that kind is chosen next.

A draft is of its kind alone. Its time, its remark and its litres do not go to another kind, and
keeping one kind leaves the drafts of the others where they are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from weakref import WeakKeyDictionary

from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from tankkeeper.gui.forms.kept_typing import (
    Typing,
    inputs_of,
    is_other,
    put_into,
    standing_of,
)

# By the window that a form stands over, then by what it is about and of which kind, newest last.
_left: WeakKeyDictionary[QWidget, dict[tuple[str, str], Typing]] = WeakKeyDictionary()
_MOST = 20


def drafts_left(over: QWidget) -> list[tuple[str, Typing]]:
    """Return the names of the forms over a window of which a kind was left with something typed."""
    return [(typing.name, typing) for typing in _left.get(over, {}).values()]


class KindDrafts:
    """The drafts of a form that asks for one of several kinds, `fields` by the kind.

    `shared` fields are asked for every kind; whether one of them counts as typed, `is_typed` tells.
    `name` is the form's. A kind that is `wider` than the others is about what this tells. `about`
    tells what the form is about by then: `place`, one of the shared fields, may choose another.
    """

    def __init__(
        self,
        over: QWidget,
        about: Callable[[], str],
        fields: Mapping[str, Sequence[QWidget]],
        shared: Sequence[QWidget],
        place: QWidget,
        is_typed: Callable[[QWidget], bool],
        name: str,
        wider: Mapping[str, str] | None = None,
    ) -> None:
        self._name, self._title = name, over.window().windowTitle()
        self._kept = _left.setdefault(over, {})
        self._now_about, self._about = about, about()
        self._place = inputs_of([place])
        self._wider = wider or {}
        self._own = {kind: inputs_of(of_kind) for kind, of_kind in fields.items()}
        self._shared = inputs_of(shared)
        self._is_typed = is_typed
        self._untouched = {kind: standing_of(self._of(kind)) for kind in self._own}
        # The kind whose draft stands in the form now, and the place that came with it.
        self.shown = ""
        self._came_at: Typing | None = None
        # The kinds that were chosen before the one that is chosen now, the last one last.
        self._chosen: list[str] = []

    def newest(self) -> str:
        """Return the kind that was left last, empty where nothing was."""
        kinds = [kind for about, kind in self._kept if (about, kind) == self._key(kind)]
        return next((kind for kind in reversed(kinds) if kind in self._own), "")

    def change(self, before: str, kind: str) -> bool:
        """Put in the draft of a kind that is chosen now; tell whether there was one.

        What stands there from a draft of the kind before goes with it.
        """
        if self.shown and before == self.shown:
            self._put_away(before)
        chosen = [one for one in self._chosen if one not in (before, kind)]
        # The form begins with no kind at all.
        self._chosen = [*chosen, before] if before in self._own else chosen
        self.shown = ""
        typing = self._kept.get(self._key(kind))
        if typing is None or self._typed(kind, self._of(kind)):
            return False
        put_into(self._of(kind), typing)
        self.shown = kind
        self._came_at = standing_of(self._place)
        return True

    def _put_away(self, kind: str) -> None:
        """Keep the draft that stands in the form; a place chosen since holds on for what comes."""
        self._kept.pop(self._key(kind), None)
        chosen, untouched = standing_of(self._place), self._untouched[kind]
        is_chosen = chosen != self._came_at
        if is_chosen:
            self._about = self._now_about()
        self._keep(kind, self._of(kind))
        put_into(self._of(kind), untouched)
        if is_chosen:
            put_into(self._place, chosen)

    def clear(self, kind: str) -> None:
        """Forget the draft of a kind, and let its fields be untouched."""
        self._kept.pop(self._key(kind), None)
        put_into(self._of(kind), self._untouched[kind])
        self.shown = ""

    def leave(self, kind: str, *, is_kept: bool) -> None:
        """Keep what stands in the form that is left, but what was kept of its kind."""
        if is_kept or self.shown == kind:
            self._kept.pop(self._key(kind), None)
        # It waits where it is looked for: at what was chosen in the form.
        self._about = self._now_about()
        for other, alone in self._left_in_others(kind):
            self._keep(other, [*alone, *self._place])
        if not is_kept and self._typed(kind, self._of(kind)):
            self._keep(kind, self._of(kind))
        while len(self._kept) > _MOST:
            del self._kept[next(iter(self._kept))]

    def _left_in_others(self, kind: str) -> list[tuple[str, list[QWidget]]]:
        """Return the kinds in which something was typed before this one, and their fields.

        A field that several kinds ask for belongs to the one that was chosen last of them.
        """
        found, given = [], set(self._of(kind))
        for other in reversed(self._chosen):
            alone = [field for field in self._own.get(other, ()) if field not in given]
            given.update(alone)
            if self._typed(other, alone):
                found.append((other, alone))
        return found[::-1]

    def _key(self, kind: str) -> tuple[str, str]:
        return self._wider.get(kind, self._about), kind

    def _of(self, kind: str) -> list[QWidget]:
        return [*self._own[kind], *self._shared]

    def _typed(self, kind: str, among: Sequence[QWidget]) -> bool:
        """Tell whether something was typed in these fields; what was chosen is none of it."""
        before = dict(zip(self._of(kind), self._untouched[kind], strict=True))
        return any(
            is_other(standing_of([field]), Typing([before[field]]))
            for field in among
            if self._is_typed(field) and isinstance(field, (QLineEdit, QPlainTextEdit))
        )

    def _keep(self, kind: str, among: Sequence[QWidget]) -> None:
        """Keep what stands in these fields of a kind, its others as if they were untouched."""
        standing = dict(zip(among, standing_of(among), strict=True))
        fields, before = self._of(kind), self._untouched[kind]
        typing = Typing(standing.get(one, was) for one, was in zip(fields, before, strict=True))
        typing.name, typing.title = self._name, self._title
        # The newest stands last.
        self._kept.pop(self._key(kind), None)
        self._kept[self._key(kind)] = typing
