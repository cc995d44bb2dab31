"""The board by keyboard and mouse: turns are carried to other days, or refused with a reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest

from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind
from tankkeeper.core.household import Person
from tankkeeper.core.logbook import PutOff
from tankkeeper.core.turns import State
from tankkeeper.gui.carrying import CARRY_HELP, CARRY_ON_HELP
from tankkeeper.gui.models.board_sheet import LineRow
from tankkeeper.gui.models.month_sheet import minutes_seen
from tankkeeper.gui.palette import Role, Scheme, colours_of
from tankkeeper.gui.widgets.board_paint import needed_width
from tankkeeper.gui.widgets.board_strips import StripTable
from tankkeeper.gui.widgets.board_table import BoardTable
from tankkeeper.reports.numbers import plain
from tests.builders import days
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, chore, small_house

TODAY = date(2026, 3, 12)
SATURDAYS = Calendar("FREQ=WEEKLY;BYDAY=TH", date(2026, 3, 5))


def board_of(hands: Hands) -> BoardTable:
    """Return the table of the board."""
    assert hands.window.morning is not None
    calendar = hands.window.morning.calendar
    assert calendar is not None
    return calendar.page.board.table


def go_to(hands: Hands, chore_id: str) -> None:
    """Let a turn of the board have the keys."""
    table = board_of(hands)
    assert table.sheet is not None
    place = table.sheet.place_of(chore_id, TODAY, None)
    assert place is not None
    table._go_to(*place)
    hands.settle()


def here(hands: Hands) -> str:
    """Return the chore that has the keys."""
    cell = board_of(hands).current_cell()
    assert cell is not None
    return cell.row.item.chore.id


def open_board(live_in: LiveIn, **changes: object) -> Hands:
    """Return the window with the board shown."""
    hands = live_in(small_house(**changes))
    hands.press("Ctrl+2", "B")
    return hands


def test_b_shows_fourteen_days_and_m_leads_back(live_in: LiveIn) -> None:
    """One letter each way, and the keys act in what is shown."""
    hands = open_board(live_in)
    table = board_of(hands)
    assert table.sheet is not None

    assert len(table.sheet.days) == 14
    assert table.hasFocus()
    hands.press("M")
    assert hands.window.morning is not None
    assert hands.window.morning.calendar is not None
    assert not hands.window.morning.calendar.page.is_board


def test_m_on_the_board_leads_to_the_month_and_not_to_the_day_opened_before(
    live_in: LiveIn,
) -> None:
    """The list of a day is left by the board: its key names the month, and Return opens the day."""
    hands = live_in()
    hands.press("Ctrl+2", "Return")
    page = page_of(hands)
    assert page.month.is_day_open
    hands.press("B")
    assert page.is_board

    hands.press("M")

    assert not page.is_board
    assert not page.month.is_day_open
    assert page.month.table.hasFocus()
    assert page.head.title.text() == "March 2026"
    hands.press("Return")
    assert page.month.is_day_open
    assert page.month.list.hasFocus()


def test_a_turn_is_taken_hold_of_carried_and_dropped_by_key(live_in: LiveIn) -> None:
    """P, arrows, Return: the turn stands on its new day, and the log says so."""
    hands = open_board(live_in)
    go_to(hands, "wipe")

    hands.press("P", "Right", "Right", "Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 14)
    assert here(hands) == "wipe"
    assert board_of(hands).current_cell().day == date(2026, 3, 14)  # type: ignore[union-attr]


def test_who_holds_a_turn_is_told_how_to_go_on(live_in: LiveIn) -> None:
    """Each key that is told does what is said; where it cannot stand Return is not among them."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly,))
    go_to(hands, "sand")
    assert hands.why.advice != CARRY_HELP

    hands.press("P")
    assert hands.why.advice == CARRY_HELP
    assert all(key in CARRY_HELP for key in ("P or Return puts", "Esc lets go"))
    hands.press("Right", "Right", "Left")
    assert board_of(hands).to == date(2026, 3, 13)
    assert hands.why.advice == CARRY_HELP
    hands.press("Down")
    assert board_of(hands)._is_refused
    assert hands.why.advice == CARRY_ON_HELP
    hands.press("Esc")
    assert board_of(hands).held is None
    hands.press("P", "Right", "Return")

    assert isinstance(hands.log()[0].entry.fact, PutOff)


def test_the_minutes_foretold_are_those_after_the_drop(live_in: LiveIn) -> None:
    """The turn that follows moves along, and is not counted on the day it leaves."""
    floss = chore("floss", "Swap the floss", 12, minutes=5, late_days=5, who=("ada",))
    three = replace(floss, rhythm=AfterLastDone(days(3)))
    hands = open_board(live_in, chores=(three,), people=(Person("ada", "Ada", (5,) * 7),))
    go_to(hands, "floss")
    hands.press("P", "Right", "Right", "Right")

    foretold = dict(hands.why.numbers)
    hands.press("Return")

    (strip,) = board_of(hands).sheet.view.strips  # type: ignore[union-attr]
    told = {name: int(value.split()[0]) for name, value in foretold.items()}
    assert list(told.values()) == list(strip.minutes[3:7])
    assert list(told.values()) == [5, 0, 0, 5]


def test_what_can_wait_until_a_day_is_told_as_the_columns_tell_it(live_in: LiveIn) -> None:
    """Behind a plus, beside the minutes of that day and in none of them."""
    glass = chore("glass", "Clean the glass", 11, minutes=5, late_days=2, who=("ada",))
    wipe = chore("wipe", "Wipe", 12, minutes=10, late_days=4, who=("ada",))
    hands = open_board(live_in, chores=(glass, wipe), people=(Person("ada", "Ada", (20,) * 7),))
    go_to(hands, "wipe")
    (strip,) = board_of(hands).sheet.view.strips  # type: ignore[union-attr]
    seen = [minutes_seen(strip.minutes[at], strip.waiting_on(at)) for at in range(4)]
    assert any("+" in one for one in seen)

    hands.press("P")

    assert [plain(value) for _, value in hands.why.numbers] == [f"{one} of 20 min" for one in seen]


def test_undo_brings_a_turn_back_to_its_day(live_in: LiveIn) -> None:
    """Undo as everywhere."""
    hands = open_board(live_in)
    go_to(hands, "wipe")
    hands.press("P", "Right", "P")

    hands.press("Ctrl+Z")

    assert hands.state("wipe") is State.DUE


def test_escape_lets_go_and_writes_nothing(live_in: LiveIn) -> None:
    """What is held can always be left where it was."""
    hands = open_board(live_in)
    go_to(hands, "wipe")

    hands.press("P", "Right", "Esc")

    assert board_of(hands).held is None
    assert hands.log() == []


def test_a_forbidden_day_is_refused_with_a_day_that_works(live_in: LiveIn) -> None:
    """A weekly turn cannot go beyond the next one; the button puts it off to the last day."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly,))
    go_to(hands, "sand")
    hands.press("P", "Down", "Right")
    table = board_of(hands)

    assert table._is_refused
    refusal, action = hands.why.refusal, hands.why.actions[0]
    assert refusal
    assert action.text.replace("\N{NO-BREAK SPACE}", " ") == "Put off to Wed 18"
    assert action.key == "Shift+Return"
    hands.press("Return")
    assert hands.log() == []
    assert table.held is not None

    hands.press("Shift+Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 18)


def test_the_day_on_which_a_turn_stands_already_is_not_offered(live_in: LiveIn) -> None:
    """On Wednesday 18, the last day before the next one, it has nowhere to go from there."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly,))
    go_to(hands, "sand")
    hands.press("P", "Down", "Right", "Shift+Return")
    assert len(hands.log()) == 1

    hands.press("P", "Right")

    assert board_of(hands)._is_refused
    assert [one.text for one in hands.why.actions if one.key == "Shift+Return"] == []
    assert hands.why.refusal.startswith("Cannot be put off any further")
    hands.press("Shift+Return")
    assert len(hands.log()) == 1


def test_where_only_today_is_left_nothing_is_taken_hold_of(live_in: LiveIn) -> None:
    """It is refused at once, before it is carried to a day on which it cannot stand."""
    daily = chore("sand", "Stir the sand", None, rhythm=Calendar("FREQ=DAILY", date(2026, 3, 1)))
    hands = open_board(live_in, chores=(daily,))
    go_to(hands, "sand")

    hands.press("P")

    assert board_of(hands).held is None
    assert hands.why.refusal.replace("\N{NO-BREAK SPACE}", " ") == (
        "Cannot be put off: the next turn comes on Friday 13."
    )
    assert [one.text for one in hands.why.actions if one.key == "Shift+Return"] == []
    hands.press("Shift+Return")
    assert hands.log() == []


def test_what_may_wait_is_not_carried_to_today(live_in: LiveIn) -> None:
    """It stands on Saturday and is open by now, so there is nothing to move."""
    early = chore("sand", "Siphon the sand", 14, early_days=3)
    hands = open_board(live_in, chores=(early,))
    table = board_of(hands)
    assert table.go_to_id("sand@first")

    hands.press("P", "Left", "Left", "Return")

    assert table.to == TODAY
    assert hands.why.refusal == (
        "Siphon the sand is open today already, so it can be done without being moved."
    )
    assert hands.log() == []


def test_a_turn_is_put_off_by_dragging(live_in: LiveIn) -> None:
    """Pressed, moved over another day, and let go there."""
    hands = open_board(live_in)
    table = board_of(hands)
    go_to(hands, "lamp")
    start = table.visualRect(table.currentIndex()).center()
    end = QPoint(start.x() + 3 * table.columnWidth(0), start.y())
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier

    QTest.mousePress(table.viewport(), left, none, start)
    QTest.mouseMove(table.viewport(), QPoint(start.x() + 40, start.y()))
    hands.settle()
    assert table.held is not None
    assert hands.why.advice == ""
    QTest.mouseMove(table.viewport(), end)
    QTest.mouseRelease(table.viewport(), left, none, end)
    hands.settle()

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 15)


def drag(hands: Hands, days: int) -> None:
    """Drag the turn that has the keys over so many days with the mouse."""
    table = board_of(hands)
    start = table.visualRect(table.currentIndex()).center()
    end = QPoint(start.x() + days * table.columnWidth(0), start.y())
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QTest.mousePress(table.viewport(), left, none, start)
    QTest.mouseMove(table.viewport(), QPoint(start.x() + 40, start.y()))
    QTest.mouseMove(table.viewport(), end)
    QTest.mouseRelease(table.viewport(), left, none, end)
    hands.settle()


def test_a_drag_to_a_day_that_does_not_work_lets_go_and_offers_the_day_that_does(
    live_in: LiveIn,
) -> None:
    """The mouse holds nothing afterwards; the sentence and the offer stay until another choice."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly, chore("wipe", "Wipe the lid", 12)))
    go_to(hands, "sand")
    drag(hands, 8)

    assert board_of(hands).held is None
    assert hands.log() == []
    assert "next turn comes on" in (hands.why.refusal or "")
    offers = [one.text.replace("\N{NO-BREAK SPACE}", " ") for one in hands.why.actions]
    assert offers == ["Put off to Wed 18"]
    hands.press("Shift+Return")
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 18)


def test_the_offer_of_a_refused_drag_is_gone_with_the_next_choice(live_in: LiveIn) -> None:
    """Its key then acts on nothing, and the card is that of what has the keys."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly, chore("wipe", "Wipe the lid", 12)))
    go_to(hands, "sand")
    drag(hands, 8)
    go_to(hands, "wipe")

    assert hands.why.title == "Wipe the lid"
    assert hands.why.refusal is None
    hands.press("Shift+Return")
    assert hands.log() == []


def test_a_refused_drop_is_told_at_the_foot_where_the_why_panel_is_closed(live_in: LiveIn) -> None:
    """By the keys it stays held, and the sentence says how to go on."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly,))
    hands.window.shell.resize(1000, 700)
    hands.settle()
    assert not hands.frame.is_why_open
    go_to(hands, "sand")
    hands.press("P", "Down", "Return")

    assert board_of(hands).held is not None
    assert "next turn comes on" in hands.told
    assert hands.told.endswith(CARRY_ON_HELP)
    hands.press("Esc")
    assert board_of(hands).held is None
    assert hands.told.startswith("Let go of ")


def test_once_it_is_let_go_nobody_is_told_how_to_carry_it(live_in: LiveIn) -> None:
    """Neither in the panel nor at the foot: a drop was refused, and nothing is held any more."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly,))
    go_to(hands, "sand")
    hands.press("P", "Down", "Return")
    assert hands.why.refusal
    assert hands.why.advice == CARRY_ON_HELP

    hands.press("Esc")

    assert hands.why.refusal is None
    assert "Esc" not in f"{hands.why.advice} {hands.told}"
    assert hands.told.startswith("Let go of Siphon the sand (Reef), which stays on ")


def test_a_day_past_the_window_is_taken_and_told(live_in: LiveIn) -> None:
    """It may stand there, but late: said while it is carried, and once it is put off."""
    floss = chore("floss", "Swap the floss", 12, late_days=4)
    hands = open_board(live_in, chores=(floss,))
    go_to(hands, "floss")
    hands.press("P", "Right")
    assert hands.why.advice == CARRY_HELP
    hands.press("Down")
    assert plain(hands.why.advice) == (
        "That is 4 days past its own window, which ends on Monday; its window moves with it, "
        f"to Tue 24. {plain(CARRY_HELP)}"
    )
    assert hands.why.refusal is None
    hands.press("Esc")

    drag(hands, 5)

    assert hands.told.replace("\N{NO-BREAK SPACE}", " ") == (
        "Put off Swap the floss (Reef) to Tue 17. That is 1 day past its own window, which ends "
        "on Monday; its window moves with it, to Sat 21."
    )
    hands.press("Ctrl+Z")
    assert plain(hands.told) == "Undone: Put off Swap the floss (Reef) to Tue 17."


def test_what_is_put_off_in_steps_is_as_late_as_in_one(live_in: LiveIn) -> None:
    """Late is counted from its own last day, Monday 16, whatever it was put off to before."""
    hands = open_board(live_in, chores=(chore("floss", "Swap the floss", 12, late_days=4),))
    go_to(hands, "floss")
    hands.press("P", "Right", "Right", "Return", "P", "Right", "Right", "Right", "Return")
    assert hands.told.replace("\N{NO-BREAK SPACE}", " ") == (
        "Put off Swap the floss (Reef) to Tue 17. That is 1 day past its own window, which ends "
        "on Monday; its window moves with it, to Sat 21."
    )


def test_up_and_down_stay_on_their_day_and_pass_tanks_that_have_nothing_then(
    live_in: LiveIn,
) -> None:
    """Beside the one of Friday the Reef has two lines on Thursday; the Nook has nothing then."""
    chores = (
        chore("wipe", "Wipe the lid", 12),
        chore("floss", "Swap the floss", 12),
        chore("sand", "Siphon the sand", 13),
        chore("lamp", "Wipe the lamp", 13, tank="nook"),
        chore("meter", "Check the meter", 12, tank=None),
    )
    hands = open_board(live_in, chores=chores)
    go_to(hands, "sand")
    hands.press("Down")
    assert here(hands) == "lamp", "not the second line of the Reef, which is of Thursday"
    hands.press("Up")
    assert here(hands) == "sand"
    hands.press("Up")
    assert here(hands) == "sand", "nothing stands above it on Friday"

    go_to(hands, "wipe")
    hands.press("Down")
    assert here(hands) == "floss"
    hands.press("Down")
    assert here(hands) == "meter", "the Nook has nothing on Thursday"
    hands.press("Up")
    assert here(hands) == "floss"


def test_a_tank_with_nothing_on_that_day_is_reached_where_no_other_follows(live_in: LiveIn) -> None:
    """Else its turns would be out of reach of the arrows."""
    chores = (
        chore("wipe", "Wipe the lid", 12),
        chore("lamp", "Wipe the lamp", 14, tank="nook"),
        chore("glass", "Wipe the glass", 15, tank="nook"),
    )
    hands = open_board(live_in, chores=chores)
    go_to(hands, "wipe")
    hands.press("Down")
    assert here(hands) == "lamp"
    hands.press("Up")
    assert here(hands) == "wipe"


def test_up_undoes_down_from_every_turn_of_the_board(live_in: LiveIn) -> None:
    """Also where a tank has nothing on the day, and two lines on the day nearest to it."""
    chores = (
        chore("wipe", "Wipe the lid", 14),
        chore("floss", "Swap the floss", 15),
        chore("sand", "Siphon the sand", 15),
        chore("lamp", "Wipe the lamp", 13, tank="nook"),
        chore("glass", "Wipe the glass", 13, tank="nook"),
        chore("meter", "Check the meter", 12, tank=None),
    )
    hands = open_board(live_in, chores=chores)
    table = board_of(hands)
    sheet = table.sheet
    assert sheet is not None

    def place() -> tuple[int, int]:
        return table.currentIndex().row(), table.currentIndex().column()

    for begin in [(row, column) for row, column, _ in sheet.turns()]:
        for there, back in (("Down", "Up"), ("Up", "Down")):
            table._go_to(*begin)
            way = [begin]
            while len(way) == 1 or way[-1] != way[-2]:
                hands.press(there)
                way.append(place())
            del way[-1]
            # A new reading changes nothing of it.
            table.set_sheet(sheet)
            found = [place()]
            while len(found) < len(way):
                hands.press(back)
                found.append(place())
            assert found == way[::-1]
    wipe = sheet.place_of("wipe", date(2026, 3, 14), None)
    assert wipe is not None
    table._go_to(*wipe)
    hands.press("Down")
    assert here(hands) == "lamp", "the Nook has nothing on Saturday"
    hands.press("Down")
    assert here(hands) == "glass"
    hands.press("Down", "Up", "Up", "Up")
    assert here(hands) == "wipe"


def test_a_click_on_a_turn_moves_nothing(live_in: LiveIn) -> None:
    """Only a drag puts off."""
    hands = open_board(live_in)
    table = board_of(hands)
    go_to(hands, "lamp")
    at = table.visualRect(table.currentIndex()).center()

    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=at)
    hands.settle()

    assert table.held is None
    assert hands.log() == []


def test_p_on_a_later_turn_takes_hold_of_the_next_one(live_in: LiveIn) -> None:
    """The button of the panel says so, and at the foot it is told which turn that is."""
    hands = open_board(live_in)
    go_to(hands, "wipe")
    hands.press("Right")
    assert board_of(hands).current_cell().day > TODAY  # type: ignore[union-attr]
    assert [one.text for one in hands.why.actions] == ["Put off the next turn"]

    hands.press("P")

    held = board_of(hands).held
    assert held is not None
    assert (held.row.item.chore.id, held.day) == ("wipe", TODAY)
    assert board_of(hands).current_cell() == held
    assert hands.told.replace("\N{NO-BREAK SPACE}", " ") == (
        "Only the next turn can be put off, that of Thu 12. Those after it move with it."
    )
    hands.press("Right", "Return")
    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert (fact.turn.chore, fact.to) == ("wipe", date(2026, 3, 13))


def test_p_on_a_later_turn_tells_why_the_next_one_has_no_other_day(live_in: LiveIn) -> None:
    """On workdays the turn of Thursday 12 cannot wait, as the next one comes on Friday."""
    workdays = Calendar("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", date(2026, 3, 12))
    hands = open_board(live_in, chores=(chore("look", "Look", None, rhythm=workdays),))
    go_to(hands, "look")
    hands.press("Right", "Right")
    assert board_of(hands).current_cell().day == date(2026, 3, 16)  # type: ignore[union-attr]
    assert hands.why.actions == ()

    hands.press("P")

    assert board_of(hands).held is None
    assert (hands.why.refusal or "").startswith("Cannot be put off: the next turn comes")


def test_a_later_turn_that_is_dragged_stays_where_it_is(live_in: LiveIn) -> None:
    """The mouse holds what is under it, so no other turn is taken: why is told."""
    hands = open_board(live_in)
    go_to(hands, "wipe")
    hands.press("Right")
    table = board_of(hands)
    at = table.visualRect(table.currentIndex()).center()

    QTest.mousePress(table.viewport(), Qt.MouseButton.LeftButton, pos=at)
    QTest.mouseMove(table.viewport(), at + QPoint(60, 0))
    hands.settle()

    assert table.held is None
    assert "follows from the turn before it" in (hands.why.refusal or "")
    QTest.mouseRelease(table.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert hands.log() == []


def test_a_later_day_of_the_calendar_is_not_said_to_move_with_the_one_before(
    live_in: LiveIn,
) -> None:
    """Each day stands by itself: putting one off leaves the others where they are."""
    twice = Calendar("FREQ=WEEKLY;BYDAY=MO,TH", date(2026, 3, 5))
    hands = open_board(live_in, chores=(chore("sand", "Siphon the sand", None, rhythm=twice),))
    go_to(hands, "sand")
    hands.press("Right", "Right")
    assert board_of(hands).current_cell().day == date(2026, 3, 19)  # type: ignore[union-attr]

    hands.press("P")

    held = board_of(hands).held
    assert held is not None
    assert held.day < date(2026, 3, 19)
    assert hands.told.startswith("Only the next turn can be put off, that of ")
    assert "move with it" not in hands.told


def test_space_and_s_do_on_the_board_what_they_do_in_the_round(live_in: LiveIn) -> None:
    """Tick and skip work the same from every view."""
    hands = open_board(live_in)
    go_to(hands, "wipe")
    hands.press("Space")
    go_to(hands, "lamp")

    hands.press("S")

    assert hands.state("wipe") is State.DONE
    assert hands.state("lamp") is State.SKIPPED


# Two people who say what they give, so that each has a strip.
GIVING = (Person("ada", "Ada", (9,) * 7), Person("bo", "Bo", (9,) * 7))


def strips_of(hands: Hands) -> StripTable:
    """Return the table of the strips."""
    found = hands.frame.findChild(StripTable)
    assert found is not None
    return found


def test_minutes_over_what_a_person_gives_are_told_in_words(live_in: LiveIn) -> None:
    """A sum over the line reads "over" in the sentence of its day, not only in colour."""
    people = (Person("ada", "Ada", (10,) * 7), Person("bo", "Bo", (5,) * 7))
    work = chore("wipe", "Wipe the lid", 12, who=("ada",), minutes=25)
    hands = open_board(live_in, people=people, chores=(work,))
    model, role = strips_of(hands).model(), Qt.ItemDataRole.AccessibleTextRole

    told = [model.index(row, 0).data(role) for row in range(4)]

    assert told == [
        "Ada, 50 minutes in 14 days, on 2 days more than given",
        "Thursday 12 March, Ada, 25 minutes of 10, 15 over",
        "Bo, 0 minutes in 14 days, on no day more than given",
        "Thursday 12 March, Bo, 0 minutes of 5",
    ]
    assert model.index(1, 1).data(role) == "Friday 13 March, Ada, 0 minutes of 10"


def test_a_screen_reader_finds_every_day_of_every_strip(live_in: LiveIn) -> None:
    """Each day is a cell of its own to the accessibility interface, read as a sentence."""
    hands = open_board(live_in, people=GIVING)
    spoken = QAccessible.queryAccessibleInterface(strips_of(hands))
    names = [spoken.child(at).text(QAccessible.Text.Name) for at in range(spoken.childCount())]

    assert spoken.role() == QAccessible.Role.Table
    assert "Wednesday 25 March, Ada, 0 minutes of 9" in names
    for name in ("Ada", "Bo", "Household"):
        assert any(one.startswith(f"Thursday 12 March, {name}, ") for one in names)


def test_the_strips_are_reached_by_tab_and_walked_by_arrows(live_in: LiveIn) -> None:
    """From day to day, from person to person; letters find there, too, and Backtab leads back."""
    hands = open_board(live_in, people=GIVING)
    strips = strips_of(hands)

    hands.press("Tab")
    assert strips.hasFocus()
    hands.press("Right", "Right", "Down")

    assert (strips.currentIndex().row(), strips.currentIndex().column()) == (3, 2)
    hands.press("Up", "Up", "Left")
    assert (strips.currentIndex().row(), strips.currentIndex().column()) == (1, 1)
    hands.press("Shift+Tab")
    assert board_of(hands).hasFocus()
    assert hands.log() == []


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_board_keeps_half_the_page_beside_many_people(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """The strips of eight people are scrolled through, bands and days stay in sight."""
    wear(Scheme.LIGHT, percent)
    people = tuple(Person(f"p{at}", f"Person {at}", (9,) * 7) for at in range(8))
    hands = open_board(live_in, people=people)
    strips, table = strips_of(hands), board_of(hands)

    assert table.viewport().height() >= table.rowHeight(0) + table.rowHeight(1)
    hands.press("Tab", *["Down"] * 7)
    area = strips.visualRect(strips.currentIndex())
    assert strips.currentIndex().row() == 15
    assert strips.viewport().rect().contains(area.center())


def test_people_without_minutes_and_without_a_limit_have_no_strip(live_in: LiveIn) -> None:
    """Nobody is named: the row of the household has the room, and who has none is told of."""
    hands = open_board(live_in)
    sheet, strips = board_of(hands).sheet, strips_of(hands)
    assert sheet is not None

    assert [one.name for one in sheet.strips] == ["Household"]
    assert strips.model().rowCount() == 2
    described = strips.parentWidget().accessibleDescription()
    # No line of a limit is drawn, and none is told of.
    assert described == "Ada and Bo: no minutes of their own in 14 days."


def test_the_keys_stay_with_a_person_whose_strip_moves(live_in: LiveIn) -> None:
    """Bo's strip is the second, and the first once Ada has nothing to do any more."""
    work = [chore(who, "Wipe the lid", 12, who=(who,), minutes=25) for who in ("ada", "bo")]
    once = replace(work[0], rhythm=Calendar("FREQ=WEEKLY;COUNT=1", TODAY))
    hands = open_board(live_in, chores=(once, work[1]))
    strips = strips_of(hands)
    hands.press("Tab", "Down", "Right", "Shift+Tab")
    assert strips.currentIndex().row() == 3
    go_to(hands, "ada")

    hands.press("S")

    sheet = board_of(hands).sheet
    assert sheet is not None
    assert [one.name for one in sheet.strips] == ["Bo"]
    assert (strips.currentIndex().row(), strips.currentIndex().column()) == (1, 1)


@pytest.mark.painted
def test_a_day_whose_minutes_are_not_known_is_drawn_and_told_without_a_limit(
    live_in: LiveIn,
) -> None:
    """A line at the foot means nothing at all, as on this Friday; Thursday is not known."""
    work = chore("wipe", "Wipe the lid", 12, who=("ada",), minutes=0)
    people = (Person("ada", "", (10, 10, 10, None, 0, 10, 10)),)
    hands = open_board(live_in, people=people, chores=(work,))
    strips = strips_of(hands)
    picture = strips.viewport().grab().toImage()
    ink = colours_of(strips.palette())[Role.INK].rgb()

    def ink_of(column: int) -> int:
        """Count the pixels of the strong line at the foot of a day."""
        area = strips.visualRect(strips.model().index(1, column))
        rows = range(area.bottom() - 5, area.bottom() + 1)
        return sum(
            picture.pixel(x, y) == ink for y in rows for x in range(area.left(), area.right())
        )

    model, role = strips.model(), Qt.ItemDataRole.AccessibleTextRole
    assert [model.index(1, column).data(role) for column in (0, 1)] == [
        "Thursday 12 March, Unnamed person, 0 minutes",
        "Friday 13 March, Unnamed person, 0 minutes of 0",
    ]
    assert ink_of(0) == 0
    assert ink_of(1) > 10


@pytest.mark.parametrize("size", [(1280, 800), (1440, 900)])
def test_every_noun_of_the_board_stands_in_full(live_in: LiveIn, size: tuple[int, int]) -> None:
    """A noun wider than its day has the next day free, and the last day is wide enough."""
    nouns = ("skimmer", "NO3 PO4", "outside", "corners")
    chores = tuple(
        chore(f"c{at}", f"Chore {at}", 12 + at % 4, noun=nouns[at % 4]) for at in range(12)
    )
    hands = live_in(small_house(chores=chores), size=size)
    hands.press("Ctrl+2", "B")
    table = board_of(hands)
    assert table.sheet is not None

    seen = 0
    for row in table.sheet.rows:
        cells = row.cells if isinstance(row, LineRow) else ()
        for column, cell in enumerate(cells):
            if cell is None:
                continue
            room = table.columnWidth(column)
            if column + 1 < len(cells) and cells[column + 1] is None:
                room += table.columnWidth(column + 1)
            assert needed_width(cell.noun, table.styled()) <= room + 0.5
            seen += 1
    assert seen > 12


def test_a_turn_and_a_free_day_read_as_sentences(live_in: LiveIn) -> None:
    """Each cell tells its day; a free one says that nothing stands there."""
    hands = open_board(live_in)
    go_to(hands, "wipe")
    table = board_of(hands)
    index = table.currentIndex()
    free = table.model().index(index.row(), 1)
    role = Qt.ItemDataRole.AccessibleTextRole

    assert str(index.data(role)).startswith("Thursday 12 March, Reef, wipe the lid, 5 minutes")
    assert free.data(role) == "Friday 13 March, Reef, nothing"


def test_a_tank_of_the_rail_narrows_the_bands_but_not_the_minutes(live_in: LiveIn) -> None:
    """A day has its minutes only once, whatever tank is looked at."""
    hands = open_board(live_in)
    before = board_of(hands).sheet
    assert before is not None

    hands.press("Ctrl+Down", "Ctrl+Down")

    after = board_of(hands).sheet
    assert after is not None
    assert {row.name for row in after.rows if isinstance(row, LineRow)} == {"Nook"}
    assert [one.strip.minutes for one in after.strips] == [
        one.strip.minutes for one in before.strips
    ]


def test_the_turn_in_hand_is_let_go_when_the_household_is_read_anew(live_in: LiveIn) -> None:
    """What is held may be gone by then; the keys stay on the same chore."""
    hands = open_board(live_in)
    go_to(hands, "wipe")
    hands.press("P", "Right")
    assert hands.window.session is not None

    hands.window.session.refresh()
    hands.settle()

    assert board_of(hands).held is None
    assert here(hands) == "wipe"


def test_a_household_without_people_has_one_strip(live_in: LiveIn) -> None:
    """With nobody named all minutes are the household's."""
    house = replace(small_house(), people=())
    hands = live_in(house)

    hands.press("Ctrl+2", "B")

    sheet = board_of(hands).sheet
    assert sheet is not None
    assert [one.name for one in sheet.strips] == ["Household"]


def test_the_button_of_the_offered_day_does_what_its_key_does(live_in: LiveIn) -> None:
    """The panel can be clicked as well; afterwards the keys act on the board again."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly,))
    go_to(hands, "sand")
    hands.press("P", "Down", "Right")

    hands.frame.why.acted.emit(hands.why.actions[0].id)
    hands.settle()

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 18)
    assert board_of(hands).hasFocus()


def test_the_key_of_the_offered_day_drops_where_nothing_is_refused(live_in: LiveIn) -> None:
    """Return and Shift+Return then mean the same."""
    hands = open_board(live_in)
    go_to(hands, "wipe")

    hands.press("P", "Right", "Shift+Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to == date(2026, 3, 13)


def test_undo_while_a_turn_is_carried_only_lets_it_go(live_in: LiveIn) -> None:
    """What was ticked before stays ticked; the next press takes that back, and redo brings it."""
    hands = open_board(live_in)
    go_to(hands, "lamp")
    hands.press("Space")
    go_to(hands, "wipe")
    hands.press("P", "Right", "Ctrl+Z")

    assert board_of(hands).held is None
    assert len(hands.log()) == 1
    assert hands.told.replace("\N{NO-BREAK SPACE}", " ") == (
        "Let go of Wipe the lid (Reef), which stays on Thu 12."
    )
    assert here(hands) == "wipe"

    hands.press("Ctrl+Z")
    assert hands.told == "Undone: Ticked Wipe the lamp (Nook)."
    hands.press("Ctrl+Y")
    assert hands.told == "Done again: Ticked Wipe the lamp (Nook)."


def test_redo_while_a_turn_is_carried_only_lets_it_go(live_in: LiveIn) -> None:
    """The hand is full, so nothing is done again behind it."""
    hands = open_board(live_in)
    go_to(hands, "lamp")
    hands.press("Space", "Ctrl+Z")
    go_to(hands, "wipe")
    hands.press("P", "Right", "Ctrl+Y")

    assert board_of(hands).held is None
    assert hands.told.startswith("Let go of Wipe the lid (Reef)")
    hands.press("Ctrl+Y")
    assert hands.told == "Done again: Ticked Wipe the lamp (Nook)."


def test_undo_while_the_mouse_drags_a_turn_only_lets_it_go(live_in: LiveIn) -> None:
    """Moving on and releasing the button then move nothing."""
    hands = open_board(live_in)
    go_to(hands, "lamp")
    hands.press("Space")
    table = board_of(hands)
    go_to(hands, "wipe")
    start = table.visualRect(table.currentIndex()).center()
    end = QPoint(start.x() + 3 * table.columnWidth(0), start.y())
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QTest.mousePress(table.viewport(), left, none, start)
    QTest.mouseMove(table.viewport(), QPoint(start.x() + 40, start.y()))
    hands.settle()
    assert table.is_dragged

    hands.press("Ctrl+Z")
    assert table.held is None
    QTest.mouseMove(table.viewport(), end)
    QTest.mouseRelease(table.viewport(), left, none, end)
    hands.settle()

    assert len(hands.log()) == 1
    assert hands.told.startswith("Let go of Wipe the lid (Reef)")


def test_what_one_person_alone_does_takes_the_minutes_of_that_person(live_in: LiveIn) -> None:
    """Nobody is named, and yet it is settled: the others do no such work."""
    house = small_house()
    ada, bo = house.people
    hands = live_in(replace(house, people=(ada, replace(bo, not_for=(ChoreKind.WATER_CHANGE,)))))
    hands.press("Ctrl+2", "B")
    sheet = board_of(hands).sheet
    assert sheet is not None
    assert [(one.name, one.total.replace("\N{NO-BREAK SPACE}", " ")) for one in sheet.strips][
        :1
    ] == [("Ada", "40 min")]
    assert sheet.idle == ("Bo",)


def test_in_a_household_of_one_all_minutes_are_hers(live_in: LiveIn) -> None:
    """There is nobody else whose they could be."""
    house = small_house()
    hands = live_in(replace(house, people=house.people[:1]))
    hands.press("Ctrl+2", "B")
    sheet = board_of(hands).sheet
    assert sheet is not None
    (strip,) = sheet.strips
    assert strip.name == "Ada"
    assert sum(strip.strip.minutes) > 0


@pytest.mark.parametrize("keys", [("Return",), ()], ids=["refused", "carried"])
def test_what_was_refused_on_the_board_is_told_no_more_in_the_month(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """What was carried is let go, and the panel tells of the day that has the keys."""
    weekly = chore("sand", "Siphon the sand", None, rhythm=SATURDAYS)
    hands = open_board(live_in, chores=(weekly,))
    go_to(hands, "sand")
    hands.press("P", "Down", "Right", *keys)
    assert hands.why.refusal

    hands.press("M")

    assert hands.why.refusal is None
    assert not [one for one in hands.why.actions if one.text == "Let go"]
    hands.press("B")
    assert board_of(hands).held is None
    assert hands.why.refusal is None


def test_the_key_that_puts_a_turn_down_is_told_the_same_by_text_and_button(
    live_in: LiveIn,
) -> None:
    """The key with which it was taken stands first in both places."""
    hands = live_in()
    hands.press("Ctrl+2", "B", "P", "Right")
    drop = next(one for one in hands.why.actions if one.text.startswith("Put off"))
    assert drop.key == "P"
    assert f", {drop.key} or Return puts it there," in hands.why.advice
