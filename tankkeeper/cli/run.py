"""Runs one command; what goes wrong comes out as an exception, and the wiring words it."""

from __future__ import annotations

import argparse
from importlib import import_module
from typing import TYPE_CHECKING

from tankkeeper.cli.refused import Refused
from tankkeeper.cli.session import Session
from tankkeeper.core.errors import TankkeeperError

if TYPE_CHECKING:
    from tankkeeper.cli.session import Houses

# The commands that work on a household that is there: their module and function. A module is
# loaded when one of its commands runs, so that the round does not wait for what it does not use.
COMMANDS: dict[str, tuple[str, str]] = {
    "round": ("looking", "show_round"),
    "ahead": ("looking", "show_ahead"),
    "tanks": ("looking", "show_tanks"),
    "logbook": ("looking", "show_logbook"),
    "tick": ("doing", "do_tick"),
    "undo": ("doing", "do_undo"),
    "redo": ("doing", "do_redo"),
    "skip": ("doing", "do_skip"),
    "put-off": ("doing", "do_put_off"),
    "shift": ("doing", "do_shift"),
    "pause": ("doing", "do_pause"),
    "resume": ("doing", "do_resume"),
    "log": ("noting", "do_log"),
    "export": ("files", "do_export"),
    "import": ("files", "do_import"),
    "backup": ("files", "do_backup"),
    "restore": ("files", "do_restore"),
    "check": ("files", "do_check"),
    "soak": ("soak", "do_soak"),
}


def run(houses: Houses, said: argparse.Namespace, person: str | None, title: str = "") -> None:
    """Run the command that was typed; `person` is the usual one by the settings."""
    begins = said.command == "import" and not said.preview and not houses.is_there()
    if said.command == "new" or begins:
        files = import_module("tankkeeper.cli.files")
        make = files.make_new if said.command == "new" else files.make_from_file
        make(houses, said)
        return
    module, function = COMMANDS[said.command]
    command = getattr(import_module(f"tankkeeper.cli.{module}"), function)
    with houses.open() as desk:
        session = Session(
            desk,
            person=said.person or person,
            must_know_person=said.person is not None,
            title=title,
        )
        try:
            command(session, said)
        except TankkeeperError as fault:
            raise Refused(_worded(session, fault), fault) from fault


def _worded(session: Session, fault: TankkeeperError) -> str:
    """Return the sentence of a fault; in plain words where the household cannot be read."""
    from tankkeeper.core.moment import moment_of
    from tankkeeper.reports.faults import fault_words
    from tankkeeper.reports.numbers import plain
    from tankkeeper.reports.words import Words

    try:
        with session.desk.store.reading() as reading:
            household = session.desk.household(reading)
    except TankkeeperError:
        return plain(fault_words(fault))
    words = Words(household, moment_of(household, session.desk.clock.now()))
    return plain(fault_words(fault, words))
