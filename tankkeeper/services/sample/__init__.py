"""The sample household: invented, and lived by a physical model from a seed up to now."""

from __future__ import annotations

from datetime import datetime

from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.services.sample.making import SEED, Sample, make_sample

__all__ = ["SEED", "Sample", "make_sample", "sample_household"]


def sample_household(
    definitions: str, now: datetime, seed: int = SEED
) -> tuple[Household, tuple[Entry, ...]]:
    """Return the sample household and its log of about 120 days as they stand at `now`.

    `definitions` is the text of `sample_tanks/sample_household.toml`. The same arguments always
    give the same result; nothing is read but the arguments.
    """
    made = make_sample(definitions, now, seed)
    return made.household, made.entries
