"""The water of an invented tank as it truly is: evaporation by physics, chemistry by the day.

Simplified on purpose: litres stand for mass where salt is mixed (the densities differ by 2.6 %),
what the skimmer takes is left out, and calcium, magnesium, pH, temperature and phosphate wander
around a value of their own. Nitrate is made by food and thinned by changes; alkalinity is used up
faster the more there is of it and comes back by dosing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field
from datetime import date, datetime, timedelta
from random import Random

from tankkeeper.core.balance import salinity_after_evaporation
from tankkeeper.core.evaporation import prior_loss, surfaces_of
from tankkeeper.core.household import Room, Tank
from tankkeeper.core.net_water import net_of
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import level_area_cm2, surface_cm2

DAY = timedelta(days=1)
# Day-to-day scatter of the loss and how much of it lasts to the next day (judgement, no source).
SCATTER, LASTING = 0.10, 0.7
# A third of a millimetre is how well an eye finds a mark on the glass (judgement, no source).
EYE_CM = 0.03
# 84.007 g of sodium bicarbonate hold one equivalent; 1 dKH is 0.35663 meq/L (from memory).
BICARBONATE_G_PER_L_DKH = 84.007 * 0.35663 / 1000.0


@dataclass(frozen=True, slots=True)
class Nature:
    """What nobody sees of a tank: its true loss over that of the model, and what it makes."""

    loss_share: float = 1.0
    nitrate: float = 5.0
    nitrate_per_day: float = 0.1
    ammonia_per_day: float = 0.0
    alkalinity: float = 8.0
    alkalinity_per_day: float = 0.0
    around: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    cycling_for_days: int | None = None


AROUND = {
    "temperature": (25.4, 0.2),
    "ph": (8.15, 0.05),
    "phosphate": (0.06, 0.008),
    "calcium": (425.0, 6.0),
    "magnesium": (1330.0, 18.0),
}
NATURES: Mapping[str, Nature] = {
    "bay": Nature(
        loss_share=0.92,
        nitrate=4.0,
        nitrate_per_day=0.085,
        alkalinity=8.1,
        alkalinity_per_day=0.45,
        around={**AROUND, "phosphate": (0.05, 0.006)},
    ),
    "pebble": Nature(loss_share=1.10, nitrate=9.0, nitrate_per_day=0.16, around=AROUND),
    "ledge": Nature(loss_share=0.87, nitrate=19.0, nitrate_per_day=0.20, around=AROUND),
    "sprout": Nature(loss_share=1.05, around=AROUND, cycling_for_days=22),
    "ward": Nature(loss_share=1.0, nitrate=3.0, ammonia_per_day=0.006, around=AROUND),
}


def usual_loss(tank: Tank, room: Room | None, nature: Nature, on: date) -> float:
    """Return the true loss of a tank in L/day on a day like others of its season."""
    sump, cover = tank.sump, tank.cover
    parts = surfaces_of(
        surface_cm2(tank.shape),
        sump.surface_cm2 if sump is not None else None,
        cover=cover.kind.value if cover is not None else "open",
        covered=cover.covered if cover is not None else None,
        sump_in_cabinet=sump.in_cabinet if sump is not None else None,
    )
    prior = prior_loss(
        parts,
        room.climate if room is not None else (),
        on,
        water_c=tank.target_temperature_c or 25.5,
        practical_salinity=tank.target_salinity,
        air_speed_m_s=room.air_speed_m_s if room is not None else None,
    )
    if prior is None:
        raise ValueError(f"the sample needs the sizes of {tank.name}")
    return prior.loss_l_per_day * nature.loss_share


def daily_losses(
    tank: Tank, room: Room | None, nature: Nature, today: date, days: int, rng: Random
) -> dict[date, float]:
    """Return the true loss of each of the last `days` days in L, with its scatter."""
    departure = rng.gauss(0.0, SCATTER)
    fresh = SCATTER * math.sqrt(1.0 - LASTING**2)
    losses = {}
    for back in range(days, -2, -1):
        on = today - timedelta(days=back)
        losses[on] = usual_loss(tank, room, nature, on) * math.exp(departure)
        departure = LASTING * departure + rng.gauss(0.0, fresh)
    return losses


class Water:
    """The true water of one tank, moved on from one moment to the next."""

    def __init__(
        self, tank: Tank, nature: Nature, losses: Mapping[date, float], at: datetime, seed: str
    ) -> None:
        net = net_of(tank)
        if net is None or tank.target_salinity is None:
            raise ValueError(f"the sample needs volume and target salinity of {tank.name}")
        self.net_l = net.value
        self.at = at
        self.missing_l = 0.0
        self.salinity_full = tank.target_salinity
        self.capacity_l = tank.top_off.reservoir_l
        self.content_l = self.capacity_l or 0.0
        self.nitrate = nature.nitrate
        self.ammonia = 0.05
        self.alkalinity = nature.alkalinity
        self._wandering = dict.fromkeys(nature.around, 0.0)
        self._nature = nature
        self._losses = losses
        self._rng = Random(seed)
        self._eye_l = (level_area_cm2(tank.shape, tank.sump) or 2000.0) * EYE_CM / 1000.0
        self._begun = max(losses) - timedelta(days=1 + (nature.cycling_for_days or 0))

    @property
    def salinity(self) -> float:
        """The salinity now, with what is missing below the mark."""
        return salinity_after_evaporation(self.net_l, self.salinity_full, max(0.0, self.missing_l))

    def advance(self, to: datetime) -> None:
        """Let the time pass up to `to`."""
        while self.at < to:
            midnight = self.at.replace(hour=0, minute=0, second=0, microsecond=0) + DAY
            end = min(to, midnight)
            self._pass((end - self.at) / DAY, self.at.date())
            self.at = end

    def _pass(self, days: float, on: date) -> None:
        lost = self._losses[on] * days
        if self.capacity_l is not None:
            taken = min(lost, self.content_l)
            self.content_l -= taken
            lost -= taken
        self.missing_l += lost
        nature = self._nature
        self.nitrate += nature.nitrate_per_day * days
        self.ammonia += nature.ammonia_per_day * days
        used = nature.alkalinity_per_day * (self.alkalinity / nature.alkalinity) ** 1.5
        self.alkalinity -= used * days
        for name, (_, spread) in nature.around.items():
            keep = math.exp(-days / 6.0)
            new = self._rng.gauss(0.0, spread * math.sqrt(1.0 - keep * keep))
            self._wandering[name] = self._wandering[name] * keep + new

    def fill(self) -> float:
        """Return the litres that bring the level to the mark, as well as an eye finds it."""
        added = max(0.05, self.missing_l + self._rng.gauss(0.0, self._eye_l))
        self.missing_l -= added
        return added

    def fill_reservoir(self) -> float:
        """Return the litres that fill the reservoir, and the tank first where it ran dry."""
        added = max(0.5, (self.capacity_l or 0.0) - self.content_l + self.missing_l)
        self.content_l, self.missing_l = self.capacity_l or 0.0, 0.0
        return added

    def change(self, litres: float, salinity: float) -> None:
        """Take tank water out and put as much new water in."""
        share = litres / self.net_l
        salt = self.salinity_full * self.net_l + litres * (salinity - self.salinity)
        self.salinity_full = salt / self.net_l
        self.nitrate *= 1.0 - share
        self.ammonia *= 1.0 - share
        self.alkalinity += share * (8.0 - self.alkalinity)

    def dose_bicarbonate(self, grams: float) -> None:
        """Raise the alkalinity by what the grams hold."""
        self.alkalinity += grams / (BICARBONATE_G_PER_L_DKH * self.net_l)

    def value(self, parameter: str) -> float:
        """Return the true value of a parameter in its stored unit."""
        if self._nature.cycling_for_days is not None and parameter in CYCLE:
            begun = datetime.combine(self._begun, self.at.timetz())
            return cycle(parameter, (self.at - begun) / DAY)
        if parameter in self._wandering:
            return self._nature.around[parameter][0] + self._wandering[parameter]
        values = {
            "salinity": self.salinity,
            "nitrate": self.nitrate,
            "ammonia": self.ammonia,
            "alkalinity": self.alkalinity,
            "nitrite": 0.01,
        }
        return values[parameter]


CYCLE = ("ammonia", "nitrite", "nitrate")


def cycle(parameter: str, age_days: float) -> float:
    """Return a value of a new tank's nitrogen cycle in mg/L at an age.

    The usual course (common practice, no source): ammonia in the first week, nitrite in the second
    and third, nitrate when nitrite falls.
    """

    def risen(middle: float, width: float) -> float:
        return 1.0 / (1.0 + math.exp(-(age_days - middle) / width))

    if parameter == "ammonia":
        return 2.6 * (1.0 - math.exp(-max(0.0, age_days) / 2.5)) * (1.0 - risen(10.5, 1.6))
    if parameter == "nitrite":
        return 3.4 * risen(10.0, 1.5) * (1.0 - risen(21.5, 1.8))
    return 2.0 + 20.0 * risen(20.5, 3.0)
