"""What is done at the window for the pictures of its files, without dialogs of the system."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from tankkeeper.gui.forms.work_form import WorkForm
from tankkeeper.gui.house_files import HouseFiles
from tankkeeper.gui.openings import Recent
from tankkeeper.services.watching import Step
from tests.gui.round_house import SEVEN, Hands

COVE = """\
format = "tankkeeper"
version = 1
[[people]]
name = "Ada"
[[rooms]]
name = "study"
[[tanks]]
name = "Cove"
room = "study"
shape = { litres = 30 }
[[chores]]
tank = "Cove"
kind = "glass"
name = "Scrape the glass"
rhythm = { after_last_done = "7 days" }
[[chores]]
tank = "Cove"
kind = "top-off"
name = "Top off"
rhythm = { after_last_done = "2 days" }
[[log]]
at = 2026-03-08T18:00:00+01:00
done = "Scrape the glass"
tank = "Cove"
"""


def _import(hands: Hands, text: str) -> None:
    file = hands.path.with_name("cove.toml")
    file.write_text(text, encoding="utf-8")
    HouseFiles(hands.window, hands.frame).bring_in(file)
    hands.settle()


def import_cove(hands: Hands) -> None:
    """Show what a file with one tank would bring."""
    _import(hands, COVE)


def import_bad(hands: Hands) -> None:
    """Show what is wrong with a file."""
    _import(hands, COVE.replace("litres = 30", "litres = -30").replace("7 days", "7 dogs"))


def import_taken(hands: Hands) -> None:
    """Show that a file names its tank as one is called that is there already."""
    _import(hands, COVE.replace("Cove", "Nook"))


def import_long(hands: Hands) -> None:
    """Show how far an import is that takes long."""
    work = WorkForm("Import cove.toml", hands.frame)
    work.show_far(Step.WRITING, 6200, 10107)
    work.open()
    hands.settle()


def open_recent(hands: Hands) -> None:
    """Show the recent households, the first of which is gone and was asked for."""
    houses = Path("/houses")
    recent = (
        Recent(houses / "attic" / "frag tanks.tankkeeper", is_there=False),
        Recent(houses / "harbour.tankkeeper"),
        Recent(houses / "school.tankkeeper"),
    )
    hands.window.doors = replace(hands.window.doors, recent=lambda: recent)
    hands.press("Ctrl+Shift+O", "Return")


def restore(hands: Hands) -> None:
    """Show two backups, and what has come since the newest."""
    session = hands.window.session
    assert session is not None
    store = session.desk.store
    store.rolling_backup(SEVEN - timedelta(days=3))
    hands.press("Space")
    store.rolling_backup(SEVEN - timedelta(hours=1))
    hands.go_to("lamp")
    hands.press("Space", "Ctrl+Shift+B", "Down")
