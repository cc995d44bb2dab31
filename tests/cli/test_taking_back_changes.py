"""A change of what is set down is told and taken back from the command line like any tick."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from tankkeeper.app.bootstrap import desk_on
from tankkeeper.app.clock import FixedClock, Ids
from tankkeeper.core.household import Stage
from tankkeeper.services import settling_tanks, taking_back
from tankkeeper.services.correcting import as_it_is, correct
from tankkeeper.services.desk import Desk
from tankkeeper.store.opening import open_household
from tests.cli.harbour import Type, items_of


def _change(house: Path) -> None:
    clock = FixedClock(datetime(2026, 3, 2, 6, 40, tzinfo=UTC))
    store = open_household(house, clock)
    desk = Desk(store, clock, Ids())
    nook = desk.state().household.tank("nook")
    settling_tanks.change_tank(desk, replace(nook, jumpers=True), by="ilse")
    settling_tanks.set_stage(desk, "nook", Stage.PAUSED)
    store.close()


def _taken_out(at_house: Type, folder: Path) -> str:
    file = folder / "taken-out.toml"
    at_house("export", "--force", "all", str(file))
    return file.read_text(encoding="utf-8")


def test_undo_takes_back_a_change_of_a_tank_in_order_with_the_ticks(
    at_house: Type, house: Path, tmp_path: Path
) -> None:
    """The tick after it goes first, then the stage, then the other change; redo brings it back."""
    before = _taken_out(at_house, tmp_path)
    _change(house)
    assert "nook.wipe-the-glass" not in items_of(at_house("round", "--json"))

    stage = at_house("undo", now="2026-03-02T08:00")
    assert "Taken back: Set the stage of Nook to paused" in stage.out
    assert "nook.wipe-the-glass" in items_of(at_house("round", "--json"))
    at_house("tick", "nook.wipe-the-glass", now="2026-03-02T08:01")
    assert "Taken back: " in at_house("undo", now="2026-03-02T08:02").out
    assert "Taken back: Changed the tank Nook" in at_house("undo", now="2026-03-02T08:03").out
    assert "jumpers" not in _taken_out(at_house, tmp_path)
    assert _taken_out(at_house, tmp_path).partition("[[log]]")[0] == before.partition("[[log]]")[0]
    assert "jumpers" not in before
    at_house("redo", now="2026-03-02T08:04")
    assert "jumpers = true" in _taken_out(at_house, tmp_path)


def test_a_file_taken_out_after_changes_can_be_put_in_again(
    at_house: Type, house: Path, tmp_path: Path, type_: Type
) -> None:
    """The file holds what is set down as it stands; how it came to that stays in the household."""
    _change(house)
    text = tmp_path / "out.toml"
    text.write_text(_taken_out(at_house, tmp_path), encoding="utf-8")

    other = tmp_path / "other.tankkeeper"
    said = type_("--household", str(other), "--now", "2026-03-02T09:00", "import", str(text))

    assert (said.status, said.err) == (0, "")
    again = tmp_path / "again.toml"
    type_("--household", str(other), "--now", "2026-03-02T09:00", "export", "all", str(again))
    assert again.read_text(encoding="utf-8") == text.read_text(encoding="utf-8")


def test_the_logbook_names_a_tank_whose_adding_was_taken_back(at_house: Type, house: Path) -> None:
    """Its rows keep the name that it had, not its id."""
    clock = FixedClock(datetime(2026, 3, 2, 6, 40, tzinfo=UTC))
    store = open_household(house, clock)
    desk = Desk(store, clock, Ids())
    settling_tanks.copy_tank(desk, "nook", "Long Bay")
    taking_back.undo(desk)
    store.close()

    out = at_house("logbook").out

    assert "Long Bay" in out
    assert "long-bay" not in out


def test_the_logbook_says_of_a_corrected_entry_that_it_was_corrected(
    at_house: Type, house: Path
) -> None:
    """As the window does; what was taken back is another thing."""
    at_house("log", "note", "the lamp hums")
    at_house("log", "note", "the pump hums")
    rows = at_house("logbook", "--json").document["entries"]
    ids = {str(row["text"]): str(row["id"]) for row in rows}
    lamp = ids["the lamp hums"]
    with desk_on(house, FixedClock(datetime(2026, 3, 2, 6, 40, tzinfo=UTC))) as desk:
        with desk.store.reading() as reading:
            old = reading.entry(lamp)
        assert old is not None
        correct(desk, lamp, replace(as_it_is(old.entry), note="the lamp flickers"))
    at_house("undo", ids["the pump hums"])

    out = at_house("logbook").out

    assert "the pump hums (taken back)" in out
    assert "the lamp hums (corrected)" in out


def test_the_logbook_says_of_an_undo_that_was_undone_that_it_was_done_again(
    at_house: Type,
) -> None:
    """Its line begins with what it did: "Taken back: ... (taken back)" would say that twice."""
    at_house("log", "note", "the pump hums")
    at_house("undo")
    at_house("redo")

    out = at_house("logbook").out
    lines = [line for line in out.splitlines() if "the pump hums" in line]

    assert "Did again: the pump hums" in lines[0]
    assert "Taken back: the pump hums (done again)" in lines[1]
    assert "(" not in lines[0] + lines[2]
