"""A tank of other sizes, and its chores with amounts for the litres before."""

from dataclasses import replace

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.catalogue import proposed
from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit, Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.reports.cautions import caution_at, caution_short
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.settling_words import misfit_line
from tankkeeper.reports.words import Words
from tankkeeper.services import resizing, settling_chores, settling_tanks
from tankkeeper.services.desk import Desk
from tankkeeper.services.round import round_of
from tankkeeper.services.taking_back import undo
from tankkeeper.store.file_store import FileStore
from tests.fakes import CountingIds
from tests.store.households import NOON, house_of

LARGE = Shape(ShapeKind.OTHER, litres=330.0)
SMALL = Shape(ShapeKind.OTHER, litres=56.0)
WEEKLY = AfterLastDone(Interval(7, IntervalUnit.DAYS))
TODAY = NOON.date()


@pytest.fixture
def desk(store: FileStore) -> Desk:
    """A desk on one tank of 330 L with a reservoir, its water changed by 49.5 L."""
    desk = Desk(store, FixedClock(NOON), CountingIds())
    tank = replace(
        house_of(desk).tanks[0],
        shape=LARGE,
        sump=None,
        displaced=None,
        top_off=TopOffLimits(reservoir_l=20.0),
    )
    settling_tanks.change_tank(desk, tank)
    for name, kind, amount in (
        ("Change much water", ChoreKind.WATER_CHANGE, Amount(49.5, AmountUnit.LITRES)),
        ("Dose", ChoreKind.DOSE, Amount(20.0, AmountUnit.GRAMS)),
        ("Fill the reservoir", ChoreKind.RESERVOIR, None),
        ("Change a share", ChoreKind.WATER_CHANGE, Amount(15.0, AmountUnit.PERCENT)),
    ):
        chore = Chore("", kind, name, WEEKLY, "skerry", amount=amount, first_due=TODAY)
        settling_chores.add_chore(desk, chore)
    return desk


def _chores(desk: Desk) -> dict[str, Chore]:
    return {one.name: one for one in house_of(desk).chores}


def test_amounts_for_other_litres_are_scaled_to_the_same_share_and_taken_back_as_one(
    desk: Desk,
) -> None:
    """15 % of 330 L are 15 % of 56 L; a chore of the reservoir ends with it."""
    house, were = house_of(desk), _chores(desk)
    before = house.tanks[0]
    settling_tanks.change_tank(desk, replace(before, shape=SMALL, top_off=TopOffLimits()))

    done = resizing.fit_chores(desk, house, before.id)

    are = _chores(desk)
    # 49.5 x 56 / 330 = 8.4; 20 x 56 / 330 = 3.39.
    assert are["Change much water"].amount == Amount(8.4, AmountUnit.LITRES)
    assert are["Dose"].amount == Amount(3.4, AmountUnit.GRAMS)
    assert are["Fill the reservoir"].ended_on is not None
    assert are["Change a share"] == were["Change a share"]
    assert done.entry is not None
    undo(desk, done.entry.id)
    assert _chores(desk) == were


@pytest.mark.parametrize(
    ("litres", "count"), [(345.0, 0), (305.0, 0), (295.0, 2), (240.0, 2), (500.0, 2)]
)
def test_amounts_are_left_where_their_share_is_much_the_same(
    desk: Desk, litres: float, count: int
) -> None:
    """Up to a tenth more or less of the water: 330 / 305 = 1.082, 330 / 295 = 1.119."""
    house = house_of(desk)
    tank = replace(house.tanks[0], shape=Shape(ShapeKind.OTHER, litres=litres))

    found = resizing.misfits(house, house, tank, TODAY)

    named = [one.name for one in found.scaled if one.name in ("Change much water", "Dose")]
    assert len(named) == count
    assert found.ended == ()


def test_the_line_names_the_amounts_before_and_after_and_what_has_no_reservoir(
    desk: Desk,
) -> None:
    """One sentence for each, and the key that mends both."""
    house, state = house_of(desk), desk.state()
    tank = replace(house.tanks[0], shape=SMALL, top_off=TopOffLimits())
    found = resizing.misfits(house, house, tank, TODAY)

    line = misfit_line(found, house, "Ctrl+M", Words(house, state.moment)).replace("\xa0", " ")

    assert "Change much water (49.5 L; the same share is 8.4 L)" in line
    assert line.endswith(
        "No reservoir for: Fill the reservoir. "
        "Ctrl+M scales the amounts and ends what has no reservoir."
    )
    assert misfit_line(resizing.Misfits(), house, "Ctrl+M", Words(house, state.moment)) == ""


def test_the_row_warns_of_a_change_of_more_than_half_of_the_system(desk: Desk) -> None:
    """Whoever let the amount stand reads it before the water is drawn off."""
    before = house_of(desk).tanks[0]
    state = desk.state()
    words = Words(state.household, state.moment)
    items = {one.chore.name: one for one in round_of(state).items}
    assert caution_short(items["Change much water"], words) == "unplug the heater"

    settling_tanks.change_tank(desk, replace(before, shape=SMALL))

    state = desk.state()
    words = Words(state.household, state.moment)
    items = {one.chore.name: one for one in round_of(state).items}
    assert (
        caution_short(items["Change much water"], words).replace("\xa0", " ")
        == "88 % of the system"
    )
    told = caution_at(items["Change much water"], words)
    assert "88\xa0% of the water in the system" in told
    assert caution_short(items["Change a share"], words) == "unplug the heater"


def test_no_reservoir_is_proposed_to_be_filled_where_there_is_none(desk: Desk) -> None:
    """Neither ticked nor to be chosen; with a reservoir it is proposed."""
    house = house_of(desk)
    bare = replace(house.tanks[0], top_off=TopOffLimits())

    def kinds(tank):  # type: ignore[no-untyped-def]
        return {one.chore.kind for one in proposed(tank, house, TODAY)}

    assert ChoreKind.RESERVOIR in kinds(house.tanks[0])
    assert ChoreKind.RESERVOIR not in kinds(bare)


def test_a_copied_tank_does_not_say_since_when_it_runs(desk: Desk) -> None:
    """Nobody said it of the copy."""
    settling_tanks.copy_tank(desk, "skerry", "Nook")

    assert house_of(desk).tank("nook").since is None


def test_no_chore_fills_a_reservoir_with_more_than_it_holds(desk: Desk) -> None:
    """The reservoir of 20 L does not take 1000 L, whatever was proposed."""
    fill = _chores(desk)["Fill the reservoir"]

    with pytest.raises(UserFault) as refused:
        settling_chores.change_chore(desk, replace(fill, amount=Amount(1000.0, AmountUnit.LITRES)))

    assert (
        fault_words(refused.value)
        .replace("\xa0", " ")
        .endswith("It can be from 0 to 20 L, what the reservoir holds.")
    )
    settling_chores.change_chore(desk, replace(fill, amount=Amount(20.0, AmountUnit.LITRES)))
