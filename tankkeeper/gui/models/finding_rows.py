"""What can be found by typing: chores, tanks and days, prepared from one reading."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from enum import StrEnum
from typing import Final

from tankkeeper.core.household import Tank
from tankkeeper.core.state import HouseholdState, Item, items_of, upcoming_item
from tankkeeper.core.turns import ChoreState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words

MOST_LISTED: Final = 24
LONGEST_QUERY: Final = 200
_LONGEST_TOLD: Final = 40
# Less of a weekday or a month could as well be the beginning of a chore.
_SHORTEST_NAME: Final = 3
# Within 28 years every weekday falls on every day of the year.
_DAYS_SEARCHED: Final = 366 * 28
# Letters that are no base letter with a sign on it, as they are typed without it.
_PLAIN_LETTERS: Final = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe"})
_NAMED_DAYS: Final = {"yesterday": -1, "today": 0, "tomorrow": 1}


class HitKind(StrEnum):
    """What a line below the find bar stands for."""

    TANK = "tank"
    DAY = "day"
    CHORE = "chore"


@dataclass(frozen=True, slots=True)
class Hit:
    """Something found that has no line in the round: where it leads, and how it is told."""

    kind: HitKind
    text: str
    tank: str | None = None
    day: date | None = None
    chore: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """What a text finds: ids of lines in the page, lines below the bar, and one sentence.

    `chores` are all that were found, listed or not.
    """

    rows: tuple[str, ...] = ()
    hits: tuple[Hit, ...] = ()
    sentence: str = ""
    chores: frozenset[str] = frozenset()


def folded(text: str) -> str:
    """Return text without case, accents and doubled spaces.

    >>> folded("  Ablösch  ÉCUME ")
    'ablosch ecume'
    """
    parts = unicodedata.normalize("NFKD", text)
    plain = "".join(sign for sign in parts if not unicodedata.combining(sign))
    return " ".join(plain.casefold().translate(_PLAIN_LETTERS).split())


def matches(tokens: Sequence[str], text: str) -> bool:
    """Tell whether all words stand in a folded text; numbers only where a number begins."""
    return all(f" {one}" in text if one.isdigit() else one in text for one in tokens)


class FindIndex:
    """Everything that can be found, folded once; a search asks neither store nor clock."""

    def __init__(
        self,
        state: HouseholdState,
        words: Words,
        rows: Iterable[ItemRow],
        place: str = "in the round",
    ) -> None:
        self._state = state
        self._words = words
        self._place = place
        self._rows = tuple(rows)
        self._tanks = {one.id: one for one in state.household.tanks}
        shown = {row.item.chore.id for row in self._rows}
        self._row_texts = [self._row_text(row) for row in self._rows]
        self._tank_texts = [(one, f" {folded(one.name)}") for one in state.household.tanks]
        others = [one for one in state.chores if one.chore.id not in shown]
        others.sort(key=_comes_on)
        self._chores = [(one, self._chore_text(one)) for one in others]

    def search(self, query: str) -> Found:
        """Return what a text finds; an empty one finds nothing and says so by saying nothing."""
        tokens = folded(query[:LONGEST_QUERY]).split()
        if not tokens:
            return Found()
        rows = tuple(
            row.id
            for row, text in zip(self._rows, self._row_texts, strict=True)
            if matches(tokens, text)
        )
        tanks = [_tank_hit(one) for one, text in self._tank_texts if matches(tokens, text)]
        days = [self._day_hit(day) for day in days_called(tokens, self._words.today)]
        chores = [one for one, text in self._chores if matches(tokens, text)]
        listed = tuple(self.chore_hit(one) for one in chores[:MOST_LISTED])
        hits = (*tanks, *days, *listed)
        counts = (len(rows), len(tanks) + len(days), len(chores))
        known = set(rows)
        found = {row.item.chore.id for row in self._rows if row.id in known}
        return Found(
            rows,
            hits,
            _sentence(query, *counts, self._place),
            frozenset(found | {one.chore.id for one in chores}),
        )

    def chore_hit(self, one: ChoreState) -> Hit:
        """Return a chore with when it comes: "Swap floss, Bay: about Sat 28"."""
        chore = one.chore
        tank = self._tanks.get(chore.tank) if chore.tank is not None else None
        item = item_of(self._state, one)
        when = "nothing to come" if item is None else state_words(item, self._words)
        where = tank.name if tank is not None else HOUSEHOLD
        day = self._day_of(item)
        text = f"{chore.name}, {where}: {when}"
        return Hit(HitKind.CHORE, text, tank=chore.tank, day=day, chore=chore.id)

    def _day_of(self, item: Item | None) -> date | None:
        """Return the day under which a chore stands, None where it has none to come."""
        if item is None or item.open is None:
            return None
        today, target = self._words.today, item.open.target
        if item.counts:
            return today
        return target if item.paused is None else max(target, today)

    def _row_text(self, row: ItemRow) -> str:
        tank, chore = row.item.tank, row.item.chore
        where = tank.name if tank is not None else HOUSEHOLD
        return f" {folded(f'{chore.name} {chore.noun} {where} {row.state}')}"

    def _chore_text(self, one: ChoreState) -> str:
        chore = one.chore
        tank = self._tanks.get(chore.tank) if chore.tank is not None else None
        where = tank.name if tank is not None else HOUSEHOLD
        turn = next(iter(one.open), one.upcoming)
        when = (
            "" if turn is None or one.paused is not None else _day_names(turn.target, self._words)
        )
        return f" {folded(f'{chore.name} {chore.noun} {where} {when}')}"

    def _day_hit(self, day: date) -> Hit:
        name = f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
        if day.year != self._words.today.year:
            name += f" {day.year}"
        near = self._words.day(day)
        is_near = near in _NAMED_DAYS
        return Hit(HitKind.DAY, f"{name}, {near}" if is_near else name, day=day)


def item_of(state: HouseholdState, one: ChoreState) -> Item | None:
    """Return the line that tells how a chore stands: what is open or paused, else the next."""
    lines = [item for item in items_of(state, one) if item.is_open or item.paused is not None]
    return lines[0] if lines else upcoming_item(state, one)


def days_called(tokens: Sequence[str], today: date) -> list[date]:
    """Return the days that words name: "tomorrow", "friday", "fri 13", "13 march", "2026-03-13".

    The next one from today on where the year is not said.
    """
    if len(tokens) == 1:
        near = [away for name, away in _NAMED_DAYS.items() if _begins(name, tokens[0])]
        if near:
            return [today + timedelta(days=away) for away in near]
        written = _iso(tokens[0])
        if written is not None:
            return [written]
    wanted = _parts(tokens)
    if wanted is None:
        return []
    weekday, number, month, year = wanted
    start = today if year is None else date(year, 1, 1)
    for away in range(_DAYS_SEARCHED if year is None else 366):
        if start.toordinal() + away > date.max.toordinal():
            break
        day = start + timedelta(days=away)
        if year is not None and day.year != year:
            break
        if (
            weekday in (None, day.weekday())
            and number in (None, day.day)
            and month in (None, day.month)
        ):
            return [day]
    return []


_Parts = tuple[int | None, int | None, int | None, int | None]


def _parts(tokens: Sequence[str]) -> _Parts | None:
    """Return weekday, number, month and year that the words say, None where they say no day."""
    weekday = number = month = year = None
    for token in tokens:
        is_number = _number(token)
        as_weekday, as_month = _named(token, WEEKDAYS), _named(token, MONTHS)
        if is_number is not None and 1 <= is_number <= 31 and number is None:
            number = is_number
        elif is_number is not None and 1900 <= is_number <= 2200 and year is None:
            year = is_number
        elif as_weekday is not None and weekday is None:
            weekday = as_weekday
        elif as_month is not None and month is None:
            month = as_month + 1
        else:
            return None
    # A month or a year alone is no day.
    return (weekday, number, month, year) if weekday is not None or number is not None else None


def _number(token: str) -> int | None:
    """Return the number in "13", "13." or "13th"."""
    bare = token.rstrip(".,")
    for ending in ("st", "nd", "rd", "th"):
        bare = bare.removesuffix(ending)
    return int(bare) if bare.isascii() and bare.isdigit() and len(bare) <= 4 else None


def _named(token: str, names: Sequence[str]) -> int | None:
    bare = token.rstrip(".,")
    found = [at for at, name in enumerate(names) if _begins(name.casefold(), bare)]
    return found[0] if len(found) == 1 else None


def _begins(name: str, token: str) -> bool:
    return len(token) >= _SHORTEST_NAME and name.startswith(token)


def _iso(token: str) -> date | None:
    try:
        return date.fromisoformat(token) if token.isascii() and token.count("-") == 2 else None
    except ValueError:
        # Typed only in part so far: no day yet.
        return None


def _comes_on(one: ChoreState) -> tuple[int, str]:
    turn = next(iter(one.open), one.upcoming)
    return (date.max if turn is None else turn.target).toordinal(), one.chore.name


def _day_names(day: date, words: Words) -> str:
    near = words.day(day)
    name = f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
    return f"{name} {near}" if near in _NAMED_DAYS else name


def _tank_hit(tank: Tank) -> Hit:
    return Hit(HitKind.TANK, f"{tank.name}: show this tank", tank=tank.id)


def _sentence(query: str, rows: int, places: int, chores: int, place: str) -> str:
    """Return in one line how much was found."""
    if not rows and not places and not chores:
        shown = query.strip()
        told = shown if len(shown) <= _LONGEST_TOLD else f"{shown[:_LONGEST_TOLD]}…"
        return f"Nothing is called {told}."
    parts = [f"{rows} {place}"] if rows else []
    # A page without lines has no elsewhere.
    other = "elsewhere" if place else "chore" if chores == 1 else "chores"
    parts += [f"{chores} {other}"] if chores else []
    if not parts:
        return f"{places} found." if places > 1 else "1 found."
    more = f", the first {MOST_LISTED} listed" if chores > MOST_LISTED else ""
    return f"{', '.join(parts)}{more}."
