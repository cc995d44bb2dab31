"""Invented households and entries for the tests of the store."""

from datetime import UTC, date, datetime, time, timedelta

from tankkeeper.core import household as home
from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    EarlierRhythm,
    IfMissed,
    Once,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.communities import Community
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.intervals import Interval, IntervalUnit, MonthDay, Season
from tankkeeper.core.logbook import Entry, Fact, Turn
from tankkeeper.core.volume import Displaced, Measured, Shape, ShapeKind, Sump
from tankkeeper.services.desk import Desk

NOON = datetime(2026, 3, 20, 12, tzinfo=UTC)
FORTNIGHT = Interval(14, IntervalUnit.DAYS)


def box() -> Shape:
    """An invented tank of glass."""
    return Shape(ShapeKind.BOX, length_cm=120, width_cm=55, height_cm=55, water_depth_cm=50)


def tank(tank_id: str = "skerry") -> home.Tank:
    """A tank of which only the least is known."""
    return home.Tank(tank_id, tank_id.capitalize(), box())


def chore(chore_id: str, tank_id: str | None = "skerry", **more: object) -> Chore:
    """A chore counted from the last completion."""
    values = {"kind": ChoreKind.GLASS, "name": chore_id, "rhythm": AfterLastDone(FORTNIGHT)}
    return Chore(chore_id, tank=tank_id, **(values | more))


def small() -> home.Household:
    """One tank and two chores."""
    return home.Household(
        "Pier 9", "Europe/Oslo", tanks=(tank(),), chores=(chore("glass"), chore("change"))
    )


def _shape() -> Shape:
    return Shape(
        ShapeKind.BOW_FRONT,
        Measured.OUTSIDE,
        120.5,
        55,
        56,
        50,
        12,
        15,
        80.1,
        7,
        6,
        30.5,
        300,
        6600,
    )


def _full_tank() -> home.Tank:
    return home.Tank(
        "skerry",
        "Skerry",
        _shape(),
        room="living",
        walk_order=-2,
        community=Community.SMALL_POLYP_STONY,
        stage=home.Stage.CYCLING,
        since=date(2024, 5, 4),
        target_salinity=35.1,
        target_temperature_c=25.5,
        jumpers=False,
        displaced=Displaced(40, 3, 12.5, 1.9, 0.4, 0.9, 20, 0.42, 6),
        sump=Sump(90, 900, True, 1800, 4.5, 25.5),
        cover=home.Cover(home.CoverKind.MESH, 0.75),
        top_off=home.TopOffLimits(10, 0.5, 25, 2),
        ranges=(home.OwnRange("alkalinity", 7.5, 9.0, "dKH"), home.OwnRange("nitrate", None, 10)),
        heat_and_flow=HeatAndFlow(300, 2, 2400.5, 1.5),
    )


def _full_chores() -> tuple[Chore, ...]:
    summer = Season(MonthDay(6, 1), MonthDay(9, 15), Interval(10, IntervalUnit.DAYS))
    earlier = EarlierRhythm(date(2023, 1, 1), AfterLastDone(Interval(3, IntervalUnit.WEEKS)))
    test = Chore(
        "test",
        ChoreKind.TEST,
        "Test the water",
        AfterLastDone(FORTNIGHT, (summer,)),
        "skerry",
        "test",
        date(2024, 6, 8),
        2,
        3,
        IfMissed.EACH,
        25,
        ("jonas",),
        Amount(40.5, AmountUnit.LITRES),
        ("nitrate", "phosphate"),
        ("Change water",),
        "Mind the plug.",
        (Use("salt", 1528.25, AmountUnit.GRAMS),),
        date(2024, 6, 1),
        date(2027, 1, 1),
        (earlier, EarlierRhythm(date(2024, 1, 1), Once(date(2024, 2, 2)))),
    )
    feeding = Calendar("FREQ=DAILY", date(2025, 1, 1), (time(8), time(18, 30)))
    evaporation = WhenWaterSays(Condition.EVAPORATION, None, 0, 7)
    return (
        test,
        Chore("feed", ChoreKind.FEEDING, "Feed", feeding, "skerry", if_missed=IfMissed.EXPIRE),
        Chore("top", ChoreKind.TOP_OFF, "Top off", evaporation, "skerry"),
        Chore("buy", ChoreKind.BUY, "Buy salt", WhenWaterSays(Condition.STOCK, "salt mix")),
    )


def full() -> home.Household:
    """A household in which every attribute of every class says something."""
    return home.Household(
        "Häfen 4 «west» 🐟",
        "Europe/Oslo",
        time(3, 30),
        time(6, 45),
        6,
        "NOK",
        home.ShownUnits("US gal", "degF", "sg 25/25", "meq/L"),
        (home.Person("jonas", "Jonas", (20, 20, 20, 20, 20, 60, 0), 16.5, (ChoreKind.SERVICE,)),),
        (
            home.Room(
                "living", "living room", 0.05, (ClimateRow(1, 21, 0.32), ClimateRow(7, 24, 0.55))
            ),
        ),
        (home.Container("white bucket", 10, 4, 0.6, home.WaterFor.SALT),),
        home.WaterSupply(home.WaterSource.MADE, 190, 12, 3.0, 0.02, 60),
        home.SaltMix(38.2, 24, 9.5, 60),
        (_full_tank(), tank("office")),
        _full_chores(),
        (home.Equipment("return pump", "return pump", "skerry", date(2024, 5, 4), 60),),
        (
            home.Animal(
                "skerry",
                "goby",
                2,
                date(2025, 2, 1),
                (home.Loss(date(2025, 9, 12), 1, "age"), home.Loss(None, None, "søvn")),
                "meat",
                True,
            ),
        ),
        (home.Supply("salt", "salt mix", "g", 8000, date(2026, 3, 1), 20000, 3, date(2028, 1, 1)),),
    )


def made(number: int, fact: Fact | None = None, **more: object) -> Entry:
    """The entry with that number: one a minute from noon on."""
    at = NOON + timedelta(minutes=number)
    values = {"day": at.date(), "zone": "Europe/Oslo", "tank": "skerry", "fact": fact}
    return Entry(f"entry-{number:06d}", 0, at, **(values | more))


def turn_of(chore_id: str, key: str = "2026-03-20", slot: time | None = None) -> Turn:
    """A turn of a chore."""
    return Turn(chore_id, key, slot)


def house_of(desk: Desk) -> home.Household:
    """Return the household as the store holds it."""
    with desk.store.reading() as reading:
        return reading.household()
