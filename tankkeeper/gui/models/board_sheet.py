"""The board in words: rows of bands, cells with their turns, strips of minutes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from tankkeeper.core.values import dataclass
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.month_sheet import long_day, told_noun
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow, item_row
from tankkeeper.reports.count_words import CAN_WAIT_TILL_THEN, minutes_told
from tankkeeper.reports.numbers import NBSP, listed
from tankkeeper.reports.people_names import shown_people
from tankkeeper.reports.rows import CAN_WAIT
from tankkeeper.reports.words import WEEKDAYS, Words
from tankkeeper.services.board import Band, BoardView, Placed, Strip

NOBODY = "Household"
HINT = "Drag a chore to put it off, or take hold with P. Daily chores are in the minutes."


@dataclass(frozen=True, slots=True)
class BoardCell:
    """A turn on its day, ready to be drawn and to be read aloud."""

    row: ItemRow
    day: date
    mark: Mark
    noun: str
    is_wide: bool
    sentence: str


@dataclass(frozen=True, slots=True)
class BandRow:
    """The name of a band, with the minutes of what is done there every day."""

    name: str
    daily: str
    sentence: str


@dataclass(frozen=True, slots=True)
class LineRow:
    """One line of a band: at most one turn for each day."""

    name: str
    cells: tuple[BoardCell | None, ...]


@dataclass(frozen=True, slots=True)
class StripSheet:
    """The minutes of one person, their sum, and the sentences for a screen reader.

    `days` has a sentence for each day, `sentence` tells of all of them together.
    """

    name: str
    total: str
    strip: Strip
    days: tuple[str, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class BoardSheet:
    """A whole board in words.

    `strips` are of those who have minutes or a limit, `idle` names the others.
    """

    view: BoardView
    words: Words
    title: str
    sentence: str
    heads: tuple[tuple[str, str], ...]
    rows: tuple[BandRow | LineRow, ...]
    strips: tuple[StripSheet, ...]
    idle: tuple[str, ...] = ()

    @property
    def has_limits(self) -> bool:
        """Whether anybody says how many minutes they give on a day."""
        return any(one is not None for each in self.strips for one in each.strip.gives or ())

    @property
    def idle_told(self) -> str:
        """What is told of those who have neither minutes nor a limit, empty where all have."""
        told = f"{listed(list(self.idle))}: no minutes of their own in {len(self.days)} days"
        return told if self.idle else ""

    @property
    def days(self) -> tuple[date, ...]:
        """The days of the columns."""
        return self.view.days

    def place_of(self, chore: str, day: date | None, slot: object) -> tuple[int, int] | None:
        """Return row and column of a chore's turn, the one nearest to a day."""
        found = [
            (abs((cell.day - day).days) if day is not None else 0, at, column)
            for at, column, cell in self.turns()
            if cell.row.item.chore.id == chore and cell.row.item.turn.slot == slot
        ]
        return min(found)[1:] if found else None

    def at_end(self, row: int, column: int, *, is_last: bool) -> tuple[int, int]:
        """Return where a turn leads to on today or the last day: in its own band, else near it.

        Where nobody has anything on that day it is the nearest one on which somebody has.
        """
        return self._nearest(row, len(self.days) - 1 if is_last else 0) or (row, column)

    def on_day(self, row: int, day: date) -> tuple[int, int] | None:
        """Return a turn of a day, one in the same band before others; None where it has none."""
        at = self.days.index(day) if day in self.days else -1
        place = None if at < 0 or not self.rows else self._nearest(max(row, 0), at)
        return place if place is not None and place[1] == at else None

    def _nearest(self, row: int, day: int) -> tuple[int, int] | None:
        """Return the turn nearest to a day, of the band of a row before others."""
        name, turns = self.rows[row].name, [(at, on) for at, on, _ in self.turns()]

        def apart(turn: tuple[int, int]) -> tuple[int, bool, int]:
            return abs(turn[1] - day), self.rows[turn[0]].name != name, abs(turn[0] - row)

        return min(turns, key=apart, default=None)

    def next_in_band(self, row: int, column: int, step: int) -> tuple[int, int] | None:
        """Return the next turn by day, in the same line or the nearest one of its band."""
        name = self.rows[row].name
        there = [
            (abs(day - column), abs(at - row), at)
            for at, day, _ in self.turns()
            if (day - column) * step > 0 and self.rows[at].name == name
        ]
        if not there:
            return None
        away, _, at = min(there)
        return at, column + step * away

    def next_on_day(self, row: int, column: int, step: int, kept: int) -> tuple[int, int] | None:
        """Return the next turn above or below of those that keep to a day, None past the last."""
        stops = self._stops_of(kept)
        at = stops.index((row, column)) + step
        return stops[at] if 0 <= at < len(stops) else None

    def day_kept(self, row: int, column: int, day: date | None) -> int:
        """Return the column that Up and Down keep to, from a turn to which they led by `day`.

        Its own, where they did not, or where that is no way to it any more.
        """
        kept = self.days.index(day) if day is not None and day in self.days else column
        return kept if (row, column) in self._stops_of(kept) else column

    def _stops_of(self, column: int) -> list[tuple[int, int]]:
        """Return where Up and Down lead on a day, from above: its turns, past bands without any.

        Beyond the first and the last of them it is what the other bands have on the day nearest to
        it: so a band there is not out of reach, and each way back is the way that led there.
        """
        turns = [(at, day) for at, day, _ in self.turns()]
        stops = [place for place in turns if place[1] == column]
        rows, bands = [at for at, _ in stops], {self.rows[at].name for at, _ in stops}
        beyond: dict[str, list[tuple[int, int]]] = {}
        for at, day in turns:
            is_between = bool(rows) and min(rows) < at < max(rows)
            if self.rows[at].name not in bands and not is_between:
                beyond.setdefault(self.rows[at].name, []).append((at, day))
        for own in beyond.values():
            _, nearest = min((abs(day - column), day) for _, day in own)
            stops += [place for place in own if place[1] == nearest]
        return sorted(stops)

    def turns(self) -> Iterator[tuple[int, int, BoardCell]]:
        """Yield every turn with its row and its column, band by band."""
        for at, row in enumerate(self.rows):
            for column, cell in enumerate(row.cells if isinstance(row, LineRow) else ()):
                if cell is not None:
                    yield at, column, cell


def board_sheet(view: BoardView, words: Words, wide: frozenset[str] = frozenset()) -> BoardSheet:
    """Return the board in words; `wide` nouns reach into the next day, which stays free."""
    rows: list[BandRow | LineRow] = []
    for band in view.bands:
        rows += _band_rows(band, view, words, wide)
    names = shown_people(view.state.household)
    shown = [one for one in view.strips if _has_something(one)]
    return BoardSheet(
        view=view,
        words=words,
        title=f"Next {len(view.days)} days",
        sentence=HINT,
        heads=tuple((WEEKDAYS[day.weekday()][:3], str(day.day)) for day in view.days),
        rows=tuple(rows),
        strips=tuple(_strip(strip, view, names) for strip in shown),
        idle=tuple(_name_of(strip, names) for strip in view.strips if strip not in shown),
    )


def _has_something(strip: Strip) -> bool:
    """Tell whether a strip has minutes on any day, or what its person gives on any.

    A row of nothing but zeros would take its room from those that say something.
    """
    gives = strip.gives or ()
    return any(strip.minutes) or any(strip.waiting) or any(one is not None for one in gives)


def _band_rows(
    band: Band, view: BoardView, words: Words, wide: frozenset[str]
) -> list[BandRow | LineRow]:
    name = band.tank.name if band.tank is not None else HOUSEHOLD
    daily = f"daily {band.daily_minutes}{NBSP}min" if band.daily_minutes else ""
    told = f"{name}, {band.daily_minutes} minutes every day" if daily else name
    count = len(view.days)
    lines: list[list[BoardCell | None]] = [[None] * count]
    for placed in band.placed:
        cell, at = _cell(placed, words, wide), (placed.day - view.days[0]).days
        line = next((one for one in lines if _has_room(one, at, cell)), None)
        if line is None:
            line = [None] * count
            lines.append(line)
        line[at] = cell
    return [BandRow(name, daily, told), *(LineRow(name, tuple(line)) for line in lines)]


def _has_room(line: list[BoardCell | None], at: int, cell: BoardCell) -> bool:
    """Tell whether a turn has room in a line: wide nouns take two days, but on the last one."""
    before = line[at - 1] if at > 0 else None
    is_free = line[at] is None and not (before is not None and before.is_wide)
    return is_free and not (cell.is_wide and at + 1 < len(line) and line[at + 1] is not None)


def _cell(placed: Placed, words: Words, wide: frozenset[str]) -> BoardCell:
    row = item_row(placed.item, words)
    mark = Mark(placed.item.state.value)
    told = f"{long_day(placed.day)}, {row.sentence}"
    noun = told_noun(placed.item)
    is_wide = noun in wide and not placed.item.is_extra
    return BoardCell(row, placed.day, mark, noun, is_wide, told)


def _name_of(strip: Strip, names: Mapping[str, str]) -> str:
    return names[strip.person.id] if strip.person is not None else NOBODY


def _strip(strip: Strip, view: BoardView, names: Mapping[str, str]) -> StripSheet:
    name = _name_of(strip, names)
    total, count = f"{sum(strip.minutes)}{NBSP}min", len(view.days)
    waits = f"{strip.all_waiting}{NBSP}min" if strip.all_waiting else ""
    days = tuple(
        f"{long_day(day)}, {name}, {_minutes_words(strip, at)}" for at, day in enumerate(view.days)
    )
    told = f"{name}, {minutes_told(sum(strip.minutes))} in {count} days"
    over = sum(bool(strip.over(at)) for at in range(count))
    if strip.gives is not None:
        on = "day" if over == 1 else "days"
        told += f", on {over} {on} more than given" if over else ", on no day more than given"
    if waits:
        total += f", and {waits} that {CAN_WAIT}"
        told += f", beside {minutes_told(strip.all_waiting)} that {CAN_WAIT}"
    return StripSheet(name, total, strip, days, told)


def _minutes_words(strip: Strip, at: int) -> str:
    """Return the minutes of a day, and what is given then: "25 minutes of 10, 15 over"."""
    given, over, waits = strip.given(at), strip.over(at), strip.waiting_on(at)
    told = [minutes_told(strip.minutes[at]) + ("" if given is None else f" of {given}")]
    if over:
        told.append(f"{over} over")
    if waits:
        told.append(f"beside {minutes_told(waits)} that {CAN_WAIT_TILL_THEN}")
    return ", ".join(told)
