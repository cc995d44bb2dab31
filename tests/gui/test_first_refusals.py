"""What the first page refuses: told in full at its field, which then waits for another answer."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.pages.community_question import NO_COMMUNITY
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.labels import PlainLabel
from tests.gui.checks import cut_labels, overlapping
from tests.gui.conftest import Begin, LiveIn, Wear
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands

WRONG = ("Lagoon", "-60", "abc", "999999999", "1e400")
SIZES = [(1280, 800), (1024, 700)]


def in_view(page: FirstPage, widget: QWidget) -> bool:
    """Tell whether all of a widget is to be seen, not only a part of it."""
    seen = widget.visibleRegion().boundingRect()
    return seen == QRect(QPoint(0, 0), widget.size()) and page.isAncestorOf(widget)


def sentence_of(field: QWidget) -> PlainLabel:
    (label,) = field.findChildren(PlainLabel)
    return label


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("percent", [100, 150, 200])
def test_no_sentence_is_cut_and_the_first_one_is_seen(
    begin: Begin, wear: Wear, size: tuple[int, int], percent: int
) -> None:
    """Four wrong sizes at once, in each size of type and window, with the label above the field."""
    wear(Scheme.LIGHT, percent)
    hands = begin(size=size)
    type_box(hands, WRONG)
    hands.press("Ctrl+Return")

    page = first_page(hands.window)
    assert cut_labels(page) == []
    assert overlapping(page) == []
    assert all(one.fault.endswith(".") for one in page.asked.measures.fields)
    length = page.asked.measures.measure("length_cm")
    assert length.field.hasFocus()
    assert in_view(page, length.field)
    assert in_view(page, sentence_of(length))
    assert in_view(page, length.parentWidget())


@pytest.mark.parametrize("size", [(1280, 750), *SIZES])
@pytest.mark.parametrize("percent", [100, 150, 200])
def test_a_missing_community_is_told_in_view(
    begin: Begin, wear: Wear, size: tuple[int, int], percent: int
) -> None:
    """It is the last question; a window with its decorations is some lines less high."""
    wear(Scheme.LIGHT, percent)
    hands = begin(size=size)
    first_page(hands.window).asked.name.go_to()
    hands.type("Lagoon")
    hands.press("Ctrl+Return")

    asked = first_page(hands.window).asked
    assert asked.community.refusal.text() == NO_COMMUNITY
    assert asked.community.choice.isAncestorOf(hands.app.focusWidget())
    for shown in (asked.community.how_to_choose, asked.community.choice, asked.community.refusal):
        assert in_view(first_page(hands.window), shown)


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_a_name_that_is_taken_is_told_in_full(live_in: LiveIn, wear: Wear, percent: int) -> None:
    """It stays told when the keys go elsewhere, and another name takes its place at once."""
    wear(Scheme.LIGHT, percent)
    hands = live_in(size=(1024, 700))
    hands.press("Ctrl+Shift+N")
    type_box(hands, ("nook", "59", "39", "40", "36"))
    hands.press("Ctrl+Return")
    page = first_page(hands.window)
    assert cut_labels(page) == []
    assert in_view(page, sentence_of(page.asked.name))

    hands.press("Tab")
    assert page.asked.name.fault.startswith("There is a tank called nook already.")
    hands.press("Shift+Tab")
    hands.type("Bay")
    assert (page.asked.name.text, page.asked.name.fault) == ("Bay", "")


def test_what_is_typed_next_takes_the_place_of_what_was_wrong(begin: Begin) -> None:
    """The text is selected: 60 after a refused -60 is 60."""
    hands = begin()
    type_box(hands, ("Lagoon", "-60", "39", "40", "36"))
    hands.press("Ctrl+Return")
    hands.type("60")

    length = first_page(hands.window).asked.measures.measure("length_cm")
    assert (length.text, length.fault) == ("60", "")


def test_a_size_below_nothing_is_told_what_it_can_be(begin: Begin) -> None:
    """Zero is no length either."""
    hands = begin()
    type_box(hands, WRONG)
    length = first_page(hands.window).asked.measures.measure("length_cm")
    assert length.fault == (
        "Length −60\u00a0cm is not possible. It has to be more than zero, up to 10000\u00a0cm."
    )


def water(hands: Hands) -> str:
    return first_page(hands.window).asked.measures.measure("water_depth_cm").fault


def test_water_above_the_rim_stays_told_while_it_is_so(begin: Begin) -> None:
    """Told when the field is left, wherever the keys go; a higher tank mends it."""
    hands = begin()
    type_box(hands, ("Lagoon", "59", "39", "40", "46"))
    told = "Water up to 46\u00a0cm is not possible. It can be from 0 to 40\u00a0cm."
    assert water(hands) == told
    hands.press("Ctrl+Return")
    assert water(hands) == told
    hands.press("Tab", "Tab")
    assert water(hands) == told
    assert first_page(hands.window).litres_from.text() == told

    height = first_page(hands.window).asked.measures.measure("height_cm")
    height.go_to()
    hands.type("45")
    assert "to 45" in water(hands)
    hands.press("Backspace")
    hands.type("8")
    assert water(hands) == ""


def test_a_name_too_long_is_told_its_length_and_the_longest(begin: Begin) -> None:
    """290 letters are not a missing name."""
    hands = begin()
    hands.type("n" * 290)
    hands.press("Ctrl+Return")
    name = first_page(hands.window).asked.name
    assert name.fault == "Name has 290 letters. It can have from 1 to 200."
    hands.press("Delete", "Ctrl+Return")
    assert name.fault == "The tank needs a name. Any word will do."


def test_all_that_is_amiss_is_told_at_once(begin: Begin) -> None:
    """Water above the rim and nothing chosen: neither takes the other's sentence away."""
    hands = begin()
    hands.type("Lagoon")
    hands.press(*["Tab"] * 4)
    for size in ("59", "39", "40", "46"):
        hands.type(size)
        hands.press("Tab")
    hands.press("Ctrl+Return")

    page = first_page(hands.window)
    assert water(hands).startswith("Water up to")
    assert page.asked.measures.measure("water_depth_cm").field.hasFocus()
    assert page.asked.community.refusal.isVisible()


def test_sizes_in_inches_and_pounds_are_refused_in_them(begin: Begin) -> None:
    """Stored is metric: 30 lb of rock are 13.6 kg (0.45359237 kg a pound, NIST SP 811)."""
    hands = begin()
    page = first_page(hands.window)
    page.asked.household.units.setFocus()
    hands.press("Down")
    page.asked.name.go_to()
    type_box(hands, ("Lagoon", "24", "16", "16", "18"))
    depth = page.asked.measures.measure("water_depth_cm")
    told = "Water up to 18\u00a0in is not possible. It can be from 0 to 16\u00a0in."
    assert depth.fault == told
    assert page.litres_from.text() == told
    rock = page.asked.extras.measure("rock_dry_kg")
    assert rock.accessibleName() or rock.field.accessibleName()
    rock.go_to()
    hands.type("-3")
    hands.press("Tab")
    assert "\u22123\u00a0lb is not possible" in rock.fault
    rock.go_to()
    hands.type("30")
    assert rock.value == pytest.approx(13.6077711)
    rock.go_to()
    hands.type("300000")
    hands.press("Tab")
    assert rock.fault.endswith("up to 22040\u00a0lb.")
