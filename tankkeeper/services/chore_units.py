"""Units that cannot be: an amount that does not fit its kind of work, a use not as counted."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from tankkeeper.core.chores import AmountUnit, Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household

# What a supply can be counted in.
SUPPLY_UNITS = ("g", "mL", "L", "US gal", "imp gal", "pieces")
_LITRES = (AmountUnit.LITRES,)
_SOLID_OR_LIQUID = (AmountUnit.GRAMS, AmountUnit.LITRES, AmountUnit.PIECES)
# Of kinds that are not named here any unit may be meant.
_OF_KIND: Mapping[ChoreKind, tuple[AmountUnit, ...]] = MappingProxyType(
    {
        ChoreKind.WATER_CHANGE: (AmountUnit.LITRES, AmountUnit.PERCENT),
        ChoreKind.TOP_OFF: _LITRES,
        ChoreKind.RESERVOIR: _LITRES,
        ChoreKind.MIX_SALT_WATER: _LITRES,
        ChoreKind.MAKE_FRESH_WATER: _LITRES,
        ChoreKind.FETCH_WATER: _LITRES,
        ChoreKind.DOSE: _SOLID_OR_LIQUID,
        ChoreKind.FEEDING: _SOLID_OR_LIQUID,
    }
)
_OF_STOCK: Mapping[str, AmountUnit] = MappingProxyType(
    {
        "g": AmountUnit.GRAMS,
        "kg": AmountUnit.GRAMS,
        "ml": AmountUnit.LITRES,
        "l": AmountUnit.LITRES,
        "us gal": AmountUnit.LITRES,
        "imp gal": AmountUnit.LITRES,
        "pieces": AmountUnit.PIECES,
    }
)


def refuse_units(household: Household, chore: Chore, present: Chore | None = None) -> None:
    """Refuse an amount or a use in a unit that cannot be; what stood before is left alone."""
    amount = chore.amount
    is_same = present is not None and (present.amount, present.kind) == (amount, chore.kind)
    fits = _OF_KIND.get(chore.kind)
    if amount is not None and not is_same and fits is not None and amount.unit not in fits:
        raise UserFault(
            "unit_not_of_kind",
            field="amount",
            unit=amount.unit.value,
            choices=" or ".join(_listed(fits)),
        )
    if present is not None and present.uses == chore.uses:
        return
    supplies = {one.id: one for one in household.supplies}
    for place, use in enumerate(chore.uses, start=1):
        supply = supplies.get(use.supply)
        if supply is None or use.unit is None:
            continue
        own = _OF_STOCK.get(supply.unit.casefold())
        if use.unit is AmountUnit.PERCENT or (own is not None and use.unit is not own):
            raise UserFault(
                "use_not_as_counted",
                field=f"uses[{place}]",
                supply=supply.name or supply.id,
                counted=supply.unit or "grams, litres or pieces",
                choice="one of them" if own is None else own.value,
                unit=use.unit.value,
            )


def _listed(units: tuple[AmountUnit, ...]) -> list[str]:
    words = [one.value for one in units]
    return [", ".join(words[:-1]), words[-1]] if len(words) > 1 else words
