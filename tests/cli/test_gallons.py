"""A household in US gallons at the command line: its words in gallons, its numbers as written.

A US gallon is 3.785411784 L by definition (NIST Special Publication 811, 2008, appendix B).
"""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.harbour import Type

# "mg/L" is what the trade calls a concentration, and "--litres" an option, in every household.
METRIC = re.compile(
    r"(?<![\w/-])(?:L|mm|cm|kg|°C|(?i:litre|liter|millimetre|centimetre|kilogram)s?)(?![\w])"
)


@pytest.fixture
def in_gallons(at_house: Type, house: Path) -> Type:
    """Types a command at the household, which counts in gallons, inches and °F."""
    with closing(sqlite3.connect(house)) as file, file:
        file.execute("UPDATE household SET units_volume = 'US gal', units_temperature = 'degF'")
    return at_house


@pytest.mark.parametrize(
    "words",
    [
        ("round",),
        ("round", "--why"),
        ("ahead", "--from", "2026-03-02", "--to", "2026-03-20"),
        ("tanks",),
    ],
)
def test_what_is_told_has_no_metric_unit(in_gallons: Type, words: tuple[str, ...]) -> None:
    """Neither amounts nor reasons."""
    told = in_gallons(*words)
    assert told.status == 0
    assert words[0] == "ahead" or "gal" in told.out
    assert [line for line in told.out.splitlines() if METRIC.search(line)] == []


def test_what_is_missing_names_gallons_and_how_to_write_them(in_gallons: Type) -> None:
    """A bare number is litres there, as in every household."""
    item = next(
        one
        for one in in_gallons("round", "--json").document["items"]
        if "litres" in one["asks"] and one["state"] in ("due", "overdue")
    )
    refused = in_gallons("tick", item["id"])
    assert refused.status == 1
    assert 'such as --litres "5 US gal"' in refused.err
    assert not METRIC.search(refused.err)


def test_too_much_is_refused_in_gallons(in_gallons: Type) -> None:
    """5000 L are 5000 / 3.785 = 1321 gallons."""
    for words in (("--litres", "5000"), ("--litres", "1321 US gal")):
        refused = in_gallons("log", "top-off", "--tank", "Nook", *words)
        assert (refused.status, refused.out) == (1, "")
        assert re.match(r"1321 US gal is not possible\. It can be from ", refused.err)
        assert not METRIC.search(refused.err)


def test_what_was_written_down_is_told_in_gallons_and_kept_in_litres(in_gallons: Type) -> None:
    """2 / 3.785 = 0.53."""
    told = in_gallons("log", "top-off", "--tank", "Nook", "--litres", "2")
    assert told.status == 0
    assert "0.53 US gal" in told.out
    assert not METRIC.search(told.out + told.err)
