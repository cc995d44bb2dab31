"""Wrong usage, help, and what no command may ever do."""

from __future__ import annotations

from pathlib import Path

import pytest

import tankkeeper
from tankkeeper.app.log import log_file
from tankkeeper.cli import looking
from tankkeeper.cli.arguments import parser
from tankkeeper.cli.run import COMMANDS
from tests.cli.harbour import Type

PROMISED = {
    "new", "round", "tick", "skip", "put-off", "shift", "pause", "resume", "undo", "redo", "log",
    "logbook", "ahead", "tanks", "export", "import", "backup", "restore", "check",
}  # fmt: skip
NOT_YET = ["forecast", "water", "cupboard", "plan", "away", "work-out", "move-to"]


@pytest.mark.parametrize(
    "words",
    [
        ("nonsense",),
        ("round", "--nonsense"),
        ("tick",),
        ("tick", "x", "--litres"),
        ("put-off", "x"),
        ("ahead", "--from"),
        ("log",),
        ("log", "top-off", "--tank", "Nook"),
        ("export", "all"),
        ("export", "tank", "out.toml"),
        ("export", "readings", "out.csv"),
        ("soak", "--writes", "0"),
        ("soak", "--writes", "many"),
        ("--demo", "--household", "x", "round"),
        ("--snapshot", "a.png", "round"),
        ("--go-to", "glass", "round"),
        ("--now",),
        *((word,) for word in NOT_YET),
    ],
)
def test_wrong_usage_ends_with_2(type_: Type, words: tuple[str, ...]) -> None:
    """Nothing on standard output, the usage on standard error, no trace."""
    answer = type_(*words)
    assert (answer.status, answer.out) == (2, "")
    assert "usage: tankkeeper" in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize(
    ("words", "usage", "told"),
    [
        (
            "tick nook.feed --amount 3",
            "tankkeeper tick ",
            "there is no option --amount. Did you mean --litres?",
        ),
        ("tick --amount", "tankkeeper tick ", "there is no option --amount. Did you mean"),
        ("tick nook.feed --proposed", "tankkeeper tick ", "Did you mean --as-proposed?"),
        ("log dose --of x --amount 3", "tankkeeper log dose ", "Did you mean --grams?"),
        ("log reading --tnak Nook ph=8", "tankkeeper log reading ", "Did you mean --tank?"),
        ("logbook --since today", "tankkeeper logbook ", "Did you mean --from?"),
        ("round --qqq", "tankkeeper round ", "there is no option --qqq\n"),
        ("tick nook.feed --reeson", "tankkeeper tick ", "there is no option --reeson\n"),
        ("round --now 2026-03-02", "tankkeeper round ", "--now stands before the command"),
        ("logbook Nook", "tankkeeper logbook ", "there is no place for: Nook"),
        ("tikc nook.feed", "tankkeeper ", "there is no command tikc. Did you mean tick?"),
        ("log topoff", "tankkeeper log ", "there is no kind topoff. Did you mean top-off?"),
        ("--nwo x round", "tankkeeper ", "there is no option --nwo. Did you mean --now?"),
    ],
)
def test_wrong_usage_tells_the_one_command_and_the_nearest_word(
    type_: Type, words: str, usage: str, told: str
) -> None:
    """Not the usage of everything; and nothing is guessed where nothing is near."""
    answer = type_(*words.split())
    assert (answer.status, answer.out) == (2, "")
    assert answer.err.startswith(f"usage: {usage}")
    assert told in answer.err


def test_wrong_usage_cannot_steer_the_terminal(type_: Type) -> None:
    """What was typed is told back without its control signs, and not at length."""
    answer = type_("round", "--\x1b[31m" + "x" * 10_000)
    assert answer.status == 2
    assert "\x1b" not in answer.err
    assert len(answer.err) < 400


def test_a_text_may_begin_with_a_dash(at_house: Type) -> None:
    """After an equals sign or two dashes it is no option."""
    assert at_house("skip", "nook.wipe-the-glass", "--why=--not today").status == 0
    assert at_house("log", "note", "--", "--the lamp hums").status == 0
    assert at_house("log", "note", "-- the lamp hums").status == 0


def test_version_and_help_go_to_standard_output(type_: Type) -> None:
    """Status 0; every command stands in the help, the diagnostic apart, none that is not there."""
    version = type_("--version")
    assert (version.status, version.out) == (0, f"tankkeeper {tankkeeper.__version__}\n")
    text = type_("--help").out
    assert all(f"    {name} " in text for name in PROMISED - {"soak"})
    assert text.index("soak --writes N") > text.index("diagnostic:")
    assert not any(f"    {name} " in text for name in NOT_YET)
    assert text.index("\ncommands:") < text.index("    check ") < text.index("\ndiagnostic:")
    assert "soak --writes N" in text.partition("\ndiagnostic:")[2]
    assert "soak" not in text.partition("\ndiagnostic:")[0]


@pytest.mark.parametrize(
    ("words", "usage", "meant"),
    [
        (("tick", "x", "--amount", "3"), "tankkeeper tick ", "Did you mean --litres?"),
        (("round", "--jsn"), "tankkeeper round ", "Did you mean --json?"),
        (("log", "top-off", "--tank", "x", "--amount", "2"), "tankkeeper log top-off ", "--litres"),
        (("put-off", "x", "--date", "2026-03-04"), "tankkeeper put-off ", "Did you mean --to?"),
        (("tik", "x"), "tankkeeper [-h]", "Did you mean tick?"),
        (("log", "top-of"), "tankkeeper log ", "Did you mean top-off?"),
        (("--nw", "2026-03-02", "round"), "tankkeeper [-h]", "Did you mean --now?"),
        (("round", "--household", "x"), "tankkeeper round ", "stands before the command"),
        (("round", "x"), "tankkeeper round ", "no place for: x"),
    ],
)
def test_wrong_usage_names_what_was_likely_meant(
    type_: Type, words: tuple[str, ...], usage: str, meant: str
) -> None:
    """The usage of the one command, and the nearest word it knows."""
    answer = type_(*words)
    assert (answer.status, answer.out) == (2, "")
    assert answer.err.startswith(f"usage: {usage}")
    assert meant in answer.err.splitlines()[-1]


HOSTILE = [
    "'; DROP TABLE entry", "<img src=x>", "=1+1", "%s{}", "x" * 10_000, "\u202eabc", "a\u200db",
    "e\u0301", "an end \0 of text", "half \ud800", " ", "a\nb", "con", "../x", "nan", "1e999",
    "-1", "１２", "٣", "99999999999999999999", "0001-01-01", "9999-12-31", "1,000.5", "",
]  # fmt: skip
PLACES = [
    ("round", "--tank"), ("round", "--by"), ("ahead", "--from"), ("ahead", "--to"),
    ("logbook", "--from"), ("logbook", "--to"), ("logbook", "--tank"), ("undo",), ("tick",),
    ("tick", "nook.top-off", "--litres"), ("tick", "nook.feed", "--at"),
    ("tick", "nook.feed", "--by"), ("tick", "nook.feed", "--note"),
    ("tick", "skerry.change-water", "--litres", "40", "--salinity"),
    ("tick", "nook.test-nitrate", "--value"), ("skip",), ("skip", "nook.feed", "--why"),
    ("put-off", "nook.wipe-the-glass", "--to"), ("shift", "nook.wipe-the-glass", "--to"),
    ("pause",), ("pause", "Nook", "--until"), ("resume",),
    ("log", "top-off", "--tank", "Nook", "--litres"), ("log", "note"),
    ("log", "reservoir", "--tank", "Skerry", "--left"),
    ("log", "reading", "--tank", "Nook"), ("log", "dose", "--tank", "Nook", "--grams", "1", "--of"),
    ("log", "stock", "--of", "salt mix", "--count"),
    ("log", "stock", "--of", "salt mix", "--count", "1", "--expires"),
]  # fmt: skip


@pytest.mark.parametrize("place", PLACES, ids=" ".join)
def test_hostile_text_ends_in_a_result_or_in_one_sentence(
    at_house: Type, place: tuple[str, ...]
) -> None:
    """Whatever is typed: never a trace, never a failure that nobody foresaw."""
    for text in HOSTILE:
        answer = at_house(*place, text)
        assert answer.status in (0, 1, 2), (text, answer)
        assert "nobody foresaw" not in answer.err, (text, answer)
        assert "Traceback" not in answer.err
        if answer.status != 0:
            assert answer.out == "", (text, answer)
        if answer.status == 1:
            assert answer.err.count("\n") == 1, (text, answer)
    assert at_house("round", "--json").status == 0
    assert at_house("logbook").status == 0


def test_every_command_has_help(type_: Type) -> None:
    """Also below `log`."""
    for name in sorted({*PROMISED, "soak"}):
        assert type_(name, "--help").status == 0
    assert type_("log", "reservoir", "--help").status == 0
    assert {"new", *COMMANDS} == {*PROMISED, "soak"}
    assert parser().prog == "tankkeeper"


@pytest.mark.parametrize("now", ["yesterday", "", "2026-13-01", "2026-03-02T99", "0001-01-01"])
def test_a_moment_that_is_none_is_refused(at_house: Type, now: str) -> None:
    """--now takes ISO 8601."""
    answer = at_house("round", now=now)
    assert (answer.status, answer.out) == (1, "")
    assert answer.err.count("\n") == 1


def test_an_unforeseen_failure_is_told_in_one_sentence(
    at_house: Type, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The trace goes to the log, whose place is told; nobody reads a traceback."""

    def broken(*_: object) -> None:
        raise ZeroDivisionError("a bug")

    monkeypatch.setattr(looking, "show_tanks", broken)
    answer = at_house("tanks")
    assert (answer.status, answer.out) == (1, "")
    assert answer.err.count("\n") == 1
    assert str(log_file()) in answer.err
    logged = log_file().read_text(encoding="utf-8")
    assert "ZeroDivisionError: a bug" in logged
    assert "Traceback" in logged


def test_an_interrupt_is_quiet(at_house: Type, monkeypatch: pytest.MonkeyPatch) -> None:
    """Status 130 and no word."""

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(looking, "show_tanks", interrupted)
    answer = at_house("tanks")
    assert (answer.status, answer.out, answer.err) == (130, "", "")


def test_the_disk_is_told_by_its_name(at_house: Type, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the system says, in one sentence."""

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "/somewhere/file")

    monkeypatch.setattr(looking, "show_tanks", full)
    answer = at_house("tanks")
    assert answer.status == 1
    assert answer.err == "/somewhere/file: No space left on device.\n"


def test_a_backup_that_fails_does_not_undo_the_tick(
    at_house: Type, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was asked for is done: status 0, and a sentence beside it."""
    from tankkeeper.core.errors import Surroundings
    from tankkeeper.store.file_store import FileStore

    def full(self: FileStore, now: object) -> None:
        raise Surroundings("disk_full", path="/backups")

    monkeypatch.setattr(FileStore, "rolling_backup", full)
    answer = at_house("tick", "nook.feed")
    assert answer.status == 0
    assert "no backup" in answer.err
    assert at_house("tick", "nook.feed@2026-03-02T0700").out.count("done already") == 1


def test_every_write_is_logged_and_no_read_is(at_house: Type) -> None:
    """The log tells what a person did, with the entry's id."""
    at_house("round")
    assert not log_file().exists()
    answer = at_house("tick", "nook.feed")
    entry = answer.out.split()[-1]
    assert entry in log_file().read_text(encoding="utf-8")


def test_soak_prints_each_entry_it_wrote(at_house: Type) -> None:
    """As many ids as asked for, all of them ticks in the logbook, and the file stays whole."""
    answer = at_house("soak", "--writes", "7")
    assert (answer.status, answer.err) == (0, "")
    ids = answer.out.split()
    entries = at_house("logbook", "--json").document["entries"]
    assert ids == [entry["id"] for entry in reversed(entries[:7])]
    assert {entry["kind"] for entry in entries[:7]} == {"done"}


def test_soak_writes_notes_where_nothing_can_be_ticked(type_: Type, tmp_path: Path) -> None:
    """An empty household still tells whether its file keeps what was written."""
    file = str(tmp_path / "empty.tankkeeper")
    type_("new", file)
    answer = type_("--household", file, "soak", "--writes", "3")
    assert answer.status == 0
    assert len(set(answer.out.split())) == 3


def test_a_read_only_household_can_be_looked_at(
    at_house: Type, house: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Looking works; ticking is refused with a sentence and nothing is lost."""
    from tankkeeper.store import opening
    from tankkeeper.store.engine import Access

    monkeypatch.setattr(opening, "access_to", lambda _path: Access.READ)
    assert at_house("round").status == 0
    answer = at_house("tick", "nook.feed")
    assert (answer.status, answer.out) == (1, "")
    assert "cannot be written" in answer.err
