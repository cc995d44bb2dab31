"""What the commands that only look print: the contract's documents, and tables for people."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tankkeeper.cli import looking
from tests.cli.harbour import DEFINITIONS, NOW, AsTerminal, Type, items_of, log

ITEM_FIELDS = [
    "id", "chore", "kind", "name", "tank", "state", "slot", "due_at", "earliest", "target",
    "latest", "missed", "amount", "minutes", "who", "asks", "reason", "caution",
]  # fmt: skip
TANK_FIELDS = [
    "name", "stage", "water_l", "loss_l_per_day", "flag", "mm_below_mark", "salinity",
    "hours_to_limit", "reservoir_days", "readings",
]  # fmt: skip


def test_round_prints_one_document_and_nothing_else(at_house: Type) -> None:
    """With --json standard output is one document, and it begins with household and now."""
    answer = at_house("round", "--json")
    assert (answer.status, answer.err) == (0, "")
    document, end = json.JSONDecoder().raw_decode(answer.out)
    assert answer.out[end:].strip() == ""
    assert list(document) == ["household", "now", "totals", "items"]
    assert document["household"] == "Harbour Street 4"
    # Oslo keeps UTC+1 in March until the last Sunday (tz database, Europe/Oslo).
    assert document["now"] == "2026-03-02T07:30:00+01:00"


def test_every_item_has_the_fields_of_the_contract(at_house: Type) -> None:
    """Names of fields stay stable, in their order."""
    items = at_house("round", "--json").document["items"]
    assert items
    for item in items:
        assert list(item)[: len(ITEM_FIELDS)] == ITEM_FIELDS


def test_a_top_off_tells_what_has_evaporated(at_house: Type) -> None:
    """1 L every second day is 0.5 L a day; 4 days and half an hour after the last fill 2.01 L miss.

    By hand: 4.02 d x 0.5 L/d = 2.01 L, and on 100 cm x 50 cm that is 4.0 mm.
    """
    item = items_of(at_house("round", "--json"))["nook.top-off"]
    assert item["state"] == "overdue"
    assert item["amount"]["unit"] == "L"
    assert item["amount"]["value"] == pytest.approx(2.01, abs=0.15)
    assert item["amount"]["low"] < 2.01 < item["amount"]["high"]
    assert item["who"] == ["Ilse"]
    assert item["asks"] == ["litres"]
    assert "4 mm" in item["reason"]


@pytest.mark.parametrize(
    ("drop", "limit"), [(400, "passed even when full"), (4, "may be in 2 days, likely in 3 days")]
)
def test_a_tank_too_salty_even_when_full_has_reached_its_limit(
    type_: Type, tmp_path: Path, drop: int, limit: str
) -> None:
    """Filled to the mark at 38: fresh water does not help, the range of soft corals ends at 35.5.

    A level that may fall no more than 4 mm comes first, and stays the limit that is told.
    """
    text = tmp_path / "salty.toml"
    text.write_text(
        (DEFINITIONS + log())
        .replace('name = "Nook"\nroom', 'name = "Nook"\ncommunity = "soft coral"\nroom')
        .replace("allowed_drop_mm = 4", f"allowed_drop_mm = {drop}"),
        encoding="utf-8",
    )
    house = ("--household", str(tmp_path / "salty.tankkeeper"), "--now", NOW)
    for words in (
        ("import", str(text)),
        ("log", "top-off", "--tank", "Nook", "--litres", "2"),
        ("log", "reading", "--tank", "Nook", "salinity=38"),
    ):
        assert type_(*house, *words).status == 0

    nook = type_(*house, "tanks").out.splitlines()[2].replace("\u00a0", " ")

    assert re.search(rf"38\.0 ± 0\.3 PSU, above its range +{limit}$", nook)
    hours = type_(*house, "tanks", "--json").document["tanks"][0]["hours_to_limit"]
    assert (hours == 0.0) is (drop == 400)


def test_a_tank_at_the_end_of_its_range_only_when_full_says_so_of_the_full_tank(
    type_: Type, tmp_path: Path
) -> None:
    """The number beside it is above the range by then."""
    text = tmp_path / "end.toml"
    text.write_text(
        (DEFINITIONS + log())
        .replace('name = "Nook"\nroom', 'name = "Nook"\ncommunity = "soft coral"\nroom')
        .replace("allowed_drop_mm = 4", "allowed_drop_mm = 400"),
        encoding="utf-8",
    )
    house = ("--household", str(tmp_path / "end.tankkeeper"), "--now")
    for words in (
        ("import", str(text)),
        ("log", "top-off", "--tank", "Nook", "--litres", "2"),
        ("log", "reading", "--tank", "Nook", "salinity=35.5"),
    ):
        assert type_(*house, NOW, *words).status == 0

    def salinity(now: str) -> str:
        line = type_(*house, now, "tanks").out.splitlines()[2].replace("\u00a0", " ")
        return next(one for one in re.split(r" {2,}", line) if "PSU" in one)

    assert salinity(NOW) == "35.5 ± 0.3 PSU, at the end of its range"
    later = salinity("2026-03-06T07:30")
    assert re.fullmatch(r"3[5-7]\.\d .*; when full, at the end of its range", later)


def test_the_round_tells_a_reading_outside_until_a_later_one_is_inside(
    type_: Type, tmp_path: Path
) -> None:
    """Read the day before; the range of nitrate of soft corals is 2 to 20 (core/communities)."""
    text = tmp_path / "outside.toml"
    text.write_text(
        (DEFINITIONS + log()).replace(
            'name = "Nook"\nroom', 'name = "Nook"\ncommunity = "soft coral"\nroom'
        ),
        encoding="utf-8",
    )
    house = ("--household", str(tmp_path / "outside.tankkeeper"), "--now", NOW)
    read = ("log", "reading", "--tank", "Nook")
    assert type_(*house, "import", str(text)).status == 0
    assert type_(*house, *read, "nitrate=30", "--at", "2026-03-01T08:00").status == 0

    told = type_(*house, "round").out.replace("\u00a0", " ").replace("\u2060", "").splitlines()
    assert "Nook: nitrate was 30 mg/L yesterday, above its range of 2 to 20 mg/L." in told
    assert type_(*house, *read, "nitrate=15").status == 0
    assert "nitrate was" not in type_(*house, "round").out


def test_the_round_tells_how_a_salinity_above_its_range_is_lowered(
    type_: Type, tmp_path: Path
) -> None:
    """No line of that day need be about salt, so it stands below them with the reading."""
    text = tmp_path / "salty.toml"
    text.write_text(
        (DEFINITIONS + log()).replace(
            'name = "Nook"\nroom', 'name = "Nook"\ncommunity = "soft coral"\nroom'
        ),
        encoding="utf-8",
    )
    house = ("--household", str(tmp_path / "salty.tankkeeper"), "--now", NOW)
    for words in (
        ("import", str(text)),
        ("log", "top-off", "--tank", "Nook", "--litres", "2"),
        ("log", "reading", "--tank", "Nook", "salinity=36.4"),
    ):
        assert type_(*house, *words).status == 0

    told = type_(*house, "round").out.replace("\u00a0", " ")

    assert re.search(
        r"Nook: salinity was 36\.4 PSU today, above its range of 33\.0 to 35\.5 PSU\. "
        r"About [\d.]+ L of fresh water in place of as much water of the full tank "
        r"brings it to 35\.0 PSU; ",
        told,
    )


def test_a_limit_tells_hours_and_then_since_when_it_may_be_passed(
    type_: Type, tmp_path: Path
) -> None:
    """Full it has 35.44 and may rise by the 0.06 that somebody set, to 35.5.

    Of 200 L that takes about 200 x 0.06 / 35.5 = 0.34 L, less than the 0.5 L of a day: at a loss of
    at most 0.8 L a day it may be passed that evening. A reading may be wrong by 0.3: it surely is
    passed once the loss made up for that, too, 1.7 L more. The day of the household has not begun
    by then.
    """
    text = tmp_path / "near.toml"
    text.write_text(
        (DEFINITIONS + log()).replace(
            "allowed_drop_mm = 4", "allowed_drop_mm = 400\nallowed_salinity_rise = 0.06"
        ),
        encoding="utf-8",
    )
    house = ("--household", str(tmp_path / "near.tankkeeper"), "--now")
    for words in (
        ("import", str(text)),
        ("log", "top-off", "--tank", "Nook", "--litres", "2"),
        ("log", "reading", "--tank", "Nook", "salinity=35.44"),
    ):
        assert type_(*house, NOW, *words).status == 0

    def limit(now: str) -> str:
        line = type_(*house, now, "tanks").out.splitlines()[2].replace("\u00a0", " ")
        return re.split(r" {2,}", line.strip())[-1]

    first = datetime.fromisoformat(NOW)
    told = re.fullmatch(r"may be in (\d+) hours, likely in \d+ hours", limit(NOW))
    assert told is not None
    assert 8 <= int(told[1]) <= 14
    since = first + timedelta(hours=int(told[1]))
    assert limit((since - timedelta(minutes=1)).isoformat()).startswith("may be in under 1 hour,")
    assert limit("2026-03-03T03:30").startswith(f"may be passed since {since:%a} ")
    likely = r"likely since Mon 2 \d\d:\d\d"
    maybe = rf"since {since:%a} {since.day} \d\d:\d\d, {likely}"
    assert re.fullmatch(rf"may be passed {maybe}", limit("2026-03-05T07:30"))
    later = r"passed, maybe since 2 Mar \d\d:\d\d, likely since 2 Mar \d\d:\d\d"
    assert re.fullmatch(later, limit("2026-03-12T07:30"))


@pytest.mark.parametrize("now", ["2026-03-05T05:00", "2026-03-07T05:00", "2026-03-10T05:00"])
def test_how_long_water_lasts_does_not_depend_on_where_the_day_begins(
    type_: Type, tmp_path: Path, now: str
) -> None:
    """At 05:00 one household is in its day and another still in the one before."""
    rows = []
    for begins in ("04:00", "06:00"):
        text = tmp_path / f"begins-{begins[:2]}.toml"
        head = 'zone = "Europe/Oslo"'
        assert head in DEFINITIONS
        text.write_text(
            DEFINITIONS.replace("allowed_drop_mm = 4", "reservoir_l = 5").replace(
                head, f"{head}\nday_begins = {begins}:00"
            ),
            encoding="utf-8",
        )
        house = ("--household", str(text.with_suffix(".tankkeeper")), "--now")
        assert type_(*house, NOW, "import", str(text)).status == 0
        look = ("log", "reservoir", "--tank", "Nook", "--left")
        assert type_(*house, NOW, *look, "5").status == 0
        assert type_(*house, "2026-03-04T07:30", *look, "4").status == 0
        rows.append(type_(*house, now, "tanks").out.splitlines()[2])
        nook = type_(*house, now, "tanks", "--json").document["tanks"][0]
        assert nook["hours_to_limit"] / 24 == pytest.approx(nook["reservoir_days"]["low"], abs=1e-3)

    assert rows[0] == rows[1]


def test_a_limit_that_is_only_expected_is_not_reached_before_anything_warns_of_it(
    type_: Type, tmp_path: Path
) -> None:
    """Of one fill nobody knows the loss: at its upper bound the limit is passed long before.

    The reminders warn of it from the round of the expected day on.
    """
    text = tmp_path / "guessed.toml"
    text.write_text(
        (DEFINITIONS + log())
        .partition("[[log]]")[0]
        .replace("allowed_drop_mm = 4", "allowed_drop_mm = 400\nallowed_salinity_rise = 2"),
        encoding="utf-8",
    )
    house = ("--household", str(tmp_path / "guessed.tankkeeper"), "--now")
    assert type_(*house, NOW, "import", str(text)).status == 0
    assert type_(*house, NOW, "log", "top-off", "--tank", "Nook", "--litres", "2").status == 0

    def limit(now: str) -> tuple[str, float]:
        line = type_(*house, now, "tanks").out.splitlines()[2].replace("\u00a0", " ")
        hours = type_(*house, now, "tanks", "--json").document["tanks"][0]["hours_to_limit"]
        return re.split(r" {2,}", line.strip())[-1], hours

    # The round of a day is at 07:00; the text tells the early end of the span, and the middle.
    assert limit("2026-03-03T07:30") == ("may be in 23 hours, likely in 3 days", 71.5)
    told, hours = limit("2026-03-05T07:30")
    assert hours == 23.5
    assert re.fullmatch(r"may be passed since Wed \d\d:\d\d, likely in \d\d hours", told)
    told, hours = limit("2026-03-06T07:30")
    assert hours == 0.0
    assert re.fullmatch(r"may be passed since Wed 4 \d\d:\d\d, likely in \d+ hours", told)
    told = r"may be passed since Wed 4 \d\d:\d\d, likely since Fri 6 \d\d:\d\d"
    assert re.fullmatch(told, limit("2026-03-08T07:30")[0])


def test_tanks_tell_loss_level_and_salinity(at_house: Type) -> None:
    """The same figures seen as the tank's state; 200 L lose 2.01 L, so 35 rises to about 35.35.

    By hand: salt stays, so S = 35 x 200 / (200 - 2.01) = 35.36 by volume, and a little less by
    mass; the tolerance covers the difference.
    """
    document = at_house("tanks", "--json").document
    assert list(document) == ["household", "now", "tanks"]
    nook, skerry = document["tanks"]
    assert list(nook)[: len(TANK_FIELDS)] == TANK_FIELDS
    assert nook["loss_l_per_day"]["value"] == pytest.approx(0.5, abs=0.04)
    assert nook["mm_below_mark"] == pytest.approx(4.0, abs=0.3)
    assert nook["water_l"] == pytest.approx(200.0, abs=4.0)
    assert nook["salinity"]["value"] == pytest.approx(35.36, abs=0.06)
    assert nook["stage"] == "running"
    assert skerry["readings"] == {}


def test_totals_count_what_is_overdue_and_due(at_house: Type) -> None:
    """3 + 5 + 2 + 2 + 6 + 25 + 2 + 10 minutes; 40 L to mix, 40 L of salt water."""
    totals = at_house("round", "--json").document["totals"]
    assert totals["minutes"] == 55
    assert totals["fresh_water_l"] == pytest.approx(2.01, abs=0.15)
    assert (totals["fresh_water_to_mix_l"], totals["salt_water_l"]) == (40, 40)


def test_what_can_wait_is_counted_in_the_words_of_its_line(at_house: Type) -> None:
    """The change was due yesterday and has three days; JSON keeps the name of the state."""
    next_day = "2026-03-03T07:30"
    told = at_house("round", now=next_day).out

    assert ", 1 can wait" in told.splitlines()[0]
    assert "may wait" not in told
    states = [one["state"] for one in at_house("round", "--json", now=next_day).document["items"]]
    assert "may wait" in states


def test_slots_stand_apart_with_their_moments(at_house: Type) -> None:
    """A chore with times of day gives one item for each, with the moment in the zone's offset."""
    items = at_house("round", "--json").document["items"]
    feedings = [item for item in items if item["chore"] == "nook.feed"]
    assert [item["slot"] for item in feedings] == ["07:00", "18:00"]
    assert feedings[0]["due_at"] == "2026-03-02T07:00:00+01:00"
    assert len({item["id"] for item in feedings}) == 2


def test_a_household_chore_has_no_tank(at_house: Type) -> None:
    """`tank` is null for the household's own work, `caution` null where nothing can hurt."""
    items = items_of(at_house("round", "--json"))
    assert items["house.mix-salt-water"]["tank"] is None
    assert items["nook.feed"]["caution"] is None
    assert items["skerry.change-water"]["asks"] == ["litres", "salinity"]
    assert items["nook.test-nitrate"]["asks"] == ["nitrate"]


def test_a_round_can_be_narrowed(at_house: Type) -> None:
    """--tank gives one tank, by name or id; --by what a person may do, nobody's work included."""
    for name in ("Skerry", "skerry", "SKERRY"):
        tanks = {
            item["tank"] for item in at_house("round", "--tank", name, "--json").document["items"]
        }
        assert tanks == {"Skerry"}
    chores = items_of(at_house("round", "--by", "Ilse", "--json"))
    assert "nook.top-off" in chores
    assert "nook.feed" in chores
    assert "skerry.change-water" not in chores


def test_the_round_for_people_is_a_table(at_house: Type) -> None:
    """A head line, one line for each item with its state in words, and the sums."""
    lines = at_house("round").out.splitlines()
    assert lines[0].startswith("Harbour Street 4, Mon 2 March, 07:30: 2 overdue, 6 due")
    assert any("Wipe the glass" in line and "3 days overdue" in line for line in lines)
    assert lines[-1].startswith("In all: 55 minutes")
    assert "Traceback" not in "".join(lines)


def test_after_midnight_the_head_says_which_day_still_runs(at_house: Type) -> None:
    """As at the head of the window: the day of this household begins at 04:00."""
    told = "Harbour Street 4, Mon 2 March, 03:30  \N{MIDDLE DOT}  the day of Sun 1 runs until 04:00"
    night = "2026-03-02T03:30"

    assert at_house("round", now=night).out.splitlines()[0].startswith(f"{told}: ")
    assert at_house("tanks", now=night).out.splitlines()[0] == told


def test_nothing_is_cut_where_no_terminal_is(at_house: Type, as_terminal: AsTerminal) -> None:
    """A pipe gets whole names; a terminal shortens the tank first, never chore, amount or state."""
    at_house("log", "note", "n" * 300, "--tank", "Skerry")
    piped = {name: at_house(name).out for name in ("round", "tanks", "logbook")}
    assert not any("…" in text for text in piped.values())
    assert "n" * 300 in piped["logbook"]
    as_terminal(80)
    narrow = at_house("round").out
    assert "Househ…" not in piped["round"]
    assert "House…" in narrow
    for whole in ("Mix salt water", "40 L salt water", "3 days overdue", "skerry.change-water"):
        assert whole in narrow


def test_reasons_are_told_when_asked_for(at_house: Type) -> None:
    """--why says the reason of each line."""
    text = " ".join(at_house("round", "--why").out.split())
    assert "Nook, Top off:" in text
    assert "4 mm" in text


def test_the_reason_of_what_is_done_ends_with_its_next_day(at_house: Type) -> None:
    """The glass comes seven days after it was done: on Monday 9 March after Monday 2."""
    ticked = at_house("tick", "nook.wipe-the-glass").out
    assert "Next on Mon 9." in ticked

    text = " ".join(at_house("round", "--why").out.split())

    told = text.partition("Nook, Wipe the glass: ")[2]
    assert told.startswith("Done today at ")
    assert "It comes 7 days after it is done. Next on Mon 9. " in told


def test_ahead_lists_projected_turns(at_house: Type) -> None:
    """Open work stands first as if done today; the rest follows on its expected days."""
    document = at_house("ahead", "--from", "2026-03-02", "--to", "2026-03-16", "--json").document
    assert list(document) == ["household", "now", "items"]
    items = document["items"]
    glass = [item for item in items if item["chore"] == "nook.wipe-the-glass"]
    # Done today, so 7 days later and again 7 days after that.
    assert [item["target"] for item in glass] == ["2026-02-26", "2026-03-09", "2026-03-16"]
    assert [item["state"] for item in glass] == ["overdue", "projected", "projected"]
    reservoir = [item["target"] for item in items if item["chore"] == "skerry.fill-the-reservoir"]
    assert reservoir == ["2026-03-04", "2026-03-11"]
    told = "Days behind work that is open since a past day are told as if it were done today."
    assert told in at_house("ahead", "--from", "2026-03-02", "--to", "2026-03-16").out
    assert told not in at_house("ahead", "--from", "2026-03-02", "--to", "2026-03-03").out


def test_ahead_tells_of_open_work_where_a_calendar_has_its_last_day(at_house: Type) -> None:
    """The change of Monday 2 March may wait to Thursday 5, so a calendar of Tuesday has it there.

    The list has it as done today, so it is not among the lines of that day.
    """
    told = "Days behind work that is open since a past day are told as if it were done today."
    now = "2026-03-03T07:30"
    at_house("tick", "skerry.dose-bicarbonate", now=now)

    def of_skerry(on: str) -> str:
        return at_house("ahead", "--from", on, "--to", on, "--tank", "Skerry", now=now).out

    assert "Change water" not in of_skerry("2026-03-05")
    assert "Dose bicarbonate" in of_skerry("2026-03-05")
    assert of_skerry("2026-03-05").endswith(told + "\n")
    assert told not in of_skerry("2026-03-04")
    assert of_skerry("2026-03-06").endswith("Nothing comes in these days.\n")


def test_ahead_tells_of_a_single_day_the_minutes_that_the_calendar_has(at_house: Type) -> None:
    """Of Thursday 5 March what is expected, and the change of Monday that can wait until then."""
    now = "2026-03-03T07:30"
    at_house("tick", "skerry.dose-bicarbonate", now=now)

    def of_skerry(*days: str) -> str:
        first, last = days[0], days[-1]
        return at_house("ahead", "--from", first, "--to", last, "--tank", "Skerry", now=now).out

    told = of_skerry("2026-03-05")
    assert "In the calendar: 2 minutes, beside 25 minutes that can wait until then\n" in told
    assert "In the calendar: 4 minutes\n" in of_skerry("2026-03-04")
    # Of several days a calendar has no sum.
    assert "In the calendar" not in of_skerry("2026-03-04", "2026-03-05")


def test_ahead_takes_words_for_days(at_house: Type) -> None:
    """today and a weekday mean what a person means; a weekday is the next one."""
    by_words = at_house("ahead", "--from", "today", "--to", "sunday", "--json")
    by_dates = at_house("ahead", "--from", "2026-03-02", "--to", "2026-03-08", "--json")
    assert by_words.document == by_dates.document
    assert at_house("ahead", "--json").document == by_dates.document


@pytest.mark.parametrize("said", ["8 mar", "next sunday", "Mar 8", "8 March 2026", "in 6 days"])
def test_ahead_takes_a_day_by_its_name(at_house: Type, said: str) -> None:
    """Of what a name may mean it is the day to come; two bare numbers mean none."""
    by_date = at_house("ahead", "--to", "2026-03-08", "--json").document
    assert at_house("ahead", "--to", said, "--json").document == by_date
    refused = at_house("ahead", "--to", "8 3")
    assert refused.err.startswith("8 3 is not a day.")


def test_the_logbook_is_newest_first(at_house: Type) -> None:
    """Entries carry id, at, by, kind, tank, text, revoked; undone ones say so."""
    at_house("tick", "nook.feed", "--by", "Jonas")
    at_house("undo")
    document = at_house("logbook", "--json").document
    assert list(document) == ["household", "now", "entries"]
    undo, feed, fill = document["entries"][:3]
    assert list(feed) == ["id", "at", "by", "kind", "tank", "text", "revoked"]
    assert (feed["by"], feed["tank"], feed["revoked"]) == ("Jonas", "Nook", True)
    assert (undo["kind"], undo["revoked"]) == ("undo", False)
    assert (fill["kind"], fill["at"]) == ("top-off", "2026-02-26T07:00:00+01:00")
    assert len(document["entries"]) == 31


def test_the_logbook_can_be_narrowed(at_house: Type) -> None:
    """Both days of a span are included, and a tank keeps the others out."""
    at_house("log", "note", "the lamp hums", "--tank", "Skerry")
    span = at_house("logbook", "--from", "2026-02-24", "--to", "2026-02-26", "--json").document
    assert [entry["at"][:10] for entry in span["entries"]] == ["2026-02-26", "2026-02-24"]
    skerry = at_house("logbook", "--tank", "Skerry", "--json").document["entries"]
    assert [entry["text"] for entry in skerry] == ["the lamp hums"]
    table = at_house("logbook", "--tank", "Skerry").out
    assert table.splitlines()[1].endswith(skerry[0]["id"])


def test_a_terminal_is_shown_beginnings_of_ids_that_undo_takes(
    at_house: Type, as_terminal: AsTerminal
) -> None:
    """Last in the line, each enough to name one entry; two alike are refused in a sentence."""
    at_house("tick", "nook.feed")
    at_house("tick", "nook.wipe-the-glass")
    whole = [str(one["id"]) for one in at_house("logbook", "--json").document["entries"]]
    as_terminal(80)
    lines = at_house("logbook").out.splitlines()
    assert max(map(len, lines)) <= 80
    shown = [line.split()[-1] for line in lines[1:]]
    assert all(one.startswith(short) for one, short in zip(whole, shown, strict=True))
    assert len({*shown}) == len(whole)
    alike = at_house("undo", whole[0][:4])
    assert (alike.status, alike.out, alike.err.count("\n")) == (1, "", 1)
    assert f"entries of the logbook begin with {whole[0][:4]}" in alike.err
    assert at_house("undo", shown[1]).status == 0
    assert items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["state"] == "done"
    assert "no entry 0" in at_house("undo", "0").err


def test_weekdays_of_the_logbook_are_those_that_were(at_house: Type) -> None:
    """2 March 2026 is a Monday; a Thursday of the logbook is the one of 26 February."""
    entries = at_house("logbook", "--from", "thursday", "--to", "today", "--json").document
    assert [entry["at"][:10] for entry in entries["entries"]] == ["2026-02-26"]
    turned = at_house("logbook", "--from", "2026-02-26", "--to", "2026-02-24")
    assert (turned.status, turned.out, turned.err.count("\n")) == (1, "", 1)


def test_nothing_is_cut_where_no_terminal_reads(at_house: Type) -> None:
    """Names, texts and ids stay whole in a pipe, however long; the id stands last."""
    text = "seen at the pump " * 20
    at_house("log", "note", text, "--tank", "Nook")
    newest = at_house("logbook", "--json").document["entries"][0]
    line = at_house("logbook").out.splitlines()[1]
    assert text.strip() in line
    assert line.endswith(newest["id"])
    assert not any("…" in at_house(word).out for word in ("round", "ahead", "tanks", "logbook"))


def test_a_terminal_gets_ids_that_undo_takes(
    at_house: Type, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cut to the shortest beginning that no other entry has; a line fits into 80 columns."""
    monkeypatch.setattr(looking, "is_terminal", lambda: True)
    monkeypatch.setattr(looking, "screen_width", lambda: 80)
    at_house("log", "note", "seen at the pump " * 20, "--tank", "Nook")
    lines = at_house("logbook").out.splitlines()
    ids = [line.split()[-1] for line in lines[1:]]
    assert max(map(len, lines)) <= 80
    assert len(set(ids)) == len(ids)
    assert at_house("undo", ids[0]).out.startswith("Taken back: seen at the pump")


def test_a_span_of_the_logbook_is_not_turned_round(at_house: Type) -> None:
    """It is refused as in `ahead`; a weekday is the last one there, as nothing lies ahead."""
    answer = at_house("logbook", "--from", "2026-03-02", "--to", "2026-03-01")
    assert (answer.status, answer.out) == (1, "")
    by_word = at_house("logbook", "--from", "tuesday", "--json").document
    assert by_word == at_house("logbook", "--from", "2026-02-24", "--json").document


def test_now_governs_the_day(at_house: Type) -> None:
    """A moment before the day begins still belongs to the day before; an offset is heeded."""
    night = at_house("round", "--json", now="2026-03-03T03:59").document
    assert night["now"] == "2026-03-03T03:59:00+01:00"
    glass = [item for item in night["items"] if item["chore"] == "nook.wipe-the-glass"]
    assert glass[0]["state"] == "overdue"
    utc = at_house("round", "--json", now="2026-03-02T06:30:00+00:00").document
    assert utc["now"] == "2026-03-02T07:30:00+01:00"
    bare = at_house("round", "--json", now="2026-03-02").document
    assert bare["now"] == "2026-03-02T07:00:00+01:00"


def test_the_sample_stands_at_the_moment_given(type_: Type, tmp_path: Path) -> None:
    """--now governs a new sample too: its newest entries lie just before that moment."""
    file = tmp_path / "sample.tankkeeper"
    where = ("--household", str(file), "--now", "2027-06-15T07:00")
    assert type_("--now", "2027-06-15T07:00", "new", str(file), "--sample").status == 0
    now = datetime.fromisoformat(type_(*where, "round", "--json").document["now"])
    newest = type_(*where, "logbook", "--json").document["entries"][0]["at"]
    age = now - datetime.fromisoformat(newest)
    assert 0 <= age.total_seconds() < 2 * 86400
    states = {item["state"] for item in type_(*where, "round", "--json").document["items"]}
    assert {"overdue", "due"} <= states


def test_a_reservoir_lasts_a_span_of_days_in_the_list_of_tanks(type_: Type, tmp_path: Path) -> None:
    """Both ends, as the reason of its chore tells them: the low one alone reads as all there is."""
    text = tmp_path / "reservoir.toml"
    text.write_text(
        DEFINITIONS.replace("allowed_drop_mm = 4", "reservoir_l = 20"), encoding="utf-8"
    )
    house = ("--household", str(tmp_path / "reservoir.tankkeeper"), "--now", NOW)
    assert type_(*house, "import", str(text)).status == 0
    assert type_(*house, "log", "reservoir", "--tank", "Nook", "--left", "17").status == 0

    nook = type_(*house, "tanks").out.splitlines()[2].replace("\u00a0", " ")
    days = type_(*house, "tanks", "--json").document["tanks"][0]["reservoir_days"]

    low, high = int(days["low"]), round(days["high"])
    assert 0 < low < high
    assert f" {low} to {high} days" in nook
