"""What a chore is: its kind, its rhythm, its window and what it asks for."""

from __future__ import annotations

from datetime import date, time
from enum import StrEnum

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.intervals import Interval, Season
from tankkeeper.core.values import dataclass

LONGEST_NOUN = 7
LONGEST_WINDOW_DAYS = 366


class ChoreKind(StrEnum):
    """The kinds of work; the words are those of the command line and the tank file."""

    TOP_OFF = "top-off"
    RESERVOIR = "reservoir"
    WATER_CHANGE = "water-change"
    MAKE_FRESH_WATER = "make-fresh-water"
    MIX_SALT_WATER = "mix-salt-water"
    FETCH_WATER = "fetch-water"
    GLASS = "glass"
    FILTER_MEDIA = "filter-media"
    SUBSTRATE = "substrate"
    FEEDING = "feeding"
    TEST = "test"
    DOSE = "dose"
    CALIBRATION = "calibration"
    SERVICE = "service"
    CHECK = "check"
    BUY = "buy"
    OTHER = "other"


FRESH_KINDS = frozenset({ChoreKind.TOP_OFF, ChoreKind.RESERVOIR})


class IfMissed(StrEnum):
    """What becomes of turns that nobody did."""

    COLLAPSE = "collapse"
    EXPIRE = "expire"
    EACH = "each"


class Condition(StrEnum):
    """What of the water decides when a chore is due."""

    EVAPORATION = "evaporation"
    FORECAST = "forecast"
    STOCK = "stock"


class AmountUnit(StrEnum):
    """How the amount of a chore is counted."""

    LITRES = "litres"
    GRAMS = "grams"
    PIECES = "pieces"
    PERCENT = "percent"


@dataclass(frozen=True, slots=True)
class Calendar:
    """By the calendar: an RFC 5545 rule with a local start date, and slots within the day."""

    rule: str
    start: date
    slots: tuple[time, ...] = ()


@dataclass(frozen=True, slots=True)
class AfterLastDone:
    """Counted from the last completion, with other intervals in some seasons."""

    interval: Interval
    seasons: tuple[Season, ...] = ()


@dataclass(frozen=True, slots=True)
class WhenWaterSays:
    """Due when evaporation, a forecast of `of`, or the stock of `of` reaches its limit."""

    condition: Condition
    of: str | None = None
    min_days: int | None = None
    max_days: int | None = None

    def __post_init__(self) -> None:
        """Refuse bounds that no day can meet."""
        low, high = self.min_days or 0, self.max_days
        if low < 0:
            raise out_of_range("min_days", low, 0, 3650)
        if high is not None and (high < 1 or high < low):
            raise out_of_range("max_days", high, max(1, low), 3650)


@dataclass(frozen=True, slots=True)
class Once:
    """One single day."""

    on: date


Rhythm = Calendar | AfterLastDone | WhenWaterSays | Once


@dataclass(frozen=True, slots=True)
class EarlierRhythm:
    """A rhythm that a chore had before, and the first day on which it held."""

    valid_from: date
    rhythm: Rhythm


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of something a chore takes."""

    value: float
    unit: AmountUnit


@dataclass(frozen=True, slots=True)
class Use:
    """What one turn of a chore takes from a supply, in the unit of the supply.

    No amount and no unit where that is not known, an empty `supply` where only the amount is.
    """

    supply: str = ""
    amount: float | None = None
    unit: AmountUnit | None = None


@dataclass(frozen=True, slots=True)
class Chore:
    """A recurring piece of work on a tank, or on the household when `tank` is None.

    `id`, `tank`, `who` hold ids; `ready_before` holds names of chores of the same tank or of the
    household. `late_days` is none where the water decides: its last safe day is the day itself.
    `valid_from` is the first day of the present rhythm, `ended_on` the last day of the
    chore itself.
    """

    id: str
    kind: ChoreKind
    name: str
    rhythm: Rhythm
    tank: str | None = None
    noun: str = ""
    first_due: date | None = None
    early_days: int = 0
    late_days: int = 0
    if_missed: IfMissed = IfMissed.COLLAPSE
    minutes: int | None = None
    who: tuple[str, ...] = ()
    amount: Amount | None = None
    tests: tuple[str, ...] = ()
    ready_before: tuple[str, ...] = ()
    caution: str = ""
    uses: tuple[Use, ...] = ()
    valid_from: date | None = None
    ended_on: date | None = None
    earlier: tuple[EarlierRhythm, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what no chore can have; drop what its rhythm has no use for."""
        for field in ("early_days", "late_days"):
            days = getattr(self, field)
            if not 0 <= days <= LONGEST_WINDOW_DAYS:
                raise out_of_range(field, days, 0, LONGEST_WINDOW_DAYS)
        if isinstance(self.rhythm, WhenWaterSays):
            # It may still stand in older files, and for a chore that had another rhythm before.
            object.__setattr__(self, "late_days", 0)
        if len(self.noun) > LONGEST_NOUN:
            raise UserFault("noun_too_long", field="noun", value=self.noun, longest=LONGEST_NOUN)
        if self.tests and self.kind is not ChoreKind.TEST:
            raise UserFault("tests_need_kind_test", field="tests", kind=self.kind.value)

    def has_ended(self, day: date) -> bool:
        """Tell whether its last day was before `day`."""
        return self.ended_on is not None and self.ended_on < day

    @property
    def begun_on(self) -> date | None:
        """The first day of the chore itself, by whatever rhythm; None where nobody said."""
        if self.valid_from is None:
            return None
        return min((self.valid_from, *(one.valid_from for one in self.earlier)))

    @property
    def by_evaporation(self) -> bool:
        """Whether evaporation decides when it comes."""
        rhythm = self.rhythm
        return isinstance(rhythm, WhenWaterSays) and rhythm.condition is Condition.EVAPORATION

    @property
    def is_done_by_filling(self) -> bool:
        """Whether fresh water does it whoever pours it in: what evaporated decides it, and is back.

        Other work that evaporation decides is done by its own tick alone, and counts from there.
        """
        return self.by_evaporation and self.kind in FRESH_KINDS

    @property
    def slots(self) -> tuple[time, ...]:
        """The times of day of the rhythm, empty when it has none."""
        return self.rhythm.slots if isinstance(self.rhythm, Calendar) else ()
