"""Any key of a tank file may be left out; the few that may not are listed here with the reason."""

import re
import tomllib
from collections.abc import Iterator

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of
from tankkeeper.core.moment import moment_of
from tankkeeper.core.state import fold_household
from tankkeeper.services.board import board_of
from tankkeeper.services.round import round_of
from tankkeeper.services.tank_file import TankFile, read_tank_file, write_household
from tests.services.tank_file_household import NOW, TODAY, WHOLE

Path = tuple[str | int, ...]

# What the contract of the file requires.
REQUIRED = (
    "format",
    "version",
    "tanks.name",
    "tanks.shape",
    "chores.kind",
    "chores.name",
    "chores.rhythm",
)
# What is refused besides, because nothing that can be meant is left.
CONTRADICTORY = {
    # A rhythm is required, and these are what makes it one.
    "chores.rhythm.after_last_done": "the rhythm would be empty",
    "chores.rhythm.calendar": "the rhythm would be empty",
    "chores.rhythm.when": "the rhythm would be empty",
    "chores.rhythm.of": "nobody could tell whose stock or forecast is meant",
    "chores.versions.valid_from": "an earlier rhythm without its day would hold at no time",
    "chores.versions.rhythm": "an earlier rhythm that is none",
    "chores.versions.rhythm.once": "an earlier rhythm that is none",
    "chores.seasons.from": "a season that begins on no day",
    "chores.seasons.to": "a season that ends on no day",
    "chores.seasons.after_last_done": "a season in which nothing is different",
    "log.to": "a move to no day",
    # The rest of the row would say nothing, or say it of nothing.
    "log.done": "litres of what was done, without what was done",
    "log.top_off": "the row would say nothing",
    "log.reservoir": "the row would say nothing",
    "log.water_change": "the row would say nothing",
    "log.dose": "the row would say nothing",
    "log.stock": "the row would say nothing",
    "log.note": "the row would say nothing",
    "log.work": "the row would say nothing",
    "log.paused": "the row would say nothing",
    "log.resumed": "the row would say nothing",
    "log.revokes": "the row would say nothing",
    "log.skipped": "the row would say nothing",
    "log.put_off": "the row would say nothing",
    "log.shifted": "the row would say nothing",
}
# Refused only where other rows of this file speak of the thing by this very name or id.
NAMED_ELSEWHERE = (
    *("people", "people.name", "rooms", "rooms.name", "supplies", "supplies.name"),
    *("tanks", "chores", "log.id"),
)


def paths(value: object, path: Path = ()) -> Iterator[Path]:
    """Yield the path of every key in the tables of a file."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield (*path, key)
            yield from paths(inner, (*path, key))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from paths(inner, (*path, place))


def pattern(path: Path) -> str:
    return ".".join(step for step in path if isinstance(step, str))


def toml(value: object) -> str:
    """Return a value as TOML on one line; only what the sample of this test holds."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(inner)}" for key, inner in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
    return value.isoformat() if hasattr(value, "isoformat") else repr(value)


def without(path: Path) -> str:
    """Return the whole household without one key."""
    raw = tomllib.loads(WHOLE)
    around: object = raw
    for step in path[:-1]:
        around = around[step]  # type: ignore[index]
    del around[path[-1]]  # type: ignore[attr-defined]
    return "".join(f"{key} = {toml(value)}\n" for key, value in raw.items())


def read(text: str) -> TankFile:
    return read_tank_file(text, now=NOW, today=TODAY)


KEYS = list(paths(tomllib.loads(WHOLE)))


def test_the_file_of_this_test_holds_what_it_is_taken_apart_from() -> None:
    """The walk finds every table, and writing the file anew on single lines changes nothing."""
    assert len(KEYS) > 300
    raw = tomllib.loads(WHOLE)
    again = read("".join(f"{key} = {toml(value)}\n" for key, value in raw.items()))
    assert again == read(WHOLE)


@pytest.mark.parametrize("path", KEYS, ids=lambda path: ".".join(map(str, path)))
def test_any_key_may_be_left_out_and_stays_left_out(path: Path) -> None:
    """Without it the file is read, written and read again as the same, and a round can be shown."""
    text, key = without(path), pattern(path)
    try:
        found = read(text)
    except UserFault as refused:
        problems = refused.values["problems"]
        assert isinstance(problems, tuple)
        codes = {problem.code for problem in problems}
        if codes == {"unknown_reference"}:
            assert key in NAMED_ELSEWHERE
        else:
            assert key in REQUIRED or key in CONTRADICTORY, problems
        return
    assert key not in REQUIRED
    again = read(text := write_household(found.household, found.entries))
    assert (again.household, again.entries) == (found.household, found.entries)
    assert write_household(again.household, again.entries) == text
    state = fold_household(found.household, history_of(found.entries), NOW)
    round_of(state)
    board_of(state, 14)
    assert moment_of(found.household, NOW) == state.moment


@pytest.mark.parametrize("key", [*REQUIRED, *CONTRADICTORY])
def test_what_is_listed_as_refused_is_refused_somewhere(key: str) -> None:
    """The lists above do not excuse what has become possible since."""
    for path in KEYS:
        if pattern(path) == key:
            try:
                read(without(path))
            except UserFault:
                return
    pytest.fail(f"{key} can be left out everywhere")


MEASURES = re.compile(
    r"people\.minutes\.|rooms\.climate\.|containers\.|animals\.(tank|name|count|added|lost)"
    r"|supplies\.(unit|stock|pack|lead_days)|equipment\.|log\.dose\.|salt_mix\.|water_supply\.l"
)


@pytest.mark.parametrize(
    "path", [path for path in KEYS if MEASURES.match(pattern(path))], ids=pattern
)
def test_a_measure_or_name_left_out_is_left_out_of_the_next_file(path: Path) -> None:
    """Nothing stands in for what is not known: no zero, no one, no word of the program's own."""
    found = read(without(path))
    written = tomllib.loads(write_household(found.household, found.entries))
    around: object = written
    for step in path[:-1]:
        around = around[step]  # type: ignore[index]
    assert path[-1] not in around  # type: ignore[operator]


HEAD = 'format = "tankkeeper"\nversion = 1\n'
EMPTY = """
[household]
[household.units]
[[people]]
[[rooms]]
climate = [{}]
[[containers]]
[water_supply]
[salt_mix]
[[tanks]]
name = "Pool"
shape = {}
[tanks.displaced]
[tanks.sump]
[tanks.cover]
[tanks.top_off]
[tanks.heat_and_flow]
[tanks.ranges]
ph = {}
[[equipment]]
[[animals]]
lost = {}
[[supplies]]
[[chores]]
kind = "top-off"
name = "Top off"
rhythm = { when = "evaporation" }
amount = {}
uses = [{}]
[[log]]
dose = {}
[[log]]
top_off = {}
[[log]]
reservoir = {}
[[log]]
water_change = {}
[[log]]
stock = {}
[[log]]
paused = {}
[[log]]
resumed = {}
[[log]]
done = "Top off"
for = {}
"""


def test_tables_without_a_single_key_are_read_and_come_back() -> None:
    """What is only known to be there is kept as just that."""
    found = read(HEAD + EMPTY)
    again = write_household(found.household, found.entries)
    assert read(again) == found
    assert len(found.entries) == 8
    assert {entry.at for entry in found.entries} == {NOW}
    round_of(fold_household(found.household, history_of(found.entries), NOW))
