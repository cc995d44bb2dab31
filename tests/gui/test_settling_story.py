"""Settling in, from the first start to a hundredth day: one story, by real keys alone."""

from __future__ import annotations

from datetime import date, timedelta

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, ChoreKind
from tankkeeper.core.household import Household, Stage
from tankkeeper.core.turns import State
from tankkeeper.gui.things_desk import ThingsDesk
from tests.gui.conftest import Begin
from tests.gui.first_house import type_box
from tests.gui.round_house import Hands


def house(hands: Hands) -> Household:
    assert hands.window.session is not None
    with hands.window.session.desk.store.reading() as reading:
        return hands.window.session.desk.household(reading)


def chores_of(hands: Hands, tank: str) -> dict[str, Chore]:
    return {one.name: one for one in house(hands).chores if one.tank == tank}


def desk_of(hands: Hands) -> ThingsDesk:
    assert hands.window.morning is not None
    settling = hands.window.morning.settling
    assert settling is not None
    assert settling.chores is not None
    return settling.chores


def go(hands: Hands, path: str) -> None:
    """Go to a field of the sheet by Tab, as a person does."""
    sheet = desk_of(hands).sheet
    assert sheet is not None
    for _ in range(150):
        if sheet.fields[path].isAncestorOf(hands.focus()):
            return
        hands.hit("Tab")
    raise AssertionError(f"Tab does not reach {path}")


def choose(hands: Hands, path: str, words: str) -> None:
    """Choose by the arrow keys."""
    go(hands, path)
    choice = desk_of(hands).sheet.fields[path].choice  # type: ignore[union-attr]
    assert choice is not None
    hands.hit("Home")
    for _ in range(choice.count()):
        if choice.currentText() == words:
            return
        hands.hit("Down")
    raise AssertionError(f"{words} is not among the choices of {path}")


def write(hands: Hands, path: str, text: str) -> None:
    go(hands, path)
    hands.hit("Ctrl+A")
    hands.type(text)


def open_chore(hands: Hands, name: str) -> None:
    """Open a chore of the chosen tank in the editor."""
    hands.press("F3")
    names = [row.name for row in desk_of(hands).things.rows]
    hands.press("Home", *["Down"] * names.index(name), "Return")


def test_from_the_first_start_to_a_retired_tank(begin: Begin) -> None:
    """Two tanks with sensible chores, a copy, a rule, a season, and everything undone in order."""
    hands = begin()

    # The first start: three answers, and the first tick.
    type_box(hands, ("Reef", "120", "60", "55", "51"))
    hands.press("Ctrl+Return")
    assert [one.name for one in house(hands).tanks] == ["Reef"]
    first = hands.rows()[0]
    hands.press("Space")
    assert hands.state(first.item.chore.id) is State.DONE

    # A second tank, asked for in the same way, its chores beside the first one's.
    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Nano", "40", "40", "40", "36"))
    hands.press("Ctrl+Return")
    assert hands.frame.rail.chosen_id == "nano"
    assert len(chores_of(hands, "nano")) > 8

    # The nano's floss comes on the last day of each month from now on: a rule of the calendar.
    open_chore(hands, "Swap the filter floss")
    choose(hands, "rhythm.way", "On days of the month")
    write(hands, "rhythm.month_days", "last")
    hands.press("Ctrl+Return", "Esc", "Esc")
    floss = chores_of(hands, "nano")["Swap the filter floss"]
    assert isinstance(floss.rhythm, Calendar)
    assert floss.rhythm.rule.endswith("BYMONTHDAY=-1")
    assert isinstance(chores_of(hands, "reef")["Swap the filter floss"].rhythm, AfterLastDone)

    # In winter the glass is cleaned less often: a season of an interval.
    open_chore(hands, "Clean the glass")
    write(hands, "rhythm.seasons", "6 days from 1 December to 28 February")
    hands.press("Ctrl+Return", "Esc", "Esc")
    glass = chores_of(hands, "nano")["Clean the glass"]
    assert isinstance(glass.rhythm, AfterLastDone)
    assert [str(one.interval) for one in glass.rhythm.seasons] == ["6 days"]

    # The nano again, as a tank of its own for quarantine, with chores of the same kinds.
    hands.press("F2")
    assert hands.window.morning is not None
    page = hands.window.morning.settling.tank.page  # type: ignore[union-attr]
    page.buttons["copy"].setFocus()
    hands.press("Space")
    hands.hit("Ctrl+A")
    hands.type("Quarantine")
    hands.press("Return")
    assert [one.name for one in house(hands).tanks] == ["Reef", "Nano", "Quarantine"]
    assert hands.frame.rail.chosen_id == "quarantine"
    assert set(chores_of(hands, "quarantine")) == set(chores_of(hands, "nano"))

    # It is renamed, and three months later it is not needed any more.
    name = hands.window.morning.settling.tank.sheet.fields["name"]  # type: ignore[union-attr]
    name.setFocus()
    hands.hit("Ctrl+A")
    hands.type("Hospital")
    hands.press("Ctrl+Return")
    assert house(hands).tank("quarantine").name == "Hospital"
    before = house(hands)
    page.buttons["stage"].setFocus()
    hands.press("Space", "End", "Return")
    assert house(hands).tank("quarantine").stage is Stage.RETIRED
    hands.press("Esc", "Ctrl+Home")
    assert hands.frame.rail.chosen_id is None
    assert not [row for row in hands.rows() if row.item.chore.tank == "quarantine"]
    assert len(hands.log()) > 5

    # Second thoughts: everything since the first tick goes back, in order, by one key.
    hands.press("Ctrl+Z")
    assert house(hands) == before
    hands.press(*["Ctrl+Z"] * 5)
    assert [one.name for one in house(hands).tanks] == ["Reef"]
    assert hands.state(first.item.chore.id) is State.DONE
    hands.press("Ctrl+Z")
    assert hands.state(first.item.chore.id) is State.DUE


def test_the_hundredth_day_asks_what_the_first_one_set_up(begin: Begin) -> None:
    """The rule of the last day holds in each month to come, leap year or not."""
    hands = begin()
    type_box(hands, ("Reef", "120", "60", "55", "51"))
    hands.press("Ctrl+Return")
    open_chore(hands, "Clean the glass")
    choose(hands, "rhythm.way", "On days of the month")
    write(hands, "rhythm.month_days", "last")
    hands.press("Ctrl+Return", "Esc", "Esc", "Ctrl+2")

    assert hands.window.session is not None
    start: date = hands.window.session.last.state.moment.day  # type: ignore[union-attr]
    hands.press(*["PgDown"] * 3)
    calendar = hands.window.morning.calendar  # type: ignore[union-attr]
    assert calendar is not None
    sheet = calendar.page.month.table.sheet
    assert sheet is not None
    shown = {
        cell.day
        for week in sheet.weeks
        for cell in week
        if cell is not None and any(line.noun == "glass" for line in cell.lines)
    }
    inside = {day for day in shown if day.month == sheet.month.month}
    assert inside == {day for day in inside if (day + timedelta(days=1)).day == 1}
    assert inside
    assert min(inside) > start + timedelta(days=90)
    assert {one.kind for one in house(hands).chores} >= {ChoreKind.GLASS, ChoreKind.FEEDING}
