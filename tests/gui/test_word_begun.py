"""Words that begin with the letter of a command: they are found, and the command is taken back."""

from __future__ import annotations

from datetime import date, time

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tankkeeper.core.logbook import Revoke, Skip
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.away_form import AwayForm
from tankkeeper.gui.word_begun import WORD_OF_KEYS_S, WORD_S, WordBegun, pressed_at
from tests.builders import an_entry
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.test_morning import _locked

# Within both limits, between them, and past both.
QUICK = WORD_OF_KEYS_S / 2
HESITANT = (WORD_OF_KEYS_S + WORD_S) / 2
LATE = WORD_S + 0.1
NOT_SKIPPED = "\u201cs\u201d began a word to find: nothing was skipped."
SKIP_BACK = "\u201cs\u201d began a word to find: what it skipped is taken back."
TICK_BACK = "\u201cy\u201d began a word to find: what it ticked is taken back."
NOT_TICKED = "\u201cy\u201d began a word to find: nothing was ticked."
STAYS = "\u201c{}\u201d began a word to find: the calendar stays where it was."
NINETEENTH = date(2026, 3, 19)


class Fingers:
    """A person who types so many seconds from letter to letter, and waits before other keys."""

    def __init__(self, hands: Hands) -> None:
        self.hands = hands
        self._at_s = 100.0
        self._after_s: float | None = None
        assert hands.window.morning is not None
        word_begun: WordBegun = hands.window.morning.word_begun
        word_begun.pressed_at = self._pressed_at

    def _pressed_at(self, event: QKeyEvent) -> float:
        pause_s = 60.0
        if self._after_s is not None:
            # A press is asked about more than once, be it by Qt or by the form it comes to.
            if event.type() == QEvent.Type.ShortcutOverride:
                self._at_s += self._after_s
            return self._at_s
        # After another key one looks before one types.
        self._at_s += 2 * pause_s
        return self._at_s - pause_s

    def type(self, text: str, after_s: float = QUICK) -> None:
        """Type letters one behind the other, and wait for nothing."""
        for letter in text:
            self._after_s = after_s
            QTest.keyClick(self.hands.focus(), letter)
            self._after_s = None

    def capital(self, letter: str) -> None:
        """Type a letter with Shift, and wait for nothing."""
        self._after_s = QUICK
        QTest.keyClick(self.hands.focus(), letter, Qt.KeyboardModifier.ShiftModifier)
        self._after_s = None

    def write(self, text: str, after_s: float = QUICK) -> None:
        """Type letters, and let each be dealt with before the next."""
        for letter in text:
            self.type(letter, after_s)
            self.hands.settle()


def _found(hands: Hands) -> str | None:
    """Return what stands in the find bar, None where it is closed."""
    assert hands.window.morning is not None
    finders = hands.window.morning.finders
    desk = None if finders is None else finders.here
    return desk.bar.text if desk is not None and desk.is_open else None


def _facts(hands: Hands) -> list[str]:
    return [type(one.entry.fact).__name__ for one in reversed(hands.log())]


def _is_as_before(hands: Hands, chores: tuple[str, ...]) -> bool:
    return all(hands.row(one).item.is_open for one in chores)


def _in_calendar(live_in: LiveIn) -> tuple[Hands, Fingers]:
    hands = live_in(small_house(chores=(*small_house().chores, chore("salt", "Salinity", 12))))
    hands.press("Ctrl+2")
    return hands, Fingers(hands)


@pytest.mark.parametrize("is_settled", [False, True])
def test_a_word_that_begins_with_s_is_found_and_nothing_is_skipped(
    live_in: LiveIn, is_settled: bool
) -> None:
    """Nothing is written where the letters come in time; else the line is to be done again."""
    hands = live_in(small_house(chores=(*small_house().chores, chore("salt", "Salinity", 12))))
    fingers = Fingers(hands)
    hands.go_to("wipe")

    (fingers.write if is_settled else fingers.type)("salinity")
    hands.settle()

    assert _found(hands) == "salinity"
    assert hands.current() == "salt"
    assert hands.state("wipe") is State.DUE
    assert hands.told == (SKIP_BACK if is_settled else NOT_SKIPPED)
    assert _facts(hands) == (["Skip", "Revoke"] if is_settled else [])


def test_a_skip_waits_only_as_long_as_a_word_may_begin(live_in: LiveIn) -> None:
    """No other key has to come."""
    hands = live_in()
    hands.go_to("wipe")

    hands.hit("s")
    assert hands.state("wipe") is State.DUE
    QTest.qWait(round(1000 * WORD_OF_KEYS_S) + 250)
    hands.window.worker.settle(hands.app)

    assert _facts(hands) == ["Skip"]
    assert hands.state("wipe") is State.SKIPPED


def test_keys_behind_a_skip_act_on_what_comes_then(live_in: LiveIn) -> None:
    """Nobody waits for the moment in which a word may begin."""
    hands = live_in()
    hands.go_to("wipe")

    hands.hit("s")
    hands.hit("Space")
    hands.settle()

    assert hands.state("wipe") is State.SKIPPED
    assert _facts(hands) == ["Skip"]
    assert hands.current() != "wipe"
    assert hands.has_form()


def test_a_click_right_behind_a_skip_changes_no_line_of_it(live_in: LiveIn) -> None:
    """The line is skipped that was in hand when the key was pressed."""
    hands = live_in()
    hands.go_to("wipe")

    hands.hit("s")
    hands.click(QPoint(200, hands.area("lamp").center().y()))
    hands.settle()

    assert hands.state("wipe") is State.SKIPPED
    assert hands.row("lamp").item.is_open
    assert _facts(hands) == ["Skip"]


def test_a_window_that_is_closed_right_behind_a_skip_keeps_it(live_in: LiveIn) -> None:
    """What was said is written, be the window gone by then."""
    hands = live_in()
    hands.go_to("wipe")

    hands.hit("s")
    hands.window.shell.close()
    assert hands.window.worker.finish()

    assert _facts(hands) == ["Skip"]


def test_y_writes_nothing_where_it_began_a_word(live_in: LiveIn) -> None:
    """As with a skip; where a line asks something, nothing waits: a number may follow."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("glass")
    fingers.type("ye")
    hands.settle()
    assert hands.told == NOT_TICKED
    assert _facts(hands) == []
    hands.press("Esc")
    hands.go_to("change")

    hands.hit("y")

    assert hands.has_form()


@pytest.mark.parametrize(("typed", "told"), [("Sal", "skipped"), ("Pel", "paused")])
def test_a_word_with_a_capital_is_found_and_its_form_goes(
    live_in: LiveIn, typed: str, told: str
) -> None:
    """Names are written so; the same letter with Shift opens a form."""
    chores = (
        *small_house().chores,
        chore("salt", "Salinity", 12),
        chore("pellets", "Pellets", 12),
    )
    hands = live_in(small_house(chores=chores))
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.capital(typed[0])
    hands.settle()
    assert hands.has_form()
    fingers.write(typed[1:])

    assert not hands.has_form()
    assert _found(hands) == typed
    assert hands.told == f"\u201c{typed[0]}\u201d began a word to find: nothing was {told}."
    assert _facts(hands) == []


def test_with_caps_lock_a_letter_is_its_key_without_shift(live_in: LiveIn) -> None:
    """The letter is a capital, but S skips: it is held back as ever."""
    hands = live_in(small_house(chores=(*small_house().chores, chore("salt", "Salinity", 12))))
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.type("SA")
    hands.settle()

    assert _found(hands) == "SA"
    assert _facts(hands) == []


def test_a_reason_that_is_typed_at_once_stays_one(live_in: LiveIn) -> None:
    """Nothing that is here has a word which begins so."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.capital("S")
    hands.settle()
    fingers.write("xx")

    assert hands.has_form()
    assert _found(hands) is None


@pytest.mark.parametrize("is_in_bar", [False, True])
def test_the_next_search_tells_no_more_of_the_letter_that_began_the_last(
    live_in: LiveIn, is_in_bar: bool
) -> None:
    """What is told of it stays while its own word is typed, corrected and shown."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    fingers.write("salz")
    hands.press("Backspace")
    fingers.write("in")
    assert _found(hands) == "salin"
    assert hands.told == SKIP_BACK

    if is_in_bar:
        hands.press("Ctrl+A")
        fingers.write("feed")
    else:
        hands.press("Esc")
        assert hands.told == SKIP_BACK
        hands.press("Ctrl+F")

    assert hands.told != SKIP_BACK
    assert "began a word" not in hands.told


def test_the_next_search_leaves_what_other_keys_told(live_in: LiveIn) -> None:
    """Done a moment ago is done whatever is looked for."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    told = hands.told
    assert told.startswith("Ticked")

    hands.press("Ctrl+F")

    assert hands.told == told


def test_the_letters_that_are_typed_while_the_skip_is_kept_are_not_lost(live_in: LiveIn) -> None:
    """All three are in the bar before the file can be written."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    assert hands.window.morning is not None
    with _locked(hands.path):
        fingers.type("s")
        hands.window.morning.word_begun.wait_no_longer()
        fingers.type("al")
        assert _found(hands) == "sal"
    hands.settle()

    assert _found(hands) == "sal"
    assert hands.state("wipe") is State.DUE
    assert hands.told == SKIP_BACK


def test_a_skip_that_waits_for_its_turn_is_left_out(live_in: LiveIn) -> None:
    """A tick is still being kept: the skip behind it never comes, and the tick stays."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    with _locked(hands.path):
        hands.hit("Space")
        fingers.type("sal")
    hands.settle()

    assert _found(hands) == "sal"
    assert hands.state("wipe") is State.DONE
    assert not any(isinstance(one.entry.fact, Revoke | Skip) for one in hands.log())
    assert len(hands.log()) == 1


def test_escape_leads_back_to_the_line_that_was_skipped(live_in: LiveIn) -> None:
    """The keys had gone on to the next line by the second letter."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.write("s")
    assert hands.current() != "wipe"
    fingers.write("q")
    hands.press("Esc")

    assert hands.current() == "wipe"
    assert hands.list.hasFocus()


def test_escape_leads_back_where_the_skip_was_still_being_kept(live_in: LiveIn) -> None:
    """What comes of the skip moves the keys no more."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.type("sq")
    hands.settle()
    hands.press("Esc")

    assert hands.current() == "wipe"


def test_the_same_letter_again_is_a_second_command(live_in: LiveIn) -> None:
    """Two lines are skipped, however fast; a word behind them takes back the second alone."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    fingers.write("ss")

    assert _found(hands) is None
    assert _facts(hands) == ["Skip", "Skip"]
    fingers.write("a")

    assert _found(hands) == "sa"
    assert _facts(hands) == ["Skip", "Skip", "Revoke"]
    assert hands.state("wipe") is State.SKIPPED


def test_a_key_that_is_held_down_is_no_word(live_in: LiveIn) -> None:
    """A letter that repeats itself is not pressed again."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    fingers.type("s")
    for kind in (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress):
        none = Qt.KeyboardModifier.NoModifier
        held = QKeyEvent(kind, Qt.Key.Key_A, none, "a", autorep=True)
        QApplication.sendEvent(hands.list, held)
    hands.settle()

    assert _found(hands) is None
    assert hands.state("wipe") is State.SKIPPED


def test_a_letter_that_is_a_key_too_is_a_word_only_right_behind(live_in: LiveIn) -> None:
    """P after a pause puts the next line off, as it always did."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.write("sp", HESITANT)
    assert hands.has_form()
    hands.press("Esc")
    assert hands.state("wipe") is State.SKIPPED
    fingers.write("sp")

    assert not hands.has_form()
    assert _found(hands) == "sp"
    assert _facts(hands) == ["Skip", "Skip", "Revoke"]


def test_a_letter_that_is_no_key_may_come_later(live_in: LiveIn) -> None:
    """Past a second it begins a word of its own, and the skip was meant."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.write("sa", HESITANT)
    assert _found(hands) == "sa"
    assert hands.state("wipe") is State.DUE
    hands.press("Esc")
    fingers.write("s")
    fingers.write("a", LATE)

    assert _found(hands) == "a"
    assert hands.state("wipe") is State.SKIPPED


def test_another_key_or_a_click_in_between_ends_the_word(live_in: LiveIn) -> None:
    """Who goes elsewhere with the keys or the mouse meant the skip."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    fingers.write("s")
    hands.press("Down")
    fingers.write("a")
    assert _found(hands) == "a"
    hands.press("Esc")
    hands.go_to("floss")
    fingers.write("s")
    hands.click(QPoint(200, hands.area("lamp").center().y()))
    fingers.write("a")

    assert _found(hands) == "a"
    assert {hands.state("wipe"), hands.state("floss")} == {State.SKIPPED}


def test_y_takes_back_what_it_ticked(live_in: LiveIn) -> None:
    """Done yesterday, in the same way."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("glass")

    fingers.write("ye")

    assert _found(hands) == "ye"
    assert hands.row("glass").item.is_open
    assert hands.told == TICK_BACK
    assert len(hands.log()) == 2


@pytest.mark.parametrize("asked", ["test", "change", "fill"])
def test_whatever_a_line_asks_y_begins_a_word_there_as_well(live_in: LiveIn, asked: str) -> None:
    """What begins with a letter is no reading and no litres."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to(asked)

    fingers.write("ya")

    assert not hands.has_form()
    assert _found(hands) == "ya"
    assert hands.told == NOT_TICKED


def test_all_chosen_lines_are_to_be_done_again(live_in: LiveIn) -> None:
    """One S skips three of them."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    hands.press("Shift+Down", "Shift+Down")
    chosen = tuple(hands.selected())
    assert len(chosen) == 3

    fingers.write("sa")

    assert _is_as_before(hands, chosen)
    assert hands.told == SKIP_BACK


def test_a_skip_that_was_refused_takes_nothing_else_back(live_in: LiveIn) -> None:
    """The line is done already; what ticked it is the newest deed, and it stays."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    hands.press("Space")
    hands.go_to("wipe")

    fingers.write("sa")

    assert _found(hands) == "sa"
    assert hands.state("wipe") is State.DONE
    assert len(hands.log()) == 1
    assert hands.told == NOT_SKIPPED


def test_the_skip_can_be_done_again(live_in: LiveIn) -> None:
    """Ctrl+Y does what the letter did, and Ctrl+Z takes it back."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    fingers.write("sa")
    hands.press("Esc")

    hands.press("Ctrl+Y")
    assert hands.state("wipe") is State.SKIPPED
    hands.press("Ctrl+Z")

    assert hands.state("wipe") is State.DUE


def test_a_skip_that_cannot_be_taken_back_is_told(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file is held by another: the line stays skipped, and nobody says it does not."""
    import tankkeeper.store.engine as engine

    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.2)
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")
    fingers.write("s")

    with _locked(hands.path):
        fingers.write("a")
    hands.settle()

    assert hands.state("wipe") is State.SKIPPED
    assert hands.told not in (NOT_SKIPPED, SKIP_BACK)
    hands.press("Esc", "Ctrl+Z")
    assert hands.state("wipe") is State.DUE


def test_the_name_of_a_day_is_typed_in_the_month(live_in: LiveIn) -> None:
    """Monday begins with two keys, and goes nowhere."""
    hands, fingers = _in_calendar(live_in)
    hands.press("Right")
    day = month_of(hands).day

    fingers.write("monday")

    assert _found(hands) == "monday"
    assert not page_of(hands).is_board
    assert not page_of(hands).month.is_day_open
    assert month_of(hands).day == day
    assert hands.told == STAYS.format("m")
    assert hands.log() == []


@pytest.mark.parametrize("is_settled", [False, True])
def test_m_on_the_board_and_in_a_day_leads_nowhere(live_in: LiveIn, is_settled: bool) -> None:
    """The board stays, and so does the list of a day."""
    hands, fingers = _in_calendar(live_in)
    write = fingers.write if is_settled else fingers.type
    month_of(hands).go_to(NINETEENTH)
    hands.press("Return")
    assert page_of(hands).day_listed == NINETEENTH
    write("mond")
    hands.settle()
    assert _found(hands) == "mond"
    assert page_of(hands).day_listed == NINETEENTH

    hands.press("Esc", "B")
    assert page_of(hands).is_board
    write("mond")
    hands.settle()

    assert page_of(hands).is_board
    assert _found(hands) == "mond"
    assert hands.told == STAYS.format("m")


@pytest.mark.parametrize("is_settled", [False, True])
@pytest.mark.parametrize("is_open", [False, True])
def test_b_and_o_in_the_month_lead_nowhere(
    live_in: LiveIn, is_settled: bool, is_open: bool
) -> None:
    """A brush or an outlet is looked for, and the keys stay on the nineteenth."""
    hands, fingers = _in_calendar(live_in)
    month_of(hands).go_to(NINETEENTH)
    if is_open:
        hands.press("Return")
    for word in ("br", "ou"):
        (fingers.write if is_settled else fingers.type)(word)
        hands.settle()
        assert _found(hands) == word
        assert not page_of(hands).is_board
        assert page_of(hands).month.is_day_open is is_open
        assert month_of(hands).day == NINETEENTH
        assert hands.told == STAYS.format(word[0])
        hands.press("Esc")


def test_o_on_the_board_leads_nowhere(live_in: LiveIn) -> None:
    """Escape gives the keys to the turn that had them."""
    hands, fingers = _in_calendar(live_in)
    hands.press("B")
    before = next(one for one in page_of(hands).rows() if one.item.chore.id == "lamp")
    assert page_of(hands).show_row(before.id)

    fingers.write("oq")
    hands.press("Esc")

    assert [one.id for one in page_of(hands).selected()] == [before.id]


@pytest.mark.parametrize("key", ["Return", "B"])
def test_a_word_that_begins_with_s_is_found_in_a_day_and_on_the_board(
    live_in: LiveIn, key: str
) -> None:
    """What was skipped there is to be done again."""
    hands, fingers = _in_calendar(live_in)
    hands.press(key)
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == "wipe")
    assert page_of(hands).show_row(row.id)

    fingers.write("sali")

    assert _found(hands) == "sali"
    assert _facts(hands) == ["Skip", "Revoke"]
    assert hands.told == SKIP_BACK
    assert next(one for one in page_of(hands).rows() if one.id == row.id).item.is_open


def test_s_on_a_day_of_the_month_opens_it_no_more(live_in: LiveIn) -> None:
    """There S opens the list of the day; a word leaves the month as it was."""
    hands, fingers = _in_calendar(live_in)

    fingers.write("sali")

    assert _found(hands) == "sali"
    assert not page_of(hands).month.is_day_open
    assert hands.log() == []


def test_what_is_carried_on_the_board_is_not_brought_back_by_a_word(live_in: LiveIn) -> None:
    """M lets go of it and shows the month, and the letter behind it begins to find there."""
    hands, fingers = _in_calendar(live_in)
    hands.press("B")
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == "wipe")
    assert page_of(hands).show_row(row.id)
    hands.press("P")
    assert page_of(hands).is_carrying

    fingers.write("ma")

    assert not page_of(hands).is_board
    assert _found(hands) == "a"


def test_the_time_of_a_key_is_that_of_its_press() -> None:
    """What the window does between two keys must not make two commands of a word."""
    none = Qt.KeyboardModifier.NoModifier
    event = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_S, none, "s")
    event.setTimestamp(2500)

    assert pressed_at(event) == 2.5


@pytest.mark.parametrize("is_settled", [False, True])
def test_escape_leads_back_to_the_line_that_y_ticked(live_in: LiveIn, is_settled: bool) -> None:
    """As it does behind a skip, though the keys had gone on to the next line."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("glass")

    (fingers.write if is_settled else fingers.type)("yearly")
    hands.settle()
    assert _found(hands) == "yearly"
    hands.press("Esc")

    assert hands.row("glass").item.is_open
    assert hands.current() == "glass"


def test_a_word_that_begins_with_w_is_found_where_there_were_no_days_off(live_in: LiveIn) -> None:
    """The key has nothing to ask then."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("glass")

    fingers.write("water")
    hands.settle()

    assert _found(hands) == "water"
    assert not hands.has_form()
    assert hands.log() == []


@pytest.mark.parametrize("is_settled", [False, True])
def test_a_form_that_the_first_letter_opened_is_left_for_the_word(
    live_in: LiveIn, is_settled: bool
) -> None:
    """The line asks how much went in; nothing of the word is typed there, and nothing is kept."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("fill")

    (fingers.write if is_settled else fingers.type)("yearly")
    hands.settle()

    assert not hands.has_form()
    assert _found(hands) == "yearly"
    assert hands.told == NOT_TICKED
    assert _facts(hands) == []
    hands.press("Esc")
    assert hands.current() == "fill"
    assert hands.list.hasFocus()
    hands.press("Y")
    assert hands.form().litres.text == ""  # type: ignore[attr-defined]


def test_the_second_letter_is_a_word_before_the_form_has_the_keys(live_in: LiveIn) -> None:
    """The desktop gives them to the window under it for a moment more."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("fill")
    fingers.write("y")
    assert hands.has_form()

    handle = hands.window.shell.windowHandle()
    assert handle is not None
    fingers._after_s = QUICK
    QTest.keyClick(handle, Qt.Key.Key_E)
    fingers._after_s = None
    hands.settle()

    assert not hands.has_form()
    assert _found(hands) == "ye"


@pytest.mark.parametrize(
    ("typed", "after_s"), [("e", LATE), ("n", HESITANT), ("1", QUICK), ("y", QUICK)]
)
def test_what_is_no_second_letter_of_a_word_is_the_form_s(
    live_in: LiveIn, typed: str, after_s: float
) -> None:
    """A letter later, one that is a key and not right behind, a figure, the same letter again."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("fill")

    fingers.write("y")
    fingers.write(typed, after_s)
    fingers.write("e")

    assert hands.form().litres.text == f"{typed}e"  # type: ignore[attr-defined]
    assert _found(hands) is None


def test_a_click_into_the_form_ends_the_word(live_in: LiveIn) -> None:
    """Whoever uses the form wants it."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("fill")
    fingers.write("y")
    QTest.mouseClick(hands.focus(), Qt.MouseButton.LeftButton)

    fingers.write("e")

    assert hands.form().litres.text == "e"  # type: ignore[attr-defined]


def test_a_form_opened_from_the_board_is_left_for_the_word(live_in: LiveIn) -> None:
    """The board keeps its place, and the search is its own."""
    hands, fingers = _in_calendar(live_in)
    hands.press("B")
    page = page_of(hands)
    cell = next(one for one in page.board.table.cells() if one.row.item.chore.id == "fill")
    assert page.board.table.go_to_id(cell.row.id)

    fingers.write("y")
    assert hands.has_form()
    fingers.write("early")

    assert not hands.has_form()
    assert page.is_board
    assert _found(hands) == "yearly"
    assert _facts(hands) == []
    hands.press("Esc")
    assert [one.id for one in page.selected()] == [cell.row.id]


@pytest.mark.parametrize("is_settled", [False, True])
def test_a_word_that_begins_with_p_is_found_and_nothing_is_put_off(
    live_in: LiveIn, is_settled: bool
) -> None:
    """The list of days that P opens would swallow the rest, and Return put the line off."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("wipe")

    (fingers.write if is_settled else fingers.type)("pebble")
    # Keys that the form gets late were pressed when they were pressed.
    fingers._after_s = QUICK
    hands.settle()
    fingers._after_s = None

    assert not hands.has_form()
    assert _found(hands) == "pebble"
    hands.press("Esc")
    assert hands.current() == "wipe"
    assert hands.log() == []


def test_the_form_of_a_note_waits_for_the_letter_that_may_come(live_in: LiveIn) -> None:
    """A window that is left at once takes letters with it; who types the note loses none."""
    hands = live_in(small_house(chores=(*small_house().chores, chore("no3", "Nitrate", 12))))
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.type("n")
    hands.app.processEvents()
    assert not hands.has_form()
    fingers.type("check")
    hands.settle()

    assert hands.form().text.toPlainText() == "check"  # type: ignore[attr-defined]


@pytest.mark.parametrize("is_settled", [False, True])
def test_a_word_that_begins_with_n_is_found_where_there_is_one(
    live_in: LiveIn, is_settled: bool
) -> None:
    """Nothing of it gets into the note, and no note is written."""
    hands = live_in(small_house(chores=(*small_house().chores, chore("no3", "Nitrate", 12))))
    fingers = Fingers(hands)
    hands.go_to("wipe")

    (fingers.write if is_settled else fingers.type)("nitrate")
    fingers._after_s = QUICK
    hands.settle()
    fingers._after_s = None

    assert not hands.has_form()
    assert _found(hands) == "nitrate"
    assert hands.current() == "no3"
    assert hands.told == "\u201cn\u201d began a word to find: no note was written."
    hands.press("Esc")
    assert hands.current() == "wipe"
    assert hands.log() == []
    hands.press("N")
    assert hands.form().text.toPlainText() == ""  # type: ignore[attr-defined]


@pytest.mark.parametrize(("second", "after_s"), [("w", QUICK), ("i", HESITANT)])
def test_a_note_that_is_typed_at_once_stays_one(
    live_in: LiveIn, second: str, after_s: float
) -> None:
    """No word begins with both letters here, or the second one came as a note is begun."""
    hands = live_in(small_house(chores=(*small_house().chores, chore("no3", "Nitrate", 12))))
    fingers = Fingers(hands)
    hands.go_to("wipe")

    fingers.write("n")
    fingers.write(second, after_s)
    fingers.write("hite spots")

    assert hands.form().text.toPlainText() == f"{second}hite spots"  # type: ignore[attr-defined]
    assert _found(hands) is None


def test_a_word_that_begins_with_n_is_found_in_the_calendar(live_in: LiveIn) -> None:
    """In the list of a day, whose line would get the note."""
    hands, fingers = _in_calendar(live_in)
    month_of(hands).go_to(NINETEENTH)
    hands.press("Return")
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == "look")
    assert page_of(hands).show_row(row.id)

    fingers.write("nook")

    assert not hands.has_form()
    assert _found(hands) == "nook"
    assert page_of(hands).day_listed == NINETEENTH
    hands.press("Esc")
    assert [one.id for one in page_of(hands).selected()] == [row.id]


@pytest.mark.parametrize("is_settled", [False, True])
@pytest.mark.parametrize("key", ["Ctrl+1", "Ctrl+2"])
def test_a_word_that_begins_with_w_is_found_behind_days_off(
    live_in: LiveIn, key: str, is_settled: bool
) -> None:
    """The form that asks what was done meanwhile is left, and is there when it is wanted."""
    before = an_entry(1, "2026-03-08", done="glass", at=time(19, 30))
    hands = live_in(entries=(before,))
    fingers = Fingers(hands)
    hands.press(key)

    (fingers.write if is_settled else fingers.type)("water")
    fingers._after_s = QUICK
    hands.settle()
    fingers._after_s = None

    assert not hands.has_form()
    assert _found(hands) == "water"
    assert hands.told == "\u201cw\u201d began a word to find: nothing was told."
    hands.press("Esc", "W")
    assert isinstance(hands.form(), AwayForm)
    fingers.write("a", LATE)
    assert isinstance(hands.form(), AwayForm)
    assert len(hands.log()) == 1


@pytest.mark.parametrize("is_settled", [False, True])
def test_a_reading_while_a_word_is_typed_leaves_the_way_back(
    live_in: LiveIn, is_settled: bool
) -> None:
    """The line had left the round by its tick, and the keys had gone on to the one below."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("glass")
    (fingers.write if is_settled else fingers.type)("yesterday")
    hands.settle()
    assert _found(hands) == "yesterday"

    # The window looks at the household every now and then.
    assert hands.window.session is not None
    for _ in range(2):
        hands.window.session.refresh()
        hands.settle()

    assert hands.current() == "glass"
    hands.press("Esc")
    assert hands.current() == "glass"


@pytest.mark.parametrize(("word", "line"), [("yesterday", "glass"), ("sand", "wipe")])
def test_escape_before_the_deed_is_taken_back_leads_to_its_line_as_well(
    live_in: LiveIn, word: str, line: str
) -> None:
    """It is shown again only a moment later; who went elsewhere meanwhile stays there."""
    for other in ("", "meter"):
        hands = live_in() if not other else live_in(is_there=True)
        fingers = Fingers(hands)
        hands.go_to(line)
        fingers.write(word[0])
        with _locked(hands.path):
            fingers.type(word[1:])
            hands.hit("Esc")
            if other:
                hands.go_to(other)
        hands.settle()

        assert _found(hands) is None
        assert hands.row(line).item.is_open
        assert hands.current() == (other or line)
        hands.close()


@pytest.mark.parametrize("word", ["yesterday", "sand"])
def test_a_word_on_a_line_that_is_done_leads_back_to_that_line(live_in: LiveIn, word: str) -> None:
    """Nothing of it is to come back, and the keys stay where they were."""
    hands = live_in()
    fingers = Fingers(hands)
    hands.go_to("glass")
    hands.press("Space")
    hands.go_to("glass")

    fingers.write(word)
    hands.press("Esc")

    assert hands.state("glass") is State.DONE
    assert hands.current() == "glass"


def test_escape_in_a_day_leads_back_to_the_line_that_y_ticked(live_in: LiveIn) -> None:
    """It had left the list of today by its tick."""
    hands, fingers = _in_calendar(live_in)
    hands.press("Return")
    page = page_of(hands)
    row = next(one for one in page.rows() if one.item.chore.id == "wipe")
    assert page.show_row(row.id)

    fingers.write("yesterday")
    assert _found(hands) == "yesterday"
    assert hands.told == TICK_BACK
    hands.press("Esc")

    assert [one.item.chore.id for one in page.selected()] == ["wipe"]


@pytest.mark.parametrize("is_settled", [False, True])
@pytest.mark.parametrize("chore_id", ["wipe", "fill"])
def test_a_word_that_begins_with_p_is_found_on_the_board(
    live_in: LiveIn, is_settled: bool, chore_id: str
) -> None:
    """What P took hold of is let go, and the board stays as it was."""
    hands, fingers = _in_calendar(live_in)
    hands.press("B")
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == chore_id)
    assert page_of(hands).show_row(row.id)

    (fingers.write if is_settled else fingers.type)("pump")
    hands.settle()

    assert _found(hands) == "pump"
    assert not page_of(hands).is_carrying
    assert page_of(hands).is_board
    assert not hands.has_form()
    hands.press("Esc")
    assert [one.id for one in page_of(hands).selected()] == [row.id]
    assert hands.log() == []
    if chore_id == "wipe":
        hands.press("P")
        assert page_of(hands).is_carrying


def test_a_letter_after_a_while_leaves_what_p_took_hold_of(live_in: LiveIn) -> None:
    """Who carries a turn and then looks for something goes on carrying it."""
    hands, fingers = _in_calendar(live_in)
    hands.press("B")
    row = next(one for one in page_of(hands).rows() if one.item.chore.id == "wipe")
    assert page_of(hands).show_row(row.id)

    fingers.write("p")
    fingers.write("u", HESITANT)

    assert page_of(hands).is_carrying
    assert _found(hands) == "u"


@pytest.mark.parametrize("keys", [("Ctrl+Down", "F2"), ("Ctrl+Down", "F3"), ("Ctrl+6",)])
def test_what_became_of_the_letter_is_told_no_more_on_another_page(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """There nothing is left of the line at which it was pressed."""
    hands = live_in(small_house())
    fingers = Fingers(hands)
    fingers.write("sk")
    assert hands.told == SKIP_BACK

    for key in ("Escape", *keys):
        hands.press(key)

    assert "began a word" not in hands.told


@pytest.mark.parametrize("after_s", [QUICK, HESITANT])
def test_what_is_refused_at_a_done_line_goes_with_the_word_that_began_so(
    live_in: LiveIn, after_s: float
) -> None:
    """No form stands, so its letters may come more slowly; the panel tells of the line again."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    hands.go_to("wipe")
    fingers = Fingers(hands)

    fingers.type("p")
    if after_s > QUICK:
        hands.window.morning.word_begun.wait_no_longer()
        assert hands.why.refusal
    fingers.type("lu", after_s)
    hands.settle()

    assert _found(hands) == "plu"
    assert hands.current() == "wipe"
    assert hands.why.refusal is None
    assert hands.told == "\u201cp\u201d began a word to find: nothing was put off."


def test_the_days_of_p_are_not_shown_while_a_word_may_begin(live_in: LiveIn) -> None:
    """A window that goes at once would take the third letter with it."""
    hands = live_in()
    hands.go_to("glass")
    fingers = Fingers(hands)

    fingers.type("p")
    assert not hands.has_form()
    fingers.type("um", QUICK)
    hands.settle()

    assert not hands.has_form()
    assert _found(hands) == "pum"
    hands.press("Escape", "P")
    assert hands.has_form()


def test_what_is_typed_right_behind_p_goes_into_its_days(live_in: LiveIn) -> None:
    """A key that begins no word opens them at once, and is theirs."""
    hands = live_in()
    hands.go_to("glass")
    fingers = Fingers(hands)

    fingers.type("p")
    QTest.keyClick(hands.focus(), Qt.Key.Key_Escape)
    hands.settle()

    assert not hands.has_form()
    assert hands.current() == "glass"


def test_what_is_refused_stays_where_no_word_follows(live_in: LiveIn) -> None:
    """A letter that comes later begins a word of its own; it was read by then."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Space")
    hands.go_to("wipe")
    fingers = Fingers(hands)

    fingers.type("p")
    fingers.type("lu", LATE)
    hands.settle()

    assert _found(hands) == "lu"
