"""The container that carries the water is one that there is and that somebody can carry."""

import pytest

from tankkeeper.core.carrying import container_for, filled, fills, trips
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import Container, Household, Person, WaterFor

BUCKET = Container("Bucket", 10.0, 2)
BARREL = Container("Barrel", 60.0, 1)
JUG = Container("Jug", 2.0, 1)
MAYA = Person("maya", "Maya", lifts_kg=15.0)
CHANGE, TOP_OFF = ChoreKind.WATER_CHANGE, ChoreKind.TOP_OFF


def house(*containers: Container, people: tuple[Person, ...] = ()) -> Household:
    return Household("Quay", "UTC", containers=containers, people=people)


def test_a_barrel_is_not_carried() -> None:
    """The largest up to 20 L where nobody said what anybody lifts, and none where all is larger."""
    assert container_for(house(BARREL, BUCKET, JUG), CHANGE) == BUCKET
    assert container_for(house(BARREL), CHANGE) is None
    assert container_for(house(), CHANGE) is None
    assert container_for(house(Container("Gone", 10.0, 0)), CHANGE) is None
    assert container_for(house(Container("Unmeasured")), CHANGE) is None


@pytest.mark.parametrize(
    ("lifts", "expected"), [(15.0, BUCKET), (10.5, BUCKET), (5.0, JUG), (1.0, JUG), (80.0, BARREL)]
)
def test_what_somebody_lifts_decides(lifts: float, expected: Container) -> None:
    """A bucket of 10 L of salt water weighs 10.2 kg (1.02 kg/L)."""
    person = Person("x", "X", lifts_kg=lifts)

    assert container_for(house(BARREL, BUCKET, JUG, people=(person,)), CHANGE) == expected


def test_a_container_is_used_for_its_own_water() -> None:
    """Salt water is not carried in what is kept for fresh water."""
    fresh = Container("Fresh jug", 15.0, 1, holds=WaterFor.FRESH)

    assert container_for(house(fresh, BUCKET), CHANGE) == BUCKET
    assert container_for(house(fresh, BUCKET), TOP_OFF) == fresh
    assert container_for(house(Container("Slops", 12.0, holds=WaterFor.WASTE)), CHANGE) is None


def test_trips_follow_from_the_container_and_what_is_lifted() -> None:
    """49 L in buckets of 10 L are 5 fills: one at a time by 15 kg, two at a time by 25 kg."""
    both = house(BUCKET, BARREL, people=(MAYA,))

    assert fills(BUCKET, 49.0, CHANGE) == 5
    assert trips(both, CHANGE, 49.0, MAYA) == 5
    assert trips(both, CHANGE, 49.0, Person("o", "O", lifts_kg=25.0)) == 3
    assert (
        trips(house(Container("Bucket", 10.0, 1)), CHANGE, 49.0, Person("o", "O", lifts_kg=25.0))
        == 5
    )
    assert trips(both, TOP_OFF, 1.2, MAYA) == 1
    # 50 kg by the weight alone where no container is known.
    assert trips(house(), CHANGE, 49.0, MAYA) == 4
    assert trips(both, CHANGE, 49.0, Person("u", "U")) == 1


@pytest.mark.parametrize(
    ("tare", "expected"), [(None, 7), (0.0, 7), (0.6, 8), (3.0, 11), (7.5, 105), (8.0, 7)]
)
def test_the_weight_of_the_bucket_is_lifted_too(tare: float | None, expected: int) -> None:
    """51 L of salt water are 52.02 kg (1.02 kg/L), of which 8 kg less the bucket go at a time.

    52.02 / 8 = 6.5, 52.02 / 7.4 = 7.03, 52.02 / 5 = 10.4, 52.02 / 0.5 = 104.04; a bucket of 8 kg is
    not lifted at all.
    """
    mara = Person("mara", "Mara", lifts_kg=8.0)
    bucket = Container("Blue bucket", 10.0, 2, tare_kg=tare)

    assert trips(house(bucket, people=(mara,)), CHANGE, 51.0, mara) == expected


def test_a_container_is_carried_that_is_not_too_heavy_when_empty() -> None:
    """Of two that are too heavy full, the one of 9 kg empty does not come for 8 kg."""
    mara = Person("mara", "Mara", lifts_kg=8.0)
    heavy, light = Container("Cask", 9.0, 1, tare_kg=9.0), Container("Bucket", 10.0, 1, tare_kg=0.6)

    assert container_for(house(heavy, light, people=(mara,)), CHANGE) == light


def test_the_fills_of_one_container_are_added() -> None:
    """Fresh and salt water are not carried in the same fill."""
    both = house(BUCKET, BARREL)

    assert filled(both, [(TOP_OFF, 1.2), (CHANGE, 49.0)]) == [(BUCKET, 6)]
    assert filled(both, [(TOP_OFF, 0.0), (CHANGE, 0.0)]) == []


def test_a_fill_is_what_can_be_lifted_with_the_bucket() -> None:
    """Of 15 kg less 1 kg for the bucket are 13.73 L of salt water (1.02 kg/L), 14 L of fresh.

    59 L in buckets of 13.73 L are 4.3, so 5 fills, as 5 trips; 9 L one more. Of 12 kg are 11 kg of
    water: 10.78 L of salt water, so 6 fills.
    """
    bucket = Container("Bucket", 15.0, 2, tare_kg=1.0)
    weak = Person("w", "W", lifts_kg=12.0)
    strong = Person("s", "S", lifts_kg=20.0)
    home = house(bucket, people=(MAYA, strong))
    litres = [(CHANGE, 59.0), (TOP_OFF, 9.0)]

    assert filled(home, litres, MAYA) == [(bucket, 6)]
    assert trips(home, CHANGE, 59.0, MAYA) == 5
    assert filled(home, litres) == [(bucket, 6)]
    assert filled(home, litres, strong) == [(bucket, 5)]
    assert filled(home, litres, weak) == [(bucket, 7)]
    assert filled(home, [(CHANGE, 14.0), (CHANGE, 14.0)], MAYA) == [(bucket, 4)]
