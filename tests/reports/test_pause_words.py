"""What is said of a tank whose stage and whose pause by the log are not the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.household import Stage
from tankkeeper.core.logbook import Entry, Pause, PauseMode, Resume
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.pause_words import stage_and_pause
from tests.builders import an_entry, day
from tests.reports.scenes import chore, nook, state, words_for

UNTIL_SATURDAY = Pause(PauseMode.HOLD, until=day("2026-03-14"))


@pytest.mark.parametrize(
    ("stage", "entries", "told"),
    [
        (Stage.RUNNING, [], "The tank is running."),
        (Stage.PAUSED, [], "The tank is paused."),
        (Stage.RETIRED, [], "The tank is retired."),
        (
            Stage.CYCLING,
            [an_entry(1, "2026-03-09", Pause(PauseMode.FREEZE), tank="nook")],
            "It has been paused since Mon 9; its stage is cycling.",
        ),
        (
            Stage.RUNNING,
            [
                an_entry(
                    1, "2026-03-11", Pause(PauseMode.HOLD, until=day("2026-03-14")), tank="nook"
                )
            ],
            "It has been paused since yesterday, until Saturday; its stage is running.",
        ),
        (
            Stage.PAUSED,
            [an_entry(1, "2026-03-11", Resume(), tank="nook")],
            "It was let go on; its stage is paused.",
        ),
    ],
)
def test_stage_and_pause_are_told_as_they_are(
    stage: Stage, entries: list[Entry], told: str
) -> None:
    """Today is Thursday 12 March; a tank that rests by the log is never told as running."""
    tank = replace(nook(), stage=stage, since=day("2026-03-01"))
    folded = state(chore(), entries, tanks=(tank,))

    assert plain(stage_and_pause(tank, folded.pause_of(tank), words_for())) == told
