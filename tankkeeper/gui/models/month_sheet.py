"""A month in words: its cells, their lines and the threads, made once in the worker."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date

from tankkeeper.core.calendar_days import month_of, weeks_of
from tankkeeper.core.chores import Chore
from tankkeeper.core.household import Tank
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.core.values import dataclass
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.round_rows import (
    HOUSEHOLD,
    HeadingRow,
    ItemRow,
    RoundRow,
    item_row,
)
from tankkeeper.gui.models.short_names import Telling, telling_of
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.count_words import day_minutes, with_daily
from tankkeeper.reports.numbers import NBSP, listed
from tankkeeper.reports.rhythms import date_words
from tankkeeper.reports.rows import EXTRA_WORD, item_word, state_word
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words
from tankkeeper.services.calendar import CalendarDay, CalendarView, Thread
from tankkeeper.services.day_minutes import minutes_on
from tankkeeper.services.lapsed import GIVEN_KINDS, Lapsed
from tankkeeper.services.round import in_order, walk

SHOWN_THREADS = 3
NOT_DONE = "not done"
FOLDED = "Daily chores are in the minutes."
# In a cell a longer word would be cut.
HOUSE = "House"
_TOLD = (State.OVERDUE, State.DUE, State.MAY_WAIT, State.PAUSED, State.DONE, State.SKIPPED)


@dataclass(frozen=True, slots=True)
class CellLine:
    """A turn in a cell: its mark, its tank (empty where one is chosen) and its noun.

    How many turns of a past day lapsed stands there without a mark and a chore. `telling` is what
    must be left of the tank where its name is cut.
    """

    mark: Mark | None
    tank: str
    noun: str
    chore: str = ""
    telling: Telling = Telling()


@dataclass(frozen=True, slots=True)
class DayCell:
    """A day, ready to be drawn and to be read aloud."""

    day: date
    number: str
    minutes: str
    lines: tuple[CellLine, ...]
    counts: tuple[tuple[Mark, int], ...]
    sentence: str
    is_today: bool
    is_past: bool
    is_outside: bool
    content: CalendarDay


@dataclass(frozen=True, slots=True)
class ThreadLine:
    """A thread by the numbers of its first and last cell, and whether its ends are seen.

    `row` is the turn that waits.
    """

    first: int
    last: int
    begins_here: bool
    ends_here: bool
    row: ItemRow


@dataclass(frozen=True, slots=True)
class MonthSheet:
    """A whole month in words."""

    month: date
    title: str
    sentence: str
    heads: tuple[str, ...]
    weeks: tuple[tuple[DayCell, ...], ...]
    threads: tuple[ThreadLine, ...]
    more: str
    words: Words

    @property
    def week_of_today(self) -> int:
        """The number of the week that holds today, -1 where none does."""
        weeks = enumerate(self.weeks)
        return next((at for at, week in weeks if any(cell.is_today for cell in week)), -1)

    def place_of(self, day: date) -> tuple[int, int] | None:
        """Return row and column of a day, or None where it is not shown."""
        first = self.weeks[0][0].day
        at = (day - first).days
        return divmod(at, 7) if 0 <= at < 7 * len(self.weeks) else None

    def cell(self, day: date) -> DayCell | None:
        """Return the cell of a day, or None where it is not shown."""
        place = self.place_of(day)
        return None if place is None else self.weeks[place[0]][place[1]]


def noun_of(chore: Chore) -> str:
    """Return the short word for a chore, made of its name where none was given."""
    if chore.noun:
        return chore.noun
    first = chore.name.split()[0] if chore.name.split() else chore.name
    return first[:1].lower() + first[1:]


def told_noun(item: Item) -> str:
    """Return the short word of a line in a cell: "change", "extra change"."""
    noun = noun_of(item.chore)
    return f"{EXTRA_WORD} {noun}" if item.is_extra else noun


def month_sheet(
    view: CalendarView, month: date, words: Words, sentence: str, *, is_narrowed: bool
) -> MonthSheet:
    """Return a month in words, with a sentence under its title."""
    household = words.household
    by_day = {one.day: one for one in view.days}
    days = weeks_of(month, household.first_weekday)
    first = days[0][0]
    # Of one tank that is chosen the lines name none.
    telling = {} if is_narrowed else telling_of([HOUSE, *(one.name for one in household.tanks)])
    weeks = tuple(
        tuple(_cell(by_day[day], month, words, telling, is_first=day == first) for day in week)
        for week in days
    )
    order = [WEEKDAYS[(household.first_weekday + at) % 7][:3] for at in range(7)]
    return MonthSheet(
        month=month,
        title=f"{MONTHS[month.month - 1]} {month.year}",
        sentence=sentence,
        heads=tuple(order),
        weeks=weeks,
        threads=tuple(_thread(one, first, words) for one in view.threads[:SHOWN_THREADS]),
        more=_waits_drawn(len(view.threads)),
        words=words,
    )


def _waits_drawn(count: int) -> str:
    """Return how many of the waits are drawn, empty where all are.

    A number of those that are not would be taken for more work than the head counts.
    """
    return f"{SHOWN_THREADS} of {count} waits drawn" if count > SHOWN_THREADS else ""


def head_sentence(month: date, today: date, counts: str, why_empty: str) -> str:
    """Return what stands under the title; `counts` tells what is overdue and due today.

    Another month would be taken for what it counts, so there it says whose it is.
    """
    told = counts if month == month_of(today) else f"Today: {counts[:1].lower()}{counts[1:]}"
    return f"{why_empty} {told}" if why_empty else f"{told} {FOLDED}"


def before_logbook(begins_on: date | None) -> str:
    """Return why a month that is long past is empty: what was done then stands nowhere."""
    if begins_on is None:
        return "Nothing is in the logbook yet."
    return f"The logbook begins on {date_words(begins_on)}."


def _thread(thread: Thread, first: date, words: Words) -> ThreadLine:
    return ThreadLine(
        (thread.first - first).days,
        (thread.last - first).days,
        thread.begins_here,
        thread.ends_here,
        item_row(thread.item, words),
    )


def _cell(
    one: CalendarDay, month: date, words: Words, telling: Mapping[str, Telling], *, is_first: bool
) -> DayCell:
    day, today = one.day, words.today
    is_outside = (day.year, day.month) != (month.year, month.month)
    lapsed = (CellLine(None, "", f"{one.not_done} {NOT_DONE}"),) if one.lapsed else ()
    lines = (*lapsed, *(_line(item, telling) for item in one.items))
    counted = Counter(Mark(item.state.value) for item in one.items if not item.is_extra)
    if one.lapsed:
        # What was not done is told beside what was, be that nothing.
        counted.setdefault(Mark.DONE, 0)
    return DayCell(
        day=day,
        number=_number(day, today, is_first=is_first),
        minutes=_head_minutes(one) if one.minutes or one.waiting else "",
        lines=lines,
        # What rests is told least: where there is no room for all, that may be left out.
        counts=tuple(sorted(counted.items(), key=lambda one: one[0] is Mark.PAUSED)),
        sentence=day_sentence(one, today),
        is_today=day == today,
        is_past=day < today,
        is_outside=is_outside,
        content=one,
    )


def _number(day: date, today: date, *, is_first: bool) -> str:
    """Return the number of a day; the first one shown and the first of a month tell its month.

    The days behind them are of that month, so no other cell names one.
    """
    is_named = day.day == 1 or is_first
    text = f"{day.day}{NBSP}{MONTHS[day.month - 1][:3]}" if is_named else str(day.day)
    return f"{text}{NBSP}today" if day == today else text


def _line(item: Item, telling: Mapping[str, Telling]) -> CellLine:
    tank, mark = item.tank.name if item.tank is not None else HOUSE, Mark(item.state.value)
    noun, chore = told_noun(item), item.chore.id
    if tank not in telling:
        return CellLine(mark, "", noun, chore)
    return CellLine(mark, tank, noun, chore, telling[tank])


def long_day(day: date) -> str:
    """Return a day with its weekday: "Thursday 12 March"."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def day_at_head(day: date, today: date) -> str:
    """Return a day as a head: in another year than today's, which is looked through, with it."""
    return long_day(day) if day.year == today.year else f"{long_day(day)} {day.year}"


def day_sentence(one: CalendarDay, today: date) -> str:
    """Return a day as it is read aloud: "Thursday 12 November, 4 chores, 1 overdue, 35 minutes"."""
    here = ["today"] if one.day == today else []
    return ", ".join([long_day(one.day), *here, *day_counts(one, today)])


def day_counts(one: CalendarDay, today: date) -> list[str]:
    """Return how many chores a day has, in which states, and their minutes.

    They are counted as the round counts them, so the numbers under the title and in the rail are
    found here again; what is not drawn stands in brackets: "8 due (2 of every day)". Each counts
    in one of the states, or as not done, and together they are all.
    """
    extra = sum(item.is_extra for item in one.items)
    number = len(one.items) + len(one.folded) + one.not_done - extra
    if not number and not extra:
        return ["no chores"]
    folded = Counter(item.state for item in one.folded)
    states = folded + Counter(item.state for item in one.items if not item.is_extra)
    told = [state for state in _TOLD if states[state]]
    # Where no state is told, as on a day to come, it stands beside the number of all.
    untold = sum(count for state, count in folded.items() if state not in told)
    parts = [with_daily(f"{number} {'chore' if number == 1 else 'chores'}", untold)]
    parts += [
        with_daily(f"{states[state]} {_word_on(one.day, state, today)}", folded[state])
        for state in told
    ]
    if one.lapsed:
        parts.append(f"{one.not_done} {NOT_DONE}")
    if extra:
        parts.append(f"{extra} {EXTRA_WORD}")
    return [*parts, *day_minutes(one.minutes, one.waiting)]


def _word_on(day: date, state: State, today: date) -> str:
    """Return the word of a state on a day: what is due of a day gone by has its last one today."""
    word = state_word(state)
    return f"{word} today" if state is State.DUE and day < today else word


def minutes_seen(minutes: int, waiting: int) -> str:
    """Return the minutes of a day, and behind a plus those that can wait until then: "82+13"."""
    return f"{minutes}+{waiting}" if waiting else str(minutes)


def _head_minutes(one: CalendarDay) -> str:
    return f"{minutes_seen(one.minutes, one.waiting)}{NBSP}min"


def day_rows(one: CalendarDay, words: Words) -> tuple[RoundRow, ...]:
    """Return the lines of a day under the headings of their tanks, in walking order.

    Each stands where it does in the round, so that a tick takes it nowhere.
    """
    rows: list[RoundRow] = []
    place = {chore.id: at for at, chore in enumerate(words.household.chores)}
    everything = sorted((*one.items, *one.folded), key=lambda item: place[item.chore.id])
    for tank in (*walk(words.household), None):
        own = [item for item in everything if item.chore.tank == (tank.id if tank else None)]
        lapsed = [line for line in one.lapsed if line.tank == tank]
        if own or lapsed:
            name = tank.name if tank is not None else HOUSEHOLD
            minutes = sum(minutes_on(item, one.day, words.today) for item in own)
            rows.append(_heading(name, minutes, f"{NOT_DONE}: {_lapsed(lapsed)}" if lapsed else ""))
            rows += [item_row(item, words) for item in in_order(own, words.today)]
    return tuple(rows)


def rows_of_month(sheet: MonthSheet) -> list[ItemRow]:
    """Return a line of each chore and state of a month: as long as any of its days has one."""
    found: dict[tuple[str, State], Item] = {}
    for week in sheet.weeks:
        for cell in week:
            for item in (*cell.content.items, *cell.content.folded):
                found.setdefault((item.chore.id, item.state), item)
    return [item_row(item, sheet.words) for item in found.values()]


def _heading(name: str, minutes: int, lapsed: str) -> HeadingRow:
    parts = (name, f"{minutes} minutes" if minutes else "", lapsed)
    told = ", ".join(part for part in parts if part)
    return HeadingRow(name, lapsed, f"{minutes}{NBSP}min" if minutes else "", told)


def _lapsed(lines: Iterable[Lapsed]) -> str:
    """Return the turns that lapsed, with their hours: "feed 07:00 and 18:00, dose"."""
    return ", ".join(_with_hours(line) for line in lines)


def _with_hours(line: Lapsed) -> str:
    hours = [f"{turn.turn.slot:%H:%M}" for turn in line.turns if turn.turn.slot is not None]
    return f"{noun_of(line.chore)} {listed(hours)}" if hours else noun_of(line.chore)


def day_reason(one: CalendarDay, today: date) -> str:
    """Return what is told of a day in the why panel, and what two minutes at its head are."""
    told = _reason_of(one, today)
    if not one.waiting:
        return told
    expected = f"{one.minutes}{NBSP}min are expected" if one.minutes else "nothing is expected"
    head = f"{_head_minutes(one)} at the head of the day: {expected}"
    return f"{told} {head}, {one.waiting}{NBSP}min can wait until this day."


def _reason_of(one: CalendarDay, today: date) -> str:
    # What is drawn is told with its state; today and later that all is open goes without saying.
    left = [item for item in one.folded if item.is_open] if one.day < today else []
    tanks = dict.fromkeys(item.tank.name if item.tank else HOUSEHOLD for item in one.items)
    told = [_by_tank(one, tank) for tank in tanks]
    if left:
        nouns = [(item.tank, noun_of(item.chore)) for item in left]
        told.append(f"Still open: {_under_tanks(nouns)}")
    if one.lapsed:
        lines = [(line.tank, _with_hours(line)) for line in one.lapsed]
        told.append(f"Not written down as done: {_under_tanks(lines)}")
    if not told:
        return "Only what comes every day." if one.folded else "Nothing stands on this day."
    missed = [item.chore for item in left] + [line.chore for line in one.lapsed]
    return f"{'. '.join(told)}. {_how_to_write(missed)}".rstrip()


def _under_tanks(nouns: Iterable[tuple[Tank | None, str]]) -> str:
    """Return nouns behind their tanks, each once: "Reef: feed, dose; Nook: feed"."""
    by_tank: dict[str, dict[str, None]] = {}
    for tank, noun in nouns:
        by_tank.setdefault(tank.name if tank else HOUSEHOLD, {})[noun] = None
    return "; ".join(f"{name}: {', '.join(own)}" for name, own in by_tank.items())


def _how_to_write(missed: list[Chore]) -> str:
    """Return how what was given all the same is written down, empty where nothing is given."""
    given = [chore for chore in missed if chore.kind in GIVEN_KINDS]
    if not given:
        return ""
    what = "it was done" if len(given) == len(missed) else "a feeding or a dose was given"
    key = key_caption(Command.WRITE_DOWN)
    return f"If {what} all the same, {key} writes it down: look at its time and what it ticks."


def _by_tank(one: CalendarDay, tank: str) -> str:
    own = [item for item in one.items if (item.tank.name if item.tank else HOUSEHOLD) == tank]
    nouns = [f"{noun_of(item.chore)} ({item_word(item)})" for item in own]
    return f"{tank}: {listed(nouns)}"
