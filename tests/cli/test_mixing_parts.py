"""Salt water mixed in parts, from the command line: told, kept, exported, taken back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.harbour import DEFINITIONS, Type, items_of

MIX = "mix-salt-water"
NEXT_DAY = "2026-03-03T07:30"


def left(at_house: Type) -> object:
    """Return the litres that the open mixing still takes."""
    items = at_house("round", "--json").document["items"]
    return [one["amount"]["value"] for one in items if "mix" in one["id"] and one["state"] == "due"]


def test_a_part_is_kept_and_the_rest_stays_to_mix(at_house: Type) -> None:
    """15 L of 40 L, then the 25 L that are left; 38 g of salt a litre by the yield."""
    item = f"house.{MIX}"
    told = at_house("tick", item, "--litres", "15", "--by", "Jonas")
    assert (told.status, told.err) == (0, "")
    assert "Partly done: Mix salt water, 15 L, 570 g" in told.out
    assert "Mix salt water stays open. 25 L is left to mix." in told.out
    assert left(at_house) == [25]
    newest = at_house("logbook", "--json").document["entries"][0]
    assert (newest["by"], "Partly done" in newest["text"]) == ("Jonas", True)

    told = at_house("tick", item)
    assert "Done: Mix salt water, 25 L, 950 g" in told.out
    assert left(at_house) == []


def test_a_part_before_the_window_names_the_turn_of_which_it_is_one(at_house: Type) -> None:
    """Mixed whole, and some more the day after: nothing is open, the next turn takes the rest."""
    item = f"house.{MIX}"
    assert at_house("tick", item).status == 0

    told = at_house("tick", item, "--litres", "10", now=NEXT_DAY)

    assert "stays open" not in told.out
    assert re.search(
        r"It is a part of the turn of [^.]+\. 30 L is left to mix\.",
        told.out.replace("\u00a0", " "),
    )
    ahead = at_house("ahead", "--from", "2026-03-03", "--to", "2026-03-31", "--json", now=NEXT_DAY)
    amounts = [one["amount"]["value"] for one in ahead.document["items"] if MIX in one["id"]]
    assert amounts[0] == 30


def test_undo_and_redo_of_a_part(at_house: Type) -> None:
    """Taken back all is to be mixed, done again the rest."""
    at_house("tick", f"house.{MIX}", "--litres", "15")
    at_house("undo")
    assert left(at_house) == [40]
    at_house("redo")
    assert left(at_house) == [25]


@pytest.mark.parametrize(("litres", "rest"), [("36", []), ("35.9", [4.1])])
def test_less_than_a_tenth_is_no_rest(at_house: Type, litres: str, rest: list[float]) -> None:
    """Of 40 L: 36 L are nine tenths."""
    at_house("tick", f"house.{MIX}", "--litres", litres)
    assert left(at_house) == rest


def test_a_part_may_be_said(at_house: Type) -> None:
    """38 L would be about all; who says so has 2 L left to mix. Without litres nobody knows."""
    refused = at_house("tick", f"house.{MIX}", "--part")
    assert refused.status != 0
    at_house("tick", f"house.{MIX}", "--litres", "38", "--part")
    assert left(at_house) == [2]


def test_a_part_survives_export_and_import(at_house: Type, type_: Type, tmp_path: Path) -> None:
    """The contract of the file is kept: a done turn with its litres."""
    at_house("tick", f"house.{MIX}", "--litres", "15")
    file, other = tmp_path / "house.toml", tmp_path / "other.tankkeeper"
    assert at_house("export", "all", str(file)).status == 0
    assert "litres = 15" in file.read_text(encoding="utf-8")
    now = "2026-03-02T08:00"
    came = type_("--household", str(other), "--now", now, "import", str(file))
    assert came.status == 0, came.err
    again = type_("--household", str(other), "--now", now, "round", "--json")
    item = items_of(again)[f"house.{MIX}"]
    assert item["amount"]["value"] == 25


def test_parts_of_some_days_add_up(at_house: Type) -> None:
    """15 L and, four days later, 5 L of 40 L: 20 L are left."""
    at_house("tick", f"house.{MIX}")
    at_house("tick", f"house.{MIX}", "--litres", "15", now="2026-03-16T08:00")
    at_house("tick", f"house.{MIX}", "--litres", "5", now="2026-03-20T08:00")
    items = at_house("round", "--json", now="2026-03-24T08:00").document["items"]
    open_turns = [one for one in items if MIX in one["id"]]
    assert [one["amount"]["value"] for one in open_turns] == [20]
    # Fourteen days after it was done last, which the parts since do not hide.
    assert [one["target"] for one in open_turns] == ["2026-03-16"]


@pytest.mark.parametrize(
    ("item", "name"), [(f"house.{MIX}", "Mix salt water"), ("nook.top-off", "Top off")]
)
@pytest.mark.parametrize("more", [(), ("--as-proposed",)])
def test_a_part_without_litres_is_told_only_what_works(
    at_house: Type, item: str, name: str, more: tuple[str, ...]
) -> None:
    """What is proposed is the whole: with --part it is not taken, and so is not named."""
    answer = at_house("tick", item, "--part", *more)

    assert (answer.status, answer.out) == (1, "")
    assert answer.err.strip() == f"{name} asks for litres. Say how much with --litres."


def test_more_than_can_be_stored_is_told(type_: Type, house: Path) -> None:
    """60 L into 50 L; the second time 20 L beside the 35 L that stand there."""
    text = house.with_name("store.toml")
    told = "grams_per_litre = 38.0\n"
    text.write_text(DEFINITIONS.replace(told, f"{told}store_litres = 50\n"), encoding="utf-8")
    at = ("--household", str(house.with_name("other.tankkeeper")), "--now", "2026-03-02T07:30")
    came = type_(*at, "import", str(text))
    assert came.status == 0, came.err
    told = type_(*at, "tick", f"house.{MIX}", "--litres", "60")
    assert "60 L is more than the 50 L that can be stored." in told.err
    assert "take it back with: tankkeeper undo" in told.err
    type_(*at, "undo")
    type_(*at, "tick", f"house.{MIX}", "--litres", "35", "--part")
    told = type_(*at, "tick", f"house.{MIX}", "--litres", "20")
    assert "20 L is too much: 50 L can be stored, and 35 L of it is mixed already." in told.err


def test_mixed_before_its_window_it_is_told_as_beside_its_turns(type_: Type, house: Path) -> None:
    """On Monday, of a turn of Saturday: 15 L are no part of it, and today's change lacks 40 L."""
    text = house.with_name("saturdays.toml")
    counted = 'first_due = 2026-03-02\nrhythm = { after_last_done = "14 days" }'
    saturdays = 'rhythm = { calendar = "FREQ=WEEKLY;BYDAY=SA", start = 2026-03-07 }'
    mixing = DEFINITIONS.partition('kind = "mix-salt-water"')
    text.write_text(
        f"{mixing[0]}{mixing[1]}{mixing[2].replace(counted, saturdays, 1)}", encoding="utf-8"
    )
    at = ("--household", str(house.with_name("other.tankkeeper")), "--now", "2026-03-02T07:30")
    came = type_(*at, "import", str(text))
    assert came.status == 0, came.err

    lacking = type_(*at, "tick", f"house.{MIX}")
    type_(*at, "undo")
    told = type_(*at, "tick", f"house.{MIX}", "--litres", "15")

    assert (lacking.status, lacking.err) == (0, "")
    assert lacking.out.startswith("Done: Mix salt water, 40 L, 1520 g. Kept beside its turns. ")
    assert (told.status, told.err) == (0, "")
    assert told.out.startswith(
        "Done: Mix salt water, 15 L, 570 g. Kept beside its turns. "
        "That of Saturday 7 is still to come. Entry "
    )
