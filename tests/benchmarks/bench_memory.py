"""What the process holds while it ticks ten thousand times and turns a thousand months.

Run it with `python tests/benchmarks/bench_memory.py [--ticks N] [--months N]`; one document.
The blocks are those of Python. The resident memory counts also the pages that the database keeps
of the file, at most 32 MB; as long as the file is smaller, they grow with it, so that growth of the
file is taken off.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.gui.turning import Turned

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.story.soaking import Held, soaked

MOST_GROWTH = 1.03


def main() -> int:
    """Return 0 if nothing grows after the first fifth of the ticks, else 1."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--ticks", type=int, default=10_000)
    told.add_argument("--months", type=int, default=1_000)
    said = told.parse_args()
    ticks, months = max(100, said.ticks), max(300, said.months)
    with tempfile.TemporaryDirectory() as folder:
        for name in ("HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
            os.environ[name] = folder
        held = soaked(Path(folder), ticks, ticks // 20)
        pages = turn_pages(Path(folder), months)
    goals = goals_of([one for one in held if one.ticks >= ticks // 5]) | goals_of_months(pages)
    document = {
        "held": [asdict(one) for one in held],
        "months": [asdict(one) for one in pages],
        "goals": goals,
    }
    print(json.dumps(document, indent=2))
    return 0 if all(goal["is_met"] for goal in goals.values()) else 1


def turn_pages(folder: Path, months: int) -> list[Turned]:
    """Return what is held while the calendar of the window is turned by key."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    from tests.gui.pictures import dress
    from tests.gui.turning import turned

    app = QApplication([])
    dress(app)
    return list(turned(app, folder / "window", months, 60))


def goals_of_months(pages: list[Turned]) -> dict[str, dict[str, object]]:
    """Return the growth since the first fifth of the months, and whether Qt's objects grew."""
    first, last = pages[len(pages) // 5], pages[-1]
    blocks = last.blocks / first.blocks
    return {
        "blocks of the interpreter, months": {
            "growth": round(blocks, 4),
            "most": MOST_GROWTH,
            "is_met": blocks <= MOST_GROWTH,
        },
        "objects of Qt, months": {
            "first": first.objects,
            "last": last.objects,
            "is_met": last.objects <= first.objects,
        },
    }


def goals_of(held: list[Held]) -> dict[str, dict[str, object]]:
    """Return how much was held at the end over what was held when it was warm."""
    first, last = held[0], held[-1]
    blocks = last.blocks / first.blocks
    found: dict[str, dict[str, object]] = {
        "blocks of the interpreter": {
            "growth": round(blocks, 4),
            "most": MOST_GROWTH,
            "is_met": blocks <= MOST_GROWTH,
        }
    }
    if first.resident_kib is not None and last.resident_kib is not None:
        grown, file = last.resident_kib - first.resident_kib, last.file_kib - first.file_kib
        growth = (last.resident_kib - file) / first.resident_kib
        found["resident memory without the file's new pages"] = {
            "growth": round(growth, 4),
            "grown_kib": grown,
            "file_grown_kib": file,
            "most": MOST_GROWTH,
            "is_met": growth <= MOST_GROWTH,
        }
    return found


if __name__ == "__main__":
    sys.exit(main())
