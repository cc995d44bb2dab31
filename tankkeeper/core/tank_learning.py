"""What the definitions and the logbook teach about the water of one tank."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from functools import lru_cache

from tankkeeper.core import loss_filter
from tankkeeper.core.balance import (
    LARGEST_SHARE_LOST,
    water_mass_kg,
)
from tankkeeper.core.climate import Climate
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import (
    Prior,
    PriorBasis,
    climate_factors,
    factor_on,
    prior_loss,
    surfaces_of,
)
from tankkeeper.core.fills import FillLog, fill_log
from tankkeeper.core.household import Room, Tank
from tankkeeper.core.logbook import Entry, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.loss_filter import LossFlag, LossSettings, LossState, level_error_l
from tankkeeper.core.net_water import net_of
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.pauses import Span
from tankkeeper.core.seawater import fresh_density_kg_m3
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import level_area_cm2, surface_cm2

USUAL_TEMPERATURE_C = 25.5
# Judgement, no source: the depth of the water in a sump whose surface nobody measured.
USUAL_SUMP_DEPTH_CM = 25.0


@dataclass(frozen=True, slots=True)
class Learned:
    """What does not change until something is logged: the filter's state and the last values.

    `salinity_read_at` is when the newest salinity was read, None where none tells of this water.
    """

    net: Estimate | None
    level_area_cm2: float | None
    state: LossState | None
    basis: PriorBasis | None
    settings: LossSettings
    factors: tuple[float, ...] | None
    flags: tuple[LossFlag, ...]
    log: FillLog
    salinity_at_mark: float | None
    readings: tuple[tuple[ReadingValue, Entry], ...]
    first_fill: Entry | None = None
    salinity_read_at: datetime | None = None

    @property
    def salinity_is_read(self) -> bool:
        """Whether a reading says the salinity of this water."""
        return self.salinity_read_at is not None


def is_learned(learned: Learned) -> bool:
    """Tell whether fills have taught the loss; the first one only begins the count."""
    return learned.state is not None and learned.state.accepted > 0


def learn(
    tank: Tank,
    room: Room | None,
    entries: Sequence[Entry],
    on: date,
    freezes: Sequence[Span] = (),
    restated: Sequence[datetime] = (),
) -> Learned:
    """Return what the definitions and the water entries of a tank teach, in order of time.

    `on` is the day for which the room's climate sets the first expectation when nothing is logged;
    `freezes` are the pauses in which the tank stood still, up to today; at `restated` something was
    set down that may move its loss.
    """
    net = net_of(tank)
    area = level_area_cm2(tank.shape, tank.sump)
    log = fill_log(tank, entries, freezes)
    climate = room.climate if room is not None else ()
    on = log.fills[0].at.date() if log.fills else on
    prior = _prior(tank, room, climate, net, on)
    settings = LossSettings(
        level_error_l=level_error_l(None if tank.has_automatic_top_off else area)
    )
    factors = _factors(climate, usual_water_c(tank), tank.target_salinity or 35.0)
    state: LossState | None = None
    flags: tuple[LossFlag, ...] = ()
    if prior is not None:
        begin = loss_filter.start(prior, factor=factor_on(factors, on))
        state, flags = loss_filter.fold_restated(begin, log.fills, restated, settings, factors)
    at_mark, read_at = _salinity_at_mark(tank, net, state, factors, entries, freezes)
    return Learned(
        net=net,
        level_area_cm2=area,
        state=state,
        basis=prior.basis if prior is not None else None,
        settings=settings,
        factors=factors,
        flags=flags,
        log=log,
        salinity_at_mark=at_mark,
        readings=_newest_readings(entries),
        salinity_read_at=read_at,
    )


def may_lose_otherwise(was: Tank, becomes: Tank) -> bool:
    """Tell whether cover, fans, heater or room became another.

    What was not said before became known, which tells of no change in the tank.
    """
    before, after = _around(was), _around(becomes)
    return any(old is not None and old != new for old, new in zip(before, after, strict=True))


def _around(tank: Tank) -> tuple[object, ...]:
    cover, heat = tank.cover, tank.heat_and_flow
    return (
        tank.room,
        None if cover is None else (cover.kind, 1.0 if cover.covered is None else cover.covered),
        None if heat is None else heat.heater_w,
        None if heat is None else heat.fans,
    )


@lru_cache(maxsize=64)
def _factors(
    climate: Climate, water_c: float, practical_salinity: float
) -> tuple[float, ...] | None:
    """Return the season's factors, which tanks of one room that are kept alike share."""
    return climate_factors(climate, water_c=water_c, practical_salinity=practical_salinity)


def usual_water_c(tank: Tank) -> float:
    return tank.target_temperature_c or USUAL_TEMPERATURE_C


def _prior(
    tank: Tank, room: Room | None, climate: Climate, net: Estimate | None, on: date
) -> Prior | None:
    cover, display = tank.cover, surface_cm2(tank.shape)
    # Where the display's surface is not known, the sump's alone would tell of far too small a loss.
    parts = (
        ()
        if display is None
        else surfaces_of(
            display,
            _sump_surface_cm2(tank),
            cover=cover.kind.value if cover is not None else "open",
            covered=cover.covered if cover is not None else None,
            sump_in_cabinet=tank.sump.in_cabinet if tank.sump is not None else None,
        )
    )
    return prior_loss(
        parts,
        climate,
        on,
        volume_l=net.value if net is not None else None,
        water_c=usual_water_c(tank),
        practical_salinity=tank.target_salinity,
        air_speed_m_s=room.air_speed_m_s if room is not None else None,
    )


def _sump_surface_cm2(tank: Tank) -> float | None:
    sump = tank.sump
    if sump is None:
        return None
    if sump.surface_cm2 is not None:
        return sump.surface_cm2
    return sump.litres * 1000.0 / USUAL_SUMP_DEPTH_CM if sump.litres else sump.last_chamber_cm2


def _newest_readings(entries: Sequence[Entry]) -> tuple[tuple[ReadingValue, Entry], ...]:
    """Return the newest value of each parameter, in the order of the alphabet."""
    newest: dict[str, tuple[ReadingValue, Entry]] = {}
    for entry in entries:
        if isinstance(entry.fact, Readings):
            for value in entry.fact.values:
                newest[value.parameter] = (value, entry)
    return tuple(newest[name] for name in sorted(newest))


def _salinity_at_mark(
    tank: Tank,
    net: Estimate | None,
    state: LossState | None,
    factors: tuple[float, ...] | None,
    entries: Sequence[Entry],
    freezes: Sequence[Span],
) -> tuple[float | None, datetime | None]:
    """Return the salinity the tank has when full, and when the reading was made that says so.

    A reading taken below the mark is brought back to the mark by the water that was missing; a
    change mixes in what was poured in. Only what follows the newest reading matters, and nothing
    that was read before the tank stood still.
    """
    stood_until = max((span.last for span in freezes), default=0)
    start = _newest_salinity(entries, stood_until)
    if start is None:
        salinity, later, read_at = tank.target_salinity, 0, None
    else:
        salinity, later = start[0], start[1] + 1
        read_at = entries[start[1]].at
        if net is not None and state is not None:
            loss = loss_filter.rate(state, factor_on(factors, entries[start[1]].day))
            missing = _missing_at(tank, loss, entries, start[1], freezes)
            salinity *= 1.0 - _missing_share(tank, net.value, salinity, missing)
    if salinity is None or net is None:
        return salinity, read_at
    for entry in entries[later:]:
        fact = entry.fact
        if not isinstance(fact, WaterChange) or entry.day.toordinal() <= stood_until:
            continue
        if fact.litres is not None and fact.salinity is not None:
            share = min(1.0, fact.litres / net.value)
            salinity += share * (fact.salinity - salinity)
    return salinity, read_at


def _missing_share(tank: Tank, net_l: float, salinity: float, missing_l: float) -> float:
    """Return the share of the full tank's mass that had evaporated, at most a fifth."""
    lost_kg = missing_l * fresh_density_kg_m3(usual_water_c(tank)) / 1000.0
    mass_kg = water_mass_kg(net_l, salinity, usual_water_c(tank))
    return min(LARGEST_SHARE_LOST, lost_kg / mass_kg)


def _newest_salinity(entries: Sequence[Entry], stood_until: int) -> tuple[float, int] | None:
    """Return the newest salinity and its place; None when the tank stood still since."""
    for index in range(len(entries) - 1, -1, -1):
        fact = entries[index].fact
        if isinstance(fact, Readings):
            for value in fact.values:
                if value.parameter == "salinity":
                    is_old = entries[index].day.toordinal() <= stood_until
                    return None if is_old else (value.value, index)
    return None


def _last_mark(tank: Tank, entries: Sequence[Entry], index: int) -> int:
    """Return the place of the last mark before entry `index`, the start without one."""
    for place in range(index - 1, -1, -1):
        fact = entries[place].fact
        if tank.has_automatic_top_off:
            is_mark = isinstance(fact, ReservoirCheck) and fact.left_l != 0.0
        else:
            is_mark = isinstance(fact, TopOff) and fact.to_mark
        if is_mark:
            return place
    return 0


def _missing_at(
    tank: Tank,
    loss_l_per_day: float,
    entries: Sequence[Entry],
    index: int,
    freezes: Sequence[Span],
) -> float:
    """Return the litres that were missing below the mark when entry `index` was made."""
    log = fill_log(tank, entries[_last_mark(tank, entries, index) : index], freezes)
    if log.mark is None or (tank.has_automatic_top_off and log.content_l is None):
        return 0.0
    days = (entries[index].at - log.mark.at).total_seconds() / 86400.0
    return max(0.0, loss_l_per_day * days - (log.content_l or 0.0) - log.added_since_l)
