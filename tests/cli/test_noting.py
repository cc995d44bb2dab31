"""Writing down from the command line what happened outside the round."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tankkeeper.reports.numbers import plain
from tests.cli.harbour import NOW, Type, items_of


def test_a_top_off_completes_the_open_chore(at_house: Type) -> None:
    """Filled to the mark: the level stands at the mark again, and the chore is done."""
    answer = at_house("log", "top-off", "--tank", "Nook", "--litres", "2")
    assert (answer.status, answer.err) == (0, "")
    assert "completes: Top off" in answer.out
    assert items_of(at_house("round", "--json"))["nook.top-off"]["state"] == "done"


def test_a_part_leaves_the_chore_open(at_house: Type) -> None:
    """With --part the mark was not reached: half a litre less is missing, and it stays due."""
    assert at_house("log", "top-off", "--tank", "Nook", "--litres", "0.5", "--part").status == 0
    item = items_of(at_house("round", "--json"))["nook.top-off"]
    assert item["state"] in ("due", "overdue")
    assert item["amount"]["value"] == pytest.approx(1.51, abs=0.15)


def test_a_part_tells_its_rest_as_the_round_asks_for_it_when_it_comes(
    type_: Type, house: Path
) -> None:
    """One of more names what stands open, today's of what is spread what is due tomorrow."""
    at = ("--household", str(house), "--now")
    part = ("log", "top-off", "--tank", "Nook", "--litres", "1", "--part")
    assert re.search(r"The rest, about \S+ L, stands open\.", plain(type_(*at, NOW, *part).out))

    told = plain(type_(*at, "2026-03-28T07:30", "tick", "nook.top-off", "--as-proposed").out)
    rest = re.search(r"The rest, about (\S+ L) with what evaporates until then, is due tom", told)
    assert rest is not None
    # The round of this household is at 07:00.
    row = next(
        one
        for one in plain(type_(*at, "2026-03-29T07:00", "round").out).splitlines()
        if "nook.top-off" in one
    )
    assert f"  {rest[1]} fresh water" in row


def test_a_reservoir_is_looked_at_or_filled(at_house: Type) -> None:
    """Litres left, none included, or litres added until it was full."""
    assert at_house("log", "reservoir", "--tank", "Skerry", "--left", "0").status == 0
    assert at_house("log", "reservoir", "--tank", "Skerry", "--fill", "25").status == 0
    too_much = at_house("log", "reservoir", "--tank", "Skerry", "--fill", "26")
    assert too_much.status == 1
    assert "25" in too_much.err
    assert at_house("log", "reservoir", "--tank", "Nook", "--left", "3").status == 1


def test_a_reservoir_needs_one_of_two_options(at_house: Type) -> None:
    """Neither and both are wrong usage."""
    assert at_house("log", "reservoir", "--tank", "Skerry").status == 2
    both = at_house("log", "reservoir", "--tank", "Skerry", "--left", "1", "--fill", "2")
    assert both.status == 2


def test_a_water_change_completes_the_open_one(at_house: Type) -> None:
    """Litres and salinity are needed; the chore is done."""
    words = ("log", "water-change", "--tank", "Skerry", "--litres", "40")
    assert at_house(*words).status == 2
    answer = at_house(*words, "--salinity", "35.1", "--added", "41")
    assert answer.status == 0
    assert "completes: Change water" in answer.out
    assert items_of(at_house("round", "--json"))["skerry.change-water"]["state"] == "done"


@pytest.mark.parametrize(
    ("litres", "ticks", "state"),
    [
        ("15", (), "due"),
        ("15", ("--ticks", "skerry.change-water"), "done"),
        ("40", ("--ticks", "nothing"), "due"),
    ],
)
def test_what_a_change_ticks_can_be_said(
    at_house: Type, litres: str, ticks: tuple[str, ...], state: str
) -> None:
    """15 L is less than half of the 40 L that it takes."""
    words = ("log", "water-change", "--tank", "Skerry", "--litres", litres, "--salinity", "35")
    answer = at_house(*words, *ticks)

    assert answer.status == 0
    assert ("completes" in answer.out) is (state == "done")
    is_told = not ticks and litres == "15"
    assert ("say it again with --ticks skerry.change-water@first" in answer.err) is is_told
    assert items_of(at_house("round", "--json"))["skerry.change-water"]["state"] == state


@pytest.mark.parametrize(
    "other", ["skerry.change", "nook.wipe-the-glass", "skerry.dose-bicarbonate"]
)
def test_a_change_ticks_no_item_that_is_not_open_on_its_tank(at_house: Type, other: str) -> None:
    """One that nobody knows, of another tank, of another kind: nothing is kept then."""
    words = ("log", "water-change", "--tank", "Skerry", "--litres", "40", "--salinity", "35")
    assert at_house(*words, "--ticks", other).status == 1
    assert at_house("logbook", "--tank", "Skerry", "--json").document["entries"] == []


def test_readings_take_their_units(at_house: Type) -> None:
    """Values are kept in their stored unit; the test that asked for one of them is done.

    77 degF is (77 - 32) / 1.8 = 25 degC. 2.8 meq/L is 2.8 x 2.804 = 7.85 dKH (1 dKH is 10 mg/L
    CaO, CaO 56.077 g/mol with two equivalents).
    """
    answer = at_house(
        "log", "reading", "--tank", "Nook",
        "nitrate=12mg/L", "temperature=77degF", "alkalinity=2.8meq/L", "salinity=35.2",
    )  # fmt: skip
    assert answer.status == 0, answer.err
    assert "completes: Test nitrate" in answer.out
    readings = at_house("tanks", "--json").document["tanks"][0]["readings"]
    assert readings["nitrate"]["value"] == 12
    assert readings["temperature"]["value"] == pytest.approx(25.0)
    assert readings["temperature"]["unit"] == "degC"
    assert readings["alkalinity"]["value"] == pytest.approx(7.85, abs=0.01)
    assert readings["alkalinity"]["unit"] == "dKH"
    assert readings["salinity"]["at"] == "2026-03-02T07:30:00+01:00"


@pytest.mark.parametrize(
    ("typed", "asked"),
    [
        (
            ("log", "water-change", "--tank", "Skerry", "--litres", "200", "--salinity", "35"),
            "200 L is far more than the 40 L proposed. Keep it if so much was poured in.",
        ),
        (
            ("tick", "skerry.change-water", "--litres", "200", "--salinity", "35"),
            "200 L is far more than the 40 L proposed. Keep it if so much was poured in.",
        ),
        (
            ("log", "water-change", "--tank", "Skerry", "--litres", "38", "--salinity", "3.5"),
            "Salinity 3.5 PSU is unlike the usual 25.0 PSU to 40.0 PSU. Keep it if it was read so.",
        ),
        (
            ("log", "top-off", "--tank", "Nook", "--litres", "12"),
            "12 L is far more than the 2.1 L proposed. Keep it if so much was poured in.",
        ),
        (
            ("tick", "skerry.dose-bicarbonate", "--grams", "120"),
            "120 g is far more than the 12 g stated. Keep it if so much was dosed.",
        ),
    ],
)
def test_an_unusual_amount_is_kept_and_asked_about(
    at_house: Type, typed: tuple[str, ...], asked: str
) -> None:
    """As the form of the window asks: status 0, one question beside it, with the way back."""
    answer = at_house(*typed)

    assert answer.status == 0
    said = plain(answer.err)
    assert said.count(asked) == 1
    assert "take it back with: tankkeeper undo" in said


def test_a_usual_amount_is_asked_nothing(at_house: Type) -> None:
    """What was proposed, and a little more than that, of water that is mixed."""
    at_house("tick", "house.mix-salt-water", "--at", "2026-02-28")
    words = ("log", "water-change", "--tank", "Skerry", "--litres", "45", "--salinity", "35")
    assert at_house(*words).err == ""


def test_an_unusual_value_is_kept_and_asked_about(at_house: Type) -> None:
    """Salinity 22 can be, but lies outside the usual 25 to 40: status 0, a question beside it."""
    answer = at_house("log", "reading", "--tank", "Nook", "salinity=22")
    assert answer.status == 0
    assert "unlike the usual" in answer.err
    assert "tankkeeper undo" in answer.err
    usual = at_house("log", "reading", "--tank", "Nook", "salinity=34.8")
    assert (usual.status, usual.err) == (0, "")


def test_readings_take_what_keepers_call_them_for_short(at_house: Type) -> None:
    """Told back in full; the test of nitrate is completed. SG 1.0264 at 25 °C is salinity 35."""
    answer = at_house("log", "reading", "--tank", "Nook", "KH=8", "NO3=12", "sg=1.0264")
    twice = at_house("log", "reading", "--tank", "Nook", "alk=8", "KH=8")
    readings = at_house("tanks", "--json").document["tanks"][0]["readings"]

    assert answer.status == 0, answer.err
    assert plain(answer.out).startswith("Read alkalinity 8 dKH, nitrate 12 mg/L, salinity 1.0264")
    assert "completes: Test nitrate" in answer.out
    assert readings["salinity"]["value"] == pytest.approx(35.0, abs=0.1)
    assert twice.status == 1
    assert "alkalinity" in twice.err


def test_a_reading_outside_its_range_is_told_with_that_range(type_: Type, tmp_path: Path) -> None:
    """In the line of the entry itself, logged or ticked; inside nothing is said of it."""
    text = tmp_path / "own.toml"
    text.write_text(_OWN_RANGE, encoding="utf-8")
    file = str(tmp_path / "own.tankkeeper")
    said = ("--household", file, "--now", NOW)
    assert type_(*said, "import", str(text)).status == 0

    above = plain(type_(*said, "log", "reading", "--tank", "Den", "alkalinity=12").out)
    inside = plain(type_(*said, "log", "reading", "--tank", "Den", "alkalinity=8").out)

    assert above.startswith(
        "Read alkalinity 12 dKH, above its range of 7.5 to 8.5 dKH (Den). Entry "
    )
    assert inside.startswith("Read alkalinity 8 dKH (Den). Entry ")


def test_one_who_does_no_tests_by_the_settings_may_still_have_read(
    type_: Type, tmp_path: Path
) -> None:
    """It is kept with status 0, and told beside the result."""
    text = tmp_path / "own.toml"
    text.write_text(_OWN_RANGE, encoding="utf-8")
    said = ("--household", str(tmp_path / "own.tankkeeper"), "--now", NOW)
    assert type_(*said, "import", str(text)).status == 0

    answer = type_(*said, "log", "reading", "--tank", "Den", "alkalinity=8", "--by", "Piet")

    assert answer.status == 0
    assert answer.out.startswith("Read alkalinity")
    assert answer.err == "Piet does no tests, by the household's settings.\n"


_OWN_RANGE = """
format = "tankkeeper"
version = 1

[household]
name = "Own ranges"
zone = "Europe/Oslo"

[[people]]
name = "Piet"
not_for = ["test"]

[[tanks]]
name = "Den"
[tanks.shape]
kind = "box"
length_cm = 60
width_cm = 40
water_depth_cm = 36
[tanks.ranges]
alkalinity = { low = 7.5, high = 8.5, unit = "dKH" }
"""


def test_a_dose_completes_the_only_open_dose(at_house: Type) -> None:
    """Grams of a substance."""
    answer = at_house("log", "dose", "--tank", "Skerry", "--of", "bicarbonate", "--grams", "12")
    assert answer.status == 0
    assert "completes: Dose bicarbonate" in answer.out


def test_a_feeding_does_the_one_that_has_begun(at_house: Type) -> None:
    """With what was given, as it is remembered."""
    words = ("log", "feeding", "--tank", "Nook", "--amount", "two cubes", "--food", "mysis")
    answer = at_house(*words)
    assert (answer.status, answer.err) == (0, "")
    assert "completes: Feed" in answer.out
    newest = at_house("logbook", "--json").document["entries"][0]
    assert "2 cubes of mysis" in newest["text"]
    # The next one of this morning stands beside the plan, and the evening's stays open.
    again = at_house(*words)
    assert "Kept beside its turns" in again.out
    assert "completes" not in again.out
    items = at_house("round", "--json").document["items"]
    states = {one["id"]: one["state"] for one in items if one["chore"] == "nook.feed"}
    assert states.pop("nook.feed@2026-03-02T0700") == "done"
    assert states.pop("nook.feed@2026-03-02T1800") == "due"
    # What stands beside the turns is a line of its own.
    assert list(states.values()) == ["done"]


def test_a_feeding_may_be_extra_or_be_named(type_: Type, house: Path) -> None:
    """Nothing is ticked by an extra one; a named one of an earlier day does its turn."""
    words = ("--household", str(house), "--now", "2026-03-28T07:30", "log", "feeding")
    extra = type_(*words, "--tank", "Nook", "--ticks", "nothing")
    assert extra.status == 0
    assert "completes" not in extra.out
    named = type_(*words, "--tank", "Nook", "--ticks", "nook.feed", "--at", "2026-03-27T07:10")
    assert named.status == 0
    assert "completes: Feed" in named.out


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--amount", "xx"), "is no amount of food"),
        (("--amount=",), "A number is missing"),
        (("--ticks", "skerry.change-water"), "no open turn"),
        (("--ticks", "nook.top-off"), "no open turn"),
    ],
)
def test_a_feeding_that_cannot_be_is_refused(
    at_house: Type, more: tuple[str, ...], told: str
) -> None:
    """One sentence, and nothing is written."""
    before = at_house("logbook", "--json").document["entries"]
    answer = at_house("log", "feeding", "--tank", "Nook", *more)
    assert answer.status == 1
    assert told in answer.err
    assert at_house("logbook", "--json").document["entries"] == before


def test_stock_is_bought_or_counted(at_house: Type) -> None:
    """In the supply's own unit, with the day it runs out of date."""
    bought = at_house(
        "log", "stock", "--of", "Salt mix", "--add", "20000", "--expires", "2028-01-01"
    )
    assert bought.status == 0
    assert at_house("log", "stock", "--of", "salt mix", "--count", "0").status == 0
    assert at_house("log", "stock", "--of", "salt mix").status == 2
    unknown = at_house("log", "stock", "--of", "salt mx", "--add", "1")
    assert unknown.status == 1
    assert "salt mix" in unknown.err


def test_a_note_keeps_its_text(at_house: Type) -> None:
    """What was typed comes back from the logbook, signs of other scripts included."""
    text = "Wärmer als sonst: 26 °C. 水槽 — <b>=1+1"
    assert at_house("log", "note", text, "--by", "Jonas").status == 0
    newest = at_house("logbook", "--json").document["entries"][0]
    assert (newest["text"], newest["by"], newest["kind"]) == (text, "Jonas", "note")


@pytest.mark.parametrize(
    "words",
    [
        ("top-off", "--tank", "Nook", "--litres", "-3"),
        ("top-off", "--tank", "Nook", "--litres", "0"),
        ("top-off", "--tank", "Nook", "--litres", "nan"),
        ("top-off", "--tank", "Nook", "--litres", "1e2"),
        ("top-off", "--tank", "Nook", "--litres", "1,000.5"),
        ("top-off", "--tank", "Nook", "--litres", "2 gal"),
        ("top-off", "--tank", "Nook", "--litres", "500"),
        ("top-off", "--tank", "Nowhere", "--litres", "1"),
        ("water-change", "--tank", "Skerry", "--litres", "40", "--salinity", "50"),
        ("water-change", "--tank", "Skerry", "--litres", "4000", "--salinity", "35"),
        ("reading", "--tank", "Nook", "nitrate"),
        ("reading", "--tank", "Nook", "nitrate="),
        ("reading", "--tank", "Nook", "nitrat=12"),
        ("reading", "--tank", "Nook", "nitrate=12 dKH"),
        ("reading", "--tank", "Nook", "nitrate=12", "nitrate=13"),
        ("reading", "--tank", "Nook", "ph=15"),
        ("reading", "--tank", "Nook", "temperature=78"),
        ("dose", "--tank", "Nook", "--of", " ", "--grams", "3"),
        ("dose", "--tank", "Nook", "--of", "x" * 201, "--grams", "3"),
        ("dose", "--tank", "Nook", "--of", "soda", "--grams", "0"),
        ("note", "   "),
        ("note", "x" * 10_001),
        ("note", "half a sign \ud800"),
        ("note", "an end \0 of text"),
        ("note", "by nobody", "--by", "Nobody"),
        ("note", "long ago", "--at", "1889-01-01"),
        ("note", "some day", "--at", "30 February"),
        ("note", "some day", "--at", "2026-02-30"),
        ("note", "some day", "--at", "2026-02-30T25:00"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(at_house: Type, words: tuple[str, ...]) -> None:
    """Status 1, something on standard error, nothing on standard output, nothing written."""
    before = at_house("logbook", "--json").out
    answer = at_house("log", *words)
    assert (answer.status, answer.out) == (1, "")
    assert answer.err.count("\n") == 1
    assert "Traceback" not in answer.err
    assert len(answer.err) < 400
    assert at_house("logbook", "--json").out == before


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("3 days ago", "Friday 27 February"),
        ("a week ago", "Monday 23 February"),
        ("27 feb", "Friday 27 February"),
        ("Feb 27", "Friday 27 February"),
        ("27 Feb 2026", "Friday 27 February"),
        ("last fri", "Friday 27 February"),
        ("sunday", "Sunday 1 March"),
    ],
)
def test_a_day_may_be_counted_from_today_or_called(at_house: Type, said: str, day: str) -> None:
    """As in the fields of the window; the refusal of other words names it."""
    answer = at_house("log", "note", "it hums", "--at", said)
    assert answer.status == 0
    assert f"For {day}." in answer.out.replace("\N{NO-BREAK SPACE}", " ")
    refused = at_house("log", "note", "it hums", "--at", "some days ago")
    assert refused.status == 1
    assert "such as 3 days ago" in refused.err


def test_a_reading_far_from_the_last_one_is_kept_and_asked_about(at_house: Type) -> None:
    """Ten times as much within three days; a likely one is kept without a word."""
    read = ("log", "reading", "--tank", "Nook")
    assert at_house(*read, "nitrate=8", "--at", "2026-02-27T08:00").err == ""
    assert at_house(*read, "nitrate=9", "--at", "2026-02-28T08:00").err == ""

    answer = at_house("tick", "nook.test-nitrate", "--value", "nitrate=80")

    assert answer.status == 0
    assert answer.err.replace("\u00a0", " ").replace("\u2060", "") == (
        "Nitrate 80 mg/L is far from the 9 mg/L read on Sat 28 Feb. Keep it if it was read so. "
        "If not, take it back with: tankkeeper undo\n"
    )


def test_a_reading_far_from_what_is_reckoned_names_that_and_not_the_last_one(
    at_house: Type,
) -> None:
    """Read as before, after a change that cannot have been: the change is what does not fit."""
    read = ("log", "reading", "--tank", "Skerry")
    assert at_house(*read, "salinity=35.2", "--at", "2026-02-28T08:00").err == ""
    changed = ("log", "water-change", "--tank", "Skerry", "--litres", "80", "--salinity", "8")
    at_house(*changed, "--at", "2026-03-01T08:00")

    answer = at_house(*read, "salinity=35.4", "--at", "2026-03-01T09:00")

    assert answer.status == 0
    told = answer.err.replace("\u00a0", " ").replace("\u2060", "")
    assert re.match(
        r"Salinity 35\.4 PSU is far from about \d\d\.\d PSU, "
        r"as reckoned since the water change yesterday\. Keep it if it was read so\.",
        told,
    ), told


@pytest.mark.parametrize("words", [("tick", "skerry.change-water"), ("log", "water-change")])
def test_new_water_that_moves_its_tank_by_more_than_the_caution_tells_is_asked_about(
    at_house: Type, words: tuple[str, ...]
) -> None:
    """100 of 330 L (120 x 55 x 50 cm) at 2 PSU more moves the tank by 100 / 330 x 2: 0.6."""
    tank = () if words[0] == "tick" else ("--tank", "Skerry")
    answer = at_house(*words, *tank, "--litres", "100", "--salinity", "37")

    assert answer.status == 0
    told = answer.err.replace("\u00a0", " ").replace("\u2060", "")
    assert told.endswith(
        "100 L of new water of 37.0 PSU moves Skerry from 35.0 PSU to 35.6 PSU at once, by more "
        "than 0.5 PSU. Keep it if it was so. If not, take it back with: tankkeeper undo\n"
    )


def test_what_is_written_down_names_the_next_day_of_what_it_completes(at_house: Type) -> None:
    """As the foot of the window does: the change comes 14 days later."""
    answer = at_house(
        "log", "water-change", "--tank", "Skerry", "--litres", "40", "--salinity", "35"
    )
    assert "Next on Mon 16. Entry " in answer.out.splitlines()[0]
