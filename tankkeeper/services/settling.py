"""Setting down what a household is: each change checked, kept with its undo, told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any, TypeVar, cast

from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.tank_learning import may_lose_otherwise
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.tank_file.problems import Problem
from tankkeeper.services.ticking import new_entry

T = TypeVar("T")
Make = Callable[[Household, Moment], Household]


@dataclass(frozen=True, slots=True)
class Apart:
    """A change of something apart from the household, that no row of the logbook tells.

    `undo` takes it back and `redo` makes it, once more too; each may refuse.
    """

    undo: Callable[[], object]
    redo: Callable[[], object]

    @property
    def turned(self) -> Apart:
        """The change that takes this one back."""
        return Apart(self.redo, self.undo)


@dataclass(frozen=True, slots=True)
class SetDown:
    """What a change came to: the household as it is now, and the row of the logbook that says so.

    No row where nothing differs, or where the change stands `apart` from the household.
    """

    household: Household
    entry: Entry | None
    apart: Apart | None = None

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The rows written."""
        return () if self.entry is None else (self.entry,)


def set_down(
    desk: Desk,
    said: Redefined,
    make: Make,
    by: str | None = None,
    tank: str | None = None,
    note: str = "",
) -> SetDown:
    """Replace the definitions by what `make` makes of them, all of it checked, or refuse.

    Else as `set_down_by`.
    """
    return set_down_by(
        desk, said, lambda state: make(state.household, state.moment), by, tank, note
    )


def set_down_by(
    desk: Desk,
    said: Redefined,
    make: Callable[[HouseholdState], Household],
    by: str | None = None,
    tank: str | None = None,
    note: str = "",
) -> SetDown:
    """Replace the definitions by what `make` makes of the state, all of it checked, or refuse.

    `tank` is the id of the tank that it concerns, so that its part of the logbook tells of it, and
    `note` the reason that somebody gave for it.
    """
    with desk.store.writing() as writing:
        state = desk.state_in(writing)
        present = state.household
        household = checked(present, make(state), state.moment)
        if household == present or desk.is_trial:
            return SetDown(present, None)
        if tank is not None and said.how is How.CHANGED and said.thing is Thing.TANK:
            moves = may_lose_otherwise(present.tank(tank), household.tank(tank))
            said = replace(said, moves_loss=moves)
        row = new_entry(desk, state, None, state.moment.now, by, (), said, note, tank=tank)
        entry = writing.redefine(row, household)
    desk.tell(Change((entry,)))
    return SetDown(household, entry)


def merged(present: T, was: T | None, wanted: T) -> T:
    """Return `wanted`, with what was left as it `was` taken from what is `present` by now.

    So two people who change different fields of one thing at the same time keep both changes.
    """
    if was is None or was == present:
        return wanted
    names = [one.name for one in fields(cast(Any, present))]
    left = [name for name in names if getattr(was, name) == getattr(wanted, name)]
    return cast(T, replace(cast(Any, wanted), **{name: getattr(present, name) for name in left}))


def checked(present: Household, wanted: Household, moment: Moment) -> Household:
    """Return `wanted` as a tank file would hold it, or refuse what a tank file could not hold.

    So one reader checks what is typed and what is imported: bounds, references, names that stand
    twice, rules that never come; and names are kept in one spelling. Raises UserFault with the
    code and values of the first problem, its `place` and the `field` that is at fault, and with
    those of the others beside it. What is wrong with `present` already stands in nobody's way.
    """
    found, problems = _read(wanted, moment)
    if found is not None:
        return found
    known = [_kind(one) for one in _read(present, moment)[1]]
    faults = [_fault(one) for one in problems if _kind(one) not in known]
    if faults:
        faults[0].also = tuple(faults[1:])
        raise faults[0]
    return wanted


def _fault(problem: Problem) -> UserFault:
    named = problem.place.rpartition(".")[2].partition("[")[0]
    values = {"field": named, **problem.values, "place": problem.place}
    return UserFault(problem.code, **values)


def _read(household: Household, moment: Moment) -> tuple[Household | None, tuple[Problem, ...]]:
    """Return the household as a tank file holds it, or what is wrong with it."""
    # Loaded here: the reader is not needed to show a household, only to change it.
    from tankkeeper.services.tank_file import read_tank_file, write_household

    try:
        text = write_household(household, ())
        return read_tank_file(text, now=moment.now, today=moment.day).household, ()
    except UserFault as refused:
        problems = refused.values.get("problems")
        if refused.code != "import_problems" or not isinstance(problems, tuple):
            raise
        return None, problems


def _kind(problem: Problem) -> tuple[str, str]:
    return problem.code, repr(problem.values)
