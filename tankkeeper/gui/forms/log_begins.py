"""With what the form for what is not in the round begins: its tank, its day, its kind."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final, NamedTuple

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.moment import Moment
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.models.in_hand import InHand
from tankkeeper.services.calendar import CalendarDay
from tankkeeper.services.lapsed import GIVEN_KINDS, lapsed_now

_WHAT: Final = {ChoreKind.FEEDING: What.FEEDING, ChoreKind.DOSE: What.DOSE}


@dataclass(frozen=True, slots=True)
class LogBegins:
    """The tank; of a past day the moment, None for now; and what was missed then, kind and chore.

    Without a tank, as on a line of the household or a day with none in hand, the form asks for one.
    """

    tank: str | None = None
    at: datetime | None = None
    what: What | None = None
    chore: str | None = None


class _Missed(NamedTuple):
    """A chore that nobody wrote down on a day, and its moment there."""

    chore: Chore
    at: datetime


def log_begins(
    narrowed: str | None, in_hand: InHand | None, day: CalendarDay | None, state: HouseholdState
) -> LogBegins:
    """Return the beginning for the tank chosen in the rail, else that of the line in hand.

    `day` is the day of the calendar that has the keys. Of one that is past what nobody wrote down
    there is proposed, at its hour, be it still open: that of the line in hand first. Of today that
    alone is, where the last hour of the chore in hand is done and let an earlier one lapse.
    """
    moment = state.moment
    tank = in_hand.tank if narrowed is None and in_hand is not None else narrowed
    if day is None or day.day >= moment.day:
        missed = None if day is not None and day.day > moment.day else _of_today(state, in_hand)
        if missed is None or missed.chore.tank != tank:
            return LogBegins(tank)
        # The form offers it by its hour; it is written down now.
        return LogBegins(tank, None, _WHAT[missed.chore.kind], missed.chore.id)
    found = [*_lapsed(day), *_open_there(day, moment)]
    missed = _missed(found, tank, in_hand)
    if missed is None and narrowed is None:
        # The line in hand is of a tank that has nothing to write down on that day.
        missed = _missed(found, None, None)
    if missed is None:
        return LogBegins(tank, moment.round_on(day.day))
    chore, at = missed
    return LogBegins(chore.tank, at, _WHAT[chore.kind], chore.id)


def _of_today(state: HouseholdState, in_hand: InHand | None) -> _Missed | None:
    """Return what lapsed today of the chore in hand, its last hour."""
    chore_id = None if in_hand is None else in_hand.chore
    # What is still open is proposed by the form itself, and what lapsed before it stands below.
    own = [one for one in state.chores if one.chore.id == chore_id and not one.open]
    found = [_Missed(one.chore, turn.at) for one in own for turn in lapsed_now(state, one)]
    return next((one for one in reversed(found) if one.chore.kind in GIVEN_KINDS), None)


def _lapsed(day: CalendarDay) -> list[_Missed]:
    return [_Missed(one.chore, one.turns[0].at) for one in day.lapsed]


def _open_there(day: CalendarDay, moment: Moment) -> list[_Missed]:
    """Return what stands open on a day gone by, each at the hour that it has there."""
    hours = [(one.chore, one.turn.slot) for one in (*day.items, *day.folded) if one.is_open]
    return [
        _Missed(chore, moment.round_on(day.day) if slot is None else moment.at(day.day, slot))
        for chore, slot in hours
    ]


def _missed(missed: Sequence[_Missed], tank: str | None, in_hand: InHand | None) -> _Missed | None:
    found = [
        one
        for one in missed
        if one.chore.kind in GIVEN_KINDS
        and one.chore.tank is not None
        and tank in (None, one.chore.tank)
    ]
    own = (one for one in found if in_hand is not None and one.chore.id == in_hand.chore)
    return next(iter((*own, *found)), None)
