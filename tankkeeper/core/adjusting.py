"""A proposed chore as somebody wants it, before it is kept: rhythm, window, minutes and amount."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, time, timedelta
from itertools import pairwise

from tankkeeper.core.catalogue import Proposal, weeks_of
from tankkeeper.core.catalogue_row import Anchor
from tankkeeper.core.chores import (
    LONGEST_WINDOW_DAYS,
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    IfMissed,
    Rhythm,
)
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.making_ready import before_each
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.rule_text import WEEKDAYS
from tankkeeper.core.values import dataclass

_MOST_DAYS, _MOST_WEEKS = 365, 52


@dataclass(frozen=True, slots=True)
class Adjustment:
    """How somebody wants a proposed chore: every so many days after it was last done, or weeks.

    With `weekdays` (Monday is 0) it comes on these, every so many weeks, at `slots` if there are
    any. `every` is None where the water decides, `amount` where it stays as it is proposed.
    """

    every: int | None
    weekdays: tuple[int, ...] = ()
    slots: tuple[time, ...] = ()
    early_days: int = 0
    late_days: int = 0
    minutes: int | None = None
    amount: Amount | None = None

    @property
    def is_daily(self) -> bool:
        """Whether it comes on each day of every week."""
        return self.every == 1 and len(set(self.weekdays)) == len(WEEKDAYS)


def most_early_days(wanted: Adjustment) -> int:
    """Return how many days early a turn may be done, so that it is not taken for the one before."""
    if wanted.every is None:
        return LONGEST_WINDOW_DAYS
    if not wanted.weekdays:
        return max(0, wanted.every - 1)
    days = sorted(set(wanted.weekdays))
    around = [*days, days[0] + len(WEEKDAYS) * max(1, wanted.every)]
    return min(after - before for before, after in pairwise(around)) - 1


def adjustment_of(proposal: Proposal) -> Adjustment:
    """Return how a proposed chore comes as it stands."""
    chore, rhythm = proposal.chore, proposal.chore.rhythm
    amount = chore.amount if proposal.has_own_amount else None
    rest = (chore.early_days, chore.late_days, chore.minutes, amount)
    if isinstance(rhythm, AfterLastDone):
        return Adjustment(rhythm.interval.fixed_days, (), (), *rest)
    if not isinstance(rhythm, Calendar):
        return Adjustment(None, (), (), *rest)
    weeks, days = weeks_of(rhythm)
    return Adjustment(weeks, days, rhythm.slots, *rest)


def stepped(proposal: Proposal, by: int) -> Adjustment | None:
    """Return how a chore comes a day later or sooner, or a week where it has its weekdays.

    None where the water decides, or nothing is left to take away.
    """
    now = adjustment_of(proposal)
    if now.every is None:
        return None
    is_daily = now.is_daily
    every, most = now.every + by, _MOST_WEEKS if now.weekdays and not is_daily else _MOST_DAYS
    if not 1 <= every <= most:
        return None
    # What comes on all days comes on none of them any more when it comes less often.
    wanted = replace(now, every=every)
    if is_daily:
        wanted = replace(wanted, weekdays=(), slots=())
    early = min(proposal.row.early, most_early_days(wanted))
    return replace(wanted, early_days=early)


def adjusted(proposal: Proposal, wanted: Adjustment, on: date) -> Proposal:
    """Return the proposal as somebody wants it, counted from a day where it is by the calendar.

    Raises UserFault for what no chore can be, such as an interval of no days.
    """
    before = proposal.chore.rhythm
    rhythm: Rhythm = before
    first_due = proposal.chore.first_due
    most_early = most_early_days(wanted)
    if wanted.early_days > most_early:
        raise out_of_range("early_days", wanted.early_days, 0, most_early)
    if wanted.every is not None and wanted.weekdays:
        named = ",".join(WEEKDAYS[day] for day in sorted(set(wanted.weekdays)))
        if wanted.is_daily:
            rule = "FREQ=DAILY"
        else:
            every = "" if wanted.every == 1 else f";INTERVAL={wanted.every}"
            rule = f"FREQ=WEEKLY{every};BYDAY={named}"
        compile_rule(rule, on)
        rhythm, first_due = Calendar(rule, on, wanted.slots), None
    elif wanted.every is not None:
        rhythm = AfterLastDone(Interval(wanted.every, IntervalUnit.DAYS))
        first_due = first_due or on
    refuse_more_than_all(proposal, wanted.amount)
    chore = replace(
        proposal.chore,
        rhythm=rhythm,
        first_due=first_due,
        early_days=wanted.early_days,
        late_days=wanted.late_days,
        minutes=wanted.minutes,
        amount=wanted.amount or proposal.chore.amount,
        if_missed=IfMissed.EXPIRE if wanted.slots else proposal.chore.if_missed,
    )
    has_own_amount = wanted.amount is not None or proposal.has_own_amount
    return replace(proposal, chore=chore, has_own_amount=has_own_amount)


def in_step(
    proposals: Sequence[Proposal], changed: Mapping[str, tuple[Adjustment, date]]
) -> list[Proposal]:
    """Return the proposals with what a change takes made ready before each turn of it.

    `changed` are those that somebody changed, by their keys: they stay as they were wanted.
    """
    change = next((one for one in proposals if one.row.kind is ChoreKind.WATER_CHANGE), None)
    if change is None or change.row.key not in changed:
        return list(proposals)
    on = changed[change.row.key][1]
    return [
        one
        if one is change or one.row.anchor is not Anchor.CHANGE or one.row.key in changed
        else _behind(one, change.chore, on)
        for one in proposals
    ]


def _behind(proposal: Proposal, change: Chore, on: date) -> Proposal:
    """Return a proposal that comes as many days before a change as the catalogue says."""
    lead, rhythm = proposal.row.before_change, change.rhythm
    if isinstance(rhythm, AfterLastDone):
        first = max(on, (change.first_due or on) - timedelta(days=lead))
        chore = replace(proposal.chore, rhythm=rhythm, first_due=first)
        return replace(proposal, chore=_not_too_early(chore))
    found = before_each(rhythm, lead, on) if isinstance(rhythm, Calendar) else None
    if found is None:
        return proposal
    return replace(proposal, chore=_not_too_early(replace(proposal.chore, rhythm=found)))


def _not_too_early(chore: Chore) -> Chore:
    """Return a chore whose turn is not taken for the one before."""
    rhythm = chore.rhythm
    if isinstance(rhythm, Calendar):
        wanted = Adjustment(*weeks_of(rhythm))
    else:
        assert isinstance(rhythm, AfterLastDone)
        wanted = Adjustment(rhythm.interval.fixed_days)
    return replace(chore, early_days=min(chore.early_days, most_early_days(wanted)))


def refuse_more_than_all(proposal: Proposal, amount: Amount | None) -> None:
    """Refuse a change of more water than the tank is expected to hold."""
    net = proposal.expected.net_l
    if amount is None or net is None or proposal.chore.kind is not ChoreKind.WATER_CHANGE:
        return
    if amount.unit is AmountUnit.LITRES and amount.value >= net.value:
        raise out_of_range("litres", amount.value, 0.1, net.value, "whole_tank")


def still_possible(proposal: Proposal, wanted: Adjustment) -> Adjustment:
    """Return what is wanted without an amount that the tank does not hold by its measures now."""
    try:
        refuse_more_than_all(proposal, wanted.amount)
    except UserFault:
        return replace(wanted, amount=None)
    return wanted
