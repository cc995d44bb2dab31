"""What counts as work with the power off has something unplugged."""

from datetime import date

import pytest

from tankkeeper.core.catalogue import proposed
from tankkeeper.core.catalogue_rows import ROWS
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import Animal
from tankkeeper.core.logbook import Turn
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.reports.cautions import caution_short
from tankkeeper.reports.words import Words
from tankkeeper.services.restarts import switches_off
from tankkeeper.services.settling_animals import MESH, Brings, chores_brought
from tests.builders import a_box, a_chore, a_household, a_moment

TODAY = date(2026, 3, 12)


def test_looking_at_a_mesh_screen_switches_nothing_off() -> None:
    """Whether new animals brought it or the catalogue."""
    tank = a_box()
    house = a_household(tanks=(tank,))
    goby = Animal(tank.id, "goby", 1, TODAY, jumper=True)

    mesh = chores_brought(house, goby, [Brings.MESH], TODAY)[0]

    assert (mesh.name, mesh.kind) == (MESH, ChoreKind.CHECK)
    assert not switches_off(mesh)


def test_of_the_catalogue_only_that_counts_where_something_is_unplugged() -> None:
    """Common practice, no source: a cup is emptied and rock is blown off with all of it running."""
    tank = a_box()
    found = {
        one.row.key
        for one in proposed(tank, a_household(tanks=(tank,)), TODAY)
        if switches_off(one.chore)
    }

    service = {one.key for one in ROWS if one.kind is ChoreKind.SERVICE and not one.for_house}
    assert {"skimmer-cup", "blow-off", "mesh", "glass", "overflow"} & found == set()
    assert {"water-change", "powerhead", "skimmer-neck", "lights"} <= found
    assert found <= service | {"water-change", "siphon-sand"}
    assert "disinfect" not in {one.key for one in ROWS if one.kind is ChoreKind.SERVICE}


@pytest.mark.parametrize("kind", ChoreKind)
def test_whoever_is_told_to_unplug_is_told_to_plug_in_again(kind: ChoreKind) -> None:
    """Common practice, no source: the pump that stays off after work harms more than the work."""
    house = a_household(tanks=(a_box(),))
    chore = a_chore(kind=kind, tank="nook")
    item = Item(Turn(chore.id), State.DUE, chore, house.tanks[0])

    told = caution_short(item, Words(house, a_moment("2026-03-12")))

    assert switches_off(chore) == (told.startswith("unplug") or kind is ChoreKind.SUBSTRATE)
