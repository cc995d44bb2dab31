"""A file that an older program made opens, keeps every row, and takes what is new since."""

import json
import shutil
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.household import Animal, Container, Loss, WaterFor
from tankkeeper.core.logbook import Revoke, TopOff
from tankkeeper.services.ports import LogQuery
from tankkeeper.store import backups
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.opening import open_household
from tankkeeper.store.places import make_private_file
from tankkeeper.store.schema import APPLICATION_ID, USER_VERSION, row_counts
from tankkeeper.store.upgrade import SCRIPTS, migrate
from tests.store.households import made

LOST = ("lost_on", "lost_count", "lost_why")
# What the program of the first schema wrote, column by column, for a household with history.
FIRST = """
INSERT INTO household VALUES (0, 'Pier 9', 'Europe/Oslo', '04:00:00', '07:00:00', 0, 'NOK',
    'L', 'degC', 'practical', 'dKH', 3, 'a1', 'pier');
INSERT INTO person VALUES (0, 'ilse', 'Ilse', '[20, 20, 20, 20, 20, 60, 60]', 16.0, '[]');
INSERT INTO room VALUES (0, 'hall', 'hall', 0.1);
INSERT INTO climate VALUES ('hall', 0, 2, 17.5, 0.61), ('hall', 1, 8, 26.0, 0.48);
INSERT INTO container VALUES (0, 'blue jug', 18.0, 3, 0.75, 'fresh'),
    (1, 'bucket', 10.0, 1, NULL, 'any');
INSERT INTO tank (place, id, name, room, stage, shape_kind, shape_measured, has_displaced,
    has_sump, has_cover) VALUES
    (0, 'skerry', 'Skerry', 'hall', 'running', 'box', 'inside', 0, 0, 0);
INSERT INTO animal VALUES (0, 'skerry', 'three shrimps', 3, '2025-03-01', 'flakes', 1, 1,
    '2025-06-10', 1, 'not found again'), (1, 'skerry', 'snail', 1, NULL, '', NULL, 0,
    NULL, NULL, NULL);
INSERT INTO chore (place, id, kind, name, rhythm, tank, noun, early_days, late_days, if_missed,
    who, tests, ready_before, caution, uses, earlier, has_amount) VALUES (0, 'skerry.top-off',
    'top-off', 'Top off', '{"once": "2026-03-01"}', 'skerry', '', 0, 0, 'collapse',
    '[]', '[]', '[]', '', '[{"supply": "salt", "amount": 3.0, "unit": "grams"}]', '[]', 0);
INSERT INTO entry (seq, id, at, zone, day, tank, fact, note, litres, to_mark, estimated) VALUES
    (1, 'e-1', '2026-03-01T18:10:00.000000+00:00', 'Europe/Oslo', '2026-03-01', 'skerry',
    'top_off', '', 1.5, 1, 0);
INSERT INTO completion VALUES (1, 0, 'skerry.top-off', '2026-03-01', NULL, '2026-03-01');
INSERT INTO claim VALUES ('skerry.top-off', '2026-03-01', '', 'skerry.top-off@2026-03-01', 1);
"""


@pytest.fixture
def first(path: Path, tmp_path: Path) -> Path:
    """A household as the first schema kept it."""
    scripts = tmp_path / "first"
    shutil.copytree(SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__", "000[2-9]_*"))
    path.parent.mkdir(exist_ok=True)
    make_private_file(path)
    migrate(path, scripts, user_version=1)
    with closing(connect(path, Access.WRITE)) as plain:
        plain.execute(f"PRAGMA application_id={APPLICATION_ID}")
        for statement in filter(str.strip, FIRST.split(";\n")):
            plain.execute(statement)
    return path


def test_a_file_of_the_first_schema_opens_with_all_it_held(first: Path, clock: FixedClock) -> None:
    """Rows, order and history are as they were, and a backup of the old file lies beside it."""
    with closing(connect(first, Access.READ)) as plain:
        before = row_counts(plain)

    store = open_household(first, clock)
    with store.reading() as reading:
        house, entries = reading.household(), reading.entries(LogQuery())
    checked = store.check()
    store.close()

    assert checked.problems == ()
    assert house.rooms[0].climate == (ClimateRow(2, 17.5, 0.61), ClimateRow(8, 26.0, 0.48))
    assert house.containers == (
        Container("blue jug", 18.0, 3, 0.75, WaterFor.FRESH),
        Container("bucket", 10.0, 1),
    )
    assert [one.count for one in house.animals] == [3, 1]
    assert [one.lost for one in house.animals] == [
        (Loss(date(2025, 6, 10), 1, "not found again"),),
        (),
    ]
    assert [row.entry.fact for row in entries] == [TopOff(1.5)]
    with closing(connect(first, Access.READ)) as plain:
        assert row_counts(plain) == before | {"redefinition": 0, "withdrawn": 0}
        assert plain.execute("PRAGMA user_version").fetchone() == (USER_VERSION,)
    assert [one.reason for one in backups.backups_of(first)] == ["before-upgrade"]


def test_an_older_file_takes_what_is_not_known(first: Path, clock: FixedClock) -> None:
    """After the upgrade it keeps gaps in the places where the first schema wanted numbers."""
    store = open_household(first, clock)
    with store.writing() as writing:
        house = writing.household()
        room, person = house.rooms[0], house.people[0]
        gaps = replace(
            house,
            people=(replace(person, name="", minutes=(None, 20, None, 0, None, None, 60)),),
            rooms=(replace(room, climate=(ClimateRow(), ClimateRow(3, None, 0.5))),),
            containers=(Container(),),
            animals=(Animal(lost=(Loss(), Loss(None, 2, "gone"))),),
        )
        writing.save_household(gaps)
    with store.reading() as reading:
        assert reading.household() == gaps
    store.close()


def test_a_loss_that_an_older_program_wrote_down_is_still_taken_back(
    path: Path, clock: FixedClock, tmp_path: Path
) -> None:
    """What a change left is kept by its columns, and follows where these become one."""
    scripts = tmp_path / "third"
    shutil.copytree(SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__", "000[4-9]_*"))
    path.parent.mkdir(exist_ok=True)
    make_private_file(path)
    migrate(path, scripts, user_version=3)
    row = {"place": 1, "tank": "skerry", "name": "snail", "count": 1, "added_on": None, "diet": ""}
    was = row | {"jumper": None, "has_lost": 0} | dict.fromkeys(LOST)
    became = was | {"has_lost": 1} | dict(zip(LOST, ("2026-02-01", 1, "børst"), strict=True))
    with closing(connect(path, Access.WRITE)) as plain:
        plain.execute(f"PRAGMA application_id={APPLICATION_ID}")
        for statement in filter(str.strip, FIRST.split(";\n")):
            plain.execute(statement)
        plain.execute(
            "UPDATE animal SET has_lost = 1, lost_on = '2026-02-01', lost_count = 1,"
            " lost_why = 'børst' WHERE place = 1"
        )
        plain.execute(
            "INSERT INTO entry (seq, id, at, zone, day, fact, note, turn_key, substance)"
            " VALUES (2, 'e-2', '2026-03-02T18:10:00.000000+00:00', 'Europe/Oslo', '2026-03-02',"
            " 'redefined', '', 'changed animal', 'snail')"
        )
        plain.execute(
            "INSERT INTO redefinition VALUES (2, 0, 'animal', ?, ?)",
            (json.dumps(was, ensure_ascii=False), json.dumps(became, ensure_ascii=False)),
        )
    store = open_household(path, clock)
    with store.reading() as reading:
        lost = [one.lost for one in reading.household().animals]
    assert lost[1] == (Loss(date(2026, 2, 1), 1, "børst"),)
    with store.writing() as writing:
        writing.add(made(3, Revoke("e-2")))
    with store.reading() as reading:
        assert [one.lost for one in reading.household().animals] == [lost[0], ()]
    store.close()
