"""Several lines of one tick: each is taken as it stands when its turn comes."""

from dataclasses import replace

from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.tick_queue import TickQueue
from tests.gui.conftest import LiveIn


def _closed(row: ItemRow) -> ItemRow:
    return replace(row, item=replace(row.item, state=State.DONE))


def test_what_was_done_meanwhile_gets_no_form_and_no_tick(live_in: LiveIn) -> None:
    """By the readings of a line before it, or from elsewhere while a form stood open."""
    rows = [row for row in live_in().rows() if row.item.is_open]
    first, second, third = rows[:3]
    queue = TickQueue([first, second], [third], rows)

    assert queue.next_asking(rows) is first
    assert queue.next_asking([first, _closed(second), third]) is None
    assert queue.take_plain([first, _closed(second)]) == []


def test_a_line_is_taken_as_it_stands_by_then(live_in: LiveIn) -> None:
    """Another amount, for one; a line that the page never had is taken as it was given."""
    rows = [row for row in live_in().rows() if row.item.is_open]
    first, second = rows[:2]
    queue = TickQueue([first, second], (), [first])
    now = replace(first, amount="7 L")

    assert queue.next_asking([now]) is now
    assert queue.next_asking([]) is second
