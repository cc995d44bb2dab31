"""Text from elsewhere: it is read or refused with a reason, and without endless work."""

import sys
import unicodedata
from types import FrameType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.errors import UserFault
from tankkeeper.services.tank_file import Problem, TankFile, read_tank_file, write_household
from tests.services.tank_file_household import NOW, TODAY, WHOLE

HEAD = 'format = "tankkeeper"\nversion = 1\n'
# A choice, some times what the worst of the texts below takes: calls for a file of no length, and
# for each sign of it. A machine that is busy counts the same.
MOST_CALLS, MOST_CALLS_A_SIGN = 3000, 40


def read(text: str) -> TankFile:
    return read_tank_file(text, now=NOW, today=TODAY)


def outcome(text: str) -> TankFile | tuple[Problem, ...]:
    """Return the file or its problems; anything else fails the test."""
    calls = 0

    def count(_frame: FrameType, what: str, _of: object) -> None:
        nonlocal calls
        calls += what in ("call", "c_call")

    fault: UserFault | None = None
    before = sys.getprofile()
    sys.setprofile(count)
    try:
        found = read(text)
    except UserFault as refused:
        fault = refused
    finally:
        sys.setprofile(before)
    assert calls < MOST_CALLS + MOST_CALLS_A_SIGN * len(text)
    if fault is None:
        return found
    assert fault.code == "import_problems"
    problems = fault.values["problems"]
    assert isinstance(problems, tuple)
    assert problems
    return problems


def codes(text: str) -> set[str]:
    found = outcome(text)
    assert isinstance(found, tuple), "the file was read"
    return {problem.code for problem in found}


HOSTILE = {
    "5,000 nested lists": ("x = " + "[" * 5000 + "]" * 5000, "too_deep"),
    "5,000 nested tables": ("x = " + "{a=" * 5000 + "1" + "}" * 5000, "too_deep"),
    "a key of 50,000 parts": (".".join(["a"] * 50_000) + " = 1", "too_deep"),
    "a head of 50,000 parts": ("[" + ".".join(["a"] * 50_000) + "]", "too_deep"),
    "a quoted key of many parts": ('"a"."b".' * 20_000 + "c = 1", "too_deep"),
    "a number of 100,000 digits": ("version2 = " + "1" * 100_000, "not_toml"),
    "a hexadecimal number without end": ("version2 = 0x" + "f" * 100_000, "unknown_key"),
    "a number beyond a float": ("[household]\nname = 1e999", "wrong_type"),
    "infinite litres": ('[[containers]]\nname = "a"\nlitres = inf', "number_not_finite"),
    "no number of litres": ('[[containers]]\nname = "a"\nlitres = nan', "number_not_finite"),
    "a whole number beyond a float": (
        '[[containers]]\nname = "a"\nlitres = ' + "9" * 400,
        "out_of_range",
    ),
    "NUL as it is": ('[household]\nname = "a\0b"', "not_toml"),
    "NUL in disguise": ('[household]\nname = "a\\u0000b"', "bad_character"),
    "NUL in a note": ('[[log]]\nat = 2026-01-01T00:00:00Z\nnote = "a\\u0000b"', "bad_character"),
    "half a character": ('[household]\nname = "a\ud800b"', "bad_character"),
    "half a character in disguise": ('[household]\nname = "a\\ud800b"', "not_toml"),
    "a long name": ('[household]\nname = "' + "x" * 10_000 + '"', "too_long"),
    "a long note": (
        '[[log]]\nat = 2026-01-01T00:00:00Z\nnote = "' + "x" * 10_001 + '"',
        "too_long",
    ),
    "only spaces": ('[household]\nname = "   "', "empty_name"),
    "a line break in a name": ('[household]\nname = "a\\r\\nb"', "bad_character"),
    "a string left open": ('[household]\nname = "' + '\\"' * 100_000, "not_toml"),
    "a long string left open": ('[household]\nname = """' + 'x"' * 100_000, "not_toml"),
    "a day that is none": ("[[tanks]]\nsince = 2025-02-30", "not_toml"),
    "a moment before all clocks": ('[[log]]\nat = 0001-01-01T00:00:00+14:00\nnote = ""',
                                   "out_of_range"),
    "a moment after all clocks": ('[[log]]\nat = 9999-12-31T23:59:59-12:00\nnote = ""',
                                  "in_future"),
    "too many chores": ("[[chores]]\n" * 2001, "too_many"),
    "a key of a million signs": ("a" * 1_000_000 + " = 1", "unknown_key"),
    "a million spaces": ("a" + " " * 1_000_000, "not_toml"),
    "a path in the place of a zone": ('[household]\nzone = "../../etc/passwd"', "unknown_zone"),
    "a rule that never ends": (
        '[[chores]]\nkind = "check"\nname = "a"\nrhythm = '
        '{ calendar = "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", start = 2026-01-01 }',
        None,
    ),
    "a mark in the middle": ("x = 1\n\ufeff", "not_toml"),
    "100,000 wrong keys": ("".join(f"k{number} = 1\n" for number in range(100_000)),
                           "more_problems"),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_is_refused_without_endless_work(name: str) -> None:
    """Neither depth nor length, nor numbers that are none, get past the reader or hold it up."""
    text, code = HOSTILE[name]
    found = codes(HEAD + text)
    assert code is None or code in found


def test_problems_never_carry_a_text_without_end() -> None:
    """What is shown to a person stays short, whatever the file holds."""
    found = outcome(HEAD + "a" * 1_000_000 + ' = 1\n[household]\nname = "' + "x" * 900 + '"')
    assert isinstance(found, tuple)
    assert all(len(repr(problem)) < 1000 for problem in found)


NAMES = [
    "'; DROP TABLE tanks; --",
    "<img src=x>",
    "=1+1",
    "%s{}",
    "\u202eevil\u202c",
    "👩‍🔬 lab",
    "con",
    "../x",
    "[tanks]",
    'quote " and \\ slash',
    "# no comment",
    "水槽",
]


@pytest.mark.parametrize("name", NAMES)
def test_odd_names_come_back_as_they_are(name: str) -> None:
    """A name is only text: it comes back letter by letter and breaks no layout."""
    before = read(WHOLE)
    renamed = WHOLE.replace(
        '"Lagoon"', f'"{name.translate({34: chr(92) + chr(34), 92: chr(92) * 2})}"'
    )
    found = read(renamed)
    assert found.household.tanks[0].name == name
    assert len(found.household.chores) == len(before.household.chores)
    text = write_household(found.household, found.entries)
    assert read(text) == found


def test_marks_that_turn_text_around_are_written_as_escapes() -> None:
    """Who reads the file in an editor sees what it says."""
    found = read(WHOLE.replace('"Lagoon"', '"a\u202eb"'))
    text = write_household(found.household, found.entries)
    assert "\u202e" not in text
    assert '"a\\u202Eb"' in text


def test_one_spelling_of_a_name_is_kept() -> None:
    """A letter with its mark apart is the same name as the letter in one (NFC)."""
    apart = unicodedata.normalize("NFD", WHOLE)
    assert apart != WHOLE
    assert read(apart) == read(WHOLE)


@given(st.text(max_size=400))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Random text gives a file or problems, nothing else."""
    outcome(HEAD + text)
    outcome(text)


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """Random bytes as an editor would show them give a file or problems, nothing else."""
    outcome(HEAD + data.decode("latin-1"))
    outcome(data.decode("utf-8", "surrogateescape"))


LINES = WHOLE.splitlines()
VALUES = st.sampled_from(
    ['""', '"x"', "0", "-1", "1e308", "nan", "[]", "[[]]", "{}", "{ a = 1 }", "true", "1979-05-27",
     "07:32:00", "1979-05-27T07:32:00Z", "[1, \"a\"]", '"FREQ=DAILY"', '"Lagoon"', '"14 days"']
)  # fmt: skip


@given(st.lists(st.tuples(st.integers(0, len(LINES) - 1), VALUES), min_size=1, max_size=4))
def test_any_value_in_the_place_of_another_is_read_or_refused(
    changes: list[tuple[int, str]],
) -> None:
    """Every key of a household may hold any kind of value: it is read or told, with a line."""
    lines = list(LINES)
    for place, value in changes:
        key, equals, _ = lines[place].partition(" = ")
        if equals:
            lines[place] = f"{key} = {value}"
    found = outcome("\n".join(lines))
    if isinstance(found, tuple):
        assert all(problem.line is not None for problem in found)


@given(st.data())
def test_a_file_with_lines_lost_and_doubled_is_read_or_refused(data: st.DataObject) -> None:
    """A file that was cut, or merged wrongly, is never half read."""
    kept = data.draw(st.lists(st.sampled_from(range(len(LINES))), max_size=60))
    outcome("\n".join(LINES[place] for place in kept))
    cut = data.draw(st.integers(0, len(WHOLE)))
    outcome(WHOLE[:cut])
