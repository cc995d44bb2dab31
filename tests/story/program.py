"""Types commands at a household through the program's own entry, and reads what it says."""

from __future__ import annotations

import contextlib
import io
import json
import os
import subprocess
import sys
from dataclasses import dataclass, field
from datetime import date, datetime, time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from tankkeeper.app.main import main

ROOT = Path(__file__).resolve().parents[2]
Row = dict[str, Any]
CLOSED = frozenset({"done", "skipped"})
LOOKING = frozenset({"round", "ahead", "tanks", "logbook"})
# How the sentences begin or go on that ask about what is doubtful, beside what was kept.
ASKED = ("is unlike", "Keep it if it was read so", "If it was a part", "No salt water is mixed")


@dataclass(slots=True)
class Program:
    """The program on one file; `now` is what `--now` says, nothing else moves its clock."""

    file: Path
    zone: ZoneInfo
    now: datetime
    typed: int = field(default=0)
    # The round as it was last told, until the clock or a writing command makes it another.
    _told: tuple[datetime, list[Row]] | None = field(default=None)

    def at(self, day: date, wall: time) -> None:
        """Move the clock to a wall time of a day."""
        self.now = datetime.combine(day, wall, tzinfo=self.zone)

    def words(self, *words: str) -> list[str]:
        """Return a whole command line."""
        return ["--household", str(self.file), "--now", self.now.isoformat(), *words]

    def type_(self, *words: str) -> tuple[int, str, str]:
        """Return the exit status and both outputs of a command."""
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = main(self.words(*words))
        self.typed += 1
        if words[0] not in LOOKING:
            self._told = None
        return status, out.getvalue(), err.getvalue()

    def do(self, *words: str) -> str:
        """Return what a command that must succeed says; it may ask about what is doubtful."""
        status, out, err = self.type_(*words)
        told = f"{self.now:%a %d %b %H:%M} {words}: {err or out}"
        assert status == 0, told
        assert not err or any(one in err for one in ASKED), told
        return out

    def document(self, *words: str) -> Row:
        """Return the document of a command."""
        found: Row = json.loads(self.do(*words, "--json"))
        return found

    def round(self) -> list[Row]:
        """Return the items of the round, asked for anew where anything may have changed them."""
        if self._told is None or self._told[0] != self.now:
            self._told = (self.now, self.document("round")["items"])
        return self._told[1]

    def ahead(self, last: date) -> list[Row]:
        """Return what is projected up to a day."""
        words = ("ahead", "--from", "today", "--to", last.isoformat())
        items: list[Row] = self.document(*words)["items"]
        return items

    def in_a_process(self, *words: str) -> str:
        """Return what a command says that runs as a process of its own."""
        self._told = None
        done = subprocess.run(
            [sys.executable, "-m", "tankkeeper", *self.words(*words)],
            cwd=ROOT,
            env={**os.environ, "PYTHONIOENCODING": "utf-8"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, ""), done.stderr
        return done.stdout
