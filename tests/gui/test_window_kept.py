"""The window is as it was left, and what was written is backed up when it goes."""

from __future__ import annotations

import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from tankkeeper.app.doors import HouseKeeping
from tankkeeper.app.instance import HouseLock
from tankkeeper.app.wanted import Wanted
from tankkeeper.app.window_state import WindowMemory
from tankkeeper.core.turns import State
from tankkeeper.gui import session
from tankkeeper.gui.openings import Opened, Standing
from tests.gui import round_house
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands

ROOT = Path(__file__).resolve().parents[2]

# Another program of ours, at the moment at which the window of the test stands.
TICK = """
import sys
from datetime import timedelta, datetime
from pathlib import Path
from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.services.ticking import Tick, tick
desk = open_desk(Path(sys.argv[1]), FixedClock(datetime.fromisoformat(sys.argv[2])))
tick(desk, [Tick(sys.argv[3], by="bo")])
desk.store.close()
"""


def _backups(hands: Hands) -> list[Path]:
    return sorted(hands.path.parent.glob(f"{hands.path.stem}-backups/*.tankkeeper"))


def _left(hands: Hands) -> list[tuple[str, Standing]]:
    told: list[tuple[str, Standing]] = []
    hands.window.left.connect(lambda where, standing: told.append((where, standing)))
    return told


def _opens_as(hands: Hands, standing: Standing, told: str = "") -> None:
    """Open the same household once more, as it was left."""
    here = hands.window.doors.here

    def door() -> Opened:
        return replace(here(), standing=standing, told=told)

    hands.window.open(door)
    hands.settle()


@pytest.mark.parametrize(
    ("key", "view", "left"), [("Ctrl+1", "round", "calendar"), ("Ctrl+2", "calendar", "round")]
)
def test_the_key_of_a_view_that_is_pressed_while_it_opens_stands(
    live_in: LiveIn, key: str, view: str, left: str
) -> None:
    """The view that was left does not take its place as soon as it is there."""
    hands = live_in()
    here = hands.window.doors.here
    hands.window.open(lambda: replace(here(), standing=Standing(left, None)))

    hands.hit(key)
    hands.settle()

    frame, morning = hands.window.frame, hands.window.morning
    assert frame is not None
    assert morning is not None
    assert frame.view_id == view
    assert frame.stack.currentWidget() is morning.shown_page
    assert (morning.shown_page is morning.page) is (view == "round")


def test_what_is_open_is_told_when_the_window_closes(live_in: LiveIn) -> None:
    """View, chosen tank and the person, with the household they belong to."""
    hands = live_in(person="Ada")
    told = _left(hands)
    hands.press("Ctrl+Down", "Ctrl+2", "Ctrl+Shift+P")

    hands.close()

    assert told == [(str(hands.path), Standing("calendar", "reef", "bo", "Quay 3"))]


def test_a_household_opens_in_the_view_and_on_the_tank_it_was_left(live_in: LiveIn) -> None:
    """The rail, the round and the view agree; nothing is chosen in passing."""
    hands = live_in()

    _opens_as(hands, Standing("calendar", "nook"))

    assert hands.frame.view_id == "calendar"
    assert hands.frame.rail.chosen_id == "nook"
    assert {row.item.chore.tank for row in hands.rows()} == {"nook"}


def test_the_calendar_opens_on_the_board_where_it_was_left_there(live_in: LiveIn) -> None:
    """With as many days as fit; its key leads to the month, and that is kept as well."""
    hands = live_in()
    hands.press("Ctrl+2", "B")
    assert hands.window.morning is not None
    page = page_of(hands)
    assert page.board.sheet is not None
    days = len(page.board.sheet.days)
    told = _left(hands)

    _opens_as(hands, Standing("calendar", on_board=True))

    page = page_of(hands)
    assert page.is_board
    assert page.board.sheet is not None
    assert len(page.board.sheet.days) == days
    assert page.board.table.hasFocus()
    hands.press("M")
    assert not page.is_board
    assert page.month.table.day == round_house.THURSDAY
    hands.press("B", "Ctrl+1")
    hands.close()
    assert [(one.view, one.on_board) for _, one in told] == [("calendar", True), ("round", True)]


def test_a_calendar_that_nobody_opened_stays_on_the_board(live_in: LiveIn) -> None:
    """A day on which only the round was looked at forgets nothing."""
    hands = live_in()
    _opens_as(hands, Standing("round", on_board=True))
    told = _left(hands)

    _opens_as(hands, Standing("round", on_board=True))
    hands.press("Ctrl+2")

    assert [one.on_board for _, one in told] == [True]
    assert page_of(hands).is_board


def test_the_month_is_shown_whose_key_comes_before_the_board_was_read(live_in: LiveIn) -> None:
    """The last key says what is wanted, though no month stands there yet."""
    hands = live_in()
    _opens_as(hands, Standing("round", on_board=True))
    hands.hit("Ctrl+2")
    hands.hit("M")
    hands.settle()

    assert not page_of(hands).is_board
    assert page_of(hands).month.table.day == round_house.THURSDAY


def test_a_tank_that_is_gone_opens_the_whole_house(live_in: LiveIn) -> None:
    """What was chosen may have been taken away meanwhile, and a view may be of another version."""
    hands = live_in()

    _opens_as(hands, Standing("lagoon", "sold"))

    assert hands.frame.view_id == "round"
    assert hands.frame.rail.chosen_id is None
    assert {row.item.chore.tank for row in hands.rows()} == {"reef", "nook", None}


def test_what_there_is_to_say_of_the_opening_is_said(live_in: LiveIn) -> None:
    """Somebody else has it open: told once in the bottom line."""
    hands = live_in()

    _opens_as(hands, Standing("round"), "Also open in process 7 on harbour.")

    assert hands.told == "Also open in process 7 on harbour."


def test_what_was_written_is_backed_up_when_the_window_closes(live_in: LiveIn) -> None:
    """The copy holds the last tick; closing again without a change makes none."""
    hands = live_in()
    assert _backups(hands) == []
    hands.press("Space")

    hands.close()

    copies = _backups(hands)
    assert len(copies) == 1
    again = live_in(is_there=True)
    assert again.state("glass") is State.DONE
    again.close()
    assert _backups(hands) == copies


def test_a_copy_that_may_be_spoiled_is_not_backed_up(live_in: LiveIn) -> None:
    """The sample household is made anew; backups of it would be heaps of nothing."""
    hands = live_in()
    assert hands.window.session is not None
    hands.window.session.backs_up = False
    hands.press("Space")

    hands.close()

    assert _backups(hands) == []


def test_the_foot_tells_that_a_copy_is_not_backed_up(live_in: LiveIn) -> None:
    """Rather than that no backup was made yet."""
    hands = live_in()
    assert hands.window.session is not None
    hands.window.session.backs_up = False
    hands.window.session.refresh()
    hands.settle()
    assert hands.frame.bottom._texts[0] == "Kept without backups"

    # As before a restore, where what was there before stays as a backup.
    hands.press("Space")
    hands.window.session.back_up()
    hands.settle()
    hands.window.session.refresh()
    hands.settle()
    hands.window.morning.foot._on_fade()  # type: ignore[union-attr]
    assert hands.frame.bottom._texts[0] == "Backed up today at 07:04"


def test_a_backup_that_cannot_be_written_is_logged_and_the_window_closes(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The household is closed all the same: another process can open and write it."""
    # The log itself would have Python take note of Qt's thread, which then seems left behind.
    logged: list[str] = []
    monkeypatch.setattr(
        session, "_log", SimpleNamespace(warning=lambda text, **_: logged.append(text))
    )
    hands = live_in()
    hands.press("Space")
    (hands.path.parent / f"{hands.path.stem}-backups").write_text("a file where the folder goes")

    hands.close()

    assert logged == ["no backup could be written on leaving"]
    assert len(hands.log()) == 1
    assert not hands.path.with_name(f"{hands.path.name}-wal").exists()


def test_a_window_that_closes_waits_for_nothing(live_in: LiveIn) -> None:
    """Whatever hangs behind it, its own thread goes on at once, with nothing on the screen."""
    hands = live_in()
    go_on = threading.Event()
    hands.window.worker.run(go_on.wait, lambda _done: None, lambda _error: None)

    hands.window.shell.close()

    # Had anything here waited for the worker, this line would not be reached: nobody else lets go.
    assert not hands.window.shell.isVisible()
    go_on.set()
    hands.window.worker.finish()
    assert not hands.path.with_name(f"{hands.path.name}-wal").exists()


def test_the_title_names_the_household(live_in: LiveIn) -> None:
    """Not the file it was opened from."""
    hands = live_in()
    assert hands.window.session is not None
    house = hands.window.session.household
    assert house is not None
    assert hands.window.shell.windowTitle() == f"{house.name} - tankkeeper"


def test_a_person_is_kept_at_once_when_chosen(live_in: LiveIn, tmp_path: Path) -> None:
    """A window that is killed afterwards opens with the same person at it: the file has it."""
    hands = live_in(person="Ada")
    file = tmp_path / "window.ini"
    wanted = Wanted(lambda: hands.path, lambda: "Ada", "quay", hands.path)
    keeping = HouseKeeping(wanted, WindowMemory(file), HouseLock())
    keeping.attend(hands.window)

    hands.press("Ctrl+Shift+P")

    assert hands.window.shell.isVisible()
    assert WindowMemory(file).standing(hands.path) == Standing("round", None, "bo", "Quay 3")
    assert WindowMemory(file).person(hands.path, None) == "bo"
    keeping.end()


def test_what_another_process_writes_is_shown_without_losing_place_or_typing(
    live_in: LiveIn,
) -> None:
    """A real second process ticks while a form is open; the next look shows it behind the form."""
    hands = live_in()
    hands.go_to("fill")
    hands.press("Space")
    form = hands.form()
    hands.type("1.")
    now = round_house.SEVEN.isoformat()
    subprocess.run(
        [sys.executable, "-c", TICK, str(hands.path), now, "glass"], cwd=ROOT, check=True
    )

    assert hands.window.morning is not None
    hands.window.morning._poll.timeout.emit()
    hands.settle()
    hands.type("3")

    assert hands.state("glass") is State.DONE
    assert hands.form() is form
    assert form.litres.text == "1.3"  # type: ignore[attr-defined]
    assert hands.selected() == ["fill"]
    hands.press("Return")
    assert hands.state("fill") is State.DONE


def test_a_window_that_is_ended_by_force_was_kept_as_it_stood(live_in: LiveIn) -> None:
    """The view and the board are told at the next look, once each, and not only at the end."""
    hands = live_in()
    told: list[Standing] = []
    hands.window.stands.connect(lambda _where, standing: told.append(standing))
    hands.press("Ctrl+2", "B")
    assert hands.window.morning is not None

    for _ in range(3):
        hands.window.morning._poll.timeout.emit()

    assert [(one.view, one.on_board) for one in told] == [("calendar", True)]
