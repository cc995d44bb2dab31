"""Sentences among the fields of a form are seen whole, however long the names in them are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.gui.forms.log_form import LogForm, What
from tankkeeper.gui.palette import Scheme
from tests.gui.checks import cut_labels
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import chore, small_house

# From what fits on one line to what needs three: a line that is just too long was cut.
NAMES = ["Feed the corals in the whole frag rack and the anemones at night"[:n] for n in (12, 14)]
NAMES += ["Feed the corals", "Feed the corals,", "Feed the corals in the frag rack"]


@pytest.mark.parametrize("percent", [100, 110, 120, 150])
def test_what_is_ticked_is_told_whole(live_in: LiveIn, wear: Wear, percent: int) -> None:
    """Each chosen after the other, in one form: the sentence gets all its lines."""
    wear(Scheme.LIGHT, percent)
    small = small_house()
    kinds = (ChoreKind.FEEDING, ChoreKind.DOSE)
    extra = [chore(f"{k}{n}", one, 12, kind=k) for k in kinds for n, one in enumerate(NAMES)]
    hands = live_in(replace(small, chores=(*small.chores, *extra)))
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)

    for what, fields in ((What.FEEDING, form.feeding), (What.DOSE, form.ticks)):
        form.choose(what)
        hands.settle()
        assert fields.completes.count() == len(NAMES) + 1
        for at in range(len(NAMES)):
            fields.completes.setCurrentIndex(at)
            hands.settle()

            assert fields.told.isVisible()
            assert "Choose Nothing" in fields.told.text()
            assert cut_labels(form) == []
