"""What the catalogue says of one chore."""

from __future__ import annotations

from enum import StrEnum

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.values import dataclass


class Anchor(StrEnum):
    """What a rhythm is counted from."""

    LAST = "last done"
    WEEK = "weekday"
    DAY = "each day"
    EVAPORATION = "evaporation"
    TREND = "readings"
    STAGE = "stage"
    CHANGE = "water change"
    ONCE = "one day"


class Sitter(StrEnum):
    """Whether somebody may do it who minds the tanks while the keeper is away."""

    YES = "yes"
    SHOWN = "after being shown"
    NO = "no"


class Needs(StrEnum):
    """What must live in a tank for a chore to make sense."""

    NOTHING = "nothing"
    CYCLED = "a tank that runs"
    ANIMALS = "animals"
    ROCK = "live rock or corals"
    CORALS = "corals or an anemone"
    STONY = "stony corals"


class Gear(StrEnum):
    """What must be there for a chore to make sense; the value is read in a sentence."""

    NONE = ""
    RESERVOIR = "automatic top-off"
    FLOSS = "filter floss"
    SOCK = "filter sock"
    SPONGE = "sponge"
    CARBON = "carbon"
    PHOSPHATE_MEDIA = "phosphate media"
    SKIMMER = "skimmer"
    SUMP = "sump"
    SAND = "sand"
    GRAZERS = "grazing animal"
    PH_METER = "pH meter"
    DOSING_PUMP = "dosing pump"
    LIMEWATER = "limewater"
    MESH = "mesh screen"
    RO_UNIT = "unit that makes fresh water"
    AIR_PUMP = "battery air pump"
    QUARANTINE = "quarantine tank"


@dataclass(frozen=True, slots=True)
class CatalogueRow:
    """One chore of the catalogue; `days` are those between two turns, or until the only one.

    `weekdays` hold the days of a rule within one week, `stony_days` the interval under stony
    corals, `percent` how much of the water it takes. `for_house` chores stand once in a household.
    `before_change` is how many days before a water change what it takes must be ready.
    `proposed` ones are switched on in the first proposal where the tank is known to need them.
    """

    key: str
    kind: ChoreKind
    name: str
    noun: str
    anchor: Anchor
    days: int
    early: int
    late: int
    minutes: int
    sitter: Sitter
    caution: str = ""
    weekdays: str = ""
    stony_days: int | None = None
    percent: int | None = None
    tests: tuple[str, ...] = ()
    gear: Gear = Gear.NONE
    without: Gear = Gear.NONE
    needs: Needs = Needs.NOTHING
    for_house: bool = False
    proposed: bool = False
    before_change: int = 0
