"""What is not shown yet is loaded while nobody waits: afterwards a key press loads nothing."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# Every view, page and common form; what these loaded is told, with the longest step of the warming.
CHILD = """
import os, sys, time
from pathlib import Path
from PySide6.QtWidgets import QApplication
from tests.gui import pictures, round_house
from tankkeeper.app.clock import FixedClock
app = QApplication([])
path = Path(sys.argv[1])
pictures.make_sample(path)
window = round_house.a_window(path, FixedClock(pictures.NOW))
window.show()
window.shell.activateWindow()
while window.session is None or window.session.last is None:
    app.processEvents()
hands = round_house.Hands(window, FixedClock(pictures.NOW), path, app)
hands.settle()
from tankkeeper.app import warming
ours = lambda: {name for name in sys.modules if name.startswith("tankkeeper.gui")}
at_first = ours()
step = warming.Warming(window)
while step.is_under_way:
    app.processEvents()
warmed = ours()
for key in ("Return", "Escape", "P", "Escape", "Shift+P", "Escape", "Ctrl+L", "Escape", "/", "g",
            "Escape", "Ctrl+2", "B", "Ctrl+6", "Ctrl+1", "F2", "Escape", "F3", "Return", "Escape",
            "Escape", "Ctrl+,", "Escape", "?", "Escape"):
    hands.press(key)
print(len(warmed - at_first), sorted(ours() - warmed))
hands.close()
"""


def test_after_warming_no_key_press_loads_a_module_of_the_window(tmp_path: Path) -> None:
    """In a process of its own, where nothing is loaded yet."""
    done = subprocess.run(
        [sys.executable, "-c", CHILD, str(tmp_path / "quay.tankkeeper")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    number, left = done.stdout.strip().splitlines()[-1].split(" ", 1)
    assert int(number) > 60
    assert left == "[]"
