"""What the definitions and the logbook teach about the water of one tank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import lru_cache

from tankkeeper.core import loss_filter
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
from tankkeeper.core.logbook import Entry, Readings
from tankkeeper.core.loss_filter import FAR, Fill, LossFlag, LossSettings, LossState, level_error_l
from tankkeeper.core.net_water import net_of
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.pauses import Span
from tankkeeper.core.reading_outlook import OLDEST_DAYS
from tankkeeper.core.salinity_full import (
    Poured,
    Rate,
    poured_since_read,
    rate_of,
    salinity_when_full,
)
from tankkeeper.core.usual_water import usual_water_c
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import level_area_cm2, surface_cm2

# Judgement, no source: the depth of the water in a sump whose surface nobody measured.
USUAL_SUMP_DEPTH_CM = 25.0


@dataclass(frozen=True, slots=True)
class Learned:
    """What does not change until something is logged: the filter's state and the last values.

    `salinity_read_at` is when the newest salinity was read, None where none tells of this water,
    `salinity_changed_at` when water was changed last since then;
    `salinity_by_loss` what it is at the mark by the least and by the most loss;
    `poured` what was reckoned each time water went in since, of one that was outside its range.
    `read_before` is what each parameter had before its newest reading, in order of time: on the
    same day, and as it was read last on one of the 200 days before.
    `taught_by` is the newest fill that was measured, `state_before_fill` what was known before it.
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
    read_before: Mapping[str, tuple[float, ...]]
    first_fill: Entry | None = None
    salinity_read_at: datetime | None = None
    salinity_changed_at: datetime | None = None
    salinity_by_loss: tuple[float, float] | None = None
    poured: tuple[Poured, ...] = ()
    taught_by: Fill | None = None
    state_before_fill: LossState | None = None

    @property
    def salinity_is_read(self) -> bool:
        """Whether a reading says the salinity of this water."""
        return self.salinity_read_at is not None


def is_learned(learned: Learned) -> bool:
    """Tell whether fills have taught the loss; the first one only begins the count."""
    return learned.state is not None and learned.state.accepted > 0


def loss_when_measured(learned: Learned, loss: Estimate) -> Estimate | None:
    """Return a loss with the span that it would have, had no fill been kept as proposed since.

    None where the newest fill was measured, or none ever was: those kept only let time pass, in
    which the loss may have wandered.
    """
    state, since = learned.state, learned.log.proposed_from
    if state is None or since is None or state.last_at_s is None or not state.accepted:
        return None
    days = max(0.0, (state.last_at_s - since.timestamp()) / 86400.0)
    variance = state.variance - state.noise * learned.settings.wander**2 * days
    factor = loss.value / loss_filter.rate(state)
    return loss_filter.span(replace(state, variance=max(0.0, variance)), factor)


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
    begin: LossState | None = None
    state: LossState | None = None
    until_then: LossState | None = None
    taught = next((one for one in reversed(log.fills) if one.closes and not one.estimated), None)
    flags: tuple[LossFlag, ...] = ()
    if prior is not None:
        begin = loss_filter.start(prior, factor=factor_on(factors, on))
        before = [] if taught is None else [taught.at - timedelta(microseconds=1)]
        steps = [*before, FAR]
        *known, (state, flags) = loss_filter.folded_until(
            begin, log.fills, restated, steps, settings, factors
        )
        until_then = known[0][0] if known else None

    def unsure(days: float) -> float:
        """Return by how many times the loss over some days may depart from the usual."""
        if state is None:
            return 1.0
        lost = loss_filter.loss_over(state, min(days, loss_filter.FARTHEST_DAYS), 1.0, settings)
        return lost.high / lost.value if lost.value > 0.0 else 1.0

    full = salinity_when_full(tank, net, rate_of(state, factors), unsure, entries, freezes)

    def rates(moments: Sequence[datetime]) -> Iterable[Rate | None]:
        """Return the loss a day as it was known at these moments."""
        if begin is None:
            return [None] * len(moments)
        found = loss_filter.folded_until(begin, log.fills, restated, moments, settings, factors)
        return (rate_of(one, factors) for one, _ in found)

    newest = _newest_readings(entries)
    return Learned(
        net=net,
        level_area_cm2=area,
        state=state,
        basis=prior.basis if prior is not None else None,
        settings=settings,
        factors=factors,
        flags=flags,
        log=log,
        salinity_at_mark=full.value,
        readings=tuple(newest[name] for name in sorted(newest)),
        read_before=_read_before(entries, newest),
        salinity_read_at=full.read_at,
        salinity_changed_at=full.changed_at,
        salinity_by_loss=full.by_loss,
        poured=poured_since_read(tank, net, rates, entries, freezes),
        taught_by=taught,
        state_before_fill=until_then,
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


def _newest_readings(entries: Sequence[Entry]) -> dict[str, tuple[ReadingValue, Entry]]:
    """Return the newest value of each parameter."""
    newest: dict[str, tuple[ReadingValue, Entry]] = {}
    for entry in entries:
        if isinstance(entry.fact, Readings):
            for value in entry.fact.values:
                newest[value.parameter] = (value, entry)
    return newest


def _read_before(
    entries: Sequence[Entry], newest: Mapping[str, tuple[ReadingValue, Entry]]
) -> dict[str, tuple[float, ...]]:
    """Return the values before each newest one: those of its day, behind the last one before it."""
    same: dict[str, tuple[float, ...]] = {}
    before: dict[str, tuple[float, ...]] = {}
    for entry in entries:
        if not isinstance(entry.fact, Readings):
            continue
        for value in entry.fact.values:
            name = value.parameter
            new = newest[name][1]
            if entry is new or entry.day > new.day:
                continue
            if entry.day == new.day:
                same[name] = (*same.get(name, ()), value.value)
            elif entry.day >= new.day - timedelta(days=OLDEST_DAYS):
                before[name] = (value.value,)
    return {name: (*before.get(name, ()), *same.get(name, ())) for name in newest}
