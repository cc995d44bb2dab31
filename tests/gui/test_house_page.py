"""The household by key: settings, people, rooms, containers, water and salt, with their undo."""

from dataclasses import replace
from datetime import date, time

import pytest

from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.household import (
    Container,
    Person,
    SaltMix,
    ShownUnits,
    Supply,
    WaterSupply,
)
from tankkeeper.gui.forms.catalogue_form import CatalogueForm
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.things_desk import ThingsDesk
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, small_house
from tests.gui.setting_hands import go, save
from tests.gui.test_forms import HOSTILE

PARTS = ("settings", "people", "rooms", "containers", "supplies", "water", "salt", "chores")


def open_house(hands: Hands, part: str = "settings") -> ThingsDesk:
    hands.press("Ctrl+,")
    desk = hands.window.morning.settling.house
    assert desk is not None
    if part != "settings":
        desk.page.buttons[part].setFocus()
        hands.press("Space")
    return desk


def write(hands: Hands, desk: ThingsDesk, path: str, text: str) -> None:
    go(hands, desk, path)
    hands.hit("Ctrl+A")
    hands.type(text)


def new(hands: Hands, desk: ThingsDesk) -> None:
    desk.page.buttons["new"].setFocus()
    hands.press("Space")


def house(hands: Hands):
    return hands.window.session.household


def test_settings_are_changed_by_key_and_undone(live_in: LiveIn) -> None:
    """Name and hours; the frame shows the new name, undo the old one."""
    hands = live_in()
    desk = open_house(hands)
    write(hands, desk, "name", "Quay 4")
    write(hands, desk, "day_begins", "3:30")

    hands.press("Esc")

    assert (house(hands).name, house(hands).day_begins) == ("Quay 4", time(3, 30))
    hands.press("Ctrl+Z")
    assert (house(hands).name, house(hands).day_begins) == ("Quay 3", time(4))


def test_litres_become_gallons_everywhere_and_nothing_else_changes(live_in: LiveIn) -> None:
    """The unit is how numbers are shown; the tank stays as large as it is."""
    hands = live_in()
    desk = open_house(hands)
    field = go(hands, desk, "units.volume")
    while field.choice.currentText() != "US gal":
        hands.hit("Down")

    hands.press("Esc", "Ctrl+Down", "F2")

    tank = hands.window.morning.settling.tank
    assert "US\u00a0gal" in tank.preview.lines[0].text()
    assert not tank.sheet.is_changed
    hands.press("Esc")
    assert len(hands.log()) == 1


def test_a_zone_that_is_none_is_refused_at_its_field(live_in: LiveIn) -> None:
    """It stays as typed; nothing is written."""
    hands = live_in()
    desk = open_house(hands)
    write(hands, desk, "zone", "Mars/Base")

    hands.press("Ctrl+Return")

    assert "There is no time zone called Mars/Base" in desk.sheet.fields["zone"].typed.fault
    assert hands.log() == []


def test_a_day_that_would_begin_in_the_daytime_is_refused_at_its_field(live_in: LiveIn) -> None:
    """Common practice, no source: from 00:00 to 06:00; later, last night is the morning."""
    hands = live_in()
    desk = open_house(hands)
    write(hands, desk, "day_begins", "10:00")

    hands.press("Ctrl+Return")

    fault = desk.sheet.fields["day_begins"].typed.fault
    assert fault == "A day cannot begin at 10:00. It can from 00:00 to 06:00."
    assert hands.log() == []
    write(hands, desk, "day_begins", "6:00")
    hands.press("Ctrl+Return")
    assert house(hands).day_begins == time(6)


def test_a_late_day_of_before_is_told_only_when_the_settings_are_kept(live_in: LiveIn) -> None:
    """The household opens and everything else of it is changed; the field waits to be mended."""
    hands = live_in(replace(small_house(), day_begins=time(10)))
    desk = open_house(hands, "people")
    new(hands, desk)
    write(hands, desk, "name", "Cleo")
    hands.press("Ctrl+Return")
    assert house(hands).people[-1].name == "Cleo"
    desk.page.buttons["settings"].setFocus()
    hands.press("Space")
    assert desk.sheet.fields["day_begins"].typed.fault == ""
    write(hands, desk, "name", "Quay 4")

    hands.press("Ctrl+Return")

    assert "A day cannot begin at 10:00" in desk.sheet.fields["day_begins"].typed.fault
    assert house(hands).name == "Quay 3"


def test_a_person_with_minutes_is_added_and_taken_out(live_in: LiveIn) -> None:
    """A day that is left empty is not known."""
    hands = live_in()
    desk = open_house(hands, "people")
    save(hands, "house-people")
    new(hands, desk)
    write(hands, desk, "name", "Cleo")
    write(hands, desk, "mon", "20")
    go(hands, desk, "not_for")
    hands.hit("Tab")
    hands.hit("Space")
    hands.press("Ctrl+Return")

    cleo = house(hands).people[-1]
    assert (cleo.id, cleo.minutes, len(cleo.not_for)) == ("cleo", (20, *[None] * 6), 1)
    hands.press("End", "Return")
    desk.page.buttons["remove"].setFocus()
    hands.press("Space")
    assert [one.id for one in house(hands).people] == ["ada", "bo"]
    hands.press("Esc", "Ctrl+Z", "Ctrl+Z")
    assert [one.id for one in house(hands).people] == ["ada", "bo"]


def test_a_room_gets_two_seasons(live_in: LiveIn) -> None:
    """January and July; the loss on the page of a tank in it changes with them."""
    hands = live_in()
    desk = open_house(hands, "rooms")
    hands.press("Return")
    for path, text in (
        ("warmth.1", "19"),
        ("warmth.7", "26"),
        ("humidity.1", "35"),
        ("humidity.7", "55"),
    ):
        write(hands, desk, path, text)
    save(hands, "house-room")

    hands.press("Esc")

    assert house(hands).rooms[0].climate == (ClimateRow(1, 19, 0.35), ClimateRow(7, 26, 0.55))
    hands.press("Esc", "Ctrl+Down", "F2")
    assert "surface and room alone" in hands.window.morning.settling.tank.preview.lines[2].text()


def test_containers_water_and_salt_are_set_down(live_in: LiveIn) -> None:
    """Each on its part of the page; three undos bring back what was before."""
    hands = live_in()
    desk = open_house(hands, "containers")
    new(hands, desk)
    write(hands, desk, "name", "jug")
    write(hands, desk, "litres", "5")
    hands.press("Ctrl+Return")
    desk.page.buttons["water"].setFocus()
    hands.press("Space")
    write(hands, desk, "litres_per_day_rated", "190")
    desk.page.buttons["salt"].setFocus()
    hands.press("Space")
    write(hands, desk, "grams_per_litre", "38,2")
    hands.press("Esc")

    now = house(hands)
    assert now.containers[-1] == Container("jug", 5.0)
    assert now.water_supply == WaterSupply(litres_per_day_rated=190.0)
    assert now.salt_mix == SaltMix(38.2)
    hands.press("Ctrl+Z", "Ctrl+Z", "Ctrl+Z")
    now = house(hands)
    assert (len(now.containers), now.water_supply, now.salt_mix) == (1, None, None)


@pytest.mark.parametrize("part", PARTS)
def test_hostile_text_in_every_field_of_the_household_harms_nothing(
    live_in: LiveIn, part: str
) -> None:
    """Refused in place or kept whole; what was typed stays in the field."""
    hands = live_in()
    desk = open_house(hands, part)
    for text in HOSTILE:
        if desk.sheet is None:
            new(hands, desk)
        fields = [one for one in desk.sheet.fields.values() if one.typed and not one.isHidden()]
        for field in fields:
            field.setFocus()
            hands.paste(text)
        typed = [one.typed.text for one in fields]
        hands.press("Ctrl+Return")
        if desk.sheet is not None:
            assert [one.typed.text for one in fields] == typed
    assert [one.name for one in house(hands).tanks] == ["Reef", "Nook"]


@pytest.mark.parametrize(
    ("scheme", "percent"), [(Scheme.LIGHT, 100), (Scheme.DARK, 100), (Scheme.LIGHT, 150)]
)
def test_nothing_is_cut_on_any_part_of_the_household(
    live_in: LiveIn, wear: Wear, scheme: Scheme, percent: int
) -> None:
    """List and sheet of each part; everything that takes keys has a name."""
    wear(scheme, percent)
    hands = live_in()
    desk = open_house(hands)
    for part in PARTS:
        desk.page.buttons[part].setFocus()
        hands.press("Space")
        if desk.sheet is None:
            new(hands, desk)
        hands.settle()
        save(hands, f"house-{part}-{scheme.value}-{percent}")
        assert cut_labels(desk.page) == []
        assert overlapping(desk.page) == []
        assert nameless(desk.page) == []


def test_chores_of_the_house_come_from_the_catalogue_and_the_keys_go_to_the_new_one(
    live_in: LiveIn,
) -> None:
    """Calibration, fresh water, safety: what belongs to no tank; nothing of a single tank."""
    hands = live_in()
    desk = open_house(hands, "chores")
    desk.page.buttons["more"].setFocus()
    hands.press("Space")
    form = hands.form()
    assert isinstance(form, CatalogueForm)
    assert {one.chore.tank for one in form._all} == {None}
    assert len(form._all) > 10
    assert len({one.row.key for one in form._all}) == len(form._all)

    form.search.setFocus()
    hands.type("membrane")
    form.list.setFocus()
    hands.press("Home", "Space", "Ctrl+Return")

    added = house(hands).chores[-1]
    assert added.tank is None
    row = desk.list.currentItem()
    assert row is not None
    assert row.text() == added.name


def test_the_keys_go_to_a_person_who_was_just_added(live_in: LiveIn) -> None:
    """So that the next key does not change somebody else."""
    hands = live_in()
    desk = open_house(hands, "people")
    before = desk.list.count()
    new(hands, desk)
    write(hands, desk, "name", "Zora")
    hands.press("Ctrl+Return")

    assert desk.list.count() == before + 1
    row = desk.list.currentItem()
    assert row is not None
    assert row.text() == "Zora"


def test_an_empty_list_takes_no_keys_and_the_first_person_is_as_the_second(
    live_in: LiveIn,
) -> None:
    """Tab and Shift+Tab stop at what is seen; after each that is added the list has the keys."""
    hands = live_in(small_house(people=()))
    desk = open_house(hands, "people")
    assert desk.list.count() == 0
    for key in ("Tab", "Shift+Tab"):
        for _ in range(30):
            hands.hit(key)
            assert hands.focus() is not desk.list
    for name in ("Ada", "Zora"):
        new(hands, desk)
        write(hands, desk, "name", name)
        hands.press("Ctrl+Return")
        assert desk.list.hasFocus()
        row = desk.list.currentItem()
        assert row is not None
        assert row.text() == name
    hands.press("Ctrl+Z", "Ctrl+Z")
    assert desk.list.count() == 0
    assert desk.page.buttons["new"].hasFocus()


def test_the_hour_at_which_a_day_begins_says_where_it_may_lie(live_in: LiveIn) -> None:
    """Before it is refused, and as far as it is not."""
    hands = live_in()
    desk = open_house(hands)
    assert desk.sheet is not None
    note = desk.sheet.fields["day_begins"]._note_label
    assert note is not None
    assert note.isVisible()
    assert note.text() == "From 00:00 to 06:00. What is done before counts for the day before."

    write(hands, desk, "day_begins", "6:01")
    hands.press("Ctrl+Return")
    assert house(hands).day_begins == time(4)
    for text, at in (("6:00", time(6)), ("0:00", time(0))):
        write(hands, desk, "day_begins", text)
        hands.press("Ctrl+Return")
        assert house(hands).day_begins == at


def test_choices_of_a_sheet_are_never_cut_where_there_is_room(live_in: LiveIn) -> None:
    """A choice with a long text takes the place of two fields."""
    hands = live_in()
    for part in ("settings", "water", "salt", "people", "containers", "supplies"):
        desk = open_house(hands, part)
        if desk.sheet is None:
            new(hands, desk)
        assert desk.sheet is not None
        cut = [
            (path, field.choice.width(), field.choice.widest())
            for path, field in desk.sheet.fields.items()
            if field.choice is not None
            and not field.isHidden()
            and field.choice.width() < field.choice.widest()
        ]
        assert cut == []


@pytest.mark.parametrize(
    ("units", "note"),
    [
        (ShownUnits(), "At 25 °C. Rated by the hour, write it so: 8 L/h."),
        (
            ShownUnits("US gal", "degF"),
            "At 77 °F. Rated by the hour, write it so: 2 US gal/h.",
        ),
    ],
)
def test_a_rate_by_the_hour_is_named_in_the_units_of_the_household(
    live_in: LiveIn, units: ShownUnits, note: str
) -> None:
    """What the note shows can be typed; 2 US gal/h are 181.7 L a day (3.785411784 L, SP 811)."""
    hands = live_in(replace(small_house(), units=units))
    desk = open_house(hands, "water")
    assert desk.sheet is not None
    rated = desk.sheet.fields["litres_per_day_rated"]
    assert rated._note.replace("\u00a0", " ") == note
    rated.setFocus()
    hands.type(note.rpartition(": ")[2].removesuffix("."))
    assert rated.value == pytest.approx(192.0 if units.volume == "L" else 181.699766)


SALT = Supply("salt", "salt mix", "g", 6400.0, date(2026, 2, 3))


def test_a_supply_is_listed_with_the_day_of_its_count(live_in: LiveIn) -> None:
    """A count of weeks ago is not what is there now."""
    bags = Supply("bag", "bags", "pieces", 3.0)
    hands = live_in(small_house(supplies=(SALT, bags)))

    desk = open_house(hands, "supplies")

    lines = [row.line.replace("\u00a0", " ") for row in desk.things.rows]
    assert lines == ["6400 g on 3 February", "3 pieces"]


def test_a_new_count_is_of_today(live_in: LiveIn) -> None:
    """The form says so while it is typed, and the list afterwards."""
    hands = live_in(small_house(supplies=(SALT,)))
    desk = open_house(hands, "supplies")
    hands.press("Return")
    write(hands, desk, "stock", "5000")
    hands.settle()
    desk._soon.timeout.emit()
    assert desk.follows.text() == "Counted today, unless you type another day."

    hands.press("Ctrl+Return")

    (kept,) = house(hands).supplies
    assert (kept.stock, kept.counted_on) == (5000.0, date(2026, 3, 12))
    hands.press("Ctrl+Z")
    assert house(hands).supplies == (SALT,)


def test_a_count_of_another_day_keeps_the_day_that_was_typed(live_in: LiveIn) -> None:
    """And what leaves the stock alone leaves its day alone."""
    hands = live_in(small_house(supplies=(SALT,)))
    desk = open_house(hands, "supplies")
    hands.press("Return")
    write(hands, desk, "stock", "5000")
    write(hands, desk, "counted_on", "9 Mar 2026")
    hands.press("Ctrl+Return")
    assert house(hands).supplies[0].counted_on == date(2026, 3, 9)

    hands.press("Return")
    write(hands, desk, "pack", "2000")
    hands.press("Ctrl+Return")

    (kept,) = house(hands).supplies
    assert (kept.pack, kept.counted_on) == (2000.0, date(2026, 3, 9))


def test_another_list_begins_at_its_first_row(live_in: LiveIn) -> None:
    """Whatever row was chosen in the list before it."""
    many = tuple(Supply(f"bag{at}", f"bag {at}", "pieces") for at in range(6))
    people = tuple(Person(f"p{at}", f"Person {at}") for at in range(6))
    hands = live_in(small_house(supplies=many, people=people))
    desk = open_house(hands, "people")
    desk.list.setFocus()
    hands.press(*["Down"] * 4)
    assert desk.list.currentRow() == 4

    desk.page.buttons["supplies"].setFocus()
    hands.press("Space")

    assert desk.list.currentRow() == 0


def test_what_there_is_one_of_is_told_without_the_name_of_the_household(live_in: LiveIn) -> None:
    """Renamed to "b", it is the settings that were changed, and no settings called b."""
    hands = live_in()
    desk = open_house(hands)
    write(hands, desk, "name", "b")

    hands.press("Ctrl+Return")

    assert hands.told == "Changed the settings."
