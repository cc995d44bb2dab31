"""Columns stand still while what is in them changes, and no part of a row stands alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtWidgets import QPushButton

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.flow import FlowBar
from tankkeeper.gui.widgets.round_columns import Columns, columns_for
from tankkeeper.gui.widgets.round_delegate import RoundDelegate
from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, chore, small_house


def edges(columns: Columns) -> tuple[float, ...]:
    return (columns.amount, columns.minutes_right, columns.who, columns.state)


def plain_house():  # type: ignore[no-untyped-def]
    """Return a house in which all is due today, so that a tick writes the longest state."""
    names = ("Wipe the lid", "Rinse the net", "Look at the pump", "Swap the floss")
    chores = [chore(f"one{at}", name, 12) for at, name in enumerate(names)]
    later = chore("later", "Test nitrate and phosphate and all the rest", 13, who=("ada", "bo"))
    return small_house(chores=(*chores, later))


@pytest.mark.parametrize("percent", [100, 150])
def test_no_column_moves_while_lines_are_ticked_and_taken_back(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """The next click finds its mark, and the eye its column."""
    wear(Scheme.LIGHT, percent)
    hands = live_in(plain_house())
    before = edges(hands.list.columns)
    for _ in range(3):
        hands.press("Space")
        assert edges(hands.list.columns) == before
    hands.press("Ctrl+Z", "S")
    assert edges(hands.list.columns) == before


def test_no_column_moves_when_the_round_is_narrowed_to_a_tank(live_in: LiveIn) -> None:
    """Fewer lines need no other columns."""
    hands = live_in(small_house())
    before = edges(hands.list.columns)
    hands.press("Ctrl+Down", "Ctrl+Down")
    assert edges(hands.list.columns) == before


def day_columns(hands: Hands) -> tuple[float, ...]:
    calendar = hands.window.morning.calendar  # type: ignore[union-attr]
    assert calendar is not None
    assert calendar.page.month.is_day_open
    return edges(calendar.page.month.list.columns)


def test_no_column_moves_from_day_to_day_of_a_month(live_in: LiveIn) -> None:
    """Right leads from day to day; names stand above the same columns."""
    hands = live_in(plain_house())
    hands.press("Ctrl+2", "Return")
    before = day_columns(hands)
    for _ in range(9):
        hands.press("Right")
        assert day_columns(hands) == before


def test_no_row_of_a_day_of_the_month_changes_its_height_by_a_tick(live_in: LiveIn) -> None:
    """The month is read anew for it, which is no reason to lay its day out anew."""
    hands = live_in(small_house())
    hands.press("Ctrl+2", "Return")
    listed = hands.window.morning.calendar.page.month.list  # type: ignore[union-attr]
    for width in range(1270, hands.window.shell.minimumWidth(), -10):
        hands.window.shell.resize(width, 800)
        hands.settle()
        if listed.columns.has_two_lines:
            break
    assert listed.columns.has_two_lines
    before = edges(listed.columns)
    listed.go_to(listed.round_model.row_of("look"))

    hands.press("Space")

    alone = columns_for(listed.item_rows(), listed.font(), listed.viewport().width())
    assert not alone.has_two_lines
    assert listed.columns.has_two_lines
    assert edges(listed.columns) == before


def test_another_width_has_its_own_columns(live_in: LiveIn) -> None:
    """What had room in a wide window is no measure for a narrow one, nor the other way."""
    hands = live_in(plain_house())
    wide = edges(hands.list.columns)
    hands.window.shell.resize(900, 700)
    hands.settle()
    assert edges(hands.list.columns) != wide
    hands.window.shell.resize(1280, 800)
    hands.settle()
    assert edges(hands.list.columns)[0] == pytest.approx(wide[0], abs=400)


def in_two_lines(live_in: LiveIn) -> Hands:
    """Return a window that is just so narrow that its longest state takes a second line."""
    hands = live_in(small_house())
    for width in range(1270, hands.window.shell.minimumWidth(), -10):
        hands.window.shell.resize(width, 800)
        hands.settle()
        if hands.list.columns.has_two_lines:
            break
    return hands


def test_no_row_changes_its_height_by_a_tick(live_in: LiveIn) -> None:
    """The longest state goes with it, and its room would do for one line; the rows stand still."""
    hands = in_two_lines(live_in)
    assert hands.list.columns.has_two_lines
    before = hands.area("wipe").top(), hands.area("wipe").height()
    hands.go_to("look")

    hands.press("Space")

    states = [row.state for row in hands.rows()]
    alone = columns_for(hands.rows(), hands.list.font(), hands.list.viewport().width())
    assert not any("turns" in one for one in states)
    assert not alone.has_two_lines
    assert hands.list.columns.has_two_lines
    hands.go_to("glass")
    assert (hands.area("wipe").top(), hands.area("wipe").height()) == before
    # Other work has lines of its own.
    hands.press("Ctrl+Down", "Ctrl+Down", "Ctrl+Home")
    assert not hands.list.columns.has_two_lines


def with_one_tall(live_in: LiveIn) -> Hands:
    """Return a window that is just so narrow that its longest state has no room in one line."""
    hands = live_in(small_house())
    for width in range(1270, hands.window.shell.minimumWidth(), -10):
        hands.window.shell.resize(width, 800)
        hands.settle()
        if hands.list.columns.tall:
            break
    return hands


def heights(hands: Hands) -> dict[str, int]:
    """Return how high each line of work is."""
    chores = [row.item.chore.id for row in hands.rows()]
    return {one: hands.area(one).height() for one in chores}


def test_one_long_state_makes_its_own_row_taller_and_no_other(live_in: LiveIn) -> None:
    """Its state stands in two lines; the others keep theirs, and more of them are seen."""
    hands = with_one_tall(live_in)
    look = hands.row("look")
    delegate = hands.list.itemDelegate()
    assert isinstance(delegate, RoundDelegate)

    assert [plain(one) for one in delegate.state_lines(look)] == ["11 days overdue,", "12 turns"]
    assert not hands.list.columns.has_two_lines
    assert hands.list.columns.tall == {("look", None)}
    found = heights(hands)
    tallest = found.pop("look")
    assert len(set(found.values())) == 1
    assert tallest > found["wipe"]
    whole = [delegate.state_lines(row)[1] for row in hands.rows() if row.item.chore.id != "look"]
    assert set(whole) == {""}


def test_a_tall_row_stays_so_by_a_tick(live_in: LiveIn) -> None:
    """Its long state goes with it, and no mark below moves away from the next click."""
    hands = with_one_tall(live_in)
    before = heights(hands)
    hands.go_to("look")

    hands.press("Space")

    delegate = hands.list.itemDelegate()
    assert isinstance(delegate, RoundDelegate)
    assert delegate.state_lines(hands.row("look"))[1] == ""
    assert heights(hands) == before


def with_one_low(live_in: LiveIn) -> Hands:
    """Return a window that is just so narrow that its longest amount has no room in one line."""
    house = small_house()
    others = [one for one in house.chores if one.id not in ("glass", "look", "fill", "change")]
    pieces = Amount(2.0, AmountUnit.PIECES)
    short = [chore(f"food{at}", "Feed", 12, amount=pieces) for at in range(6)]
    litres = Amount(12.5, AmountUnit.LITRES)
    long = chore("long", "Top off", 12, kind=ChoreKind.TOP_OFF, tank="nook", amount=litres)
    hands = live_in(replace(house, chores=(*others, *short, long)))
    for width in range(1270, hands.window.shell.minimumWidth(), -10):
        hands.window.shell.resize(width, 800)
        hands.settle()
        if hands.list.columns.tall or hands.list.columns.has_two_lines:
            break
    return hands


def test_one_long_amount_makes_its_own_row_taller_and_no_other(live_in: LiveIn) -> None:
    """It stands below its chore; the amounts of the others stay in their column."""
    hands = with_one_low(live_in)
    columns = hands.list.columns

    assert not columns.has_two_lines
    assert columns.tall == columns.low == {("long", None)}
    beside = {row.item.chore.id for row in hands.rows() if columns.has_beside(row)}
    assert beside == {"test", *(f"food{at}" for at in range(6))}
    found = heights(hands)
    tallest = found.pop("long")
    assert len(set(found.values())) == 1
    assert tallest > found["wipe"]


def test_a_row_with_its_amount_below_stays_so_by_a_tick(live_in: LiveIn) -> None:
    """Neither its height nor a column moves, and the amount stays where it was read."""
    hands = with_one_low(live_in)
    before = heights(hands), edges(hands.list.columns)
    hands.go_to("long")

    hands.press("Space")

    assert hands.list.columns.low == {("long", None)}
    assert (heights(hands), edges(hands.list.columns)) == before


def test_many_long_amounts_go_below_all_chores(live_in: LiveIn) -> None:
    """Rows of one height are read more easily than many of two."""
    hands = with_one_low(live_in)
    long = hands.row("long").amount
    rows = [replace(row, amount=long) if row.amount else row for row in hands.rows()]

    columns = columns_for(rows, hands.list.font(), hands.list.viewport().width())

    assert columns.has_two_lines
    assert not columns.low


def test_on_a_new_day_the_rows_have_one_line_again(live_in: LiveIn) -> None:
    """What was long on the day before is done, and nobody sees the rows move over night."""
    hands = with_one_tall(live_in)
    hands.go_to("look")
    hands.press("Space")
    assert hands.list.columns.tall

    hands.clock.forward(timedelta(days=1))
    assert hands.window.morning is not None
    hands.window.morning._poll.timeout.emit()
    hands.settle()

    assert not hands.list.columns.tall
    assert len(set(heights(hands).values())) == 1


@pytest.mark.parametrize("count", [4, 5, 7, 9, 11])
@pytest.mark.parametrize("in_columns", [False, True])
def test_no_part_of_a_flow_stands_alone_in_its_last_row(
    qtbot,
    count: int,
    in_columns: bool,  # type: ignore[no-untyped-def]
) -> None:
    """Seven weekdays are four and three, not six and Sunday."""
    bar = FlowBar(in_columns=in_columns)
    qtbot.addWidget(bar)
    for at in range(count):
        bar.add(QPushButton(f"Part {at}"))
    step = bar._shown[1].x() - bar._shown[0].x()
    bar.resize(step * (count - 1), 200)
    bar.show()

    rows: dict[int, int] = {}
    for part in bar._shown:
        rows[part.y()] = rows.get(part.y(), 0) + 1
        assert part.geometry().right() < bar.width()
    assert len(rows) == 2
    assert min(rows.values()) > 1
    assert bar.height() >= max(part.geometry().bottom() for part in bar._shown)
