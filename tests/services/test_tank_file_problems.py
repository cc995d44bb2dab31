"""What a tank file is refused for, and where each problem stands."""

from datetime import date

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.services.tank_file import Problem, read_tank_file
from tests.services.tank_file_household import NOW, TODAY, WHOLE

HEAD = 'format = "tankkeeper"\nversion = 1\n'
TANK = '[[tanks]]\nname = "Pool"\n[tanks.shape]\nkind = "box"\n'
CHORE = '[[chores]]\nkind = "check"\nname = "Look"\n'


def problems_of(text: str) -> tuple[Problem, ...]:
    with pytest.raises(UserFault) as refused:
        read_tank_file(text, now=NOW, today=TODAY)
    assert refused.value.code == "import_problems"
    found = refused.value.values["problems"]
    assert isinstance(found, tuple)
    return found


def line_of(text: str, mark: str) -> int:
    return text[: text.index(mark)].count("\n") + 1


def changed(old: str, new: str) -> str:
    assert WHOLE.count(old) == 1, f"{old!r} stands {WHOLE.count(old)} times"
    return WHOLE.replace(old, new)


# Each row: what stands in the household, what is put in its place, the code, and the place.
CHANGES = [
    ('format = "tankkeeper"', 'format = "other"', "other_format", "format"),
    ("version = 1\n", "version = 2\n", "newer_version", "version"),
    ("version = 1\n", "version = true\n", "wrong_type", "version"),
    ('currency = "EUR"', 'curency = "EUR"', "unknown_key", "household.curency"),
    ('"Europe/Lisbon"', '"Europe/Lisboa"', "unknown_zone", "household.zone"),
    ('"sunday"', '"sonntag"', "unknown_choice", "household.first_weekday"),
    ("05:00:00", '"25:00"', "time_unreadable", "household.day_begins"),
    ("05:00:00", "05:00:01", "time_unreadable", "household.day_begins"),
    ("05:00:00", "06:01:00", "day_begins_late", "household.day_begins"),
    ('"US gal"', '"firkin"', "unknown_unit", "household.units.volume"),
    ("sun = 45 }", "sum = 45 }", "unknown_key", "people[1].minutes.sum"),
    ("sat = 90", "sat = 1441", "out_of_range", "people[1].minutes.sat"),
    ("sat = 90", "sat = 9.5", "wrong_type", "people[1].minutes.sat"),
    ('"service", "dose"', '"service", "doze"', "unknown_choice", "people[1].not_for"),
    ('name = "Tomás"', 'name = "Mira"', "doubled_name", "people[2].name"),
    ('name = "Tomás"', 'name = "  "', "empty_name", "people[2].name"),
    ('name = "Tomás"', 'name = "To\\nmás"', "bad_character", "people[2].name"),
    ("humidity = 0.48", "humidity = 48", "out_of_range", "rooms[1].climate[2].humidity"),
    ("month = 8", "month = 2", "named_twice", "rooms[1].climate"),
    ("litres = 18\n", "litres = nan\n", "number_not_finite", "containers[1].litres"),
    ("litres = 18\n", "litres = -inf\n", "number_not_finite", "containers[1].litres"),
    ("litres = 18\n", 'litres = "18"\n', "wrong_type", "containers[1].litres"),
    ('room = "hall"', 'room = "hal"', "unknown_reference", "tanks[1].room"),
    ('"soft coral"', '"soft corals"', "unknown_choice", "tanks[1].community"),
    ("since = 2025-01-10", "since = 1989-12-31", "out_of_range", "tanks[1].since"),
    ("since = 2025-01-10", 'since = "2025-01-10"', "wrong_type", "tanks[1].since"),
    ("since = 2025-01-10", "since = 2025-01-10T10:00:00Z", "wrong_type", "tanks[1].since"),
    (
        "target_salinity = 34.5",
        "target_salinity = 1.025",
        "looks_like_specific_gravity",
        "tanks[1].target_salinity",
    ),
    ("target_salinity = 34.5", "target_salinity = 42.5", "out_of_range",
     "tanks[1].target_salinity"),
    (
        "target_temperature_c = 25\n",
        "target_temperature_c = 78\n",
        "out_of_range",
        "tanks[1].target_temperature_c",
    ),
    ("jumpers = false", "jumpers = 0", "wrong_type", "tanks[1].jumpers"),
    ("water_depth_cm = 44", "water_depth_cm = 51", "out_of_range", "tanks[1].shape.water_depth_cm"),
    ("covered = 0.8", "covered = 80", "out_of_range", "tanks[1].cover.covered"),
    ("heater_w = 300", "heater_w = -300", "out_of_range", "tanks[1].heat_and_flow.heater_w"),
    ("fans = 0", "fans = 0.5", "wrong_type", "tanks[1].heat_and_flow.fans"),
    ("return_l_per_h = 1800", 'return_l_per_h = "fast"', "wrong_type",
     "tanks[1].heat_and_flow.return_l_per_h"),
    ("overflow_drop_cm = 2.5", "overflow_drop_cm = 45", "out_of_range",
     "tanks[1].heat_and_flow.overflow_drop_cm"),
    ("nitrate = { high = 15 }", "nitrat = { high = 15 }", "unknown_parameter",
     "tanks[1].ranges.nitrat"),
    ("low = 7, high = 9.5", "low = 9.6, high = 9.5", "low_above_high",
     "tanks[1].ranges.alkalinity.low"),
    ('name = "Cove"', 'name = "Lagoon"', "doubled_name", "tanks[2].name"),
    ("life_months = 36", "life_months = 0", "out_of_range", "equipment[1].life_months"),
    ('noun = "change"', 'noun = "changing"', "too_long", "chores[1].noun"),
    ('kind = "feeding"', 'kind = "feed"', "unknown_choice", "chores[2].kind"),
    ('{ after_last_done = "14 days"', '{ after_last_done = "14 dogs"', "interval_unreadable",
     "chores[1].rhythm.after_last_done"),
    ('to = "09-15"', 'to = "02-30"', "out_of_range", "chores[1].seasons[1].to"),
    ('rhythm = { after_last_done = "14 days" }\n', "rhythm = { once = 2025-02-01 }\n",
     "seasons_beside_other", "chores[1].seasons"),
    ('{ after_last_done = "14 days" }\n', '{ after_last_done = "14 days", seasons = \
[{ from = "11-01", to = "11-30", after_last_done = "9 days" }] }\n', "seasons_twice",
     "chores[1].seasons"),
    ('"FREQ=WEEKLY;BYDAY=FR"', '"FREQ=WEEKLY;BYDAY=XX"', None, "chores[6].rhythm.calendar"),
    ('"FREQ=WEEKLY;BYDAY=FR"', '"FREQ=SECONDLY"', None, "chores[6].rhythm.calendar"),
    ("{ once = 2025-01-15 }", "{ }", "one_of", "chores[1].versions[1].rhythm"),
    (
        "{ once = 2025-01-15 }",
        '{ once = 2025-01-15, when = "evaporation" }',
        "one_of",
        "chores[1].versions[1].rhythm",
    ),
    ('slots = ["08:00", "18:30"]', 'slots = ["08:00", "08:00"]', "named_twice",
     "chores[2].rhythm.slots"),
    ("early_days = 2", "early_days = 367", "out_of_range", "chores[1].early_days"),
    ('who = ["Mira", "Tomás"]', 'who = ["Mira", "Tomas"]', "unknown_reference", "chores[1].who"),
    ('ready_before = ["Mix salt water"]', 'ready_before = ["Mix salt"]', "unknown_reference",
     "chores[1].ready_before"),
    ('tests = ["nitrate", "ph"]', 'tests = ["nitrite", "phh"]', "unknown_parameter",
     "chores[4].tests"),
    ("amount = { litres = 30 }", "amount = { litres = 30, grams = 2 }", "one_of",
     "chores[1].amount"),
    ('name = "Top off"', 'nam = "Top off"', "missing_key", "chores[5]"),
    ('of = "salt mix" }\n\n[[animals', 'of = "salt" }\n\n[[animals', "unknown_reference",
     "chores[7].rhythm.of"),
    ("count = 1, why", "count = 0, why", "out_of_range", "animals[1].lost.count"),
    (
        'lost = { on = 2025-06-10, count = 1, why = "not found again" }',
        "lost = [{ count = 1 }, { count = 0 }]",
        "out_of_range",
        "animals[1].lost[2].count",
    ),
    (
        'lost = { on = 2025-06-10, count = 1, why = "not found again" }',
        "lost = [{ count = 1, due = 2 }]",
        "unknown_key",
        "animals[1].lost[1].due",
    ),
    ('unit = "pieces"', 'unit = "bags"', "unknown_choice", "supplies[2].unit"),
    ('by = "Mira"', 'by = "Mirra"', "unknown_reference", "log[1].by"),
    ("at = 2026-01-05T18:10:00+00:00", "at = 2026-01-05T18:10:00", "offset_missing", "log[1].at"),
    ("at = 2026-01-05T18:10:00+00:00", "at = 2026-01-05", "wrong_type", "log[1].at"),
    ("at = 2026-01-21T09:05:00+00:00", "at = 2026-03-02T06:06:00Z", "in_future", "log[19].at"),
    ("at = 2026-01-21T09:05:00+00:00", "at = 1980-01-21T09:05:00Z", "out_of_range", "log[19].at"),
    ("at = 2026-01-21T09:05:00+00:00", "at = 2026-01-19T09:04:00Z", "out_of_order", "log[19].at"),
    ('done = "Top off"', 'done = "Topoff"', "unknown_reference", "log[5].done"),
    ('id = "a-02"', 'id = "a-01"', "doubled_id", "log[2].id"),
    ('id = "a-02"', 'id = "a 02"', "bad_id", "log[2].id"),
    ("litres = 0.8", "litre = 0.8", "unknown_key", "log[5].litre"),
    ("dose = { of", "note = \"x\"\nstock = { count = 1, of = \"salt mix\" }\ndose = { of",
     "two_forms", "log[10].stock"),
    ("[{ after = \"a-01\" }, {}]", "[{ after = \"a-01\" }]", "turns_do_not_match", "log[4].for"),
    ("for = { first = true }", "for = { first = true, date = 2026-01-05 }", "two_forms",
     "log[1].for.first"),
    ('nitrate = "12 mg/L"', 'nitrate = "12 pt/L"', "unknown_unit", "log[4].reading.nitrate"),
    ('nitrate = "12 mg/L"', 'nitrate = "1e9"', "number_with_exponent", "log[4].reading.nitrate"),
    ('mode = "freeze"', 'mode = "frozen"', "unknown_choice", "log[14].paused.mode"),
    ("shifted = \"Mix salt water\"\nfor = { date = 2026-01-16 }\nto = 2026-01-17",
     "shifted = \"Mix salt water\"\nfor = { date = 2026-01-16 }", "missing_key", "log[13]"),
    ('why = "away"', 'why = "away"\nnote = "x"', "two_forms", "log[11].why"),
    ('revokes = "a-16"', 'revokes = "a-61"', "unknown_reference", "log[18].revokes"),
    ('revokes = "a-16"', 'revokes = "a-19"', "unknown_reference", "log[18].revokes"),
    ('written_after = "a-18"', 'written_after = "a-17"', "unknown_reference",
     "log[17].written_after"),
    ("stock = { of = \"salt mix\"", "stock = { of = \"sand\"", "unknown_reference",
     "log[16].stock.of"),
    ("work = { grams = 3 }\n", "", "no_form", "log[19]"),
    ("work = { grams = 3 }", 'fact = "nothing"', "unknown_choice", "log[19].fact"),
]  # fmt: skip


# Faults of a whole table: a key that is missing, or keys that do not go together.
TOLD_AT_THE_HEAD = {"missing_key", "no_form", "named_twice"}
# In these rows the fault stands in the second line of what is put in.
SECOND_LINE = {"log[10].stock": 1, "chores[1].seasons": 1}


@pytest.mark.parametrize(("old", "new", "code", "place"), CHANGES)
def test_each_fault_is_named_with_its_code_place_and_line(
    old: str, new: str, code: str | None, place: str
) -> None:
    """One thing put wrong in a whole household is told with its place and its line."""
    text = changed(old, new)
    found = problems_of(text)
    told = [problem for problem in found if problem.place == place]
    assert told, found
    assert code is None or code in {problem.code for problem in told}
    first = line_of(WHOLE, old)
    if told[0].code in TOLD_AT_THE_HEAD:
        # The table around stands on an earlier line, the nearest head or list above.
        assert told[0].line is not None
        assert first - 8 <= told[0].line <= first
    else:
        assert told[0].line == first + SECOND_LINE.get(place, 0)


@pytest.mark.parametrize(
    ("key", "nearest"),
    [("curency", "currency"), ("zoen", "zone"), ("round", "round_at"), ("qqqqqq", None)],
)
def test_an_unknown_key_comes_with_the_nearest_known_one(key: str, nearest: str | None) -> None:
    """A slip of the pen is told with what was meant."""
    (problem,) = problems_of(f"{HEAD}[household]\n{key} = 1\n")
    assert problem == Problem(
        4, f"household.{key}", "unknown_key", {"key": key, "nearest": nearest}
    )


def test_an_unknown_name_comes_with_the_nearest_known_one() -> None:
    """References are told with the nearest name of that kind."""
    problem = problems_of(changed('room = "hall"', 'room = "hal"'))[0]
    assert problem.values == {"key": "room", "of": "room", "value": "hal", "nearest": "hall"}
    problem = problems_of(changed('done = "Top off"', 'done = "Topoff"'))[0]
    assert problem.values["nearest"] == "Top off"
    problem = problems_of(changed('room = "hall"', 'room = "xylotheque"'))[0]
    assert problem.values["nearest"] is None
    assert "hall" in str(problem.values["there_are"]).split(", ")


def test_all_problems_are_told_at_once_in_the_order_of_the_file() -> None:
    """A person mends a file once, not once for each problem."""
    text = (
        HEAD
        + '[household]\nzone = "Nowhere/Land"\nname = ""\n'
        + TANK
        + "length_cm = -4\nheigth_cm = 5\n"
        + CHORE
        + 'rhythm = { after_last_done = "x" }\nwho = ["Nobody"]\n'
        + "[[log]]\nat = 2030-01-01T00:00:00Z\nnote = 3\n"
    )
    found = problems_of(text)
    assert [(problem.line, problem.code) for problem in found] == [
        (4, "unknown_zone"),
        (5, "empty_name"),
        (10, "out_of_range"),
        (11, "unknown_key"),
        (15, "interval_unreadable"),
        (16, "unknown_reference"),
        (18, "in_future"),
        (19, "wrong_type"),
    ]


def test_a_chore_at_fault_does_not_make_its_entries_faults_too() -> None:
    """The cause is told, not what follows from it."""
    text = (
        HEAD
        + CHORE
        + 'rhythm = { once = "x" }\n[[log]]\nat = 2026-01-01T00:00:00Z\ndone = "Look"\nlitres = 2\n'
    )
    assert [problem.place for problem in problems_of(text)] == ["chores[1].rhythm.once"]


def test_a_doubled_key_is_told_with_its_line() -> None:
    """TOML 1.0: a key may stand once only; the second is refused, not silently taken."""
    (problem,) = problems_of(HEAD + '[household]\nname = "a"\nname = "b"\n')
    assert (problem.code, problem.line) == ("doubled_key", 5)


def test_text_that_is_no_toml_is_told_with_its_line() -> None:
    """A sign that does not belong there is found where it stands."""
    (problem,) = problems_of(HEAD + "[household\nname = 3\n")
    assert (problem.code, problem.line) == ("not_toml", 3)
    (problem,) = problems_of(HEAD + "name = ")
    assert (problem.code, problem.line) == ("not_toml", 3)


def test_what_is_needed_is_named_when_it_is_left_out() -> None:
    """format, version, a tank's name and shape, a chore's kind, name and rhythm."""
    found = problems_of("[[tanks]]\n[[chores]]\n")
    assert {(problem.place, problem.values["key"]) for problem in found} == {
        ("", "format"),
        ("", "version"),
        ("tanks[1]", "name"),
        ("tanks[1]", "shape"),
        ("chores[1]", "kind"),
        ("chores[1]", "name"),
        ("chores[1]", "rhythm"),
    }
    assert [problem.line for problem in found if problem.place == "chores[1]"] == [2, 2, 2]


def test_chores_of_one_name_are_refused_on_one_tank_only() -> None:
    """The log names chores by name; two tanks may each have one of the same name."""
    other = TANK.replace("Pool", "Pond")
    rhythm = 'rhythm = { once = 2026-04-01 }\ntank = "Pool"\n'
    good = HEAD + TANK + other + CHORE + rhythm + CHORE + rhythm.replace("Pool", "Pond")
    assert len(read_tank_file(good, now=NOW, today=TODAY).household.chores) == 2
    (problem,) = problems_of(HEAD + TANK + CHORE + rhythm + CHORE + rhythm)
    assert (problem.code, problem.place) == ("doubled_name", "chores[2].name")


def test_a_chore_that_has_ended_leaves_its_name_free() -> None:
    """A chore may follow an ended one of the same name; ids keep them apart."""
    rhythm = "rhythm = { once = 2026-04-01 }\n"
    text = HEAD + CHORE + rhythm + "ended = 2026-01-01\n" + CHORE + rhythm
    first, second = read_tank_file(text, now=NOW, today=TODAY).household.chores
    assert (first.ended_on, second.ended_on) == (date(2026, 1, 1), None)
    assert (first.id, second.id) == ("house.look", "house.look-2")


@pytest.mark.parametrize("value", ['"25.06"', "[1]", "{ x = 1 }", "2026-01-01", "true", "1"])
def test_no_kind_of_value_in_the_place_of_a_table_breaks_the_reader(value: str) -> None:
    """Every key is asked for its kind before it is used."""
    for key in ("household", "people", "tanks", "chores", "log", "water_supply", "supplies"):
        found = problems_of(f"{HEAD}{key} = {value}\n")
        assert found[0].line == 3


def test_lines_are_right_after_long_strings_comments_and_dotted_keys() -> None:
    """The place of a key does not depend on how a person lays the text out."""
    text = (
        HEAD
        + '# [[tanks]] in a comment, with a quote "\n'
        + 'household.name = """\nQuay\\\n   House"""\n'
        + "household.units.volume = 'L'\n"
        + 'household."zo\\u006ee" = 5\n'
        + "people = [ { name = 'A' },\n  # between\n  { name = 'B',\n"
        + "  lifts_kg = -1 },\n]\n"
    ).replace("name = 'B',\n  lifts", "name = 'B', lifts")
    found = problems_of(text)
    assert [(one.line, one.place) for one in found] == [
        (line_of(text, 'household."zo'), "household.zone"),
        (line_of(text, "lifts_kg"), "people[2].lifts_kg"),
    ]
