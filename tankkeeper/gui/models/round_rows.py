"""The rows of a round with all their texts, made once when the round changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import chain

from tankkeeper.core.carrying import filled
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import DRY_STAGES, Container, Stage
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.core.values import dataclass
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.amount_words import litres_in_all
from tankkeeper.reports.cautions import advice_of, caution_at, caution_short
from tankkeeper.reports.count_words import counts_at_head, open_counts, settled_counts
from tankkeeper.reports.lowering_words import lowering_of
from tankkeeper.reports.numbers import NBSP, counted, listed, plain
from tankkeeper.reports.numbers_used import last_times, numbers_used
from tankkeeper.reports.outside_words import standing_texts
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import (
    amount_words,
    minutes_of,
    place_line,
    row_sentence,
    short_line,
    state_words,
    title,
    who_words,
)
from tankkeeper.reports.short_words import short_standing, short_texts
from tankkeeper.reports.tables import shortened
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words
from tankkeeper.services.outside_turns import comes_later
from tankkeeper.services.round import Counts, Group, RoundView, totals_of

HOUSEHOLD = "Household"
PAUSED = "Paused"
# Letters of a container beside another one at the head.
_LONGEST_NAME = 16


@dataclass(frozen=True, slots=True)
class HeadingRow:
    """The heading of a group: tank, room, and the minutes still to do.

    `standing` are the newest readings of the tank outside their range, or what will be missing of
    salt water, in ever fewer words, `way` what can be done about them.
    """

    name: str
    room: str
    minutes: str
    sentence: str
    standing: tuple[str, ...] = ()
    way: str = ""

    @property
    def beside(self) -> tuple[str, ...]:
        """What can stand beside the name, the fullest first: readings matter more than the room."""
        if not self.standing:
            return (self.room,)
        fuller = [(f"{one} · {self.room}", one) if self.room else (one,) for one in self.standing]
        return tuple(chain.from_iterable(fuller))


@dataclass(frozen=True, slots=True)
class ItemRow:
    """One line of work, ready to be drawn and to be read aloud.

    One that `comes_later` is open, but its hour is still to come.
    """

    item: Item
    name: str
    caution: str
    amount: str
    minutes: str
    who: str
    state: str
    sentence: str
    comes_later: bool = False

    @property
    def id(self) -> str:
        """The id of the turn."""
        return self.item.id

    @property
    def is_closed(self) -> bool:
        """Whether it was done or skipped, and is struck through."""
        return self.item.state in (State.DONE, State.SKIPPED)


RoundRow = HeadingRow | ItemRow


@dataclass(frozen=True, slots=True)
class Figure:
    """One of the sums at the head: its number with unit, and what it is."""

    number: str
    label: str


@dataclass(frozen=True, slots=True)
class RoundSheet:
    """A whole round in words; `narrowed_to` is the tank of which it is, None for the house."""

    view: RoundView
    words: Words
    rows: tuple[RoundRow, ...]
    title: str
    short_title: str
    sentence: str
    figures: tuple[Figure, ...]
    empty: str
    following: str
    narrowed_to: str | None = None


def sheet_of(
    view: RoundView, words: Words, narrowed_to: str | None = None, who: str | None = None
) -> RoundSheet:
    """Return the round in words; `who` is the person at the window."""
    rows: list[RoundRow] = []
    for group in view.groups:
        rows.append(_heading(group, view, words))
        rows += [item_row(item, words) for item in group.items]
    paused = view.paused_alone
    if paused:
        rows.append(_paused_heading(paused))
        rows += [_paused_row(item, words) for item in paused]
    rests = bool(view.tanks) and all(one.is_resting for one in view.tanks)
    # The house as a whole may have chores that belong to no tank.
    has_chores = narrowed_to is None or _has_chores(view, narrowed_to)
    following = following_words(view, words) or (_go_on(view) if rests else "")
    return RoundSheet(
        view=view,
        words=words,
        rows=tuple(rows),
        title=day_title(words),
        short_title=day_title(words, 3),
        sentence=counts_words(counts_at_head(view)),
        figures=figures_of(view, words, who),
        empty=_nothing_here(view, rests=rests, has_chores=has_chores),
        following=following,
        narrowed_to=narrowed_to,
    )


def _has_chores(view: RoundView, tank_id: str) -> bool:
    """Tell whether a tank has chores that have not ended."""
    today = view.moment.day
    return any(one.tank == tank_id and not one.has_ended(today) for one in view.household.chores)


def _nothing_here(view: RoundView, *, rests: bool, has_chores: bool) -> str:
    """Return what stands in the middle of a round without a line."""
    if not view.household.chores:
        return "No chores yet."
    if not has_chores:
        return "No chores here yet. F3 adds some from the catalogue."
    if not rests:
        return "All done."
    stages = _stages(view)
    (how,) = stages if len(stages) == 1 else ("",)
    return f"All tanks are {how}." if how else "All tanks rest."


def _stages(view: RoundView) -> frozenset[Stage]:
    """Return the stages in which the tanks of a house rest, where all of them do."""
    dry = (one.tank.stage for one in view.tanks)
    return frozenset(one if one in DRY_STAGES else Stage.PAUSED for one in dry)


def _go_on(view: RoundView) -> str:
    """Return how tanks that rest go on: a pause is ended by a key, a stage is set on the page."""
    stages = _stages(view)
    ways = {
        f"{key_caption(Command.PAUSE_TANK)} lets it go on": Stage.PAUSED in stages,
        f"its page ({key_caption(Command.TANK)}) sets its stage": stages != {Stage.PAUSED},
    }
    told = " or ".join(way for way, leads in ways.items() if leads)
    return f"Choose a tank in the list of tanks; {told}."


def _heading(group: Group, view: RoundView, words: Words) -> HeadingRow:
    summary = next((one for one in view.tanks if one.tank == group.tank), None)
    off = () if summary is None else (*summary.harms, *summary.outside)
    standing = () if summary is None else standing_texts(off, summary.tank, words)
    ways = [] if summary is None else [lowering_of(one, summary.water, words) for one in off]
    # What will be missing stands with the work of the house, or where there is none at the top.
    places = [one for one in view.groups if one.tank is None] or view.groups[:1]
    if group in places and view.short:
        short = short_texts(view.short, words)
        standing = tuple(", ".join(filter(None, (one, short[0]))) for one in standing) or short
        ways += [short_standing(one, words) for one in view.short]
    way = " ".join(one for one in ways if one)
    room = view.household.room(group.tank.room) if group.tank is not None else None
    name = group.tank.name if group.tank is not None else HOUSEHOLD
    minutes = f"{group.minutes}{NBSP}min" if group.minutes else ""
    told = [
        name,
        plain("".join(standing[:1])),
        room.name if room is not None else "",
        minutes and f"{group.minutes} minutes",
    ]
    sentence = ", ".join(part for part in told if part)
    return HeadingRow(
        name=name,
        room=room.name if room is not None else "",
        minutes=minutes,
        sentence=f"{sentence}. {plain(way)}" if way else sentence,
        standing=standing,
        way=way,
    )


def _paused_heading(paused: Sequence[Item]) -> HeadingRow:
    """Return the heading of the chores that are paused alone, with what lets them go on.

    What rests with the tanks that it serves goes on with them alone.
    """
    told = counted(len(paused), "chore", "chores")
    if any(not item.rests_with for item in paused):
        told = f"{told}; {key_caption(Command.PAUSE)} resumes"
    return HeadingRow(PAUSED, told, "", f"{PAUSED}, {plain(told)}")


def _paused_row(item: Item, words: Words) -> ItemRow:
    """Return a paused chore as a line below that heading, where its tank is told beside it."""
    where = item.tank.name if item.tank is not None else HOUSEHOLD
    return replace(item_row(item, words), amount="", minutes="", who=where)


def item_row(item: Item, words: Words) -> ItemRow:
    """Return a turn as a line of work."""
    return ItemRow(
        item=item,
        name=title(item),
        caution="" if item.entry is not None else caution_short(item, words),
        amount=amount_words(item, words),
        minutes="" if (minutes := minutes_of(item)) is None else str(minutes),
        who=who_words(item, words),
        state=state_words(item, words),
        sentence=row_sentence(item, words),
        comes_later=item.is_open and comes_later(item, words.moment.now),
    )


def counts_words(counts: Counts, due_daily: int = 0) -> str:
    """Return the sentence of counts under the title.

    Where work of every day is not drawn, `due_daily` tells how much of what is due is such work.
    """
    both = (open_counts(counts, due_daily), settled_counts(counts))
    told = ". ".join(", ".join(parts) for parts in both if parts)
    return f"{told}." if told else "Nothing is due."


def figures_of(view: RoundView, words: Words, who: str | None = None) -> tuple[Figure, ...]:
    """Return the sums at the head; fresh water to top off and to mix are told apart.

    Each is the sum of what its rows tell, no finer than it can be poured. Fills are those
    of who is at the window.
    """
    totals = view.totals
    figures = [Figure(f"{totals.minutes}{NBSP}min", "left today")]
    if totals.fresh_water_l:
        figures.append(Figure(litres_in_all(totals.each_fresh_l, words), "to fill up"))
    if totals.fresh_water_to_mix_l:
        figures.append(Figure(litres_in_all(totals.each_to_mix_l, words), "to mix"))
    if totals.salt_water_l:
        figures.append(Figure(litres_in_all(totals.each_salt_l, words), "salt water"))
    person = next((one for one in view.household.people if one.id == who), None)
    found = filled(view.household, _carried(view.groups), person)
    return (*figures, *_to_carry(found, words))


def _carried(groups: Sequence[Group]) -> list[tuple[ChoreKind, float]]:
    """Return the litres of each tank and kind of water: none carries half a bucket to the next."""
    found = []
    for group in groups:
        totals = totals_of(group.items)
        found.append((ChoreKind.TOP_OFF, totals.fresh_water_l))
        found.append((ChoreKind.WATER_CHANGE, totals.salt_water_l))
    return found


def _to_carry(found: Sequence[tuple[Container, int]], words: Words) -> list[Figure]:
    """Return how often containers are filled; one figure tells of all, in the order of names.

    Of several, long names are cut: the sums stand beside each other.
    """
    if not found:
        return []
    number = " + ".join(str(times) for _, times in found)
    names = [container.name or words.litres(container.litres or 0.0) for container, _ in found]
    if len(names) > 1:
        told = ", ".join(shortened(name, _LONGEST_NAME) for name in names)
        return [Figure(number, f"fills: {told}")]
    return [Figure(number, f"{'fill' if number == '1' else 'fills'} of {names[0]}")]


def day_title(words: Words, letters: int | None = None) -> str:
    """Return the day as the head of the round, "Thursday 12 March"; the weekday cut to letters."""
    day = words.today
    return f"{WEEKDAYS[day.weekday()][:letters]} {day.day} {MONTHS[day.month - 1]}"


def following_words(view: RoundView, words: Words) -> str:
    """Return what comes next, as "Next: Reef, feed, at 18:00" or an empty text.

    "Later" while something is to be done now: that is next.
    """
    following = view.following
    if following is None:
        return ""
    item = following.item
    where = [item.tank.name] if item.tank is not None else []
    noun = item.chore.noun or title(item)
    when = "Later" if view.counts.overdue or view.counts.due else "Next"
    return f"{when}: {', '.join([*where, noun.lower(), words.at(following.at)])}"


@dataclass(frozen=True, slots=True)
class WhyTexts:
    """Why an item stands where it stands, in words."""

    small: str
    title: str
    reason: str
    numbers: tuple[tuple[str, str], ...]
    last_times: tuple[tuple[str, str, str], ...]
    advice: str
    caution: str


def why_texts(
    row: ItemRow, words: Words, entries: tuple[Entry, ...], who: str | None = None
) -> WhyTexts:
    """Return the texts of the why panel for one row; `who` is the person at the window."""
    return WhyTexts(
        small=place_line(row.item, words),
        title=short_line(row.item, words),
        reason=reason(row.item, words),
        numbers=tuple(numbers_used(row.item, words, who)),
        last_times=tuple(last_times(entries, words, row.item)),
        advice=advice_of(row.item),
        caution=caution_at(row.item, words),
    )


def several_words(rows: list[ItemRow]) -> str:
    """Return what is told when several rows are selected."""
    minutes = sum(row.item.chore.minutes or 0 for row in rows)
    tanks = dict.fromkeys(row.item.tank.name if row.item.tank else HOUSEHOLD for row in rows)
    return f"{len(rows)} chores on {listed(list(tanks))}, {minutes}{NBSP}min together."
