"""What differs of a tank or a chore is told by its fields before a restore or an import."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit
from tankkeeper.core.household import Household, TopOffLimits
from tankkeeper.reports.altered_words import altered_text
from tankkeeper.reports.preview_words import import_parts
from tankkeeper.services.previews import ImportPreview, differences
from tests.builders import days
from tests.gui.round_house import small_house


def _told(before: Household, after: Household) -> list[str]:
    (part,) = import_parts(ImportPreview(differences(before, after), (), 0, is_backed_up=True))[1:]
    assert part.heading == "Would be changed"
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in part.lines]


def test_a_chore_tells_its_rhythm_and_its_fields() -> None:
    """In the words of the round for the rhythm, by name for all else."""
    house = small_house()
    change = next(one for one in house.chores if one.id == "change")
    other = replace(
        change,
        rhythm=AfterLastDone(days(14)),
        minutes=30,
        amount=Amount(12.5, AmountUnit.LITRES),
        caution="",
    )
    chores = tuple(other if one is change else one for one in house.chores)

    assert _told(house, replace(house, chores=chores)) == [
        "chore Change water (Reef): 7 days after it is done \N{RIGHTWARDS ARROW} 14 days after it "
        "is done; minutes: 20 \N{RIGHTWARDS ARROW} 30; amount: 9 litres \N{RIGHTWARDS ARROW} 12.5 "
        "litres; caution: unplug the heater \N{RIGHTWARDS ARROW} not said"
    ]


def test_a_tank_tells_what_is_inside_its_groups() -> None:
    """Numbers have their units."""
    reef, nook = small_house().tanks
    other = replace(
        reef, shape=replace(reef.shape, length_cm=80.0), top_off=TopOffLimits(reservoir_l=20.0)
    )
    house = small_house()

    assert _told(house, replace(house, tanks=(other, nook))) == [
        "tank Reef: shape, length: 60 cm \N{RIGHTWARDS ARROW} 80 cm; top off, reservoir: not said "
        "\N{RIGHTWARDS ARROW} 20 L"
    ]


def test_of_many_fields_the_first_are_told() -> None:
    """And how many more differ."""
    reef = small_house().tanks[0]
    shape = replace(reef.shape, length_cm=1.0, width_cm=1.0, height_cm=1.0, water_depth_cm=1.0)
    other = replace(reef, name="Ledge", shape=shape, target_salinity=34.0)

    assert altered_text(reef, other).endswith("; 2\N{NO-BREAK SPACE}fields more")
