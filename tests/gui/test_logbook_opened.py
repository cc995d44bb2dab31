"""On which entry the logbook stands when it is opened: its newest, unless something was sought."""

from __future__ import annotations

from datetime import timedelta

from tankkeeper.gui.forms.note_form import NoteForm
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.test_logbook import desk_of, list_of, many_notes, some_days, texts


def here(hands: Hands) -> str:
    """Return the text of the entry on which the keys act."""
    row = list_of(hands).current_row()
    return "" if row is None else row.text


def test_opened_again_it_stands_on_its_newest_entry(live_in: LiveIn) -> None:
    """Whoever opens it wants to see what was just done, wherever the keys were before."""
    hands = live_in(entries=many_notes(60))
    hands.press("Ctrl+6", "End")
    hands.press("Ctrl+1")
    hands.go_to("glass")
    hands.press("Space", "Ctrl+6")

    assert here(hands) == texts(hands)[0] == "Done: Clean the glass"
    assert list_of(hands).verticalScrollBar().value() == 0
    assert hands.why.title == "Done: Clean the glass"


def test_opened_on_another_day_it_stands_on_its_newest_entry(live_in: LiveIn) -> None:
    """The entry of yesterday on which it was left is not the one that Del takes back."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down", "Down", "Ctrl+2")
    hands.clock.forward(timedelta(days=1))
    assert hands.window.session is not None
    hands.window.session.look()
    hands.settle()

    hands.press("Ctrl+6", "Del")

    assert "Clean the glass" in hands.told


def test_what_is_still_being_kept_is_stood_on_once_it_is_there(live_in: LiveIn) -> None:
    """Both keys may come faster than the first one is kept."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down", "Ctrl+1")
    hands.go_to("wipe")
    hands.hit("Space")
    hands.hit("Ctrl+6")
    hands.settle()

    assert here(hands) == texts(hands)[0] == "Done: Wipe the lid"


def test_an_entry_chosen_meanwhile_stays_chosen(live_in: LiveIn) -> None:
    """What comes in above it moves nobody who has gone on."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Ctrl+1")
    hands.go_to("wipe")
    hands.hit("Space")
    hands.hit("Ctrl+6")
    hands.hit("Down")
    hands.settle()

    assert texts(hands)[0] == "Done: Wipe the lid"
    assert here(hands).startswith("Topped off")


def test_what_was_looked_for_is_found_as_it_was_left(live_in: LiveIn) -> None:
    """A search is left on purpose, with the place in it."""
    hands = live_in(entries=many_notes(30))
    hands.press("Ctrl+6")
    hands.type("note 1")
    hands.press("Return", "Down", "Down")
    chosen, found = here(hands), len(texts(hands))

    hands.press("Ctrl+1", "Ctrl+6")

    assert desk_of(hands).page.filter.field.text() == "note 1"
    assert (here(hands), len(texts(hands))) == (chosen, found)


def test_a_form_that_is_closed_leads_back_to_its_entry(live_in: LiveIn) -> None:
    """Nor does an undo move it, or a page that is left by Escape."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+1")
    hands.go_to("wipe")
    hands.press("Space", "Ctrl+6", "Down", "Down", "Ctrl+M")
    assert isinstance(hands.form(), NoteForm)
    chosen = here(hands)

    for keys in (("Esc",), ("Return", "Esc"), ("Ctrl+Z",), ("Ctrl+L", "Esc"), ("F2", "Esc")):
        hands.press(*keys)
        assert here(hands) == chosen, keys
        assert hands.frame.view_id == "logbook"


def test_its_own_key_moves_nobody_who_is_in_it(live_in: LiveIn) -> None:
    """It is not opened: it stands there."""
    hands = live_in(entries=some_days())
    hands.press("Ctrl+6", "Down", "Ctrl+6")

    assert here(hands).startswith("Topped off")
