"""The thread beside the window: in order, nothing lost, and nothing of the window let go in it."""

from __future__ import annotations

import threading
import weakref
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from tankkeeper.gui.worker import Worker


@pytest.fixture
def worker(qapp: object) -> Iterator[Worker]:
    made = Worker()
    yield made
    made.finish()


def _never(_given: object) -> None:
    raise AssertionError("nobody was to be told")


def test_one_thing_is_done_after_the_other_and_told_in_the_thread_of_the_window(
    worker: Worker, qtbot: QtBot
) -> None:
    here = threading.get_ident()
    done_in: list[int] = []
    told: list[tuple[int, int]] = []

    for number in range(20):

        def work(number: int = number) -> int:
            done_in.append(threading.get_ident())
            return number

        worker.run(work, lambda given: told.append((given, threading.get_ident())), _never)
    with qtbot.waitSignal(worker.idle):
        pass

    assert told == [(number, here) for number in range(20)]
    assert set(done_in) != {here}
    assert len(set(done_in)) == 1
    assert not worker.is_busy


def test_what_fails_is_told_and_the_next_is_done(worker: Worker, qtbot: QtBot) -> None:
    fault = ValueError("a file that is none")
    told: list[object] = []

    def fails() -> object:
        raise fault

    worker.run(fails, _never, told.append)
    worker.run(lambda: "the next", told.append, _never)
    with qtbot.waitSignal(worker.idle):
        pass

    assert told == [fault, "the next"]


def test_what_is_not_wanted_any_more_is_done_but_not_told(worker: Worker, qtbot: QtBot) -> None:
    """As when another household is opened: what the one before had under way still ends."""
    may_go_on = threading.Event()
    done: list[str] = []

    def slow() -> None:
        may_go_on.wait(20)
        done.append("slow")

    worker.run(slow, _never, _never)
    worker.forget()
    assert not worker.is_busy
    may_go_on.set()
    worker.run(lambda: done.append("next"), lambda _none: done.append("told"), _never)
    qtbot.waitUntil(lambda: "told" in done)

    assert done == ["slow", "next", "told"]


def test_the_thread_holds_nothing_of_an_errand_once_that_is_told(
    worker: Worker, qtbot: QtBot
) -> None:
    """Whatever belongs to the window is let go in its thread, so that it is deleted there."""

    class Page:
        """Stands for a widget that the work was asked for."""

    let_go_in: list[int] = []
    told: list[object] = []

    def ask() -> None:
        page = Page()
        weakref.finalize(page, lambda: let_go_in.append(threading.get_ident()))
        worker.run(lambda: repr(page), told.append, _never)

    for _ in range(200):
        ask()
    with qtbot.waitSignal(worker.idle):
        pass

    assert len(told) == 200
    assert let_go_in == [threading.get_ident()] * 200


def test_another_thread_has_things_done_in_the_thread_of_the_window(
    worker: Worker, qtbot: QtBot
) -> None:
    done_in: list[int] = []
    other = threading.Thread(
        target=worker.tell, args=(lambda: done_in.append(threading.get_ident()),)
    )
    other.start()
    other.join()
    qtbot.waitUntil(lambda: bool(done_in))

    assert done_in == [threading.get_ident()]
