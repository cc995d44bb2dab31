"""Any household and any log come back from their text as they were."""

import string
import unicodedata
from dataclasses import fields
from datetime import UTC, date, datetime, time, timedelta
from typing import TypeVar

from hypothesis import given
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy, composite

from tankkeeper.core import chores, household, logbook, volume
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.communities import Community
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.intervals import Interval, IntervalUnit, MonthDay, Season
from tankkeeper.core.parameters import parse_reading
from tankkeeper.services.tank_file import read_tank_file, write_household

T = TypeVar("T")
NOW = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
TODAY = date(2026, 3, 2)
ZONES = ("Europe/Oslo", "UTC", "Asia/Kathmandu", "America/St_Johns", "Pacific/Apia")

SIGNS = st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"])
NAMES = (
    st.text(SIGNS, min_size=1, max_size=12)
    .map(lambda text: unicodedata.normalize("NFC", text).strip())
    .filter(bool)
)
# A thing may have no name.
TITLES = st.just("") | NAMES
NOTES = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=40)
IDS = st.text(string.ascii_lowercase + string.digits + "-", min_size=1, max_size=6).filter(
    lambda text: text[0].isalnum()
)
DAYS = st.dates(date(2015, 1, 1), date(2030, 1, 1))
GRAMS = chores.AmountUnit.GRAMS
HOLDS = st.sampled_from(household.WaterFor)


def amounts(low: float = 0.001, high: float = 1000.0) -> SearchStrategy[float]:
    return st.one_of(
        st.integers(max(1, int(low)), int(high)).map(float),
        st.floats(low, high, allow_subnormal=False),
    )


def maybe(values: SearchStrategy[object]) -> SearchStrategy[object]:
    return st.none() | values


SEASONS = st.just((Season(MonthDay(6, 1), MonthDay(9, 15), Interval(5, IntervalUnit.DAYS)),))
RHYTHMS: SearchStrategy[chores.Rhythm] = st.one_of(
    st.builds(chores.Once, DAYS),
    st.builds(
        chores.AfterLastDone,
        st.builds(Interval, st.integers(1, 10), st.sampled_from(IntervalUnit)),
    ),
    st.builds(chores.AfterLastDone, st.just(Interval(2, IntervalUnit.WEEKS)), SEASONS),
    st.builds(
        chores.Calendar,
        st.sampled_from(["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,TH", "FREQ=MONTHLY;BYMONTHDAY=-1"]),
        DAYS,
        st.lists(st.times().map(lambda one: one.replace(second=0, microsecond=0)), unique=True)
        .map(sorted)
        .map(tuple),
    ),
    st.builds(
        chores.WhenWaterSays,
        st.just(chores.Condition.EVAPORATION),
        st.none(),
        st.none() | st.just(0),
        st.none() | st.integers(1, 60),
    ),
    st.builds(
        chores.WhenWaterSays, st.just(chores.Condition.FORECAST), st.sampled_from(["ph", "nitrate"])
    ),
)
READINGS = st.sampled_from(
    [
        parse_reading("nitrate", "12 mg/L"),
        parse_reading("salinity", "1.0264 sg25/25 @25.4C"),
        parse_reading("salinity", "53,1 mS/cm"),
        parse_reading("temperature", "77.5 degF"),
        parse_reading("alkalinity", "2.9 meq/L"),
        parse_reading("ph", "8"),
    ]
)


def shapes() -> SearchStrategy[volume.Shape]:
    return st.one_of(
        st.builds(
            volume.Shape,
            st.just(volume.ShapeKind.BOX),
            length_cm=maybe(amounts()),
            width_cm=maybe(amounts()),
        ),
        st.builds(
            volume.Shape,
            st.just(volume.ShapeKind.OTHER),
            litres=maybe(amounts()),
            surface_cm2=maybe(amounts()),
        ),
    )


def every_field(of: type[T], **values: SearchStrategy[object]) -> SearchStrategy[T]:
    """Draw instances of a class of which no field may be forgotten here."""
    assert set(values) == {one.name for one in fields(of)}  # type: ignore[arg-type]
    return st.builds(of, **values)


DISPLACED = every_field(
    volume.Displaced,
    rock_dry_kg=maybe(amounts()),
    sand_depth_cm=maybe(amounts(high=20)),
    rock_wet_kg=maybe(amounts()),
    rock_envelope_kg_per_l=maybe(st.floats(0.8, 3.2)),
    rock_open_porosity=maybe(st.floats(0, 0.95)),
    rock_submerged=maybe(st.floats(0, 1)),
    sand_dry_kg=maybe(amounts()),
    sand_porosity=maybe(st.floats(0, 0.95)),
    equipment_l=maybe(amounts()),
)


SUMPS = every_field(
    volume.Sump,
    litres=maybe(amounts()),
    last_chamber_cm2=maybe(amounts()),
    in_cabinet=maybe(st.booleans()),
    surface_cm2=maybe(amounts()),
    pipes_l=maybe(amounts()),
    free_l=maybe(amounts()),
)


TOP_OFF_LIMITS = every_field(
    household.TopOffLimits,
    allowed_drop_mm=maybe(amounts()),
    allowed_salinity_rise=maybe(st.floats(0, 5)),
    reservoir_l=maybe(amounts()),
    reserve_l=maybe(amounts()),
)


WATER_SUPPLIES = every_field(
    household.WaterSupply,
    source=st.sampled_from(household.WaterSource),
    litres_per_day_rated=maybe(amounts()),
    feed_water_c=maybe(st.floats(0, 40)),
    waste_per_litre=maybe(amounts(high=20)),
    price_per_litre=maybe(amounts(high=20)),
    store_litres=maybe(amounts()),
)


SALT_MIXES = every_field(
    household.SaltMix,
    grams_per_litre=maybe(amounts(high=400)),
    mixing_hours=maybe(amounts(high=100)),
    price_per_kg=maybe(amounts()),
    store_litres=maybe(amounts()),
)


SHOWN_UNITS = every_field(
    household.ShownUnits,
    volume=st.sampled_from(["L", "US gal"]),
    temperature=st.sampled_from(["degC", "degF"]),
    salinity=st.sampled_from(["practical", "sg 25/25", "mS/cm"]),
    alkalinity=st.sampled_from(["dKH", "meq/L"]),
)


@composite
def tanks(draw: st.DrawFn, one_id: str, name: str, rooms: list[str]) -> household.Tank:
    return household.Tank(
        id=one_id,
        name=name,
        shape=draw(shapes()),
        room=draw(st.sampled_from([None, *rooms])),
        walk_order=draw(st.none() | st.integers(0, 99)),
        community=draw(st.none() | st.sampled_from(Community)),
        stage=draw(st.sampled_from(household.Stage)),
        since=draw(st.none() | DAYS),
        target_salinity=draw(st.none() | st.floats(2, 42)),
        target_temperature_c=draw(st.none() | st.floats(4, 40)),
        jumpers=draw(st.none() | st.booleans()),
        displaced=draw(st.none() | DISPLACED),
        sump=draw(st.none() | SUMPS),
        cover=draw(
            st.none()
            | st.builds(
                household.Cover, st.sampled_from(household.CoverKind), maybe(st.floats(0, 1))
            )
        ),
        top_off=draw(TOP_OFF_LIMITS),
        heat_and_flow=draw(
            st.none()
            | st.builds(
                HeatAndFlow,
                maybe(st.floats(0, 200_000)),
                maybe(st.integers(0, 100)),
                maybe(st.floats(0, 100_000)),
                maybe(st.just(0.0)),
            )
        ),
        ranges=draw(st.sampled_from([(), (household.OwnRange("calcium", 400.0, None, "mg/L"),)])),
    )


@composite
def chore(
    draw: st.DrawFn, one_id: str, name: str, tank: str | None, house: household.Household
) -> chores.Chore:
    kind = draw(st.sampled_from(chores.ChoreKind))
    return chores.Chore(
        id=one_id,
        kind=kind,
        name=name,
        tank=tank,
        rhythm=draw(RHYTHMS),
        noun=draw(st.sampled_from(["", "change"])),
        first_due=draw(st.none() | DAYS),
        early_days=draw(st.integers(0, 9)),
        late_days=draw(st.integers(0, 9)),
        if_missed=draw(st.sampled_from(chores.IfMissed)),
        minutes=draw(st.none() | st.integers(0, 600)),
        who=draw(st.lists(st.sampled_from([p.id for p in house.people]), unique=True).map(tuple))
        if house.people
        else (),
        amount=draw(
            st.none() | st.builds(chores.Amount, amounts(), st.sampled_from(chores.AmountUnit))
        ),
        tests=("ph", "calcium") if kind is chores.ChoreKind.TEST else (),
        caution=draw(NOTES),
        uses=tuple(
            draw(st.sampled_from([chores.Use(one.id), chores.Use(one.id, 2.5, GRAMS)]))
            for one in house.supplies
        )
        + draw(st.sampled_from([(), (chores.Use("", 3.0, GRAMS),)])),
        valid_from=draw(st.none() | DAYS),
        ended_on=draw(st.none() | DAYS),
        earlier=draw(
            st.lists(st.builds(chores.EarlierRhythm, DAYS, RHYTHMS), max_size=2).map(tuple)
        ),
    )


def named(kind: str) -> SearchStrategy[list[tuple[str, str]]]:
    """Pairs of an id and a name; the names are chosen freely, and so are the ids."""
    return st.lists(
        st.tuples(IDS.map(lambda one: f"{kind}{one}"), NAMES),
        max_size=3,
        unique_by=(lambda pair: pair[0], lambda pair: pair[1]),
    )


def maybe_named(kind: str) -> SearchStrategy[list[tuple[str, str]]]:
    """Pairs of an id and a name, some of them without a name."""
    return st.tuples(named(kind), st.sets(st.integers(0, 2))).map(
        lambda drawn: [
            (one_id, "" if place in drawn[1] else name)
            for place, (one_id, name) in enumerate(drawn[0])
        ]
    )


def climates() -> SearchStrategy[tuple[ClimateRow, ...]]:
    """Rows for months and for all year, each with what is known of the air."""
    row = st.builds(
        ClimateRow, maybe(st.integers(1, 12)), maybe(st.floats(15, 30)), maybe(st.floats(0, 1))
    )
    return st.lists(row, max_size=3, unique_by=lambda one: one.month).map(tuple)


@composite
def households(draw: st.DrawFn) -> household.Household:
    rooms = draw(maybe_named("r"))
    start = household.Household(
        name=draw(NAMES),
        zone=draw(st.sampled_from(ZONES)),
        day_begins=draw(st.sampled_from([time(0), time(4), time(6)])),
        round_at=draw(st.sampled_from([time(7), time(0), time(18, 45)])),
        first_weekday=draw(st.integers(0, 6)),
        currency=draw(st.sampled_from(["", "EUR", "£"])),
        units=draw(SHOWN_UNITS),
        people=tuple(
            household.Person(
                one_id,
                name,
                draw(st.none() | st.tuples(*[st.none() | st.integers(0, 1440)] * 7)),
                draw(st.none() | amounts(high=60)),
                tuple(draw(st.lists(st.sampled_from(chores.ChoreKind), max_size=2, unique=True))),
            )
            for one_id, name in draw(maybe_named("p"))
        ),
        rooms=tuple(
            household.Room(one_id, name, draw(st.none() | st.floats(0, 1)), draw(climates()))
            for one_id, name in rooms
        ),
        containers=tuple(
            household.Container(
                name,
                draw(maybe(amounts())),
                draw(maybe(st.integers(1, 9))),
                draw(maybe(amounts(high=20))),
                draw(HOLDS),
            )
            for name in draw(st.lists(TITLES, max_size=2))
        ),
        water_supply=draw(st.none() | WATER_SUPPLIES),
        salt_mix=draw(st.none() | SALT_MIXES),
        supplies=tuple(
            household.Supply(
                one_id,
                name,
                draw(st.sampled_from(["", "g", "pieces"])),
                draw(st.none() | amounts()),
                draw(st.none() | DAYS),
                draw(st.none() | amounts()),
                draw(st.none() | st.integers(0, 99)),
                draw(st.none() | DAYS),
            )
            for one_id, name in draw(maybe_named("s"))
        ),
    )
    owned = tuple(
        draw(tanks(one_id, name, [room for room, _ in rooms])) for one_id, name in draw(named("t"))
    )
    titles = draw(st.lists(NAMES, min_size=1, max_size=2, unique=True))
    places = [(title, tank) for title in titles for tank in (None, *(one.id for one in owned))]
    work = tuple(
        draw(chore(f"c{number}", title, tank, start))
        for number, (title, tank) in enumerate(draw(st.lists(st.sampled_from(places), unique=True)))
    )
    owners = [None, *(one.id for one in owned)]
    losses = st.builds(household.Loss, maybe(DAYS), maybe(st.integers(1, 9)), NOTES)
    animals = draw(
        st.lists(
            st.builds(
                household.Animal,
                st.sampled_from(owners),
                TITLES,
                maybe(st.integers(0, 9)),
                maybe(DAYS),
                st.lists(losses, max_size=3).map(tuple),
                NOTES,
                maybe(st.booleans()),
            ),
            max_size=3,
        ).map(tuple)
    )
    gear = st.builds(
        household.Equipment,
        kind=TITLES,
        name=TITLES,
        tank=st.sampled_from(owners),
        installed_on=maybe(DAYS),
        life_months=maybe(st.integers(1, 240)),
    )
    return household.Household(
        **{name: getattr(start, name) for name in household.Household.__slots__}
        | {"tanks": owned, "chores": work, "animals": animals}
        | {"equipment": draw(st.lists(gear, max_size=3).map(tuple))}
    )


def turns(ids: list[str]) -> SearchStrategy[logbook.Turn]:
    return st.builds(
        logbook.Turn,
        st.sampled_from(ids),
        st.sampled_from(["", "2025-12-31", "first", "after:x-1", "part:x-1", "odd key"]),
        st.sampled_from([None, time(8), time(18, 30)]),
    )


def water_facts() -> SearchStrategy[logbook.Fact]:
    flags = st.booleans()
    salinity = st.none() | st.floats(30, 40)
    return st.one_of(
        st.builds(logbook.TopOff, maybe(amounts()), flags, flags),
        st.builds(logbook.ReservoirCheck, maybe(amounts()), st.none(), flags),
        st.builds(logbook.ReservoirCheck, st.none(), maybe(amounts()), flags),
        st.builds(
            logbook.WaterChange, maybe(amounts()), maybe(amounts()), salinity, salinity, flags
        ),
        st.builds(
            logbook.Readings,
            st.lists(READINGS, min_size=1, unique_by=lambda one: one.parameter).map(tuple),
        ),
        st.builds(logbook.Dose, TITLES, maybe(amounts())),
        st.builds(logbook.Work, maybe(amounts()), maybe(amounts()), flags),
        st.builds(logbook.Note),
    )


@composite
def facts(
    draw: st.DrawFn, house: household.Household, seen: list[str]
) -> tuple[tuple[logbook.Turn, ...], logbook.Fact | None]:
    """What an entry completes, and its fact."""
    ids = [one.id for one in house.chores]
    lone: list[SearchStrategy[logbook.Fact]] = [
        st.builds(logbook.Pause, st.sampled_from(logbook.PauseMode), st.sampled_from([None, *ids])),
        st.builds(logbook.Resume, st.sampled_from([None, *ids])),
    ]
    if house.supplies:
        of = st.sampled_from(["", *(one.id for one in house.supplies)])
        lone.append(st.builds(logbook.StockChange, of, maybe(amounts()), maybe(amounts())))
    if seen:
        lone.append(st.builds(logbook.Revoke, st.sampled_from(seen)))
    if ids:
        lone.append(st.builds(logbook.Skip, turns(ids), st.none() | st.just(TODAY)))
        lone.append(st.builds(logbook.PutOff, turns(ids), st.just(TODAY)))
        lone.append(st.builds(logbook.Shift, turns(ids), st.just(TODAY)))
    if not ids or draw(st.booleans()):
        return (), draw(st.none() | st.one_of(water_facts(), *lone))
    done = draw(st.lists(turns(ids), min_size=1, max_size=3, unique_by=lambda one: one.chore))
    return tuple(done), draw(st.none() | water_facts())


@composite
def logs(draw: st.DrawFn, house: household.Household) -> tuple[logbook.Entry, ...]:
    """Entries in the order of writing; some tell of days long before."""
    entries: list[logbook.Entry] = []
    for number in range(draw(st.integers(0, 7))):
        at = NOW - timedelta(seconds=draw(st.integers(0, 20_000_000)))
        seen = [one.id for one in entries]
        done, fact = draw(facts(house, seen))
        entries.append(
            logbook.Entry(
                id=f"x-{number}",
                seq=number + 1,
                at=at,
                day=draw(st.sampled_from([at.date(), date(2025, 3, 4)])),
                zone=draw(st.sampled_from([house.zone, "Asia/Tokyo"])),
                by=draw(st.sampled_from([None, *(one.id for one in house.people)])),
                tank=draw(st.sampled_from([None, *(one.id for one in house.tanks)])),
                completes=done,
                fact=fact,
                note=draw(NOTES),
                replaces=draw(st.sampled_from([None, *seen])),
            )
        )
    return tuple(entries)


@given(st.data())
def test_any_household_with_any_log_comes_back_as_it_was(data: st.DataObject) -> None:
    """read(write(x)) is x, and write(read(write(x))) is write(x)."""
    house = data.draw(households())
    entries = data.draw(logs(house))
    text = write_household(house, entries)
    found = read_tank_file(text, now=NOW, today=TODAY)
    assert found.household == house
    assert found.entries == entries
    assert write_household(found.household, found.entries) == text
