"""A reading that left its range brings its test sooner, in whatever the program is asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.harbour import DEFINITIONS, Answer, Type, items_of

# Soft corals: nitrate 2 to 20 mg/L (common practice, no source).
HOME = DEFINITIONS.replace(
    'name = "Nook"\nroom', 'name = "Nook"\ncommunity = "soft coral"\nroom'
).replace(
    'rhythm = { after_last_done = "14 days" }\ntests',
    'rhythm = { after_last_done = "14 days" }\nlate_days = 2\ntests',
)
ID = "nook.test-nitrate"


@pytest.fixture
def at_home(type_: Type, tmp_path: Path) -> Type:
    """The household in which nitrate was inside its range on 2 March."""
    text, file = tmp_path / "home.toml", tmp_path / "home.tankkeeper"
    text.write_text(HOME, encoding="utf-8")

    def run(*words: str, now: str) -> Answer:
        return type_("--household", str(file), "--now", now, *words)

    assert run("import", str(text), now="2026-03-02T07:30").status == 0
    assert run("tick", ID, "--value", "nitrate=9", now="2026-03-02T07:35").status == 0
    return run


def _target(at_home: Type, now: str) -> str:
    """Return the day on which the test stands ahead, or in the round."""
    ahead = at_home("ahead", "--to", "2026-04-30", "--json", now=now)
    found = [one for one in ahead.document["items"] if one["chore"] == ID]
    return str(found[0]["target"])


def test_it_is_told_at_once_stands_in_all_lists_and_goes_with_an_undo(at_home: Type) -> None:
    """Every 14 days it would come on the 30th; half of them after the 16th is the 23rd."""
    told = at_home("tick", ID, "--value", "nitrate=31", now="2026-03-16T07:30")
    assert told.status == 0
    assert "Next on Mon 23" in told.out
    assert _target(at_home, "2026-03-16T08:00") == "2026-03-23"
    assert ID not in items_of(at_home("round", "--json", now="2026-03-22T08:00"))
    item = items_of(at_home("round", "--json", now="2026-03-23T08:00"))[ID]
    assert (item["target"], item["latest"], item["state"]) == ("2026-03-23", "2026-03-25", "due")
    assert "It comes sooner this time, after 7 days, since nitrate was 31 mg/L" in item["reason"]
    assert at_home("undo", now="2026-03-23T08:01").status == 0
    assert (
        items_of(at_home("round", "--json", now="2026-03-23T08:02"))[ID]["target"] == "2026-03-16"
    )


def test_a_correction_of_the_reading_gives_the_day_back(at_home: Type) -> None:
    """It had been 13 mg/L, read off by another scale."""
    assert at_home("tick", ID, "--value", "nitrate=31", now="2026-03-16T07:30").status == 0
    assert at_home("undo", now="2026-03-17T08:00").status == 0
    done = at_home(
        "tick", ID, "--value", "nitrate=13", "--at", "2026-03-16T07:30", now="2026-03-17T08:01"
    )
    assert done.status == 0
    assert _target(at_home, "2026-03-17T08:02") == "2026-03-30"


def test_a_reading_that_was_only_logged_brings_it_too(at_home: Type) -> None:
    """On the 4th, so that it comes 7 days after that and not on the 16th."""
    words = ("log", "reading", "--tank", "Nook", "nitrate=31")
    told = at_home(*words, now="2026-03-04T07:30")
    assert told.status == 0
    assert _target(at_home, "2026-03-04T08:00") == "2026-03-11"
