"""The salinity that a tank has by now, in words."""

from __future__ import annotations

from tankkeeper.core.salinity_reach import is_beyond, may_be_beyond
from tankkeeper.core.tank_water import TankWater
from tankkeeper.reports.words import Words


def salinity_inside(water: TankWater, words: Words) -> str:
    """Return it for a place between brackets, without some of its own: "about 41 PSU, 37 to 44"."""
    told = salinity_now(water, words, is_in_text=True)
    return told.replace(" (", ", ").removesuffix(")")


def salinity_now(water: TankWater, words: Words, *, is_in_text: bool = False) -> str:
    """Return the salinity with its span: "35.6 ± 0.3 PSU", "about ..." in the middle of a text.

    Where more may be gone than is reckoned with, the upper end is open: "41 PSU (37 to over 44)",
    and where the middle of the span lies there, nothing else is known: "over 44 PSU (at least 37)".
    """
    salinity, gone, net = water.salinity, water.evaporated, water.net
    if salinity is None:
        return ""
    about = "about " if is_in_text else ""
    if gone is None or net is None or not may_be_beyond(gone, net):
        return about + words.salinity_with_span(salinity)
    if not is_beyond(gone.value, net):
        return about + words.salinity_with_open_end(salinity)
    return words.salinity_over(salinity)
