"""A picture of the window: at the line of the chore that is named, or none at all."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tests.gui import round_house
from tests.gui.round_house import SEVEN

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.slow
def test_the_picture_is_made_of_the_line_or_not_at_all(tmp_path: Path) -> None:
    """The chore is no option that is passed over in silence."""
    house = tmp_path / "quay.tankkeeper"
    round_house.make(house, round_house.small_house(), FixedClock(SEVEN))
    plain, there, nowhere = (tmp_path / f"{name}.png" for name in ("plain", "there", "nowhere"))

    assert paint(tmp_path, house, plain) == (0, "")
    assert paint(tmp_path, house, there, "--go-to", "meter") == (0, "")
    refused = paint(tmp_path, house, nowhere, "--go-to", "sweep")

    assert there.read_bytes() != plain.read_bytes()
    assert refused == (1, "There is no chore called sweep.\n")
    assert not nowhere.exists()


def paint(home: Path, house: Path, target: Path, *more: str) -> tuple[int, str]:
    """Return the exit status of a picture and what was said of it."""
    environment = dict(os.environ) | {
        "QT_QPA_PLATFORM": "offscreen",
        "HOME": str(home),
        **{f"XDG_{name}_HOME": str(home / name) for name in ("CACHE", "DATA", "CONFIG", "STATE")},
    }
    options = ("--household", str(house), "--now", SEVEN.isoformat(), "--snapshot", str(target))
    done = subprocess.run(
        [sys.executable, "-m", "tankkeeper", *options, *more],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return done.returncode, done.stderr
