"""What a part of a page is: the list of its things, the sheet of one, and how it is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from typing import Any

from PySide6.QtWidgets import QWidget

from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.specs import Group
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.words import Words
from tankkeeper.services import settling_house
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown

# What belongs to the person at this machine, whatever household is open.
OF_EVERY_HOUSEHOLD = " of every household on this machine"


def _as_it_is(thing: Any, _words: Words) -> Any:
    return thing


def _no_lines(_state: HouseholdState, _draft: Any, _words: Words) -> str:
    return ""


def _no_offer(_state: HouseholdState, _draft: Any) -> Offer | None:
    return None


def write_listed(desk: Desk, was: Any, becomes: Any, by: str | None) -> SetDown:
    """Write one thing of a list: new where nothing was, else in its place."""
    if was is None:
        return settling_house.add(desk, becomes, by)
    return settling_house.change(desk, was, becomes, by)


@dataclass(frozen=True, slots=True)
class Offer:
    """What else can be set down for what stands in the fields: words, deed, what is told."""

    words: str
    write: Callable[[Desk, str | None], SetDown]
    told: str


@dataclass(frozen=True, slots=True)
class Row:
    """One thing of a list: its name, the line beneath it, and the thing."""

    name: str
    line: str
    thing: Any


@dataclass(frozen=True, slots=True)
class Part:
    """A list of things of one kind, or one sheet where `rows` gives no list.

    `write` takes the desk, what was (None for a new one), what stands in the fields, and who;
    `follows` says in words what is set down, while it is typed, and `offer` what else could be.
    What is not in the state is read in the worker and held by `beside`; where `make` makes one,
    nothing of the list is opened. `more` are the words of another way to add some, and the form
    that asks which. `reach` tells behind what was kept how far it goes beyond this household.
    """

    id: str
    name: str
    noun: str
    rows: Callable[[HouseholdState, Words], Sequence[Row]]
    groups: Callable[[Words], Sequence[Group]]
    write: Callable[[Desk, Any, Any, str | None], SetDown]
    blank: Callable[[], Any] | None = None
    remove: Callable[[Desk, Any, str | None], SetDown] | None = None
    remove_word: str = "Take out"
    removed_word: str = "Took out"
    draft: Callable[[Any, Words], Any] = _as_it_is
    follows: Callable[[HouseholdState, Any, Words], str] = _no_lines
    offer: Callable[[HouseholdState, Any], Offer | None] = _no_offer
    parts: Mapping[str, type[Any]] = field(default_factory=dict)
    beside: tuple[Callable[[Desk], object], Callable[[object], None]] | None = None
    sentence: Callable[[], str] | None = None
    make: Callable[[Desk], None] | None = None
    made: Callable[[], str] | None = None
    more: tuple[str, Callable[[HouseholdState, Words, QWidget], ManyForm]] | None = None
    reach: str = ""

    @property
    def is_list(self) -> bool:
        """Whether it is a list of things; else there is just one."""
        return self.blank is not None

    def title(self, name: str, *, is_new: bool) -> str:
        """Return what stands above the sheet of a thing of that name."""
        if not self.is_list:
            return self.name
        return f"New {self.noun}" if is_new else name or capital(self.noun)

    def called(self, name: str, *, is_new: bool = False) -> str:
        """Return what a thing of the list is called at the head of a sentence."""
        return f"The {'new ' if is_new else ''}{self.noun} {name}".rstrip()

    def told(self, was: Any, thing: Any) -> str:
        """Return what is told once a thing was kept."""
        # What has no name of its own goes by its kind.
        name = (str(getattr(thing, "name", "")) or str(getattr(thing, "kind", ""))).strip()
        if not self.is_list:
            # Of what there is just one of, the name would be that of the household.
            name = ""
        return f"{'Added' if was is None else 'Changed'} the {self.noun} {name}".strip()


class ManyForm(Form):
    """A form that adds several things at once."""

    def deed(self, by: str | None) -> tuple[Callable[[Desk], SetDown], str]:
        """Return how they are written, and what is told then; raises what cannot be."""
        raise NotImplementedError
