"""A test chore is done once all that it asks for was read, at once or one after the other."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.harbour import DEFINITIONS, Answer, Type, items_of

BOTH = """
[[chores]]
tank = "Nook"
kind = "test"
name = "Test both"
first_due = 2026-03-02
rhythm = { after_last_done = "14 days" }
tests = ["phosphate", "alkalinity"]
"""


@pytest.fixture
def at_home(type_: Type, tmp_path: Path) -> Type:
    """The household with a chore that asks for two values."""
    text, file = tmp_path / "home.toml", tmp_path / "home.tankkeeper"
    text.write_text(DEFINITIONS + BOTH, encoding="utf-8")

    def run(*words: str, now: str = "2026-03-02T07:30") -> Answer:
        return type_("--household", str(file), "--now", now, *words)

    assert run("import", str(text)).status == 0
    return run


def read(at_home: Type, value: str, now: str) -> str:
    return at_home("log", "reading", "--tank", "Nook", value, now=now).out


def test_values_of_one_day_are_gathered(at_home: Type) -> None:
    """The second value completes the chore; the first alone did not, nor another tank's."""
    assert "completes" not in read(at_home, "phosphate=0.05", "2026-03-02T08:00")
    assert "completes" not in read(at_home, "nitrite=0", "2026-03-02T08:05")
    assert "completes: Test both" in read(at_home, "alkalinity=8.2", "2026-03-02T08:10")
    done = items_of(at_home("round", "--json", now="2026-03-02T08:15"))["nook.test-both"]
    assert done["state"] == "done"


def test_values_of_the_day_before_or_taken_back_do_not_count(at_home: Type) -> None:
    """A test is one look at the water, and what was taken back was not read."""
    read(at_home, "phosphate=0.05", "2026-03-02T08:00")
    assert "completes" not in read(at_home, "alkalinity=8.2", "2026-03-03T08:00")
    read(at_home, "phosphate=0.05", "2026-03-04T08:00")
    at_home("undo", now="2026-03-04T08:05")
    assert "completes" not in read(at_home, "alkalinity=8.2", "2026-03-04T08:10")


def test_a_tick_with_readings_says_which_other_tests_it_did(type_: Type, tmp_path: Path) -> None:
    """As a logged reading does; the same test is not asked for again."""
    one = BOTH.replace("Test both", "Test one").replace('"phosphate", ', "")
    text, file = tmp_path / "two.toml", tmp_path / "two.tankkeeper"
    text.write_text(DEFINITIONS + BOTH + one, encoding="utf-8")
    at = ("--household", str(file), "--now", "2026-03-02T08:00")
    assert type_(*at, "import", str(text)).status == 0

    values = ("--value", "phosphate=0.05", "--value", "alkalinity=8.2")
    told = type_(*at, "tick", "nook.test-both", *values).out

    assert "Its readings tick Test one, too." in told
    assert items_of(type_(*at, "round", "--json"))["nook.test-one"]["state"] == "done"
    alone = type_(*at, "tick", "nook.test-one").out
    assert "Test one was done already" in alone
