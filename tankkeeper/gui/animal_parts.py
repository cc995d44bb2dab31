"""The animals of a tank, and what new ones bring."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from tankkeeper.core.communities import Community
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Animal, Loss
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.specs import FLAGS, Group, Kind, Spec, tanks_of
from tankkeeper.gui.parts import Part, Row
from tankkeeper.reports.numbers import counted, listed
from tankkeeper.reports.words import Words
from tankkeeper.services import settling_house
from tankkeeper.services.desk import Desk
from tankkeeper.services.losing import change_animal, chores_ending, refuse_impossible_loss
from tankkeeper.services.settling import SetDown
from tankkeeper.services.settling_animals import (
    Brings,
    add_animal,
    chores_brought,
    come_too_late,
    has_lived_long,
    is_display,
    is_past_quarantine,
    usual_brings,
)

_BRINGS = (
    ("A review of its quarantine after four weeks", Brings.REVIEW),
    ("A test of ammonia every day until then", Brings.TESTS),
    ("A test of ammonia and nitrite 2 and 5 days after it came", Brings.AFTER),
    ("A check of the mesh screen every month, where it jumps", Brings.MESH),
)
_LIVES_THERE = {
    Community.FISH_ONLY: "fish",
    Community.FISH_WITH_LIVE_ROCK: "fish and live rock",
    Community.SOFT_CORAL: "soft corals",
    Community.LARGE_POLYP_STONY: "large-polyp stony corals",
    Community.SMALL_POLYP_STONY: "small-polyp stony corals",
    Community.ANEMONE: "anemones",
}
_LATE = {
    Brings.REVIEW: "the review",
    Brings.TESTS: "the daily tests",
    Brings.AFTER: "the tests after it came",
}


@dataclass(frozen=True, slots=True)
class AnimalDraft:
    """Animals as the fields hold them, with the work that new ones bring."""

    animal: Animal
    name: str
    count: int | None
    added_on: date | None
    lost: tuple[Loss, ...]
    diet: str
    jumper: bool | None
    brings: tuple[Brings, ...]
    tank: str | None

    @property
    def is_new(self) -> bool:
        """Whether these animals are not set down yet."""
        return self.animal == Animal(tank=self.animal.tank)


def _draft(one: Animal, words: Words) -> AnimalDraft:
    # What is new came today, unless another day is written there, or none.
    added_on = words.today if one == Animal(tank=one.tank) else one.added_on
    brings = usual_brings(words.household, one.tank, words.today)
    return AnimalDraft(
        one, one.name, one.count, added_on, one.lost, one.diet, one.jumper, brings, one.tank
    )


def _why_brings(draft: AnimalDraft, words: Words) -> str:
    """Return why just these chores are chosen at first, and which of them come too late.

    What new animals need is not told of those that came before any quarantine of today began.
    """
    late = _too_late(draft, words)
    if is_past_quarantine(_animal_of(draft), words.today):
        return late
    return f"{late} {_why_chosen(draft, words)}" if late else _why_chosen(draft, words)


def _too_late(draft: AnimalDraft, words: Words) -> str:
    found = come_too_late(words.household, _animal_of(draft), draft.brings, words.today)
    if not found:
        return ""
    names = listed([_LATE[one] for one in found])
    # The review alone is one; the others are tests.
    verb = "is" if tuple(found) == (Brings.REVIEW,) else "are"
    when = "nobody said when it came"
    if draft.added_on is not None:
        when = f"it came on {words.full_date(draft.added_on)}"
    return f"Ticked, but no chore comes of it: {names} {verb} left out, since {when}."


def _why_chosen(draft: AnimalDraft, words: Words) -> str:
    """Return why just these chores are chosen at first."""
    tank = words.household.tank(str(draft.animal.tank)).name
    if is_display(words.household, draft.animal.tank, words.today):
        return (
            f"{_settled(draft, words)}, so it counts as a display "
            "and no quarantine is chosen: new animals are best kept apart for four weeks before "
            "they come here. Choose it if they are kept apart in this tank."
        )
    return (
        f"Nothing lives in {tank} for longer than a quarantine lasts, so new animals count as "
        "kept apart here. Switch the review off if they come from a quarantine."
    )


def _settled(draft: AnimalDraft, words: Words) -> str:
    """Return by what a tank counts as a display: its animals, else that it runs with some."""
    tank = words.household.tank(str(draft.animal.tank))
    if has_lived_long(words.household, tank.id, words.today) or tank.community is None:
        return f"Animals live in {tank.name} for longer than a quarantine lasts"
    since = f" since {words.full_date(tank.since)}" if tank.since is not None else ""
    verb = "has been" if since else "is"
    return f"{tank.name} {verb} running with {_LIVES_THERE[tank.community]}{since}"


def _lost_in(draft: AnimalDraft) -> tuple[Loss, ...]:
    """Return the losses without the rows that were emptied; what a file left empty stays."""
    before = draft.animal.lost
    return tuple(
        one
        for place, one in enumerate(draft.lost)
        if one != Loss() or before[place : place + 1] == (one,)
    )


def _animal_of(draft: AnimalDraft) -> Animal:
    return replace(
        draft.animal,
        name=draft.name,
        count=draft.count,
        added_on=draft.added_on,
        lost=_lost_in(draft),
        diet=draft.diet,
        jumper=draft.jumper,
        tank=draft.tank,
    )


def _write(desk: Desk, was: Any, draft: AnimalDraft, by: str | None) -> SetDown:
    animal = _animal_of(draft)
    if was is None and not animal.name.strip():
        # Half typed, it would bring its chores already.
        raise UserFault("empty_name", field="name")
    if was is None:
        return add_animal(desk, animal, draft.brings, by)
    return change_animal(desk, was, animal, by)


def _follows(state: HouseholdState, draft: AnimalDraft, _words: Words) -> str:
    """Return the chores that new animals bring, or how many are left and what ends with that."""
    becomes = _animal_of(draft)
    if not draft.is_new:
        end = _end_line(state, draft.animal, becomes) if becomes != draft.animal else ""
        return end or _left_line(becomes)
    if becomes == draft.animal:
        return ""
    chores = chores_brought(state.household, _animal_of(draft), draft.brings, state.moment.day)
    return f"With it: {listed([one.name for one in chores])}." if chores else ""


def _end_line(state: HouseholdState, was: Animal, becomes: Animal) -> str:
    """Return which chores end with the last of the animals, or why a loss cannot be."""
    refuse_impossible_loss(becomes, was)
    ended = chores_ending(state.household, was, becomes, state.moment.day)
    if not ended:
        return ""
    verb = "ends" if len(ended) == 1 else "end"
    return f"None is left, so {listed([one.name for one in ended])} {verb}."


def animals_part(tank_id: str) -> Part:
    """Return the animals of a tank."""

    def rows(state: HouseholdState, words: Words) -> Sequence[Row]:
        own = [one for one in state.household.animals if one.tank == tank_id]
        return [Row(one.name or "Unnamed", _line(one, words), one) for one in own]

    return Part(
        id="animals",
        name="Animals",
        noun="animal",
        rows=rows,
        groups=lambda _words: _GROUPS,
        write=_write,
        blank=lambda: Animal(tank=tank_id),
        remove=settling_house.remove,
        draft=_draft,
        follows=_follows,
        parts={"lost": Loss},
    )


def _line(one: Animal, words: Words) -> str:
    told = [] if one.count is None else [counted(one.count, "animal", "animals")]
    if one.added_on is not None:
        told.append(f"added {words.full_date(one.added_on)}")
    if one.lost:
        lost = "lost" if one.lost_count is None else f"{one.lost_count} lost"
        last = max((each.on for each in one.lost if each.on is not None), default=None)
        lately = ", last on" if len(one.lost) > 1 else ""
        told.append(lost if last is None else f"{lost}{lately} {words.full_date(last)}")
        if one.left is not None:
            told.append("none left" if not one.left else f"{one.left} left")
    return ", ".join(told)


def _left_line(one: Animal) -> str:
    """Return how many of the animals live on, as far as that is known."""
    lost, left = one.lost_count, one.left
    if not one.lost or lost is None or one.count is None:
        return ""
    if lost > one.count:
        return f"{lost} lost are more than the {one.count} that came."
    verb = "is" if lost == 1 else "are"
    return f"Of {one.count} that came, {lost} {verb} lost and {left or 'none'} left."


def _loss_row(place: int) -> tuple[Spec, ...]:
    """Return the fields of one loss."""
    path, key = f"lost.{place}", f"lost[{place + 1}]"
    # A file with one loss writes it without a list.
    keys = ("lost", key) if place == 0 else (key,)

    def spec(name: str, label: str, kind: Kind) -> Spec:
        named = tuple(f"{one}.{name}" for one in keys)
        return Spec(f"{path}.{name}", label, kind, keys=named, begins_line=name == "count")

    return (
        spec("count", "How many" if place == 0 else "How many more", Kind.WHOLE),
        spec("on", "On", Kind.DAY),
        spec("why", "Why", Kind.TEXT),
    )


_GROUPS = (
    Group(
        "Animal",
        (
            Spec("name", "Name or kind", Kind.TEXT),
            Spec("count", "How many", Kind.WHOLE),
            Spec("added_on", "Added on", Kind.DAY, note="Such as 2 Mar 2026.", keys=("added",)),
            Spec("diet", "Diet", Kind.TEXT),
            Spec(
                "tank",
                "In which tank",
                Kind.CHOICE,
                choices=tanks_of,
                shown=lambda draft: not draft.is_new,
            ),
            Spec("jumper", "Jumps", Kind.FLAG, choices=lambda _words: FLAGS),
            Spec(
                "brings",
                "Chores it brings",
                Kind.MANY,
                is_wide=True,
                choices=lambda _words: _BRINGS,
                shown=lambda draft: draft.is_new,
                note_of=_why_brings,
            ),
        ),
    ),
    Group(
        "Lost",
        (),
        "Left empty, none was lost. One more row comes as the last one is filled.",
        _loss_row,
    ),
)
