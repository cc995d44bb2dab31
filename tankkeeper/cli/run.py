"""Runs one command; what goes wrong comes out as an exception, and the wiring words it."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from tankkeeper.cli import doing, files, looking, noting, soak
from tankkeeper.cli.session import Houses, Session

Command = Callable[[Session, argparse.Namespace], None]

# The commands that work on a household that is there.
COMMANDS: dict[str, Command] = {
    "round": looking.show_round,
    "ahead": looking.show_ahead,
    "tanks": looking.show_tanks,
    "logbook": looking.show_logbook,
    "tick": doing.do_tick,
    "undo": doing.do_undo,
    "redo": doing.do_redo,
    "skip": doing.do_skip,
    "put-off": doing.do_put_off,
    "shift": doing.do_shift,
    "pause": doing.do_pause,
    "resume": doing.do_resume,
    "log": noting.do_log,
    "export": files.do_export,
    "backup": files.do_backup,
    "restore": files.do_restore,
    "check": files.do_check,
    "soak": soak.do_soak,
}


def run(houses: Houses, said: argparse.Namespace, person: str | None, title: str = "") -> None:
    """Run the command that was typed; `person` is the usual one by the settings."""
    if said.command == "new":
        files.make_new(houses, said)
        return
    if said.command == "import" and not houses.is_there():
        files.do_import(houses, said, None)
        return
    with houses.open() as desk:
        session = Session(
            desk,
            person=said.person or person,
            must_know_person=said.person is not None,
            title=title,
        )
        if said.command == "import":
            files.do_import(houses, said, session)
        else:
            COMMANDS[said.command](session, said)
