"""What the figure for a tank's loss rests on: its log, or what is expected before there is one."""

from __future__ import annotations

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import PriorBasis
from tankkeeper.core.household import DRY_STAGES, Tank
from tankkeeper.core.tank_learning import Learned, is_learned
from tankkeeper.core.volume import LEAST_GLASS_MM, MOST_GLASS_MM
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.words import Words

NO_LOSS = "none: there is no water in it"
_ALONE = {
    PriorBasis.ROOM_CLIMATE: "surface and room alone",
    PriorBasis.AREA: "surface and usual room air alone",
    PriorBasis.VOLUME: "the volume alone",
}


def system_litres(tank: Tank, net: Estimate, words: Words) -> str:
    """Return the water of a system, or what one would hold that has none in it."""
    litres = words.litres_with_span(net)
    return f"none now; it holds {litres}" if tank.stage in DRY_STAGES else litres


def glass_span(words: Words) -> str:
    """Return what glass of unknown thickness is taken for: "6 to 19 mm"."""
    most = words.millimetres(MOST_GLASS_MM)
    return f"{LEAST_GLASS_MM:.0f}{NBSP}to{NBSP}{most}"


def alone_words(learned: Learned) -> str:
    """Return what the loss is expected from while nothing was learned, empty where it was."""
    if is_learned(learned) or learned.basis is None:
        return ""
    return _ALONE[learned.basis]


def expected_sentence(learned: Learned) -> str:
    """Return that the loss is only expected, empty where the log tells it."""
    alone = alone_words(learned)
    return f"That loss is expected from {alone}; the next fillings tell it better." if alone else ""
