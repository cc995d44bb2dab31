"""Whatever is kept of a household can be set down at the window, without a file."""

from dataclasses import fields, replace
from datetime import date

import pytest

from tankkeeper.core import chores, household, volume
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.household import Animal, Equipment
from tankkeeper.gui.animal_parts import animals_part
from tankkeeper.gui.forms.chore_specs import chore_groups
from tankkeeper.gui.forms.tank_specs import TANK_GROUPS
from tankkeeper.gui.gear_parts import equipment_part
from tankkeeper.gui.house_parts import house_parts
from tankkeeper.gui.models.chore_drafts import ChoreDraft, draft_of_chore
from tankkeeper.gui.people_parts import PersonDraft
from tankkeeper.gui.room_parts import RoomDraft
from tankkeeper.services.rhythm_drafts import RhythmDraft
from tests.gui.conftest import LiveIn
from tests.gui.round_house import chore, small_house
from tests.gui.setting_hands import go
from tests.gui.test_chores_page import choose, desk_of, open_chore, write
from tests.gui.test_chores_page import chore as chore_now

_HOUSE = {one.id: one for one in house_parts()}


def _paths(groups) -> set[str]:
    found = set()
    for group in groups:
        found |= {spec.path for spec in group.specs}
        if group.row is not None:
            found |= {spec.path for spec in group.row(0)}
    return found


def _part(part) -> set[str]:
    return _paths(part.groups(None))


_TANK = _paths(TANK_GROUPS)
_CHORE = _paths(chore_groups("reef"))
# What the window sets otherwise than in a field: by keys, from the log, by itself, or as a part.
_OTHERWISE = {
    "Tank": {"id", "walk_order", "stage"},
    "Chore": {"id", "tank", "valid_from", "earlier"},
    "Supply": {"id"},
    # The tests of rooms and of people below look at their months and days.
    "Room": {"id", "climate"},
    "Person": {"id", "minutes"},
    "RoomDraft": {"room"},
    "PersonDraft": {"person"},
    "Household": {"tanks", "animals", "water_supply", "salt_mix"}
    | {"chores", "people", "rooms", "containers", "supplies", "equipment"},
}


@pytest.mark.parametrize(
    ("kind", "paths", "head"),
    [
        (household.Tank, _TANK, ""),
        (volume.Shape, _TANK, "shape."),
        (volume.Displaced, _TANK, "displaced."),
        (volume.Sump, _TANK, "sump."),
        (household.Cover, _TANK, "cover."),
        (household.TopOffLimits, _TANK, "top_off."),
        (HeatAndFlow, _TANK, "heat_and_flow."),
        (chores.Chore, _CHORE, ""),
        (chores.Use, _CHORE, "uses.0."),
        (RhythmDraft, _CHORE, "rhythm."),
        (Animal, _part(animals_part("reef")), ""),
        (household.Loss, _part(animals_part("reef")), "lost.0."),
        (Equipment, _part(equipment_part("reef")), ""),
        (household.Household, _part(_HOUSE["settings"]), ""),
        (household.ShownUnits, _part(_HOUSE["settings"]), "units."),
        (household.Container, _part(_HOUSE["containers"]), ""),
        (household.Supply, _part(_HOUSE["supplies"]), ""),
        (household.WaterSupply, _part(_HOUSE["water"]), ""),
        (household.SaltMix, _part(_HOUSE["salt"]), ""),
        (household.Person, _part(_HOUSE["people"]), ""),
        (household.Room, _part(_HOUSE["rooms"]), ""),
        (PersonDraft, _part(_HOUSE["people"]), ""),
        (RoomDraft, _part(_HOUSE["rooms"]), ""),
    ],
    ids=lambda one: getattr(one, "__name__", None),
)
def test_every_field_that_is_kept_stands_in_a_form(kind: type, paths: set[str], head: str) -> None:
    """But for what a key of its own sets, or the program itself; and no more is left out."""
    asked = {path.removeprefix(head).partition(".")[0] for path in paths if path.startswith(head)}
    kept = {one.name for one in fields(kind)}
    assert kept - asked == _OTHERWISE.get(kind.__name__, set())


def test_what_is_a_list_of_the_household_has_a_part_of_its_own() -> None:
    """Tanks and animals stand on the page of a tank, water and salt are parts by shorter names."""
    elsewhere = {"tanks", "animals", "water_supply", "salt_mix"}
    assert _OTHERWISE["Household"] - elsewhere <= set(_HOUSE)
    assert {"water", "salt"} <= set(_HOUSE)


def test_a_draft_of_a_chore_asks_for_all_that_it_holds() -> None:
    """Its chore itself stands behind the fields, and the unit of its litres is the household's."""
    asked = {path.partition(".")[0] for path in _CHORE}
    assert {one.name for one in fields(ChoreDraft)} - asked == {"chore", "volume"}
    assert draft_of_chore(chore("a", "A", 12, ended_on=date(2026, 4, 1))).ended_on == date(
        2026, 4, 1
    )


def test_a_room_has_air_for_all_year_and_each_month() -> None:
    """Thirteen temperatures, thirteen humidities, and how the air moves."""
    paths = _part(_HOUSE["rooms"])
    assert {"name", "air_speed_m_s"} <= paths
    assert {f"{name}.{n}" for name in ("warmth", "humidity") for n in range(13)} <= paths


def test_a_person_has_minutes_by_weekday_and_limits() -> None:
    """Seven days, what is lifted, what is not done."""
    days = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"}
    assert _part(_HOUSE["people"]) == days | {"name", "lifts_kg", "not_for"}


def test_the_last_day_of_a_chore_is_typed_and_foretold(live_in: LiveIn) -> None:
    """It comes until then; emptied, it goes on."""
    hands = live_in()
    desk = open_chore(hands, "Wipe the lid")
    go(hands, desk, "ended_on")
    write(hands, "2026-03-20")
    assert "Open today. Next: Thu 19 Mar." in desk.follows.text().replace("\u00a0", " ")
    hands.press("Ctrl+Return")
    assert chore_now(hands, "wipe").ended_on == date(2026, 3, 20)
    # Keep led back to the list, with the line of the chore chosen.
    hands.press("Return")
    go(hands, desk, "ended_on")
    hands.hit("Ctrl+A")
    hands.hit("Delete")
    hands.press("Ctrl+Return")
    assert chore_now(hands, "wipe").ended_on is None


def test_animals_and_equipment_move_to_another_tank(live_in: LiveIn) -> None:
    """They leave the list they stood in; one undo takes each of them back."""
    goby = Animal("reef", "goby", 2, date(2025, 1, 5))
    pump = Equipment("pump", "pump", "reef")
    hands = live_in(small_house(animals=(goby,), equipment=(pump,)))

    def now():
        house = hands.window.session.household
        return [one.tank for one in (*house.animals, *house.equipment)]

    hands.press("Ctrl+Down", "F3")
    desk = desk_of(hands)
    for part, words in (("animals", "Nook"), ("equipment", "The household")):
        desk.page.buttons[part].setFocus()
        hands.press("Space", "Return")
        choose(hands, desk, "tank", words)
        hands.press("Ctrl+Return")
        assert desk.sheet is None
        assert desk.things.rows == [] or len(desk.things.rows) == 0
    assert now() == ["nook", None]
    hands.press("Ctrl+Z", "Ctrl+Z")
    assert now() == ["reef", "reef"]
    assert replace(goby, tank="reef") == hands.window.session.household.animals[0]
