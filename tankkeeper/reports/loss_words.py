"""What the figure for a tank's loss rests on: its log, or what is expected before there is one."""

from __future__ import annotations

from tankkeeper.core.evaporation import PriorBasis
from tankkeeper.core.tank_learning import Learned, is_learned
from tankkeeper.core.volume import LEAST_GLASS_MM, MOST_GLASS_MM
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.words import Words

_ALONE = {
    PriorBasis.ROOM_CLIMATE: "surface and room alone",
    PriorBasis.AREA: "surface and usual room air alone",
    PriorBasis.VOLUME: "the litres alone",
}


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
