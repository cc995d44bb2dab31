"""A chore as the editor holds it, one value a field, and the way back to the chore."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tankkeeper.core.chores import (
    Amount,
    AmountUnit,
    Chore,
    ChoreKind,
    IfMissed,
    Use,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass
from tankkeeper.services.rhythm_drafts import RhythmDraft, Way, draft_of, rhythm_of


@dataclass(frozen=True, slots=True)
class UseRow:
    """One supply that a chore uses, as it stands in its row of fields."""

    supply: str = ""
    amount: float | None = None
    unit: AmountUnit = AmountUnit.GRAMS


@dataclass(frozen=True, slots=True)
class ChoreDraft:
    """What stands in the fields of a chore."""

    chore: Chore
    name: str
    kind: ChoreKind
    noun: str
    rhythm: RhythmDraft
    from_day: date | None
    first_due: date | None
    ended_on: date | None
    early_days: int | None
    late_days: int | None
    if_missed: IfMissed
    minutes: int | None
    who: tuple[str, ...]
    amount: float | None
    amount_unit: AmountUnit
    tests: tuple[str, ...]
    ready_before: tuple[str, ...]
    caution: str
    uses: tuple[UseRow, ...]


def draft_of_chore(chore: Chore) -> ChoreDraft:
    """Return what stands in the fields for a chore."""
    return ChoreDraft(
        chore=chore,
        name=chore.name,
        kind=chore.kind,
        noun=chore.noun,
        rhythm=draft_of(chore.rhythm),
        from_day=None,
        first_due=chore.first_due,
        ended_on=chore.ended_on,
        early_days=chore.early_days or None,
        late_days=chore.late_days or None,
        if_missed=chore.if_missed,
        minutes=chore.minutes,
        who=chore.who,
        amount=None if chore.amount is None else chore.amount.value,
        amount_unit=AmountUnit.LITRES if chore.amount is None else chore.amount.unit,
        tests=chore.tests,
        ready_before=chore.ready_before,
        caution=chore.caution,
        uses=tuple(
            UseRow(one.supply, one.amount, one.unit or AmountUnit.GRAMS) for one in chore.uses
        ),
    )


def chore_of(draft: ChoreDraft, today: date) -> Chore:
    """Return the chore that the fields stand for, or refuse what they lack.

    A rhythm that nobody touched stays as it is written, in whatever words.
    """
    before = draft.chore
    if not before.id or draft.rhythm != draft_of(before.rhythm):
        rhythm = rhythm_of(_of_its_test(draft), today)
    else:
        rhythm = before.rhythm
    unit = draft.amount_unit
    if draft.amount is not None and draft.amount < 0:
        raise UserFault(
            "out_of_range", field="amount", value=draft.amount, low=0, high=10_000_000, hint=""
        )
    return replace(
        before,
        name=draft.name,
        kind=draft.kind,
        noun=draft.noun,
        rhythm=rhythm,
        first_due=draft.first_due,
        ended_on=draft.ended_on,
        early_days=draft.early_days or 0,
        late_days=draft.late_days or 0,
        if_missed=draft.if_missed,
        minutes=draft.minutes,
        who=draft.who,
        amount=None if draft.amount is None else Amount(draft.amount, unit),
        tests=draft.tests if draft.kind is ChoreKind.TEST else (),
        ready_before=draft.ready_before,
        caution=draft.caution,
        uses=_used(draft),
    )


def _of_its_test(draft: ChoreDraft) -> RhythmDraft:
    """Return the rhythm, with what is tested as what is foreseen where nothing else was said."""
    rhythm = draft.rhythm
    if rhythm.way is not Way.FORECAST or rhythm.of is not None or not draft.tests:
        return rhythm
    return replace(rhythm, of=draft.tests[0])


def _used(draft: ChoreDraft) -> tuple[Use, ...]:
    return tuple(
        Use(row.supply, row.amount, None if row.amount is None else row.unit)
        for row in draft.uses
        if row.supply or row.amount is not None
    )
