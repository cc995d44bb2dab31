"""Prints the invented household with its log as a tank file, or writes it to a file."""

from __future__ import annotations

import argparse
import sys
from datetime import UTC, datetime
from pathlib import Path

HERE = Path(__file__).resolve().parent
# Beside a checkout the package lies next to this folder; installed, Python finds it anyway.
sys.path.append(str(HERE.parent))

from tankkeeper.services.sample import SEED, sample_household  # noqa: E402
from tankkeeper.services.tank_file import write_household  # noqa: E402


def main(arguments: list[str]) -> int:
    """The exit status, 0 once the household is printed or written."""
    wanted = _parser().parse_args(arguments)
    text = made(wanted.now, wanted.seed)
    if wanted.file is None:
        sys.stdout.write(text)
        return 0
    try:
        with wanted.file.open("x", encoding="utf-8", newline="\n") as out:
            out.write(text)
    except OSError as refused:
        print(f"{wanted.file} was not written: {refused.strerror}.", file=sys.stderr)
        return 1
    print(f"{wanted.file} holds the sample as it stands on {wanted.now:%Y-%m-%d %H:%M %Z}.")
    return 0


def made(now: datetime, seed: int) -> str:
    """The text of the sample household with its log up to `now`."""
    definitions = (HERE / "sample_household.toml").read_text(encoding="utf-8")
    household, entries = sample_household(definitions, now.astimezone(UTC), seed)
    return write_household(household, entries)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="make_sample.py", description=__doc__)
    parser.add_argument("file", nargs="?", type=Path, help="a new file; left out, it is printed")
    parser.add_argument("--now", type=_moment, default=datetime.now(UTC), metavar="WHEN")
    parser.add_argument("--seed", type=int, default=SEED)
    return parser


def _moment(text: str) -> datetime:
    """A moment in ISO form; without an offset it is on this computer's clock."""
    return datetime.fromisoformat(text).astimezone()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
