"""What a household keeps: people, rooms, tanks, water supply, equipment, animals and supplies."""

from __future__ import annotations

from dataclasses import field
from datetime import date, time
from enum import StrEnum
from typing import Final

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.communities import Community
from tankkeeper.core.errors import UserFault
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import Displaced, Shape, Sump

# One number for each weekday, None where it is not known.
Minutes = tuple[int | None, int | None, int | None, int | None, int | None, int | None, int | None]


class Stage(StrEnum):
    """Where a tank stands in its life."""

    PLANNED = "planned"
    CYCLING = "cycling"
    RUNNING = "running"
    PAUSED = "paused"
    RETIRED = "retired"


# In these a tank holds no water and has no work, and only another stage changes that.
DRY_STAGES: Final = (Stage.PLANNED, Stage.RETIRED)


class CoverKind(StrEnum):
    """What lies on top of a tank."""

    OPEN = "open"
    MESH = "mesh"
    LID = "lid"


class WaterFor(StrEnum):
    """What a container may hold."""

    SALT = "salt"
    FRESH = "fresh"
    WASTE = "waste"
    ANY = "any"


class WaterSource(StrEnum):
    """Where fresh water comes from."""

    MADE = "made"
    BOUGHT = "bought"
    DISTILLED = "distilled"


@dataclass(frozen=True, slots=True)
class ShownUnits:
    """How numbers are shown; what is stored does not change with it."""

    volume: str = "L"
    temperature: str = "degC"
    salinity: str = "practical"
    alkalinity: str = "dKH"

    @property
    def length(self) -> str:
        """The unit of a ruler beside those volumes: who counts in gallons measures in inches."""
        return "cm" if self.volume == "L" else "in"

    @property
    def thickness(self) -> str:
        """The unit of glass and of water levels."""
        return "mm" if self.volume == "L" else "in"

    @property
    def area(self) -> str:
        """The unit of a surface."""
        return "cm²" if self.volume == "L" else "in²"

    @property
    def mass(self) -> str:
        """The unit of what is heavy: rock, sand, a full container. Doses stay in grams."""
        return "kg" if self.volume == "L" else "lb"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who minds the tanks; `minutes` from Monday to Sunday, no name where unknown."""

    id: str
    name: str
    minutes: Minutes | None = None
    lifts_kg: float | None = None
    not_for: tuple[ChoreKind, ...] = ()


@dataclass(frozen=True, slots=True)
class Room:
    """A place with its air; `climate` holds one row for all year or rows by month."""

    id: str
    name: str
    air_speed_m_s: float | None = None
    climate: tuple[ClimateRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Container:
    """A bucket or jug kept for the tanks only."""

    name: str = ""
    litres: float | None = None
    count: int | None = None
    tare_kg: float | None = None
    holds: WaterFor = WaterFor.ANY


@dataclass(frozen=True, slots=True)
class WaterSupply:
    """How fresh water is had, at 25 degC feed water unless said."""

    source: WaterSource = WaterSource.MADE
    litres_per_day_rated: float | None = None
    feed_water_c: float | None = None
    waste_per_litre: float | None = None
    price_per_litre: float | None = None
    store_litres: float | None = None


@dataclass(frozen=True, slots=True)
class SaltMix:
    """Grams of dry product a finished litre takes at the target salinity, and its mixing."""

    grams_per_litre: float | None = None
    mixing_hours: float | None = None
    price_per_kg: float | None = None
    store_litres: float | None = None


@dataclass(frozen=True, slots=True)
class Cover:
    """What lies on the tank and the share of the surface under it."""

    kind: CoverKind = CoverKind.OPEN
    covered: float | None = None


@dataclass(frozen=True, slots=True)
class TopOffLimits:
    """How far level and salinity may go before a top-off, and the automatic reservoir if any."""

    allowed_drop_mm: float | None = None
    allowed_salinity_rise: float | None = None
    reservoir_l: float | None = None
    reserve_l: float | None = None


@dataclass(frozen=True, slots=True)
class OwnRange:
    """The range a keeper wants for one parameter, in the unit it was written in."""

    parameter: str
    low: float | None = None
    high: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Tank:
    """One body of water with its sump."""

    id: str
    name: str
    shape: Shape
    room: str | None = None
    walk_order: int | None = None
    community: Community | None = None
    stage: Stage = Stage.RUNNING
    since: date | None = None
    target_salinity: float | None = None
    target_temperature_c: float | None = None
    jumpers: bool | None = None
    displaced: Displaced | None = None
    sump: Sump | None = None
    cover: Cover | None = None
    top_off: TopOffLimits = field(default_factory=TopOffLimits)
    ranges: tuple[OwnRange, ...] = ()
    heat_and_flow: HeatAndFlow | None = None

    def is_dry(self, on: date) -> bool:
        """Tell whether it holds no water on a day, by the stage that it is in now."""
        return self.stage in DRY_STAGES and (self.since is None or self.since <= on)

    @property
    def has_automatic_top_off(self) -> bool:
        """Whether a reservoir keeps the level by itself."""
        return self.top_off.reservoir_l is not None


@dataclass(frozen=True, slots=True)
class Equipment:
    """A piece of gear, by its trade name, never a brand."""

    kind: str = ""
    name: str = ""
    tank: str | None = None
    installed_on: date | None = None
    life_months: int | None = None

    @property
    def called(self) -> str:
        """Its name, else its kind."""
        return self.name.strip() or self.kind.strip()


@dataclass(frozen=True, slots=True)
class Loss:
    """Animals lost on a day."""

    on: date | None = None
    count: int | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Animal:
    """Animals of one kind in a tank; `count` is how many came, whatever was lost since."""

    tank: str | None = None
    name: str = ""
    count: int | None = None
    added_on: date | None = None
    lost: tuple[Loss, ...] = ()
    diet: str = ""
    jumper: bool | None = None

    @property
    def lost_count(self) -> int | None:
        """How many were lost in all, None where one loss does not say how many."""
        counts = [one.count for one in self.lost]
        known = [one for one in counts if one is not None]
        return sum(known) if len(known) == len(counts) else None

    @property
    def left(self) -> int | None:
        """How many live, None where not known."""
        lost = self.lost_count
        return None if self.count is None or lost is None else max(0, self.count - lost)

    @property
    def lives(self) -> bool:
        """Whether any of them live; lost without a number, all of them count as gone.

        Where nobody said how many came, some live on after a loss that has a number.
        """
        lost = self.lost_count
        return lost is not None and (not lost or self.count is None or lost < self.count)


@dataclass(frozen=True, slots=True)
class Supply:
    """Something kept in the cupboard, counted in `unit` (g, mL, L or pieces, empty if unknown)."""

    id: str
    name: str = ""
    unit: str = ""
    stock: float | None = None
    counted_on: date | None = None
    pack: float | None = None
    lead_days: int | None = None
    expires_on: date | None = None


@dataclass(frozen=True, slots=True)
class Household:
    """Everything that is set down once and changed seldom; the logbook stands apart."""

    name: str
    zone: str
    day_begins: time = time(4, 0)
    round_at: time = time(7, 0)
    first_weekday: int = 0
    currency: str = ""
    units: ShownUnits = field(default_factory=ShownUnits)
    people: tuple[Person, ...] = ()
    rooms: tuple[Room, ...] = ()
    containers: tuple[Container, ...] = ()
    water_supply: WaterSupply | None = None
    salt_mix: SaltMix | None = None
    tanks: tuple[Tank, ...] = ()
    chores: tuple[Chore, ...] = ()
    equipment: tuple[Equipment, ...] = ()
    animals: tuple[Animal, ...] = ()
    supplies: tuple[Supply, ...] = ()

    def tank(self, tank_id: str) -> Tank:
        """Return the tank with this id, or refuse one that there is not any more."""
        found = next((tank for tank in self.tanks if tank.id == tank_id), None)
        if found is None:
            raise UserFault("no_such_tank", tank=tank_id)
        return found

    def room(self, room_id: str | None) -> Room | None:
        """Return the room with this id, or None."""
        return next((room for room in self.rooms if room.id == room_id), None)

    def person_name(self, person_id: str | None) -> str | None:
        """Return the name of the person with this id, or None."""
        return next((one.name for one in self.people if one.id == person_id), None)
