"""Where keys lead on the pages of setting down, and what head, foot and list of them tell."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.chores import AfterLastDone, Chore, ChoreKind
from tankkeeper.core.household import Animal, Equipment, Stage
from tankkeeper.core.logbook import TopOff
from tankkeeper.gui.forms.stage_form import NameForm
from tests.builders import an_entry, days
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house
from tests.gui.test_undo_on_pages import go_to_part


def settling(hands: Hands):  # type: ignore[no-untyped-def]
    """Return the pages for setting down."""
    return hands.window.morning.settling


def head(page) -> str:  # type: ignore[no-untyped-def]
    """Return what the head of a page says."""
    return page.sentence.text()


def loss(desk) -> str:  # type: ignore[no-untyped-def]
    """Return what the page of a tank says of its loss, as it would be by what is typed."""
    return desk._side(desk.sheet.thing)[0].loss


def test_head_and_foot_count_the_same_fields_of_a_room(live_in: LiveIn) -> None:
    """Those that cannot be read, and those that are refused for what they say."""
    hands = live_in()
    go_to_part(hands, "rooms")
    hands.press("Return")
    desk = settling(hands).house
    for path, text in (("air_speed_m_s", "abc"), ("warmth.0", "x"), ("humidity.0", "300")):
        desk.sheet.fields[path].setFocus()
        hands.hit("Ctrl+A")
        hands.type(text)
    hands.press("Ctrl+Return")
    assert hands.told.startswith("3\u00a0fields cannot be kept as they stand.")
    assert head(desk.page).startswith("3\u00a0fields cannot be kept as they stand.")


def test_head_and_foot_agree_on_a_rhythm_that_cannot_be(live_in: LiveIn) -> None:
    """What is refused only when it is kept is told at the head, too."""
    hands = live_in()
    hands.go_to("glass")
    hands.press("F3", "Return")
    desk = settling(hands).chores
    every = "rhythm.count"
    desk.sheet.fields[every].setFocus()
    hands.hit("Ctrl+A")
    hands.type("0")
    hands.press("Ctrl+Return")
    assert hands.told.startswith("1\u00a0field cannot be kept as it stands.")
    assert head(desk.page).startswith("1\u00a0field cannot be kept as it stands.")


def test_the_next_group_is_typed_over_as_after_tab(live_in: LiveIn) -> None:
    """The text of the field is selected, in both directions."""
    hands = live_in()
    hands.go_to("glass")
    hands.press("F3", "Return")
    fields = settling(hands).chores.sheet.fields
    for _ in range(8):
        hands.press("Ctrl+PgDown")
        if fields["minutes"].isAncestorOf(hands.focus()):
            break
    here = hands.focus()
    assert here.selectedText() == here.text() != ""


def test_the_key_of_the_chores_opens_them_and_leads_back_to_them(live_in: LiveIn) -> None:
    """Not the part that was used last; Ctrl+PgDn goes on to the other parts."""
    hands = live_in()
    seen = []
    for key in ("F3", "Ctrl+PgDown", "Ctrl+PgDown", "F3"):
        hands.press(key)
        seen.append(settling(hands).chores._part.id)
    assert seen == ["chores", "animals", "equipment", "chores"]
    hands.press("Ctrl+PgDown", "Esc", "F3")
    assert settling(hands).chores._part.id == "chores"


def test_what_undo_of_a_stage_says_is_so(live_in: LiveIn) -> None:
    """It names the stage that holds again."""
    hands = live_in()
    hands.press("Ctrl+Down", "F2", "Ctrl+Shift+T")
    hands.form().findChildren(type(hands.focus()))
    before = hands.window.session.household.tank("reef").stage
    hands.press("End", "Ctrl+Return")
    after = hands.window.session.household.tank("reef").stage
    assert after is not before
    hands.press("Ctrl+Z")
    assert hands.told == f"Undone: Reef is {before.value} again."


def test_chores_of_a_retired_tank_are_not_offered_to_be_resumed(live_in: LiveIn) -> None:
    """They say why they rest, and wake with their tank."""
    house = small_house()
    tanks = tuple(
        replace(one, stage=Stage.RETIRED) if one.id == "reef" else one for one in house.tanks
    )
    hands = live_in(replace(house, tanks=tanks))
    hands.press("Ctrl+Home", "Ctrl+Down")
    found = [row for row in hands.rows() if row.item.chore.tank == "reef"]
    assert {row.state for row in found} == {"retired"}
    hands.go_to(found[0].item.chore.id)
    assert hands.why.actions == ()


def test_escape_on_the_button_of_the_menu_leaves_the_page(live_in: LiveIn) -> None:
    """Back before the first field stands what is along the top."""
    hands = live_in()
    hands.press("F2")
    hands.frame.top.findChild(type(hands.frame.top.views))
    hands.press("Shift+F6", "Shift+F6")
    assert not settling(hands).tank.page.isAncestorOf(hands.focus())
    hands.press("Esc")
    assert not settling(hands).is_open


def test_kept_animals_lead_back_to_their_list_with_their_line_chosen(live_in: LiveIn) -> None:
    """As chores do; what has no id of its own stands where it stood."""
    hands = live_in(small_house(animals=(Animal("reef", "Goby", 1), Animal("reef", "Crab", 2))))
    hands.press("Ctrl+Down", "F3", "Ctrl+PgDown", "Down", "Return")
    desk = settling(hands).chores
    assert desk._part.id == "animals"
    assert desk.sheet is not None
    desk.sheet.fields["name"].setFocus()
    hands.hit("Ctrl+A")
    hands.type("Hermit")
    hands.press("Ctrl+Return")
    assert [one.name for one in hands.window.session.household.animals] == ["Goby", "Hermit"]
    assert desk.sheet is None
    assert desk.things.rows[desk.list.currentRow()].thing.name == "Hermit"
    hands.press("Return")
    assert desk.page.title.text() == "Hermit"
    hands.hit("End")
    hands.type("s")
    hands.press("Ctrl+Return")
    assert [one.name for one in hands.window.session.household.animals] == ["Goby", "Hermits"]


def test_a_tank_is_copied_from_the_menu(live_in: LiveIn) -> None:
    """Its key acts everywhere, and stands there."""
    hands = live_in()
    texts = [one.text() for one in hands.frame.top.menu().actions()]
    assert "Copy this tank" in texts
    hands.press("Ctrl+Down", "Ctrl+Shift+C")
    assert isinstance(hands.form(), NameForm)
    hands.type("Bay")
    hands.press("Ctrl+Return")
    assert [one.name for one in hands.window.session.household.tanks] == ["Reef", "Nook", "Bay"]


def test_equipment_tells_its_service_and_its_name_once(live_in: LiveIn) -> None:
    """A name that is its kind but for capitals is said once."""
    service = Chore("service", ChoreKind.OTHER, "Service: Heater", AfterLastDone(days(56)), "reef")
    house = small_house(equipment=(Equipment("heater", "Heater", tank="reef"),))
    hands = live_in(replace(house, chores=(*house.chores, service)))
    hands.press("Ctrl+Down", "F3", "Ctrl+PgDown", "Ctrl+PgDown")
    row = settling(hands).chores.things.rows[0]
    assert row.name == "Heater"
    assert row.line == "service: 56\u00a0days after it is done"


def test_equipment_without_a_name_is_told_by_its_kind(live_in: LiveIn) -> None:
    """Where it was added."""
    hands = live_in()
    hands.press("Ctrl+Down", "F3", "Ctrl+PgDown", "Ctrl+PgDown", "Space")
    hands.type("skimmer")
    hands.press("Ctrl+Return")
    assert hands.told == "Added the piece of equipment skimmer (Reef)."


def test_the_list_tells_which_row_holds_a_draft(live_in: LiveIn) -> None:
    """Left without being kept, it waits there."""
    hands = live_in()
    go_to_part(hands, "rooms")
    hands.press("Return")
    desk = settling(hands).house
    desk.sheet.fields["warmth.0"].setFocus()
    hands.type("abc")
    hands.press("Esc", "Esc")
    assert desk.sheet is None
    assert desk.list.item(0).data(0x0101).startswith("Draft, not kept yet")


def test_the_loss_of_sizes_that_cannot_be_asks_for_no_more_top_offs(live_in: LiveIn) -> None:
    """The log has them already; what is missing are the sizes."""
    fills = tuple(
        an_entry(at, f"2026-03-{at:02}", TopOff(1.5), tank="nook") for at in (2, 4, 6, 8, 10)
    )
    hands = live_in(entries=fills)
    hands.press("Ctrl+Down", "Ctrl+Down", "F2")
    desk = settling(hands).tank
    assert "as the log tells" in loss(desk)
    sheet = desk.sheet
    for path, text in (("shape.length_cm", "abc"), ("shape.water_depth_cm", "500")):
        sheet.fields[path].setFocus()
        hands.hit("Ctrl+A")
        hands.type(text)
        desk._show_preview()
        assert "two top-offs" not in loss(desk)


def test_the_key_of_the_chores_opens_those_of_the_house_on_a_chore_of_the_house(
    live_in: LiveIn,
) -> None:
    """The line in hand says whose chores are meant; pressed again it leads back to them."""
    hands = live_in()
    hands.go_to("meter")
    hands.press("F3")
    house = settling(hands).house
    assert house.is_open
    assert house.part_id == "chores"
    assert [row.name for row in house.things.rows] == ["Calibrate the refractometer"]
    assert settling(hands).chores is None

    hands.press("Ctrl+PgDown")
    assert house.part_id == "equipment"
    hands.press("F3")
    assert house.part_id == "chores"


def test_the_key_of_the_chores_goes_by_the_tank_that_is_chosen(live_in: LiveIn) -> None:
    """Else by the line in hand: that of a tank leads to the chores of the tank."""
    hands = live_in()
    hands.go_to("meter")
    hands.press("Ctrl+Down", "F3")
    assert settling(hands).house is None
    assert "Clean the glass" in [row.name for row in settling(hands).chores.things.rows]
