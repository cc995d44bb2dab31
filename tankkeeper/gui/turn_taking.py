"""Keys act in the order in which they were pressed, though each deed takes its time to be kept."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable

from tankkeeper.core.values import dataclass

# A key pressed while something is written waits for its turn, but not for longer than a person
# still means it.
LONGEST_WISH_S = 3.0
TOO_LATE = "What was pressed while this was being kept was left out."


@dataclass(frozen=True, slots=True)
class _Wish:
    """Something to do once what is being written is shown, and when it was asked for.

    One that `lasts` is meant however long that takes. `leave` is told of a key that is left out.
    """

    at_s: float
    do: Callable[[], None]
    lasts: bool
    leave: Callable[[], None] | None


class TurnTaking:
    """Counts what is being written and not shown yet; `behind` is told when that begins or ends.

    What waited for too long is not done any more, nor any key behind it, and `left_out` is told so.
    Each waits for what is written right before it: of a burst of keys the last one waits for all.
    """

    def __init__(self, behind: Callable[[bool], None], left_out: Callable[[], None]) -> None:
        self._behind = behind
        self._left_out = left_out
        self._unseen = 0
        # When what is being written by now began to be.
        self._began_s = 0.0
        self._wishes: deque[_Wish] = deque()
        self._is_over = self._is_held = False

    @property
    def is_behind(self) -> bool:
        """Whether something is being written that is not shown yet."""
        return self._unseen > 0

    @property
    def is_several(self) -> bool:
        """Whether more than one thing is not shown yet: another reading follows."""
        return self._unseen > 1

    @property
    def must_wait(self) -> bool:
        """Whether what is asked for now is not done at once."""
        return bool(self._unseen or self._wishes or self._is_held)

    def do(
        self,
        do: Callable[[], None],
        *,
        lasts: bool = False,
        leave: Callable[[], None] | None = None,
    ) -> None:
        """Do this now, or as soon as what is being written is shown; `lasts` waits for any time.

        A key tells by `leave` what is to be done where it is left out.
        """
        if self.must_wait:
            self._wishes.append(_Wish(time.monotonic(), do, lasts, leave))
        else:
            do()

    @property
    def is_held(self) -> bool:
        """Whether what is asked for now is held back, whatever is being written."""
        return self._is_held

    def hold(self) -> None:
        """Do nothing of what is asked for from now on before it is let go."""
        self._is_held = True

    def let_go(self) -> None:
        """Do what was held back, in its order."""
        self._is_held = False
        self._go_on()

    def begin(self) -> None:
        """Take note that something is being written."""
        self._unseen += 1
        self._began_s = time.monotonic()
        if self._unseen == 1:
            self._behind(True)

    def end(self) -> None:
        """Take note that it is shown, and do what was wished for meanwhile."""
        self._unseen -= 1
        if self._unseen == 0:
            self._behind(False)
        self._go_on()

    def _go_on(self) -> None:
        is_too_late = False
        while self._wishes and not (self._unseen or self._is_held):
            wish = self._wishes.popleft()
            waited_s = time.monotonic() - max(wish.at_s, self._began_s)
            is_behind_one = is_too_late and wish.leave is not None
            if wish.lasts or not (is_behind_one or waited_s > LONGEST_WISH_S):
                wish.do()
                continue
            is_too_late = True
            if wish.leave is not None:
                wish.leave()
        if is_too_late and not self._is_over:
            self._left_out()

    def forget(self) -> None:
        """Do nothing any more of what was wished for: the household is left."""
        self._wishes.clear()
        self._is_over = True
