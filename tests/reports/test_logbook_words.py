"""The text of an entry of the logbook."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from tankkeeper.core.household import Person, Stage, Supply, TopOffLimits
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    How,
    Note,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    Redefined,
    ReservoirCheck,
    Resume,
    Revoke,
    Shift,
    Skip,
    StockChange,
    Thing,
    TopOff,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import parse_reading
from tankkeeper.reports.logbook_words import entry_kind, entry_text
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.people_names import shown_people
from tankkeeper.reports.words import Words
from tests.builders import a_household, an_entry
from tests.reports.scenes import MOMENT, NB, PEOPLE, TODAY, chore, nook

HOME = replace(
    a_household(),
    people=PEOPLE,
    tanks=(nook(),),
    chores=(chore(),),
    supplies=(Supply("salt", "salt mix", "g"), Supply("supply")),
)
WORDS = Words(HOME, MOMENT)
TURN = Turn("it", "2026-03-12", time(8))
CHANGE = WaterChange(40.0, salinity=35.1)
READ = (
    parse_reading("nitrate", "12 mg/L"),
    parse_reading("salinity", "1.0264 sg25/25 @25.4C"),
    parse_reading("ph", "8.15"),
)


@pytest.mark.parametrize(
    ("fact", "kind", "said"),
    [
        (TopOff(2.4), "top-off", "Topped off, 2.4 L to the mark"),
        (TopOff(2.4, to_mark=False), "top-off", "Topped off in part, 2.4 L"),
        (TopOff(2.4, estimated=True), "top-off", "Topped off, 2.4 L to the mark, not measured"),
        (CHANGE, "water-change", "Changed water, 40 L at salinity 35.1 PSU"),
        (
            WaterChange(40.0, salinity=35.0, estimated=True),
            "water-change",
            "Changed water, 40 L (not measured) at salinity 35.0 PSU",
        ),
        (
            WaterChange(40.0, 38.0, 35.1, 25.0),
            "water-change",
            "Changed water, 40 L taken out, 38 L at salinity 35.1 PSU put in, 25.0 °C",
        ),
        (ReservoirCheck(left_l=12.0), "reservoir", "Looked at the reservoir, 12 L left"),
        (ReservoirCheck(fill_l=9.5), "reservoir", "Filled the reservoir, 9.5 L until full"),
        (ReservoirCheck(), "reservoir", "Filled the reservoir until full"),
        (
            Readings(READ),
            "reading",
            "Read nitrate 12 mg/L, salinity 1.0264 sg 25/25 at 25.4 °C, pH 8.15",
        ),
        (Dose("sodium bicarbonate", 12.5), "dose", "Dosed 12.5 g of sodium bicarbonate"),
        (Dose("kalk"), "dose", "Dosed kalk"),
        (Dose("", 3.0), "dose", "Dosed 3 g of something"),
        (Dose(), "dose", "Dosed something"),
        (StockChange("salt", add=20000.0), "stock", "Bought 20000 g of salt mix"),
        (StockChange("", add=3.0), "stock", "Bought 3 of an unnamed supply"),
        (StockChange("supply", count=3.0), "stock", "Counted 3 of an unnamed supply"),
        (
            StockChange("salt", count=8000.0, expires_on=date(2028, 1, 1)),
            "stock",
            "Counted 8000 g of salt mix, to be used by 1 January 2028",
        ),
        (Skip(TURN), "skip", "Skipped: Clean the glass"),
        (PutOff(TURN, date(2026, 3, 14)), "put-off", "Put off to 14 March: Clean the glass"),
        (
            PutOff(TURN, date(2026, 3, 11)),
            "put-off",
            "Brought forward to 11 March: Clean the glass",
        ),
        # Where it stood at that time decides, be it put off to there before.
        (
            PutOff(TURN, date(2026, 3, 14), date(2026, 3, 16)),
            "put-off",
            "Brought forward to 14 March: Clean the glass",
        ),
        (
            PutOff(Turn("it", "after:e1"), date(2026, 3, 14), date(2026, 3, 12)),
            "put-off",
            "Put off to 14 March: Clean the glass",
        ),
        (
            PutOff(Turn("it", "first"), date(2026, 3, 11), date(2026, 3, 12)),
            "put-off",
            "Brought forward to 11 March: Clean the glass",
        ),
        # Counted from the last time, by an older program: the row does not say which way it went.
        (
            PutOff(Turn("it", "after:e1"), date(2026, 3, 11)),
            "put-off",
            "Moved to 11 March: Clean the glass",
        ),
        (
            Shift(TURN, date(2026, 3, 14)),
            "shift",
            "Moved from here on to 14 March: Clean the glass",
        ),
        (Pause(PauseMode.HOLD, "it"), "pause", "Paused: Clean the glass"),
        (
            Pause(PauseMode.FREEZE, None, date(2026, 4, 1)),
            "pause",
            "Paused the tank Nook until 1 April; its days do not count",
        ),
        (
            Pause(PauseMode.HOLD, "it", date(2026, 4, 1)),
            "pause",
            "Paused until 1 April: Clean the glass",
        ),
        (Resume("it"), "resume", "Resumed: Clean the glass"),
        (Resume(), "resume", "Resumed the tank Nook"),
        (Revoke("e7"), "undo", "Taken back: an earlier entry"),
        (None, "note", "Nothing written down"),
    ],
)
def test_every_kind_of_entry_has_a_text(fact: Fact | None, kind: str, said: str) -> None:
    """One line, with units, and names instead of ids."""
    entry = an_entry(1, TODAY, fact, tank="nook")

    assert plain(entry_text(entry, WORDS)) == said
    assert entry_kind(entry, WORDS) == kind


@pytest.mark.parametrize(
    ("fact", "said"),
    [
        (TopOff(15.0, to_mark=False), "Poured 15 L into the reservoir, not full"),
        (TopOff(None, to_mark=False), "Poured some into the reservoir, not full"),
        (TopOff(15.0), "Topped off, 15 L to the mark"),
    ],
)
def test_a_part_goes_into_the_reservoir_where_there_is_one(fact: Fact, said: str) -> None:
    """Nobody pours it into the tank there."""
    piped = replace(nook(), top_off=TopOffLimits(reservoir_l=20.0))
    words = Words(replace(HOME, tanks=(piped,)), MOMENT)

    entry = an_entry(1, TODAY, fact, tank="nook")
    assert plain(entry_text(entry, words)) == said
    is_poured = said.startswith("Poured")
    assert entry_kind(entry, words) == ("reservoir" if is_poured else "top-off")


def test_work_that_has_no_fact_of_its_own_names_its_chore() -> None:
    """With the litres or grams where they were given."""
    done = an_entry(1, TODAY, done="it")
    mixed = an_entry(2, TODAY, Work(litres=14.0, grams=515.0), done="it")

    assert entry_text(done, WORDS) == "Done: Clean the glass"
    assert entry_kind(done, WORDS) == "done"
    assert entry_text(mixed, WORDS) == f"Done: Clean the glass, 14{NB}L, 515{NB}g"


def test_people_without_a_name_are_numbered_past_those_who_are_called_so() -> None:
    """Each is shown once, whatever the others are called."""
    people = [("a", ""), ("b", "Unnamed person 2"), ("c", ""), ("d", "Bo")]
    house = replace(HOME, people=tuple(Person(*one) for one in people))

    assert shown_people(house) == {
        "a": "Unnamed person",
        "b": "Unnamed person 2",
        "c": "Unnamed person 3",
        "d": "Bo",
    }
    assert Words(house, MOMENT).person("c") == "Unnamed person 3"
    assert Words(house, MOMENT).person("gone") == "gone"
    assert Words(house, MOMENT).person(None) is None


def test_a_note_is_its_own_text_and_follows_other_entries() -> None:
    """What somebody wrote is never dropped."""
    note = replace(an_entry(1, TODAY, Note()), note="The goby is back")
    noted = replace(an_entry(2, TODAY, TopOff(2.4)), note="spilt some")

    assert entry_text(note, WORDS) == "The goby is back"
    assert entry_text(noted, WORDS) == f"Topped off, 2.4{NB}L to the mark. Spilt some"


def test_an_undo_tells_what_it_took_back() -> None:
    """And an undo of an undo that the first one holds again."""
    entry = an_entry(1, TODAY, CHANGE)
    undo = an_entry(2, TODAY, Revoke("e1"))
    redo = an_entry(3, TODAY, Revoke("e2"))
    known = {one.id: one for one in (entry, undo)}

    said = plain(entry_text(undo, WORDS, known))
    assert said == "Taken back: Changed water, 40 L at salinity 35.1 PSU"
    said = plain(entry_text(redo, WORDS, known))
    assert said == "Did again: Changed water, 40 L at salinity 35.1 PSU"


@pytest.mark.parametrize(
    ("entry", "text"),
    [
        (an_entry(2, TODAY, TopOff(2.4)), "Topped off, 2.4 L to the mark"),
        (an_entry(2, TODAY, CHANGE), "Changed water, 40 L at salinity 35.1 PSU"),
        (an_entry(2, TODAY, done="it"), "Clean the glass"),
        (an_entry(2, TODAY, Work(12.0), done="it"), "Clean the glass, 12 L"),
        (an_entry(2, TODAY, Skip(TURN)), "Clean the glass (skipped)"),
        (
            an_entry(2, TODAY, PutOff(TURN, date(2026, 3, 14))),
            "Clean the glass (put off to 14 March)",
        ),
        (an_entry(2, TODAY, Pause(PauseMode.HOLD, "it")), "Clean the glass (paused)"),
        (an_entry(2, TODAY, Dose("kalk", 5.0)), "Dosed 5 g of kalk"),
    ],
)
def test_a_correction_names_what_it_corrects(entry: Entry, text: str) -> None:
    """As the entry does that it replaces, without a second colon; its note follows."""
    corrected = replace(entry, replaces="e1")
    assert plain(entry_text(corrected, WORDS)) == f"Corrected: {text}"
    assert plain(entry_text(replace(corrected, note="both"), WORDS)) == f"Corrected: {text}. Both"


def test_a_corrected_note_says_so_as_well() -> None:
    """It is its own text."""
    note = replace(an_entry(2, TODAY, Note()), note="The goby is back", replaces="e1")
    assert entry_text(note, WORDS) == "Corrected: The goby is back"


def test_what_is_gone_from_the_household_is_told_by_its_id() -> None:
    """An old entry can always be read."""
    entry = an_entry(1, TODAY, Skip(Turn("gone.chore", "first")))

    assert entry_text(entry, WORDS) == "Skipped: gone.chore"


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        (Redefined(How.ADDED, Thing.TANK, "Lagoon"), "Added the tank Lagoon"),
        (Redefined(How.CHANGED, Thing.TANK, "Lagoon"), "Changed the tank Lagoon"),
        (Redefined(How.PAUSED, Thing.TANK, "Lagoon"), "Laid the tank Lagoon to rest"),
        (
            Redefined(How.PAUSED, Thing.TANK, "Lagoon", stage=Stage.PLANNED),
            "Set the stage of Lagoon to planned",
        ),
        (
            Redefined(How.PAUSED, Thing.TANK, "Lagoon", stage=Stage.PAUSED),
            "Set the stage of Lagoon to paused",
        ),
        (
            Redefined(How.CHANGED, Thing.TANK, "Lagoon", stage=Stage.CYCLING),
            "Set the stage of Lagoon to cycling",
        ),
        (
            Redefined(How.RETIRED, Thing.TANK, "Lagoon", stage=Stage.RETIRED),
            "Retired the tank Lagoon",
        ),
        (Redefined(How.RESUMED, Thing.TANK, "Lagoon"), "Took the tank Lagoon up again"),
        (
            Redefined(How.COPIED, Thing.TANK, "Lagoon", like="nook"),
            "Added the tank Lagoon, a copy of Nook",
        ),
        (Redefined(How.COPIED, Thing.TANK, "Lagoon"), "Added the tank Lagoon as a copy"),
        (Redefined(How.IMPORTED, Thing.HOUSEHOLD, "Pier 3"), "Imported the household Pier 3"),
        (Redefined(How.IMPORTED, Thing.TANK, "Cove"), "Imported the tank Cove"),
        (Redefined(How.IMPORTED, Thing.TANK, "Cove, Bay"), "Imported the tanks Cove, Bay"),
        (Redefined(How.IMPORTED, Thing.TANK), "Imported a tank file"),
        (Redefined(How.ADDED, Thing.CHORE, "Feed, Wipe"), "Added the chores Feed, Wipe"),
        (Redefined(How.ADDED, Thing.CHORE, "Feed, Wipe", "feed"), "Added the chore Feed, Wipe"),
        (Redefined(How.CHANGED, Thing.PERSON), "Changed a person without a name"),
        (Redefined(How.REMOVED, Thing.EQUIPMENT, "heater"), "Took out of the equipment: heater"),
        (Redefined(How.BEGUN, Thing.TANK, "Lagoon"), "Started the tank Lagoon"),
        (Redefined(How.ADDED, Thing.ANIMAL, "Yellow tang"), "Added to the animals: Yellow tang"),
        (
            Redefined(How.CHANGED, Thing.ANIMAL, "two gobies"),
            "Changed among the animals: two gobies",
        ),
        (Redefined(How.REMOVED, Thing.ANIMAL), "Took out of the animals: some without a name"),
        (Redefined(How.ENDED, Thing.CHORE, "Feed", "nook.feed"), "Ended the chore Feed"),
        (Redefined(How.CHANGED, Thing.SALT_MIX), "Changed the salt mix"),
        (Redefined(How.REORDERED, Thing.TANK), "Changed the order of the walk"),
    ],
)
def test_a_change_of_what_is_set_down_says_what_was_done_to_what(fact: Fact, text: str) -> None:
    """In the logbook, beside `undo`, and in an undo of it."""
    entry = an_entry(1, TODAY, fact)

    assert entry_text(entry, WORDS) == text
    assert entry_kind(entry, WORDS) == "definition"


def test_every_change_has_its_words() -> None:
    """No pair of what was done and to what is left without."""
    for how in How:
        for thing in Thing:
            assert entry_text(an_entry(1, TODAY, Redefined(how, thing, "x")), WORDS)


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (an_entry(1, TODAY, done="gone.chore"), "gone.chore"),
        (an_entry(1, TODAY, Skip(Turn("gone.chore", "first"))), "gone.chore (skipped)"),
        (
            replace(an_entry(1, TODAY, TopOff(2.4)), replaces="e0"),
            "Topped off, 2.4 L to the mark (a correction)",
        ),
        (replace(an_entry(1, TODAY, Note()), note="The goby: back"), "The goby: back"),
        (
            an_entry(1, TODAY, Pause(PauseMode.HOLD, "it", date(2026, 4, 1))),
            "Clean the glass (paused until 1 April)",
        ),
        (
            an_entry(1, TODAY, Pause(PauseMode.HOLD, None, date(2026, 4, 1)), tank="nook"),
            "Paused the tank Nook until 1 April",
        ),
    ],
)
def test_what_is_told_behind_a_colon_has_none_of_its_own(entry: Entry, said: str) -> None:
    """Not "Taken back: Skipped: Wipe the lid"."""
    undo = an_entry(2, TODAY, Revoke("e1"))

    assert plain(entry_text(undo, WORDS, {"e1": entry})) == f"Taken back: {said}"
