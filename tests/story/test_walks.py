"""The sample household as no plan foresees it: random deeds, each of which must hold.

The household is invented, and so is what is done to it.
"""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.story.program import Program
from tests.story.walker import Walker

ZONE = ZoneInfo("Europe/Berlin")


@pytest.mark.parametrize(
    ("seed", "begun"),
    # The second over the night in which the clocks go back.
    [(1, date(2026, 6, 3)), (2, date(2026, 10, 21)), (3, date(2026, 12, 28))],
)
def test_whatever_is_done_the_views_agree_and_nothing_moves_by_itself(
    tmp_path: Path, seed: int, begun: date
) -> None:
    """Minutes foretold are those of the next round, an undo leaves no trace, no date moves."""
    program = Program(tmp_path / "house.tankkeeper", ZONE, datetime.min.replace(tzinfo=ZONE))
    program.at(begun, time(7))
    program.do("new", str(program.file), "--sample")
    walker = Walker(program.file, program.now, seed)
    try:
        walker.live(7)
    finally:
        walker.desk.store.close()

    assert walker.wrong == []
    assert walker.nights >= 3
