"""The form that moves a turn: its head, its days, and why a turn has none."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetricsF

from tankkeeper.core.chores import (
    AfterLastDone,
    Calendar,
    ChoreKind,
    Condition,
    Once,
    WhenWaterSays,
)
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.logbook import ReservoirCheck
from tankkeeper.core.state import upcoming_item
from tankkeeper.gui.forms.put_off_form import PutOffForm, day_choices, why_nowhere
from tankkeeper.gui.models.round_rows import ItemRow, item_row
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.typography import Space, TypeRole, type_font
from tankkeeper.gui.widgets.labels import HeadingLabel
from tankkeeper.reports.numbers import plain
from tests.builders import an_entry, days
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, chore, small_house


def reservoir(live_in: LiveIn, filled_on: str, litres: float) -> Hands:
    """Return hands on a house whose reef has a reservoir, filled on a day with so much."""
    fill = chore(
        "fill",
        "Fill the reservoir",
        None,
        kind=ChoreKind.RESERVOIR,
        rhythm=WhenWaterSays(Condition.EVAPORATION),
    )
    house = small_house()
    reef = replace(house.tanks[0], top_off=TopOffLimits(reservoir_l=20.0))
    entry = an_entry(1, filled_on, ReservoirCheck(fill_l=litres), tank="reef", done="fill")
    return live_in(replace(house, tanks=(reef, house.tanks[1]), chores=(fill,)), entries=(entry,))


def coming(hands: Hands) -> ItemRow:
    """Return the coming turn of the only chore."""
    last = hands.window.session.last
    assert last is not None
    item = upcoming_item(last.state, last.state.chores[0])
    assert item is not None
    return item_row(item, last.sheet.words)


def form_for(hands: Hands, row: ItemRow) -> PutOffForm:
    """Return the form for a turn, as it is shown."""
    last = hands.window.session.last
    assert last is not None
    choices = day_choices([row], last.state, last.sheet.words)
    form = PutOffForm([row], choices, hands.frame)
    form.open()
    hands.settle()
    return form


def test_the_head_says_move_where_a_turn_may_go_both_ways(live_in: LiveIn) -> None:
    """It stands on a day to come: tomorrow is forward, a later one is put off."""
    hands = reservoir(live_in, "2026-03-09", 3.0)
    form = form_for(hands, coming(hands))

    works = [one.day for one in form.choices if not one.refusal]
    target = coming(hands).item.open
    assert target is not None
    assert min(works) < target.target < max(works)
    assert form.windowTitle() == "Move: Fill the reservoir"
    assert form.findChildren(HeadingLabel)[0].text() == "Move: Fill the reservoir"
    form.reject()


def test_the_head_of_what_is_due_says_put_off(live_in: LiveIn) -> None:
    """There is no day before today."""
    hands = live_in()
    hands.go_to("floss")
    hands.press("P")
    assert hands.form().windowTitle() == "Put off: Swap the floss"


def test_a_day_that_cannot_be_says_why_under_the_list(live_in: LiveIn) -> None:
    """The keys may stand on a day struck through, which then says why it cannot be."""
    hands = reservoir(live_in, "2026-03-09", 3.0)
    form = form_for(hands, coming(hands))
    struck = [at for at, one in enumerate(form.choices) if one.refusal]

    form.days.setCurrentRow(struck[-1])

    assert "the reservoir runs out before that" in form.accessibleDescription()
    form.reject()


@pytest.mark.parametrize("percent", [100, 150])
def test_how_far_a_day_is_past_the_window_stands_whole(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """Of an overdue chore the first day is the longest: tomorrow, and many days past."""
    wear(Scheme.LIGHT, percent)
    late = chore("late", "Wipe the lid", None, rhythm=AfterLastDone(days(7)), late_days=1)
    done = an_entry(1, "2026-01-05", tank="reef", done="late")
    hands = live_in(small_house(chores=(late,)), entries=(done,))
    hands.go_to("late")
    hands.press("P")
    form = hands.form()
    assert isinstance(form, PutOffForm)

    # Done on 5 January, it could wait until the 13th; 13 March is 18 + 28 + 13 days on.
    assert plain(form.days.item(0).text()) == "Friday 13 March, tomorrow, 59 days past own window"
    metrics = QFontMetricsF(type_font(form.days.font(), TypeRole.BODY))
    room: QRect = form.days.viewport().rect().adjusted(Space.S, 0, -Space.S, 0)
    shown = [form.days.item(at).text() for at in range(form.days.count())]
    for one in shown:
        elided = metrics.elidedText(one, Qt.TextElideMode.ElideRight, room.width())
        assert elided == one


def test_a_turn_that_can_stand_on_its_own_day_only_says_why_not_on_another(
    live_in: LiveIn,
) -> None:
    """No day was asked for yet, so that it stands on tomorrow is no answer."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 13))
    hands = live_in(small_house(chores=(chore("look", "Look", None, rhythm=daily),)))
    last = hands.window.session.last
    assert last is not None
    row = coming(hands)
    choices = day_choices([row], last.state, last.sheet.words)
    assert all(one.refusal for one in choices)

    told = plain(why_nowhere([row], choices))

    assert "already" not in told
    assert told.startswith("Cannot be put off any further: ")


@pytest.mark.parametrize("on", [date(2026, 3, 30), date(2026, 6, 1)])
def test_put_off_begins_after_the_day_on_which_the_work_stands(live_in: LiveIn, on: date) -> None:
    """P and Return put off, never bring forward; the days before are above and reached by Up.

    The later of the two stands beyond the days that are listed for work of today.
    """
    once = chore("net", "Rinse the net", None, rhythm=Once(on))
    hands = live_in(small_house(chores=(once,)))
    form = form_for(hands, coming(hands))

    assert form.choice.day == on + timedelta(days=1)
    assert form.primary.text().startswith("Put off to ")
    seen = form.days.visualItemRect(form.days.currentItem())
    assert form.days.viewport().rect().contains(seen)
    form.days.setCurrentRow(0)
    assert form.choice.day == date(2026, 3, 13)
    assert form.primary.text().startswith("Bring forward to ")
    form.reject()


def test_several_begin_after_the_last_of_their_days(live_in: LiveIn) -> None:
    """What stands on a day to come is not brought forward with what is due today."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("P", "Down", "Down", "Return")
    last = hands.window.session.last
    assert last is not None
    wipe = next(one for one in last.state.chores if one.chore.id == "wipe")
    item = upcoming_item(last.state, wipe)
    assert item is not None
    rows = [item_row(item, last.sheet.words), hands.row("lamp")]
    choices = day_choices(rows, last.state, last.sheet.words)
    form = PutOffForm(rows, choices, hands.frame)

    # Put off from Thursday 12 to Sunday 15.
    assert form.choice.day == date(2026, 3, 16)
    form.reject()
