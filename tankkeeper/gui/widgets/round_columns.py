"""Where the columns of the round stand, from the texts and the width there is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from PySide6.QtGui import QFont, QFontMetricsF

from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.typography import Space, TypeRole, Weight, metrics_for, type_font

# A tenth more than the texts measure, because another system's font may run wider.
_SLACK: Final = 1.1
_GAP: Final = Space.M
_CAUTION_GAP: Final = 10
_SIGN_GAP: Final = 5
# A name may take this much of the list before it is shortened.
_SHORTEST_NAME: Final = 200
_SHARE_OF_NAME: Final = 0.36
# So many of the names may be shortened before all amounts go below the chores for their sake.
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
        return self.minutes + self.who + self.state + 3 * _GAP

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


class Below(NamedTuple):
    """What stands on a second line: amounts and cautions, and who."""

    has_two_lines: bool
    has_who_below: bool


BESIDE: Final = Below(has_two_lines=False, has_who_below=False)


@dataclass(frozen=True, slots=True)
class Columns:
    """Left edges in pixels; `minutes_right` is the edge on which minutes end.

    Where room is short, first the words of a caution go and its sign alone stays; then, with
    `has_two_lines`, amount and caution stand under the chore; then, with `has_who_below`, who
    stands under the state.
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

    @property
    def who_width(self) -> float:
        """The room for who."""
        end = self.right if self.has_who_below else self.state - _GAP
        return max(0.0, end - self.who)

    def chore_end(self, *, has_amount: bool) -> float:
        """Return where the chore's first line ends; it has the room of an amount that is empty."""
        if self.has_two_lines:
            return self.minutes_right - 3 * _GAP
        if has_amount or self.needs is None:
            return self.amount - _GAP
        return max(self.amount, self.minutes_right - self.needs.minutes - _GAP) - _GAP


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


def _needs(rows: Iterable[ItemRow], base: QFont, longest: float) -> Needs:
    """Return what the texts take; names over `longest` are shortened and decide nothing."""
    body = QFontMetricsF(type_font(base, TypeRole.BODY))
    medium = QFontMetricsF(type_font(base, TypeRole.BODY, Weight.MEDIUM))
    strong = QFontMetricsF(type_font(base, TypeRole.BODY, Weight.SEMIBOLD))
    head = QFontMetricsF(type_font(base, TypeRole.CAPTION))
    chore, amount, minutes, who, state = (head.horizontalAdvance(text) for text in HEADS)
    bare = chore
    for row in rows:
        name = min(longest, medium.horizontalAdvance(row.name))
        chore = max(chore, name + caution_width(base, row.caution))
        bare = max(bare, name + (sign_width(base) if row.caution else 0.0))
        amount = max(amount, body.horizontalAdvance(row.amount))
        minutes = max(minutes, body.horizontalAdvance(row.minutes))
        who = max(who, min(longest / 2, body.horizontalAdvance(row.who)))
        state = max(state, strong.horizontalAdvance(row.state))
    return Needs(chore, bare, amount * _SLACK, minutes * _SLACK, who * _SLACK, state)


def _fits_beside(needs: Needs, room: float) -> bool:
    """Tell whether amounts have room beside the chores, a caution's words left out."""
    return room >= needs.bare_chore + needs.amount + needs.beside_chore + _GAP


def _is_for_few(rows: Sequence[ItemRow], base: QFont, longest: float) -> bool:
    """Tell whether only few of the names are longer than this."""
    medium = QFontMetricsF(type_font(base, TypeRole.BODY, Weight.MEDIUM))
    long = sum(medium.horizontalAdvance(row.name) > longest for row in rows)
    return long <= max(1.0, _FEW * len(rows))


def usual_needs(base: QFont) -> Needs:
    """Return what a line takes once it is ticked, so that the first tick moves no column."""
    strong = QFontMetricsF(type_font(base, TypeRole.BODY, Weight.SEMIBOLD))
    return Needs(0.0, 0.0, 0.0, 0.0, 0.0, strong.horizontalAdvance("done 00:00"))


def columns_for(
    rows: Sequence[ItemRow],
    base: QFont,
    width: float,
    kept: Needs | None = None,
    stands: Below = BESIDE,
) -> Columns:
    """Return the columns for these rows in a list of `width` pixels.

    `kept` is what was shown there before: the columns stand still while the texts change, as long
    as that costs no row a second line. What `stands` below by now stays there: rows whose height
    came and went with a tick would jump under the hand.
    """
    metrics = metrics_for(base)
    shortest = metrics.px(_SHORTEST_NAME)
    needs = _needs(rows, base, max(shortest, width * _SHARE_OF_NAME))
    room = width - Space.L - (Space.L + metrics.mark_row + Space.S)
    if not _fits_beside(needs, room):
        fewer = _needs(rows, base, shortest)
        if _fits_beside(fewer, room) and _is_for_few(rows, base, shortest):
            needs = fewer
    columns = _placed(needs, base, width, stands)
    if kept is None:
        return columns
    still = _placed(needs.at_least(kept), base, width, stands)
    is_same = (still.has_two_lines, still.has_who_below) == (
        columns.has_two_lines,
        columns.has_who_below,
    )
    return still if is_same else columns


def _placed(needs: Needs, base: QFont, width: float, stands: Below) -> Columns:
    """Return where the columns stand for what their texts take."""
    left, right = float(Space.L), width - Space.L
    chore = left + metrics_for(base).mark_row + Space.S
    room = right - chore
    has_two_lines = stands.has_two_lines or not _fits_beside(needs, room)
    spare = room - needs.chore - needs.amount - needs.beside_chore - _GAP
    has_who_below = False
    if has_two_lines:
        spare = room - needs.beside_chore - needs.bare_chore
        has_who_below = stands.has_who_below or spare < 0
    spare = max(0.0, spare)
    state = right - max(needs.state, needs.who if has_who_below else 0.0) - spare * 0.12
    who = state if has_who_below else state - _GAP - needs.who
    minutes_right = who - _GAP
    amount = minutes_right - needs.minutes - _GAP - needs.amount - spare * 0.38
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
