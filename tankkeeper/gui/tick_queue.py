"""The lines of one tick that are still to come: those that ask something, then all others."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.gui.models.round_rows import ItemRow


class TickQueue:
    """Lines that each get a form, one after the other, and those that are ticked after the last.

    Nothing is ticked behind a form: whoever leaves it leaves all that is still to come. `shown` are
    the lines of the page when it began; one of them that was done meanwhile, or asks for another
    amount since, is taken as it stands then.
    """

    def __init__(
        self,
        asking: Sequence[ItemRow] = (),
        plain: Sequence[ItemRow] = (),
        shown: Sequence[ItemRow] = (),
    ) -> None:
        self._asking = list(asking)
        self._plain = list(plain)
        self._shown = {row.id for row in shown}
        self._of = len(self._asking)
        self._now: ItemRow | None = None

    def next_asking(self, shown: Sequence[ItemRow]) -> ItemRow | None:
        """Return the next line that gets a form as it stands now, or None."""
        self._now = None
        while self._asking and self._now is None:
            self._now = self._as_it_stands(self._asking.pop(0), shown)
        return self._now

    def take_plain(self, shown: Sequence[ItemRow]) -> list[ItemRow]:
        """Return the lines that are ticked without a form, once no form is left."""
        rows, self._plain = self._plain, []
        found = [self._as_it_stands(row, shown) for row in rows]
        return [row for row in found if row is not None]

    def _as_it_stands(self, row: ItemRow, shown: Sequence[ItemRow]) -> ItemRow | None:
        if row.id not in self._shown:
            return row
        now = next((one for one in shown if one.id == row.id), None)
        return None if now is None or now.is_closed else now

    def still_to_come(self) -> list[ItemRow]:
        """Return what is not ticked yet: the line of the open form, those after it, all others."""
        return [*([] if self._now is None else [self._now]), *self._asking, *self._plain]

    @property
    def asks_more(self) -> bool:
        """Whether a line after that of the open form gets a form, too."""
        return bool(self._asking)

    def place(self) -> str:
        """Return where the open form stands: "1 of 3; 16 others are ticked after the last."."""
        at, others = self._of - len(self._asking), len(self._plain)
        which = "" if self._of == 1 else f"{at} of {self._of}"
        if not others:
            return f"{which}." if which else ""
        last = "it" if self._of == 1 else "the last"
        told = f"{others} {'other is' if others == 1 else 'others are'} ticked after {last}."
        return f"{which}; {told}" if which else told[:1].upper() + told[1:]
