"""The equipment of a tank, or of the household, with the chores that service it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from tankkeeper.core.household import Equipment
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.specs import Group, Kind, Spec, tanks_of
from tankkeeper.gui.parts import Part, Row, write_listed
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.in_sentences import small
from tankkeeper.reports.numbers import counted, listed
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.words import Words
from tankkeeper.services import settling_house
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown
from tankkeeper.services.settling_gear import (
    add_equipment,
    change_equipment,
    is_serviced,
    service_chore,
    service_of,
)


@dataclass(frozen=True, slots=True)
class GearDraft:
    """Equipment as the fields hold it; what has no service yet may bring it."""

    gear: Equipment
    kind: str
    name: str
    installed_on: date | None
    life_months: int | None
    tank: str | None
    service_weeks: int | None = None
    is_serviced: bool = False


def _draft(one: Equipment, words: Words) -> GearDraft:
    # What is new has no name yet by which a chore could be its own.
    is_new = one == Equipment(tank=one.tank)
    has_service = not is_new and is_serviced(one, words.household, words.today)
    return GearDraft(
        one,
        one.kind,
        one.name,
        one.installed_on,
        one.life_months,
        one.tank,
        is_serviced=has_service,
    )


def _gear_of(draft: GearDraft) -> Equipment:
    return replace(
        draft.gear,
        kind=draft.kind,
        name=draft.name,
        installed_on=draft.installed_on,
        life_months=draft.life_months,
        tank=draft.tank,
    )


def _write(desk: Desk, was: Any, draft: GearDraft, by: str | None) -> SetDown:
    if was is None:
        return add_equipment(desk, _gear_of(draft), draft.service_weeks, by)
    if draft.service_weeks is not None and not draft.is_serviced:
        return change_equipment(desk, was, _gear_of(draft), draft.service_weeks, by)
    return write_listed(desk, was, _gear_of(draft), by)


def _follows(state: HouseholdState, draft: GearDraft, words: Words) -> str:
    """Return the chore that equipment brings, and its first day."""
    if draft.is_serviced or draft.service_weeks is None:
        return ""
    chore = service_chore(_gear_of(draft), draft.service_weeks, state.household, state.moment)
    first = "" if chore.first_due is None else f", first {words.on_day(chore.first_due)}"
    installed = draft.installed_on
    if installed is not None and chore.first_due == state.moment.day:
        # It may be long overdue in truth, but nobody could have known of it before.
        first += f", since it was installed {words.on_day(installed)}"
    return f"With it: {chore.name}{first}."


def equipment_part(tank_id: str | None) -> Part:
    """Return the equipment of a tank, or that of the household."""

    on_tanks: list[str] = []

    def rows(state: HouseholdState, words: Words) -> Sequence[Row]:
        on_tanks[:] = _on_tanks(state)
        own = [one for one in state.household.equipment if one.tank == tank_id]
        return [Row(one.called or "Unnamed", _gear_line(one, words), one) for one in own]

    return Part(
        id="equipment",
        name="Equipment",
        noun="piece of equipment",
        rows=rows,
        groups=lambda _words: _GEAR_GROUPS,
        write=_write,
        blank=lambda: Equipment(tank=tank_id),
        remove=settling_house.remove,
        draft=_draft,
        follows=_follows,
        sentence=None if tank_id is not None else lambda: _elsewhere(on_tanks),
    )


def _on_tanks(state: HouseholdState) -> list[str]:
    """Return how many pieces each tank has, by the names of those that have some."""
    house = state.household
    counts = {one.name: sum(gear.tank == one.id for gear in house.equipment) for one in house.tanks}
    return [f"{count} on {name}" for name, count in counts.items() if count]


def _elsewhere(on_tanks: list[str]) -> str:
    """Return what stands here, and where the equipment of the tanks does."""
    own = "What serves no single tank."
    if not on_tanks:
        return f"{own} That of a tank stands with it ({key_caption(Command.CHORES)})."
    return f"{own} Besides {listed(on_tanks)}: choose the tank, {key_caption(Command.CHORES)}."


def _service_stays(draft: GearDraft, words: Words) -> str:
    """Return what becomes of its service where it goes to another tank."""
    if draft.tank == draft.gear.tank or not draft.is_serviced:
        return ""
    was = "the household" if draft.gear.tank is None else words.household.tank(draft.gear.tank).name
    return f"The chore of its service stays with {was}."


def _gear_line(one: Equipment, words: Words) -> str:
    named = one.called.casefold()
    told = [one.kind] if one.kind and one.kind.casefold() != named else []
    if one.installed_on is not None:
        told.append(f"installed {words.full_date(one.installed_on)}")
    if one.life_months is not None:
        told.append(f"lasts about {counted(one.life_months, 'month', 'months')}")
    service = service_of(one, words.household, words.today)
    if service is not None:
        told.append(f"service: {small(rhythm_words(service))}")
    return ", ".join(told)


_GEAR_GROUPS = (
    Group(
        "Equipment",
        (
            Spec("kind", "Kind", Kind.TEXT, note="Such as return pump, heater, skimmer."),
            Spec("name", "Name", Kind.TEXT),
            Spec(
                "installed_on",
                "Installed on",
                Kind.DAY,
                note="Such as 2 Mar 2026.",
                keys=("installed",),
            ),
            Spec(
                "tank",
                "Belongs to",
                Kind.CHOICE,
                choices=lambda words: (("The household", None), *tanks_of(words)),
                note_of=_service_stays,
            ),
            Spec("life_months", "Expected life", Kind.WHOLE, "months"),
            Spec(
                "service_weeks",
                "Serviced every",
                Kind.WHOLE,
                "weeks",
                note="Adds the chore for it. Empty: none.",
                shown=lambda draft: not draft.is_serviced,
            ),
        ),
    ),
)
