"""An amount in a unit that its kind of work cannot have is refused, and so is a supply's use."""

from dataclasses import replace

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit, Chore, ChoreKind, Use
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Supply
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.reports.faults import fault_words
from tankkeeper.services import settling_chores, settling_house
from tankkeeper.services.chore_units import refuse_units
from tankkeeper.services.desk import Desk
from tankkeeper.store.file_store import FileStore
from tests.fakes import CountingIds
from tests.store.households import NOON

U, K = AmountUnit, ChoreKind


@pytest.fixture
def desk(store: FileStore) -> Desk:
    """A desk on a house with a supply of every unit."""
    desk = Desk(store, FixedClock(NOON), CountingIds())
    for name, unit in (("Trace", "mL"), ("Salt", "g"), ("Cubes", "pieces"), ("Loose", "")):
        settling_house.add(desk, Supply("", name, unit))
    return desk


def _chore(kind: ChoreKind, **more: object) -> Chore:
    rhythm = AfterLastDone(Interval(7, IntervalUnit.DAYS))
    return Chore("", kind, "New work", rhythm, "skerry", **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kind", "unit", "said"),
    [
        (K.WATER_CHANGE, U.PIECES, "counted in litres or percent, not in pieces."),
        (K.WATER_CHANGE, U.GRAMS, "counted in litres or percent, not in grams."),
        (K.TOP_OFF, U.PERCENT, "counted in litres, not in percent."),
        (K.MIX_SALT_WATER, U.GRAMS, "counted in litres, not in grams."),
        (K.DOSE, U.PERCENT, "counted in grams, litres or pieces, not in percent."),
    ],
)
def test_an_amount_has_a_unit_of_its_kind_of_work(
    desk: Desk, kind: ChoreKind, unit: AmountUnit, said: str
) -> None:
    """Refused as it is added and as it is changed, at the field of the amount."""
    wrong = _chore(kind, amount=Amount(15.0, unit))
    with pytest.raises(UserFault) as refused:
        settling_chores.add_chore(desk, wrong)
    assert said in fault_words(refused.value)
    assert refused.value.values["field"] == "amount"

    added = settling_chores.add_chore(desk, _chore(kind)).household.chores[-1]
    with pytest.raises(UserFault, match="unit_not_of_kind"):
        settling_chores.change_chore(desk, replace(added, amount=wrong.amount))


@pytest.mark.parametrize(
    ("supply", "unit", "said"),
    [
        ("trace", U.PIECES, "Trace is counted in mL, so what is used of it is in litres, not in"),
        ("salt", U.LITRES, "Salt is counted in g, so what is used of it is in grams, not in litr"),
        ("cubes", U.GRAMS, "in pieces, not in grams."),
        ("loose", U.PERCENT, "not in percent."),
    ],
)
def test_a_use_is_in_the_unit_of_its_supply(
    desk: Desk, supply: str, unit: AmountUnit, said: str
) -> None:
    """Refused at its own row."""
    uses = (Use("loose", 1.0, U.PIECES), Use(supply, 20.0, unit))

    with pytest.raises(UserFault) as refused:
        settling_chores.add_chore(desk, _chore(K.OTHER, uses=uses))

    assert said in fault_words(refused.value)
    assert refused.value.values["field"] == "uses[2]"


def test_what_fits_is_kept_and_what_stood_before_is_left(desk: Desk) -> None:
    """A file may have brought it; another field can be changed all the same."""
    fits = (Use("trace", 0.01, U.LITRES), Use("salt", 5.0, U.GRAMS), Use("cubes", 2.0, U.PIECES))
    change = _chore(K.WATER_CHANGE, amount=Amount(15.0, U.PERCENT), uses=fits)
    house = settling_chores.add_chore(desk, change).household
    assert house.chores[-1].uses == fits

    odd = _chore(K.WATER_CHANGE, amount=Amount(15.0, U.PIECES), uses=(Use("salt", 1.0, U.PIECES),))
    refuse_units(house, replace(odd, minutes=5), odd)
