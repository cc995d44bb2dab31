"""Finding in the calendar: chores, tanks and days; letters, threads and lines that lead on."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from tankkeeper.core.turns import State
from tankkeeper.gui.finding import FindDesk, FindPage
from tankkeeper.gui.models.month_sheet import long_day
from tankkeeper.gui.widgets.month_table import MonthTable
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.test_find import house, sentence_of

TODAY = date(2026, 3, 12)


def find(hands: Hands, text: str) -> FindDesk:
    """Type a text into the find bar of the calendar."""
    hands.press("Ctrl+F")
    hands.type(text)
    hands.settle()
    assert hands.window.morning is not None
    assert hands.window.morning.finders is not None
    desk = hands.window.morning.finders.here
    assert desk is not None
    return desk


def here(hands: Hands) -> str:
    """Return the chore on which the keys act."""
    rows = page_of(hands).selected()
    return rows[0].item.chore.id if rows else ""


def lines(desk: FindDesk) -> list[str]:
    """Return what is listed below the bar."""
    bar = desk.bar.lines
    return [bar.item(at).text().replace("\N{NO-BREAK SPACE}", " ") for at in range(bar.count())]


def click(table: MonthTable, at: QPoint, *, twice: bool = False) -> None:
    """Click into the month."""
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    (QTest.mouseDClick if twice else QTest.mouseClick)(table.viewport(), left, none, at)


def test_the_bar_opens_in_the_calendar_and_the_calendar_stays(live_in: LiveIn) -> None:
    """What is found is gone to where the person is."""
    hands = live_in(house())
    hands.press("Ctrl+2")

    desk = find(hands, "siphon")

    assert hands.frame.view_id == "calendar"
    assert desk.bar.isVisibleTo(page_of(hands))
    assert lines(desk) == ["Siphon the sand, Nook: about Fri 20"]
    assert sentence_of(desk) == "1 chore."


def test_a_chore_is_found_on_its_day_with_the_keys_on_it(live_in: LiveIn) -> None:
    """Return opens the day on which it comes; its keys act there."""
    hands = live_in(house())
    hands.press("Ctrl+2")
    find(hands, "siphon")

    hands.press("Return")

    assert month_of(hands).day == date(2026, 3, 20)
    assert page_of(hands).month.is_day_open
    assert here(hands) == "siphon"
    hands.press("S")
    assert [type(row.entry.fact).__name__ for row in hands.log()] == ["Skip"]


def test_an_overdue_chore_is_found_under_today(live_in: LiveIn) -> None:
    """It stands on its latest day, too, but is done today."""
    hands = live_in(house())
    hands.press("Ctrl+2", "PgDown", "PgDown")
    find(hands, "clean glass")

    hands.press("Return")

    assert month_of(hands).day == TODAY
    assert here(hands) == "glass"


@pytest.mark.parametrize(("typed", "day"), [("20 march", date(2026, 3, 20)), ("today", TODAY)])
def test_a_day_that_the_board_shows_is_found_on_it(live_in: LiveIn, typed: str, day: date) -> None:
    """The keys go to a turn of it, and back to the month nobody asked."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B", "End")
    desk = find(hands, typed)
    while (hit := desk._hit()) is None or hit.day != day:
        hands.press("Down")

    hands.press("Return")

    assert page_of(hands).is_board
    cell = page_of(hands).board.table.current_cell()
    assert cell is not None
    assert cell.day == day
    assert page_of(hands).board.table.hasFocus()


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("12 may", date(2026, 5, 12)),
        ("friday", date(2026, 3, 13)),
        ("2026-12-24", date(2026, 12, 24)),
        ("24 december 2024", date(2024, 12, 24)),
        ("tomorrow", date(2026, 3, 13)),
        ("4 march", date(2026, 3, 4)),
        ("last friday", date(2026, 3, 6)),
        ("yesterday", date(2026, 3, 11)),
        ("24 december", date(2025, 12, 24)),
    ],
)
@pytest.mark.parametrize("keys", [(), ("Return",), ("B",)], ids=["month", "day", "board"])
def test_a_day_is_gone_to_in_the_month(
    live_in: LiveIn, typed: str, day: date, keys: tuple[str, ...]
) -> None:
    """Return leads to the day among its neighbours, from a board that has none of its turns, too.

    On the 13th this house has nothing that the board shows.
    """
    hands = live_in(house())
    hands.press("Ctrl+2", *keys)
    find(hands, typed)

    hands.press("Return")

    assert not page_of(hands).is_board
    assert not page_of(hands).month.is_day_open
    assert month_of(hands).day == day
    assert month_of(hands).hasFocus()


@pytest.mark.parametrize("typed", ["last tuesday", "20 february"])
def test_a_past_day_is_gone_to_from_the_round(live_in: LiveIn, typed: str) -> None:
    """Also of another month, and when the calendar was not seen before; Return opens its list."""
    hands = live_in(house())
    day = {"last tuesday": date(2026, 3, 10), "20 february": date(2026, 2, 20)}[typed]
    find(hands, typed)

    hands.press("Return")

    assert hands.frame.view_id == "calendar"
    assert month_of(hands).day == day
    assert month_of(hands).hasFocus()
    hands.press("Return")
    assert page_of(hands).month.is_day_open
    assert page_of(hands).head.title.text() == long_day(day)


def test_a_tank_is_found_and_narrows_the_month(live_in: LiveIn) -> None:
    """As by a click in the rail."""
    hands = live_in(house())
    hands.press("Ctrl+2")
    desk = find(hands, "nook")
    assert lines(desk)[0] == "Nook: show this tank"
    hands.press("Return")

    assert hands.window.session is not None
    assert hands.window.session.tank_id == "nook"


def test_a_chore_of_another_tank_is_gone_to_all_the_same(live_in: LiveIn) -> None:
    """Its tank is chosen, and its day opens once that was read."""
    hands = live_in(house())
    hands.press("Ctrl+2", "Ctrl+Down")
    find(hands, "lamp")

    hands.press("Return")

    assert hands.window.session is not None
    assert hands.window.session.tank_id == "nook"
    assert here(hands) == "lamp"


@pytest.mark.painted
def test_what_is_found_is_marked_on_all_its_days(live_in: LiveIn) -> None:
    """A bar stands before every line of the chore, until the bar is closed."""
    hands = live_in(house())
    hands.press("Ctrl+2")
    table = month_of(hands)
    plain = table.grab().toImage()

    find(hands, "siphon")
    assert table._found == frozenset({"siphon"})
    hands.press("Esc")

    assert table._found == frozenset()
    assert table.grab().toImage() == plain
    assert table.hasFocus()


def test_on_the_board_turns_are_gone_through_where_they_stand(live_in: LiveIn) -> None:
    """Down goes from turn to turn, Escape back to the one that had the keys."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")
    before = here(hands)
    desk = find(hands, "wipe the lid")
    assert desk.bar.sentence.text().endswith("on the board.")
    assert here(hands) == "wipe"
    first = page_of(hands).board.table.current_cell()

    hands.press("Down")
    assert here(hands) == "wipe"
    assert page_of(hands).board.table.current_cell() != first
    hands.press("Esc")

    assert here(hands) == before
    assert page_of(hands).board.table.hasFocus()


def test_letters_that_are_no_key_begin_to_find_in_every_part(live_in: LiveIn) -> None:
    """In the month, in a day and on the board; M and B stay keys."""
    hands = live_in(house())
    for keys in (("Ctrl+2",), ("Return",), ("B",)):
        hands.press(*keys)
        hands.type("fl")
        hands.settle()
        assert hands.window.morning is not None
        assert hands.window.morning.finders is not None
        desk = hands.window.morning.finders.here
        assert desk is not None
        assert desk.bar.text == "fl"
        hands.press("Esc")
    assert hands.log() == []


def test_the_calendar_is_a_page_in_which_can_be_found(live_in: LiveIn) -> None:
    """The page offers what the finder asks of it."""
    hands = live_in()
    hands.press("Ctrl+2")

    assert isinstance(page_of(hands), FindPage)


def test_a_click_on_a_thread_leads_to_its_chore(live_in: LiveIn) -> None:
    """The thread of the glass runs from Tuesday 10 to Thursday 12."""
    hands = live_in(small_house(chores=(*small_house().chores, chore("late", "Rinse", 8))))
    hands.press("Ctrl+2")
    table = month_of(hands)
    assert table.sheet is not None
    lane = [one.row.item.chore.id for one in table.sheet.threads].index("glass")
    area = table.visualRect(table.model().index(2, 2))

    click(table, QPoint(area.center().x(), area.bottom() + 1 - 5 - 6 * lane))
    hands.settle()

    assert page_of(hands).month.is_day_open
    assert month_of(hands).day == TODAY
    assert here(hands) == "glass"
    hands.press("Space")
    assert hands.state("glass") is State.DONE


def test_o_goes_from_one_overdue_chore_to_the_next(live_in: LiveIn) -> None:
    """From any month, round and round; on the board, too."""
    more = tuple(chore(f"c{at}", f"Chore {at}", 3 + at) for at in range(3))
    hands = live_in(small_house(chores=more))
    hands.press("Ctrl+2", "PgDown", "O")
    seen = [here(hands)]
    for _ in range(3):
        hands.press("O")
        seen.append(here(hands))
    assert seen[0] == seen[3]
    assert set(seen) == {"c0", "c1", "c2"}

    hands.press("B", "O")
    first = here(hands)
    hands.press("O")

    assert {first, here(hands)} < {"c0", "c1", "c2"}
    assert first != here(hands)


def test_o_says_so_where_nothing_is_overdue(live_in: LiveIn) -> None:
    """A key that finds nothing does not keep silent."""
    hands = live_in(small_house(chores=(chore("wipe", "Wipe the lid", 12),)))
    hands.press("Ctrl+2", "O")

    assert hands.told == "Nothing is overdue."


def test_a_double_click_on_a_line_opens_the_day_at_its_chore(live_in: LiveIn) -> None:
    """What is pointed at has the keys."""
    hands = live_in()
    hands.press("Ctrl+2")
    table = month_of(hands)
    index = table.currentIndex()
    area, drawn = table.visualRect(index), table.drawn(index.row(), index.column())
    line = drawn.lines[1]

    click(table, QPoint(area.left() + 40, round(area.top() + line.y) - 3), twice=True)
    hands.settle()

    assert line.chores == (here(hands),)


@pytest.mark.parametrize("key", ["Space", "S", "P", "Y", "N", "Shift+P"])
def test_keys_of_chores_open_a_day_of_the_month_and_do_nothing_to_it(
    live_in: LiveIn, key: str
) -> None:
    """A day is no chore: its list opens, in which they act on the selected one."""
    hands = live_in()
    hands.press("Ctrl+2", key)

    assert page_of(hands).month.is_day_open
    assert not hands.has_form()
    assert hands.log() == []


def test_escape_on_the_board_lets_go_first_and_then_closes_the_bar(live_in: LiveIn) -> None:
    """What is carried never goes on being carried behind a bar that closed."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")
    desk = find(hands, "siphon")
    board = page_of(hands).board.table
    board.setFocus()
    hands.press("P")
    assert board.held is not None

    hands.press("Esc")
    assert board.held is None
    assert desk.is_open

    hands.press("Esc")
    assert not desk.is_open
    assert board.hasFocus()
