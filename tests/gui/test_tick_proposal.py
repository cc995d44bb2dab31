"""What the form of a tick proposes, as of now and of a moment that is chosen."""

from __future__ import annotations

from tankkeeper.gui.forms.tick_proposal import NOTHING_MISSING, TickProposal
from tests.gui.conftest import LiveIn
from tests.gui.test_how_far import fills, house


def _proposal(live_in: LiveIn, chore_id: str) -> tuple[TickProposal, list[float | None]]:
    """Return what is proposed for a line, and the litres of today and of the last two days."""
    hands = live_in(house(), entries=fills())
    assert hands.window.session is not None
    last = hands.window.session.last
    assert last is not None
    proposal = TickProposal(hands.row(chore_id), last.sheet.words, last.state, None)
    found: list[float | None] = []
    for back in range(3):
        proposal.follow(last.state.moment.usual(back) if back else None)
        found.append(proposal.due.value if proposal.due is not None else None)
    proposal.follow(None)
    return proposal, found


def test_less_fresh_water_was_missing_on_the_days_before(live_in: LiveIn) -> None:
    """What is proposed goes with the moment, there and back."""
    proposal, (today, yesterday, before) = _proposal(live_in, "fill")

    assert today is not None
    assert yesterday is not None
    assert before is not None
    assert today > yesterday > before > 0.0
    assert proposal.due is not None
    assert proposal.due.value == today
    assert proposal.has_litres
    assert proposal.litres_words.endswith("L")


def test_before_the_newest_fill_nothing_was_missing(live_in: LiveIn) -> None:
    """It says so instead of an amount, and which fill made up for it."""
    proposal, _ = _proposal(live_in, "refill")
    filled = fills()[-1].at
    proposal.follow(filled)

    assert proposal.due is None
    assert not proposal.has_litres
    assert proposal.caption(filled) == NOTHING_MISSING
    assert proposal.filled_since(filled).startswith("It was filled until full on Mon")
    assert proposal.filled_since(None) == ""


def test_of_work_without_an_amount_nothing_is_proposed(live_in: LiveIn) -> None:
    """Nor are grams stated there."""
    proposal, found = _proposal(live_in, "glass")

    assert found == [None, None, None]
    assert (proposal.litres_words, proposal.stated_grams) == ("", None)
    assert not proposal.is_beside
