"""What the catalogue says of a chore that is good to know, but warns of no harm to anybody.

A sign on every line would be a sign on none: these words stand beside the line, without one.
"""

from __future__ import annotations

from typing import Final

SAME_HOUR: Final = "At the same hour of the day each time."
# What stands so in households that took it from an earlier catalogue.
EARLIER: Final = frozenset({"Use a 35 standard at room temperature, not pure water alone."})
ADVICE: Final = frozenset(
    {
        SAME_HOUR,
        "Tell somebody who knows the tank what is amiss; repair nothing alone.",
        "What lies uneaten after two minutes was too much.",
        "Fresh water only, never salt water.",
        "Let the sample come to the temperature that the instrument wants.",
        "A grain of sand in the pad scratches: keep it off the bed.",
        "Clean hands without soap.",
        "Use a standard as salty as seawater, at room temperature, not pure water alone.",
        "Leave an old deep bed alone.",
        "Thaw in tank water and strain it. Never freeze it again.",
        "Take out what is left after a day.",
        "No spray near the tank.",
        "In old tank water, and never all sponges on one day.",
        "Rinse it first. After medicine, new carbon at once.",
        "Begin with half: a quick fall stresses corals.",
        "Wash your hands afterwards.",
        "Two buffers, dated on the day they are opened.",
        "Change its tubes every year.",
        "Stand by until it has come to rest.",
        "A symptom starts the count anew.",
        "Never household cleaner; mark them for the tank.",
    }
)
