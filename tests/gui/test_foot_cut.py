"""The line at the foot where it has too little room."""

from __future__ import annotations

import pytest

from tankkeeper.gui.palette import Scheme
from tests.gui.checks import cut_labels
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import chore, small_house

ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"
SENTENCE = (
    "Undone: Lagoon fed at 07:00 on Monday 9 March. What changed with it: the next feeding is due "
    "today at 19:00, the water change of Lagoon on Thursday 12 March, and Lagoon loses "
    "1.5\u00a0L a day, not 0.62\u00a0L, as far as is known."
)


def test_a_name_is_cut_in_its_middle(live_in: LiveIn) -> None:
    """It is known by its end as well; all of it is its tooltip."""
    text = "a-household-of-a-name-that-never-ends-" * 8 + ".tankkeeper on this computer"
    hands = live_in()
    foot = hands.frame.bottom
    foot.set_texts("No backup yet", text, "")
    shown = foot._database
    assert ELLIPSIS in shown.text()
    assert shown.text().endswith("computer")
    assert shown.accessibleName() == text
    assert shown.toolTip()


@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("size", [(1280, 800), (900, 640)])
def test_a_long_sentence_is_told_whole_and_covers_nothing(
    live_in: LiveIn, wear: Wear, size: tuple[int, int], percent: int
) -> None:
    """It takes lines above its own from what stands there, and gives them back."""
    hands = live_in(size=size)
    wear(Scheme.LIGHT, percent)
    frame, foot = hands.frame, hands.frame.bottom
    before, page = foot.geometry(), frame.stack.geometry()

    hands.window.morning.tell(SENTENCE)
    hands.settle()

    assert foot._told.isVisible()
    assert foot._told.text() == SENTENCE
    assert cut_labels(foot) == []
    assert foot.height() > before.height()
    assert foot.geometry().bottom() == before.bottom()
    for part in (frame.stack, frame.rail, frame.why):
        assert part.geometry().bottom() < foot.geometry().top()
    assert frame.stack.geometry().topLeft() == page.topLeft()

    hands.window.morning.foot._fade.timeout.emit()  # type: ignore[union-attr]
    assert not foot._told.isVisible()
    assert foot.geometry() == before
    assert frame.stack.geometry() == page


def test_the_row_in_hand_stays_in_sight_above_a_long_sentence(live_in: LiveIn) -> None:
    """The last row of a list that has just the room for it."""
    many = tuple(chore(f"wipe{at}", f"Wipe pane {at}", 12) for at in range(30))
    hands = live_in(small_house(chores=many))
    hands.list.setFocus()
    hands.press("End")
    rows = hands.list

    hands.window.morning.tell(SENTENCE)
    hands.settle()

    area = rows.visualRect(rows.currentIndex())
    assert hands.frame.bottom._told.isVisible()
    assert rows.viewport().rect().contains(area)
    foot = rows.viewport().mapTo(hands.frame._body, area.bottomLeft()).y()
    assert foot < hands.frame.bottom.geometry().top()


def test_a_short_sentence_stays_on_its_line(live_in: LiveIn) -> None:
    """The page keeps its foot."""
    hands = live_in()
    before = hands.frame.bottom.geometry()
    hands.press("Space")
    assert hands.told
    assert hands.frame.bottom.geometry() == before
