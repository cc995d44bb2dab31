"""What is set down by evaporation: chores that fill, and what a file brought otherwise."""

from dataclasses import replace

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import AfterLastDone, Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.errors import UserFault
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.services import settling_chores
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import set_down
from tankkeeper.store.file_store import FileStore
from tests.fakes import CountingIds
from tests.store.households import NOON, house_of

BY_EVAPORATION = WhenWaterSays(Condition.EVAPORATION)
WEEKLY = AfterLastDone(Interval(7, IntervalUnit.DAYS))


def _named(desk: Desk, name: str) -> Chore:
    return next(one for one in house_of(desk).chores if one.name == name)


def test_only_what_fills_is_set_down_by_evaporation(store: FileStore) -> None:
    """Neither added nor changed; where the kind goes away from it, the kind is refused."""
    desk = Desk(store, FixedClock(NOON), CountingIds())
    wipe = Chore("", ChoreKind.OTHER, "Wipe the lid", WEEKLY, "skerry")
    for add in (
        lambda one: settling_chores.add_chore(desk, one),
        lambda one: settling_chores.add_chores(desk, [one], "skerry"),
    ):
        with pytest.raises(UserFault) as refused:
            add(replace(wipe, rhythm=BY_EVAPORATION))
        assert (refused.value.code, refused.value.values["field"]) == (
            "only_filling_by_evaporation",
            "way",
        )
    settling_chores.add_chore(desk, wipe)
    with pytest.raises(UserFault) as refused:
        settling_chores.change_chore(
            desk, replace(_named(desk, "Wipe the lid"), rhythm=BY_EVAPORATION)
        )
    assert refused.value.values["field"] == "way"

    fill = Chore("", ChoreKind.RESERVOIR, "Fill it", BY_EVAPORATION, "skerry")
    settling_chores.add_chore(desk, fill)
    with pytest.raises(UserFault) as refused:
        settling_chores.change_chore(desk, replace(_named(desk, "Fill it"), kind=ChoreKind.OTHER))
    assert refused.value.values["field"] == "kind"
    settling_chores.change_chore(desk, replace(_named(desk, "Fill it"), kind=ChoreKind.TOP_OFF))


def test_such_a_chore_that_a_file_brought_may_be_changed_in_all_else(store: FileStore) -> None:
    """It goes on opening, and stays as it is until somebody gives it another way."""
    desk = Desk(store, FixedClock(NOON), CountingIds())
    wipe = Chore("wipe", ChoreKind.OTHER, "Wipe", BY_EVAPORATION, "skerry")
    set_down(
        desk,
        Redefined(How.ADDED, Thing.CHORE, "Wipe", "wipe"),
        lambda house, _moment: replace(house, chores=(*house.chores, wipe)),
    )
    brought = _named(desk, "Wipe")
    assert (brought.kind, brought.rhythm) == (ChoreKind.OTHER, BY_EVAPORATION)

    settling_chores.change_chore(desk, replace(brought, minutes=4))

    assert _named(desk, "Wipe").minutes == 4
