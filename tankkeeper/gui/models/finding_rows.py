"""What can be found by typing: chores, tanks and days, prepared from one reading."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date
from enum import StrEnum
from typing import Final

from tankkeeper.core.household import Tank
from tankkeeper.core.state import HouseholdState, Item, items_of, upcoming_item
from tankkeeper.core.turns import ChoreState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.finding_days import away_words, day_name
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow
from tankkeeper.reports.called_days import NAMED_DAYS
from tankkeeper.reports.in_sentences import with_stop
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.typed_days import DayStyle, days_meant
from tankkeeper.reports.word_beginnings import begins_a_word
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words

MOST_LISTED: Final = 24
LONGEST_QUERY: Final = 200
_LONGEST_TOLD: Final = 40
# With fewer letters the name of a tank may be meant as well as that of a chore.
_SHORTEST_NAME: Final = 3
WIDEN: Final = " (Ctrl+Home shows all tanks)"
# Letters that are no base letter with a sign on it, as they are typed without it.
_PLAIN_LETTERS: Final = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe"})
# The words that name a day, as they stand in what is searched: whole, and as a row has them.
_OF_DAYS: Final = frozenset(
    (
        *NAMED_DAYS,
        *(name.casefold() for name in (*WEEKDAYS, *MONTHS)),
        *(name[:3].casefold() for name in (*WEEKDAYS, *MONTHS)),
    )
)


# Lines in the page, then tanks, days and chores below the bar, those of other tanks at last.
_Counts = tuple[int, int, int, int, int]


class HitKind(StrEnum):
    """What a line below the find bar stands for."""

    TANK = "tank"
    DAY = "day"
    CHORE = "chore"


@dataclass(frozen=True, slots=True)
class Hit:
    """Something found that has no line in the round: where it leads, and how it is told.

    `called` are the folded words that a chore is called by.
    """

    kind: HitKind
    text: str
    tank: str | None = None
    day: date | None = None
    chore: str = ""
    called: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """What a text finds: ids of lines in the page, lines below the bar, and one sentence.

    `chores` are all that were found, listed or not; `first` is the number of the line that is most
    likely meant: to do before done, whose name begins so, and what is due before what can wait. It
    is one below the bar, behind those in the page, where a chore is called so there alone.
    """

    rows: tuple[str, ...] = ()
    first: int = 0
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
    """Tell whether all words stand in a folded text.

    Numbers do only where a number begins, and what names a day only from its beginning: the "ber"
    of December is seen nowhere.
    """
    return all(f" {one}" in text or (not one.isdigit() and _is_inside(one, text)) for one in tokens)


def _is_inside(typed: str, text: str) -> bool:
    if typed not in text:
        return False
    return any(typed in one for one in text.split() if one.strip(".,;:()") not in _OF_DAYS)


def begins(tokens: Sequence[str], text: str) -> bool:
    """Tell whether words of a folded text begin as all those that were typed."""
    return matches(tokens, text) and all(begins_a_word(one, text) for one in tokens)


class FindIndex:
    """Everything that can be found, folded once; a search asks neither store nor clock."""

    def __init__(
        self,
        state: HouseholdState,
        words: Words,
        rows: Iterable[ItemRow],
        place: str = "in the round",
        style: DayStyle | None = None,
        tank_id: str | None = None,
    ) -> None:
        # The tank to which the page is narrowed: chores of others are on none of its lines.
        self._tank_id = tank_id
        self._style = style or DayStyle()
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
        # What only holds the letters is meant where no word begins with them.
        fits = begins if self._has_word(tokens) else matches
        lines = [
            row for row, text in zip(self._rows, self._row_texts, strict=True) if fits(tokens, text)
        ]
        rows = tuple(row.id for row in lines)
        tanks = [_tank_hit(one) for one, text in self._tank_texts if fits(tokens, text)]
        days = [self._day_hit(day) for day in days_meant(tokens, self._style, self._words.today)]
        chores = [one for one, text in self._chores if fits(tokens, text)]
        listed = tuple(self.chore_hit(one) for one in chores[:MOST_LISTED])
        hits = (*tanks, *days, *listed)
        narrowed = self._tank_id
        others = sum(narrowed is not None and one.chore.tank != narrowed for one in chores)
        counts = (len(rows), len(tanks), len(days), len(chores) - others, others)
        known = set(rows)
        found = {row.item.chore.id for row in self._rows if row.id in known}
        return Found(
            rows=rows,
            first=_called_so(tokens, lines, hits) or _most_likely(tokens, lines),
            hits=hits,
            sentence=_sentence(query, counts, self._place),
            chores=frozenset(found | {one.chore.id for one in chores}),
        )

    def has_word(self, begun: str) -> bool:
        """Tell whether a word of what can be found begins as it was typed, or a day is meant."""
        tokens = folded(begun[:LONGEST_QUERY]).split()
        days = days_meant(tokens, self._style, self._words.today)
        return bool(tokens) and (bool(days) or self._has_word(tokens))

    def _has_word(self, tokens: Sequence[str]) -> bool:
        texts = [*self._row_texts, *(text for _, text in (*self._tank_texts, *self._chores))]
        return any(begins(tokens, text) for text in texts)

    def chore_hit(self, one: ChoreState) -> Hit:
        """Return a chore with when it comes: "Swap floss, Bay: about Sat 28"."""
        chore = one.chore
        tank = self._tanks.get(chore.tank) if chore.tank is not None else None
        item = item_of(self._state, one)
        when = "nothing to come" if item is None else state_words(item, self._words)
        where = tank.name if tank is not None else HOUSEHOLD
        day = self._day_of(item)
        text = f"{chore.name}, {where}: {when}"
        called = folded(f"{chore.name} {chore.noun}")
        return Hit(HitKind.CHORE, text, tank=chore.tank, day=day, chore=chore.id, called=called)

    def _day_of(self, item: Item | None) -> date | None:
        """Return the day under which a chore stands, None where it has none to come."""
        if item is None or item.open is None:
            return None
        today, target = self._words.today, item.open.target
        if item.counts:
            return today
        return target if item.paused is None else max(target, today)

    def _row_text(self, row: ItemRow) -> str:
        return f" {_called(row)} {folded(row.state)}"

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
        today = self._words.today
        year = "" if day.year == today.year else f" {day.year}"
        parts = (f"{day_name(day)}{year}", away_words(day, today))
        return Hit(HitKind.DAY, ", ".join(part for part in parts if part), day=day)


def _called_so(tokens: Sequence[str], lines: Sequence[ItemRow], hits: Sequence[Hit]) -> int:
    """Return the number of the chore below the bar that alone is called so, 0 where none is.

    Its name begins with all that was typed, and that of no line in the page does; or only the
    states of these hold the words, such as "not mixed yet".
    """
    if not lines:
        return 0
    typed = " ".join(tokens)
    if len(typed) >= _SHORTEST_NAME and not any(
        folded(row.item.chore.name).startswith(typed) for row in lines
    ):
        named = (at for at, one in enumerate(hits) if one.called.startswith(typed))
        first = next(named, None)
        if first is not None:
            return len(lines) + first
    if any(begins(tokens, f" {_called(row)}") for row in lines):
        return 0
    found = (at for at, one in enumerate(hits) if one.called and begins(tokens, f" {one.called}"))
    return next((len(lines) + at for at in found), 0)


def _called(row: ItemRow) -> str:
    """Return by which words a line is called: its chore's and its tank's, not its state."""
    tank, chore = row.item.tank, row.item.chore
    where = tank.name if tank is not None else HOUSEHOLD
    return folded(f"{chore.name} {chore.noun} {where}")


def _most_likely(tokens: Sequence[str], lines: Sequence[ItemRow]) -> int:
    """Return the number of the line that is meant first, 0 where there is none."""

    def likely(at: int) -> tuple[bool, bool, bool]:
        item, name = lines[at].item, folded(lines[at].item.chore.name)
        begins_so = any(name.startswith(one) for one in tokens)
        return not item.is_open, not begins_so, not item.counts

    return min(range(len(lines)), key=likely, default=0)


def item_of(state: HouseholdState, one: ChoreState) -> Item | None:
    """Return the line that tells how a chore stands: what is open or paused, else the next."""
    lines = [item for item in items_of(state, one) if item.is_open or item.paused is not None]
    return lines[0] if lines else upcoming_item(state, one)


def _comes_on(one: ChoreState) -> tuple[int, str]:
    turn = next(iter(one.open), one.upcoming)
    return (date.max if turn is None else turn.target).toordinal(), one.chore.name


def _day_names(day: date, words: Words) -> str:
    near = words.day(day)
    return f"{day_name(day)} {near}" if near in NAMED_DAYS else day_name(day)


def _tank_hit(tank: Tank) -> Hit:
    return Hit(HitKind.TANK, f"{tank.name}: show this tank", tank=tank.id)


def _sentence(query: str, counts: _Counts, place: str) -> str:
    """Return in one line how much was found: what is marked in the page, then what is listed."""
    rows, tanks, days, chores, others = counts
    if not any(counts):
        shown = query.strip()
        told = shown if len(shown) <= _LONGEST_TOLD else f"{shown[:_LONGEST_TOLD]}…"
        return with_stop(f"Nothing is called {told}")
    parts = [f"{rows} {place}"] if rows else []
    parts += [counted(tanks, "tank", "tanks")] if tanks else []
    parts += [counted(days, "day", "days")] if days else []
    if chores:
        # The page has told already where the others are; one without lines has no place.
        one, several = ("other chore", "other chores") if rows else ("chore", "chores")
        where = f" not {place}" if place and not rows else ""
        parts.append(f"{counted(chores, one, several)}{where}")
    if others:
        one, several = f"chore of another tank{WIDEN}", f"chores of other tanks{WIDEN}"
        parts.append(counted(others, one, several))
    more = f", the first {MOST_LISTED} listed" if chores + others > MOST_LISTED else ""
    return f"{', '.join(parts)}{more}."
