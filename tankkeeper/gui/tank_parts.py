"""What belongs to one tank, or to the household: chores, animals, equipment."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import FRESH_KINDS, AfterLastDone, Chore, ChoreKind
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.chore_specs import chore_groups, has_other_missed, has_times
from tankkeeper.gui.models.chore_drafts import ChoreDraft, UseRow, chore_of, draft_of_chore
from tankkeeper.gui.parts import ManyForm, Offer, Part, Row
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.amount_words import set_amount
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import NBSP, listed
from tankkeeper.reports.outlook_reasons import until_known
from tankkeeper.reports.pause_words import pause_line
from tankkeeper.reports.people_words import limits_of_chore
from tankkeeper.reports.ready_words import ready_line
from tankkeeper.reports.rhythms import rhythm_now_and_later
from tankkeeper.reports.settling_words import early_line, next_line
from tankkeeper.reports.words import Words
from tankkeeper.services import settling_chores
from tankkeeper.services.desk import Desk
from tankkeeper.services.readiness import readiness
from tankkeeper.services.rhythm_drafts import Way
from tankkeeper.services.settling import SetDown
from tankkeeper.services.settling_preview import (
    changed_like,
    foreseen,
    limit_with,
    recent_readings,
)

_WEEKLY = AfterLastDone(Interval(7, IntervalUnit.DAYS))


def chores_part(tank_id: str | None) -> Part:
    """Return the chores of a tank, or those of the household."""
    readings: list[Entry] = []

    def read(desk: Desk) -> tuple[Entry, ...]:
        return () if tank_id is None else recent_readings(desk, tank_id)

    def hold(found: object) -> None:
        assert isinstance(found, tuple)
        readings[:] = found

    def follows(state: HouseholdState, draft: ChoreDraft, words: Words) -> str:
        return _chore_follows(state, draft, words, readings)

    def rows(state: HouseholdState, words: Words) -> Sequence[Row]:
        day = state.moment.day
        over = {one.chore.id for one in state.chores if one.is_over(day)}
        return [
            Row(one.name, _chore_line(state, one, words), one)
            for one in state.household.chores
            if one.tank == tank_id and one.id not in over
        ]

    def write(desk: Desk, was: Chore | None, draft: ChoreDraft, by: str | None) -> SetDown:
        with desk.store.reading() as reading:
            today = desk.state_in(reading).moment.day
        chore = chore_of(draft, today)
        if was is None:
            return settling_chores.add_chore(desk, chore, by)
        return settling_chores.change_chore(desk, chore, draft.from_day, by, was)

    return Part(
        id="chores",
        name="Chores",
        noun="chore",
        rows=rows,
        groups=lambda _words: chore_groups(tank_id),
        write=write,
        blank=lambda: Chore("", ChoreKind.OTHER, "", _WEEKLY, tank_id),
        remove=lambda desk, was, by: settling_chores.end_chore(desk, was.id, by),
        remove_word="End this chore",
        removed_word="Ended",
        draft=lambda chore, words: draft_of_chore(chore, words.units.volume),
        follows=follows,
        parts={"uses": UseRow},
        offer=_let_follow,
        beside=(read, hold),
        more=("From the catalogue", _catalogue(tank_id)),
    )


def _chore_line(state: HouseholdState, one: Chore, words: Words) -> str:
    """Return rhythm, amount, minutes and people of a chore: "Every Saturday, 30 L, 20 min, Ada".

    That it is paused goes before: the end of a long line is cut.
    """
    rests = pause_line(state, one.id, words)
    rhythm = rhythm_now_and_later(one, words)
    told = [capital(f"{rests}, {rhythm}" if rests else rhythm)]
    if one.amount is not None:
        told.append(set_amount(one.amount, words))
    if one.minutes is not None:
        told.append(f"{one.minutes}{NBSP}min")
    if one.who:
        told.append(listed([words.person(who) or who for who in one.who]))
    if one.ready_before:
        told.append(f"after {listed(list(one.ready_before))}")
    return ", ".join(told)


def _made_ready(state: HouseholdState, chore: Chore) -> str:
    """Return which chores wait for this one, by what stands in their fields."""
    names = [
        one.name
        for one in state.household.chores
        if one.id != chore.id
        and chore.name in one.ready_before
        and not one.has_ended(state.moment.day)
        and (chore.tank is None or one.tank in (None, chore.tank))
    ]
    return f"It is done before {listed(list(dict.fromkeys(names)))}." if names else ""


def _catalogue(tank_id: str | None) -> Callable[[HouseholdState, Words, QWidget], ManyForm]:
    """Return what makes the form with the catalogue, which is loaded when it is asked for."""

    def make(state: HouseholdState, words: Words, parent: QWidget) -> ManyForm:
        from tankkeeper.gui.forms.catalogue_form import CatalogueForm

        return CatalogueForm(state, words, tank_id, parent)

    return make


def _chore_follows(
    state: HouseholdState, draft: ChoreDraft, words: Words, readings: Sequence[Entry]
) -> str:
    """Return the rhythm in words and the next days of the schedule."""
    chore = changed_like(state, chore_of(draft, state.moment.day), draft.from_day)
    rhythm = capital(rhythm_now_and_later(chore, words)) + _level_words(state, draft, words)
    found = foreseen(state, chore, readings=readings)
    line = next_line(rhythm, found.days, words, found.open_since)
    begun = ""
    if draft.rhythm.way is Way.FORECAST:
        begun = until_known(chore, limit_with(state, chore, readings).outlook)
    early = early_line(chore)
    ready = ready_line(readiness(state, chore), words, key_caption(Command.TAKE_OFFER))
    limits = limits_of_chore(chore, words) if chore.who else []
    waits = f"{listed(list(chore.ready_before))} must be done first." if chore.ready_before else ""
    made_ready = _made_ready(state, chore)
    rests = pause_line(state, draft.chore.id, words)
    return " ".join(
        part
        for part in (
            f"{capital(rests)}." if rests else "",
            line,
            begun,
            early,
            _missed_line(draft),
            waits,
            made_ready,
            ready,
            *limits,
        )
        if part
    )


def _missed_line(draft: ChoreDraft) -> str:
    """Return what times of day, just typed or taken away, make of missed turns."""
    if not has_other_missed(draft):
        return ""
    now = "lapse now" if has_times(draft) else "count as one now"
    return f"Missed turns {now}; the field of that name chooses otherwise."


def _let_follow(state: HouseholdState, draft: ChoreDraft) -> Offer | None:
    """Return the offer to let the mixing come before each change, where it does not."""
    chore = changed_like(state, chore_of(draft, state.moment.day), draft.from_day)
    found = readiness(state, chore)
    prep = found.prep
    if prep is None or not found.can_follow or not chore.id:
        return None
    return Offer(
        f"Let {prep.name} follow",
        lambda desk, by: settling_chores.let_follow(desk, prep.id, by),
        f"{prep.name} comes before each change now.",
    )


def _level_words(state: HouseholdState, draft: ChoreDraft, words: Words) -> str:
    """Return how far the level may fall, or the reservoir, which is set down with the tank."""
    tank = next((one for one in state.household.tanks if one.id == draft.chore.tank), None)
    if draft.rhythm.way is not Way.WATER or tank is None:
        return ""
    if draft.kind not in FRESH_KINDS:
        return ", as long after it was last done as the water lasts from full"
    if draft.kind is ChoreKind.RESERVOIR:
        reserve = tank.top_off.reserve_l
        left = f"down to its reserve of {words.litres(reserve)}" if reserve else "empty"
        return f", before the reservoir is {left}"
    drop = tank.top_off.allowed_drop_mm
    if drop is None:
        return ", by the salinity alone: how far the level may fall is not set down with the tank"
    return f", when the water has fallen {words.millimetres(drop)}"
