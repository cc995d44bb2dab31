"""A tank gets other sizes on its page: what no longer fits is told, and one key mends it."""

from dataclasses import replace

import pytest

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.palette import Scheme
from tankkeeper.services.settling_chores import change_chore
from tests.gui.checks import cut_labels, overlapping
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import chore, small_house
from tests.gui.setting_hands import go, save
from tests.gui.test_tank_page import open_page, write


def _house():  # type: ignore[no-untyped-def]
    house = small_house()
    fill = chore("full", "Fill the reservoir", 12, kind=ChoreKind.RESERVOIR)
    return replace(house, chores=(*house.chores, fill))


def _chores(hands):  # type: ignore[no-untyped-def]
    return {one.id: one for one in hands.window.session.household.chores}


def test_one_key_lets_the_chores_fit_the_sizes_that_are_typed(live_in: LiveIn) -> None:
    """The tank is kept, the amount is scaled, the filling ends; two undos bring both back."""
    hands = live_in(_house())
    desk = open_page(hands)
    was = _chores(hands)
    assert desk.misfits.isVisible()
    assert "Change water" not in desk.misfits.text()
    go(hands, desk, "shape.length_cm")
    write(hands, "20")
    hands.settle()
    text = desk.misfits.text().replace("\xa0", " ")
    assert "Change water (9 L; the same share is 3 L)" in text
    assert "No reservoir for: Fill the reservoir." in text
    assert cut_labels(desk.page) == []
    save(hands, "resized")

    hands.press("Ctrl+M")
    hands.settle()

    are = _chores(hands)
    assert are["change"].amount == Amount(3.0, AmountUnit.LITRES)
    assert are["full"].ended_on is not None
    assert not desk.misfits.isVisible()
    hands.press("Esc", "Ctrl+Z")
    hands.settle()
    assert _chores(hands) == was
    assert hands.window.session.household.tanks[0].shape.length_cm == 20.0
    hands.press("Ctrl+Z")
    hands.settle()
    assert hands.window.session.household.tanks[0].shape.length_cm == 60.0


def test_the_offer_stands_until_it_is_taken_and_again_after_an_undo(live_in: LiveIn) -> None:
    """However often the page was left meanwhile; an amount changed by hand is meant as it is."""
    hands = live_in(_house())
    desk = open_page(hands)
    go(hands, desk, "shape.length_cm")
    write(hands, "20")
    hands.press("Esc")
    assert not desk.is_open

    hands.press("F2")
    assert "Change water" in desk.misfits.text()
    hands.press("Ctrl+M")
    assert not desk.misfits.isVisible()
    hands.press("Ctrl+Z")
    assert "Change water" in desk.misfits.text()
    assert desk.page.buttons["fit"].isVisible()
    hands.press("Ctrl+Y")
    assert not desk.misfits.isVisible()
    hands.press("Ctrl+Z", "Esc")

    change = replace(_chores(hands)["change"], amount=Amount(4.0, AmountUnit.LITRES))
    session = hands.window.session
    session.settle(lambda desk: change_chore(desk, change), Answer("", _refused))
    hands.settle()
    hands.press("F2")
    assert "Change water" not in desk.misfits.text()
    assert "Fill the reservoir" in desk.misfits.text()


def test_an_amount_proposed_at_the_founding_is_offered_anew_for_a_tank_a_tenth_smaller(
    live_in: LiveIn,
) -> None:
    """15 % of 126 L were proposed as 19 L; of 113 L they are 19 x 113 / 126 = 17 L.

    It stands there after the size was kept, until somebody takes it or changes the amount.
    """
    house = small_house()
    reef = replace(house.tanks[0], shape=Shape(ShapeKind.OTHER, litres=126.0))
    change = next(one for one in house.chores if one.id == "change")
    change = replace(change, amount=Amount(19.0, AmountUnit.LITRES))
    others = (one for one in house.chores if one.id != "change")
    hands = live_in(replace(house, tanks=(reef, *house.tanks[1:]), chores=(change, *others)))
    desk = open_page(hands)
    go(hands, desk, "shape.litres")
    write(hands, "113")
    hands.press("Ctrl+Return")
    hands.settle()

    text = desk.misfits.text().replace("\xa0", " ")
    assert "Change water (19 L; the same share is 17 L)" in text
    hands.press("Ctrl+M")
    assert _chores(hands)["change"].amount == Amount(17.0, AmountUnit.LITRES)


def _refused(error: Exception) -> None:
    raise error


@pytest.mark.parametrize(
    ("scheme", "percent"), [(Scheme.LIGHT, 150), (Scheme.DARK, 100), (Scheme.DARK, 150)]
)
def test_the_offer_stands_after_the_sizes_were_kept_without_it(
    live_in: LiveIn, wear: Wear, scheme: Scheme, percent: int
) -> None:
    """Ctrl+Return alone loses nothing; large type cuts nothing."""
    wear(scheme, percent)
    hands = live_in(_house())
    desk = open_page(hands)
    go(hands, desk, "shape.length_cm")
    write(hands, "20")
    hands.press("Ctrl+Return")
    hands.settle()

    assert "Change water" in desk.misfits.text()
    assert desk.page.buttons["fit"].isVisible()
    assert overlapping(desk.page) == []
    assert cut_labels(desk.page) == []
    save(hands, f"resized-{scheme.value}-{percent}")
