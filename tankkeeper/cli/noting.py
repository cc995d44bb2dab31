"""The command `log`: writing down what happened outside the round."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from tankkeeper.cli import values
from tankkeeper.cli.doing import ask_about, ask_about_part, left_by, told_of_day
from tankkeeper.cli.session import Session, say, say_aside, words_of
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import WaterChange
from tankkeeper.core.state import HouseholdState
from tankkeeper.reports.feeding_words import fed_as_read
from tankkeeper.reports.noted_words import BESIDE_ITS_TURNS
from tankkeeper.services import noting
from tankkeeper.services.fed_amounts import fed_amount
from tankkeeper.services.finding import find_item, find_supply, find_tank
from tankkeeper.services.noting import Noted, Stamp
from tankkeeper.services.outside_turns import USUAL, left_open

# What `--ticks` takes for work beside the plan.
NOTHING = "nothing"


def do_log(session: Session, said: argparse.Namespace) -> None:
    """Write something down."""
    state = session.desk.state()
    note = getattr(said, "note", "")
    stamp = Stamp(values.when(said.at, state.moment), session.by(said.by), note)
    noted = _KINDS[said.kind](session, said, state, stamp)
    words = words_of(state)
    after, line = session.desk.state(), _line_of(said)
    left = left_by(line, noted.entry, after) if line else ""
    is_beside = any(turn.is_beside for turn in noted.entry.completes)
    beside = f" Kept {BESIDE_ITS_TURNS}." if is_beside else ""
    say(told_of_day(noted.entry, after, f"{beside}{left}"))
    ask_about(noted.entry, state, words)
    ask_about_part(noted.entry, state, words)
    if noted.completed:
        say(f"This completes: {', '.join(chore.name for chore in noted.completed)}.")
    elif getattr(said, "ticks", NOTHING) is None:
        _tell_open(state, noted)


def _line_of(said: argparse.Namespace) -> str:
    """Return the turn or the chore that it was said to be of, empty for none."""
    ticks = getattr(said, "ticks", None)
    return "" if ticks in (None, NOTHING) else str(ticks)


def _tell_open(state: HouseholdState, noted: Noted) -> None:
    """Tell of an open turn that so little was not taken for, and how to say that it was that."""
    left = left_open(state, noted.entry)
    if left is not None:
        say_aside(
            f"It is less than half of what {left.chore.name} takes, so that stays open. If it was "
            f"that, take it back with: tankkeeper undo, and say it again with --ticks {left.id}"
        )


def _top_off(
    session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp
) -> Noted:
    tank = find_tank(state.household, said.tank)
    litres = values.needed_litres(said.litres)
    return noting.log_top_off(session.desk, tank, litres, is_part=said.part, stamp=stamp)


def _reservoir(
    session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp
) -> Noted:
    tank = find_tank(state.household, said.tank)
    left = None if said.left is None else values.litres_left(said.left)
    fill = values.litres(said.fill)
    return noting.log_reservoir(
        session.desk, tank, left_l=left, fill_l=fill, part_l=values.litres(said.part), stamp=stamp
    )


def _water_change(
    session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp
) -> Noted:
    tank = find_tank(state.household, said.tank)
    change = WaterChange(
        litres=values.needed_litres(said.litres),
        added_l=values.litres(said.added),
        salinity=values.salinity(said.salinity),
    )
    which = _which(said, state, ChoreKind.WATER_CHANGE)
    return noting.log_water_change(session.desk, tank, change, stamp, which)


def _reading(
    session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp
) -> Noted:
    tank = find_tank(state.household, said.tank)
    return noting.log_reading(session.desk, tank, values.readings(said.values), stamp)


def _feeding(
    session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp
) -> Noted:
    tank = find_tank(state.household, said.tank)
    amount = None if said.amount is None else fed_amount(said.amount)
    fed = fed_as_read(amount, said.food or "", words_of(state))
    if said.ticks is None:
        return noting.log_feeding(session.desk, tank, stamp, fed=fed)
    which = None if said.ticks == NOTHING else _feeding_of(said, state)
    return noting.log_feeding(session.desk, tank, stamp, which, fed)


def _feeding_of(said: argparse.Namespace, state: HouseholdState) -> str:
    """Return a feeding of the tank by id; of a day that is past its chore may be named."""
    wanted = str(said.ticks)
    item, tank = find_item(state, wanted), find_tank(state.household, said.tank)
    is_of_it = item is not None and item.chore.tank == tank.id
    if item is None or not is_of_it or item.chore.kind is not ChoreKind.FEEDING:
        raise UserFault("no_such_turn", item=wanted, chore=wanted)
    return wanted


def _dose(session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp) -> Noted:
    tank = find_tank(state.household, said.tank)
    grams, which = values.grams(said.grams), _which(said, state, ChoreKind.DOSE)
    return noting.log_dose(session.desk, tank, said.of, grams, stamp, which)


def _which(said: argparse.Namespace, state: HouseholdState, kind: ChoreKind) -> str | None:
    """Return which turn it does: an item or a chore by id, what is usual, or none."""
    if said.ticks is None:
        return USUAL
    if said.ticks == NOTHING:
        return None
    wanted = str(said.ticks)
    item, tank = find_item(state, wanted), find_tank(state.household, said.tank)
    is_of_it = item is not None and item.chore.kind is kind and item.chore.tank == tank.id
    if item is None or not is_of_it or not item.is_open:
        raise UserFault("no_such_turn", item=wanted, chore=wanted)
    return wanted


def _stock(
    session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp
) -> Noted:
    supply = find_supply(state.household, said.of)
    expires = None if said.expires is None else values.day_of(said.expires, state.moment)
    return noting.log_stock(
        session.desk,
        supply,
        add=values.number(said.add, "add"),
        count=values.number(said.count, "count"),
        expires_on=expires,
        stamp=stamp,
    )


def _note(session: Session, said: argparse.Namespace, state: HouseholdState, stamp: Stamp) -> Noted:
    tank = None if said.tank is None else find_tank(state.household, said.tank)
    return noting.log_note(session.desk, said.text, tank, stamp)


_KINDS: dict[str, Callable[[Session, argparse.Namespace, HouseholdState, Stamp], Noted]] = {
    "top-off": _top_off,
    "reservoir": _reservoir,
    "water-change": _water_change,
    "reading": _reading,
    "feeding": _feeding,
    "dose": _dose,
    "stock": _stock,
    "note": _note,
}
