"""The round by keyboard and mouse: what each key does to the rows and to the logbook."""

from dataclasses import replace
from datetime import date, time

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QListWidget

from tankkeeper.core.chores import Amount, AmountUnit, Calendar, ChoreKind
from tankkeeper.core.household import Person
from tankkeeper.core.logbook import PutOff, Revoke, Skip, Work
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.pause_form import PauseForm
from tankkeeper.gui.models.round_rows import HeadingRow
from tankkeeper.gui.widgets.buttons import KeyedButton
from tests.builders import BERLIN
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house


def test_the_first_line_of_work_has_the_keys_when_the_window_opens(live_in: LiveIn) -> None:
    """Nothing has to be clicked before the first key acts."""
    hands = live_in()

    assert hands.list.hasFocus()
    assert hands.current() == "glass"


@pytest.mark.parametrize("view", ["Ctrl+1", "Ctrl+2", "Ctrl+6"])
def test_the_key_of_a_view_gives_it_the_keys_also_where_it_is_shown(
    live_in: LiveIn, view: str
) -> None:
    """From the rail, and where nothing at all had the keys."""
    hands = live_in()
    hands.press(view)
    page = hands.frame.stack.currentWidget()
    assert page.isAncestorOf(hands.focus())

    hands.frame.rail.setFocus()
    hands.press(view)
    assert page.isAncestorOf(hands.focus())

    hands.focus().clearFocus()
    assert QApplication.focusWidget() is None
    hands.press(view)
    assert page.isAncestorOf(hands.focus())


def test_space_ticks_and_goes_on_to_the_next_open_line(live_in: LiveIn) -> None:
    """Space ticks what asks nothing; the line stays in its place, the next open one is chosen."""
    hands = live_in()
    before = [row.item.chore.id for row in hands.rows()]

    hands.press("Space")

    assert hands.state("glass") is State.DONE
    assert hands.current() == "wipe"
    assert [row.item.chore.id for row in hands.rows()] == before
    assert [turn.chore for turn in hands.log()[0].entry.completes] == ["glass"]


def test_keys_pressed_at_once_act_one_after_the_other(live_in: LiveIn) -> None:
    """Three presses faster than the disk tick three lines, not the first one three times."""
    hands = live_in()
    hands.go_to("look")

    hands.hit("Space")
    hands.hit("Space")
    hands.settle()

    assert hands.state("look") is State.DONE
    assert hands.state("lamp") is State.DONE
    assert len(hands.log()) == 2


def test_a_reading_from_before_a_tick_does_not_hold_the_keys_on_its_line(live_in: LiveIn) -> None:
    """The window looks at the file all the time; the keys go on once the tick itself is shown."""
    hands = live_in()
    session = hands.window.session
    assert session is not None

    session.refresh()
    hands.hit("Space")
    hands.settle()
    assert hands.current() == "wipe"
    session.refresh()
    hands.hit("Space")
    hands.settle()

    assert (hands.state("glass"), hands.state("wipe")) == (State.DONE, State.DONE)
    assert len(hands.log()) == 2


def test_undo_pressed_right_after_space_takes_back_that_tick(live_in: LiveIn) -> None:
    """Undo waits for what is being written, and takes back that, not what was done before."""
    hands = live_in()
    hands.press("Space")

    hands.hit("Space")
    hands.hit("Ctrl+Z")
    hands.settle()

    assert hands.state("glass") is State.DONE
    assert hands.state("wipe") is State.DUE


def test_a_click_on_the_mark_ticks(live_in: LiveIn) -> None:
    """The mark is the mouse's Space."""
    hands = live_in()

    hands.click(hands.mark("lamp"))
    hands.settle()

    assert hands.state("lamp") is State.DONE
    assert len(hands.log()) == 1


def test_two_quick_clicks_on_two_marks_tick_those_two(live_in: LiveIn) -> None:
    """What was clicked is ticked, whatever is selected by the time it is written."""
    hands = live_in()

    hands.click(hands.mark("wipe"))
    hands.click(hands.mark("lamp"))
    hands.settle()

    done = {row.item.chore.id for row in hands.rows() if row.is_closed}
    assert done == {"wipe", "lamp"}


def test_a_double_click_on_the_mark_ticks_once(live_in: LiveIn) -> None:
    """A second click by a heavy hand neither takes back nor opens a form."""
    hands = live_in()
    at = hands.mark("lamp")

    hands.click(at)
    QTest.mouseDClick(
        hands.list.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at
    )
    hands.settle()

    assert hands.state("lamp") is State.DONE
    assert not hands.has_form()


def test_a_click_on_the_line_selects_and_ticks_nothing(live_in: LiveIn) -> None:
    """Only the mark ticks."""
    hands = live_in()

    hands.click(hands.area("lamp").center())
    hands.settle()

    assert hands.current() == "lamp"
    assert hands.log() == []


def test_a_click_on_a_heading_or_below_the_lines_keeps_the_selection(live_in: LiveIn) -> None:
    """Keys always have a line to act on."""
    hands = live_in()
    hands.go_to("wipe")
    heading = hands.list.visualRect(hands.list.round_model.index(0)).center()
    below = QPoint(100, hands.list.viewport().height() - 4)

    for at in (heading, below):
        hands.click(at)
        assert hands.selected() == ["wipe"]


def test_arrow_keys_pass_over_headings(live_in: LiveIn) -> None:
    """Down from the last line of one tank leads to the first of the next, and Up back."""
    hands = live_in()
    order = [row.item.chore.id for row in hands.rows()]
    seen = [hands.current()]

    for _ in order[1:]:
        hands.press("Down")
        seen.append(hands.current())
    for _ in order:
        hands.press("Up")

    assert seen == order
    assert hands.current() == order[0]


@pytest.mark.parametrize(("key", "place"), [("Home", 0), ("End", -1), ("PgUp", 0), ("PgDown", -1)])
def test_far_keys_end_on_a_line_of_work(live_in: LiveIn, key: str, place: int) -> None:
    """Home, End and the page keys reach the first and the last line, never a heading."""
    hands = live_in()
    order = [row.item.chore.id for row in hands.rows()]
    hands.go_to("change")

    hands.press(key)

    assert hands.current() == order[place]


def test_several_selected_lines_are_ticked_at_once(live_in: LiveIn) -> None:
    """Shift+Down over a heading selects lines of work only; one Space ticks them as one deed."""
    hands = live_in()
    hands.go_to("floss")
    hands.press("Shift+Down", "Shift+Down")
    chosen = hands.selected()

    hands.press("Space")

    assert len(chosen) == 3
    assert all(hands.state(one) is State.DONE for one in chosen)
    assert hands.window.session is not None
    hands.press("Ctrl+Z")
    assert not any(row.is_closed for row in hands.rows())


def test_ctrl_click_adds_a_line(live_in: LiveIn) -> None:
    """Lines far apart can be ticked together."""
    hands = live_in()
    hands.go_to("glass")

    hands.click(hands.area("lamp").center(), Qt.KeyboardModifier.ControlModifier)
    assert hands.selected() == ["glass", "lamp"]
    hands.press("Space")

    done = {row.item.chore.id for row in hands.rows() if row.is_closed}
    assert done == {"glass", "lamp"}


def test_select_all_selects_every_line_and_no_heading(live_in: LiveIn) -> None:
    """Ctrl+A, and the why panel adds up what is selected."""
    hands = live_in()

    hands.press("Ctrl+A")

    assert len(hands.selected()) == len(hands.rows())
    assert hands.why.title == "9 chores"


def test_what_is_chosen_besides_the_row_in_hand_ends_with_escape_or_a_key_that_goes(
    live_in: LiveIn,
) -> None:
    """On the first row Home goes nowhere, and leaves that row alone all the same."""
    hands = live_in()
    first = hands.current()
    for key in ("Esc", "Home", "Up", "PgUp"):
        hands.press("Home", "Ctrl+A")
        assert len(hands.selected()) == len(hands.rows())

        hands.press(key)

        assert hands.selected() == [first]
    hands.press("End")
    hands.press("Shift+Up", "Shift+Down", "Shift+Up")
    assert len(hands.selected()) == 2


def test_select_all_leaves_out_what_is_done(live_in: LiveIn) -> None:
    """Only work that is still to do is selected and added up; one more tick takes nothing back."""
    hands = live_in()
    hands.go_to("glass")
    hands.press("Space")
    hands.go_to("glass")
    hands.press("Ctrl+A")

    undone = [row for row in hands.rows() if row.item.is_open]
    assert "glass" not in hands.selected()
    assert len(hands.selected()) == len(undone) == len(hands.rows()) - 1
    assert hands.why.title.startswith(f"{len(undone)} ")
    hands.press("Ctrl+Home", "S")
    assert hands.state("glass") is State.DONE


def test_select_all_with_everything_done_selects_nothing_more(live_in: LiveIn) -> None:
    """There is no work that could be meant."""
    both = (chore("wipe", "Wipe the lid", 12), chore("lid", "Lid", 12))
    hands = live_in(small_house(chores=both))
    hands.go_to("wipe")
    hands.press("Space", "Space")
    hands.go_to("wipe")
    hands.press("Ctrl+A")
    assert hands.selected() == ["wipe"]


def test_space_on_a_done_line_takes_it_back(live_in: LiveIn) -> None:
    """A slip is taken back where it was made; the logbook keeps both rows."""
    hands = live_in()
    hands.press("Space")
    hands.go_to("glass")

    hands.press("Space")

    assert hands.state("glass") is State.OVERDUE
    rows = hands.log()
    assert isinstance(rows[0].entry.fact, Revoke)
    assert rows[1].revoked


def test_y_ticks_for_yesterday(live_in: LiveIn) -> None:
    """Y writes the completion on the day before, at the hour of the round."""
    hands = live_in()

    hands.press("Y")

    entry = hands.log()[0].entry
    assert entry.day.isoformat() == "2026-03-11"
    assert [turn.chore for turn in entry.completes] == ["glass"]
    assert "on Wednesday 11" in hands.told


@pytest.mark.parametrize("kind", [ChoreKind.OTHER, ChoreKind.DOSE, ChoreKind.FEEDING])
def test_y_stays_on_a_line_whose_work_of_today_is_still_to_do(
    live_in: LiveIn, kind: ChoreKind
) -> None:
    """The foot speaks of that line, so the next Space must tick it and no other."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 1))
    first = chore("alga", "Alga", None, kind=kind, rhythm=daily, tank="reef")
    lines = (first, chore("wipe", "Wipe the lid", 11), chore("lamp", "Wipe the lamp", 12))
    hands = live_in(small_house(chores=lines))
    hands.go_to("alga")

    hands.press("Y")

    assert len(hands.log()) == 1
    assert hands.row("alga").item.is_open
    assert "That of today is still to do." in hands.told
    assert hands.selected() == ["alga"]
    hands.press("Space")
    assert hands.state("alga") is State.DONE


def test_y_goes_on_from_a_line_that_it_closes(live_in: LiveIn) -> None:
    """Nothing of it is left to do today."""
    lines = (chore("wipe", "Wipe the lid", 11), chore("lamp", "Wipe the lamp", 12))
    hands = live_in(small_house(chores=lines))
    hands.go_to("wipe")

    hands.press("Y")

    assert hands.current() == "lamp"


def test_y_on_several_lines_stays_on_one_that_is_still_to_do(live_in: LiveIn) -> None:
    """What it closed is chosen no more."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 1))
    first = chore("alga", "Alga", None, rhythm=daily, tank="reef")
    hands = live_in(small_house(chores=(chore("wipe", "Wipe the lid", 11), first)))
    hands.go_to("wipe")
    hands.press("Ctrl+A", "Y")

    assert [one.item.chore.id for one in hands.rows()] == ["alga"]
    assert hands.selected() == ["alga"]


def test_y_pressed_again_says_that_it_was_done_yesterday_and_writes_nothing(
    live_in: LiveIn,
) -> None:
    """Work of every day keeps its line, so a sleepy person presses twice; the form adds one."""
    hands = live_in(person="ada")
    hands.go_to("look")

    hands.press("Y")
    hands.go_to("look")
    hands.press("Y")

    assert len(hands.log()) == 1
    day_hour = "yesterday already, at 07:00 by Ada."
    assert hands.told == f"Look at the pump (Nook) was done {day_hour}".replace(
        "07:00", hour(hands)
    )
    hands.press("Ctrl+Z")
    assert hands.log()[1].revoked


def hour(hands: Hands) -> str:
    """Return the wall time of the newest entry."""
    return f"{hands.log()[0].entry.at.astimezone(BERLIN):%H:%M}"


def test_y_twice_takes_both_hours_of_yesterday(live_in: LiveIn) -> None:
    """Two feedings that were given and not written down are both there, each at its hour."""
    rule = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(7), time(18)))
    feed = chore("feed", "Feed", None, kind=ChoreKind.FEEDING, rhythm=rule, tank="nook")
    hands = live_in(small_house(chores=(feed,)))

    hands.press("Y")
    hands.press("Y")

    assert hands.told == "Ticked Feed (Nook), yesterday at 18:00. That of today is still to do."
    slots = [row.entry.completes[0].slot for row in hands.log()]
    assert slots == [time(18), time(7)]
    hands.press("Y")
    assert len(hands.log()) == 2
    assert "was done yesterday already, at 18:00" in hands.told


def test_s_skips(live_in: LiveIn) -> None:
    """S leaves the turn out; the line stays, struck through, and is not counted."""
    hands = live_in()

    hands.press("S")

    assert hands.state("glass") is State.SKIPPED
    assert isinstance(hands.log()[0].entry.fact, Skip)
    assert "1 skipped" in hands.sheet().sentence


@pytest.mark.parametrize("key", ["Return", "Enter", "Ctrl+Return"])
def test_a_skip_can_say_why(live_in: LiveIn, key: str) -> None:
    """Shift+S asks for the reason, which stands in the logbook and in the why panel."""
    hands = live_in()

    hands.press("Shift+S")
    assert hands.has_form()
    assert hands.state("glass") is not State.SKIPPED
    QTest.keyClicks(QApplication.focusWidget(), "The snails did it.")
    hands.press(key)

    assert hands.state("glass") is State.SKIPPED
    assert hands.log()[0].entry.note == "The snails did it."
    assert hands.told.startswith("Skipped Clean the glass (Reef).")
    hands.go_to("glass")
    assert "The note says: The snails did it." in hands.why.reason


def test_a_reason_left_from_last_time_is_typed_over(live_in: LiveIn) -> None:
    """It stands there again, selected: what is typed is the reason of today."""
    hands = live_in()
    hands.press("Shift+S")
    hands.type("The snails did it.")
    hands.press("Esc", "Shift+S")
    assert hands.form().text.toPlainText() == "The snails did it."  # type: ignore[attr-defined]

    hands.type("No time.")
    hands.press("Shift+Return")
    hands.type("And no will.")
    hands.press("Ctrl+Return")

    assert hands.log()[0].entry.note.split() == ["No", "time.", "And", "no", "will."]


@pytest.mark.parametrize("key", ["S", "P", "Return", "Y"])
def test_a_key_on_a_done_line_says_what_is_so(live_in: LiveIn, key: str) -> None:
    """S, P, Return and Y on what is done change nothing and are answered in panel and foot."""
    hands = live_in()
    hands.press("Space")
    hands.go_to("glass")
    assert hands.told == "Ticked Clean the glass (Reef). Next on Thu\u00a019."

    hands.press(key)

    assert not hands.has_form()
    assert "Take it back first" in hands.why.refusal
    assert hands.told == hands.why.refusal
    assert len(hands.log()) == 1


def test_a_refusal_goes_when_another_line_is_chosen(live_in: LiveIn) -> None:
    """Who comes back to the line reads what is so, not what a key did there before."""
    hands = live_in()
    hands.press("Space")
    hands.go_to("glass")
    hands.press("S")
    assert hands.why.refusal

    hands.press("Down")
    assert hands.why.refusal is None
    hands.press("Up")

    assert hands.current() == "glass"
    assert hands.why.refusal is None


def test_a_refusal_goes_after_the_next_success(live_in: LiveIn) -> None:
    """A refusal stands with its line until something was done."""
    hands = live_in()
    hands.press("Space")
    hands.go_to("glass")
    hands.press("S")
    assert hands.why.refusal

    hands.press("Space")

    hands.go_to("glass")
    assert hands.why.refusal is None


def test_done_lines_are_not_counted(live_in: LiveIn) -> None:
    """Head line, sums and rail follow what was ticked."""
    hands = live_in()
    minutes = hands.sheet().view.totals.minutes
    reef = hands.window.session.last.cards[1]  # type: ignore[union-attr]

    hands.press("Space")

    assert hands.sheet().view.totals.minutes == minutes - 5
    assert "1 done" in hands.sheet().sentence
    after = hands.window.session.last.cards[1]  # type: ignore[union-attr]
    assert (reef.overdue, after.overdue) == (1, 0)


@pytest.mark.parametrize("chosen", ["glass", "wipe", "floss", "look"])
def test_a_ticked_line_stays_where_it_stood(live_in: LiveIn, chosen: str) -> None:
    """Overdue, due or waiting: ticking moves no line."""
    hands = live_in()
    before = [row.item.chore.id for row in hands.rows()]
    hands.go_to(chosen)

    hands.press("Space")

    assert [row.item.chore.id for row in hands.rows()] == before


def test_ten_mixed_deeds_are_undone_and_done_again_in_order(live_in: LiveIn) -> None:
    """Ctrl+Z goes back through ticks, skips, put-offs, pauses and notes; Ctrl+Y forth again."""
    hands = live_in()
    shots = [_picture(hands)]
    deeds = (
        ("glass", ("Space",)),
        ("wipe", ("S",)),
        ("lamp", ("Y",)),
        ("floss", ("P", "Return")),
        ("change", ("Space", "3", "5", "Return")),
        ("fill", ("Space", "Return")),
        ("look", ("Space",)),
        ("meter", ("S",)),
        ("glass", ("Space",)),
        ("test", ("Shift+P", "Return")),
    )
    for chosen, keys in deeds:
        hands.go_to(chosen)
        hands.press(*keys)
        assert not hands.has_form(), chosen
        shots.append(_picture(hands))
    assert len({str(shot) for shot in shots}) >= 9

    back = [shots[-1]]
    for _ in deeds:
        hands.press("Ctrl+Z")
        back.append(_picture(hands))
    assert back == shots[::-1]

    forth = [shots[0]]
    for _ in deeds:
        hands.press("Ctrl+Y")
        forth.append(_picture(hands))
    assert forth == shots


def _picture(hands) -> dict[str, State]:  # type: ignore[no-untyped-def]
    return {row.item.chore.id: row.item.state for row in hands.rows()}


def test_a_new_deed_forgets_what_could_be_done_again(live_in: LiveIn) -> None:
    """After an undo and something new there is nothing to do again, and that is said."""
    hands = live_in()
    hands.press("Space", "Ctrl+Z")
    hands.go_to("wipe")
    hands.press("Space")
    rows = len(hands.log())

    hands.press("Ctrl+Y")

    assert len(hands.log()) == rows
    assert "could be done again" in hands.told


def test_a_row_that_goes_leaves_the_keys_beside_its_place(live_in: LiveIn) -> None:
    """Put off to another day the last row is gone; the keys stay at the end, not at the top."""
    hands = live_in()
    last = hands.list.item_rows()[-1]
    hands.go_to(last.item.chore.id)

    hands.press("P", "Return")

    rows = hands.list.item_rows()
    assert last.id not in {row.id for row in rows}
    current = hands.list.current_row()
    assert current is not None
    assert current.id == rows[-1].id


def test_the_round_begins_at_the_first_row_to_do(live_in: LiveIn) -> None:
    """In a new window on a half done round Space does not take back what was done."""
    hands = live_in()
    hands.press("Space", "Space")
    hands.close()

    again = live_in(is_there=True)

    current = again.list.current_row()
    assert current is not None
    assert current.item.is_open
    assert not again.list.item_rows()[0].item.is_open


def test_the_menu_opens_by_key_and_by_its_own_button(live_in: LiveIn) -> None:
    """Whoever does not look for commands behind a name finds them under a word."""
    hands = live_in()
    hands.press("F10")
    menu = hands.frame.top.menu()
    assert menu.isVisible()
    assert menu.activeAction() is not None
    menu.close()
    assert hands.frame.top.more.text() == "Menu"
    assert hands.frame.top.more.menu() is menu
    commands = {one.objectName() for one in hands.frame.top.people_menu().actions()}
    assert {"next-person", "settings"} <= commands


def test_put_off_by_key_names_the_day_on_its_button(live_in: LiveIn) -> None:
    """P opens the days to come with the next one that works, and the button says which."""
    hands = live_in()
    hands.go_to("wipe")

    hands.press("P")
    assert hands.form().primary.text() == "Put off to Fri\u00a013"
    hands.press("Down")
    assert hands.form().primary.text() == "Put off to Sat\u00a014"
    hands.press("Return")

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert fact.to.isoformat() == "2026-03-14"
    assert len(hands.log()) == 1


def test_put_off_again_proposes_the_day_after_and_offers_today(live_in: LiveIn) -> None:
    """It stands on Saturday, so Sunday is next; Up leads back over the others to today."""
    hands = live_in(small_house(chores=(chore("floss", "Swap the floss", 12, early_days=3),)))
    hands.go_to("floss")
    hands.press("P", "Down", "Return")
    hands.go_to("floss")

    hands.press("P")
    form = hands.form()
    assert form.primary.text() == "Put off to Sun\u00a015"
    days = form.findChildren(QListWidget)[0]
    assert days.item(2).text() == "Saturday 14\u00a0March, where it stands now"
    days.setCurrentRow(2)
    assert not form.primary.isEnabled()
    hands.press("Home")
    assert days.currentItem().text() == "Thursday 12\u00a0March, back to today"
    assert form.primary.text() == "Back to today"
    hands.press("Return")

    assert [one.entry.fact.to.day for one in hands.log()] == [12, 14]  # type: ignore[union-attr]
    assert hands.state("floss") is State.DUE


def test_the_form_tells_which_turn_is_done_with_the_one_put_off(live_in: LiveIn) -> None:
    """A turn put off into the window of the next is ticked together with it."""
    weekly = Calendar("FREQ=WEEKLY;BYDAY=TH", date(2026, 3, 5))
    floss = chore("floss", "Swap the floss", None, rhythm=weekly, early_days=1)
    hands = live_in(small_house(chores=(floss,)))
    hands.go_to("floss")
    hands.press("P", *("Down",) * 4)
    assert hands.form().primary.text() == "Put off to Tue\u00a017"
    assert hands.form().accessibleDescription() == ""
    hands.press("Down")
    told = "The turn of Thu\u00a019 is then done with it."
    assert hands.form().accessibleDescription() == told
    hands.press("Return")
    assert hands.told.endswith(told)


def test_a_day_on_which_it_cannot_stand_is_told_in_the_form(live_in: LiveIn) -> None:
    """A chore of Thursdays cannot be put off to its next turn; the sentence stands in the form."""
    weekly = Calendar("FREQ=WEEKLY;BYDAY=TH", date(2026, 3, 5))
    house = small_house(chores=(chore("net", "Rinse the net", None, rhythm=weekly),))
    hands = live_in(house)

    hands.press("P")
    form = hands.form()
    assert form.primary.isEnabled()
    hands.press(*["Down"] * 6)
    assert form.days.currentItem().text() == "Thursday 19\u00a0March"  # type: ignore[attr-defined]
    assert not form.primary.isEnabled()
    assert "19\u00a0March" in form.accessibleDescription()
    hands.press("Return")
    assert hands.has_form()
    hands.press("Esc")

    assert hands.log() == []


def test_the_days_past_the_window_are_marked_in_the_list(live_in: LiveIn) -> None:
    """They can be chosen; how late each is stands behind it, and is said when it is kept."""
    hands = live_in()
    hands.go_to("floss")

    hands.press("P")
    days = hands.form().days  # type: ignore[attr-defined]
    shown = [days.item(at).text().replace("\u00a0", " ") for at in range(6)]
    assert shown == [
        "Friday 13 March, tomorrow",
        "Saturday 14 March",
        "Sunday 15 March",
        "Monday 16 March",
        "Tuesday 17 March, 1 day past own window",
        "Wednesday 18 March, 2 days past own window",
    ]
    hands.press(*["Down"] * 5, "Return")

    told = hands.told.replace("\u00a0", " ")
    assert told.endswith(
        "That is 2 days past its own window, which ends on Monday; its window moves with it, "
        "to Sun 22."
    )
    hands.press("Ctrl+Z")
    # It stands where it was, so that nothing is late.
    undone = hands.told.replace("\u00a0", " ")
    assert undone == f"Undone: {told.partition('. ')[0]}."


def test_of_several_lines_the_late_ones_are_named(live_in: LiveIn) -> None:
    """One by its name, more by their number; what has no window is never late."""
    hands = live_in()
    hands.list.setFocus()
    for name in ("wipe", "floss"):
        hands.click(hands.area(name).center(), Qt.KeyboardModifier.ControlModifier)
    hands.press("P")
    days = hands.form().days  # type: ignore[attr-defined]
    fifth = days.item(4).text().replace("\u00a0", " ")
    assert fifth.endswith(", 1 day past own window for Swap the floss")


def test_what_comes_every_day_cannot_be_put_off_and_that_is_told_at_once(live_in: LiveIn) -> None:
    """Where no day works there is nothing to choose: the why panel says why."""
    hands = live_in()
    hands.go_to("look")

    hands.press("P")

    assert not hands.has_form()
    assert "next turn" in hands.why.refusal
    assert hands.log() == []


def test_a_paused_chore_is_resumed_where_its_tank_is_chosen(live_in: LiveIn) -> None:
    """Shift+P pauses; the tank chosen in the rail shows the paused line; Shift+P resumes it."""
    hands = live_in()
    hands.go_to("lamp")
    hands.press("Shift+P", "Return")

    hands.press("Ctrl+Down", "Ctrl+Down")
    assert hands.state("lamp") is State.PAUSED
    hands.go_to("lamp")
    assert [action.text for action in hands.why.actions] == ["Resume"]
    hands.press("Space")
    assert "paused" in hands.why.refusal
    hands.press("Shift+P")

    assert hands.state("lamp") is State.DUE


@pytest.mark.parametrize("chore_id", ["lamp", "meter"])
def test_a_pause_asks_first_until_when(live_in: LiveIn, chore_id: str) -> None:
    """What to pause is the line in hand, be it of a tank or of the household."""
    hands = live_in()
    hands.go_to(chore_id)
    hands.press("Shift+P")

    form = hands.form()
    assert isinstance(form, PauseForm)
    assert hands.focus() is form.until


def test_a_paused_tank_is_resumed_from_the_rail(live_in: LiveIn) -> None:
    """The whole tank can rest; its lines are gone from the house and come back."""
    hands = live_in()
    hands.go_to("lamp")
    hands.press("Shift+P", "Shift+Tab", "Down", "Return")
    assert not [row for row in hands.rows() if row.item.chore.tank == "nook"]

    hands.press("Ctrl+Down", "Ctrl+Down")
    assert {row.item.state for row in hands.rows()} == {State.PAUSED}
    hands.press("Shift+P")

    assert hands.state("lamp") is State.DUE


def test_a_chore_paused_alone_is_found_and_resumed_in_the_whole_house(live_in: LiveIn) -> None:
    """The last group of the round says what is paused and by which key it goes on."""
    hands = live_in()
    hands.go_to("lamp")

    hands.press("Shift+P", "Return")

    last = [one for one in hands.sheet().rows if isinstance(one, HeadingRow)][-1]
    assert (last.name, last.room) == ("Paused", "1\u00a0chore; Shift+P resumes")
    assert hands.rows()[-1].item.chore.id == "lamp"
    assert hands.rows()[-1].who == "Nook"
    assert "1\N{NO-BREAK SPACE}chore paused" in hands.sheet().sentence
    hands.press("End", "Shift+P")
    assert hands.state("lamp") is State.DUE
    assert hands.sheet().rows[-1].name != "Paused"


def test_shift_p_in_the_rail_pauses_the_chosen_tank_and_lets_it_go_on(live_in: LiveIn) -> None:
    """The key means what is chosen where the keys act, and they stay there."""
    hands = live_in()
    hands.press("Ctrl+Down", "Ctrl+Down")
    hands.frame.rail.setFocus()

    hands.press("Shift+P")
    assert hands.form().windowTitle() == "Pause: Nook"
    hands.press("Return")

    assert {row.item.state for row in hands.rows()} == {State.PAUSED}
    told = "Paused Nook. Shift+P on it in the list of tanks lets it go on."
    assert hands.told == told
    assert hands.frame.rail.hasFocus()
    hands.press("Shift+P")
    assert hands.state("lamp") is State.DUE
    hands.press("Ctrl+Z")
    assert hands.told == "Undone: Nook goes on."


def test_shift_p_in_the_rail_on_the_whole_house_says_what_to_choose(live_in: LiveIn) -> None:
    """No key does nothing without a word."""
    hands = live_in()
    hands.frame.rail.setFocus()

    hands.press("Shift+P")

    assert not hands.has_form()
    assert "Choose a tank" in hands.why.refusal
    assert hands.log() == []
    hands.list.setFocus()
    hands.press("Down")
    assert hands.why.refusal is None


def test_shift_p_on_a_done_line_says_what_it_means_and_resumes_when_pressed_again(
    live_in: LiveIn,
) -> None:
    """What is done today stays done; the pause is about what comes."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    hands.go_to("wipe")

    hands.press("Shift+P")
    form = hands.form()
    told = form.caption.text()
    assert told.startswith("What was done today stays so. Nothing is due while it lasts.")
    assert "Its days go on: what falls into it is due on the first day after it." in told
    form.what.setFocus()
    hands.press("Down")
    assert "Its days stand still: what was to come is as many days later." in form.caption.text()
    hands.press("Up", "Return")
    assert hands.told == "Paused Wipe the lid (Reef). Shift+P on its line lets it go on."
    hands.go_to("wipe")
    hands.press("Shift+P")

    assert not hands.has_form()
    assert hands.told == "Wipe the lid goes on. Next on Thu\N{NO-BREAK SPACE}19."
    assert hands.state("wipe") is State.DONE


def test_undo_of_taking_back_says_that_it_is_ticked_again(live_in: LiveIn) -> None:
    """Not "Undid: Took back"; and doing it again says what is done again."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    hands.go_to("wipe")
    hands.press("Space")
    assert hands.told == "Took back Wipe the lid (Reef)."

    hands.press("Ctrl+Z")
    assert hands.told == "Ticked again: Wipe the lid (Reef)."
    hands.press("Ctrl+Y")

    assert hands.told == "Done again: Took back Wipe the lid (Reef)."


def test_a_feeding_that_is_ticked_keeps_and_shows_its_grams(live_in: LiveIn) -> None:
    """What the chore sets is what was given, in the done line and in the logbook."""
    feed = chore(
        "feed",
        "Feed",
        12,
        kind=ChoreKind.FEEDING,
        amount=Amount(0.6, AmountUnit.GRAMS),
    )
    hands = live_in(small_house(chores=(feed,)))

    hands.press("Space")

    assert hands.log()[0].entry.fact == Work(grams=0.6)
    assert hands.row("feed").amount == "0.6\u00a0g"


def test_pieces_that_were_given_stay_in_the_row(live_in: LiveIn) -> None:
    """A tick says that what the chore states was given, and no entry counts pieces."""
    cube = chore("cube", "Feed frozen", 12, kind=ChoreKind.FEEDING)
    cube = replace(cube, amount=Amount(1.0, AmountUnit.PIECES))
    hands = live_in(small_house(chores=(cube,)))
    before = hands.rows()[0].amount

    hands.press("Space")

    assert before == hands.rows()[0].amount == "1\N{NO-BREAK SPACE}piece"


@pytest.mark.parametrize("key", ["Return", "Enter", "Ctrl+Return"])
def test_n_writes_a_note(live_in: LiveIn, key: str) -> None:
    """N opens the note; Return keeps it as in any form, with the lines that Shift+Return began."""
    hands = live_in()

    hands.press("N")
    hands.type("Snail on the glass")
    hands.press("Shift+Return")
    hands.type("Two")
    hands.press(key)

    assert not hands.has_form()
    entry = hands.log()[0].entry
    assert entry.note == "Snail on the glass\nTwo"
    assert entry.tank == "reef"


def test_the_person_is_chosen_by_key_and_signs_what_is_done(live_in: LiveIn) -> None:
    """Ctrl+Shift+P goes on to the next person."""
    hands = live_in()

    hands.press("Ctrl+Shift+P", "Ctrl+Shift+P", "Space")

    assert hands.log()[0].entry.by == "bo"


def test_people_without_a_name_are_shown_apart_and_sign_what_they_do(live_in: LiveIn) -> None:
    """They are told from one another by a number, and their entries by their ids."""
    people = (Person("person", ""), Person("bo", "Bo"), Person("person-2", ""))
    hands = live_in(small_house(people=people))

    hands.press("Ctrl+Shift+P", "Ctrl+Shift+P", "Ctrl+Shift+P", "Space")

    assert hands.log()[0].entry.by == "person-2"
    names = [one.text() for one in hands.frame.top.people_menu().actions() if one.isCheckable()]
    assert names[:3] == ["Unnamed person", "Bo", "Unnamed person 2"]
    chosen = [one.text() for one in hands.frame.top.people_menu().actions() if one.isChecked()]
    assert chosen == ["Unnamed person 2"]


def test_undo_in_a_new_window_takes_back_the_newest_entry_of_today(live_in: LiveIn) -> None:
    """After the window was closed and opened, Ctrl+Z still mends the last slip and names it."""
    hands = live_in()
    hands.press("Space")
    hands.close()

    again = live_in(is_there=True)
    again.press("Ctrl+Z")

    assert again.state("glass") is State.OVERDUE
    assert "Clean the glass" in again.told


def test_undo_leaves_what_somebody_else_wrote(live_in: LiveIn) -> None:
    """One Ctrl+Z too many takes back nothing of another person, and says whose entry it is."""
    hands = live_in(person="bo")
    hands.press("Space")
    hands.close()

    again = live_in(is_there=True, person="ada")
    again.press("Ctrl+Z")

    assert again.state("glass") is State.DONE
    assert "by Bo" in again.told
    assert len(again.log()) == 1


def test_who_pauses_a_chore_goes_on_with_the_next_one(live_in: LiveIn) -> None:
    """As after a tick; the paused line goes to the foot without the keys."""
    hands = live_in()
    hands.go_to("wipe")
    after = [row.item.chore.id for row in hands.rows() if row.item.is_open]
    following = after[after.index("wipe") + 1]

    hands.press("Shift+P", "Return")

    assert hands.state("wipe") is State.PAUSED
    row = hands.list.current_row()
    assert row is not None
    assert row.item.chore.id == following


def test_pausing_several_lines_at_once_is_refused_in_words(live_in: LiveIn) -> None:
    """Not the first of them in silence: the sentence stands in the why panel."""
    hands = live_in()
    hands.press("Shift+Down", "Shift+P")

    assert not hands.has_form()
    assert "2 chores are selected" in hands.why.refusal


def test_a_key_that_is_held_down_acts_once(live_in: LiveIn) -> None:
    """No command of the list repeats by itself."""
    hands = live_in()

    assert [one.text() for one in hands.list.actions() if one.autoRepeat()] == []


def test_the_buttons_of_the_why_panel_do_what_their_keys_do(live_in: LiveIn) -> None:
    """A click ticks the selected line, and the keys act in the list again."""
    hands = live_in()
    tick = next(
        one for one in hands.frame.why.findChildren(KeyedButton) if one.button.text() == "Tick"
    )

    QTest.mouseClick(tick.button, Qt.MouseButton.LeftButton)
    hands.settle()
    assert hands.state("glass") is State.DONE
    assert hands.list.hasFocus()
    hands.press("Space")

    assert hands.state("wipe") is State.DONE


def test_a_button_of_the_why_panel_is_reached_and_pressed_by_key(live_in: LiveIn) -> None:
    """F6 to the panel, Tab to the button, Space; then the next line is told about."""
    hands = live_in()
    hands.list.setFocus()
    hands.press("F6", "Tab")

    hands.press("Space")

    assert hands.state("glass") is State.DONE
    assert hands.current() == "wipe"


def test_a_pause_of_a_chore_by_the_calendar_leaves_its_days_out(live_in: LiveIn) -> None:
    """Its days do not wait for the end of the pause, as those of a counted rhythm do."""
    hands = live_in()
    hands.go_to("look")

    hands.press("Shift+P")

    told = hands.form().caption.text()
    assert told == (
        "Nothing is due while it lasts. Its days go on: what falls into it is left out, and what "
        "is open now is open again after it."
    )
