"""An invented household for the tests of the command line, and what a command comes to."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

NOW = "2026-03-02T07:30"

# Nook is a bare box of 100 x 50 cm: 1 mm of level is 0.5 L. From 1 January to 26 February 1 L was
# poured in every second day, up to the mark, so that it loses 0.5 L a day.
DEFINITIONS = """
format = "tankkeeper"
version = 1

[household]
name = "Harbour Street 4"
zone = "Europe/Oslo"

[[people]]
name = "Ilse"

[[people]]
name = "Jonas"

[[rooms]]
name = "hall"
air_speed_m_s = 0.05
climate = [ { month = 1, temperature_c = 21.0, humidity = 0.5 } ]

[salt_mix]
grams_per_litre = 38.0

[[tanks]]
name = "Nook"
room = "hall"
walk_order = 1
target_salinity = 35.0
target_temperature_c = 25.0
[tanks.shape]
kind = "box"
length_cm = 100
width_cm = 50
height_cm = 45
water_depth_cm = 40
[tanks.cover]
kind = "open"
[tanks.top_off]
allowed_drop_mm = 4

[[tanks]]
name = "Skerry"
walk_order = 2
target_salinity = 35.0
[tanks.shape]
kind = "box"
length_cm = 120
width_cm = 55
height_cm = 55
water_depth_cm = 50
[tanks.top_off]
reservoir_l = 25

[[chores]]
tank = "Nook"
kind = "top-off"
name = "Top off"
rhythm = { when = "evaporation", max_days = 14 }
minutes = 3
who = ["Ilse"]

[[chores]]
tank = "Nook"
kind = "glass"
name = "Wipe the glass"
first_due = 2026-02-26
rhythm = { after_last_done = "7 days" }
late_days = 1
minutes = 5

[[chores]]
tank = "Nook"
kind = "feeding"
name = "Feed"
rhythm = { calendar = "FREQ=DAILY", start = 2026-03-02, slots = ["07:00", "18:00"] }
if_missed = "expire"
minutes = 2

[[chores]]
tank = "Nook"
kind = "test"
name = "Test nitrate"
first_due = 2026-03-02
rhythm = { after_last_done = "14 days" }
tests = ["nitrate"]
minutes = 6

[[chores]]
tank = "Skerry"
kind = "water-change"
name = "Change water"
first_due = 2026-03-02
rhythm = { after_last_done = "14 days" }
late_days = 3
amount = { litres = 40 }
minutes = 25
who = ["Jonas"]

[[chores]]
tank = "Skerry"
kind = "reservoir"
name = "Fill the reservoir"
first_due = 2026-03-04
rhythm = { after_last_done = "7 days" }
minutes = 4

[[chores]]
tank = "Skerry"
kind = "dose"
name = "Dose bicarbonate"
first_due = 2026-03-02
rhythm = { after_last_done = "2 days" }
amount = { grams = 12 }
minutes = 2

[[chores]]
kind = "mix-salt-water"
name = "Mix salt water"
first_due = 2026-03-02
rhythm = { after_last_done = "14 days" }
amount = { litres = 40 }
minutes = 10

[[supplies]]
name = "salt mix"
unit = "g"
stock = 8000
counted_on = 2026-03-01
"""
FILL = """
[[log]]
at = {day}T07:00:00+01:00
by = "Ilse"
tank = "Nook"
done = "Top off"
litres = 1.0
"""


def log() -> str:
    days = [f"2026-01-{number:02}" for number in range(1, 32, 2)]
    days += [f"2026-02-{number:02}" for number in range(2, 27, 2)]
    return "".join(FILL.format(day=day) for day in days)


@dataclass(frozen=True)
class Answer:
    """What a command came to."""

    status: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        """The one JSON document on standard output."""
        found: dict[str, Any] = json.loads(self.out)
        return found


Type = Callable[..., Answer]
AsTerminal = Callable[[int], None]


def items_of(answer: Answer) -> dict[str, dict[str, Any]]:
    """Return the items of a round by the id of their chore."""
    return {item["chore"]: item for item in answer.document["items"]}
