"""The sentence on an amount: where the litres, the grams or the tests come from."""

from __future__ import annotations

from tankkeeper.core.amounts import AmountDue
from tankkeeper.core.chores import AmountUnit, ChoreKind
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.state import Item
from tankkeeper.core.storing import MOST_BATCHES
from tankkeeper.reports.amount_words import about, due_amount, litres_due
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import NBSP, counted, listed, shown
from tankkeeper.reports.words import Words


def amount_reason(item: Item, words: Words) -> str:
    """Return where the amount comes from, empty where there is nothing to say."""
    amount, kind = item.amount, item.chore.kind
    if amount is None:
        return _mixed_already(item, words) or _not_known(item)
    if amount.unit == "tests":
        return f"To test: {parameter_list(item.chore.tests)}."
    if amount.is_split:
        return _split(amount, words, fills_reservoir=kind is ChoreKind.RESERVOIR)
    if amount.salt_g is not None:
        told = [_mixed_for(item, amount, words), _salt(amount, words)]
        return " ".join(part for part in (*told, _salt_in_store(item, amount, words)) if part)
    if amount.parts or item.mixed.litres:
        return _mixed_for(item, amount, words)
    shared = ""
    if kind is ChoreKind.RESERVOIR:
        shared = _in_parts(item, amount, words)
    if amount.unit == "L" and kind is ChoreKind.WATER_CHANGE:
        shared = _share(item, amount, words)
    return shared or _stated(item, amount, words)


def store_reason(item: Item, words: Words) -> str:
    """Return that more is made ready than can be stored, and in which parts it has room."""
    over = item.over_store
    if over is None or item.amount is None:
        return ""
    head = f"No more than {words.litres(over.store_litres)} can be stored"
    if over.beside:
        names = listed(list(over.beside))
        together = f"With {names} it makes {words.litres(over.litres)} on one day"
        head = f"{together}, and {head[:1].lower()}{head[1:]}"
        if len(over.batches) == 1:
            return f"{head}: put one of them off, or move a change to another day."
    if over.mixed_l:
        head = f"{head}, and {words.litres(over.mixed_l)} is mixed already"
    if over.mixed_l and len(over.batches) == 1 and over.is_for_one:
        return f"{head}: make the rest once that is used."
    if over.is_for_one or len(over.batches) > MOST_BATCHES:
        number = len(over.batches)
        what = "the rest" if over.mixed_l else "it"
        return f"{head}: make {what} in {number} parts, each once the one before is used."
    first, *more = over.batches
    told = [f"make {words.litres(first.litres)} {words.on_day(first.day)}"]
    if over.mixed_l and first.day != words.today:
        told = [f"{told[0]}, ready {words.on_day(first.ready_on)}"]
    told += [
        f"{words.litres(one.litres)} {words.on_day(one.day)}, ready {words.on_day(one.ready_on)}"
        for one in more
    ]
    return f"{head}: {' and '.join(told)}, or move a change to another day."


def parameter_list(names: tuple[str, ...]) -> str:
    """Return parameters in a row: "alkalinity and nitrate"."""
    return listed([parameter_words(name) for name in names])


def parameter_words(name: str) -> str:
    """Return the name of a parameter inside a sentence: "alkalinity", "pH"."""
    known = PARAMETERS.get(name)
    if known is None:
        return name
    return known.display if known.display[:1].islower() else known.display.lower()


def _not_known(item: Item) -> str:
    stated = item.chore.amount
    if stated is None or stated.unit is not AmountUnit.PERCENT or not item.is_open:
        return ""
    return "Its volume is not known: give the inside measures of the tank, or its volume."


def _split(amount: AmountDue, words: Words, *, fills_reservoir: bool = False) -> str:
    """Return what goes in today, and what the days after bring: as much each, or no more at most.

    What evaporates on those days goes in as well, so the parts give more than is missing now. A
    reservoir is filled once the tank is full.
    """
    whole, part = words.litres(amount.whole or 0.0), litres_due(amount, words)
    told = f"{whole} is missing, and so much at once would lower the salinity too fast: put in "
    if amount.meanwhile is None:
        return (
            f"{told}{part} today and as much on each day after; a day takes about as much away, "
            "so nobody can tell on which day it is full."
        )
    told = f"{told}{part} a day on {counted(amount.days, 'day', 'days')}"
    if words.litres_together([amount.value] * amount.days) != whole:
        told = f"{told}, with what evaporates meanwhile"
    last = ", and on the last of them also what fills the reservoir" if fills_reservoir else ""
    return f"{told}{last}."


def _in_parts(item: Item, amount: AmountDue, words: Words) -> str:
    """Return how more is poured in than a reservoir holds at once, empty where it all has room."""
    capacity = item.tank.top_off.reservoir_l if item.tank is not None else None
    if capacity is None or amount.value <= capacity:
        return ""
    rest = words.litres(round(amount.value - capacity, 1))
    water = item.water
    if amount.is_estimate and water is not None and water.evaporated is not None:
        # What the tank lacks, in the digits in which it is told to be missing there.
        rest = about(water.evaporated, words)
    return (
        f"The reservoir holds {words.litres(capacity)}. The pump takes about {rest} of it into the "
        "tank first: pour in parts, and never over its rim."
    )


def _salt(amount: AmountDue, words: Words) -> str:
    litres, salt = words.litres(amount.value), words.grams(amount.salt_g or 0.0)
    return f"{litres} takes {salt} of salt by the yield of the mix."


def _salt_in_store(item: Item, amount: AmountDue, words: Words) -> str:
    """Return that the salt counted last is too little, where the chore says which it is.

    What is shown as the same mass is enough: nobody weighs the rest that is not shown.
    """
    used, needed = {one.supply for one in item.chore.uses}, amount.salt_g or 0.0
    for one in words.household.supplies:
        is_known = one.id in used and one.unit == "g" and one.stock is not None
        stock = words.grams(one.stock or 0.0)
        if is_known and (one.stock or 0.0) < needed and stock != words.grams(needed):
            return f"The salt is too little: {stock} of {one.name} were counted last."
    return ""


def is_begun(item: Item) -> bool:
    """Tell whether it is told that some of its water is mixed already."""
    return bool(_mixed_litres(item))


def _mixed_litres(item: Item) -> float:
    return item.mixed.litres if item.chore.amount is not None else item.mixed.left_l


def _mixed_already(item: Item, words: Words) -> str:
    """Return what was mixed of it in parts, empty where nothing was or no change is known."""
    litres = _mixed_litres(item)
    return f"{words.litres(litres)} of it is mixed already." if litres else ""


def _mixed_for(item: Item, amount: AmountDue, words: Words) -> str:
    """Return which changes mixed water is for: "The changes of Nook (30 L) and Den (6 L) ..."."""
    already = _mixed_already(item, words)
    if not amount.parts:
        return already
    parts = [one.litres for one in amount.parts]
    # In gallons each is told to what a bucket shows, and may not give the sum to the last digit.
    adds_up = words.litres_together(parts) == words.litres(sum(parts))
    about = "" if adds_up else "about "
    tanks = listed([f"{one.tank} ({about}{words.litres(one.litres)})" for one in amount.parts])
    is_one = len(amount.parts) == 1
    told = f"The {'change' if is_one else 'changes'} of {tanks} {'takes' if is_one else 'take'}"
    if not already:
        return f"{told} it."
    return f"{told} {words.litres(sum(parts))}, and {already}"


def _stated(item: Item, amount: AmountDue, words: Words) -> str:
    """Return that an amount is the chore's own, where nothing worked it out."""
    if item.chore.amount is None or amount.is_estimate:
        return ""
    return f"{capital(due_amount(amount, words))} is what the chore itself sets."


def _share(item: Item, amount: AmountDue, words: Words) -> str:
    """Return what share of the water a change is."""
    net = item.water.net if item.water is not None else None
    if net is None or net.value <= 0.0:
        return ""
    # As the numbers beside it tell it: two figures for one water would seem to be two waters.
    litres, whole = litres_due(amount, words), words.litres_with_span(net)
    stated = item.chore.amount
    if stated is not None and stated.unit is AmountUnit.PERCENT:
        share = words.percent(stated.value / 100.0)
        return capital(f"{share} of the {whole} in the system is {litres}.")
    share = _percent(amount.value / net.value, litres, whole, words)
    return f"{litres} is {share} of the {whole} in the system."


def _percent(share: float, part: str, whole: str, words: Words) -> str:
    """Return a share in percent, in whole ones where those come to the part as told.

    Otherwise that of the figures as they are told, so that who reckons again comes to the same.
    """
    told, of = _figure(part, words), float(_figure(whole, words))
    last_digit = 10.0 ** -len(told.partition(".")[2])
    if abs(round(100.0 * share) / 100.0 * of - float(told)) <= last_digit / 2.0:
        return words.percent(share)
    return shown(100.0 * float(told) / of, "%", 1, words.decimal_sign)


def _figure(told: str, words: Words) -> str:
    return told.partition(NBSP)[0].replace(words.decimal_sign, ".")
