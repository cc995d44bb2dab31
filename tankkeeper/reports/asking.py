"""The question about a value that can be, but is unlike the usual; it is kept if confirmed."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from tankkeeper.core.amounts import MEASURED_KINDS, AmountDue, told_litres
from tankkeeper.core.balance import salinity_after_swap
from tankkeeper.core.chores import FRESH_KINDS, AmountUnit, Chore, ChoreKind
from tankkeeper.core.communities import Range
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, WaterChange
from tankkeeper.core.making_ready import is_nearly_ready
from tankkeeper.core.mixing_parts import takes_mixed_litres
from tankkeeper.core.parameters import PARAMETERS, Parameter, ReadingValue
from tankkeeper.core.reading_doubts import doubt_of
from tankkeeper.core.sharing_parts import taken_beside
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import Side, range_of, side_of
from tankkeeper.core.told_cautions import NEW_WATER_STEP
from tankkeeper.core.usual_water import usual_water_c
from tankkeeper.reports.amount_words import set_amount
from tankkeeper.reports.ready_words import unready_words
from tankkeeper.reports.salinity_words import salinity_now
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
# A choice of this project: new water is mixed closer than this to that of the tank.
_OTHER_WATER = 2.0
# Half the step in which a salinity is told: a move told as what the caution names is not beyond it.
_HALF_STEP = 0.05
ALL_THE_SAME = "Keep all the same"
_READ_SO = " Keep it if it was read so."
_ALL_READ_SO = " Keep them if they were read so."


def asked_once(questions: Iterable[str]) -> str:
    """Return several questions as one: what to do about readings is said behind the last of them.

    >>> asked_once([f"{one} is odd. Keep it if it was read so." for one in "AB"])
    'A is odd. B is odd. Keep them if they were read so.'
    """
    asked = [one for one in questions if one]
    of_readings = [at for at, one in enumerate(asked) if one.endswith(_READ_SO)]
    if len(of_readings) > 1:
        for at in of_readings:
            asked[at] = asked[at].removesuffix(_READ_SO)
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
        asked.append(
            new_water_words(item.tank, salinity, words, item.water)
            or moved_salinity(item.tank, salinity, _changed_l(item, litres), words, item.water)
        )
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


def unusual_words(parameter: Parameter, value: float, words: Words) -> str:
    """Return what is asked about a value in the stored unit, an empty text when it is usual."""
    limits = parameter.limits
    low, high = limits.usual_low, limits.usual_high
    is_low = low is not None and value < low
    is_high = high is not None and value > high
    if not (is_low or is_high):
        return ""
    shown = words.parameter(parameter.name, value)
    ends = [words.parameter(parameter.name, end) for end in (low, high) if end is not None]
    usual = f"{ends[0]} to {ends[1]}" if len(ends) == 2 else ends[0]
    return f"{parameter.display} {shown} is unlike the usual {usual}.{_READ_SO}"


def new_water_words(
    tank: Tank | None, salinity: float, words: Words, water: TankWater | None = None
) -> str:
    """Return what is asked about the salinity of new water, empty where it suits the tank.

    It suits what the tank has by now, and what it is meant to have: told is what it has where that
    rests on a reading, as the panel tells it. Of a tank beyond its range weaker or stronger water
    brings it back; how far it moves at once is asked by `moved_salinity`.
    """
    asked = unusual_words(PARAMETERS["salinity"], salinity, words)
    if asked or tank is None:
        return asked
    has = _salinity_read(water)
    suits = [one for one in (has, tank.target_salinity) if one is not None]
    if not suits or any(abs(salinity - one) <= _OTHER_WATER for one in suits):
        return ""
    if has is not None and _brings_back(tank, has, salinity):
        return ""
    far = f"New water of {words.salinity(salinity)} is far from"
    if has is None or water is None:
        far = f"{far} the target of {tank.name}, {words.salinity(suits[0])}"
    else:
        far = f"{far} what {tank.name} has by now, {salinity_now(water, words)}"
    return f"{far}. Keep it if it was so."


def _brings_back(tank: Tank, has: float, salinity: float) -> bool:
    """Tell whether new water moves a tank that is beyond its range towards that."""
    side = side_of(has, range_of(tank, PARAMETERS["salinity"]))
    return salinity < has if side is Side.ABOVE else side is Side.BELOW and salinity > has


def moved_salinity(
    tank: Tank | None,
    salinity: float,
    litres: float | None,
    words: Words,
    water: TankWater | None,
) -> str:
    """Return what is asked where new water moves the salinity of its tank by more than is safe.

    By more at once than the caution of a change tells. `litres` are those swapped, for water of
    this `salinity`; nothing is asked where those or the water in the system are not known.
    """
    net = None if water is None else water.net
    has = _salinity_read(water)
    before = has if has is not None or tank is None else tank.target_salinity
    if tank is None or water is None or net is None or litres is None or before is None:
        return ""
    gone_l = 0.0 if water.evaporated is None else water.evaporated.value
    if not 0.0 < litres < net.value - gone_l:
        return ""
    after = salinity_after_swap(net.value - gone_l, before, litres, salinity, usual_water_c(tank))
    if abs(after - before) <= NEW_WATER_STEP + _HALF_STEP:
        return ""
    new = f"{words.litres(litres)} of new water of {words.salinity(salinity)}"
    moves = f"from {words.salinity(before)} to {words.salinity(after)}"
    step = words.salinity_step(min(before, after), NEW_WATER_STEP)
    return f"{new} moves {tank.name} {moves} at once, by more than {step}. Keep it if it was so."


def _salinity_read(water: TankWater | None) -> float | None:
    """Return what the tank has by now, where that rests on a reading."""
    if water is None or water.salinity is None or not water.learned.salinity_is_read:
        return None
    return water.salinity.value


def _changed_l(item: Item, litres: float | None) -> float | None:
    """Return the litres of a change: those typed, or else those proposed."""
    amount = item.amount
    if litres is not None or amount is None or amount.unit != "L":
        return litres
    return amount.value


def doubtful_words(
    reading: ReadingValue,
    state: HouseholdState | None,
    tank_id: str | None,
    at: datetime | None,
    words: Words,
) -> str:
    """Return what is asked about a reading of a tank at a moment (now if None), if anything.

    It is unlike what any tank has, far from what was read before, or far outside the tank's range.
    """
    parameter = PARAMETERS[reading.parameter]
    asked = unusual_words(parameter, reading.value, words)
    water = state.waters.get(tank_id) if state is not None and tank_id is not None else None
    if asked or state is None or water is None:
        return asked
    net_l = None if water.net is None else water.net.value
    entries = state.history.of_water(water.tank.id)
    doubt = doubt_of(water.tank, reading, at or state.moment.now, entries, net_l)
    if doubt is None:
        return ""
    shown = words.reading(reading)
    if doubt.last is not None:
        value, entry = doubt.last
        last = words.parameter(parameter.name, value)
        far = f"far from the {last} read {words.on_day(entry.day)}"
    elif doubt.expected is not None:
        far = _far_from_expected(parameter, doubt.expected, words)
    else:
        assert doubt.range is not None
        far = f"far outside the range of {water.tank.name}, {_range(parameter, doubt.range, words)}"
    return f"{parameter.display} {shown} is {far}.{_READ_SO}"


def _far_from_expected(parameter: Parameter, expected: tuple[float, Entry], words: Words) -> str:
    value, entry = expected
    # No trend knows that nothing is less than none.
    about = words.parameter(parameter.name, max(0.0, value))
    if isinstance(entry.fact, WaterChange):
        by = f"since the water change {words.on_day(entry.day)}"
    else:
        by = "from the readings before"
    return f"far from about {about}, as reckoned {by}"


def _range(parameter: Parameter, wanted: Range, words: Words) -> str:
    assert wanted.high is not None
    high = words.parameter(parameter.name, wanted.high)
    if wanted.low is None:
        return f"up to {high}"
    return f"{words.parameter(parameter.name, wanted.low)} to {high}"
