"""Where the program begins: reads what was typed, runs it, and words what goes wrong."""

from __future__ import annotations

import argparse
import io
import logging
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from tankkeeper.app.log import log_file, logging_to
from tankkeeper.app.plain_imports import import_qt_plainly
from tankkeeper.cli.arguments import parsed
from tankkeeper.cli.refused import Refused
from tankkeeper.core.errors import Surroundings, TankkeeperError, UserFault

if TYPE_CHECKING:
    from tankkeeper.app.settings import Settings

DONE, REFUSED, INTERRUPTED = 0, 1, 130
# One of these says where to draw, or that Qt need not be told.
_SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
_log = logging.getLogger("tankkeeper")


def main(argv: Sequence[str] | None = None) -> int:
    """Return the exit status: 0 done, 1 refused, 2 wrong usage."""
    typed = list(sys.argv[1:] if argv is None else argv)
    _forgive_terminal()
    try:
        said = parsed(typed)
    except SystemExit as left:
        return left.code if isinstance(left.code, int) else REFUSED
    with logging_to(log_file):
        status = _guarded(said, typed)
        return _flushed(status)


def _forgive_terminal() -> None:
    """Let a terminal that cannot show a sign show a mark in its place, rather than fail."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _guarded(said: argparse.Namespace, typed: Sequence[str]) -> int:
    try:
        _refuse_unreadable(typed)
        return _run(said)
    except Refused as refused:
        _log.info("refused: %s", refused.fault)
        return _refused(refused.sentence)
    except TankkeeperError as fault:
        _log.info("refused: %s", fault)
        return _refused(_sentence(fault))
    except BrokenPipeError:
        _close_quietly()
        return DONE
    except KeyboardInterrupt:
        # One that passed through text being run (a module's own, a dataclass) leaves a mark with
        # which Python 3.11 ends by the signal instead of our status; running any text clears it.
        exec("")
        return INTERRUPTED
    except OSError as failure:
        _log.warning("the system refused", exc_info=failure)
        return _refused(_of_system(failure))
    except Exception:  # noqa: BLE001  no trace may reach a person; the log has it
        _log.exception("unexpected")
        return _refused(
            f"Something went wrong that nobody foresaw. What is known of it stands in {log_file()}."
        )


def _run(said: argparse.Namespace) -> int:
    if said.command is None:
        return _window(said)
    settings = _settings()
    from datetime import timedelta

    from tankkeeper.app.bootstrap import TheHouses
    from tankkeeper.app.demo import TITLE
    from tankkeeper.cli.run import run

    houses = TheHouses(
        where=_where(said),
        now=said.now,
        backup_every=timedelta(minutes=settings.backup_every_minutes),
        complain=_complain,
    )
    run(houses, said, settings.person, TITLE if said.demo else "")
    return DONE


def _where(said: argparse.Namespace) -> Path:
    """Return the file of the household; the copy of the sample is made when it is asked for."""
    from tankkeeper.app.bootstrap import file_named
    from tankkeeper.app.paths import demo_file, user_data_file

    if said.demo:
        from tankkeeper.app.demo import ready_demo, told_of

        aside = ready_demo(demo_file(), said.now)
        if aside is not None:
            _say(told_of(aside))
        return demo_file()
    return user_data_file() if said.household is None else file_named(said.household)


def _place(said: argparse.Namespace) -> Path:
    """Return where that file lies, without a look at it."""
    from tankkeeper.app.paths import demo_file, user_data_file

    if said.demo:
        return demo_file()
    return user_data_file() if said.household is None else Path(said.household).expanduser()


def _window(said: argparse.Namespace) -> int:
    """Open the window; what it opens is worked out beside it, once it can be seen."""
    if sys.platform.startswith("linux") and not any(map(os.environ.get, _SCREENS)):
        # Qt would end the process there and then.
        raise Surroundings("window_cannot_open", why="there is no screen to open it on")
    try:
        # Only here may Qt be loaded; commands do without it.
        import_qt_plainly()
        window = import_module("tankkeeper.app.window")
    except ImportError as missing:
        raise Surroundings("window_cannot_open", why=str(missing)) from missing
    wanted = window.Wanted(
        where=lambda: _where(said),
        person=lambda: said.person or _settings().person,
        is_person_named=said.person is not None,
        place=_place(said),
        now=said.now,
        is_demo=said.demo,
        go_to=said.go_to,
        is_at_login=said.at_login,
        is_usual=said.household is None and not said.demo,
        name="sample household" if said.demo else Path(said.household or "household").stem,
    )
    if said.snapshot is not None:
        painting = import_module("tankkeeper.app.snapshot")
        return int(painting.snapshot(wanted, Path(said.snapshot)))
    return int(window.run(wanted, reports_start=said.report_start))


def _settings() -> Settings:
    """Return the settings; a file that cannot be read is told and left alone."""
    from tankkeeper.app.settings import Settings, read_settings, settings_file

    try:
        return read_settings(settings_file())
    except UserFault as fault:
        _log.warning("%s", fault)
        _say(_sentence(fault))
        return Settings()


def _refuse_unreadable(typed: Sequence[str]) -> None:
    """Refuse signs that neither a file nor a database can keep."""
    for text in typed:
        if "\0" in text or any("\ud800" <= sign <= "\udfff" for sign in text):
            raise UserFault("text_not_storable", field="what was typed")


def _sentence(fault: TankkeeperError) -> str:
    from tankkeeper.reports.faults import fault_words
    from tankkeeper.reports.numbers import plain

    return plain(fault_words(fault))


def _of_system(failure: OSError) -> str:
    from tankkeeper.reports.fault_values import LONGEST_PATH
    from tankkeeper.reports.tables import clean, shortened

    name = shortened(clean(str(failure.filename)), LONGEST_PATH) if failure.filename else ""
    where = f"{name}: " if name else ""
    return f"{where}{failure.strerror or failure}."


def _refused(sentence: str) -> int:
    _say(sentence)
    return REFUSED


def _say(sentence: str) -> None:
    sys.stderr.write(f"{sentence}\n")


def _complain(_what: str, why: Exception) -> None:
    _log.warning("no backup could be written", exc_info=why)
    told = _sentence(why) if isinstance(why, TankkeeperError) else str(why)
    _say(f"That is done, but no backup could be written. {told}")


def _flushed(status: int) -> int:
    """Return the exit status once everything is written, which may still fail."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _close_quietly()
    except OSError as failure:
        _close_quietly()
        return _refused(f"The result could not be written. {_of_system(failure)}")
    return status


def _close_quietly() -> None:
    """Point standard output to nowhere, so that the interpreter's last flush says nothing."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, sys.stdout.fileno())
    finally:
        os.close(nowhere)
