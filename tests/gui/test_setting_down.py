"""What was found by hand on the pages of setting down: keys, rows that tell, and what stays."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QRect

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Equipment, Person, Stage
from tankkeeper.gui.forms.proposal_form import ProposalForm
from tankkeeper.gui.forms.stage_form import NameForm, StageForm
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.shortcuts import Where, sheet
from tests.gui.conftest import Begin, LiveIn, Wear
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands, box, chore, small_house
from tests.gui.setting_hands import go, save
from tests.gui.test_chores_page import desk_of as chores_of
from tests.gui.test_chores_page import follows, open_chores
from tests.gui.test_tank_page import desk_of, open_page, write


def lines(desk) -> dict[str, str]:
    return {row.name: row.line.replace("\u00a0", " ") for row in desk.things.rows}


def house_of(hands: Hands):
    desk = hands.window.morning.settling.house
    assert desk is not None
    return desk


def open_part(hands: Hands, part: str):
    hands.press("Ctrl+,")
    desk = house_of(hands)
    desk.page.buttons[part].setFocus()
    hands.press("Space")
    return desk


# keys


def test_copy_and_stage_of_a_tank_have_keys_that_are_told(live_in: LiveIn) -> None:
    """On the page, at their buttons and in the sheet of keys."""
    hands = live_in()
    desk = open_page(hands)
    assert "Ctrl+Shift+T changes that, Ctrl+Shift+C copies it" in desk.page.sentence.text()
    assert desk.page.buttons["copy"].accessibleDescription() == "Ctrl+Shift+C"
    hands.press("Ctrl+Shift+T")
    assert isinstance(hands.form(), StageForm)
    hands.press("Esc", "Ctrl+Shift+C")
    assert isinstance(hands.form(), NameForm)
    hands.press("Esc")


def test_the_set_up_goes_on_by_questions(begin: Begin) -> None:
    """And back; from within one the way back leads to its own first field."""
    hands = begin()
    page = first_page(hands.window)
    page.setFocus()
    seen = []
    for _ in range(4):
        seen.append(hands.focus())
        hands.press("Ctrl+PgDown")
    community = page.asked.community.choice.chips[0]
    assert seen[:3] == [page.asked.name.field, community, page.list]
    hands.press("Ctrl+PgUp", "Ctrl+PgUp", "Tab")
    assert hands.focus() is page.asked.room.field
    hands.press("Ctrl+PgUp")
    assert hands.focus() is page.asked.name.field
    hands.press("Ctrl+PgUp")
    assert hands.focus() is page.asked.household.zone


def test_lists_of_the_household_are_gone_through_by_the_key_of_groups(live_in: LiveIn) -> None:
    """From the last group of one sheet to the next part, from a list to the next; and back."""
    hands = live_in()
    hands.press("Ctrl+,")
    desk = house_of(hands)
    parts = [one.id for one in desk._parts]

    def gone_through(key: str) -> list[str]:
        found = []
        # Two steps more than there are places: the ends are ends, and no way round.
        for _ in range(len(parts) + 4):
            found.append(desk._part.id)
            hands.press(key)
        return found

    settings = ["settings"] * 3
    assert gone_through("Ctrl+PgDown") == [*settings, *parts[1:], "equipment", "equipment"]
    assert gone_through("Ctrl+PgUp")[: len(parts)] == parts[::-1]
    assert desk._part.id == "settings"
    # The way back ends at the row of the parts, and leads from there into the page again.
    assert hands.focus() is desk.page.buttons["settings"]
    hands.press("Ctrl+PgDown")
    assert desk.sheet.fields["name"].isAncestorOf(hands.focus())


def test_the_row_of_the_parts_is_reached_from_one_thing_of_a_list(live_in: LiveIn) -> None:
    """By the key of groups, from the first one; the sheet of keys says so."""
    hands = live_in()
    desk = open_part(hands, "people")
    hands.press("Tab", "Return")
    assert desk.sheet is not None
    hands.press("Ctrl+PgUp", "Ctrl+PgUp")
    assert hands.focus() is desk.page.buttons["people"]
    assert desk.sheet is not None
    told = {keys: text for text, keys in sheet()[Where.SETTLING]}
    assert told["Ctrl+PgUp"] == "Group or part before; from the first, their row"


def test_page_down_goes_as_far_as_is_seen_and_no_farther(live_in: LiveIn) -> None:
    """Where all is seen, from group to group; it never leaps to the last field."""
    hands = live_in()
    hands.press("Ctrl+,")
    desk = house_of(hands)

    def at() -> str:
        now = hands.focus()
        return next(path for path, one in desk.sheet.fields.items() if one.isAncestorOf(now))

    assert at() == "name"
    hands.press("PgDown")
    assert at() == "day_begins"
    hands.press("PgDown", "PgDown")
    assert at() == "units.volume"
    hands.press("PgUp", "PgUp")
    assert at() == "name"


# what a row tells


def test_the_list_of_chores_tells_amount_minutes_people_and_what_comes_first(
    live_in: LiveIn,
) -> None:
    """30 L are seen without opening the chore."""
    change = chore(
        "change",
        "Change water",
        12,
        kind=ChoreKind.WATER_CHANGE,
        amount=Amount(30.0, AmountUnit.LITRES),
        minutes=20,
        who=("ada",),
        ready_before=("Wipe the lid",),
    )
    house = small_house(chores=(change, chore("wipe", "Wipe the lid", 12)))
    hands = live_in(house)
    desk = open_chores(hands)
    assert lines(desk)["Change water"] == (
        "7 days after it is done, 30 L, 20 min, Ada, after Wipe the lid"
    )
    save(hands.window.shell, "chores-told")
    hands.press("Home", "Down", "Return")
    assert "It is done before Change water." in follows(chores_of(hands))
    hands.press("Esc", "Home", "Return")
    assert "Wipe the lid must be done first." in follows(chores_of(hands))


def test_people_stand_with_their_minutes_and_limits(live_in: LiveIn) -> None:
    """Days in a row that are alike are told together."""
    people = (
        Person("ada", "Ada", (20, 20, 20, 20, 20, 60, 60), 10.0, (ChoreKind.SERVICE,)),
        Person("bo", "Bo", (15,) * 7),
        Person("cy", "Cy"),
    )
    hands = live_in(small_house(people=people))
    told = lines(open_part(hands, "people"))
    assert told == {
        "Ada": "20 min Mon to Fri, 60 min Sat and Sun, lifts 10 kg, does no service",
        "Bo": "15 min every day",
        "Cy": "Minutes not known",
    }
    save(hands.window.shell, "people-told")


def test_the_household_says_where_the_equipment_of_its_tanks_stands(live_in: LiveIn) -> None:
    """None of its own is not none at all."""
    gear = (Equipment("heater", "heater", "reef"), Equipment("pump", "pump", "reef"))
    hands = live_in(small_house(equipment=gear))
    desk = open_part(hands, "equipment")
    assert desk.page.sentence.text() == (
        "What serves no single tank. Besides 2 on Reef: choose the tank, F3."
    )


# what stays, and what goes


def test_the_foot_forgets_its_refusal_with_the_next_key(live_in: LiveIn) -> None:
    """It was about what stood there before."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "shape.length_cm")
    write(hands, "long")
    hands.press("Ctrl+Return")
    assert hands.told.startswith("1\u00a0field cannot be kept")
    hands.hit("Ctrl+A")
    hands.type("61")
    assert "cannot be kept" not in hands.told
    hands.press("Ctrl+Return")
    assert hands.told == "Changed the tank Reef."


def test_a_tank_without_a_day_of_its_stage_says_why(live_in: LiveIn) -> None:
    """And that a change of stage fills it."""
    hands = live_in()
    desk = open_page(hands)
    note = desk.sheet.fields["since"]._note_label
    assert "since when it is running is not known" in note.text()
    hands.press("Ctrl+Shift+T")
    assert hands.form().sentence.text() == "It is running; since when is not said (F2)."
    hands.press("Down", "Return")
    assert desk.sheet.fields["since"].typed.text == "12 Mar 2026"
    assert note.text() == "Such as 2 Mar 2026."


@pytest.mark.parametrize("stage", [Stage.RETIRED, Stage.PLANNED])
def test_a_tank_that_does_not_run_is_drawn_empty_and_loses_nothing(
    live_in: LiveIn, stage: Stage
) -> None:
    """Its litres are what it would hold."""
    tanks = (replace(box("reef", "Reef", 1), stage=stage), box("nook", "Nook", 2))
    hands = live_in(small_house(tanks=tanks))
    desk = open_page(hands)
    assert desk_of(hands).preview._drawings[0].picture.is_outline_only
    assert desk.preview.lines[2].text() == "none: there is no water in it"
    assert desk.preview.lines[0].text().startswith("none now; it holds ")
    save(hands.window.shell, f"tank-{stage.value}")


def test_more_and_then_less_often_is_as_it_was(begin: Begin) -> None:
    """Every day, at its hours, also where those were set by hand."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    page.list.setFocus()
    names = [one.chore.name for one in page.list._proposals]
    hands.press("Home", *["Down"] * names.index("Feed"))
    before = page.list._proposals[page.list.currentRow()].chore
    told = page.list.currentItem().text()
    assert "every day" in told
    hands.press("+")
    assert "every 2" in page.list.currentItem().text()
    hands.press("+", "-", "-")
    assert page.list.currentItem().text() == told
    assert page.list._proposals[page.list.currentRow()].chore == before
    hands.press("Return")
    form = next(one for one in page.findChildren(ProposalForm) if one.isVisible())
    form.times.go_to()
    hands.type("9, 20")
    hands.press("Return")
    told = page.list.currentItem().text()
    hands.press("+", "-")
    assert page.list.currentItem().text() == told
    assert "09:00" in told or "9:00" in told


def test_a_draft_of_a_new_tank_goes_with_one_undo(live_in: LiveIn) -> None:
    """Though its name is in a field that has the keys."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    hands.type("Bay")
    hands.press("Tab", "Tab", "Tab", "Tab")
    hands.type("59")
    hands.press("Esc", "Ctrl+Shift+N")
    page = next(one for one in hands.frame.findChildren(FirstPage) if one.isVisible())
    assert (page.asked.name.text, page.asked.measures.fields[0].text) == ("Bay", "59")
    assert page.asked.name.field.hasFocus()
    hands.press("Ctrl+Z")
    page = next(one for one in hands.frame.findChildren(FirstPage) if one.isVisible())
    assert (page.asked.name.text, page.asked.measures.fields[0].text) == ("", "")
    assert hands.told == "Put back what stood there before."


@pytest.mark.parametrize("percent", [150, 200])
def test_accept_is_seen_in_the_largest_type(begin: Begin, wear: Wear, percent: int) -> None:
    """Whatever scrolls; its refusal stands above it."""
    wear(Scheme.LIGHT, percent)
    hands = begin()
    hands.window.shell.resize(1280, 800)
    hands.settle()
    page = first_page(hands.window)
    seen = QRect(page.accept.mapTo(hands.window.shell, QPoint(0, 0)), page.accept.size())
    assert hands.window.shell.rect().contains(seen)
    assert page.accept.visibleRegion().boundingRect().size() == page.accept.size()
    save(hands.window.shell, f"first-{percent}")
    page.setFocus()
    type_box(hands)
    page.refuse("It cannot be made here.")
    hands.settle()
    assert page.refusal.visibleRegion().boundingRect().size() == page.refusal.size()
    hands.press("Ctrl+Return")
    assert hands.path.exists()


def test_that_only_the_litres_are_known_is_a_choice(begin: Begin) -> None:
    """Said in the list of shapes, which shows all of it in its field."""
    hands = begin()
    page = first_page(hands.window)
    shape = page.asked.shape
    shape.setFocus()
    hands.press("End")
    assert shape.currentText() == "Other, or volume only"
    assert shape.toolTip() == ""
    assert page.asked.measures.names[0] == "litres"
