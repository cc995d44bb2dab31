"""The line at the foot where it has too little room."""

from __future__ import annotations

import pytest

from tests.gui.conftest import LiveIn

ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("Read salinity 29 PSU, below its range; nitrate 80 mg/L, above its range. " * 4, ELLIPSIS),
        ("a-household-of-a-name-that-never-ends-" * 8 + ".tankkeeper on this computer", "computer"),
    ],
)
def test_a_sentence_is_cut_at_its_end_and_a_name_in_its_middle(
    live_in: LiveIn, text: str, ends: str
) -> None:
    """Two halves of a sentence would make another one; all of it is its tooltip."""
    hands = live_in()
    foot = hands.frame.bottom
    foot.set_texts("", text, "")
    shown = foot._database
    assert ELLIPSIS in shown.text()
    assert shown.text().endswith(ends)
    assert shown.accessibleName() == text
    assert shown.toolTip()
