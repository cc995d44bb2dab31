"""The things of one part in their list, and where the keys stand once it is shown again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from tankkeeper.gui.parts import Row
from tankkeeper.gui.widgets.thing_list import ThingList


class ListedThings:
    """Shows rows in `list`; the keys stay where they stood, or go to what was just added.

    Where one stood in another list says nothing of this one.
    """

    def __init__(self, name: str) -> None:
        self.list = ThingList(name)
        self.rows: Sequence[Row] = ()
        # Where the thing stands that was opened, until the list is shown again.
        self._place = 0
        # What the list held before something was added, until that stands in it.
        self._before: frozenset[object] | None = None
        # Of what the list shows the things.
        self._of: object = None

    def begin(self) -> None:
        """Forget what was opened and added: another part is shown."""
        self._place, self._before = 0, None

    def opened(self, place: int) -> None:
        """Come back to this place once the list is shown again."""
        self._place = place

    def expect_one_more(self) -> None:
        """Let the keys go to what is added, once it stands in the list."""
        self._before = frozenset(key_of(row.thing) for row in self.rows)

    @property
    def expects_one(self) -> bool:
        """Whether something is added that does not stand in the list yet."""
        return self._before is not None

    def show(self, rows: Sequence[Row], of: object, name: str, line: Callable[[Row], str]) -> None:
        """Show the things `of` something; `line` says what stands beneath the name of each."""
        self.rows = rows
        is_same, self._of = of == self._of, of
        stood = self.list.currentRow() if self.list.count() and is_same else 0
        place = self._place_of_added(max(self._place, stood))
        self.list.setAccessibleName(name)
        self.list.show_rows([(row.name, line(row)) for row in rows], place)
        self._place = 0

    def go_to(self, thing_id: str) -> None:
        """Let the keys stand on a thing, if it is there."""
        ids = [getattr(row.thing, "id", None) for row in self.rows]
        if thing_id in ids:
            self.list.setCurrentRow(ids.index(thing_id))

    def found_again(self, thing: Any, rows: Sequence[Row]) -> Any:
        """Return what the thing that was opened is among these rows, None where it is gone."""
        same = [row.thing for row in rows if _is_same(row.thing, thing)]
        is_known_by_place = bool(rows) and not getattr(rows[0].thing, "id", "")
        if not same and is_known_by_place and len(rows) == len(self.rows):
            # What has no id is another one once it was changed; it stands where it stood.
            return rows[self._place].thing
        return same[0] if same else None

    def _place_of_added(self, place: int) -> int:
        """Return the place of what was just added, else the one that is given."""
        if self._before is None:
            return place
        keys = [key_of(row.thing) for row in self.rows]
        added = [at for at, key in enumerate(keys) if key not in self._before]
        if not added:
            return place
        self._before = None
        return added[0]


def key_of(thing: Any) -> object:
    """Return what tells a thing from others of its list."""
    return getattr(thing, "id", "") or repr(thing)


def _is_same(one: Any, other: Any) -> bool:
    """Tell whether two are the same thing, by its id where it has one."""
    one_id = getattr(one, "id", "")
    return one_id == getattr(other, "id", "") if one_id else one == other
