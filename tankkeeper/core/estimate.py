"""A number that is not known exactly: its middle value with the span that holds it."""

from __future__ import annotations

from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with the low and high end of the span that holds it nine times in ten."""

    value: float
    low: float
    high: float

    def scaled(self, factor: float) -> Estimate:
        """Return the same estimate times a known, positive `factor`."""
        return Estimate(self.value * factor, self.low * factor, self.high * factor)
