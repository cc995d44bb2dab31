"""From the first start to the first round, by keys alone."""

import os
from pathlib import Path
from typing import Any

import PySide6
import pytest
from PySide6.QtCore import QLocale
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog, QLineEdit

from tankkeeper.core.catalogue import Proposal
from tankkeeper.core.household import Household
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.proposal_form import ProposalForm
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.services import settling_in
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.comparing import DRAWN_WITH, told_difference
from tests.gui.conftest import Begin, Wear
from tests.gui.first_house import NOOK, first_page, type_box
from tests.gui.pictures import BASELINES
from tests.gui.round_house import Hands
from tests.gui.small_png import save_small

AMERICAN = QLocale(QLocale.Language.English, QLocale.Country.UnitedStates)
# 22 keys of answers and one to accept; a slow typist needs half a minute for 60.
MOST_KEYS = 60


def _field(hands: Hands, name: str) -> QuantityField:
    return first_page(hands.window).asked.measures.measure(name)


def test_from_the_first_start_to_the_first_tick_by_keys(begin: Begin) -> None:
    """Answers, one key to accept, one to tick; the file appears with the last answer only."""
    hands = begin()
    assert not hands.path.exists()

    keys = type_box(hands)
    hands.press("Ctrl+Return")
    assert hands.path.exists()
    first = hands.rows()[0]
    hands.press("Space")

    assert hands.state(first.item.chore.id) is State.DONE
    assert keys + 2 <= MOST_KEYS
    assert len(hands.log()) == 1


def test_a_chore_is_switched_off_and_another_changed_before_it_is_accepted(begin: Begin) -> None:
    """Space and plus, in the list."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    for _ in range(6):
        if page.list.hasFocus():
            break
        hands.press("Tab")
    assert page.list.hasFocus()

    hands.press("Home", "Space", "Down", "Down", "Down", "+", "Ctrl+Return")

    session = hands.window.session
    assert session is not None
    with session.desk.store.reading() as reading:
        chores = {one.name: one for one in session.desk.household(reading).chores}
    assert "Look the tank over" not in chores
    assert str(chores["Test salinity"].rhythm.interval) == "8 days"  # type: ignore[union-attr]


def test_what_is_missing_is_said_at_its_field(begin: Begin) -> None:
    """No name, then a number that is none, then nothing chosen; what was typed stays."""
    hands = begin()
    page = first_page(hands.window)

    hands.press("Ctrl+Return")
    assert "needs a name" in page.asked.name.fault
    hands.type("Nook")
    assert page.asked.name.fault == ""
    hands.press("Tab", "Tab", "Tab", "Tab")
    hands.type("12x")
    hands.press("Ctrl+Return")
    assert _field(hands, "length_cm").fault
    assert _field(hands, "length_cm").text == "12x"
    hands.press("Ctrl+A")
    hands.type("59")
    hands.press("Ctrl+Return")
    assert "Choose what lives" in page.asked.community.refusal.text()
    assert not hands.path.exists()


def test_water_above_the_rim_is_refused_at_its_field(begin: Begin) -> None:
    """The measures that do not fit each other are told where they were typed."""
    hands = begin()
    type_box(hands, ("Nook", "59", "39", "40", "46"))

    hands.press("Ctrl+Return")

    assert _field(hands, "water_depth_cm").fault
    assert not hands.path.exists()


def test_a_comma_is_a_decimal_sign(begin: Begin) -> None:
    """59,5 is typed, and 82 or so litres are shown."""
    german = QLocale(QLocale.Language.German, QLocale.Country.Germany)
    hands = begin(german, sign=",")

    type_box(hands, ("Nook", "59,5", "39", "40", "36"))

    assert _field(hands, "length_cm").value == 59.5
    assert "84" in first_page(hands.window).litres.text()


def test_units_and_week_follow_the_locale(begin: Begin) -> None:
    """Inches, gallons and a week from Sunday in the United States."""
    hands = begin(AMERICAN)

    type_box(hands, ("Nook", "24", "16", "16", "14"))
    assert "gal" in first_page(hands.window).litres.text()
    hands.press("Ctrl+Return")

    session = hands.window.session
    assert session is not None
    with session.desk.store.reading() as reading:
        household = session.desk.household(reading)
    assert household.units.volume == "US gal"
    assert household.first_weekday == 6
    # 24 in are 60.96 cm, exactly.
    assert household.tanks[0].shape.length_cm == pytest.approx(60.96)


def test_other_units_write_the_same_tank_in_other_numbers(begin: Begin) -> None:
    """An inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""
    hands = begin()
    type_box(hands, ("Nook", "59", "39.5", "x", "36"))
    page = first_page(hands.window)
    litres = page.asked.measures.shape()

    page.asked.household.units.setFocus()
    hands.press("Down")

    texts = [field.text for field in page.asked.measures.fields]
    assert texts == ["23.23", "15.55", "x", "14.17"]
    assert page.asked.measures.shape().length_cm == pytest.approx(59.0, abs=0.01)
    hands.press("Up")
    assert [field.text for field in page.asked.measures.fields] == ["59", "39.5", "x", "36"]
    assert page.asked.measures.shape() == litres


def test_a_size_changed_in_other_units_is_that_size(begin: Begin) -> None:
    """What was typed before in the first units is forgotten then."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    page.asked.household.units.setFocus()
    hands.press("Down")
    _field(hands, "length_cm").setFocus()
    hands.hit("Ctrl+A")
    hands.type("24")
    page.asked.household.units.setFocus()
    hands.press("Up")

    assert _field(hands, "length_cm").text == "60.96"
    assert _field(hands, "width_cm").text == "39"


def test_drawing_and_label_of_the_field_being_typed_light_up(begin: Begin) -> None:
    """The height while the water is typed, the width while the length is."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)

    _field(hands, "water_depth_cm").setFocus()
    assert (page.picture.shown.lit, page.picture.shown.upright) == ("upright", "36\u00a0cm")
    _field(hands, "length_cm").setFocus()
    assert (page.picture.shown.lit, page.picture.shown.across) == ("across", "59\u00a0cm")


@pytest.mark.parametrize("shape", range(5))
def test_every_shape_shows_its_litres(begin: Begin, shape: int) -> None:
    """The sizes are asked anew; a tall hexagon, a bow front and an odd shape too."""
    hands = begin()
    page = first_page(hands.window)
    hands.type("Nook")
    hands.press("Tab", "Tab", *["Down"] * shape, "Tab")
    sizes = {
        "sides": "6",
        "edge_cm": "25",
        "height_cm": "70",
        "water_depth_cm": "66",
        "bow_cm": "8",
    }
    for name in page.asked.measures.names:
        hands.press("Tab")
        hands.type(sizes.get(name, "40"))

    assert "±" in page.litres.text()
    assert page.picture.shown.tank is not None


def test_the_sample_is_one_key_away(begin: Begin) -> None:
    """It opens in a copy, and the page goes."""
    hands = begin()

    hands.press("Ctrl+N")

    assert hands.window.session is not None
    assert not hands.path.exists()


def test_a_second_household_lies_beside_the_first(begin: Begin) -> None:
    """From the menu's key; Esc goes back to what is open."""
    hands = begin()
    type_box(hands)
    hands.press("Ctrl+Return", "Ctrl+Shift+H")
    assert first_page(hands.window).isVisible()
    hands.press("Esc")
    assert hands.frame.stack.isVisible()

    hands.press("Ctrl+Shift+H")
    page = first_page(hands.window)
    assert page.asked.household.kept_in.text() == "Kept in home.tankkeeper"
    type_box(hands, ("Bay", *NOOK[1:]))
    page.asked.household.name.setFocus()
    hands.hit("Ctrl+A")
    hands.type("The boat house")
    assert page.asked.household.kept_in.text() == "Kept in the-boat-house.tankkeeper"
    hands.press("Ctrl+Return")

    assert (hands.path.parent / "the-boat-house.tankkeeper").exists()
    assert hands.path.exists()
    assert hands.window.session is not None
    assert hands.window.session.household.name == "The boat house"  # type: ignore[union-attr]


def test_the_file_lies_where_it_is_wanted_and_nothing_is_written_over(
    begin: Begin, tmp_path: Path
) -> None:
    """Chosen in the system's dialog; a file that is there is left as it is, and the page stays."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    taken, free = tmp_path / "taken.tankkeeper", tmp_path / "else" / "mine.tankkeeper"
    taken.write_text("mine")

    page.asked.household.keep_at(taken)
    hands.press("Ctrl+Return")
    assert "exists already" in page.refusal.text()
    assert taken.read_text() == "mine"

    page.asked.household.keep_at(free)
    assert page.asked.household.kept_in.toolTip() == str(free)
    hands.press("Ctrl+Return")
    assert free.exists()
    assert not hands.path.exists()


def test_the_dialog_of_the_place_gives_the_keys_back_by_itself(begin: Begin) -> None:
    """It never asks to write over a file: whoever makes the household refuses one that is there."""
    hands = begin()
    page = first_page(hands.window)
    page._ask_place()
    hands.settle()
    (dialog,) = page.findChildren(QFileDialog)
    assert dialog.testOption(QFileDialog.Option.DontConfirmOverwrite)

    hands.hit("Esc")
    hands.app.processEvents()

    assert not dialog.isVisible()
    assert hands.window.shell.isActiveWindow()


def test_the_arrows_go_through_the_communities_in_their_order(begin: Begin, wear: Wear) -> None:
    """However the lines break: the third is soft coral in large type, too."""
    wear(Scheme.LIGHT, 150)
    hands = begin()

    type_box(hands)

    assert first_page(hands.window).asked.community.choice.number == 2


@pytest.mark.painted
@pytest.mark.skipif(
    not PySide6.__version__.startswith(DRAWN_WITH), reason=f"drawn with Qt {DRAWN_WITH}x"
)
@pytest.mark.parametrize(
    ("name", "scheme", "percent"),
    [
        ("first-light", Scheme.LIGHT, 100),
        ("first-dark", Scheme.DARK, 100),
        ("first-large", Scheme.LIGHT, 150),
    ],
)
def test_the_page_looks_as_it_was_drawn(
    begin: Begin, wear: Wear, tmp_path: Path, name: str, scheme: Scheme, percent: int
) -> None:
    """With the water being typed; TANKKEEPER_DRAW=1 draws the baselines anew."""
    wear(scheme, percent)
    hands = begin()
    type_box(hands)
    first_page(hands.window).asked.household.zone.setCurrentText("Europe/Berlin")
    _field(hands, "water_depth_cm").setFocus()
    hands.settle()
    focus = hands.focus()
    assert isinstance(focus, QLineEdit)
    # The cursor blinks.
    focus.setReadOnly(True)
    hands.app.processEvents()
    picture = hands.window.shell.grab().toImage()
    file = BASELINES / f"{name}.png"
    if os.environ.get("TANKKEEPER_DRAW"):
        save_small(picture, file)
    picture.save(str(tmp_path / f"{name}.png"))

    assert file.stat().st_size < 100_000
    assert told_difference(picture, QImage(str(file))) == ""


@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("scheme", [Scheme.LIGHT, Scheme.DARK])
def test_nothing_is_cut_and_everything_has_a_name(
    begin: Begin, wear: Wear, percent: int, scheme: Scheme
) -> None:
    """At each size of type."""
    wear(scheme, percent)
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)

    assert cut_labels(page) == []
    assert overlapping(page) == []
    assert nameless(page) == []
    assert _field(hands, "length_cm").field.accessibleName() == "Length, cm"


def test_a_proposed_chore_is_changed_in_full_before_it_is_accepted(begin: Begin) -> None:
    """Return on its line: days of the week, window and minutes, with the days shown meanwhile."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    page.list.setFocus()
    names = [one.chore.name for one in page.list._proposals]
    hands.press("Home", *["Down"] * names.index("Swap the filter floss"), "Return")
    form = hands.window.shell.findChildren(ProposalForm)[0]
    assert form.way.hasFocus()
    hands.press("Down")
    form.days.boxes[1].setFocus()
    hands.press("Space")
    form.days.boxes[4].setFocus()
    hands.press("Space")
    form.minutes.setFocus()
    hands.hit("Ctrl+A")
    hands.type("7")
    assert form.follows.text().startswith("Every Tuesday and Friday. Next: Fri")
    form.late.setFocus()
    hands.hit("Ctrl+A")
    hands.type("x")
    hands.press("Return")
    assert form.isVisible()
    assert form.late.fault
    hands.hit("Ctrl+A")
    hands.type("3")
    hands.press("Return")
    assert not form.isVisible()
    assert page.list.hasFocus()
    hands.press("Ctrl+Return")

    session = hands.window.session
    assert session is not None
    with session.desk.store.reading() as reading:
        chores = {one.name: one for one in session.desk.household(reading).chores}
    floss = chores["Swap the filter floss"]
    assert floss.rhythm.rule == "FREQ=WEEKLY;BYDAY=TU,FR"  # type: ignore[union-attr]
    assert (floss.late_days, floss.minutes) == (3, 7)


@pytest.mark.painted
def test_rock_is_drawn_as_soon_as_it_is_typed(begin: Begin) -> None:
    """As on the page of the tank; the line that shows the size stays beside it."""
    hands = begin()
    page = first_page(hands.window)
    page.asked.name.go_to()
    type_box(hands, ("Lagoon", "59", "39", "40", "36"))
    bare = page.picture.grab().toImage()
    page.asked.extras.measure("rock_dry_kg").go_to()
    hands.type("12")
    assert page.picture.grab().toImage() != bare
    shown = page.picture.shown.tank
    assert shown is not None
    assert 0.0 < shown.rock_share < 0.6


def test_a_size_that_cannot_be_read_is_drawn_as_not_known(begin: Begin) -> None:
    """No other size is called by its name, and no depth of water is made up for it."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    sizes = page.asked.measures

    sizes.measure("width_cm").setFocus()
    hands.press("Ctrl+A")
    hands.type("6x")
    assert page.picture._shown.across == "59\u00a0cm"
    assert page.picture._shown.lit == ""
    assert page.litres.text() == "Water not known yet"
    hands.press("Ctrl+A")
    hands.type("39")
    sizes.measure("water_depth_cm").setFocus()
    hands.press("Ctrl+A")
    hands.type("36x")

    assert page.picture._shown.tank is not None
    assert page.picture._shown.tank.is_outline_only
    assert page.litres.text() == "Water not known yet"
    assert page.litres_from.text() == "How high the water stands cannot be read."
    hands.press("Ctrl+A", "Delete")
    assert not page.picture._shown.tank.is_outline_only


def test_a_letter_asks_the_catalogue_no_more_than_it_needs(
    begin: Begin, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once whether the answers can be, and once for the list; the picture asks for nothing."""
    hands = begin()
    type_box(hands)
    _field(hands, "length_cm").setFocus()
    hands.press("End")
    asked: list[str] = []
    ask = settling_in.proposals_for

    def counted(household: Household, *more: Any, **named: Any) -> tuple[Proposal, ...]:
        asked.append(household.tanks[-1].name)
        return ask(household, *more, **named)

    monkeypatch.setattr(settling_in, "proposals_for", counted)
    hands.press("5")

    assert 1 <= len(asked) <= 2
