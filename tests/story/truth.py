"""The water as it truly is while the story goes on; the program never sees it.

It begins where the sample's own truth ends on the day of opening and goes on by the same physics:
the loss of the season in the tank's room, with a scatter that partly lasts to the next day.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from random import Random

from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.services.sample import Sample
from tankkeeper.services.sample.kits import read_off, round_to
from tankkeeper.services.sample.water import LASTING, NATURES, SCATTER, Water, usual_loss

# Common practice, no source: what one careful reading is good for.
READING_SPREAD = 0.3
# Common practice, no source: salinity may fall by 1 to 2 a day. The round aims at the middle of
# that, since what is missing is an estimate.
MOST_LOWERING = 2.0


@dataclass(slots=True)
class Truth:
    """The true water of every tank in use, by its id."""

    sample: Sample
    opened_on: date
    days: int
    chance: Random = field(default_factory=lambda: Random(60))
    waters: dict[str, Water] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for tank in self.sample.household.tanks:
            life = self.sample.lives[tank.id]
            if life.water is not None and life.is_in_use:
                life.water._losses = self._losses(tank)  # the sample's own end with its opening
                self.waters[tank.id] = life.water

    def tank(self, tank_id: str) -> Tank:
        """Return what is known of a tank."""
        return self.sample.household.tank(tank_id)

    def _losses(self, tank: Tank) -> dict[date, float]:
        room, nature = self.sample.household.room(tank.room), NATURES[tank.id]
        dice = Random(f"story:{tank.id}")
        departure = dice.gauss(0.0, SCATTER)
        losses = {}
        for number in range(-2, self.days + 3):
            on = self.opened_on + timedelta(days=number)
            losses[on] = usual_loss(tank, room, nature, on) * math.exp(departure)
            departure = LASTING * departure + dice.gauss(0.0, SCATTER * math.sqrt(1 - LASTING**2))
        return losses

    def pass_to(self, now: datetime) -> None:
        """Let the time pass in every tank."""
        for water in self.waters.values():
            water.advance(now.astimezone(UTC))

    def highest(self, tank_id: str) -> float:
        """Return the salinity that the keeper allows, with what a reading may be off."""
        tank = self.tank(tank_id)
        rise = tank.top_off.allowed_salinity_rise or 0.5
        return (tank.target_salinity or 35.0) + rise + READING_SPREAD

    def lowest(self, tank_id: str) -> float:
        """Return the least salinity of a full tank."""
        return (self.tank(tank_id).target_salinity or 35.0) - 2 * READING_SPREAD

    def fill(self, tank_id: str) -> float:
        """Fill a tank to its mark by eye and return the litres as a jug shows them."""
        litres = self.waters[tank_id].fill()
        return max(0.1, round_to(litres, 0.05 if litres < 2.0 else 0.1))

    def pour(self, tank_id: str, litres: float) -> float:
        """Pour so much fresh water into a tank and return it as a jug shows it."""
        shown = max(0.1, round_to(litres, 0.05))
        self.waters[tank_id].missing_l -= shown
        return shown

    def change(self, tank_id: str, litres: float) -> float:
        """Change so much water and return the salinity of the new water as read."""
        made = (self.tank(tank_id).target_salinity or 35.0) + self.chance.gauss(0.0, 0.15)
        self.waters[tank_id].change(litres, made)
        return round_to(made + self.chance.gauss(0.0, 0.06), 0.1)

    def reading(self, tank_id: str, parameter: str) -> str:
        """Return what somebody types for a parameter, with the noise of the kit."""
        seen = read_off(parameter, self.waters[tank_id].value(parameter), self.chance)
        return f"{parameter}={seen.value:.10g}{PARAMETERS[parameter].stored_unit}"
