"""What stands in a field is what is read out of it again, in every unit and every short list."""

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Cover, CoverKind, ShownUnits
from tankkeeper.core.intervals import Interval, IntervalUnit, MonthDay, Season
from tankkeeper.gui.forms.specs import Kind, Spec, parse, sign_of, text_of, value_at, with_values
from tankkeeper.gui.forms.tank_specs import PARTS, TANK_GROUPS
from tankkeeper.gui.forms.typed_lists import (
    clock_in,
    month_days_in,
    month_days_text,
    seasons_in,
    seasons_text,
    times_in,
    times_text,
)
from tankkeeper.reports.words import Words
from tests.builders import a_box, a_household, a_moment

KINDS = {
    Kind.NUMBER: st.floats(0, 10_000),
    Kind.PERCENT: st.floats(0, 1),
    Kind.VOLUME: st.floats(0.1, 10_000),
    Kind.DAILY: st.floats(0.1, 10_000),
    Kind.HOURLY: st.floats(0.1, 10_000),
    Kind.TEMPERATURE: st.floats(4, 40),
    Kind.SALINITY: st.floats(5, 40),
    Kind.LENGTH: st.floats(0.1, 1_000),
    Kind.THICKNESS: st.floats(0.1, 200),
    Kind.AREA: st.floats(1, 100_000),
    Kind.MASS: st.floats(0.001, 1_000),
}
units = st.builds(
    ShownUnits,
    st.sampled_from(["L", "US gal"]),
    st.sampled_from(["degC", "degF"]),
    st.sampled_from(["practical", "sg 25/25", "mS/cm"]),
)


def words(shown: ShownUnits, sign: str) -> Words:
    """Return words in these units."""
    return Words(a_household(units=shown), a_moment("2026-03-12"), sign)


@given(st.data(), units, st.sampled_from([".", ","]))
def test_a_number_is_read_again_as_it_is_kept(
    data: st.DataObject, shown: ShownUnits, sign: str
) -> None:
    """To a millionth part, which the sheet takes for untouched."""
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    value = data.draw(KINDS[kind])
    spec, told = Spec("x", "X", kind), words(shown, sign)

    read = parse(spec, text_of(spec, value, told), told)

    assert read == pytest.approx(value, rel=2e-6, abs=2e-6)


month_days = st.builds(MonthDay, st.integers(1, 12), st.integers(1, 28))
lengths = st.sampled_from([IntervalUnit.DAYS, IntervalUnit.WEEKS])
seasons = st.builds(
    Season, month_days, month_days, st.builds(Interval, st.integers(1, 99), lengths)
)


@given(st.lists(seasons, max_size=3))
def test_seasons_are_read_as_they_are_written(many: list[Season]) -> None:
    """In the words in which a rhythm tells them."""
    assert seasons_in(seasons_text(many)) == tuple(many)


@given(st.sets(st.times().map(lambda at: at.replace(second=0, microsecond=0)), max_size=5))
def test_times_are_read_as_they_are_written(many: set[time]) -> None:
    """In the order of the day."""
    assert times_in(times_text(sorted(many))) == tuple(sorted(many))


@given(st.lists(st.integers(1, 31) | st.just(-1), max_size=5))
def test_days_of_the_month_are_read_as_they_are_written(many: list[int]) -> None:
    """The last day by its word."""
    assert month_days_in(month_days_text(many)) == tuple(many)


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (times_in, "8, 8:00"),
        (times_in, "25"),
        (times_in, "\u0668"),
        (clock_in, "8:5"),
        (month_days_in, "0"),
        (month_days_in, "32"),
        (month_days_in, "Monday"),
        (month_days_in, "-2"),
        (seasons_in, "summer"),
        (seasons_in, "10 days from 1 Ju to 15 September"),
        (seasons_in, "10 days from 32 June to 15 September"),
    ],
)
def test_what_is_no_such_list_is_refused(read, text: str) -> None:  # type: ignore[no-untyped-def]
    """With a code that has its sentence."""
    with pytest.raises(UserFault):
        read(text)


def test_parts_come_and_go_with_what_is_known_of_them() -> None:
    """A cover nobody spoke of is none; one that was chosen is kept with its share."""
    box = a_box()
    mesh = with_values(box, {"cover.kind": CoverKind.MESH, "cover.covered": 0.5}, PARTS)
    none = with_values(mesh, {"cover.kind": None, "cover.covered": 0.5}, PARTS)
    sand = with_values(box, {"displaced.sand_depth_cm": 3.0, "since": date(2026, 1, 1)}, PARTS)

    assert mesh.cover == Cover(CoverKind.MESH, 0.5)
    assert none == box
    assert value_at(sand, "displaced.sand_depth_cm") == 3.0
    assert value_at(box, "displaced.sand_depth_cm") is None


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-03-02", "2 Mar 2026"),
        ("02/03/2026", "2 Mar 2026"),
        ("2 Mar 2026", "2 Mar 2026"),
        ("yesterday", "11 Mar 2026"),
        ("2 march", "2 Mar 2026"),
    ],
)
def test_a_day_is_set_down_in_words_as_well(typed: str, day: str) -> None:
    """As in the other forms; it is shown as they show a day, and the international way is read."""
    words = Words(a_household(), a_moment("2026-03-12"))
    spec = Spec("since", "Since", Kind.DAY)

    value = parse(spec, typed, words)

    assert text_of(spec, value, words) == day
    with pytest.raises(UserFault):
        parse(spec, "2", words)


@pytest.mark.parametrize("shown", ["practical", "sg 25/25", "mS/cm"])
def test_the_rise_of_the_salinity_has_the_unit_in_which_it_is_kept(shown: str) -> None:
    """A difference of practical salinities, whatever the salinity itself is shown in."""
    specs = [spec for group in TANK_GROUPS for spec in group.specs]
    rise = next(one for one in specs if one.path == "top_off.allowed_salinity_rise")

    assert sign_of(rise, words(ShownUnits(salinity=shown), ".")) == "PSU"
    assert parse(rise, "0.8", words(ShownUnits(salinity=shown), ".")) == 0.8
