"""Undo in a new window takes back what was written today, whatever day that tells of."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from tankkeeper.app.clock import Ids
from tankkeeper.core.logbook import Entry, Readings, Revoke, TopOff
from tankkeeper.core.parameters import ReadingValue
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import SEVEN

IDS = Ids()
AN_HOUR_AGO = (SEVEN - timedelta(hours=1)).astimezone(UTC)
YESTERDAY = AN_HOUR_AGO - timedelta(days=1)
# SEVEN is of Thursday 12 March 2026.
TUESDAY = "2026-03-10"


def written(entry: Entry, at: datetime) -> Entry:
    """Return an entry as it is written down at a moment: its id is made then."""
    return replace(entry, id=IDS.new(at))


def nitrate(value: float) -> Readings:
    """Return a reading of so many mg/L."""
    return Readings((ReadingValue("nitrate", value, "mg/L", value),))


def test_a_top_off_of_tuesday_that_was_written_today_is_taken_back(live_in: LiveIn) -> None:
    """And not the tick of this morning that was written before it, which the list shows above."""
    tick = written(an_entry(1, "2026-03-12", done="glass", tank="reef"), AN_HOUR_AGO)
    late = written(an_entry(2, TUESDAY, TopOff(2.0), tank="nook"), AN_HOUR_AGO)
    hands = live_in(entries=(tick, late))

    hands.press("Ctrl+Z")

    assert hands.told.startswith("Undone: Topped off, 2")
    assert hands.log()[0].entry.fact == Revoke(late.id)


def test_a_correction_of_today_of_an_older_reading_is_taken_back(live_in: LiveIn) -> None:
    """What was corrected holds again."""
    read = written(an_entry(1, TUESDAY, nitrate(95.0), tank="nook"), YESTERDAY)
    right = written(an_entry(2, TUESDAY, nitrate(9.5), tank="nook"), AN_HOUR_AGO)
    right = replace(right, replaces=read.id)
    hands = live_in(entries=(read, right))
    assert [one.entry.id for one in hands.log() if not one.revoked] == [right.id]

    hands.press("Ctrl+Z")

    assert hands.log()[0].entry.fact == Revoke(right.id)
    assert read.id in [one.entry.id for one in hands.log() if not one.revoked]


def test_what_was_written_yesterday_is_left_alone_though_it_tells_of_today(
    live_in: LiveIn,
) -> None:
    """The day on which it was written is told."""
    early = written(an_entry(1, "2026-03-12", TopOff(2.0), tank="nook"), YESTERDAY)
    hands = live_in(entries=(early,))

    hands.press("Ctrl+Z")

    assert hands.told.startswith(
        "Nothing written today is left to undo; the newest entry that stands is of Wednesday"
    )
    assert len(hands.log()) == 1


def test_a_day_of_which_all_was_taken_back_is_not_called_one_without_an_entry(
    live_in: LiveIn,
) -> None:
    """Both rows of today stay in the logbook: the entry, and the one that took it back."""
    early = written(an_entry(1, "2026-03-11", TopOff(2.0), tank="nook"), YESTERDAY)
    late = written(an_entry(2, "2026-03-12", done="glass", tank="reef"), AN_HOUR_AGO)
    undo = written(an_entry(3, "2026-03-12", Revoke(late.id)), AN_HOUR_AGO)
    hands = live_in(entries=(early, late, undo))

    hands.press("Ctrl+Z")

    assert hands.told.startswith(
        "Nothing written today is left to undo; the newest entry that stands is of Wednesday"
    )
    assert len(hands.log()) == 3
