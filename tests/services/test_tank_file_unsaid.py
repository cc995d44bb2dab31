"""What stands for a key that a tank file leaves out, where something must stand."""

from datetime import UTC, date, datetime, timedelta

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.volume import ShapeKind
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.tank_file import TankFile, read_tank_file, write_household
from tests.services.tank_file_household import NOW, TODAY

HEAD = 'format = "tankkeeper"\nversion = 1\n'
ZONE = '[household]\nzone = "Asia/Tokyo"\n'
TANK = '[[tanks]]\nname = "{name}"\nshape = {{}}\n'
FEED = (
    '[[chores]]\ntank = "{name}"\nkind = "feeding"\nname = "Feed"\n'
    "rhythm = {{ once = 2026-04-01 }}\n"
)
TWO = TANK.format(name="Cove") + TANK.format(name="Pool")


def read(text: str) -> TankFile:
    found = read_tank_file(HEAD + text, now=NOW, today=TODAY)
    written = write_household(found.household, found.entries)
    again = read_tank_file(written, now=NOW + timedelta(days=9), today=TODAY + timedelta(days=9))
    assert (again.household, again.entries) == (found.household, found.entries)
    return found


def test_a_row_without_a_moment_is_as_late_as_its_order_allows() -> None:
    """The next row's moment, after the last one that of the import; then it is written down."""
    found = read(
        '[[log]]\nnote = "a"\n[[log]]\nat = 2026-01-05T18:00:00Z\nnote = "b"\n[[log]]\nnote = "c"\n'
        '[[log]]\nat = 2026-01-09T18:00:00Z\nnote = "d"\n[[log]]\nnote = "e"\n[[log]]\nnote = "f"\n'
    )
    fifth, ninth = (datetime(2026, 1, day, 18, tzinfo=UTC) for day in (5, 9))

    assert [one.note for one in found.entries] == list("abcdef")
    assert [one.at for one in found.entries] == [fifth, fifth, ninth, ninth, NOW, NOW]


def test_a_row_that_tells_only_its_day_is_of_noon_there() -> None:
    """Noon by the household's clock, unless the rows around leave no room for it."""
    found = read(
        ZONE
        + '[[log]]\nday = 2026-01-05\nnote = "a"\n'
        + '[[log]]\nat = 2026-01-07T18:00:00Z\nnote = "b"\n[[log]]\nday = 2026-01-06\nnote = "c"\n'
    )
    first, given, late = found.entries

    # Noon in Tokyo is 03:00 UTC.
    assert (first.at, first.day) == (datetime(2026, 1, 5, 3, tzinfo=UTC), date(2026, 1, 5))
    assert (late.at, late.day) == (given.at, date(2026, 1, 6))


def test_a_row_without_a_tank_is_of_the_tank_that_has_such_a_chore() -> None:
    """A name that only one tank knows needs no tank beside it."""
    found = read(TWO + FEED.format(name="Pool") + '[[log]]\ndone = "Feed"\n')

    assert found.entries[0].tank == "pool"
    assert found.entries[0].completes_chore("pool.feed")


def test_a_chore_that_several_tanks_have_is_asked_for_in_one_sentence() -> None:
    """Guessing one of two tanks would tick work that nobody did."""
    text = HEAD + TWO + FEED.format(name="Pool") + FEED.format(name="Cove")
    with pytest.raises(UserFault) as refused:
        read_tank_file(text + '[[log]]\ndone = "Feed"\n', now=NOW, today=TODAY)

    (line,) = fault_words(refused.value).splitlines()
    assert line == (
        "Line 20, log[1].done: several tanks have a chore called Feed; tank has to say which."
    )


@pytest.mark.parametrize(
    ("sizes", "kind"),
    [
        ("", ShapeKind.OTHER),
        ("litres = 30", ShapeKind.OTHER),
        ("surface_cm2 = 900", ShapeKind.OTHER),
        ("length_cm = 60, height_cm = 40", ShapeKind.BOX),
        ("width_cm = 60", ShapeKind.BOX),
        ("diameter_cm = 50, height_cm = 40", ShapeKind.CYLINDER),
        ("length_cm = 60, width_cm = 40, bow_cm = 9", ShapeKind.BOW_FRONT),
        ("sides = 6", ShapeKind.POLYGON),
        ("edge_cm = 30", ShapeKind.POLYGON),
    ],
)
def test_a_shape_that_does_not_say_its_kind_is_known_by_its_sizes(
    sizes: str, kind: ShapeKind
) -> None:
    """Only a cylinder has a diameter, only a bow front a bow."""
    found = read(f'[[tanks]]\nname = "Pool"\nshape = {{ {sizes} }}\n')

    assert found.household.tanks[0].shape.kind is kind


def test_a_thing_without_a_name_is_called_by_its_id() -> None:
    """Its own, or the word of its kind, but never what something else is called."""
    found = read(
        '[[people]]\n[[people]]\nname = "person"\n[[people]]\nid = "mo"\n'
        + '[[rooms]]\n[[tanks]]\nname = "Pool"\nroom = "room"\nshape = {}\n'
        + '[[chores]]\nkind = "other"\nname = "Sweep"\nrhythm = { once = 2026-04-01 }\n'
        + 'who = ["person", "mo", "person-2"]\n[[log]]\nby = "mo"\ndone = "Sweep"\n'
    )
    house = found.household
    named = next(one.id for one in house.people if one.name == "person")

    assert house.chores[0].who == (named, "mo", next(one.id for one in house.people[:1]))
    assert house.tanks[0].room == house.rooms[0].id == "room"
    assert found.entries[0].by == "mo"
    assert house.chores[0].kind is ChoreKind.OTHER


def test_a_household_that_names_no_zone_has_the_one_that_is_usual() -> None:
    """That of this computer for a new one; whoever reads says which."""
    found = read_tank_file(HEAD + "[household]\n", now=NOW, today=TODAY, usual_zone="Asia/Tokyo")

    assert (found.household.zone, found.is_whole) == ("Asia/Tokyo", True)


def test_days_after_are_none_where_the_water_decides() -> None:
    """A file of before may hold them, and they never did anything; the next one leaves them out."""
    test = '[[chores]]\nkind = "test"\nname = "Test"\nearly_days = 1\nlate_days = 4\n'
    by_trend = f'{test}tank = "Cove"\nrhythm = {{ when = "forecast", of = "ph" }}\n'
    found = read(TANK.format(name="Cove") + by_trend)

    assert [(one.early_days, one.late_days) for one in found.household.chores] == [(1, 0)]
    assert "late_days" not in write_household(found.household, found.entries)
