"""The page of a tank by key: opened, typed in, followed, refused in place, kept, taken back."""

from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from tankkeeper.core.communities import Community
from tankkeeper.core.household import Animal, ShownUnits, Stage
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.gui.forms.stage_form import NameForm, StageForm
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.settle_desk import TankDesk
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, small_house
from tests.gui.setting_hands import go, save
from tests.gui.test_forms import HOSTILE


def desk_of(hands: Hands) -> TankDesk:
    settling = hands.window.morning.settling
    assert settling is not None
    return settling.tank


def open_page(hands: Hands) -> TankDesk:
    hands.press("Ctrl+Down", "F2")
    return desk_of(hands)


def write(hands: Hands, text: str) -> None:
    hands.hit("Ctrl+A")
    hands.type(text)
    desk_of(hands)._show_preview()
    hands.settle()


def tanks(hands: Hands):
    household = hands.window.session.household
    return {one.id: one for one in household.tanks}


def test_one_key_opens_the_tank_and_escape_goes_back(live_in: LiveIn) -> None:
    """The keys are in the first field, then in the round again; nothing was written."""
    hands = live_in()

    desk = open_page(hands)

    assert desk.page.isVisible()
    assert desk.page.title.text() == "Reef"
    assert desk.sheet.fields["name"].isAncestorOf(hands.focus())
    hands.press("Esc")
    assert not desk.page.isVisible()
    assert hands.list.hasFocus()
    assert hands.log() == []


def test_the_name_is_selected_when_the_page_opens_and_when_it_stands_as_it_was(
    live_in: LiveIn,
) -> None:
    """What is typed takes its place, as on the page of a chore or a room."""
    hands = live_in()
    desk = open_page(hands)
    hands.type("Lagoon")
    assert desk.sheet.fields["name"].typed.text == "Lagoon"
    desk.page.buttons["as-it-was"].setFocus()

    hands.press("Space")

    assert desk.sheet.fields["name"].typed.text == "Reef"
    hands.type("Shore")
    assert desk.sheet.fields["name"].typed.text == "Shore"


def test_litres_and_loss_follow_while_typing_and_say_what_was_before(live_in: LiveIn) -> None:
    """A depth of 30 in place of 36 cm takes a sixth of the water away."""
    hands = live_in()
    desk = open_page(hands)
    before = desk.preview.lines[0].text()

    go(hands, desk, "shape.water_depth_cm")
    write(hands, "30")

    assert before != desk.preview.lines[0].text()
    assert desk.preview.lines[1].text() == f"Before: {before}"
    assert "72" in desk.preview.lines[0].text()
    save(hands, "tank-typed")


@pytest.mark.parametrize("path", ["shape.length_cm", "shape.height_cm", "shape.water_depth_cm"])
def test_a_size_that_cannot_be_read_draws_the_tank_as_it_is(live_in: LiveIn, path: str) -> None:
    """Neither the digits before the slip nor a size made up from the others stand there."""
    hands = live_in()
    desk = open_page(hands)
    before = desk.preview.lines[0].text()
    go(hands, desk, path)
    write(hands, "30")
    assert desk.preview.lines[1].text() == f"Before: {before}" or path == "shape.height_cm"

    write(hands, "30x")

    assert [one.isHidden() for one in desk.preview._drawings] == [False, True]
    assert desk.preview.lines[0].text() == before
    hands.press("Tab")
    assert desk.sheet.fields[path].fault


def test_sizes_are_typed_in_inches_where_water_is_counted_in_gallons(live_in: LiveIn) -> None:
    """As when the tank was first set down; 10 in are 25.4 cm, and "30 cm" stays 30 cm."""
    house = small_house()
    hands = live_in(replace(house, units=ShownUnits("US gal", "degF")))
    desk = open_page(hands)

    go(hands, desk, "shape.water_depth_cm")
    write(hands, "10")
    hands.press("Ctrl+Return")
    assert tanks(hands)["reef"].shape.water_depth_cm == pytest.approx(25.4)
    write(hands, "30 cm")
    hands.press("Ctrl+Return")
    assert tanks(hands)["reef"].shape.water_depth_cm == pytest.approx(30.0)
    write(hands, "99999")
    hands.press("Ctrl+Return")
    texts = [one.text().replace("\u00a0", " ") for one in desk.page.findChildren(QLabel)]
    assert "Water up to 99999 in is not possible. It can be from 0 to 3937 in." in texts
    save(hands, "tank-inches")


def test_no_sentence_speaks_of_litres_where_water_is_counted_in_gallons(live_in: LiveIn) -> None:
    """What is not known, what stands in the water, what can be found: in the household's words."""
    house = replace(small_house(), units=ShownUnits("US gal", "degF"))
    bare = replace(house.tanks[0], shape=Shape(ShapeKind.OTHER))
    hands = live_in(replace(house, tanks=(bare, *house.tanks[1:])))
    hands.press("Ctrl+6")
    told = hands.window.morning.logbook.page.filter.field.toolTip()
    assert "5 US gal" in told
    assert "25 L" not in told
    hands.press("Ctrl+1")
    desk = open_page(hands)
    write_in = desk.sheet.fields["displaced.rock_envelope_kg_per_l"]
    # The density of rock is told in kilograms a litre by who sells it, so it is asked in that.
    own = set(write_in.findChildren(QLabel))

    labels = [one for one in hands.frame.findChildren(QLabel) if one.isVisible() and one not in own]
    assert len(labels) > 20
    assert [one.text() for one in labels if "litre" in one.text().casefold()] == []


def test_a_tank_without_sizes_names_a_drawing_only_once_there_is_one(live_in: LiveIn) -> None:
    """No "As it is" stands under nothing; what would make the water known is told beside it."""
    house = small_house()
    bare = replace(house.tanks[0], shape=Shape(ShapeKind.BOX))
    hands = live_in(replace(house, tanks=(bare, *house.tanks[1:])))
    desk = open_page(hands)
    assert [one.text() for one in desk.preview._captions] == ["", ""]
    assert desk.preview.lines[0].text().startswith("not known yet: the length")

    for path in ("length_cm", "width_cm", "height_cm", "water_depth_cm"):
        go(hands, desk, f"shape.{path}")
        write(hands, "40")

    assert [one.text() for one in desk.preview._captions] == ["", "As typed"]
    save(hands, "tank-not-known-before")


def test_what_was_typed_is_kept_on_going_back_and_undone_by_key(live_in: LiveIn) -> None:
    """Nothing is asked on leaving, since undo brings back what was before."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "shape.water_depth_cm")
    write(hands, "30,5")

    hands.press("Esc")

    assert not desk.page.isVisible()
    assert tanks(hands)["reef"].shape.water_depth_cm == 30.5
    assert hands.log()[0].entry.fact == Redefined(How.CHANGED, Thing.TANK, "Reef")
    hands.press("Ctrl+Z")
    assert tanks(hands)["reef"].shape.water_depth_cm == 36.0
    hands.press("Ctrl+Y")
    assert tanks(hands)["reef"].shape.water_depth_cm == 30.5


def test_what_cannot_be_is_told_at_its_field_and_stays(live_in: LiveIn) -> None:
    """Water deeper than the tank is high: the service refuses, the field tells."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "shape.water_depth_cm")
    write(hands, "300")

    hands.press("Ctrl+Return")

    field = desk.sheet.fields["shape.water_depth_cm"]
    assert field.typed.fault or desk.page._notice is not None
    assert field.typed.text == "300"
    assert hands.log() == []
    save(hands, "tank-refused")
    hands.press("Esc")
    assert desk.page.isVisible()


def test_a_view_chosen_by_key_takes_the_place_and_keeps_what_was_typed(live_in: LiveIn) -> None:
    """Ctrl+1 goes to the round also where the round was chosen before."""
    hands = live_in()
    desk = open_page(hands)
    write(hands, "Reefs")

    hands.press("Ctrl+1")

    assert not desk.page.isVisible()
    assert hands.list.isVisible()
    assert tanks(hands)["reef"].name == "Reefs"


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: repr(text[:20]))
def test_hostile_text_in_every_field_is_refused_or_kept_whole(live_in: LiveIn, text: str) -> None:
    """What stands in the field afterwards is what was typed; no field takes the window down."""
    hands = live_in()
    desk = open_page(hands)
    fields = [one for one in desk.sheet.fields.values() if one.typed and not one.isHidden()]
    for field in fields:
        field.setFocus()
        hands.paste(text)
    desk._show_preview()
    typed = [one.typed.text for one in fields]

    hands.press("Ctrl+Return")

    assert [one.typed.text for one in fields] == typed
    assert tanks(hands)["nook"].name == "Nook"


def test_a_copy_takes_sizes_and_chores_along(live_in: LiveIn) -> None:
    """By key from the page: the button, the name, Return."""
    hands = live_in()
    desk = open_page(hands)
    desk.page.buttons["copy"].setFocus()
    hands.press("Space")
    form = hands.form()
    assert isinstance(form, NameForm)
    hands.type("Reef two")
    hands.press("Return")

    assert desk.page.title.text() == "Reef two"
    assert tanks(hands)["reef-two"].shape == tanks(hands)["reef"].shape
    chores = hands.window.session.household.chores
    own = {one.name for one in chores if one.tank == "reef"}
    assert {one.name for one in chores if one.tank == "reef-two"} == own


def test_a_stage_says_what_follows_before_it_is_kept(live_in: LiveIn) -> None:
    """Paused: the chores rest and the open turns leave the round; undo brings them back."""
    hands = live_in()
    desk = open_page(hands)
    desk.page.buttons["stage"].setFocus()
    hands.press("Space")
    form = hands.form()
    assert isinstance(form, StageForm)
    hands.press("Down")

    assert form.stage is Stage.PAUSED
    assert "rest until it is running again" in form.sentence.text()
    save(form, "tank-stage")
    hands.press("Return", "Esc")
    assert tanks(hands)["reef"].stage is Stage.PAUSED
    assert all(row.item.chore.tank != "reef" or not row.item.is_open for row in hands.rows())
    hands.press("Ctrl+Z")
    assert tanks(hands)["reef"].stage is Stage.RUNNING


def test_a_tank_is_moved_in_the_walk_by_key(live_in: LiveIn) -> None:
    """The rail follows; at the end of the walk it is told."""
    hands = live_in()
    hands.press("Ctrl+Down", "Alt+Down")
    assert [card.id for card in hands.frame.rail.cards] == [None, "nook", "reef"]
    hands.press("Alt+Down")
    assert hands.told == "It is the last in the walk."
    hands.press("Ctrl+Z")
    assert [card.id for card in hands.frame.rail.cards] == [None, "reef", "nook"]


def test_another_tank_in_the_rail_is_another_page(live_in: LiveIn) -> None:
    """What was typed before is kept first."""
    hands = live_in()
    desk = open_page(hands)
    write(hands, "Reefs")

    hands.press("Ctrl+Down")

    assert desk.page.title.text() == "Nook"
    assert tanks(hands)["reef"].name == "Reefs"


def test_every_field_says_its_name_its_unit_and_its_value(live_in: LiveIn) -> None:
    """As a screen reader finds them."""
    hands = live_in()
    desk = open_page(hands)

    spoken = QAccessible.queryAccessibleInterface(desk.sheet.fields["shape.length_cm"].typed.field)

    assert spoken.text(QAccessible.Text.Name) == "Length, cm"
    assert spoken.text(QAccessible.Text.Value) == "60"
    assert nameless(desk.page) == []


@pytest.mark.parametrize(
    ("scheme", "percent", "size"),
    [
        (Scheme.LIGHT, 100, (1280, 800)),
        (Scheme.DARK, 100, (1280, 800)),
        (Scheme.LIGHT, 150, (1280, 800)),
        (Scheme.LIGHT, 100, (980, 700)),
    ],
)
def test_nothing_is_cut_and_nothing_lies_on_another_thing(
    live_in: LiveIn, wear: Wear, scheme: Scheme, percent: int, size: tuple[int, int]
) -> None:
    """In every scheme, with large type and in a narrow window."""
    wear(scheme, percent)
    hands = live_in(size=size)
    desk = open_page(hands)
    hands.settle()
    save(hands, f"tank-{scheme.value}-{percent}-{size[0]}")

    assert cut_labels(desk.page) == []
    assert overlapping(desk.page) == []


def test_a_tank_is_carried_to_another_place_of_the_walk_with_the_mouse(live_in: LiveIn) -> None:
    """A click chooses as before; carrying past the middle of another one moves it, undo puts back.

    While it is carried a line shows where it would stand, and nothing else is chosen.
    """
    hands = live_in()
    rail = hands.frame.rail
    paper = rail.viewport()

    def middle(row: int) -> QPoint:
        return rail.visualRect(rail.model().index(row, 0)).center()

    QTest.mouseClick(paper, Qt.MouseButton.LeftButton, pos=middle(1))
    hands.settle()
    assert rail.chosen_id == "reef"
    below = middle(2) + QPoint(0, 30)
    QTest.mousePress(paper, Qt.MouseButton.LeftButton, pos=middle(1))
    for at in (middle(1) + QPoint(0, 40), below):
        moved = QMouseEvent(
            QEvent.Type.MouseMove,
            QPointF(at),
            QPointF(paper.mapToGlobal(at)),
            Qt.MouseButton.NoButton,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        QApplication.sendEvent(paper, moved)
    QTest.mouseRelease(paper, Qt.MouseButton.LeftButton, pos=below)
    hands.settle()

    assert [card.id for card in rail.cards] == [None, "nook", "reef"]
    assert rail.chosen_id == "reef"
    hands.press("Ctrl+Z")
    assert [card.id for card in rail.cards] == [None, "reef", "nook"]


def test_undo_while_a_tank_is_carried_only_lets_it_go(live_in: LiveIn) -> None:
    """The mouse then moves nothing until its button is up, and nothing else is undone."""
    hands = live_in()
    hands.go_to("lamp")
    hands.press("Space")
    rail = hands.frame.rail
    paper = rail.viewport()

    def middle(row: int) -> QPoint:
        return rail.visualRect(rail.model().index(row, 0)).center()

    def move_to(at: QPoint) -> None:
        moved = QMouseEvent(
            QEvent.Type.MouseMove,
            QPointF(at),
            QPointF(paper.mapToGlobal(at)),
            Qt.MouseButton.NoButton,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        QApplication.sendEvent(paper, moved)

    below = middle(2) + QPoint(0, 30)
    QTest.mousePress(paper, Qt.MouseButton.LeftButton, pos=middle(1))
    move_to(middle(1) + QPoint(0, 40))
    hands.press("Ctrl+Z")
    assert hands.told == "Let go of Reef, which keeps its place in the walk."
    chosen = rail.chosen_id
    move_to(below)
    QTest.mouseRelease(paper, Qt.MouseButton.LeftButton, pos=below)
    hands.settle()

    assert [card.id for card in rail.cards] == [None, "reef", "nook"]
    assert rail.chosen_id == chosen
    assert len(hands.log()) == 1


def test_a_retired_tank_rests_for_good_with_its_history_kept(live_in: LiveIn) -> None:
    """Its turns leave the round; what was done there is still in the logbook."""
    hands = live_in()
    hands.go_to("glass")
    hands.press("Space")
    desk = open_page(hands)
    desk.page.buttons["stage"].setFocus()
    hands.press("Space")
    form = hands.form()
    assert isinstance(form, StageForm)
    hands.press("End")
    told = form.sentence.text().replace("\u00a0", " ")
    assert told.startswith("Its 5 chores rest for good. 4 turns leave the round.")

    hands.press("Return", "Esc")

    assert tanks(hands)["reef"].stage is Stage.RETIRED
    assert not [row for row in hands.rows() if row.item.is_open and row.item.chore.tank == "reef"]
    assert any(turn.chore == "glass" for row in hands.log() for turn in row.entry.completes)


def test_an_animal_that_jumps_is_told_where_the_tank_says_nothing(live_in: LiveIn) -> None:
    """Its own page has it; what is said of the tank comes first."""
    small = small_house()
    animals = (
        Animal("reef", "Purple firefish", jumper=True),
        Animal("reef", "Snail", jumper=False),
    )
    hands = live_in(replace(small, animals=animals))
    desk = open_page(hands)
    assert desk.sheet is not None
    field = desk.sheet.fields["jumpers"]
    assert field._note_label is not None
    assert field._note_label.text() == "By its page Purple firefish jumps."

    go(hands, desk, "jumpers")
    hands.press("Down")

    assert field._note_label.text() == ""


def test_what_was_typed_is_kept_when_the_window_is_closed(live_in: LiveIn) -> None:
    """Nothing is asked; the next start has it, and undo could still bring back what was before."""
    hands = live_in()
    open_page(hands)
    write(hands, "Reefs")

    hands.hit("Ctrl+Q")
    hands.settle()
    hands.window.worker.finish()

    assert hands.window.shell.isHidden()
    assert hands.log()[0].entry.fact == Redefined(How.CHANGED, Thing.TANK, "Reefs")


@pytest.mark.parametrize(("chore", "tank"), [("glass", "Reef"), ("lamp", "Nook")])
def test_with_the_whole_house_shown_the_tank_of_the_line_in_hand_is_opened(
    live_in: LiveIn, chore: str, tank: str
) -> None:
    """Its page by F2, its chores by F3, and from one page the other of the same tank."""
    hands = live_in()
    hands.go_to(chore)
    hands.press("F2")
    settling = hands.window.morning.settling
    assert settling.tank.page.title.text() == tank
    hands.press("F3")
    assert settling.chores.page.title.text() == tank
    hands.press("Esc")
    assert hands.current() == chore


def test_in_the_calendar_the_tank_of_the_chosen_chore_is_opened(live_in: LiveIn) -> None:
    """On the board, and on a day that is open; a chore of the house leads to the first tank."""
    hands = live_in()
    hands.press("Ctrl+2", "B")
    table = hands.window.morning.calendar.page.board.table
    assert table.go_to_id(hands.row("lamp").id)
    hands.press("F2")
    settling = hands.window.morning.settling
    assert settling.tank.page.title.text() == "Nook"
    hands.press("Esc", "M", "Return")
    assert hands.window.morning.shown_page.show_row(hands.row("lamp").id)
    hands.press("F3")
    assert settling.chores.page.title.text() == "Nook"
    hands.press("Ctrl+1")
    hands.go_to("meter")
    hands.press("F2")
    assert settling.tank.page.title.text() == "Reef"


@pytest.mark.parametrize("keys", [(), ("Ctrl+2", "B"), ("Ctrl+2", "Return")])
@pytest.mark.parametrize("chore", ["wipe", "fill", "meter"])
def test_the_list_of_chores_opens_at_the_chore_in_hand(
    live_in: LiveIn, keys: tuple[str, ...], chore: str
) -> None:
    """By F3 from the round, the board and a day; each is not the first of its tank or the house."""
    first = replace(small_house().chores[-1], id="first", name="Look at the first")
    hands = live_in(replace(small_house(), chores=(first, *small_house().chores)))
    hands.press(*keys)
    assert hands.window.morning.shown_page.show_row(hands.row(chore).id)
    hands.settle()

    hands.press("F3")

    settling = hands.window.morning.settling
    desk = settling.house if chore == "meter" else settling.chores
    assert desk.things.rows[desk.list.currentRow()].thing.id == chore
    assert desk.list.hasFocus()


def test_rock_glass_and_surfaces_are_told_in_the_units_of_gallons(live_in: LiveIn) -> None:
    """By NIST SP 811: an inch is 2.54 cm, a pound 0.45359237 kg; what is stored stays metric."""
    house = small_house()
    hands = live_in(replace(house, units=ShownUnits("US gal", "degF")))
    desk = open_page(hands)
    for path, typed in (
        ("displaced.rock_dry_kg", "20"),
        ("sump.last_chamber_cm2", "100"),
        ("sump.litres", "5"),
        ("top_off.allowed_drop_mm", "0.5"),
    ):
        go(hands, desk, path)
        write(hands, typed)
    hands.press("Ctrl+Return")
    tank = tanks(hands)["reef"]
    assert tank.displaced.rock_dry_kg == pytest.approx(9.0718474)
    assert tank.sump.last_chamber_cm2 == pytest.approx(645.16)
    assert tank.top_off.allowed_drop_mm == pytest.approx(12.7)
    assert desk.sheet.fields["displaced.rock_dry_kg"].typed.text == "20"

    go(hands, desk, "displaced.rock_dry_kg")
    write(hands, "9 kg")
    go(hands, desk, "top_off.allowed_drop_mm")
    write(hands, "400")
    hands.press("Ctrl+Return")
    drop = desk.sheet.fields["top_off.allowed_drop_mm"].fault.replace("\u00a0", " ")
    assert drop.startswith("Level may fall 400 in is not possible. It can be from 0 to ")
    assert drop.endswith(" in.")
    save(hands, "tank-pounds")


def test_a_running_tank_is_so_since_a_day_gone_by(live_in: LiveIn) -> None:
    """A day to come is refused at its field; one that is to be emptied may rest from then on."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "since")
    write(hands, "26 Mar 2027")
    hands.press("Ctrl+Return")

    field = desk.sheet.fields["since"]
    assert field.fault.replace("\u00a0", " ") == (
        "It is running now, and 26 March 2027 is still to come. Write a day up to today."
    )
    assert field.isAncestorOf(hands.focus())
    assert hands.log() == []
    write(hands, "26 Feb 2026")
    hands.press("Ctrl+Return")
    assert tanks(hands)["reef"].since == date(2026, 2, 26)


def test_a_tank_that_retires_may_do_so_on_a_day_to_come(live_in: LiveIn) -> None:
    """It holds its water until then."""
    house = small_house()
    ending = replace(house.tanks[0], stage=Stage.RETIRED)
    hands = live_in(replace(house, tanks=(ending, *house.tanks[1:])))
    desk = open_page(hands)
    go(hands, desk, "since")
    write(hands, "26 Mar 2026")
    hands.press("Ctrl+Return")
    assert tanks(hands)["reef"].since == date(2026, 3, 26)


def test_after_another_stage_the_keys_are_in_the_field_they_were_in(live_in: LiveIn) -> None:
    """Whether it was changed or left as it was; Tab goes on from there."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "displaced.rock_dry_kg")
    for keys in (("Down", "Return"), ("Esc",)):
        hands.press("Ctrl+Shift+T", *keys)
        assert desk.sheet.fields["displaced.rock_dry_kg"].isAncestorOf(hands.focus())
    assert tanks(hands)["reef"].stage is not Stage.RUNNING


@pytest.mark.parametrize(
    ("typed", "told"),
    [("34.5", ""), ("35.5", "That is at the high end"), ("36", "That is above the high end")],
)
def test_a_target_without_room_to_rise_in_the_range_says_so(
    live_in: LiveIn, typed: str, told: str
) -> None:
    """Soft corals are kept at 33 to 35.5 (core/communities)."""
    house = small_house()
    tank = replace(house.tanks[0], community=Community.SOFT_CORAL, target_salinity=35.0)
    hands = live_in(replace(house, tanks=(tank, *house.tanks[1:])))
    desk = open_page(hands)

    go(hands, desk, "target_salinity")
    write(hands, typed)

    note = desk.sheet.fields["target_salinity"]._note.replace("\u00a0", " ")
    assert note == (
        f"{told} of its range, 35.5 PSU: as water evaporates, readings above the "
        "range are to be expected."
        if told
        else ""
    )
