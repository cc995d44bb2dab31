"""The words a person may type: options before the command, the commands and their options."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from functools import cache
from typing import Any

import tankkeeper
from tankkeeper.cli.usage import Parser

WHEN = "a date or a moment that is not after now"
DAY = "a date, today, tomorrow, yesterday, a weekday, or such as '25 dec' or '3 days ago'"
_JSON = "print one JSON document"
_PREVIEW = "tell what would change, and change nothing"
_SOAK = "tick again and again, and print each entry's id, in a household that may be spoiled"
BEFORE = ("--version", "--household", "--demo", "--now", "--person", "--snapshot")


class _Form(argparse.HelpFormatter):
    """Help with room for the longest option."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=30)


@cache
def parser() -> Parser:
    """Return the parser of the whole command line; making it takes longer than most commands."""
    top = Parser(
        prog="tankkeeper",
        description="What every saltwater tank of a household needs today, how much, and why. "
        "Without a command the window opens.",
        allow_abbrev=False,
        formatter_class=_Form,
    )
    add = top.add_argument
    add("--version", action="version", version=f"tankkeeper {tankkeeper.__version__}")
    add("--household", metavar="WHERE", help="the file of the household")
    add("--demo", action="store_true", help="the sample household, in a copy that may be spoiled")
    add("--now", metavar="WHEN", help="the moment to take as now (ISO 8601)")
    add("--person", metavar="NAME", help="who does the work, unless --by says other")
    add("--snapshot", metavar="FILE.png", help="paint the window into a picture")
    add("--go-to", metavar="CHORE", help="open the window on the line of a chore")
    add("--at-login", action="store_true", help=argparse.SUPPRESS)
    add("--report-start", action="store_true", help=argparse.SUPPRESS)
    commands = top.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for group in (_add_looking, _add_doing, _add_moving, _add_logging, _add_keeping):
        group(_Commands(commands))
    top.add_argument_group("diagnostic", f"soak --writes N: {_SOAK}")
    return top


class _Commands:
    """Adds commands with the same manner of help."""

    def __init__(self, into: argparse._SubParsersAction[Parser]) -> None:
        self._into = into

    def add(self, name: str, what: str, *, is_listed: bool = True) -> Parser:
        """Return the parser of a new command; one that is not listed is told of elsewhere."""
        said: dict[str, Any] = {"help": what} if is_listed else {}
        made = self._into.add_parser(
            name,
            description=what[:1].upper() + what[1:] + ".",
            allow_abbrev=False,
            formatter_class=_Form,
            **said,
        )
        made.before = BEFORE
        return made


def _tank(to: argparse.ArgumentParser, is_needed: bool = False) -> None:
    to.add_argument("--tank", metavar="T", required=is_needed, help="a tank's name or id")


def _json(to: argparse.ArgumentParser) -> None:
    to.add_argument("--json", action="store_true", help=_JSON)


def _by(to: argparse.ArgumentParser) -> None:
    to.add_argument("--by", metavar="PERSON", help="who did it")


def _stamp(to: argparse.ArgumentParser) -> None:
    to.add_argument("--at", metavar="WHEN", help=WHEN)
    _by(to)
    to.add_argument("--note", metavar="TEXT", default="", help="a remark")


def _add_looking(commands: _Commands) -> None:
    round_ = commands.add("round", "what is due now")
    _tank(round_)
    round_.add_argument("--by", metavar="PERSON", help="only what this person may do")
    round_.add_argument("--why", action="store_true", help="say the reason of each line")
    _json(round_)
    ahead = commands.add("ahead", "what comes in a span of days, both included; usually a week")
    ahead.add_argument("--from", dest="first", metavar="DATE", help=f"{DAY}; usually today")
    ahead.add_argument(
        "--to", dest="last", metavar="DATE", help=f"{DAY}; usually six days after the first"
    )
    _tank(ahead)
    _json(ahead)
    _json(commands.add("tanks", "the state of each tank"))
    logbook = commands.add("logbook", "what was done, newest first")
    _tank(logbook)
    logbook.add_argument("--from", dest="first", metavar="DATE", help=DAY)
    logbook.add_argument("--to", dest="last", metavar="DATE", help=DAY)
    _json(logbook)


def _add_doing(commands: _Commands) -> None:
    tick = commands.add("tick", "mark work as done, all of it or none")
    _items(tick, many=True)
    _stamp(tick)
    tick.add_argument("--litres", metavar="X", help="litres that were measured")
    tick.add_argument(
        "--part",
        action="store_true",
        help="the mark was not reached, the reservoir is not full, or more is left to mix",
    )
    tick.add_argument("--grams", metavar="X", help="grams of a dose, where not those it states")
    tick.add_argument("--salinity", metavar="S", help="salinity of the water poured in")
    _values(tick, "--value")
    tick.add_argument(
        "--as-proposed", action="store_true", help="take the proposed litres, not measured"
    )
    tick.add_argument(
        "--besides", action="store_true", help="it was done once more than is written down"
    )
    undo = commands.add("undo", "take back the newest entry, or the one named")
    undo.add_argument("entry", nargs="?", metavar="ENTRY", help="the id of an entry of the logbook")
    _by(undo)
    _by(commands.add("redo", "take back the newest undo"))


def _items(to: argparse.ArgumentParser, many: bool = False) -> None:
    said = "an id of the round, or a chore's id"
    if many:
        to.add_argument("items", nargs="+", metavar="ITEM", help=said)
    else:
        to.add_argument("item", metavar="ITEM", help=said)


def _values(to: argparse.ArgumentParser, name: str) -> None:
    said = "a reading, such as nitrate=12mg/L; may be said several times"
    to.add_argument(
        name, dest="values", action="append", default=[], metavar="NAME=VALUE[UNIT]", help=said
    )


def _add_moving(commands: _Commands) -> None:
    skip = commands.add("skip", "leave work out, all of it or none")
    _items(skip, many=True)
    skip.add_argument("--why", metavar="TEXT", default="", help="the reason")
    _by(skip)
    for name, what in (
        ("put-off", "move one turn to another day"),
        ("shift", "move this turn and all that follow"),
    ):
        move = commands.add(name, what)
        _items(move)
        move.add_argument("--to", dest="to", metavar="DATE", required=True, help=DAY)
        _by(move)
    pause = commands.add("pause", "let a chore or a whole tank rest")
    pause.add_argument("what", metavar="ITEM|T", help="an item, a chore's id, or a tank")
    pause.add_argument("--until", metavar="DATE", help="the last day of the pause")
    _by(pause)
    resume = commands.add("resume", "end a pause")
    resume.add_argument("what", metavar="ITEM|T", help="an item, a chore's id, or a tank")
    _by(resume)


def _add_logging(commands: _Commands) -> None:
    log = commands.add("log", "write down what happened")
    kinds = log.add_subparsers(dest="kind", metavar="KIND", title="kinds", required=True)
    adding = _Commands(kinds)
    for add in (
        _log_top_off,
        _log_reservoir,
        _log_change,
        _log_reading,
        _log_feeding,
        _log_dose,
        _log_stock,
    ):
        _stamp(add(adding))
    note = adding.add("note", "a remark")
    note.add_argument("text", metavar="TEXT")
    _tank(note)
    note.add_argument("--at", metavar="WHEN", help=WHEN)
    _by(note)


def _log_top_off(adding: _Commands) -> argparse.ArgumentParser:
    to = adding.add("top-off", "fresh water added, to the mark unless it was a part")
    _tank(to, is_needed=True)
    to.add_argument("--litres", metavar="X", required=True)
    to.add_argument("--part", action="store_true", help="the mark was not reached")
    return to


def _log_reservoir(adding: _Commands) -> argparse.ArgumentParser:
    to = adding.add("reservoir", "the reservoir of an automatic top-off")
    _tank(to, is_needed=True)
    which = to.add_mutually_exclusive_group(required=True)
    which.add_argument("--left", metavar="X", help="litres left in it")
    which.add_argument("--fill", metavar="X", help="litres added until it was full")
    which.add_argument("--part", metavar="X", help="litres added, when it is not full")
    return to


def _log_change(adding: _Commands) -> argparse.ArgumentParser:
    to = adding.add("water-change", "tank water taken out, salt water put in")
    _tank(to, is_needed=True)
    to.add_argument("--litres", metavar="X", required=True, help="litres taken out")
    to.add_argument("--salinity", metavar="S", required=True, help="of the new water")
    to.add_argument("--added", metavar="X", help="litres put in, where they differ")
    _ticks(to)
    return to


def _log_reading(adding: _Commands) -> argparse.ArgumentParser:
    to = adding.add("reading", "measured values, such as nitrate=12mg/L alkalinity=8.2dKH")
    _tank(to, is_needed=True)
    to.add_argument("values", nargs="+", metavar="NAME=VALUE[UNIT]")
    return to


def _log_feeding(adding: _Commands) -> argparse.ArgumentParser:
    to = adding.add("feeding", "what was fed; it does the open feeding where one has begun")
    _tank(to, is_needed=True)
    to.add_argument("--amount", metavar="X", help="such as 0.5g, or '2 cubes'")
    to.add_argument("--food", metavar="TEXT", help="which food, if it is to be remembered")
    to.add_argument(
        "--ticks",
        metavar="ITEM|nothing",
        help="the feeding that it does; else the one that has begun; nothing where it is extra",
    )
    return to


def _log_dose(adding: _Commands) -> argparse.ArgumentParser:
    to = adding.add("dose", "grams of a substance put into the tank")
    _tank(to, is_needed=True)
    to.add_argument("--of", metavar="SUBSTANCE", required=True)
    to.add_argument("--grams", metavar="X", required=True)
    _ticks(to)
    return to


def _ticks(to: argparse.ArgumentParser) -> None:
    """Let it be said which open turn it is of."""
    to.add_argument(
        "--ticks",
        metavar="ITEM|nothing",
        help="the open item that it does; else what is open, unless it is less than half of that",
    )


def _log_stock(adding: _Commands) -> argparse.ArgumentParser:
    to = adding.add("stock", "a supply that was bought or counted")
    to.add_argument("--of", metavar="SUPPLY", required=True)
    which = to.add_mutually_exclusive_group(required=True)
    which.add_argument("--add", metavar="X", help="how much was bought")
    which.add_argument("--count", metavar="X", help="how much is there")
    to.add_argument("--expires", metavar="DATE", help="the day it runs out of date")
    return to


def _add_keeping(commands: _Commands) -> None:
    new = commands.add("new", "make an empty household, or the sample")
    new.add_argument("where", metavar="WHERE", help="a file that does not exist yet")
    new.add_argument("--sample", action="store_true", help="the invented household, with its log")
    new.add_argument("--name", metavar="TEXT", help="the name of the household")
    new.add_argument("--zone", metavar="ZONE", help="its time zone, such as Europe/Oslo")
    _add_exchange(commands)
    backup = commands.add("backup", "write a verified copy of the household")
    backup.add_argument("file", metavar="FILE", help="a file that does not exist yet")
    restore = commands.add("restore", "put a backup in place of the household")
    restore.add_argument("file", metavar="FILE", help="a backup")
    restore.add_argument("--preview", action="store_true", help=_PREVIEW)
    commands.add("check", "look whether the file of the household is whole")
    soak = commands.add("soak", f"a diagnostic: {_SOAK}", is_listed=False)
    soak.add_argument("--writes", metavar="N", type=_count, required=True, help="how many times")


def _add_exchange(commands: _Commands) -> None:
    export = commands.add("export", "write a tank or the whole household as text")
    export.add_argument("what", metavar="tank T | all", nargs="+", help="what to write")
    export.add_argument("file", metavar="FILE", help="where to; - is standard output")
    export.add_argument("--force", action="store_true", help="write over a file that exists")
    reading = commands.add("import", "read a household into an empty one, or add a tank")
    reading.add_argument("file", metavar="FILE", help="a tank file; - is standard input")
    reading.add_argument(
        "--as", dest="called", metavar="NAME", help="bring its one tank in by this name"
    )
    reading.add_argument("--preview", action="store_true", help=_PREVIEW)


def _count(text: str) -> int:
    """Return a count from 1 on."""
    try:
        number = int(text)
    except ValueError:
        number = 0
    if not 1 <= number <= 10_000_000:
        raise argparse.ArgumentTypeError("a whole number from 1 to 10000000 is meant")
    return number


def parsed(arguments: list[str]) -> argparse.Namespace:
    """Return what was typed, or leave with exit status 2 after a line about what is wrong."""
    plain = _plain(arguments)
    if plain is not None:
        return plain
    top = parser()
    found = top.parse_args(arguments)
    for check in _CHECKS:
        wrong = check(found)
        if wrong:
            top.error(wrong)
    return found


def _plain(arguments: list[str]) -> argparse.Namespace | None:
    """Return what was typed where it is only options that open the window, else None.

    Read by hand, because making a parser is a part of the time until the window stands; whatever
    is not plain goes to the parser, which also says what is wrong.
    """
    found: dict[str, str | bool | None] = dict.fromkeys(_WITH_VALUE) | dict.fromkeys(_ALONE, False)
    rest = list(arguments)
    while rest:
        word = rest.pop(0)
        if word in _WITH_VALUE and rest and not rest[0].startswith("-"):
            found[word] = rest.pop(0)
        elif word in _ALONE:
            found[word] = True
        else:
            return None
    if found["--demo"] and found["--household"] is not None:
        return None
    names = {word[2:].replace("-", "_"): value for word, value in found.items()}
    return argparse.Namespace(command=None, **names)


_WITH_VALUE = ("--household", "--now", "--person", "--snapshot", "--go-to")
_ALONE = ("--demo", "--at-login", "--report-start")


def _wrong_export(found: argparse.Namespace) -> str:
    if found.command != "export":
        return ""
    what = found.what
    is_all, is_tank = what == ["all"], len(what) == 2 and what[0] == "tank"
    return "" if is_all or is_tank else 'export takes "all" or "tank T", then FILE'


def _wrong_household(found: argparse.Namespace) -> str:
    both = found.demo and found.household is not None
    return "--demo and --household cannot both be given" if both else ""


def _wrong_snapshot(found: argparse.Namespace) -> str:
    both = found.snapshot is not None and found.command is not None
    return "--snapshot paints the window and takes no command" if both else ""


def _wrong_go_to(found: argparse.Namespace) -> str:
    both = found.go_to is not None and found.command is not None
    return "--go-to is for the window and takes no command" if both else ""


_CHECKS: tuple[Callable[[argparse.Namespace], str], ...] = (
    _wrong_export,
    _wrong_household,
    _wrong_snapshot,
    _wrong_go_to,
)
