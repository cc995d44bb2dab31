"""What differs of a tank or a chore is told by its fields before a restore or an import."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.chores import AfterLastDone, Amount, AmountUnit, Use
from tankkeeper.core.household import (
    Household,
    Person,
    Room,
    SaltMix,
    ShownUnits,
    Supply,
    TopOffLimits,
    WaterSupply,
)
from tankkeeper.core.volume import Displaced, Sump
from tankkeeper.reports.altered_words import altered_text
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.preview_words import import_parts
from tankkeeper.reports.words import Words
from tankkeeper.services.previews import ImportPreview, differences
from tests.builders import a_moment, days
from tests.gui.round_house import small_house


def _words(house: Household) -> Words:
    return Words(house, a_moment("2026-11-24"))


def _told(before: Household, after: Household) -> list[str]:
    preview = ImportPreview(differences(before, after), (), 0, is_backed_up=True, household=after)
    (part,) = import_parts(preview, _words(before))[1:]
    assert part.heading == "Would be changed"
    return [plain(line) for line in part.lines]


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
        "is done; minutes: 20 \N{RIGHTWARDS ARROW} 30; amount: 9 L \N{RIGHTWARDS ARROW} 12.5 "
        "L; caution: unplug the heater \N{RIGHTWARDS ARROW} not said"
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

    words = _words(small_house())
    assert altered_text(reef, other, words, words).endswith("; 2\N{NO-BREAK SPACE}fields more")


GALLONS = ShownUnits(volume="US gal", temperature="degF", salinity="sg 25/25")


def test_numbers_are_told_in_the_units_of_the_household() -> None:
    """20 L are 5.3 US gal (a gallon is 3.785411784 L), 25.4 mm an inch, 453.59237 g a pound.

    Salinity 35 is a specific gravity of 1.0264 at 25/25 (computed by the program's own TEOS-10,
    which its own tests hold to published values).
    """
    house = replace(small_house(), units=GALLONS)
    reef, nook = house.tanks
    was = replace(
        reef,
        target_temperature_c=25.0,
        target_salinity=None,
        top_off=TopOffLimits(allowed_drop_mm=25.4, reservoir_l=20.0),
    )
    becomes = replace(
        was,
        target_temperature_c=26.0,
        target_salinity=35.0,
        top_off=TopOffLimits(allowed_drop_mm=12.7, reservoir_l=40.0),
    )
    before, after = (replace(house, tanks=(one, nook)) for one in (was, becomes))
    (line,) = _told(before, after)
    arrow = "\N{RIGHTWARDS ARROW}"
    assert f"target salinity: not said {arrow} 1.0264 sg 25/25" in line
    assert f"target temperature: 77 \N{DEGREE SIGN}F {arrow} 78.8 \N{DEGREE SIGN}F" in line
    assert f"top off, allowed drop: 1 in {arrow} 0.5 in" in line
    assert f"top off, reservoir: 5.3 US gal {arrow} 10.6 US gal" in line

    rock = [replace(reef, displaced=Displaced(rock_dry_kg=one)) for one in (0.45359237, 4.5359237)]
    before, after = (replace(house, tanks=(one, nook)) for one in rock)
    assert _told(before, after) == [f"tank Reef: displaced, rock dry: 1 lb {arrow} 10 lb"]


def test_two_numbers_that_differ_are_never_told_alike() -> None:
    """Three digits are enough for what is stated, except where they hide what differs."""
    house = small_house()
    reef, nook = house.tanks
    other = replace(reef, shape=replace(reef.shape, length_cm=60.04))
    assert _told(house, replace(house, tanks=(other, nook))) == [
        "tank Reef: shape, length: 60 cm \N{RIGHTWARDS ARROW} 60.04 cm"
    ]


def test_the_name_of_a_field_is_told_without_its_unit() -> None:
    """An area in square centimetres, a weight a litre, a share in percent."""
    house = small_house()
    reef, nook = house.tanks
    other = replace(
        reef,
        sump=Sump(litres=20.0, last_chamber_cm2=800.0),
        displaced=Displaced(rock_envelope_kg_per_l=1.5, rock_submerged=0.5),
    )
    before = replace(other, sump=Sump(litres=20.0), displaced=Displaced())
    arrow = "not said \N{RIGHTWARDS ARROW}"
    assert _told(replace(house, tanks=(before, nook)), replace(house, tanks=(other, nook))) == [
        f"tank Reef: displaced, rock envelope: {arrow} 1.5 kg/L; displaced, rock submerged: "
        f"{arrow} 50 %; sump, last chamber: {arrow} 800 cm\N{SUPERSCRIPT TWO}"
    ]


def test_people_rooms_and_supplies_are_told_by_name() -> None:
    """Those that are there, and those that only come with it."""
    house = replace(
        small_house(), rooms=(Room("r1", "Study"),), people=(Person("p1", "Ann"),), supplies=()
    )
    reef, nook = replace(house.tanks[0], room="r1"), house.tanks[1]
    chore = replace(house.chores[0], who=("p1",))
    before = replace(house, tanks=(reef, nook), chores=(chore,))
    after = replace(
        before,
        tanks=(replace(reef, room="r2"), nook),
        chores=(replace(chore, who=("p2",), uses=(Use("s1", 2.0, AmountUnit.GRAMS),)),),
        rooms=(*house.rooms, Room("r2", "Hall")),
        people=(*house.people, Person("p2", "Bo")),
        supplies=(Supply("s1", "Salt"),),
    )
    told = " ".join(_told(before, after))
    arrow = "\N{RIGHTWARDS ARROW}"
    assert f"room: Study {arrow} Hall" in told
    assert f"who: Ann {arrow} Bo" in told
    assert f"uses: not said {arrow} Salt 2 grams" in told


def test_what_is_kept_once_is_told_in_those_units_too() -> None:
    """The water supply and the salt; 4.5 a kilogram are 4.5 * 0.4536 = 2.04 a pound.

    38 g a litre are 38 * 3.785 = 143.8 g a gallon, and 0.05 a litre 0.189 a gallon.
    """
    house = replace(small_house(), units=GALLONS)
    mix = SaltMix(38.0, price_per_kg=4.5)
    supply = WaterSupply(store_litres=37.85411784, feed_water_c=10.0, price_per_litre=0.05)
    told = _told(house, replace(house, salt_mix=mix, water_supply=supply))
    arrow = "not said \N{RIGHTWARDS ARROW}"
    assert f"water supply, feed water: {arrow} 50 \N{DEGREE SIGN}F" in told
    assert f"water supply, store: {arrow} 10 US gal" in told
    assert f"water supply, price per US gallon: {arrow} 0.189" in told
    assert f"salt mix, price per pound: {arrow} 2.04" in told
    assert f"salt mix, grams per US gallon: {arrow} 144" in told


def test_what_is_counted_and_what_money_is_asked_have_their_units() -> None:
    """The stock that of its supply, a rise that of salinity, a price the currency."""
    house = replace(small_house(), currency="EUR")
    words, arrow = _words(house), "\N{RIGHTWARDS ARROW}"

    def told(was: object, became: object) -> str:
        return plain(altered_text(was, became, words, words))

    salt = Supply("salt", "salt mix", "g", 500.0)
    reef = house.tanks[0]
    rises = [
        replace(reef, top_off=replace(reef.top_off, allowed_salinity_rise=one))
        for one in (0.5, 0.8)
    ]
    assert told(salt, replace(salt, stock=300.0)) == f"stock: 500 g {arrow} 300 g"
    assert told(salt, replace(salt, pack=4000.0)) == f"pack: not said {arrow} 4000 g"
    assert told(*rises) == f"top off, allowed salinity rise: 0.5 PSU {arrow} 0.8 PSU"
    near = replace(reef, top_off=replace(reef.top_off, allowed_salinity_rise=0.52))
    assert told(rises[0], near) == f"top off, allowed salinity rise: 0.5 PSU {arrow} 0.52 PSU"
    mixes = (SaltMix(price_per_kg=4.5), SaltMix(price_per_kg=5.0))
    assert told(*mixes) == f"price per kg: 4.5 EUR {arrow} 5 EUR"
