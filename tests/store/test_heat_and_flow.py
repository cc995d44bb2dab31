"""What warms and moves a tank's water in the store: older files, changes, undo, what is learned."""

import json
import shutil
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Cover, CoverKind, Tank
from tankkeeper.core.logbook import How, Redefined, Thing, TopOff
from tankkeeper.core.volume import Sump
from tankkeeper.services import settling_in, settling_tanks, taking_back
from tankkeeper.services.desk import Desk
from tankkeeper.services.ports import LogQuery
from tankkeeper.services.settling import SetDown
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.opening import open_household
from tankkeeper.store.places import make_private_file
from tankkeeper.store.schema import APPLICATION_ID
from tankkeeper.store.upgrade import SCRIPTS, migrate
from tests.store.households import NOON, made
from tests.store.test_older_files import FIRST

HEAT = HeatAndFlow(300, 2, 2400, 1.5)
FLOW = ("heater_w", "fans", "return_l_per_h", "overflow_drop_cm")
NEW = ("heat_and_flow", "sump_free_l", *FLOW)
# What the program of the third schema wrote of a tank that was made, and of one changed then.
THIRD = """
UPDATE tank SET has_sump = 1, sump_litres = 90.0, sump_pipes_l = 4.5, has_cover = 1,
    cover_kind = 'lid', cover_covered = 0.75;
INSERT INTO own_range VALUES ('skerry', 0, 'nitrate', NULL, 10.0, '');
INSERT INTO equipment VALUES (0, 'heater', 'left', 'skerry', NULL, NULL);
"""


@pytest.fixture
def third(path: Path, tmp_path: Path) -> Path:
    """A household as the third schema kept it."""
    scripts = tmp_path / "third"
    shutil.copytree(SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__", "000[4-9]_*"))
    path.parent.mkdir(exist_ok=True)
    make_private_file(path)
    migrate(path, scripts, user_version=3)
    with closing(connect(path, Access.WRITE)) as plain:
        plain.execute(f"PRAGMA application_id={APPLICATION_ID}")
        for statement in filter(str.strip, (FIRST + THIRD).split(";\n")):
            plain.execute(statement)
    return path


def test_a_file_of_the_third_schema_keeps_its_tank_and_takes_the_new_fields(
    third: Path, clock: FixedClock
) -> None:
    """All that names the tank still does; what nobody set down is not known."""
    store = open_household(third, clock)
    with store.writing() as writing:
        house = writing.household()
        (one,) = house.tanks
        assert one.sump == Sump(90, pipes_l=4.5)
        assert one.cover == Cover(CoverKind.LID, 0.75)
        assert one.heat_and_flow is None
        assert [len(found) for found in (one.ranges, house.equipment, house.animals)] == [1, 1, 2]
        becomes = replace(one, heat_and_flow=HEAT, sump=replace(one.sump, free_l=20.0))
        writing.save_household(replace(house, tanks=(becomes,)))
    with store.reading() as reading:
        assert reading.household().tanks == (becomes,)
        assert [row.entry.fact for row in reading.entries(LogQuery())] == [TopOff(1.5)]
    assert store.check().problems == ()
    store.close()
    with closing(connect(third, Access.READ)) as plain:
        assert plain.execute("PRAGMA foreign_key_check").fetchall() == []
        texts = plain.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    assert not any("tank_before" in text for (text,) in texts)


def _tank(desk: Desk) -> Tank:
    with desk.store.reading() as reading:
        return reading.household().tanks[0]


def _set(desk: Desk, **more: object) -> SetDown:
    return settling_tanks.change_tank(desk, replace(_tank(desk), **more))


def test_another_fan_is_kept_with_its_moment_and_goes_with_its_undo(desk: Desk) -> None:
    """The first statement only makes it known; the second is a change, and undo takes it back."""
    first = _set(desk, heat_and_flow=HEAT)
    assert first.entry is not None
    assert first.entry.fact == Redefined(How.CHANGED, Thing.TANK, "Skerry")
    assert desk.state().history.restated == {}

    done = _set(desk, heat_and_flow=replace(HEAT, fans=3))
    assert done.entry is not None
    assert done.entry.fact == Redefined(How.CHANGED, Thing.TANK, "Skerry", moves_loss=True)
    assert desk.state().history.restated == {"skerry": [done.entry]}
    assert desk.state().history.restated_at("skerry") == (done.entry.at,)

    taking_back.undo(desk)
    assert _tank(desk).heat_and_flow == HEAT
    assert desk.state().history.restated == {}


def test_what_is_read_is_what_the_whole_log_says(desk: Desk) -> None:
    """Changes of the cover and of the name; only that of the cover may move the loss."""
    _set(desk, cover=Cover(CoverKind.LID))
    _set(desk, cover=Cover(CoverKind.OPEN))
    _set(desk, name="Skerries")
    with desk.store.reading() as reading:
        rows = [row.entry for row in reading.entries(LogQuery())]
        assert dict(reading.history().restated) == dict(history_of(rows).restated)
        assert len(reading.history().restated["skerry"]) == 1


def test_the_loss_is_less_sure_from_the_change_on_and_sure_again_when_undone(desk: Desk) -> None:
    """Fifteen fills of 2.5 L, then fans: the same rate with a wider span."""
    _set(desk, heat_and_flow=replace(HEAT, fans=0))
    with desk.store.writing() as writing:
        for number in range(1, 16):
            fill = made(100 + number, TopOff(2.5), tank="skerry")
            at = NOON - timedelta(days=16 - number)
            writing.add(replace(fill, at=at, day=at.date()))
    before = desk.state().waters["skerry"].loss
    _set(desk, heat_and_flow=HEAT)
    after = desk.state().waters["skerry"].loss
    taking_back.undo(desk)
    again = desk.state().waters["skerry"].loss

    assert before is not None
    assert after is not None
    assert after.value == before.value
    assert after.high > 1.2 * before.high
    assert again == before


def test_a_copy_has_the_same_heat_and_flow(desk: Desk) -> None:
    """Like its sizes."""
    _set(desk, heat_and_flow=HEAT, sump=Sump(90, pipes_l=3, free_l=20))
    settling_tanks.copy_tank(desk, "skerry", "Skerry two")

    with desk.store.reading() as reading:
        one, two = reading.household().tanks
    assert two.heat_and_flow == one.heat_and_flow == HEAT
    assert two.sump == one.sump


def _forget_new_columns(path: Path) -> None:
    """Leave out of every kept row the columns that the third schema did not have."""
    with closing(connect(path, Access.WRITE)) as plain:
        for column in ("was", "became"):
            kept = plain.execute(f"SELECT entry, place, {column} FROM redefinition").fetchall()
            for entry, place, text in kept:
                if text is None:
                    continue
                row = json.loads(text)
                old = {name: row[name] for name in row if not name.endswith(NEW)}
                plain.execute(
                    f"UPDATE redefinition SET {column} = ? WHERE entry = ? AND place = ?",
                    (json.dumps(old), entry, place),
                )


def test_what_an_older_program_changed_is_undone_and_done_again(desk: Desk, path: Path) -> None:
    """A tank that it made, which goes and comes again; of it nothing new is known."""
    zone = desk.state().household.zone
    answers = settling_in.Answers(zone, "Nook", _tank(desk).shape, None)
    settling_in.add_tank(desk, answers, ())
    _set(desk, name="Skerries")
    _forget_new_columns(path)

    for _ in range(2):
        taking_back.undo(desk)
    assert [one.name for one in desk.state().household.tanks] == ["Skerry"]
    for _ in range(2):
        taking_back.redo(desk)

    found = desk.state().household.tanks
    assert [(one.name, one.heat_and_flow) for one in found] == [("Skerries", None), ("Nook", None)]
