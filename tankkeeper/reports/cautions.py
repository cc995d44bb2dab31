"""The cautions by kind of chore: two to four words for the row, whole sentences beside it.

Own words for what keepers usually warn of. They defer to the rules of the place, to the product's
safety data sheet and to licensed people.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tankkeeper.core.advice import ADVICE, EARLIER
from tankkeeper.core.chores import AmountUnit, Chore, ChoreKind
from tankkeeper.core.state import Item
from tankkeeper.core.units import Dimension, Quantity, in_unit, stored_value
from tankkeeper.reports.flow_words import overflow_caution
from tankkeeper.reports.numbers import shown
from tankkeeper.reports.words import Words
from tankkeeper.services.restarts import switches_off

LONGEST_SHORT = 32
MOST_SHORT_WORDS = 4
# Common practice, no source: litres from which one person should not lift the water at once.
HEAVY_L = 15.0

ELECTRICITY = (
    "Unplug what you reach into the water for. Keep plugs above the rim or let cables hang lower "
    "than their socket, behind a residual-current device (RCD or GFCI) tested every month. "
    "Water on a plug or a tingle: touch nothing, switch off at the panel."
)
HEATER = (
    "Switch off and unplug the heater 15 minutes before the level falls below its mark, and switch "
    "it on again only under water: a heater that runs dry can burst or burn."
)
_LESS = "pump it, or carry less at once."
WEIGHT = f"20 litres of water weigh about 20 kg: {_LESS}"
_GALLONS = 5.0
FILLING = "Set a timer whenever a valve or a filling unit runs, and stay near."
PRESSURE = "Close the feed tap and let the pressure out before a housing is opened."
CAUSTIC = (
    "Strong alkaline and acid products burn eyes and skin: wear glasses and gloves, add powder "
    "slowly to much water and acid to water, and open a window. "
    "Never mix two products: bleach with acid or ammonia gives poisonous gas. "
    "The safety data sheet of the product comes first."
)
DOSES = (
    "A dose is a suggestion worked out from your own tests. Check the test twice, start with "
    "half, and test again."
)
CUTS = (
    "Cover open cuts, wear long gloves, wash with soap afterwards. "
    "With liver disease or a weak immune system leave wet work to others. "
    "A sore that does not heal or a hot wound that spreads needs a doctor: mention the aquarium."
)
ZOANTHIDS = (
    "Some zoanthid corals hold a strong poison. Never boil, steam, rinse hot, brush dry or "
    "pressure-wash rock or corals. Trouble breathing, numbness or chest pain: call the emergency "
    'services and say "possible palytoxin".'
)
SIPHON = "Never start a siphon by mouth."
REAGENTS = (
    "Reagents can burn or be poisonous: keep them from children, wash your hands, and follow the "
    "sheet in the kit."
)
DEFERRING = (
    "Local electrical and water rules come first; fixed wiring, medical and veterinary questions "
    "belong to licensed people."
)
# Common practice, no source: more than half of the water at once shocks what lives in it.
LARGE_CHANGE = 0.5
_TOO_MUCH = "That is {} of the water in the system: so much at once shocks what lives in it."


class Caution(NamedTuple):
    """What a row carries, and what the panel says: neither stands without the other."""

    short: str
    long: tuple[str, ...]


_WET = (ELECTRICITY, CUTS, DEFERRING)
_BY_KIND: Mapping[ChoreKind, Caution] = MappingProxyType(
    {
        ChoreKind.WATER_CHANGE: Caution(
            "unplug the heater", (HEATER, ELECTRICITY, WEIGHT, SIPHON, DEFERRING)
        ),
        ChoreKind.MIX_SALT_WATER: Caution("keep cables dry", (ELECTRICITY, WEIGHT, DEFERRING)),
        ChoreKind.MAKE_FRESH_WATER: Caution("set a timer", (FILLING, WEIGHT, DEFERRING)),
        ChoreKind.FETCH_WATER: Caution("mind the weight", (WEIGHT,)),
        ChoreKind.GLASS: Caution("cover open cuts", (CUTS, ELECTRICITY, DEFERRING)),
        ChoreKind.SUBSTRATE: Caution(
            "never siphon by mouth", (SIPHON, HEATER, ELECTRICITY, CUTS, ZOANTHIDS, DEFERRING)
        ),
        ChoreKind.FILTER_MEDIA: Caution("keep plugs dry", _WET),
        ChoreKind.DOSE: Caution("wear gloves and glasses", (CAUSTIC, DOSES, DEFERRING)),
        ChoreKind.TEST: Caution("mind the reagents", (REAGENTS,)),
        ChoreKind.SERVICE: Caution("unplug it first", (ELECTRICITY, CUTS, CAUSTIC, DEFERRING)),
    }
)
_HOUSE_SERVICE = Caution("unplug, close the tap", (PRESSURE, ELECTRICITY, CAUSTIC, DEFERRING))
_HEAVY = Caution("mind the weight", (WEIGHT,))
# Read with an instrument, not with reagents.
_BY_INSTRUMENT = frozenset({"temperature", "salinity", "ph"})
_ADVICE = ADVICE | EARLIER
_PLAIN_OWN = "read the caution"


def _by_kind(chore: Chore, litres: float | None) -> Caution | None:
    if chore.kind is ChoreKind.SERVICE and chore.tank is None:
        return _HOUSE_SERVICE
    if chore.tests and _BY_INSTRUMENT.issuperset(chore.tests):
        return None
    found = _BY_KIND.get(chore.kind)
    if found is None and litres is not None and litres >= HEAVY_L:
        return _HEAVY
    return found


def _litres_of(item: Item) -> float | None:
    if item.amount is not None and item.amount.unit == "L":
        return item.amount.value
    stated = item.chore.amount
    return stated.value if stated is not None and stated.unit is AmountUnit.LITRES else None


def large_share(item: Item) -> float | None:
    """Return the share of the system that a water change takes where it is more than half of it."""
    net = item.water.net if item.water is not None else None
    litres = _litres_of(item)
    if item.chore.kind is not ChoreKind.WATER_CHANGE or net is None or litres is None:
        return None
    share = litres / net.value if net.value > 0.0 else 0.0
    return share if share > LARGE_CHANGE else None


def caution_short(item: Item, words: Words) -> str:
    """Return two to five words for the row, empty where nothing can hurt."""
    share = large_share(item)
    if share is not None and item.is_open:
        return f"{shown(100.0 * share, '%', 0)} of the system"
    found = _by_kind(item.chore, _litres_of(item))
    own = _own_caution(item.chore).rstrip(".")
    if own and len(own) <= LONGEST_SHORT and len(own.split()) <= MOST_SHORT_WORDS:
        return words.small(own)
    if found is not None:
        return found.short
    return _PLAIN_OWN if own else ""


def caution_long(item: Item, weight: str = WEIGHT) -> str:
    """Return the whole caution, the chore's own text first; empty where nothing can hurt.

    `weight` tells how much water weighs.
    """
    found = _by_kind(item.chore, _litres_of(item))
    own = _own_caution(item.chore)
    if own and own[-1] not in ".?!":
        own = f"{own}."
    parts = [own[:1].upper() + own[1:]] if own else []
    told = found.long if found is not None else ()
    return " ".join([*parts, *(weight if one is WEIGHT else one for one in told)])


def caution_at(item: Item, words: Words) -> str:
    """Return the whole caution with what the sizes of this tank warn of besides."""
    parts = [caution_long(item, _weight(words))]
    share = large_share(item)
    if share is not None:
        parts.insert(0, _TOO_MUCH.format(words.percent(share)))
    if switches_off(item.chore):
        parts.insert(0, overflow_caution(item.tank, words))
    return " ".join(filter(None, parts))


def _weight(words: Words) -> str:
    """Return how much water weighs, in the units in which the household pours and lifts."""
    if words.units.volume == "L":
        return WEIGHT
    litres = stored_value(Quantity(_GALLONS, words.units.volume, Dimension.VOLUME))
    mass = words.units.mass
    # A litre weighs a kilogram.
    heavy = shown(in_unit(1000.0 * litres, mass), mass, 0, words.decimal_sign)
    return f"{words.litres(litres)} of water weigh about {heavy}: {_LESS}"


def advice_of(item: Item) -> str:
    """Return what is good to know and warns of no harm, empty where there is nothing."""
    own = item.chore.caution.strip()
    return own if own in _ADVICE else ""


def _own_caution(chore: Chore) -> str:
    own = chore.caution.strip()
    return "" if own in _ADVICE else own
