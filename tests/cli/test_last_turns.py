"""The last turn of a chore that comes so many times stays until it is done or skipped."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.harbour import DEFINITIONS, Answer, Type, items_of

# As it comes with new animals, and as it stands in households that have it already.
AFTER = """
[[chores]]
tank = "Nook"
kind = "test"
name = "Test after adding: Goby"
rhythm = { calendar = "FREQ=DAILY;INTERVAL=3;COUNT=2", start = 2026-03-04 }
tests = ["ammonia", "nitrite"]
late_days = 1
ended = 2026-03-08
"""
ID = "nook.test-after-adding-goby"
VALUES = ("--value", "ammonia=0", "--value", "nitrite=0")


@pytest.fixture
def at_home(type_: Type, tmp_path: Path) -> Type:
    """The household with a test of which the first turn was done on its day."""
    text, file = tmp_path / "home.toml", tmp_path / "home.tankkeeper"
    text.write_text(DEFINITIONS + AFTER, encoding="utf-8")

    def run(*words: str, now: str = "2026-03-09T07:30") -> Answer:
        return type_("--household", str(file), "--now", now, *words)

    assert run("import", str(text), now="2026-03-02T07:30").status == 0
    assert run("tick", ID, *VALUES, now="2026-03-04T07:30").status == 0
    return run


def _state(at_home: Type, now: str) -> str | None:
    found = items_of(at_home("round", "--json", now=now)).get(ID)
    return None if found is None else str(found["state"])


def test_it_is_overdue_after_its_last_day(at_home: Type) -> None:
    """The household's day ends at four; then it is late, and stays so."""
    assert _state(at_home, "2026-03-09T03:59") == "due"
    assert _state(at_home, "2026-03-09T04:01") == "overdue"
    assert "1 day overdue" in at_home("round", now="2026-03-09T04:01").out
    assert _state(at_home, "2026-03-20T12:00") == "overdue"
    assert "Test after adding: Goby" in at_home("ahead", now="2026-03-09T07:00").out


@pytest.mark.parametrize("words", [("tick", ID, *VALUES), ("skip", ID)])
def test_it_is_gone_once_it_was_done_or_skipped(at_home: Type, words: tuple[str, ...]) -> None:
    """It stands closed on that day and comes no more; taken back it is overdue again."""
    assert at_home(*words, now="2026-03-09T07:30").status == 0
    assert _state(at_home, "2026-03-09T08:00") in ("done", "skipped")
    assert _state(at_home, "2026-03-10T08:00") is None
    assert "Goby" not in at_home("ahead", now="2026-03-10T08:00").out
    assert at_home("undo", now="2026-03-10T08:00").status == 0
    assert _state(at_home, "2026-03-10T08:01") == "overdue"


def test_readings_that_are_logged_do_it(at_home: Type) -> None:
    """As they do any other test that is late."""
    logged = at_home("log", "reading", "--tank", "Nook", "ammonia=0", "nitrite=0")
    assert "completes: Test after adding: Goby" in logged.out
    assert _state(at_home, "2026-03-10T08:00") is None
