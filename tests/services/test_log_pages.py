"""Searching the logbook: filters, words, pages, and what became of an entry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.household import Animal, Loss, Room, Stage, TopOffLimits
from tankkeeper.core.logbook import TopOff
from tankkeeper.core.moment import moment_of
from tankkeeper.core.parameters import parse_reading
from tankkeeper.reports.log_words import (
    fate_words,
    found_sentence,
    found_text,
    gutter_day,
    word_hits,
)
from tankkeeper.reports.logbook_csv import HEADS, csv_lines
from tankkeeper.reports.words import Words
from tankkeeper.services import (
    log_pages,
    losing,
    moving,
    noting,
    settling_animals,
    settling_house,
    settling_tanks,
    taking_back,
    ticking,
)
from tankkeeper.services.correcting import as_it_is, correct
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_pages import log_extent, log_page
from tankkeeper.services.log_search import FoundEntry, LogKind, LogSearch
from tankkeeper.services.logbook import logbook
from tankkeeper.services.ports import LogQuery
from tests.builders import BERLIN
from tests.gui.round_house import SEVEN, make, small_house

NBSP = "\N{NO-BREAK SPACE}"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A desk on a house in a file, with eight entries of Ada and Bo."""
    clock = FixedClock(SEVEN)
    path = tmp_path / "pier.tankkeeper"
    make(path, small_house(), clock)
    opened = open_desk(path, clock)
    nook, reef = (next(t for t in small_house().tanks if t.id == one) for one in ("nook", "reef"))

    def stamp(day: int, by: str, note: str = "") -> noting.Stamp:
        return noting.Stamp(datetime.combine(date(2026, 3, day), time(8), BERLIN), by, note)

    noting.log_top_off(opened, nook, 1.5, stamp=stamp(9, "ada"))
    noting.log_note(opened, "Ärger mit dem 50% Filter_2", reef, stamp(3, "bo"))
    reading = parse_reading("nitrate", "12", None)
    noting.log_reading(opened, reef, (reading,), stamp(10, "bo", "looked cloudy"))
    noting.log_dose(opened, reef, "Kalkwasser", 4.0, stamp(8, "ada"))
    ticking.tick(opened, [ticking.Tick("glass", by="ada")])
    moving.skip(opened, ["wipe"], by="bo")
    moving.put_off(opened, "lamp", date(2026, 3, 14), "ada")
    noting.log_note(opened, "Fed flakes", None, noting.Stamp(by="bo"))
    yield opened
    opened.store.close()


def words_of(desk: Desk) -> Words:
    """Return the words of the household today."""
    household = small_house()
    return Words(household, moment_of(household, desk.clock.now()))


def found(desk: Desk, **wanted: object) -> list[FoundEntry]:
    """Return all that a search finds."""
    typed = wanted.pop("typed", "")
    hits = word_hits(str(typed), words_of(desk))
    search = LogSearch(words=hits, **wanted)  # type: ignore[arg-type]
    return [one for page in log_pages.log_pages(desk, search) for one in page.slice.found]


def texts(desk: Desk, **wanted: object) -> list[str]:
    """Return what a search finds, in words."""
    return [found_text(one, words_of(desk)) for one in found(desk, **wanted)]


@pytest.mark.parametrize(
    ("typed", "is_found"),
    [("reservoir", True), ("poured", True), ("topped", True), ("drained", False)],
)
def test_what_was_poured_into_a_reservoir_is_found_by_its_words(
    desk: Desk, typed: str, is_found: bool
) -> None:
    """It is kept as a part of a top-off; another tank's part has no reservoir to go into."""
    household = small_house()
    nook, reef = (next(t for t in household.tanks if t.id == one) for one in ("nook", "reef"))
    piped = replace(reef, top_off=TopOffLimits(reservoir_l=20.0))
    for tank in (nook, reef):
        noting.log_top_off(desk, tank, 1.0, is_part=True)
    tanks = tuple(piped if one.id == "reef" else one for one in household.tanks)
    words = Words(replace(household, tanks=tanks), moment_of(household, desk.clock.now()))

    search = LogSearch(words=word_hits(typed, words))
    seen = [one for page in log_pages.log_pages(desk, search) for one in page.slice.found]
    said = [found_text(one, words) for one in seen]

    assert (f"Poured 1{NBSP}L into the reservoir, not full" in said) is is_found
    assert (f"Topped off in part, 1{NBSP}L" in said) is (typed == "topped")


def test_a_number_that_may_be_a_day_is_looked_for_as_an_amount_too(desk: Desk) -> None:
    """8.6 is the sixth of August or the eighth of June, and what was poured in today."""
    noting.log_top_off(desk, small_house().tank("reef"), 8.6)

    assert any(f"8.6{NBSP}L" in text for text in texts(desk, typed="8.6"))
    assert any(one.days for one in word_hits("8.6", words_of(desk)))


def test_why_an_animal_was_lost_is_told_and_found(desk: Desk) -> None:
    """In the words of its row, wherever they stand; what was told before is not told again."""
    tang = Animal("reef", "Yellow tang", 3)
    settling_animals.add_animal(desk, tang)
    first = replace(tang, lost=(Loss(date(2026, 3, 11), 1, "jumped out"),))
    losing.change_animal(desk, tang, first, "bo")
    second = replace(first, lost=(*first.lost, Loss(date(2026, 3, 12), 1, "never ate")))
    losing.change_animal(desk, first, second, "bo")
    losing.change_animal(desk, second, replace(second, diet="algae"))

    assert texts(desk, typed="jumped") == [
        "Lost from the animals: Yellow tang (1 of 3). Jumped out"
    ]
    assert texts(desk, typed="never ate") == [
        "Lost from the animals: Yellow tang (1 of 2). Never ate"
    ]
    assert len(texts(desk, typed="lost")) == 2
    table = csv_lines(found(desk, typed="jumped"), words_of(desk))
    assert "Lost from the animals: Yellow tang (1 of 3). Jumped out" in table
    assert "Changed among the animals: Yellow tang" in texts(desk, tank="reef")


def test_how_many_animals_came_or_were_lost_is_told_where_somebody_said_so(desk: Desk) -> None:
    """A loss without a number tells none, and one of which nobody knows how many lived no whole."""
    some, three = Animal("reef", "Snail"), Animal("reef", "Wrasse", 3)
    for one in (some, three):
        settling_animals.add_animal(desk, one)
    losing.change_animal(desk, some, replace(some, lost=(Loss(None, 2),)))
    losing.change_animal(desk, three, replace(three, lost=(Loss(None, None),)))

    assert texts(desk, tank="reef")[:4] == [
        "Lost from the animals: Wrasse",
        "Lost from the animals: Snail (2)",
        "Added to the animals: Wrasse (3)",
        "Added to the animals: Snail",
    ]


def test_why_new_animals_were_lost_is_told_where_they_are_added(desk: Desk) -> None:
    """Somebody may write down later what came and was lost since."""
    lost = (Loss(None, 1, "bullied"), Loss(None, 1, "bullied"), Loss(None, 1))
    settling_animals.add_animal(desk, Animal("reef", "Chromis", 5, lost=lost))

    assert texts(desk, typed="bullied") == ["Added to the animals: Chromis (5). Bullied"]


def test_what_was_set_down_is_found_by_the_words_that_tell_it(desk: Desk) -> None:
    """By those of its own row, not of any other; what a stage was set to is one of them."""
    settling_tanks.set_stage(desk, "nook", Stage.PLANNED)
    settling_tanks.set_stage(desk, "nook", Stage.PAUSED)
    settling_tanks.copy_tank(desk, "reef", "Cove")
    settling_house.add(desk, Room("", "Cellar"))

    assert texts(desk, typed="planned") == ["Set the stage of Nook to planned"]
    assert texts(desk, typed="stage of nook") == [
        "Set the stage of Nook to paused",
        "Set the stage of Nook to planned",
    ]
    assert texts(desk, typed="copy") == ["Added the tank Cove, a copy of Reef"]
    assert texts(desk, typed="added room") == ["Added the room Cellar"]
    assert texts(desk, typed="taken out") == []
    settling_house.remove(desk, desk.state().household.rooms[-1])
    assert texts(desk, typed="taken out") == ["Took out the room Cellar"]


def test_what_was_poured_into_a_reservoir_is_of_its_kind(tmp_path: Path) -> None:
    """Not of the top-offs; of a tank without one a part of a top-off is."""
    clock = FixedClock(SEVEN)
    reef, nook = small_house().tanks
    reef = replace(reef, top_off=TopOffLimits(reservoir_l=20.0))
    path = tmp_path / "pier.tankkeeper"
    make(path, small_house(tanks=(reef, nook)), clock)
    desk = open_desk(path, clock)
    noting.log_reservoir(desk, reef, part_l=5.0)
    noting.log_reservoir(desk, reef, fill_l=9.0)
    noting.log_top_off(desk, nook, 1.0, is_part=True)
    noting.log_top_off(desk, nook, 2.0)

    words = Words(replace(small_house(), tanks=(reef, nook)), moment_of(small_house(), SEVEN))

    def told(kind: LogKind) -> list[str]:
        return sorted(found_text(one, words) for one in found(desk, kind=kind))

    assert told(LogKind.RESERVOIR) == [
        f"Filled the reservoir, 9{NBSP}L until full",
        f"Poured 5{NBSP}L into the reservoir, not full",
    ]
    assert told(LogKind.TOP_OFF) == [
        f"Topped off in part, 1{NBSP}L",
        f"Topped off, 2{NBSP}L to the mark",
    ]
    desk.store.close()


def test_entries_stand_by_the_time_at_which_things_happened(desk: Desk) -> None:
    """What was written later for an earlier day stands on that day."""
    days = [one.entry.day.day for one in found(desk)]

    assert days == [12, 12, 12, 12, 10, 9, 8, 3]


def test_pages_of_any_size_give_the_same_entries_once(desk: Desk) -> None:
    """Going on below the last place neither leaves one out nor tells one twice."""
    whole = [one.entry.id for one in found(desk)]

    for most in (1, 2, 3, 5):
        pages = log_pages.log_pages(desk, LogSearch(), most)
        assert [one.entry.id for page in pages for one in page.slice.found] == whole


def test_a_short_reach_only_takes_more_steps(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stretch in which nothing is found is passed over, not taken for the end."""
    monkeypatch.setattr(log_pages, "REACH", 2)

    page = log_page(desk, LogSearch(kind=LogKind.DOSE))

    assert page.slice.found == []
    assert page.slice.reached is not None
    assert texts(desk, kind=LogKind.DOSE) == [f"Dosed 4{NBSP}g of Kalkwasser"]


@pytest.mark.parametrize(
    ("wanted", "count"),
    [
        ({"tank": "nook"}, 2),
        ({"person": "bo"}, 4),
        ({"chore": "glass"}, 1),
        ({"chore": "wipe"}, 1),
        ({"chore": "lamp"}, 1),
        ({"kind": LogKind.DONE}, 1),
        ({"kind": LogKind.NOTE}, 2),
        ({"kind": LogKind.READING}, 1),
        ({"kind": LogKind.PUT_OFF}, 1),
        ({"kind": LogKind.UNDO}, 0),
        ({"from_day": date(2026, 3, 9), "to_day": date(2026, 3, 10)}, 2),
        ({"to_day": date(2026, 3, 3)}, 1),
        ({"from_day": date(9999, 12, 31)}, 0),
        ({"person": "ada", "tank": "nook"}, 2),
    ],
)
def test_a_filter_leaves_only_what_it_names(
    desk: Desk, wanted: dict[str, object], count: int
) -> None:
    """By tank, person, chore, kind and day, alone and together."""
    assert len(found(desk, **wanted)) == count


@pytest.mark.parametrize(
    ("typed", "count"),
    [
        ("glass", 1),
        ("GLASS ada", 1),
        ("glass bo", 0),
        ("nook", 2),
        ("topped", 1),
        ("nitrate", 1),
        ("cloudy", 1),
        ("kalk", 1),
        ("skipped", 1),
        ("flakes", 1),
        ("ärger", 1),
        ("ÄRGER", 1),
        ("50%", 1),
        ("5%%", 0),
        ("filter_", 1),
        ("filter__", 0),
        ("'; DROP TABLE entry; --", 0),
        ("", 8),
    ],
)
def test_typing_finds_names_kinds_parameters_and_notes(desk: Desk, typed: str, count: int) -> None:
    """Every word has to be found; no sign of a word stands for another."""
    assert len(found(desk, typed=typed)) == count


def test_an_entry_that_was_taken_back_tells_by_whom_and_when(desk: Desk) -> None:
    """It stays readable; the row that took it back tells what it was."""
    (glass,) = found(desk, chore="glass")
    taking_back.undo(desk, glass.entry.id, "bo")

    (struck,) = found(desk, chore="glass")
    undo = found(desk, kind=LogKind.UNDO)[0]

    assert fate_words(struck, words_of(desk)) == "taken back by Bo today at 07:04"
    assert found_text(undo, words_of(desk)) == "Taken back: Clean the glass"
    assert found_sentence(
        struck, words_of(desk), found_text(struck, words_of(desk)), struck.entry.tank
    ) == (
        f"Thursday 12{NBSP}March, 07:04, Reef, Done: Clean the glass, by Ada, "
        "taken back by Bo today at 07:04"
    )


def test_an_undo_of_an_undo_lets_the_entry_hold_again(desk: Desk) -> None:
    """Only what holds takes back."""
    (glass,) = found(desk, chore="glass")
    undone = taking_back.undo(desk, glass.entry.id, "bo")
    taking_back.undo(desk, undone.entry.id, "bo")

    (again,) = found(desk, chore="glass")

    assert again.revoked_by is None


def test_a_corrected_entry_names_what_stands_in_its_place(desk: Desk) -> None:
    """Both are found: the old one struck, the new one told as corrected."""
    (old,) = found(desk, kind=LogKind.TOP_OFF)
    said = as_it_is(old.entry)
    correct(desk, old.entry.id, type(said)(said.at, said.by, TopOff(2.0), said.note))

    new, struck = found(desk, kind=LogKind.TOP_OFF)

    assert found_text(new, words_of(desk)) == f"Corrected: Topped off, 2{NBSP}L to the mark"
    assert new.target == old.entry
    assert struck.revoked_by == new.entry
    assert fate_words(struck, words_of(desk)) == "corrected today at 07:04"
    page = logbook(desk, LogQuery()).entries
    fates = {row.entry.id: (row.revoked, row.corrected) for row in page}
    assert (fates[old.entry.id], fates[new.entry.id]) == ((True, True), (False, False))
    assert found(desk, kind=LogKind.CORRECTION) == [new]


def test_the_extent_is_that_of_the_whole_log(desk: Desk) -> None:
    """The first day is that of the earliest thing that happened."""
    extent = log_extent(desk)

    assert (extent.entries, extent.first_on) == (8, date(2026, 3, 3))


def test_a_table_for_a_spreadsheet_holds_what_is_shown(desk: Desk) -> None:
    """One line an entry under the names of the columns; no cell can be taken for a formula."""
    noting.log_note(desk, '=1+1, "quoted"', None, noting.Stamp(by="ada"))
    rows = found(desk, kind=LogKind.NOTE)

    lines = csv_lines(rows, words_of(desk), heads=True).split("\r\n")

    assert lines[0] == ",".join(HEADS)
    assert lines[1].startswith('2026-03-12,07:04,Notes,,"\'=1+1, ""quoted""",Ada,,')
    assert len(lines) == 1 + 3 + 1


def test_an_undo_that_was_undone_was_done_again_in_the_table_too(desk: Desk) -> None:
    """Three lines of one note: it was done again, by which its undo is over."""
    noting.log_note(desk, "the pump hums", None, noting.Stamp(by="ada"))
    taking_back.undo(desk)
    taking_back.redo(desk)

    rows = [one for one in found(desk) if "the pump hums" in found_text(one, words_of(desk))]
    table = csv_lines(rows, words_of(desk)).splitlines()

    assert [line.split(",")[4] for line in table] == [
        "Did again: the pump hums",
        "Taken back: the pump hums",
        "the pump hums",
    ]
    assert ["done again" in line for line in table] == [False, True, False]
    assert not any("taken back," in line for line in table)


def test_days_beside_the_rows_are_short_and_not_to_be_mistaken(desk: Desk) -> None:
    """Of another year the year is told, else the weekday."""
    words = words_of(desk)
    today = date(2026, 3, 12)

    told = [gutter_day(today - timedelta(days=back), words) for back in (0, 1, 2, 400)]

    assert told == ["Today", "Yesterday", f"Tue 10{NBSP}Mar", f"5{NBSP}Feb 2025"]
