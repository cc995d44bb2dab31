"""What an entry of earlier days changed, in sentences."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.amounts import AmountDue
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import Words
from tankkeeper.services.effects import Effects, LossEffect, TurnEffect

_MOST_TOLD = 3
HOUSEHOLD = "the household"


def effect_words(effects: Effects, words: Words) -> str:
    """Return what changed, such as "Top off of Lagoon moves from Fri 13 to Thu 12."

    Empty where nothing did that anybody could see; of many changes the first are told.
    """
    told = [text for one in effects.turns if one.moves and (text := _moved(one, words))]
    told += [text for one in effects.turns if not one.moves and (text := _stays(one, words))]
    told += [text for one in effects.losses if (text := _loss(one, words))]
    more = len(told) - _MOST_TOLD
    if more > 0:
        told = [*told[:_MOST_TOLD], f"{counted(more, 'thing', 'things')} more changed."]
    return " ".join(told)


def _name(one: TurnEffect) -> str:
    return f"{one.chore.name} of {one.tank.name if one.tank is not None else HOUSEHOLD}"


def _moved(one: TurnEffect, words: Words) -> str:
    before, after = one.before.day, one.after.day
    if after is None:
        return f"{_name(one)} does not come any more."
    if before is None:
        return f"{_name(one)} comes {_day(after, words)}."
    amount = _litres(one.after.amount, words)
    takes = f" and takes {amount}" if amount and amount != _litres(one.before.amount, words) else ""
    return f"{_name(one)} moves from {_day(before, words)} to {_day(after, words)}{takes}."


def _stays(one: TurnEffect, words: Words) -> str:
    """Return what changed of a chore whose next turn stands where it stood."""
    more = one.after.open_turns - one.before.open_turns
    if more:
        return f"{_name(one)} is {'open once more' if more > 0 else 'open once less'} today."
    before, after = _litres(one.before.amount, words), _litres(one.after.amount, words)
    if before == after or not after:
        return ""
    was = f", not {before}" if before else ""
    return f"{_name(one)} takes {after}{was}."


def _loss(one: LossEffect, words: Words) -> str:
    before, after = words.about_litres(one.before), words.about_litres(one.after)
    if before == after:
        return ""
    return f"{one.tank.name} loses {after} a day, not {before}, as far as is known now."


def _litres(amount: AmountDue | None, words: Words) -> str:
    return litres_due(amount, words) if amount is not None and amount.unit == "L" else ""


def _day(day: date, words: Words) -> str:
    return "today" if day == words.today else words.weekday_and_number(day)
