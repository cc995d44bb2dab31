"""How much a turn takes: what the chore says, or what the water says."""

from __future__ import annotations

from tankkeeper.core.balance import water_mass_kg
from tankkeeper.core.chores import FRESH_KINDS, AmountUnit, Chore, ChoreKind
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Household
from tankkeeper.core.salinity_full import risen
from tankkeeper.core.salinity_limit import LARGEST_LOWERING_PER_DAY
from tankkeeper.core.salinity_reach import most_lost_l
from tankkeeper.core.seawater import fresh_density_kg_m3
from tankkeeper.core.shown_digits import told_value
from tankkeeper.core.spread_days import Spread, spread
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.usual_water import usual_water_c
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_lost import gone_since, standing_factor

# Below this no jug measures, and no scale of a sump shows it.
SMALLEST_TOP_OFF_L = 0.05
# The half span of a litre that is read from a jug's scale of tenths.
_CLOSEST_L = 0.2
# Judgement, no source: so many times the largest lowering of a day is no slip of the estimate.
_CLEARLY_TOO_FAST = 1.5
MEASURED_KINDS = FRESH_KINDS | {ChoreKind.WATER_CHANGE}


@dataclass(frozen=True, slots=True)
class MixedFor:
    """The litres that are mixed for the changes of one tank."""

    tank: str
    litres: float


@dataclass(frozen=True, slots=True)
class AmountDue:
    """The amount of one turn: L, g, pieces or tests, with its span where it is an estimate.

    What is worked out is rounded to what is told of it, so that a tick writes what was shown.
    `whole` is the amount before it was split over days for a safe rate of change, `days` how many,
    `meanwhile` what evaporates on those and goes in as well, None where nobody can tell when all
    is in; `salt_g` the dry salt that goes into mixed water, `parts` for which changes it is mixed
    where those tell how much.
    """

    value: float
    unit: str
    low: float | None = None
    high: float | None = None
    whole: float | None = None
    days: int = 1
    meanwhile: float | None = None
    salt_g: float | None = None
    parts: tuple[MixedFor, ...] = ()

    @property
    def is_estimate(self) -> bool:
        """Whether it is computed from the water and so carries a span."""
        return self.low is not None

    @property
    def is_split(self) -> bool:
        """Whether only a part is due today."""
        return self.days > 1


def amount_of(chore: Chore, water: TankWater | None, household: Household) -> AmountDue | None:
    """Return how much the open turn of `chore` takes, or None where there is nothing to measure."""
    if chore.amount is None and chore.kind in FRESH_KINDS and water is not None:
        return fresh_water_due(chore.kind, water)
    return stated_amount(chore, water, household)


def stated_amount(chore: Chore, water: TankWater | None, household: Household) -> AmountDue | None:
    """Return the amount that is the same every time, or None where the chore states none."""
    if chore.kind is ChoreKind.TEST:
        return AmountDue(float(len(chore.tests)), "tests") if chore.tests else None
    return None if chore.amount is None else _stated(chore, water, household)


def _stated(chore: Chore, water: TankWater | None, household: Household) -> AmountDue | None:
    amount = chore.amount
    assert amount is not None
    if amount.unit is AmountUnit.PERCENT:
        if water is None or water.net is None:
            return None
        share = amount.value / 100.0
        return _litres_due(water.net.scaled(share))
    unit = {AmountUnit.LITRES: "L", AmountUnit.GRAMS: "g", AmountUnit.PIECES: "pieces"}[amount.unit]
    is_mixed = chore.kind is ChoreKind.MIX_SALT_WATER and unit == "L"
    salt = salt_by_yield(household, amount.value) if is_mixed else None
    return AmountDue(amount.value, unit, salt_g=salt)


def salt_by_yield(household: Household, litres: float) -> float | None:
    """Return the grams of salt that so much salt water takes, None where no yield is known."""
    per_litre = household.salt_mix.grams_per_litre if household.salt_mix is not None else None
    return None if per_litre is None else per_litre * litres


def stated_grams(chore: Chore, household: Household) -> float | None:
    """Return the grams that a chore states, None where it states none."""
    dose, amount = dose_of(chore, household), chore.amount
    if dose is not None:
        return dose[1]
    return amount.value if amount is not None and amount.unit is AmountUnit.GRAMS else None


def dose_of(chore: Chore, household: Household) -> tuple[str, float | None] | None:
    """Return what a dose chore doses and the grams that it states, None where not known what.

    The substance is the supply that the chore uses; one that is counted in grams comes first.
    """
    if chore.kind is not ChoreKind.DOSE:
        return None
    names = {supply.id: supply.name for supply in household.supplies}
    known = [use for use in chore.uses if names.get(use.supply)]
    if not known:
        return None
    use = next((one for one in known if one.unit is AmountUnit.GRAMS), known[0])
    amount = chore.amount
    if amount is not None:
        return names[use.supply], amount.value if amount.unit is AmountUnit.GRAMS else None
    return names[use.supply], use.amount if use.unit is AmountUnit.GRAMS else None


def takes_grams(chore: Chore) -> bool:
    """Tell whether a tick may say the grams: of a dose, unless it states another unit."""
    is_other = chore.amount is not None and chore.amount.unit is not AmountUnit.GRAMS
    return chore.kind is ChoreKind.DOSE and not is_other


def fresh_water_due(kind: ChoreKind, water: TankWater) -> AmountDue | None:
    """Return the fresh water missing now, in a tank or in its reservoir; None if not known."""
    if kind is ChoreKind.RESERVOIR:
        return _to_fill_reservoir(water)
    gone = water.evaporated
    if gone is None:
        return None
    part = _spread(water, gone)
    return _litres_due(gone) if part.days == 1 else _part_due(gone, part)


def _litres_due(litres: Estimate) -> AmountDue:
    """Return litres as they are told, inside their span."""
    value = told_litres(litres)
    return AmountDue(value, "L", min(litres.low, value), max(litres.high, value))


def _part_due(litres: Estimate, today: Spread) -> AmountDue:
    """Return what goes in today of litres that are spread over days."""
    part = _litres_due(litres.scaled(today.litres / litres.value))
    return AmountDue(
        part.value,
        "L",
        part.low,
        part.high,
        whole=told_litres(litres),
        days=today.days,
        meanwhile=today.meanwhile_l if today.is_whole else None,
    )


def told_litres(litres: Estimate) -> float:
    """Return the litres as they are told, so that the same number is written down."""
    return told_value(as_read(litres), "L")


def as_read(litres: Estimate) -> Estimate:
    """Return litres with their span; a jug is not read closer than a tenth of a litre."""
    is_narrow = 0.0 < litres.high - litres.low < 2.0 * _CLOSEST_L
    if not is_narrow or litres.value < 1.0:
        return litres
    return Estimate(litres.value, litres.value - _CLOSEST_L, litres.value + _CLOSEST_L)


def room_in_reservoir(water: TankWater) -> Estimate | None:
    """Return the litres that fill a reservoir, and the tank below it; None if not known."""
    left, capacity = water.reservoir_left, water.tank.top_off.reservoir_l
    if left is None or capacity is None:
        return None
    gone = water.evaporated or Estimate(0.0, 0.0, 0.0)
    return Estimate(
        capacity - left.value + gone.value,
        max(0.0, capacity - left.high + gone.low),
        capacity - left.low + gone.high,
    )


def _to_fill_reservoir(water: TankWater) -> AmountDue | None:
    room = room_in_reservoir(water)
    if room is None:
        return None
    gone = water.evaporated or Estimate(0.0, 0.0, 0.0)
    part = _spread(water, gone)
    # The pump puts into the tank at once what is poured in, so a part of what the tank lacks.
    return _litres_due(room) if part.days == 1 else _part_due(gone, part)


def is_spread(water: TankWater) -> bool:
    """Tell whether a top-off is spread over days so that salinity falls slowly enough."""
    gone = water.evaporated
    return gone is not None and _spread(water, gone).days > 1


def _spread(water: TankWater, gone: Estimate) -> Spread:
    """Return on how many days so much is put in, and how much on each."""
    safe_l, loss = _safe_l(water, gone), water.loss
    if safe_l is None:
        return Spread(1, gone.value)
    loss_l = 0.0 if loss is None else loss.value
    return spread(gone.value, safe_l, loss_l, is_rest=water.learned.log.part is not None)


def _safe_l(water: TankWater, gone: Estimate) -> float | None:
    """Return how much of what is gone may go back in one day, None where nobody knows."""
    full, net = water.learned.salinity_at_mark, water.net
    if full is None or net is None or gone.value <= 0.0:
        return None
    # Of more than is reckoned with nobody knows the salinity. By what was missing when the first
    # part went in, or a litre would count for another share on each day of what was promised.
    told_l = min(max(gone.value, _gone_at_first_part(water)), most_lost_l(net.value))
    rise = risen(water.tank, net.value, full, told_l) - full
    return None if rise <= 0.0 else told_l * LARGEST_LOWERING_PER_DAY / rise


def safe_of_spread_l(water: TankWater) -> float | None:
    """Return the most litres of a day where a top-off is spread over days, as they are told.

    None where it may go in at once. The share of a day is often less: what is missing is parted
    into equal ones.
    """
    gone = water.evaporated
    part = None if gone is None else _spread(water, gone)
    if gone is None or part is None or part.days == 1:
        return None
    # With the rest of a day that is left over a share may be a little more than that.
    most_l = max(_safe_l(water, gone) or 0.0, part.litres)
    return told_litres(gone.scaled(most_l / gone.value))


def _gone_at_first_part(water: TankWater) -> float:
    """Return the litres missing when the first part since the mark went in, 0 for none."""
    learned, log = water.learned, water.learned.log
    first = next((at for at, litres in log.added if litres > 0.0), None)
    if first is None or log.mark is None or learned.state is None:
        return 0.0
    lost = gone_since(log.mark, learned, first, standing_factor(learned, 1.0))
    return max(0.0, lost.value - (log.content_l or 0.0))


def safe_share_l(water: TankWater, litres: float) -> float | None:
    """Return the litres of one day where so many of fresh water lower the salinity too fast.

    None where they may go in at once, or lower it little more than that: to the mark goes what is
    missing, which nobody knows to the litre. None where nobody knows, and where a reservoir takes
    them.
    """
    now, net = water.salinity_now, water.net
    if now is None or net is None or water.tank.has_automatic_top_off:
        return None
    warm = usual_water_c(water.tank)
    gone_l = 0.0 if water.evaporated is None else water.evaporated.value
    # Salt stays: what it is dissolved in is more by so much.
    there = water_mass_kg(max(0.0, net.value - gone_l), now, warm)
    more = litres * fresh_density_kg_m3(warm) / 1000.0
    lowered = now * more / (there + more) if there + more > 0.0 else 0.0
    too_much = lowered > _CLEARLY_TOO_FAST * LARGEST_LOWERING_PER_DAY
    return litres * LARGEST_LOWERING_PER_DAY / lowered if too_much else None


def asks_of(chore: Chore) -> tuple[str, ...]:
    """Return what must be written down when a turn of `chore` is ticked."""
    if chore.kind is ChoreKind.TEST:
        return chore.tests
    if chore.tank is None or chore.kind not in MEASURED_KINDS:
        return ()
    if chore.kind is ChoreKind.WATER_CHANGE:
        return ("litres", "salinity")
    return ("litres",)
