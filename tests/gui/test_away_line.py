"""One line of the form after days off: what it asks, refuses and gives, without its form."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime

from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.away_line import AwayLine
from tankkeeper.services.away import PiledUp
from tests.builders import day
from tests.gui.conftest import LiveIn
from tests.gui.round_house import small_house

DAYS = (day("2026-03-09"), day("2026-03-10"))
THEN = datetime(2026, 3, 10, 9, tzinfo=UTC)


@contextmanager
def lines(live_in: LiveIn, chore_id: str, number: int = 1) -> Iterator[list[AwayLine]]:
    """Give lines of a chore that could have been done on two days."""
    hands = live_in(small_house())
    assert hands.window.session is not None
    last = hands.window.session.last
    assert last is not None
    piled = PiledUp(hands.row(chore_id).item, DAYS)
    paper = QWidget(hands.frame)
    yield [AwayLine(piled, last.sheet.words, paper) for _ in range(number)]
    paper.deleteLater()


def test_what_was_not_done_asks_nothing(live_in: LiveIn) -> None:
    """Its fields come with the day, and only then something is missing."""
    with lines(live_in, "change") as (line,):
        assert line.name == "Change water, Reef"
        assert (line.day, line.check()) == (None, None)
        assert not any(field.isVisibleTo(line) for field in line.fields())

        line.choice.setCurrentIndex(1)
        assert line.day == DAYS[0]
        assert all(field.isVisibleTo(line) for field in line.fields())
        assert line.check() is line.salinity


def test_litres_that_are_proposed_need_not_be_typed(live_in: LiveIn) -> None:
    """The tick takes what is proposed, until litres are written down."""
    with lines(live_in, "change") as (line,):
        line.choice.setCurrentIndex(2)
        assert line.salinity is not None
        assert line.litres is not None
        line.salinity.set_text("35")
        assert line.check() is None
        proposed = line.tick(THEN, None)
        line.litres.set_text("7")
        typed = line.tick(THEN, None)

        assert (proposed.litres, proposed.as_proposed) == (None, True)
        assert (typed.litres, typed.as_proposed) == (7.0, False)


def test_an_answer_fills_the_same_line_again(live_in: LiveIn) -> None:
    """Of a day that is no longer there the texts stay."""
    with lines(live_in, "change", 2) as (line, again):
        line.choice.setCurrentIndex(2)
        for field, text in zip(line.fields(), ("7", "35"), strict=True):
            field.set_text(text)
        again.fill(*line.answer)
        assert again.answer == (DAYS[1], ("7", "35"))

        again.fill(day("2026-03-01"), ("8",))
        assert again.answer == (DAYS[1], ("8", "35"))
