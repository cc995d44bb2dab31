"""The head of the round names containers that there are."""

from dataclasses import replace

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Container, Person, WaterFor
from tests.gui.checks import cut_labels
from tests.gui.conftest import LiveIn
from tests.gui.round_house import chore, small_house
from tests.gui.setting_hands import save


def test_the_head_counts_fills_of_what_is_carried_and_adds_what_the_rows_tell(
    live_in: LiveIn,
) -> None:
    """9 L of salt and 1.5 L of fresh water in buckets of 10 L, not in the barrel."""
    house = replace(
        small_house(), containers=(Container("Bucket", 10.0, 2), Container("Barrel", 60.0, 1))
    )
    hands = live_in(house)
    last = hands.window.session.last
    assert last is not None

    told = [f"{one.number} {one.label}".replace("\xa0", " ") for one in last.sheet.figures]

    assert told[1:] == ["1.5 L to fill up", "9 L salt water", "2 fills of Bucket"]
    assert cut_labels(hands.frame) == []
    save(hands, "buckets")


def test_several_containers_have_one_figure(live_in: LiveIn) -> None:
    """One fill of the jug and two of the bucket of 5 L, each named in the order of its number."""
    house = replace(
        small_house(),
        containers=(
            Container("Bucket", 5.0, 1, holds=WaterFor.SALT),
            Container("A jug with a very long name", 5.0, 1, holds=WaterFor.FRESH),
        ),
    )
    hands = live_in(house)
    last = hands.window.session.last
    assert last is not None

    (figure,) = last.sheet.figures[3:]
    assert (figure.number, figure.label) == ("2 + 1", "fills: Bucket, A jug with a ve…")
    assert cut_labels(hands.frame) == []


def test_half_a_bucket_does_not_go_from_tank_to_tank(live_in: LiveIn) -> None:
    """10.5 L in each of two tanks are two fills of 10 L and two more, not three of 21 L."""
    litres = Amount(10.5, AmountUnit.LITRES)
    house = small_house(
        containers=(Container("Bucket", 10.0, 2),),
        chores=tuple(
            chore(f"fill-{tank}", "Top off", 12, kind=ChoreKind.TOP_OFF, tank=tank, amount=litres)
            for tank in ("reef", "nook")
        ),
    )
    last = live_in(house).window.session.last
    assert last is not None

    assert (last.sheet.figures[-1].number, last.sheet.figures[-1].label) == ("4", "fills of Bucket")


def test_fills_are_those_of_who_is_at_the_window(live_in: LiveIn) -> None:
    """9 L of salt water weigh 9.18 kg (1.02 kg/L): with 1 kg of bucket one fill by 15 kg, two by 6.

    6 kg less the bucket are 4.9 L of salt water at a time, so 2 fills; 1.5 L of fresh water are 1.
    """
    weak, strong = Person("ida", "Ida", lifts_kg=6.0), Person("leo", "Leo", lifts_kg=15.0)
    house = small_house(containers=(Container("Bucket", 10.0, 2, tare_kg=1.0),))
    hands = live_in(replace(house, people=(weak, strong)))

    told = {}
    for person in (weak, strong):
        hands.window.session.set_person(person.id)
        hands.settle()
        told[person.id] = hands.window.session.last.sheet.figures[-1].number

    assert told == {"ida": "3", "leo": "2"}
