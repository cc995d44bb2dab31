"""The cards of the why panel, with the actions that make sense for a row."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.household import DRY_STAGES, Household
from tankkeeper.core.logbook import Entry
from tankkeeper.core.turns import ChoreState, State
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow, several_words, why_texts
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.widgets.why_panel import WhyAction, WhyCard
from tankkeeper.reports.words import Words

YESTERDAY = "Yesterday"


def card_for(
    row: ItemRow,
    words: Words,
    times: tuple[Entry, ...],
    refusal: str | None,
    *,
    can_move: bool = True,
    can_move_next: bool = True,
    can_tick: bool = True,
    can_tick_beside: bool = False,
    can_put_off: bool = True,
    who: str | None = None,
    can_tick_yesterday: bool = True,
    yesterday: str = "",
    form: Command = Command.TICK_FORM,
) -> WhyCard:
    """Return what is told about one row; `can_move` is whether it can be moved or left out itself.

    `can_put_off` is whether there is another day for it, as there is none for work of every day.
    `can_move_next` is whether the next turn can be in its place, `can_tick` whether a tick now does
    a turn to come, `can_tick_yesterday` whether one of yesterday writes anything. `who` is the
    person at the window, where one is chosen; `yesterday` the words on a turn of yesterday that
    nobody wrote down, `form` the command whose key opens the form of a line in what is shown.
    """
    texts = why_texts(row, words, times, who)
    tank = row.item.tank
    # What rests with the stage of its tank wakes with it; nothing resumes it by itself.
    is_asleep = tank is not None and tank.stage in DRY_STAGES
    actions = actions_for(
        row.item.state,
        can_move=can_move,
        can_move_next=can_move_next,
        can_tick=can_tick,
        can_tick_beside=can_tick_beside,
        can_put_off=can_put_off,
        can_tick_yesterday=can_tick_yesterday,
        yesterday=yesterday,
        form=form,
    )
    return WhyCard(
        mark=Mark(row.item.state.value),
        small=texts.small,
        title=texts.title,
        reason=texts.reason,
        numbers=texts.numbers,
        last_times=texts.last_times,
        advice=texts.advice,
        caution=texts.caution,
        refusal=refusal,
        actions=() if is_asleep and row.item.state is State.PAUSED else actions,
    )


def card_for_several(
    rows: Sequence[ItemRow], refusal: str | None = None, *, can_put_off: bool = True
) -> WhyCard:
    """Return what is told when several rows are selected; whether all of them can be put off."""
    # What is closed as a whole is taken back by the key that ticks.
    is_done = all(row.is_closed for row in rows)
    offered = actions_for(State.DUE, can_put_off=can_put_off)[: 3 if can_put_off else 2]
    return WhyCard(
        mark=None,
        small=f"{len(rows)} rows selected",
        title=f"{len(rows)} chores",
        reason=several_words(list(rows)),
        refusal=refusal,
        actions=actions_for(State.DONE)[:1] if is_done else offered,
    )


def card_of_refusal(title: str, sentence: str) -> WhyCard:
    """Return what is told about something refused that belongs to no line."""
    return WhyCard(mark=None, small="", title=title, reason="", refusal=sentence)


def card_without_turns(one: ChoreState, household: Household, words: Words) -> WhyCard:
    """Return what is told about a chore that has nothing to come."""
    tank = household.tank(one.chore.tank) if one.chore.tank is not None else None
    where = tank.name if tank is not None else HOUSEHOLD
    done = f"Last done {words.on_day(one.last_done.day)}. " if one.last_done is not None else ""
    return WhyCard(
        mark=None,
        small=f"{where}, nothing to come",
        title=one.chore.name,
        reason=f"{done}Its rhythm names no day after today.",
    )


def _action(command: Command, text: str, is_primary: bool = False) -> WhyAction:
    return WhyAction(text, key_caption(command), command.value, is_primary)


def actions_for(
    state: State,
    *,
    can_move: bool = True,
    can_move_next: bool = True,
    can_tick: bool = True,
    can_tick_beside: bool = False,
    can_put_off: bool = True,
    can_tick_yesterday: bool = True,
    yesterday: str = "",
    form: Command = Command.TICK_FORM,
) -> tuple[WhyAction, ...]:
    """Return the buttons for a row in this state, each with its key.

    What would be refused is not offered. Of what was done today one of yesterday can still be
    missing.
    """
    if state is State.PAUSED:
        return (_action(Command.PAUSE, "Resume", True),)
    if state in (State.DONE, State.SKIPPED):
        closed = (_action(Command.TICK, "Take back", True), _action(Command.NOTE, "Note"))
        missing = (_action(Command.TICK_YESTERDAY, yesterday),) if yesterday else ()
        return (*closed, *missing)
    if state is State.PROJECTED and not can_move:
        return (_action(Command.PUT_OFF, "Put off the next turn", True),) if can_move_next else ()
    if state is State.PROJECTED:
        tick = (_action(Command.TICK, "Tick"),) if can_tick else ()
        if can_tick_beside:
            tick = (WhyAction("Done besides", key_caption(form), Command.TICK_FORM.value),)
        put_off = (_action(Command.PUT_OFF, "Put off", True),) if can_put_off else ()
        return (*put_off, *tick, _action(Command.SKIP, "Skip"))
    return (
        _action(Command.TICK, "Tick", True),
        *((_action(Command.PUT_OFF, "Put off"),) if can_put_off else ()),
        _action(Command.SKIP, "Skip"),
        *((_action(Command.TICK_YESTERDAY, yesterday or YESTERDAY),) if can_tick_yesterday else ()),
        _action(Command.PAUSE, "Pause"),
    )
