"""Why a turn that other turns still come before is expected about its day."""

from __future__ import annotations

from tankkeeper.core.chores import Condition, WhenWaterSays
from tankkeeper.core.state import Item
from tankkeeper.core.turns import OpenTurn
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.outlook_reasons import by_next_reading, until_known
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.words import Words
from tankkeeper.services.ahead import ABOUT


def is_expected(turn: OpenTurn) -> bool:
    """Tell whether a turn follows others that are not done yet."""
    return turn.turn.key.startswith(ABOUT)


def expected_reasons(item: Item, turn: OpenTurn, words: Words) -> list[str]:
    """Return the sentences for a turn that is only expected."""
    day = words.day(turn.target)
    done = "the turns before it are done on their days"
    if item.follows is not None:
        day_of_it = words.day(item.follows)
        when = day_of_it if item.follows == words.today else f"on its last day, {day_of_it},"
        done = f"the turn that is open is done {when} and those after it on their days"
    expected = f"Expected about {day}, if {done}."
    chore, outlook = item.chore, item.limit.outlook
    told = _water(item, words) or until_known(chore, outlook) or by_next_reading(chore, outlook)
    told = told or f"This chore comes {rhythm_words(item.chore)}."
    return [expected, told, _by_the_round(item, turn, words)]


def _by_the_round(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return at which hour the fills before it are reckoned, where the water decides by them."""
    if not item.chore.is_done_by_filling or not _water(item, words):
        return ""
    at = words.clock(words.moment.round_on(turn.target))
    return (
        f"Fills of days to come are reckoned at {at}, the hour of the round: "
        "a later one can move it by a day."
    )


def _water(item: Item, words: Words) -> str:
    """Return how long the water lasts from full, where evaporation decides."""
    rhythm, water = item.chore.rhythm, item.water
    if not isinstance(rhythm, WhenWaterSays) or rhythm.condition is not Condition.EVAPORATION:
        return ""
    if water is None or water.loss is None or water.full_interval_days is None:
        return ""
    days = counted(water.full_interval_days, "day", "days")
    rate = words.litres_with_span(water.loss)
    if water.limit.is_expected and water.limit.limit is Limit.RESERVOIR:
        return (
            f"At a loss of {rate} a day it lasts about {days} from full, and moves with the loss."
        )
    return f"At a loss of {rate} a day it is safe for {days} from full, and moves with the loss."
