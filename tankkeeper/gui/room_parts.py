"""The rooms of the household with their air: one figure, two seasons or twelve months."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.household import Room
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.specs import Group, Kind, Spec
from tankkeeper.gui.parts import Part, Row, write_listed
from tankkeeper.reports.words import MONTHS, Words
from tankkeeper.services import settling_house
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown


@dataclass(frozen=True, slots=True)
class RoomDraft:
    """A room with its air by place: all year first, then January to December."""

    room: Room
    name: str
    air_speed_m_s: float | None
    warmth: tuple[float | None, ...]
    humidity: tuple[float | None, ...]


def _room_draft(one: Room, _words: Words) -> RoomDraft:
    by_month = {row.month or 0: row for row in one.climate}
    rows = [by_month.get(month) or ClimateRow() for month in range(13)]
    return RoomDraft(
        one,
        one.name,
        one.air_speed_m_s,
        tuple(row.temperature_c for row in rows),
        tuple(row.humidity for row in rows),
    )


def _room_of(draft: RoomDraft) -> Room:
    pairs = enumerate(zip(draft.warmth, draft.humidity, strict=True))
    climate = tuple(
        ClimateRow(month or None, warmth, humidity)
        for month, (warmth, humidity) in pairs
        if warmth is not None or humidity is not None
    )
    return replace(draft.room, name=draft.name, air_speed_m_s=draft.air_speed_m_s, climate=climate)


def _write_room(desk: Desk, was: Any, draft: RoomDraft, by: str | None) -> SetDown:
    return write_listed(desk, was, _room_of(draft), by)


def rooms_part() -> Part:
    """Return the rooms of the household."""

    def rows(state: HouseholdState, words: Words) -> Sequence[Row]:
        rooms = state.household.rooms
        return [Row(one.name or "Unnamed room", _room_line(one, words), one) for one in rooms]

    def by_month(path: str, kind: Kind) -> tuple[Spec, ...]:
        return tuple(Spec(f"{path}.{n}", name, kind) for n, name in enumerate(MONTHS, 1))

    groups = (
        Group(
            "Room",
            (
                Spec("name", "Name", Kind.TEXT),
                Spec("air_speed_m_s", "Air over the tanks", unit="m/s", note="Such as by a fan."),
            ),
        ),
        Group(
            "Air all year",
            (
                Spec("warmth.0", "Temperature", Kind.TEMPERATURE),
                Spec("humidity.0", "Relative humidity", Kind.PERCENT),
            ),
            "It decides how much evaporates. Two months, such as January and July, are enough for "
            "seasons: those between are worked out.",
        ),
        Group("Temperature by month", by_month("warmth", Kind.TEMPERATURE)),
        Group("Relative humidity by month", by_month("humidity", Kind.PERCENT)),
    )
    return Part(
        id="rooms",
        name="Rooms",
        noun="room",
        rows=rows,
        groups=lambda _words: groups,
        write=_write_room,
        blank=lambda: Room("", ""),
        remove=settling_house.remove,
        draft=_room_draft,
    )


def _room_line(one: Room, words: Words) -> str:
    months = [row for row in one.climate if row.month is not None]
    if len(months) > 1:
        return f"Air given for {len(months)} months"
    if not one.climate:
        return "Air not known"
    row = one.climate[0]
    told = [] if row.temperature_c is None else [words.temperature(row.temperature_c)]
    told += [] if row.humidity is None else [words.percent(row.humidity)]
    return ", ".join(told)
