"""The question about a value that can be, but is unlike the usual; it is kept if confirmed."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from tankkeeper.core.amounts import MEASURED_KINDS, AmountDue, told_litres
from tankkeeper.core.chores import FRESH_KINDS, AmountUnit, Chore, ChoreKind
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.logbook import Entry, WaterChange
from tankkeeper.core.making_ready import is_nearly_ready
from tankkeeper.core.mixing_parts import takes_mixed_litres
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.sharing_parts import taken_beside
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.tank_water import TankWater
from tankkeeper.reports.amount_words import set_amount
from tankkeeper.reports.new_water_doubts import new_water_doubt
from tankkeeper.reports.reading_doubts import READ_SO, doubtful_words
from tankkeeper.reports.ready_words import unready_words
from tankkeeper.reports.words import Words
from tankkeeper.services.fed import UNTOLD, Fed
from tankkeeper.services.fed_amounts import pieces_in
from tankkeeper.services.fresh_fills import (
    due_then,
    falls_short,
    goes_beyond,
    is_too_fast,
    safe_today,
)
from tankkeeper.services.mixed_amounts import Room, room_for

# Common practice, no source: nobody pours in three times what is missing.
_FAR_MORE = 3.0
# A choice of this project: so much at once is seldom meant, and is more than another tank holds.
_LARGE_SHARE = 0.5
ALL_THE_SAME = "Keep all the same"
_ALL_READ_SO = " Keep them if they were read so."


def asked_once(questions: Iterable[str]) -> str:
    """Return several questions as one: what to do about readings is said behind the last of them.

    >>> asked_once([f"{one} is odd. Keep it if it was read so." for one in "AB"])
    'A is odd. B is odd. Keep them if they were read so.'
    """
    asked = [one for one in questions if one]
    of_readings = [at for at, one in enumerate(asked) if one.endswith(READ_SO)]
    if len(of_readings) > 1:
        for at in of_readings:
            asked[at] = asked[at].removesuffix(READ_SO)
        asked[of_readings[-1]] += _ALL_READ_SO
    return " ".join(asked)


def tick_doubts(
    item: Item,
    state: HouseholdState | None,
    at: datetime | None,
    words: Words,
    *,
    litres: float | None = None,
    salinity: float | None = None,
    readings: Iterable[ReadingValue] = (),
    grams: tuple[float | None, float | None] = (None, None),
    fed: Fed = UNTOLD,
    beside: Collection[str] = (),
) -> list[str]:
    """Return what is asked about work done at a moment (now if None): each doubtful value once.

    `litres` are those poured in, `grams` those typed and those that the chore states, `fed` what
    was given at a feeding, `beside` the chores that are told to be done with it.
    """
    chore, amount, asked = item.chore, item.amount, list[str]()
    if state is not None and at is not None and chore.kind in FRESH_KINDS:
        amount = due_then(state, chore, at)
    unready = unready_water(item, words, at, beside)
    asked.append(f"{unready} {ALL_THE_SAME}?" if unready else "")
    if litres is not None and chore.kind in MEASURED_KINDS:
        if amount is not None and amount.unit == "L":
            asked.append(unusual_due(amount, litres, words))
        elif chore.kind is ChoreKind.WATER_CHANGE:
            asked.append(large_change(item.water, litres, words))
        if state is not None and chore.kind in FRESH_KINDS:
            fast = fast_litres(safe_today(state, chore.tank, litres, at, chore), litres, words)
            asked.append(f"{fast} {ALL_THE_SAME}?" if fast else "")
    if litres is not None and takes_mixed_litres(chore) and amount is not None:
        asked.append(unusual_litres(amount.value, litres, words, done="mixed"))
    if litres is not None and state is not None:
        over = over_room(room_for(state, chore), litres, words)
        asked.append(f"{over} {ALL_THE_SAME}?" if over else "")
    typed, stated = grams
    if typed is not None and stated is not None:
        asked.append(unusual_grams(stated, typed, words))
    asked.append(unusual_fed(chore, fed, words))
    if salinity is not None:
        changed_l = _changed_l(item, litres)
        asked.append(new_water_doubt(item.tank, salinity, changed_l, words, item.water))
    asked += [doubtful_words(one, state, chore.tank, at, words) for one in readings]
    return [one for one in asked if one]


def unready_water(
    item: Item | None, words: Words, at: datetime | None = None, beside: Collection[str] = ()
) -> str:
    """Return what is so where the water of a change is not mixed or not ready, else nothing.

    `at` is when it is changed: what was mixed after that is not its water. `beside` are chores that
    are done with it: what mixes its water may be one of them.
    """
    waits = None if item is None else item.not_ready
    if item is None or waits is None or waits.prep.id in beside:
        return ""
    if is_nearly_ready(waits, words.household, words.moment):
        return ""
    if at is not None and waits.mixed_at is not None and at < waits.mixed_at:
        return ""
    return unready_words(waits, words, item.amount, is_short=item.stands_short is not None)


def unready_beside(state: HouseholdState, entry: Entry, words: Words) -> str:
    """Return that a change that does no turn takes water that is not ready, else an empty text."""
    fact = entry.fact
    if not isinstance(fact, WaterChange) or not all(one.is_extra for one in entry.completes):
        return ""
    litres = fact.added_l or fact.litres
    if litres is None:
        return ""
    waits = taken_beside(entry.tank, litres, state.household, state.history, state.moment)
    if waits is None or is_nearly_ready(waits, state.household, state.moment):
        return ""
    if waits.mixed_at is not None and entry.at < waits.mixed_at:
        return ""
    return unready_words(waits, words, is_short=True)


def unusual_due(amount: AmountDue, typed_l: float, words: Words) -> str:
    """Return what is asked about litres poured in, an empty text when they are near what was due.

    Of what is spread over days, the whole is what can have been meant.
    """
    if amount.whole is None:
        return unusual_litres(amount.value, typed_l, words)
    return unusual_litres(amount.whole, typed_l, words, due="that were missing")


def unusual_litres(
    due_l: float,
    typed_l: float,
    words: Words,
    *,
    due: str = "proposed",
    done: str = "poured in",
) -> str:
    """Return what is asked about litres, an empty text when they are near what was `due`.

    `done` is what was done with them. A litre more is no slip, however little was due.
    """
    if typed_l <= max(_FAR_MORE * due_l, due_l + 1.0):
        return ""
    typed, usual = words.litres(typed_l), words.litres(due_l)
    return f"{typed} is far more than the {usual} {due}. Keep it if so much was {done}."


def large_change(water: TankWater | None, typed_l: float, words: Words) -> str:
    """Return what is asked about a change of which nothing is proposed: of most of the water."""
    net = None if water is None else water.net
    if water is None or net is None or typed_l <= _LARGE_SHARE * net.value:
        return ""
    typed, whole = words.litres(typed_l), words.litres(net.value)
    most = f"{typed} is most of the {whole} of water in {water.tank.name}"
    return f"{most}. Keep it if so much was changed there."


def short_litres(missing: Estimate | None, typed_l: float, words: Words) -> str:
    """Return what is so where clearly less went in than was missing until full, else nothing."""
    if missing is None or not falls_short(missing, typed_l):
        return ""
    typed = words.litres(typed_l)
    if missing.high <= missing.value:
        return f"{typed} is less than the {words.litres(missing.value)} proposed."
    return f"{typed} is less than the {words.litres_from_to(missing)} that were missing."


def more_litres(missing: Estimate | None, typed_l: float, words: Words) -> str:
    """Return what is so where more went in than was missing until full, else nothing."""
    if missing is None or not goes_beyond(missing, typed_l):
        return ""
    is_stated = missing.high <= missing.value
    # As the row asks for them.
    until_full = words.litres(missing.value if is_stated else told_litres(missing))
    typed = words.litres(typed_l)
    if typed == until_full:
        # In gallons both may be told alike, and then nothing is more.
        return ""
    return f"{typed} is more than the {until_full} that were missing."


def fast_litres(most_l: float | None, typed_l: float, words: Words) -> str:
    """Return what is so where more went in than may on one day, else an empty text."""
    if most_l is None or not is_too_fast(most_l, typed_l):
        return ""
    typed, most = words.litres(typed_l), words.litres(most_l)
    if typed == most:
        # In gallons both may be told alike, and then nothing is faster.
        return ""
    return f"{typed} at once lowers the salinity faster than is safe; up to {most} a day is."


def over_room(room: Room | None, typed_l: float, words: Words) -> str:
    """Return what is so where more was mixed than can be stored, else an empty text."""
    if room is None or room.holds(typed_l):
        return ""
    typed, store = words.litres(typed_l), words.litres(room.store_l)
    if room.taken_l <= 0.0:
        return f"{typed} is more than the {store} that can be stored."
    taken = words.litres(room.taken_l)
    return f"{typed} is too much: {store} can be stored, and {taken} of it is mixed already."


def unusual_grams(stated_g: float, typed_g: float, words: Words) -> str:
    """Return what is asked about grams dosed, an empty text when they are near what is stated."""
    if typed_g <= _FAR_MORE * stated_g:
        return ""
    typed, stated = words.grams(typed_g), words.grams(stated_g)
    return f"{typed} is far more than the {stated} stated. Keep it if so much was dosed."


def unusual_fed(chore: Chore | None, fed: Fed, words: Words) -> str:
    """Return what is asked about what was fed, an empty text where it is near what is planned.

    Grams are compared with grams, and what is counted with pieces.
    """
    planned = None if chore is None or chore.kind is not ChoreKind.FEEDING else chore.amount
    if planned is None:
        return ""
    if planned.unit is AmountUnit.GRAMS:
        typed, told = fed.grams, "" if fed.grams is None else f"{words.grams(fed.grams)} is"
    elif planned.unit is AmountUnit.PIECES and fed.grams is None:
        typed, told = pieces_in(fed.amount), f"{fed.amount} are"
    else:
        return ""
    if typed is None or typed <= _FAR_MORE * planned.value:
        return ""
    return (
        f"{told} far more than the {set_amount(planned, words)} proposed. "
        "Keep it if so much was fed."
    )


def _changed_l(item: Item, litres: float | None) -> float | None:
    """Return the litres of a change: those typed, or else those proposed."""
    amount = item.amount
    if litres is not None or amount is None or amount.unit != "L":
        return litres
    return amount.value
