"""What brought the top-offs of a tank closer together, in one sentence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.history import history_of
from tankkeeper.core.household import OwnRange, ShownUnits, Tank, TopOffLimits
from tankkeeper.core.logbook import Entry, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.parameters import parse_reading
from tankkeeper.core.state import fold_household, items_of
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.sooner_words import sooner_sentence
from tankkeeper.reports.words import Words
from tests.builders import a_box, a_moment, an_entry
from tests.reports.scenes import EVAPORATION, chore, fills, item, nook, state, top_off


def said(entries: list[Entry], tank: Tank) -> str:
    """Return the reason of the top-off."""
    row, words = item(top_off(), entries, tanks=(tank,))
    return plain(reason(row, words))


def read(salinity: str, on: str, seq: int = 50) -> Entry:
    """Return a salinity that was read right after the round."""
    fact = Readings((parse_reading("salinity", salinity),))
    return an_entry(seq, on, fact, tank="nook", at=time(12, 30))


def by_salinity() -> Tank:
    """Return the 86 L, kept at 35.0 and to 36.5, whose salinity decides; the level never does."""
    made = nook(allowed_drop_mm=5000.0)
    return replace(made, target_salinity=35.0, ranges=(OwnRange("salinity", 34.0, 36.5),))


def slow(last: str) -> list[Entry]:
    """Return fills that tell of 0.28 L a day."""
    return fills(last, litres=0.55)


def test_a_salinity_read_above_the_target_says_that_the_top_off_comes_sooner() -> None:
    """The target may rise by 0.5 (common practice, no source), 36.3 by 0.2 to the end of its range.

    Of 86 L a share of 0.5/35.5 is 1.2 L, which lasts two days and a half at up to 0.46 L a day; one
    of 0.2/36.5 is 0.5 L, a good day.
    """
    text = said([*slow("2026-03-11"), read("36.3", "2026-03-11")], by_salinity())

    assert (
        "It comes sooner since the salinity was read yesterday: 36.3 PSU, so about 36.3 PSU when "
        "full, above the target of 35.0 PSU; the full tank lasts 1 day, not 2 days."
    ) in text


def test_a_change_since_the_reading_is_told_with_it() -> None:
    """The full tank had 36.8 then, beyond its range; 20 L of 86 at 34.6 leave about 36.3."""
    change = WaterChange(20.0, salinity=34.6)
    changed = an_entry(60, "2026-03-11", change, tank="nook", at=time(13))
    text = said([*slow("2026-03-11"), read("36.8", "2026-03-09"), changed], by_salinity())

    assert (
        "It comes sooner since the full tank has about 36.3 PSU, by the 36.8 PSU read on Mon 9 "
        "and the water changed yesterday, above the target of 35.0 PSU; the full tank lasts 1 "
        "day, not 2 days."
    ) in text


@pytest.mark.parametrize("salinity", ["34.8", "35.0", "35.1"])
def test_nothing_is_said_of_a_salinity_that_moves_next_to_nothing(salinity: str) -> None:
    """At its target or below, and so little above that no day is lost by it."""
    text = said([*slow("2026-03-11"), read(salinity, "2026-03-11")], by_salinity())

    assert "sooner" not in text
    assert "binds first" in text


def test_a_second_reading_that_says_the_same_is_told_like_the_first() -> None:
    """What brings the top-off closer still is the salinity, read last on that day."""
    log = [*slow("2026-03-11"), read("36.3", "2026-03-09", 50), read("36.3", "2026-03-11", 51)]

    assert "since the salinity was read yesterday: 36.3 PSU" in said(log, by_salinity())


def test_where_the_level_decides_no_salinity_is_blamed() -> None:
    """Of a drop of 6 mm nothing is lost by whatever salt is in the water."""
    tank = replace(nook(allowed_drop_mm=6.0, allowed_salinity_rise=5.0), target_salinity=35.0)

    assert "sooner" not in said([*slow("2026-03-11"), read("36.3", "2026-03-11")], tank)


def stepped(*litres: float, earlier: timedelta = timedelta(hours=5, minutes=5)) -> list[Entry]:
    """Return fills of 1.1 L until the 7th, from then on of these litres each day: before seven."""
    at_noon = fills("2026-03-07") + [
        an_entry(20 + at, f"2026-03-{8 + at:02d}", TopOff(one), tank="nook", done="it")
        for at, one in enumerate(litres)
    ]
    return [replace(one, at=one.at - earlier) for one in at_noon]


def test_a_measured_top_off_that_raises_the_loss_says_so() -> None:
    """From 0.55 L a day to 2.2: two such fills bring it from every second day to every day.

    On 2400 cm2 8 mm are 1.9 L: two days at up to 0.81 L a day, one at 1.05.
    """
    tank = nook(allowed_drop_mm=8.0, allowed_salinity_rise=5.0)

    first, second = said(stepped(2.2), tank), said(stepped(2.2, 2.2), tank)

    assert "sooner" not in first
    assert (
        "It comes sooner since the top-off measured on Mon 9: by it the loss is reckoned with as "
        "up to 1.1 L a day, not 0.91; the full tank lasts 1 day, not 2 days."
    ) in second


def test_where_it_would_have_come_on_that_day_anyway_nothing_is_told() -> None:
    """Two days and 25 minutes from half past six end before the round at seven, too."""
    tank = nook(allowed_drop_mm=8.0, allowed_salinity_rise=5.0)

    row, words = item(top_off(), stepped(2.2, 2.2, earlier=timedelta(hours=5.5)), tanks=(tank,))

    assert row.open is not None
    assert row.open.target == date(2026, 3, 10)
    assert sooner_sentence(row, words) == ""


def test_where_the_tank_lasted_longer_than_whole_days_say_nothing_is_told() -> None:
    """A filling at noon lasts a good day and a half, so its turn is that of the day after next."""
    tank = nook(allowed_drop_mm=8.0, allowed_salinity_rise=5.0)

    row, words = item(top_off(), stepped(2.2, 2.2, earlier=timedelta(0)), tanks=(tank,))

    assert row.open is not None
    assert row.open.target == date(2026, 3, 11)
    assert row.water is not None
    assert row.water.full_interval_days == 1
    assert sooner_sentence(row, words) == ""


@pytest.mark.parametrize(
    ("hour", "next_on", "is_told"),
    [(time(6, 50), 13, True), (time(7, 10), 14, False), (time(19), 14, False)],
)
def test_of_a_tank_filled_today_only_what_its_next_turn_shows_is_told(
    hour: time, next_on: int, is_told: bool
) -> None:
    """What may go lasts ten minutes short of two days, and the round is at seven.

    Filled before that, the tank is due the next day. Filled just after it the water lasts to the
    round of the day after, to which it would last with the tank at its target.
    """
    tank = replace(by_salinity(), ranges=(OwnRange("salinity", 34.0, 36.561),))
    last = an_entry(40, "2026-03-12", TopOff(0.55), tank="nook", done="it", at=hour)
    log = [*slow("2026-03-10"), last, replace(read("36.2", "2026-03-12"), at=last.at)]
    home = state(top_off(), tanks=(tank,)).household
    folded = fold_household(home, history_of(log), a_moment("2026-03-12", time(20)).now)
    row = items_of(folded, folded.chores[0])[0]
    words = Words(folded.household, folded.moment)

    assert row.next_turn is not None
    assert row.next_turn.target == date(2026, 3, next_on)
    text = plain(reason(row, words))
    assert ("the full tank lasts 1 day, not 2 days." in text) == is_told
    assert ("sooner" in text) == is_told


def test_once_the_loss_stays_what_it_was_nothing_is_said_any_more() -> None:
    """The fills after it tell the same loss."""
    tank = nook(allowed_drop_mm=8.0, allowed_salinity_rise=5.0)

    assert "sooner" not in said(stepped(2.2, 2.2, 2.2, 2.2), tank)


def test_a_top_off_that_was_put_off_is_where_somebody_put_it() -> None:
    """No reading moved it there."""
    row, words = item(
        top_off(), [*slow("2026-03-11"), read("36.3", "2026-03-11")], tanks=(by_salinity(),)
    )
    assert row.open is not None
    assert sooner_sentence(row, words)

    assert sooner_sentence(replace(row, open=replace(row.open, is_put_off=True)), words) == ""


def test_of_a_reservoir_its_measured_use_is_told() -> None:
    """2.5 L last three days at up to 0.75 L a day, and two at 0.87, in the gallons shown, too."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=2.5))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    used = [1.1] * 12 + [2.4] * 2
    log = [
        an_entry(seq, date(2026, 2, 8) + timedelta(days=2 * seq), ReservoirCheck(fill_l=litres))
        for seq, litres in enumerate(used, start=1)
    ]
    log = [replace(one, tank="nook") for one in log]
    row, words = item(refill, log, tanks=(tank,))
    gallons = replace(words.household, units=ShownUnits(volume="US gal"))

    assert plain(sooner_sentence(row, words)) == (
        "It comes sooner since the use of the reservoir measured on Sun 8: by it the loss is "
        "reckoned with as up to 0.87 L a day, not 0.75; the full reservoir lasts 2 days, not "
        "3 days."
    )
    assert "up to 0.23 US gal a day, not 0.20;" in plain(
        sooner_sentence(row, replace(words, household=gallons))
    )
