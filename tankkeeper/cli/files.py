"""The commands about whole households: new, export, import, backup, restore, check."""

from __future__ import annotations

import argparse
import os
import secrets
import stat
import sys
from pathlib import Path

from tankkeeper.cli.session import Houses, Session, say
from tankkeeper.core.errors import UserFault
from tankkeeper.core.moment import moment_of
from tankkeeper.reports.imported_words import imported_words
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.preview_words import (
    KEPT_BEFORE,
    import_end,
    import_parts,
    restore_parts,
    told_lines,
)
from tankkeeper.reports.words import Words
from tankkeeper.services import keeping
from tankkeeper.services.exchange import export_household, export_tank, import_text
from tankkeeper.services.previews import preview_import, preview_restore
from tankkeeper.services.tank_file import Document

# A choice of this project; a log grows by some 200 kB a tank and year.
LARGEST_FILE = 64 * 1024 * 1024
STANDARD = "-"


def make_new(houses: Houses, said: argparse.Namespace) -> None:
    """Make an empty household, or the sample."""
    where = Path(said.where)
    make = houses.new_sample if said.sample else houses.new
    with make(where, said.name, said.zone) as desk, desk.store.reading() as reading:
        household = desk.household(reading)
    what = "the sample household" if said.sample else "an empty household"
    say(f"Made {what}, {household.name}, in {where}. Its time zone is {household.zone}.")


def do_export(session: Session, said: argparse.Namespace) -> None:
    """Write a tank or the whole household as text."""
    if said.what == ["all"]:
        text = export_household(session.desk)
    else:
        text = export_tank(session.desk, session.tank(said.what[1]))
    if said.file == STANDARD:
        sys.stdout.flush()
        _write_raw(text)
        return
    target = Path(said.file)
    write_text(target, text, over=said.force)
    say(f"Wrote {target}.")


def _write_raw(text: str) -> None:
    buffer = getattr(sys.stdout, "buffer", None)
    if buffer is None:
        sys.stdout.write(text)
    else:
        buffer.write(text.encode("utf-8"))
        buffer.flush()


def write_text(target: Path, text: str, *, over: bool) -> None:
    """Write a file wholly or not at all; one that exists only when that is wanted."""
    if target.exists() and not over:
        raise UserFault("file_exists", path=str(target))
    if target.is_dir():
        raise UserFault("is_a_folder", path=str(target))
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        with part.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        part.replace(target)
    except OSError as failure:
        # The name somebody typed says more than the one it has in the making.
        raise OSError(failure.errno, failure.strerror, str(target)) from failure
    finally:
        part.unlink(missing_ok=True)


def do_import(session: Session, said: argparse.Namespace) -> None:
    """Read a household into an empty one, or add a tank."""
    document = _document(said)
    if said.preview:
        preview = preview_import(session.desk, document)
        parts = import_parts(preview, _words(session))
        for line in told_lines(parts, import_end(preview)):
            say(line)
        return
    say(imported_words(import_text(session.desk, document)))


def _words(session: Session) -> Words:
    with session.desk.store.reading() as reading:
        household = reading.household()
    return Words(household, moment_of(household, session.desk.clock.now()))


def make_from_file(houses: Houses, said: argparse.Namespace) -> None:
    """Make the household that was named, which is not there yet, from a file."""
    say(imported_words(houses.new_from(_document(said))))


def _document(said: argparse.Namespace) -> Document:
    """Return the file that was named, its one tank by the name that was given with it."""
    document = Document.of(read_text(said.file))
    return document if said.called is None else document.with_tank_called(said.called)


def read_text(name: str) -> str:
    """Return the text of a file from elsewhere: a plain file, not too large, in UTF-8."""
    if name == STANDARD:
        raw = _standard_input()
    else:
        path = Path(name)
        # Looked at first: opening a pipe that nobody fills would wait for ever.
        if not stat.S_ISREG(path.stat().st_mode):
            raise UserFault("not_a_plain_file", path=name)
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    if len(raw) > LARGEST_FILE:
        raise UserFault("file_too_large", path=name, longest_mb=LARGEST_FILE // 1024 // 1024)
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as wrong:
        line = raw.count(b"\n", 0, wrong.start) + 1
        raise UserFault("file_not_utf8", path=name, line=line) from wrong


def _standard_input() -> bytes:
    buffer = getattr(sys.stdin, "buffer", None)
    if buffer is None:
        return sys.stdin.read(LARGEST_FILE + 1).encode("utf-8", "surrogatepass")
    raw: bytes = buffer.read(LARGEST_FILE + 1)
    return raw


def do_backup(session: Session, said: argparse.Namespace) -> None:
    """Write a verified copy."""
    target = Path(said.file)
    keeping.backup(session.desk, target)
    say(f"Wrote a verified backup to {target}.")


def do_restore(session: Session, said: argparse.Namespace) -> None:
    """Put a backup in place of the household."""
    source = Path(said.file)
    if said.preview:
        preview = preview_restore(session.desk, source)
        for line in told_lines(restore_parts(preview, _words(session)), KEPT_BEFORE):
            say(line)
        return
    before = keeping.restore(session.desk, source)
    say(f"Restored from {said.file}. What was there before is in the backup {before}.")


def do_check(session: Session, _said: argparse.Namespace) -> None:
    """Look whether the file is whole; refused when it is not."""
    found = keeping.check(session.desk)
    if found.problems:
        raise UserFault("check_failed", path=found.where, problems=found.problems)
    entries = counted(found.entries, "entry", "entries")
    say(f"{found.where} is whole: {entries} in the logbook, schema {found.schema}.")
