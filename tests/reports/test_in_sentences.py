"""Texts that somebody typed, as they stand in a sentence, and people as they are called there."""

from __future__ import annotations

import pytest

from tankkeeper.core.household import Person
from tankkeeper.reports.in_sentences import begins_with, capital, small, with_stop
from tankkeeper.reports.people_names import UNNAMED_PERSON, shown_people
from tests.builders import a_household


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("looks fine", "looks fine."),
        ("looks fine.", "looks fine."),
        ("again?", "again?"),
        ("and so on\N{HORIZONTAL ELLIPSIS}", "and so on\N{HORIZONTAL ELLIPSIS}"),
    ],
)
def test_a_sentence_ends_with_one_stop(typed: str, told: str) -> None:
    """Whoever typed one already gets no second."""
    assert with_stop(typed) == told


@pytest.mark.parametrize(
    ("text", "large", "low"),
    [
        ("nitrate", "Nitrate", "nitrate"),
        ("pH of this tank", "pH of this tank", "pH of this tank"),
        ("RO filter", "RO filter", "RO filter"),
        ("", "", ""),
    ],
)
def test_the_first_letter_follows_the_place(text: str, large: str, low: str) -> None:
    """An abbreviation stays as it is written."""
    assert (capital(text), small(text)) == (large, low)


def test_a_name_begins_a_text_only_as_a_word() -> None:
    """What begins with the same letters is another word."""
    assert begins_with("Ward's filter", "Ward")
    assert not begins_with("Wardrobe", "Ward")
    assert not begins_with("anything", "")


def test_several_without_a_name_are_numbered_past_one_who_is_called_so() -> None:
    """Nobody is shown as somebody else."""
    people = (Person("a", ""), Person("b", f"{UNNAMED_PERSON} 2"), Person("c", ""))
    shown = shown_people(a_household(people=people))
    assert shown == {
        "a": UNNAMED_PERSON,
        "b": f"{UNNAMED_PERSON} 2",
        "c": f"{UNNAMED_PERSON} 3",
    }
