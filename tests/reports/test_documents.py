"""The JSON documents: their fields are a contract with scripts."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.communities import Community
from tankkeeper.core.household import OwnRange, ShownUnits, TopOffLimits
from tankkeeper.core.logbook import Readings, ReservoirCheck, Revoke, TopOff
from tankkeeper.core.parameters import PARAMETERS, parse_reading
from tankkeeper.core.state import Item
from tankkeeper.core.target_ranges import range_of
from tankkeeper.reports.documents import (
    entry_fields,
    item_fields,
    logbook_document,
    number,
    round_document,
    tank_fields,
    tanks_document,
    totals,
)
from tankkeeper.reports.words import Words
from tests.builders import a_box, a_household, an_entry, by_rule
from tests.reports.scenes import (
    PEOPLE,
    TODAY,
    change,
    chore,
    fills,
    item,
    items,
    nook,
    state,
    top_off,
)

ITEM_FIELDS = [
    "id",
    "chore",
    "kind",
    "name",
    "tank",
    "state",
    "slot",
    "due_at",
    "earliest",
    "target",
    "latest",
    "missed",
    "amount",
    "minutes",
    "who",
    "asks",
    "reason",
    "caution",
]
TANK_FIELDS = [
    "name",
    "stage",
    "water_l",
    "loss_l_per_day",
    "flag",
    "mm_below_mark",
    "salinity",
    "hours_to_limit",
    "reservoir_days",
    "readings",
]
TANK = nook(allowed_drop_mm=10.0, allowed_salinity_rise=0.5)


def a_change() -> tuple[Item, Words]:
    """Return an overdue change of 40 L."""
    return item(change(), [an_entry(1, "2026-02-24", done="it")])


def test_an_item_has_exactly_the_fields_of_the_contract() -> None:
    """In their order, with ids and names where they belong."""
    row, words = a_change()

    fields = item_fields(row, words)

    assert list(fields) == ITEM_FIELDS
    assert json.loads(json.dumps(fields)) == fields
    kept = {name: fields[name] for name in ITEM_FIELDS if name not in ("reason", "caution")}
    assert kept == {
        "id": "it@after:e1",
        "chore": "it",
        "kind": "water-change",
        "name": "Change water",
        "tank": "Nook",
        "state": "overdue",
        "slot": None,
        "due_at": None,
        "earliest": "2026-03-10",
        "target": "2026-03-10",
        "latest": "2026-03-10",
        "missed": 0,
        "amount": {"value": 40, "low": 40, "high": 40, "unit": "L"},
        "minutes": 25,
        "who": ["Jonas"],
        "asks": ["litres", "salinity"],
    }
    assert "its day was Tue 10. 40 L is 46 % of the 86 ± 9 L" in str(fields["reason"])
    assert str(fields["caution"]).startswith("Switch off and unplug the heater")


def test_tests_are_counted_and_household_chores_have_no_tank() -> None:
    """An exact amount has low and high equal to its value."""
    three = ("alkalinity", "calcium", "ph")
    row, words = item(chore(ChoreKind.TEST, "Test", tests=three, tank=None))

    fields = item_fields(row, words)

    assert fields["amount"] == {"value": 3, "low": 3, "high": 3, "unit": "tests"}
    assert fields["asks"] == list(three)
    assert fields["tank"] is None


def test_a_slot_is_told_with_its_moment() -> None:
    """Moments carry the offset of the household's zone."""
    feeding = chore(rhythm=by_rule("FREQ=DAILY", "2026-03-12", (time(18),)))
    row, words = item(feeding)

    fields = item_fields(row, words)

    assert (fields["slot"], fields["due_at"]) == ("18:00", "2026-03-12T18:00:00+01:00")
    assert (fields["amount"], fields["caution"] is None) == (None, False)


def test_units_of_the_screen_do_not_change_a_document() -> None:
    """Quantities are always in L, g, degC, practical salinity, mg/L, dKH."""
    gallons = ShownUnits("US gal", "degF", "sg 25/25", "meq/L")
    folded = state(top_off(), fills("2026-03-09"), tanks=(TANK,))
    other = replace(folded.household, units=gallons)
    row, words = item(top_off(), fills("2026-03-09"), tanks=(TANK,))

    shown = item_fields(row, Words(other, words.moment))

    assert shown["amount"] == item_fields(row, words)["amount"]
    assert "US gal" in str(shown["reason"])


def test_totals_count_what_is_overdue_or_due() -> None:
    """Fresh water to add and fresh water to mix stand apart; what may wait is not counted."""
    overdue, words = a_change()
    adding, _ = item(top_off(minutes=3), fills("2026-03-05"), tanks=(TANK,))
    waiting, _ = item(change(late_days=4, early_days=2), [an_entry(1, "2026-02-27", done="it")])
    coming = items(change(), [an_entry(1, "2026-03-10", done="it")])[0][-1]

    found = totals([overdue, adding, waiting, coming])

    assert adding.amount is not None
    assert found == {
        "minutes": 28,
        "fresh_water_l": number(adding.amount.value),
        "fresh_water_to_mix_l": 0,
        "salt_water_l": 40,
    }
    document = round_document([overdue], words)
    assert list(document) == ["household", "now", "totals", "items"]
    assert document["now"] == "2026-03-12T07:04:00+01:00"


def test_a_tank_has_exactly_the_fields_of_the_contract() -> None:
    """With the span of each estimate, and null for what is not known."""
    folded = state(top_off(), fills("2026-03-09"), tanks=(TANK,))
    words = Words(folded.household, folded.moment)

    fields = tank_fields(folded, TANK, words)

    assert list(fields) == TANK_FIELDS
    assert (fields["name"], fields["stage"], fields["water_l"]) == ("Nook", "running", 86.4)
    loss = fields["loss_l_per_day"]
    assert isinstance(loss, dict)
    assert loss["low"] < loss["value"] < loss["high"]
    assert fields["reservoir_days"] is None
    assert fields["readings"] == {}
    assert list(tanks_document(folded, words, [TANK])) == ["household", "now", "tanks"]


def test_a_tank_of_which_nothing_is_known_has_null_for_every_figure() -> None:
    """Null, never zero."""
    folded = state(top_off())
    words = Words(folded.household, folded.moment)

    fields = tank_fields(folded, a_box("Elsewhere"), words)

    assert {name: fields[name] for name in TANK_FIELDS[2:9]} == dict.fromkeys(TANK_FIELDS[2:9])


def test_a_reservoir_lasts_days_with_a_span() -> None:
    """And the level stands at the mark meanwhile."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=25.0))
    log = [an_entry(1, "2026-03-10", ReservoirCheck(), tank="nook", done="it")]
    folded = state(top_off(kind=ChoreKind.RESERVOIR), log, tanks=(tank,))

    days = tank_fields(folded, tank, Words(folded.household, folded.moment))["reservoir_days"]

    assert isinstance(days, dict)
    assert 0 < days["low"] < days["value"] < days["high"]


def test_readings_carry_the_range_of_the_tank_else_of_its_community() -> None:
    """3 meq/L are 8.41 dKH (molar masses of CaO, CIAAW)."""
    own = OwnRange("alkalinity", 3.0, None, "meq/L")
    tank = replace(TANK, community=Community.SOFT_CORAL, ranges=(own,))
    values = (parse_reading("alkalinity", "2.8 meq/L"), parse_reading("nitrate", "12"))
    log = [an_entry(1, "2026-03-10", Readings(values), tank="nook")]
    folded = state(top_off(), log, tanks=(tank,))

    readings = tank_fields(folded, tank, Words(folded.household, folded.moment))["readings"]

    assert isinstance(readings, dict)
    assert readings["nitrate"] == {
        "value": 12,
        "unit": "mg/L",
        "at": "2026-03-10T12:00:00+01:00",
        "low": 2,
        "high": 20,
    }
    assert readings["alkalinity"]["value"] == pytest.approx(7.85, abs=0.01)
    assert readings["alkalinity"]["unit"] == "dKH"
    assert readings["alkalinity"]["low"] == pytest.approx(8.41, abs=0.01)
    assert readings["alkalinity"]["high"] is None
    assert range_of(TANK, PARAMETERS["nitrate"]).high is None


def test_entries_have_the_fields_of_the_contract() -> None:
    """Names instead of ids, except for the entry itself."""
    home = replace(a_household(), people=PEOPLE, tanks=(TANK,), chores=(top_off(),))
    words = Words(home, state(top_off()).moment)
    entry = replace(an_entry(1, TODAY, TopOff(2.4), tank="nook", at=time(6)), by="ilse")
    undo = an_entry(2, TODAY, Revoke("e1"), at=time(6))

    assert entry_fields(entry, True, words) == {
        "id": "e1",
        "at": "2026-03-12T06:00:00+01:00",
        "by": "Ilse",
        "kind": "top-off",
        "tank": "Nook",
        "text": "Topped off, 2.4 L to the mark",
        "revoked": True,
    }
    document = logbook_document([(undo, False), (entry, True)], words, {"e1": entry})
    entries = document["entries"]
    assert isinstance(entries, list)
    assert entries[0]["text"] == "Taken back: Topped off, 2.4 L to the mark"
    assert (entries[0]["by"], entries[0]["tank"]) == (None, None)


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.1 + 0.2, 0.3), (40.0, 40), (443.2178123, 443.218), (1e-9, 1e-9), (None, None), (0.0, 0)],
)
def test_numbers_carry_six_digits(value: float | None, said: float | None) -> None:
    """No digits that come from arithmetic alone."""
    assert number(value) == said
