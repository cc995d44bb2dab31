"""Refusals in words: every code that the program raises has a sentence, and the sentences hold."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest

import tankkeeper
from tankkeeper.core.errors import Surroundings, UserFault, out_of_range
from tankkeeper.core.household import ShownUnits
from tankkeeper.core.logbook import Entry, TopOff
from tankkeeper.core.parameters import parse_reading
from tankkeeper.core.units import Dimension, parse_number, parse_quantity
from tankkeeper.reports.fault_table import TEMPLATES
from tankkeeper.reports.faults import CODES, fault_words, problem_lines, problem_words
from tankkeeper.reports.words import Words
from tankkeeper.services.tank_file.problems import Problem
from tests.builders import BERLIN, a_household, a_moment
from tests.reports.scenes import words_for

SOURCE = Path(tankkeeper.__file__).parent
NBSP = "\u00a0"

# Where a code stands as the first argument, and where as the second.
FIRST = {"UserFault": 0, "Surroundings": 0}
# Functions that hand a code on; found by their name and the place of the code.
PASSED_ON = {
    ("core/units.py", "_refused"): 0,
    ("services/finding.py", "_find"): 0,
    ("services/tank_file/document.py", "_refused"): 1,
}
# Codes that no call names: they come out of a table or a function of these modules.
IN_TABLES = {
    "core/units.py": ("_why_no_number",),
    "core/rule_text.py": ("_CLASHES",),
    "store/faults.py": ("_BY_NAME", "_BY_ERRNO"),
    "services/moving.py": ("_open_item",),
    "services/tank_file/table.py": ("_out_of_time",),
    "services/tank_file/document.py": ("_unreadable",),
    # Hands on what the reader of tank files found, whose codes are looked at above.
    "services/settling.py": ("checked",),
}
CODE = string.ascii_lowercase + "_"


@dataclass(frozen=True)
class Raised:
    """A code with the module, the line and the names of the values beside it."""

    code: str
    where: str
    names: frozenset[str] | None


def _name_of(call: ast.Call) -> str:
    if isinstance(call.func, ast.Name):
        return call.func.id
    return call.func.attr if isinstance(call.func, ast.Attribute) else ""


def _place_of_code(module: str, name: str) -> int | None:
    if name in FIRST:
        return FIRST[name]
    if (module, name) in PASSED_ON:
        return PASSED_ON[module, name]
    is_tank_file = module.startswith("services/tank_file/")
    return 1 if is_tank_file and name in ("fault", "add") else None


def _in_call(module: str, call: ast.Call) -> Raised | None:
    place = _place_of_code(module, _name_of(call))
    if place is None or len(call.args) <= place:
        return None
    code = call.args[place]
    if not (isinstance(code, ast.Constant) and isinstance(code.value, str)):
        return None
    names = frozenset(word.arg for word in call.keywords if word.arg is not None)
    whole = all(word.arg is not None for word in call.keywords) and _name_of(call) in FIRST
    return Raised(code.value, f"{module}:{call.lineno}", names if whole else None)


def _in_table(module: str, tree: ast.Module) -> Iterator[Raised]:
    wanted = IN_TABLES.get(module, ())
    for node in tree.body:
        name = getattr(node, "name", None)
        if isinstance(node, (ast.Assign, ast.AnnAssign)):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            name = getattr(target, "id", None)
        inner = [node] if name in wanted else []
        if isinstance(node, ast.ClassDef):
            inner += [one for one in node.body if getattr(one, "name", None) in wanted]
        for found in inner:
            yield from _codes_within(module, found)


def _codes_within(module: str, node: ast.AST) -> Iterator[Raised]:
    for one in ast.walk(node):
        if not (isinstance(one, ast.Constant) and isinstance(one.value, str)):
            continue
        if "_" in one.value and set(one.value) <= set(CODE):
            yield Raised(one.value, f"{module}:{one.lineno}", None)


@cache
def _calls() -> tuple[tuple[str, ast.Module, tuple[ast.Call, ...]], ...]:
    """Return each module of the program, and all that it calls; read once, as it takes a while."""
    found = []
    for path in sorted(SOURCE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        calls = tuple(node for node in ast.walk(tree) if isinstance(node, ast.Call))
        found.append((path.relative_to(SOURCE).as_posix(), tree, calls))
    return tuple(found)


def _raised() -> list[Raised]:
    found: list[Raised] = []
    for module, tree, calls in _calls():
        found += [one for call in calls if (one := _in_call(module, call)) is not None]
        found += list(_in_table(module, tree))
    return found


def _unnamed() -> list[str]:
    """Return the places where a code is computed and no table says from what."""
    places = []
    for module, _, calls in _calls():
        known = module in IN_TABLES or any(module == passed for passed, _ in PASSED_ON)
        for node in calls:
            if _name_of(node) not in FIRST or not node.args:
                continue
            if not isinstance(node.args[0], ast.Constant) and not known:
                places.append(f"{module}:{node.lineno}")
    return places


def test_every_code_that_is_raised_has_a_sentence() -> None:
    """Nobody is shown a bare code."""
    raised = _raised()

    assert len({one.code for one in raised}) > 80
    assert sorted({(one.code, one.where) for one in raised if one.code not in CODES}) == []


def test_a_code_that_is_computed_comes_from_a_table_this_test_knows() -> None:
    """A code out of a variable would slip past the test above."""
    assert _unnamed() == []


def test_a_sentence_names_only_values_that_every_raise_carries() -> None:
    """A template with a value that is not there would say "something not named"."""
    missing = []
    for one in _raised():
        wanted = {
            name for _, name, _, _ in string.Formatter().parse(TEMPLATES.get(one.code, "")) if name
        }
        if one.names is not None and not wanted <= one.names:
            missing.append((one.code, one.where, sorted(wanted - one.names)))

    assert missing == []


@pytest.mark.parametrize("code", sorted(TEMPLATES))
def test_a_sentence_is_short_and_plain(code: str) -> None:
    """No exclamation marks, no "please", no "oops", no blame."""
    text = TEMPLATES[code].lower()

    assert not any(word in text for word in ("!", "please", "oops", "sorry", "you forgot", "error"))
    assert len(text) <= 160


def _refused(text: str, dimension: Dimension, unit: str = "") -> str:
    with pytest.raises(UserFault) as refused:
        parse_quantity(text, dimension, unit)
    return fault_words(refused.value)


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "said"),
    [
        (
            "350",
            Dimension.SALINITY,
            "practical",
            "Salinity 350 is not possible. Did you mean 35.0?",
        ),
        (
            "48",
            Dimension.SALINITY,
            "practical",
            "Salinity 48 is not possible. It can be from 0 to 42.",
        ),
        (
            "78",
            Dimension.TEMPERATURE,
            "degC",
            f"Temperature 78{NBSP}°C is not possible. Did you mean 78{NBSP}°F?",
        ),
        ("81", Dimension.PH, "pH", "pH 81 is not possible. Did you mean 8.1?"),
        (
            "1.0264",
            Dimension.SALINITY,
            "practical",
            "Salinity 1.0264 looks like a specific gravity, which would be salinity 35.0. "
            f"Write that, or the unit sg{NBSP}25/\u206025 behind the number.",
        ),
        (
            "5 gal",
            Dimension.VOLUME,
            "L",
            "gal can mean more than one unit: US gal and imp gal. Write which.",
        ),
        (
            "5 litr",
            Dimension.VOLUME,
            "L",
            None,
        ),
    ],
)
def test_a_typed_value_that_cannot_be_is_refused_with_what_was_likely_meant(
    text: str, dimension: Dimension, unit: str, said: str | None
) -> None:
    """35.0 and its specific gravity 1.0264: UNESCO Technical Paper 44 (1983), at 25 degC."""
    found = _refused(text, dimension, unit)

    if said is None:
        assert found.startswith("litr is not a unit of volume. Known are L, ml")
    else:
        assert found == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("12,5,3", "12,5,3 is not a number. Comma and point both mean the decimal sign, and"),
        ("x", "x is not a number."),
        ("", "A number is missing for number."),
        ("inf", "inf is not a number that can be used."),
        ("1e3", "1e3 is written with an exponent. Write the number out."),
    ],
)
def test_text_that_is_no_number_is_told_back(text: str, said: str) -> None:
    """The sentence holds what was typed."""
    with pytest.raises(UserFault) as refused:
        parse_number(text)

    assert fault_words(refused.value).startswith(said)


def test_the_limits_told_are_themselves_allowed() -> None:
    """A computed limit is rounded inwards."""
    fault = out_of_range("litres", 30.0, 0.1, 21.59876, "quarter_of_volume")

    assert fault_words(fault) == (
        f"30{NBSP}L is not possible. It can be from 0.1 to 21.59{NBSP}L, a quarter of the water."
    )


def test_a_name_that_is_not_there_comes_with_the_nearest_one() -> None:
    """One guess, as a question."""
    fault = UserFault("no_such_tank", name="Skery", nearest="Skerry")

    assert fault_words(fault) == "There is no tank called Skery. Did you mean Skerry?"
    assert fault_words(UserFault("no_such_person", name="X", nearest=None)) == (
        "There is no person called X."
    )


def test_a_name_in_a_file_that_is_like_no_other_comes_with_those_there_are() -> None:
    """Whoever writes a tank file by hand need not look the rooms up."""
    fault = UserFault(
        "unknown_reference", of="room", value="kitchen", nearest=None, there_are="hall, office"
    )

    assert fault_words(fault).casefold() == (
        "there is no room called kitchen. there are: hall, office."
    )


def test_a_held_turn_names_who_did_it_and_when() -> None:
    """Whoever comes second is told the truth."""
    entry = Entry("e1", 1, datetime(2026, 3, 12, 6, 58, tzinfo=UTC), date(2026, 3, 12), "UTC")
    fault = UserFault("already_done", turn="nook.feed@2026-03-12", holder=entry)

    assert fault_words(fault) == (
        f"nook.feed is done already: 12{NBSP}March 2026, 06:58. Undo that first to do it again."
    )
    assert TopOff(1.0) != entry.fact


def test_days_are_named_as_the_household_sees_them() -> None:
    """Within a week they carry the weekday; the refusal names the next day that works."""
    fault = UserFault(
        "limit_before",
        chore="Top off",
        to=date(2026, 3, 14),
        works=date(2026, 3, 13),
        limit="salinity",
    )

    assert fault_words(fault, words_for()) == (
        f"Cannot stand on Saturday{NBSP}14: salinity rises too high before that. "
        f"Up to Friday{NBSP}13 it can."
    )
    values = {"to": date(2026, 3, 14), "works": None, "limit": "reservoir", "is_last": True}
    empty = UserFault("limit_before", chore="Top off", **values)
    assert fault_words(empty, words_for()) == (
        "Cannot be put off any further: the reservoir runs out before that."
    )
    reserve = UserFault("limit_before", chore="Top off", **values, reserve_l=4.0)
    assert fault_words(reserve, words_for()) == (
        f"Cannot be put off any further: its reserve of 4{NBSP}L is reached before that."
    )
    paused = UserFault("paused_then", chore="Feed", to=date(2026, 4, 1), works=None)
    assert fault_words(paused, words_for()) == (f"Cannot stand on 1{NBSP}April: it is paused then.")


def test_where_no_day_works_the_refusal_names_none() -> None:
    """Today is no day to put off to, so it is not named as one."""
    to, following = date(2026, 3, 14), date(2026, 3, 13)
    water = UserFault("limit_before", chore="Top off", to=to, works=None, limit="level")
    daily = UserFault("beyond_next_turn", chore="Feed", to=to, works=None, following=following)
    past = UserFault("day_is_past", to=date(2026, 3, 11), works=None)

    assert fault_words(water, words_for()) == (
        "Cannot be put off: the level falls too low before that. It has to be done now."
    )
    assert fault_words(daily, words_for()) == (
        f"Cannot be put off: the next turn comes on Friday{NBSP}13."
    )
    assert fault_words(past, words_for()) == (
        f"Cannot stand on Wednesday{NBSP}11: that day is past."
    )


@pytest.mark.parametrize(
    ("hour", "said"),
    [
        # The day begins at four: one o'clock of Saturday still belongs to Friday.
        (time(1, 0), f"in the night to Sat{NBSP}14 at 01:00"),
        (time(18, 0), "on Saturday at 18:00"),
    ],
)
def test_an_hour_of_the_night_is_not_told_of_the_day_before(hour: time, said: str) -> None:
    """ "On Friday at 01:00" would be read as a day too early."""
    saturday = date(2026, 3, 14)
    daily = UserFault(
        "beyond_next_turn",
        chore="Feed",
        to=saturday,
        works=None,
        following=saturday,
        slot=hour,
        next_at=datetime.combine(saturday, hour, BERLIN),
    )

    assert fault_words(daily, words_for()) == f"Cannot be put off: the next turn comes {said}."


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        (
            UserFault("not_paused", name="Top off", paused_tank="Nook"),
            "Top off is not paused by itself; its tank Nook is. Resume the tank.",
        ),
        (UserFault("not_paused", name="Nook", paused_tank=None), "Nook is not paused."),
        (
            UserFault("paused_already", name="Nook", until=date(2026, 4, 1)),
            f"Nook is paused already, to 1{NBSP}April 2026.",
        ),
        (
            UserFault("paused_already", name="Nook", until=None),
            "Nook is paused already, until somebody resumes it.",
        ),
        (
            UserFault("needs_values", chore="Test", missing=("alkalinity", "ph")),
            "Test asks for alkalinity and pH. Give each with --value NAME=VALUE.",
        ),
        (
            Surroundings("disk_full", path="a.db", needed_bytes=5_000_000, free_bytes=100),
            f"The disk of a.db has 1{NBSP}MB free, and 5{NBSP}MB are needed.",
        ),
        (
            Surroundings("disk_full", path="a.db", why="SQLITE_FULL"),
            "The disk of a.db is full. Nothing was changed; it works again when there is room.",
        ),
        (
            out_of_range("humidity", 45.0, 0.0, 1.0, "share_of_one"),
            "Humidity 45 is not possible. Did you mean 0.45?",
        ),
        (
            out_of_range("water_depth_cm", 60.0, 0.0, 55.0),
            f"Water depth 60{NBSP}cm is not possible. It can be from 0 to 55{NBSP}cm.",
        ),
        (
            UserFault(
                "out_of_range",
                field="on",
                value=date(1980, 1, 1),
                low=date(1990, 1, 1),
                high=date(2036, 1, 1),
            ),
            f"Day 1{NBSP}January 1980 is not possible. "
            f"It can be from 1{NBSP}January 1990 to 1{NBSP}January 2036.",
        ),
    ],
)
def test_faults_that_depend_on_their_values(fault: UserFault | Surroundings, said: str) -> None:
    """What is so, then what can be done."""
    assert fault_words(fault) == said


def test_import_problems_are_listed_each_with_line_and_place() -> None:
    """A file is mended in an editor, by its lines."""
    problems = (
        Problem(12, "chores[3].rhythm", "missing_key", {"key": "rhythm"}),
        Problem(
            14, "tanks[1].colour", "unknown_key", {"key": "colour", "nearest": "cover"}, "Cove"
        ),
        Problem(
            20,
            "tanks[1].target_salinity",
            "out_of_range",
            {"field": "target_salinity", "value": 350.0, "low": 0.0, "high": 42.0},
        ),
        Problem(None, "", "too_large", {"longest": 100}),
    )
    fault = UserFault("import_problems", problems=problems)

    assert problem_lines(fault) == [
        "Line 12, chores[3].rhythm: rhythm is missing.",
        "Line 14, tanks[1].colour of Cove: colour is not a key that is known here. "
        "Did you mean cover?",
        "Line 20, tanks[1].target_salinity: Target salinity 350 is not possible. "
        "Did you mean 35.0?",
        "The file is too large; at most 100 letters are read.",
    ]
    assert fault_words(fault) == "\n".join(problem_lines(fault))
    assert problem_lines(fault, by_name=True) == [
        "Line 12, chore 3, rhythm: rhythm is missing.",
        "Line 14, the tank Cove, colour: colour is not a key that is known here. "
        "Did you mean cover?",
        "Line 20, tank 1, target_salinity: Target salinity 350 is not possible. Did you mean 35.0?",
        "The file is too large; at most 100 letters are read.",
    ]


def test_a_name_that_is_taken_is_the_place_itself() -> None:
    """Nobody who looks at the window counts the tanks of a file."""
    taken = Problem(12, "tanks[1].name", "tank_exists", {"value": "Nook"})
    fault = UserFault("import_problems", problems=(taken,))

    assert problem_lines(fault, by_name=True)[0].startswith("Line 12, the tank Nook: ")
    assert problem_lines(fault)[0].startswith("Line 12, tanks[1].name: ")


def test_hostile_text_reaches_no_terminal_as_it_is() -> None:
    """Control signs and direction marks are taken out, long text is cut."""
    fault = UserFault("no_such_person", name="\x1b[31m\u202eX{0}%s" + "y" * 500, nearest=None)

    said = fault_words(fault)

    assert "\x1b" not in said
    assert "\u202e" not in said
    assert "{0}%s" in said
    assert len(said) < 140


def test_a_fault_without_words_is_still_told() -> None:
    """A code that was forgotten must not end the program."""
    assert fault_words(Surroundings("moon_in_the_way", path="x")) == (
        "Refused: moon in the way (path x)."
    )


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        # UNESCO 1983 (Technical Papers in Marine Science 44): sea water of 35 at 25 °C has
        # 1023.343 kg/m3, fresh water 997.048; 1023.343 / 997.048 = 1.0264.
        ("35", "Write 35 PSU, or the specific gravity 1.0264."),
        ("44", "Write 44 PSU."),
    ],
)
def test_a_salinity_among_specific_gravities_names_both_ways_that_are_taken(
    typed: str, told: str
) -> None:
    """Each of them is read, and means the same; beyond what sea water can be there is one."""
    with pytest.raises(UserFault) as refused:
        parse_reading("salinity", typed, "sg 25/25")

    said = fault_words(refused.value).replace("\xa0", " ")
    start = f"{typed} looks like a practical salinity, not like a specific gravity. "
    assert said == start + told
    if typed == "35":
        assert parse_reading("salinity", "35 PSU", "sg 25/25").value == 35.0
        read = parse_reading("salinity", "1.0264", "sg 25/25")
        assert read.value == pytest.approx(35.0, abs=0.1)


def test_more_rock_than_water_is_told_in_the_unit_of_the_household() -> None:
    """Without a household, as on the command line before one is open, in litres."""
    fault = UserFault("displaced_more_than_gross", displaced_l=80.0, gross_l=60.0)
    gallons = Words(a_household(units=ShownUnits("US gal", "degF")), a_moment("2026-03-12"))

    assert fault_words(fault) == "Rock and sand would take 80 L of 60 L. Check both."
    # 80 / 3.785411784 and 60 / 3.785411784: the litres of a US gallon are exact by definition
    # (NIST Handbook 44, 2023, appendix C).
    assert fault_words(fault, gallons).replace("\u00a0", " ") == (
        "Rock and sand would take 21.1 US gal of 15.9 US gal. Check both."
    )


def test_a_refusal_of_litres_is_told_in_the_gallons_of_the_household() -> None:
    """32.1 L are 32.1 / 3.785411784 = 8.48 US gallons, 0.1 L 0.0264; what is least is allowed."""
    gallons = Words(a_household(units=ShownUnits("US gal", "degF")), a_moment("2026-03-12"))
    refused = out_of_range("litres", 264.979, 0.1, 32.1, "quarter_of_volume")
    assert fault_words(refused, gallons).replace("\u00a0", " ") == (
        "70 US gal is not possible. It can be from 0.027 to 8.5 US gal, a quarter of the water."
    )
    hot = out_of_range("target_temperature_c", 60.0, 0.0, 45.0)
    assert fault_words(hot, gallons).replace("\u00a0", " ") == (
        "Target temperature 140 °F is not possible. It can be from 32 to 113 °F."
    )
    given = out_of_range("litres", 500.0, 0.1, 32.1)
    given.values["unit"] = "L"
    assert "500\u00a0L is not possible" in fault_words(given, gallons)


def test_a_number_of_a_file_is_refused_in_the_unit_of_the_file() -> None:
    """Who looks for it finds it there."""
    gallons = Words(a_household(units=ShownUnits("US gal", "degF")), a_moment("2026-03-12"))
    values = out_of_range("litres", -30.0, 0.0, 100.0).values
    problem = SimpleNamespace(line=10, place="tanks[1].shape", code="out_of_range", values=values)
    assert "30\u00a0L is not possible" in problem_words(problem, gallons)


def test_what_is_left_in_a_reservoir_is_refused_in_gallons() -> None:
    """60 L are 15.9 gallons and 36 L 9.5; 20.1 L would be told as the 5.3 gallons it may hold."""
    gallons = Words(a_household(units=ShownUnits("US gal")), a_moment("2026-03-12"))
    refused = out_of_range("left", 60.0, 0.0, 36.0, "reservoir_size")
    assert fault_words(refused, gallons).replace("\u00a0", " ") == (
        "Left 15.9 US gal is not possible. It can be from 0 to 9.5 US gal, "
        "what the reservoir holds."
    )
    near = out_of_range("left", 20.1, 0.0, 20.0, "reservoir_size")
    assert fault_words(near, gallons).replace("\u00a0", " ").startswith("Left 5.30986 US gal is")
    assert "Left 60 is not possible" in fault_words(refused, words_for())
