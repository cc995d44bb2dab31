"""The words of one row of the round: what, how much, who, and how it stands."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.amounts import SMALLEST_TOP_OFF_L, AmountDue, stated_amount
from tankkeeper.core.capable import meant_for
from tankkeeper.core.chores import Calendar, ChoreKind, Once
from tankkeeper.core.harmful import Harm, poisons_of
from tankkeeper.core.household import DRY_STAGES
from tankkeeper.core.logbook import Dose, Entry, Readings, ReservoirCheck, TopOff, WaterChange, Work
from tankkeeper.core.making_ready import NotReady
from tankkeeper.core.mixed_batches import CLOSEST_L
from tankkeeper.core.parameters import PARAMETERS, ReadingValue
from tankkeeper.core.state import Item
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.reports.amount_words import due_amount, litres_due
from tankkeeper.reports.cautions import caution_long, caution_short
from tankkeeper.reports.numbers import counted, listed, plain, spoken
from tankkeeper.reports.short_words import short_state
from tankkeeper.reports.window_words import (
    is_brought_forward,
    is_guessed,
)
from tankkeeper.reports.words import Words

__all__ = [
    "amount_words",
    "caution_long",
    "caution_short",
    "minutes_words",
    "place_line",
    "poisons_against",
    "row_sentence",
    "short_line",
    "state_word",
    "state_words",
    "title",
    "who_words",
]

HOUSEHOLD = "Household"
# Of a turn whose window is open and whose day has not come.
CAN_WAIT = "can wait"
# Of what was done beside the plan.
EXTRA_WORD = "extra"
_FRESH = frozenset(
    {
        ChoreKind.TOP_OFF,
        ChoreKind.RESERVOIR,
        ChoreKind.MAKE_FRESH_WATER,
    }
)
# So many days on, a weekday has the same name.
_WEEK = 7
_TO_MARK = {ChoreKind.TOP_OFF: "fill to the mark", ChoreKind.RESERVOIR: "fill until full"}
_LITTLE = "hardly any water"


def title(item: Item) -> str:
    """Return what is to be done: the name of the chore."""
    return item.chore.name


def tank_words(item: Item) -> str:
    """Return the name of the tank, or the word for the household."""
    return item.tank.name if item.tank is not None else HOUSEHOLD


def minutes_words(item: Item) -> str:
    """Return the minutes with their unit, empty where they are not known."""
    minutes = item.chore.minutes
    return "" if minutes is None else counted(minutes, "min", "min")


# Amounts


def amount_words(item: Item, words: Words) -> str:
    """Return how much: "40 L salt water", "14 L, 515 g salt", "2 tests"; empty without."""
    if item.entry is not None and item.state in (State.DONE, State.SKIPPED):
        if item.state is not State.DONE:
            return ""
        return done_amount(item.entry, words, item.chore.tests) or _pieces(item, words)
    if item.amount is None:
        known = item.is_open and item.tank is not None
        return _TO_MARK.get(item.chore.kind, "") if known else ""
    return _due_amount(item.amount, item.chore.kind, words)


def _pieces(item: Item, words: Words) -> str:
    """Return the pieces that a chore states and no entry counts; a tick says they were given.

    Where a note tells what was given, it may have been another amount.
    """
    amount = item.amount or stated_amount(item.chore, None, words.household)
    is_noted = item.entry is None or bool(item.entry.note)
    is_stated = amount is not None and amount.unit == "pieces" and not is_noted
    return due_amount(amount, words) if amount is not None and is_stated else ""


def _due_amount(amount: AmountDue, kind: ChoreKind, words: Words) -> str:
    if amount.unit == "tests":
        return counted(int(amount.value), "test", "tests")
    if amount.unit in ("pieces", "g"):
        return due_amount(amount, words)
    if amount.is_estimate and kind in _FRESH and amount.value < SMALLEST_TOP_OFF_L:
        return _LITTLE
    text = litres_due(amount, words)
    if amount.is_split and amount.whole is not None:
        # What is due today is not all that is missing, and the level shows all of it.
        text = f"{text} of {words.litres(amount.whole)}"
    if amount.salt_g is not None:
        return f"{text}, {words.grams(amount.salt_g)} salt"
    return _with_water(text, kind)


def _with_water(text: str, kind: ChoreKind) -> str:
    if kind in _FRESH:
        return f"{text} fresh water"
    return f"{text} salt water" if kind is ChoreKind.WATER_CHANGE else text


def done_amount(entry: Entry, words: Words, tests: Sequence[str] = ()) -> str:
    """Return what an entry wrote down, empty where it wrote no amount.

    Of readings taken together a test has its own, which `tests` name.
    """
    fact = entry.fact
    if isinstance(fact, TopOff):
        return "" if fact.litres is None else f"{words.litres(fact.litres)} fresh water"
    if isinstance(fact, WaterChange):
        water = "fresh water" if fact.salinity == 0.0 else "salt water"
        return "" if fact.litres is None else f"{words.litres(fact.litres)} {water}"
    if isinstance(fact, ReservoirCheck):
        if fact.left_l is not None:
            return f"{words.litres(fact.left_l)} left"
        return "" if fact.fill_l is None else f"{words.litres(fact.fill_l)} fresh water"
    if isinstance(fact, Readings):
        own = readings_of(fact, tests)
        if len(own) == 1:
            return words.typed(own[0].typed, own[0].unit)
        return counted(len(own), "reading", "readings")
    if isinstance(fact, Dose):
        return "" if fact.grams is None else words.grams(fact.grams)
    if isinstance(fact, Work):
        sizes = [] if fact.litres is None else [words.litres(fact.litres)]
        return ", ".join([*sizes, *([] if fact.grams is None else [words.grams(fact.grams)])])
    return ""


def readings_of(fact: Readings, tests: Sequence[str]) -> tuple[ReadingValue, ...]:
    """Return the readings that a test asks for, all where it names none of them."""
    return tuple(one for one in fact.values if one.parameter in tests) or fact.values


# State


def minutes_of(item: Item) -> int | None:
    """Return the minutes that a line takes, None where nobody knows."""
    return None if item.is_extra else item.chore.minutes


def state_word(state: State) -> str:
    """Return the word of a state alone, as every line and sign tells it."""
    return CAN_WAIT if state is State.MAY_WAIT else state.value


def item_word(item: Item) -> str:
    """Return the word of a line alone: that of its state, or that it was extra."""
    return EXTRA_WORD if item.is_extra else state_word(item.state)


def state_words(item: Item, words: Words, for_ear: bool = False) -> str:
    """Return how the turn stands: "2 days overdue", "today", "can wait to Sat", "done 06:58".

    `for_ear` names weekdays in full.
    """
    if item.state is State.DONE:
        word = item_word(item)
        return word if item.entry is None else f"{word} {words.clock(item.entry.at)}"
    if item.state is State.SKIPPED:
        return "skipped"
    if item.state is State.PAUSED:
        until = item.paused.until if item.paused is not None else None
        if item.tank is not None and item.tank.stage in DRY_STAGES:
            # It rests with its tank, and nothing resumes it by itself.
            return item.tank.stage.value
        stages = {one.stage for one in item.rests_with}
        if len(stages) == 1 and stages <= set(DRY_STAGES):
            return stages.pop().value
        return "paused" if until is None else f"paused to {words.full_date(until)}"
    if item.open is None:
        return state_word(item.state)
    told = _open_words(item, item.open, words, for_ear)
    water = short_state(item, words, for_ear)
    if item.not_ready is not None and item.is_open:
        water = _waits_for(item.not_ready, words, for_ear)
    if water and told.startswith("since ") and not for_ear:
        # All three would make every line of the list one of two; the reason tells since when.
        told = told.rpartition(", ")[2]
    return ", ".join(part for part in (told, _gathered(item, item.open), water) if part)


def _gathered(item: Item, turn: OpenTurn) -> str:
    """Return how many turns wait as one: "2 turns", empty where it is no more than itself."""
    return counted(turn.missed + 1, "turn", "turns") if item.is_open and turn.missed else ""


def _open_words(item: Item, turn: OpenTurn, words: Words, for_ear: bool) -> str:
    """Return how a turn stands that is not closed yet."""
    if item.state is State.OVERDUE:
        return f"{counted(turn.days_overdue(words.today), 'day', 'days')} overdue"
    return _standing(item, turn, words, for_ear)


def _standing(item: Item, turn: OpenTurn, words: Words, for_ear: bool) -> str:
    """Return how a turn stands that is not overdue."""
    if item.is_open and is_guessed(item, turn):
        return _guessed(turn, words, for_ear)
    if item.state is State.DUE:
        return _due(turn, words)
    if item.state is State.MAY_WAIT and turn.is_put_off and turn.target > words.today:
        to = turn.target
        day = words.named_date(to) if for_ear else words.weekday_and_number(to)
        return f"{_moved(item, turn, words)} to {day}"
    if item.state is State.MAY_WAIT:
        helps = _helps(item, words, for_ear)
        return f"{helps}{_can_wait(turn, words, for_ear)}"
    return _coming(item, turn, words)


def poisons_against(item: Item, words: Words) -> tuple[Harm, ...]:
    """Return the readings that a change of water helps against, none of other work."""
    if item.chore.kind is not ChoreKind.WATER_CHANGE or item.tank is None or item.water is None:
        return ()
    return poisons_of(item.tank, item.water.learned.readings, words.household.animals)


def _helps(item: Item, words: Words, for_ear: bool) -> str:
    """Return that work which can wait would help now, before until when its rhythm lets it wait."""
    found = poisons_against(item, words)
    if not found:
        return ""
    names = listed([PARAMETERS[one.value.parameter].display.lower() for one in found])
    return f"helps now against the {names}, by its rhythm " if for_ear else "helps now, "


def _waits_for(one: NotReady, words: Words, for_ear: bool) -> str:
    """Return that the water of a change is not mixed yet, or when it is ready."""
    if one.ready_at is None:
        how = "partly mixed" if one.stands_l > CLOSEST_L else "not mixed yet"
        return f"its water is {how}" if for_ear else how
    day = words.moment.day_of(one.ready_at)
    when = words.clock(one.ready_at) if day == words.today else words.short_weekday(day)
    return f"its water is ready {words.at(one.ready_at)}" if for_ear else f"ready {when}"


def _can_wait(turn: OpenTurn, words: Words, for_ear: bool) -> str:
    """Return until when it may wait, and since when where its own day went by.

    Otherwise work that was "today" yesterday would seem less urgent for having been missed.
    """
    name = words.day if for_ear else words.short_weekday
    last = turn.latest
    wait = f"{CAN_WAIT} to {name(last)}"
    if turn.target >= words.today:
        return wait
    if (last - turn.target).days >= _WEEK:
        # Of the same weekday, one would be taken for the other.
        date = words.full_date if for_ear else words.short_date
        wait, until = f"{CAN_WAIT} to {date(last)}", f"until {date(last)}"
    else:
        until = f"until {name(last)}"
    # Short, so that the words of the cautions keep their room.
    return f"since {name(turn.target)}, {wait if for_ear else until}"


def _guessed(turn: OpenTurn, words: Words, for_ear: bool) -> str:
    """Return how a turn stands whose day follows from a loss that nobody has measured."""
    last = words.day(turn.latest) if for_ear else words.short_weekday(turn.latest)
    told = "expected, not measured yet" if for_ear else "expected"
    if turn.state is State.DUE:
        return f"today, {told}"
    if for_ear or turn.target >= words.today:
        return f"{CAN_WAIT} to {last}, {told}"
    return f"{told}, until {last}"


def _due(turn: OpenTurn, words: Words) -> str:
    if turn.target < words.today:
        return "today, its last day"
    if turn.due_at is None or turn.target != words.today:
        return "today"
    wall = words.clock(turn.due_at)
    if turn.due_at <= words.moment.now:
        return f"today, since {wall}"
    if turn.turn.slot is not None:
        return f"from {wall}"
    # What may wait for longer has no deadline then.
    return f"today {'at' if turn.latest > words.today else 'by'} {wall}"


def _moved(item: Item, turn: OpenTurn, words: Words) -> str:
    return "moved" if is_brought_forward(item, turn, words) else "put off"


def _coming(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return the day of a turn to come; "about" where work done early or late moves it."""
    day = words.weekday_and_number(turn.target)
    at = turn.due_at if turn.turn.slot is not None else None
    if turn.is_put_off:
        return f"{_moved(item, turn, words)} to {day}"
    if not isinstance(item.chore.rhythm, (Calendar, Once)):
        return f"about {day}"
    return day if at is None else f"{day} at {words.clock(at)}"


def who_words(item: Item, words: Words) -> str:
    """Return who is to do it, or who did it; empty where anybody may."""
    if item.entry is not None and item.state in (State.DONE, State.SKIPPED):
        return words.person(item.entry.by) or ""
    return ", ".join(_meant(item, words))


def _meant(item: Item, words: Words) -> list[str]:
    return [words.person(one) or one for one in meant_for(item.chore, words.household)]


# Whole lines


def short_line(item: Item, words: Words) -> str:
    """Return the head of the why panel: "Change water, 40 L"."""
    amount = without_water(amount_words(item, words))
    return ", ".join(part for part in (title(item), amount) if part)


def without_water(amount: str) -> str:
    """Return an amount without its kind of water, where the chore beside it tells that."""
    for water in (" fresh water", " salt water"):
        amount = amount.removesuffix(water)
    return amount


def place_line(item: Item, words: Words) -> str:
    """Return the line above that head: "Skerry, 2 days overdue"."""
    return f"{tank_words(item)}, {state_words(item, words)}"


def row_sentence(item: Item, words: Words) -> str:
    """Return the row as a screen reader should say it, with units spoken out."""
    who = listed(_meant(item, words), "or")
    if item.state in (State.DONE, State.SKIPPED):
        who = who_words(item, words)
    minutes = minutes_of(item)
    caution = caution_short(item, words) if item.is_open else ""
    parts = [
        tank_words(item),
        words.small(title(item)),
        _spoken_amount(item, words),
        "" if minutes is None else spoken(str(minutes), "min"),
        who,
        state_words(item, words, for_ear=True),
        f"caution: {caution}" if caution else "",
    ]
    return plain(", ".join(part for part in parts if part))


def _spoken_amount(item: Item, words: Words) -> str:
    """Return the amount with its units as words."""
    text = amount_words(item, words)
    for unit in (words.units.volume, "g"):
        text = _spell_out(text, unit)
    return text


def _spell_out(text: str, unit: str) -> str:
    """Return text with each number of this unit spoken: "40 L" as "40 litres"."""
    sign = plain(unit)
    pieces = []
    for piece in plain(text).split(", "):
        number, _, rest = piece.partition(" ")
        if rest == sign or rest.startswith(f"{sign} "):
            rest = rest.removeprefix(sign)
            piece = spoken(number, unit) + rest
        pieces.append(piece)
    return ", ".join(pieces)
