"""The two kinds of failure a person meets: one they can mend, and one of the surroundings."""

from __future__ import annotations

from collections.abc import Callable


class TankkeeperError(Exception):
    """Base of all failures that carry a code and data; the sentence is made in `reports`."""

    def __init__(self, code: str, /, **values: object) -> None:
        super().__init__(code, values)
        self.code = code
        self.values: dict[str, object] = values

    def __str__(self) -> str:
        """Return the code with its data, for logs and test failures, not for people."""
        told = ", ".join(f"{name}={value!r}" for name, value in sorted(self.values.items()))
        return f"{self.code}({told})"


class UserFault(TankkeeperError):
    """Something typed, imported or asked for that cannot be, and that a person can mend.

    `also` is what else of the same cannot be, so that all of it can be told at once.
    """

    also: tuple[UserFault, ...] = ()

    def labelled(self, label: str) -> UserFault:
        """Call its field by the name that stands above it, and return this fault."""
        self.values["label"] = label
        return self

    def tell_in(self, unit: str, shown: Callable[[float], float]) -> None:
        """Tell its numbers in a unit; those that carry one already were refused as they were typed.

        `shown` returns a stored number in the unit.
        """
        if self.values.get("unit"):
            return
        for end in ("value", "low", "high"):
            number = self.values.get(end)
            if isinstance(number, (int, float)) and not isinstance(number, bool):
                self.values[end] = shown(float(number))
        self.values["unit"] = unit


class Surroundings(TankkeeperError):
    """The disk, a lock, a file or the system stands in the way; nothing was changed."""


def out_of_range(field: str, value: object, low: float, high: float, hint: str = "") -> UserFault:
    """Return the fault for a value of `field` that lies outside `low` to `high`."""
    return UserFault("out_of_range", field=field, value=value, low=low, high=high, hint=hint)


def check_within(field: str, value: float, low: float, high: float, hint: str = "") -> None:
    """Refuse a value outside its bounds."""
    if not low <= value <= high:
        raise out_of_range(field, value, low, high, hint)
