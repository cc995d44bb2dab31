"""The session on its own: deeds in order, undone as they were done, told after they are kept."""

from collections import Counter

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from pytestqt.qtbot import QtBot

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.session import Session
from tankkeeper.gui.widgets.wait_line import WaitLine
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands


def _session(hands: Hands) -> Session:
    assert hands.window.session is not None
    return hands.window.session


def _no_refusal(error: TankkeeperError) -> None:
    raise error


def test_what_is_done_in_turn_waits_for_what_is_written(live_in: LiveIn) -> None:
    """The second deed sees the first one kept and shown."""
    hands = live_in()
    session = _session(hands)
    seen: list[bool] = []
    session.deeds.skip(["glass"], "", Answer("Skipped.", _no_refusal))

    session.keys.in_turn(lambda: seen.append(hands.row("glass").is_closed))

    assert seen == []
    hands.settle()
    assert seen == [True]


def test_a_refusal_goes_to_whoever_asked_and_is_told_nowhere_else(live_in: LiveIn) -> None:
    """Only the surroundings and bugs are told by the window."""
    hands = live_in()
    session = _session(hands)
    refused: list[TankkeeperError] = []
    told: list[object] = []
    session.did.connect(told.append)
    session.broke.connect(told.append)

    session.deeds.skip(["nothing-of-the-kind"], "", Answer("Skipped.", refused.append))
    hands.settle()

    assert len(refused) == 1
    assert isinstance(refused[0], UserFault)
    assert told == []
    assert not session.undoing.can_undo


def test_a_bug_is_told_to_the_window_and_the_session_goes_on(live_in: LiveIn) -> None:
    """A failure nobody foresaw ends nothing: the next key acts."""
    hands = live_in()
    session = _session(hands)
    broken: list[object] = []
    session.broke.disconnect()
    session.broke.connect(broken.append)

    def bug() -> tuple[()]:
        raise RuntimeError("a bug")

    session.write(lambda _desk: bug(), Answer("Done.", _no_refusal))
    hands.settle()
    assert isinstance(broken[0], RuntimeError)
    assert not session.is_behind
    hands.press("Space")

    assert hands.row("glass").is_closed


def test_undo_words_name_the_deed(live_in: LiveIn) -> None:
    """What undo would take back is said in the words in which it was told."""
    hands = live_in()
    session = _session(hands)
    assert session.undoing.words == ""

    hands.press("Space")

    assert session.undoing.words == "Ticked Clean the glass (Reef)."
    assert session.undoing.can_undo
    assert not session.undoing.can_redo


@pytest.mark.parametrize("times", [30])
def test_ticking_and_undoing_again_and_again_keeps_no_objects(
    live_in: LiveIn, qtbot: QtBot, times: int
) -> None:
    """No post, card or page is left for each deed."""
    hands = live_in()
    hands.press("Space", "Ctrl+Z")
    hands.go_to("glass")
    # It is made where work lasts, once, and stays.
    hands.frame.set_waiting(True)
    qtbot.waitUntil(lambda: bool(hands.frame.findChildren(WaitLine)))
    hands.frame.set_waiting(False)
    before = _objects(hands)

    for _ in range(times):
        hands.go_to("glass")
        hands.press("Space", "Ctrl+Z")

    # Something of the window itself, such as a timer that has rung, may last for a moment.
    qtbot.waitUntil(lambda: not _objects(hands) - before)


def _objects(hands: Hands) -> Counter[str]:
    """Return how many objects there are of each kind."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    parents = (hands.window, hands.frame)
    return Counter(type(one).__name__ for top in parents for one in top.findChildren(QObject))


def test_undo_in_a_new_window_leaves_older_days_and_other_people_alone_and_says_where(
    live_in: LiveIn,
) -> None:
    """A key that names nothing takes back what was written today, and nothing that was not."""
    yesterday = an_entry(1, "2026-03-14", done="glass", tank="reef")
    hands = live_in(entries=(yesterday,))

    hands.press("Ctrl+Z")

    assert hands.told == (
        "Nothing written today is left to undo; "
        "the newest entry that stands is of Saturday\u00a014: "
        "Done: Clean the glass. In the logbook (Ctrl+6), Del takes it back at its line."
    )
    assert len(hands.log()) == 1


def test_undo_in_a_new_window_tells_one_verb(live_in: LiveIn) -> None:
    """What the logbook calls done was undone, and then done again."""
    hands = live_in(entries=(an_entry(1, "2026-03-12", done="glass", tank="reef"),))

    hands.press("Ctrl+Z")
    assert hands.told == "Undone: Clean the glass."
    hands.press("Ctrl+Shift+Z")
    assert hands.told == "Done again: Clean the glass."


def test_undo_in_an_empty_household_says_so(live_in: LiveIn) -> None:
    """There is nothing anywhere."""
    hands = live_in()
    hands.press("Ctrl+Z")
    assert hands.told == "Nothing stands in the logbook that could be undone."


def test_what_is_read_besides_is_of_the_newest_reading_made(live_in: LiveIn) -> None:
    """The window may not have taken it yet; what is older would be shown and stay."""
    hands = live_in()
    session = _session(hands)
    before = session.last
    told: list[object] = []

    session.refresh()
    session.read_with(lambda _desk, shown: shown.state, told.append)
    hands.settle()

    assert before is not None
    assert session.last is not None
    assert session.last.state is not before.state
    assert [one is session.last.state for one in told] == [True]
