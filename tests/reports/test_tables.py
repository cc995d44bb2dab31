"""Tables for a terminal."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.reports.tables import (
    ROUND_COLUMNS,
    Column,
    clean,
    display_width,
    shortened,
    table,
)

ROWS = [
    ["The long reef in the hall", "Change water", "40\u00a0L salt water", "25", "Jonas", "today"],
    ["Nook", "Top off", "2.7\u00a0L fresh water", "3", "Ilse", "2\u00a0days overdue"],
]


@pytest.mark.parametrize(
    ("text", "cells"),
    [("Nook", 4), ("水槽", 4), ("e\u0301", 1), ("ｱ", 1), ("Ａ", 2), ("a\u200db", 2), ("", 0)],
)
def test_width_counts_cells_not_letters(text: str, cells: int) -> None:
    """Wide letters take two cells, marks none (Unicode Standard Annex 11, classes W and F)."""
    assert display_width(text) == cells


def test_columns_are_aligned_and_page_signs_left_out() -> None:
    """Numbers stand to the right, words to the left."""
    assert table(ROUND_COLUMNS, ROWS, 120) == [
        "Tank                       Chore         Amount             Min  Who    State",
        "The long reef in the hall  Change water  40 L salt water     25  Jonas  today",
        "Nook                       Top off       2.7 L fresh water    3  Ilse   2 days overdue",
    ]


def test_the_tank_gives_way_first_then_who_and_nothing_else() -> None:
    """Chore, amount and state are never cut."""
    assert table(ROUND_COLUMNS, ROWS, 75) == [
        "Tank            Chore         Amount             Min  Who    State",
        "The long reef…  Change water  40 L salt water     25  Jonas  today",
        "Nook            Top off       2.7 L fresh water    3  Ilse   2 days overdue",
    ]
    narrow = table(ROUND_COLUMNS, ROWS, 20)
    assert narrow[1].startswith("The l…  Change water  40 L salt water     25  Jon…  today")
    assert narrow[2].endswith("2 days overdue")


def test_a_column_without_content_is_left_out() -> None:
    """No amounts, no column of amounts."""
    rows = [["Nook", "Feed", "", "1", "", "today"]]

    assert table(ROUND_COLUMNS, rows, 80) == [
        "Tank  Chore  Min  State",
        "Nook  Feed     1  today",
    ]


def test_wide_letters_keep_the_columns_aligned() -> None:
    """Every line of a column begins at the same cell."""
    lines = table((Column("Tank"), Column("Chore")), [["水槽", "Feed"], ["Nook", "Feed"]], 40)

    assert [display_width(line[: line.index("Feed")]) for line in lines[1:]] == [6, 6]


def test_hostile_names_cannot_steer_the_terminal() -> None:
    """Escapes, line breaks, direction marks and half characters go."""
    assert clean("a\x1b[31mb\nc\u202ed\ud800e\u00a0f") == "a [31mb cde f"


@given(st.text(max_size=30), st.integers(0, 12))
def test_shortened_text_never_takes_more_room_than_it_has(text: str, width: int) -> None:
    """Whatever the letters."""
    assert display_width(shortened(text, width)) <= width or display_width(text) <= width


@given(
    st.lists(
        st.lists(st.text(max_size=12), min_size=6, max_size=6),
        min_size=1,
        max_size=4,
    )
)
def test_no_line_of_a_wide_table_is_longer_than_the_terminal(rows: list[list[str]]) -> None:
    """Six cells of twelve wide letters fit into 160."""
    assert all(display_width(line) <= 160 for line in table(ROUND_COLUMNS, rows, 160))


def test_without_a_width_nothing_is_cut() -> None:
    """A pipe takes lines of any length."""
    rows = [["A tank " * 30, "Top off", "", "", "", "today"]]
    assert ("A tank " * 30).strip() in table(ROUND_COLUMNS, rows, None)[1]
