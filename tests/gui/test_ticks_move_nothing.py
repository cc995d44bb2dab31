"""While one line is ticked after the other, the list keeps its layout under the eye."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import pytest
from PySide6.QtGui import QFontMetricsF

from tankkeeper.core.logbook import Turn
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.typography import TypeRole, type_font
from tankkeeper.gui.widgets.round_columns import Columns, place_of
from tankkeeper.gui.widgets.round_delegate import RoundDelegate
from tankkeeper.gui.widgets.round_list import RoundList
from tests.builders import a_box, a_chore
from tests.gui.conftest import Wear

EMPTY = ("All done.", "")
# So wide is the list of a window of 1280 beside rail and panel.
USUAL = 828
WIDTHS = (*range(430, 1130, 30), USUAL)


def line(name: str, amount: str, state: str, caution: str = "", who: str = "Ada") -> ItemRow:
    made = a_chore(id=name.lower(), name=name, caution=caution)
    item = Item(Turn(made.id, "2026-03-12", None), State.DUE, made, a_box())
    return ItemRow(item, name, caution, amount, "5", who, state, name)


ROWS = (
    line("Feed", "0.4 g", "today"),
    line("Top off", "0.44 L fresh water", "today"),
    line("Change water", "3 L salt water", "since Wed, until 9 Dec", "unplug the heater"),
    line("Test nitrate and phosphate", "2 tests", "today", "mind the reagents", "Ada, Bo"),
    line("Clean the glass", "", "today", "cover open cuts"),
    line("Feed again", "0.4 g", "from 18:00"),
    line("Swap filter floss", "", "since Tue", "keep plugs dry"),
)
SHORT = tuple(replace(row, state="today") for row in ROWS)


@dataclass(frozen=True)
class Look:
    """How a list stands by now."""

    columns: Columns
    heights: dict[object, int]
    states: dict[object, tuple[str, str]]


def look(shown: RoundList) -> Look:
    delegate, model = shown.itemDelegate(), shown.round_model
    assert isinstance(delegate, RoundDelegate)
    rows = shown.item_rows()
    places = {
        place_of(row): shown.visualRect(model.index(model.row_of(*place_of(row)))) for row in rows
    }
    heights: dict[object, int] = {one: area.height() for one, area in places.items()}
    return Look(shown.columns, heights, {place_of(row): delegate.state_lines(row) for row in rows})


def closed(row: ItemRow) -> ItemRow:
    """Return a line as a tick leaves it; one has an amount that is longer."""
    amount = row.amount.replace("0.44 L", "12.25 L")
    return replace(row, state="done 07:04", amount=amount)


def deeds(rows: tuple[ItemRow, ...]) -> Iterator[tuple[object, tuple[ItemRow, ...]]]:
    """Yield the lines after each tick, undo, skip and put-off, and whose that was."""
    now = list(rows)
    for at in (*range(len(rows)), *reversed(range(len(rows)))):
        is_done = now[at] is not rows[at]
        now[at] = rows[at] if is_done else closed(rows[at])
        yield place_of(rows[at]), tuple(now)
    for at, state in enumerate(("skipped", "put off to Mon 16, until Thu 19 Mar")):
        now[at] = replace(rows[at], state=state)
        yield place_of(rows[at]), tuple(now)
    for at in range(2, len(rows)):
        yield place_of(rows[at]), (*now[:2], *now[at + 1 :])
    now[0] = rows[0]
    yield place_of(rows[0]), tuple(now)


def widths(columns: Columns) -> tuple[float, ...]:
    beside = 0.0 if columns.has_two_lines else columns.minutes_right - columns.amount
    return beside, columns.who_width, columns.state_width


def held(before: Look, after: Look, own: object) -> bool:
    """Tell whether nothing but the line of a deed itself moved."""
    was, now = before.columns, after.columns
    modes = (was.has_two_lines, was.has_who_below) == (now.has_two_lines, now.has_who_below)
    wide = all(b >= a - 0.01 for a, b in zip(widths(was), widths(now), strict=True))
    others = (before.heights.keys() & after.heights.keys()) - {own}
    still = all(before.heights[one] == after.heights[one] for one in others)
    whole = all(before.states[one] == after.states[one] for one in others)
    return modes and wide and still and whole


@pytest.mark.parametrize("percent", [100, 125, 150, 200])
@pytest.mark.parametrize("rows", [ROWS, SHORT], ids=["long", "short"])
def test_no_deed_moves_another_line_or_gives_up_a_column(
    qtbot,
    wear: Wear,
    percent: int,
    rows: tuple[ItemRow, ...],  # type: ignore[no-untyped-def]
) -> None:
    """Whatever the width: the columns only get wider, and only the line itself gets taller."""
    wear(Scheme.LIGHT, percent)
    shown = RoundList()
    qtbot.addWidget(shown)
    shown.show()
    moved = []
    for width in WIDTHS:
        shown.resize(width, 900)
        shown.begin_day()
        shown.set_rows(rows, EMPTY)
        before = look(shown)
        for own, now in deeds(rows):
            shown.set_rows(now, EMPTY)
            after = look(shown)
            if not held(before, after, own):
                moved.append((width, own))
            before = after
    assert not moved


def test_a_tick_breaks_no_list_of_short_states(qtbot, wear: Wear) -> None:  # type: ignore[no-untyped-def]
    """There is room for "done 07:04" from the beginning, so no ticked line gets taller."""
    wear(Scheme.LIGHT, 100)
    shown = RoundList()
    qtbot.addWidget(shown)
    shown.show()
    for width in WIDTHS:
        shown.resize(width, 900)
        shown.begin_day()
        shown.set_rows(SHORT, EMPTY)
        before = look(shown).heights
        for at in range(len(SHORT)):
            done = (replace(row, state="done 07:04") for row in SHORT[: at + 1])
            shown.set_rows((*done, *SHORT[at + 1 :]), EMPTY)
            assert look(shown).heights == before


@pytest.mark.parametrize("percent", [100, 150])
def test_who_ticks_the_first_line_has_room_behind_it(  # type: ignore[no-untyped-def]
    qtbot, wear: Wear, percent: int
) -> None:
    """No chore says who does it, so the name comes with the tick: it is not cut, nothing moves."""
    wear(Scheme.LIGHT, percent)
    rows = tuple(replace(row, who="") for row in ROWS)
    shown = RoundList()
    qtbot.addWidget(shown)
    shown.set_people(["Imke", "Wilhelmine"])
    shown.resize(round(USUAL * percent / 100), 700)
    shown.show()
    shown.set_rows(rows, EMPTY)
    before = look(shown)

    name = "Wilhelmine"
    ticked = replace(rows[0], who=name, state="done 07:04")
    shown.set_rows((ticked, *rows[1:]), EMPTY)

    columns = look(shown).columns
    body = QFontMetricsF(type_font(shown.font(), TypeRole.BODY))
    assert columns.who_width >= body.horizontalAdvance(name)
    assert held(before, look(shown), place_of(ticked))
