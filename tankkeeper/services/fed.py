"""What was given at a feeding, as the logbook keeps it."""

from __future__ import annotations

from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Fed:
    """What was given: grams where it was weighed, the amount in words, and of which food."""

    grams: float | None = None
    amount: str = ""
    food: str = ""

    @property
    def told(self) -> str:
        """Amount and food in words: "2 cubes of mysis"."""
        return " of ".join(part for part in (self.amount.strip(), self.food.strip()) if part)

    def noted(self, note: str, *, is_weighed: bool, extra: str = "") -> str:
        """Return the note of a feeding: what its fact does not tell, then what was remarked.

        `is_weighed` tells that the grams are kept as such, `extra` names what stands beside a plan.
        """
        given = self.food.strip() if is_weighed and self.grams is not None else self.told
        given = ", ".join(part for part in (extra, given) if part)
        return ". ".join(part for part in (given, note.strip()) if part)


UNTOLD = Fed()
