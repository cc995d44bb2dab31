"""Where the columns of the round stand, from the texts and the width there is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from PySide6.QtGui import QFont, QFontMetricsF

from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.typography import Space, TypeRole, Weight, metrics_for, type_font

# A tenth more than the texts measure, because another system's font may run wider.
_SLACK: Final = 1.1
GAP: Final = Space.M
_CAUTION_GAP: Final = 10
_SIGN_GAP: Final = 5
# A name may take this much of the list before it is shortened.
_SHORTEST_NAME: Final = 200
_SHARE_OF_NAME: Final = 0.36
# So many of the names may be shortened, so many states told in two lines of their row, and so many
# amounts below their chore, before all amounts go below the chores for their sake.
_FEW: Final = 0.15
HEADS: Final = ("Chore", "Amount", "Min", "Who", "State")


@dataclass(frozen=True, slots=True)
class Needs:
    """What the texts of each column take."""

    chore: float
    bare_chore: float
    amount: float
    minutes: float
    who: float
    state: float

    @property
    def beside_chore(self) -> float:
        """What stands beside the chore in any case."""
        return self.minutes + self.who + self.state + 3 * GAP

    def at_least(self, other: Needs) -> Needs:
        """Return what both take."""
        return Needs(
            max(self.chore, other.chore),
            max(self.bare_chore, other.bare_chore),
            max(self.amount, other.amount),
            max(self.minutes, other.minutes),
            max(self.who, other.who),
            max(self.state, other.state),
        )


# A line of work keeps its place by chore and slot, however its turn is called by now.
Place = tuple[str, object]


def place_of(row: ItemRow) -> Place:
    """Return by what a line is known as long as its work is shown."""
    return row.item.chore.id, row.item.turn.slot


@dataclass(frozen=True, slots=True)
class Columns:
    """Left edges in pixels; `minutes_right` is the edge on which minutes end.

    Where room is short, first the words of a caution go and its sign alone stays; then a few of
    the states take two lines, in the `tall` rows alone, and a few of the amounts stand under their
    chore, in the `low` rows alone, which are tall as well; then, with `has_two_lines`, amount and
    caution stand under the chore; then, with `has_who_below`, who stands under the state.
    """

    left: float
    chore: float
    amount: float
    minutes_right: float
    who: float
    state: float
    right: float
    has_two_lines: bool
    has_who_below: bool = False
    needs: Needs | None = None
    tall: frozenset[Place] = frozenset()
    low: frozenset[Place] = frozenset()

    def has_beside(self, row: ItemRow) -> bool:
        """Tell whether an amount stands beside its chore, in the column of the amounts."""
        return bool(row.amount) and not self.has_two_lines and place_of(row) not in self.low

    @property
    def state_width(self) -> float:
        """The room for the state."""
        return self.right - self.state

    @property
    def who_width(self) -> float:
        """The room for who."""
        end = self.right if self.has_who_below else self.state - GAP
        return max(0.0, end - self.who)

    def chore_end(self, *, has_amount: bool) -> float:
        """Return where the chore's first line ends; it has the room of an amount that is empty."""
        if self.has_two_lines:
            return self.minutes_right - 3 * GAP
        if has_amount or self.needs is None:
            return self.amount - GAP
        return max(self.amount, self.minutes_right - self.needs.minutes - GAP) - GAP


def caution_width(base: QFont, words: str) -> float:
    """Return what a short caution with its sign takes after the chore, its gap included."""
    if not words:
        return 0.0
    small = QFontMetricsF(type_font(base, TypeRole.CAPTION))
    sign = metrics_for(base).mark_row
    return _CAUTION_GAP + sign + _SIGN_GAP + small.horizontalAdvance(words)


def sign_width(base: QFont) -> float:
    """Return what the sign of a caution takes alone, its gap included."""
    return float(_CAUTION_GAP + metrics_for(base).mark_row)


def state_parts(state: str) -> tuple[str, str]:
    """Return a state in two parts of about the same length; whole where it is one word.

    >>> state_parts("12 days overdue, 11 turns"), state_parts("today")
    (('12 days overdue,', '11 turns'), ('today', ''))
    """
    words = state.split(" ")
    ends = [at for at in range(1, len(words)) if words[at - 1].endswith(",")]
    found = [(" ".join(words[:at]), " ".join(words[at:])) for at in ends or range(1, len(words))]
    return min(found, key=lambda parts: max(map(len, parts)), default=(state, ""))


def needs_of(
    rows: Iterable[ItemRow],
    base: QFont,
    longest: float,
    low: frozenset[Place] = frozenset(),
    people: Iterable[str] = (),
) -> Needs:
    """Return what the texts take; names over `longest` are shortened and decide nothing.

    Nor do the amounts of `low` rows, which stand below their chores. Any of the `people` may stand
    behind a line once it is ticked.
    """
    body = QFontMetricsF(type_font(base, TypeRole.BODY))
    medium = QFontMetricsF(type_font(base, TypeRole.BODY, Weight.MEDIUM))
    strong = strong_metrics(base)
    head = QFontMetricsF(type_font(base, TypeRole.CAPTION))
    chore, amount, minutes, who = (head.horizontalAdvance(text) for text in HEADS[:-1])
    state = _least_state(base)
    bare = chore
    for person in people:
        who = max(who, min(longest / 2, body.horizontalAdvance(person)))
    for row in rows:
        name = min(longest, medium.horizontalAdvance(row.name))
        chore = max(chore, name + caution_width(base, row.caution))
        bare = max(bare, name + (sign_width(base) if row.caution else 0.0))
        if place_of(row) not in low:
            amount = max(amount, body.horizontalAdvance(row.amount))
        minutes = max(minutes, body.horizontalAdvance(row.minutes))
        who = max(who, min(longest / 2, body.horizontalAdvance(row.who)))
        state = max(state, strong.horizontalAdvance(row.state))
    return Needs(chore, bare, amount * _SLACK, minutes * _SLACK, who * _SLACK, state)


def _fits_beside(needs: Needs, room: float) -> bool:
    """Tell whether amounts have room beside the chores, a caution's words left out."""
    return room >= needs.bare_chore + needs.amount + needs.beside_chore + GAP


def _is_for_few(rows: Sequence[ItemRow], base: QFont, longest: float) -> bool:
    """Tell whether only few of the names are longer than this."""
    medium = QFontMetricsF(type_font(base, TypeRole.BODY, Weight.MEDIUM))
    long = sum(medium.horizontalAdvance(row.name) > longest for row in rows)
    return long <= max(1.0, _FEW * len(rows))


def _few_of(rows: Sequence[ItemRow]) -> int:
    return max(1, int(_FEW * len(rows)))


def _with_parted_states(
    rows: Sequence[ItemRow], base: QFont, needs: Needs, room: float
) -> Needs | None:
    """Return what is taken once few states stand in two lines, None where that makes no room."""
    strong = strong_metrics(base)
    states = sorted((row.state for row in rows), key=strong.horizontalAdvance, reverse=True)
    least = _least_state(base)
    for at in range(min(len(states), _few_of(rows))):
        least = max(least, *map(strong.horizontalAdvance, state_parts(states[at])))
        longest = strong.horizontalAdvance("".join(states[at + 1 : at + 2]))
        found = replace(needs, state=max(least, longest))
        if _fits_beside(found, room):
            return found
    return None


def _with_few_tall(
    rows: Sequence[ItemRow], base: QFont, needs: Needs, room: float
) -> tuple[Needs | None, frozenset[Place]]:
    """Return what is taken once few rows are tall, and which of these have their amount below.

    As few amounts as will do, beside few states in two lines where those are needed too; None
    where that makes no room.
    """
    body = QFontMetricsF(type_font(base, TypeRole.BODY))
    least = QFontMetricsF(type_font(base, TypeRole.CAPTION)).horizontalAdvance(HEADS[1])
    beside = [row for row in rows if row.amount]
    beside.sort(key=lambda row: body.horizontalAdvance(row.amount), reverse=True)
    for at in range(min(len(beside), _few_of(rows)) + 1):
        longest = body.horizontalAdvance("".join(row.amount for row in beside[at : at + 1]))
        fewer = replace(needs, amount=max(least, longest) * _SLACK)
        fits = _fits_beside(fewer, room)
        found = fewer if fits else _with_parted_states(rows, base, fewer, room)
        if found is not None:
            return found, frozenset(place_of(row) for row in beside[:at])
    return None, frozenset()


def _least_state(base: QFont) -> float:
    """Return what a state takes at least: the one of a line that is ticked, and the name above.

    So the first tick moves no column, and breaks no row of a list with shorter states.
    """
    head = QFontMetricsF(type_font(base, TypeRole.CAPTION)).horizontalAdvance(HEADS[-1])
    return max(head, strong_metrics(base).horizontalAdvance("done 00:00"))


def longest_name(base: QFont, width: float) -> tuple[float, float]:
    """Return how long names may be in a list of `width` pixels, and at least where room is short.

    What is longer is shortened.
    """
    shortest = metrics_for(base).px(_SHORTEST_NAME)
    return max(shortest, width * _SHARE_OF_NAME), shortest


def columns_for(
    rows: Sequence[ItemRow],
    base: QFont,
    width: float,
    kept: Needs | None = None,
    people: Sequence[str] = (),
) -> Columns:
    """Return the columns for these rows in a list of `width` pixels, made anew.

    With room for each of the `people`, who may tick any of them.
    `kept` is what was shown there before: the columns stand where they were, as long as that costs
    no row a second line. While work is ticked, `columns_stand.grown` keeps them.
    """
    metrics = metrics_for(base)
    longest, shortest = longest_name(base, width)
    low: frozenset[Place] = frozenset()
    needs = needs_of(rows, base, longest, people=people)
    room = width - Space.L - (Space.L + metrics.mark_row + Space.S)
    if not _fits_beside(needs, room):
        fewer = needs_of(rows, base, shortest, people=people)
        if _fits_beside(fewer, room) and _is_for_few(rows, base, shortest):
            needs = fewer
    parted = None
    if not _fits_beside(needs, room):
        parted, low = _with_few_tall(rows, base, needs, room)
    columns = _standing(parted or needs, base, width, kept)
    if columns.has_two_lines:
        return columns
    tall = low if parted is None else low | tall_rows(columns, rows, base)
    return replace(columns, tall=tall, low=low) if tall else columns


def _standing(needs: Needs, base: QFont, width: float, kept: Needs | None) -> Columns:
    """Return the columns, where they were before as long as that costs no row a second line."""
    columns = _placed(needs, base, width)
    if kept is None:
        return columns
    still = _placed(needs.at_least(kept), base, width)
    is_same = (still.has_two_lines, still.has_who_below) == (
        columns.has_two_lines,
        columns.has_who_below,
    )
    return still if is_same else columns


def tall_rows(columns: Columns, rows: Sequence[ItemRow], base: QFont) -> frozenset[Place]:
    """Return the rows whose state has no room in one line."""
    strong, room = strong_metrics(base), columns.state_width + 1
    return frozenset(place_of(one) for one in rows if strong.horizontalAdvance(one.state) > room)


def strong_metrics(base: QFont) -> QFontMetricsF:
    """Return what measures the states, overdue or not."""
    return QFontMetricsF(type_font(base, TypeRole.BODY, Weight.SEMIBOLD))


def _placed(needs: Needs, base: QFont, width: float) -> Columns:
    """Return where the columns stand for what their texts take."""
    left, right = float(Space.L), width - Space.L
    chore = left + metrics_for(base).mark_row + Space.S
    room = right - chore
    has_two_lines = not _fits_beside(needs, room)
    spare = room - needs.chore - needs.amount - needs.beside_chore - GAP
    has_who_below = False
    if has_two_lines:
        spare = room - needs.beside_chore - needs.bare_chore
        has_who_below = spare < 0
    spare = max(0.0, spare)
    state = right - max(needs.state, needs.who if has_who_below else 0.0) - spare * 0.12
    who = state if has_who_below else state - GAP - needs.who
    minutes_right = who - GAP
    amount = minutes_right - needs.minutes - GAP - needs.amount - spare * 0.38
    return Columns(
        left=left,
        chore=chore,
        amount=amount,
        minutes_right=minutes_right,
        who=who,
        state=state,
        right=right,
        has_two_lines=has_two_lines,
        has_who_below=has_who_below,
        needs=needs,
    )
