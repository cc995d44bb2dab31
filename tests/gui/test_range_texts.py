"""Own target ranges are typed in one field, and come back as they were typed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.communities import Community
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import OwnRange, ShownUnits
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.target_ranges import range_of
from tankkeeper.gui.forms.range_texts import ranges_in, ranges_text
from tests.builders import a_box, a_household
from tests.gui.conftest import LiveIn
from tests.gui.round_house import small_house
from tests.gui.setting_hands import go
from tests.gui.test_tank_page import desk_of, open_page, tanks, write
from tests.reports.scenes import words_for

WORDS = words_for(a_household())


def test_spans_and_single_ends_are_read() -> None:
    """In the household's own units, with a unit behind the number where it is another."""
    text = "alkalinity 7.5 to 9; Nitrate at most 15 mg/L; pH at least 8"
    assert ranges_in(text, WORDS) == (
        OwnRange("alkalinity", 7.5, 9.0, "dKH"),
        OwnRange("nitrate", None, 15.0, "mg/L"),
        OwnRange("ph", 8.0, None, ""),
    )
    assert ranges_in("  ", WORDS) == ()


@pytest.mark.parametrize(
    ("text", "full"),
    [
        ("KH 7.5-8.5", "alkalinity 7.5 to 8.5"),
        ("alk 7.5 – 8.5", "alkalinity 7.5 to 8.5"),
        ("NO3 2 to 10", "nitrate 2 to 10"),
        ("NO2 at most 0.1; po4 at most 0.1", "nitrite at most 0.1; phosphate at most 0.1"),
        ("nh3 at most 0.1", "ammonia at most 0.1"),
        ("NH4 at most 0.1", "ammonia at most 0.1"),
        ("Ca 400-450; Mg 1250-1400", "calcium 400 to 450; magnesium 1250 to 1400"),
    ],
)
def test_what_keepers_call_a_parameter_for_short_is_told_back_in_full(text: str, full: str) -> None:
    """Common practice, no source."""
    assert ranges_text(ranges_in(text, WORDS), WORDS) == full


def test_a_specific_gravity_is_one_without_a_unit() -> None:
    """At 25 °C over water of 25 °C: 1.0264 is salinity 35 (water.md, from EOS-80)."""
    (own,) = ranges_in("SG 1.0250 to 1.0264", WORDS)

    assert (own.parameter, own.unit) == ("salinity", "practical")
    assert own.high == pytest.approx(35.0, abs=0.1)
    with pytest.raises(UserFault) as twice:
        ranges_in("KH 7 to 9; alkalinity 7 to 8", WORDS)
    assert twice.value.code == "named_twice"


def test_ranges_stand_in_the_units_that_the_household_reads() -> None:
    """8.4 dKH are 3 meq/L: a German degree is 1/2.8 meq/L (DIN 38409-6, from memory)."""
    meq = words_for(replace(a_household(), units=ShownUnits(alkalinity="meq/L")))
    kept = (OwnRange("alkalinity", 8.4, 9.8, "dKH"),)
    text = ranges_text(kept, meq)
    assert text.startswith("alkalinity ")
    low, high = (float(part) for part in text.removeprefix("alkalinity ").split(" to "))
    assert low == pytest.approx(3.0, abs=0.01)
    assert high == pytest.approx(3.5, abs=0.01)
    tank = replace(a_box(), ranges=ranges_in("alkalinity 3 to 3.5", meq))
    assert range_of(tank, PARAMETERS["alkalinity"]).low == pytest.approx(8.4, abs=0.03)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("nitrate", "range_unreadable"),
        ("nitrate 5", "range_unreadable"),
        ("5 to 9", "range_unreadable"),
        ("nitrat 5 to 9", "unknown_parameter"),
        ("nitrate 9 to 5", "ends_reversed"),
        ("nitrate -5 to 9", "out_of_range"),
        ("salinity 5 to 900", "out_of_range"),
        ("nitrate x to 9", "not_a_number"),
        ("nitrate 1 to 2; nitrate 3 to 4", "named_twice"),
    ],
)
def test_what_is_no_range_is_refused(text: str, code: str) -> None:
    """One sentence each."""
    with pytest.raises(UserFault) as refused:
        ranges_in(text, WORDS)
    assert refused.value.code == code


@given(
    st.lists(
        st.tuples(st.sampled_from(["nitrate", "calcium", "alkalinity"]), st.integers(0, 300)),
        unique_by=lambda one: one[0],
    )
)
def test_what_is_read_is_written_and_read_again(rows: list[tuple[str, int]]) -> None:
    """A text comes back in the same words."""
    limits = {name: PARAMETERS[name].limits for name, _ in rows}
    parts = []
    for name, share in rows:
        low, high = limits[name].low, limits[name].high
        parts.append(f"{name} {round(low + share / 600 * (high - low))} to {round(high)}")
    text = "; ".join(parts)
    found = ranges_in(text, WORDS)
    assert ranges_text(found, WORDS) == text
    assert ranges_in(ranges_text(found, WORDS), WORDS) == found


def test_own_ranges_are_set_on_the_page_and_taken_away_again(live_in: LiveIn) -> None:
    """Refused in place, kept in the household, gone with the text, and undone."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "ranges")
    write(hands, "nitrate 9 to 5")
    hands.press("Ctrl+Return")
    assert desk.sheet is not None
    field = desk.sheet.fields["ranges"].typed
    assert field is not None
    assert field.fault == "9 lies above 5. Write the lower end first."
    write(hands, "nitrate 2 to 15; alkalinity at least 8")
    hands.press("Ctrl+Return")
    assert [one.parameter for one in tanks(hands)["reef"].ranges] == ["nitrate", "alkalinity"]

    hands.hit("Ctrl+A")
    hands.press("Delete", "Ctrl+Return")
    assert tanks(hands)["reef"].ranges == ()
    hands.press("Esc", "Ctrl+Z")
    assert len(tanks(hands)["reef"].ranges) == 2
    assert desk_of(hands) is desk


def test_ranges_that_nobody_touched_stay_as_they_were_written(live_in: LiveIn) -> None:
    """Also where the household reads them in another unit."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "ranges")
    write(hands, "alkalinity 7.77 to 9.31")
    hands.press("Ctrl+Return", "Esc")
    kept = tanks(hands)["reef"].ranges
    log = len(hands.log())
    hands.press("F2", "Esc")
    assert tanks(hands)["reef"].ranges == kept
    assert len(hands.log()) == log


def test_equal_ends_are_no_range_to_type_but_one_from_a_file_stands(live_in: LiveIn) -> None:
    """The tank file allows them; the page keeps what it did not make, and refuses it anew."""
    with pytest.raises(UserFault) as refused:
        ranges_in("alkalinity 8 to 8", WORDS)
    assert refused.value.code == "ends_equal"
    small = small_house()
    pinned = replace(small.tanks[0], ranges=(OwnRange("alkalinity", 8.0, 8.0, "dKH"),))
    hands = live_in(replace(small, tanks=(pinned, *small.tanks[1:])))
    desk = open_page(hands)
    go(hands, desk, "name")
    write(hands, "Ledge")
    hands.press("Ctrl+Return")
    assert tanks(hands)["reef"].name == "Ledge"
    assert tanks(hands)["reef"].ranges == pinned.ranges
    go(hands, desk, "ranges")
    write(hands, "alkalinity 9 to 9")
    hands.press("Ctrl+Return")
    assert desk.sheet is not None
    assert desk.sheet.fields["ranges"].fault == (
        "9 to 9 leaves no room. Write a lower and a higher end."
    )


def test_a_refused_end_is_called_by_its_parameter(live_in: LiveIn) -> None:
    """Not by the long name of the field."""
    hands = live_in()
    desk = open_page(hands)
    go(hands, desk, "ranges")
    write(hands, "alkalinity -5 to 9")
    hands.press("Ctrl+Return")
    assert desk.sheet is not None
    told = desk.sheet.fields["ranges"].fault.replace("\u00a0", " ")
    assert told == "Alkalinity −5 dKH is not possible. It can be from 0 to 50 dKH."


def test_beside_own_ranges_stands_what_holds_otherwise(live_in: LiveIn) -> None:
    """It follows what lives in the tank, and leaves out what has a range of its own."""
    hands = live_in()
    desk = open_page(hands)
    assert desk.sheet is not None
    field, lives = desk.sheet.fields["ranges"], desk.sheet.fields["community"]
    assert field._note.endswith("Otherwise none holds: what lives in it is not said.")
    assert lives.choice is not None
    lives.choice.setCurrentIndex(lives._values.index(Community.LARGE_POLYP_STONY))
    told = field._note.replace("\u00a0", " ").replace("\u2060", "")
    assert "temperature 24.5 to 26.5 °C, salinity 34 to 35.5 PSU, pH 8 to 8.4" in told
    assert "ammonia at most 0.25 mg/L" in told
    assert "alkalinity 7.5 to 10 dKH, calcium 400 to 450 mg/L" in told
    lives.choice.setCurrentIndex(lives._values.index(Community.SMALL_POLYP_STONY))
    go(hands, desk, "ranges")
    write(hands, "calcium 410 to 440")
    told = field._note.replace("\u00a0", " ")
    assert "alkalinity 7 to 9 dKH" in told
    assert "calcium" not in told.partition("Otherwise")[2]
    assert field.typed is not None
    assert field.typed.field.accessibleDescription() == field._note
