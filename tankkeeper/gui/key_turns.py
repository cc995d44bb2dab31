"""Keys of the page by their number: each acts in its turn, and none beneath a form."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tankkeeper.gui.burst_end import BurstEnd
from tankkeeper.gui.keys_ahead import LEFT_OUT, KeysAhead, is_form_open
from tankkeeper.gui.turn_taking import TOO_LATE, TurnTaking

if TYPE_CHECKING:
    from PySide6.QtCore import QObject
    from PySide6.QtWidgets import QWidget


class KeyTurns:
    """Lets what is asked for wait while something is written that is not shown yet.

    `behind` is told when that begins or ends, `left_out` what of the keys was left out.
    """

    def __init__(
        self, behind: Callable[[bool], None], left_out: Callable[[str], None], parent: QObject
    ) -> None:
        self._tell = left_out
        self._burst = BurstEnd(left_out, parent)
        self.turns = TurnTaking(behind, lambda: self._leave_out(TOO_LATE))
        self._ahead = KeysAhead(lambda: self._leave_out(LEFT_OUT), parent)
        # How many there were, which still wait for their turn, and the one that acts now.
        self._count = 0
        self._to_come: set[int] = set()
        self._acting: int | None = None

    @property
    def count(self) -> int:
        """How many keys of the page there were, which is the number of the newest."""
        return self._count

    @property
    def acting(self) -> int | None:
        """The number of the key that acts at this moment, None where a form or a button does."""
        return self._acting

    def in_turn(self, do: Callable[[], None], *, lasts: bool = False) -> None:
        """Do this now, or as soon as what is being written is shown: keys act in their order.

        What `lasts` is done however long the writing takes.
        """
        self.turns.do(do, lasts=lasts)

    def key_in_turn(
        self,
        do: Callable[[], None],
        *,
        opens: bool = False,
        may_open: bool = False,
        lasts: bool = False,
    ) -> None:
        """Do what a key of the page says in its turn, unless a form stands over the page by then.

        Where it `opens` a form, what is typed meanwhile waits for that; where it `may_open` one and
        has to wait, too, and acts in the page behind it where none comes. What `lasts` is meant
        however long the writing takes.
        """
        self._count += 1
        number = self._count
        self._to_come.add(number)
        waits = self.turns.must_wait
        # What is typed behind a letter that may begin a word tells whether a form opens at all.
        is_begun = opens and self.turns.is_held
        holds = not is_begun and (opens or (may_open and waits))
        if holds:
            self._ahead.hold(gives_back=not opens, lasts=waits)

        def act() -> None:
            nonlocal holds
            is_meant = number in self._to_come
            self._to_come.discard(number)
            if is_begun and is_meant:
                holds = True
                self._ahead.hold()
            if is_meant and is_form_open():
                self._leave_out(LEFT_OUT)
            elif is_meant and opens:
                with self._ahead.making():
                    do()
            elif is_meant:
                self._acting = number
                try:
                    # A key that goes to a row now is not one that is typed behind.
                    with self._ahead.making():
                        do()
                finally:
                    self._acting = None
            if holds:
                self._ahead.hand_over()

        def leave() -> None:
            self._to_come.discard(number)
            if holds:
                self._ahead.drop(tells=False)

        self.turns.do(act, lasts=lasts, leave=leave)

    def _leave_out(self, sentence: str) -> None:
        """Tell what was left out; what is typed on without a look at that is left out as well.

        A form that stands is seen, and has its own ways with what is typed on.
        """
        self._tell(sentence)
        if not is_form_open():
            self._burst.begin()

    def leave_key(self, number: int) -> bool:
        """Let a key do nothing that waits for its turn; tell whether it did."""
        is_to_come = number in self._to_come
        self._to_come.discard(number)
        return is_to_come

    def wait_for_form(self, past: QWidget) -> None:
        """Hold what is typed behind a form that is being kept for the form that follows it."""
        self._ahead.hold(past)

    def hand_on(self, past: QWidget) -> None:
        """Give what was held behind a form to the one that stands by now; it tells where none."""
        self._ahead.hand_on(past)

    def ask_next(self, form: QWidget, ask: Callable[[], None]) -> None:
        """Let a form ask something else, and give it then what was held behind it."""
        with self._ahead.making():
            ask()
        self._ahead.go_on(form)

    def forget(self) -> None:
        """Do nothing any more of what was asked for: the household is left."""
        self.turns.forget()
        self._ahead.drop()
        self._burst.end()
