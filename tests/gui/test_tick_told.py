"""What is told of a tick: for which day it was, and what of it was kept beside the turns."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tankkeeper.core.logbook import BESIDE
from tankkeeper.gui.models.row_words import told_rows
from tankkeeper.gui.tick_told import TickTold, is_of_part
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.ticking import Tick
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.reports.scenes import TODAY, words_for

WORDS = words_for()
YESTERDAY = TODAY - timedelta(days=1)


@pytest.mark.parametrize(("listed", "is_named"), [(None, False), (TODAY, False), (YESTERDAY, True)])
def test_a_tick_of_today_names_its_day_only_where_a_past_day_is_shown(
    listed: date | None, is_named: bool
) -> None:
    """Who looks at yesterday in the calendar would take it for one of yesterday."""
    assert TickTold(WORDS, listed).dated(None) == (", today" if is_named else "")


def test_a_tick_of_a_past_day_names_it() -> None:
    """Whatever day is shown."""
    at = WORDS.moment.usual(1)

    assert TickTold(WORDS, None).dated(at) == WORDS.dated(YESTERDAY) != ""


def test_what_was_kept_beside_its_turns_is_told_as_that(live_in: LiveIn) -> None:
    """The turn that comes stays, which the tick alone would not say."""
    row = next(row for row in live_in().rows() if row.item.is_open)
    chore = row.item.chore.id
    tell = TickTold(WORDS, None).plain([row], "")

    assert tell([an_entry(1, TODAY, done=chore)]) == f"Ticked {told_rows([row])}."
    beside = tell([an_entry(1, TODAY, done=chore, key=BESIDE)])
    assert beside == f"Ticked {told_rows([row])}, beside its turns."


@pytest.mark.parametrize(
    ("extent", "is_part"),
    [(None, False), (Extent.FULL, False), (Extent.PART, True), (Extent.HOLDS, True)],
)
def test_what_leaves_the_turn_open_is_known_before_it_is_kept(
    extent: Extent | None, is_part: bool
) -> None:
    """The keys stay at a line that is not all done."""
    assert is_of_part(Tick("fill", extent=extent)) is is_part
