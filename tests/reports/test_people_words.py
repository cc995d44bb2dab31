"""What people do not do and lift: told beside the work, and heeded where nobody is named."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.capable import is_for, meant_for, trips_to_carry
from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Container, Person
from tankkeeper.core.logbook import Readings
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.people_words import limits_of_chore, limits_of_entry, person_line
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import row_sentence, who_words
from tankkeeper.services.board import board_of
from tankkeeper.services.round import round_of
from tests.builders import an_entry
from tests.reports.scenes import chore, item, state

ADA = Person("ada", "Ada", lifts_kg=25.0)
PIET = Person("piet", "Piet", lifts_kg=10.0, not_for=(ChoreKind.TEST,))
HOUSE = {"people": (ADA, PIET)}
TEST = chore(ChoreKind.TEST, "Test nitrate", tests=("nitrate",))
CHANGE = chore(ChoreKind.WATER_CHANGE, "Change water", amount=Amount(30.0, AmountUnit.LITRES))


@pytest.mark.parametrize(
    ("who", "shown"),
    [((), "Ada"), (("piet",), "Piet"), (("piet", "ada"), "Ada"), (("ada",), "Ada")],
)
def test_where_nobody_is_named_those_who_can_are_proposed(who: tuple[str, ...], shown: str) -> None:
    """And of those named the ones who can; one who is named alone stays, and that is told."""
    row, words = item(replace(TEST, who=who), **HOUSE)

    assert who_words(row, words) == shown
    assert f", {shown}, " in row_sentence(row, words)
    assert ("Piet does no tests." in reason(row, words)) is (who != ("ada",))


def test_where_everybody_does_it_nobody_is_proposed() -> None:
    """As before: the chore is anybody's."""
    row, words = item(chore(), **HOUSE)

    assert who_words(row, words) == ""
    assert meant_for(chore(), words.household) == ()


def test_the_round_of_one_person_leaves_out_what_that_person_does_not_do() -> None:
    """Unless the chore names nobody else."""
    for who, in_round in (((), False), (("piet", "ada"), False), (("piet",), True)):
        folded = state(replace(TEST, who=who), **HOUSE)
        assert bool(round_of(folded, person=PIET).items) is in_round
        assert is_for(ADA, replace(TEST, who=who), folded.household) is (who != ("piet",))


def test_the_minutes_of_the_board_go_to_the_first_who_does_it() -> None:
    """Not to the first name."""
    folded = state(replace(TEST, who=("piet", "ada"), minutes=8), **HOUSE)
    strips = {
        one.person.id: one.minutes[0]
        for one in board_of(folded, 3).strips
        if one.person is not None
    }

    assert strips == {"ada": 8, "piet": 0}


def test_water_is_carried_in_trips() -> None:
    """30 L of salt water are 31 kg (1.02 kg/L): 25 kg at once is two trips, 10 kg four."""
    row, words = item(CHANGE, **HOUSE)

    figures = [(plain(label), plain(value)) for label, value in numbers_used(row, words)]

    assert ("Ada lifts 25 kg", "31 kg in 2 trips") in figures
    assert ("Piet lifts 10 kg", "31 kg in 4 trips") in figures
    assert [plain(one) for one in limits_of_chore(replace(CHANGE, who=("piet",)), words)] == [
        "30 L weighs about 31 kg: Piet carries it in 4 trips."
    ]
    alone = [plain(label) for label, _ in numbers_used(row, words, "piet")]
    assert "Piet lifts 10 kg" in alone
    assert "Ada lifts 25 kg" not in alone
    assert trips_to_carry(PIET, 10.0) == 1
    assert trips_to_carry(Person("x", "X"), 500.0) == 1


@pytest.mark.parametrize(
    ("container", "figures", "piet"),
    [
        # 8 L weigh 8.2 kg: Ada carries two in 25 kg, Piet one.
        (
            Container("bucket", 8.0, 2),
            ("2 trips of 2 \u00d7 8 L", "4 trips of 8 L"),
            "4 trips with the 8 L bucket",
        ),
        # Of 12 L Piet carries (10 kg - 1 kg) / 1.02 kg/L, which are 8.8 L.
        (
            Container("", 12.0, 1, 1.0),
            ("3 trips of 12 L", "4 trips of 8.8 L"),
            "4 trips with the 12 L container (8.8 L at a time)",
        ),
        (
            Container("grey 10 L bucket", 10.0, 1),
            ("3 trips of 10 L", "4 trips of 9.8 L"),
            "4 trips with the grey 10 L bucket (9.8 L at a time)",
        ),
    ],
)
def test_the_trips_name_the_container_that_they_follow_from(
    container: Container, figures: tuple[str, str], piet: str
) -> None:
    """What binds is the bucket, not the weight alone; what of it is lifted is told, too."""
    row, words = item(CHANGE, **HOUSE, containers=(container,))

    told = [(plain(label), plain(value)) for label, value in numbers_used(row, words)]

    assert ("Ada lifts 25 kg", figures[0]) in told
    assert ("Piet lifts 10 kg", figures[1]) in told
    assert [plain(one) for one in limits_of_chore(replace(CHANGE, who=("piet",)), words)] == [
        f"30 L weighs about 31 kg: Piet carries it in {piet}."
    ]


def test_the_sentence_tells_that_two_are_carried_together() -> None:
    """8 L weigh 8.2 kg, and there are two such buckets."""
    house = HOUSE | {"containers": (Container("bucket", 8.0, 2),)}
    _, words = item(CHANGE, **house)

    assert [plain(one) for one in limits_of_chore(replace(CHANGE, who=("ada",)), words)] == [
        "30 L weighs about 31 kg: Ada carries it in 2 trips with the 8 L bucket (two at a time)."
    ]


def test_what_is_lifted_at_once_is_not_told() -> None:
    """9 L weigh 9 kg."""
    row, words = item(replace(CHANGE, amount=Amount(9.0, AmountUnit.LITRES)), **HOUSE)

    assert not any(" lifts " in label for label, _ in numbers_used(row, words))


def test_what_somebody_did_all_the_same_is_told() -> None:
    """By the chore that it ticks, else by what was written down."""
    words = item(TEST, **HOUSE)[1]
    read = Readings((ReadingValue("nitrate", 5.0, "mg/L", 5.0),))
    ticked = replace(an_entry(1, "2026-03-12", read, tank="nook", done="it"), by="piet")
    told = "Piet does no tests, by the household's settings."

    assert limits_of_entry(ticked, words) == told
    assert limits_of_entry(replace(ticked, completes=()), words) == told
    assert limits_of_entry(replace(ticked, by="ada"), words) == ""
    assert limits_of_entry(replace(ticked, by=None), words) == ""


def test_where_no_minutes_of_any_day_are_known_that_is_told() -> None:
    """A row of days without a number says no more than no row."""
    words = item(chore(), **HOUSE)[1]
    assert person_line(replace(ADA, minutes=(None,) * 7), words) == person_line(ADA, words)
    assert person_line(ADA, words).startswith("Minutes not known, ")
    some = person_line(replace(ADA, minutes=(20,) + (None,) * 6), words)
    assert plain(some).startswith("20 min Mon, not known Tue to Sun, ")
    assert plain(person_line(replace(ADA, minutes=(20,) * 7), words)).startswith("20 min every day")
