"""What is said of a loss: what it rests on, why its span widens, by which the days are told."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.logbook import Entry, ReservoirCheck, TopOff
from tankkeeper.core.state import Item
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tests.builders import a_box, an_entry
from tests.reports.scenes import EVAPORATION, chore, fills, item, nook, top_off

WIDENS = "and the span of the loss widens; a measured one narrows it."


def _kept_as_proposed(log: list[Entry], newest: int) -> list[Entry]:
    """Return fills whose newest ones nobody measured."""
    first = len(log) - newest
    return [
        replace(one, fact=replace(one.fact, estimated=True))
        if place >= first and isinstance(one.fact, TopOff)
        else one
        for place, one in enumerate(log)
    ]


def _reservoir(litres: float, reserve: float, log: list[tuple[str, float]]) -> tuple[Item, Words]:
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=litres, reserve_l=reserve))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    entries = [
        an_entry(seq, on, ReservoirCheck(fill_l=fill), tank="nook", done="it")
        for seq, (on, fill) in enumerate(log, start=1)
    ]
    return item(refill, entries, tanks=(tank,))


def test_fills_kept_as_proposed_are_told_where_the_span_widened_by_them() -> None:
    """Four in eight days widen it so that it is seen, one does not; one measured ends it."""
    log, tank = fills("2026-03-11"), nook(allowed_drop_mm=60)

    def told(log: list[Entry]) -> str:
        return plain(reason(*item(top_off(), log, tanks=(tank,))))

    four = told(_kept_as_proposed(log, 4))
    assert (
        f"The last 4 fills were kept as proposed, not measured, so they teach nothing {WIDENS}"
        in four
    )
    assert "kept as proposed" not in told(_kept_as_proposed(log, 1))
    assert "kept as proposed" not in told(log)
    measured = [*_kept_as_proposed(fills("2026-03-09"), 4), replace(log[-1], id="last", seq=99)]
    assert "kept as proposed" not in told(measured)


def test_a_part_kept_as_proposed_costs_its_whole_fill_and_that_is_told() -> None:
    """Half was poured in as proposed the day before; nobody knows what both were together."""
    tank = nook(allowed_drop_mm=60)

    def told(count: int, *, estimated: bool) -> str:
        log = fills("2026-03-11")
        parts = [
            replace(
                one,
                id=f"part-{one.seq}",
                seq=one.seq * 10 - 5,
                at=one.at - timedelta(days=1),
                fact=TopOff(0.5, to_mark=False, estimated=estimated),
                completes=(),
            )
            for one in log[-count:]
        ]
        whole = [replace(one, seq=one.seq * 10) for one in log]
        entries = sorted([*whole, *parts], key=lambda one: one.seq)
        return plain(reason(*item(top_off(), entries, tanks=(tank,))))

    assert (
        "The last 4 fills were kept as proposed, whole or in part, not measured, so they teach "
        f"nothing {WIDENS}"
    ) in told(4, estimated=True)
    assert "kept as proposed" not in told(4, estimated=False)


def test_one_part_kept_as_proposed_is_told_of_its_fill() -> None:
    """After 40 days in which the loss may have wandered."""
    tank = nook(allowed_drop_mm=60)
    part = an_entry(900, "2026-03-01", TopOff(0.5, to_mark=False, estimated=True), tank="nook")
    whole = an_entry(901, "2026-03-11", TopOff(5.0), tank="nook", done="it")
    log = [*fills("2026-01-30"), part, whole]

    told = plain(reason(*item(top_off(), log, tanks=(tank,))))

    assert (
        "A part of the last fill was kept as proposed, not measured, so that fill teaches "
        f"nothing {WIDENS}"
    ) in told


def test_where_no_fill_was_ever_measured_the_next_is_not_said_to_tell_it() -> None:
    """Only one that is measured does; the first mark alone would teach nothing anyway."""
    tank = nook(allowed_drop_mm=60)

    def told(count: int) -> str:
        log = _kept_as_proposed(fills("2026-03-11", count=count), count)
        return plain(reason(*item(top_off(), log, tanks=(tank,))))

    assert "room air alone; the next fillings tell it better." in told(1)
    assert (
        "room air alone: the last 3 fills were kept as proposed, not measured, so they teach "
        "nothing; a measured one tells it better."
    ) in told(3)


def test_a_reservoir_kept_full_as_proposed_tells_it_too() -> None:
    """Six fills in four weeks by which nothing was learned."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=25.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    days = [f"2026-02-{day:02d}" for day in range(1, 28, 2)] + ["2026-03-04", "2026-03-11"]
    log = [
        an_entry(seq, on, ReservoirCheck(2.0, estimated=seq > 10), tank="nook", done="it")
        for seq, on in enumerate(days, start=1)
    ]
    log = [replace(one, fact=replace(one.fact, left_l=None, fill_l=2.0)) for one in log]  # type: ignore[type-var]

    told = plain(reason(*item(refill, log, tanks=(tank,))))

    assert (
        f"The last 6 fills were kept as proposed, not measured, so they teach nothing {WIDENS}"
        in told
    )


@pytest.mark.parametrize(
    ("litres", "reserve", "log"),
    [
        (
            25.0,
            0.0,
            [(f"2026-02-{day:02d}", 8.0) for day in (6, 12, 18, 24)] + [("2026-03-02", 6.0)],
        ),
        (
            25.0,
            2.0,
            [(f"2026-02-{day:02d}", 8.0) for day in (6, 12, 18, 24)] + [("2026-03-02", 6.0)],
        ),
        (25.0, 0.0, [("2026-03-06", 8.0)]),
        (8.0, 4.0, [("2026-03-11", 3.0)]),
    ],
)
def test_who_divides_what_is_left_finds_the_days_that_are_told(
    litres: float, reserve: float, log: list[tuple[str, float]]
) -> None:
    """The figures as they stand there, both ends: less the reserve, by the loss reckoned with."""
    row, words = _reservoir(litres, reserve, log)
    water = row.water
    assert water is not None
    assert water.reservoir_left is not None
    assert water.reservoir_days is not None
    figures = {name: plain(value) for name, value in numbers_used(row, words)}

    low, high = re.fullmatch(r"(\S+) to (\S+) L a day", figures["Loss reckoned with"]).groups()  # type: ignore[union-attr]

    assert figures.get("Reserve in it", "0 L") == f"{reserve:.0f} L"
    left, days = water.reservoir_left, water.reservoir_days
    assert (left.low - reserve) / float(high) == pytest.approx(days.low, rel=0.05)
    assert (left.high - reserve) / float(low) == pytest.approx(days.high, rel=0.05)
    told = plain(reason(row, words))
    assert f" a day, reckoned with as {low} to {high} L, it lasts " in told


def test_a_loss_reckoned_with_is_open_where_one_end_of_the_days_is() -> None:
    """Nothing may be left by now, or it lasts for more than a year."""

    def told(*case: object) -> str:
        return plain(dict(numbers_used(*_reservoir(*case)))["Loss reckoned with"])  # type: ignore[arg-type]

    assert told(10.8, 0.0, [("2026-03-06", 8.0)]) == "at least 0.36 L a day"
    assert told(800.0, 4.0, [("2026-03-11", 3.0)]) == "at most 4.7 L a day"
