"""Letters typed on a list of proposed chores find; they never switch one on or throw one away."""

from __future__ import annotations

from tankkeeper.gui.forms.proposal_form import ProposalForm
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.gui.widgets.proposal_list import ProposalList
from tests.gui.conftest import LiveIn, Remind
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands
from tests.gui.test_chores_page import open_catalogue
from tests.gui.test_house_page import open_house


def switched(found: ProposalList) -> set[str]:
    return {one.chore.name for one in found.accepted}


def current(found: ProposalList) -> str:
    return found._proposals[found.currentRow()].chore.name


def a_new_tank(hands: Hands) -> ProposalList:
    """Answer the questions of a new tank, and go to its proposals."""
    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    found = first_page(hands.window).list
    found.setFocus()
    hands.press("Home")
    return found


def test_words_typed_on_the_proposals_switch_nothing(live_in: LiveIn) -> None:
    """A space within a name goes on with it; words that match nothing act on nothing."""
    hands = live_in()
    found = a_new_tank(hands)
    before = switched(found)

    hands.type("change t")
    assert current(found).casefold().startswith("change t")
    assert switched(found) == before

    hands.press("Home")
    hands.type("turkey baste it ")
    assert switched(found) == before


def test_a_space_after_a_found_name_switches_it(live_in: LiveIn) -> None:
    """What is found whole, or chosen by an arrow, is acted on as ever."""
    hands = live_in()
    found = a_new_tank(hands)
    before = switched(found)
    names = [one.chore.name for one in found._proposals]
    hands.type(names[2])
    assert current(found) == names[2]
    hands.press("Space")
    assert switched(found) ^ before == {names[2]}
    hands.press("Home")
    hands.type(names[1][:2])
    hands.press("Down")
    below, before = current(found), switched(found)
    hands.press("Space")
    assert switched(found) ^ before == {below}


def test_letters_on_the_catalogue_go_to_its_field(live_in: LiveIn) -> None:
    """A whole phrase is typed there, its spaces too."""
    hands = live_in()
    form = open_catalogue(hands)
    assert form.list.hasFocus()

    hands.type("skimmer cup")

    assert form.search.text() == "skimmer cup"
    assert form.search.hasFocus()
    assert form.list.accepted_of(form._all) == ()


def test_down_from_the_field_lands_on_the_first_that_is_found(live_in: LiveIn) -> None:
    """Whatever line was chosen before; Return opens it."""
    hands = live_in()
    form = open_catalogue(hands)
    hands.press("Down", "Down", "Down")
    hands.type("glass")
    first = form.list._proposals[0]
    assert len(form.list._proposals) > 1

    hands.press("Down")
    assert form.list.currentRow() == 0
    hands.press("Down", "Down")
    form.search.setFocus()
    hands.press("Down")
    assert form.list.currentRow() == 0
    form.list._there = frozenset()
    hands.press("Return")

    (inner,) = form.findChildren(ProposalForm)
    assert inner.windowTitle() == first.chore.name


def test_tab_goes_through_the_catalogue_as_it_stands(live_in: LiveIn) -> None:
    """Field, list, Leave, Add, and round again."""
    hands = live_in()
    form = open_catalogue(hands)
    order = [form.list, form.leave, form.primary, form.search, form.list]
    for widget in order[1:]:
        hands.hit("Tab")
        assert hands.focus() is widget
    for widget in reversed(order[:-1]):
        hands.hit("Shift+Tab")
        assert hands.focus() is widget


def test_what_was_ticked_in_a_catalogue_that_is_left_stands_there_again(live_in: LiveIn) -> None:
    """Switched and changed; Clear takes it away, and a mere search is no draft."""
    hands = live_in()
    form = open_catalogue(hands)
    hands.type("skimmer cup")
    hands.press("Down", "Space", "+", "Tab", "Return")
    assert not hands.has_form()

    form = open_catalogue_again(hands)
    assert form.primary.text() == "Add 1\N{NO-BREAK SPACE}chore"
    assert form.search.text() == ""
    (kept,) = form.list.accepted_of(form._all)
    assert current(form.list) == kept.chore.name
    assert kept.chore.name == "Empty the skimmer cup"
    assert form._still_here is not None
    form._still_here.clear.setFocus()
    hands.press("Space")
    assert form.list.accepted_of(form._all) == ()
    hands.press("Esc")

    form = open_catalogue_again(hands)
    assert form._still_here is None


def open_catalogue_again(hands: Hands):  # type: ignore[no-untyped-def]
    settling = hands.window.morning.settling  # type: ignore[union-attr]
    assert settling is not None
    assert settling.chores is not None
    settling.chores.page.buttons["more"].setFocus()
    hands.press("Space")
    return hands.form()


def test_ctrl_return_keeps_a_tick_form(live_in: LiveIn) -> None:
    """As it does in every form, from whatever field has the keys."""
    hands = live_in()
    hands.go_to("fill")
    hands.press("Return")
    form = hands.form()
    assert isinstance(form, TickForm)
    form.note.setFocus()

    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert len(hands.log()) == 1


def test_a_refused_amount_is_selected_wherever_it_is_typed(live_in: LiveIn) -> None:
    """What is typed next takes its place: 0.6 after 500 is no 5000.6."""
    hands = live_in()
    hands.go_to("fill")
    hands.press("Return")
    hands.type("9")
    hands.press("Return")
    form = hands.form()
    assert isinstance(form, TickForm)
    assert form.litres is not None
    assert "far more than" in form.accessibleDescription()

    hands.type("none")
    assert form.litres.text == "none"
    hands.press("Return")
    assert form.litres.fault
    hands.type("0.6")

    assert form.litres.text == "0.6"


def test_a_refused_amount_that_is_written_down_is_selected(live_in: LiveIn) -> None:
    """As in the form of a tick."""
    hands = live_in()
    hands.press("Ctrl+L", "Tab", "Tab")
    hands.type("99999")
    hands.press("Return")
    hands.type("0.6")
    assert hands.focus().text() == "0.6"  # type: ignore[attr-defined]


def test_return_selects_what_a_field_of_a_page_refuses(remind: Remind) -> None:
    """As on the page of the reminders, where Return only looks at the field."""
    hands = remind().hands
    desk = open_house(hands, "reminders")
    assert desk.sheet is not None
    desk.sheet.fields["every_day"].setFocus()
    hands.type("500")
    hands.press("Return")
    assert desk.sheet.fields["every_day"].fault
    hands.type("7")
    assert desk.sheet.fields["every_day"].standing == "7"
