"""Why a chore that the water decides is due when it is, or what would make that known."""

from __future__ import annotations

from datetime import date, timedelta

from tankkeeper.core.chores import Condition, WhenWaterSays
from tankkeeper.core.communities import Range
from tankkeeper.core.salinity_limit import is_high_when_full, is_past_when_full
from tankkeeper.core.state import Item
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import Side, side_of
from tankkeeper.core.told_salinity import HALF_STEP
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.amount_words import about
from tankkeeper.reports.loss_words import alone_words, taught_sentence
from tankkeeper.reports.lowering_words import exchange_sentence
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.outlook_reasons import outlook_reasons
from tankkeeper.reports.outside_words import tank_range, whole_range
from tankkeeper.reports.part_reasons import part_before, partly_done
from tankkeeper.reports.reservoir_reasons import reservoir_sentence, was_found_empty
from tankkeeper.reports.salinity_limit_words import limit_from
from tankkeeper.reports.salinity_words import salinity_inside, salinity_now
from tankkeeper.reports.sooner_words import sooner_sentence
from tankkeeper.reports.window_words import is_guessed
from tankkeeper.reports.words import Words


def water_reasons(item: Item, rhythm: WhenWaterSays, turn: OpenTurn, words: Words) -> list[str]:
    """Return the sentences on the date; empty ones stand for nothing to say."""
    if rhythm.condition is Condition.FORECAST:
        return outlook_reasons(item, rhythm, turn, words)
    if rhythm.condition is Condition.STOCK:
        return [_stock(rhythm), _bound(rhythm, turn, words)]
    water = item.water
    if water is None:
        return ["No tank is named whose evaporation could decide this."]
    if not item.chore.is_done_by_filling:
        return _beside_filling(item, rhythm, turn, words)
    if water.limit.base is None:
        return [_never_filled(water), _loss_expected(water, words)]
    if water.loss is None:
        return [_since(water, words), _loss_unknown(), _bound(rhythm, turn, words)]
    told = (
        reservoir_sentence(water, words)
        if water.tank.has_automatic_top_off
        else _level(water, words)
    )
    told_by = taught_sentence(water, words)
    if item.limit.latest_on is None:
        return [told, told_by, _no_limit(water), _bound(rhythm, turn, words)]
    bound = _bound(rhythm, turn, words) if _is_bound(item, rhythm, turn) else ""
    # Of a reservoir that somebody saw empty nobody need be told that its bottom comes first.
    limit = "" if was_found_empty(water) else _limit(item, turn, words)
    limits = f"{bound or limit} {_high_when_full(water, words)}".strip()
    sooner = "" if bound or part_before(item, turn) is not None else sooner_sentence(item, words)
    return [told, told_by, limits, _moved(item, turn, words), sooner]


def _beside_filling(item: Item, rhythm: WhenWaterSays, turn: OpenTurn, words: Words) -> list[str]:
    """Return the sentences for work that fills nothing: it counts from its own last time."""
    water, days = item.water, item.water.full_interval_days if item.water is not None else None
    assert water is not None
    done, since = item.last_done, turn.counted_from
    if since is None:
        told = "It has not been done yet."
    elif done is not None and done.day == since:
        told = f"Last done {words.on_day(since)}; only its own tick does it, no top-off."
    else:
        told = f"The last turn was skipped, so it counts from {words.day(since)}."
    if water.loss is None or days is None:
        unknown = _loss_unknown() if water.loss is None else _no_limit(water)
        return [told, unknown, _bound(rhythm, turn, words)]
    lasts = (
        f"It comes as long after it was last done as the water lasts from full: "
        f"{counted(days, 'day', 'days')} at a loss of {words.litres_with_span(water.loss)} a day."
    )
    return [told, lasts, _bound(rhythm, turn, words) if _is_bound(item, rhythm, turn) else ""]


# What is not known, and what would make it known


def _stock(rhythm: WhenWaterSays) -> str:
    of = rhythm.of or "a supply"
    left = "no day follows" if rhythm.max_days is None else "only its longest interval does"
    return f"The stock of {of} is to decide this, but nothing counts it down yet: {left}."


def _never_filled(water: TankWater) -> str:
    if water.learned.log.was_frozen:
        return (
            "The tank was paused since it was filled last, so nobody knows where its water stands. "
            "Fill it and say how much."
        )
    if water.tank.has_automatic_top_off:
        return (
            "Nobody has written down yet how full the reservoir is. "
            "Fill it until full, or say how much is left."
        )
    return (
        "No filling to the mark is written down yet, so nothing can be counted from it. "
        "Fill to the mark and say how much."
    )


def _loss_expected(water: TankWater, words: Words) -> str:
    if water.loss is None:
        return _loss_unknown()
    loss = words.litres_with_span(water.loss)
    alone = alone_words(water.learned)
    if not alone:
        return f"By the log it loses {loss} a day."
    return f"From {alone} a loss of {loss} a day is expected."


def _loss_unknown() -> str:
    return "The loss a day is not known: give the inside measures of the tank, or its volume."


def _since(water: TankWater, words: Words) -> str:
    mark = water.limit.base
    assert mark is not None
    return f"Last filled {words.on_day(mark.day)}."


def _no_limit(water: TankWater) -> str:
    if water.tank.has_automatic_top_off:
        return "What is left in the reservoir is not known: say it, or fill it until full."
    return "No limit is known: say how far the level may fall, or give the target salinity."


# What is known


_LEVELS = {
    "unseen": "About {gone} has evaporated since {since}, at a loss of {rate} a day.",
    "full": (
        "About {gone} has evaporated since {since}; "
        "at a loss of {rate} a day the level is still at the mark."
    ),
    "down": (
        "About {gone} has evaporated since {since}; "
        "at a loss of {rate} a day the level is {level} below the mark."
    ),
    "out": (
        "By a loss of {rate} a day more would have evaporated since {since} than can be missing: "
        "fill to the mark and say how much."
    ),
    "in part": (
        "About {gone} is missing: what evaporated since {since} at a loss of {rate} a day, "
        "less {added} added since."
    ),
}


def level_down(water: TankWater, words: Words) -> str:
    """Return how far the level is below the mark, empty where that is not known.

    Such as "7 mm", and "at most 360 mm" where the tank would be empty by what evaporates.
    """
    if water.mm_below_mark is None:
        return ""
    level = words.millimetres(water.mm_below_mark)
    return f"at most {level}" if water.is_out else level


def _level(water: TankWater, words: Words) -> str:
    """Return what has gone since when, at which loss, and how far the level is down."""
    mark, gone, loss = water.limit.base, water.evaporated, water.loss
    assert mark is not None
    assert gone is not None
    assert loss is not None
    down = water.mm_below_mark
    added_l = water.learned.log.added_since_l
    case = "unseen" if down is None else "full" if down < 0.5 else "down"
    if added_l > 0.0 and gone.value > 0.0:
        case = "in part"
    if water.is_out:
        case = "out"
    return _LEVELS[case].format(
        gone=about(gone, words),
        since=words.at(mark.at, is_noun=True),
        rate=words.litres_with_span(loss),
        level=words.millimetres(down or 0.0),
        added=words.litres(added_l),
    )


def limit_left_out(item: Item, words: Words) -> str:
    """Return the limit of a filling that was skipped: it stands, as the water is where it was."""
    if item.water is None or item.limit.latest_on is None or not item.chore.is_done_by_filling:
        return ""
    return _limit(item, None, words)


def full_after_filling(item: Item, words: Words) -> str:
    """Return what is so of a tank that was filled and is too salty all the same, else nothing."""
    if item.water is None or not item.chore.is_done_by_filling:
        return ""
    return _high_when_full(item.water, words)


def _limit(item: Item, turn: OpenTurn | None, words: Words) -> str:
    """Return the limit that binds, the safe day and the day of the middle value."""
    limit, water = item.limit, item.water
    assert water is not None
    assert limit.latest_on is not None
    if limit.limit is Limit.SALINITY and is_high_when_full(water.tank, water.learned):
        return _rise(water, limit.latest_on, words)
    what = _limit_words(limit.limit, water, words)
    if turn is not None and is_past_before_rest(item, turn, words):
        is_ = "is" if limit.is_surely_passed(words.moment.now) else "may be"
        return f"{what} {is_} passed; the rest brings it back."
    if turn is not None and _comes_every_day(item, turn):
        return f"{what} binds first: it may be reached in less than a day after a filling."
    told = f"{what} binds first: {_for_sure(limit.limit, limit.latest_on, words)}"
    if limit.median_on is None or limit.median_on == limit.latest_on:
        return f"{told}."
    likely = _round(limit.median_on, words)
    if item.state is State.OVERDUE and limit.latest_on < words.today <= limit.median_on:
        # The row goes by the first of both; nobody should take the second for its word.
        there = "was" if limit.is_likely_passed(words.moment.now) else "is"
        return f"{told}, so it is overdue; most likely there {there} time until {likely}."
    there = "was" if limit.median_on < words.today else "is"
    late = ""
    if turn is not None and is_guessed(item, turn) and turn.latest >= words.today:
        late = " That is expected, not measured yet, so it is overdue only after that."
    return f"{told}; most likely there {there} time until {likely}.{late}"


def _comes_every_day(item: Item, turn: OpenTurn) -> bool:
    """Tell whether a turn stands as soon as it may, a day after a filling, and is late by then.

    The last safe round was that of the filling itself; to name it would ask for what was done.
    """
    mark, safe = item.limit.base, item.limit.latest_on
    if mark is None or safe is None or turn.is_put_off or safe > mark.day:
        return False
    return turn.target == mark.day + timedelta(days=1)


def _for_sure(limit: Limit | None, last: date, words: Words) -> str:
    """Return by which round at the latest nothing is passed: "to ..., top off by today's round"."""
    stay = {Limit.LEVEL: "within", Limit.SALINITY: "below"}.get(limit or Limit.RESERVOIR, "above")
    if stay == "above":
        do, late = "fill the reservoir", "the reservoir should have been filled"
    else:
        do, late = "top off", "it should have been topped off"
    return (
        f"to stay {stay} it for sure, {late if last < words.today else do} by {_round(last, words)}"
    )


def _round(day: date, words: Words) -> str:
    name = words.day(day)
    return f"{name}'s round" if words.is_near(day) else f"the round of {name}"


def _high_when_full(water: TankWater, words: Words) -> str:
    """Return that fresh water does not help a tank that is too salty when full, and what does."""
    full = water.learned.salinity_at_mark
    if full is None or not is_high_when_full(water.tank, water.learned):
        return ""
    side = f"{_side_when_full(water)} of {whole_range('salinity', _salinity_range(water), words)}"
    if is_past_when_full(water.tank, water.learned):
        little = ": topping off does not lower that,"
    else:
        little = (
            ", which it reaches again in less than a day: topping off does not lower it for long,"
        )
    told = (
        f"Even when full it has about {words.salinity(full)}, {side}{little} "
        "a change with weaker salt water or fresh water in place of some of it does."
    )
    return f"{told} {exchange_sentence(water, words)}".strip()


def salinity_and_when_full(water: TankWater, words: Words) -> str:
    """Return the salinity now, and where that of a tank lies that is too salty when full.

    Such as "36.0 ± 0.7 PSU; when full, at the end of its range". What is so of both is told of the
    number: "38.0 ± 0.3 PSU, above its range".
    """
    told, side, now = salinity_now(water, words), _side_when_full(water), water.salinity
    if not side or now is None:
        return told
    is_so_now = side_of(now.value, _salinity_range(water)) == _full_side(water)
    return f"{told}, {side}" if is_so_now else f"{told}; when full, {side}"


def _side_when_full(water: TankWater) -> str:
    """Return where the salinity of a tank lies that is too salty when full, empty of others."""
    if not is_high_when_full(water.tank, water.learned):
        return ""
    side = _full_side(water)
    if side is not None:
        return f"{side.value} its range"
    near = "at" if is_past_when_full(water.tank, water.learned) else "near"
    return f"{near} the end of its range"


def _full_side(water: TankWater) -> Side | None:
    full, wanted = water.learned.salinity_at_mark, _salinity_range(water)
    side = None if full is None else side_of(full, wanted)
    if side is Side.ABOVE and full is not None and wanted.high is not None:
        # So near above it is told as that end itself.
        return side if full - wanted.high >= HALF_STEP else None
    return side


def _salinity_range(water: TankWater) -> Range:
    return tank_range(water.tank, "salinity")


def _moved(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return why the day lies after the last safe round, or follows a part, where it does."""
    safe, mark, part = item.limit.latest_on, item.limit.base, part_before(item, turn)
    if part is not None and not turn.is_put_off:
        return partly_done(item, turn, part, words)
    if safe is None or mark is None or turn.is_put_off or turn.target <= safe:
        return ""
    day = words.on_day(turn.target)
    if turn.counted_from is not None and turn.counted_from > mark.day:
        return f"The last turn was skipped, so this one stands {day}."
    if _comes_every_day(item, turn):
        return f"It comes a day after the last filling at the soonest: {day}."
    return f"A pause moved it, so it stands {day}."


def is_past_before_rest(item: Item, turn: OpenTurn, words: Words) -> bool:
    """Tell whether a limit may be passed while the rest of a part waits for its day.

    What is due is the rest on that day, so no safe round before it is told.
    """
    at = item.limit.limit_at
    is_past = at is not None and at <= words.moment.now
    return is_past and not turn.is_put_off and part_before(item, turn) is not None


def _rise(water: TankWater, until: date, words: Words) -> str:
    """Return until when a tank that is too salty when full rises by no more than it may."""
    full = water.learned.salinity_at_mark or 0.0
    step = words.salinity_step(full, (water.salinity_limit or full) - full)
    verb = "was" if until < words.today else "is"
    return f"The last round before it may rise by {step} {verb} {words.on_day(until)}."


def _limit_words(limit: Limit | None, water: TankWater, words: Words) -> str:
    if limit is Limit.LEVEL and water.tank.top_off.allowed_drop_mm is not None:
        drop = words.millimetres(water.tank.top_off.allowed_drop_mm)
        return f"The allowed drop of {drop}"
    if limit is Limit.SALINITY and water.salinity_limit is not None:
        top, why = words.salinity(water.salinity_limit), limit_from(water, words)
        if water.salinity is not None:
            now = salinity_inside(water, words)
            return f"The salinity to top off at, {top} ({why}; now {now}),"
        return f"The salinity to top off at, {top} ({why}),"
    if water.tank.top_off.reserve_l:
        return f"The reserve of {words.litres(water.tank.top_off.reserve_l)} in the reservoir"
    return "The bottom of the reservoir"


# Bounds of the rhythm


def _is_bound(item: Item, rhythm: WhenWaterSays, turn: OpenTurn) -> bool:
    """Tell whether the longest interval of the rhythm, not the water, sets the day."""
    if rhythm.max_days is None or turn.counted_from is None or turn.is_put_off:
        return False
    bound = turn.counted_from + timedelta(days=rhythm.max_days)
    return item.limit.latest_on is None or bound < item.limit.latest_on


def _bound(rhythm: WhenWaterSays, turn: OpenTurn, words: Words) -> str:
    if rhythm.max_days is None:
        return ""
    days = counted(rhythm.max_days, "day", "days")
    if turn.counted_from is None:
        return f"Once done it comes at least every {days}."
    since = words.day(turn.counted_from)
    return f"It comes at least every {days}, counted from {since}, whatever the water says."
