"""The salinity that a tank has when full by its newest reading, and what was poured in since."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from functools import partial
from typing import NamedTuple

from tankkeeper.core import loss_filter
from tankkeeper.core.balance import (
    LARGEST_SHARE_LOST,
    salinity_after_evaporation,
    salinity_of_mixture,
    water_mass_kg,
)
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.evaporation import factor_on
from tankkeeper.core.fills import fill_log
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Fact, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.loss_filter import LossState
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.pauses import Span
from tankkeeper.core.salinity_reach import most_lost_l
from tankkeeper.core.seawater import fresh_density_kg_m3
from tankkeeper.core.target_ranges import range_of, side_of
from tankkeeper.core.units import HARD_RANGES
from tankkeeper.core.usual_water import usual_water_c
from tankkeeper.core.values import dataclass

# The litres lost a day, by the season of a day.
Rate = Callable[[date], float]
# By how many times the loss over so many days may depart from the usual, either way.
Unsure = Callable[[float], float]
# Of water that has evaporated for long more is reckoned, for which the density is not known.
_HIGHEST = HARD_RANGES["salinity"].high


class WhenFull(NamedTuple):
    """The salinity that a tank has when full, and when the reading was made that says so.

    `changed_at` is when water was changed last since then, None where it was not.
    `by_loss` is what it is by the least and by the most loss: the more was missing when water was
    changed, the more salt went out, so the second is no higher.
    """

    value: float | None
    read_at: datetime | None
    by_loss: tuple[float, float] | None = None
    changed_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Poured:
    """The salinity that was reckoned right after water went in: `now`, and `when_full`."""

    now: float
    when_full: float


def rate_of(state: LossState | None, factors: tuple[float, ...] | None) -> Rate | None:
    """Return the loss a day by what the filter knows, None where it knows nothing."""
    return None if state is None else partial(_rate_on, state, factors)


def _rate_on(state: LossState, factors: tuple[float, ...] | None, on: date) -> float:
    return loss_filter.rate(state, factor_on(factors, on))


def salinity_when_full(
    tank: Tank,
    net: Estimate | None,
    rate: Rate | None,
    unsure: Unsure,
    entries: Sequence[Entry],
    freezes: Sequence[Span],
) -> WhenFull:
    """Return the salinity the tank has when full, and when the reading was made that says so.

    A reading taken below the mark is brought back to the mark by the water that was missing: what
    the next fill took, spread from mark to mark, else the usual loss. A change takes out water as
    salty as it was by then, and mixes in what was poured in. Only what follows the newest reading
    matters, and nothing that was read before the tank stood still.
    """
    stood_until = _stood_until(freezes)
    start = _newest_salinity(entries, stood_until)
    if start is None:
        salinity, later, read_at = tank.target_salinity, 0, None
    else:
        salinity = _brought_back(tank, net, rate, entries, start, freezes)
        later, read_at = start[1] + 1, entries[start[1]].at
    if salinity is None or net is None:
        return WhenFull(salinity, read_at)
    places = [
        place
        for place in range(later, len(entries))
        if _is_change(entries[place]) and entries[place].day.toordinal() > stood_until
    ]
    changes = [
        (entries[place].fact, _missing_before(tank, rate, unsure, entries, place, read_at, freezes))
        for place in places
    ]
    value, by_least, by_most = (
        _mixed(tank, salinity, [(fact, missing[end]) for fact, missing in changes], net.value)
        for end in range(3)
    )
    changed_at = entries[places[-1]].at if places else None
    return WhenFull(value, read_at, (by_least, by_most), changed_at)


def poured_since_read(
    tank: Tank,
    net: Estimate | None,
    rates: Callable[[Sequence[datetime]], Iterable[Rate | None]],
    entries: Sequence[Entry],
    freezes: Sequence[Span],
) -> tuple[Poured, ...]:
    """Return what was reckoned after each time water went in since the newest salinity was read.

    Each by the loss that was known at that moment (`rates`), so that what was said of it then stays
    so. Nothing of a reading inside its range, which nobody asks about.
    """
    start = _newest_salinity(entries, _stood_until(freezes))
    if start is None or net is None:
        return ()
    wanted = range_of(tank, PARAMETERS["salinity"])
    if side_of(start[0], wanted) is None:
        return ()
    places = [
        place
        for place in range(start[1] + 1, len(entries))
        if isinstance(entries[place].fact, (TopOff, ReservoirCheck, WaterChange))
    ]
    found: list[Poured] = []
    known = rates([entries[place].at for place in places])
    for place, rate in zip(places, known, strict=True):
        # What follows was not known then.
        until = entries[: place + 1]
        changes = [
            (until[at].fact, _missing_before(tank, rate, _surely, until, at, None, freezes)[0])
            for at in places
            if at <= place and _is_change(until[at])
        ]
        brought_back = _brought_back(tank, net, rate, until, start, freezes)
        full = _mixed(tank, brought_back, changes, net.value)
        missing = _missing_after(tank, rate, entries, place, freezes)
        found.append(Poured(risen(tank, net.value, full, missing), full))
        if side_of(found[-1].now, wanted) is None and side_of(full, wanted) is None:
            # Whatever side the reading was on, what follows tells no more of it.
            break
    return tuple(found)


def risen(tank: Tank, net_l: float, full: float, litres: float) -> float:
    """Return the salinity after `litres` have gone; at most that of a fifth of the water gone."""
    within = min(litres, most_lost_l(net_l))
    return salinity_after_evaporation(net_l, full, within, usual_water_c(tank))


def _stood_until(freezes: Sequence[Span]) -> int:
    return max((span.last for span in freezes), default=0)


def _brought_back(
    tank: Tank,
    net: Estimate | None,
    rate: Rate | None,
    entries: Sequence[Entry],
    start: tuple[float, int],
    freezes: Sequence[Span],
) -> float:
    """Return what a reading would have been in the full tank."""
    salinity, place = start
    if net is None or rate is None:
        return salinity
    missing = _told_by_fill(tank, rate, entries, place, freezes)
    if missing is None:
        before = entries[_last_mark(tank, entries, place) : place]
        at = entries[place]
        missing = _missing_at(tank, rate(at.day), before, at.at, freezes)
    return salinity * (1.0 - _missing_share(tank, net.value, salinity, missing))


def _is_change(entry: Entry) -> bool:
    return isinstance(entry.fact, WaterChange)


def _mixed(
    tank: Tank, salinity: float, changes: Iterable[tuple[Fact | None, float]], net_l: float
) -> float:
    """Return the salinity of the full tank after changes, each with what was missing before it.

    What goes out is as salty as the tank is by then. What goes in beyond that fills it up to the
    mark at most.
    """
    for fact, missing in changes:
        if not isinstance(fact, WaterChange) or fact.litres is None or fact.salinity is None:
            continue
        short = min(missing, most_lost_l(net_l))
        left = max(0.0, net_l - short - fact.litres)
        poured = fact.litres if fact.added_l is None else fact.added_l
        within = min(poured, fact.litres + short, net_l - left)
        if within <= 0.0 and left <= 0.0:
            continue
        now = risen(tank, net_l, salinity, short)
        now = salinity_of_mixture(left, now, within, fact.salinity, usual_water_c(tank))
        full = now * (1.0 - _missing_share(tank, net_l, now, net_l - left - within))
        salinity = min(_HIGHEST, full)
    return salinity


def _missing_before(
    tank: Tank,
    rate: Rate | None,
    unsure: Unsure,
    entries: Sequence[Entry],
    place: int,
    read_at: datetime | None,
    freezes: Sequence[Span],
) -> tuple[float, float, float]:
    """Return the litres missing below the mark right before a change: usual, least and most.

    What the next measured fill tells is sure. Else unsure is the loss since the mark, or since the
    salinity was read.
    """
    if rate is None:
        return 0.0, 0.0, 0.0
    told = _told_by_fill(tank, rate, entries, place, freezes)
    if told is not None:
        return told, told, told
    begin, entry = _last_mark(tank, entries, place), entries[place]
    loss = 0.5 * (rate(entries[begin].day) + rate(entry.day))
    usual, least, most = (
        _missing_at(tank, loss, entries[begin:place], entry.at, freezes, times)
        for times in _either_way(unsure, entries[begin].at, entry.at)
    )
    if read_at is not None and read_at >= entries[begin].at:
        days = _days(read_at, entry.at)
        _, less, more = (
            loss * days * (one - 1.0) for one in _either_way(unsure, read_at, entry.at)
        )
        least, most = max(least, usual + less), min(most, usual + more)
    return usual, min(least, usual), max(most, usual)


def _either_way(unsure: Unsure, begin: datetime, at: datetime) -> tuple[float, float, float]:
    wide = unsure(_days(begin, at))
    return 1.0, 1.0 / wide, wide


def _surely(_days: float) -> float:
    """Return the departure of a loss of which only the usual is asked: none."""
    return 1.0


def _days(begin: datetime, at: datetime) -> float:
    return max(0.0, (at - begin).total_seconds() / 86400.0)


def _missing_share(tank: Tank, net_l: float, salinity: float, missing_l: float) -> float:
    """Return the share of the full tank's mass that had evaporated, at most a fifth."""
    lost_kg = missing_l * fresh_density_kg_m3(usual_water_c(tank)) / 1000.0
    share = 0.0
    for _ in range(2):
        # The full tank is less salty and so a little lighter than by what is there.
        full = min(_HIGHEST, salinity * (1.0 - share))
        mass_kg = water_mass_kg(net_l, full, usual_water_c(tank))
        share = min(LARGEST_SHARE_LOST, lost_kg / mass_kg)
    return share


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
        if _is_mark(tank, entries[place]):
            return place
    return 0


def _is_mark(tank: Tank, entry: Entry) -> bool:
    """Tell whether the level, or what the reservoir holds, was known after an entry."""
    fact = entry.fact
    if tank.has_automatic_top_off:
        return isinstance(fact, ReservoirCheck) and fact.left_l != 0.0
    return isinstance(fact, TopOff) and fact.to_mark


def _told_by_fill(
    tank: Tank, rate: Rate, entries: Sequence[Entry], place: int, freezes: Sequence[Span]
) -> float | None:
    """Return the litres missing at a reading by what it took to fill the tank after it.

    The loss is spread evenly from mark to mark; without a mark before, the usual loss is taken back
    from what went in. None where no measured fill followed, or where a reservoir keeps the level.
    """
    if tank.has_automatic_top_off:
        return None
    marks = (at for at in range(place + 1, len(entries)) if _is_mark(tank, entries[at]))
    end = next(marks, None)
    if end is None:
        return None
    begin = _last_mark(tank, entries, place)
    fills = fill_log(tank, entries[begin : end + 1], freezes).fills
    read, filled, since = entries[place].at, entries[end], entries[begin]
    is_from_mark = begin < place and _is_mark(tank, since)
    if is_from_mark:
        fills = fills[1:]
    if any(one.estimated for one in fills):
        return None
    poured = sum(one.litres for one in fills)
    before = fill_log(tank, entries[begin:place], freezes).added_since_l
    if not is_from_mark:
        lost_since = rate(filled.day) * (filled.at - read).total_seconds() / 86400.0
        return max(0.0, poured - before - lost_since)
    whole = (filled.at - since.at).total_seconds()
    share = (read - since.at).total_seconds() / whole if whole > 0.0 else 1.0
    return max(0.0, poured * share - before)


def _missing_after(
    tank: Tank,
    rate: Rate | None,
    entries: Sequence[Entry],
    place: int,
    freezes: Sequence[Span],
) -> float:
    """Return the litres that were missing below the mark once an entry was made."""
    if rate is None:
        return 0.0
    begin, entry = _last_mark(tank, entries, place + 1), entries[place]
    loss = 0.5 * (rate(entries[begin].day) + rate(entry.day))
    return _missing_at(tank, loss, entries[begin : place + 1], entry.at, freezes)


def _missing_at(
    tank: Tank,
    loss_l_per_day: float,
    entries: Sequence[Entry],
    at: datetime,
    freezes: Sequence[Span],
    times: float = 1.0,
) -> float:
    """Return the litres that were missing below the mark at a moment, after these entries.

    `times` is by how many times the loss departed from the usual.
    """
    log = fill_log(tank, entries, freezes)
    if log.mark is None or (tank.has_automatic_top_off and log.content_l is None):
        return 0.0
    days = (at - log.mark.at).total_seconds() / 86400.0
    return max(0.0, times * loss_l_per_day * days - (log.content_l or 0.0) - log.added_since_l)
