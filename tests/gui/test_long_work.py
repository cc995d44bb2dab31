"""Work that lasts shows how far it is, and one key stops it with nothing changed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest
from pytestqt.qtbot import QtBot

from tankkeeper.gui.forms.standing_over import top_form
from tankkeeper.gui.forms.work_form import STOPPING, WorkForm
from tankkeeper.gui.house_files import HouseFiles
from tankkeeper.gui.long_work import LongWork
from tankkeeper.services.desk import Desk
from tankkeeper.services.watching import Step, Watch
from tests.gui.conftest import LiveIn
from tests.gui.round_house import SEVEN, Hands
from tests.gui.test_house_files import COVE, tanks, write

LOG = """\
[[log]]
at = 2026-03-{day:02}T09:00:00+01:00
note = "{number}"
"""


def _long(hands: Hands) -> LongWork:
    found = hands.frame.findChild(LongWork)
    assert found is not None
    return found


def _until(hands: Hands, told: Event) -> None:
    """Let the window live until the worker tells that it stands where it is to wait."""
    assert told.wait(30)
    hands.app.processEvents()


@contextmanager
def _endless_export(hands: Hands) -> Iterator[None]:
    """Begin an export that tells how far it is until it is stopped."""
    is_told, is_over = Event(), Event()

    def endless(_desk: Desk, _path: Path, _tank: str | None, watch: Watch) -> str:
        watch(Step.WRITING, 0, 1000)
        is_told.set()
        while not is_over.wait(0.01):
            watch(Step.WRITING, 300, 1000)
        return "Nobody stopped it."

    hands.window.doors = replace(hands.window.doors, take_out=endless)
    HouseFiles(hands.window, hands.frame)._export(str(hands.path.with_name("all.toml")))
    _until(hands, is_told)
    try:
        yield
    finally:
        is_over.set()


def test_an_export_that_lasts_is_shown_and_stopped_by_escape(live_in: LiveIn, qtbot: QtBot) -> None:
    """The form tells how many entries of how many; Escape asks once, and the foot says the rest."""
    hands = live_in()
    with _endless_export(hands):
        _long(hands).show()
        form = hands.frame.findChild(WorkForm)
        assert form is not None
        qtbot.waitUntil(lambda: "300 of 1000 entries" in form.line.text())
        assert (form.bar.value(), form.bar.maximum()) == (300, 1000)

        hands.hit("Esc")
        stopping = form.line.text()
        hands.hit("Esc")
        hands.settle()

    assert stopping == STOPPING
    assert hands.told == "Stopped. Nothing was changed by it."
    assert hands.frame.findChild(LongWork) is None or not hands.has_form()
    hands.press("Space")
    assert hands.told.startswith("Ticked")


def test_what_is_over_soon_shows_no_form(live_in: LiveIn, tmp_path: Path) -> None:
    """Its end takes away what would have shown it."""
    hands = live_in()
    HouseFiles(hands.window, hands.frame)._export(str(tmp_path / "all.toml"))
    long = _long(hands)
    hands.settle()

    long.show()

    assert long.form is None
    assert not hands.has_form()


def test_an_import_that_is_stopped_while_it_writes_leaves_nothing(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """Half of its rows were written by then; the form stays with what it showed, to be tried again.

    The row at which it waits stands in the middle of the file.
    """
    hands = live_in()
    text = COVE + "".join(LOG.format(day=1 + at // 40, number=at) for at in range(350))
    HouseFiles(hands.window, hands.frame).bring_in(write(tmp_path, text))
    hands.settle()
    is_half, may_go_on = Event(), Event()
    plain = LongWork.watch

    def held(self: LongWork, step: Step, done: int, of: int) -> None:
        if step is Step.WRITING and done == 200:
            is_half.set()
            may_go_on.wait(30)
        plain(self, step, done, of)

    LongWork.watch = held  # type: ignore[method-assign]
    try:
        hands.hit("Return")
        _until(hands, is_half)
        # On a machine that is slow today it may stand already.
        _long(hands).show()
        hands.app.processEvents()
        assert isinstance(top_form(), WorkForm)
        hands.hit("Esc")
        may_go_on.set()
        hands.settle()
    finally:
        LongWork.watch = plain  # type: ignore[method-assign]
    # What a window manager does when the form above was closed.
    hands.form().activateWindow()  # type: ignore[union-attr]
    hands.app.processEvents()
    refused, left = hands.form().accessibleDescription(), tanks(hands)  # type: ignore[union-attr]
    hands.press("Return")

    assert refused == "Stopped. Nothing was changed by it."
    assert left == ["Reef", "Nook"]
    assert tanks(hands) == ["Reef", "Nook", "Cove"]
    assert len(hands.log()) == 351


@contextmanager
def _held_at(step: Step) -> Iterator[tuple[Event, Event]]:
    """Let the first long work that comes to a step wait there until it may go on."""
    is_there, may_go_on = Event(), Event()
    plain = LongWork.watch

    def held(self: LongWork, at: Step, done: int, of: int) -> None:
        if at is step and not is_there.is_set():
            is_there.set()
            may_go_on.wait(30)
        plain(self, at, done, of)

    LongWork.watch = held  # type: ignore[method-assign]
    try:
        yield is_there, may_go_on
    finally:
        may_go_on.set()
        LongWork.watch = plain  # type: ignore[method-assign]


@pytest.mark.parametrize("step", [Step.COPYING, Step.CHECKING])
def test_a_copy_that_lasts_is_shown_and_stopped_by_escape(
    live_in: LiveIn, tmp_path: Path, step: Step
) -> None:
    """Nothing lies where it was to be."""
    hands = live_in()
    target = tmp_path / "elsewhere" / "copy.tankkeeper"
    with _held_at(step) as (is_there, may_go_on):
        HouseFiles(hands.window, hands.frame)._copy(str(target))
        _until(hands, is_there)
        _long(hands).show()
        hands.app.processEvents()
        form = top_form()
        assert isinstance(form, WorkForm)
        assert form.windowTitle() == "Save a copy as copy.tankkeeper"
        hands.hit("Esc")
        may_go_on.set()
        hands.settle()

    assert hands.told == "Stopped. Nothing was changed by it."
    assert list(target.parent.iterdir()) == []
    hands.press("Space")
    assert hands.told.startswith("Ticked")


def test_a_restore_that_is_stopped_can_be_tried_again(live_in: LiveIn) -> None:
    """The form stays with what it showed, and nothing was changed."""
    hands = live_in()
    store = hands.window.session.desk.store  # type: ignore[union-attr]
    hands.press("Space")
    assert store.rolling_backup(SEVEN) is not None
    hands.go_to("lamp")
    hands.press("Space", "Ctrl+Shift+B")
    with _held_at(Step.CHECKING) as (is_there, may_go_on):
        hands.hit("Return")
        _until(hands, is_there)
        _long(hands).show()
        hands.app.processEvents()
        hands.hit("Esc")
        may_go_on.set()
        hands.settle()
    hands.form().activateWindow()
    hands.app.processEvents()
    refused, left = hands.form().accessibleDescription(), len(hands.log())
    hands.press("Return")

    assert refused == "Stopped. Nothing was changed by it."
    assert left == 2
    assert not hands.has_form()
    assert len(hands.log()) == 1


def test_what_is_put_in_place_is_not_stopped_any_more(live_in: LiveIn) -> None:
    """The form says so, and its key does nothing."""
    hands = live_in()
    form = WorkForm("Restore", hands.frame)
    asked: list[bool] = []
    form.stopped.connect(lambda: asked.append(True))
    form.open()
    form.show_far(Step.COPYING, 300, 1000)
    assert form.line.text() == "Copying: 30\N{NO-BREAK SPACE}%."
    form.show_far(Step.REPLACING, 0, 0)
    hands.hit("Esc")

    assert form.line.text() == "Putting it in place, which is not stopped any more."
    assert asked == []
    form.end()
