"""Home and End on the board: today's turn and that of the last day, in the same band if there."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.chores import AfterLastDone, Calendar
from tankkeeper.core.logbook import PutOff
from tests.builders import days
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore
from tests.gui.test_board import TODAY, board_of, here, open_board

# Thursday 12 March is today, Tuesday 17 and 24 come after it, Wednesday 25 is the last day.
TUESDAYS = Calendar("FREQ=WEEKLY;BYDAY=TU", date(2026, 3, 17))
LAST = date(2026, 3, 25)


def ends(live_in: LiveIn) -> Hands:
    """Return a board whose reef has work on today, Tuesdays and the last day, the nook on none."""
    chores = (
        chore("lid", "Wipe the lid", 12, rhythm=AfterLastDone(days(13))),
        chore("sand", "Siphon the sand", None, rhythm=TUESDAYS),
        chore("lamp", "Wipe the lamp", None, rhythm=TUESDAYS, tank="nook"),
    )
    return open_board(live_in, chores=chores)


def go_to(hands: Hands, chore_id: str, day: date) -> None:
    """Let a turn on a day have the keys."""
    table = board_of(hands)
    assert table.sheet is not None
    place = table.sheet.place_of(chore_id, day, None)
    assert place is not None
    table._go_to(*place)
    hands.settle()


def day_here(hands: Hands) -> date:
    """Return the day of the turn that has the keys."""
    cell = board_of(hands).current_cell()
    assert cell is not None
    return cell.day


def test_home_goes_to_today_and_end_to_the_last_day_of_the_band(live_in: LiveIn) -> None:
    """Another line of the band will do; the keys stay in the board, where the ring is drawn."""
    hands = ends(live_in)
    go_to(hands, "sand", date(2026, 3, 17))

    hands.press("Home")
    assert (here(hands), day_here(hands)) == ("lid", TODAY)
    hands.press("End")
    assert (here(hands), day_here(hands)) == ("lid", LAST)
    hands.press("Home")

    assert (here(hands), day_here(hands)) == ("lid", TODAY)
    assert board_of(hands).hasFocus()


def test_where_the_band_has_nothing_that_day_another_band_has_it(live_in: LiveIn) -> None:
    """The day is what was asked for."""
    hands = ends(live_in)
    go_to(hands, "lamp", date(2026, 3, 17))

    hands.press("Home")

    assert (here(hands), day_here(hands)) == ("lid", TODAY)


def test_home_and_end_carry_what_is_held(live_in: LiveIn) -> None:
    """As the arrows do: to the last day, and back to its own."""
    hands = ends(live_in)
    go_to(hands, "lid", TODAY)

    hands.press("P", "End")
    assert board_of(hands).to == LAST
    hands.press("Home")
    assert board_of(hands).to == TODAY
    hands.press("End", "Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == LAST


def test_home_in_the_month_is_today(live_in: LiveIn) -> None:
    """From another month, too."""
    hands = live_in()
    hands.press("Ctrl+2", "PgDown", "Right")
    assert page_of(hands).month.table.day == date(2026, 4, 13)

    hands.press("Home")

    assert page_of(hands).month.table.day == TODAY
