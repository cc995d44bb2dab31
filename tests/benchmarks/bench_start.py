"""How long until the window stands, and until its rows do, against a bare window in the same run.

Run: python tests/benchmarks/bench_start.py [ROUNDS] [--household FILE]. Prints one JSON document.

Two yardsticks, each a child process of its own: a bare PySide6 window with one label, until it is
painted; and the same window that imports sqlalchemy.orm once it is painted. The program is started
as a person starts it, on a household of ten tanks with a year of log (made first, if none is
given), and tells itself when it was painted and when its rows stood (`--report-start`). The rounds
take turns, so that whatever else the machine does falls on all alike; medians are compared.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAINTED_GOAL, READY_GOAL = 1.35, 1.25

BARE = """
import sys, time
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow

class Bare(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        if not hasattr(self, "painted_at"):
            QTimer.singleShot(0, self.tell)
        self.painted_at = time.time()

    def tell(self):
        if "orm" in sys.argv:
            import sqlalchemy.orm
        print('{"painted_at": %r, "ready_at": %r}' % (self.painted_at, time.time()), flush=True)
        self.close()

app = QApplication([])
window = Bare()
window.setCentralWidget(QLabel("A window"))
window.resize(1280, 800)
window.show()
app.exec()
"""


def measured(command: list[str], home: Path) -> dict[str, float]:
    """Return the milliseconds from the start of a process until painted, and until ready."""
    environment = {
        name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"
    }
    environment |= {
        "QT_QPA_PLATFORM": "offscreen",
        "HOME": str(home),
        "XDG_CACHE_HOME": str(home / "cache"),
        "XDG_DATA_HOME": str(home / "data"),
        "XDG_CONFIG_HOME": str(home / "config"),
        "XDG_STATE_HOME": str(home / "state"),
        "PYTHONPATH": str(ROOT),
    }
    started = time.time()
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    told = json.loads(done.stdout.strip().splitlines()[-1])
    times = {name[:-3]: (told[name] - started) * 1000.0 for name in ("painted_at", "ready_at")}
    return times | {"longest_wait": told.get("longest_wait_ms", 0.0)}


def household(home: Path) -> Path:
    """Return a new household of ten tanks with a year of log."""
    from tests.benchmarks.big_house import write_big_house

    where = home / "big.tankkeeper"
    write_big_house(where)
    return where


def big_house_now() -> str:
    """Return the moment at which that household is opened."""
    from tests.benchmarks.bench_state import NOW

    return NOW.isoformat()


def main() -> None:
    """Measure and print."""
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("rounds", nargs="?", type=int, default=11)
    reader.add_argument("--household", type=Path)
    said = reader.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        where = said.household or household(home)
        ours = [sys.executable, "-m", "tankkeeper", "--household", str(where), "--report-start"]
        if said.household is None:
            ours += ["--now", big_house_now()]
        bare = [sys.executable, "-c", BARE]
        kinds = {"bare": bare, "bare and orm": [*bare, "orm"], "tankkeeper": ours}
        for command in kinds.values():
            measured(command, home)
        rows = {kind: [] for kind in kinds}
        for _ in range(said.rounds):
            for kind, command in kinds.items():
                rows[kind].append(measured(command, home))
    print(json.dumps(summary(rows), indent=2))


def summary(rows: dict[str, list[dict[str, float]]]) -> dict[str, object]:
    """Return medians in milliseconds and the two ratios beside their goals."""
    median = {
        kind: {
            what: round(statistics.median(one[what] for one in found), 1)
            for what in ("painted", "ready", "longest_wait")
        }
        for kind, found in rows.items()
    }
    painted = median["tankkeeper"]["painted"] / median["bare"]["painted"]
    ready = median["tankkeeper"]["ready"] / median["bare and orm"]["ready"]
    return {
        "rounds": len(rows["bare"]),
        "median_ms": median,
        "painted_ratio": round(painted, 3),
        "painted_goal": PAINTED_GOAL,
        "ready_ratio": round(ready, 3),
        "ready_goal": READY_GOAL,
    }


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
