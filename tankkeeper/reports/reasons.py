"""The reason of a turn: one to four plain sentences on why this date and this amount."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.chores import AfterLastDone, Calendar, ChoreKind, Once, WhenWaterSays
from tankkeeper.core.household import Stage
from tankkeeper.core.logbook import AFTER, FIRST, Entry, PauseMode, Readings, Skip
from tankkeeper.core.pauses import SLEEPING_STAGES, Span
from tankkeeper.core.state import Item
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.core.water_turns import is_part, is_test
from tankkeeper.reports.amount_reasons import amount_reason, is_begun, parameter_words, store_reason
from tankkeeper.reports.expected_reasons import expected_reasons, is_expected
from tankkeeper.reports.harm_words import read_sentences
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.next_words import next_words
from tankkeeper.reports.numbers import counted, listed
from tankkeeper.reports.outlook_reasons import after_reading, with_others
from tankkeeper.reports.people_words import unfit_for
from tankkeeper.reports.rhythms import by_its_rhythm, rhythm_words
from tankkeeper.reports.rows import done_amount
from tankkeeper.reports.short_words import short_sentence
from tankkeeper.reports.sooner_words import sooner_sentence
from tankkeeper.reports.unready_reasons import unready
from tankkeeper.reports.water_reasons import full_after_filling, limit_left_out, water_reasons
from tankkeeper.reports.window_words import (
    first_told,
    is_brought_forward,
    own_day,
    own_window,
)
from tankkeeper.reports.words import WEEKDAYS, Words, wall_time
from tankkeeper.services.next_days import coming_of

__all__ = ["reason", "rhythm_words"]

MOST_SENTENCES = 4


def reason(item: Item, words: Words) -> str:
    """Return why this date and this amount, in one to four sentences, and whom it does not suit."""
    item = by_its_rhythm(item, words)
    if item.state in (State.DONE, State.SKIPPED):
        sentences = _closed(item, words)
    elif item.state is State.PAUSED:
        sentences = _paused(item, words)
    else:
        sentences = _open(item, words)
    told = [one for one in sentences if one][:MOST_SENTENCES]
    told += filter(None, [short_sentence(item, words)])
    if item.is_open:
        told += _from_then_on(item, words)
    if item.lapsed and (item.is_open or item.entry is not None):
        told.append(_lapsed(item))
    if item.is_open or item.state in (State.DONE, State.PROJECTED):
        told += read_sentences(item, words)
    if item.is_open or item.state is State.PROJECTED:
        told += unfit_for(item.chore, words)
    if item.next_turn is not None and not _is_partly_done(item):
        told.append(next_words([coming_of(item.chore, item.next_turn)], 1, words))
    return " ".join(told)


def _from_then_on(item: Item, words: Words) -> list[str]:
    """Return how a chore comes from a later day on, whose open turn is of the rhythm until then."""
    whole = next((one for one in words.household.chores if one.id == item.chore.id), item.chore)
    begins = whole.valid_from
    if begins is None or begins <= words.today:
        return []
    return [f"From {words.day(begins)} on it comes {rhythm_words(whole)}."]


# Closed and paused


def _is_partly_done(item: Item) -> bool:
    """Tell whether the rest of a line is still to come: that is told with what went in."""
    entry = item.entry
    return entry is not None and (is_part(entry) or entry.does_part_of(item.chore.id))


def _closed(item: Item, words: Words) -> list[str]:
    entry = item.entry
    if entry is None:
        return ["Done today."]
    who, at = words.person(entry.by), _at(entry, words)
    if item.state is State.DONE:
        is_mixed_part = entry.does_part_of(item.chore.id)
        if item.is_extra:
            by = f" by {who}" if who else ""
            return [f"Written down {at}{by} as extra, beside the plan: it ticks nothing."]
        done = "Partly done" if is_part(entry) or is_mixed_part else "Done"
        said = f"{done} {at} by {who}." if who else f"{done} {at}."
        if isinstance(entry.fact, Readings) and not entry.completes_chore(item.chore.id):
            # Another chore's readings, or logged ones, are what its day counts from.
            said = f"Read {' '.join(filter(None, (with_others(entry, words), at)))}."
            said = f"{said[:-1]} by {who}." if who else said
        if is_mixed_part:
            return [said, f"{done_amount(entry, words)} went in; the rest stays to mix."]
        if is_part(entry):
            return [said, f"{done_amount(entry, words)} went in; more follows the day after."]
        outlook = item.limit.outlook
        more = after_reading(item, outlook, words) if outlook is not None else ""
        comes = f"It comes {rhythm_words(item.chore)}."
        full = full_after_filling(item, words)
        return [said, comes, more, full or sooner_sentence(item, words)]
    said = f"Skipped {at} by {who}." if who else f"Skipped {at}."
    why = f"The note says: {entry.note.strip().rstrip('.')}." if entry.note.strip() else ""
    from_day = entry.fact.counts_from if isinstance(entry.fact, Skip) else None
    counts = "" if from_day is None else f"The next turn counts from {words.day(from_day)}."
    return [said, why, counts, limit_left_out(item, words)]


def _at(entry: Entry, words: Words) -> str:
    """Return when an entry was: "today at 07:00", "on 24 February at 19:30", "tonight at 01:35"."""
    if words.night_to(entry.at) is not None:
        return words.at(entry.at)
    if entry.day == words.today and words.is_past_midnight:
        return f"on {words.at(entry.at)}"
    day = "today" if entry.day == words.today else f"on {words.full_date(entry.day)}"
    return f"{day} at {words.clock(entry.at)}"


_SLEEPING = {
    Stage.PAUSED: "The tank {tank} is paused, so nothing is due there.",
    Stage.PLANNED: "The tank {tank} is only planned, so nothing is due there yet.",
    Stage.RETIRED: "The tank {tank} is retired, so nothing is due there.",
}

_RESTING = {
    Stage.PAUSED: "paused",
    Stage.PLANNED: "only planned",
    Stage.RETIRED: "retired",
}


def _resting_with(item: Item) -> list[str]:
    """Return whose rest it is that nothing takes what a chore makes ready."""
    tanks = item.rests_with
    stages = {one.stage if one.stage in SLEEPING_STAGES else Stage.PAUSED for one in tanks}
    how = _RESTING[stages.pop()] if len(stages) == 1 else "not running"
    verb = "is" if len(tanks) == 1 else "are"
    names = listed([one.name for one in tanks])
    return [f"It makes water ready for {names}, which {verb} {how}, so nothing is due here."]


def _until(span: Span | None, words: Words) -> list[str]:
    until = span.until if span is not None else None
    return [] if until is None else [f"It rests until {words.full_date(until)}, that day included."]


def _paused(item: Item, words: Words) -> list[str]:
    span, tank = item.paused, item.tank
    if item.rests_with:
        return [*_resting_with(item), *_until(span, words)]
    until = span.until if span is not None else None
    if until is not None:
        first = f"Paused until {words.full_date(until)}, that day included."
    elif tank is not None and tank.stage in SLEEPING_STAGES:
        return [_SLEEPING[tank.stage].format(tank=tank.name)]
    else:
        first = "Paused until somebody resumes it."
    if span is not None and span.mode is PauseMode.FREEZE:
        return [first, "The days of the pause do not count."]
    if isinstance(item.chore.rhythm, Calendar):
        left = "what falls into it is left out, and what was open before is open again after it"
        return [first, f"Time goes on during the pause: {left}."]
    return [first, "Time goes on during the pause, so it may be due as soon as it ends."]


# Open and coming


def _open(item: Item, words: Words) -> list[str]:
    rhythm = item.chore.rhythm
    turn = item.open
    if turn is None:
        return [f"It comes {rhythm_words(item.chore)}."]
    if is_expected(turn):
        return expected_reasons(item, turn, words)
    if isinstance(rhythm, WhenWaterSays):
        sentences = water_reasons(item, rhythm, turn, words)
        ready = unready(item, words)
        amounts = [amount_reason(item, words), store_reason(item, words)]
        return [*sentences, ready, _moved(item, turn, words), *amounts]
    if isinstance(rhythm, AfterLastDone):
        dated = _counted(item, turn, words)
    elif isinstance(rhythm, Calendar):
        dated = [_by_calendar(item, words), _nominal(item, turn, words)]
    else:
        dated = [_single(rhythm, turn, words)]
    dated += [unready(item, words), _missed(turn), _moved(item, turn, words)]
    amounts = [amount_reason(item, words), store_reason(item, words)]
    return [*dated, *amounts, "" if turn.is_put_off else _window(item, turn, words)]


# One template for a day gone by, one for today, one for a day to come.
Tenses = tuple[str, str, str]

_COUNTED: Tenses = (
    "This chore comes {comes}, so its day was {day}.",
    "This chore comes {comes}, so its day is {day}.",
    "This chore comes {comes}, so its day will be {day}.",
)
_COUNTED_HOURS: Tenses = (
    "This chore comes {comes}, so its time was {day}.",
    "This chore comes {comes}, so its time is {day}.",
    "This chore comes {comes}, so its time will be {day}.",
)
_FIRST: Tenses = (
    "{begin}, and its first day was {day}.",
    "{begin}, and its first day is {day}.",
    "{begin}, and its first day will be {day}.",
)
_NOMINAL: Tenses = (
    "The day of this turn was {day}.",
    "The day of this turn is {day}.",
    "The day of this turn will be {day}.",
)
_SLOT: Tenses = (
    "The time of this turn was {day}.",
    "The time of this turn is {day}.",
    "The time of this turn will be {day}.",
)
_ONCE: Tenses = (
    "This comes once, and its day was {day}.",
    "This comes once, and its day is {day}.",
    "This comes once, and its day will be {day}.",
)


def _in_tense(templates: Tenses, day: date, words: Words) -> str:
    """Return the template for a day gone by, today, or to come."""
    return templates[1 + (day > words.today) - (day < words.today)]


def _counted(item: Item, turn: OpenTurn, words: Words) -> list[str]:
    """Return from which day a counted chore goes, and where that leads."""
    comes = rhythm_words(item.chore)
    if turn.turn.key == FIRST:
        return _never_done(item, turn, comes, words)
    begin = _counted_from(item, turn, words)
    if turn.is_put_off:
        return [begin, f"This chore comes {comes}."]
    if turn.brought_by is not None or turn.left is not None:
        return [begin, f"This chore comes {comes}."]
    if turn.due_at is not None:
        text = _in_tense(_COUNTED_HOURS, turn.target, words)
        return [begin, text.format(comes=comes, day=words.at(turn.due_at))]
    expected = own_day(item, turn, words)
    if expected is not None and expected < turn.target:
        was, now = words.day(expected), words.day(turn.target)
        return [begin, f"This chore comes {comes}.", f"A pause moved it from {was} to {now}."]
    text = _in_tense(_COUNTED, turn.target, words)
    return [begin, text.format(comes=comes, day=words.day(turn.target))]


def _counted_from(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return from which day a turn is counted: the last completion, or a skip after it."""
    done = item.last_done
    if done is not None and turn.turn.key == AFTER + done.id:
        return f"Last done {words.on_day(done.day)}."
    if turn.counted_from is None:
        return "The last turn was skipped."
    return f"The last turn was skipped, so it counts from {words.day(turn.counted_from)}."


def _never_done(item: Item, turn: OpenTurn, comes: str, words: Words) -> list[str]:
    after, begin = f"After that it comes {comes}.", not_done_yet(item, words)
    if turn.is_put_off:
        return [f"{begin}.", f"This chore comes {comes}."]
    first = _in_tense(_FIRST, turn.target, words)
    return [first.format(begin=begin, day=words.day(turn.target)), after]


def not_done_yet(item: Item, words: Words) -> str:
    """Return that a chore was never done; of a test that it was never ticked, where it was read.

    Readings that were written down before its turn was open do not tick it.
    """
    if is_begun(item):
        return "It has not been done in full yet"
    if item.water is None or not is_test(item.chore):
        return "It has not been done yet"
    tests = item.chore.tests
    read = [one for one in item.water.learned.readings if one[0].parameter in tests]
    if not read:
        return "It has not been done yet"
    names = listed([parameter_words(value.parameter) for value, _ in read])
    day = words.on_day(max(entry.day for _, entry in read))
    verb = "was" if len(read) == 1 else "were"
    return f"{capital(names)} {verb} read {day} without a tick of this chore"


def _by_calendar(item: Item, words: Words) -> str:
    """Return the rule, and when it was done last."""
    comes = f"This chore comes {rhythm_words(item.chore)}."
    if item.last_done is None:
        return f"{comes} {not_done_yet(item, words)}."
    if item.chore.slots and item.last_done.day == words.today:
        return f"{comes} It was last done {_at(item.last_done, words)}."
    return f"{comes} It was last done {words.on_day(item.last_done.day)}."


def _nominal(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return the day of this turn, where the state does not already say it."""
    own = own_day(item, turn, words)
    if not turn.is_put_off and own is not None and own < turn.target:
        return f"A pause moved it from {words.day(own)} to {words.day(turn.target)}."
    if turn.is_put_off or (turn.target == words.today and not item.chore.slots):
        return ""
    if turn.due_at is not None and turn.turn.slot is not None:
        return _in_tense(_SLOT, turn.target, words).format(day=words.at(turn.due_at))
    return _in_tense(_NOMINAL, turn.target, words).format(day=words.day(turn.target))


def _single(rhythm: Once, turn: OpenTurn, words: Words) -> str:
    if turn.is_put_off:
        return f"This was set for one single day, {words.full_date(rhythm.on)}."
    return _in_tense(_ONCE, turn.target, words).format(day=words.day(turn.target))


def _missed(turn: OpenTurn) -> str:
    if not turn.missed:
        return ""
    turns = counted(turn.missed + 1, "turn", "turns")
    return f"{turns} wait together, and one tick settles them all."


def _lapsed(item: Item) -> str:
    """Return that an earlier hour of today went by without a tick, and what to do about it."""
    hours = listed([wall_time(turn.slot) for turn in item.lapsed if turn.slot is not None])
    is_one = len(item.lapsed) == 1
    verb = "was" if is_one else "were"
    if item.chore.kind is not ChoreKind.FEEDING:
        name = "turn" if is_one else "turns"
        return f"The {name} of {hours} {verb} not written down in time."
    name, given, it = ("feeding", "it was", "it") if is_one else ("feedings", "they were", "them")
    return f"The {name} of {hours} {verb} not written down. If {given} given, log {it}."


def _moved(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return where a turn was put off to, and what became of its window, which belongs to it."""
    if not turn.is_put_off:
        return ""
    window = "" if isinstance(item.chore.rhythm, WhenWaterSays) else _window(item, turn, words)
    told = (_put_off(item, turn, words), window, own_window(item, turn, words))
    return " ".join(one for one in told if one)


def _put_off(item: Item, turn: OpenTurn, words: Words) -> str:
    to = words.day(turn.target)
    if is_brought_forward(item, turn, words):
        own = own_day(item, turn, words)
        assert own is not None
        return f"It was brought forward from {words.day(own)} to {to}."
    if turn.turn.key[:1].isdigit():
        return f"It was put off from {words.day(date.fromisoformat(turn.turn.key))} to {to}."
    return f"It was put off to {to}."


def _past(day: date, words: Words) -> str:
    """Return a day that is over; a bare weekday would be taken for the next one."""
    if (words.today - day).days <= 1:
        return words.day(day)
    return f"{WEEKDAYS[day.weekday()]} {words.full_date(day)}"


def _window(item: Item, turn: OpenTurn, words: Words) -> str:
    """Return how far the day may move, where it may."""
    if turn.state is State.OVERDUE:
        if turn.latest == turn.target:
            return ""
        return f"It could wait until {_past(turn.latest, words)}."
    if turn.latest > max(turn.target, words.today):
        last = words.day(turn.latest)
        if turn.is_put_off:
            return f"Its window moved with it, so it can wait until {last}."
        return f"It can wait until {last}."
    if turn.target < words.today:
        return "Today is the last day that it can wait."
    if turn.state is State.MAY_WAIT:
        return f"It may be done already since {words.day(first_told(item, turn))}."
    return ""
