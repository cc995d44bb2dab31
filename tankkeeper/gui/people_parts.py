"""The people of the household: minutes by weekday, what they lift, what they do not do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import Person
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.specs import Group, Kind, Spec
from tankkeeper.gui.parts import Part, Row, write_listed
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.people_names import shown_people
from tankkeeper.reports.people_words import person_line
from tankkeeper.reports.words import WEEKDAYS, Words
from tankkeeper.services import settling_house
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown

_KINDS = tuple((capital(one.value.replace("-", " ")), one) for one in ChoreKind)


@dataclass(frozen=True, slots=True)
class PersonDraft:
    """A person with one value a field."""

    person: Person
    name: str
    lifts_kg: float | None
    not_for: tuple[ChoreKind, ...]
    mon: int | None
    tue: int | None
    wed: int | None
    thu: int | None
    fri: int | None
    sat: int | None
    sun: int | None


_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def _person_draft(one: Person, _words: Words) -> PersonDraft:
    minutes = one.minutes or (None,) * 7
    return PersonDraft(one, one.name, one.lifts_kg, one.not_for, *minutes)


def _person_of(draft: PersonDraft) -> Person:
    minutes: Any = tuple(getattr(draft, day) for day in _DAYS)
    return replace(
        draft.person,
        name=draft.name,
        lifts_kg=draft.lifts_kg,
        not_for=draft.not_for,
        minutes=None if all(one is None for one in minutes) else minutes,
    )


def _write_person(desk: Desk, was: Any, draft: PersonDraft, by: str | None) -> SetDown:
    return write_listed(desk, was, _person_of(draft), by)


def people_part() -> Part:
    """Return the people of the household."""

    def rows(state: HouseholdState, words: Words) -> Sequence[Row]:
        names = shown_people(state.household)
        return [Row(names[one.id], person_line(one, words), one) for one in state.household.people]

    groups = (
        Group(
            "Person",
            (Spec("name", "Name", Kind.TEXT), Spec("lifts_kg", "Can lift", Kind.MASS)),
        ),
        Group(
            "Minutes given on each weekday",
            tuple(
                Spec(day, name, Kind.WHOLE, "min")
                for day, name in zip(_DAYS, WEEKDAYS, strict=True)
            ),
            "Empty: not known. 0: none on that day.",
        ),
        Group(
            "Does not do",
            (
                Spec(
                    "not_for",
                    "Kinds of chore",
                    Kind.MANY,
                    is_wide=True,
                    choices=lambda _words: _KINDS,
                ),
            ),
        ),
    )
    return Part(
        id="people",
        name="People",
        noun="person",
        rows=rows,
        groups=lambda _words: groups,
        write=_write_person,
        blank=lambda: Person("", ""),
        remove=settling_house.remove,
        draft=_person_draft,
    )
