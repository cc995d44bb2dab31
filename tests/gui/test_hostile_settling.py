"""What no field expects, typed into animals, equipment, copies and proposals."""

from __future__ import annotations

from unicodedata import normalize

import pytest

from tankkeeper.gui.forms.catalogue_form import CatalogueForm
from tankkeeper.gui.forms.proposal_form import ProposalForm
from tankkeeper.gui.forms.stage_form import NameForm
from tests.gui.conftest import LiveIn
from tests.gui.hostile import TEXTS, third, type_hostile
from tests.gui.round_house import Hands
from tests.gui.test_chores_page import open_chores
from tests.gui.test_house_page import house
from tests.gui.test_tank_page import open_page


@pytest.mark.parametrize("part", ["animals", "equipment"])
def test_what_is_new_of_a_tank_is_refused_in_place_or_kept_whole(
    live_in: LiveIn, part: str
) -> None:
    """Each field by itself, beside a sound name; the text stays, or stands in the household."""
    hands = live_in()
    desk = open_chores(hands)
    desk.page.buttons[part].setFocus()
    hands.press("Space")
    desk.page.buttons["new"].setFocus()
    hands.press("Space")
    assert desk.sheet is not None
    paths = [path for path, one in desk.sheet.fields.items() if one.typed and not one.isHidden()]
    assert len(paths) >= 3
    for number, path in enumerate(paths):
        for text in third(number):
            if desk.sheet is None:
                desk.page.buttons["new"].setFocus()
                hands.press("Space")
            before = len(hands.log())
            name = desk.sheet.fields["name"]
            name.typed.set_text("thing")
            field = desk.sheet.fields[path]
            field.setFocus()
            type_hostile(hands, text)
            typed = field.typed.text
            hands.press("Ctrl+Return")
            if desk.sheet is not None:
                told = field.typed.fault or desk.page._notice is not None
                assert told, (path, text[:40])
                assert field.typed.text == typed
                assert len(hands.log()) == before
                desk.page.buttons["as-it-was"].setFocus()
                hands.press("Space")
                continue
            things = getattr(house(hands), part)
            assert len(things) == 1, (path, text[:40])
            if path == "name":
                # Letters are kept in one spelling.
                assert things[0].name == normalize("NFC", typed.strip())
            hands.press("Ctrl+Z")
            assert getattr(house(hands), part) == ()


def test_the_name_of_a_copy_is_refused_in_place_or_kept_whole(live_in: LiveIn) -> None:
    """The form stays with the text where it is refused; where it is kept, undo takes it back."""
    hands = live_in()
    desk = open_page(hands)
    for text in third(1):
        desk.page.buttons["copy"].setFocus()
        hands.press("Space")
        form = hands.form()
        assert isinstance(form, NameForm)
        form.name.setFocus()
        type_hostile(hands, text)
        typed = form.name.text
        hands.press("Return")
        if hands.has_form():
            assert form.accessibleDescription().endswith("."), text[:40]
            assert form.name.text == typed
            assert len(house(hands).tanks) == 2
            hands.press("Esc")
            continue
        assert house(hands).tanks[-1].name == normalize("NFC", typed.strip())
        hands.press("Esc", "Ctrl+Z", "F2")
        assert len(house(hands).tanks) == 2


def _proposal(hands: Hands) -> tuple[CatalogueForm, ProposalForm]:
    desk = open_chores(hands)
    desk.page.buttons["more"].setFocus()
    hands.press("Space")
    form = hands.form()
    assert isinstance(form, CatalogueForm)
    hands.press("Home", "Down", "Down", "Down", "Return")
    (inner,) = form.findChildren(ProposalForm)
    return form, inner


def test_a_proposed_chore_takes_only_what_a_chore_can_be(live_in: LiveIn) -> None:
    """Every number of it: one sentence at the field, and the form stays with what was typed."""
    hands = live_in()
    _, inner = _proposal(hands)
    for number, field in enumerate((inner.every, inner.early, inner.late, inner.minutes)):
        sound = field.text
        for text in third(number):
            field.setFocus()
            type_hostile(hands, text)
            typed = field.text
            hands.press("Return")
            assert inner.isVisible(), text[:40]
            assert field.fault.endswith("."), text[:40]
            assert field.text == typed
        field.set_text(sound)


def test_the_find_line_of_the_catalogue_takes_anything(live_in: LiveIn) -> None:
    """Nothing is found, and nothing breaks."""
    hands = live_in()
    form, inner = _proposal(hands)
    inner.reject()
    form.activateWindow()
    hands.app.processEvents()
    for text in TEXTS:
        form.search.setFocus()
        type_hostile(hands, text)
        assert not text.isprintable() or form.search.text() == text
    assert hands.log() == []
