"""What the documents promise to a script, held against the program on the sample household."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tankkeeper.core.chores import ChoreKind
from tests.cli.harbour import Answer, Type

NOW = "2026-03-02T07:00"
STATES = {"overdue", "due", "may wait", "done", "skipped", "paused"}
UNITS = {"L", "g", "pieces", "tests"}
# Shown in the units of the household; everything else of a document is the same for all.
WORDS = {"reason", "caution", "text"}
OTHER_UNITS = """[household.units]
volume = "US gal"
temperature = "degF"
salinity = "sg 25/25"
alkalinity = "meq/L"
"""
HOSTILE = (
    "'; DROP TABLE entry; --", "<img src=x>", "%s{}", "{0.__class__}", "x" * 10_000, "\u202eabc",
    "\U0001f469\u200d\U0001f467", "e\u0301", "a\x00b", "\ud800", "   ", "", "a\nb", "../x", "--",
    "-1", "nan", "1e999", "1_000", "\uff11\uff12", "1.000,5", "9" * 400, "9999-12-31",
    "0001-01-01", "2026-03-02T07:00+99:00", "bay.feed@", "=1+1", "nitrate=nan", "salinity=1.025",
)  # fmt: skip
# The fields by what reads them.
FIELDS = {
    "tank": (
        "round --tank=", "log top-off --litres=1 --tank=", "log note x --tank=", "logbook --tank=",
        "ahead --tank=", "export tank ",
    ),
    "person": ("round --by=",),
    "chore": ("tick ", "skip ", "pause ", "resume ", "undo "),
    "time": (
        "tick bay.clean-the-front-glass --at=", "put-off house.mix-salt-water --to=",
        "shift house.mix-salt-water --to=", "pause Sprout --until=",
        "log top-off --tank=Sprout --litres=1 --at=", "logbook --from=", "logbook --to=",
        "ahead --from=", "ahead --to=",
    ),
    "number": (
        "tick ledge.top-off --litres=", "tick bay.change-water --litres=40 --salinity=",
        "tick bay.test-alkalinity --value=", "log top-off --tank=Sprout --litres=",
        "log reservoir --tank=Bay --left=", "log reservoir --tank=Bay --fill=",
        "log water-change --tank=Ledge --litres=9 --salinity=",
        "log water-change --tank=Ledge --litres=9 --salinity=35 --added=",
        "log dose --tank=Bay --of=lime --grams=", "log stock --of=salt --count=",
    ),
    "reading": ("log reading --tank=Bay ",),
    "food": ("log feeding --tank=Nook --amount=",),
    "supply": (
        "log dose --tank=Bay --grams=3 --of=", "log stock --add=3 --of=",
        "log stock --count=5 --expires=2027-01-01 --of=",
    ),
    "text": ("tick bay.clean-the-front-glass --note=", "skip bay.swap-filter-floss --why=",
             "log note ", "log feeding --tank=Bay --food="),
    "file": ("import ",),
    "new file": ("new ",),
}  # fmt: skip


def _shared() -> list[tuple[str, tuple[str, ...]]]:
    """Return each field with its texts: those that are read alike share all of them."""
    found = []
    for alike in FIELDS.values():
        parts = min(len(alike), 3)
        found += [(field, HOSTILE[at % parts :: parts]) for at, field in enumerate(alike)]
    return found


@pytest.fixture(scope="session")
def sample_once(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The file of the sample household, opened on the morning of 2 March 2026."""
    from tankkeeper.app.main import main

    file = tmp_path_factory.mktemp("sample") / "sample.tankkeeper"
    assert main(["--now", NOW, "new", str(file), "--sample"]) == 0
    return file.read_bytes()


@pytest.fixture
def sample(type_: Type, sample_once: bytes, tmp_path: Path) -> Type:
    """Types a command at a sample household of the test's own."""
    file = tmp_path / "sample.tankkeeper"
    file.write_bytes(sample_once)

    def run(*words: str, now: str = NOW) -> Answer:
        return type_("--household", str(file), "--now", now, *words)

    return run


def said_of(items: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Return items by their id."""
    return {item["id"]: item for item in items}


def without_words(found: Any) -> Any:
    """Return a document without its sentences."""
    if isinstance(found, dict):
        return {name: without_words(one) for name, one in found.items() if name not in WORDS}
    return [without_words(one) for one in found] if isinstance(found, list) else found


def test_every_item_keeps_the_promises_of_its_fields(sample: Type) -> None:
    """Days in order, spans around their value, known words, open ones as a script reads them."""
    document = sample("round", "--json").document
    assert list(document) == ["household", "now", "totals", "items"]
    kinds = {kind.value for kind in ChoreKind}
    for item in document["items"]:
        assert item["kind"] in kinds
        assert item["state"] in STATES - {"paused"}
        days = [item["earliest"], item["target"], item["latest"]]
        assert days == sorted(days)
        assert re.fullmatch(r"\d\d:\d\d", item["slot"] or "07:00")
        assert datetime.fromisoformat(item["due_at"] or "2026-03-02T07:00+01:00").tzinfo
        amount = item["amount"]
        if amount is not None:
            assert amount["low"] <= amount["value"] <= amount["high"]
            assert amount["unit"] in UNITS
        assert item["reason"].endswith(".")
    counting = [item for item in document["items"] if item["state"] in ("overdue", "due")]
    assert document["totals"]["minutes"] == sum(item["minutes"] for item in counting)
    ids = [item["id"] for item in document["items"]]
    assert len(set(ids)) == len(ids)


def test_what_is_done_keeps_its_amount(sample: Type) -> None:
    """As it was written down, so that the document says what the table says."""
    sample("tick", "ledge.top-off", "--litres", "2.4")
    sample("tick", "bay.test-alkalinity", "--value", "alkalinity=8.2dKH")
    items = said_of(sample("round", "--json").document["items"])
    done = {item["chore"]: item["amount"] for item in items.values() if item["state"] == "done"}
    assert done["ledge.top-off"] == {"value": 2.4, "low": 2.4, "high": 2.4, "unit": "L"}
    assert done["pebble.feed"] == {"value": 0.2, "low": 0.2, "high": 0.2, "unit": "g"}
    assert done["bay.test-alkalinity"]["unit"] == "tests"


def test_ids_are_stable_through_the_day_and_into_the_next(sample: Type) -> None:
    """What is not done in the morning has the same id in the evening and tomorrow."""
    morning = said_of(sample("round", "--json").document["items"])
    evening = said_of(sample("round", "--json", now="2026-03-02T22:00").document["items"])
    assert morning.keys() == evening.keys()
    projected = said_of(sample("ahead", "--to", "2026-03-03", "--json").document["items"])
    tomorrow = said_of(sample("round", "--json", now="2026-03-03T07:00").document["items"])
    for one, item in projected.items():
        if item["state"] == "projected" and item["earliest"] == "2026-03-03" and "about" not in one:
            assert one in tomorrow
    left = [one for one, item in morning.items() if item["state"] in ("overdue", "may wait")]
    assert tomorrow.keys() >= {*left}


def test_ahead_holds_both_days_and_no_other(sample: Type) -> None:
    """One day alone is the same as that day out of a longer span."""
    week = sample("ahead", "--from", "2026-03-04", "--to", "2026-03-11", "--json").document
    assert list(week) == ["household", "now", "items"]
    targets = {item["target"] for item in week["items"]}
    assert (min(targets), max(targets)) == ("2026-03-04", "2026-03-11")
    assert {item["state"] for item in week["items"]} == {"projected"}
    for day in ("2026-03-04", "2026-03-11"):
        alone = sample("ahead", "--from", day, "--to", day, "--json").document["items"]
        same = [item for item in week["items"] if item["target"] == day]
        assert alone == same


def test_ahead_takes_no_empty_day_and_the_last_one(sample: Type) -> None:
    """An unset variable of a script is no day; after the last day of the calendar comes none."""
    for words in (("--from", ""), ("--to", "")):
        answer = sample("ahead", *words)
        assert (answer.status, answer.out) == (1, "")
    assert sample("ahead", "--from", "9999-12-31", "--json").document["items"] == []


def test_units_of_the_household_change_no_number_of_a_document(
    sample: Type, type_: Type, tmp_path: Path
) -> None:
    """Always L, g, degC, practical salinity, mg/L and dKH; ids and order, too."""
    text = re.sub(
        r"\[household\.units\]\n(?:\w+ = .*\n)*", OTHER_UNITS, sample("export", "all", "-").out
    )
    assert OTHER_UNITS in text
    (tmp_path / "other.toml").write_text(text, encoding="utf-8")
    there = ("--household", str(tmp_path / "other.tankkeeper"), "--now", NOW)
    assert type_(*there, "import", str(tmp_path / "other.toml")).status == 0
    assert "US gal" in type_(*there, "round").out
    for words in (
        ("round", "--json"),
        ("tanks", "--json"),
        ("logbook", "--json"),
        ("ahead", "--to", "2026-03-20", "--json"),
    ):
        here, other = sample(*words).document, type_(*there, *words).document
        assert without_words(here) == without_words(other)


def test_nothing_paused_stands_in_a_round_that_does_not_name_its_tank(sample: Type) -> None:
    """A paused tank that is named shows its rows; what is not known of them is null."""
    assert {item["tank"] for item in sample("round", "--json").document["items"]}.isdisjoint(
        {"Ward"}
    )
    document = sample("round", "--tank", "Ward", "--json").document
    assert {item["state"] for item in document["items"]} == {"paused"}
    for item in document["items"]:
        assert item["earliest"] is item["target"] is item["latest"] is None
    assert document["totals"] == {
        "minutes": 0, "fresh_water_l": 0, "fresh_water_to_mix_l": 0, "salt_water_l": 0,
    }  # fmt: skip


def test_a_bare_tick_names_every_option_that_is_missing(sample: Type) -> None:
    """All of them at once, and what would do instead; nothing is written."""
    before = sample("logbook", "--json").out
    answer = sample("tick", "bay.change-water")
    assert (answer.status, answer.out, answer.err.count("\n")) == (1, "", 1)
    for option in ("--litres", "--as-proposed", "--salinity"):
        assert option in answer.err
    only_salinity = sample("tick", "bay.change-water", "--as-proposed").err
    assert "--salinity" in only_salinity
    assert "--litres" not in only_salinity
    assert "--salinity" not in sample("tick", "ledge.top-off").err
    assert sample("logbook", "--json").out == before


def test_several_items_are_refused_together(sample: Type) -> None:
    """Whichever is wrong, and for tick and skip alike, none of them is done."""
    before = sample("logbook", "--json").out
    for words in (
        ("tick", "bay.clean-the-front-glass", "bay.change-water"),
        ("tick", "bay.clean-the-front-glass", "nonsense"),
        ("skip", "bay.clean-the-front-glass", "pebble.feed"),
        ("skip", "bay.clean-the-front-glass", "nonsense"),
    ):
        answer = sample(*words)
        assert (answer.status, answer.out, answer.err.count("\n")) == (1, "", 1)
    assert sample("logbook", "--json").out == before


@pytest.mark.parametrize(
    ("now", "taken"),
    [
        ("2026-03-29T02:30", "2026-03-29T03:30:00+02:00"),
        ("2026-10-25T02:30", "2026-10-25T02:30:00+02:00"),
        ("2026-03-02T06:00Z", "2026-03-02T07:00:00+01:00"),
        ("2026-03-02T07:00-05:00", "2026-03-02T13:00:00+01:00"),
        ("2026-07-02 07:00", "2026-07-02T07:00:00+02:00"),
    ],
)
def test_now_without_an_offset_is_in_the_zone_of_the_household(
    sample: Type, monkeypatch: pytest.MonkeyPatch, now: str, taken: str
) -> None:
    """Whatever the machine's own zone is; a wall time that is skipped lies after the gap."""
    monkeypatch.setenv("TZ", "America/New_York")
    assert sample("tanks", "--json", now=now).document["now"] == taken


def test_stock_does_not_expire_in_another_age(sample: Type) -> None:
    """A year back, for what is counted still, to ten years ahead."""
    supply = _a_supply(sample)
    for day in ("0001-01-01", "2024-12-31", "2046-01-01"):
        answer = sample("log", "stock", "--of", supply, "--count", "5", "--expires", day)
        assert (answer.status, answer.out, answer.err.count("\n")) == (1, "", 1)
    for day in ("2025-09-01", "2029-01-01"):
        words = ("log", "stock", "--of", supply, "--count", "5", "--expires", day)
        assert sample(*words).status == 0


def _a_supply(sample: Type) -> str:
    found = re.search(r'\[\[supplies\]\]\nname = "([^"]+)"', sample("export", "all", "-").out)
    assert found
    return found[1]


def test_a_path_that_nobody_could_read_is_told_in_a_short_sentence(sample: Type) -> None:
    """The system names the whole of it."""
    for words in (("backup", "x" * 9_000), ("export", "all", "x" * 9_000), ("import", "x" * 9_000)):
        answer = sample(*words)
        assert (answer.status, answer.out, answer.err.count("\n")) == (1, "", 1)
        assert len(answer.err) < 600


@pytest.mark.parametrize(
    ("field", "texts"), _shared(), ids=lambda one: one if isinstance(one, str) else ""
)
def test_hostile_input_is_answered_and_never_fails(
    sample: Type,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    field: str,
    texts: tuple[str, ...],
) -> None:
    """A status of the contract, a sentence or a usage, no trace, and the household stays whole."""
    monkeypatch.chdir(tmp_path)
    words = field.split(" ")
    for text in texts:
        answer = sample(*words[:-1], words[-1] + text)
        assert answer.status in (0, 1, 2), (field, text)
        told = answer.out + answer.err
        assert "nobody foresaw" not in told, (field, text)
        assert not {"Traceback", "\x1b", "\u202e"} & {*re.findall("Traceback|\x1b|\u202e", told)}
        if answer.status:
            assert (answer.out, len(answer.err) < 1500) == ("", True), (field, text)
            assert (
                "usage: " in answer.err
                if answer.status == 2
                else answer.err.endswith((".\n", "?\n"))
            )
    assert sample("check").status == 0
    assert sample("round", "--json").status == 0


def test_words_of_a_document_stay_when_nothing_happens(sample: Type) -> None:
    """The same question has the same answer, to the letter; looking writes nothing."""
    for words in (("round", "--json"), ("tanks", "--json"), ("logbook", "--json"), ("round",)):
        assert sample(*words).out == sample(*words).out


def test_no_date_moves_by_looking_at_the_days_to_come(sample: Type) -> None:
    """Open work keeps its days whatever the day on which it is looked at."""
    days: Mapping[str, list[str]] = {
        item["id"]: [item["earliest"], item["target"], item["latest"]]
        for item in sample("round", "--json").document["items"]
        if item["kind"] not in ("top-off", "reservoir") and item["state"] == "overdue"
    }
    assert days
    for number in range(1, 8):
        now = f"{date(2026, 3, 2) + timedelta(days=number)}T07:00"
        later = said_of(sample("round", "--json", now=now).document["items"])
        for one, kept in days.items():
            item = later[one]
            assert [item["earliest"], item["target"], item["latest"]] == kept
