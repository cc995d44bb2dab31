"""A chore as the editor holds it, one value a field, and the way back to the chore."""

from __future__ import annotations

from collections.abc import Iterable
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
from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.units import Dimension, Quantity, in_unit, stored_value
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
    volume: str = "L"


def draft_of_chore(chore: Chore, volume: str = "L") -> ChoreDraft:
    """Return what stands in the fields for a chore; its litres in the unit of the household."""
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
        amount=_shown(chore.amount, volume),
        amount_unit=AmountUnit.LITRES if chore.amount is None else chore.amount.unit,
        tests=chore.tests,
        ready_before=chore.ready_before,
        caution=chore.caution,
        uses=tuple(
            UseRow(one.supply, _shown_use(one, volume), one.unit or AmountUnit.GRAMS)
            for one in chore.uses
        ),
        volume=volume,
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
        amount=_stated(draft.amount, unit, draft.volume, (before.amount,)),
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
    found = []
    for row in draft.uses:
        # What nobody touched stays what it was to the last digit.
        were = [_amount_of(one) for one in draft.chore.uses if one.supply == row.supply]
        stated = _stated(row.amount, row.unit, draft.volume, were)
        if stated is not None:
            found.append(Use(row.supply, stated.value, stated.unit))
        elif row.supply:
            found.append(Use(row.supply))
    return tuple(found)


def _amount_of(use: Use) -> Amount | None:
    return None if use.amount is None else Amount(use.amount, use.unit or AmountUnit.GRAMS)


def _shown_use(use: Use, volume: str) -> float | None:
    return _shown(_amount_of(use), volume)


def _shown(amount: Amount | None, volume: str) -> float | None:
    """Return the number that stands in a field: litres in the unit in which a bucket shows them."""
    if amount is None or amount.unit is not AmountUnit.LITRES:
        return None if amount is None else amount.value
    return poured_value(in_unit(amount.value, volume), volume)


def _stated(
    number: float | None, unit: AmountUnit, volume: str, were: Iterable[Amount | None]
) -> Amount | None:
    """Return the amount of a number in a field, the one it had where that is shown the same."""
    if number is None:
        return None
    for was in were:
        if was is not None and was.unit is unit and _shown(was, volume) == number:
            return was
    if unit is AmountUnit.LITRES:
        number = stored_value(Quantity(number, volume, Dimension.VOLUME))
    return Amount(number, unit)
