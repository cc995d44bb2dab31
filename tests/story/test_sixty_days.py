"""The sample household lived day by day: what the round says is done, and nothing moves by itself.

The household is invented. Its true water goes on by the sample's own physics, which the program
never sees; the keeper reads it with the noise of kits, eyes and jugs.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tankkeeper.services.sample import make_sample
from tests.story.keeper import Keeper, Plan
from tests.story.program import ROOT, Program
from tests.story.truth import Truth

DEFINITIONS = (ROOT / "sample_tanks" / "sample_household.toml").read_text(encoding="utf-8")
ZONE = ZoneInfo("Europe/Berlin")
# The last Sunday of March, on which the clocks go forward, lies within the story.
OPENED_ON = date(2026, 2, 16)


def a_keeper(folder: Path, days: int, plan: Plan) -> Keeper:
    """Return a keeper on the morning on which the sample is opened."""
    program = Program(folder / "house.tankkeeper", ZONE, datetime.min.replace(tzinfo=ZONE))
    program.at(OPENED_ON, time(6, 55))
    program.do("new", str(program.file), "--sample")
    sample = make_sample(DEFINITIONS, program.now)
    chores = {chore.id: chore for chore in sample.household.chores}
    return Keeper(program, Truth(sample, OPENED_ON, days), chores, plan)


def lived(keeper: Keeper, days: int) -> Keeper:
    """Return the keeper after so many days."""
    for number in range(days):
        keeper.live(number, OPENED_ON + timedelta(days=number))
    return keeper


def moves_house(keeper: Keeper) -> None:
    """Write the household out as text, read it into a new file, and live on there.

    The round is the same to the letter, the ids of its items included.
    """
    program = keeper.program
    before = program.document("round"), program.ahead(program.now.date() + timedelta(days=30))
    text = program.file.with_suffix(".toml")
    program.do("export", "all", str(text))
    program.file = program.file.with_name("moved.tankkeeper")
    program.do("import", str(text))
    after = program.document("round"), program.ahead(program.now.date() + timedelta(days=30))
    if before != after:
        keeper.say("the round after export and import differs")
    keeper.did["moved house"] += 1


def test_twelve_days_hold(tmp_path: Path) -> None:
    """Three days away, a top-off told late, a pause, an undo, a move to another file."""
    plan = Plan(
        away=frozenset({4, 5, 6}),
        filled_by_neighbour={5: "ledge"},
        pauses={2: ("pebble.clean-the-glass", 4)},
        undone=frozenset({1, 8}),
        processes=frozenset({3}),
        other={9: moves_house},
        is_compared=True,
    )

    keeper = lived(a_keeper(tmp_path, 12, plan), 12)

    assert keeper.wrong == []
    assert keeper.did["days away"] == 3
    assert keeper.did["moved house"] == keeper.did["logged days later"] == keeper.did["paused"] == 1
    assert keeper.did["undone and redone"] >= 1
    assert keeper.did["ticked top-off"] >= 6
    assert keeper.did["views compared"] == 2 * (12 - 3)
    assert keeper.did["salinities checked"] >= 28


@pytest.mark.slow
def test_sixty_days_hold(tmp_path: Path) -> None:
    """Three and nine days away, with all that happens to a household between two rounds."""
    plan = Plan(
        away=frozenset({*range(11, 14), *range(30, 39)}),
        filled_by_neighbour={12: "pebble"},
        pauses={3: ("bay.scrape-corners", 9), 20: ("ledge.hang-an-algae-sheet", 5)},
        undone=frozenset(range(2, 60, 5)),
        processes=frozenset({6, 41}),
        other={28: moves_house},
    )

    keeper = lived(a_keeper(tmp_path, 60, plan), 60)

    assert keeper.wrong == []
    assert keeper.did["days away"] == 12
    assert keeper.did["parts poured"] >= 1
    assert keeper.did["put off"] >= 3
    assert keeper.did["skipped"] >= 5
    assert keeper.did["undone and redone"] >= 6
    assert keeper.did["days through processes"] == 2
    assert keeper.did["ticked through a process"] >= 6
    assert keeper.did["salinities checked"] >= 150
    assert keeper.did["ticked top-off"] >= 40
    assert sum(keeper.proposals) / len(keeper.proposals) >= 0.75
